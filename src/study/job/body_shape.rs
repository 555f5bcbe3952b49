//! What the body's surface adds up to against up, the draw and the floor: sums over its triangles that forces are
//! reckoned from.

use super::body::Body;
use crate::mesh::Mesh;
use crate::mesh::topology::Topology;
use crate::solve::level_volume::Facet;
use crate::solve::run::{Cancelled, Run};
use glam::{DAffine3, DVec3, Vec3};
use rayon::prelude::*;

/// How near the lowest point a triangle must lie to stand on the floor, millimetres: set here.
const FOOT_MM: f64 = 0.05;
/// How level it must lie: cosine of one degree, set here.
const FOOT_LEVEL: f64 = 0.999_85;
/// Triangles summed together before the sums are added: fixed, so that results do not depend on the threads.
const CHUNK: usize = 1 << 14;

/// What the sums are asked of.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Asked {
    /// From `work` to the box.
    pub box_from_work: DAffine3,
    /// Up while resin is poured, in `work`.
    pub cast_up: Vec3,
    /// Draw of half 1, in `work`.
    pub draw: Vec3,
    /// Height over the floor up to which a first pour of rubber goes, millimetres.
    pub first_pour_mm: Option<f64>,
    /// Whether the edges are wanted, for a skin.
    pub edges: bool,
}

/// The sums.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct BodyShape {
    /// Area that lies flat on the lowest level as rubber is poured, mm².
    pub foot_mm2: f64,
    /// Height of the lowest point over the floor, millimetres.
    pub lowest_mm: f64,
    /// ∫ (n·W)⁺ dA of the surface: what resin pushes half 1 off by, per pascal, mm². More than the shadow where walls
    /// stand behind each other, since resin pushes on each of them.
    pub pushed_mm2: f64,
    /// ∫ h·(n·W)⁺ dA with h the height along the cast's up from the origin of `work`, mm³.
    pub pushed_moment_mm3: f64,
    /// Lowest and highest point along the cast's up from the origin of `work`, millimetres.
    pub cast_heights_mm: [f64; 2],
    /// Volume of the body below the first pour's level, mm³; 0 where there is one pour.
    pub below_first_pour_mm3: f64,
    /// Σ edge length · tan(half the angle turned at it), millimetres; 0 where it was not asked for.
    pub edges_mm: f64,
}

impl BodyShape {
    /// Adds up `body`.
    ///
    /// # Errors
    /// [`Cancelled`] where the run was.
    pub fn of(body: &Body, asked: &Asked, run: &Run) -> Result<BodyShape, Cancelled> {
        run.check()?;
        let mesh = &*body.mesh;
        let (up, draw) = (asked.cast_up.as_dvec3(), asked.draw.as_dvec3());
        let down = asked.box_from_work.inverse().transform_vector3(DVec3::NEG_Z);
        let height = |p: Vec3| asked.box_from_work.transform_point3(p.as_dvec3()).z;
        let ends = |along: &(dyn Fn(Vec3) -> f64 + Sync)| {
            mesh.positions
                .par_iter()
                .map(|p| along(*p))
                .fold(|| [f64::INFINITY, f64::NEG_INFINITY], |[a, b], h| [a.min(h), b.max(h)])
                .reduce(|| [f64::INFINITY, f64::NEG_INFINITY], |[a, b], [c, d]| [a.min(c), b.max(d)])
        };
        if mesh.triangles.is_empty() {
            return Ok(BodyShape::default());
        }
        let lowest_mm = ends(&height)[0];
        let cast_heights_mm = ends(&|p| p.as_dvec3().dot(up));
        let chunks: Vec<[f64; 4]> = mesh
            .triangles
            .par_chunks(CHUNK)
            .map(|part| {
                part.iter().fold([0.0; 4], |[foot, pushed, moment, above], t| {
                    let corners = t.map(|v| mesh.positions[v as usize]);
                    let [a, b, c] = corners.map(|p| p.as_dvec3());
                    let area = (b - a).cross(c - a) * 0.5;
                    let size = area.length();
                    let stands = size > 0.0
                        && area.dot(down) > FOOT_LEVEL * size
                        && corners.iter().all(|p| height(*p) < lowest_mm + FOOT_MM);
                    let push = area.dot(draw).max(0.0);
                    let over = asked.first_pour_mm.map_or(0.0, |level| {
                        Facet { heights: corners.map(height), projected: -area.dot(down) }.above(level)
                    });
                    let middle = (a + b + c).dot(up) / 3.0;
                    [foot + if stands { size } else { 0.0 }, pushed + push, moment + push * middle, above + over]
                })
            })
            .collect();
        run.check()?;
        let [foot_mm2, pushed_mm2, pushed_moment_mm3, above] =
            chunks.into_iter().fold([0.0; 4], |a, b| std::array::from_fn(|k| a[k] + b[k]));
        let below_first_pour_mm3 =
            asked.first_pour_mm.map_or(0.0, |_| (body.measures.volume_mm3.abs() - above).max(0.0));
        let edges_mm = if asked.edges { turned_edges_mm(mesh) } else { 0.0 };
        Ok(BodyShape {
            foot_mm2,
            lowest_mm,
            pushed_mm2,
            pushed_moment_mm3,
            cast_heights_mm,
            below_first_pour_mm3,
            edges_mm,
        })
    }

    /// ∫ (n·W)⁺ (level − h) dA: force on half 1 of a liquid that stands at `level` along the cast's up, per unit of
    /// ρ·g, mm³.
    pub fn push_mm3(&self, level: f64) -> f64 {
        (level * self.pushed_mm2 - self.pushed_moment_mm3).max(0.0)
    }
}

/// Σ length · tan(angle/2) over the edges of a mesh, the angle positive where the surface is convex.
fn turned_edges_mm(mesh: &Mesh) -> f64 {
    let topology = Topology::of(mesh);
    let normals: Vec<DVec3> = (0..mesh.triangles.len())
        .into_par_iter()
        .map(|t| {
            let [a, b, c] = mesh.corners_f64(t);
            (b - a).cross(c - a).normalize_or_zero()
        })
        .collect();
    let chunks: Vec<f64> = topology
        .neighbours
        .par_chunks(CHUNK)
        .enumerate()
        .map(|(chunk, part)| {
            let mut sum = 0.0;
            for (i, across) in part.iter().enumerate() {
                let t = chunk * CHUNK + i;
                let corners = mesh.corners_f64(t);
                for k in 0..3 {
                    let other = across[k];
                    if other == Topology::NONE || (other as usize) < t {
                        continue;
                    }
                    let edge = corners[(k + 1) % 3] - corners[k];
                    let (m, n) = (normals[t], normals[other as usize]);
                    // tan(half) = sin / (1 + cos); a fold back on itself has no mitre.
                    let sin = m.cross(n).dot(edge.normalize_or_zero());
                    let cos = m.dot(n);
                    if cos > -0.99 {
                        sum += edge.length() * sin / (1.0 + cos);
                    }
                }
            }
            sum
        })
        .collect();
    chunks.into_iter().fold(0.0, |a, b| a + b)
}

/// Volume of a skin of `skin_mm` inside a closed surface, mm³: A·t − M·t² with M the sum of edge lengths times the
/// tangent of half the angle turned (a mitred skin; Steiner's formula for parallel surfaces, 1840, without its last
/// term, which for a box is 8·t³). Never more than the whole.
pub fn skin_mm3(area_mm2: f64, edges_mm: f64, whole_mm3: f64, skin_mm: f64) -> f64 {
    // Beyond the thickness at which the formula turns back there is no hollow left that it could tell of.
    let turns_mm = if edges_mm > 0.0 { area_mm2 / (2.0 * edges_mm) } else { f64::INFINITY };
    if skin_mm >= turns_mm {
        return whole_mm3;
    }
    (area_mm2 * skin_mm - edges_mm * skin_mm * skin_mm).clamp(0.0, whole_mm3)
}
