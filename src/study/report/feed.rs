//! What the report says of the feed: each gate's figures, the ways to feed the part, and what the let-up draws.

use crate::plan::{Gate, GateKind, Plan};
use crate::shop::Shop;
use crate::study::bench::Facts;
use crate::study::pour::feed_figures::of_gates;
use crate::study::pour::feed_ways;
use crate::study::pour::let_up::LetUp;
use serde::Serialize;

/// So near to where a gate would be proposed one stands there, millimetres: set here.
const SAME_PLACE_MM: f32 = 0.1;

/// The figures of the feed; nothing where they are still being computed.
#[derive(Clone, Debug, Default, Serialize)]
pub struct FeedFigures {
    /// Each gate, in plan order.
    pub gates: Vec<GateReport>,
    /// The best gate from above, from below and from the side, where such a one was found.
    pub ways: Vec<WayReport>,
    /// Which of them is right and why, in words; empty where nothing was compared.
    pub why: String,
    /// What the let-up draws.
    pub let_up: LetUpReport,
}

/// One gate.
#[derive(Clone, Debug, Default, Serialize)]
pub struct GateReport {
    /// Number.
    pub number: u32,
    /// How it is fed: `from_above`, `from_below`, `from_the_side`.
    pub way: &'static str,
    /// True where it stands where a gate proposed afresh would: only then is what is said of the right way said of it.
    pub as_proposed: bool,
    /// The wall on which it stands; none where no two faces are opposed there.
    pub wall_mm: Option<f64>,
    /// Its diameter over that wall.
    pub of_wall: Option<f64>,
    /// True where it stands on a rim rather than on a face.
    pub on_rim: bool,
    /// The shop's limit for that share there.
    pub of_wall_limit: f64,
    /// Share of its mouth that hangs over an edge.
    pub over_edge: f64,
    /// Area that is cut and sanded.
    pub scar_mm2: f64,
    /// The widest sector from which a blade comes flat along the surface, degrees.
    pub blade_deg: f64,
    /// From its rim to the nearest wall beside it; none where none stands up.
    pub blade_wall_mm: Option<f64>,
    /// True where a blade gets at it.
    pub blade_comes: bool,
    /// From the gate up to the lowest open outlet.
    pub head_mm: f64,
    /// How far resin falls before it gathers; none while that is not known.
    pub falls_mm: Option<f64>,
    /// Resin in gate and runner.
    pub channel_mm3: f64,
}

/// One way to feed the part.
#[derive(Clone, Debug, Serialize)]
pub struct WayReport {
    /// `from_above`, `from_below`, `from_the_side`.
    pub way: &'static str,
    /// Where its gate would be.
    pub position_mm: [f64; 3],
    /// Its height over the lowest point of the part.
    pub above_mm: f64,
    /// The wall there.
    pub wall_mm: f64,
    /// How far resin would fall.
    pub falls_mm: f64,
    /// Room that would fill only over a sill.
    pub basins_mm3: f64,
    /// Head left up to the lowest open outlet.
    pub head_mm: f64,
    /// Resin in gate and runner.
    pub channel_mm3: f64,
    /// Area of its scar.
    pub scar_mm2: f64,
    /// The shown surface that it marks.
    pub on_shown: Option<String>,
    /// True for the one that is right.
    pub right: bool,
}

/// What letting the chamber up draws into the block.
#[derive(Clone, Copy, Debug, Default, Serialize)]
pub struct LetUpReport {
    /// Volume that closed gas gives up, mm³.
    pub draws_mm3: f64,
    /// True where the fill was followed; else the air that stays leaning is taken.
    pub from_fill: bool,
    /// Depth of resin that must stand in the cup before.
    pub in_cup_mm: f64,
}

/// A kind of feed as a key.
pub fn key(kind: GateKind) -> &'static str {
    match kind {
        GateKind::Top => "from_above",
        GateKind::Bottom => "from_below",
        GateKind::Side => "from_the_side",
    }
}

/// The figures of what is there; all channels together hold `feed_mm3`, corners that two of them share counted once.
pub fn feed_figures(plan: &Plan, shop: &Shop, facts: &Facts, feed_mm3: f64) -> FeedFigures {
    let frames = &facts.setting.frames;
    let figures = facts.body.as_ref().map_or_else(Vec::new, |b| of_gates(plan, &facts.setting, b));
    let falls = facts.standing.falls.as_deref();
    let sum_mm3: f64 = figures.iter().map(|f| f.channel_mm3).sum();
    let shared = if sum_mm3 > 0.0 { feed_mm3 / sum_mm3 } else { 1.0 };
    let right = facts.feed_ways.as_deref().and_then(|w| w.right()).map(|w| &w.found.gate);
    let at = |gate: &Gate| frames.spot_in_work(&gate.at);
    let stands_there =
        |gate: &Gate| right.is_some_and(|r| r.kind == gate.kind && at(r).distance(at(gate)) < SAME_PLACE_MM);
    let gate = |(gate, f): (&Gate, crate::study::pour::feed_figures::GateFigures)| {
        let wall_mm = f.wall_mm.is_finite().then_some(f.wall_mm);
        GateReport {
            number: gate.number,
            way: key(gate.kind),
            as_proposed: stands_there(gate),
            wall_mm,
            of_wall: wall_mm.map(|w| gate.diameter_mm / w),
            on_rim: f.on_rim,
            of_wall_limit: if f.on_rim { shop.limits.gate_rim_share } else { shop.limits.gate_face_share },
            over_edge: f.over_edge,
            scar_mm2: f.scar_mm2,
            blade_deg: f.blade.free_deg,
            blade_wall_mm: f.blade.wall_mm,
            blade_comes: f.blade.is_enough(),
            head_mm: f.head_mm,
            falls_mm: falls.and_then(|f| f.iter().find(|f| f.gate == gate.number)).map(|f| f.height_mm),
            channel_mm3: f.channel_mm3 * shared,
        }
    };
    let gates = plan.feed.gates.iter().zip(figures).map(gate).collect();
    let ways = facts.feed_ways.as_deref();
    let way = |(i, w): (usize, &crate::study::pour::feed_ways::FeedWay)| WayReport {
        way: key(w.found.gate.kind),
        position_mm: frames.point_in_box(frames.spot_in_work(&w.found.gate.at)).to_array(),
        above_mm: w.found.above_mm,
        wall_mm: w.found.wall_mm,
        falls_mm: w.found.fall_mm,
        basins_mm3: w.basins_mm3,
        head_mm: w.head_mm,
        channel_mm3: w.drinks_mm3,
        scar_mm2: w.scar_mm2,
        on_shown: w.found.shown.clone(),
        right: ways.and_then(|all| all.right) == Some(i),
    };
    let let_up = LetUp::of(plan, shop, &facts.for_pour());
    FeedFigures {
        gates,
        ways: ways.map_or_else(Vec::new, |w| w.ways.iter().enumerate().map(way).collect()),
        why: ways.map_or_else(String::new, |w| w.why()),
        let_up: LetUpReport { draws_mm3: let_up.draws_mm3, from_fill: let_up.from_fill, in_cup_mm: let_up.in_cup_mm },
    }
}

/// Where resin comes from by the key of a way, as it is printed.
pub fn from(key: &str) -> &'static str {
    match key {
        "from_above" => feed_ways::from(GateKind::Top),
        "from_below" => feed_ways::from(GateKind::Bottom),
        _ => feed_ways::from(GateKind::Side),
    }
}
