//! Lines of a table added and taken out, and what an own material is called and where it comes from.

use super::{Desk, Refused, changed, figure_words, from_json, json, named_well, set_here};
use crate::shop::figures::Section;
use crate::shop::sources;
use serde_json::Value;

/// A further line of warm cures begins so much warmer than the last, °C: set here.
const WARMER_C: f64 = 10.0;
/// The first line begins here, °C, and in this share of the cold cure: set here, inside what practice has.
const FIRST_WARM: (f64, f64) = (40.0, 0.5);

/// True for a figure whose lines can be added and taken out.
pub fn has_rows(figure: &str) -> bool {
    figure == "warm_cures"
}

impl Desk {
    /// Adds a line at the end of a figure that has lines, a little further on than the last one.
    ///
    /// # Errors
    /// Where no further line goes, in words; nothing is changed then.
    pub fn add_row(&mut self, section: Section, material: Option<&str>, figure: &str) -> Result<(), Refused> {
        let before = self.value(section, material, figure);
        let mut rows = before.as_array().filter(|_| has_rows(figure)).cloned().ok_or("This figure has no lines")?;
        let number = |row: &Value, i: usize| row.get(i).and_then(Value::as_f64).unwrap_or(0.0);
        let next = match rows.last() {
            Some(last) => [number(last, 0) + WARMER_C, number(last, 1)],
            None => {
                let cold_s = self.value(section, material, "cure_s").as_f64().unwrap_or(0.0);
                [FIRST_WARM.0, FIRST_WARM.1 * cold_s]
            }
        };
        rows.push(Value::from(next.to_vec()));
        self.with_rows(section, material, figure, rows, "line added to")
            .map_err(|_| format!("No line goes beyond {} °C; change the last one first", next[0] - WARMER_C))
    }

    /// Takes line `i` out of a figure that has lines.
    ///
    /// # Errors
    /// Where the others do not stand without it.
    pub fn remove_row(
        &mut self,
        section: Section,
        material: Option<&str>,
        figure: &str,
        i: usize,
    ) -> Result<(), Refused> {
        let before = self.value(section, material, figure);
        let mut rows = before.as_array().filter(|_| has_rows(figure)).cloned().ok_or("This figure has no lines")?;
        if i >= rows.len() {
            return Err(format!("There is no line {}", i + 1));
        }
        rows.remove(i);
        self.with_rows(section, material, figure, rows, "line taken out of")
    }

    fn with_rows(
        &mut self,
        section: Section,
        material: Option<&str>,
        figure: &str,
        rows: Vec<Value>,
        what: &str,
    ) -> Result<(), Refused> {
        let remark = self.remark(section, material, figure).unwrap_or_default().to_owned();
        let shop = changed(&self.draft, section, material, figure, Value::from(rows));
        let mut shop = shop.filter(|shop| shop.fault().is_none()).ok_or("It does not go with the other lines")?;
        shop.sources.insert(sources::key(section.key, material, figure), set_here(&remark));
        self.take(format!("{what} {}", figure_words(section, figure)), shop);
        Ok(())
    }

    /// Gives a material that does not come with the program another name.
    ///
    /// # Errors
    /// Where the name can't be taken, in words.
    pub fn rename(&mut self, section: Section, material: &str, name: &str) -> Result<(), Refused> {
        let name = name.trim();
        if name == material {
            return Ok(());
        }
        named_well(name)?;
        if self.materials(section).iter().any(|n| n == name) {
            return Err(format!("There is a {name} already; give it another name"));
        }
        let mut shop = self.with_text(section, material, "name", name)?;
        let start = format!("{}/{material}/", section.key);
        let said: Vec<(String, String)> = shop
            .sources
            .iter()
            .filter_map(|(key, said)| Some((key.strip_prefix(&start)?.to_owned(), said.clone())))
            .collect();
        shop.sources.retain(|key, _| !key.starts_with(&start));
        shop.sources.extend(said.into_iter().map(|(f, s)| (sources::key(section.key, Some(name), &f), s)));
        self.take(format!("name of {material}"), shop);
        Ok(())
    }

    /// Where a material comes from, in words: what stands for all of its figures.
    pub fn origin(&self, section: Section, material: &str) -> Option<String> {
        Some(self.value(section, Some(material), "source").as_str()?.to_owned())
    }

    /// Says where a material that does not come with the program comes from.
    ///
    /// # Errors
    /// Where the material comes with the program.
    pub fn set_origin(&mut self, section: Section, material: &str, text: &str) -> Result<(), Refused> {
        let text: String = text.trim().chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
        if self.origin(section, material).as_deref() == Some(&text) {
            return Ok(());
        }
        let shop = self.with_text(section, material, "source", &text)?;
        self.take(format!("source of {material}"), shop);
        Ok(())
    }

    fn with_text(&self, section: Section, material: &str, key: &str, text: &str) -> Result<crate::shop::Shop, Refused> {
        if self.is_bundled(section, Some(material)) {
            return Err(format!("{material} comes with the program; make a copy of it first"));
        }
        let mut whole = json(&self.draft);
        let list = whole.get_mut(section.key).and_then(Value::as_array_mut);
        let one = list.and_then(|l| l.iter_mut().find(|m| m["name"] == material));
        let Some(one) = one.and_then(|m| m.get_mut(key)) else { return Err(format!("There is no {material}")) };
        *one = Value::from(text);
        let shop = from_json(&self.draft, whole).filter(|shop| shop.fault().is_none());
        shop.ok_or_else(|| "That does not go with the others".to_owned())
    }
}
