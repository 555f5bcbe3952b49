//! Which module paths a source file names, and which file each of them lies in.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

/// A module as the names that lead to it from the crate's root: `["study", "job", "body"]`.
pub type Module = Vec<String>;

/// Every module below `src` that has a file of its own, with that file.
pub fn modules(src: &Path) -> BTreeMap<Module, PathBuf> {
    let mut files = Vec::new();
    super::arrows::rust_files(src, &mut files);
    let name = |file: &PathBuf| {
        let inside = file.strip_prefix(src).expect("below src").with_extension("");
        inside
            .components()
            .map(|c| c.as_os_str().to_string_lossy().into_owned())
            .filter(|n| n != "mod" && n != "lib" && n != "main")
            .collect::<Module>()
    };
    files.into_iter().map(|f| (name(&f), f)).filter(|(m, _)| !m.is_empty()).collect()
}

/// The code of a source file without its line comments; what stands in quotes is left, since no path of a module looks like a
/// sentence. In a module that stands inside the file, `super` is the file itself.
fn code(source: &str) -> String {
    let mut inside = false;
    let mut lines = Vec::new();
    for line in source.lines() {
        let line = line.split("//").next().unwrap_or("");
        inside = match line {
            "}" => false,
            _ => {
                inside || (line.trim_end().ends_with('{') && (line.starts_with("mod ") || line.starts_with("pub mod ")))
            }
        };
        lines.push(match inside {
            true => line.replace("super::super::", "\0").replace("super::", "self::").replace('\0', "super::"),
            false => line.to_owned(),
        });
    }
    lines.join("\n")
}

/// Splits at the commas that stand in no inner braces.
fn split(list: &str) -> Vec<&str> {
    let (mut parts, mut depth, mut from) = (Vec::new(), 0, 0);
    for (i, c) in list.char_indices() {
        match c {
            '{' => depth += 1,
            '}' => depth -= 1,
            ',' if depth == 0 => {
                parts.push(&list[from..i]);
                from = i + 1;
            }
            _ => {}
        }
    }
    parts.push(&list[from..]);
    parts
}

/// Opens the braces of one `use`: every path that it names, as segments.
fn open(prefix: &[String], tree: &str, out: &mut Vec<Module>) {
    let tree = tree.trim();
    let (head, inner) = match tree.find('{') {
        Some(at) => (&tree[..at], Some(tree[at + 1..].trim_end().trim_end_matches('}'))),
        None => (tree.split(" as ").next().unwrap_or(tree), None),
    };
    let mut path = prefix.to_vec();
    path.extend(head.split("::").map(str::trim).filter(|s| !s.is_empty()).map(str::to_owned));
    match inner {
        Some(inner) => split(inner).into_iter().filter(|t| !t.trim().is_empty()).for_each(|t| open(&path, t, out)),
        None => out.push(path),
    }
}

/// Every path that `source` names, as it is written.
fn written(source: &str) -> Vec<Module> {
    let code = code(source);
    let mut out = Vec::new();
    let mut rest = String::new();
    let mut left = code.as_str();
    while let Some(at) = left.find("use ") {
        let starts = left[..at].chars().next_back().is_none_or(|c| c.is_whitespace());
        let (Some(end), true) = (left[at..].find(';'), starts) else {
            rest.push_str(&left[..at + 4]);
            left = &left[at + 4..];
            continue;
        };
        rest.push_str(&left[..at]);
        open(&[], &left[at + 4..at + end], &mut out);
        left = &left[at + end..];
    }
    rest.push_str(left);
    let is_part = |c: char| c.is_alphanumeric() || c == '_' || c == ':';
    for word in rest.split(|c| !is_part(c)).filter(|w| w.contains("::")) {
        out.push(word.split("::").filter(|s| !s.is_empty()).map(str::to_owned).collect());
    }
    out
}

/// The modules, each a key of `modules`, that the file of `module` names; itself left out.
pub fn named(module: &Module, source: &str, modules: &BTreeMap<Module, PathBuf>) -> BTreeSet<Module> {
    let mut found = BTreeSet::new();
    for path in written(source) {
        let mut at = path.as_slice();
        let mut full: Module = match at.first().map(String::as_str) {
            Some("crate") => {
                at = &at[1..];
                Vec::new()
            }
            Some("super" | "self") => {
                let mut base = module.clone();
                while let Some(step @ ("super" | "self")) = at.first().map(String::as_str) {
                    if step == "super" {
                        base.pop();
                    }
                    at = &at[1..];
                }
                base
            }
            // A child that is named without `self::`.
            Some(first) if modules.contains_key(&[module.as_slice(), &[first.to_owned()]].concat()) => module.clone(),
            _ => continue,
        };
        full.extend(at.iter().cloned());
        while !full.is_empty() && !modules.contains_key(&full) {
            full.pop();
        }
        if !full.is_empty() && full != *module {
            found.insert(full);
        }
    }
    found
}
