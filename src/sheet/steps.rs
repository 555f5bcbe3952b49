//! The bench steps, in order, made from the plan: what is not in the plan has no line, what is in it has one.

use super::layout::Tick;
use super::setup::from_walls;
use super::words::{self, caution, step, two_shot};
use super::{SheetInput, figures, rods};
use crate::plan::{Half, Made, PieceOf, PocketMade, Separation, Shot, SoftCavity, Stage, Threads};
use crate::study::job::wall_name::WallName;
use crate::study::numbers::figures::{HangDirection, PanelReport, PourReport};
use crate::study::report::VentReport;
use crate::study::report::feed::from;

/// Vents that are named at most.
const MOST_VENTS: usize = 40;
/// Last places to fill that are named at most.
const MOST_LAST: usize = 3;

/// What the let-up draws is told from this on, mm³; less is within the layer that stays in the cup.
const LEAST_DRAWN_MM3: f64 = 100.0;

/// From this height on resin is told to fall from a gate, millimetres: what is less nobody sees.
const LEAST_FALL_MM: f64 = 0.05;

/// A line of the list.
#[derive(Clone, Debug, PartialEq)]
pub enum Line {
    /// Something to do.
    Tick(Tick),
    /// A caution, before what it belongs to.
    Caution(&'static str),
}

/// A stretch of the work.
#[derive(Clone, Debug, PartialEq)]
pub struct Section {
    /// Its heading.
    pub title: &'static str,
    /// The stage that is reached when it is done.
    pub reaches: Stage,
    /// Its lines.
    pub lines: Vec<Line>,
}

/// All steps of the job.
pub fn sections(input: &SheetInput<'_>) -> Vec<Section> {
    vec![
        Section { title: step::MASTER, reaches: Stage::Poured, lines: master(input) },
        Section { title: step::BOX, reaches: Stage::Poured, lines: hang(input) },
        Section { title: step::RUBBER, reaches: Stage::Poured, lines: rubber(input) },
        Section { title: step::OPEN, reaches: Stage::Cut, lines: open(input) },
        // Casting goes on for as long as there are casts to make; its list is always printed.
        Section { title: step::CAST, reaches: Stage::Casting, lines: cast(input) },
    ]
}

fn tick(words: impl Into<String>, detail: impl Into<String>) -> Line {
    Line::Tick(Tick { words: words.into(), detail: detail.into(), ..Tick::default() })
}

fn set(words: impl Into<String>, detail: impl Into<String>, figure: String, write: &str) -> Line {
    Line::Tick(Tick { words: words.into(), detail: detail.into(), figure, write: write.into() })
}

/// Through-holes by how their halves are kept apart.
pub(in crate::sheet) fn shut_offs(input: &SheetInput<'_>) -> Vec<(Separation, usize)> {
    let kinds = [Separation::Taped, Separation::Cut, Separation::Torn, Separation::FilledAndDrilled];
    kinds
        .into_iter()
        .map(|kind| (kind, input.report.parting.shut_offs.iter().filter(|s| s.separation == kind).count()))
        .filter(|(_, count)| *count > 0)
        .collect()
}

fn master(input: &SheetInput<'_>) -> Vec<Line> {
    let plan = input.plan;
    let mut lines = vec![Line::Caution(caution::SHEETS)];
    for kind in plan.kinds() {
        let part = &plan.parts[kind.parts[0]];
        let factor = match part.scale {
            crate::plan::Scale::Nominal { master_factor } => master_factor,
            crate::plan::Scale::Master { factor } => factor,
        };
        let mut detail =
            if (factor - 1.0).abs() < 5e-5 { step::MASTER_TO_SIZE.to_owned() } else { step::master_scale(factor) };
        if let Some(place) = input.report.parts.get(kind.parts[0]).filter(|p| p.bodies_in_file > 1) {
            detail = format!("{detail}; {}", step::bodies(place.bodies_in_file, place.of_bodies));
        }
        lines.push(tick(step::masters(kind.a_shot(), &words::name_or(&part.name, "the part")), detail));
    }
    lines.extend(hard_in_master(input));
    for shown in &plan.shown {
        lines.push(tick(step::finish(&words::name_or(&shown.name, "without a name"), words::finish(shown.finish)), ""));
    }
    lines.push(Line::Caution(caution::SILICONE));
    lines.push(tick(step::TRIAL, if plan.master.cure_trial { step::TRIAL_DONE } else { step::TRIAL_DETAIL }));
    if input.report.hanging.sealed_hollow {
        lines.push(tick(step::SEALED, step::SEALED_DETAIL));
    }
    lines.push(tick(step::MARK_LINE, step::MARK_LINE_DETAIL));
    for (kind, count) in shut_offs(input) {
        if matches!(kind, Separation::Taped | Separation::FilledAndDrilled) {
            lines.push(tick(step::shut_offs(count, words::separation(kind)), ""));
        }
    }
    for insert in plan.inserts.iter().filter(|i| i.pocket == PocketMade::DummyOnMaster) {
        let words = step::dummy(&words::insert(insert.number, &insert.name), &words::insert_kind(&insert.kind));
        lines.push(set(
            words,
            step::stands_out(&figures::mm(insert.in_pocket_mm), &figures::fine_mm(input.limits.pocket_fit_mm)),
            String::new(),
            "",
        ));
    }
    lines
}

/// The hard part of a two-shot job in the master of the soft one's block.
fn hard_in_master(input: &SheetInput<'_>) -> Option<Line> {
    let second = input.plan.loaded_hard()?;
    Some(match second.cavity {
        SoftCavity::OwnTool => {
            let hard = words::name_or(&second.name, "the hard part");
            tick(two_shot::both_masters(&hard), two_shot::BOTH_MASTERS)
        }
        SoftCavity::RoundFirstCast => tick(two_shot::FIRST_CAST, two_shot::FIRST_CAST_DETAIL),
    })
}

/// The hard cast that goes into the soft part's block before each shot.
fn load_hard(input: &SheetInput<'_>) -> Vec<Line> {
    let (Some(_), Some(found)) = (input.plan.loaded_hard(), &input.report.second_shot) else { return Vec::new() };
    let [least, longest] = found.wait_limits_s.map(figures::time);
    let detail = two_shot::load_detail(&figures::area(found.contact_mm2), &least, &longest);
    vec![Line::Caution(caution::BOND), tick(two_shot::RELEASE_FIRST, ""), tick(two_shot::LOAD_HARD, detail)]
}

/// What becomes of a hard cast that is to be cast over.
fn keep_clean(input: &SheetInput<'_>) -> Vec<Line> {
    let hard = input.plan.second_shot.as_ref().filter(|s| s.makes == Shot::Hard);
    let (Some(_), Some(found)) = (hard, &input.report.second_shot) else { return Vec::new() };
    let [least, longest] = found.wait_limits_s.map(figures::time);
    let words = two_shot::keep_clean(&figures::area(found.contact_mm2));
    vec![Line::Caution(caution::BOND), tick(words, two_shot::cast_over(&least, &longest))]
}

fn hang(input: &SheetInput<'_>) -> Vec<Line> {
    let (plan, report) = (input.plan, input.report);
    let block = &report.block;
    let mut lines: Vec<Line> = block
        .panels
        .iter()
        .map(|panel| {
            let [long, wide] = panel.size_mm.map(figures::bare_mm);
            let words = step::panel(panel.count, &panel.what, &block.panel);
            set(words, stands(panel), format!("{long} × {wide} mm"), "")
        })
        .collect();
    if block.freeboard_mm > 0.0 {
        let [level, free] = [block.size_mm[2], block.freeboard_mm].map(figures::mm);
        lines.push(tick(step::freeboard(&level, &free), block.joint.clone()));
    }
    let [length, width, silicone] = block.size_mm;
    let inside = figures::box_mm([length, width, silicone + block.freeboard_mm]);
    lines.push(set(step::BUILD_BOX, step::panels(&figures::mm(silicone)), inside, ""));
    for gate in plan.feed.gates.iter().filter(|g| g.made == Made::RodPulled) {
        let words = step::feed_rod(
            &words::gate(gate.number, &gate.name),
            &figures::diameter(gate.diameter_mm),
            &figures::diameter(gate.runner_diameter_mm),
        );
        lines.push(tick(words, rods::cut_words(input, gate)));
    }
    let feed = &report.feed.figures;
    for gate in &feed.gates {
        // The reason for the way that is proposed is no reason for a gate that stands elsewhere.
        let why = match gate.falls_mm {
            _ if gate.as_proposed && !feed.why.is_empty() => feed.why.clone(),
            Some(mm) if mm >= LEAST_FALL_MM => step::falls(&figures::mm(mm)),
            Some(_) => step::RISES.to_owned(),
            None => String::new(),
        };
        lines.push(tick(step::feed_way(gate.number, from(gate.way)), why));
    }
    for vent in plan.vents.iter().filter(|v| v.made == Made::RodPulled) {
        let found = report.vents.iter().find(|v| v.number == vent.number);
        let length = |v: &VentReport| step::rod_length(&figures::mm(rods::vent_length(v)), rods::beam(input));
        let detail = found.map_or(String::new(), length);
        let figure = figures::diameter(vent.diameter_mm);
        lines.push(set(step::vent_rod(&words::vent(vent.number, &vent.name)), detail, figure, ""));
    }
    if plan.master.plugged_rods > 0 {
        let rods = step::plugged_rods(plan.master.plugged_rods, &figures::diameter(plan.master.plugged_rod_mm));
        lines.push(tick(rods, ""));
    }
    let hanging = &report.hanging;
    let newtons = figures::force(hanging.net_force_n.abs());
    let driven = match hanging.direction {
        HangDirection::Up => step::floats(&newtons),
        HangDirection::Down if hanging.stuck_to_floor => step::pressed(&newtons),
        HangDirection::Down => step::sinks(&newtons),
        HangDirection::Still => step::STILL.to_owned(),
    };
    for piece in plan.parting.loose_pieces.iter().filter(|p| p.of == PieceOf::Metal) {
        lines.push(tick(step::set_core(&words::name_or(&piece.name, "without a name")), step::SET_CORE_DETAIL));
    }
    let detail = step::hang_detail(&figures::mm(report.block.below_mm), &figures::mm(report.block.wall_mm));
    lines.push(tick(step::HANG, detail));
    lines.push(tick(step::HOLD, driven));
    if !hanging.stuck_to_floor {
        lines.push(tick(step::beam(&figures::box_mm(hanging.beam_mm)), ""));
    }
    lines.push(tick(step::CHECK_POSITIONS, ""));
    lines
}

fn rubber(input: &SheetInput<'_>) -> Vec<Line> {
    let pours = &input.report.silicone.pours;
    let mut lines: Vec<Line> = pours.iter().enumerate().flat_map(|(i, pour)| one_pour(input, i, pour)).collect();
    // Said once, before the first time that it is wanted.
    let mut told = false;
    lines.retain(|l| *l != Line::Caution(caution::VACUUM) || !std::mem::replace(&mut told, true));
    lines
}

/// A pour from its first weight to its cure, in the order in which hands do it.
fn one_pour(input: &SheetInput<'_>, i: usize, pour: &PourReport) -> Vec<Line> {
    let (s, block) = (&input.report.silicone, &input.report.block);
    let (several, last) = (s.pours.len() > 1, i + 1 == s.pours.len());
    let (up_to, life) = (figures::mm(pour.up_to_mm), figures::time(s.pot_life_s));
    let litres = figures::litres(pour.pot_litres);
    let mut lines = Vec::new();
    if several {
        lines.push(tick(step::pour(i + 1, &up_to, &figures::mass(pour.a_g), &figures::mass(pour.b_g)), ""));
    }
    lines.extend([
        tick(step::pots(pour.pots, &litres, s.degas_in_box), ""),
        set(step::weigh_silicone_a(pour.pots), "", figures::mass(pour.pot_a_g), step::WRITE_MASS),
        set(step::weigh_silicone_b(pour.pots), "", figures::mass(pour.pot_b_g), step::WRITE_MASS),
    ]);
    let degas = |words: &str, detail: String| {
        [Line::Caution(caution::VACUUM), set(words, detail, String::new(), step::WRITE_TIME)]
    };
    if !s.degas_in_box {
        lines.extend(degas(step::DEGAS_SILICONE, step::pot_detail(&litres, &life)));
    }
    let detail = if last { step::cover_detail(&figures::mm(block.above_mm)) } else { step::pour_detail(&up_to) };
    lines.push(set(step::POUR_SILICONE, detail, String::new(), step::WRITE_TIME));
    if s.degas_in_box {
        lines.extend(degas(step::DEGAS_IN_BOX, step::box_detail(&figures::mm(block.freeboard_mm), &life)));
    }
    let celsius = figures::celsius(s.cure_c);
    let words = if last { step::cure(&celsius) } else { step::cure_before_next(i + 1, &celsius) };
    lines.push(set(words, step::CURE_DETAIL, figures::time(pour.cure_s), step::WRITE_TIME));
    lines
}

/// Where a panel stands in the box.
fn stands(panel: &PanelReport) -> String {
    let sides: Vec<&str> = panel.stands.iter().map(|s| words::side(*s)).collect();
    let sides = sides.join(" and ");
    match (panel.stands.contains(&WallName::Floor), panel.stands.is_empty()) {
        (true, _) => step::UNDER_WALLS.to_owned(),
        (_, true) => String::new(),
        _ if panel.what.starts_with("long") => step::over_ends(&sides),
        _ => step::between(&sides),
    }
}

fn open(input: &SheetInput<'_>) -> Vec<Line> {
    let (plan, report) = (input.plan, input.report);
    let mut lines = vec![tick(step::UNBOX, "")];
    let [pulled, lifted] = rods::pulled_and_lifted(input);
    let rods = pulled.len()
        + plan.vents.iter().filter(|v| v.made == Made::RodPulled).count()
        + plan.master.plugged_rods as usize;
    if rods > 0 {
        lines.push(tick(step::pull_rods(rods), ""));
    }
    if plan.master.plugged_rods > 0 {
        lines.push(tick(step::plug_holes(plan.master.plugged_rods), ""));
    }
    lines.push(Line::Caution(caution::BLADE));
    lines.push(tick(step::CUT, step::cut_detail(words::toward(report.parting.draw))));
    if !lifted.is_empty() {
        let names: Vec<String> = lifted.iter().map(|g| words::gate(g.number, "")).collect();
        lines.push(tick(step::lift_runner(&names.join(", ")), step::LIFT_RUNNER_DETAIL));
    }
    for (kind, count) in shut_offs(input) {
        if matches!(kind, Separation::Cut | Separation::Torn) {
            lines.push(tick(step::shut_offs(count, words::separation(kind)), ""));
        }
    }
    for cut in &plan.parting.relief_cuts {
        let words = step::relief(&words::name_or(&cut.name, "without a name"), &figures::mm(cut.depth_mm));
        lines.push(tick(words, ""));
    }
    for piece in &plan.parting.loose_pieces {
        let name = words::name_or(&piece.name, "without a name");
        let words = match piece.of {
            PieceOf::Rubber => step::loose(&name),
            PieceOf::Metal => step::draw_core(&name),
        };
        lines.push(tick(words, ""));
    }
    let gates = plan.feed.gates.iter().map(|g| (words::gate(g.number, &g.name), g.runner_diameter_mm, g.made));
    let vents = plan.vents.iter().map(|v| (words::vent(v.number, &v.name), v.diameter_mm, v.made));
    for (name, diameter, made) in gates.chain(vents) {
        let diameter = figures::diameter(diameter);
        match made {
            Made::RodPulled => {}
            Made::PunchedFromCavity => lines.push(tick(step::punch(&name, &diameter), "")),
            Made::GrooveInParting => lines.push(tick(step::groove(&name, &diameter), "")),
        }
    }
    for insert in plan.inserts.iter().filter(|i| i.pocket == PocketMade::DrilledAfter) {
        let name = words::insert(insert.number, &insert.name);
        lines.push(tick(step::drill(&name, &figures::mm(insert.in_pocket_mm)), ""));
    }
    let detail = undercut_words(input);
    lines.push(tick(step::TAKE_OUT, detail));
    if plan.loaded_hard().is_some_and(|s| s.cavity == SoftCavity::RoundFirstCast) {
        lines.push(tick(two_shot::KEEP_FIRST, ""));
    }
    lines
}

fn undercut_words(input: &SheetInput<'_>) -> String {
    let limit = input.limits.undercut_depth_mm;
    let deep: Vec<f64> = input.report.parting.undercuts.iter().map(|u| u.depth_mm).filter(|d| *d > limit).collect();
    if deep.is_empty() {
        return String::new();
    }
    let deepest = deep.iter().copied().fold(0.0, f64::max);
    step::undercuts(deep.len(), &figures::mm(deepest))
}

fn cast(input: &SheetInput<'_>) -> Vec<Line> {
    let (plan, report, resin) = (input.plan, input.report, input.resin);
    let mut lines = Vec::new();
    // What stays empty is told before anything is weighed for it.
    lines.extend(last_to_fill(input).filter(|_| !is_filled(input)));
    if report.parts.len() > 1 {
        let yields = &report.casts.yields;
        let a_shot: Vec<String> = yields.iter().map(|y| words::so_many(y.a_shot, &y.kind)).collect();
        let wanted: Vec<String> = yields.iter().map(|y| words::so_many(y.wanted, &y.kind)).collect();
        lines.push(tick(step::shot_gives(&a_shot.join(", ")), step::shots_for(&wanted.join(", "), report.casts.good)));
    }
    lines.push(tick(step::LOOK_OVER, step::LOOK_OVER_DETAIL));
    for insert in &plan.inserts {
        let half: fn(Half) -> String = |h| step::into_half(words::half(h));
        let words = step::load(&words::insert(insert.number, &insert.name), &insert.half.map_or(String::new(), half));
        let detail = if insert.threads == Threads::None { "" } else { words::threads(insert.threads) };
        lines.push(tick(words, detail));
    }
    for piece in &plan.parting.loose_pieces {
        let name = words::name_or(&piece.name, "without a name");
        let words = if piece.of == PieceOf::Metal { step::load_core(&name) } else { step::load_loose(&name) };
        lines.push(tick(words, ""));
    }
    lines.extend(load_hard(input));
    let closing = report.block.closing.as_ref();
    let detail = closing
        .map_or(step::CLOSE_DETAIL.to_owned(), |c| step::close_with(c, &figures::force(report.block.lift_force_n)));
    lines.push(tick(step::CLOSE, detail));
    let rubber_up = plan.hang.rubber.up.try_normalize();
    let cast_up = plan.hang.cast_attitude().up.try_normalize();
    let turned = match (rubber_up, cast_up) {
        (Some(a), Some(b)) => a.dot(b).clamp(-1.0, 1.0).acos().to_degrees(),
        _ => 0.0,
    };
    let standing = &report.air.standing;
    let raised: Vec<String> = standing.raised.iter().map(|r| step::raise(r.edge, &figures::mm(r.lift_mm))).collect();
    let stand = match turned > 0.5 {
        true => step::prop(turned, standing.tilt_deg, &raised.join(" and ")),
        false => step::STAND.to_owned(),
    };
    lines.push(Line::Caution(caution::OVEN));
    let days = &report.days;
    let heat = words::numbers::preheat(&figures::time(days.preheat_s), &figures::time(days.reheat_s));
    lines.push(set(step::PREHEAT, heat, figures::celsius(resin.mould_c), step::WRITE_TIME));
    lines.push(Line::Caution(caution::ISOCYANATE));
    lines.push(Line::Caution(caution::MOISTURE));
    lines.push(set(step::WEIGH_RESIN_A, "", figures::mass(report.resin.a_g), ""));
    let within = step::within(&figures::mass(report.resin.tolerance_g));
    lines.push(set(step::WEIGH_RESIN_B, within, figures::mass(report.resin.b_g), ""));
    if report.resin.pigment_g > 0.0 {
        lines.push(set(step::PIGMENT, "", figures::mass(report.resin.pigment_g), ""));
    }
    if report.resin.blocks_a_batch > 1 {
        lines.push(tick(step::batch(report.resin.blocks_a_batch, &figures::mass(report.resin.batch_g)), ""));
    }
    // From the door's closing to its opening nothing may want a hand.
    lines.push(tick(stand, step::lean(input.limits.lean_deg)));
    lines.push(tick(step::CLOSE_CHAMBER, step::CLOSE_CHAMBER_DETAIL));
    lines.push(set(step::DEGAS_RESIN, step::ABSOLUTE, figures::pressure(input.limits.chamber_pa), ""));
    let detail = step::mix_detail(&figures::time(report.resin.pot_life_s), &figures::mass(resin.pot_life_batch_g));
    lines.push(set(step::MIX, detail, String::new(), step::WRITE_TIME));
    lines.extend(pour(input));
    let let_up = &report.feed.figures.let_up;
    if let_up.draws_mm3 >= LEAST_DRAWN_MM3 {
        let (depth, draws) = (figures::mm(let_up.in_cup_mm), figures::volume(let_up.draws_mm3));
        lines.push(tick(step::leave_in_cup(&depth, &draws), ""));
    }
    if report.vents.is_empty() {
        lines.push(tick(step::LET_UP_SLOWLY, ""));
    } else {
        lines.push(tick(step::LET_UP, step::LET_UP_SLOWLY));
    }
    lines.push(Line::Caution(caution::EXOTHERM));
    lines.push(set(
        step::OVEN,
        step::oven_detail(&figures::celsius(resin.mould_c)),
        figures::time(resin.demould_s),
        step::WRITE_TIME,
    ));
    let undercut = undercut_words(input);
    let detail = if undercut.is_empty() {
        step::DEMOULD_DETAIL.to_owned()
    } else {
        format!("{} {undercut}.", step::DEMOULD_DETAIL)
    };
    lines.push(tick(step::DEMOULD, detail));
    lines.extend(look_for(input));
    lines.extend(keep_clean(input));
    for insert in plan.inserts.iter().filter(|i| !i.stays) {
        lines.push(tick(step::pull(&words::insert(insert.number, &insert.name)), ""));
    }
    lines.push(Line::Caution(caution::DUST));
    if shut_offs(input).iter().any(|(kind, _)| *kind == Separation::FilledAndDrilled) {
        lines.push(tick(step::DRILL_HOLES, ""));
    }
    let detail = match report.parts.len() {
        0 | 1 => step::TRIM_DETAIL.to_owned(),
        parts => step::trim_set(parts),
    };
    let detail = step::trim_with(&detail, super::setup::weighed_with(input));
    lines.push(set(step::TRIM, detail, figures::mass(report.trimmed_g()), ""));
    lines.push(tick(step::REST, ""));
    lines
}

/// The vents in the order in which resin shows at them, by their numbers where nobody knows it.
pub fn vents_in_order<'a>(input: &SheetInput<'a>) -> Vec<&'a VentReport> {
    let mut vents: Vec<&VentReport> = input.report.vents.iter().collect();
    vents.sort_by_key(|v| (v.shows_in_order.unwrap_or(usize::MAX), v.number));
    vents
}

/// True where the fill that was followed filled the whole cavity.
fn is_filled(input: &SheetInput<'_>) -> bool {
    let fill = input.report.fill.as_ref();
    fill.is_some_and(|f| f.stages.first().is_some_and(|s| s.filled_share > 0.999))
}

/// The last places to fill, or those that stay empty.
fn last_to_fill(input: &SheetInput<'_>) -> Option<Line> {
    let fill = input.report.fill.as_ref()?;
    let places = fill.last_points_mm.iter().take(MOST_LAST).map(|p| from_walls(input, *p).join(" · "));
    let places: Vec<String> = places.collect();
    (!places.is_empty()).then(|| tick(step::last_places(is_filled(input)), step::places(&places.join("; "))))
}

/// Where to look when the cast comes out, by the fill that was followed.
fn look_for(input: &SheetInput<'_>) -> Vec<Line> {
    let mut lines: Vec<Line> = last_to_fill(input).filter(|_| is_filled(input)).into_iter().collect();
    let Some(fill) = &input.report.fill else { return lines };
    if let Some(longest) = fill.knit_lines.first() {
        let place = from_walls(input, longest.position_mm).join(" · ");
        lines.push(tick(step::KNIT, step::knit_detail(fill.knit_lines.len(), longest.length_mm, &place)));
    }
    if fill.closed_round_mm3 > 0.0 {
        let [before, after] = [fill.closed_round_mm3, fill.after_let_up_mm3].map(figures::volume);
        lines.push(tick(step::closed_round(&before), step::closed_round_detail(&after, fill.closed_round.len())));
    }
    lines
}

/// What is watched while resin runs in: how long it takes where that was followed, and the vents one after the other.
fn pour(input: &SheetInput<'_>) -> Vec<Line> {
    let mut lines = Vec::new();
    let fill = input.report.fill.as_ref();
    if let Some(fill) = fill {
        let time = fill.time_s.map_or(step::NEVER_FULL.to_owned(), figures::time);
        let error = step::fill_error(100.0 * fill.expected_error, fill.cells_across);
        lines.push(set(step::POUR_TAKES, error, time, step::WRITE_TIME));
    }
    let order = vents_in_order(input);
    if order.is_empty() {
        lines.push(tick(step::NO_VENTS, ""));
        return lines;
    }
    let shown = |v: &&VentReport| match v.shows_at_s {
        Some(s) => step::shows_at(v.number, &figures::time(s)),
        None if fill.is_some() => step::never_shows(v.number),
        None => v.number.to_string(),
    };
    let names: Vec<String> = order.iter().take(MOST_VENTS).map(shown).collect();
    let last = order.iter().rfind(|v| v.shows_in_order.is_some());
    let detail = match last {
        _ if order.len() < 2 => String::new(),
        Some(last) => step::vents_detail(last.number),
        None => step::VENTS_UNKNOWN.to_owned(),
    };
    lines.push(tick(step::vents(&names.join(", ")), detail));
    lines
}
