//! Closed meshes for files that hold places in single precision and no neighbours.
//!
//! A reader of such a file joins corners at equal places. A mesh that is closed by its indices may then be open to it: a film
//! or a slit thinner than single precision tells apart comes together, two bodies touch along an edge, a sliver loses its
//! area. Here such films are taken out, what touches is parted by a few units in the last place, and triangles in line are
//! flipped away, until every edge has exactly two triangles and every triangle an area.

use super::Mesh;
use super::measure::vertex_normals;
use super::topology::{Topology, split_fans};
use super::weld::rewelded;
use glam::{DVec3, Vec3};
use std::collections::{HashMap, HashSet};

/// Rounds after which what is left is told.
const ROUNDS: u32 = 40;
/// A triangle lower than this many units in the last place of its largest coordinate has no area to a reader that reckons in
/// single precision.
const LEAST_HEIGHT_ULPS: f64 = 2.0;
/// What touches is moved by so many units in the last place, more in each round.
const STEP_ULPS: f32 = 4.0;
/// An edge of a flat triangle shorter than this share of such a step is no edge: its ends are joined.
const SHORT_STEPS: f64 = 0.8;

/// A mesh that could not be made sound.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("it is not closed: {edges} edges do not have two faces, and {triangles} triangles have no area")]
pub struct Unsound {
    /// Edges that do not have exactly two triangles that run along it in opposite directions.
    pub edges: u32,
    /// Triangles without area.
    pub triangles: u32,
}

/// `mesh` with vertices at equal places joined, so that every edge has exactly two triangles, which run along it in opposite
/// directions, and no triangle is without area in single precision. Nothing moves by more than about a hundred units in the
/// last place of the largest coordinate.
///
/// # Errors
/// [`Unsound`]: it was not closed, or what touches could not be parted.
pub fn sound(mesh: &Mesh) -> Result<Mesh, Unsound> {
    let mut mesh = rewelded(mesh);
    let mut left = Unsound { edges: 0, triangles: 0 };
    let size = mesh.positions.iter().map(|p| p.abs().max_element()).fold(0.0, f32::max);
    for round in 0..ROUNDS {
        without_films(&mut mesh);
        let topology = Topology::of(&mesh);
        let flat: Vec<usize> = (0..mesh.triangles.len()).filter(|&t| is_flat(mesh.corners_f64(t))).collect();
        let edges = topology.open_edges + topology.inconsistent_edges + topology.non_manifold_edges;
        left = Unsound { edges, triangles: flat.len() as u32 };
        if topology.open_edges + topology.inconsistent_edges + topology.unpaired_edges > 0 || mesh.triangles.is_empty()
        {
            return Err(left);
        }
        let step = size * f32::EPSILON * STEP_ULPS * (1 + round / 8) as f32;
        if topology.non_manifold_edges > 0 {
            mesh = parted(&mesh, &topology, step);
        } else if !flat.is_empty() {
            flip(&mut mesh, &topology, &flat, step);
        } else {
            return Ok(mesh);
        }
        mesh = rewelded(&mesh);
    }
    // Low triangles that no turn helps are still triangles.
    let has_area = |t: usize| mesh.double_area_normal(t).length() > 0.0;
    if Topology::of(&mesh).is_closed() && (0..mesh.triangles.len()).all(has_area) { Ok(mesh) } else { Err(left) }
}

/// True where a triangle is lower than single precision tells from nothing.
fn is_flat([a, b, c]: [DVec3; 3]) -> bool {
    let longest = a.distance(b).max(b.distance(c)).max(c.distance(a));
    let size = a.abs().max(b.abs()).max(c.abs()).max_element();
    (b - a).cross(c - a).length() <= longest * size * f64::from(f32::EPSILON) * LEAST_HEIGHT_ULPS
}

/// Takes out pairs of triangles that lie on each other back to back: solid, or a slit, without any thickness.
fn without_films(mesh: &mut Mesh) {
    let turned = |t: [u32; 3]| {
        let first = (0..3).min_by_key(|&k| t[k]).unwrap_or(0);
        [t[first], t[(first + 1) % 3], t[(first + 2) % 3]]
    };
    let mut waiting: HashMap<[u32; 3], Vec<usize>> = HashMap::new();
    let mut gone = vec![false; mesh.triangles.len()];
    for (i, &t) in mesh.triangles.iter().enumerate() {
        let [a, b, c] = turned(t);
        match waiting.get_mut(&[a, c, b]).and_then(Vec::pop) {
            Some(other) => {
                gone[i] = true;
                gone[other] = true;
            }
            None => waiting.entry([a, b, c]).or_default().push(i),
        }
    }
    let mut gone = gone.into_iter();
    mesh.triangles.retain(|_| !gone.next().unwrap_or(false));
}

/// Vertices on edges with more than two triangles made one for each fan of triangles with solid between them, and each drawn
/// back a `step` into its own solid.
fn parted(mesh: &Mesh, topology: &Topology, step: f32) -> Mesh {
    let crowded: HashSet<u32> = topology.faulty.non_manifold.iter().flatten().copied().collect();
    let (mut split, original) = split_fans(mesh, topology);
    let normals = vertex_normals(&split);
    for (v, &was) in original.iter().enumerate() {
        if crowded.contains(&was) {
            // On a thin fan both sides cancel out; any way apart will do there.
            let normal = normals[v].normalize_or(Vec3::new(0.48, 0.6, 0.64) * if v as u32 == was { 1.0 } else { -1.0 });
            split.positions[v] -= normal * step;
        }
    }
    split
}

/// Takes the triangles in `flat` away: one with a short edge by joining its ends, another by turning its longest edge to the
/// corner across it; where that edge is there already, or would gain nothing, the corner is moved off by a `step`. Longest edges are turned first, so
/// that the triangles left have shorter ones and it comes to an end.
fn flip(mesh: &mut Mesh, topology: &Topology, flat: &[usize], step: f32) {
    let edge = |a: u32, b: u32| (a.min(b), a.max(b));
    let mut edges: HashSet<(u32, u32)> =
        mesh.triangles.iter().flat_map(|t| (0..3).map(|k| edge(t[k], t[(k + 1) % 3]))).collect();
    let length = |mesh: &Mesh, t: usize, k: usize| {
        let corners = mesh.corners_f64(t);
        corners[k].distance(corners[(k + 1) % 3])
    };
    let extreme = |mesh: &Mesh, t: usize, sign: f64| {
        let by = |k: &usize| sign * length(mesh, t, *k);
        (0..3).max_by(|i, j| by(i).total_cmp(&by(j))).unwrap_or(0)
    };
    let mut order: Vec<(f64, usize)> = flat.iter().map(|&t| (length(mesh, t, extreme(mesh, t, 1.0)), t)).collect();
    order.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
    let short = f64::from(step) * SHORT_STEPS;
    let mut touched = vec![false; mesh.triangles.len()];
    for (_, t) in order {
        if touched[t] {
            continue;
        }
        let shortest = extreme(mesh, t, -1.0);
        if length(mesh, t, shortest) <= short {
            touched[t] = true;
            let [a, b] = [mesh.triangles[t][shortest], mesh.triangles[t][(shortest + 1) % 3]];
            mesh.positions[b as usize] = mesh.positions[a as usize];
            continue;
        }
        let k = extreme(mesh, t, 1.0);
        let over = topology.neighbours[t][k];
        if over == Topology::NONE || touched[over as usize] {
            continue;
        }
        let over = over as usize;
        let [a, b, c] = [0, 1, 2].map(|i| mesh.triangles[t][(k + i) % 3]);
        let Some(d) = mesh.triangles[over].into_iter().find(|v| *v != a && *v != b) else { continue };
        touched[t] = true;
        touched[over] = true;
        // Turned into two of which one is flat again it would be turned back.
        let made = [[a, d, c], [d, b, c]].map(|t| t.map(|v| mesh.positions[v as usize].as_dvec3()));
        let gains = is_flat(mesh.corners_f64(over)) || !made.into_iter().any(is_flat);
        if c != d && gains && edges.insert(edge(c, d)) {
            edges.remove(&edge(a, b));
            mesh.triangles[t] = [a, d, c];
            mesh.triangles[over] = [d, b, c];
        } else {
            let [from, to, apex] = [a, b, d].map(|v| mesh.positions[v as usize]);
            let along = (to - from).normalize_or(Vec3::X);
            let off = (apex - from) - along * (apex - from).dot(along);
            mesh.positions[c as usize] -= off.normalize_or(along.any_orthonormal_vector()) * step;
        }
    }
}
