//! How resin fills the cavity: in what order, how long it takes, what stays empty, and what helps.
//!
//! The body of resin is sampled with cells, four across its typical thin wall, as far as a budget of cells allows. Gates
//! feed it through their runners from the cup, kept half full; vents let air out and fill with resin after it. See
//! [`front`] for how the front moves and [`crate::solve::creep`] for what the cells conduct.

pub mod asked;
pub mod closed_round;
pub mod drive;
pub mod filled;
pub mod fineness;
pub mod finer;
pub mod front;
pub mod gas;
mod of_plan;
pub mod places;
pub mod verdict;
pub mod viscosity;

pub use asked::{Mouth, Pour};
use closed_round::closed_round;
pub use closed_round::{ClosedRound, OPEN_AIR_PA};
pub use filled::{Fill, Picture};

use crate::mesh::Mesh;
use crate::mesh::measure::Measures;
use crate::mesh::tree::Tree;
use crate::solve::cell_field::CellField;
use crate::solve::cells::{Cells, CellsError};
use crate::solve::creep::Creep;
use crate::solve::run::Run;
use crate::solve::torsion::Sides;
use crate::study::job::thickness::Thickness;
use crate::study::pour::flow::{ACROSS, FlowError};
use drive::Drive;
use front::{End, Front};
use glam::Vec3;

/// Share of the surface that is thinner than the typical thin wall.
const TYPICAL_SHARE: f32 = 0.1;
/// Cells along the longest way through the box at least.
const LEAST_ALONG: f64 = 32.0;
/// Steps between two pictures of a fill under way.
const STEPS_A_PICTURE: usize = 10;

/// The fill of the cavity `mesh`, ONE closed mesh in `work`, whose tree and walls are given. `watch` is shown pictures.
///
/// # Errors
/// [`FlowError::Cells`] where the mesh is not closed or has no extent.
pub fn fill(
    mesh: &Mesh,
    tree: &Tree,
    thickness: &Thickness,
    pour: &Pour,
    run: &Run,
    mut watch: impl FnMut(Picture),
) -> Result<Fill, FlowError> {
    let volume = Measures::of(mesh).volume_mm3.abs();
    let coarsest = mesh.bounds().diagonal() as f64 / LEAST_ALONG;
    let wall_mm = thickness.quantile(TYPICAL_SHARE).map_or(ACROSS * coarsest, |w| w.thickness_mm as f64);
    let cell_mm = (wall_mm / pour.fineness.across).min(coarsest).max((volume / pour.fineness.cell_budget).cbrt());
    let across = wall_mm / cell_mm;
    let cells = Cells::fill(mesh, cell_mm, run)?;
    if cells.is_empty() {
        return Err(FlowError::Cells(CellsError::NoExtent));
    }
    let of_point = |p: Vec3| {
        let inside = |m: &Mouth| m.centre.distance(p) <= m.radius_mm;
        pour.mouths.iter().position(inside).map(|i| i as u16)
    };
    let mut sides = Sides::of(&cells, tree, of_point, run)?;
    for (i, mouth) in pour.mouths.iter().enumerate() {
        // What ends in rubber stays shut.
        if mouth.radius_mm > 0.0 && !sides.has_opening(i as u16) {
            sides.lay_opening(&cells, i as u16, mouth.centre, mouth.radius_mm + 2.0 * cell_mm as f32);
        }
    }
    run.progress(0.02);
    let creep = Creep::with_sides(cells, &sides, volume, run)?;
    run.progress(0.05);
    let so_far = |front: &Front| CellField::new(front.creep().cells.clone(), front.filled_at.clone());
    // It ends with the first of the two: where the mix sets at either temperature, the fill is not sure to be whole.
    let drive = Drive { until: pour.cup.until().min(pour.mould.until()), ..pour.drive.clone() };
    let weight_pa_mm = drive.weight_pa_mm;
    let mut front = Front::new(creep, drive);
    let mut steps = 0;
    let end = front.run(run, |front| {
        let share = front.filled_mm3() / volume;
        run.progress(0.05 + 0.9 * share as f32);
        if steps % STEPS_A_PICTURE == 0 {
            watch(Picture { filled_at: so_far(front), now: front.now, cup: pour.cup, filled_share: share });
        }
        steps += 1;
    })?;
    let filled_share = (front.filled_mm3() / volume).min(1.0);
    let closed = closed_round(&front);
    let last = match end {
        End::Full => places::last_places(&front, mesh.bounds().diagonal()),
        End::Still => places::empty_places(&front),
    };
    let knit = places::knit_lines(&front, run)?;
    let verdict = verdict::judge(&front, end, pour, &closed, filled_share, weight_pa_mm);
    let end_at = front.ended_at();
    if front.is_shut() {
        front.fill_outlets(run)?;
    }
    run.progress(1.0);
    Ok(Fill {
        cell_mm,
        cells: front.creep().cells.len(),
        across,
        expected_error: fineness::expected_error(across),
        filled_share,
        end_at,
        cup: pour.cup,
        mould: pour.mould,
        filled_at: so_far(&front),
        last,
        knit,
        closed,
        shown_at: front.shown_at.clone(),
        verdict,
        bubble_limit_mm: pour.bubble_mm,
    })
}
