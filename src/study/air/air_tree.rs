//! The cavity's join tree in one direction, exact on the surface or on cells, with one face to the rest.

use crate::mesh::Mesh;
use crate::mesh::tree::Tree;
use crate::mesh::winding::Winding;
use crate::solve::cell_tree::CellTree;
use crate::solve::closed_surface::{ClosedSurface, NotClosed};
use crate::solve::join_tree::{JoinTree, SAME_LEVEL_MM};
use crate::solve::level_cut;
use crate::solve::run::{Cancelled, Run};
use crate::solve::surface_tree::SurfaceTree;
use crate::study::air::mouth::{self, Mouth, Rim};
use crate::study::air::piece::Piece;
use glam::{DVec3, Vec3};
use rayon::prelude::*;
use std::sync::Arc;

/// Cells that the cavity is sampled with at most where it is not closed and nothing else is asked for.
pub const CELLS: usize = 400_000;

/// The join tree of the cavity in one direction.
#[derive(Clone, Debug)]
pub enum AirTree {
    /// Exact, from a closed surface.
    Exact(SurfaceTree),
    /// On cells.
    Cells(OnCells),
}

/// The join tree on cells with the mesh that they were sampled from.
#[derive(Clone, Debug)]
pub struct OnCells {
    cells: CellTree,
    mesh: Arc<Mesh>,
    tree: Arc<Tree>,
}

impl AirTree {
    /// The exact tree of a closed surface.
    pub fn exact(surface: &Arc<ClosedSurface>, up: DVec3, run: &Run) -> Result<AirTree, NotClosed> {
        SurfaceTree::new(surface, up, run).map(AirTree::Exact)
    }

    /// The tree on at most about `cells` cells, filled where the winding number is at least one half.
    pub fn on_cells(
        mesh: &Arc<Mesh>,
        tree: &Arc<Tree>,
        winding: &Winding,
        up: DVec3,
        cells: usize,
        run: &Run,
    ) -> Result<AirTree, Cancelled> {
        let points = mesh.positions.iter().map(|p| p.as_dvec3());
        let inside = |p: DVec3| winding.is_inside(p.as_vec3());
        let all_inside = |p: DVec3, radius: f64| winding.all_inside(p.as_vec3(), radius as f32);
        let cells = CellTree::new(points, up, cells, inside, all_inside, run)?;
        Ok(AirTree::Cells(OnCells { cells, mesh: mesh.clone(), tree: tree.clone() }))
    }

    /// The branches.
    pub fn tree(&self) -> &JoinTree {
        match self {
            AirTree::Exact(t) => &t.tree,
            AirTree::Cells(t) => &t.cells.tree,
        }
    }

    /// Up, a unit vector.
    pub fn up(&self) -> DVec3 {
        match self {
            AirTree::Exact(t) => t.up,
            AirTree::Cells(t) => t.cells.up,
        }
    }

    /// Triangles of the cavity mesh.
    pub fn triangles(&self) -> usize {
        match self {
            AirTree::Exact(t) => t.surface.mesh.triangles.len(),
            AirTree::Cells(t) => t.mesh.triangles.len(),
        }
    }

    /// Volume above `level` of the component that `branch` stands for there, mm³.
    pub fn volume_above(&self, branch: u32, level: f64) -> f64 {
        match self {
            AirTree::Exact(t) => t.volume_above(branch, level),
            AirTree::Cells(t) => t.cells.volume_above(branch, level),
        }
    }

    /// Where `mouth` counts; none where it lies off the cavity.
    pub fn rim(&self, mouth: &Mouth) -> Option<Rim> {
        match self {
            AirTree::Exact(t) => mouth::rim_on_surface(t, mouth),
            AirTree::Cells(t) => {
                let nearest = t.tree.nearest(mouth.centre)?;
                if !Mouth::opens_at(nearest.point.distance(mouth.centre) as f64) {
                    return None;
                }
                let (cell, height) = t.cells.highest_near(nearest.point.as_dvec3(), 0.5 * mouth.diameter_mm)?;
                Some(Rim { branch: t.cells.tree.at_level(cell, height), height })
            }
        }
    }

    /// Bound of the error of a piece, mm³: zero where the tree is exact.
    pub fn error_mm3(&self, piece: &Piece) -> f64 {
        match self {
            AirTree::Exact(_) => 0.0,
            AirTree::Cells(t) => t.cells.error_mm3(piece.branch, piece.level),
        }
    }

    /// The highest point of the subtree of `branch`: its peak, or a point in the middle of its level top.
    pub fn summit_point(&self, branch: u32) -> Vec3 {
        match self {
            AirTree::Exact(t) => summit_on_surface(t, branch),
            AirTree::Cells(t) => t.cells.summit_point(branch).as_vec3(),
        }
    }

    /// A closed mesh of the true shape of a piece of air.
    pub fn shape(&self, piece: &Piece) -> Mesh {
        match self {
            AirTree::Exact(t) => level_cut::solid_above(t, piece.branch, piece.level),
            AirTree::Cells(t) => t.cells.shape(piece.branch, piece.level),
        }
    }

    /// For each triangle of the cavity mesh the level at which the air that it reaches into is caught; infinite where
    /// it reaches into no piece.
    pub fn caught_levels(&self, pieces: &[Piece]) -> Vec<f32> {
        let mut caught = vec![f32::INFINITY; self.triangles()];
        match self {
            AirTree::Exact(t) => {
                for piece in pieces {
                    for &triangle in t.triangles_of(piece.branch) {
                        if t.surface.mesh.corners(triangle as usize).iter().any(|&p| t.height(p) > piece.level) {
                            caught[triangle as usize] = piece.level as f32;
                        }
                    }
                }
            }
            AirTree::Cells(t) => {
                // Pieces never overlap, so the one that may hold a branch is the last that starts at or before it.
                let mut pieces = pieces.to_vec();
                pieces.sort_by_key(|p| p.branch);
                caught.par_iter_mut().enumerate().with_min_len(256).for_each(|(triangle, caught)| {
                    let corners = t.mesh.corners_f64(triangle);
                    let Some((branch, _)) = t.cells.highest_near(corners.iter().sum::<DVec3>() / 3.0, 0.0) else {
                        return;
                    };
                    let after = pieces.partition_point(|p| p.branch <= branch);
                    let Some(piece) = after.checked_sub(1).map(|i| pieces[i]) else { return };
                    let reaches = corners.iter().any(|p| p.dot(t.cells.up) > piece.level);
                    if reaches && t.cells.tree.subtree(piece.branch).contains(&branch) {
                        *caught = piece.level as f32;
                    }
                });
            }
        }
        caught
    }
}

/// The middle of the level top of a branch: of its level triangles, else of its level edges, else its summit vertex.
/// Where the middle lies off the top, the nearest point of the top to it.
fn summit_on_surface(tree: &SurfaceTree, branch: u32) -> Vec3 {
    let top = tree.tree.branches[branch as usize].summit - SAME_LEVEL_MM;
    let vertex = tree.tree.branches[branch as usize].summit_item;
    let leaf = tree.branch_of_vertex[vertex as usize];
    let mut flats: Vec<[DVec3; 3]> = Vec::new();
    let mut ridges: Vec<[DVec3; 2]> = Vec::new();
    for &t in tree.triangles_of(leaf) {
        let corners = tree.surface.mesh.corners_f64(t as usize);
        let on_top = corners.map(|p| p.dot(tree.up) >= top);
        match on_top.iter().filter(|&&x| x).count() {
            // Triangles come by falling height within a leaf, so nothing level follows.
            0 => break,
            1 => {}
            2 => {
                let k = on_top.iter().position(|&x| !x).unwrap_or(0);
                ridges.push([corners[(k + 1) % 3], corners[(k + 2) % 3]]);
            }
            _ => flats.push(corners),
        }
    }
    let area = |[a, b, c]: &[DVec3; 3]| (*b - *a).cross(*c - *a).length();
    let length = |[a, b]: &[DVec3; 2]| a.distance(*b);
    let flat_weight: f64 = flats.iter().map(area).sum();
    let ridge_weight: f64 = ridges.iter().map(length).sum();
    let near: Box<dyn Fn(DVec3) -> Vec<DVec3>>;
    let middle;
    if flat_weight > 0.0 {
        middle = flats.iter().map(|f| (f[0] + f[1] + f[2]) / 3.0 * area(f)).sum::<DVec3>() / flat_weight;
        near = Box::new(move |m| flats.iter().map(|f| nearest_on_triangle(m, f)).collect());
    } else if ridge_weight > 0.0 {
        middle = ridges.iter().map(|r| (r[0] + r[1]) * 0.5 * length(r)).sum::<DVec3>() / ridge_weight;
        near = Box::new(move |m| ridges.iter().map(|r| nearest_on_segment(m, r[0], r[1])).collect());
    } else {
        return tree.surface.position(vertex);
    }
    // Equally near points (a ring) are told apart by place, so that the order of the mesh does not matter.
    let candidates = near(middle);
    let least = candidates.iter().map(|p| p.distance(middle)).fold(f64::INFINITY, f64::min);
    let by_place = |a: &DVec3, b: &DVec3| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)).then(a.z.total_cmp(&b.z));
    let chosen = candidates.into_iter().filter(|p| p.distance(middle) <= least + SAME_LEVEL_MM).max_by(by_place);
    chosen.map_or(tree.surface.position(vertex), |p| p.as_vec3())
}

fn nearest_on_segment(p: DVec3, a: DVec3, b: DVec3) -> DVec3 {
    let d = b - a;
    let t = if d.length_squared() > 0.0 { ((p - a).dot(d) / d.length_squared()).clamp(0.0, 1.0) } else { 0.0 };
    a + d * t
}

fn nearest_on_triangle(p: DVec3, corners: &[DVec3; 3]) -> DVec3 {
    let [a, b, c] = *corners;
    let normal = (b - a).cross(c - a).normalize_or_zero();
    let foot = p - normal * (p - a).dot(normal);
    let inside = (0..3).all(|k| {
        let (s, e) = (corners[k], corners[(k + 1) % 3]);
        (e - s).cross(foot - s).dot(normal) >= 0.0
    });
    if inside && normal != DVec3::ZERO {
        return foot;
    }
    [(a, b), (b, c), (c, a)]
        .into_iter()
        .map(|(s, e)| nearest_on_segment(p, s, e))
        .min_by(|x, y| x.distance_squared(p).total_cmp(&y.distance_squared(p)))
        .unwrap_or(a)
}
