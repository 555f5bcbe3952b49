//! How resin fills the cavity: in what order, how long it takes, what stays empty, and what helps.
//!
//! The body of resin is sampled with cells, four across its typical thin wall, as far as a budget of cells allows. Gates
//! feed it through their runners from the cup, kept half full; vents let air out and fill with resin after it. See
//! [`front`] for how the front moves and [`crate::solve::creep`] for what the cells conduct.

pub mod drive;
pub mod fineness;
pub mod front;
pub mod gas;
mod of_plan;
pub mod places;
pub mod verdict;
pub mod viscosity;

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
use fineness::Fineness;
use front::{End, Front};
use glam::Vec3;
use places::{Knit, Last};
use verdict::Verdict;
use viscosity::Pace;

/// Share of the surface that is thinner than the typical thin wall.
const TYPICAL_SHARE: f32 = 0.1;
/// Cells along the longest way through the box at least.
const LEAST_ALONG: f64 = 32.0;
/// Pressure of the open air, Pa (ISO 2533).
pub const OPEN_AIR_PA: f64 = 101_325.0;
/// Steps between two pictures of a fill under way.
const STEPS_A_PICTURE: usize = 10;

/// An opening in the wall of the cavity.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mouth {
    /// Its middle, in `work`.
    pub centre: Vec3,
    /// Its radius, mm; nothing where the channel ends in rubber.
    pub radius_mm: f32,
}

/// All that a fill depends on beside the cavity.
#[derive(Clone, Debug, PartialEq)]
pub struct Pour {
    /// Openings by number: first those of the inlets, then those of the outlets.
    pub mouths: Vec<Mouth>,
    /// What drives the front; `until` is set from the paces.
    pub drive: Drive,
    /// The mix at the temperature of the cup.
    pub cup: Pace,
    /// The mix at the temperature of the mould.
    pub mould: Pace,
    /// How fine its cells are.
    pub fineness: Fineness,
    /// Smallest bubble after let-up that is a fault, diameter in mm.
    pub bubble_mm: f64,
}

impl Pour {
    /// True where the other pour is the same, however fine its cells are.
    pub fn is_the_same(&self, other: &Pour) -> bool {
        Pour { fineness: other.fineness, ..self.clone() } == *other
    }
}

/// Gas that resin closed round.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ClosedRound {
    /// A place in it, in `work`.
    pub position: Vec3,
    /// Its volume at the end of the pour, mm³.
    pub volume_mm3: f64,
    /// What is left of it once the chamber is let up, mm³.
    pub after_let_up_mm3: f64,
}

/// How the cavity fills.
#[derive(Clone, Debug, PartialEq)]
pub struct Fill {
    /// Edge of the cells, mm.
    pub cell_mm: f64,
    /// Number of cells.
    pub cells: usize,
    /// Cells across the typical thin wall.
    pub across: f64,
    /// Error of the times to be expected from the cells, as a share.
    pub expected_error: f64,
    /// Share of the cavity that is full at the end of the pour.
    pub filled_share: f64,
    /// ∫dt/μ at the end of the pour, 1/Pa.
    pub end_at: f64,
    /// The mix at the temperature of the cup.
    pub cup: Pace,
    /// The mix at the temperature of the mould.
    pub mould: Pace,
    /// ∫dt/μ when every cell was full, 1/Pa; infinite where resin does not come.
    pub filled_at: CellField,
    /// The last places to fill, the very last one first.
    pub last: Vec<Last>,
    /// Where fronts meet, longest first.
    pub knit: Vec<Knit>,
    /// Gas that resin closed round, largest first.
    pub closed: Vec<ClosedRound>,
    /// ∫dt/μ when resin shows at the top of each outlet's channel.
    pub shown_at: Vec<Option<f64>>,
    /// What it comes to.
    pub verdict: Verdict,
    /// Smallest bubble after let-up that is a fault, diameter in mm.
    pub bubble_limit_mm: f64,
}

impl Fill {
    /// Seconds after the pour began, at the temperature of the cup, that belong to a value of ∫dt/μ.
    pub fn seconds(&self, at: f32) -> f32 {
        self.cup.seconds(at as f64) as f32
    }

    /// Seconds that the pour takes at the temperature of the cup.
    pub fn time_s(&self) -> f64 {
        self.cup.seconds(self.end_at)
    }

    /// Gas closed round at the end of the pour, mm³.
    pub fn closed_round_mm3(&self) -> f64 {
        self.closed.iter().map(|c| c.volume_mm3).fold(0.0, |a, b| a + b)
    }

    /// The same after the chamber was let up, mm³.
    pub fn after_let_up_mm3(&self) -> f64 {
        self.closed.iter().map(|c| c.after_let_up_mm3).fold(0.0, |a, b| a + b)
    }
}

/// A picture of a fill under way.
#[derive(Clone, Debug, PartialEq)]
pub struct Picture {
    /// As [`Fill::filled_at`], so far.
    pub filled_at: CellField,
    /// ∫dt/μ now, 1/Pa.
    pub now: f64,
    /// The mix at the temperature of the cup.
    pub cup: Pace,
    /// Share of the cavity that is full.
    pub filled_share: f64,
}

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

/// What resin closed round, followed to the end of the pour and then squeezed by the open air (Boyle).
fn closed_round(front: &Front) -> Vec<ClosedRound> {
    let centre = |c: u32| front.creep().cells.centre(c);
    let standing = front.regions().iter().filter(|r| !r.open && r.gas_pa_mm3 > 0.0).map(|r| ClosedRound {
        position: centre(r.cell),
        volume_mm3: r.void_mm3,
        after_let_up_mm3: (r.gas_pa_mm3 / OPEN_AIR_PA).min(r.void_mm3),
    });
    let squeezed = front.closed.iter().map(|c| ClosedRound {
        position: centre(c.cell),
        volume_mm3: c.void_mm3,
        after_let_up_mm3: c.gas_pa_mm3 / OPEN_AIR_PA,
    });
    let mut all: Vec<ClosedRound> = standing.chain(squeezed).collect();
    all.sort_by(|a, b| b.after_let_up_mm3.total_cmp(&a.after_let_up_mm3));
    all
}
