//! Where resin could come in, one place for each way to feed it: straight from above, low down or further up from the side.
//!
//! Which of them is right is said in [`crate::study::pour::feed_ways`]; here each is the best of its kind: off shown surfaces,
//! from where resin rises, in a wall that is thick enough and takes the whole mouth, low, and near the parting line.

use super::beside_lines::BesideLines;
use super::widths::{GATE_MM, Widths};
use super::{land, runner};
use crate::plan::{Gate, GateKind, Made, Plan, ShownSurface, usual_land_mm};
use crate::shop::Shop;
use crate::solve::run::{Cancelled, Run};
use crate::study::air::{AirTree, Mouth, MouthOf};
use crate::study::job::body::Body;
use crate::study::job::channels::{Channel, over_corners};
use crate::study::job::mouth_wall::{self, OVER_EDGE};
use crate::study::job::rod_clearance::{self, LEAST_RISE};
use crate::study::job::setting::Setting;
use crate::study::job::thickness::Thickness;
use crate::study::parting::PartingFacts;
use crate::study::parting::loop_kind::LoopKind;
use crate::study::pour::gate_falls::{LEAST_FALL_MM, gate_falls};
use glam::Vec3;

/// A gate in the lowest share of the part's height is fed from below.
const LOW_SHARE: f64 = 0.25;
/// A wall counts as thick from this share of the walls up.
const THICK_SHARE: f32 = 0.5;
/// On the parting line a wall is thick enough from this share of that.
const THIN_SHARE: f32 = 0.6;
/// About so many walls tell how thick those of one part are.
const SAMPLED: usize = 4000;
/// About so many places of each sort are compared.
const COMPARED: usize = 300;
/// Most places that a runner is tried for, and how far from one that had no way the next is tried, millimetres.
const TRIED: usize = 16;
const APART_MM: f32 = 3.0;
/// Cost of a millimetre between gate and parting line against a millimetre of height.
const LINE_COST: f64 = 0.5;
/// Gates come by so much, millimetres.
const STEP_MM: f64 = 0.5;

/// The best gate of one kind.
#[derive(Clone, Debug, PartialEq)]
pub struct FoundGate {
    /// The gate with its runner.
    pub gate: Gate,
    /// The wall at it, millimetres.
    pub wall_mm: f64,
    /// Its height over the lowest point of the part, millimetres.
    pub above_mm: f64,
    /// The shown surface that it marks.
    pub shown: Option<String>,
    /// True where it hangs over an edge however narrow it is.
    pub over_edge: bool,
    /// True where its runner has a bend that does not lie in the cut.
    pub off_cut: bool,
    /// How far resin falls from it before it gathers, millimetres.
    pub fall_mm: f64,
}

impl FoundGate {
    /// True where resin rises from it.
    pub fn rises(&self) -> bool {
        self.fall_mm < LEAST_FALL_MM
    }

    /// What is wrong with it, worst first: a mark that is seen, a runner that cannot be made, a fall, a mouth over an edge,
    /// and where all fall how far, in tenths of a millimetre. Less is better.
    pub fn faults(&self) -> (bool, bool, bool, bool, i64) {
        let fall = if self.rises() { 0 } else { (self.fall_mm * 10.0) as i64 };
        (self.shown.is_some(), self.off_cut, !self.rises(), self.over_edge, fall)
    }

    /// Among those that are as good: from below first, since that is surely lowest, then straight, which needs no bend.
    pub fn order(&self) -> u8 {
        match self.gate.kind {
            GateKind::Bottom => 0,
            GateKind::Top => 1,
            GateKind::Side => 2,
        }
    }
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

/// What gates are looked for with.
#[derive(Clone, Copy)]
pub struct Search<'a> {
    /// The plan.
    pub plan: &'a Plan,
    /// The shop.
    pub shop: &'a Shop,
    /// Where everything stands.
    pub setting: &'a Setting,
    /// What is filled and what the block is poured round.
    pub bodies: Bodies<'a>,
    /// The walls of what is filled.
    pub walls: &'a Thickness,
    /// The parting.
    pub parting: &'a PartingFacts,
    /// The tree of what is filled, level as it is cast.
    pub level: &'a AirTree,
    /// The one part of a set that is looked at.
    pub only: Option<usize>,
}

/// A place at which resin may come in.
struct Place {
    at: Vec3,
    normal: Vec3,
    above_mm: f64,
    on_line: bool,
    shown: bool,
    thin: bool,
    fall_mm: f64,
    cost_mm: f64,
}

impl Search<'_> {
    /// The best gate of each kind: from above, from below, from the side; none of a kind that has no way.
    ///
    /// # Errors
    /// [`Cancelled`].
    pub fn found(&self, run: &Run) -> Result<[Option<FoundGate>; 3], Cancelled> {
        let up = self.setting.frames.cast_up();
        let (low, high) = heights(self.bodies.resin, up);
        let places = self.places(low, run)?;
        let widths = Widths::of(self.plan, self.shop, self.setting, self.bodies.resin);
        let is_low = |p: &&Place| p.above_mm <= LOW_SHARE * (high - low);
        let lines = BesideLines::of(self.parting);
        let in_cut = |p: &Place, runner_mm: f64| {
            let clear_mm = self.shop.limits.least_rubber_mm;
            let master = self.bodies.master;
            runner::in_cut(master, self.setting, p.at, p.normal, &lines, self.parting.draw, runner_mm, clear_mm)
        };
        let straight = |p: &Place, diameter_mm: f64, runner_mm: f64| self.is_free_above(p, diameter_mm, runner_mm);
        let upward = |p: &&Place| p.normal.dot(up) > LEAST_RISE;
        let top = self.first(places.iter().filter(upward), GateKind::Top, &widths, run, &|p, d, r| {
            straight(p, d, r).then(Vec::new)
        })?;
        let on_line = || places.iter().filter(|p| p.on_line);
        // One that passes the part nowhere too near before any other.
        let clear = |p: &Place, d: f64, r: f64| in_cut(p, r).filter(|corners| self.is_clear(p, d, r, corners));
        let laid = |p: &Place, _: f64, r: f64| in_cut(p, r);
        let mut bottom = self.first(on_line().filter(is_low), GateKind::Bottom, &widths, run, &clear)?;
        if bottom.is_none() {
            bottom = self.first(on_line().filter(is_low), GateKind::Bottom, &widths, run, &laid)?;
        }
        let mut side = self.first(on_line().filter(|p| !is_low(p)), GateKind::Side, &widths, run, &clear)?;
        if side.is_none() {
            side = self.first(on_line().filter(|p| !is_low(p)), GateKind::Side, &widths, run, &laid)?;
        }
        if top.is_none() && bottom.is_none() && side.is_none() {
            let round = |p: &Place, _: f64, runner_mm: f64| {
                let (master, clear_mm) = (self.bodies.master, self.shop.limits.least_rubber_mm);
                runner::round(master, self.setting, p.at, p.normal, self.parting.draw, runner_mm, clear_mm)
            };
            bottom = self.first(places.iter().filter(|p| !p.on_line), GateKind::Bottom, &widths, run, &round)?;
            if let Some(found) = &mut bottom {
                found.off_cut = true;
                if found.above_mm > LOW_SHARE * (high - low) {
                    found.gate.kind = GateKind::Side;
                }
            }
        }
        let mut found = [top, bottom, side];
        self.measure_falls(&mut found, run)?;
        Ok(found)
    }

    /// The first of `places` that has a way: one whose mouth lies all on the part before any other.
    fn first<'p>(
        &self,
        places: impl Iterator<Item = &'p Place>,
        kind: GateKind,
        widths: &Widths,
        run: &Run,
        way: &dyn Fn(&Place, f64, f64) -> Option<Vec<Vec3>>,
    ) -> Result<Option<FoundGate>, Cancelled> {
        // Where an edge is near the gate must be narrower, or hangs over it.
        let (mut narrowed, mut over): (Vec<(&Place, f64, f64, f64)>, Vec<_>) = (Vec::new(), Vec::new());
        // A way whose channel meets the part anywhere but at its mouth is none.
        let laid = |p: &Place, gate_mm: f64, runner_mm: f64| {
            let corners = way(p, gate_mm, runner_mm)?;
            let axis = self.axis(p, &corners);
            let land_mm = land::usual_or_longer_mm(self.bodies.master, &axis, gate_mm, runner_mm)?;
            Some((corners, land_mm))
        };
        type Laid = (Vec<Vec3>, f64);
        let made = |p: &Place, wall_mm: f64, sizes: (f64, f64), (corners, land_mm): Laid, over_edge: bool| {
            let part = self.setting.part_at(p.at);
            let frames = &self.setting.frames;
            FoundGate {
                gate: Gate {
                    number: 1,
                    at: frames.spot_from_work(part, p.at, p.normal),
                    kind,
                    diameter_mm: sizes.0,
                    runner: corners.into_iter().map(|c| frames.set_point_from_work(c)).collect(),
                    land_mm,
                    runner_diameter_mm: sizes.1,
                    made: Made::RodPulled,
                    ..Gate::default()
                },
                wall_mm,
                above_mm: p.above_mm,
                shown: shown(self.plan, self.setting, p.at).map(|s| s.name.clone()),
                over_edge,
                off_cut: false,
                fall_mm: p.fall_mm,
            }
        };
        let body = self.bodies.resin;
        let mut tried: Vec<Vec3> = Vec::new();
        for place in places {
            run.check()?;
            if tried.iter().any(|t| t.distance(place.at) < APART_MM) {
                continue;
            }
            let wall = mouth_wall::wall(body, place.at, place.normal, *GATE_MM.start());
            // Where nothing is opposed the part is as thick as it is large.
            let wall_mm = wall.mm.min(f64::from(body.bounds.diagonal()));
            let (full_mm, runner_mm) = widths.at(wall_mm, wall.share(&self.shop.limits));
            let least_mm = GATE_MM.start().min(full_mm);
            let mut gate_mm = full_mm;
            let hangs = |mm: f64| mouth_wall::over_edge(body, place.at, place.normal, mm) > OVER_EDGE;
            while gate_mm > least_mm && hangs(gate_mm) {
                gate_mm = (gate_mm - STEP_MM).max(least_mm);
            }
            if hangs(gate_mm) {
                over.push((place, wall_mm, gate_mm, runner_mm));
                continue;
            }
            if gate_mm < full_mm {
                narrowed.push((place, wall_mm, gate_mm, runner_mm));
                continue;
            }
            if let Some(way) = laid(place, gate_mm, runner_mm) {
                return Ok(Some(made(place, wall_mm, (gate_mm, runner_mm), way, false)));
            }
            tried.push(place.at);
            if tried.len() >= TRIED {
                break;
            }
        }
        for (some, over_edge) in [(narrowed, false), (over, true)] {
            for (place, wall_mm, gate_mm, runner_mm) in some.into_iter().take(TRIED) {
                run.check()?;
                if let Some(way) = laid(place, gate_mm, runner_mm) {
                    return Ok(Some(made(place, wall_mm, (gate_mm, runner_mm), way, over_edge)));
                }
            }
        }
        Ok(None)
    }

    /// True where a rod straight up from a place passes the part nowhere too near.
    fn is_free_above(&self, place: &Place, gate_mm: f64, runner_mm: f64) -> bool {
        self.is_clear(place, gate_mm, runner_mm, &[])
    }

    /// True where the channel from a place over `corners` and up passes the part nowhere too near.
    fn is_clear(&self, place: &Place, gate_mm: f64, runner_mm: f64, corners: &[Vec3]) -> bool {
        let rods = over_corners(&self.axis(place, corners), gate_mm, runner_mm, usual_land_mm());
        rod_clearance::pass(self.bodies.master, &Channel { number: 1, rods, joins: None }).is_none()
    }

    /// The axis of a channel from a place over `corners` and up until it is surely past the part.
    fn axis(&self, place: &Place, corners: &[Vec3]) -> Vec<Vec3> {
        land::axis(self.bodies.master, self.setting.frames.rubber_up(), place.at, corners, false)
    }

    /// Places on the parting line and on thick walls, the best first.
    fn places(&self, low: f64, run: &Run) -> Result<Vec<Place>, Cancelled> {
        let Search { plan, shop, setting, bodies, walls, parting, only, .. } = *self;
        let up = setting.frames.cast_up();
        let thick_mm = walls.quantile(THICK_SHARE).map_or(0.0, |w| w.thickness_mm);
        let line: Vec<Vec3> = parting.loops.iter().flat_map(|l| l.points.iter().copied()).collect();
        let line: Vec<Vec3> = line.iter().copied().step_by((line.len() / 2000).max(1)).collect();
        let to_line = |p: Vec3| line.iter().map(|q| q.distance_squared(p)).fold(f32::INFINITY, f32::min).sqrt() as f64;
        let place = |at: Vec3, normal: Vec3, on_line: bool, thin: bool| {
            let above_mm = at.dot(up) as f64 - low;
            let line_mm = if on_line || line.is_empty() { 0.0 } else { to_line(at) };
            let cost_mm = above_mm + LINE_COST * line_mm;
            let shown = shown(plan, setting, at).is_some();
            Place { at, normal, above_mm, on_line, shown, thin, fall_mm: 0.0, cost_mm }
        };
        let free = |at: Vec3, normal: Vec3| !at_insert(shop, setting, at) && !bodies.covers(at, normal);
        let of_line = on_line(parting, setting, bodies.resin, only).into_iter();
        let mut places: Vec<Place> = of_line
            .filter(|p| free(p.0, p.1))
            .map(|(at, normal, wall)| place(at, normal, true, wall < thick_mm * THIN_SHARE))
            .collect();
        let normal_of = |w: &crate::study::job::thickness::Wall| bodies.resin.mesh.unit_normal(w.triangle as usize);
        let thick: Vec<_> = walls
            .walls
            .iter()
            .filter(|w| w.thickness_mm >= thick_mm * 0.98)
            .filter(|w| only.is_none_or(|p| setting.part_at(w.position) == p))
            .collect();
        // The lowest of those that face aside or down, and some of those that face up.
        let (mut upward, mut others): (Vec<_>, Vec<_>) =
            thick.into_iter().partition(|w| normal_of(w).dot(up) > LEAST_RISE);
        let height = |w: &&crate::study::job::thickness::Wall| w.position.dot(up);
        for sort in [&mut upward, &mut others] {
            sort.sort_by(|a, b| height(a).total_cmp(&height(b)));
            let step = (sort.len() / COMPARED).max(1);
            let some = sort.iter().step_by(step).filter(|w| free(w.position, normal_of(w)));
            places.extend(some.map(|w| place(w.position, normal_of(w), false, false)));
        }
        let mouth = |(i, p): (usize, &Place)| Mouth {
            of: MouthOf::Gate(i as u32),
            centre: p.at,
            normal: p.normal,
            diameter_mm: *GATE_MM.start(),
        };
        let mouths: Vec<Mouth> = places.iter().enumerate().map(mouth).collect();
        for fall in gate_falls(bodies.resin, self.level, &mouths, run)? {
            places[fall.gate as usize].fall_mm = fall.height_mm;
        }
        let rank = |p: &Place| (p.shown, p.fall_mm >= LEAST_FALL_MM, p.thin);
        places.sort_by(|a, b| rank(a).cmp(&rank(b)).then(a.cost_mm.total_cmp(&b.cost_mm)));
        Ok(places)
    }

    /// How far resin falls from each as it is.
    fn measure_falls(&self, found: &mut [Option<FoundGate>; 3], run: &Run) -> Result<(), Cancelled> {
        let frames = &self.setting.frames;
        let mouth = |(i, f): (usize, &Option<FoundGate>)| {
            let gate = &f.as_ref()?.gate;
            let (centre, normal) = (frames.spot_in_work(&gate.at), frames.normal_in_work(&gate.at));
            Some(Mouth { of: MouthOf::Gate(i as u32), centre, normal, diameter_mm: gate.diameter_mm })
        };
        let mouths: Vec<Mouth> = found.iter().enumerate().filter_map(mouth).collect();
        for fall in gate_falls(self.bodies.resin, self.level, &mouths, run)? {
            if let Some(one) = &mut found[fall.gate as usize] {
                one.fall_mm = fall.height_mm;
            }
        }
        Ok(())
    }
}

/// Places on the parting line of one part in walls that are thick enough, off shown surfaces where there are such: place,
/// the surface's normal, the wall there.
pub fn places_of_part(
    plan: &Plan,
    shop: &Shop,
    setting: &Setting,
    body: &Body,
    walls: &Thickness,
    parting: &PartingFacts,
    part: usize,
) -> Vec<(Vec3, Vec3, f32)> {
    let step = (walls.walls.len() / SAMPLED).max(1);
    let of_part = walls.walls.iter().step_by(step).filter(|w| setting.part_at(w.position) == part);
    // Walls come thinnest first.
    let thick: Vec<f32> = of_part.map(|w| w.thickness_mm).collect();
    let thick_mm = thick.get((thick.len() as f32 * THICK_SHARE) as usize).copied().unwrap_or(0.0);
    let mut places = on_line(parting, setting, body, Some(part));
    if places.iter().any(|p| p.2 >= thick_mm * THIN_SHARE) {
        places.retain(|p| p.2 >= thick_mm * THIN_SHARE);
    }
    places.retain(|p| !at_insert(shop, setting, p.0));
    // A mouth that hangs over an edge is a lump on every cast.
    let whole = |p: &(Vec3, Vec3, f32)| mouth_wall::over_edge(body, p.0, p.1, *GATE_MM.start()) <= OVER_EDGE;
    if places.iter().any(whole) {
        places.retain(whole);
    }
    let off_shown: Vec<_> = places.iter().copied().filter(|p| shown(plan, setting, p.0).is_none()).collect();
    if off_shown.is_empty() { places } else { off_shown }
}

/// Places on the parting lines, of part `only` where that is said, lowest first: place, the surface's normal, the wall
/// there.
fn on_line(parting: &PartingFacts, setting: &Setting, body: &Body, only: Option<usize>) -> Vec<(Vec3, Vec3, f32)> {
    let up = setting.frames.cast_up();
    let of_part = |at: Option<&Vec3>| only.is_none_or(|p| at.is_some_and(|at| setting.part_at(*at) == p));
    let lines = parting.lines.iter().filter(|l| l.kind == LoopKind::Parting && of_part(l.points.first()));
    let mut places: Vec<(Vec3, Vec3)> =
        lines.flat_map(|l| l.points.iter().copied().zip(l.normals.iter().copied())).collect();
    places.sort_by(|a, b| a.0.dot(up).total_cmp(&b.0.dot(up)));
    // A few hundred places, spread over all heights, are enough to choose from.
    let step = (places.len() / COMPARED).max(1);
    let most_mm = body.bounds.diagonal();
    let wall = |at: Vec3, normal: Vec3| (mouth_wall::wall_mm(body, at, normal, *GATE_MM.start()) as f32).min(most_mm);
    places.into_iter().step_by(step).map(|(at, normal)| (at, normal, wall(at, normal))).collect()
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
