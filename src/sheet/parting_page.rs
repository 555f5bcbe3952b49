//! The parting: lines on the part in three views, their lengths, how the halves are kept apart, and undercuts.

use super::SheetInput;
use super::drawing::{self, Geometry};
use super::figures;
use super::layout::{Cell, Column, Flow, moved};
use super::lettering::heights;
use super::page::{Area, Weight};
use super::setup::from_walls;
use super::words::{self, column, heading, parting as say};
use crate::plan::Separation;
use crate::solve::run::{Cancelled, Run};
use crate::study::report::LoopKind;
use glam::Vec2;

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
        undercuts(flow, input);
    });
    Ok(())
}

/// Every line with its length, and how its two sides are kept apart.
fn lines(flow: &mut Flow, input: &SheetInput<'_>) {
    let parting = &input.report.parting;
    flow.heading(heading::LINES, 20.0);
    flow.paragraph(&words::draw_words(words::toward(parting.draw)), Weight::Regular, heights::TABLE);
    let shut_offs = parting.loops.iter().filter(|l| l.kind == LoopKind::ShutOff).count();
    let decided = &input.plan.parting.shut_offs;
    // Which hole a choice belongs to is told by its place in the plan; alike choices need no telling apart.
    let same = decided
        .first()
        .is_some_and(|f| decided.len() == shut_offs && decided.iter().all(|d| d.separation == f.separation));
    let separation = if decided.is_empty() {
        words::separation(Separation::Taped)
    } else if same {
        words::separation(decided[0].separation)
    } else {
        say::SEE_STEPS
    };
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
            let how = if shut { separation } else { say::CUT };
            let name = if shut { words::KEY_SHUT_OFF } else { words::KEY_PARTING };
            let length = found.length_mm.map_or(figures::UNKNOWN.into(), figures::mm);
            rows.push(vec![Cell::bold(say::numbered(name, i + 1)), Cell::words(length), Cell::words(how)]);
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

/// Every undercut with its size and place; nothing where there is none.
fn undercuts(flow: &mut Flow, input: &SheetInput<'_>) {
    let all = &input.report.parting.undercuts;
    if all.is_empty() {
        return;
    }
    flow.heading(heading::UNDERCUTS, 20.0);
    let columns = [
        Column::left(column::THING, 3.0),
        Column::right(column::AREA, 2.0),
        Column::right(column::DEPTH, 2.0),
        Column::right(column::WHERE, 3.6),
    ];
    let rows: Vec<Vec<Cell>> = all
        .iter()
        .take(MOST)
        .enumerate()
        .map(|(i, u)| {
            vec![
                Cell::bold(say::numbered(say::UNDERCUT, i + 1)),
                Cell::words(figures::area(u.area_mm2)),
                Cell::words(figures::mm(u.depth_mm)),
                Cell::words(from_walls(input, u.position_mm).join(" · ")),
            ]
        })
        .collect();
    flow.table(&columns, &rows, heights::BODY);
    if all.len() > MOST {
        flow.paragraph(&say::more(all.len() - MOST), Weight::Bold, heights::TABLE);
    }
}
