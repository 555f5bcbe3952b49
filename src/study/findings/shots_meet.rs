//! Hard and soft part of a two-shot job that overlap, gape or do not touch.

use super::finding::{Finding, Remedy, Severity, Step};
use super::look::Look;
use crate::study::job::words::{area, fine, volume};
use glam::Vec3;

/// Findings on how the two parts meet.
pub fn check(look: &Look) -> Vec<Finding> {
    let mut findings = told(look);
    let read = look.facts.setting.other.as_ref().and_then(|o| o.as_ref().ok());
    if let (Some(changed), Some(other)) = (findings.iter_mut().find(|f| f.code == "mesh-changed"), read) {
        changed.remedies.push(Remedy::AcceptOtherMesh(other.loaded.digest.clone()));
    }
    findings
}

fn told(look: &Look) -> Vec<Finding> {
    let (Some(second), Some(report)) = (&look.plan.second_shot, &look.numbers.second_shot) else { return Vec::new() };
    let mut findings = Vec::new();
    let mut say = |severity, code, message: String, why: &str, remedy: &str, place: Option<Vec3>| {
        findings.push(Finding {
            severity,
            code,
            step: Step::Part,
            message,
            why: why.to_owned(),
            remedy: remedy.to_owned(),
            place,
            remedies: Vec::new(),
        });
    };
    let other = if second.name.is_empty() { "the other shot's part" } else { &second.name };
    let digest = look.facts.setting.other.as_ref().and_then(|o| o.as_ref().ok()).map(|o| &o.loaded.digest);
    if digest.is_some_and(|d| !second.digest.is_empty() && *d != second.digest) {
        say(
            Severity::Warn,
            "mesh-changed",
            format!("The mesh of {other} has changed since the plan was made"),
            "Contact, weights and what holds the hard cast may be others now",
            "Look at how both parts meet, then accept the new mesh",
            None,
        );
    }
    if let Some(why) = &report.trouble {
        say(
            Severity::Stop,
            "shots-not-compared",
            format!("Hard and soft part cannot be compared. {other}: {why}"),
            "Whether they overlap, gape or bond stays unknown, and the rubber is reckoned without the part",
            "Give a closed mesh of one body, in the same frame as this part",
            None,
        );
        return findings;
    }
    let Some(met) = look.facts.two_shot.as_ref().and_then(|t| t.meeting.as_ref()) else { return findings };
    if let Some(overlap) = met.overlap {
        let reckoned = if overlap.by_samples { ", reckoned from the surface" } else { "" };
        say(
            Severity::Stop,
            "shots-overlap",
            format!(
                "Hard and soft part overlap by {} and stand {} deep in each other, over {}{reckoned}",
                volume(overlap.volume_mm3),
                fine(overlap.depth_mm),
                fine(met.tolerance_mm)
            ),
            "Both cannot be there: the hard cast does not go into the tool, or the soft skin is thinner than drawn",
            "Take the hard part out of the soft one in the drawing, or move one of them",
            Some(overlap.at),
        );
    }
    if let Some(gap) = met.gap {
        say(
            Severity::Warn,
            "shots-gap",
            format!(
                "Hard and soft part run side by side {} to {} apart over {}; {} counts as touching, {} where facets are coarse",
                fine(gap.width_mm[0]),
                fine(gap.width_mm[1]),
                area(gap.area_mm2),
                fine(look.shop.limits.shots_touch_mm),
                fine(met.tolerance_mm)
            ),
            "A skin of rubber stands in the gap: it tears, resin flashes in its place, and nothing bonds there. The parting line runs \
             into it too",
            "Close the gap in the drawing, so that both parts share one surface",
            Some(gap.at),
        );
    }
    if met.contact_mm2 <= 0.0 {
        say(
            Severity::Stop,
            "shots-apart",
            format!("Hard and soft part touch nowhere; they come no nearer than {}", fine(met.apart_mm)),
            "Without contact there is no bond, and these are two jobs",
            "Set the other part in its place; both meshes must be drawn in one frame",
            None,
        );
    }
    if let Some(why) = look.facts.master.as_ref().and_then(|m| m.trouble.as_ref()) {
        say(
            Severity::Warn,
            "shots-not-united",
            format!("The parting was found on both parts side by side: {why}"),
            "Where they touch, the surface between them is taken for one that rubber touches",
            "Look at the parting line along the edge of the contact, or repair the meshes",
            None,
        );
    }
    findings
}
