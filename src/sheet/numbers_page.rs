//! Sizes before and after, and the calendar.

use super::SheetInput;
use super::figures;
use super::layout::{Cell, Column, Flow};
use super::lettering::heights;
use super::page::Weight;
use super::words::numbers as words;

/// Lines of the calendar that are printed at most.
const MOST_EVENTS: usize = 40;
/// So many of them are the last ones.
const LAST_EVENTS: usize = 8;

/// Both tables; the first only where the plan names dimensions.
pub fn numbers(flow: &mut Flow, input: &SheetInput<'_>) {
    if !input.report.size.dimensions.is_empty() {
        flow.together(|flow| sizes(flow, input));
    }
    if !input.report.days.events.is_empty() {
        flow.together(|flow| calendar(flow, input));
    }
}

fn hundredths(mm: f64) -> String {
    if mm.is_finite() { format!("{mm:.2}") } else { figures::UNKNOWN.into() }
}

fn sizes(flow: &mut Flow, input: &SheetInput<'_>) {
    let size = &input.report.size;
    flow.heading(words::SIZES, 30.0);
    let factor = format!("{:.2} %", size.cancelling_factor * 100.0);
    flow.paragraph(&words::assumed(&size.assumption, &factor), Weight::Regular, heights::TABLE);
    let [name, wanted, master, cast, range, measured] = words::SIZE_COLUMNS;
    let columns = [
        Column::left(name, 3.2),
        Column::right(wanted, 1.5),
        Column::right(master, 1.5),
        Column::right(cast, 1.5),
        Column::right(range, 2.6),
        Column::left(measured, 1.8),
    ];
    let rows: Vec<Vec<Cell>> = size
        .dimensions
        .iter()
        .map(|d| {
            let name = super::words::name_or(&d.name, words::UNNAMED);
            let name = if d.flash_mm[1] > 0.0 { words::with_flash(&name) } else { name };
            vec![
                Cell::words(name),
                Cell::words(hundredths(d.wanted_mm)),
                Cell::words(hundredths(d.master_mm)),
                Cell::bold(hundredths(d.cast_mm)),
                Cell::words(words::from_to(&hundredths(d.least_mm), &hundredths(d.most_mm))),
                Cell::Write,
            ]
        })
        .collect();
    flow.table(&columns, &rows, heights::BODY);
}

fn calendar(flow: &mut Flow, input: &SheetInput<'_>) {
    let (casts, days) = (&input.report.casts, &input.report.days);
    flow.heading(words::CALENDAR, 30.0);
    let line = words::casts(casts.to_make, days.casts_a_day, days.days, &days.bottleneck);
    flow.paragraph(&line, Weight::Regular, heights::TABLE);
    let [day, what, done] = words::CALENDAR_COLUMNS;
    let columns = [Column::left(day, 2.0), Column::left(what, 5.0), Column::left(done, 2.0)];
    // Of two shots the days of both.
    let events = input.report.second_shot.as_ref().map_or(&days.events, |s| &s.events);
    // The last days are those that are asked for; what is left out of a long calendar lies before them.
    let last = events.len().saturating_sub(LAST_EVENTS).max(MOST_EVENTS - LAST_EVENTS);
    let rows: Vec<Vec<Cell>> = events
        .iter()
        .enumerate()
        .filter(|(i, _)| *i < MOST_EVENTS - LAST_EVENTS || *i >= last)
        .map(|(_, e)| e)
        .map(|e| {
            let date = e.date.clone().unwrap_or_else(|| words::day(e.day));
            vec![Cell::words(date), Cell::words(e.what.clone()), Cell::Write]
        })
        .collect();
    flow.table(&columns, &rows, heights::BODY);
}
