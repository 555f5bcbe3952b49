//! Where in a RON text a value stands, so that a value that cannot be is told with its line.
//!
//! The text was read already, so it is whole: this is a second pass that only follows brackets, names and commas.

use std::fmt;

/// One step from a value to one inside it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Step {
    /// The field of that name.
    Field(String),
    /// The item of that number in a list, from 0.
    Item(usize),
}

/// The way from the outermost value to one inside it; as text `feed.gates[0].diameter_mm`, items counted from 0.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Way(pub Vec<Step>);

impl Way {
    /// The same with the steps of `way` after it, written as [`fmt::Display`] does.
    pub fn then(&self, way: &str) -> Way {
        let mut steps = self.0.clone();
        for name in way.split('.').filter(|n| !n.is_empty()) {
            let mut parts = name.split('[');
            steps.extend(parts.next().filter(|n| !n.is_empty()).map(|n| Step::Field(n.to_owned())));
            steps.extend(parts.filter_map(|p| p.trim_end_matches(']').parse().ok()).map(Step::Item));
        }
        Way(steps)
    }

    /// The same with one item after it.
    pub fn item(&self, i: usize) -> Way {
        let mut steps = self.0.clone();
        steps.push(Step::Item(i));
        Way(steps)
    }
}

impl fmt::Display for Way {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (i, step) in self.0.iter().enumerate() {
            match step {
                Step::Field(name) if i == 0 => write!(f, "{name}")?,
                Step::Field(name) => write!(f, ".{name}")?,
                Step::Item(i) => write!(f, "[{i}]")?,
            }
        }
        Ok(())
    }
}

/// A bracket that is open.
struct Open {
    /// Where it is a struct's: the field that is being read.
    field: Option<String>,
    /// Items before the one that is being read.
    item: usize,
    /// True for `Some( )`, which adds no step.
    through: bool,
    /// True once something of this item or field was met.
    begun: bool,
}

/// Line and column, from 1, at which the value at `way` stands in `text`; the nearest of those round it that are there where
/// it is not, such as one that was left out.
pub fn find(text: &str, way: &Way) -> (usize, usize) {
    let mut best = (0, 0);
    let mut open: Vec<Open> = Vec::new();
    let mut tokens = Tokens { text, at: 0 };
    // A name may be a field's, a struct's, a variant's or a value: what follows tells.
    let mut name: Option<(usize, &str)> = None;
    while let Some((at, token)) = tokens.next() {
        match token {
            ":" => {
                if let (Some(frame), Some((at, name))) = (open.last_mut(), name.take()) {
                    frame.field = Some(name.to_owned());
                    frame.begun = false;
                    meet(&mut open, way, at, &mut best);
                }
            }
            "," => {
                if let Some(frame) = open.last_mut() {
                    frame.item += 1;
                    frame.begun = false;
                    frame.field = None;
                }
                name = None;
            }
            "(" | "[" | "{" => {
                meet(&mut open, way, name.map_or(at, |n| n.0), &mut best);
                let through = name.is_some_and(|n| n.1 == "Some");
                open.push(Open { field: None, item: 0, through, begun: false });
                name = None;
            }
            ")" | "]" | "}" => {
                open.pop();
                name = None;
            }
            word => {
                let is_name = word.starts_with(|c: char| c.is_alphabetic() || c == '_');
                if is_name && tokens.next_is(":") {
                    name = Some((at, word));
                } else {
                    meet(&mut open, way, at, &mut best);
                    name = is_name.then_some((at, word));
                }
            }
        }
    }
    let before = &text[..best.1];
    let line = before.matches('\n').count() + 1;
    (line, before.chars().rev().take_while(|c| *c != '\n').count() + 1)
}

/// Notes where a value begins, if it is the one that is sought or nearer to it than the last one; `best` is how many steps
/// of the way were right, and where.
fn meet(open: &mut [Open], way: &Way, at: usize, best: &mut (usize, usize)) {
    let Some(last) = open.last_mut() else { return };
    if std::mem::replace(&mut last.begun, true) {
        return;
    }
    let mut steps = 0;
    for frame in open.iter().filter(|f| !f.through) {
        let right = match (way.0.get(steps), &frame.field) {
            (Some(Step::Field(wanted)), Some(field)) => wanted == field,
            (Some(Step::Item(wanted)), None) => *wanted == frame.item,
            _ => false,
        };
        if !right {
            return;
        }
        steps += 1;
    }
    if steps > best.0 {
        *best = (steps, at);
    }
}

/// The words, numbers, strings and signs of a text, without its comments.
struct Tokens<'a> {
    text: &'a str,
    at: usize,
}

impl<'a> Tokens<'a> {
    /// True where that sign comes next.
    fn next_is(&self, sign: &str) -> bool {
        Tokens { text: self.text, at: self.at }.next().is_some_and(|(_, t)| t == sign)
    }

    fn skip_blanks(&mut self) {
        loop {
            let rest = &self.text[self.at..];
            let blank = rest.len() - rest.trim_start().len();
            let after = &rest[blank..];
            self.at += blank
                + if after.starts_with("//") {
                    after.find('\n').unwrap_or(after.len())
                } else if after.starts_with("/*") {
                    block_comment(after)
                } else if blank == 0 {
                    return;
                } else {
                    0
                };
        }
    }
}

impl<'a> Iterator for Tokens<'a> {
    type Item = (usize, &'a str);

    fn next(&mut self) -> Option<(usize, &'a str)> {
        self.skip_blanks();
        let rest = &self.text[self.at..];
        let first = rest.chars().next()?;
        let signs = |c: char| "()[]{},:\"".contains(c);
        let length = if first == '"' {
            string(rest)
        } else if rest.starts_with("r\"") || rest.starts_with("r#") {
            raw_string(rest)
        } else if signs(first) {
            1
        } else {
            rest.find(|c: char| c.is_whitespace() || signs(c)).unwrap_or(rest.len()).max(first.len_utf8())
        };
        let at = self.at;
        self.at += length;
        Some((at, &rest[..length]))
    }
}

/// Length of the comment, which may hold others, at the beginning of `text`.
fn block_comment(text: &str) -> usize {
    let bytes = text.as_bytes();
    let (mut deep, mut i) = (0usize, 0);
    while i + 1 < bytes.len() {
        match &bytes[i..i + 2] {
            b"/*" => (deep, i) = (deep + 1, i + 2),
            b"*/" => (deep, i) = (deep - 1, i + 2),
            _ => i += 1,
        }
        if deep == 0 {
            return i;
        }
    }
    bytes.len()
}

/// Length of the string at the beginning of `text`.
fn string(text: &str) -> usize {
    let mut escaped = false;
    for (i, b) in text.bytes().enumerate().skip(1) {
        match b {
            _ if escaped => escaped = false,
            b'\\' => escaped = true,
            b'"' => return i + 1,
            _ => {}
        }
    }
    text.len()
}

/// Length of the raw string, or of the word that only looks like one, at the beginning of `text`.
fn raw_string(text: &str) -> usize {
    let hashes = text[1..].bytes().take_while(|b| *b == b'#').count();
    let end = format!("\"{}", "#".repeat(hashes));
    let from = 2 + hashes;
    match text.get(1 + hashes..from) {
        Some("\"") => text[from..].find(&end).map_or(text.len(), |i| from + i + end.len()),
        _ => 1 + hashes,
    }
}
