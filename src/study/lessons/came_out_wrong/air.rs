//! Causes of a hole.

use super::scene::{Cause, Scene};
use crate::study::air::MouthOf;
use crate::study::job::words::volume;

/// How likely what nothing in the plan can tell is.
const UNSEEN: f64 = 0.15;

pub(super) fn of_a_hole(scene: &Scene) -> Vec<Cause> {
    let mut causes = pockets(scene);
    causes.extend(ceiling(scene));
    causes.extend(closed_round(scene));
    causes.push(Cause {
        code: "wet-or-gassy",
        likely: UNSEEN,
        what: "Many small bubbles, not only here, are water or air in the resin".into(),
        remedy: "Dry the block an hour or two at oven heat, keep the cans closed and dry, degas both components longer"
            .into(),
        place: None,
    });
    causes
}

/// Pockets whose air stays, or whose vent may have been blocked.
pub(super) fn pockets(scene: &Scene) -> Vec<Cause> {
    let Some(air) = &scene.facts.air else { return Vec::new() };
    let limit = scene.shop.limits.air_pocket_mm3;
    let up = scene.facts.setting.frames.cast_up();
    let height = scene.at.dot(up) as f64;
    let points = air.high_points.iter().zip(&air.served);
    let mut causes: Vec<Cause> = points
        .filter_map(|(point, served)| {
            // In its pocket a hole may be anywhere over the sill, not only at the peak.
            let over_sill = point.sill.is_some_and(|sill| height >= sill);
            let near = scene.nearness(point.position).max(if over_sill { 0.4 * sideways(scene, point.position) } else { 0.0 });
            let stays = served.largest_mm3 >= limit;
            let (code, likely, what, remedy) = match (stays, served.by) {
                (true, Some(MouthOf::Vent(n))) => (
                    "vent-too-low",
                    0.95,
                    format!("Vent {n} sits below the top of this pocket: {} of air stays above it", volume(served.largest_mm3)),
                    scene.by_stage(
                        "Move it up to the peak",
                        "Push a needle from the peak up through the rubber for one more vent",
                    ),
                ),
                (true, _) => (
                    "pocket-without-vent",
                    0.95,
                    format!("This pocket of {} has no vent: its air stays", volume(point.pocket_mm3)),
                    match wedge(scene).filter(|_| scene.is_cut()) {
                        Some(words) => format!("Push a needle from the peak up through the rubber for a vent. Or: {words}"),
                        None => scene.by_stage(
                            "Put a vent at the peak, or hang the part another way",
                            "Push a needle from the peak up through the rubber for a vent",
                        ),
                    },
                ),
                (false, Some(MouthOf::Vent(n))) => (
                    "vent-blocked",
                    0.55,
                    format!("The air of this pocket leaves by vent {n}: it may be blocked, or air was let in before resin showed"),
                    format!("Clear vent {n} with a wire, and let air in only once resin stands in it"),
                ),
                (false, _) => return None,
            };
            Some(Cause { code, likely: likely * near, what, remedy, place: Some(point.position) })
        })
        .collect();
    causes.sort_by(|a, b| b.likely.total_cmp(&a.likely));
    causes.truncate(2);
    causes
}

/// How near the fault is to the line up through `place`.
fn sideways(scene: &Scene, place: glam::Vec3) -> f64 {
    let up = scene.facts.setting.frames.cast_up();
    let away = scene.at - place;
    scene.nearness(scene.at - (away - up * away.dot(up)))
}

/// A ceiling on which single bubbles stick.
fn ceiling(scene: &Scene) -> Option<Cause> {
    let up = scene.facts.setting.frames.cast_up();
    let lean = f64::from(scene.normal.angle_between(up).to_degrees());
    (lean <= scene.shop.limits.near_level_deg).then(|| Cause {
        code: "level-ceiling",
        likely: 0.5,
        what: format!("The surface here is a ceiling {lean:.0}° off level: single bubbles stick to it"),
        remedy: match wedge(scene) {
            Some(words) if scene.is_cut() => words,
            _ => scene.by_stage(
                "Lean the part some ten degrees so that they run on to a vent",
                "Stand the closed block on a wedge so that they run on to a vent, and tap it while the resin rises",
            ),
        },
        place: None,
    })
}

/// The best wedge for the vents that there are, in words; none where none helps.
fn wedge(scene: &Scene) -> Option<String> {
    let wedge = (**scene.facts.standing.wedge.as_ref()?)?;
    Some(format!(
        "Raise the {} edge of the closed block by {:.0} mm: {} stays instead of {}",
        wedge.edge.name(),
        wedge.lift_mm,
        volume(wedge.with.leaning_mm3),
        volume(wedge.now.leaning_mm3)
    ))
}

/// Gas that the fill closed round.
fn closed_round(scene: &Scene) -> Option<Cause> {
    let closed = &scene.facts.fill.as_ref()?.closed;
    let nearest = closed.iter().map(|c| (scene.nearness(c.position), c)).max_by(|a, b| a.0.total_cmp(&b.0))?;
    Some(Cause {
        code: "closed-round",
        likely: 0.9 * nearest.0,
        what: format!("The streams of resin close round {} of gas here", volume(nearest.1.volume_mm3)),
        remedy: "A needle vent here, or another place for the gate".into(),
        place: Some(nearest.1.position),
    })
}
