//! Where resin should come in: the lowest thick place that is not shown.

use super::runner;
use super::widths::Widths;
use crate::plan::{Gate, GateKind, Made, Plan, ShownSurface, usual_land_mm};
use crate::shop::Shop;
use crate::study::bench::Setting;
use crate::study::body::Body;
use crate::study::parting::PartingFacts;
use crate::study::report::LoopKind;
use crate::study::thickness::{Thickness, Wall};
use glam::Vec3;

/// Lowest share of the part's height in which the gate is looked for first.
const LOW_SHARE: f64 = 0.25;
/// A wall counts as thick from this share of the walls up.
const THICK_SHARE: f32 = 0.5;
/// On the parting line a wall is thick enough from this share of that.
const THIN_SHARE: f32 = 0.6;
/// The wall at a place on the line is the thickest that is measured within this of it, millimetres.
const WALL_BESIDE_MM: f32 = 3.0;
/// About so many walls tell how thick those of one part are.
const SAMPLED: usize = 4000;
/// Most places that a runner is tried for.
const TRIED: usize = 60;
/// Cost of a millimetre between gate and parting line against a millimetre of height.
const LINE_COST: f64 = 0.5;

/// A proposed gate and why it is there.
#[derive(Clone, Debug)]
pub struct FoundGate {
    /// The gate with its runner.
    pub gate: Gate,
    /// Why, in words.
    pub reason: String,
}

/// Beside the hard part of a two-shot job a gate's mouth must lie this far off it, millimetres: set here.
const OFF_HARD_MM: f32 = 0.3;

/// What resin fills, and what the block is poured round.
#[derive(Clone, Copy)]
pub struct Bodies<'a> {
    /// The body of resin.
    pub resin: &'a Body,
    /// What the block is poured round; the same where nothing else stands in it.
    pub master: &'a Body,
}

impl Bodies<'_> {
    /// True where a place with this outward normal is no outside of the resin: the hard part of a two-shot job lies there.
    fn covers(self, at: Vec3, normal: Vec3) -> bool {
        let alone = self.resin.id == self.master.id;
        let off = || !self.resin.tree.is_within(at, OFF_HARD_MM);
        !alone && (self.master.is_inside(at + normal * OFF_HARD_MM) || off())
    }
}

/// The gate for `plan` as it hangs, off shown surfaces where that can be; none where no runner finds a way.
pub fn propose_gate(
    plan: &Plan,
    shop: &Shop,
    setting: &Setting,
    bodies: Bodies,
    walls: &Thickness,
    parting: &PartingFacts,
) -> Option<FoundGate> {
    let found = |off_shown| found_gate(plan, shop, setting, bodies, walls, parting, None, off_shown);
    found(true).or_else(|| (!plan.shown.is_empty()).then(|| found(false)).flatten())
}

/// The gate for one part of a set, with a runner of its own.
pub(super) fn gate_on_part(
    plan: &Plan,
    shop: &Shop,
    setting: &Setting,
    body: &Body,
    walls: &Thickness,
    parting: &PartingFacts,
    part: usize,
) -> Option<FoundGate> {
    // A set has one shot a block.
    let bodies = Bodies { resin: body, master: body };
    let found = |off_shown| found_gate(plan, shop, setting, bodies, walls, parting, Some(part), off_shown);
    found(true).or_else(|| (!plan.shown.is_empty()).then(|| found(false)).flatten())
}

/// Places on the parting line of one part in walls that are thick enough, off shown surfaces where there are such: place,
/// the surface's normal, the wall there.
pub(super) fn places_of_part(
    plan: &Plan,
    shop: &Shop,
    setting: &Setting,
    walls: &Thickness,
    parting: &PartingFacts,
    part: usize,
) -> Vec<(Vec3, Vec3, f32)> {
    let up = setting.frames.cast_up();
    let step = (walls.walls.len() / SAMPLED).max(1);
    let of_part = walls.walls.iter().step_by(step).filter(|w| setting.part_at(w.position) == part);
    // Walls come thinnest first.
    let thick: Vec<f32> = of_part.map(|w| w.thickness_mm).collect();
    let thick_mm = thick.get((thick.len() as f32 * THICK_SHARE) as usize).copied().unwrap_or(0.0);
    let mut places = on_line(parting, setting, walls, up, thick_mm, Some(part), usize::MAX);
    if places.is_empty() {
        // A line on a sharp rim has no wall beside it.
        places = on_line(parting, setting, walls, up, 0.0, Some(part), usize::MAX);
    }
    places.retain(|p| !at_insert(shop, setting, p.0));
    let off_shown: Vec<_> = places.iter().copied().filter(|p| shown(plan, setting, p.0).is_none()).collect();
    if off_shown.is_empty() { places } else { off_shown }
}

/// The gate, on part `only` of a set where that is said, with `off_shown` only where it leaves no mark on a shown surface.
#[allow(clippy::too_many_arguments)]
fn found_gate(
    plan: &Plan,
    shop: &Shop,
    setting: &Setting,
    bodies: Bodies,
    walls: &Thickness,
    parting: &PartingFacts,
    only: Option<usize>,
    off_shown: bool,
) -> Option<FoundGate> {
    let Bodies { resin: body, master } = bodies;
    let on_shown = |at: Vec3| off_shown && shown(plan, setting, at).is_some();
    let up = setting.frames.cast_up();
    let (low, high) = heights(body, up);
    let thick_mm = walls.quantile(THICK_SHARE).map_or(0.0, |w| w.thickness_mm);
    let line: Vec<Vec3> = parting.loops.iter().flat_map(|l| l.points.iter().copied()).collect();
    let line: Vec<Vec3> = line.iter().copied().step_by((line.len() / 2000).max(1)).collect();
    let to_line = |p: Vec3| line.iter().map(|q| q.distance_squared(p)).fold(f32::INFINITY, f32::min).sqrt() as f64;
    let mut places: Vec<(f64, &Wall)> = walls
        .walls
        .iter()
        .filter(|w| w.thickness_mm >= thick_mm * 0.98)
        .filter(|w| body.mesh.unit_normal(w.triangle as usize).dot(up) < 0.3)
        .filter(|w| !on_shown(w.position) && !at_insert(shop, setting, w.position))
        .filter(|w| only.is_none_or(|p| setting.part_at(w.position) == p))
        .filter(|w| !bodies.covers(w.position, body.mesh.unit_normal(w.triangle as usize)))
        .map(|w| ((w.position.dot(up) as f64 - low), w))
        .collect();
    places.sort_by(|a, b| a.0.total_cmp(&b.0));
    let lowest: Vec<&(f64, &Wall)> = {
        let under = places.iter().filter(|p| p.0 <= (high - low) * LOW_SHARE).count().max(TRIED.min(places.len()));
        places[..under].iter().collect()
    };
    // The distance to the line is dear; a few hundred low places, spread over all of them, are enough to choose from.
    let step = (lowest.len() / 400).max(1);
    let mut ranked: Vec<(f64, &Wall)> = lowest
        .iter()
        .step_by(step)
        .map(|p| {
            let line_mm = if line.is_empty() { 0.0 } else { to_line(p.1.position) };
            (p.0 + LINE_COST * line_mm, p.1)
        })
        .collect();
    ranked.sort_by(|a, b| a.0.total_cmp(&b.0));
    let widths = Widths::of(plan, shop, setting, body);
    let made = |position: Vec3, normal: Vec3, wall_mm: f32, corners: Vec<Vec3>| {
        let (diameter_mm, runner_diameter_mm) = widths.at(wall_mm as f64);
        let part = setting.part_at(position);
        let above = position.dot(up) as f64 - low;
        let where_to = match shown(plan, setting, position) {
            Some(s) => {
                format!("on the shown surface {} or at it, since no place off it has a way for the runner", s.name)
            }
            None => "not on a shown surface".to_owned(),
        };
        // Straight from above is simplest where it reaches the gate; what counts is that resin rises from there.
        let kind = match corners.is_empty() {
            true => GateKind::Top,
            false if above <= LOW_SHARE * (high - low) => GateKind::Bottom,
            false => GateKind::Side,
        };
        let way = match kind {
            GateKind::Top => "straight from above, which needs no bend".to_owned(),
            GateKind::Bottom => {
                format!("from below, since from above at the top resin would fall {:.0} mm", high - low - above)
            }
            GateKind::Side => format!("from the side, {above:.0} mm up, since no lower place has a way for the runner"),
        };
        FoundGate {
            gate: Gate {
                number: 1,
                name: String::new(),
                at: setting.frames.spot_from_work(part, position, normal),
                kind,
                diameter_mm,
                runner: corners.into_iter().map(|c| setting.frames.set_point_from_work(c)).collect(),
                land_mm: usual_land_mm(),
                runner_diameter_mm,
                joins: None,
                made: Made::RodPulled,
                lets_air_out: false,
            },
            reason: format!(
                "The gate is {above:.0} mm above the lowest point in a wall of {wall_mm:.1} mm, {where_to}. It is fed \
                 {way}: resin rises and pushes the air up to the vents"
            ),
        }
    };
    let clear_mm = shop.limits.least_rubber_mm;
    let usable = |at: Vec3| !on_shown(at) && !at_insert(shop, setting, at);
    // On the line first: a bent runner comes out of the rubber only where the block is cut through it.
    for (at, normal, wall_mm) in on_line(parting, setting, walls, up, thick_mm, only, TRIED) {
        if !usable(at) || bodies.covers(at, normal) {
            continue;
        }
        let runner_mm = widths.at(wall_mm as f64).1;
        if let Some(corners) = runner::in_cut(master, setting, at, normal, parting.draw, runner_mm, clear_mm) {
            return Some(made(at, normal, wall_mm, corners));
        }
    }
    let mut bent = None;
    for (_, wall) in ranked.into_iter().take(TRIED) {
        let normal = body.mesh.unit_normal(wall.triangle as usize);
        let runner_mm = widths.at(wall.thickness_mm as f64).1;
        let way = runner::route(master, setting, wall.position, normal, parting.draw, runner_mm, clear_mm);
        let Some(corners) = way else { continue };
        let straight = corners.is_empty();
        let found = made(wall.position, normal, wall.thickness_mm, corners);
        if straight {
            return Some(found);
        }
        bent.get_or_insert(found);
    }
    bent
}

/// At most so many places on the parting lines, of part `only` where that is said, in walls that are thick enough, lowest
/// first: place, the surface's normal, the wall there.
fn on_line(
    parting: &PartingFacts,
    setting: &Setting,
    walls: &Thickness,
    up: Vec3,
    thick_mm: f32,
    only: Option<usize>,
    most: usize,
) -> Vec<(Vec3, Vec3, f32)> {
    let of_part = |at: Option<&Vec3>| only.is_none_or(|p| at.is_some_and(|at| setting.part_at(*at) == p));
    let lines = parting.lines.iter().filter(|l| l.kind == LoopKind::Parting && of_part(l.points.first()));
    let mut places: Vec<(Vec3, Vec3)> =
        lines.flat_map(|l| l.points.iter().copied().zip(l.normals.iter().copied())).collect();
    places.sort_by(|a, b| a.0.dot(up).total_cmp(&b.0.dot(up)));
    // A few hundred places, spread over all heights, are enough to choose from.
    let step = (places.len() / 300).max(1);
    let wall_at = |at: Vec3| {
        let near = walls.walls.iter().map(|w| (w.position.distance_squared(at), w.thickness_mm));
        near.filter(|n| n.0 < WALL_BESIDE_MM * WALL_BESIDE_MM).map(|n| n.1).fold(0.0, f32::max)
    };
    let thick_enough = places
        .iter()
        .step_by(step)
        .map(|&(at, normal)| (at, normal, wall_at(at)))
        .filter(|p| p.2 >= thick_mm * THIN_SHARE);
    thick_enough.take(most).collect()
}

fn heights(body: &Body, up: Vec3) -> (f64, f64) {
    body.mesh
        .positions
        .iter()
        .map(|p| p.dot(up) as f64)
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), z| (l.min(z), h.max(z)))
}

/// The shown surface at a place, or near it.
fn shown<'a>(plan: &'a Plan, setting: &Setting, at: Vec3) -> Option<&'a ShownSurface> {
    plan.shown
        .iter()
        .find(|s| s.stroke.iter().any(|p| setting.frames.spot_in_work(p).distance(at) < s.radius_mm as f32 + 3.0))
}

fn at_insert(shop: &Shop, setting: &Setting, at: Vec3) -> bool {
    let clear = shop.limits.least_rubber_mm;
    setting.inserts.iter().any(|i| (i.foot.distance(at) as f64) < i.radius_mm + clear + 4.0)
}
