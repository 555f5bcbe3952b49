//! Both shots of a two-shot job: what is weighed for each, how the parts meet, and how long lies between.

use super::layout::{Cell, Column, Flow};
use super::lettering::heights;
use super::page::Weight;
use super::words::two_shot as words;
use super::{SheetInput, figures};
use crate::study::numbers::two_shot::figures::{SecondShotReport, ShotReport};

/// The table and its lines; nothing where there is one shot.
pub fn two_shots(flow: &mut Flow, input: &SheetInput<'_>) {
    let (Some(second), Some(found)) = (&input.plan.second_shot, &input.report.second_shot) else { return };
    flow.together(|flow| {
        flow.heading(words::TWO_SHOTS, 60.0);
        flow.paragraph(&words::made_here(second.makes), Weight::Regular, heights::TABLE);
        weighed(flow, found);
        for line in lines(found) {
            flow.paragraph(&line, Weight::Regular, heights::TABLE);
        }
    });
}

fn weighed(flow: &mut Flow, found: &SecondShotReport) {
    let [what, hard, soft] = words::COLUMNS;
    let columns = [Column::left(what, 2.2), Column::left(hard, 3.0), Column::left(soft, 3.0)];
    let channels = |s: &ShotReport| {
        let volume = figures::volume(s.channels_mm3);
        if s.channels_taken_over { words::taken_over(&volume) } else { volume }
    };
    type Figure<'a> = &'a dyn Fn(&ShotReport) -> String;
    let rows: [(&str, Figure); 9] = [
        (words::RESIN, &|s| s.resin.clone()),
        (words::PART, &|s| format!("{}, {}", figures::mass(s.part_g), figures::volume(s.part_mm3))),
        (words::CHANNELS, &channels),
        (words::MIX, &|s| figures::mass(s.shot_g)),
        (words::A, &|s| figures::mass(s.a_g)),
        (words::B, &|s| figures::mass(s.b_g)),
        (words::CUP, &|s| figures::litres(s.cup_litres)),
        (words::CASTS, &|s| s.casts.to_string()),
        (words::DAYS, &|s| words::cast_on(s.cast_days)),
    ];
    let rows: Vec<Vec<Cell>> = rows
        .iter()
        .map(|(what, figure)| {
            vec![Cell::words(*what), Cell::bold(figure(&found.hard)), Cell::bold(figure(&found.soft))]
        })
        .collect();
    flow.table(&columns, &rows, heights::BODY);
}

fn lines(found: &SecondShotReport) -> Vec<String> {
    let area = figures::area;
    let fine = figures::fine_mm;
    let mut lines = vec![words::contact(&area(found.contact_mm2), &area(found.bare_mm2), &fine(found.tolerance_mm))];
    if found.overlap_mm3 > 0.0 {
        lines.push(words::overlap(&figures::volume(found.overlap_mm3), &fine(found.overlap_depth_mm)));
    }
    if found.gap_mm2 > 0.0 {
        lines.push(words::gap(&area(found.gap_mm2), &fine(found.gap_mm[0]), &fine(found.gap_mm[1])));
    }
    let share = |s: f64| format!("{:.0} %", s * 100.0);
    if let Some(hold) = &found.hold
        && let Some(weakest) = hold.ways.last()
    {
        let stands = share(weakest.share.unwrap_or(1.0));
        lines.push(words::held(&weakest.way, &stands, &share(hold.needed_share)));
    }
    let [least, longest] = found.wait_limits_s.map(figures::time);
    lines.push(words::wait(&figures::time(found.wait_s), &least, &longest));
    lines.push(words::together(&figures::mass(found.together_g)));
    lines
}
