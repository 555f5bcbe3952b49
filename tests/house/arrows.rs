//! Arrows run one way only: a room imports only rooms below it, and only `app` knows egui.

use std::path::{Path, PathBuf};

/// Rooms that each room may name in a `crate::` path, besides itself.
const MAY_IMPORT: &[(&str, &[&str])] = &[
    ("files", &[]),
    ("mesh", &["files"]),
    ("solve", &["mesh"]),
    ("shop", &["files", "mesh", "solve"]),
    ("plan", &["files", "mesh", "solve", "shop"]),
    ("study", &["files", "mesh", "solve", "shop", "plan"]),
    ("view", &["mesh", "solve", "shop", "plan", "study"]),
    ("sheet", &["files", "mesh", "solve", "shop", "plan", "study"]),
    ("command", &["files", "mesh", "solve", "shop", "plan", "study", "view", "sheet"]),
    ("app", &["files", "mesh", "solve", "shop", "plan", "study", "view", "sheet"]),
];

pub fn rust_files(dir: &Path, out: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(dir).expect("a source folder") {
        let path = entry.expect("an entry").path();
        if path.is_dir() {
            rust_files(&path, out);
        } else if path.extension().is_some_and(|e| e == "rs") {
            out.push(path);
        }
    }
}

/// Every `NAME` that follows `crate::` in code, comments left out, with its line; braces after `crate::` are opened.
fn crate_paths(source: &str) -> Vec<(usize, String)> {
    let mut found = Vec::new();
    for (i, line) in source.lines().enumerate() {
        let code = line.split("//").next().unwrap_or("");
        for (at, _) in code.match_indices("crate::") {
            if code[..at].ends_with('$') {
                continue;
            }
            let rest = &code[at + "crate::".len()..];
            let names: Vec<&str> = match rest.strip_prefix('{') {
                Some(list) => list.split(',').collect(),
                None => vec![rest],
            };
            for name in names {
                let name: String = name.trim().chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect();
                if !name.is_empty() {
                    found.push((i + 1, name));
                }
            }
        }
    }
    found
}

fn faults(source: &str, room: &str) -> Vec<String> {
    let allowed = MAY_IMPORT.iter().find(|(r, _)| *r == room).map(|(_, a)| *a);
    let Some(allowed) = allowed else { return vec![format!("room `{room}` is not in the plan of the house")] };
    let mut faults: Vec<String> = crate_paths(source)
        .into_iter()
        .filter(|(_, name)| name != room && !allowed.contains(&name.as_str()))
        .map(|(line, name)| format!("line {line}: `{room}` names `crate::{name}`"))
        .collect();
    if room != "app" {
        for (i, line) in source.lines().enumerate() {
            let code = line.split("//").next().unwrap_or("");
            if ["egui", "eframe", "rfd::"].iter().any(|w| code.contains(w)) {
                faults.push(format!("line {}: only `app` may know the window toolkit", i + 1));
            }
        }
    }
    faults
}

#[test]
fn rooms_import_only_rooms_below_them() {
    let src = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut files = Vec::new();
    rust_files(&src, &mut files);
    assert!(files.len() > 20, "the scan must see the house, saw {} files", files.len());
    let mut all = Vec::new();
    for file in files {
        let inside = file.strip_prefix(&src).expect("below src");
        let Some(room) = inside.components().next().map(|c| c.as_os_str().to_string_lossy().into_owned()) else {
            continue;
        };
        if room == "main.rs" || room == "lib.rs" {
            continue;
        }
        let source = std::fs::read_to_string(&file).expect("a readable source");
        all.extend(faults(&source, &room).into_iter().map(|f| format!("{}: {f}", inside.display())));
    }
    assert!(all.is_empty(), "{}", all.join("\n"));
}

#[test]
fn the_scan_sees_a_wrong_arrow() {
    assert_eq!(faults("use crate::mesh::Mesh;\n", "study"), Vec::<String>::new());
    assert_eq!(faults("use crate::study::report;\n", "mesh").len(), 1);
    assert_eq!(faults("fn f() { crate::app::run() }\n", "command").len(), 1);
    assert_eq!(faults("use crate::{mesh, sheet::page};\n", "view").len(), 1);
    assert_eq!(faults("use egui::Color32;\n", "view").len(), 1);
    assert_eq!(faults("// crate::app is above\n", "mesh"), Vec::<String>::new());
    assert_eq!(faults("", "cellar").len(), 1);
}

#[test]
fn the_crate_root_re_exports_nothing() {
    let root = std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("src/lib.rs")).expect("lib.rs");
    assert!(!root.lines().any(|l| l.trim_start().starts_with("pub use")), "a re-export would hide an arrow");
}
