//! Numbers and places as they are said in findings.

use crate::plan::Plan;
use crate::study::job::setting::Setting;
use glam::Vec3;

/// A volume: cubic centimetres from one on, else whole cubic millimetres, tenths below ten.
pub fn volume(mm3: f64) -> String {
    match mm3 {
        v if v >= 1000.0 => format!("{:.1} cm³", v / 1000.0),
        v if v >= 10.0 => format!("{v:.0} mm³"),
        v => format!("{v:.1} mm³"),
    }
}

/// An area: square centimetres from ten on, else square millimetres.
pub fn area(mm2: f64) -> String {
    if mm2 >= 1000.0 { format!("{:.1} cm²", mm2 / 100.0) } else { format!("{mm2:.0} mm²") }
}

/// A length with one decimal.
pub fn length(mm: f64) -> String {
    format!("{mm:.1} mm")
}

/// A length with two decimals, for what is thin.
pub fn fine(mm: f64) -> String {
    format!("{mm:.2} mm")
}

/// A place of `work` as the sheet's tables count it: on the master, from the walls and the floor of the box.
pub fn place(setting: &Setting, plan: &Plan, at: Vec3) -> String {
    let p = setting.master_size(plan).from_walls(setting.frames.point_in_box(at));
    // No minus before a nought.
    let [left, front, floor] = p.to_array().map(|v| if v.abs() < 0.05 { 0.0 } else { v });
    format!("{left:.1} mm from the left wall, {front:.1} from the front wall and {floor:.1} above the floor")
}

/// A small number as a word.
pub fn counted(n: usize) -> String {
    const NAMES: [&str; 10] = ["one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"];
    n.checked_sub(1).and_then(|i| NAMES.get(i)).map_or_else(|| n.to_string(), |n| (*n).to_owned())
}

/// The same words with a capital at the start.
pub fn upper_first(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |c| c.to_uppercase().chain(letters).collect())
}
