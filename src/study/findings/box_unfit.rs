//! A box that bows, is too large for the shop's vessels, too heavy to lift, or that nothing keeps closed.

use super::finding::{Finding, Severity, Step};
use super::look::Look;

/// Findings on box and block.
pub fn check(look: &Look) -> Vec<Finding> {
    let block = &look.numbers.block;
    let limits = &look.shop.limits;
    let mut findings = Vec::new();
    let mut say = |severity, code: &'static str, message: String, why: &str, remedy: &str| {
        findings.push(Finding {
            severity,
            code,
            step: Step::Block,
            message,
            why: why.to_owned(),
            remedy: remedy.to_owned(),
            place: None,
            remedies: Vec::new(),
        });
    };
    if block.bow_mm > limits.bow_mm {
        say(
            Severity::Warn,
            "box-bows",
            format!(
                "A wall of {} bows {:.2} mm under liquid rubber, more than {:.2} mm",
                block.panel, block.bow_mm, limits.bow_mm
            ),
            "The block comes out barrel-shaped: its halves do not sit square in boards and straps",
            "Take a thicker board, or screw ribs to the long sides",
        );
    }
    let [wide, deep, high] = block.standing_mm;
    let size = format!("{wide:.0} × {deep:.0} × {high:.0} mm");
    if block.chamber.is_none() && !look.shop.chambers.is_empty() {
        let boxed = if look.plan.block.degas_in_box { ", or the box with its free wall is too large," } else { "" };
        say(
            Severity::Stop,
            "block-too-large",
            format!(
                "No chamber of the shop holds the closed block with its cup, {size}{boxed} with room for the resin's cup"
            ),
            "It cannot be cast under vacuum here",
            "Turn the part so that the block is lower, cast it in two parts, or enter the chamber that you have",
        );
    }
    if block.oven.is_none() && !look.shop.ovens.is_empty() {
        say(
            Severity::Stop,
            "block-too-large",
            format!(
                "No oven of the shop holds the closed block with its cup, {size}, at {:.0} °C",
                look.plan.resin(look.shop).mould_c
            ),
            "Cold rubber lets the resin set too slowly, and the cast comes out soft and small",
            "Turn the part so that the block is lower, or enter the oven that you have",
        );
    }
    if block.mass_kg > limits.lift_kg {
        say(
            Severity::Warn,
            "block-heavy",
            format!("The filled block weighs {:.1} kg, more than {:.0} kg", block.mass_kg, limits.lift_kg),
            "It is lifted hot, into chamber and oven, at every cast",
            "Lift it with two people or a table at the oven's height; local rules on lifting decide",
        );
    }
    if block.closing.is_none() && !look.shop.closings.is_empty() {
        say(
            Severity::Warn,
            "closing-weak",
            format!(
                "Resin pushes the halves apart with {:.0} N; no closing of the shop holds {:.0} times that",
                block.lift_force_n, limits.holding_safety
            ),
            "The joint opens, flash grows thick and the cup runs empty",
            "Use a shorter cup, or enter a stronger closing",
        );
    }
    findings
}
