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
