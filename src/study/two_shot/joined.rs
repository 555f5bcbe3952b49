//! What the soft part's tool is poured round: hard and soft part as one closed mesh.
//!
//! Two meshes of one curved surface leave slits between their facets where they touch. Rubber would not enter them, but the
//! union has them, as tunnels through the part where the contact is open on both sides. So the hard part is refined and
//! what the soft part covers of it is pushed into the soft part, deeper than any slit, before both are united.

use super::Near;
use super::faceted::Faceted;
use super::sample::over;
use crate::mesh::Mesh;
use crate::mesh::boolean::{BooleanError, unite};
use crate::mesh::measure::{Measures, vertex_normals};
use crate::mesh::refine::refine_unless;
use crate::mesh::topology::Topology;
use crate::solve::run::{Cancelled, Run};
use rayon::prelude::*;

/// Edge of the refined hard part as a share of its diagonal, and its bounds, millimetres: set here.
const EDGE_SHARE: f32 = 0.02;
const EDGE_MM: (f32, f32) = (0.5, 4.0);
/// Triangles that the refinement may add.
const MORE: usize = 60_000;
/// How far beyond the tolerance covered surface is pushed in, millimetres: set here.
const DEEPER_MM: f64 = 0.02;

/// The union of `hard` and `soft` without slits between them.
///
/// # Errors
/// The outer [`Cancelled`] where the run was, the inner one where they could not be united.
pub fn joined(hard: &Faceted, soft: &Faceted, near: Near, run: &Run) -> Result<Result<Mesh, BooleanError>, Cancelled> {
    run.check()?;
    let edge = (hard.mesh.bounds().diagonal() * EDGE_SHARE).clamp(EDGE_MM.0, EDGE_MM.1);
    let budget = hard.mesh.triangles.len() + MORE;
    let Some(refined) = refine_unless(hard.mesh, edge, budget, || run.is_cancelled()) else {
        return Err(Cancelled);
    };
    let mut mesh = refined.mesh;
    // What counts as touching where a triangle is covered; none where it is bare.
    let covered: Vec<Option<f64>> = (0..mesh.triangles.len())
        .into_par_iter()
        .map(|t| {
            let [a, b, c] = mesh.corners(t);
            let chord = f64::from(hard.chord_mm[refined.parent[t] as usize]);
            let found = over(soft, (a + b + c) / 3.0, mesh.unit_normal(t), chord, near);
            found.state.is_covered().then_some(found.tolerance_mm)
        })
        .collect();
    run.check()?;
    let mut push_mm: Vec<Option<f64>> = vec![Some(0.0); mesh.positions.len()];
    for (t, covered) in mesh.triangles.iter().zip(&covered) {
        for v in t {
            let here = &mut push_mm[*v as usize];
            *here = here.zip(*covered).map(|(a, tolerance)| a.max(2.0 * tolerance + DEEPER_MM));
        }
    }
    let normals = vertex_normals(&mesh);
    for ((p, normal), push) in mesh.positions.iter_mut().zip(&normals).zip(&push_mm) {
        *p += *normal * push.unwrap_or(0.0) as f32;
    }
    let made = unite(&[soft.mesh, &mesh]);
    run.check()?;
    Ok(made.map(|one| without_slits(one, near.gap_mm)))
}

/// `mesh` without voids thinner than `thin_mm`.
fn without_slits(mesh: Mesh, thin_mm: f64) -> Mesh {
    let topology = Topology::of(&mesh);
    let bodies = Measures::of_groups(&mesh, &topology.body_of_triangle, topology.bodies);
    let slit = |m: &Measures| m.volume_mm3 <= 0.0 && 2.0 * m.volume_mm3.abs() < thin_mm * m.area_mm2;
    if !bodies.iter().any(slit) {
        return mesh;
    }
    let kept = mesh.triangles.iter().zip(&topology.body_of_triangle).filter(|(_, b)| !slit(&bodies[**b as usize]));
    // Vertices are numbered anew, not welded: bodies that touch stay as they are.
    let mut number = vec![u32::MAX; mesh.positions.len()];
    let mut whole = Mesh::default();
    for (t, _) in kept {
        let corners = t.map(|v| {
            let new = &mut number[v as usize];
            if *new == u32::MAX {
                *new = whole.positions.len() as u32;
                whole.positions.push(mesh.positions[v as usize]);
            }
            *new
        });
        whole.triangles.push(corners);
    }
    whole
}
