//! Proposals: a whole sensible plan from a bare mesh, or one step of it, as edits of the plan.
//!
//! A person then changes what they know better. Every choice comes with its reason in words.

pub mod hold;
pub mod join;
pub mod rows;
pub mod set_feed;
pub mod vents;

pub use hold::hold_master_into;
pub use rows::lay_out_set_into;
pub use vents::propose_vents_into;

use crate::mesh::Mesh;
use crate::plan::{Attitude, GateKind, Hang, Part, Plan, Unit};
use crate::solve::run::Run;
use crate::study::bench::{Bench, StudyError};
use crate::study::job::turn::turn_to_draw;
use crate::study::parting::draw::propose_draw;
use crate::study::pour::gate_falls::LEAST_FALL_MM;
use crate::study::pour::{feed, feed_ways, land, runner};
use crate::study::ways_up::{Scored, words};
use glam::{DVec3, Vec3};

/// What a person has already settled.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Given {
    /// Up for rubber and casting, in `set`.
    pub up: Option<DVec3>,
    /// The draw, in `set`.
    pub draw: Option<DVec3>,
}

/// A proposed plan.
#[derive(Clone, Debug)]
pub struct Proposal {
    /// The plan.
    pub plan: Plan,
    /// Why it is as it is, a sentence a choice.
    pub reasons: Vec<String>,
}

/// A plan that holds one part and nothing else yet.
pub fn bare_plan(name: &str, mesh: &str, digest: &str, unit: Unit) -> Plan {
    let part = Part { name: name.into(), mesh: mesh.into(), digest: digest.into(), unit, ..Part::default() };
    Plan { name: name.into(), parts: vec![part], ..Plan::default() }
}

/// A complete plan for the parts of `plan`: hang, draw, gate, vents, materials. What the plan held of those is replaced;
/// parts, inserts, shown surfaces, quantity and notes are kept.
///
/// # Errors
/// As the facts it is made from.
pub fn propose(bench: &Bench, plan: &Plan, given: Given, run: &Run) -> Result<Proposal, StudyError> {
    let mut plan = plan.clone();
    let mut reasons = Vec::new();
    plan.vents.clear();
    plan.feed.gates.clear();
    plan.keep_materials(bench.shop());

    run.progress(0.05);
    match given.up {
        Some(up) => plan.hang = Hang { rubber: Attitude { up, turn: 0.0 }, cast: None, ..plan.hang },
        None => propose_hang_into(bench, &mut plan, &mut reasons, run)?,
    }
    run.progress(0.4);
    propose_draw_into(bench, &mut plan, given.draw, &mut reasons, run)?;
    run.progress(0.45);
    lay_out_set_into(bench, &mut plan, &mut reasons, run)?;
    run.progress(0.5);
    propose_feed_into(bench, &mut plan, &mut reasons, run)?;
    run.progress(0.9);
    propose_vents_into(bench, &mut plan, &mut reasons, run)?;
    hold_master_into(bench, &mut plan, &mut reasons, run)?;
    run.progress(1.0);
    Ok(Proposal { plan, reasons })
}

/// Sets the hang for rubber and casting alike, and turns the block so that it opens along the box's Y.
///
/// # Errors
/// As the facts it is made from.
pub fn propose_hang_into(
    bench: &Bench,
    plan: &mut Plan,
    reasons: &mut Vec<String>,
    run: &Run,
) -> Result<(), StudyError> {
    let setting = bench.setting(plan)?;
    let subject = bench.hang_subject(plan, &setting, run)?;
    let found = bench.hang_search(plan, &setting, &subject, run, |_| ())?;
    let best = &found.scored[found.best(&plan.hang.weights)];
    hang_into(plan, best);
    reasons.push(words::reason(best));
    Ok(())
}

/// Hangs the part a way up that was measured, for rubber and casting alike.
pub fn hang_into(plan: &mut Plan, way: &Scored) {
    plan.hang.rubber = Attitude { up: way.up.as_dvec3().normalize(), turn: way.turn };
    plan.hang.cast = None;
}

/// Sets the draw of what the block is poured round, and turns the block so that it opens along the box's Y.
///
/// # Errors
/// As the facts it is made from.
pub fn propose_draw_into(
    bench: &Bench,
    plan: &mut Plan,
    given: Option<DVec3>,
    reasons: &mut Vec<String>,
    run: &Run,
) -> Result<(), StudyError> {
    match given {
        Some(draw) => plan.parting.draw = draw,
        None => {
            let setting = bench.setting(plan)?;
            let subject = bench.hang_subject(plan, &setting, run)?;
            let masters: Vec<&Mesh> = subject.parts.iter().map(|p| &*p.master.mesh).collect();
            let up = plan.hang.rubber.up.as_vec3();
            if let Some(best) = propose_draw(&masters, up, run)?.first() {
                plan.parting.draw = best.draw.as_dvec3().normalize();
                reasons.push(format!(
                    "Of all ways tried the halves come off best like this: about {:.0} mm² of the part is hidden from both, \
                     shallow undercuts left out",
                    best.view.hidden_from_both_mm2
                ));
            }
        }
    }
    plan.hang.rubber.turn = turn_to_draw(&plan.hang.rubber, plan.parting.draw);
    Ok(())
}

/// Replaces the gates by one proposed gate with its runner, in a set by one for each part.
///
/// # Errors
/// As the facts it is made from.
pub fn propose_feed_into(
    bench: &Bench,
    plan: &mut Plan,
    reasons: &mut Vec<String>,
    run: &Run,
) -> Result<(), StudyError> {
    plan.feed.gates.clear();
    let setting = bench.setting(plan)?;
    let body = bench.body(plan, &setting, run)?;
    if plan.parts.len() > 1 {
        let walls = bench.walls(&body, run)?;
        let parting = bench.parting(plan, &setting, &body, run)?;
        let level = &bench.air_trees(&setting, &body, run)?.air.level;
        let rods = vents::rods(bench, plan, &setting, &body, run)?;
        let shop = bench.shop();
        let (gates, why) = set_feed::propose_gates(plan, shop, &setting, &body, &walls, &parting, level, &rods, run)?;
        plan.feed.gates = gates;
        reasons.extend(why);
        let setting = bench.setting(plan)?;
        let falls = bench.falls(plan, &setting, &body, run)?;
        let falling = falls.iter().filter(|f| f.height_mm >= LEAST_FALL_MM);
        reasons.extend(falling.map(|f| format!("Resin falls {:.1} mm from gate {}", f.height_mm, f.gate)));
        return Ok(());
    }
    let ways = bench.feed_ways(plan, &setting, &body, run)?;
    if let Some(right) = ways.right() {
        reasons.push(feed_ways::reason(right, &ways.why()));
        plan.feed.gates.push(right.found.gate.clone());
    }
    Ok(())
}

/// Lays the runner of gate `number` anew: straight up to the cup where `round` is false or not asked for and nothing is
/// in the way, else off the part, level and up beside it, clear of it by the shop's least rubber. False where no such
/// way was found; the gate then keeps what it had.
///
/// # Errors
/// As the facts it is made from.
pub fn lay_runner_into(
    bench: &Bench,
    plan: &mut Plan,
    number: u32,
    round: Option<bool>,
    run: &Run,
) -> Result<bool, StudyError> {
    let Some(gate) = plan.feed.gates.iter().position(|g| g.number == number) else { return Ok(true) };
    let setting = bench.setting(plan)?;
    let body = bench.body(plan, &setting, run)?;
    let master = bench.master(plan, &setting, &body, run)?;
    run.check()?;
    if plan.feed.gates[gate].joins.is_some() {
        let parting = bench.parting(plan, &setting, &body, run)?;
        let bodies = feed::Bodies { resin: &body, master: &master };
        return Ok(set_feed::lay_one(plan, bench.shop(), &setting, bodies, &parting, gate, run)?);
    }
    let frames = &setting.frames;
    let draw = plan.parting.draw.as_vec3();
    let gate = &mut plan.feed.gates[gate];
    let at = frames.spot_in_work(&gate.at);
    let normal = body
        .tree
        .nearest(at)
        .map_or(frames.normal_in_work(&gate.at), |n| body.mesh.unit_normal(n.triangle as usize).normalize_or(Vec3::Z));
    let (across_mm, clear_mm) = (gate.runner_diameter_mm, bench.shop().limits.least_rubber_mm);
    let round_it = || runner::round(&master, &setting, at, normal, draw, across_mm, clear_mm);
    let up = frames.rubber_up();
    // With the shortest narrow end that keeps the runner out of the part.
    let laid = |way: Vec<Vec3>| {
        let axis = land::axis(&master, up, at, &way, false);
        let land_mm = land::land_mm(&master, &axis, gate.diameter_mm, gate.runner_diameter_mm, gate.land_mm)?;
        Some((way, land_mm))
    };
    let way = match round {
        // Straight up as a hand asks for it is laid all the same, and told.
        Some(false) => Some(laid(Vec::new()).unwrap_or((Vec::new(), gate.land_mm))),
        Some(true) => round_it().and_then(laid),
        None => runner::route(&master, &setting, at, normal, draw, across_mm, clear_mm)
            .and_then(laid)
            .or_else(|| round_it().and_then(laid)),
    };
    let Some((way, land_mm)) = way else { return Ok(false) };
    gate.land_mm = land_mm;
    gate.kind = match normal.dot(frames.rubber_up()) {
        _ if way.is_empty() => GateKind::Top,
        n if n < -0.5 => GateKind::Bottom,
        _ => GateKind::Side,
    };
    gate.runner = way.into_iter().map(|c| frames.set_point_from_work(c)).collect();
    Ok(true)
}

/// Lays a set out anew, and the runners of its gates with it.
///
/// # Errors
/// As the facts it is made from.
pub fn lay_out_with_runners_into(
    bench: &Bench,
    plan: &mut Plan,
    reasons: &mut Vec<String>,
    run: &Run,
) -> Result<(), StudyError> {
    if plan.parts.len() < 2 {
        return Ok(());
    }
    lay_out_set_into(bench, plan, reasons, run)?;
    run.progress(0.5);
    lay_runners_into(bench, plan, reasons, run)
}

/// Lays the runners of all gates anew that do not come straight from above: into one another and up to one standing rod.
///
/// # Errors
/// As the facts it is made from.
pub fn lay_runners_into(
    bench: &Bench,
    plan: &mut Plan,
    reasons: &mut Vec<String>,
    run: &Run,
) -> Result<(), StudyError> {
    if plan.feed.gates.iter().all(|g| g.runner.is_empty()) {
        return Ok(());
    }
    let setting = bench.setting(plan)?;
    let body = bench.body(plan, &setting, run)?;
    let parting = bench.parting(plan, &setting, &body, run)?;
    let master = bench.master(plan, &setting, &body, run)?;
    let bodies = feed::Bodies { resin: &body, master: &master };
    if !set_feed::lay_all(plan, bench.shop(), &setting, bodies, &parting, run)? {
        reasons.push("One gate finds no way for its runner: move it, or propose the feed anew".into());
    }
    Ok(())
}
