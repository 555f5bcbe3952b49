//! The join tree of the superlevel sets of a *solid*, exactly, from its surface: no cells are needed.
//!
//! Components of {solid above s} are followed by a sweep over the surface's vertices from high to low, ties by number.
//! A surface maximum with nothing solid above it starts a component. A surface maximum with solid above it is the top
//! of a hollow seen from within the solid; it belongs to whatever lies above it, found by one ray straight up to the
//! first face through which the solid is left, and the highest vertex of that face. Which of the two it is follows
//! from the sign of up · (angle-weighted pseudonormal), since a point straight above a surface maximum has that vertex
//! as its nearest surface point (Bærentzen & Aanæs, "Signed distance computation using the angle weighted
//! pseudonormal", 2005).
//!
//! Volumes above a level come from [`super::level_volume`].

use crate::mesh::tree::Hit;
use crate::solve::closed_surface::{ClosedSurface, NotClosed};
use crate::solve::join_tree::{JoinTree, Sweep};
use crate::solve::level_volume::{Facet, LevelSums};
use crate::solve::run::Run;
use glam::{DVec3, Vec3};
use rayon::prelude::*;
use std::sync::Arc;

/// The join tree of a solid in one direction, with what it needs to give volumes above levels.
#[derive(Clone, Debug)]
pub struct SurfaceTree {
    /// The branches; `volume` is filled.
    pub tree: JoinTree,
    /// The surface that it was made from.
    pub surface: Arc<ClosedSurface>,
    /// Up, a unit vector.
    pub up: DVec3,
    /// Branch of each vertex (after splitting).
    pub branch_of_vertex: Vec<u32>,
    /// Triangles by the branch of their highest vertex.
    order: Vec<u32>,
    /// Range of branch b in `order`: `start[b]..start[b + 1]`.
    start: Vec<u32>,
    sums: LevelSums,
}

impl SurfaceTree {
    /// Builds the tree for `up`, which need not be of unit length.
    pub fn new(surface: &Arc<ClosedSurface>, up: DVec3, run: &Run) -> Result<SurfaceTree, NotClosed> {
        let up = up.try_normalize().unwrap_or(DVec3::Z);
        let vertices = surface.vertices();
        let triangles = surface.triangles();
        let heights: Vec<f64> = (0..vertices as u32)
            .into_par_iter()
            .with_min_len(4096)
            .map(|v| surface.position(v).as_dvec3().dot(up))
            .collect();
        let falling = by_falling_height(&heights);
        let mut rank = vec![0u32; vertices];
        for (r, &v) in falling.iter().enumerate() {
            rank[v as usize] = r as u32;
        }
        run.check()?;

        // Higher neighbours, once each: on a closed surface every edge is run once downwards.
        let mut first = vec![0u32; vertices + 1];
        for t in triangles {
            let r = t.map(|v| rank[v as usize]);
            for k in 0..3 {
                let (a, b) = (r[k], r[(k + 1) % 3]);
                if a < b {
                    first[b as usize + 1] += 1;
                }
            }
        }
        for v in 0..vertices {
            first[v + 1] += first[v];
        }
        let mut higher = vec![0u32; first[vertices] as usize];
        let mut fill = first.clone();
        for t in triangles {
            let r = t.map(|v| rank[v as usize]);
            for k in 0..3 {
                let (a, b) = (r[k], r[(k + 1) % 3]);
                if a < b {
                    let at = &mut fill[b as usize];
                    higher[*at as usize] = a;
                    *at += 1;
                }
            }
        }
        drop(fill);
        run.check()?;

        let hollow_tops = hollow_tops(surface, up, &rank, &first, run)?;

        // Items of the sweep are ranks, so that memory is walked in order.
        let mut sweep = Sweep::new(vertices);
        let mut next_hollow = hollow_tops.iter().peekable();
        for r in 0..vertices as u32 {
            if r & 0xffff == 0 {
                run.check()?;
            }
            let height = heights[falling[r as usize] as usize];
            let neighbours = &higher[first[r as usize] as usize..first[r as usize + 1] as usize];
            match next_hollow.peek() {
                Some(&&(top, above)) if top == r => {
                    next_hollow.next();
                    sweep.visit(r, height, [above]);
                }
                _ => sweep.visit(r, height, neighbours.iter().copied()),
            }
        }
        let (mut tree, branch_of_rank) = sweep.finish();
        for branch in &mut tree.branches {
            branch.summit_item = falling[branch.summit_item as usize];
        }
        run.check()?;

        // Triangles in pre-order of their branch and, within it, by falling height of their highest vertex.
        let branches = tree.branches.len();
        let mut place = vec![0u32; branches + 1];
        for &b in &branch_of_rank {
            place[b as usize + 1] += 1;
        }
        for b in 0..branches {
            place[b + 1] += place[b];
        }
        let vertex_start = place.clone();
        let mut place_of_rank = vec![0u32; vertices];
        for (r, &b) in branch_of_rank.iter().enumerate() {
            place_of_rank[r] = place[b as usize];
            place[b as usize] += 1;
        }
        let top_place: Vec<u32> = triangles
            .par_iter()
            .with_min_len(4096)
            .map(|t| {
                let r = t.map(|v| rank[v as usize]);
                place_of_rank[r[0].min(r[1]).min(r[2]) as usize]
            })
            .collect();
        let mut at = vec![0u32; vertices + 1];
        for &p in &top_place {
            at[p as usize + 1] += 1;
        }
        for v in 0..vertices {
            at[v + 1] += at[v];
        }
        let start: Vec<u32> = vertex_start.iter().map(|&p| at[p as usize]).collect();
        let mut order = vec![0u32; triangles.len()];
        for (t, &p) in top_place.iter().enumerate() {
            order[at[p as usize] as usize] = t as u32;
            at[p as usize] += 1;
        }
        let mut branch_of_vertex = vec![0u32; vertices];
        for (r, &b) in branch_of_rank.iter().enumerate() {
            branch_of_vertex[falling[r] as usize] = b;
        }
        run.check()?;

        let base = heights[falling[0] as usize];
        let sums = LevelSums::new(order.len(), base, |i| facet(surface, up, order[i]));
        let mut tree = SurfaceTree { tree, surface: surface.clone(), up, branch_of_vertex, order, start, sums };
        let volumes: Vec<f64> = (0..branches as u32)
            .into_par_iter()
            .map(|b| tree.volume_above(b, tree.tree.branches[b as usize].bottom))
            .collect();
        for (branch, volume) in tree.tree.branches.iter_mut().zip(volumes) {
            branch.volume = volume;
        }
        Ok(tree)
    }

    /// Volume above `level` of the component that `branch` stands for at that level, mm³. `level` must not lie below
    /// the branch's bottom.
    pub fn volume_above(&self, branch: u32, level: f64) -> f64 {
        let subtree = self.tree.subtree(branch);
        let range = self.start[subtree.start as usize] as usize..self.start[subtree.end as usize] as usize;
        self.sums.above(range, level, &|i| facet(&self.surface, self.up, self.order[i])).max(0.0)
    }

    /// The triangles whose highest vertex lies in the subtree of `branch`.
    pub fn triangles_of(&self, branch: u32) -> &[u32] {
        let subtree = self.tree.subtree(branch);
        &self.order[self.start[subtree.start as usize] as usize..self.start[subtree.end as usize] as usize]
    }

    /// Height of a point, millimetres.
    pub fn height(&self, point: Vec3) -> f64 {
        point.as_dvec3().dot(self.up)
    }

    /// The branch that stands, at `level`, for the component which holds the part of `triangle` above `level`.
    pub fn branch_at(&self, triangle: u32, level: f64) -> u32 {
        let corners = self.surface.triangles()[triangle as usize];
        let mut top = corners[0];
        for v in corners {
            if self.height(self.surface.position(v)) > self.height(self.surface.position(top)) {
                top = v;
            }
        }
        self.tree.at_level(self.branch_of_vertex[top as usize], level)
    }
}

fn facet(surface: &ClosedSurface, up: DVec3, triangle: u32) -> Facet {
    let [a, b, c] = surface.mesh.corners_f64(triangle as usize);
    Facet { heights: [a.dot(up), b.dot(up), c.dot(up)], projected: 0.5 * (b - a).cross(c - a).dot(up) }
}

/// Vertices by falling height, ties by number.
fn by_falling_height(heights: &[f64]) -> Vec<u32> {
    let mut keys: Vec<(u64, u32)> = heights
        .par_iter()
        .with_min_len(4096)
        .enumerate()
        .map(|(v, &h)| {
            // Order-preserving bits of a float, turned round for falling order; -0 counts as 0.
            let bits = (h + 0.0).to_bits();
            let rising = if bits >> 63 == 1 { !bits } else { bits | 1 << 63 };
            (!rising, v as u32)
        })
        .collect();
    keys.par_sort_unstable();
    keys.par_iter().with_min_len(4096).map(|k| k.1).collect()
}

/// Tops of hollows as (rank, rank of a vertex that lies in the component above), by rising rank.
fn hollow_tops(
    surface: &ClosedSurface,
    up: DVec3,
    rank: &[u32],
    first: &[u32],
    run: &Run,
) -> Result<Vec<(u32, u32)>, NotClosed> {
    let triangles = surface.triangles();
    let is_maximum = |v: u32| {
        let r = rank[v as usize] as usize;
        first[r] == first[r + 1]
    };
    // One corner of each maximum and the up component of its pseudonormal.
    let mut found: Vec<(u32, u32, f64)> = triangles
        .par_iter()
        .with_min_len(4096)
        .enumerate()
        .flat_map_iter(|(t, corners)| {
            (0..3).filter(|&k| is_maximum(corners[k])).map(move |k| {
                let [a, b, c] = surface.mesh.corners_f64(t);
                let p = [a, b, c];
                let (e, f) = (p[(k + 1) % 3] - p[k], p[(k + 2) % 3] - p[k]);
                let normal = (b - a).cross(c - a).normalize_or_zero();
                let angle = e.cross(f).length().atan2(e.dot(f));
                (rank[corners[k] as usize], corners[k], angle * normal.dot(up))
            })
        })
        .collect();
    found.sort_by(|a, b| a.0.cmp(&b.0).then(a.2.total_cmp(&b.2)));
    let hollows: Vec<(u32, u32)> = found
        .chunk_by(|a, b| a.0 == b.0)
        .filter(|group| group.iter().map(|g| g.2).sum::<f64>() < 0.0)
        .map(|group| (group[0].0, group[0].1))
        .collect();
    run.check()?;
    hollows
        .into_par_iter()
        .map(|(r, v)| {
            let at = surface.position(v);
            match exit_above(surface, up, rank, v) {
                Some(above) => Ok((r, above)),
                None => Err(NotClosed::NothingAbove { at }),
            }
        })
        .collect()
}

/// The rank of the highest vertex of the first face above `vertex` through which a ray straight up leaves the solid.
///
/// Faces that the ray meets edge-on, or only at `vertex` itself, do not count: between the top of a hollow and the
/// first exit there is nothing but solid. A ray that slips through a seam is tried again a little aslant; any rising
/// path inside the solid leads to the same component.
fn exit_above(surface: &ClosedSurface, up: DVec3, rank: &[u32], vertex: u32) -> Option<u32> {
    let origin = surface.position(vertex);
    let own = rank[vertex as usize];
    let triangles = surface.triangles();
    let highest = |t: u32| {
        let r = triangles[t as usize].map(|v| rank[v as usize]);
        r[0].min(r[1]).min(r[2])
    };
    let aside = up.any_orthonormal_vector();
    let leans = [DVec3::ZERO, aside * 1e-4, aside.cross(up) * 1e-4, aside * -1e-3, aside.cross(up) * -1e-3];
    leans.into_iter().find_map(|lean| {
        let direction = (up + lean).normalize().as_vec3();
        let leaves = |hit: &Hit| {
            let normal = surface.mesh.double_area_normal(hit.triangle as usize);
            hit.t > 0.0 && highest(hit.triangle) < own && normal.dot(direction) > 0.0
        };
        let hit = surface.tree.first_hit_where(origin, direction, f32::INFINITY, leaves)?;
        Some(highest(hit.triangle))
    })
}
