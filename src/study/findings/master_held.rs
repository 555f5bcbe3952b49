//! A master that its rods do not hold against the rubber, or that hangs too heavy on them.

use super::finding::{Finding, Severity, Step};
use super::look::Look;
use crate::plan::MasterCore;
use crate::study::numbers::figures::{GivesWayReport, HangDirection, HoldCause};

/// Findings on what holds the master; nothing before the body is known.
pub fn check(look: &Look) -> Vec<Finding> {
    let (Some(_), Some(shape)) = (&look.facts.body, &look.facts.shape) else { return Vec::new() };
    let hanging = &look.numbers.hanging;
    let wanted = look.shop.limits.holding_safety;
    let mut findings = Vec::new();
    let mut say = |severity, message: String, why: &str, remedy: &str| {
        findings.push(Finding {
            severity,
            code: "master-held",
            step: Step::Hang,
            message,
            why: why.to_owned(),
            remedy: remedy.to_owned(),
            place: None,
            remedies: Vec::new(),
        });
    };
    if hanging.stuck_to_floor && shape.foot_mm2 < 1.0 {
        say(
            Severity::Warn,
            "The master is to be stuck to the floor, but nothing of it lies flat there".to_owned(),
            "Rubber runs under it and lifts it",
            "Hang it on rods, or turn a flat face down",
        );
    } else if hanging.stuck_to_floor && hanging.wetted_force_n > 0.0 && hanging.direction == HangDirection::Down {
        say(
            Severity::Note,
            format!(
                "Stuck flat, the rubber presses the master down; once it creeps under, it floats with {:.2} N",
                hanging.wetted_force_n
            ),
            "The rubber works for hours on an edge that is not sealed",
            "Seal the edge all round, and hold it with a rod as well",
        );
    }
    if hanging.rods.is_empty() && !hanging.stuck_to_floor && !look.plan.vents.is_empty() {
        say(
            Severity::Warn,
            format!("No rod holds the master; the rubber drives it {}", driven(hanging.net_force_n)),
            "It turns or rises while the rubber sets, and the walls of the block come out uneven",
            "Make a vent by a rod that is pulled, or plan rods that are plugged afterwards",
        );
    }
    let ways = [(hanging.safety_up, &hanging.gives_up), (hanging.safety_down, &hanging.gives_down)];
    for (up, (safety, gives)) in [true, false].into_iter().zip(ways) {
        let (Some(safety), Some(gives)) = (safety.filter(|s| *s < wanted), gives) else { continue };
        let driven = if up {
            format!("The rubber drives the master up with {:.2} N", hanging.net_force_n)
        } else {
            format!("The master pulls down with {:.2} N", hanging.weight_n.max(-hanging.net_force_n))
        };
        say(
            if safety < 1.0 { Severity::Stop } else { Severity::Warn },
            format!(
                "{driven}; its rods hold {} times that before {}, wanted are {wanted:.1} times",
                times(safety),
                gives_way(gives)
            ),
            "Where a rod gives way the master moves in the rubber, and the block is lost",
            remedy(gives),
        );
    }
    if hanging.beam_sag_mm > look.shop.limits.bow_mm {
        say(
            Severity::Warn,
            format!(
                "A strip of the box's board {:.0} mm wide sags {:.1} mm under the master, more than {:.1} mm",
                hanging.beam_mm[1], hanging.beam_sag_mm, look.shop.limits.bow_mm
            ),
            "The master comes to lie higher or lower than drawn",
            "Lay a lid or a stiffer beam over the box",
        );
    }
    if let MasterCore::Hollow { skin_mm, .. } = look.plan.master.core
        && hanging.mass_g >= hanging.displaced_mm3 / 1000.0 * look.shop.habits.master_density_g_cm3
        && look.plan.master.weighed_g.is_none()
    {
        say(
            Severity::Note,
            format!("With a skin of {skin_mm:.1} mm nothing of the master is left hollow"),
            "Its weight is reckoned as that of a solid one",
            "Weigh the master, or say that it is solid",
        );
    }
    findings
}

fn driven(net_n: f64) -> String {
    if net_n >= 0.0 { format!("up with {net_n:.2} N") } else { format!("down with {:.2} N", -net_n) }
}

/// How often, with a figure that is none too few: 0.04 is not 0.0.
fn times(safety: f64) -> String {
    if safety < 0.1 { format!("{safety:.2}") } else { format!("{safety:.1}") }
}

/// What gives way, with the rod that bears most.
fn gives_way(gives: &GivesWayReport) -> String {
    let rod = format!("{}, Ø{:.1} mm and {:.0} mm long", gives.rod, gives.diameter_mm, gives.length_mm);
    match (gives.lever, gives.cause) {
        (false, HoldCause::Buckling) => format!("they buckle (most is borne by {rod})"),
        (false, HoldCause::Glue) => format!("they pull out of their glue (most is borne by {rod})"),
        (true, HoldCause::Buckling) => format!("it tips about them and {} buckles ({rod})", gives.rod),
        (true, HoldCause::Glue) => format!("it tips about them and {} pulls out of its glue ({rod})", gives.rod),
    }
}

/// What helps against it.
fn remedy(gives: &GivesWayReport) -> &'static str {
    match (gives.lever, gives.cause) {
        (true, _) => {
            "The force passes beside the rods: plan one over the master's middle that is plugged afterwards, or move a rod \
             to the side that gives way"
        }
        (false, HoldCause::Buckling) => {
            "Plan a thicker rod that is plugged afterwards, or take stiffer rods: twice as thick bears sixteen times as \
             much, half as long four times. More thin rods hardly help"
        }
        (false, HoldCause::Glue) => {
            "Plan rods that are plugged afterwards: what glue holds grows with the area of the rods' ends. Rods that sit in a \
             drilled hole hold better than glue on a face"
        }
    }
}
