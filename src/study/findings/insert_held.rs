//! Inserts that do not stay where they belong, cannot be put there, lock their half, or do not bear the heat.

use super::finding::{Finding, Severity, Step};
use super::look::Look;
use crate::plan::{InsertKind, Threads};
use crate::study::job::insert_shapes::BETWEEN_OPENINGS_MM;
use crate::study::job::words::length;
use crate::study::numbers::insert_figures::inserts_report;
use crate::study::parting::release::verdict::Lines;

/// A line that ends this near the rim of a pocket runs through it, millimetres: the hollow interrupts the line there.
const CUT_THROUGH_MM: f64 = 0.1;

/// Findings on each insert and its pocket.
pub fn check(look: &Look) -> Vec<Finding> {
    let (limits, lines) = (&look.shop.limits, Lines::of(look.plan.silicone(look.shop), &look.shop.limits));
    let reports = inserts_report(look.plan, look.shop, &look.facts.for_numbers());
    let mould_c = look.plan.resin(look.shop).mould_c;
    let mut findings = Vec::new();
    for ((insert, report), shape) in look.plan.inserts.iter().zip(&reports).zip(look.facts.setting.inserts.iter()) {
        let n = insert.number;
        let mut say = |severity, message: String, why: &str, remedy: &str| {
            findings.push(Finding {
                severity,
                code: "insert-held",
                step: Step::Inserts,
                message,
                why: why.to_owned(),
                remedy: remedy.to_owned(),
                place: Some(shape.foot),
                remedies: Vec::new(),
            });
        };
        if insert.in_pocket_mm > 0.0 && insert.in_pocket_mm < limits.pocket_length_mm {
            say(
                Severity::Warn,
                format!(
                    "Insert {n} stands only {} in its pocket, less than {}",
                    length(insert.in_pocket_mm),
                    length(limits.pocket_length_mm)
                ),
                "It tips as the tool is closed and as the resin comes",
                "Make its dummy longer, or use a pin that reaches further into the rubber",
            );
        }
        if report.pull_n * limits.holding_safety > report.grip_n {
            say(
                Severity::Warn,
                format!(
                    "Insert {n} hangs in its pocket with {:.2} N; the rubber grips it with {:.2} N, wanted are {:.1} times its weight",
                    report.pull_n, report.grip_n, limits.holding_safety
                ),
                "It drops into the cavity before the resin holds it",
                "Put it into the lower half, give it more length in the rubber, or hold it with a screw through the block",
            );
        }
        if let Some(room) = report.room_mm.filter(|room| *room < insert.in_pocket_mm) {
            say(
                Severity::Stop,
                format!(
                    "Insert {n} cannot be put into its pocket: {} in front of it rubber of half {} stands in the way, and {} are wanted",
                    length(room),
                    report.half.unwrap_or(1),
                    length(insert.in_pocket_mm)
                ),
                "With the tool open there must be room to push it in along its axis",
                "Turn its axis, move the parting line past it, or shorten its length in the rubber",
            );
        }
        if report.lock_mm > lines.depth_mm[1] {
            say(
                Severity::Warn,
                format!(
                    "Insert {n} stands across the draw and locks half {} by {}, more than {}",
                    report.half.unwrap_or(1),
                    length(report.lock_mm),
                    length(lines.depth_mm[1])
                ),
                "The rubber must bend off it at every cast, and its pocket tears first",
                "Turn its axis towards the draw, shorten its length in the rubber, or pull it before the tool is opened",
            );
        }
        if let Some(mm) = report.to_line_mm.filter(|mm| *mm < BETWEEN_OPENINGS_MM) {
            say(
                Severity::Warn,
                if mm < CUT_THROUGH_MM {
                    format!("The cut runs through the pocket of insert {n}")
                } else {
                    format!("The pocket of insert {n} is only {} from the cut", length(mm))
                },
                "The edge of the pocket gives, resin creeps in, and the insert stands crooked",
                "Move the parting line or the insert",
            );
        }
        if let Some(hottest) = insert.hottest_c.filter(|c| mould_c > *c) {
            say(
                Severity::Stop,
                format!("Insert {n} bears {hottest:.0} °C; the mould is heated to {mould_c:.0} °C"),
                "A magnet loses its force and plastic its shape in the oven",
                "Take a resin for a cooler mould, or put the insert in afterwards",
            );
        }
        if matches!(insert.kind, InsertKind::Bush { .. }) && insert.threads == Threads::None {
            say(
                Severity::Warn,
                format!("The thread of insert {n} is open"),
                "Resin rises in it and sets",
                "Close it with a screw or a plug, or take a bush with a blind end",
            );
        }
    }
    findings
}
