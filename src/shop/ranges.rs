//! What every figure of the shop's data may be, and every figure of a material that a plan took down.
//!
//! The limits lie far beyond every bench and every data sheet (set here), so that they refuse slips of the finger, figures in
//! another unit and nonsense, and nothing that is computed from a figure overflows.

use super::file::{COLD_CURE_C, Fault, Shop};
use super::{Blade, Closing, Habits, HangRod, Limits, Panel, Resin, Silicone, Vessel};

/// The end of the scale (ISO 48-4).
const HARDEST_SHORE_A: f64 = 100.0;
/// No substance is denser (osmium, handbook value from memory, rounded up): a figure in kg/m³ is refused.
const DENSEST_G_CM3: f64 = 23.0;
/// Densities, g/cm³: from foam on.
const DENSITY: [f64; 2] = [0.01, DENSEST_G_CM3];
/// Parts by mass in a mix.
const PARTS: [f64; 2] = [0.01, 1e5];
/// Viscosities, Pa·s: from a tenth of water's to that of putty.
const VISCOSITY: [f64; 2] = [1e-4, 1e4];
/// Times that something takes, seconds: up to some four months.
const TIME: [f64; 2] = [1.0, 1e7];
/// Times that may be left out.
const TIME_OR_NONE: [f64; 2] = [0.0, 1e7];
/// Lengths of things in a workshop, millimetres.
const LENGTH: [f64; 2] = [0.01, 1e4];
/// Lengths that may be nought.
const LENGTH_OR_NONE: [f64; 2] = [0.0, 1e4];
/// Areas that may be nought, mm².
const AREA_OR_NONE: [f64; 2] = [0.0, 1e8];
/// Young's moduli, megapascals: from soft rubber to diamond.
const MODULUS: [f64; 2] = [0.01, 2e6];
/// Shares.
const SHARE: [f64; 2] = [0.0, 1.0];
/// Shares that leave something over.
const SHARE_BUT_ALL: [f64; 2] = [0.0, 0.99];
/// Shares that are not nought.
const SHARE_OF_SOME: [f64; 2] = [0.001, 1.0];
/// A volume over another.
const TIMES: [f64; 2] = [1.0, 100.0];
/// Thermal expansions, 1/K.
const EXPANSION: [f64; 2] = [0.0, 0.01];
/// Casts and days.
const COUNT: [f64; 2] = [0.0, 1000.0];
/// Most cures of a silicone.
const MOST_CURES: usize = 100;

/// A number as it stands in a message: as it is, or with its power of ten where it would be long.
pub fn figure(value: f64) -> String {
    let size = value.abs();
    if value.is_finite() && value != 0.0 && !(1e-4..1e9).contains(&size) {
        format!("{value:e}")
    } else {
        format!("{value}")
    }
}

/// What is wrong with a number that lies outside `range`, ends included: what it is and the limits. `unit` stands after each
/// with a blank before it, or is empty.
pub fn inside(value: f64, range: [f64; 2], unit: &str) -> Option<String> {
    let [low, high] = range;
    (!(low..=high).contains(&value)).then(|| {
        let value = figure(value);
        format!("{value}{unit}, it must lie between {} and {}{unit}", figure(low), figure(high))
    })
}

/// A figure of a material that cannot be.
#[derive(Clone, Debug, PartialEq)]
pub struct MaterialFault {
    /// The figure as it is called in the file, with the way into it where it is a list (`tool_life[0]`).
    pub figure: String,
    /// What is wrong, in words with the limit.
    pub words: String,
}

/// Looks through the figures of one owner; keeps the first that cannot be.
struct Look<'a> {
    owner: &'a str,
    found: Option<MaterialFault>,
}

impl<'a> Look<'a> {
    fn of(owner: &'a str) -> Look<'a> {
        Look { owner, found: None }
    }

    fn number(&mut self, name: &str, value: f64, range: [f64; 2]) {
        if let Some(words) = inside(value, range, "") {
            self.say(name, words);
        }
    }

    /// A rule between figures; `must` is what it must be.
    fn rule(&mut self, name: &str, value: f64, fits: bool, must: String) {
        if !fits {
            self.say(name, format!("{}, it must be {must}", figure(value)));
        }
    }

    fn say(&mut self, name: &str, words: String) {
        let words = format!("{}: {name} is {words}", self.owner);
        self.found.get_or_insert(MaterialFault { figure: name.to_owned(), words });
    }
}

/// The first figure of a silicone that cannot be.
pub fn silicone(s: &Silicone) -> Option<MaterialFault> {
    let mut look = Look::of(&s.name);
    for (name, value, range) in [
        ("a_parts", s.a_parts, PARTS),
        ("b_parts", s.b_parts, PARTS),
        ("density_g_cm3", s.density_g_cm3, DENSITY),
        ("shore_a", s.shore_a, [0.1, HARDEST_SHORE_A]),
        ("elongation_pct", s.elongation_pct, [1.0, 5000.0]),
        ("viscosity_pa_s", s.viscosity_pa_s, VISCOSITY),
        ("pot_life_s", s.pot_life_s, TIME),
        ("cure_s", s.cure_s, TIME),
        ("loss_share", s.loss_share, SHARE_BUT_ALL),
        ("foam_factor", s.foam_factor, TIMES),
    ] {
        look.number(name, value, range);
    }
    let cures = s.warm_cures.len();
    look.rule("warm_cures", cures as f64, cures <= MOST_CURES, format!("a list of up to {MOST_CURES}"));
    let mut before = (COLD_CURE_C, s.cure_s);
    for (i, &(c, cure_s)) in s.warm_cures.iter().enumerate() {
        let [at_c, takes_s] = [0, 1].map(|k| format!("warm_cures[{i}][{k}]"));
        look.rule(&at_c, c, c > before.0 && c <= 200.0, format!("more than {} and at most 200 °C", before.0));
        look.number(&takes_s, cure_s, TIME);
        look.rule(&takes_s, cure_s, cure_s <= before.1, format!("at most {} s", figure(before.1)));
        before = (c, cure_s);
    }
    look.found
}

/// The first figure of a resin that cannot be.
pub fn resin(r: &Resin) -> Option<MaterialFault> {
    let mut look = Look::of(&r.name);
    for (name, value, range) in [
        ("a_parts", r.a_parts, PARTS),
        ("b_parts", r.b_parts, PARTS),
        ("density_g_cm3", r.density_g_cm3, DENSITY),
        ("viscosity_pa_s", r.viscosity_pa_s, VISCOSITY),
        ("pot_life_s", r.pot_life_s, TIME),
        ("pot_life_batch_g", r.pot_life_batch_g, [0.01, 1e6]),
        ("demould_s", r.demould_s, TIME),
        ("shrinkage_pct", r.shrinkage_pct, [-5.0, 19.9]),
        ("mould_c", r.mould_c, [-20.0, 200.0]),
        ("shore_a", r.shore_a, [0.0, HARDEST_SHORE_A]),
        ("bears_c", r.bears_c, [0.0, 400.0]),
    ] {
        look.number(name, value, range);
    }
    let (low, high) = (f64::from(r.tool_life.0), f64::from(r.tool_life.1));
    look.number("tool_life[1]", high, [1.0, 1e5]);
    look.number("tool_life[0]", low, [1.0, high.max(1.0)]);
    look.found
}

/// The first figure of a board that cannot be.
pub fn panel(p: &Panel) -> Option<MaterialFault> {
    let mut look = Look::of(&p.name);
    look.number("thickness_mm", p.thickness_mm, [0.01, 1000.0]);
    look.number("modulus_mpa", p.modulus_mpa, MODULUS);
    look.found
}

/// The first figure of a rod that cannot be.
pub fn rod(r: &HangRod) -> Option<MaterialFault> {
    let mut look = Look::of(&r.name);
    look.number("modulus_mpa", r.modulus_mpa, MODULUS);
    look.number("glue_mpa", r.glue_mpa, [0.0, 1e4]);
    look.found
}

fn blade(b: &Blade) -> Option<MaterialFault> {
    let mut look = Look::of(&b.name);
    look.number("width_mm", b.width_mm, LENGTH);
    look.number("reach_mm", b.reach_mm, LENGTH);
    look.found
}

fn vessel(v: &Vessel) -> Option<MaterialFault> {
    let mut look = Look::of(&v.name);
    for (i, value) in v.inside_mm.into_iter().enumerate() {
        look.number(&format!("inside_mm[{i}]"), value, [0.01, 1e5]);
    }
    for (i, value) in v.door_mm.into_iter().enumerate() {
        look.number(&format!("door_mm[{i}]"), value, [0.01, 1e5]);
    }
    look.number("free_above_mm", v.free_above_mm, [0.0, 1e5]);
    look.number("hottest_c", v.hottest_c, [0.0, 400.0]);
    look.found
}

fn closing(c: &Closing) -> Option<MaterialFault> {
    let mut look = Look::of(&c.name);
    look.number("holds_n", c.holds_n, [0.01, 1e7]);
    look.found
}

fn limits(l: &Limits) -> Option<MaterialFault> {
    let mut look = Look::of("limits");
    for (name, value, range) in [
        ("air_pocket_mm3", l.air_pocket_mm3, [0.001, 1e9]),
        ("ceiling_mm2", l.ceiling_mm2, AREA_OR_NONE),
        ("prop_deg", l.prop_deg, [0.0, 45.0]),
        ("chamber_pa", l.chamber_pa, [0.01, 1e6]),
        ("bubble_mm", l.bubble_mm, [0.001, 1e4]),
        ("bubble_shown_mm", l.bubble_shown_mm, [0.001, 1e4]),
        ("thinnest_wall_mm", l.thinnest_wall_mm, LENGTH),
        ("undercut_mm2", l.undercut_mm2, AREA_OR_NONE),
        ("undercut_depth_mm", l.undercut_depth_mm, LENGTH_OR_NONE),
        ("torn_mm", l.torn_mm, LENGTH),
        ("island_mm2", l.island_mm2, AREA_OR_NONE),
        ("vent_mm", l.vent_mm, LENGTH),
        ("vent_wall_share", l.vent_wall_share, SHARE_OF_SOME),
        ("gate_rim_share", l.gate_rim_share, [0.01, 10.0]),
        ("gate_face_share", l.gate_face_share, [0.01, 10.0]),
        ("least_rubber_mm", l.least_rubber_mm, LENGTH_OR_NONE),
        ("resin_round_insert_mm", l.resin_round_insert_mm, LENGTH_OR_NONE),
        ("head_mm", l.head_mm, LENGTH),
        ("cup_loss_share", l.cup_loss_share, SHARE_BUT_ALL),
        ("pool_mm", l.pool_mm, LENGTH_OR_NONE),
        ("above_mm", l.above_mm, LENGTH),
        ("blade_reach_mm", l.blade_reach_mm, LENGTH),
        ("bow_mm", l.bow_mm, [0.001, 1e4]),
        ("freeboard_share", l.freeboard_share, [0.0, 100.0]),
        ("freeboard_mm", l.freeboard_mm, LENGTH_OR_NONE),
        ("lift_kg", l.lift_kg, [0.01, 1e6]),
        ("holding_safety", l.holding_safety, [1.0, 1000.0]),
        ("ratio_pct", l.ratio_pct, [0.0, 100.0]),
        ("size_spread_mm", l.size_spread_mm, [0.0001, 1e4]),
        ("size_spread_pct", l.size_spread_pct, [0.0, 100.0]),
        ("pocket_fit_mm", l.pocket_fit_mm, LENGTH_OR_NONE),
        ("pocket_length_mm", l.pocket_length_mm, LENGTH),
        ("thickest_wall_mm", l.thickest_wall_mm, LENGTH),
        ("shots_touch_mm", l.shots_touch_mm, [0.0001, 1e4]),
        ("shots_gap_mm", l.shots_gap_mm, [0.0001, 1e4]),
        ("shots_wait_s[0]", l.shots_wait_s[0], [0.0, 1e8]),
        ("shots_wait_s[1]", l.shots_wait_s[1], [0.0, 1e8]),
        ("shots_held_share", l.shots_held_share, SHARE),
    ] {
        look.number(name, value, range);
    }
    for (name, value) in [("lean_deg", l.lean_deg), ("near_level_deg", l.near_level_deg)] {
        look.rule(name, value, (0.0..45.0).contains(&value), "0 or more, and less than 45".into());
    }
    for (i, value) in l.wall_mm.into_iter().enumerate() {
        look.number(&format!("wall_mm[{i}]"), value, LENGTH);
    }
    let gap = l.shots_gap_mm;
    look.rule("shots_gap_mm", gap, gap > l.shots_touch_mm, format!("more than shots_touch_mm, {}", l.shots_touch_mm));
    let [least, longest] = l.shots_wait_s;
    look.rule("shots_wait_s[1]", longest, longest > least, format!("more than the least, {least}"));
    let mut pair = |name: &str, [low, high]: [f64; 2], most: f64| {
        look.number(&format!("{name}[0]"), low, [0.0001, most]);
        look.number(&format!("{name}[1]"), high, [0.0001, most]);
        look.rule(&format!("{name}[1]"), high, high >= low, format!("at least the first, {low}"));
    };
    pair("stretch_share", l.stretch_share, 100.0);
    pair("slenderness", l.slenderness, 1e4);
    pair("flash_mm", l.flash_mm, 1e3);
    for (i, line) in l.undercut_lines.iter().enumerate() {
        pair(&format!("undercut_lines[{i}].stretch_pct"), line.stretch_pct, 1e4);
        pair(&format!("undercut_lines[{i}].depth_mm"), line.depth_mm, 1e4);
    }
    let mut before = 0.0;
    for (i, line) in l.undercut_lines.iter().enumerate() {
        let name = format!("undercut_lines[{i}].shore_a");
        look.number(&name, line.shore_a, [0.1, HARDEST_SHORE_A]);
        look.rule(&name, line.shore_a, line.shore_a > before, format!("more than {before}"));
        before = line.shore_a;
    }
    look.found
}

fn habits(h: &Habits) -> Option<MaterialFault> {
    let mut look = Look::of("habits");
    for (name, value, range) in [
        ("casts_a_day", f64::from(h.casts_a_day), [1.0, 1000.0]),
        ("work_day_s", h.work_day_s, [1.0, 86_400.0]),
        ("viscosity_halves_k", h.viscosity_halves_k, [1.0, 1e4]),
        ("pot_life_halves_k", h.pot_life_halves_k, [1.0, 1e4]),
        ("rubber_expansion_per_k", h.rubber_expansion_per_k, EXPANSION),
        ("rubber_set_c", h.rubber_set_c, [-20.0, 200.0]),
        ("master_density_g_cm3", h.master_density_g_cm3, DENSITY),
        ("pot_litres", h.pot_litres, [0.01, 1e5]),
        ("rubber_mix_s", h.rubber_mix_s, TIME_OR_NONE),
        ("rubber_degas_s", h.rubber_degas_s, TIME_OR_NONE),
        ("rubber_pour_g_s", h.rubber_pour_g_s, [0.001, 1e6]),
        ("resin_foam_factor", h.resin_foam_factor, TIMES),
        ("resin_mix_s", h.resin_mix_s, TIME_OR_NONE),
        ("resin_degas_s", h.resin_degas_s, TIME_OR_NONE),
        ("resin_fill_s", h.resin_fill_s, TIME_OR_NONE),
        ("pot_life_share", h.pot_life_share, SHARE_OF_SOME),
        ("rubber_diffusivity_mm2_s", h.rubber_diffusivity_mm2_s, [1e-4, 1e3]),
        ("heated_within", h.heated_within, [0.0001, 0.99]),
        ("reheat_share", h.reheat_share, SHARE),
        ("rubber_poisson", h.rubber_poisson, [0.0, 0.4999]),
        ("master_expansion_per_k", h.master_expansion_per_k, EXPANSION),
        ("insert_density_g_cm3", h.insert_density_g_cm3, DENSITY),
        ("rubber_friction", h.rubber_friction, [0.0, 100.0]),
        ("reject_share", h.reject_share, SHARE_BUT_ALL),
        ("set_up_casts", f64::from(h.set_up_casts), COUNT),
        ("master_days", f64::from(h.master_days), COUNT),
        ("rest_days", f64::from(h.rest_days), COUNT),
    ] {
        look.number(name, value, range);
    }
    let times = h.pot_life_times;
    look.rule("pot_life_times", times, times > 1.0 && times <= 1e6, "more than 1, and at most 1000000".into());
    look.found
}

/// The first figure of a shop that cannot be.
pub fn first_fault(shop: &Shop) -> Option<Fault> {
    let of = |section: &'static str, material: Option<&String>, found: Option<MaterialFault>| {
        let MaterialFault { figure, words } = found?;
        let figure = figure.split(['[', '.']).next().unwrap_or_default().to_owned();
        Some(Fault { section, material: material.cloned(), figure, words })
    };
    macro_rules! first_of {
        ($($list:ident: $look:expr),*) => {
            None$(.or_else(|| shop.$list.iter().find_map(|m| of(stringify!($list), Some(&m.name), $look(m)))))*
        };
    }
    first_of!(
        silicones: silicone, resins: resin, blades: blade, panels: panel, rods: rod, chambers: vessel, ovens: vessel,
        closings: closing
    )
    .or_else(|| of("limits", None, limits(&shop.limits)))
    .or_else(|| of("habits", None, habits(&shop.habits)))
}
