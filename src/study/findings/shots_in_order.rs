//! Resins, order and times of a two-shot job.

use super::finding::{Finding, Severity, Step};
use super::look::Look;
use crate::plan::{Shot, SoftCavity};

/// Seconds in a day.
const DAY_S: f64 = 86_400.0;

fn hours(s: f64) -> String {
    if s >= 2.0 * DAY_S { format!("{:.0} days", s / DAY_S) } else { format!("{:.1} h", s / 3600.0) }
}

/// Findings on what is cast over what, when, and how warm.
pub fn check(look: &Look) -> Vec<Finding> {
    let (Some(second), Some(report), Some([hard, soft])) =
        (&look.plan.second_shot, &look.numbers.second_shot, look.plan.both_resins(look.shop))
    else {
        return Vec::new();
    };
    let mut findings = Vec::new();
    let mut say = |severity, code, message: String, why: &str, remedy: &str| {
        findings.push(Finding {
            severity,
            code,
            step: Step::Casting,
            message,
            why: why.to_owned(),
            remedy: remedy.to_owned(),
            place: None,
            remedies: Vec::new(),
        });
    };
    if hard.is_soft() {
        say(
            Severity::Warn,
            "shots-resins",
            format!("The hard part is cast in {}, Shore A {:.0}", hard.name, hard.shore_a),
            "A soft part gives under the second shot and is held by nothing",
            "Take a rigid resin for the first shot, or change which shot this block makes",
        );
    }
    if !soft.is_soft() {
        say(
            Severity::Warn,
            "shots-resins",
            format!("The soft part is cast in {}, a rigid resin", soft.name),
            "Rigid over rigid needs no second tool as a rule, and shrinks until it cracks",
            "Take a soft resin for the second shot, or change which shot this block makes",
        );
    }
    if hard.bears_c > 0.0 && soft.mould_c > hard.bears_c {
        say(
            Severity::Stop,
            "hard-part-too-warm",
            format!(
                "{} bears {:.0} °C; the soft shot is cast and cured at {:.0} °C",
                hard.name, hard.bears_c, soft.mould_c
            ),
            "The hard cast sags in the tool of the soft part, and the soft part sets round a crooked one",
            "Cure the soft part cooler and longer, or take a hard resin that bears more",
        );
    }
    let [least, longest] = report.wait_limits_s;
    let from = look.shop.source_of("limits", None, "shots_wait_s").unwrap_or("the shop's own figure");
    if report.wait_s < least {
        say(
            Severity::Warn,
            "shots-wait",
            format!(
                "The soft shot follows {} after the hard one; {} at least are wanted",
                hours(report.wait_s),
                hours(least)
            ),
            &format!("A cast that is still warm is bent when it is loaded ({from})"),
            "Let it cool until it holds its shape",
        );
    }
    if report.wait_s > longest {
        say(
            Severity::Warn,
            "shots-wait",
            format!(
                "The soft shot follows {} after the hard one; {} are the most",
                hours(report.wait_s),
                hours(longest)
            ),
            &format!("A fresh surface still has groups that bond; an old one is only stuck to ({from})"),
            "Cast over it sooner, or roughen and wipe the contact area as the data sheet says, and try the bond",
        );
    }
    let lies_s = f64::from(report.longest_wait_days) * DAY_S;
    if report.wait_s <= longest && lies_s > longest {
        say(
            Severity::Note,
            "shots-wait",
            format!(
                "A hard cast lies up to {} days before it is cast over, most likely over days off; {} are the most",
                report.longest_wait_days,
                hours(longest)
            ),
            &format!("A fresh surface still has groups that bond; an old one is only stuck to ({from})"),
            "Make no hard casts before days off, or roughen and wipe the contact area of those that lay",
        );
    }
    if second.makes == Shot::Soft && second.cavity == SoftCavity::RoundFirstCast && !look.plan.master.cure_trial {
        say(
            Severity::Warn,
            "first-cast-untried",
            "The rubber is poured round a fresh cast, and no cure trial is noted".to_owned(),
            "What a fresh polyurethane gives off can keep addition-cure silicone sticky, and the block is lost",
            "Post-cure the first cast, try the rubber on a waste one, and note the trial in the step Hang",
        );
    }
    findings
}
