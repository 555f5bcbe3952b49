//! The text of a shop's own file: only what differs from the data that comes with the program.

use super::file::{FORMAT, VERSION};
use super::{Shop, sources};
use serde::Serialize;

impl Shop {
    /// The text of the file that makes this shop of the bundled one: whole materials that are others than there, single
    /// limits and habits that differ, each figure with its source.
    pub fn to_own_text(&self) -> String {
        let bundled = Shop::bundled();
        let mut text = format!("MouldbenchShop(\n    format: \"{FORMAT}\",\n    version: {VERSION},\n");
        macro_rules! lists {
            ($($list:ident),*) => {
                $(text += &list(stringify!($list), &self.$list, |m| {
                    let there = bundled.$list.iter().find(|b| b.name == m.name);
                    there != Some(m) || self.material_sources_differ(stringify!($list), &m.name)
                });)*
            };
        }
        lists!(silicones, resins, blades, panels, rods, chambers, ovens, closings);
        let told = |section: &str, figure: &str| {
            let key = sources::key(section, None, figure);
            self.sources.get(&key) != bundled.sources.get(&key)
        };
        text += &figures("limits", self.limits.written(&bundled.limits, |f| told("limits", f)));
        text += &figures("habits", self.habits.written(&bundled.habits, |f| told("habits", f)));
        text += ")\n";
        sources::written_beside(&text, &self.sources)
    }

    /// True where a figure of a material has another source than the bundled one has.
    fn material_sources_differ(&self, section: &str, name: &str) -> bool {
        let bundled = Shop::bundled();
        let start = format!("{section}/{name}/");
        let own = self.sources.iter().filter(|(key, _)| key.starts_with(&start));
        let there = bundled.sources.iter().filter(|(key, _)| key.starts_with(&start));
        !own.eq(there)
    }
}

/// A list of materials, those that are wanted; nothing where there is none.
fn list<M: Serialize>(section: &str, all: &[M], wanted: impl Fn(&M) -> bool) -> String {
    let wanted: Vec<&M> = all.iter().filter(|m| wanted(m)).collect();
    if wanted.is_empty() {
        return String::new();
    }
    // Plain structs of numbers, strings and lists always serialise.
    let pretty = ron::ser::PrettyConfig::new().depth_limit(2);
    let body = ron::ser::to_string_pretty(&wanted, pretty).unwrap_or_default();
    format!("    {section}: {},\n", body.replace('\n', "\n    "))
}

fn figures(section: &str, written: Vec<(&'static str, String)>) -> String {
    if written.is_empty() {
        return String::new();
    }
    let lines: String = written.iter().map(|(name, value)| format!("        {name}: {value},\n")).collect();
    format!("    {section}: (\n{lines}    ),\n")
}
