//! Both halves of the block as closed meshes.
//!
//! The space above the cut is the body's surface of half 1 turned round, the cut, and a roof far beyond the block; the one
//! below likewise. Both hold the very same triangles of the cut. The block clips them; channels and pockets are taken out.

use super::block_box::BlockBox;
use super::surface::CutSurface;
use super::{CutError, Step};
use crate::mesh::Mesh;
use crate::mesh::boolean::{intersect, subtract};
use crate::plan::Half;
use crate::solve::run::Run;

/// How far the roof lies beyond the block, millimetres.
const ROOF_MM: f64 = 20.0;

/// The space on one side of the cut as a closed mesh in `work`, wider than the block.
pub fn space(cut: &CutSurface, half: Half, block: &BlockBox) -> Mesh {
    let frame = &cut.frame;
    let heights = block.corners().map(|c| (c - frame.origin).dot(frame.w));
    let sheet = cut.corners.map(|c| frame.local(cut.positions[c as usize]));
    let all = || heights.iter().copied().chain(sheet.iter().map(|p| p.z));
    let roof = match half {
        Half::One => all().fold(f64::NEG_INFINITY, f64::max) + ROOF_MM,
        Half::Two => all().fold(f64::INFINITY, f64::min) - ROOF_MM,
    };
    let mut positions = cut.positions.clone();
    let base = positions.len() as u32;
    positions.extend(sheet.map(|p| frame.work(p.truncate().extend(roof))));
    let body = &cut.border;
    let mut triangles: Vec<[u32; 3]> = body
        .mesh
        .triangles
        .iter()
        .zip(&body.halves)
        .filter(|(_, h)| **h == half)
        .map(|(&[a, b, c], _)| [a, c, b])
        .collect();
    let up = half == Half::Two;
    triangles.extend(cut.triangles.iter().map(|&[a, b, c]| if up { [a, b, c] } else { [a, c, b] }));
    for i in 0..4u32 {
        let j = (i + 1) % 4;
        let (a, b, c, d) = (cut.corners[i as usize], cut.corners[j as usize], base + j, base + i);
        triangles.extend(if up { [[b, a, d], [b, d, c]] } else { [[a, b, c], [a, c, d]] });
    }
    let [a, b, c, d] = [base, base + 1, base + 2, base + 3];
    triangles.extend(if up { [[a, d, c], [a, c, b]] } else { [[a, b, c], [a, c, d]] });
    compact(Mesh { positions, triangles })
}

/// Only the vertices that triangles use.
fn compact(mesh: Mesh) -> Mesh {
    let mut number = vec![u32::MAX; mesh.positions.len()];
    let mut positions = Vec::new();
    let triangles = mesh
        .triangles
        .iter()
        .map(|t| {
            t.map(|v| {
                let n = &mut number[v as usize];
                if *n == u32::MAX {
                    *n = positions.len() as u32;
                    positions.push(mesh.positions[v as usize]);
                }
                *n
            })
        })
        .collect();
    Mesh { positions, triangles }
}

/// One half of the block: the space on its side inside the block, `hollows` taken out.
///
/// # Errors
/// [`CutError::Broken`] where the result is not one closed mesh.
pub fn half(cut: &CutSurface, which: Half, block: &BlockBox, hollows: &[&Mesh], run: &Run) -> Result<Mesh, CutError> {
    let broken = |step: Step| {
        move |e: crate::mesh::boolean::BooleanError| CutError::Broken { half: which, step, why: e.to_string() }
    };
    let whole = space(cut, which, block);
    run.check()?;
    let clipped = intersect(&whole, &block.mesh()).map_err(broken(Step::Clip))?;
    run.check()?;
    if hollows.is_empty() {
        return Ok(clipped);
    }
    subtract(&clipped, hollows).map_err(broken(Step::Hollow))
}
