//! Union and difference of closed meshes, by a maintained library, each result checked.
//!
//! The library is `manifold-rust`: an exact engine for clean meshes and one on rational arithmetic for meshes that cross
//! themselves; which of them is needed it decides itself. A result is given out only if it is closed and its volume lies
//! within the bounds that set algebra gives.

use super::Mesh;
use super::measure::Measures;
use super::topology::Topology;
use glam::Vec3;
use manifold_rust::manifold::Manifold;
use manifold_rust::types::{BooleanEngine, Error, MeshGL64, OpType, WindingRule};
use std::panic::{AssertUnwindSafe, catch_unwind};

/// Slack of the volume bounds, as a share of the volumes that went in: positions are rounded to `f32`.
const VOLUME_SLACK: f64 = 1e-5;

/// Why bodies could not be united or subtracted.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum BooleanError {
    /// There was nothing to work on.
    #[error("there is no body to unite")]
    Nothing,
    /// A mesh that went in is not closed.
    #[error("a body is not closed: {open} open and {faulty} faulty edges")]
    NotClosed {
        /// Edges with one triangle.
        open: u32,
        /// Edges with more than two, or wound inconsistently.
        faulty: u32,
    },
    /// The library could not do it.
    #[error("the bodies could not be united ({0})")]
    Library(String),
    /// The result is not closed.
    #[error("the united body is not closed")]
    ResultOpen,
    /// The result's volume cannot be right.
    #[error("the united body has {found:.3} mm³, which must lie between {low:.3} and {high:.3} mm³")]
    Volume {
        /// Volume of the result, mm³.
        found: f64,
        /// Least volume that it can have.
        low: f64,
        /// Greatest volume that it can have.
        high: f64,
    },
    /// Nothing is left.
    #[error("nothing is left of the body")]
    Empty,
}

/// The union of closed meshes as one closed mesh. A lone mesh is given back as it is.
///
/// Each mesh must itself be free of overlapping bodies, see [`unite_bodies`].
///
/// # Errors
/// [`BooleanError`]; no input makes it panic.
pub fn unite(meshes: &[&Mesh]) -> Result<Mesh, BooleanError> {
    let (first, others) = meshes.split_first().ok_or(BooleanError::Nothing)?;
    closed(first)?;
    if others.is_empty() {
        return Ok((*first).clone());
    }
    for mesh in others {
        closed(mesh)?;
    }
    let volumes: Vec<f64> = meshes.iter().map(|m| Measures::of(m).volume_mm3).collect();
    let (sum, most) = (volumes.iter().sum::<f64>(), volumes.iter().copied().fold(0.0, f64::max));
    let made = guarded(|| {
        // Small ones first with each other: the large one is then swept once.
        let large = to_library(first);
        together(others).map_or(large.clone(), |s| large.boolean_with_engine(&s, OpType::Add, AUTO))
    })?;
    checked(&made, most, sum, sum)
}

/// What is left of closed `mesh` when the closed `cutters` are taken out.
///
/// # Errors
/// [`BooleanError`]; no input makes it panic.
pub fn subtract(mesh: &Mesh, cutters: &[&Mesh]) -> Result<Mesh, BooleanError> {
    closed(mesh)?;
    for cutter in cutters {
        closed(cutter)?;
    }
    let whole = Measures::of(mesh).volume_mm3;
    let taken: f64 = cutters.iter().map(|c| Measures::of(c).volume_mm3).sum();
    let made = guarded(|| {
        let whole = to_library(mesh);
        // Cutters first with each other: the large mesh is then swept once.
        together(cutters).map_or(whole.clone(), |c| whole.boolean_with_engine(&c, OpType::Subtract, AUTO))
    })?;
    checked(&made, whole - taken, whole, whole + taken)
}

/// What is left of closed `mesh` when the closed `cutters` are taken out, and what they take out of it; no triangles
/// where they take nothing.
///
/// # Errors
/// [`BooleanError`], also where what is left and what is taken do not add up; no input makes it panic.
pub fn part(mesh: &Mesh, cutters: &[&Mesh]) -> Result<(Mesh, Mesh), BooleanError> {
    closed(mesh)?;
    for cutter in cutters {
        closed(cutter)?;
    }
    let whole = Measures::of(mesh).volume_mm3;
    let most: f64 = cutters.iter().map(|c| Measures::of(c).volume_mm3).sum();
    if cutters.is_empty() {
        return Err(BooleanError::Nothing);
    }
    let large = guarded(|| to_library(mesh))?;
    let cutter = guarded(|| together(cutters).unwrap_or_else(Manifold::empty))?;
    let by = |op| guarded(|| large.boolean_with_engine(&cutter, op, AUTO));
    let rest = checked(&by(OpType::Subtract)?, whole - most, whole, whole + most)?;
    let taken = match checked(&by(OpType::Intersect)?, 0.0, whole.min(most), whole + most) {
        Err(BooleanError::Empty) => Mesh::default(),
        other => other?,
    };
    let found = Measures::of(&rest).volume_mm3 + Measures::of(&taken).volume_mm3;
    let slack = (whole + most) * VOLUME_SLACK;
    if (found - whole).abs() > slack {
        return Err(BooleanError::Volume { found, low: whole - slack, high: whole + slack });
    }
    Ok((rest, taken))
}

/// The union of some meshes in the library; none of no mesh.
fn together(meshes: &[&Mesh]) -> Option<Manifold> {
    meshes.iter().map(|m| to_library(m)).reduce(|a, b| a.boolean_with_engine(&b, OpType::Add, AUTO))
}

/// What two closed meshes have in common.
///
/// # Errors
/// [`BooleanError`]; no input makes it panic.
pub fn intersect(one: &Mesh, other: &Mesh) -> Result<Mesh, BooleanError> {
    closed(one)?;
    closed(other)?;
    let least = Measures::of(one).volume_mm3.min(Measures::of(other).volume_mm3);
    let made = guarded(|| to_library(one).boolean_with_engine(&to_library(other), OpType::Intersect, AUTO))?;
    checked(&made, 0.0, least, least)
}

/// One closed mesh of a closed mesh whose bodies overlap, touch or cross themselves: solid is where the winding number is
/// at least one, so bodies turned inside out inside others stay the voids that they are.
///
/// # Errors
/// [`BooleanError`]; no input makes it panic.
pub fn unite_bodies(mesh: &Mesh) -> Result<Mesh, BooleanError> {
    let topology = closed(mesh)?;
    let volumes: Vec<f64> =
        Measures::of_groups(mesh, &topology.body_of_triangle, topology.bodies).iter().map(|m| m.volume_mm3).collect();
    let solid: f64 = volumes.iter().filter(|v| **v > 0.0).sum();
    let void: f64 = -volumes.iter().filter(|v| **v < 0.0).sum::<f64>();
    let most = volumes.iter().copied().fold(0.0, f64::max);
    let made = guarded(|| Manifold::from_mesh_gl64_robust(&gl_of(mesh)).rebuild_solid(WindingRule::Positive))?;
    checked(&made, most - void, solid, solid)
}

/// True where the surface of closed `mesh` crosses itself or bodies of it cross.
pub fn crosses_itself(mesh: &Mesh) -> bool {
    catch_unwind(AssertUnwindSafe(|| Manifold::from_mesh_gl64_robust(&gl_of(mesh)).has_self_intersections()))
        .unwrap_or(true)
}

const AUTO: BooleanEngine = BooleanEngine::Auto;

/// The topology of `mesh`, or why it is not closed.
fn closed(mesh: &Mesh) -> Result<Topology, BooleanError> {
    if mesh.triangles.is_empty() {
        return Err(BooleanError::Nothing);
    }
    let topology = Topology::of(mesh);
    if topology.open_edges > 0 || topology.inconsistent_edges > 0 {
        return Err(BooleanError::NotClosed { open: topology.open_edges, faulty: topology.inconsistent_edges });
    }
    Ok(topology)
}

fn gl_of(mesh: &Mesh) -> MeshGL64 {
    MeshGL64 {
        num_prop: 3,
        vert_properties: mesh.positions.iter().flat_map(|p| p.as_dvec3().to_array()).collect(),
        tri_verts: mesh.triangles.iter().flat_map(|t| t.map(u64::from)).collect(),
        ..MeshGL64::default()
    }
}

/// Clean meshes go to the exact engine; what it does not take is read as a soup of triangles.
fn to_library(mesh: &Mesh) -> Manifold {
    Manifold::from_mesh_gl64_robust(&gl_of(mesh))
}

/// Runs the library on a person's mesh: a panic in it must not take the program down.
fn guarded(work: impl FnOnce() -> Manifold) -> Result<Manifold, BooleanError> {
    let made = catch_unwind(AssertUnwindSafe(work))
        .map_err(|_| BooleanError::Library("the method broke down on this shape".to_owned()))?;
    match made.status() {
        Error::NoError => Ok(made),
        other => Err(BooleanError::Library(format!("{other:?}"))),
    }
}

/// The mesh of `made` if it is closed and its volume lies between `low` and `high`; `scale` sets the slack.
fn checked(made: &Manifold, low: f64, high: f64, scale: f64) -> Result<Mesh, BooleanError> {
    let gl = made.get_mesh_gl64(-1);
    let stride = gl.num_prop as usize;
    if stride < 3 || gl.tri_verts.is_empty() {
        return Err(BooleanError::Empty);
    }
    let at = |v: &[f64]| Vec3::new(v[0] as f32, v[1] as f32, v[2] as f32);
    let positions: Vec<Vec3> = gl.vert_properties.chunks_exact(stride).map(at).collect();
    let triangles = gl.tri_verts.chunks_exact(3).map(|t| [t[0] as u32, t[1] as u32, t[2] as u32]).collect();
    let mesh = Mesh { positions, triangles };
    let topology = Topology::of(&mesh);
    if topology.open_edges > 0 || topology.inconsistent_edges > 0 {
        return Err(BooleanError::ResultOpen);
    }
    let found = Measures::of(&mesh).volume_mm3;
    let slack = scale.abs() * VOLUME_SLACK;
    if found < low - slack || found > high + slack {
        return Err(BooleanError::Volume { found, low, high });
    }
    Ok(mesh)
}
