//! What a way up trades, in plain words.

use super::criteria::Criteria;
use super::scored::Scored;
use crate::study::job::words::{area, counted, upper_first, volume};
use glam::Vec3;

/// Differences smaller than these are not told: millimetres of height, share of a block, of an area, of the slope of a
/// shown surface (set here).
const TOLD_MM: f64 = 1.0;
const TOLD_SHARE: f64 = 0.03;
const TOLD_MM2: f64 = 5.0;
const TOLD_SLOPE: f64 = 0.1;

/// What `way` trades against `hung`, how the part hangs now: what it gains, then what it pays.
pub fn trade_off(way: &Criteria, hung: &Criteria) -> String {
    let (mut gains, mut pays): (Vec<String>, Vec<String>) = (Vec::new(), Vec::new());
    let mut tell = |better: bool, words: String| if better { gains.push(words) } else { pays.push(words) };
    if let (Some(a), Some(b)) = (way.high_points, hung.high_points)
        && a != b
    {
        let n = a.abs_diff(b);
        let points = if n == 1 { "high point" } else { "high points" };
        tell(a < b, format!("{} {points} {}", counted(n), if a < b { "fewer" } else { "more" }));
    }
    if let (Some(a), Some(b)) = (way.air_mm3, hung.air_mm3)
        && (a - b).abs() > TOLD_SHARE * a.max(b)
        && (a - b).abs() >= 1.0
    {
        tell(a < b, format!("{} {} air left when it leans", volume((a - b).abs()), less(a < b)));
    }
    if let (Some(a), Some(b)) = (way.rubber_recesses, hung.rubber_recesses)
        && a != b
    {
        let n = a.abs_diff(b);
        let recesses = if n == 1 { "recess" } else { "recesses" };
        let fewer = if a < b { "fewer" } else { "more" };
        tell(a < b, format!("{} {fewer} {recesses} with air in the rubber", counted(n)));
    }
    let mut surface = |a: f64, b: f64, of: &str| {
        if (a - b).abs() >= TOLD_MM2 && (a - b).abs() > TOLD_SHARE * a.max(b) {
            tell(a < b, format!("{} {} {of}", area((a - b).abs()), less(a < b)));
        }
    };
    surface(way.ceiling_mm2, hung.ceiling_mm2, "near-level ceiling");
    surface(way.undercut_level_mm2, hung.undercut_level_mm2, "undercut for a level draw");
    surface(way.undercut_upright_mm2, hung.undercut_upright_mm2, "undercut for an upright draw");
    let taller = way.height_mm - hung.height_mm;
    if taller.abs() >= TOLD_MM {
        tell(taller < 0.0, format!("{:.0} mm {}", taller.abs(), if taller > 0.0 { "taller" } else { "lower" }));
    }
    let (a, b) = (way.block_mm3(), hung.block_mm3());
    if (a - b).abs() > TOLD_SHARE * b {
        let share = 100.0 * (a - b).abs() / b;
        tell(a < b, format!("a block {share:.0} % {}", if a < b { "smaller" } else { "larger" }));
    }
    if (way.shown_up - hung.shown_up).abs() >= TOLD_SLOPE {
        let better = way.shown_up < hung.shown_up;
        tell(better, format!("a shown surface facing up {}", if better { "less" } else { "more" }));
    }
    let told = match (gains.is_empty(), pays.is_empty()) {
        (true, true) => return "Much the same as it hangs now".to_owned(),
        (false, true) => gains.join(", "),
        (true, false) => pays.join(", "),
        (false, false) => format!("{}, but {}", gains.join(", "), pays.join(", ")),
    };
    format!("{} than as hung", upper_first(&told))
}

/// Why a direction was taken, in words.
pub fn reason(way: &Scored) -> String {
    let c = &way.criteria;
    let peaks = match c.high_points {
        None => "high points that could not be counted".to_owned(),
        Some(1) => "one high point".to_owned(),
        Some(n) => format!("{n} high points"),
    };
    let recesses = match c.rubber_recesses.unwrap_or(0) {
        0 => String::new(),
        1 => ", and one recess keeps air while rubber is poured".to_owned(),
        n => format!(", and {n} recesses keep air while rubber is poured"),
    };
    format!(
        "Hung this way it has {peaks} and {} of near-level ceiling, and stands {:.0} mm tall{recesses}",
        area(c.ceiling_mm2),
        c.height_mm
    )
}

/// A direction as a person says it: the axis of the part that is up, else how far it leans from the nearest and to which
/// axis beside it.
pub fn direction(up: Vec3) -> String {
    let names = [["−X", "+X"], ["−Y", "+Y"], ["−Z", "+Z"]];
    let mut axes: Vec<(f32, &str)> = (0..3).map(|k| (up[k].abs(), names[k][usize::from(up[k] >= 0.0)])).collect();
    axes.sort_by(|a, b| b.0.total_cmp(&a.0));
    // By its tangent: a small angle has no digits left in its cosine.
    let lean = axes[1].0.hypot(axes[2].0).atan2(axes[0].0).to_degrees();
    let lean = format!("{lean:.1}");
    match lean.trim_end_matches('0').trim_end_matches('.') {
        "0" => format!("{} up", axes[0].1),
        lean => format!("{} up, {lean}° towards {}", axes[0].1, axes[1].1),
    }
}

fn less(is: bool) -> &'static str {
    if is { "less" } else { "more" }
}
