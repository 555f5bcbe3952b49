//! The shop's data file: the one that comes with the program, and a shop's own that changes it.

use super::{Blade, Closing, Habits, HabitsChange, HangRod, Limits, LimitsChange, Panel, Resin, Silicone, Vessel};
use super::{ranges, sources};
use crate::files::input;
use crate::mesh::io_words::said;
use serde::{Deserialize, Serialize};
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
        let bytes = input::read(path, LARGEST).map_err(unread)?;
        let text = String::from_utf8(bytes).map_err(|_| unread(std::io::Error::other("it is no text")))?;
        Shop::from_text(&text, path)
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
        ranges::first_fault(self)
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
