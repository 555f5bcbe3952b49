//! The one record of a checked plan that the screen, `check --json` and the sheet all read.
//!
//! Lengths in millimetres, areas in mm², volumes in mm³, masses in grams, times in seconds. Positions are in the `box`
//! frame: Z up as the block stands while rubber is poured, origin at the middle of the block's floor.

pub mod air;
pub mod feed;
pub mod figure_sources;
pub mod fill;
pub mod of;
pub mod release;
pub mod set;

use crate::plan::{PieceOf, Separation};
use crate::study::findings::finding::Severity;
use crate::study::job::part_figures::PartReport;
use crate::study::job::wall_name::WallName;
use crate::study::numbers::figures::{
    BlockReport, CastsReport, DaysReport, HangingReport, ResinReport, SiliconeReport, SizeReport,
};
use crate::study::numbers::insert_figures::InsertReport;
use crate::study::parting::loop_kind::LoopKind;
use crate::study::parting::release::kinds::{RubberKind, UndercutKind, Verdict};
use serde::Serialize;

/// Everything computed from one plan.
#[derive(Clone, Debug, Serialize)]
pub struct Report {
    /// Frames of the job.
    pub frame: Frames,
    /// What the meshes are.
    pub part: PartReport,
    /// The parts as they stand in the block, in plan order.
    pub parts: Vec<set::PartPlaceReport>,
    /// Trapped air.
    pub air: AirReport,
    /// The parting.
    pub parting: PartingReport,
    /// Pieces of the rubber itself that stand into the part, the most slender first.
    pub rubber: Vec<RubberReport>,
    /// Rubber between bodies of a part that is thinner than the shop's least, the thinnest first.
    pub rubber_between: Vec<FilmReport>,
    /// The cut.
    pub cut: CutReport,
    /// Gates.
    pub feed: FeedReport,
    /// Vents as placed.
    pub vents: Vec<VentReport>,
    /// Inserts as placed.
    pub inserts: Vec<InsertReport>,
    /// Flow path and walls.
    pub flow: FlowReport,
    /// How the cavity fills; only where it was asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fill: Option<fill::FillReport>,
    /// The block.
    pub block: BlockReport,
    /// How the master hangs in liquid rubber.
    pub hanging: HangingReport,
    /// Rubber to weigh.
    pub silicone: SiliconeReport,
    /// Resin to weigh for each shot.
    pub resin: ResinReport,
    /// How large the casts come out.
    pub size: SizeReport,
    /// Casts and blocks for the quantity.
    pub casts: CastsReport,
    /// The calendar.
    pub days: DaysReport,
    /// The two shots; only where the plan has two.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub second_shot: Option<crate::study::numbers::two_shot::figures::SecondShotReport>,
    /// Judgements, worst first.
    pub findings: Vec<FindingReport>,
}

impl Report {
    /// What a trimmed cast weighs as it leaves the block, with the inserts that stay in it and a hard part that it was cast over,
    /// grams.
    pub fn trimmed_g(&self) -> f64 {
        self.casts.expected_g.unwrap_or(self.resin.part_g)
    }
}

/// A rigid transform.
#[derive(Clone, Debug, Serialize)]
pub struct Transform {
    /// Rows of the rotation matrix.
    pub rotation: [[f64; 3]; 3],
    /// Translation, millimetres.
    pub translation_mm: [f64; 3],
}

/// Frames of the job.
#[derive(Clone, Debug, Serialize)]
pub struct Frames {
    /// From the first part's own coordinates to the box.
    pub box_from_part: Transform,
    /// From the box to the closed block as it stands for casting.
    pub cast_from_box: Transform,
}

/// Trapped air in the cast attitude.
#[derive(Clone, Debug, Default, Serialize)]
pub struct AirReport {
    /// Every high point that matters, before vents are counted, highest first.
    pub high_points: Vec<HighPointReport>,
    /// Air that stays with the plan's vents, level.
    pub trapped_mm3: f64,
    /// The worst within the shop's lean.
    pub trapped_lean_mm3: f64,
    /// Diameter of the largest bubble that is left of it after let-up, level or leaning, millimetres.
    pub after_let_up_bubble_mm: f64,
    /// Error carried by the cells where the air could not be found on the surface itself; 0 where it was exact.
    pub cell_error_mm3: f64,
    /// Whether resin stands level in the walls; none without a gate.
    pub level_holds: Option<crate::study::pour::level_holds::LevelHolds>,
    /// Ceilings, basins, air in the rubber, and the wedge.
    #[serde(flatten)]
    pub standing: air::StandingReport,
}

/// A high point of the cavity.
#[derive(Clone, Debug, Serialize)]
pub struct HighPointReport {
    /// The peak.
    pub position_mm: [f64; 3],
    /// Height of the nearest sill below it that matters, in the cast attitude; none for a whole body.
    pub sill_z_mm: Option<f64>,
    /// Volume above that sill.
    pub pocket_mm3: f64,
    /// Number of the vent that serves it.
    pub vent: Option<u32>,
    /// Air that stays here, level.
    pub trapped_mm3: f64,
    /// Diameter of the bubble that is left after let-up, millimetres.
    pub bubble_mm: f64,
}

/// One loop.
#[derive(Clone, Debug, Serialize)]
pub struct LoopReport {
    /// What it is.
    pub kind: LoopKind,
    /// Length of the true line.
    pub length_mm: Option<f64>,
}

/// One undercut.
#[derive(Clone, Debug, Serialize)]
pub struct UndercutReport {
    /// Area hidden from the half that it is given to.
    pub area_mm2: f64,
    /// Depth square to the draw.
    pub depth_mm: f64,
    /// How the rubber gets past it.
    pub kind: UndercutKind,
    /// Whether it is closed all round.
    pub closed_round: bool,
    /// Greatest strain of the rubber on its way out; none where nothing lets it by.
    pub stretch: Option<f64>,
    /// What becomes of it.
    pub verdict: Verdict,
    /// Share of the tool life that it leaves, 0 to 1.
    pub life: f64,
    /// A point in its middle.
    pub position_mm: [f64; 3],
}

/// A shut-off in a through-hole.
#[derive(Clone, Debug, Serialize)]
pub struct ShutOffReport {
    /// Length of its line.
    pub length_mm: f64,
    /// Area of the surface that spans it.
    pub area_mm2: f64,
    /// Least width across.
    pub span_mm: f64,
    /// The half whose rubber fills the hole, 1 or 2.
    pub plug: u8,
    /// How the halves are kept apart: `taped`, `cut`, `torn` or `filled_and_drilled`.
    #[serde(serialize_with = "separation_key")]
    pub separation: Separation,
    /// True where a person decided it.
    pub decided: bool,
    /// The blade that it is cut with.
    pub blade: Option<String>,
    /// Why it cannot be kept apart so, in words.
    pub unfit: Option<String>,
    /// Sides of the piece of tape, where it is taped.
    pub tape_mm: Option<[f64; 2]>,
    /// Skin to trim off every cast: the area where it is taped, none else.
    pub skin_mm2: Option<f64>,
    /// How far it was moved along its hole, towards half 1.
    pub moved_mm: f64,
    /// How far it is from the ends of its hole on the sides of half 1 and half 2; none where the hole is not closed round.
    pub from_ends_mm: Option<[f64; 2]>,
    /// Its middle.
    pub position_mm: [f64; 3],
}

/// A relief cut.
#[derive(Clone, Debug, Serialize)]
pub struct ReliefCutReport {
    /// Name.
    pub name: String,
    /// Length along the part.
    pub length_mm: f64,
    /// Its extent along the draw.
    pub along_draw_mm: f64,
    /// Depth into the rubber.
    pub depth_mm: f64,
    /// Area of one side.
    pub area_mm2: f64,
    /// Undercuts that it opens, by their place in the list, from 0.
    pub serves: Vec<usize>,
    /// Holes of locked cores that it severs.
    pub severs: usize,
}

/// A loose piece.
#[derive(Clone, Debug, Serialize)]
pub struct LoosePieceReport {
    /// Name.
    pub name: String,
    /// Volume of its solid; 0 where it cannot be made.
    pub volume_mm3: f64,
    /// Length along its way out, with its shoulder.
    pub length_mm: f64,
    /// Its greatest diameter, that of its shoulder.
    pub diameter_mm: f64,
    /// The way it leaves the part, in the box; a unit vector.
    pub leaves_along: [f64; 3],
    /// Undercuts that it takes some of, by their place in the list, from 0.
    pub serves: Vec<usize>,
    /// Holes of locked cores that it fills.
    pub fills: usize,
    /// The file that `pieces` writes it to.
    pub file: String,
    /// Surface of undercuts that it takes along.
    pub serves_mm2: f64,
    /// What it is made of: `rubber` or `metal`.
    #[serde(serialize_with = "material_key")]
    pub of: PieceOf,
    /// Why it cannot be made, in words.
    pub trouble: Option<String>,
}

/// A hole through which a core is locked.
#[derive(Clone, Debug, Serialize)]
pub struct LockedHoleReport {
    /// The middle of the hole.
    pub position_mm: [f64; 3],
    /// Its axis, in the box.
    pub axis: [f64; 3],
    /// From mouth to mouth.
    pub length_mm: f64,
    /// Its greatest width.
    pub width_mm: f64,
    /// Names of the cores, loose pieces and relief cuts that open it.
    pub opened_by: Vec<String>,
    /// Names of relief cuts that go round it but not through.
    pub too_shallow: Vec<String>,
    /// What the plan can hold against it: `metal_core`, `loose_piece`, `relief_cut`.
    pub choices: Vec<&'static str>,
}

/// A core of rubber that goes through the part and comes back to itself.
#[derive(Clone, Debug, Serialize)]
pub struct LockedReport {
    /// The body, from 1.
    pub body: u32,
    /// The half whose rubber is locked, 1 or 2.
    pub half: u8,
    /// Handles of the body that it goes through.
    pub handles: u32,
    /// Handles of the body in all.
    pub genus: u32,
    /// Lines on the body; one more than it has handles where nothing is locked.
    pub loops: u32,
    /// Handles through which it is locked still, whatever was planned against it.
    pub left: u32,
    /// The holes that were found.
    pub holes: Vec<LockedHoleReport>,
    /// A point on it.
    pub position_mm: [f64; 3],
}

/// The parting.
#[derive(Clone, Debug, Default, Serialize)]
pub struct PartingReport {
    /// Draw direction of half 1, in the box.
    pub draw: [f64; 3],
    /// Loops between the halves.
    pub loops: Vec<LoopReport>,
    /// Area given to half 1.
    pub half_1_mm2: f64,
    /// Area given to half 2.
    pub half_2_mm2: f64,
    /// Undercuts, largest first.
    pub undercuts: Vec<UndercutReport>,
    /// Area that neither half can see.
    pub hidden_from_both_mm2: f64,
    /// Locked cores.
    pub locked: Vec<LockedReport>,
    /// Shut-offs, in the order of their loops.
    pub shut_offs: Vec<ShutOffReport>,
    /// Relief cuts, in plan order.
    pub relief_cuts: Vec<ReliefCutReport>,
    /// Loose pieces, in plan order.
    pub loose_pieces: Vec<LoosePieceReport>,
}

/// A piece of the rubber itself.
#[derive(Clone, Debug, Serialize)]
pub struct RubberReport {
    /// What it is.
    pub kind: RubberKind,
    /// The half that it belongs to, 1 or 2.
    pub half: u8,
    /// Its thickness.
    pub thickness_mm: f64,
    /// From its root to its tip.
    pub length_mm: f64,
    /// Length over thickness.
    pub slenderness: f64,
    /// Its tip.
    pub position_mm: [f64; 3],
}

/// Rubber between two bodies.
#[derive(Clone, Debug, Serialize)]
pub struct FilmReport {
    /// The bodies, counted from 1.
    pub bodies: [u32; 2],
    /// Its thickness where it is thinner than the shop's least.
    pub thickness_mm: Range,
    /// How much of the first body faces the other through it.
    pub area_mm2: f64,
    /// Its thinnest place.
    pub position_mm: [f64; 3],
}

/// Least and greatest of something.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct Range {
    /// Least.
    pub min: f64,
    /// Greatest.
    pub max: f64,
}

/// The cut through the block; nothing where there is none.
#[derive(Clone, Debug, Default, Serialize)]
pub struct CutReport {
    /// How deep the knife goes from the nearest wall to the part, square to the wall.
    pub knife_depth_mm: Option<Range>,
    /// Least rubber over or under the cut, beyond the band beside the part.
    pub least_rubber_mm: Option<f64>,
    /// Where the halves hook into each other along the draw, that with most in its way first.
    pub hooks: Vec<HookReport>,
    /// Crests and furrows of the keyed band.
    pub keys: usize,
    /// Tape along the parting lines on the master.
    pub tape_mm: f64,
    /// Where the knife goes in: the sides in the order in which a strip of paper goes round them, then top and floor.
    pub entries: Vec<EntryReport>,
}

/// A place where the halves hook into each other.
#[derive(Clone, Debug, Serialize)]
pub struct HookReport {
    /// How far one reaches over the other, square to the draw.
    pub depth_mm: f64,
    /// The overhang seen along the draw.
    pub area_mm2: f64,
    /// How far half 1 is pulled along the draw where it cuts most into half 2.
    pub pulled_mm: f64,
    /// What it cuts there.
    pub volume_mm3: f64,
    /// Where it is widest.
    pub position_mm: [f64; 3],
}

/// A line on one wall of the block along which the knife goes in; places in millimetres rightwards and upwards from the
/// wall's lower left corner, seen from outside.
#[derive(Clone, Debug, Serialize)]
pub struct EntryReport {
    /// The wall.
    pub wall: WallName,
    /// True where the line goes on from its last point to its first.
    pub closed: bool,
    /// Length.
    pub length_mm: f64,
    /// Its points.
    pub points_mm: Vec<[f64; 2]>,
    /// Depths along it.
    pub stations: Vec<StationReport>,
}

/// How deep the knife goes at a place of an entry line.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct StationReport {
    /// Way along the line up to it.
    pub along_mm: f64,
    /// The place.
    pub at_mm: [f64; 2],
    /// Depth, square to the wall.
    pub depth_mm: f64,
    /// True where the knife ends at the part; false where the cut from a nearer wall goes on.
    pub to_part: bool,
}

/// Gates.
#[derive(Clone, Debug, Default, Serialize)]
pub struct FeedReport {
    /// Where resin enters, in plan order.
    pub gates_mm: Vec<[f64; 3]>,
    /// Their runners, in plan order.
    pub runners: Vec<RunnerReport>,
    /// Resin in cup foot, runners and gates: the same as `resin.feed_mm3`.
    pub volume_mm3: f64,
    /// Each gate's figures, the ways to feed the part, and what the let-up draws.
    #[serde(flatten)]
    pub figures: feed::FeedFigures,
}

/// The channel of one gate, from the part to the top of the block.
#[derive(Clone, Debug, Default, Serialize)]
pub struct RunnerReport {
    /// Number of its gate.
    pub number: u32,
    /// Length of all legs on the master, millimetres.
    pub length_mm: f64,
    /// Length to cut of the rod that makes it, all legs: where it goes up to the cup, up to the beam; none where it is not
    /// made by a rod.
    pub rod_mm: Option<f64>,
    /// True where its rod is one straight piece that can be pulled out upwards. A rod with bends, or one that ends in another,
    /// comes out of the opened cut.
    pub pulled: bool,
    /// Number of the gate whose runner it ends in; left out where it goes up to the cup.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub joins: Option<u32>,
    /// Straight legs, from the part outwards.
    pub legs: Vec<LegReport>,
    /// What it cuts out of the part beyond its mouth, mm³; none while that is not known.
    pub in_part_mm3: Option<f64>,
    /// Where; none where it does not.
    pub in_part_at_mm: Option<[f64; 3]>,
}

/// One straight leg of a runner.
#[derive(Clone, Debug, Serialize)]
pub struct LegReport {
    /// End nearer the part.
    pub from_mm: [f64; 3],
    /// End nearer the top.
    pub to_mm: [f64; 3],
    /// Length on the master, millimetres.
    pub length_mm: f64,
    /// Length to cut where it is a rod: the last one's goes up to the beam.
    pub rod_mm: f64,
    /// Diameter, millimetres.
    pub diameter_mm: f64,
}

/// One vent.
#[derive(Clone, Debug, Serialize)]
pub struct VentReport {
    /// Number.
    pub number: u32,
    /// Name; empty where nobody gave it one.
    pub name: String,
    /// How it is made: `rod_pulled`, `punched_from_cavity` or `groove_in_parting`.
    pub made_by: &'static str,
    /// Mouth in the cavity wall.
    pub position_mm: [f64; 3],
    /// Diameter.
    pub diameter_mm: f64,
    /// Length up to the top of the block, from the master.
    pub length_mm: f64,
    /// Length to cut of the rod that makes it, up to the beam; none where it is not made by a rod.
    pub rod_mm: Option<f64>,
    /// Resin it drinks.
    pub volume_mm3: f64,
    /// Place in the order in which resin shows at the vents, from 1; none where the fill was not followed, or where resin does
    /// not rise so far.
    pub shows_in_order: Option<usize>,
    /// Seconds after the pour began at which resin shows at its top; none where the fill was not followed, or where resin does
    /// not rise so far.
    pub shows_at_s: Option<f64>,
    /// True where no pocket loses air without it.
    pub needless: bool,
    /// What its rod cuts out of the part beyond its mouth, mm³; none while that is not known.
    pub in_part_mm3: Option<f64>,
    /// Where; none where it does not.
    pub in_part_at_mm: Option<[f64; 3]>,
    /// True where the fill was not followed: nobody knows the order then.
    pub order_estimated: bool,
}

/// Flow path and walls.
#[derive(Clone, Debug, Default, Serialize)]
pub struct FlowReport {
    /// Longest path from a gate inside the cavity; none without a gate.
    pub longest_mm: Option<f64>,
    /// Where it ends.
    pub last_point_mm: Option<[f64; 3]>,
    /// Thinnest wall.
    pub thinnest_mm: Option<f64>,
    /// Where the wall is thinnest.
    pub thinnest_point_mm: Option<[f64; 3]>,
    /// Diameter of the largest ball inside the part.
    pub thickest_mm: Option<f64>,
    /// Where that ball touches the surface.
    pub thickest_point_mm: Option<[f64; 3]>,
    /// How far resin reaches through the thinnest wall along the path before its pot life is over; none without a gate.
    pub reach_mm: Option<f64>,
    /// Edge of the cells that the path was marched on.
    pub cell_mm: f64,
}

/// One judgement.
#[derive(Clone, Debug, Serialize)]
pub struct FindingReport {
    /// How bad.
    pub severity: Severity,
    /// Stable code.
    pub code: String,
    /// What is wrong, with its number and limit.
    pub message: String,
    /// Why it matters at the bench.
    pub why: String,
    /// What to do.
    pub remedy: String,
    /// Where.
    pub position_mm: Option<[f64; 3]>,
    /// The same place as it is printed: from the left wall, the front wall and the floor of the box, on the master.
    pub from_walls_mm: Option<[f64; 3]>,
}

fn separation_key<S: serde::Serializer>(separation: &Separation, to: S) -> Result<S::Ok, S::Error> {
    to.serialize_str(match separation {
        Separation::Taped => "taped",
        Separation::Cut => "cut",
        Separation::Torn => "torn",
        Separation::FilledAndDrilled => "filled_and_drilled",
    })
}

fn material_key<S: serde::Serializer>(of: &PieceOf, to: S) -> Result<S::Ok, S::Error> {
    to.serialize_str(match of {
        PieceOf::Rubber => "rubber",
        PieceOf::Metal => "metal",
    })
}
