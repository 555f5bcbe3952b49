//! Practice: what an apprentice hung, fed and vented, judged beside what the program would have done.
//!
//! A hundred points, from which each fault takes some, with its reason. How many is set here: what is left in the cast
//! counts most, by its volume; then what must not be poured, then the gate, then a hang that asks for more vents than
//! another would, then vents that catch nothing. A hundred are left only where nothing is to be objected to.

pub mod exercises;

use crate::plan::Plan;
use crate::shop::Limits;
use crate::solve::run::Run;
use crate::study::air::{Matters, MouthOf};
use crate::study::bench::{Bench, Facts, StudyError};
use crate::study::findings::finding::Severity;
use crate::study::findings::{self, Finding, Step};
use crate::study::job::words::{length, volume};
use crate::study::propose::{Given, propose};
use glam::Vec3;

/// Points lost for any air over the limit, and the most that its volume takes besides: all of them where it is this
/// share of the part or more, which is then no cast.
const FLAW: f64 = 10.0;
const AIR: f64 = 60.0;
const NO_CAST: f64 = 0.1;
/// Points lost for each thing that must not be poured so, and for all of them at most.
const STOP: (u32, u32) = (15, 45);
/// Points lost for a basin that fills over a sill, for a gate whose resin falls, and for anything else to be looked at.
const BASIN: u32 = 8;
const FALLS: u32 = 4;
const WARN: (u32, u32) = (3, 12);
/// Points lost for each vent that catches nothing, and for all of them at most.
const NEEDLESS: (u32, u32) = (4, 12);
/// Points lost for each high point that the computed hang does without, and for all of them at most.
const HANG: (u32, u32) = (5, 15);
/// Points lost without a gate, or with one that leaves some of the part empty.
const NO_GATE: u32 = 20;
/// A flow path this much longer than the computed one is as good; for each further such share points are lost, up to a limit.
const LONGER: f64 = 0.25;
const LONGER_POINTS: (u32, u32) = (4, 12);
/// Findings that are counted otherwise here: air that stays, vents that catch nothing, a gate that leads nowhere.
const COUNTED: [&str; 7] =
    ["air-trapped", "air-leaning", "air-on-cells", "vent-needless", "gate-missing", "gate-off-part", "part-unreached"];
/// Findings at the hang that a way up decides; the others there are about the master.
const OF_THE_HANG: [&str; 2] = ["ceiling-level", "air-in-rubber"];

/// One side of the comparison: a plan in numbers.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Side {
    /// High points that ask for a vent, as it is hung.
    pub high_points: usize,
    /// Vents.
    pub vents: usize,
    /// Gates.
    pub gates: usize,
    /// Air that stays in the level block, mm³.
    pub stays_mm3: f64,
    /// The most that stays within the lean, mm³.
    pub worst_mm3: f64,
    /// Diameter of the largest bubble within the lean after let-up, millimetres; 0 without one.
    pub bubble_mm: f64,
    /// Longest way of the resin, millimetres; none without a gate that leads into the part.
    pub flow_mm: Option<f64>,
    /// Volume that no gate leads to, mm³.
    pub unreached_mm3: f64,
    /// Points of a hundred, once it was judged.
    pub points: Option<u32>,
}

/// What became of one pocket of air.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pocket {
    /// Its high point, in `work`.
    pub place: Vec3,
    /// Its volume, mm³.
    pub pocket_mm3: f64,
    /// The mouth in it, if any.
    pub by: Option<MouthOf>,
    /// Air that stays in it all the same, mm³.
    pub stays_mm3: f64,
    /// True where what stays leaves no bubble that is a fault.
    pub caught: bool,
}

/// Points lost, and why.
#[derive(Clone, Debug, PartialEq)]
pub struct Lost {
    /// How many.
    pub points: u32,
    /// Why, in words.
    pub why: String,
    /// Where, in `work` of the apprentice's plan.
    pub place: Option<Vec3>,
}

/// The judgement.
#[derive(Clone, Debug, PartialEq)]
pub struct Marks {
    /// Points of a hundred.
    pub score: u32,
    /// What took points, as it comes to the bench.
    pub lost: Vec<Lost>,
    /// Every pocket as the part was hung, highest first.
    pub pockets: Vec<Pocket>,
    /// Numbers of vents that catch nothing.
    pub needless: Vec<u32>,
    /// The apprentice's plan.
    pub yours: Side,
    /// The computed plan.
    pub computed: Side,
}

impl Side {
    /// The numbers of a plan from its facts.
    pub fn of(plan: &Plan, facts: &Facts) -> Side {
        let mut side = Side { vents: plan.vents.len(), gates: plan.feed.gates.len(), ..Side::default() };
        if let Some(air) = &facts.air {
            side.high_points = air.high_points.len();
            side.stays_mm3 = air.trapped.total_mm3;
            side.worst_mm3 = air.worst_mm3;
            side.bubble_mm = air.worst_piece.map_or(0.0, |w| w.bubble_mm);
        }
        if let Some(flow) = &facts.flow {
            side.flow_mm = flow.longest.as_ref().map(|l| l.length_mm);
            side.unreached_mm3 = flow.unreached.iter().map(|u| u.volume_mm3).sum();
        }
        side
    }
}

/// The plan that the program makes of the same parts, and its facts as [`judged`] wants them.
///
/// # Errors
/// As the facts it is made from.
pub fn computed(bench: &Bench, plan: &Plan, run: &Run) -> Result<(Plan, Side), StudyError> {
    let plan = propose(bench, plan, Given::default(), run)?.plan;
    let facts = bench.facts(&plan, run)?;
    let findings = findings::judge(&plan, bench.shop(), &facts);
    // Beside itself it loses what is to be objected to, like any other.
    let side = judged(&plan, &facts, &findings, Side::of(&plan, &facts), &bench.shop().limits).yours;
    Ok((plan, side))
}

/// True for a finding about what practice is about: the hang, the feed and the vents, as far as they are decided there.
/// Where the block is cut is not, nor how the master is held.
pub fn is_about(finding: &Finding) -> bool {
    match finding.step {
        Step::Hang => OF_THE_HANG.contains(&finding.code),
        Step::Feed | Step::Vents => finding.code != "channel-off-cut",
        _ => false,
    }
}

/// Judges a plan by its `facts` (air, and flow where it has a gate) and the `findings` on them, beside the computed one.
pub fn judged(plan: &Plan, facts: &Facts, findings: &[Finding], computed: Side, limits: &Limits) -> Marks {
    let mut yours = Side::of(plan, facts);
    let matters = Matters::of(plan, &facts.setting.frames, limits);
    let pockets = pockets(facts, &matters);
    let needless = needless(plan, facts);
    let mut lost = Vec::new();
    air(&mut lost, &pockets, facts, limits, &matters);
    if !needless.is_empty() {
        let points = (NEEDLESS.0 * needless.len() as u32).min(NEEDLESS.1);
        let names: Vec<String> = needless.iter().map(u32::to_string).collect();
        let why = match names.as_slice() {
            [one] => format!("Vent {one} catches nothing: the air leaves without it. It is one more stalk to trim"),
            all => format!(
                "Vents {} catch nothing: the air leaves without them. Each is one more stalk to trim",
                all.join(", ")
            ),
        };
        let first = plan.vents.iter().find(|v| v.number == needless[0]);
        lost.push(Lost { points, why, place: first.map(|v| facts.setting.frames.spot_in_work(&v.at)) });
    }
    if yours.high_points > computed.high_points {
        let more = (yours.high_points - computed.high_points) as u32;
        lost.push(Lost {
            points: (HANG.0 * more).min(HANG.1),
            why: format!(
                "Hung this way the part has {}; the computed hang has {}",
                high_points(yours.high_points),
                computed.high_points
            ),
            place: None,
        });
    }
    feed(&mut lost, &yours, &computed, facts);
    objections(&mut lost, findings);
    let taken: u32 = lost.iter().map(|l| l.points).sum();
    let score = 100u32.saturating_sub(taken);
    yours.points = Some(score);
    Marks { score, lost, pockets, needless, yours, computed }
}

fn high_points(n: usize) -> String {
    if n == 1 { "one high point".into() } else { format!("{n} high points") }
}

fn pockets(facts: &Facts, matters: &Matters) -> Vec<Pocket> {
    let Some(air) = &facts.air else { return Vec::new() };
    let all = air.high_points.iter().zip(&air.served);
    all.map(|(point, served)| Pocket {
        place: point.position,
        pocket_mm3: point.pocket_mm3,
        by: served.by,
        stays_mm3: served.trapped_mm3,
        caught: served.by.is_some() && !matters.is_fault(served.largest_mm3, || point.position),
    })
    .collect()
}

fn needless(plan: &Plan, facts: &Facts) -> Vec<u32> {
    let Some(air) = &facts.air else { return Vec::new() };
    let goes = |n: &u32| air.mouth_of_vent(*n).is_some_and(|m| air.needless[m].is_some());
    plan.vents.iter().map(|v| v.number).filter(goes).collect()
}

/// Points that so much air takes from a cast of a part of this volume, mm³.
fn points_for_air(stays_mm3: f64, part_mm3: f64) -> u32 {
    let share = stays_mm3 / (NO_CAST * part_mm3).max(f64::MIN_POSITIVE);
    (FLAW + AIR * share.min(1.0)).round() as u32
}

/// What is lost for air that stays: by its volume, each pocket its share.
fn air(lost: &mut Vec<Lost>, pockets: &[Pocket], facts: &Facts, limits: &Limits, matters: &Matters) {
    let Some(air) = &facts.air else { return };
    let part_mm3 = facts.body.as_ref().map_or(0.0, |b| b.measures.volume_mm3.abs());
    let missed: Vec<&Pocket> = pockets.iter().filter(|p| !p.caught).collect();
    let level = if missed.is_empty() { 0 } else { points_for_air(air.trapped.total_mm3, part_mm3) };
    // Whole points whose sum is right: each pocket takes what brings the sum to the share of all up to it.
    // Where nothing leads out all air is caught in one, whatever its neighbours hold.
    let weight = |p: &Pocket| if p.by.is_none() { p.pocket_mm3 } else { p.stays_mm3 }.max(1.0);
    let all: f64 = missed.iter().map(|p| weight(p)).sum();
    let mut so_far = 0.0;
    for pocket in missed {
        let before = (level as f64 * so_far / all).round();
        so_far += weight(pocket);
        let points = ((level as f64 * so_far / all).round() - before) as u32;
        let why = match pocket.by {
            None if pocket.stays_mm3 >= limits.air_pocket_mm3 => {
                format!("No vent in this pocket: {} of air stays", volume(pocket.stays_mm3))
            }
            None => "No vent in this pocket: its air is caught below it, with that of its neighbours".into(),
            Some(MouthOf::Vent(n)) => {
                format!("Vent {n} sits below the top of its pocket: {} of air stays", volume(pocket.stays_mm3))
            }
            Some(_) => format!("The gate sits below the top of this pocket: {} of air stays", volume(pocket.stays_mm3)),
        };
        lost.push(Lost { points, why, place: Some(pocket.place) });
    }
    if let Some(worst) = air.worst_piece.filter(|w| matters.is_fault(w.volume_mm3, || w.position)) {
        let more = points_for_air(air.worst_mm3, part_mm3).saturating_sub(level);
        let first = if level == 0 { "Level, all air leaves; when" } else { "When" };
        let stays = volume(air.worst_mm3);
        if more > 0 {
            lost.push(Lost {
                points: more,
                why: format!(
                    "{first} the block leans by {}° {stays} stays under a level ceiling. No block stands quite level",
                    limits.lean_deg,
                ),
                place: Some(worst.position),
            });
        }
    }
}

/// What is lost for all else that is to be objected to.
fn objections(lost: &mut Vec<Lost>, findings: &[Finding]) {
    let (mut stops, mut warns) = (STOP.1, WARN.1);
    for finding in findings.iter().filter(|f| is_about(f) && !COUNTED.contains(&f.code)) {
        let points = match (finding.code, finding.severity) {
            (_, Severity::Stop) => {
                let points = STOP.0.min(stops);
                stops -= points;
                points
            }
            ("basin-second", _) => BASIN,
            ("gate-falls", _) => FALLS,
            (_, Severity::Warn) => {
                let points = WARN.0.min(warns);
                warns -= points;
                points
            }
            (_, Severity::Note) => continue,
        };
        if points > 0 {
            lost.push(Lost { points, why: finding.message.clone(), place: finding.place });
        }
    }
}

/// What is lost at the feed.
fn feed(lost: &mut Vec<Lost>, yours: &Side, computed: &Side, facts: &Facts) {
    if yours.gates == 0 {
        lost.push(Lost { points: NO_GATE, why: "There is no gate: no resin comes in".into(), place: None });
        return;
    }
    let Some(way) = yours.flow_mm else {
        lost.push(Lost { points: NO_GATE, why: "The gate does not lead into the part".into(), place: None });
        return;
    };
    if yours.unreached_mm3 > 0.0 {
        let place = facts.flow.as_ref().and_then(|f| f.unreached.first()).map(|u| u.position);
        let why = format!("{} of the part is reached from no gate", volume(yours.unreached_mm3));
        lost.push(Lost { points: NO_GATE, why, place });
    }
    if let Some(best) = computed.flow_mm.filter(|best| *best > 0.0) {
        let steps = ((way / best - 1.0) / LONGER).floor().max(0.0) as u32;
        if steps > 0 {
            let place = facts.flow.as_ref().and_then(|f| f.longest.as_ref()).map(|l| l.last());
            lost.push(Lost {
                points: (LONGER_POINTS.0.saturating_mul(steps)).min(LONGER_POINTS.1),
                why: format!("Resin runs {} to the last place; from the computed gate {}", length(way), length(best)),
                place,
            });
        }
    }
}
