//! The bench's part of the report: what is cut, weighed, held, reckoned in size and written in the diary.
//!
//! Lengths in millimetres, areas in mm², volumes in mm³, masses in grams, forces in newtons, times in seconds.

use serde::Serialize;

/// The block.
#[derive(Clone, Debug, Default, Serialize)]
pub struct BlockReport {
    /// Length, width, height.
    pub size_mm: [f64; 3],
    /// Outside volume.
    pub volume_mm3: f64,
    /// Rubber at the sides.
    pub wall_mm: f64,
    /// Rubber below the part.
    pub below_mm: f64,
    /// Rubber above the part.
    pub above_mm: f64,
    /// Room that gates, runners and vents take from the rubber up to the block's top.
    pub channels_mm3: f64,
    /// Outside of the box with its floor and free wall.
    pub outside_mm: [f64; 3],
    /// Free wall over the rubber.
    pub freeboard_mm: f64,
    /// How far a rod that hangs from the beam is longer than its way through the rubber: up to the upper face of the beam, which
    /// lies on the walls; up to their rim where no beam is laid.
    pub rod_beyond_mm: f64,
    /// Board of the box.
    pub panel: String,
    /// Its thickness.
    pub panel_mm: f64,
    /// What is cut from it.
    pub panels: Vec<PanelReport>,
    /// How the panels are joined.
    pub joint: String,
    /// Largest bow of a wall under liquid rubber.
    pub bow_mm: f64,
    /// What is lifted while casting: rubber and resin, kilograms.
    pub mass_kg: f64,
    /// What the closed block takes up as it stands for casting, with its cup.
    pub standing_mm: [f64; 3],
    /// First chamber of the shop that holds it; none where none does.
    pub chamber: Option<String>,
    /// First oven likewise.
    pub oven: Option<String>,
    /// Head of resin over the lowest point of the cavity, with a full cup.
    pub joint_head_mm: f64,
    /// Force of that resin on half 1 along the draw.
    pub lift_force_n: f64,
    /// Weakest closing of the shop that holds it with the shop's safety; none where none does.
    pub closing: Option<String>,
}

/// Panels of one size.
#[derive(Clone, Debug, Default, Serialize)]
pub struct PanelReport {
    /// Which they are.
    pub what: String,
    /// How many.
    pub count: u32,
    /// The sides of the box that they are.
    pub stands: Vec<crate::study::job::wall_name::WallName>,
    /// Length and height or width.
    pub size_mm: [f64; 2],
}

/// Which way the master is driven.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum HangDirection {
    /// It floats.
    Up,
    /// It sinks, or is pressed on the floor.
    Down,
    /// Neither to speak of.
    #[default]
    Still,
}

/// A rod with less than this share of the force is not counted as one that holds: set here.
const LEAST_SHARE: f64 = 0.05;

/// A rod that holds the master.
#[derive(Clone, Debug, Default, Serialize)]
pub struct HangingRodReport {
    /// What it leaves behind: a vent, a gate, or a hole that is plugged.
    pub what: String,
    /// Diameter.
    pub diameter_mm: f64,
    /// Length from the master to the top of the block.
    pub length_mm: f64,
    /// What it carries by its stiffness once the block is full; pushed where positive, pulled where negative.
    pub load_n: f64,
    /// The same before rubber is poured.
    pub dry_load_n: f64,
}

/// What gives way first where a master is not held.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum HoldCause {
    /// Rods that are pushed buckle.
    #[default]
    Buckling,
    /// Rods that are pulled come out of their glue.
    Glue,
}

/// How the rods of a master give way.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct GivesWayReport {
    /// What governs.
    pub cause: HoldCause,
    /// True where the master tips, since the force passes beside the rods; without that they would hold much more.
    pub lever: bool,
    /// The rod that bears most until then.
    pub rod: String,
    /// Its diameter.
    pub diameter_mm: f64,
    /// Its length from the master to the top of the block.
    pub length_mm: f64,
}

/// How the master hangs in liquid rubber.
#[derive(Clone, Debug, Default, Serialize)]
pub struct HangingReport {
    /// Mass of the master.
    pub mass_g: f64,
    /// True where a person weighed it.
    pub weighed: bool,
    /// Rubber that it displaces, hollows of its own with it.
    pub displaced_mm3: f64,
    /// Net force on it once the block is full, positive upwards.
    pub net_force_n: f64,
    /// Its direction.
    pub direction: HangDirection,
    /// Its weight in air, before rubber is poured.
    pub weight_n: f64,
    /// Net force with rubber all round it, also where it is meant to be stuck to the floor.
    pub wetted_force_n: f64,
    /// True where it is stuck flat to the floor.
    pub stuck_to_floor: bool,
    /// Area that lies flat on its lowest level.
    pub foot_mm2: f64,
    /// Rubber over that level.
    pub depth_mm: f64,
    /// Moment of the net force about the middle of the rods.
    pub lift_moment_n_mm: f64,
    /// How many times over the rods hold it down; none where it does not float or has no rod.
    pub safety_up: Option<f64>,
    /// How many times over the rods carry it before the rubber does; none without a rod.
    pub safety_down: Option<f64>,
    /// How they give way upwards.
    pub gives_up: Option<GivesWayReport>,
    /// How they give way downwards.
    pub gives_down: Option<GivesWayReport>,
    /// What the rods are.
    pub rod_name: String,
    /// Beam over the box: span, width, thickness.
    pub beam_mm: [f64; 3],
    /// Sag of that beam under the master.
    pub beam_sag_mm: f64,
    /// True where the master keeps air in a hollow of its own.
    pub sealed_hollow: bool,
    /// Rods that hold it.
    pub rods: Vec<HangingRodReport>,
}

impl HangingReport {
    /// Rods that carry a share worth naming, of the net force or of the weight.
    pub fn carrying(&self) -> usize {
        let least = |force_n: f64| LEAST_SHARE * force_n.abs();
        let carries = |r: &&HangingRodReport| {
            r.load_n.abs() > least(self.net_force_n) || r.dry_load_n.abs() > least(self.weight_n)
        };
        self.rods.iter().filter(carries).count()
    }
}

/// Rubber to weigh.
#[derive(Clone, Debug, Default, Serialize)]
pub struct SiliconeReport {
    /// Material.
    pub name: String,
    /// Volume in the block.
    pub volume_mm3: f64,
    /// Mass to mix, with what stays in the pots.
    pub mass_g: f64,
    /// Component A.
    pub a_g: f64,
    /// Component B.
    pub b_g: f64,
    /// Pot volume needed for degassing, litres.
    pub pot_litres: f64,
    /// Pot life.
    pub pot_life_s: f64,
    /// Cure at 23 °C.
    pub cure_s: f64,
    /// Pots that the largest pour takes, mixed one after the other.
    pub pots: u32,
    /// Component A in each of them.
    pub pot_a_g: f64,
    /// Component B in each of them.
    pub pot_b_g: f64,
    /// Room that each of them must have, litres: with that for the foam where the rubber is degassed in the pot.
    pub each_pot_litres: f64,
    /// True where the filled box goes into the chamber, false where the pots do.
    pub degas_in_box: bool,
    /// Time from mixing one pot until it is poured.
    pub pot_work_s: f64,
    /// Temperature at which it cures, °C.
    pub cure_c: f64,
    /// Cure at that temperature, all pours.
    pub cure_at_s: f64,
    /// Its pours, lowest first: the one record of what is weighed, mixed, degassed and left to set.
    pub pours: Vec<PourReport>,
}

/// One pour of rubber.
#[derive(Clone, Debug, Default, Serialize)]
pub struct PourReport {
    /// Height over the floor up to which it goes.
    pub up_to_mm: f64,
    /// Mass to mix, with what stays in the pots.
    pub mass_g: f64,
    /// Component A.
    pub a_g: f64,
    /// Component B.
    pub b_g: f64,
    /// Pots that it takes, mixed one after the other.
    pub pots: u32,
    /// Component A in each pot.
    pub pot_a_g: f64,
    /// Component B in each pot.
    pub pot_b_g: f64,
    /// Both in each pot.
    pub pot_g: f64,
    /// Room that each pot must have, litres: with that for the foam where the rubber is degassed in the pot.
    pub pot_litres: f64,
    /// How long it sets at the temperature at which it cures.
    pub cure_s: f64,
}

/// Resin to weigh for each shot.
#[derive(Clone, Debug, Default, Serialize)]
pub struct ResinReport {
    /// Material.
    pub name: String,
    /// Volume of the parts, inserts taken out.
    pub part_mm3: f64,
    /// Volume of the whole cavity: parts, feed and vents.
    pub cavity_mm3: f64,
    /// Mass of one trimmed part set.
    pub part_g: f64,
    /// Mass to mix for one shot, with pool and losses.
    pub shot_g: f64,
    /// Component A.
    pub a_g: f64,
    /// Component B.
    pub b_g: f64,
    /// Pot life.
    pub pot_life_s: f64,
    /// Resin in cup foot, runners and gates.
    pub feed_mm3: f64,
    /// Resin in the vents.
    pub vents_mm3: f64,
    /// Resin in the pools left over every mouth.
    pub pool_mm3: f64,
    /// What cavity, channels and pools hold.
    pub filled_g: f64,
    /// What stays in pots and cup.
    pub loss_g: f64,
    /// How far the mass of the smaller component may be off.
    pub tolerance_g: f64,
    /// Pigment beside A and B.
    pub pigment_g: f64,
    /// One batch, for as many blocks as are filled from it.
    pub batch_g: f64,
    /// Blocks that it fills.
    pub blocks_a_batch: u32,
    /// Mass at which the pot life was stated.
    pub pot_life_batch_g: f64,
    /// Room that its cup must have, with that for the foam, litres.
    pub cup_litres: f64,
    /// Time from mixing until it stands in every vent.
    pub work_s: f64,
}

/// Casts and blocks for the quantity.
#[derive(Clone, Debug, Default, Serialize)]
pub struct CastsReport {
    /// Good casts wanted; where a shot casts several parts, good shots that give every kind its quantity.
    pub good: u32,
    /// What a shot gives of each kind of part.
    pub yields: Vec<super::yields::YieldReport>,
    /// Good ones in the log.
    pub made_good: u32,
    /// Share of the casts that is thrown away.
    pub reject_share: f64,
    /// Casts still to be made to set the job up.
    pub set_up: u32,
    /// All casts still to be made.
    pub to_make: u32,
    /// Casts that one block gives, lowest and highest usual.
    pub tool_life: [u32; 2],
    /// Share of the tool life that undercuts leave.
    pub undercut_share: f64,
    /// Share of the tool life that slender cores of rubber leave.
    pub core_share: f64,
    /// Blocks still to be poured, at the highest and at the lowest usual life.
    pub tools: [u32; 2],
    /// What a good cast weighs as it leaves the block, with the inserts that stay in it and a hard part that it was cast over,
    /// grams; none without a body.
    pub expected_g: Option<f64>,
    /// A cast lighter than that by more than this has something missing, grams.
    pub doubt_g: Option<f64>,
    /// Casts of the log in which something is missing.
    pub light: Vec<LightCastReport>,
}

/// A cast of the log that is lighter than it should be.
#[derive(Clone, Debug, Default, Serialize)]
pub struct LightCastReport {
    /// Its number.
    pub shot: u32,
    /// What is missing, grams.
    pub missing_g: f64,
    /// The same as a volume of resin, mm³.
    pub missing_mm3: f64,
    /// Volumes of the pockets that may hold it, nearest in size first, mm³.
    pub pockets_mm3: Vec<f64>,
}

/// The calendar.
#[derive(Clone, Debug, Default, Serialize)]
pub struct DaysReport {
    /// Good casts wanted.
    pub good: u32,
    /// Casts that one block gives, lowest and highest usual.
    pub tool_life: [u32; 2],
    /// Blocks still to be poured at the lowest usual life.
    pub tools: u32,
    /// Working days from the first to the last cast.
    pub days: u32,
    /// All days between them.
    pub calendar_days: u32,
    /// Masters that are made.
    pub masters: u32,
    /// Time to heat a cold block through.
    pub preheat_s: f64,
    /// Time in the oven between two casts.
    pub reheat_s: f64,
    /// One cast: back to heat, mixing and filling, oven.
    pub cycle_s: f64,
    /// Casts that a block gives in a working day.
    pub casts_a_day: u32,
    /// Blocks that the oven holds side by side.
    pub oven_places: u32,
    /// Days from pour to cut where no day off comes between.
    pub cure_days: u32,
    /// Share of the oven's places and hours that is taken on days of casting.
    pub oven_share: f64,
    /// Share of the places that hold a block on those days.
    pub fixture_share: f64,
    /// Date of the last cast; none where no first day is given.
    pub finish_date: Option<String>,
    /// Date from which all casts have their full strength.
    pub full_strength_date: Option<String>,
    /// What keeps the job from being done sooner.
    pub bottleneck: String,
    /// Days that one more of it saves.
    pub one_more_saves_days: u32,
    /// What happens when.
    pub events: Vec<EventReport>,
}

/// Something that happens on a day.
#[derive(Clone, Debug, Default, Serialize)]
pub struct EventReport {
    /// Day from the start, 1 for the first.
    pub day: u32,
    /// Its date; none where no first day is given.
    pub date: Option<String>,
    /// What happens.
    pub what: String,
}

/// How large the casts come out.
#[derive(Clone, Debug, Default, Serialize)]
pub struct SizeReport {
    /// Temperature at which the rubber sets, °C.
    pub set_c: f64,
    /// Temperature of the mould while casting, °C.
    pub cast_c: f64,
    /// Factors by which the cavity grows: along length, width and height of the box.
    pub growth: [f64; 3],
    /// Shrinkage of the resin, per cent of the length.
    pub shrinkage_pct: f64,
    /// Length of the cast over that of the master, likewise.
    pub net: [f64; 3],
    /// What is assumed of the block, in words.
    pub assumption: String,
    /// Master length over part length that cancels it.
    pub cancelling_factor: f64,
    /// Master length over part length of the plan.
    pub master_over_part: f64,
    /// Dimensions that somebody cares for.
    pub dimensions: Vec<DimensionReport>,
}

/// A dimension before and after.
#[derive(Clone, Debug, Default, Serialize)]
pub struct DimensionReport {
    /// Its name.
    pub name: String,
    /// Wanted on the part.
    pub wanted_mm: f64,
    /// On the master.
    pub master_mm: f64,
    /// On the cast, as expected, with flash of middling thickness.
    pub cast_mm: f64,
    /// Least that practice lets it be.
    pub least_mm: f64,
    /// Most.
    pub most_mm: f64,
    /// Spread to either side.
    pub spread_mm: f64,
    /// Flash across the cut, thinnest and thickest; nothing where it does not run across.
    pub flash_mm: [f64; 2],
}
