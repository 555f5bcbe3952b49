//! A hard cast that is not held in the tool of the soft part.

use super::finding::{Finding, Severity, Step};
use super::look::Look;
use crate::plan::SoftCavity;
use crate::study::job::words::area;

/// Under this share of bare surface nothing holds it at all: set here.
const NOTHING: f64 = 0.01;
/// Cosine of the steepest slope at which weight still drives it that way.
const DOWN: f64 = 0.2;

/// Findings on what holds the hard cast while the soft part is cast.
pub fn check(look: &Look) -> Vec<Finding> {
    let Some(report) = &look.numbers.second_shot else { return Vec::new() };
    let (Some(hold), Some(second), Some([hard, soft])) =
        (&report.hold, &look.plan.second_shot, look.plan.both_resins(look.shop))
    else {
        return Vec::new();
    };
    let met = look.facts.two_shot.as_ref().and_then(|t| t.meeting.as_ref());
    let place = met.map(|m| m.hard_middle);
    let finding = |severity, message: String, why: &str, remedy: &str| Finding {
        severity,
        code: "hard-part-loose",
        step: Step::Part,
        message,
        why: why.to_owned(),
        remedy: remedy.to_owned(),
        place,
        remedies: Vec::new(),
    };
    if hold.bare_share < NOTHING {
        return vec![finding(
            Severity::Stop,
            format!("The soft part covers all but {} of the hard one; no rubber holds it", area(report.bare_mm2)),
            "In the closed tool the hard cast lies anywhere, and comes out of the soft skin on one side",
            "Leave places bare, or stand the hard part on pins that leave holes in the soft one",
        )];
    }
    let free: Vec<_> = hold.ways.iter().filter(|w| w.is_free(hold.needed_share)).collect();
    let worst = |turn: bool| {
        let share = |w: &&&crate::study::numbers::two_shot::figures::WayReport| w.share.unwrap_or(1.0);
        // Of equal ones the first, which is told along the box.
        free.iter().filter(|w| w.turn == turn).min_by(|a, b| share(a).total_cmp(&share(b)))
    };
    let mut findings = Vec::new();
    // Up in the box as resin is poured.
    let up = look.facts.setting.frames.cast_from_box.inverse().transform_vector3(glam::DVec3::Z);
    // In liquid resin a lighter cast is driven up.
    let drives = if hard.density_g_cm3 >= soft.density_g_cm3 { -up } else { up };
    let falls = free.iter().find(|w| !w.turn && glam::DVec3::from_array(w.along).dot(drives) > DOWN);
    let share = |s: Option<f64>| format!("{:.0} %", s.unwrap_or(0.0) * 100.0);
    let shift = falls.copied().or(worst(false).copied());
    if let Some(way) = shift {
        let driven = falls.is_some();
        let how = match (driven, hard.density_g_cm3 >= soft.density_g_cm3) {
            (true, true) => ", and its own weight drives it that way",
            (true, false) => ", and the denser resin drives it that way",
            (false, _) => "",
        };
        findings.push(finding(
            if driven { Severity::Stop } else { Severity::Warn },
            format!(
                "The hard cast can shift {}: rubber stands in front of {} of its shadow, {} are wanted{how}",
                way.way,
                share(way.share),
                share(Some(hold.needed_share))
            ),
            "Only friction keeps it there, and a warm block has grown and grips less: the soft skin comes out thick on one \
             side and thin on the other",
            remedy(second.cavity),
        ));
    }
    if let Some(way) = worst(true) {
        findings.push(finding(
            Severity::Warn,
            format!(
                "The hard cast can turn {}: rubber stands in front of {} of what it would carry along, {} are wanted",
                way.way,
                share(way.share),
                share(Some(hold.needed_share))
            ),
            "It can be loaded crooked, and nothing puts it right",
            remedy(second.cavity),
        ));
    }
    findings
}

fn remedy(cavity: SoftCavity) -> &'static str {
    match cavity {
        SoftCavity::OwnTool => {
            "Leave more of it bare on that side, or give the hard part a lug or a pin that sits in the rubber and is cut off \
             afterwards"
        }
        SoftCavity::RoundFirstCast => {
            "Leave more of it bare on that side, or stick a lug to the first cast, and the same one to every other"
        }
    }
}
