//! Which feed is right for this part: the best gate from above, from below and from the side, beside each other.
//!
//! A proposal takes the one that is said to be right here, and its reason is made of the same figures as the finding on
//! gates from which resin falls.

use super::feed::{FoundGate, Search};
use super::feed_figures;
use crate::plan::{Feed, GateKind, Plan};
use crate::solve::run::{Cancelled, Run};
use crate::study::air::closed_off::{gates_of, least_basin_mm3, second_basins};
use crate::study::job::setting::Setting;

/// One way to feed the part.
#[derive(Clone, Debug, PartialEq)]
pub struct FeedWay {
    /// The best gate of its kind.
    pub found: FoundGate,
    /// Room that fills only over a sill, mm³.
    pub basins_mm3: f64,
    /// From the gate up to the foot of the cup, millimetres.
    pub head_mm: f64,
    /// Resin in gate and runner, mm³.
    pub drinks_mm3: f64,
    /// Area of its scar, mm².
    pub scar_mm2: f64,
}

/// The ways to feed one part.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct FeedWays {
    /// From above, from below, from the side; those that have a way.
    pub ways: Vec<FeedWay>,
    /// Place in the list of the one that is right; none without any.
    pub right: Option<usize>,
}

impl FeedWays {
    /// The one that is right.
    pub fn right(&self) -> Option<&FeedWay> {
        self.ways.get(self.right?)
    }

    /// Why it is, in words; nothing without any.
    pub fn why(&self) -> String {
        let Some(right) = self.right() else { return String::new() };
        let others = self.ways.iter().filter(|w| w.found.gate.kind != right.found.gate.kind);
        let others: Vec<String> = others.map(|w| against(w, right)).collect();
        let others = if others.is_empty() { "; it is the only way that was found".to_owned() } else { others.join("") };
        format!("Fed from {}, {}{others}", from(right.found.gate.kind), from_there(right))
    }
}

/// Where resin comes from, as it is printed.
pub fn from(kind: GateKind) -> &'static str {
    match kind {
        GateKind::Top => "above",
        GateKind::Bottom => "below",
        GateKind::Side => "the side",
    }
}

fn from_there(way: &FeedWay) -> String {
    match way.found.rises() {
        true => "resin rises and pushes the air up in front of it".to_owned(),
        false => {
            format!("resin falls {:.1} mm before it gathers, which no way that was found avoids", way.found.fall_mm)
        }
    }
}

/// What is against another way, as the rest of a sentence.
fn against(way: &FeedWay, right: &FeedWay) -> String {
    let found = &way.found;
    let fault = if let Some(shown) = found.shown.as_ref().filter(|_| right.found.shown.is_none()) {
        format!("it would mark the shown surface {shown}")
    } else if !found.rises() && found.fall_mm > right.found.fall_mm {
        format!("it would fall {:.1} mm", found.fall_mm)
    } else if found.over_edge && !right.found.over_edge {
        "its mouth would hang over an edge".to_owned()
    } else if way.basins_mm3 > right.basins_mm3 {
        format!("{:.1} cm³ more would fill only over a sill", (way.basins_mm3 - right.basins_mm3) / 1000.0)
    } else if found.above_mm > right.found.above_mm + 0.5 {
        format!("it would come in {:.0} mm higher", found.above_mm - right.found.above_mm)
    } else {
        format!("{:.1} cm³ of resin would stand in its channel", way.drinks_mm3 / 1000.0)
    };
    format!("; from {} {fault}", from(found.gate.kind))
}

/// The reason for the right one as a proposal gives it.
pub fn reason(way: &FeedWay, why: &str) -> String {
    let found = &way.found;
    let shown = match &found.shown {
        Some(name) => format!("on the shown surface {name} or at it, since no place off it has a way for the runner"),
        None => "not on a shown surface".to_owned(),
    };
    let edge = if found.over_edge { "; its mouth hangs over an edge, since no wider place has a way" } else { "" };
    let off = if found.off_cut { "; its runner does not lie in the cut, since none through it was found" } else { "" };
    format!(
        "The gate is {:.0} mm above the lowest point in a wall of {:.1} mm, {shown}{edge}{off}. {why}",
        found.above_mm, found.wall_mm
    )
}

/// What of a plan its ways to feed depend on.
pub fn asked(plan: &Plan) -> Plan {
    let Plan { parts, hang, master, parting, inserts, second_shot, shown, block, materials, .. } = plan.clone();
    let feed = Feed { gates: Vec::new(), cup: plan.feed.cup };
    Plan { parts, hang, master, parting, inserts, second_shot, shown, block, materials, feed, ..Plan::default() }
}

/// The ways to feed the one part that `search` looks at, whose plan has no gates and vents of its own. A runner may make the
/// block larger: `stands` says where everything stands with a gate.
///
/// # Errors
/// As `stands`, or [`Cancelled`].
pub fn feed_ways<E: From<Cancelled>>(
    search: &Search,
    stands: impl Fn(&Plan) -> Result<Setting, E>,
    run: &Run,
) -> Result<FeedWays, E> {
    let (asked, body) = (search.plan, search.bodies.resin);
    let least_mm3 = least_basin_mm3(body, &search.shop.limits);
    let mut ways = Vec::new();
    for found in search.found(run)?.into_iter().flatten() {
        run.check()?;
        let feed = Feed { gates: vec![found.gate.clone()], cup: asked.feed.cup };
        let with = Plan { feed, ..asked.clone() };
        let there = stands(&with)?;
        let gates = gates_of(&with, &there.frames);
        let basins = second_basins(body, search.level, &gates, least_mm3, run)?;
        let figures = feed_figures::of_gates(&with, &there, body);
        let Some(figure) = figures.first() else { continue };
        ways.push(FeedWay {
            basins_mm3: basins.pockets.iter().map(|b| b.volume_mm3).sum(),
            head_mm: figure.head_mm,
            drinks_mm3: figure.channel_mm3,
            scar_mm2: figure.scar_mm2,
            found,
        });
    }
    // Among those that are as good, what fills only over a sill decides.
    let rank = |w: &FeedWay| (w.found.faults(), (w.basins_mm3 / 1000.0) as i64, w.found.order());
    let right = (0..ways.len()).min_by_key(|i| rank(&ways[*i]));
    Ok(FeedWays { ways, right })
}
