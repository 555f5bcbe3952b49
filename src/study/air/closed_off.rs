//! Parts of a join tree that hold none of what is open: recesses that keep air while rubber is poured, basins that have no
//! gate.

use super::air_tree::AirTree;
use super::mouth::{Mouth, MouthOf};
use super::piece::Piece;
use crate::mesh::tree::Tree;
use crate::mesh::winding::Winding;
use crate::mesh::{Mesh, boolean, solids};
use crate::solve::cell_tree::CellTree;
use crate::solve::closed_surface::{ClosedSurface, NotClosed};
use crate::solve::join_tree::JoinTree;
use crate::solve::run::{Cancelled, Run};
use crate::solve::surface_tree::SurfaceTree;
use crate::study::job::body::Body;
use crate::study::job::insert_shapes::InsertShape;
use glam::{DVec3, Vec3};
use std::sync::Arc;

/// Room left round the master for the rubber that flows round it, as a share of its diagonal. How much does not matter: it
/// only has to let every place outside reach the top.
const ROOM: f32 = 0.05;

/// A pocket that is closed off.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pocket {
    /// Its volume beyond the sill, mm³.
    pub volume_mm3: f64,
    /// Its far end: the top of a recess, the bottom of a basin.
    pub position: Vec3,
    /// Height of its sill along the up that was asked for.
    pub sill: f64,
    /// From the sill to its far end, millimetres.
    pub depth_mm: f64,
}

/// Basins of the cavity without a gate.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Basins {
    /// Each of them, largest first.
    pub pockets: Vec<Pocket>,
    /// For each triangle the level up to which resin does not come to what of it lies below that: the sill of its basin;
    /// minus infinity where resin comes from below.
    pub dry_until: Vec<f32>,
}

impl Basins {
    /// How many of them are dry with the resin at `level`.
    pub fn dry_at(&self, level: f64) -> usize {
        self.pockets.iter().filter(|p| level < p.sill).count()
    }

    /// For each triangle true where what lies of it under `level` holds resin.
    pub fn wet_at(&self, level: f64) -> Vec<bool> {
        self.dry_until.iter().map(|sill| level >= *sill as f64).collect()
    }
}

/// Branches that hold none of `open` while another branch that meets them at the sill below does; where what is open lies
/// below a sill, all branches there but the largest, since that is the one it comes to first.
pub fn closed_off(join: &JoinTree, open: &[u32]) -> Vec<u32> {
    let holds = |branch: u32| open.iter().any(|o| join.subtree(branch).contains(o));
    let mut found = Vec::new();
    let mut to_walk: Vec<u32> = join.roots().filter(|r| holds(*r)).collect();
    while let Some(branch) = to_walk.pop() {
        let (with, without): (Vec<u32>, Vec<u32>) = join.children(branch).partition(|c| holds(*c));
        if with.is_empty() {
            let volume = |b: &u32| join.branches[*b as usize].volume;
            let largest = without.iter().copied().max_by(|a, b| volume(a).total_cmp(&volume(b)).then(b.cmp(a)));
            found.extend(without.into_iter().filter(|b| Some(*b) != largest));
        } else {
            found.extend(without);
            to_walk.extend(with);
        }
    }
    found.sort_unstable();
    found
}

/// Basins of the body without a gate, largest first: resin comes into them only over a sill, falling. `up` is up while
/// resin is poured; `gates` are where it comes in. Basins under `least_mm3` are left out.
///
/// The join tree of the body seen upside down: a component of what lies below a level is a basin.
///
/// # Errors
/// [`Cancelled`].
pub fn second_basins(
    body: &Body,
    level: &AirTree,
    gates: &[Mouth],
    least_mm3: f64,
    run: &Run,
) -> Result<Basins, Cancelled> {
    let Some(tree) = upside_down(body, level, run)? else { return Ok(Basins::default()) };
    let join = tree.tree();
    let open: Vec<u32> = gates.iter().filter_map(|g| tree.rim(g)).map(|rim| rim.branch).collect();
    let pocket = |b: u32| {
        let branch = &join.branches[b as usize];
        Pocket {
            volume_mm3: branch.volume,
            position: tree.summit_point(b),
            sill: -branch.bottom,
            depth_mm: branch.summit - branch.bottom,
        }
    };
    let is_told = |b: &u32| join.branches[*b as usize].volume >= least_mm3;
    let found: Vec<u32> = closed_off(join, &open).into_iter().filter(is_told).collect();
    let all: Vec<Piece> = found
        .iter()
        .map(|&branch| {
            let b = &join.branches[branch as usize];
            Piece { branch, level: b.bottom, volume_mm3: b.volume }
        })
        .collect();
    // A triangle's part under a sill is in one piece, so it belongs to one basin at most.
    let dry_until = tree.caught_levels(&all).into_iter().map(|down| -down).collect();
    Ok(Basins { pockets: largest_first(found.into_iter().map(pocket), least_mm3), dry_until })
}

/// The tree of the body seen upside down, where `level` is that with up up; none where the body is not closed.
///
/// # Errors
/// [`Cancelled`].
pub fn upside_down(body: &Body, level: &AirTree, run: &Run) -> Result<Option<AirTree>, Cancelled> {
    let down = -level.up();
    match level {
        AirTree::Exact(tree) => match AirTree::exact(&tree.surface, down, run) {
            Ok(tree) => Ok(Some(tree)),
            Err(NotClosed::Cancelled(c)) => Err(c),
            Err(_) => Ok(None),
        },
        AirTree::Cells(_) => {
            let winding = Winding::of(&body.mesh);
            AirTree::on_cells(&body.mesh, &body.tree, &winding, down, super::air_tree::CELLS, run).map(Some)
        }
    }
}

/// Smallest basin that is told, as a share of the body: set here.
const LEAST_BASIN: f64 = 0.005;

/// Smallest basin that is told, mm³.
pub fn least_basin_mm3(body: &Body, limits: &crate::shop::Limits) -> f64 {
    (LEAST_BASIN * body.measures.volume_mm3.abs()).max(limits.air_pocket_mm3)
}

/// The plan's gates as places where resin comes in.
pub fn gates_of(plan: &crate::plan::Plan, frames: &crate::study::job::frames::Frames) -> Vec<Mouth> {
    let gate = |g: &crate::plan::Gate| Mouth {
        of: MouthOf::Gate(g.number),
        centre: frames.spot_in_work(&g.at),
        normal: frames.normal_in_work(&g.at),
        diameter_mm: g.diameter_mm,
    };
    plan.feed.gates.iter().map(gate).collect()
}

/// Air that liquid rubber shuts in.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct RubberAir {
    /// All of it, mm³.
    pub total_mm3: f64,
    /// Each recess of `least_mm3` and more that keeps it, largest first.
    pub recesses: Vec<Pocket>,
    /// True where it was found on cells.
    pub on_cells: bool,
    /// Why the inserts' dummies could not be counted as part of the master; their sockets then read as recesses.
    pub without_inserts: Option<String>,
}

/// Air in recesses of the master that open downwards while rubber is poured with `up` up.
///
/// Inserts stand in the master as dummies, so they are added again. Rods are not: they only take room away.
///
/// # Errors
/// [`Cancelled`].
pub fn rubber_air(
    body: &Body,
    inserts: &[InsertShape],
    up: Vec3,
    least_mm3: f64,
    run: &Run,
) -> Result<RubberAir, Cancelled> {
    let outside = Outside::of(body, inserts, run)?;
    if outside.master.triangles.is_empty() {
        return Ok(RubberAir::default());
    }
    let exact = outside.recesses(up, run)?;
    let on_cells = exact.is_none();
    let recesses = match exact {
        Some(recesses) => recesses,
        None => outside.recesses_on_cells(up, run)?,
    };
    let recesses = largest_first(recesses.into_iter(), least_mm3);
    Ok(RubberAir {
        total_mm3: recesses.iter().fold(0.0, |sum, r| sum + r.volume_mm3),
        recesses,
        on_cells,
        without_inserts: outside.without_inserts,
    })
}

/// What lies outside a master, as far as rubber is poured round it: a box round it, less the master, as one closed surface.
/// What holds the top of the box is open.
#[derive(Debug)]
pub struct Outside {
    master: Arc<Mesh>,
    /// Corners of the box.
    corners: Vec<DVec3>,
    /// None where the master is not closed.
    surface: Option<Arc<ClosedSurface>>,
    without_inserts: Option<String>,
}

impl Outside {
    /// Of a master with the dummies of its inserts.
    ///
    /// # Errors
    /// [`Cancelled`].
    pub fn of(body: &Body, inserts: &[InsertShape], run: &Run) -> Result<Outside, Cancelled> {
        let dummies: Vec<&Mesh> = inserts.iter().map(|i| &i.solid).filter(|s| !s.triangles.is_empty()).collect();
        let mut without_inserts = None;
        let mut master = body.mesh.clone();
        if !dummies.is_empty() && body.trouble.is_none() {
            let all: Vec<&Mesh> = std::iter::once(&*body.mesh).chain(dummies).collect();
            match boolean::unite(&all) {
                Ok(whole) => master = Arc::new(whole),
                Err(e) => without_inserts = Some(e.to_string()),
            }
        }
        run.check()?;
        let bounds = master.bounds();
        let room = Vec3::splat(ROOM * bounds.diagonal() + 0.1);
        let mut outside = solids::cuboid(bounds.min - room, bounds.max + room);
        let corners: Vec<DVec3> = outside.positions.iter().map(|p| p.as_dvec3()).collect();
        let surface = if body.trouble.is_none() && !master.triangles.is_empty() {
            let mut hole = (*master).clone();
            hole.triangles.iter_mut().for_each(|t| t.swap(1, 2));
            outside.append(&hole);
            let tree = Arc::new(Tree::of(&outside));
            match ClosedSurface::new(Arc::new(outside), tree, run) {
                Ok(surface) => Some(Arc::new(surface)),
                Err(NotClosed::Cancelled(c)) => return Err(c),
                Err(_) => None,
            }
        } else {
            None
        };
        Ok(Outside { master, corners, surface, without_inserts })
    }

    /// Recesses of every size that keep air with `up` up, in no order; none where the master is not closed.
    ///
    /// # Errors
    /// [`Cancelled`].
    pub fn recesses(&self, up: Vec3, run: &Run) -> Result<Option<Vec<Pocket>>, Cancelled> {
        let Some(surface) = &self.surface else { return Ok(None) };
        match SurfaceTree::new(surface, up.as_dvec3(), run) {
            Ok(tree) => {
                let tree = AirTree::Exact(tree);
                Ok(Some(recesses(tree.tree(), |b| tree.summit_point(b))))
            }
            Err(NotClosed::Cancelled(c)) => Err(c),
            Err(_) => Ok(None),
        }
    }

    fn recesses_on_cells(&self, up: Vec3, run: &Run) -> Result<Vec<Pocket>, Cancelled> {
        let winding = Winding::of(&self.master);
        let inside = |p: DVec3| !winding.is_inside(p.as_vec3());
        let all_inside = |p: DVec3, r: f64| winding.all_inside(p.as_vec3(), r as f32).map(|is| !is);
        let (corners, cells) = (self.corners.iter().copied(), super::air_tree::CELLS);
        let tree = CellTree::new(corners, up.as_dvec3(), cells, inside, all_inside, run)?;
        Ok(recesses(&tree.tree, |b| tree.summit_point(b).as_vec3()))
    }
}

/// What is closed off from the highest summit of all, the top of the box.
fn recesses(join: &JoinTree, summit_point: impl Fn(u32) -> Vec3) -> Vec<Pocket> {
    let summit = |b: &u32| join.branches[*b as usize].summit;
    let leaves = (0..join.branches.len() as u32).filter(|b| join.is_leaf(*b));
    let Some(open) = leaves.max_by(|a, b| summit(a).total_cmp(&summit(b)).then(b.cmp(a))) else { return Vec::new() };
    let pocket = |b: u32| {
        let branch = &join.branches[b as usize];
        Pocket {
            volume_mm3: branch.volume,
            position: summit_point(b),
            sill: branch.bottom,
            depth_mm: branch.summit - branch.bottom,
        }
    };
    closed_off(join, &[open]).into_iter().map(pocket).collect()
}

fn largest_first(pockets: impl Iterator<Item = Pocket>, least_mm3: f64) -> Vec<Pocket> {
    let mut pockets: Vec<Pocket> = pockets.filter(|p| p.volume_mm3 >= least_mm3).collect();
    pockets.sort_by(|a, b| b.volume_mm3.total_cmp(&a.volume_mm3));
    pockets
}
