//! Causes of a short, and of a knit line.

use super::air;
use super::scene::{Cause, Scene};
use crate::study::job::words::length;
use glam::Vec3;

/// How likely what nothing in the plan can tell is.
const UNSEEN: f64 = 0.2;

pub(super) fn of_a_short(scene: &Scene) -> Vec<Cause> {
    // Air that cannot leave holds the resin off as well as it makes a bubble.
    let mut causes: Vec<Cause> = air::pockets(scene);
    causes.extend(far(scene));
    causes.extend(thin(scene));
    causes.push(Cause {
        code: "poured-late",
        likely: UNSEEN,
        what: "The mix was poured late in its pot life, or the block had cooled down".into(),
        remedy: "Mix, degas and pour by the times on the sheet; take the block from the oven last".into(),
        place: None,
    });
    causes
}

/// The way of the resin to the fault, and the longest there is, millimetres.
fn way(scene: &Scene) -> Option<(f64, f64)> {
    let (flow, body) = (scene.facts.flow.as_ref()?, scene.facts.body.as_ref()?);
    // Coarse triangles reach from gate to end, so the place within one matters.
    let nearest = body.tree.nearest(scene.at)?;
    let corners = body.mesh.triangles[nearest.triangle as usize].iter().zip(nearest.barycentric.to_array());
    let here: f32 = corners.filter(|c| c.1 > 1e-4).map(|(v, share)| flow.vertex_mm[*v as usize] * share).sum();
    let longest = flow.longest.as_ref()?.length_mm;
    Some((here as f64, longest)).filter(|w| w.1 > 0.0)
}

fn far(scene: &Scene) -> Option<Cause> {
    let (here, longest) = way(scene)?;
    let remedy = scene.by_stage(
        "A second gate nearer to it, a wider runner, or more head",
        "Raise the cup, widen the runner with a knife, warm block and resin, or take a slower resin",
    );
    if !here.is_finite() {
        let what = "No way leads here from any gate".to_owned();
        return Some(Cause { code: "unreached", likely: 1.0, what, remedy, place: None });
    }
    let share = (here / longest).clamp(0.0, 1.0);
    let short = scene.facts.fill.as_ref().is_some_and(|f| f.filled_share < 0.999);
    let likely = (0.75 * share.powi(2)).max(if short && share > 0.6 { 0.95 * share } else { 0.0 });
    Some(Cause {
        code: "far-from-gate",
        likely,
        what: format!(
            "Resin runs {} to here, of {} to the last place: it sets before it comes",
            length(here),
            length(longest)
        ),
        remedy,
        place: scene.facts.flow.as_ref().and_then(|f| f.longest.as_ref()).map(|l| l.last()),
    })
}

fn thin(scene: &Scene) -> Option<Cause> {
    let (walls, body) = (scene.facts.walls.as_ref()?, scene.facts.body.as_ref()?);
    let triangle = body.tree.nearest(scene.at)?.triangle as usize;
    let here = f64::from(*walls.of_triangle_mm.get(triangle)?);
    let least = scene.shop.limits.thinnest_wall_mm;
    (here.is_finite() && here < 1.5 * least).then(|| Cause {
        code: "thin-wall",
        likely: 0.7 * (1.5 - here / least).clamp(0.2, 1.0),
        what: format!("The wall is {} here; the shop wants {} for a sure fill", length(here), length(least)),
        remedy: scene.by_stage(
            "Thicken the wall on the master, or bring the gate nearer",
            "A thinner resin, block and resin warmer, and a needle vent at the end of the wall",
        ),
        place: None,
    })
}

pub(super) fn of_a_knit_line(scene: &Scene) -> Vec<Cause> {
    let mut causes = Vec::new();
    if let Some(fill) = &scene.facts.fill {
        let near = fill.knit.iter().map(|k| (scene.nearness(k.position), k)).max_by(|a, b| a.0.total_cmp(&b.0));
        causes.extend(near.map(|(near, knit)| Cause {
            code: "fronts-meet",
            likely: 0.95 * near.max(0.05),
            what: format!("Two streams meet here along {}", length(f64::from(knit.length_mm))),
            remedy: meet(scene),
            place: Some(knit.position),
        }));
    }
    causes.extend(between_gates(scene));
    causes.extend(behind_a_hole(scene));
    causes.push(Cause {
        code: "too-cold",
        likely: UNSEEN,
        what: "Streams that meet cold or late in the pot life do not flow together".into(),
        remedy: "Warm block and resin, pour in one go, and sooner".into(),
        place: None,
    });
    causes
}

fn meet(scene: &Scene) -> String {
    scene.by_stage(
        "Move a gate so that the streams meet where it does not show, or in a thick place",
        "Warm block and resin so that they flow together, or plug one gate and see whether it still fills",
    )
}

/// The ways from two gates that are equally long.
fn between_gates(scene: &Scene) -> Option<Cause> {
    let gates = &scene.plan.feed.gates;
    if gates.len() < 2 {
        return None;
    }
    let mut away: Vec<(f32, u32)> =
        gates.iter().map(|g| (scene.facts.setting.frames.spot_in_work(&g.at).distance(scene.at), g.number)).collect();
    away.sort_by(|a, b| a.0.total_cmp(&b.0));
    let [(one, a), (two, b)] = [away[0], away[1]];
    let even = f64::from(one / two.max(1e-3));
    Some(Cause {
        code: "between-gates",
        likely: 0.85 * even.powi(4),
        what: format!(
            "It lies between gates {a} and {b}, {one:.0} and {two:.0} mm away: their streams meet about here"
        ),
        remedy: meet(scene),
        place: None,
    })
}

/// A hole or an insert between gate and fault parts the stream; it closes behind.
fn behind_a_hole(scene: &Scene) -> Option<Cause> {
    let frames = &scene.facts.setting.frames;
    let gates: Vec<Vec3> = scene.plan.feed.gates.iter().map(|g| frames.spot_in_work(&g.at)).collect();
    let holes = scene.facts.release.iter().flat_map(|r| &r.shut_offs).map(|s| s.middle);
    let inserts = scene.facts.setting.inserts.iter().map(|i| i.foot);
    let behind = |hole: Vec3| {
        let to_gate = gates.iter().map(|g| (hole - *g).normalize_or_zero().dot((scene.at - hole).normalize_or_zero()));
        let straight = to_gate.fold(f32::NEG_INFINITY, f32::max).max(0.0);
        // A wake reaches further than a thing is near.
        let reach = (scene.at.distance(hole) / (3.0 * scene.near_mm)).powi(2);
        f64::from(straight * (-reach).exp())
    };
    let (likely, hole) = holes.chain(inserts).map(|h| (behind(h), h)).max_by(|a, b| a.0.total_cmp(&b.0))?;
    Some(Cause {
        code: "behind-a-hole",
        likely: 0.75 * likely,
        what: "A hole or an insert stands between the gate and this place: the stream parts and closes behind it"
            .into(),
        remedy: meet(scene),
        place: Some(hole),
    })
}
