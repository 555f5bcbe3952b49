//! Wall thickness on the surface, by shrinking ball.
//!
//! From a sample of the surface a ball is let grow inwards, tangent at the sample, until it touches the surface again
//! (Ma, Bae & Choi 2012); its diameter is the thickness of the wall there. It starts at half the straight distance
//! through the wall and shrinks to each nearer contact in turn. Only contacts opposed by more than 150° count, both by
//! the normal of the surface there and by the angle at the ball's centre: side walls at a convex edge, steps, fillets
//! and the facets of a curve make no wall.

use super::largest_ball::{self, Ball};
use crate::mesh::Mesh;
use crate::mesh::topology::Topology;
use crate::mesh::tree::{Cone, Facing, Tree};
use crate::solve::run::{Cancelled, Run};
use crate::study::job::samples::{Sample, spread};
use glam::Vec3;
use rayon::prelude::*;
use std::collections::VecDeque;

/// Samples spread over the surface by area, about.
const SAMPLES: usize = 150_000;
/// Cosine of 30°: normals that far from straight against each other are opposed by 150°.
const OPPOSED: f32 = 0.866_025_4;
/// Samples worked off between two looks at the run.
const CHUNK: usize = 2048;
/// Area that must be as thin before it counts as the thinnest wall, mm², and the same as a share of all area; the
/// smaller holds. Set here.
const THINNEST_MM2: f32 = 1.0;
const THINNEST_SHARE: f32 = 0.002;

/// How far from the middle of a wall's ball that wall still counts, as a share of its thickness: √3/2 is the corner of a
/// cube.
const REACHES: f32 = 0.9;

/// The wall at one place of the surface.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wall {
    /// The sample on the surface, in `work`.
    pub position: Vec3,
    /// Where the wall ends on the other side.
    pub opposite: Vec3,
    /// Triangle of the sample.
    pub triangle: u32,
    /// Surface that the sample stands for, mm².
    pub area_mm2: f32,
    /// Thickness, mm.
    pub thickness_mm: f32,
}

/// A stretch of wall under some limit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ThinPlace {
    /// Its thinnest place.
    pub thinnest: Wall,
    /// Surface under the limit round it, both sides counted, mm².
    pub area_mm2: f32,
}

/// Wall thickness of a whole surface.
#[derive(Clone, Debug, Default)]
pub struct Thickness {
    /// Mean thickness of each triangle, mm; a triangle without a wall of its own takes its neighbours', and is NaN where
    /// its whole body has none.
    pub of_triangle_mm: Vec<f32>,
    /// Samples that have a wall, thinnest first.
    pub walls: Vec<Wall>,
    /// Area of all samples, with a wall or not, mm².
    pub area_mm2: f32,
    /// The largest ball inside: how thick the thickest section is. Opposed sides say nothing of that, the height of a rim is
    /// one.
    pub thickest: Option<Ball>,
}

impl Thickness {
    /// Measures the walls of a closed mesh. Open meshes give walls where the surface has another side.
    pub fn of(mesh: &Mesh, tree: &Tree, topology: &Topology, run: &Run) -> Result<Thickness, Cancelled> {
        let samples = spread(mesh, SAMPLES);
        let facing = Facing::of(tree);
        run.check()?;
        let mut walls: Vec<Wall> = Vec::with_capacity(samples.len());
        let mut area_mm2 = 0.0f64;
        let whole = samples.len().max(1);
        for (i, chunk) in samples.chunks(CHUNK * 16).enumerate() {
            run.check()?;
            run.progress((i * CHUNK * 16) as f32 / whole as f32);
            let found: Vec<Option<Wall>> = chunk
                .par_chunks(CHUNK)
                .flat_map_iter(|part| part.iter().map(|s| wall_at(mesh, tree, &facing, s)))
                .collect();
            area_mm2 += chunk.iter().map(|s| s.area_mm2 as f64).sum::<f64>();
            walls.extend(found.into_iter().flatten());
        }
        let of_triangle_mm = colour(mesh, topology, &walls);
        walls.sort_unstable_by(|a, b| {
            a.thickness_mm
                .total_cmp(&b.thickness_mm)
                .then(a.triangle.cmp(&b.triangle))
                .then_with(|| a.position.to_array().map(f32::to_bits).cmp(&b.position.to_array().map(f32::to_bits)))
        });
        let thickest = largest_ball::largest(mesh, tree, run)?;
        Ok(Thickness { of_triangle_mm, walls, area_mm2: area_mm2 as f32, thickest })
    }

    /// The wall at which the thinnest walls add up to `area_mm2` of surface.
    fn at_area(&self, area_mm2: f32) -> Option<&Wall> {
        let mut sum = 0.0;
        self.walls.iter().find(|w| {
            sum += w.area_mm2;
            sum >= area_mm2
        })
    }

    /// The thinnest wall, a scrap of up to 1 mm² (or 0.2 % of a small part) left out.
    pub fn thinnest(&self) -> Option<&Wall> {
        self.at_area(THINNEST_MM2.min(THINNEST_SHARE * self.area_mm2)).or(self.walls.last())
    }

    /// The wall under which the thinnest `share` (0 to 1) of all walls lie, by area.
    pub fn quantile(&self, share: f32) -> Option<&Wall> {
        let all: f32 = self.walls.iter().map(|w| w.area_mm2).sum();
        self.at_area(share * all).or(self.walls.last())
    }

    /// The thinnest of the walls that reach `at`, a place of the surface, whichever way they run: of a rib's top it is the
    /// width of the rib, not its height. Infinite where none does.
    ///
    /// A wall is the ball between its two sides. It reaches the corner where three such walls of one thickness meet.
    pub fn narrowest_mm(&self, at: Vec3) -> f32 {
        let reaches = |w: &&Wall| {
            let reach = REACHES * w.thickness_mm + w.area_mm2.sqrt();
            (w.position + w.opposite).mul_add(Vec3::splat(0.5), -at).length_squared() <= reach * reach
        };
        self.walls.iter().find(reaches).map_or(f32::INFINITY, |w| w.thickness_mm)
    }

    /// Share of all walls, by area, that are thinner than `limit_mm`.
    pub fn share_below(&self, limit_mm: f32) -> f32 {
        let area = |walls: &[Wall]| walls.iter().map(|w| w.area_mm2).fold(0.0, |a, b| a + b);
        let thinner = self.walls.partition_point(|w| w.thickness_mm < limit_mm);
        let all = area(&self.walls);
        if all > 0.0 { area(&self.walls[..thinner]) / all } else { 0.0 }
    }

    /// Stretches of wall thinner than `limit_mm`, thinnest first, at least `apart_mm` from each other, at most `most`.
    pub fn below(&self, limit_mm: f32, apart_mm: f32, most: usize) -> Vec<ThinPlace> {
        let mut places: Vec<ThinPlace> = Vec::new();
        for wall in self.walls.iter().take_while(|w| w.thickness_mm < limit_mm) {
            let near = places.iter_mut().find(|p| p.thinnest.position.distance(wall.position) < apart_mm);
            if let Some(place) = near {
                place.area_mm2 += wall.area_mm2;
            } else if places.len() < most {
                places.push(ThinPlace { thinnest: *wall, area_mm2: wall.area_mm2 });
            }
        }
        places
    }
}

/// The wall under a sample, if there is one.
fn wall_at(mesh: &Mesh, tree: &Tree, facing: &Facing, sample: &Sample) -> Option<Wall> {
    let (p, own) = (sample.position, sample.triangle);
    let normal = mesh.unit_normal(own as usize);
    let opposed = Cone { axis: -normal, cos: OPPOSED };
    let hit = tree.first_hit_where(p, -normal, f32::INFINITY, |hit| hit.triangle != own)?;
    if hit.entering || hit.t <= 0.0 {
        return None;
    }
    let mut radius = 0.5 * hit.t;
    let mut contact = opposed.holds_normal_of(&mesh.corners(hit.triangle as usize)).then(|| p - normal * hit.t);
    for _ in 0..30 {
        let centre = p - normal * radius;
        let nearer = tree.nearest_facing(centre, radius * (1.0 - 1e-4), facing, opposed, own);
        let Some(nearer) = nearer else { break };
        let q = nearer.point;
        let depth = normal.dot(p - q);
        if depth <= 0.0 {
            break;
        }
        let next = p.distance_squared(q) / (2.0 * depth);
        let to = q - (p - normal * next);
        // A touch from the side is no wall; the ball stays as it was.
        if normal.dot(to) > -OPPOSED * to.length() || next >= radius {
            break;
        }
        radius = next;
        contact = Some(q);
    }
    Some(Wall { position: p, opposite: contact?, triangle: own, area_mm2: sample.area_mm2, thickness_mm: 2.0 * radius })
}

/// Mean thickness a triangle; triangles without a wall take the value of the nearest one along the surface.
fn colour(mesh: &Mesh, topology: &Topology, walls: &[Wall]) -> Vec<f32> {
    let mut sums = vec![(0.0f64, 0.0f64); mesh.triangles.len()];
    for wall in walls {
        let sum = &mut sums[wall.triangle as usize];
        sum.0 += wall.thickness_mm as f64 * wall.area_mm2 as f64;
        sum.1 += wall.area_mm2 as f64;
    }
    let mut mean: Vec<f32> = sums.iter().map(|s| if s.1 > 0.0 { (s.0 / s.1) as f32 } else { f32::NAN }).collect();
    let mut queue: VecDeque<u32> = (0..mean.len() as u32).filter(|&t| !mean[t as usize].is_nan()).collect();
    while let Some(t) = queue.pop_front() {
        for n in topology.neighbours[t as usize] {
            if n != Topology::NONE && mean[n as usize].is_nan() {
                mean[n as usize] = mean[t as usize];
                queue.push_back(n);
            }
        }
    }
    mean
}
