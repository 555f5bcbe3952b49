//! The feed of a set: a gate for every part, all fed by one standing rod through runners in the cut.

use super::join::{self, Clear, Field, Laid, Start, Way};
use crate::plan::{Gate, GateKind, Made, Plan};
use crate::shop::Shop;
use crate::solve::run::{Cancelled, Run};
use crate::study::air::AirTree;
use crate::study::job::body::Body;
use crate::study::job::channels::Rod;
use crate::study::job::mouth_wall;
use crate::study::job::rod_clearance::BESIDE_ROD_MM;
use crate::study::job::setting::Setting;
use crate::study::job::thickness::Thickness;
use crate::study::parting::PartingFacts;
use crate::study::pour::beside_lines::BesideLines;
use crate::study::pour::feed::{self, Bodies, FoundGate, Search};
use crate::study::pour::land;
use crate::study::pour::widths::{GATE_MM, Widths};
use glam::Vec3;

/// A millimetre that a gate lies higher than its part's lowest point counts as so many of runner.
const HEIGHT_COST: f64 = 2.0;
/// A gate by hand is on the line within this, millimetres.
const ON_LINE_MM: f32 = 1.0;

/// Gates of the parts of `plan` in their order with the reasons for them; a part that no way leads to has none, and the
/// reasons say so. Runners keep off `vents`, the rods that vents will have, wherever that leaves every part a way.
///
/// # Errors
/// [`Cancelled`].
#[allow(clippy::too_many_arguments)]
pub fn propose_gates(
    plan: &Plan,
    shop: &Shop,
    setting: &Setting,
    body: &Body,
    walls: &Thickness,
    parting: &PartingFacts,
    level: &AirTree,
    vents: &[Rod],
    run: &Run,
) -> Result<(Vec<Gate>, Vec<String>), Cancelled> {
    let up = setting.frames.cast_up();
    let widths = Widths::of(plan, shop, setting, body);
    let places: Vec<Vec<(Vec3, Vec3, f32)>> =
        (0..plan.parts.len()).map(|p| feed::places_of_part(plan, shop, setting, body, walls, parting, p)).collect();
    let lowest = |p: usize| {
        let mesh = &setting.placed.meshes[p];
        mesh.positions.iter().map(|v| v.dot(up)).fold(f32::INFINITY, f32::min)
    };
    let groups: Vec<Vec<Start>> = places
        .iter()
        .enumerate()
        .map(|(p, places)| {
            let low = lowest(p);
            let start = |&(at, out, _): &(Vec3, Vec3, f32)| Start {
                at,
                out,
                cost_mm: (HEIGHT_COST * f64::from(at.dot(up) - low)) as f32,
            };
            places.iter().map(start).collect()
        })
        .collect();
    // One runner carries the resin of all.
    let widest =
        places.iter().flatten().map(|p| widths.at(f64::from(p.2), shop.limits.gate_face_share).1).fold(0.0, f64::max);
    let ways = ways_beside(shop, setting, body, parting, widest, &groups, &[], vents, run)?;
    let whole_mm3: f64 = setting.placed.loaded.iter().map(|l| l.check.measures.volume_mm3.abs()).sum();
    let (mut gates, mut reasons) = (Vec::new(), Vec::new());
    for (p, way) in ways.into_iter().enumerate() {
        let number = p as u32 + 1;
        let title = plan.part_title(p);
        let Some(Way { start, corners, joins }) = way else {
            // A set has one shot a block.
            let bodies = Bodies { resin: body, master: body };
            let search = Search { plan, shop, setting, bodies, walls, parting, level, only: Some(p) };
            let found = search.found(run)?.into_iter().flatten();
            match found.min_by_key(|f| (f.faults(), f.order())) {
                Some(FoundGate { gate, above_mm, wall_mm, .. }) => {
                    gates.push(Gate { number, ..gate });
                    reasons.push(format!(
                        "Gate {number} on {title} is {above_mm:.0} mm above its lowest point in a wall of {wall_mm:.1} mm; \
                         its runner goes up by itself, since none joins the others"
                    ));
                }
                None => reasons.push(format!("{title} has no gate: no runner comes to it through the cut")),
            }
            continue;
        };
        let (at, normal, wall_mm) = places[p][start];
        let axis = land::axis(body, setting.frames.rubber_up(), at, &corners, joins.is_some());
        let wall = mouth_wall::wall(body, at, normal, *GATE_MM.start());
        let share = setting.placed.loaded[p].check.measures.volume_mm3.abs() / whole_mm3.max(1e-9);
        let spot = setting.frames.spot_from_work(p, at, normal);
        let joins = joins.map(|q| q as u32 + 1);
        let gate_mm = widths.of_share(share).at(f64::from(wall_mm), wall.share(&shop.limits)).0;
        let Some(land_mm) = land::usual_or_longer_mm(body, &axis, gate_mm, widest) else {
            reasons.push(format!("{title} has no gate: every runner to it that was found would run through a part"));
            continue;
        };
        reasons.push(format!(
            "Gate {number} on {title} is {:.0} mm above its lowest point{}; its runner {}",
            at.dot(up) - lowest(p),
            if wall_mm > 0.0 { format!(" in a wall of {wall_mm:.1} mm") } else { String::new() },
            joins.map_or("stands up to the cup".to_owned(), |q| format!("lies in the cut and joins that of gate {q}"))
        ));
        gates.push(Gate {
            number,
            at: spot,
            kind: GateKind::Bottom,
            diameter_mm: gate_mm,
            runner: corners.into_iter().map(|c| setting.frames.set_point_from_work(c)).collect(),
            land_mm,
            runner_diameter_mm: widest,
            joins,
            made: Made::RodPulled,
            ..Gate::default()
        });
    }
    // A gate may only join one that is there.
    loop {
        let numbers: Vec<u32> = gates.iter().map(|g| g.number).collect();
        // Where the one that it was to join is not there, nothing says that its runner may go up where it ends.
        let lost = gates.iter().position(|g| g.joins.is_some_and(|n| !numbers.contains(&n)));
        let Some(lost) = lost else { break };
        let gate = gates.remove(lost);
        let title = plan.part_title(gate.number as usize - 1);
        reasons.push(format!("{title} has no gate: the runner that its own was to join could not be laid"));
    }
    Ok((gates, reasons))
}

/// Lays the runners of all gates anew that do not come straight from above, each from where it is: into one another and up
/// to one standing rod. False where one of them finds no way; it then keeps what it had.
///
/// # Errors
/// [`Cancelled`].
pub fn lay_all(
    plan: &mut Plan,
    shop: &Shop,
    setting: &Setting,
    bodies: feed::Bodies,
    parting: &PartingFacts,
    run: &Run,
) -> Result<bool, Cancelled> {
    let side: Vec<usize> = (0..plan.feed.gates.len()).filter(|i| !plan.feed.gates[*i].runner.is_empty()).collect();
    let groups: Vec<Vec<Start>> =
        side.iter().map(|i| vec![start_of(&plan.feed.gates[*i], setting, bodies.resin, parting)]).collect();
    let laid = laid_for(plan, shop, setting, bodies.master, parting, &groups, &[], &side, run)?;
    let mut found_all = true;
    // What all of them joined before is no longer where it was.
    for (i, way) in side.iter().zip(&laid) {
        match way {
            Some(way) => {
                let joins = way.joins.map(|k| plan.feed.gates[side[k]].number);
                found_all &= take(&mut plan.feed.gates[*i], way, joins, setting, bodies.master);
            }
            None => found_all = false,
        }
    }
    plan.let_go_of_lost_joins();
    Ok(found_all)
}

/// Lays the runner of the gate in place `i` of the plan into that of the gate that it joins. False where it finds no way.
///
/// # Errors
/// [`Cancelled`].
pub fn lay_one(
    plan: &mut Plan,
    shop: &Shop,
    setting: &Setting,
    bodies: feed::Bodies,
    parting: &PartingFacts,
    i: usize,
    run: &Run,
) -> Result<bool, Cancelled> {
    let Some(into) = plan.feed.gates[i].joins else { return Ok(false) };
    let Some(k) = plan.feed.gates.iter().position(|g| g.number == into) else { return Ok(false) };
    let axis: Vec<Vec3> = {
        let rods = &setting.channels.gates[k].rods;
        // Off its own land: a runner joins the runner.
        let beyond = rods.iter().skip(usize::from(rods.len() > 1));
        beyond.clone().map(|r| r.from).chain(beyond.last().map(|r| r.to)).collect()
    };
    let groups = [vec![start_of(&plan.feed.gates[i], setting, bodies.resin, parting)]];
    let way = laid_for(plan, shop, setting, bodies.master, parting, &groups, &[(1, axis)], &[i], run)?.remove(0);
    let Some(way) = way else { return Ok(false) };
    Ok(take(&mut plan.feed.gates[i], &way, Some(into), setting, bodies.master))
}

#[allow(clippy::too_many_arguments)]
fn laid_for(
    plan: &Plan,
    shop: &Shop,
    setting: &Setting,
    body: &Body,
    parting: &PartingFacts,
    groups: &[Vec<Start>],
    laid: &[Laid],
    gates: &[usize],
    run: &Run,
) -> Result<Vec<Option<Way>>, Cancelled> {
    let widest = gates.iter().map(|i| plan.feed.gates[*i].runner_diameter_mm).fold(0.0, f64::max);
    let vents: Vec<Rod> = setting.channels.vents.iter().flat_map(|c| c.rods.iter().copied()).collect();
    ways_beside(shop, setting, body, parting, widest, groups, laid, &vents, run)
}

/// Ways that keep off `vents`, or where those leave a part without one, ways that do not look at them.
#[allow(clippy::too_many_arguments)]
fn ways_beside(
    shop: &Shop,
    setting: &Setting,
    body: &Body,
    parting: &PartingFacts,
    runner_mm: f64,
    groups: &[Vec<Start>],
    laid: &[Laid],
    vents: &[Rod],
    run: &Run,
) -> Result<Vec<Option<Way>>, Cancelled> {
    let all: Vec<Start> = groups.iter().flatten().copied().collect();
    let (apart, beside) = (runner_mm / 2.0 + shop.limits.least_rubber_mm, runner_mm / 2.0 + BESIDE_ROD_MM);
    let lines = BesideLines::of(parting);
    let sought = |rods: &[Rod]| match Field::of(
        body,
        setting,
        parting.draw,
        &all,
        Clear { apart: apart as f32, beside: beside as f32, rods, lines: &lines },
    ) {
        Some(field) => join::ways(&field, groups, laid, run),
        None => Ok(vec![None; groups.len()]),
    };
    let found = sought(vents)?;
    if vents.is_empty() || found.iter().all(Option::is_some) {
        return Ok(found);
    }
    let freely = sought(&[])?;
    let ways = |w: &[Option<Way>]| w.iter().flatten().count();
    Ok(if ways(&freely) > ways(&found) { freely } else { found })
}

/// Gives a gate its way, with a narrow end that keeps the runner out of the part; false where none does, and the gate keeps
/// what it had.
fn take(gate: &mut Gate, way: &Way, joins: Option<u32>, setting: &Setting, master: &Body) -> bool {
    let mouth = setting.frames.spot_in_work(&gate.at);
    let axis = land::axis(master, setting.frames.rubber_up(), mouth, &way.corners, joins.is_some());
    let (gate_mm, runner_mm) = (gate.diameter_mm, gate.runner_diameter_mm);
    let Some(land_mm) = land::land_mm(master, &axis, gate_mm, runner_mm, gate.land_mm) else { return false };
    gate.land_mm = land_mm;
    gate.runner = way.corners.iter().map(|c| setting.frames.set_point_from_work(*c)).collect();
    gate.joins = joins;
    if gate.kind == GateKind::Top {
        gate.kind = GateKind::Side;
    }
    true
}

/// Where the runner of a gate leaves the part: along the line's normal where it is on one, else along the surface's.
fn start_of(gate: &Gate, setting: &Setting, body: &Body, parting: &PartingFacts) -> Start {
    let at = setting.frames.spot_in_work(&gate.at);
    let near = parting
        .lines
        .iter()
        .flat_map(|l| l.points.iter().zip(&l.normals))
        .min_by(|a, b| a.0.distance_squared(at).total_cmp(&b.0.distance_squared(at)));
    let own = || {
        let nearest = body.tree.nearest(at);
        nearest.map_or(setting.frames.normal_in_work(&gate.at), |n| body.mesh.unit_normal(n.triangle as usize))
    };
    let out = near.filter(|n| n.0.distance(at) < ON_LINE_MM).map_or_else(own, |n| *n.1);
    Start { at, out, cost_mm: 0.0 }
}
