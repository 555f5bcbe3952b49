//! The parting: lines on the part in three views, their lengths, how the halves are kept apart, and undercuts.

use super::drawing::{self, Geometry};
use super::layout::{Cell, Column, Flow, moved};
use super::lettering::heights;
use super::page::{Area, Weight};
use super::setup::from_walls;
use super::words::{self, column, heading, parting as say};
use super::{SheetInput, figures};
use crate::solve::run::{Cancelled, Run};
use crate::study::parting::loop_kind::LoopKind;
use crate::study::report::{LoosePieceReport, ReliefCutReport, ShutOffReport};
use glam::{DVec3, Vec2};

/// Lines and undercuts that are listed at most; a sheet is no archive.
const MOST: usize = 30;

/// The page.
///
/// # Errors
/// [`Cancelled`] once `run` was cancelled.
pub fn parting(flow: &mut Flow, input: &SheetInput<'_>, run: &Run) -> Result<(), Cancelled> {
    flow.new_page();
    flow.heading(heading::PARTING, 100.0);
    // The part and its lines alone: feed, vents and inserts stand on the page before.
    let bare = Geometry { things: Vec::new(), ..input.geometry.clone() };
    let room = Area::at(Vec2::ZERO, Vec2::new(flow.width(), (flow.left() - 14.0).max(10.0)));
    let drawn = drawing::three_views(&bare, room, run)?;
    if drawn.views.is_empty() {
        flow.paragraph(words::NO_DRAWING, Weight::Bold, heights::BODY);
    } else {
        let area = flow.take(drawn.height_mm);
        flow.add(drawn.items.into_iter().map(|i| moved(i, area.min)));
        flow.paragraph(&say::drawn(&drawn.scale), Weight::Regular, heights::TABLE);
    }
    flow.together(|flow| {
        lines(flow, input);
        cut(flow, input);
        undercuts(flow, input);
    });
    relief_cuts(flow, input);
    loose_pieces(flow, input);
    Ok(())
}

/// Every line with its length, and how its two sides are kept apart.
fn lines(flow: &mut Flow, input: &SheetInput<'_>) {
    let parting = &input.report.parting;
    flow.heading(heading::LINES, 20.0);
    flow.paragraph(&words::draw_words(words::toward(parting.draw)), Weight::Regular, heights::TABLE);
    let mut shut_offs = parting.shut_offs.iter();
    let mut numbers = [0usize; 2];
    let mut rows = Vec::new();
    let mut sums: [(f64, bool); 2] = [(0.0, true); 2];
    for (i, found) in parting.loops.iter().filter(|l| l.kind != LoopKind::Island).enumerate() {
        let shut = found.kind == LoopKind::ShutOff;
        let sum = &mut sums[usize::from(shut)];
        match found.length_mm.filter(|l| l.is_finite()) {
            Some(length) => sum.0 += length,
            None => sum.1 = false,
        }
        if i < MOST {
            // A shut-off that runs out into an open edge has no surface that spans it.
            let how = match (shut, shut.then(|| shut_offs.next()).flatten()) {
                (false, _) => say::CUT.to_owned(),
                (true, Some(s)) => apart(s),
                (true, None) => figures::UNKNOWN.to_owned(),
            };
            numbers[usize::from(shut)] += 1;
            let name = if shut { words::KEY_SHUT_OFF } else { words::KEY_PARTING };
            let length = found.length_mm.map_or(figures::UNKNOWN.into(), figures::mm);
            rows.push(vec![
                Cell::bold(say::numbered(name, numbers[usize::from(shut)])),
                Cell::words(length),
                Cell::words(how),
            ]);
        }
    }
    if rows.is_empty() {
        flow.paragraph(say::NO_LINES, Weight::Bold, heights::BODY);
        return;
    }
    let count = parting.loops.iter().filter(|l| l.kind != LoopKind::Island).count();
    if count > 1 {
        for (name, (sum, known)) in [say::ALL_PARTING, say::ALL_SHUT_OFFS].into_iter().zip(sums) {
            if sum > 0.0 && known {
                rows.push(vec![Cell::bold(name), Cell::Bold(figures::mm(sum)), Cell::words("")]);
            }
        }
    }
    let columns =
        [Column::left(column::THING, 3.0), Column::right(column::LENGTH, 1.7), Column::left(column::HALVES, 5.0)];
    flow.table(&columns, &rows, heights::BODY);
    if count > MOST {
        flow.paragraph(&say::more(count - MOST), Weight::Bold, heights::TABLE);
    }
}

/// How the halves are kept apart at a shut-off; where it was moved, also where along its hole it lies.
fn apart(shut_off: &ShutOffReport) -> String {
    let how = words::separation(shut_off.separation);
    match shut_off.from_ends_mm {
        Some([one, two]) if shut_off.moved_mm != 0.0 => say::along_hole(how, &figures::mm(one), &figures::mm(two)),
        _ => how.to_owned(),
    }
}

/// What the knife meets on its way; nothing where there is no cut.
fn cut(flow: &mut Flow, input: &SheetInput<'_>) {
    let cut = &input.report.cut;
    let Some(depth) = cut.knife_depth_mm else { return };
    flow.heading(heading::KNIFE, 20.0);
    let mut rows = vec![(say::KNIFE_DEPTH, say::range(&figures::mm(depth.min), &figures::mm(depth.max)))];
    if let Some(least) = cut.least_rubber_mm {
        rows.push((say::LEAST_RUBBER, figures::mm(least)));
    }
    if let Some(most) = cut.hooks.iter().map(|h| h.depth_mm).reduce(f64::max) {
        rows.push((say::HOOKS, figures::mm(most)));
    }
    rows.push((say::KEYS, cut.keys.to_string()));
    rows.push((say::TAPE, figures::mm(cut.tape_mm)));
    let rows: Vec<Vec<Cell>> =
        rows.into_iter().map(|(name, value)| vec![Cell::bold(name), Cell::words(value)]).collect();
    let columns = [Column::left(column::THING, 5.0), Column::right(column::VALUE, 3.0)];
    flow.table(&columns, &rows, heights::BODY);
    flow.paragraph(say::MARKS, Weight::Regular, heights::TABLE);
}

/// Every undercut with its size and place; nothing where there is none.
fn undercuts(flow: &mut Flow, input: &SheetInput<'_>) {
    // What is shallower than the shop's limit lets go whatever it is; it keeps its number.
    let (shown, shallow): (Vec<_>, Vec<_>) = input
        .report
        .parting
        .undercuts
        .iter()
        .enumerate()
        .partition(|(_, u)| u.depth_mm > input.limits.undercut_depth_mm);
    if shown.is_empty() && shallow.is_empty() {
        return;
    }
    flow.heading(heading::UNDERCUTS, 20.0);
    let columns = [
        Column::left(column::THING, 2.7),
        Column::right(column::AREA, 2.2),
        Column::right(column::DEPTH, 1.9),
        Column::left(column::RUBBER, 3.3),
        Column::right(column::WHERE, 3.8),
    ];
    let rows: Vec<Vec<Cell>> = shown
        .iter()
        .take(MOST)
        .map(|&(i, u)| {
            vec![
                Cell::bold(say::numbered(say::UNDERCUT, i + 1)),
                Cell::words(figures::area(u.area_mm2)),
                Cell::words(figures::mm(u.depth_mm)),
                Cell::words(say::verdict(u.verdict)),
                Cell::words(from_walls(input, u.position_mm).join(" · ")),
            ]
        })
        .collect();
    if !rows.is_empty() {
        flow.table(&columns, &rows, heights::BODY);
    }
    if shown.len() > MOST {
        flow.paragraph(&say::more(shown.len() - MOST), Weight::Bold, heights::TABLE);
    }
    if !shallow.is_empty() {
        let limit = figures::mm(input.limits.undercut_depth_mm);
        flow.paragraph(&say::shallow(shallow.len(), &limit), Weight::Regular, heights::TABLE);
    }
}

/// Every relief cut with its measures and what it is there for; nothing where there is none.
fn relief_cuts(flow: &mut Flow, input: &SheetInput<'_>) {
    let cuts = &input.report.parting.relief_cuts;
    if cuts.is_empty() {
        return;
    }
    let columns = [
        Column::left(column::THING, 4.0),
        Column::right(column::LENGTH, 1.9),
        Column::right(column::ALONG_DRAW, 2.2),
        Column::right(column::DEPTH, 1.9),
        Column::left(column::FOR, 4.0),
    ];
    let row = |(i, cut): (usize, &ReliefCutReport)| {
        vec![
            Cell::bold(words::name_or(&cut.name, &say::numbered(say::RELIEF_CUT, i + 1))),
            Cell::words(figures::mm(cut.length_mm)),
            Cell::words(figures::mm(cut.along_draw_mm)),
            Cell::words(figures::mm(cut.depth_mm)),
            Cell::words(say::serves(&cut.serves, cut.severs)),
        ]
    };
    let rows: Vec<Vec<Cell>> = cuts.iter().enumerate().take(MOST).map(row).collect();
    flow.together(|flow| {
        flow.heading(heading::RELIEF_CUTS, 20.0);
        flow.table(&columns, &rows, heights::BODY);
        if cuts.len() > MOST {
            flow.paragraph(&say::more(cuts.len() - MOST), Weight::Bold, heights::TABLE);
        }
    });
}

/// Every loose piece and core with its size, the way it leaves and its file; nothing where there is none.
fn loose_pieces(flow: &mut Flow, input: &SheetInput<'_>) {
    let pieces = &input.report.parting.loose_pieces;
    if pieces.is_empty() {
        return;
    }
    let columns = [
        Column::left(column::THING, 2.7),
        Column::left(column::OF, 1.7),
        Column::left(column::SIZE, 2.7),
        Column::left(column::LEAVES, 2.3),
        Column::left(column::FOR, 2.5),
        Column::left(column::FILE, 4.0),
    ];
    let row = |(i, piece): (usize, &LoosePieceReport)| {
        let along = DVec3::from(piece.leaves_along);
        let off = along.abs().max_element().clamp(0.0, 1.0).acos().to_degrees();
        vec![
            Cell::bold(words::name_or(&piece.name, &say::numbered(say::LOOSE_PIECE, i + 1))),
            Cell::words(say::of(piece.of)),
            Cell::words(format!("{} × {}", figures::diameter(piece.diameter_mm), figures::mm(piece.length_mm))),
            Cell::words(say::leaves(words::toward(piece.leaves_along), off)),
            Cell::words(say::serves(&piece.serves, piece.fills)),
            Cell::words(if piece.trouble.is_some() { say::NOT_MADE } else { piece.file.as_str() }),
        ]
    };
    let rows: Vec<Vec<Cell>> = pieces.iter().enumerate().take(MOST).map(row).collect();
    flow.together(|flow| {
        flow.heading(heading::LOOSE_PIECES, 20.0);
        flow.table(&columns, &rows, heights::BODY);
        if pieces.len() > MOST {
            flow.paragraph(&say::more(pieces.len() - MOST), Weight::Bold, heights::TABLE);
        }
        flow.paragraph(say::PIECES_NOTE, Weight::Regular, heights::TABLE);
    });
}
