//! A shop whose figures are being changed: a draft, tried out before each change is taken, with undo.

use super::figures::{SECTIONS, Section};
use super::{Shop, sources};
use serde_json::Value;
use std::collections::BTreeMap;

mod rows;

pub use rows::has_rows;

/// How a source begins that a person set in the window.
pub const SET_HERE: &str = "set here";
/// Letters of a name at most.
const LONGEST: usize = 80;

/// Why a change was refused, in words.
pub type Refused = String;

/// The draft and what it was.
#[derive(Clone, Debug)]
pub struct Desk {
    draft: Shop,
    undone: Vec<(String, Shop)>,
}

impl Desk {
    /// A draft that begins as `shop`.
    pub fn new(shop: Shop) -> Desk {
        Desk { draft: shop, undone: Vec::new() }
    }

    /// The shop as it would be written.
    pub fn draft(&self) -> &Shop {
        &self.draft
    }

    /// What the last change was; none where there is nothing to undo.
    pub fn undo_name(&self) -> Option<&str> {
        self.undone.last().map(|(name, _)| name.as_str())
    }

    /// Takes the last change back.
    pub fn undo(&mut self) {
        if let Some((_, before)) = self.undone.pop() {
            self.draft = before;
        }
    }

    /// Names of the materials of a list.
    pub fn materials(&self, section: Section) -> Vec<String> {
        names(&self.draft, section)
    }

    /// True where the material comes with the program.
    pub fn is_bundled(&self, section: Section, material: Option<&str>) -> bool {
        material.is_none_or(|name| names(Shop::bundled(), section).iter().any(|n| n == name))
    }

    /// A figure as it is.
    pub fn value(&self, section: Section, material: Option<&str>, figure: &str) -> Value {
        value_of(&self.draft, section, material, figure)
    }

    /// True where the figure is another than the bundled one, or has another source.
    pub fn differs(&self, section: Section, material: Option<&str>, figure: &str) -> bool {
        let key = sources::key(section.key, material, figure);
        let bundled = Shop::bundled();
        self.is_bundled(section, material)
            && (value_of(bundled, section, material, figure) != self.value(section, material, figure)
                || bundled.sources.get(&key) != self.draft.sources.get(&key))
    }

    /// The remark of a figure that was set here; none where it was not.
    pub fn remark(&self, section: Section, material: Option<&str>, figure: &str) -> Option<&str> {
        let said = self.draft.sources.get(&sources::key(section.key, material, figure))?;
        let own = self.differs(section, material, figure) || !self.is_bundled(section, material);
        said.strip_prefix(SET_HERE).filter(|_| own).map(|rest| rest.trim_start_matches([':', ' ']))
    }

    /// Sets one number of a figure: `way` leads to it through lists and names. Its source is then "set here", with the remark
    /// it has.
    ///
    /// # Errors
    /// Where the figure cannot be so, in words with its limit; nothing is changed then.
    pub fn set(
        &mut self,
        section: Section,
        material: Option<&str>,
        figure: &str,
        way: &[String],
        to: f64,
    ) -> Result<(), Refused> {
        let before = self.value(section, material, figure);
        let Some(old) = at(&before, way).and_then(Value::as_f64) else {
            return Err(format!("There is no such figure: {figure}"));
        };
        if old == to {
            return Ok(());
        }
        let remark = self.remark(section, material, figure).unwrap_or_default().to_owned();
        let with = |number: f64| {
            let mut value = before.clone();
            put(&mut value, way, number);
            changed(&self.draft, section, material, figure, value).filter(|shop| shop.fault().is_none())
        };
        match with(to) {
            Some(mut shop) => {
                shop.sources.insert(sources::key(section.key, material, figure), set_here(&remark));
                self.take(format!("change of {}", figure_words(section, figure)), shop);
                Ok(())
            }
            None => Err(refusal(old, to, whole_at(&before, way), |x| with(x).is_some())),
        }
    }

    /// Says why a figure is as it is.
    pub fn remark_on(&mut self, section: Section, material: Option<&str>, figure: &str, remark: &str) {
        let key = sources::key(section.key, material, figure);
        let said = set_here(remark);
        if self.draft.sources.get(&key) != Some(&said) {
            let mut shop = self.draft.clone();
            shop.sources.insert(key, said);
            self.take(format!("remark on {}", figure_words(section, figure)), shop);
        }
    }

    /// Puts the bundled figure and its source back.
    ///
    /// # Errors
    /// Where it does not go with the other figures as they are now.
    pub fn back_to_bundled(&mut self, section: Section, material: Option<&str>, figure: &str) -> Result<(), Refused> {
        let bundled = Shop::bundled();
        let value = value_of(bundled, section, material, figure);
        let shop = changed(&self.draft, section, material, figure, value).filter(|shop| shop.fault().is_none());
        let mut shop =
            shop.ok_or("The bundled figure does not go with the others as they are now; put those back first")?;
        let key = sources::key(section.key, material, figure);
        match bundled.sources.get(&key) {
            Some(said) => shop.sources.insert(key, said.clone()),
            None => shop.sources.remove(&key),
        };
        self.take(format!("return to the bundled figure of {}", figure_words(section, figure)), shop);
        Ok(())
    }

    /// Adds a material as a copy of `of` with a name of its own, first in its list.
    ///
    /// # Errors
    /// Where the name can't be taken, in words.
    pub fn copy(&mut self, section: Section, of: &str, name: &str) -> Result<(), Refused> {
        let name = name.trim();
        if name.is_empty() {
            return Err("Give the copy a name of its own first".into());
        }
        named_well(name)?;
        if self.materials(section).iter().any(|n| n == name) {
            return Err(format!("There is a {name} already; give the copy another name"));
        }
        let mut whole = json(&self.draft);
        let list = whole.get_mut(section.key).and_then(Value::as_array_mut);
        let Some(list) = list else { return Err("Nothing can be added here".into()) };
        let Some(mut copy) = list.iter().find(|m| m["name"] == of).cloned() else {
            return Err(format!("There is no {of} to copy"));
        };
        copy["name"] = Value::from(name);
        list.insert(0, copy);
        let mut shop = from_json(&self.draft, whole).ok_or("It can't be copied")?;
        // What was said of the figures of the one is as true of the other.
        let start = format!("{}/{of}/", section.key);
        let said = shop.sources.iter().filter_map(|(key, said)| Some((key.strip_prefix(&start)?, said)));
        let said: Vec<(String, String)> =
            said.map(|(figure, s)| (sources::key(section.key, Some(name), figure), s.clone())).collect();
        shop.sources.extend(said);
        self.take(format!("copy {name}"), shop);
        Ok(())
    }

    /// Takes out a material that does not come with the program.
    pub fn remove(&mut self, section: Section, material: &str) {
        let mut whole = json(&self.draft);
        if let Some(list) = whole.get_mut(section.key).and_then(Value::as_array_mut)
            && !self.is_bundled(section, Some(material))
        {
            list.retain(|m| m["name"] != material);
            if let Some(mut shop) = from_json(&self.draft, whole) {
                let start = format!("{}/{material}/", section.key);
                shop.sources.retain(|key, _| !key.starts_with(&start));
                self.take(format!("removal of {material}"), shop);
            }
        }
    }

    fn take(&mut self, name: String, shop: Shop) {
        self.undone.push((name, std::mem::replace(&mut self.draft, shop)));
    }
}

/// Whether a material may be called so.
fn named_well(name: &str) -> Result<(), Refused> {
    if name.is_empty() {
        return Err("It must have a name".into());
    }
    if name.chars().count() > LONGEST || name.chars().any(|c| c.is_control() || "\"\\/".contains(c)) {
        return Err(format!("A name has at most {LONGEST} letters and none of \" \\ /"));
    }
    Ok(())
}

/// The source of a figure that was set here.
fn set_here(remark: &str) -> String {
    let remark: String = remark.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
    match remark.trim() {
        "" => SET_HERE.to_owned(),
        said => format!("{SET_HERE}: {said}"),
    }
}

fn figure_words(section: Section, figure: &str) -> String {
    let words = section.figures().into_iter().find(|(key, _)| *key == figure).map_or(figure.to_owned(), |(_, w)| w);
    let mut letters = words.chars();
    letters.next().map_or(String::new(), |first| first.to_lowercase().chain(letters).collect())
}

/// Why `to` is refused where `old` stands: the limit between the two, found by halving.
fn refusal(old: f64, to: f64, whole: bool, goes: impl Fn(f64) -> bool) -> Refused {
    if !to.is_finite() {
        return "That is no number".into();
    }
    if whole && to.fract() != 0.0 {
        return format!("{to} is refused: it must be a whole number");
    }
    let (mut good, mut bad) = (old, to);
    for _ in 0..80 {
        let middle = 0.5 * (good + bad);
        let middle = if whole { middle.round() } else { middle };
        if middle == good || middle == bad {
            break;
        }
        if goes(middle) { good = middle } else { bad = middle }
    }
    // The limit itself is a round number; the halving ends beside it.
    let limit = if whole { good } else { rounded(0.5 * (good + bad)) };
    let (least, over) = if to < old { ("at least", "more than") } else { ("at most", "less than") };
    format!("{to} is refused: it must be {} {limit}", if goes(limit) { least } else { over })
}

/// To six figures, and nought where it is next to it.
fn rounded(x: f64) -> f64 {
    if x.abs() < 1e-12 { 0.0 } else { format!("{x:.5e}").parse().unwrap_or(x) }
}

fn json(shop: &Shop) -> Value {
    let mut whole = serde_json::Map::new();
    macro_rules! put {
        ($($field:ident),*) => {
            $(whole.insert(stringify!($field).into(), serde_json::to_value(&shop.$field).unwrap_or(Value::Null));)*
        };
    }
    put!(silicones, resins, blades, panels, rods, chambers, ovens, closings, limits, habits);
    Value::Object(whole)
}

/// The shop of these values; none where they are of another kind.
fn from_json(like: &Shop, mut whole: Value) -> Option<Shop> {
    let sources: BTreeMap<String, String> = like.sources.clone();
    macro_rules! take {
        ($($field:ident),*) => {
            Shop { $($field: serde_json::from_value(whole.get_mut(stringify!($field))?.take()).ok()?,)* sources }
        };
    }
    Some(take!(silicones, resins, blades, panels, rods, chambers, ovens, closings, limits, habits))
}

fn names(shop: &Shop, section: Section) -> Vec<String> {
    let list = json(shop).get_mut(section.key).map(Value::take).unwrap_or_default();
    let all = list.as_array().map(Vec::as_slice).unwrap_or_default();
    all.iter().filter_map(|m| m["name"].as_str().map(str::to_owned)).collect()
}

fn owner<'a>(whole: &'a mut Value, section: Section, material: Option<&str>) -> Option<&'a mut Value> {
    let list = whole.get_mut(section.key)?;
    match material {
        Some(name) => list.as_array_mut()?.iter_mut().find(|m| m["name"] == name),
        None => Some(list),
    }
}

fn value_of(shop: &Shop, section: Section, material: Option<&str>, figure: &str) -> Value {
    let mut whole = json(shop);
    owner(&mut whole, section, material).and_then(|o| o.get_mut(figure)).map(Value::take).unwrap_or_default()
}

fn changed(shop: &Shop, section: Section, material: Option<&str>, figure: &str, value: Value) -> Option<Shop> {
    let mut whole = json(shop);
    *owner(&mut whole, section, material)?.get_mut(figure)? = value;
    from_json(shop, whole)
}

fn at<'a>(value: &'a Value, way: &[String]) -> Option<&'a Value> {
    way.iter().try_fold(value, |v, step| match v {
        Value::Array(list) => list.get(step.parse::<usize>().ok()?),
        _ => v.get(step),
    })
}

fn whole_at(value: &Value, way: &[String]) -> bool {
    at(value, way).is_some_and(Value::is_u64)
}

fn put(value: &mut Value, way: &[String], number: f64) {
    match (way, value) {
        ([], value) => {
            let whole = value.is_u64() && number.fract() == 0.0 && (0.0..=f64::from(u32::MAX)).contains(&number);
            *value = if whole { Value::from(number as u64) } else { Value::from(number) };
        }
        ([step, rest @ ..], Value::Array(list)) => {
            if let Some(next) = step.parse::<usize>().ok().and_then(|i| list.get_mut(i)) {
                put(next, rest, number);
            }
        }
        ([step, rest @ ..], Value::Object(map)) => {
            if let Some(next) = map.get_mut(step) {
                put(next, rest, number);
            }
        }
        _ => {}
    }
}

/// Every number of a figure, with the way to it.
pub fn numbers(value: &Value) -> Vec<(Vec<String>, f64)> {
    let mut found = Vec::new();
    walk(value, &mut Vec::new(), &mut found);
    found
}

fn walk(value: &Value, way: &mut Vec<String>, found: &mut Vec<(Vec<String>, f64)>) {
    let mut inside = |step: String, value: &Value| {
        way.push(step);
        walk(value, way, found);
        way.pop();
    };
    match value {
        Value::Array(list) => list.iter().enumerate().for_each(|(i, v)| inside(i.to_string(), v)),
        Value::Object(map) => map.iter().for_each(|(name, v)| inside(name.clone(), v)),
        Value::Number(n) => found.extend(n.as_f64().map(|n| (way.clone(), n))),
        _ => {}
    }
}

/// The section of that name in the file.
pub fn section(key: &str) -> Option<Section> {
    SECTIONS.into_iter().find(|s| s.key == key)
}
