//! Inside `study` the arrows run one way as well: each room names only those above it in its list, and no two files name
//! each other in a circle.

use super::paths::{Module, modules, named};
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

/// The rooms of `study`, each resting on those before it.
const ROOMS: &[&str] =
    &["job", "air", "parting", "pour", "numbers", "ways_up", "bench", "findings", "propose", "report", "lessons"];

fn arrows() -> BTreeMap<Module, BTreeSet<Module>> {
    let all = modules(&Path::new(env!("CARGO_MANIFEST_DIR")).join("src"));
    all.iter()
        .map(|(module, file)| (module.clone(), named(module, &std::fs::read_to_string(file).expect("a source"), &all)))
        .collect()
}

/// The place of a module's room in the list; none outside of `study` and for `study` itself.
fn room(module: &Module) -> Option<usize> {
    (module.first()? == "study").then(|| module.get(1))?.map(|name| {
        ROOMS.iter().position(|r| r == name).unwrap_or_else(|| panic!("study/{name} is not in the list of rooms"))
    })
}

fn wrong_arrows(arrows: &BTreeMap<Module, BTreeSet<Module>>) -> Vec<String> {
    let mut wrong = Vec::new();
    for (from, to) in arrows {
        let Some(here) = room(from) else { continue };
        for target in to.iter().filter(|t| room(t).is_some_and(|there| there > here)) {
            wrong.push(format!("{} names {}", from.join("/"), target.join("/")));
        }
    }
    wrong
}

/// The modules that `from` leads to, itself only where it comes back to it.
fn reached<'a>(arrows: &'a BTreeMap<Module, BTreeSet<Module>>, from: &'a Module) -> BTreeSet<&'a Module> {
    let mut seen = BTreeSet::new();
    let mut open = vec![from];
    while let Some(at) = open.pop() {
        open.extend(arrows.get(at).into_iter().flatten().filter(|to| to[0] == "study" && seen.insert(*to)));
    }
    seen
}

/// Every largest set of modules that all lead to each other, in words.
fn circles(arrows: &BTreeMap<Module, BTreeSet<Module>>) -> Vec<String> {
    let within: BTreeMap<&Module, BTreeSet<&Module>> =
        arrows.keys().filter(|m| m[0] == "study").map(|m| (m, reached(arrows, m))).collect();
    let mut told: BTreeSet<&Module> = BTreeSet::new();
    let mut found = Vec::new();
    for (module, reached) in within.iter().filter(|(m, r)| r.contains(*m)) {
        if !told.contains(module) {
            let round: Vec<&Module> = reached.iter().copied().filter(|m| within[m].contains(module)).collect();
            found.push(round.iter().map(|m| m.join("/")).collect::<Vec<_>>().join(", "));
            told.extend(round);
        }
    }
    found
}

#[test]
fn rooms_of_study_name_only_rooms_above_them() {
    let arrows = arrows();
    assert!(arrows.keys().filter(|m| room(m).is_some()).count() > 200, "the scan must see the rooms");
    let wrong = wrong_arrows(&arrows);
    assert!(wrong.is_empty(), "{} arrows run against the stream:\n{}", wrong.len(), wrong.join("\n"));
}

#[test]
fn the_scan_of_rooms_sees_a_wrong_arrow() {
    let module = |path: &str| path.split('/').map(str::to_owned).collect::<Module>();
    let all: BTreeMap<Module, _> = ["study", "study/job", "study/job/body", "study/report", "study/report/air"]
        .iter()
        .map(|p| (module(p), Path::new("").to_owned()))
        .collect();
    let seen = |source: &str| {
        let from = module("study/job/body");
        wrong_arrows(&BTreeMap::from([(from.clone(), named(&from, source, &all))])).len()
    };
    assert_eq!(seen("use crate::study::report::air::AirReport;\n"), 1);
    assert_eq!(seen("use crate::study::{job::block, report};\n"), 1);
    assert_eq!(seen("use super::super::report::Report;\n"), 1);
    assert_eq!(seen("fn f() -> crate::study::report::Report { todo() }\n"), 1);
    assert_eq!(seen("// crate::study::report is above\nuse super::block;\n"), 0);
}

#[test]
fn no_two_files_of_study_name_each_other_in_a_circle() {
    let circles = circles(&arrows());
    assert!(circles.is_empty(), "{} circles:\n{}", circles.len(), circles.join("\n"));
}

#[test]
fn the_scan_of_circles_sees_one() {
    let module = |path: &str| path.split('/').map(str::to_owned).collect::<Module>();
    let sources = |body: &'static str| {
        [
            ("study", "pub mod job;\npub mod air;\n"),
            ("study/job", "pub mod body;\npub mod block;\n"),
            ("study/job/body", body),
            ("study/job/block", "use super::body::Body;\n"),
            ("study/air", "use crate::study::job::block::Block;\n"),
        ]
    };
    let seen = |body: &'static str| {
        let all: BTreeMap<Module, _> =
            sources(body).iter().map(|(p, _)| (module(p), Path::new("").to_owned())).collect();
        circles(&sources(body).iter().map(|(p, s)| (module(p), named(&module(p), s, &all))).collect())
    };
    // A parent that only declares its children names none of them, and an inner module's `super` is its file.
    assert_eq!(seen("use super::super::job;\nmod tests {\n    use super::*;\n}\n"), Vec::<String>::new());
    assert_eq!(seen("use super::block::Block;\n"), ["study/job/block, study/job/body"]);
    assert_eq!(seen("use super::super::air::Air;\n"), ["study/air, study/job/block, study/job/body"]);
    assert_eq!(seen("mod tests {\n    use super::super::block::Block;\n}\n"), ["study/job/block, study/job/body"]);
}
