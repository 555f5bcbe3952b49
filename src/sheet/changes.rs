//! What was changed since the last issue of the sheet.
//!
//! An issue keeps what its sheet told of each thing, in the words of the sheet itself; two issues are compared word for
//! word, so that whatever is printed otherwise than before is told and nothing else is.

use super::SheetInput;
use super::figures;
use super::setup::from_walls;
use super::words::{self, changed as say};
use crate::plan::issue::{KEPT, MOST_DECISIONS};
use crate::plan::{Decision, Issue, Plan};

/// What the sheet tells of each thing that was decided.
pub fn decisions(input: &SheetInput<'_>) -> Vec<Decision> {
    let (plan, report) = (input.plan, input.report);
    let mut all: Vec<Decision> = Vec::new();
    let mut add = |what: String, how: String| all.push(Decision { what, how });
    let place = |p: [f64; 3]| from_walls(input, p).join(" · ");
    for (i, part) in plan.parts.iter().enumerate() {
        let stands = report.parts.get(i).filter(|_| plan.parts.len() > 1).map(|p| place(p.corner_mm()));
        let stands = stands.map_or(String::new(), |at| format!(", {at}"));
        let name = words::name_or(&part.name, "–");
        let several = report.parts.get(i).filter(|p| p.bodies_in_file > 1);
        let bodies = several.map_or(String::new(), |p| format!(", {}", say::bodies(p.bodies_in_file, p.of_bodies)));
        add(say::part(i + 1), format!("{name}, {}{bodies}{stands}", figures::short_digest(&part.digest)));
    }
    let row = |r: [f64; 3]| r.map(|v| format!("{:.4}", if v.abs() < 5e-5 { 0.0 } else { v })).join(", ");
    add(say::HANG.into(), say::up(&row(report.frame.box_from_part.rotation[2])));
    add(say::CAST.into(), say::up_of_box(&row(report.frame.cast_from_box.rotation[2])));
    add(say::DRAW.into(), say::towards(words::toward(report.parting.draw)));
    add(say::BOX.into(), figures::box_mm(report.block.size_mm));
    for gate in &plan.feed.gates {
        let at = report.feed.gates_mm.get(plan.feed.gates.iter().position(|g| g.number == gate.number).unwrap_or(0));
        let runner = report.feed.runners.iter().find(|r| r.number == gate.number);
        let legs: Vec<String> = runner.iter().flat_map(|r| &r.legs).map(|l| figures::bare_mm(l.length_mm)).collect();
        let made =
            words::gate_made(gate.kind, &figures::diameter(gate.runner_diameter_mm), &legs, gate.joins, gate.made);
        let at = at.map_or(figures::UNKNOWN.into(), |p| place(*p));
        add(words::gate(gate.number, ""), format!("{at}, {}, {made}", figures::diameter(gate.diameter_mm)));
    }
    for vent in &plan.vents {
        let found = report.vents.iter().find(|v| v.number == vent.number);
        let at = found.map_or(figures::UNKNOWN.into(), |v| place(v.position_mm));
        let made = words::made(vent.made);
        add(words::vent(vent.number, ""), format!("{at}, {}, {made}", figures::diameter(vent.diameter_mm)));
    }
    for insert in &plan.inserts {
        let found = report.inserts.iter().find(|i| i.number == insert.number);
        let at = found.map_or(figures::UNKNOWN.into(), |i| place(i.position_mm));
        let kind = words::insert_kind(&insert.kind);
        let pocket = words::inserts::in_pocket(&figures::mm(insert.in_pocket_mm), words::pocket(insert.pocket));
        add(words::insert(insert.number, ""), format!("{at}, {kind}, {pocket}"));
    }
    if let (Some(second), Some(found)) = (&plan.second_shot, &report.second_shot) {
        let name = words::name_or(&second.name, "–");
        let contact = figures::area(found.contact_mm2);
        add(words::two_shot::CHANGED.into(), words::two_shot::decided(&name, second.makes, second.cavity, &contact));
    }
    let s = &report.silicone;
    add(say::SILICONE.into(), say::weights(&s.name, &figures::mass(s.a_g), &figures::mass(s.b_g)));
    let r = &report.resin;
    add(say::RESIN.into(), say::weights(&r.name, &figures::mass(r.a_g), &figures::mass(r.b_g)));
    let wanted: Vec<String> = match &plan.kinds()[..] {
        [] => vec![plan.quantity.good.to_string()],
        [one] => vec![one.wanted.to_string()],
        kinds => kinds.iter().map(|k| words::so_many(k.wanted, &k.name)).collect(),
    };
    add(say::QUANTITY.into(), wanted.join(", "));
    all.truncate(MOST_DECISIONS);
    all
}

/// The issue before the plan's own revision; none where this is the first.
pub fn last_issue(plan: &Plan) -> Option<&Issue> {
    plan.issues.iter().filter(|i| i.revision < plan.revision).max_by_key(|i| i.revision)
}

/// Lines that tell how `now` differs from what an issue told.
pub fn differences(before: &[Decision], now: &[Decision]) -> Vec<String> {
    let mut lines = Vec::new();
    for d in now {
        match before.iter().find(|b| b.what == d.what) {
            None => lines.push(say::new(&d.what, &d.how)),
            Some(b) if b.how != d.how => lines.push(say::other(&d.what, &b.how, &d.how)),
            Some(_) => {}
        }
    }
    for b in before.iter().filter(|b| now.iter().all(|d| d.what != b.what)) {
        lines.push(say::gone(&b.what));
    }
    lines
}

/// Keeps in `plan` what its revision told, in place of an earlier record of the same revision.
pub fn keep_issue(plan: &mut Plan, decisions: Vec<Decision>) {
    plan.issues.retain(|i| i.revision != plan.revision);
    plan.issues.push(Issue { revision: plan.revision, date: plan.revision_date.clone(), decisions });
    plan.issues.sort_by_key(|i| i.revision);
    let spare = plan.issues.len().saturating_sub(KEPT);
    plan.issues.drain(..spare);
}
