//! The shop's data file: the one that comes with the program, and a shop's own that changes it.

use super::sources;
use super::{Blade, Closing, Habits, HabitsChange, HangRod, Limits, LimitsChange, Panel, Resin, Silicone, Vessel};
use crate::mesh::io_words::said;
use serde::{Deserialize, Serialize};
use std::cell::Cell;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::OnceLock;

/// What stands in the file's `format` field.
pub(super) const FORMAT: &str = "mouldbench-shop";
/// The version that this program reads and writes.
pub(super) const VERSION: u32 = 1;
/// Largest shop file that is read, bytes.
const LARGEST: u64 = 4 << 20;
/// Temperature at which a silicone's plain cure is stated, °C.
pub const COLD_CURE_C: f64 = 23.0;
/// The data that comes with the program.
const BUNDLED: &str = include_str!("../../assets/shop.ron");

/// Everything that the shop has and allows.
#[derive(Clone, Debug, PartialEq)]
pub struct Shop {
    /// Moulding rubbers; the first is taken where a plan names none.
    pub silicones: Vec<Silicone>,
    /// Casting resins; likewise.
    pub resins: Vec<Resin>,
    /// Blades, in the order in which they are tried.
    pub blades: Vec<Blade>,
    /// Boards for the box; the first is taken where a plan names none.
    pub panels: Vec<Panel>,
    /// Rods that a master hangs on; likewise.
    pub rods: Vec<HangRod>,
    /// Vacuum chambers, in the order in which they are tried.
    pub chambers: Vec<Vessel>,
    /// Ovens, likewise.
    pub ovens: Vec<Vessel>,
    /// Ways to close the block, weakest first.
    pub closings: Vec<Closing>,
    /// Limits.
    pub limits: Limits,
    /// Habits.
    pub habits: Habits,
    /// Where single figures come from, by their keys (see [`super::sources`]).
    pub sources: BTreeMap<String, String>,
}

/// A figure that cannot be.
#[derive(Clone, Debug, PartialEq)]
pub struct Fault {
    /// Its list in the file, such as `resins` or `limits`.
    pub section: &'static str,
    /// Its material, where it belongs to one.
    pub material: Option<String>,
    /// Its name in the file.
    pub figure: String,
    /// What it is, in words.
    pub words: String,
}

/// What stands as the source of a figure in the shop's own file that has no comment.
const OWN: &str = "the shop's own file";

/// The shop's own file in the user's configuration folder, by the XDG base directory rules where they hold; none where no
/// home is known.
pub fn user_file() -> Option<PathBuf> {
    let from = |name: &str| std::env::var_os(name).filter(|v| !v.is_empty()).map(PathBuf::from);
    from("XDG_CONFIG_HOME")
        .filter(|p| p.is_absolute())
        .or_else(|| from("APPDATA"))
        .or_else(|| from("HOME").map(|h| h.join(".config")))
        .map(|p| p.join("mouldbench").join("shop.ron"))
}

/// Why a shop file could not be read.
#[derive(Debug, thiserror::Error)]
pub enum ShopFileError {
    /// The file cannot be opened or read.
    #[error("The shop file could not be read ({}). Check that the file is there and may be read: {path}", said(source))]
    Read {
        /// The file.
        path: PathBuf,
        /// What the system said.
        source: std::io::Error,
    },
    /// The text is broken, or holds something that has no place in a shop file.
    #[error("The shop file is broken at line {line}, column {column}: {fault}. Correct it in {path}")]
    Broken {
        /// Line, from 1.
        line: usize,
        /// Column, from 1.
        column: usize,
        /// What is wrong there.
        fault: String,
        /// The file.
        path: PathBuf,
    },
    /// The file is something else, or was written for another version of the program.
    #[error(
        "The shop file has format \"{format}\" version {version}; this program reads \"mouldbench-shop\" version 1: {path}"
    )]
    Version {
        /// What the file calls itself.
        format: String,
        /// Its version.
        version: u32,
        /// The file.
        path: PathBuf,
    },
    /// The text is whole, but a figure in it cannot be.
    #[error(
        "The shop file holds a figure that cannot be at line {line}, column {column}: {fault}. Correct it in {path}"
    )]
    Value {
        /// Line, from 1; 0 where the file as a whole is meant.
        line: usize,
        /// Column, from 1; likewise.
        column: usize,
        /// What is wrong.
        fault: String,
        /// The file.
        path: PathBuf,
    },
}

/// A file as it is read: everything may be left out.
#[derive(Deserialize)]
#[serde(rename = "MouldbenchShop", deny_unknown_fields)]
struct Change {
    format: String,
    version: u32,
    #[serde(default)]
    silicones: Vec<Silicone>,
    #[serde(default)]
    resins: Vec<Resin>,
    #[serde(default)]
    blades: Vec<Blade>,
    #[serde(default)]
    panels: Vec<Panel>,
    #[serde(default)]
    rods: Vec<HangRod>,
    #[serde(default)]
    chambers: Vec<Vessel>,
    #[serde(default)]
    ovens: Vec<Vessel>,
    #[serde(default)]
    closings: Vec<Closing>,
    #[serde(default)]
    limits: LimitsChange,
    #[serde(default)]
    habits: HabitsChange,
}

/// The end of the scale (ISO 48-4).
const HARDEST_SHORE_A: f64 = 100.0;
/// No substance is denser (osmium, handbook value from memory, rounded up): a figure in kg/m³ is refused.
const DENSEST_G_CM3: f64 = 23.0;

/// A file as it is written, and as the bundled one must be: nothing left out.
#[derive(Serialize, Deserialize)]
#[serde(rename = "MouldbenchShop", deny_unknown_fields)]
struct Whole {
    format: String,
    version: u32,
    silicones: Vec<Silicone>,
    resins: Vec<Resin>,
    blades: Vec<Blade>,
    panels: Vec<Panel>,
    rods: Vec<HangRod>,
    chambers: Vec<Vessel>,
    ovens: Vec<Vessel>,
    closings: Vec<Closing>,
    limits: Limits,
    habits: Habits,
}

impl Shop {
    /// The shop that comes with the program.
    ///
    /// # Panics
    /// Never: a test reads the bundled file.
    pub fn bundled() -> &'static Shop {
        static SHOP: OnceLock<Shop> = OnceLock::new();
        SHOP.get_or_init(|| {
            let sources = sources::of_text(BUNDLED).into_iter().filter_map(|(key, said)| Some((key, said?))).collect();
            let whole: Whole = options().from_str(BUNDLED).expect("the bundled shop file is whole");
            let Whole { silicones, resins, blades, panels, rods, chambers, ovens, closings, limits, habits, .. } =
                whole;
            Shop { silicones, resins, blades, panels, rods, chambers, ovens, closings, limits, habits, sources }
        })
    }

    /// The shop of this user: the file that was named, else the user's own where there is one, else the bundled.
    ///
    /// # Errors
    /// As [`Shop::read`].
    pub fn for_user(named: Option<&Path>) -> Result<Shop, ShopFileError> {
        match named.map(Path::to_path_buf).or_else(|| user_file().filter(|p| p.exists())) {
            Some(path) => Shop::read(&path),
            None => Ok(Shop::bundled().clone()),
        }
    }

    /// Where a figure comes from: what its own line in the file says, else what its material says, else nothing.
    pub fn source_of(&self, section: &str, material: Option<&str>, figure: &str) -> Option<&str> {
        let own = self.sources.get(&sources::key(section, material, figure));
        own.map(String::as_str).or_else(|| {
            let name = material?;
            match section {
                "silicones" => self.silicone(name).map(|s| s.source.as_str()),
                "resins" => self.resin(name).map(|r| r.source.as_str()),
                "blades" => self.blades.iter().find(|b| b.name == name).map(|b| b.source.as_str()),
                "panels" => self.panels.iter().find(|p| p.name == name).map(|p| p.source.as_str()),
                "rods" => self.rods.iter().find(|r| r.name == name).map(|r| r.source.as_str()),
                "chambers" => self.chambers.iter().find(|v| v.name == name).map(|v| v.source.as_str()),
                "ovens" => self.ovens.iter().find(|v| v.name == name).map(|v| v.source.as_str()),
                "closings" => self.closings.iter().find(|c| c.name == name).map(|c| c.source.as_str()),
                _ => None,
            }
        })
    }

    /// The bundled shop changed by the file at `path`: materials of the same name are replaced, others come first in
    /// their list in the order of the file, single limits and habits take the place of the bundled ones.
    pub fn read(path: &Path) -> Result<Shop, ShopFileError> {
        let unread = |source| ShopFileError::Read { path: path.to_owned(), source };
        let size = std::fs::metadata(path).map_err(unread)?.len();
        if size > LARGEST {
            let fault = format!("{size} bytes are too many for a shop file");
            return Err(ShopFileError::Value { line: 0, column: 0, fault, path: path.to_owned() });
        }
        Shop::from_text(&std::fs::read_to_string(path).map_err(unread)?, path)
    }

    /// The same from the text of a file; `path` is only named in errors.
    pub fn from_text(text: &str, path: &Path) -> Result<Shop, ShopFileError> {
        let text = text.strip_prefix('\u{feff}').unwrap_or(text);
        let change: Change = options().from_str(text).map_err(|e| ShopFileError::Broken {
            line: e.span.start.line,
            column: e.span.start.col,
            fault: e.code.to_string(),
            path: path.to_owned(),
        })?;
        if change.format != FORMAT || change.version != VERSION {
            let Change { format, version, .. } = change;
            return Err(ShopFileError::Version { format, version, path: path.to_owned() });
        }
        let mut shop = Shop::bundled().clone();
        let mut given: Vec<(String, String)> = Vec::new();
        macro_rules! note {
            ($($list:ident),*) => {
                $(given.extend(change.$list.iter().map(|m| (stringify!($list).to_owned(), m.name.clone())));)*
            };
        }
        note!(silicones, resins, blades, panels, rods, chambers, ovens, closings);
        replace(&mut shop.silicones, change.silicones, |s| &s.name);
        replace(&mut shop.resins, change.resins, |r| &r.name);
        replace(&mut shop.blades, change.blades, |b| &b.name);
        replace(&mut shop.panels, change.panels, |m| &m.name);
        replace(&mut shop.rods, change.rods, |m| &m.name);
        replace(&mut shop.chambers, change.chambers, |m| &m.name);
        replace(&mut shop.ovens, change.ovens, |m| &m.name);
        replace(&mut shop.closings, change.closings, |m| &m.name);
        let changed =
            [("limits", change.limits.apply(&mut shop.limits)), ("habits", change.habits.apply(&mut shop.habits))];
        match shop.fault() {
            Some(fault) => {
                let (line, column) = sources::place_of(text, fault.section, fault.material.as_deref(), &fault.figure);
                Err(ShopFileError::Value { line, column, fault: fault.words, path: path.to_owned() })
            }
            None => {
                let own = sources::of_text(text);
                // What stood beside a material that was replaced says nothing of the new one.
                shop.sources.retain(|key, _| {
                    let mut words = key.splitn(3, '/');
                    let material = (words.next(), words.next(), words.next());
                    !matches!(material, (Some(list), Some(name), Some(_)) if given.contains(&(list.to_owned(), name.to_owned())))
                });
                for (section, figures) in changed {
                    for figure in figures {
                        shop.sources.insert(sources::key(section, None, figure), OWN.to_owned());
                    }
                }
                shop.sources.extend(own.into_iter().filter_map(|(key, said)| Some((key, said?))));
                Ok(shop)
            }
        }
    }

    /// The text of a whole shop file.
    pub fn to_text(&self) -> String {
        let whole = Whole {
            format: FORMAT.to_owned(),
            version: VERSION,
            silicones: self.silicones.clone(),
            resins: self.resins.clone(),
            blades: self.blades.clone(),
            panels: self.panels.clone(),
            rods: self.rods.clone(),
            chambers: self.chambers.clone(),
            ovens: self.ovens.clone(),
            closings: self.closings.clone(),
            limits: self.limits,
            habits: self.habits,
        };
        let pretty = ron::ser::PrettyConfig::new().depth_limit(12);
        // Plain structs of numbers, strings and lists always serialise.
        let body = ron::ser::to_string_pretty(&whole, pretty).unwrap_or_default();
        sources::written_beside(&format!("MouldbenchShop{body}\n"), &self.sources)
    }

    /// The silicone of that name.
    pub fn silicone(&self, name: &str) -> Option<&Silicone> {
        self.silicones.iter().find(|s| s.name == name)
    }

    /// The resin of that name.
    pub fn resin(&self, name: &str) -> Option<&Resin> {
        self.resins.iter().find(|r| r.name == name)
    }

    /// The first figure that cannot be.
    pub fn fault(&self) -> Option<Fault> {
        let mut found: Option<Fault> = None;
        let section = Cell::new("silicones");
        let mut check = |owner: &str, what: &str, value: f64, fits: bool| {
            if found.is_some() || (fits && value.is_finite()) {
                return;
            }
            let (section, material) = match owner {
                "limits" => ("limits", None),
                "habits" => ("habits", None),
                name => (section.get(), Some(name.to_owned())),
            };
            let figure = what.split(',').next().unwrap_or(what).to_owned();
            found = Some(Fault { section, material, figure, words: format!("{owner}: {what} is {value}") });
        };
        for s in &self.silicones {
            for (what, value) in [
                ("a_parts", s.a_parts),
                ("b_parts", s.b_parts),
                ("density_g_cm3", s.density_g_cm3),
                ("shore_a", s.shore_a),
                ("elongation_pct", s.elongation_pct),
                ("viscosity_pa_s", s.viscosity_pa_s),
                ("pot_life_s", s.pot_life_s),
                ("cure_s", s.cure_s),
            ] {
                check(&s.name, what, value, value > 0.0);
            }
            check(&s.name, "shore_a", s.shore_a, s.shore_a <= HARDEST_SHORE_A);
            check(&s.name, "density_g_cm3", s.density_g_cm3, s.density_g_cm3 <= DENSEST_G_CM3);
            check(&s.name, "loss_share", s.loss_share, (0.0..1.0).contains(&s.loss_share));
            check(&s.name, "foam_factor", s.foam_factor, s.foam_factor >= 1.0);
            let mut before = (COLD_CURE_C, s.cure_s);
            for &(c, cure_s) in &s.warm_cures {
                check(&s.name, "warm_cures, °C", c, c > before.0 && c <= 200.0);
                check(&s.name, "warm_cures, seconds", cure_s, cure_s > 0.0 && cure_s <= before.1);
                before = (c, cure_s);
            }
        }
        section.set("resins");
        for r in &self.resins {
            for (what, value) in [
                ("a_parts", r.a_parts),
                ("b_parts", r.b_parts),
                ("density_g_cm3", r.density_g_cm3),
                ("viscosity_pa_s", r.viscosity_pa_s),
                ("pot_life_s", r.pot_life_s),
                ("pot_life_batch_g", r.pot_life_batch_g),
                ("demould_s", r.demould_s),
            ] {
                check(&r.name, what, value, value > 0.0);
            }
            check(&r.name, "density_g_cm3", r.density_g_cm3, r.density_g_cm3 <= DENSEST_G_CM3);
            check(&r.name, "shrinkage_pct", r.shrinkage_pct, (-5.0..20.0).contains(&r.shrinkage_pct));
            check(&r.name, "mould_c", r.mould_c, (-20.0..=200.0).contains(&r.mould_c));
            let (low, high) = r.tool_life;
            check(&r.name, "tool_life, lowest", low as f64, low >= 1);
            check(&r.name, "tool_life, highest", high as f64, high >= low);
            check(&r.name, "shore_a", r.shore_a, (0.0..=HARDEST_SHORE_A).contains(&r.shore_a));
            check(&r.name, "bears_c", r.bears_c, (0.0..=400.0).contains(&r.bears_c));
        }
        section.set("blades");
        for b in &self.blades {
            check(&b.name, "width_mm", b.width_mm, b.width_mm > 0.0);
            check(&b.name, "reach_mm", b.reach_mm, b.reach_mm > 0.0);
        }
        section.set("panels");
        for p in &self.panels {
            check(&p.name, "thickness_mm", p.thickness_mm, p.thickness_mm > 0.0);
            check(&p.name, "modulus_mpa", p.modulus_mpa, p.modulus_mpa > 0.0);
        }
        section.set("rods");
        for r in &self.rods {
            check(&r.name, "modulus_mpa", r.modulus_mpa, r.modulus_mpa > 0.0);
            check(&r.name, "glue_mpa", r.glue_mpa, r.glue_mpa >= 0.0);
        }
        let vessels = self.chambers.iter().map(|v| ("chambers", v)).chain(self.ovens.iter().map(|v| ("ovens", v)));
        for (list, v) in vessels {
            section.set(list);
            for value in v.inside_mm {
                check(&v.name, "inside_mm", value, value > 0.0);
            }
            for value in v.door_mm {
                check(&v.name, "door_mm", value, value > 0.0);
            }
            check(&v.name, "free_above_mm", v.free_above_mm, v.free_above_mm >= 0.0);
            check(&v.name, "hottest_c", v.hottest_c, (0.0..=400.0).contains(&v.hottest_c));
        }
        section.set("closings");
        for c in &self.closings {
            check(&c.name, "holds_n", c.holds_n, c.holds_n > 0.0);
        }
        let l = &self.limits;
        for (i, line) in l.undercut_lines.iter().enumerate() {
            let what = |figure: &str| format!("undercut_lines, line {}, {figure}", i + 1);
            let rises = i == 0 || line.shore_a > l.undercut_lines[i - 1].shore_a;
            check("limits", &what("shore_a"), line.shore_a, line.shore_a > 0.0 && rises);
            for (figure, [low, high]) in [("stretch_pct", line.stretch_pct), ("depth_mm", line.depth_mm)] {
                check("limits", &what(figure), low, low > 0.0);
                check("limits", &what(figure), high, high >= low);
            }
        }
        for (what, [low, high]) in
            [("stretch_share", l.stretch_share), ("slenderness", l.slenderness), ("flash_mm", l.flash_mm)]
        {
            check("limits", what, low, low > 0.0);
            check("limits", what, high, high >= low);
        }
        for (what, value) in [
            ("air_pocket_mm3", l.air_pocket_mm3),
            ("chamber_pa", l.chamber_pa),
            ("bubble_mm", l.bubble_mm),
            ("bubble_shown_mm", l.bubble_shown_mm),
            ("thinnest_wall_mm", l.thinnest_wall_mm),
            ("vent_mm", l.vent_mm),
            ("torn_mm", l.torn_mm),
            ("head_mm", l.head_mm),
            ("wall_mm, small parts", l.wall_mm[0]),
            ("wall_mm, middling parts", l.wall_mm[1]),
            ("wall_mm, large parts", l.wall_mm[2]),
            ("above_mm", l.above_mm),
            ("blade_reach_mm", l.blade_reach_mm),
            ("bow_mm", l.bow_mm),
            ("lift_kg", l.lift_kg),
            ("size_spread_mm", l.size_spread_mm),
            ("pocket_length_mm", l.pocket_length_mm),
            ("thickest_wall_mm", l.thickest_wall_mm),
            ("shots_touch_mm", l.shots_touch_mm),
            ("shots_gap_mm, over the touch", l.shots_gap_mm - l.shots_touch_mm),
            ("shots_wait_s, from least to longest", l.shots_wait_s[1] - l.shots_wait_s[0]),
        ] {
            check("limits", what, value, value > 0.0);
        }
        for (what, value) in [
            ("undercut_mm2", l.undercut_mm2),
            ("ceiling_mm2", l.ceiling_mm2),
            ("undercut_depth_mm", l.undercut_depth_mm),
            ("island_mm2", l.island_mm2),
            ("least_rubber_mm", l.least_rubber_mm),
            ("resin_round_insert_mm", l.resin_round_insert_mm),
            ("pool_mm", l.pool_mm),
            ("freeboard_share", l.freeboard_share),
            ("freeboard_mm", l.freeboard_mm),
            ("ratio_pct", l.ratio_pct),
            ("pocket_fit_mm", l.pocket_fit_mm),
            ("size_spread_pct", l.size_spread_pct),
            ("shots_wait_s, least", l.shots_wait_s[0]),
        ] {
            check("limits", what, value, value >= 0.0);
        }
        check("limits", "lean_deg", l.lean_deg, (0.0..45.0).contains(&l.lean_deg));
        check("limits", "near_level_deg", l.near_level_deg, (0.0..45.0).contains(&l.near_level_deg));
        check("limits", "prop_deg", l.prop_deg, (0.0..=45.0).contains(&l.prop_deg));
        check("limits", "vent_wall_share", l.vent_wall_share, l.vent_wall_share > 0.0 && l.vent_wall_share <= 1.0);
        for (what, value) in [("gate_rim_share", l.gate_rim_share), ("gate_face_share", l.gate_face_share)] {
            check("limits", what, value, value > 0.0 && value <= 10.0);
        }
        check("limits", "cup_loss_share", l.cup_loss_share, (0.0..1.0).contains(&l.cup_loss_share));
        check("limits", "shots_held_share", l.shots_held_share, (0.0..=1.0).contains(&l.shots_held_share));
        check("limits", "holding_safety", l.holding_safety, l.holding_safety >= 1.0);
        let h = &self.habits;
        for (what, value) in [
            ("pot_litres", h.pot_litres),
            ("rubber_pour_g_s", h.rubber_pour_g_s),
            ("insert_density_g_cm3", h.insert_density_g_cm3),
            ("rubber_diffusivity_mm2_s", h.rubber_diffusivity_mm2_s),
        ] {
            check("habits", what, value, value > 0.0);
        }
        for (what, value) in [
            ("rubber_mix_s", h.rubber_mix_s),
            ("rubber_degas_s", h.rubber_degas_s),
            ("resin_mix_s", h.resin_mix_s),
            ("resin_degas_s", h.resin_degas_s),
            ("resin_fill_s", h.resin_fill_s),
        ] {
            check("habits", what, value, value >= 0.0);
        }
        check("habits", "resin_foam_factor", h.resin_foam_factor, h.resin_foam_factor >= 1.0);
        check("habits", "pot_life_share", h.pot_life_share, h.pot_life_share > 0.0 && h.pot_life_share <= 1.0);
        check("habits", "heated_within", h.heated_within, h.heated_within > 0.0 && h.heated_within < 1.0);
        check("habits", "reheat_share", h.reheat_share, (0.0..=1.0).contains(&h.reheat_share));
        check("habits", "rubber_poisson", h.rubber_poisson, (0.0..0.5).contains(&h.rubber_poisson));
        check("habits", "master_expansion_per_k", h.master_expansion_per_k, h.master_expansion_per_k >= 0.0);
        check("habits", "rubber_friction", h.rubber_friction, h.rubber_friction >= 0.0);
        check("habits", "reject_share", h.reject_share, (0.0..1.0).contains(&h.reject_share));
        check("habits", "set_up_casts", h.set_up_casts as f64, h.set_up_casts <= 1000);
        check("habits", "master_days", h.master_days as f64, h.master_days <= 1000);
        check("habits", "rest_days", h.rest_days as f64, h.rest_days <= 1000);
        check("habits", "casts_a_day", h.casts_a_day as f64, h.casts_a_day >= 1);
        check("habits", "work_day_s", h.work_day_s, h.work_day_s > 0.0 && h.work_day_s <= 86_400.0);
        check("habits", "pot_life_times", h.pot_life_times, h.pot_life_times > 1.0);
        check("habits", "viscosity_halves_k", h.viscosity_halves_k, h.viscosity_halves_k >= 1.0);
        check("habits", "pot_life_halves_k", h.pot_life_halves_k, h.pot_life_halves_k >= 1.0);
        check("habits", "rubber_expansion_per_k", h.rubber_expansion_per_k, h.rubber_expansion_per_k >= 0.0);
        check("habits", "rubber_set_c", h.rubber_set_c, (-20.0..=200.0).contains(&h.rubber_set_c));
        check("habits", "master_density_g_cm3", h.master_density_g_cm3, h.master_density_g_cm3 > 0.0);
        found
    }
}

fn options() -> ron::Options {
    // A figure may be given without `Some( )` round it.
    ron::Options::default().with_default_extension(ron::extensions::Extensions::IMPLICIT_SOME)
}

/// Puts `new` materials in place of those of the same name, and all others before them.
fn replace<M>(list: &mut Vec<M>, new: Vec<M>, name: impl Fn(&M) -> &String) {
    let mut added = Vec::new();
    for material in new {
        match list.iter_mut().find(|m| name(m) == name(&material)) {
            Some(old) => *old = material,
            None => added.push(material),
        }
    }
    added.append(list);
    *list = added;
}
