//! What the soft part's tool is poured round: hard and soft part as one closed mesh.
//!
//! Two meshes of one surface leave slits between their facets where they touch. Rubber would not enter them, but the union
//! has them, as tunnels through the part where the contact is open on both sides. So what touches of the soft part is
//! pushed into the hard one, deeper than any slit, before both are united. At its lip the soft part's outer face is led on
//! into the hard part by that, and the line where both surfaces meet stays where it is.

use super::faceted::Faceted;
use super::near::Near;
use super::sample::over;
use crate::mesh::Mesh;
use crate::mesh::boolean::{BooleanError, unite};
use crate::mesh::measure::Measures;
use crate::mesh::refine::refine_unless;
use crate::mesh::topology::Topology;
use crate::solve::run::{Cancelled, Run};
use glam::Vec3;
use rayon::prelude::*;

/// Edge of the refined soft part as a share of its diagonal, and its bounds, millimetres: set here.
const EDGE_SHARE: f32 = 0.02;
const EDGE_MM: (f32, f32) = (0.5, 4.0);
/// Triangles that the refinement may add.
const MORE: usize = 60_000;
/// How far from its corners towards its middle a triangle is looked at.
const OFF_CORNER: f32 = 0.05;
/// How far beyond the tolerance the soft part is pushed in, millimetres: set here.
const DEEPER_MM: f64 = 0.02;

/// The union of `hard` and `soft` without slits between them.
///
/// # Errors
/// The outer [`Cancelled`] where the run was, the inner one where they could not be united.
pub fn joined(hard: &Faceted, soft: &Faceted, near: Near, run: &Run) -> Result<Result<Mesh, BooleanError>, Cancelled> {
    run.check()?;
    let edge = (soft.mesh.bounds().diagonal() * EDGE_SHARE).clamp(EDGE_MM.0, EDGE_MM.1);
    let budget = soft.mesh.triangles.len() + MORE;
    let Some(refined) = refine_unless(soft.mesh, edge, budget, || run.is_cancelled()) else {
        return Err(Cancelled);
    };
    let mut mesh = refined.mesh;
    // At each corner of each triangle what counts as touching, where it lies on the hard part.
    let touching: Vec<[Option<f64>; 3]> = (0..mesh.triangles.len())
        .into_par_iter()
        .map(|t| {
            let corners = mesh.corners(t);
            let middle = (corners[0] + corners[1] + corners[2]) / 3.0;
            let chord = f64::from(soft.chord_mm[refined.parent[t] as usize]);
            corners.map(|c| {
                let found = over(hard, c.lerp(middle, OFF_CORNER), mesh.unit_normal(t), chord, near);
                found.state.is_covered().then_some(found.tolerance_mm)
            })
        })
        .collect();
    run.check()?;
    // Square to the faces that touch, whatever other face ends at the vertex.
    let mut push: Vec<(Vec3, f64)> = vec![(Vec3::ZERO, 0.0); mesh.positions.len()];
    for (t, touching) in touching.iter().enumerate() {
        for (v, tolerance_mm) in mesh.triangles[t].iter().zip(touching) {
            let Some(tolerance_mm) = tolerance_mm else { continue };
            let (along, by) = &mut push[*v as usize];
            *along += mesh.double_area_normal(t);
            *by = f64::max(*by, 2.0 * tolerance_mm + DEEPER_MM);
        }
    }
    for (p, (along, by)) in mesh.positions.iter_mut().zip(push) {
        *p += along.normalize_or_zero() * by as f32;
    }
    let made = unite(&[hard.mesh, &mesh]);
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
