//! Where each figure of a shop file comes from: the comment on its line, or on the lines right above it.

use std::collections::BTreeMap;

/// Figures of a file by their keys (`limits/lean_deg`, `resins/Clear/pot_life_s`), each with what its comment says; none
/// where it has no comment.
pub fn of_text(text: &str) -> BTreeMap<String, Option<String>> {
    let mut found = BTreeMap::new();
    let mut above: Vec<String> = Vec::new();
    let mut walk = Walk::default();
    for line in text.lines() {
        let (code, comment) = split(line);
        let code = code.trim();
        if code.is_empty() {
            match comment {
                Some(comment) => above.push(comment.to_owned()),
                None => above.clear(),
            }
            continue;
        }
        if let Some(key) = walk.figure(line, code) {
            let said = comment.map(str::to_owned).or_else(|| (!above.is_empty()).then(|| above.join(" ")));
            found.insert(key, said);
        }
        above.clear();
    }
    found
}

/// The text of a file with each figure's source as a comment on its line.
pub fn written_beside(text: &str, sources: &BTreeMap<String, String>) -> String {
    let mut walk = Walk::default();
    let mut out = String::with_capacity(text.len() * 2);
    for line in text.lines() {
        out.push_str(line);
        if let Some(source) = walk.figure(line, line.trim()).and_then(|key| sources.get(&key)) {
            out.push_str(" // ");
            out.push_str(source);
        }
        out.push('\n');
    }
    out
}

/// Where in a file a line stands.
#[derive(Default)]
struct Walk {
    section: String,
    material: Option<String>,
}

impl Walk {
    /// The key of the figure that a line holds; none where it holds none.
    fn figure(&mut self, line: &str, code: &str) -> Option<String> {
        let word: String =
            code.chars().take_while(|c| c.is_ascii_lowercase() || *c == '_' || c.is_ascii_digit()).collect();
        let value = code[word.len()..].trim_start().strip_prefix(':')?.trim();
        let indent = line.len() - line.trim_start().len();
        if indent <= 4 {
            self.section = if value.starts_with(['[', '(']) { word } else { String::new() };
            self.material = None;
            return None;
        }
        if word == "name" {
            self.material = value.split('"').nth(1).map(str::to_owned);
            return None;
        }
        let deepest = if self.material.is_some() { 12 } else { 8 };
        // A line further in belongs to a figure that is a list of its own.
        (word != "source" && !self.section.is_empty() && indent <= deepest)
            .then(|| key(&self.section, self.material.as_deref(), &word))
    }
}

/// The key of a figure.
pub fn key(section: &str, material: Option<&str>, figure: &str) -> String {
    match material {
        Some(material) => format!("{section}/{material}/{figure}"),
        None => format!("{section}/{figure}"),
    }
}

/// A line without its comment, and the comment.
fn split(line: &str) -> (&str, Option<&str>) {
    let mut quoted = false;
    let bytes = line.as_bytes();
    for i in 0..bytes.len() {
        match bytes[i] {
            b'"' => quoted = !quoted,
            b'/' if !quoted && bytes.get(i + 1) == Some(&b'/') => {
                return (&line[..i], Some(line[i + 2..].trim()));
            }
            _ => {}
        }
    }
    (line, None)
}

/// Line and column, from 1, at which a figure stands in the text of a file: the first `figure:` after its section's and
/// its material's name; where it cannot be found, the nearest of those that can.
pub fn place_of(text: &str, section: &str, material: Option<&str>, figure: &str) -> (usize, usize) {
    let after = |from: usize, what: &str| text.get(from..).and_then(|t| t.find(what)).map(|i| from + i);
    let mut at = after(0, &format!("{section}:")).unwrap_or(0);
    if let Some(material) = material {
        at = after(at, &format!("\"{material}\"")).unwrap_or(at);
    }
    at = after(at, &format!("{figure}:")).unwrap_or(at);
    let before = &text[..at];
    let line = before.matches('\n').count() + 1;
    let column = before.chars().rev().take_while(|c| *c != '\n').count() + 1;
    (line, column)
}
