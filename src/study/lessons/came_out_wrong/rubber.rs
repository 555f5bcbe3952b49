//! Causes that lie in the rubber or in how the block closes: lumps, flash, tears.

use super::scene::{Cause, Scene};
use crate::study::job::words::{length, volume};
use crate::study::parting::loop_kind::LoopKind;
use crate::study::parting::release::kinds::Verdict;
use glam::Vec3;

/// How likely what nothing in the plan can tell is.
const UNSEEN: f64 = 0.2;
/// A surface that looks down by this much held air while rubber was poured.
const LOOKS_DOWN: f32 = 0.9;
/// From this share of the tool life on a tear is likely anywhere.
const OLD: f64 = 0.8;

pub(super) fn of_a_lump(scene: &Scene) -> Vec<Cause> {
    let mut causes = Vec::new();
    causes.extend(under_master(scene));
    causes.extend(undercut(scene, "torn-out", 0.5, |_| {
        "Rubber is torn out at the undercut here; the gap fills with resin".into()
    }));
    if let Some((near, place)) = nearest_line(scene, LoopKind::ShutOff) {
        causes.push(Cause {
            code: "shut-off-leaks",
            likely: 0.6 * near,
            what: "The halves do not meet in the hole here: resin gets between them".into(),
            remedy: "Look for dirt or a torn skin there; close the block with the halves pressed together over it"
                .into(),
            place: Some(place),
        });
    }
    causes.push(Cause {
        code: "rubber-gassy",
        likely: UNSEEN,
        what: "Pimples in many places are bubbles in the rubber itself: it was not degassed long enough".into(),
        remedy: scene.by_stage(
            "Degas the rubber until the foam has fallen, and pour it in a thin stream from a height",
            "Nothing on this block but cutting them off; degas the next one until the foam has fallen",
        ),
        place: None,
    });
    causes
}

/// Air that was caught under the master while rubber was poured: a hole in the rubber, which fills with resin.
fn under_master(scene: &Scene) -> Option<Cause> {
    let remedy = scene.by_stage(
        "Brush rubber into it before the pour, or hang the part so that it drains",
        "Cut the lump off each cast, or fill the hole in the rubber with a drop of fresh rubber",
    );
    let code = "air-under-master";
    let recesses = scene.facts.standing.rubber_air.iter().flat_map(|a| &a.recesses);
    let nearest = recesses.map(|r| (scene.nearness(r.position), r)).max_by(|a, b| a.0.total_cmp(&b.0));
    if let Some((near, recess)) = nearest.filter(|n| n.0 > 0.1) {
        let what = format!(
            "A recess here opened downwards while rubber was poured and held {} of air",
            volume(recess.volume_mm3)
        );
        return Some(Cause { code, likely: 0.95 * near, what, remedy, place: Some(recess.position) });
    }
    let down = -scene.normal.dot(scene.facts.setting.frames.rubber_up());
    (down > LOOKS_DOWN).then(|| Cause {
        code,
        likely: 0.5,
        what: "This face looked down while rubber was poured: bubbles under it left holes in the rubber".into(),
        remedy,
        place: None,
    })
}

pub(super) fn of_flash(scene: &Scene) -> Vec<Cause> {
    let mut causes = Vec::new();
    for (kind, code, what, remedy) in [
        (
            LoopKind::Parting,
            "parting-gapes",
            "The parting line runs here: the halves do not close",
            "Clean the faces of the cut, close with boards on both sides, and tape over the line; too tight bulges the cavity",
        ),
        (
            LoopKind::ShutOff,
            "shut-off-gapes",
            "The shut-off of a hole runs here: the halves do not meet in it",
            "Trim the skin in each cast; press the halves together over the hole when closing",
        ),
    ] {
        if let Some((near, place)) = nearest_line(scene, kind) {
            let (what, remedy) = (what.to_owned(), remedy.to_owned());
            causes.push(Cause { code, likely: 0.9 * near, what, remedy, place: Some(place) });
        }
    }
    let frames = &scene.facts.setting.frames;
    let slits = scene.plan.parting.relief_cuts.iter().flat_map(|c| &c.points).map(|s| frames.spot_in_work(s));
    let pieces = scene.plan.parting.loose_pieces.iter().map(|p| frames.spot_in_work(&p.at));
    for (place, code, what) in slits
        .map(|p| (p, "relief-cut-gapes", "A relief cut runs here and opens under the resin"))
        .chain(pieces.map(|p| (p, "loose-piece-gapes", "A loose piece sits here and does not lie close")))
    {
        causes.push(Cause {
            code,
            likely: 0.85 * scene.nearness(place),
            what: what.into(),
            remedy: "Lay it back clean and dry, and close the block so that it is pressed home".into(),
            place: Some(place),
        });
    }
    causes.push(Cause {
        code: "closed-lightly",
        likely: UNSEEN,
        what: "Flash all round is a block that was closed too lightly, or with dirt between the halves".into(),
        remedy: "Boards on both sides, tape over the whole line, straps no tighter than that".into(),
        place: None,
    });
    causes
}

pub(super) fn of_a_tear(scene: &Scene) -> Vec<Cause> {
    let mut causes = Vec::new();
    causes.extend(undercut(scene, "undercut", 0.95, |depth| {
        format!("An undercut {depth} deep holds the part here: the rubber is drawn over it at every cast")
    }));
    if let (Some(rubber), Some(parting)) = (&scene.facts.rubber, &scene.facts.parting) {
        let surface = &parting.surface;
        let pieces = rubber.pieces.iter().map(|piece| {
            let middles = piece.triangles.iter().map(|t| surface.centroid[*t as usize]).chain([piece.tip]);
            (middles.map(|p| scene.nearness(p)).fold(0.0, f64::max), piece)
        });
        let bad = |p: &crate::study::parting::release::rubber::Piece| {
            (p.slenderness() / scene.shop.limits.slenderness[0]).min(1.0)
        };
        let worst = pieces.max_by(|a, b| (a.0 * bad(a.1)).total_cmp(&(b.0 * bad(b.1))));
        causes.extend(worst.map(|(near, piece)| Cause {
            code: "slender-rubber",
            likely: 0.85 * near * bad(piece),
            what: format!(
                "The rubber here is {} thick and {} long: it is bent and pulled at every cast",
                length(piece.thickness_mm),
                length(piece.length_mm)
            ),
            remedy: scene.by_stage(
                "A metal core in its place, or a hole that is drilled afterwards",
                "Put a drop of release agent on it, and draw the part off along it, slowly; a metal core in the next block",
            ),
            place: Some(piece.tip),
        }));
    }
    let [low, _] = scene.tool_life;
    let made = scene.plan.log.len() as f64 / f64::from(low.max(1));
    let old = if made >= OLD { 0.7 } else { UNSEEN };
    causes.push(Cause {
        code: "worn-out",
        likely: old,
        what: format!(
            "{} casts were made of {low} that the block surely gives: the rubber dries out and tears",
            scene.plan.log.len()
        ),
        remedy: "Dry the block overnight, use release agent where no paint follows, and have the next block poured"
            .into(),
        place: None,
    });
    causes.push(Cause {
        code: "opened-early",
        likely: UNSEEN * 0.9,
        what: "A cast that is taken out before it is hard, or a block that is opened in a jerk, tears it".into(),
        remedy: "Wait for the demoulding time, let it cool down a little, and open slowly from one end".into(),
        place: None,
    });
    causes
}

/// The undercut at the fault, if there is one that is not loose.
fn undercut(scene: &Scene, code: &'static str, most: f64, what: impl Fn(String) -> String) -> Option<Cause> {
    let (release, parting) = (scene.facts.release.as_ref()?, scene.facts.parting.as_ref()?);
    let silicone = scene.plan.silicone(scene.shop);
    let bad = |verdict: Verdict| match verdict {
        Verdict::LetsGo => 0.5,
        Verdict::WithCare => 0.8,
        Verdict::ReliefCut | Verdict::LoosePiece => 1.0,
    };
    let undercuts = release.undercuts.iter().enumerate().map(|(i, u)| {
        let middles = u.triangles.iter().map(|t| parting.surface.centroid[*t as usize]);
        let near = middles.map(|p| scene.nearness(p)).fold(0.0, f64::max);
        (near * bad(release.judged(i, silicone, &scene.shop.limits).verdict), u)
    });
    let (likely, undercut) = undercuts.max_by(|a, b| a.0.total_cmp(&b.0))?;
    Some(Cause {
        code,
        likely: most * likely,
        what: what(length(undercut.depth_mm)),
        remedy: scene.by_stage(
            "A relief cut or a loose piece there, a softer rubber, or another draw",
            "A relief cut there with a sharp blade, and open from the other end",
        ),
        place: Some(undercut.middle),
    })
}

/// How near the nearest line of a kind runs, and where.
fn nearest_line(scene: &Scene, kind: LoopKind) -> Option<(f64, Vec3)> {
    let lines = scene.facts.parting.as_ref()?.lines.iter().filter(|l| l.kind == kind);
    let points = lines.flat_map(|l| l.points.iter().copied());
    let nearest = points.min_by(|a, b| a.distance_squared(scene.at).total_cmp(&b.distance_squared(scene.at)))?;
    // Flash stands on the line itself, so near is nearer here.
    let d = f64::from(scene.at.distance(nearest) / (0.5 * scene.near_mm));
    Some(((-d * d).exp(), nearest))
}
