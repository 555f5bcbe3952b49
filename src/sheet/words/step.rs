//! Steps at the bench.

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
    "As the double line on the drawing; a coloured line or tape shows through the rubber";
/// Shut-offs.
pub fn shut_offs(count: usize, how: &str) -> String {
    if count == 1 { format!("1 through-hole: {how}") } else { format!("{count} through-holes: {how}") }
}
/// Dummy.
pub fn dummy(insert: &str, what: &str) -> String {
    format!("{insert}: fix its dummy on the master ({what})")
}
/// Dummy's detail.
pub fn stands_out(length: &str, smaller: &str) -> String {
    format!("Stands {length} out of the part, {smaller} smaller on each side so that the rubber grips")
}
/// Box.
pub const BUILD_BOX: &str = "Build the box, seal its corners";
/// Detail.
pub fn panels(pot: &str) -> String {
    format!("Inside, length × width × height. Leave head-room above. Degas in a pot of at least {pot}.")
}
/// Panels of one size.
pub fn panel(count: u32, what: &str, board: &str) -> String {
    if count == 1 { format!("Cut 1 {what} from {board}") } else { format!("Cut {count} {what}s from {board}") }
}
/// Free wall.
pub fn freeboard(height: &str) -> String {
    format!("{height} of wall stay free over the rubber")
}
/// Pots.
pub fn pots(count: u32, a: &str, b: &str, litres: &str) -> String {
    if count == 1 {
        format!("In 1 pot of at least {litres}")
    } else {
        format!("In {count} pots of at least {litres}, each with {a} of A and {b} of B, one after the other")
    }
}
/// One of several pours.
pub fn pour(number: usize, up_to: &str, a: &str, b: &str) -> String {
    format!("Pour {number}: up to {up_to} above the floor, {a} of A and {b} of B; let it set before the next")
}
/// Tolerance.
pub fn within(grams: &str) -> String {
    format!("Within {grams}")
}
/// Pigment.
pub const PIGMENT: &str = "Weigh pigment into A and stir";
/// Batch.
pub fn batch(blocks: u32, mass: &str) -> String {
    format!("For {blocks} blocks at once: {mass} in all, so many times each of these weights")
}
/// Closing.
pub fn close_with(closing: &str, newtons: &str) -> String {
    format!("{closing}; resin pushes the halves apart with {newtons}, and too tight bulges the cavity")
}
/// Feed rod.
pub fn feed_rod(gate: &str, part: &str, runner: &str) -> String {
    format!("{gate}: fix its rod, {part} mm at the part, {runner} mm runner")
}
/// The way that the feed takes; the detail says why.
pub fn feed_way(way: &str) -> String {
    format!("Check that the gate is fed from {way}")
}
/// What must stand in the cup before the chamber is let up.
pub fn leave_in_cup(depth: &str, draws: &str) -> String {
    format!("Leave {depth} of resin in the cup: letting up draws {draws}")
}
/// Vent rod.
pub fn vent_rod(vent: &str) -> String {
    format!("{vent}: fix its rod at the high point")
}
/// A runner that ends in another.
pub fn joined_legs(legs: &[String], whole: &str, into: u32) -> String {
    format!("Legs from the part: {}; {whole} in all up to the runner of gate {into}, glued to it", legs.join(" + "))
}
/// What a shot of a set gives.
pub fn shot_gives(parts: &str) -> String {
    format!("One shot gives {parts}")
}
/// Shots for the quantity.
pub fn shots_for(wanted: &str, shots: u32) -> String {
    format!("{shots} good shots give {wanted}")
}
/// What of a file that holds several loose bodies is made.
pub fn bodies(in_file: usize, of: &str) -> String {
    match of {
        "one" => format!("one of the {in_file} loose bodies in its file"),
        "all" => format!("{in_file} loose bodies, cast as one part"),
        _ => format!("{in_file} loose bodies in its file, and nobody has said whether they are one part"),
    }
}

/// The mass is that of all parts of a set.
pub fn trim_set(parts: usize) -> String {
    format!("All {parts} parts together. {TRIM_DETAIL}.")
}
/// Masters of a set.
pub fn masters(count: u32, part: &str) -> String {
    if count == 1 { master(part) } else { format!("{}; {count} of it stand in the block", master(part)) }
}
/// Length of a runner, leg by leg from the part outwards.
pub fn rod_legs(legs: &[String], whole: &str) -> String {
    if legs.len() < 2 {
        return rod_length(whole);
    }
    format!("Legs from the part: {}; {whole} in all up to the top of the block", legs.join(" + "))
}
/// Length of a rod.
pub fn rod_length(length: &str) -> String {
    format!("{length} up to the top of the block")
}
/// Hang.
pub const HANG: &str = "Hang the master in the box as drawn";
/// Detail.
pub fn hang_detail(below: &str, wall: &str) -> String {
    format!("Lowest point {below} above the floor, {wall} to the walls")
}
/// Hold.
pub const HOLD: &str = "Hold the master so that it cannot move in the rubber";
/// It floats.
pub fn floats(newtons: &str) -> String {
    format!("Liquid rubber lifts it with {newtons}: tie it down")
}
/// It sinks.
pub fn sinks(newtons: &str) -> String {
    format!("Liquid rubber leaves {newtons} of its weight on the rods")
}
/// It is pressed on the floor.
pub fn pressed(newtons: &str) -> String {
    format!("The rubber presses it on the floor with {newtons} as long as none creeps under: seal its edge")
}
/// Neither.
pub const STILL: &str = "In liquid rubber it neither floats nor sinks to speak of; hold it all the same";
/// Beam.
pub fn beam(size: &str) -> String {
    format!("Lay a beam {size} over the box and fix the rods to it")
}
/// Rods that are neither feed nor vent.
pub fn plugged_rods(count: u32, diameter: &str) -> String {
    format!("{count} further rods {diameter} mm hold the master; their holes are plugged later")
}
/// Plugs.
pub fn plug_holes(count: u32) -> String {
    if count == 1 {
        "Plug the hole of the holding rod".into()
    } else {
        format!("Plug the holes of the {count} holding rods")
    }
}
/// Trial that was made.
pub const TRIAL_DONE: &str = "Made: it set dry";
/// Master with a hollow.
pub const SEALED: &str = "Open the hollow of the master";
/// Detail.
pub const SEALED_DETAIL: &str =
    "Sealed, it bubbles into the rubber under vacuum and can burst: drill a hole and lead it into a rod, or fill it";
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
pub fn cure(celsius: &str) -> String {
    format!("Let it cure at {celsius}")
}
/// Detail.
pub const CURE_DETAIL: &str = "Warmer is quicker, but a block set warm comes out another size";
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
/// Core on the master.
pub fn set_core(name: &str) -> String {
    format!("Set metal core {name} in its hole of the master")
}
/// How a core is set.
pub const SET_CORE_DETAIL: &str = "It goes through to the far mouth; its head seats in the rubber";
/// Core out of the block.
pub fn draw_core(name: &str) -> String {
    format!("Draw metal core {name} out along its hole before the halves are opened")
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
pub const LOOK_OVER_DETAIL: &str = "Release agent only where the shown surfaces allow it";
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
/// Load a core.
pub fn load_core(name: &str) -> String {
    format!("Put metal core {name} in place")
}
/// Close.
pub const CLOSE: &str = "Close the halves and tape them, snug and not tight";
/// Detail.
pub const CLOSE_DETAIL: &str = "Too tight bulges the cavity";
/// Prop.
pub fn prop(turned_deg: f64, tilt_deg: f64, raised: &str) -> String {
    // What is turned no more than it is tilted lies on the face that it was poured on.
    let lies = if (turned_deg - tilt_deg).abs() < 1.0 {
        "as it was poured".to_owned()
    } else {
        format!("turned {turned_deg:.0}° from the way it was poured")
    };
    if raised.is_empty() {
        return format!("Stand the block {lies}");
    }
    format!("Stand the block {lies} and raise {raised} ({tilt_deg:.1}°)")
}
/// An edge.
pub fn raise(edge: &str, lift: &str) -> String {
    format!("its {edge} edge by {lift}")
}
/// Prop as poured.
pub const STAND: &str = "Stand the block level, as it was poured";
/// Lean.
pub fn lean(degrees: f64) -> String {
    format!("Level within {degrees:.0}°")
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
    format!("Pot life {life} (stated for {batch}): pour in the first half of it")
}
/// Vents.
pub fn vents(order: &str) -> String {
    format!("Watch resin rise in the vents: {order}")
}
/// Detail: which are plugged on the way, and which is the last.
pub fn vents_detail(plug: &str, last: u32) -> String {
    if plug.is_empty() {
        "Top the cup up until every vent shows".to_owned()
    } else {
        format!(
            "In this order. Plug {plug} as each shows, or resin runs out there; leave {last}, the last. Top the cup up until \
             every vent shows."
        )
    }
}
/// The same where the order is a guess.
pub const VENTS_ESTIMATED: &str = "This order is estimated from the heights of their mouths: watch them all. Plug each as it \
    shows, or resin runs out there; leave the last to show. Top the cup up until every vent shows.";
/// A vent and when it shows.
pub fn shows_at(vent: u32, time: &str) -> String {
    format!("{vent} at {time}")
}
/// A vent that resin does not rise in.
pub fn never_shows(vent: u32) -> String {
    format!("{vent} never as it stands")
}
/// How long the pour takes.
pub const POUR_TAKES: &str = "Keep the cup half full; from the first resin to a full cavity";
/// It does not get full.
pub const NEVER_FULL: &str = "never full";
/// How far that may be out.
pub fn fill_error(percent: f64, across: f64) -> String {
    format!("± {percent:.0} %, from {across:.1} cells across a thin wall; resin at the temperature of the cup")
}
/// Last places.
pub fn last_places(filled: bool) -> &'static str {
    if filled { "Last to fill: look there first when the cast comes out" } else { "Stays empty: do not pour like this" }
}
/// Where they are.
pub fn places(places: &str) -> String {
    format!("{places} mm from left wall, front wall and floor")
}
/// Knit lines.
pub const KNIT: &str = "Knit lines, weaker than the rest: where fronts meet";
/// How many, and where the longest is.
pub fn knit_detail(count: usize, longest_mm: f64, place: &str) -> String {
    let longest = format!("{longest_mm:.0} mm long at {place} mm from left wall, front wall and floor");
    if count == 1 { longest } else { format!("{count}, the longest {longest}") }
}
/// Gas that resin closes round.
pub fn closed_round(volume: &str) -> String {
    format!("Resin closes round {volume} of gas on its way")
}
/// What becomes of it.
pub fn closed_round_detail(after: &str, places: usize) -> String {
    let places = if places == 1 { "in 1 place".to_owned() } else { format!("in {places} places") };
    format!("{places}; {after} of it is left after let-up, what leaves through the joint not counted")
}
/// No vents.
pub const NO_VENTS: &str = "Watch the cup; there is no vent to watch";
/// Let up.
pub const LET_UP: &str = "Let up only when every vent shows";
/// How.
pub const LET_UP_SLOWLY: &str = "Let air in slowly, keep the cup covered with resin";
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
pub const TRIM_DETAIL: &str = "Much lighter means a void: look for it before the next shot";
/// Rest.
pub const REST: &str = "Let the block rest and dry before the next shot";
