//! What was changed since the last issue of the sheet.
//!
//! An issue keeps what its sheet told of each thing, in the words of the sheet itself; two issues are compared word for
//! word, so that whatever is printed otherwise than before is told and nothing else is.

use super::SheetInput;
use super::figures;
use super::job::SheetJob;
use super::page::Paper;
use super::rods;
use super::setup::from_walls;
use super::silicone;
use super::words::{self, changed as say};
use crate::plan::issue::{KEPT, MOST_DECISIONS, MOST_DRAWN_MM3, digest_of_decided};
use crate::plan::{Decision, Issue, PieceOf, Plan};
use crate::shop::Shop;
use crate::study::bench::Facts;
use crate::study::report::Report;

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
        add(say::part(i + 1), format!("{name}, {}{stands}", figures::short_digest(&part.digest)));
    }
    let row = |r: [f64; 3]| r.map(|v| format!("{:.4}", if v.abs() < 5e-5 { 0.0 } else { v })).join(", ");
    add(say::HANG.into(), say::up(&row(report.frame.box_from_part.rotation[2])));
    add(say::CAST.into(), say::up_of_box(&row(report.frame.cast_from_box.rotation[2])));
    add(say::DRAW.into(), say::towards(words::toward(report.parting.draw)));
    add(say::MASTER.into(), words::template::size(plan.master_factor()));
    add(say::BLOCK.into(), figures::box_mm(report.block.size_mm));
    for shown in &plan.shown {
        let name = words::name_or(&shown.name, "without a name");
        add(say::shown(&name), words::finish(shown.finish).to_owned());
    }
    if plan.master.plugged_rods > 0 {
        let rods = say::rods(plan.master.plugged_rods, &figures::diameter(plan.master.plugged_rod_mm));
        add(say::RODS.into(), rods);
    }
    if !plan.feed.gates.is_empty() {
        let cup = plan.feed.cup;
        add(say::CUP.into(), say::cup(&figures::diameter(cup.diameter_mm), &figures::mm(cup.height_mm)));
    }
    let holes = super::steps::shut_offs(input);
    if !holes.is_empty() {
        let holes: Vec<String> = holes.iter().map(|(kind, n)| format!("{n}: {}", words::separation(*kind))).collect();
        add(say::HOLES.into(), holes.join("; "));
    }
    for cut in &plan.parting.relief_cuts {
        add(say::relief_cut(&words::name_or(&cut.name, "without a name")), figures::mm(cut.depth_mm));
    }
    for piece in &plan.parting.loose_pieces {
        let of = if piece.of == PieceOf::Metal { "metal" } else { "rubber" };
        add(say::loose_piece(&words::name_or(&piece.name, "without a name")), of.to_owned());
    }
    for gate in &plan.feed.gates {
        let at = report.feed.gates_mm.get(plan.feed.gates.iter().position(|g| g.number == gate.number).unwrap_or(0));
        let made = rods::gate_made(input, gate);
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
    let pots: Vec<String> = s.pours.iter().map(|p| p.pots.to_string()).collect();
    let (_, cure) = silicone::cure(s);
    add(say::POURS.into(), say::pours(&pots.join(" + "), s.degas_in_box, &cure, &figures::celsius(s.cure_c)));
    let r = &report.resin;
    add(say::RESIN.into(), say::weights(&r.name, &figures::mass(r.a_g), &figures::mass(r.b_g)));
    let wanted: Vec<String> = match &plan.kinds()[..] {
        [] => vec![plan.quantity.good.to_string()],
        [one] => vec![one.wanted.to_string()],
        kinds => kinds.iter().map(|k| words::so_many(k.wanted, &k.name)).collect(),
    };
    add(say::QUANTITY.into(), wanted.join(", "));
    if !plan.notes.trim().is_empty() {
        add(say::NOTES.into(), words::short(&crate::sheet::lettering::plain(&plan.notes), 300));
    }
    all.truncate(MOST_DECISIONS);
    all
}

/// The issue before the plan's own revision; none where this is the first.
pub fn last_issue(plan: &Plan) -> Option<&Issue> {
    plan.issues.iter().filter(|i| i.revision < plan.revision).max_by_key(|i| i.revision)
}

/// The issue that bears the plan's own revision and how the plan differs from it by now; none where nothing was issued under it,
/// and none where the plan still tells what its issue told.
pub fn since_issue<'a>(input: &SheetInput<'a>) -> Option<(&'a Issue, Vec<String>)> {
    let issue = input.plan.own_issue()?;
    let mut lines = differences(&issue.decisions, &decisions(input));
    if lines.is_empty() && !issue.plan.is_empty() && issue.plan != digest_of_decided(input.plan) {
        lines.push(say::UNLISTED.to_owned());
    }
    (!lines.is_empty()).then_some((issue, lines))
}

/// Lines that tell how `now` differs from what an issue told.
pub fn differences(before: &[Decision], now: &[Decision]) -> Vec<String> {
    let mut lines = Vec::new();
    let name = |d: &Decision| if d.what == say::BLOCK_BEFORE { say::BLOCK.to_owned() } else { d.what.clone() };
    for d in now {
        match before.iter().find(|b| name(b) == d.what) {
            None => lines.push(say::new(&d.what, &d.how)),
            Some(b) if b.how != d.how => lines.push(say::other(&d.what, &b.how, &d.how)),
            Some(_) => {}
        }
    }
    for b in before.iter().filter(|b| now.iter().all(|d| d.what != name(b))) {
        lines.push(say::gone(&b.what));
    }
    lines
}

/// Counts the revision of `plan` up, dates it, and keeps in it what its sheet tells, with the figure of a fill that its weights
/// rest on.
pub fn issue(plan: &mut Plan, date: String, shop: &Shop, facts: &Facts, report: &Report) {
    plan.revision = plan.revision.saturating_add(1);
    plan.revision_date = date;
    plan.keep_materials(shop);
    // Words do not depend on the paper.
    let told = decisions(&SheetJob::new(plan, shop, facts, report, None).input(Paper::A4));
    let let_up = &report.feed.figures.let_up;
    let draws_mm3 = let_up.from_fill.then_some(let_up.draws_mm3).filter(|mm3| *mm3 <= MOST_DRAWN_MM3);
    keep_issue(plan, told, draws_mm3);
}

/// Keeps in `plan` what its revision told, in place of an earlier record of the same revision; `draws_mm3` is what the let-up
/// draws where a fill that was followed says so.
pub fn keep_issue(plan: &mut Plan, decisions: Vec<Decision>, draws_mm3: Option<f64>) {
    plan.issues.retain(|i| i.revision != plan.revision);
    let (revision, date) = (plan.revision, plan.revision_date.clone());
    plan.issues.push(Issue { revision, date, decisions, plan: digest_of_decided(plan), draws_mm3 });
    plan.issues.sort_by_key(|i| i.revision);
    let spare = plan.issues.len().saturating_sub(KEPT);
    plan.issues.drain(..spare);
}
