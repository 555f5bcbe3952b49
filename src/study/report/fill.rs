//! The fill in the report.

use crate::plan::Plan;
use crate::study::bench::Facts;
use crate::study::pour::fill::Fill;
use crate::study::pour::fill::finer::Finer;
use crate::study::pour::fill::verdict::{Outcome, lever_words};
use glam::Vec3;
use serde::Serialize;

/// How the cavity fills; there where it was asked for.
#[derive(Clone, Debug, Serialize)]
pub struct FillReport {
    /// Seconds that the pour takes at the temperature at which the resin's figures are stated; none where it never ends.
    pub time_s: Option<f64>,
    /// The same at the temperature of the mould.
    pub time_in_warm_mould_s: Option<f64>,
    /// The last places to fill, or those that stay empty.
    pub last_points_mm: Vec<[f64; 3]>,
    /// Gas that resin closed round at the end of the pour.
    pub closed_round_mm3: f64,
    /// What is left of it once the chamber is let up.
    pub after_let_up_mm3: f64,
    /// Each region of such gas.
    pub closed_round: Vec<ClosedRoundReport>,
    /// Where fronts meet head on.
    pub knit_lines: Vec<KnitReport>,
    /// When resin shows at the top of each vent.
    pub vents_show: Vec<ShowReport>,
    /// What it comes to.
    pub verdict: Outcome,
    /// What helps most, in words; none where all is well.
    pub lever: Option<String>,
    /// Share of the pot life that is over at the end, the worse of both temperatures.
    pub pot_life_share: Option<f64>,
    /// The pour, and the letting up of the chamber.
    pub stages: Vec<StageReport>,
    /// Edge of the cells.
    pub cell_mm: f64,
    /// Cells across the typical thin wall.
    pub cells_across: f64,
    /// Number of cells.
    pub cells: usize,
    /// Error of the times to be expected from the cells, as a share.
    pub expected_error: f64,
    /// What finer cells would take and give; none where they would gain little.
    pub finer: Option<FinerReport>,
}

/// A fill on finer cells.
#[derive(Clone, Debug, Serialize)]
pub struct FinerReport {
    /// Edge of the cells.
    pub cell_mm: f64,
    /// About so many cells.
    pub cells: f64,
    /// Memory they take, MB.
    pub memory_mb: f64,
    /// Times as long as this fill took.
    pub times_as_long: f64,
    /// Error of the times to be expected then, as a share.
    pub expected_error: f64,
}

/// Gas that resin closed round.
#[derive(Clone, Debug, Serialize)]
pub struct ClosedRoundReport {
    /// A place in it.
    pub position_mm: [f64; 3],
    /// Its volume at the end of the pour.
    pub volume_mm3: f64,
    /// What is left once the chamber is let up.
    pub after_let_up_mm3: f64,
}

/// Where fronts meet.
#[derive(Clone, Debug, Serialize)]
pub struct KnitReport {
    /// A place in its middle.
    pub position_mm: [f64; 3],
    /// Its longest extent.
    pub length_mm: f64,
}

/// When resin shows at a vent.
#[derive(Clone, Debug, Serialize)]
pub struct ShowReport {
    /// Number of the vent.
    pub vent: u32,
    /// Seconds after the pour began; none where resin does not rise so far, or sets before.
    pub shows_at_s: Option<f64>,
}

/// A stage of the fill.
#[derive(Clone, Debug, Serialize)]
pub struct StageReport {
    /// `pour` or `let_up`.
    pub name: &'static str,
    /// Share of the cavity that is full at its end.
    pub filled_share: f64,
    /// Pressure in the chamber at its end, Pa.
    pub chamber_pa: f64,
}

fn finite(v: f64) -> Option<f64> {
    v.is_finite().then_some(v)
}

/// The fill of `plan`, where it is among the facts.
pub fn fill_report(plan: &Plan, chamber_pa: f64, facts: &Facts) -> Option<FillReport> {
    let fill: &Fill = facts.fill.as_deref()?;
    let frames = &facts.setting.frames;
    let in_box = |p: Vec3| frames.point_in_box(p).to_array();
    let volume = facts.body.as_ref().map_or(0.0, |b| b.measures.volume_mm3.abs());
    let after = if volume > 0.0 {
        (fill.filled_share + (fill.closed_round_mm3() - fill.after_let_up_mm3()) / volume).min(1.0)
    } else {
        fill.filled_share
    };
    Some(FillReport {
        time_s: finite(fill.time_s()),
        time_in_warm_mould_s: finite(fill.mould.seconds(fill.end_at)),
        last_points_mm: fill.last.iter().map(|l| in_box(l.position)).collect(),
        closed_round_mm3: fill.closed_round_mm3(),
        after_let_up_mm3: fill.after_let_up_mm3(),
        closed_round: fill
            .closed
            .iter()
            .map(|c| ClosedRoundReport {
                position_mm: in_box(c.position),
                volume_mm3: c.volume_mm3,
                after_let_up_mm3: c.after_let_up_mm3,
            })
            .collect(),
        knit_lines: fill
            .knit
            .iter()
            .map(|k| KnitReport { position_mm: in_box(k.position), length_mm: k.length_mm as f64 })
            .collect(),
        vents_show: plan
            .vents
            .iter()
            .zip(&fill.shown_at)
            .map(|(v, at)| ShowReport { vent: v.number, shows_at_s: at.and_then(|at| finite(fill.cup.seconds(at))) })
            .collect(),
        verdict: fill.verdict.outcome,
        lever: fill.verdict.lever.as_ref().map(lever_words),
        pot_life_share: finite(fill.verdict.pot_life_share),
        stages: vec![
            StageReport { name: "pour", filled_share: fill.filled_share, chamber_pa },
            StageReport { name: "let_up", filled_share: after, chamber_pa: crate::study::pour::fill::OPEN_AIR_PA },
        ],
        cell_mm: fill.cell_mm,
        cells_across: fill.across,
        cells: fill.cells,
        expected_error: fill.expected_error,
        finer: Finer::than(fill).map(|f| FinerReport {
            cell_mm: f.cell_mm,
            cells: f.cells,
            memory_mb: f.bytes / 1e6,
            times_as_long: f.times_as_long,
            expected_error: f.expected_error,
        }),
    })
}
