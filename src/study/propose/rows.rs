//! A set laid out in rows: all parts in one cut, the shop's least rubber between them, and room for the runner in the middle.

use crate::plan::{Plan, Pose};
use crate::shop::Shop;
use crate::solve::run::Run;
use crate::study::bench::{Bench, StudyError};
use crate::study::job::frames;
use crate::study::job::setting::Setting;
use crate::study::parting::PartingFacts;
use crate::study::parting::loop_kind::LoopKind;
use crate::study::pour::widths::Widths;
use glam::{DQuat, DVec3};

/// A draw that leans more from level than this (its sine) opens the block upwards: two columns beside each other; else all
/// parts hang in one row.
const UPRIGHT: f64 = 0.7;
/// Runner for which parts are set apart before anything is known of them, millimetres.
const WIDE_RUNNER_MM: f64 = 10.0;
/// Room for the runner beyond what it must have, millimetres: set here.
const SPARE_MM: f64 = 1.0;

/// How a set is laid out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spacing {
    /// Rubber between neighbours, millimetres.
    pub between_mm: f64,
    /// Room in the middle, in which the runner stands, millimetres.
    pub lane_mm: f64,
}

impl Spacing {
    /// For the widest runner of `plan`, or one of `usual_mm`.
    pub fn of(plan: &Plan, shop: &Shop, usual_mm: f64) -> Spacing {
        let between_mm = shop.limits.least_rubber_mm;
        let runner_mm = plan.feed.gates.iter().map(|g| g.runner_diameter_mm).fold(usual_mm, f64::max);
        Spacing { between_mm, lane_mm: runner_mm + 2.0 * between_mm + SPARE_MM }
    }
}

/// Lays the parts of `plan` out as it hangs. Its gates, vents, inserts and hand work go along with their parts. Nothing is
/// done about a single part.
///
/// # Errors
/// As the facts it is made from.
pub fn lay_out_set_into(
    bench: &Bench,
    plan: &mut Plan,
    reasons: &mut Vec<String>,
    run: &Run,
) -> Result<(), StudyError> {
    if plan.parts.len() < 2 {
        return Ok(());
    }
    let setting = bench.setting(plan)?;
    let shop = bench.shop();
    rows(plan, &setting, Spacing::of(plan, shop, WIDE_RUNNER_MM), None);
    // Now that they stand apart it can be told how wide the runner must be, and how high the line of each lies.
    let setting = bench.setting(plan)?;
    let body = bench.body(plan, &setting, run)?;
    let widest_mm = Widths::of(plan, shop, &setting, &body).widest_runner_mm();
    let spacing = Spacing::of(plan, shop, widest_mm);
    let lines_differ = plan.kinds().len() > 1 || !same_turn(plan);
    let parting = if lines_differ { bench.parting(plan, &setting, &body, run).ok() } else { None };
    run.check()?;
    rows(plan, &setting, spacing, parting.as_deref());
    reasons.push(format!(
        "{} parts laid out in one cut, {} mm of rubber between neighbours and {} mm in the middle for the runner",
        plan.parts.len(),
        words(spacing.between_mm),
        words(spacing.lane_mm)
    ));
    Ok(())
}

fn words(mm: f64) -> String {
    format!("{mm:.1}").trim_end_matches(".0").to_owned()
}

fn same_turn(plan: &Plan) -> bool {
    let first = plan.parts[0].pose.rotation.normalize();
    plan.parts.iter().all(|p| p.pose.rotation.normalize().dot(first).abs() > 1.0 - 1e-9)
}

/// A part as it hangs: what it takes up along the row, across it and upwards, and the height of its line along the draw.
#[derive(Clone, Copy, Debug)]
struct Standing {
    low: DVec3,
    high: DVec3,
    line_mm: f64,
}

/// Moves every part to its place.
fn rows(plan: &mut Plan, setting: &Setting, spacing: Spacing, parting: Option<&PartingFacts>) {
    let box_turn = frames::turns(&plan.hang).0;
    let draw = (box_turn * plan.parting.draw).normalize_or(DVec3::Y);
    let axes = Axes::of(draw);
    let standing: Vec<Standing> = (0..plan.parts.len()).map(|i| axes.standing(setting, i, box_turn, parting)).collect();
    let line_mm = standing[0].line_mm;
    let shifts = if axes.level { one_row(&standing, spacing) } else { two_columns(&standing, spacing) };
    for (i, (shift, s)) in shifts.into_iter().zip(&standing).enumerate() {
        let upright = axes.shift(shift, line_mm - s.line_mm);
        let pose = plan.parts[i].pose;
        let to_set = box_turn.inverse() * upright;
        plan.move_part(i, Pose { translation_mm: pose.translation_mm + to_set, ..pose });
    }
}

/// Directions in which parts are shifted without leaving the cut, in the box's axes.
struct Axes {
    /// True where the draw is level or nearly so.
    level: bool,
    draw: DVec3,
    /// Along the row, level and square to the draw; the box's X where the draw stands upright.
    along: DVec3,
    /// The other direction: upwards in the cut, or the box's Y.
    other: DVec3,
}

impl Axes {
    fn of(draw: DVec3) -> Axes {
        let level = draw.z.abs() < UPRIGHT;
        if level {
            let along = DVec3::Z.cross(draw).normalize_or(DVec3::X);
            return Axes { level, draw, along, other: DVec3::Z };
        }
        Axes { level, draw, along: DVec3::X, other: DVec3::Y }
    }

    fn standing(&self, setting: &Setting, i: usize, box_turn: DQuat, parting: Option<&PartingFacts>) -> Standing {
        let axes = [self.along, self.other, self.draw].map(|a| box_turn.inverse() * a);
        let mesh = &setting.placed.meshes[i];
        let (mut low, mut high) = (DVec3::INFINITY, DVec3::NEG_INFINITY);
        for p in &mesh.positions {
            let at = DVec3::from_array(axes.map(|a| p.as_dvec3().dot(a)));
            (low, high) = (low.min(at), high.max(at));
        }
        let line = parting.and_then(|p| mean_line_mm(p, setting, i, axes[2]));
        Standing { low, high, line_mm: line.unwrap_or(0.5 * (low.z + high.z)) }
    }

    /// The shift by so much along the row and the other way that changes the height along the draw by `rise_mm`.
    fn shift(&self, [along, other]: [f64; 2], rise_mm: f64) -> DVec3 {
        let flat = self.along * along + self.other * other;
        // What is missing of the height along the draw: by the level part of the draw, or straight up.
        let missing = rise_mm - flat.dot(self.draw);
        let way = if self.level { (self.draw - DVec3::Z * self.draw.z).normalize_or(DVec3::Y) } else { DVec3::Z };
        flat + way * (missing / way.dot(self.draw))
    }
}

/// Mean height along `draw` of the parting lines on part `i`; none where it has none.
fn mean_line_mm(parting: &PartingFacts, setting: &Setting, i: usize, draw: DVec3) -> Option<f64> {
    let (mut sum, mut weight) = (0.0, 0.0);
    for line in parting.lines.iter().filter(|l| l.kind == LoopKind::Parting) {
        if line.points.first().is_none_or(|p| setting.part_at(*p) != i) {
            continue;
        }
        for (a, b) in line.points.iter().zip(line.points.iter().skip(1).chain(&line.points[..1])) {
            let length = a.distance(*b) as f64;
            sum += length * (a.as_dvec3() + b.as_dvec3()).dot(draw) / 2.0;
            weight += length;
        }
    }
    (weight > 0.0).then(|| sum / weight)
}

/// One row, its tops level, with room for the runner in the middle.
fn one_row(standing: &[Standing], spacing: Spacing) -> Vec<[f64; 2]> {
    let left = standing.len().div_ceil(2);
    let mut next = 0.0;
    let mut shifts = Vec::with_capacity(standing.len());
    for (i, s) in standing.iter().enumerate() {
        if i > 0 {
            next += if i == left { spacing.lane_mm } else { spacing.between_mm };
        }
        shifts.push([next - s.low.x, standing[0].high.y - s.high.y]);
        next += s.high.x - s.low.x;
    }
    shifts
}

/// Two columns with the runner between them; parts go left and right in turn.
fn two_columns(standing: &[Standing], spacing: Spacing) -> Vec<[f64; 2]> {
    let mut shifts = vec![[0.0; 2]; standing.len()];
    for side in 0..2 {
        let column: Vec<usize> = (0..standing.len()).filter(|i| i % 2 == side).collect();
        let deep: f64 = column.iter().map(|i| standing[*i].high.y - standing[*i].low.y).sum::<f64>()
            + spacing.between_mm * column.len().saturating_sub(1) as f64;
        let mut next = -0.5 * deep;
        for i in column {
            let s = &standing[i];
            let x = if side == 0 { -0.5 * spacing.lane_mm - s.high.x } else { 0.5 * spacing.lane_mm - s.low.x };
            shifts[i] = [x, next - s.low.y];
            next += s.high.y - s.low.y + spacing.between_mm;
        }
    }
    shifts
}
