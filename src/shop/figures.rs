//! One description of everything in a shop: its lists, their figures in words, and the unit of each.

use super::{Habits, Limits};

/// A list of materials or things, or one of the two sets of single figures.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Section {
    /// Its name in the file.
    pub key: &'static str,
    /// What it is called.
    pub name: &'static str,
    /// Names in the file of the figures of each of its materials, and what they are; empty for single figures.
    figures: &'static [(&'static str, &'static str)],
}

const MIX: [(&str, &str); 3] = [
    ("a_parts", "Component A in the mix, by mass"),
    ("b_parts", "Component B in the mix, by mass"),
    ("density_g_cm3", "Density of the mix"),
];
const VESSEL: &[(&str, &str)] = &[
    ("inside_mm", "Free room inside"),
    ("door_mm", "Door or mouth"),
    ("free_above_mm", "Height kept free over the block"),
    ("hottest_c", "Hottest that it may be set"),
];

/// Every list, in the order of the file.
pub const SECTIONS: [Section; 10] = [
    Section {
        key: "silicones",
        name: "Silicones",
        figures: &[
            MIX[0],
            MIX[1],
            ("density_g_cm3", "Density of the cured rubber"),
            ("shore_a", "Hardness"),
            ("elongation_pct", "Elongation at break"),
            ("viscosity_pa_s", "Viscosity of the mix"),
            ("pot_life_s", "Pot life at 23 °C"),
            ("cure_s", "Cure at 23 °C"),
            ("warm_cures", "Cure when warm"),
            ("loss_share", "Share of the mix that stays in pots"),
            ("foam_factor", "Room in the pot for foam, times the liquid"),
        ],
    },
    Section {
        key: "resins",
        name: "Resins",
        figures: &[
            MIX[0],
            MIX[1],
            MIX[2],
            ("viscosity_pa_s", "Viscosity of the mix at 25 °C"),
            ("pot_life_s", "Pot life"),
            ("pot_life_batch_g", "Batch for which the pot life is stated"),
            ("shrinkage_pct", "Linear shrinkage"),
            ("mould_c", "Temperature of the mould"),
            ("demould_s", "Time in the oven before demoulding"),
            ("tool_life", "Casts from one block"),
            ("shore_a", "Hardness of a soft resin, 0 for a rigid one"),
            ("bears_c", "Hottest that a cast bears, 0 where not stated"),
        ],
    },
    Section {
        key: "blades",
        name: "Blades",
        figures: &[("width_mm", "Width, edge to back"), ("reach_mm", "Reach into rubber from the handle")],
    },
    Section {
        key: "panels",
        name: "Boards",
        figures: &[("thickness_mm", "Thickness"), ("modulus_mpa", "Young's modulus")],
    },
    Section {
        key: "rods",
        name: "Rods",
        figures: &[("modulus_mpa", "Young's modulus"), ("glue_mpa", "What its glued end holds")],
    },
    Section { key: "chambers", name: "Chambers", figures: VESSEL },
    Section { key: "ovens", name: "Ovens", figures: VESSEL },
    Section {
        key: "closings",
        name: "Closing the block",
        figures: &[("holds_n", "Force that it holds across the cut")],
    },
    Section { key: "limits", name: "Limits", figures: &[] },
    Section { key: "habits", name: "Habits", figures: &[] },
];

impl Section {
    /// True where it holds single figures and no materials.
    pub fn is_single(&self) -> bool {
        self.figures.is_empty()
    }

    /// Its figures, each with what it is, in the order of the file.
    pub fn figures(&self) -> Vec<(&'static str, String)> {
        let told = |names: &'static [&'static str], words: &[&'static str]| -> Vec<(&'static str, String)> {
            names.iter().zip(words).map(|(n, w)| (*n, w.trim().trim_end_matches('.').to_owned())).collect()
        };
        match self.key {
            "limits" => told(Limits::FIGURES, Limits::WORDS),
            "habits" => told(Habits::FIGURES, Habits::WORDS),
            _ => self.figures.iter().map(|(n, w)| (*n, (*w).to_owned())).collect(),
        }
    }
}

/// The unit of a figure, by the end of its name; nothing where it is a plain number.
pub fn unit(figure: &str) -> &'static str {
    const UNITS: [(&str, &str); 22] = [
        ("_per_k", "1/K"),
        ("_mm2_s", "mm²/s"),
        ("_g_cm3", "g/cm³"),
        ("_mpa_s", "mPa·s"),
        ("_pa_s", "Pa·s"),
        ("_g_s", "g/s"),
        ("_mm3", "mm³"),
        ("_mm2", "mm²"),
        ("_mpa", "MPa"),
        ("_pa", "Pa"),
        ("_mm", "mm"),
        ("_deg", "°"),
        ("_pct", "%"),
        ("_kg", "kg"),
        ("_litres", "litres"),
        ("_days", "days"),
        ("_parts", "parts"),
        ("shore_a", "Shore A"),
        ("_g", "g"),
        ("_n", "N"),
        ("_c", "°C"),
        ("_k", "K"),
    ];
    // What ends on a single letter comes last, since longer ends hold it.
    match UNITS.iter().find(|(end, _)| figure.ends_with(end)) {
        Some((_, unit)) => unit,
        None if figure.ends_with("_s") => "s",
        None => "",
    }
}

/// What one number of a figure of several is, from the way to it through lists and names, and its unit.
pub fn part_words(figure: &str, way: &[String]) -> (String, &'static str) {
    let pair = |way: &str| if way == "0" { "from" } else { "to" };
    match (figure, way) {
        (_, []) => (String::new(), unit(figure)),
        ("inside_mm", [i]) => (["width", "depth", "height"][i.parse::<usize>().unwrap_or(0).min(2)].into(), "mm"),
        ("door_mm", [i]) => (if i == "0" { "width" } else { "height" }.into(), "mm"),
        ("wall_mm", [i]) => {
            let parts = ["up to 100 mm", "up to 300 mm", "larger"];
            (parts[i.parse::<usize>().unwrap_or(0).min(2)].into(), "mm")
        }
        ("warm_cures", [row, i]) => {
            let row = row.parse::<usize>().unwrap_or(0) + 1;
            if i == "0" { (format!("temperature {row}"), "°C") } else { (format!("time {row}"), "s") }
        }
        (_, [row, name]) => (format!("line {}, {}", row.parse::<usize>().unwrap_or(0) + 1, plain(name)), unit(name)),
        (_, [row, name, i]) => {
            let row = row.parse::<usize>().unwrap_or(0) + 1;
            (format!("line {row}, {} {}", plain(name), pair(i)), unit(name))
        }
        (_, [i]) => (pair(i).into(), unit(figure)),
        _ => (way.join(" "), unit(figure)),
    }
}

/// A name of a figure without its unit.
fn plain(name: &str) -> &str {
    name.split('_').next().unwrap_or(name)
}
