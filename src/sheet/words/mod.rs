//! Every word that the sheet prints, in one place: plain British English.
//!
//! Cautions are neutral and leave the decision to local codes, the safety data sheets and licensed practice. Their
//! substance is that of the usual sources (GHS order of a safety data sheet; REACH Annex XVII entry 74; workplace
//! guidance on isocyanates and on vacuum vessels); what is marked common practice has no other source.

pub mod caution;
pub mod changed;
pub mod column;
pub mod field;
pub mod heading;
pub mod inserts;
pub mod label;
pub mod numbers;
pub mod parting;
pub mod step;
pub mod template;
pub mod two_shot;

use crate::plan::{GateKind, Half, InsertKind, Made, PocketMade, Separation, Stage, Threads};
use crate::sheet::drawing::View;
use crate::study::findings::finding::Severity;

/// Kind of document (ISO 7200).
pub const DOCUMENT_TYPE: &str = "Setup sheet";
/// The sign of a caution.
pub const CAUTION_SIGN: &str = "⚠";
/// A job without a name.
pub const UNNAMED: &str = "Unnamed job";

/// Title of the file.
pub fn title_of(job: &str) -> String {
    format!("{DOCUMENT_TYPE}: {}", name_or(job, UNNAMED))
}

/// The name on one line and not endless, or what stands for it.
pub fn name_or(name: &str, other: &str) -> String {
    let plain = crate::sheet::lettering::plain(name);
    if plain.is_empty() { other.to_owned() } else { short(&plain, 120) }
}

/// At most `most` letters, with `…` where some were left out.
pub fn short(text: &str, most: usize) -> String {
    if text.chars().count() <= most {
        return text.to_owned();
    }
    let mut out: String = text.chars().take(most).collect();
    out.push('…');
    out
}

/// Page number.
pub fn page_of(page: usize, count: usize) -> String {
    format!("Page {page} of {count}")
}

/// Revision and date.
pub fn revision(number: u32, date: &str) -> String {
    if date.trim().is_empty() {
        format!("Revision {number}, not yet issued")
    } else {
        format!("Revision {number} of {}", short(date.trim(), 20))
    }
}

/// Digests on every page.
pub fn digests(plan: &str, meshes: &[String]) -> String {
    let mut shown: Vec<&str> = meshes.iter().take(3).map(String::as_str).collect();
    if meshes.len() > 3 {
        shown.push("…");
    }
    format!("Plan {plan} · mesh {}", shown.join(", "))
}

/// Program on every page.
pub fn made_with(program: &str) -> String {
    format!("Made with {program}")
}

/// Scale in words (ISO 5455).
pub fn scale(ratio: &str) -> String {
    format!("Scale {ratio}")
}

/// A side of the box.
pub fn side(side: crate::study::job::wall_name::WallName) -> &'static str {
    use crate::study::job::wall_name::WallName;
    match side {
        WallName::Front => "front",
        WallName::Right => "right",
        WallName::Back => "back",
        WallName::Left => "left",
        WallName::Top => "top",
        WallName::Floor => "floor",
    }
}

/// Name of a view.
pub fn view_name(view: View) -> &'static str {
    match view {
        View::Above => "From above",
        View::Front => "From the front",
        View::Right => "From the right",
    }
}

/// Stage of the job.
pub fn stage(stage: Stage) -> &'static str {
    match stage {
        Stage::Planned => "Planned, nothing poured",
        Stage::Poured => "Rubber poured",
        Stage::Cut => "Block cut",
        Stage::Casting => "Casting",
    }
}

/// Severity of a finding.
pub fn severity(severity: Severity) -> &'static str {
    match severity {
        Severity::Stop => "STOP",
        Severity::Warn => "Look here",
        Severity::Note => "Note",
    }
}

/// Head of the box of open Stops.
pub fn stops_head(count: usize, stage: Stage) -> String {
    let act = match stage {
        Stage::Planned => "DO NOT POUR",
        Stage::Poured => "DO NOT CUT",
        Stage::Cut | Stage::Casting => "DO NOT CAST",
    };
    if count == 1 { format!("{act}: 1 Stop is open") } else { format!("{act}: {count} Stops are open") }
}

/// No Stop.
pub const NO_STOPS: &str = "No Stop is open";

/// Further Stops are on a later page.
pub fn more_stops(count: usize) -> String {
    format!("and {count} more, see Findings still open")
}

/// What to do, in front of a remedy.
pub fn remedy(text: &str) -> String {
    format!("What to do: {text}")
}

/// So many of a kind; one is not counted.
pub fn so_many(count: u32, name: &str) -> String {
    if count == 1 { name.to_owned() } else { format!("{count} × {name}") }
}

/// A figure so many times; once is the figure alone.
pub fn times(count: u32, figure: &str) -> String {
    if count == 1 { figure.to_owned() } else { format!("{count} × {figure}") }
}

/// A thing of a set: the part that it stands on, and how it is made.
pub fn on_part(part: &str, how: &str) -> String {
    format!("on {part}: {how}")
}

/// What the places of parts are measured to.
pub const FROM_CORNERS: &str =
    "Parts: from the left wall, the front wall and the floor to the nearest side of each; rubber to its neighbour";

/// Names of placed things.
pub fn gate(number: u32, name: &str) -> String {
    named("Gate", number, name)
}

/// A vent's name.
pub fn vent(number: u32, name: &str) -> String {
    named("Vent", number, name)
}

/// An insert's name.
pub fn insert(number: u32, name: &str) -> String {
    named("Insert", number, name)
}

fn named(kind: &str, number: u32, name: &str) -> String {
    let name = crate::sheet::lettering::plain(name);
    if name.is_empty() { format!("{kind} {number}") } else { format!("{kind} {number}: {}", short(&name, 40)) }
}

/// A straight rod.
const ROD_PULLED: &str = "rod, pulled after cure";
/// A rod with bends, or one that ends in another: only a straight one can be pulled.
const ROD_LIFTED: &str = "rod, lifted out of the opened block";

/// How a channel is made.
pub fn made(made: Made) -> &'static str {
    match made {
        Made::RodPulled => ROD_PULLED,
        Made::PunchedFromCavity => "punched from the cavity",
        Made::GrooveInParting => "groove in the parting face",
    }
}

/// Kind of gate.
pub fn gate_kind(kind: GateKind) -> &'static str {
    match kind {
        GateKind::Top => "top",
        GateKind::Bottom => "bottom",
        GateKind::Side => "side",
    }
}

/// How a gate is made: kind, runner with its legs from the part outwards, way; `pulled` where its rod is one straight piece.
pub fn gate_made(kind: GateKind, runner: &str, legs: &[String], joins: Option<u32>, how: Made, pulled: bool) -> String {
    let legs = if legs.len() > 1 { format!(" in legs of {}", legs.join(" + ")) } else { String::new() };
    let into = joins.map_or(String::new(), |n| format!(" into that of gate {n}"));
    let how = if how == Made::RodPulled && !pulled { ROD_LIFTED } else { made(how) };
    format!("{}, runner {runner}{legs}{into}, {how}", gate_kind(kind))
}

/// How a pocket is made.
pub fn pocket(made: PocketMade) -> &'static str {
    match made {
        PocketMade::DummyOnMaster => "dummy on the master",
        PocketMade::InMesh => "part of the master",
        PocketMade::DrilledAfter => "drilled in the rubber",
    }
}

/// How a thread is closed.
pub fn threads(threads: Threads) -> &'static str {
    match threads {
        Threads::None => "no thread to close",
        Threads::Screw => "close the thread with a screw",
        Threads::Plug => "close the thread with a plug",
        Threads::Blind => "blind, open end down in the pocket",
    }
}

/// An insert in words.
pub fn insert_kind(kind: &InsertKind) -> String {
    use crate::sheet::figures::bare_mm;
    match kind {
        InsertKind::Bush { diameter_mm, length_mm, thread } => {
            format!("bush {} Ø {} × {}", short(thread, 12), bare_mm(*diameter_mm), bare_mm(*length_mm))
        }
        InsertKind::Pin { diameter_mm, length_mm } => {
            format!("pin Ø {} × {}", bare_mm(*diameter_mm), bare_mm(*length_mm))
        }
        InsertKind::Plate { length_mm, width_mm, thickness_mm } => {
            format!("plate {} × {} × {}", bare_mm(*length_mm), bare_mm(*width_mm), bare_mm(*thickness_mm))
        }
        InsertKind::Magnet { diameter_mm, length_mm } => {
            format!("magnet Ø {} × {}", bare_mm(*diameter_mm), bare_mm(*length_mm))
        }
        InsertKind::Mesh { .. } => "shaped piece".into(),
    }
}

/// A half of the block.
pub fn half(half: Half) -> &'static str {
    match half {
        Half::One => "half 1",
        Half::Two => "half 2",
    }
}

/// How the halves are kept apart across a hole.
pub fn separation(separation: Separation) -> &'static str {
    match separation {
        Separation::Taped => "tape the hole on the master",
        Separation::Cut => "cut the rubber in the hole with the blade",
        Separation::Torn => "tear the rubber in the hole",
        Separation::FilledAndDrilled => "fill the hole in the master, drill it in each cast",
    }
}

/// The nearest wall, floor or top of the box that a direction points to.
pub fn toward(direction: [f64; 3]) -> &'static str {
    let names = [["left", "right"], ["front", "back"], ["floor", "top"]];
    let axis = (0..3).fold(0, |best, i| if direction[i].abs() > direction[best].abs() { i } else { best });
    names[axis][usize::from(direction[axis] > 0.0)]
}

/// Says how views, zero and hidden parts are to be read.
pub const HOW_TO_READ: &str = "Third angle: each view stands on the side it is seen from. Figures are millimetres from \
    the left wall, the front wall and the floor of the box. Hidden edges are left out; feed, vents and inserts are drawn \
    through.";
/// Key: gate.
pub const KEY_GATE: &str = "Gate: resin in";
/// Key: vent.
pub const KEY_VENT: &str = "Vent: air out";
/// Key: insert.
pub const KEY_INSERT: &str = "Insert";
/// Key: parting line.
pub const KEY_PARTING: &str = "Parting line";
/// Key: shut-off.
pub const KEY_SHUT_OFF: &str = "Shut-off";
/// Beside the scale bar.
pub fn bar(length_mm: f32) -> String {
    format!("100 % print: this bar is {length_mm:.0} mm")
}
/// From one number to another.
pub fn range(low: u32, high: u32) -> String {
    format!("{low} to {high}")
}
/// Under a missing drawing.
pub const NO_DRAWING: &str =
    "The views do not fit on this paper at any standard scale. Look at the part's unit and size.";
/// Under the overview.
pub const OVERVIEW: &str = "As it hangs, not to scale";
/// Up arrow.
pub const UP: &str = "up";
/// Where the part hangs.
pub fn clearances(left: &str, below: &str, above: &str) -> String {
    format!("Rubber round the part: {left} at the sides, {below} below, {above} above")
}
/// Where the figures of the tables are taken from.
pub const FROM_WHERE: &str = "Millimetres from the left wall, the front wall and the floor of the box to the middle of each mouth or axis at the part";
/// To which length rods are cut.
pub fn rods_to(beam: bool, beyond: &str) -> String {
    format!("Rods: the length to cut, up to {}, {beyond} over the silicone", step::rod_end(beam))
}
/// Drawing of halves.
pub fn draw_words(direction: &str) -> String {
    format!("Half 1 lifts off towards the {direction}, half 2 the other way")
}
/// No placed thing.
pub const NO_THINGS: &str = "No gate, vent or insert is placed yet";
/// No open finding.
pub const NO_FINDINGS: &str = "None. The plan was checked and nothing is open.";
/// Findings left out.
pub fn more_findings(count: usize) -> String {
    format!("{count} more findings are not printed; see them in the bench plan")
}
/// Tally.
pub fn tally(low: u32, high: u32) -> String {
    format!(
        "A block usually gives {low} to {high} casts with this resin. Tick good casts, cross scrap; look the cavity over after each."
    )
}
/// Where the weight of a cast is written.
pub const TALLY_WEIGHS: &str = "weighs";
/// Where a remark on a cast is written.
pub const TALLY_REMARK: &str = "date, batch, remark";
/// A cast of the log: its date, batch and remark.
pub fn logged(cast: &crate::plan::CastEntry) -> String {
    let all = [cast.date.as_str(), &cast.batch, &cast.remark].map(crate::sheet::lettering::plain);
    all.into_iter().filter(|t| !t.is_empty()).collect::<Vec<_>>().join(", ")
}
/// Figures per material.
pub fn from_name(name: &str) -> String {
    format!("Material: {}", name_or(name, "not named"))
}
/// Mixed total.
pub const TOTAL: &str = "Total";
/// How large each pot must be.
pub const POT_SIZE: &str = "Pot";
/// Both components for the whole block.
pub fn in_all(a: &str, b: &str) -> String {
    format!("In all {a} of A and {b} of B")
}
/// Ratio by mass.
pub fn ratio(a: f64, b: f64) -> String {
    let tidy = |v: f64| {
        let text = format!("{v:.1}");
        text.strip_suffix(".0").map_or(text.clone(), str::to_owned)
    };
    format!("By mass, A {} : B {}. Weigh, do not measure by volume.", tidy(a), tidy(b))
}
/// Times to write in for the rubber.
pub const SILICONE_TIMES: [&str; 6] =
    ["Mixed at", "Pot life ends at", "Degassed at", "Poured at", "Room temperature", "Cured at"];
/// Times to write in for the first shot.
pub const RESIN_TIMES: [&str; 6] =
    ["A and B degassed", "Mixed at", "Poured at", "Let up at", "In oven at", "Demoulded at"];
/// Lines of the handover block.
pub const HANDOVER_LINES: [&str; 6] =
    ["Handed over by", "Date and time", "Taken by", "Checked with drawing", "Stands at step", "Block is kept at"];
/// Remarks.
pub const REMARKS: [&str; 3] = ["Remarks", "", ""];

/// Finish of a surface.
pub fn finish(finish: crate::plan::parts::Finish) -> &'static str {
    use crate::plan::parts::Finish;
    match finish {
        Finish::Gloss => "gloss",
        Finish::Matt => "matt",
        Finish::Textured => "textured",
        Finish::AsPrinted => "as printed",
    }
}
