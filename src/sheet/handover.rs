//! The last page: a line for each cast, notes, and what is handed over with what was changed since the last issue.

use super::SheetInput;
use super::changes;
use super::figures;
use super::layout::Flow;
use super::lettering::heights;
use super::page::{Anchor, Area, Item, Pen, Text, Weight};
use super::words::{self, heading};
use glam::Vec2;

/// Letters of a change that are printed at most.
const MOST_LETTERS: usize = 300;
/// Changes that are printed at most.
const MOST_CHANGES: usize = 60;
/// Squares of the tally at most.
const MOST_TALLY: u32 = 60;

/// Tally, notes and handover.
pub fn handover(flow: &mut Flow, input: &SheetInput<'_>) {
    let [low, high] = input.report.days.tool_life;
    let count = high.clamp(1, MOST_TALLY);
    flow.together(|flow| {
        flow.heading(heading::TALLY, 40.0);
        flow.paragraph(&words::tally(low, high), Weight::Regular, heights::TABLE);
        tally(flow, input, count);
    });
    if !input.plan.notes.trim().is_empty() {
        flow.heading(heading::NOTES, 20.0);
        flow.paragraph(&words::short(&input.plan.notes, 3000), Weight::Regular, heights::TABLE);
    }
    flow.together(|flow| {
        flow.heading(heading::HANDOVER, 20.0);
        changed(flow, input);
        flow.write_lines(&words::HANDOVER_LINES, 2);
        flow.write_lines(&words::REMARKS, 1);
    });
}

/// What was changed since an issue.
fn changed(flow: &mut Flow, input: &SheetInput<'_>) {
    // Since its own issue where it is no longer what was issued, else since the issue before.
    let now_and_then = || {
        let last = changes::last_issue(input.plan)?;
        Some((last, changes::differences(&last.decisions, &changes::decisions(input))))
    };
    let Some((last, lines)) = changes::since_issue(input).or_else(now_and_then) else {
        flow.paragraph(words::changed::FIRST, Weight::Regular, heights::TABLE);
        return;
    };
    flow.paragraph(&words::changed::since(last.revision, &last.date), Weight::Bold, heights::BODY);
    if lines.is_empty() {
        flow.paragraph(words::changed::NOTHING, Weight::Regular, heights::TABLE);
    }
    for line in lines.iter().take(MOST_CHANGES) {
        flow.paragraph(&words::short(line, MOST_LETTERS), Weight::Regular, heights::TABLE);
    }
    if lines.len() > MOST_CHANGES {
        flow.paragraph(&words::changed::more(lines.len() - MOST_CHANGES), Weight::Bold, heights::TABLE);
    }
    flow.space(2.0);
}

/// A cast's mass; 0 stands for one that was not weighed.
fn weighed(grams: f64) -> String {
    if grams > 0.0 { figures::mass(grams) } else { figures::UNKNOWN.into() }
}

/// A box for each cast that the block may give, with room for its weight and a remark; what the log holds is filled in.
fn tally(flow: &mut Flow, input: &SheetInput<'_>, count: u32) {
    const ROW_MM: f32 = 9.0;
    const BOX_MM: f32 = 6.0;
    let half = count.div_ceil(2);
    for row in 0..half {
        let area = flow.take(ROW_MM);
        let wide = area.size().x / 2.0;
        for (column, number) in [(0.0, row + 1), (1.0, half + row + 1)] {
            if number > count {
                continue;
            }
            let min = area.min + Vec2::new(column * wide, 1.5);
            let foot = min.y + BOX_MM - 1.0;
            let square = Area::at(min + Vec2::new(8.5, 0.0), Vec2::splat(BOX_MM));
            let at = Vec2::new(min.x + 7.0, foot);
            flow.add([
                Item::Text(Text::new(at, number.to_string(), heights::BODY).bold().anchored(Anchor::Right)),
                Item::TickBox { area: square },
            ]);
            let logged = input.plan.log.iter().find(|c| c.shot == number);
            if let Some(cast) = logged {
                flow.add([Item::Line { from: square.min, to: square.max, pen: Pen::WIDE }]);
                if !cast.good {
                    let (from, to) = (Vec2::new(square.min.x, square.max.y), Vec2::new(square.max.x, square.min.y));
                    flow.add([Item::Line { from, to, pen: Pen::WIDE }]);
                }
            }
            let left = square.max.x + 2.5;
            let right = area.min.x + (column + 1.0) * wide - 4.0;
            let middle = left + 24.0;
            let written = [
                (left, middle - 3.0, words::TALLY_WEIGHS, logged.map(|c| weighed(c.trimmed_g))),
                (middle, right, words::TALLY_REMARK, logged.map(words::logged)),
            ];
            for (from, to, label, value) in written {
                let y = foot + 0.9;
                flow.add([Item::Line { from: Vec2::new(from, y), to: Vec2::new(to, y), pen: Pen::NARROW }]);
                let (text, size) = match &value {
                    Some(value) => (value.as_str(), heights::TABLE),
                    None => (label, heights::SMALL),
                };
                let text = super::lettering::fitted(text, Weight::Regular, size, to - from);
                flow.add([Item::Text(Text::new(Vec2::new(from, y - 0.9), text, size))]);
            }
        }
    }
}
