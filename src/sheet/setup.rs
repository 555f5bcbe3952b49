//! The pages of the setup sheet, in the order in which they are read.

use super::balloons::{self, Tag, TagKind};
use super::handover::handover;
use super::layout::{Cell, Column, Flow, Running, figure_row, figure_row_mm};
use super::lettering::heights;
use super::page::{Anchor, Area, Dash, Item, PageList, Pen, Shade, Text, Weight};
use super::steps::{self, Line};
use super::words::{self, caution, column, field, heading, label};
use super::{SheetInput, drawing, figures, rods, silicone};
use crate::solve::run::{Cancelled, Run};
use crate::study::findings::finding::Severity;
use crate::study::numbers::figures::{PourReport, SiliconeReport};
use crate::study::report::FindingReport;
use glam::Vec2;

/// Findings that are printed at most; a sheet is no archive.
const MOST_FINDINGS: usize = 40;
/// Stops in the box on the first page at most; the others are told by number.
const MOST_STOPS: usize = 4;
/// Letters of a message that are printed at most.
const MOST_LETTERS: usize = 300;

/// Lays out all pages.
///
/// # Errors
/// [`Cancelled`] once `run` was cancelled.
pub fn pages(input: &SheetInput<'_>, run: &Run) -> Result<PageList, Cancelled> {
    let mut flow = Flow::new(input.paper);
    glance(&mut flow, input, run)?;
    run.progress(0.3);
    hang_and_box(&mut flow, input, run)?;
    run.progress(0.8);
    super::parting_page::parting(&mut flow, input, run)?;
    super::insert_page::inserts(&mut flow, input);
    materials(&mut flow, input);
    super::two_shot_page::two_shots(&mut flow, input);
    super::numbers_page::numbers(&mut flow, input);
    bench_steps(&mut flow, input);
    findings(&mut flow, input);
    cautions(&mut flow);
    handover(&mut flow, input);
    run.check()?;
    Ok(flow.finished(&running(input)))
}

/// What stands on every page of a job.
pub fn running(input: &SheetInput<'_>) -> Running {
    let meshes = mesh_digests(input);
    Running {
        job: job_of(input),
        revision: revision_words(input),
        program: words::made_with(input.program),
        digests: words::digests(&figures::short_digest(input.plan_digest), &meshes),
    }
}

/// Which revision this is; one that is no longer what was issued says so.
pub fn revision_words(input: &SheetInput<'_>) -> String {
    let plan = input.plan;
    match super::changes::since_issue(input) {
        Some((issue, _)) => words::changed::in_head(issue.revision),
        None => words::revision(plan.revision, &plan.revision_date),
    }
}

/// The digests of the meshes, each once.
pub fn mesh_digests(input: &SheetInput<'_>) -> Vec<String> {
    let parts = &input.plan.parts;
    let own = input.plan.kinds().into_iter().map(|k| parts[k.parts[0]].digest.clone());
    let other = input.plan.second_shot.iter().map(|s| s.digest.clone()).filter(|d| !d.is_empty());
    own.chain(other).map(|d| figures::short_digest(&d)).collect()
}

fn trimmed_label(input: &SheetInput<'_>) -> String {
    let (inserts, hard) = stays_in_cast(input.plan);
    label::trimmed(input.plan.parts.len(), inserts, hard)
}

/// What is weighed with a cast beside the resin of its shot.
pub fn weighed_with(input: &SheetInput<'_>) -> &'static str {
    let (inserts, hard) = stays_in_cast(input.plan);
    label::with(inserts, hard)
}

/// Whether inserts, and a hard part that was cast over, leave the block with a cast.
pub fn stays_in_cast(plan: &crate::plan::Plan) -> (bool, bool) {
    (plan.inserts.iter().any(|i| i.stays), plan.loaded_hard().is_some())
}

fn job_of(input: &SheetInput<'_>) -> String {
    words::name_or(&input.plan.name, words::UNNAMED)
}

fn stops<'a>(input: &'a SheetInput<'_>) -> Vec<&'a FindingReport> {
    input.report.findings.iter().filter(|f| f.severity == Severity::Stop).collect()
}

fn glance(flow: &mut Flow, input: &SheetInput<'_>, run: &Run) -> Result<(), Cancelled> {
    flow.new_page();
    title_block(flow, input);
    flow.space(3.0);
    let stops = stops(input);
    if stops.is_empty() {
        let area = flow.take(9.0);
        let at = area.min + Vec2::new(4.0, 6.2);
        flow.add([
            Item::Rect { area, pen: Some(Pen::WIDE), fill: None },
            Item::Text(Text::new(at, words::NO_STOPS, heights::BODY).bold()),
        ]);
        flow.space(3.0);
    } else {
        let mut lines: Vec<(String, String)> = stops
            .iter()
            .take(MOST_STOPS)
            .map(|f| (words::short(&f.message, 240), words::remedy(&words::short(&f.remedy, 240))))
            .collect();
        if stops.len() > MOST_STOPS {
            lines.push((words::more_stops(stops.len() - MOST_STOPS), String::new()));
        }
        flow.heavy_box(&words::stops_head(stops.len(), input.plan.stage), &lines);
    }
    let (report, resin) = (input.report, input.resin);
    flow.heading(heading::SET, 40.0);
    let [silicone_a, silicone_b] = silicone::weighed(&report.silicone);
    flow.figures(
        &[
            (label::SILICONE_A.into(), silicone_a),
            (label::SILICONE_B.into(), silicone_b),
            (label::MOULD.into(), figures::celsius(resin.mould_c)),
            (label::RESIN_A.into(), figures::mass(report.resin.a_g)),
            (label::RESIN_B.into(), figures::mass(report.resin.b_g)),
            (label::CHAMBER.into(), figures::pressure(input.limits.chamber_pa)),
        ],
        3,
        10.0,
    );
    key_figures(flow, input, run)
}

/// Key figures on the left, the hang as a picture on the right.
fn key_figures(flow: &mut Flow, input: &SheetInput<'_>, run: &Run) -> Result<(), Cancelled> {
    let (plan, report) = (input.plan, input.report);
    let air = format!("{}; {}", figures::volume(report.air.trapped_mm3), figures::volume(report.air.trapped_lean_mm3));
    let counts = format!("{} · {} · {}", plan.feed.gates.len(), plan.vents.len(), plan.inserts.len());
    let cells = [
        (label::BLOCK.to_owned(), figures::box_mm(report.block.size_mm)),
        silicone::pot(&report.silicone),
        silicone::cure(&report.silicone),
        (label::RESIN_LIFE.into(), figures::time(report.resin.pot_life_s)),
        (trimmed_label(input), figures::mass(report.trimmed_g())),
        (label::COUNTS.into(), counts),
        (label::AIR.into(), air),
        (label::CASTS.into(), format!("{} · {}", report.days.good, casts_of(report.days.tool_life))),
        (label::DAYS.into(), format!("{} · {}", report.days.tools, report.days.days)),
    ];
    let row_mm = figure_row_mm(heights::HEADING);
    let tall = row_mm * 5.0;
    flow.heading(heading::KEY, tall);
    let area = flow.take(tall);
    let wide = area.size().x * 0.5 - 1.5;
    let rows = [&cells[..1], &cells[1..3], &cells[3..5], &cells[5..7], &cells[7..9]];
    for (i, row) in rows.into_iter().enumerate() {
        let place = Area::at(area.min + Vec2::new(0.0, i as f32 * row_mm), Vec2::new(wide, row_mm));
        flow.add(figure_row(place, row, row.len(), heights::HEADING));
    }
    let min = Vec2::new(area.min.x + wide + 3.0, area.min.y);
    picture(flow, input, Area { min, max: area.max - Vec2::new(0.0, 1.5) }, run)
}

fn casts_of([low, high]: [u32; 2]) -> String {
    if low == high { low.to_string() } else { words::range(low, high) }
}

/// The hang as a picture, with an arrow that says where up is.
fn picture(flow: &mut Flow, input: &SheetInput<'_>, area: Area, run: &Run) -> Result<(), Cancelled> {
    let inner = Area { min: area.min + Vec2::new(9.0, 0.0), max: area.max - Vec2::new(0.0, 5.0) };
    match &input.picture {
        Some(picture) if picture.width > 0 && picture.height > 0 => {
            let wide = picture.width as f32 / picture.height as f32;
            let size = inner.size();
            let size = if size.x / size.y > wide {
                Vec2::new(size.y * wide, size.y)
            } else {
                Vec2::new(size.x, size.x / wide)
            };
            let place = Area::at(inner.centre() - size * 0.5, size);
            flow.add([Item::Image { area: place, picture: picture.clone() }]);
        }
        _ => {
            let items = drawing::overview(&input.geometry, inner, run)?;
            flow.add(items);
        }
    }
    let at = area.min + Vec2::new(4.0, 20.0);
    let caption = Vec2::new(area.max.x, area.max.y - 1.0);
    flow.add([
        Item::Line { from: at, to: at - Vec2::new(0.0, 11.0), pen: Pen::WIDE },
        Item::Polygon {
            corners: vec![at - Vec2::new(0.0, 14.0), at - Vec2::new(1.8, 9.5), at - Vec2::new(-1.8, 9.5)],
            pen: None,
            fill: Some(Shade::BLACK),
        },
        Item::Text(Text::new(at + Vec2::new(0.0, 4.5), words::UP, heights::BODY).anchored(Anchor::Middle)),
        Item::Text(Text::new(caption, words::OVERVIEW, heights::TABLE).anchored(Anchor::Right)),
    ]);
    Ok(())
}

/// Fields of ISO 7200 that the plan can fill, and lines for those that people fill.
fn title_block(flow: &mut Flow, input: &SheetInput<'_>) {
    let plan = input.plan;
    let date = if plan.revision_date.trim().is_empty() { figures::UNKNOWN } else { plan.revision_date.trim() };
    let revision = match super::changes::since_issue(input) {
        Some((issue, _)) => words::changed::in_field(issue.revision),
        None => plan.revision.to_string(),
    };
    let kinds = plan.kinds();
    let parts: Vec<String> = kinds.iter().take(4).map(|k| words::so_many(k.a_shot(), &k.name)).collect();
    let rows: [&[(&str, String, f32)]; 4] = [
        &[(field::TITLE, job_of(input), 0.7), (field::TYPE, words::DOCUMENT_TYPE.into(), 0.3)],
        &[
            (field::PARTS, parts.join(", "), 0.45),
            (field::STAGE, words::stage(plan.stage).into(), 0.4),
            (field::LANGUAGE, "en".into(), 0.15),
        ],
        &[
            (field::OWNER, words::name_or(input.shop, figures::UNKNOWN), 0.41),
            (field::NUMBER, words::name_or(input.job_number, figures::UNKNOWN), 0.17),
            (field::REVISION, revision, 0.19),
            (field::DATE, words::short(date, 16), 0.23),
        ],
        &[(field::CREATOR, String::new(), 0.5), (field::APPROVAL, String::new(), 0.5)],
    ];
    for (i, row) in rows.iter().enumerate() {
        let tall = if i == 0 { 12.0 } else { 10.0 };
        let area = flow.take(tall);
        let mut x = area.min.x;
        for (name, value, share) in *row {
            let cell = Area::at(Vec2::new(x, area.min.y), Vec2::new(area.size().x * share, tall));
            x = cell.max.x;
            let big = if i == 0 { heights::HEADING } else { heights::BODY };
            let (value, big) = super::lettering::shrunk(value, Weight::Bold, big, heights::TABLE, cell.size().x - 3.0);
            flow.add([
                Item::Rect { area: cell, pen: Some(Pen { width_mm: 0.35, ..Pen::NARROW }), fill: None },
                Item::Text(Text::new(cell.min + Vec2::new(1.5, 2.9), *name, heights::SMALL)),
            ]);
            if !value.is_empty() {
                let at = Vec2::new(cell.min.x + 1.5, cell.max.y - 1.8);
                flow.add([Item::Text(Text::new(at, value, big).bold())]);
            }
        }
    }
}

fn hang_and_box(flow: &mut Flow, input: &SheetInput<'_>, run: &Run) -> Result<(), Cancelled> {
    flow.new_page();
    flow.heading(heading::HANG, 100.0);
    let foot = 34.0;
    let room = Area::at(Vec2::ZERO, Vec2::new(flow.width(), (flow.left() - foot).max(10.0)));
    let drawn = drawing::three_views(&input.geometry, room, run)?;
    if drawn.views.is_empty() {
        flow.paragraph(words::NO_DRAWING, Weight::Bold, heights::BODY);
    } else {
        let area = flow.take(drawn.height_mm);
        flow.add(drawn.items.into_iter().map(|i| super::layout::moved(i, area.min)));
    }
    let area = flow.take(10.0);
    let bar = area.min + Vec2::new(0.0, 7.0);
    flow.add(drawing::scale_bar(bar, 100.0, &words::bar(100.0)));
    let area = flow.take(8.0);
    let at = area.min + Vec2::new(0.0, 6.0);
    flow.add([Item::Text(Text::new(at, drawn.scale, heights::BODY).bold())]);
    flow.add(key(area.min + Vec2::new(30.0, 4.0)));
    flow.paragraph(words::HOW_TO_READ, Weight::Regular, heights::SMALL);

    flow.together(|flow| {
        let block = &input.report.block;
        let clear =
            words::clearances(&figures::mm(block.wall_mm), &figures::mm(block.below_mm), &figures::mm(block.above_mm));
        flow.heading(heading::POSITIONS, 20.0);
        flow.paragraph(&clear, Weight::Regular, heights::TABLE);
        flow.paragraph(words::FROM_WHERE, Weight::Regular, heights::TABLE);
        flow.paragraph(&rods::rods_to(input), Weight::Regular, heights::TABLE);
        let factor = input.plan.master_factor();
        if factor != 1.0 {
            flow.paragraph(&words::template::size(factor), Weight::Regular, heights::TABLE);
        }
        flow.paragraph(&words::draw_words(words::toward(input.report.parting.draw)), Weight::Regular, heights::TABLE);
        positions(flow, input);
    });
    Ok(())
}

/// What balloons and lines mean.
fn key(at: Vec2) -> Vec<Item> {
    let mut items = Vec::new();
    let mut x = at.x;
    let size = heights::TABLE;
    let word = |items: &mut Vec<Item>, x: &mut f32, text: &str| {
        items.push(Item::Text(Text::new(Vec2::new(*x, at.y + size * 0.5), text, size)));
        *x += super::lettering::width_mm(text, Weight::Regular, size) + 3.5;
    };
    for (kind, text) in
        [(TagKind::Gate, words::KEY_GATE), (TagKind::Vent, words::KEY_VENT), (TagKind::Insert, words::KEY_INSERT)]
    {
        let shrunk = balloons::symbol(kind, Vec2::new(x + 1.8, at.y), 1.7);
        items.extend(shrunk);
        x += 4.6;
        word(&mut items, &mut x, text);
    }
    for (dash, text) in [(Dash::Solid, words::KEY_PARTING), (Dash::Dashed, words::KEY_SHUT_OFF)] {
        let line = vec![vec![Vec2::new(x, at.y), Vec2::new(x + 8.0, at.y)]];
        items.extend(drawing::parting_line(line, dash == Dash::Dashed));
        x += 9.5;
        word(&mut items, &mut x, text);
    }
    items
}

/// Distances from the left wall, the front wall and the floor of a place of the box, as it lies on the master.
pub fn from_walls(input: &SheetInput<'_>, p: [f64; 3]) -> [String; 3] {
    super::templates::master_size(input).from_walls(glam::DVec3::from_array(p)).to_array().map(figures::bare_mm)
}

/// Where each part of a set hangs: how far the box round it is from the walls and the floor.
fn parts(flow: &mut Flow, input: &SheetInput<'_>) {
    let parts = &input.report.parts;
    if parts.len() < 2 {
        return;
    }
    let columns = [
        Column::left(column::PART, 4.2),
        Column::right(column::LEFT, 2.0),
        Column::right(column::FRONT, 2.2),
        Column::right(column::FLOOR, 1.8),
        Column::right(column::PART_SIZE, 4.8),
        Column::right(column::NEXT, 2.0),
    ];
    let rows: Vec<Vec<Cell>> = parts
        .iter()
        .map(|p| {
            let [a, b, c] = from_walls(input, p.corner_mm()).map(Cell::Bold);
            let size = p.size_mm.map(|mm| figures::bare_mm(mm * input.plan.master_factor())).join(" × ");
            let next = p.to_next_mm.map_or(figures::UNKNOWN.into(), figures::bare_mm);
            vec![Cell::words(p.name.clone()), a, b, c, Cell::words(size), Cell::words(next)]
        })
        .collect();
    flow.paragraph(words::FROM_CORNERS, Weight::Regular, heights::TABLE);
    flow.table(&columns, &rows, heights::BODY);
}

fn positions(flow: &mut Flow, input: &SheetInput<'_>) {
    let (plan, report) = (input.plan, input.report);
    parts(flow, input);
    if plan.feed.gates.is_empty() && plan.vents.is_empty() && plan.inserts.is_empty() {
        flow.paragraph(words::NO_THINGS, Weight::Bold, heights::BODY);
        return;
    }
    let places = |p: Option<[f64; 3]>| -> [Cell; 3] {
        p.map_or([figures::UNKNOWN; 3].map(Cell::words), |p| from_walls(input, p).map(Cell::Bold))
    };
    let head = |third: Column, fourth: Column| {
        [
            Column::left(column::THING, 3.1),
            Column::right(column::LEFT, 2.0),
            Column::right(column::FRONT, 2.2),
            Column::right(column::FLOOR, 1.8),
            third,
            fourth,
            Column::left(column::HOW, 5.4),
        ]
    };
    // In a set it is told which part each thing stands on.
    let of_part = |part: usize, how: String| match plan.parts.len() {
        0 | 1 => how,
        _ => words::on_part(&plan.part_title(part), &how),
    };
    let mut rows = Vec::new();
    for (i, gate) in plan.feed.gates.iter().enumerate() {
        let [a, b, c] = places(report.feed.gates_mm.get(i).copied());
        let tag = Tag { kind: TagKind::Gate, number: gate.number };
        let runner = rods::runner(input, gate);
        let how = of_part(gate.at.part, rods::gate_made(input, gate));
        rows.push(vec![
            Cell::Tagged(tag, words::gate(gate.number, &gate.name)),
            a,
            b,
            c,
            Cell::words(figures::diameter(gate.diameter_mm)),
            Cell::words(runner.map_or(figures::UNKNOWN.into(), |r| figures::bare_mm(rods::runner_length(r)))),
            Cell::words(how),
        ]);
    }
    for vent in &plan.vents {
        let found = report.vents.iter().find(|v| v.number == vent.number);
        let [a, b, c] = places(found.map(|v| v.position_mm));
        let tag = Tag { kind: TagKind::Vent, number: vent.number };
        rows.push(vec![
            Cell::Tagged(tag, words::vent(vent.number, &vent.name)),
            a,
            b,
            c,
            Cell::words(figures::diameter(vent.diameter_mm)),
            Cell::words(found.map_or(figures::UNKNOWN.into(), |v| figures::bare_mm(rods::vent_length(v)))),
            Cell::words(of_part(vent.at.part, words::made(vent.made).to_owned())),
        ]);
    }
    if !rows.is_empty() {
        let columns = head(Column::right(column::DIAMETER, 1.7), Column::right(column::LENGTH, 1.7));
        flow.table(&columns, &rows, heights::BODY);
    }
    let mut rows = Vec::new();
    for insert in &plan.inserts {
        let found = report.inserts.iter().find(|i| i.number == insert.number);
        let [a, b, c] = places(found.map(|i| i.position_mm));
        let tag = Tag { kind: TagKind::Insert, number: insert.number };
        let how = format!("{}; {}", words::insert_kind(&insert.kind), words::pocket(insert.pocket));
        let how = of_part(insert.at.part, how);
        rows.push(vec![
            Cell::Tagged(tag, words::insert(insert.number, &insert.name)),
            a,
            b,
            c,
            Cell::words(figures::bare_mm(insert.in_pocket_mm)),
            Cell::words(found.map_or(figures::UNKNOWN, |i| words::toward(i.axis))),
            Cell::words(how),
        ]);
    }
    if !rows.is_empty() {
        let columns = head(Column::right(column::POCKET, 1.7), Column::left(column::AXIS, 1.7));
        flow.table(&columns, &rows, heights::BODY);
    }
}

fn materials(flow: &mut Flow, input: &SheetInput<'_>) {
    let report = input.report;
    flow.new_page();
    flow.heading(heading::SILICONE, 60.0);
    flow.paragraph(&words::from_name(&report.silicone.name), Weight::Bold, heights::BODY);
    flow.paragraph(&words::ratio(input.silicone.a_parts, input.silicone.b_parts), Weight::Regular, heights::TABLE);
    let s = &report.silicone;
    pots(flow, s);
    flow.figures(
        &[silicone::pot(s), (label::SILICONE_LIFE.into(), figures::time(s.pot_life_s)), silicone::cure(s)],
        3,
        heights::FIGURE,
    );
    flow.write_lines(&words::SILICONE_TIMES, 3);
    flow.together(|flow| resin(flow, input));
}

fn resin(flow: &mut Flow, input: &SheetInput<'_>) {
    let report = input.report;
    flow.heading(heading::RESIN, 60.0);
    let (r, resin) = (&report.resin, input.resin);
    flow.paragraph(&words::from_name(&r.name), Weight::Bold, heights::BODY);
    flow.paragraph(&words::ratio(resin.a_parts, resin.b_parts), Weight::Regular, heights::TABLE);
    weights(flow, [r.a_g, r.b_g, r.shot_g]);
    flow.figures(
        &[
            (label::RESIN_LIFE.into(), figures::time(r.pot_life_s)),
            (label::MOULD.into(), figures::celsius(resin.mould_c)),
            (label::CHAMBER.into(), figures::pressure(input.limits.chamber_pa)),
            (label::DEMOULD.into(), figures::time(resin.demould_s)),
            (trimmed_label(input), figures::mass(input.report.trimmed_g())),
            (label::LIFE.into(), casts_of(input.report.days.tool_life)),
        ],
        3,
        heights::FIGURE,
    );
    flow.write_lines(&words::RESIN_TIMES, 3);
}

/// The rubber's weights in each pot, a column for each pour.
fn pots(flow: &mut Flow, s: &SiliconeReport) {
    let mut columns = vec![Column::left(column::COMPONENT, 1.9)];
    columns.extend((0..s.pours.len()).map(|i| Column::right(silicone::pot_column(s, i), 2.4)));
    columns.extend([Column::left(column::WEIGHED, 2.0), Column::left(column::BATCH, 1.6)]);
    let row = |name: &str, figure: &dyn Fn(&PourReport) -> String, written: bool| {
        let mut cells = vec![Cell::bold(name)];
        cells.extend(s.pours.iter().map(|p| Cell::bold(figure(p))));
        cells.extend([(); 2].map(|()| if written { Cell::Write } else { Cell::words("") }));
        cells
    };
    let rows = [
        row("A", &|p| figures::mass(p.pot_a_g), true),
        row("B", &|p| figures::mass(p.pot_b_g), true),
        row(words::TOTAL, &|p| figures::mass(p.pot_g), true),
        row(words::POT_SIZE, &|p| figures::litres(p.pot_litres), false),
    ];
    flow.table(&columns, &rows, heights::HEADING);
    if s.pours.iter().map(|p| p.pots).sum::<u32>() > 1 {
        let words = words::in_all(&figures::mass(s.a_g), &figures::mass(s.b_g));
        flow.paragraph(&words, Weight::Bold, heights::BODY);
    }
}

fn weights(flow: &mut Flow, [a, b, total]: [f64; 3]) {
    let columns = [
        Column::left(column::COMPONENT, 2.0),
        Column::right(column::MASS, 2.0),
        Column::left(column::WEIGHED, 2.5),
        Column::left(column::BATCH, 2.5),
    ];
    let row =
        |name: &str, grams: f64| vec![Cell::bold(name), Cell::bold(figures::mass(grams)), Cell::Write, Cell::Write];
    flow.table(&columns, &[row("A", a), row("B", b), row(words::TOTAL, total)], heights::HEADING);
}

fn bench_steps(flow: &mut Flow, input: &SheetInput<'_>) {
    flow.new_page();
    let mut number = 0;
    for (i, section) in steps::sections(input).into_iter().enumerate() {
        if i == 0 {
            flow.heading(heading::STEPS, 40.0);
        }
        let done = input.plan.stage >= section.reaches && section.reaches < crate::plan::Stage::Casting;
        flow.space(3.0);
        if done {
            flow.paragraph(&words::step::done(section.title), Weight::Bold, heights::BODY);
            continue;
        }
        flow.keep(45.0);
        flow.paragraph(section.title, Weight::Bold, heights::HEADING);
        let mut lines = section.lines.iter().peekable();
        while let Some(line) = lines.next() {
            match line {
                Line::Caution(text) => {
                    // A caution stays with the step that it belongs to.
                    if lines.peek().is_some() {
                        flow.keep(38.0);
                    }
                    flow.caution(text);
                }
                Line::Tick(tick) => {
                    number += 1;
                    flow.tick(Some(number), tick);
                }
            }
        }
    }
}

fn findings(flow: &mut Flow, input: &SheetInput<'_>) {
    flow.heading(heading::FINDINGS, 40.0);
    let all = &input.report.findings;
    if all.is_empty() {
        flow.paragraph(words::NO_FINDINGS, Weight::Regular, heights::BODY);
        return;
    }
    let columns =
        [Column::left(column::SEVERITY, 2.1), Column::left(column::FINDING, 9.0), Column::right(column::WHERE, 3.1)];
    let mut sorted: Vec<&FindingReport> = all.iter().collect();
    sorted.sort_by_key(|f| f.severity);
    let rows: Vec<Vec<Cell>> = sorted
        .iter()
        .take(MOST_FINDINGS)
        .map(|f| {
            let place = f.position_mm.map_or(figures::UNKNOWN.into(), |p| from_walls(input, p).join(" · "));
            let mut below = words::short(&f.why, MOST_LETTERS);
            if !f.remedy.trim().is_empty() {
                below.push('\n');
                below.push_str(&words::remedy(&words::short(&f.remedy, MOST_LETTERS)));
            }
            let kind = words::severity(f.severity);
            let kind = if f.severity == Severity::Stop { format!("■ {kind}") } else { kind.to_owned() };
            let kind = if f.severity == Severity::Note { Cell::Words(kind) } else { Cell::Bold(kind) };
            vec![kind, Cell::Headed(words::short(&f.message, MOST_LETTERS), below), Cell::Words(place)]
        })
        .collect();
    flow.table(&columns, &rows, heights::TABLE);
    if sorted.len() > MOST_FINDINGS {
        flow.paragraph(&words::more_findings(sorted.len() - MOST_FINDINGS), Weight::Bold, heights::TABLE);
    }
}

fn cautions(flow: &mut Flow) {
    flow.together(|flow| {
        flow.heading(heading::CAUTIONS, 20.0);
        for text in caution::ALL {
            flow.caution(text);
        }
    });
}
