//! Every word that the sheet prints, in one place: plain British English.
//!
//! Cautions are neutral and leave the decision to local codes, the safety data sheets and licensed practice. Their
//! substance is that of the usual sources (GHS order of a safety data sheet; REACH Annex XVII entry 74; workplace
//! guidance on isocyanates and on vacuum vessels); what is marked common practice has no other source.

use super::drawing::View;
use crate::plan::{GateKind, Half, InsertKind, Made, PocketMade, Separation, Stage, Threads};
use crate::study::report::Severity;

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
    let plain = super::lettering::plain(name);
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
pub const NO_STOPS: &str = "No Stop is open.";

/// Further Stops are on a later page.
pub fn more_stops(count: usize) -> String {
    format!("and {count} more, see Findings still open")
}

/// What to do, in front of a remedy.
pub fn remedy(text: &str) -> String {
    format!("What to do: {text}")
}

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
    let name = super::lettering::plain(name);
    if name.is_empty() { format!("{kind} {number}") } else { format!("{kind} {number}: {}", short(&name, 40)) }
}

/// How a channel is made.
pub fn made(made: Made) -> &'static str {
    match made {
        Made::RodPulled => "rod, pulled after cure",
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
    use super::figures::bare_mm;
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

/// Headings of the pages.
pub mod heading {
    /// First page.
    pub const GLANCE: &str = "At a glance";
    /// Figures that are weighed or set.
    pub const SET: &str = "Weigh or set";
    /// Other figures.
    pub const KEY: &str = "Key figures";
    /// The drawing.
    pub const HANG: &str = "Hang and box";
    /// Tables beside the drawing.
    pub const POSITIONS: &str = "Positions and sizes";
    /// Rubber.
    pub const SILICONE: &str = "Silicone";
    /// Resin.
    pub const RESIN: &str = "Resin, for each shot";
    /// Steps.
    pub const STEPS: &str = "Bench steps";
    /// Open findings.
    pub const FINDINGS: &str = "Findings still open";
    /// Cautions.
    pub const CAUTIONS: &str = "Cautions";
    /// Handing over.
    pub const HANDOVER: &str = "Handover";
    /// Tally.
    pub const TALLY: &str = "Casts from this block";
    /// Notes of the plan.
    pub const NOTES: &str = "Notes";
}

/// Fields of the title block (ISO 7200:2004).
pub mod field {
    /// Legal owner.
    pub const OWNER: &str = "Owner";
    /// Title.
    pub const TITLE: &str = "Title";
    /// Identification number.
    pub const NUMBER: &str = "Job number";
    /// Document type.
    pub const TYPE: &str = "Document type";
    /// Revision index.
    pub const REVISION: &str = "Revision";
    /// Date of issue.
    pub const DATE: &str = "Date of issue";
    /// Creator.
    pub const CREATOR: &str = "Made by";
    /// Approval person.
    pub const APPROVAL: &str = "Approved by";
    /// Stage.
    pub const STAGE: &str = "Stage";
    /// Language.
    pub const LANGUAGE: &str = "Language";
    /// Parts.
    pub const PARTS: &str = "Part";
}

/// Labels of figures on the first page.
pub mod label {
    /// Component A of the rubber.
    pub const SILICONE_A: &str = "Silicone A";
    /// Component B of the rubber.
    pub const SILICONE_B: &str = "Silicone B";
    /// Component A of the resin.
    pub const RESIN_A: &str = "Resin A, each shot";
    /// Component B of the resin.
    pub const RESIN_B: &str = "Resin B, each shot";
    /// Mould temperature.
    pub const MOULD: &str = "Mould and oven";
    /// Chamber pressure.
    pub const CHAMBER: &str = "Chamber, absolute";
    /// Box.
    pub const BOX: &str = "Box inside, L × W × H";
    /// Pot.
    pub const POT: &str = "Degassing pot, at least";
    /// Rubber pot life.
    pub const SILICONE_LIFE: &str = "Silicone pot life, 23 °C";
    /// Rubber cure.
    pub const CURE: &str = "Silicone cure, 23 °C";
    /// Resin pot life.
    pub const RESIN_LIFE: &str = "Resin pot life";
    /// Time in the oven.
    pub const DEMOULD: &str = "Oven before demould";
    /// Feed, vents, inserts.
    pub const COUNTS: &str = "Gates · vents · inserts";
    /// Trapped air.
    pub const AIR: &str = "Air that stays, level; leaning";
    /// Trimmed part.
    pub const PART: &str = "Trimmed cast weighs";
    /// Casts.
    pub const CASTS: &str = "Casts wanted · a block gives";
    /// Life.
    pub const LIFE: &str = "Casts a block gives";
    /// Days.
    pub const DAYS: &str = "Blocks · working days";
}

/// Column headings.
pub mod column {
    /// Name.
    pub const THING: &str = "What";
    /// From the left wall.
    pub const LEFT: &str = "Left wall";
    /// From the front wall.
    pub const FRONT: &str = "Front wall";
    /// Above the floor.
    pub const FLOOR: &str = "Floor";
    /// Diameter.
    pub const DIAMETER: &str = "Ø";
    /// Rod length.
    pub const LENGTH: &str = "Long";
    /// How it is made.
    pub const HOW: &str = "How it is made";
    /// In the pocket.
    pub const POCKET: &str = "In pocket";
    /// Axis.
    pub const AXIS: &str = "Points to";
    /// Component.
    pub const COMPONENT: &str = "Component";
    /// Mass.
    pub const MASS: &str = "Weigh";
    /// Weighed.
    pub const WEIGHED: &str = "Weighed";
    /// Batch.
    pub const BATCH: &str = "Batch";
    /// Value.
    pub const VALUE: &str = "Figure";
    /// Where.
    pub const WHERE: &str = "Left · front · floor";
    /// Finding.
    pub const FINDING: &str = "Finding and what to do";
    /// Severity.
    pub const SEVERITY: &str = "Kind";
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
    format!("Rubber round the part: {left} at the sides, {below} below, {above} above.")
}
/// Where the figures of the tables are taken from.
pub const FROM_WHERE: &str = "Millimetres from the left wall, the front wall and the floor of the box to the middle of each mouth or axis at the part.";
/// Drawing of halves.
pub fn draw_words(direction: &str) -> String {
    format!("Half 1 lifts off towards the {direction}, half 2 the other way.")
}
/// No placed thing.
pub const NO_THINGS: &str = "No gate, vent or insert is placed yet.";
/// No open finding.
pub const NO_FINDINGS: &str = "None. The plan was checked and nothing is open.";
/// Findings left out.
pub fn more_findings(count: usize) -> String {
    format!("{count} more findings are not printed; see them in the bench plan.")
}
/// Tally.
pub fn tally(low: u32, high: u32) -> String {
    format!(
        "A block usually gives {low} to {high} casts with this resin. Tick good casts, cross scrap; look the cavity over after each."
    )
}
/// Figures per material.
pub fn from_name(name: &str) -> String {
    format!("Material: {}", name_or(name, "not named"))
}
/// Mixed total.
pub const TOTAL: &str = "Total";
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

/// Cautions; `None` where one has no place on its own line of work.
pub mod caution {
    /// Before anything is opened.
    pub const SHEETS: &str =
        "Read the safety data sheet of every component and follow it: hazards, first aid, protection, disposal.";
    /// Rubber.
    pub const SILICONE: &str = "Addition-cure silicone stays sticky against sulphur, tin salts, amines, some clays, tapes, gloves and fresh prints: make a small trial on the real master first. Component B can give off hydrogen with alkalis: keep it clean and vented.";
    /// Vacuum.
    pub const VACUUM: &str = "Vacuum: only a vessel built for it, inspected and guarded, with no cracked or scratched plastic or glass. Wear eye protection. Let air in slowly. Lead the pump's exhaust away. Sealed or hollow things can burst in the chamber.";
    /// Blade.
    pub const BLADE: &str = "Blade: cut away from the hand that holds the block, wear a cut-resistant glove, keep used blades in a sharps box.";
    /// Resin.
    pub const ISOCYANATE: &str = "Isocyanates can make lungs and skin allergic for good, by skin contact too; a person who is sensitised must not be exposed again. Trained people only. Extraction, gloves, eye protection, no food; heat and spray raise exposure.";
    /// Moisture.
    pub const MOISTURE: &str = "Moist resin foams: never close a container of mixed or wet resin.";
    /// Heat of reaction.
    pub const EXOTHERM: &str =
        "A pot of unused mix can overheat and fume: spread it out and leave it under extraction.";
    /// Oven.
    pub const OVEN: &str = "Oven: rated, extracted, with an over-temperature cut-out; no flammable release agent or solvent left to evaporate. The block is hot and heavy: gloves, and two hands or two people.";
    /// Dust.
    pub const DUST: &str = "Sand and cut only what is fully cured, with dust extraction and a mask. Hot cutting or burning sets free isocyanate and cyanide fumes.";
    /// Pressure.
    pub const PRESSURE: &str = "A pressure pot is a pressure vessel: national rules for such vessels apply.";
    /// The closing line.
    pub const CLOSING: &str = "Local codes, the safety data sheets, the workplace's own assessment and licensed or competent persons decide; this sheet does not replace them.";

    /// All of them in the order of the bench, the closing line last.
    pub const ALL: [&str; 11] =
        [SHEETS, SILICONE, VACUUM, BLADE, ISOCYANATE, MOISTURE, EXOTHERM, OVEN, DUST, PRESSURE, CLOSING];
}

/// Steps at the bench.
pub mod step {
    /// Stages of the work.
    pub const MASTER: &str = "Master";
    /// Box.
    pub const BOX: &str = "Box and hang";
    /// Rubber.
    pub const RUBBER: &str = "Silicone";
    /// Opening.
    pub const OPEN: &str = "Open the block";
    /// Casting.
    pub const CAST: &str = "Cast, every shot";
    /// What is behind.
    pub fn done(stage: &str) -> String {
        format!("{stage}: done before this sheet was issued")
    }
    /// Master.
    pub fn master(part: &str) -> String {
        format!("Make the master of {part}; fill, sand and seal it")
    }
    /// Master's scale.
    pub fn master_scale(factor: f64) -> String {
        format!("{:.2} % of the part's size", factor * 100.0)
    }
    /// Master to size.
    pub const MASTER_TO_SIZE: &str = "To the part's own size";
    /// Finish.
    pub fn finish(name: &str, finish: &str) -> String {
        format!("Shown surface {name}: {finish} finish")
    }
    /// Trial.
    pub const TRIAL: &str = "Trial: cure a little silicone on the master's material";
    /// Detail.
    pub const TRIAL_DETAIL: &str = "It must set dry. Where it stays sticky, use a barrier coat and try again.";
    /// Line on the master.
    pub const MARK_LINE: &str = "Mark the parting line on the master";
    /// Detail.
    pub const MARK_LINE_DETAIL: &str =
        "As the double line on the drawing; a coloured line or tape shows through the rubber.";
    /// Shut-offs.
    pub fn shut_offs(count: usize, how: &str) -> String {
        if count == 1 { format!("1 through-hole: {how}") } else { format!("{count} through-holes: {how}") }
    }
    /// Dummy.
    pub fn dummy(insert: &str, what: &str) -> String {
        format!("{insert}: fix its dummy on the master ({what})")
    }
    /// Dummy's detail.
    pub fn stands_out(length: &str) -> String {
        format!("Stands {length} out of the part")
    }
    /// Box.
    pub const BUILD_BOX: &str = "Build the box, seal its corners";
    /// Detail.
    pub fn panels(pot: &str) -> String {
        format!("Inside, length × width × height. Leave head-room above. Degas in a pot of at least {pot}.")
    }
    /// Feed rod.
    pub fn feed_rod(gate: &str, part: &str, runner: &str) -> String {
        format!("{gate}: fix its rod, {part} mm at the part, {runner} mm runner")
    }
    /// Vent rod.
    pub fn vent_rod(vent: &str) -> String {
        format!("{vent}: fix its rod at the high point")
    }
    /// Length of a rod.
    pub fn rod_length(length: &str) -> String {
        format!("{length} up to the top of the block")
    }
    /// Hang.
    pub const HANG: &str = "Hang the master in the box as drawn";
    /// Detail.
    pub fn hang_detail(below: &str, wall: &str) -> String {
        format!("Lowest point {below} above the floor, {wall} to the walls. It floats up: tie it down.")
    }
    /// Check.
    pub const CHECK_POSITIONS: &str = "Check every tagged position against the table";
    /// Weigh A.
    pub const WEIGH_SILICONE_A: &str = "Weigh silicone A";
    /// Weigh B.
    pub const WEIGH_SILICONE_B: &str = "Weigh silicone B into it and mix; scrape sides and floor";
    /// Write.
    pub const WRITE_TIME: &str = "at";
    /// Write.
    pub const WRITE_MASS: &str = "weighed";
    /// Degas.
    pub const DEGAS_SILICONE: &str = "Degas until the foam has fallen";
    /// Detail.
    pub fn pot_detail(pot: &str, life: &str) -> String {
        format!("Pot of at least {pot}. Pot life {life} from mixing, at 23 °C.")
    }
    /// Pour.
    pub const POUR_SILICONE: &str = "Pour in a thin stream into one corner; let it rise round the part";
    /// Cover.
    pub fn cover_detail(above: &str) -> String {
        format!("Until it stands {above} above the part. Watch for air under the part.")
    }
    /// Cure.
    pub const CURE: &str = "Let it cure at 23 °C";
    /// Detail.
    pub const CURE_DETAIL: &str = "Warmer is quicker, but a block set warm comes out another size.";
    /// Unbox.
    pub const UNBOX: &str = "Take the box away";
    /// Pull rods.
    pub fn pull_rods(count: usize) -> String {
        if count == 1 { "Pull the 1 rod".into() } else { format!("Pull the {count} rods and count them") }
    }
    /// Cut.
    pub const CUT: &str = "Cut along the parting line with a wavy cut";
    /// Detail.
    pub fn cut_detail(direction: &str) -> String {
        format!(
            "Half 1 lifts off towards the {direction}. Straight and clean in the last 5 mm beside the part, wavy beyond so that the halves key."
        )
    }
    /// Relief cut.
    pub fn relief(name: &str, depth: &str) -> String {
        format!("Relief cut {name}: {depth} deep")
    }
    /// Loose piece.
    pub fn loose(name: &str) -> String {
        format!("Cut loose piece {name} free and mark how it sits")
    }
    /// Punch.
    pub fn punch(name: &str, diameter: &str) -> String {
        format!("{name}: punch {diameter} mm from the cavity outwards")
    }
    /// Groove.
    pub fn groove(name: &str, diameter: &str) -> String {
        format!("{name}: cut a groove {diameter} mm in the parting face")
    }
    /// Drill.
    pub fn drill(name: &str, depth: &str) -> String {
        format!("{name}: drill its pocket {depth} deep in the rubber")
    }
    /// Take out.
    pub const TAKE_OUT: &str = "Take the master out; look for torn or sticky places";
    /// Undercuts.
    pub fn undercuts(count: usize, depth: &str) -> String {
        if count == 1 {
            format!("1 undercut, {depth} deep: bend the rubber away, do not pull")
        } else {
            format!("{count} undercuts, up to {depth} deep: bend the rubber away, do not pull")
        }
    }
    /// Dry.
    pub const LOOK_OVER: &str = "Blow the cavity and every vent clear; look it over";
    /// Release.
    pub const LOOK_OVER_DETAIL: &str = "Release agent only where the shown surfaces allow it.";
    /// Load.
    pub fn load(insert: &str, half: &str) -> String {
        format!("Load {insert}{half}")
    }
    /// Half in words.
    pub fn into_half(half: &str) -> String {
        format!(" into {half}")
    }
    /// Load loose.
    pub fn load_loose(name: &str) -> String {
        format!("Put loose piece {name} in place")
    }
    /// Close.
    pub const CLOSE: &str = "Close the halves and tape them, snug and not tight";
    /// Detail.
    pub const CLOSE_DETAIL: &str = "Too tight bulges the cavity.";
    /// Prop.
    pub fn prop(degrees: f64) -> String {
        format!("Stand the block as for casting: turned {degrees:.0}° from the way it was poured")
    }
    /// Prop as poured.
    pub const STAND: &str = "Stand the block level, as it was poured";
    /// Lean.
    pub fn lean(degrees: f64) -> String {
        format!("Level within {degrees:.0}°.")
    }
    /// Preheat.
    pub const PREHEAT: &str = "Heat the block through";
    /// Weigh.
    pub const WEIGH_RESIN_A: &str = "Weigh resin A";
    /// Weigh.
    pub const WEIGH_RESIN_B: &str = "Weigh resin B, apart from A";
    /// Degas.
    pub const DEGAS_RESIN: &str = "Degas A and B apart in the chamber";
    /// Detail.
    pub const ABSOLUTE: &str = "Absolute pressure";
    /// Mix.
    pub const MIX: &str = "Mix under vacuum, then pour into the cup";
    /// Detail.
    pub fn mix_detail(life: &str, batch: &str) -> String {
        format!("Pot life {life} (stated for {batch}): pour in the first half of it.")
    }
    /// Vents.
    pub fn vents(order: &str) -> String {
        format!("Watch resin rise in the vents: {order}")
    }
    /// Detail.
    pub const VENTS_DETAIL: &str = "Lowest first. Top the cup up until every vent stands full.";
    /// No vents.
    pub const NO_VENTS: &str = "Watch the cup; there is no vent to watch";
    /// Let up.
    pub const LET_UP: &str = "Let air in slowly, keep the cup covered with resin";
    /// Oven.
    pub const OVEN: &str = "Into the oven";
    /// Detail.
    pub fn oven_detail(temperature: &str) -> String {
        format!("At {temperature}. Spread left-over mix out under extraction.")
    }
    /// Open.
    pub const DEMOULD: &str = "Open and take the cast out";
    /// Detail with undercuts.
    pub const DEMOULD_DETAIL: &str = "Half 1 first. Let it cool until it holds its shape.";
    /// Pull.
    pub fn pull(insert: &str) -> String {
        format!("Pull {insert} from the cast and clean it")
    }
    /// Drill holes.
    pub const DRILL_HOLES: &str = "Drill the filled holes in the cast";
    /// Trim.
    pub const TRIM: &str = "Trim feed and vents, weigh the cast";
    /// Detail.
    pub const TRIM_DETAIL: &str = "Much lighter means a void: look for it before the next shot.";
    /// Rest.
    pub const REST: &str = "Let the block rest and dry before the next shot";
}

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
