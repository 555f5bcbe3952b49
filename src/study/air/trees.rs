//! The join trees of the cavity, level and leaning.

use crate::mesh::Mesh;
use crate::mesh::tree::Tree;
use crate::mesh::winding::Winding;
use crate::solve::closed_surface::{ClosedSurface, NotClosed};
use crate::solve::run::{Cancelled, Run};
use crate::study::air::air_tree::{self, AirTree};
use crate::study::air::matters::Matters;
use crate::study::air::mouth::Mouth;
use crate::study::air::walk::{self, Trapped};
use glam::{DVec3, Vec3};
use rayon::prelude::*;
use std::sync::Arc;

/// Directions round the level one that stand for every lean.
///
/// Between two of eight directions the block leans towards none of them by the full angle; towards the nearer one it
/// leans by at least cos 22.5° = 0.92 of it, so a wedge of air under a level ceiling is read at least 0.92 of its
/// worst.
pub const LEAN_DIRECTIONS: usize = 8;

/// Up as seen by the part when the block leans by `lean_deg` towards each of `count` sides.
pub fn lean_directions(up: Vec3, lean_deg: f64, count: usize) -> Vec<DVec3> {
    let up = up.as_dvec3().try_normalize().unwrap_or(DVec3::Z);
    // Sides are counted from the part's own X (Y where up is along X), so that the same part gives the same sides.
    let reference = if up.x.abs() < 0.9 { DVec3::X } else { DVec3::Y };
    let side = (reference - up * reference.dot(up)).normalize();
    let other = up.cross(side);
    let (sin, cos) = lean_deg.to_radians().sin_cos();
    (0..count)
        .map(|i| {
            let (s, c) = (std::f64::consts::TAU * i as f64 / count as f64).sin_cos();
            (up * cos + (side * c + other * s) * sin).normalize()
        })
        .collect()
}

/// The cavity's join trees, level and leaning, for one attitude.
#[derive(Clone, Debug)]
pub struct Air {
    /// Level.
    pub level: AirTree,
    /// Leaning by the shop's lean to each of [`LEAN_DIRECTIONS`] sides; empty where the lean is zero.
    pub leaning: Vec<AirTree>,
    /// Why cells had to be used; none where the trees are exact.
    pub on_cells: Option<NotClosed>,
}

impl Air {
    /// The trees of the cavity `mesh` for `up` and for leans of `lean_deg`; `tree` must be the tree of `mesh`.
    ///
    /// Exact where the mesh is closed, else on cells.
    pub fn new(mesh: &Arc<Mesh>, tree: &Arc<Tree>, up: Vec3, lean_deg: f64, run: &Run) -> Result<Air, Cancelled> {
        match Air::on_surface(mesh, tree, up, lean_deg, run) {
            Ok(air) => Ok(air),
            Err(NotClosed::Cancelled(cancelled)) => Err(cancelled),
            Err(why) => Air::on_cells(mesh, tree, up, lean_deg, why, run),
        }
    }

    fn on_surface(mesh: &Arc<Mesh>, tree: &Arc<Tree>, up: Vec3, lean_deg: f64, run: &Run) -> Result<Air, NotClosed> {
        Air::of_surface(&Arc::new(ClosedSurface::new(mesh.clone(), tree.clone(), run)?), up, lean_deg, run)
    }

    /// The exact trees of a closed surface.
    ///
    /// # Errors
    /// As the trees.
    pub fn of_surface(surface: &Arc<ClosedSurface>, up: Vec3, lean_deg: f64, run: &Run) -> Result<Air, NotClosed> {
        let make = |up: DVec3| AirTree::exact(surface, up, run);
        let level = make(up.as_dvec3())?;
        let leaning = directions(up, lean_deg).into_par_iter().map(make).collect::<Result<_, _>>()?;
        Ok(Air { level, leaning, on_cells: None })
    }

    /// The same on cells, whether the mesh is closed or not; `why` is kept to be told.
    ///
    /// # Errors
    /// [`Cancelled`].
    pub fn on_cells(
        mesh: &Arc<Mesh>,
        tree: &Arc<Tree>,
        up: Vec3,
        lean_deg: f64,
        why: NotClosed,
        run: &Run,
    ) -> Result<Air, Cancelled> {
        let winding = Winding::of(mesh);
        let make = |up: DVec3| AirTree::on_cells(mesh, tree, &winding, up, air_tree::CELLS, run);
        let level = make(up.as_dvec3())?;
        let leaning = directions(up, lean_deg).into_par_iter().map(make).collect::<Result<_, _>>()?;
        Ok(Air { level, leaning, on_cells: Some(why) })
    }

    /// Air in bodies that matter that stays with these mouths, all attitudes together, mm³.
    pub fn excess_mm3(&self, mouths: &[Mouth], matters: &Matters) -> f64 {
        let of_tree = |tree: &AirTree| -> f64 {
            let rims: Vec<_> = mouths.iter().filter_map(|m| tree.rim(m)).collect();
            walk::excess_mm3(tree, &walk::pieces(tree, &rims), matters)
        };
        self.trees().map(of_tree).sum()
    }

    /// Every tree, the level one first.
    pub fn trees(&self) -> impl Iterator<Item = &AirTree> {
        std::iter::once(&self.level).chain(&self.leaning)
    }

    /// What stays with these mouths when the block stands level.
    pub fn trapped(&self, mouths: &[Mouth]) -> Trapped {
        walk::trapped(&self.level, mouths)
    }

    /// The most that stays with these mouths, level or leaning to any side, mm³.
    pub fn worst_mm3(&self, mouths: &[Mouth]) -> f64 {
        let trees: Vec<&AirTree> = self.trees().collect();
        trees.par_iter().map(|tree| walk::trapped_mm3(tree, mouths)).collect::<Vec<_>>().into_iter().fold(0.0, f64::max)
    }
}

fn directions(up: Vec3, lean_deg: f64) -> Vec<DVec3> {
    if lean_deg > 0.0 { lean_directions(up, lean_deg, LEAN_DIRECTIONS) } else { Vec::new() }
}
