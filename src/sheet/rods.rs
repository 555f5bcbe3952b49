//! Rods in words: to which length each is cut, leg by leg, and how it leaves the rubber.

use super::SheetInput;
use super::figures;
use super::words::{self, step};
use crate::plan::{Gate, Made};
use crate::study::report::{RunnerReport, VentReport};

/// True where a beam lies on the walls that the rods hang from.
pub fn beam(input: &SheetInput<'_>) -> bool {
    !input.report.hanging.stuck_to_floor
}

/// To which length rods are cut, for the tables.
pub fn rods_to(input: &SheetInput<'_>) -> String {
    words::rods_to(beam(input), &figures::mm(input.report.block.rod_beyond_mm))
}

/// The runner of a gate.
pub fn runner<'a>(input: &SheetInput<'a>, gate: &Gate) -> Option<&'a RunnerReport> {
    input.report.feed.runners.iter().find(|r| r.number == gate.number)
}

/// Its legs from the part outwards: lengths to cut where rods make it.
fn legs(runner: Option<&RunnerReport>) -> Vec<String> {
    let Some(runner) = runner else { return Vec::new() };
    let length = |leg: &crate::study::report::LegReport| match runner.rod_mm {
        Some(_) => figures::bare_mm(leg.rod_mm),
        None => figures::bare_mm(leg.length_mm),
    };
    runner.legs.iter().map(length).collect()
}

/// Its whole length, to cut where a rod makes it.
pub fn runner_length(runner: &RunnerReport) -> f64 {
    runner.rod_mm.unwrap_or(runner.length_mm)
}

/// The whole length of a vent, likewise.
pub fn vent_length(vent: &VentReport) -> f64 {
    vent.rod_mm.unwrap_or(vent.length_mm)
}

/// How a gate is made, in a table's words.
pub fn gate_made(input: &SheetInput<'_>, gate: &Gate) -> String {
    let runner = runner(input, gate);
    let pulled = runner.is_some_and(|r| r.pulled);
    let diameter = figures::diameter(gate.runner_diameter_mm);
    words::gate_made(gate.kind, &diameter, &legs(runner), gate.joins, gate.made, pulled)
}

/// What is cut for the rod of a gate.
pub fn cut_words(input: &SheetInput<'_>, gate: &Gate) -> String {
    let Some(runner) = runner(input, gate) else { return String::new() };
    let (legs, whole) = (legs(Some(runner)), figures::mm(runner_length(runner)));
    match runner.joins {
        Some(into) => step::joined_legs(&legs, &whole, into),
        None => step::rod_legs(&legs, &whole, beam(input)),
    }
}

/// Gates whose rods are pulled out in one straight piece, and those whose rods are lifted out of the opened cut.
pub fn pulled_and_lifted<'a>(input: &SheetInput<'a>) -> [Vec<&'a Gate>; 2] {
    let rods = input.plan.feed.gates.iter().filter(|g| g.made == Made::RodPulled);
    let (pulled, lifted) = rods.partition(|g| runner(input, g).is_some_and(|r| r.pulled));
    [pulled, lifted]
}
