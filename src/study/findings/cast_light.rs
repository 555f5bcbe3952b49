//! Casts that weigh less than good ones: something is missing in them.

use super::finding::{Finding, Severity, Step};
use super::look::Look;
use crate::study::job::words::volume;
use crate::study::numbers::cast_log::{Light, Suspect, light_casts};

/// One finding for each light cast, the newest first.
pub fn check(look: &Look) -> Vec<Finding> {
    let light = light_casts(look.plan, look.shop, &look.facts.for_numbers(), look.numbers.resin.part_g);
    light.iter().rev().map(|cast| finding(look, cast)).collect()
}

fn finding(look: &Look, cast: &Light) -> Finding {
    let resin = look.plan.resin(look.shop);
    let logged = look.plan.log.iter().find(|c| c.shot == cast.shot);
    let good = logged.is_some_and(|c| c.good);
    let remedy = match cast.suspects.first() {
        Some(suspect) => format!("Look at {} first{}", which(suspect), then(suspect)),
        None => {
            "No pocket of the part is that large: look for a flow that did not reach the end, or weigh it again".into()
        }
    };
    let others: Vec<String> = cast.suspects.iter().skip(1).map(which).collect();
    let others = if others.is_empty() { String::new() } else { format!("; then at {}", others.join(" and ")) };
    Finding {
        // One that was taken for good may hold a hidden hole.
        severity: if good { Severity::Warn } else { Severity::Note },
        code: "cast-light",
        step: Step::Casting,
        message: format!(
            "Shot {} is {:.1} g light: {} of resin is missing at {} g/cm³",
            cast.shot,
            cast.missing_g,
            volume(cast.missing_mm3),
            resin.density_g_cm3
        ),
        why: "What the scales miss is a hole, in sight or inside. A hole inside is found only by its weight".into(),
        remedy: format!("{remedy}{others}"),
        place: cast.suspects.first().map(|s| s.place),
        remedies: Vec::new(),
    }
}

fn which(suspect: &Suspect) -> String {
    let size = volume(suspect.pocket_mm3);
    match suspect.vent {
        Some(n) => format!("the pocket of {size} at vent {n}"),
        None => format!("the pocket of {size} without a vent"),
    }
}

fn then(suspect: &Suspect) -> &'static str {
    match suspect.vent {
        Some(_) => ": clear the vent, and see that resin shows there before air is let in",
        None => ": it wants a vent",
    }
}
