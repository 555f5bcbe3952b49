//! Figures changed at the desk: tried out before they are taken, undone, put back, written and read again.

use mouldbench::shop::Shop;
use mouldbench::shop::desk::{Desk, numbers, section};
use mouldbench::shop::figures::{SECTIONS, part_words};
use std::path::Path;

fn none() -> Vec<String> {
    Vec::new()
}

fn step(i: usize) -> Vec<String> {
    vec![i.to_string()]
}

fn read_again(desk: &Desk) -> Shop {
    let text = desk.draft().to_own_text();
    Shop::from_text(&text, Path::new("own.ron")).unwrap_or_else(|e| panic!("{e}\n{text}"))
}

/// The description names every figure of the data, once, and gives every number a unit or says that it has none.
#[test]
fn every_figure_of_the_file_is_described() {
    let desk = Desk::new(Shop::bundled().clone());
    // Plain numbers: shares, factors and counts.
    let plain = [
        "share",
        "factor",
        "tool_life",
        "slenderness",
        "safety",
        "times",
        "casts",
        "heated_within",
        "poisson",
        "friction",
    ];
    for s in SECTIONS {
        let materials = desk.materials(s);
        assert_eq!(materials.is_empty(), s.is_single(), "{}", s.name);
        let owners: Vec<Option<&str>> =
            if s.is_single() { vec![None] } else { materials.iter().map(|m| Some(m.as_str())).collect() };
        for owner in owners {
            for (figure, words) in s.figures() {
                let value = desk.value(s, owner, figure);
                assert!(!numbers(&value).is_empty(), "{}/{owner:?}/{figure}: {value}", s.key);
                assert!(!words.is_empty() && !words.ends_with('.'), "{words}");
                for (way, _) in numbers(&value) {
                    let unit = part_words(figure, &way).1;
                    assert!(!unit.is_empty() || plain.iter().any(|p| figure.contains(p)), "{figure} {way:?}");
                }
                assert!(desk.draft().source_of(s.key, owner, figure).is_some_and(|s| !s.is_empty()), "{figure}");
            }
        }
    }
    // Nothing of the file is left out: every line of it that is a figure is described.
    let text = include_str!("../../assets/shop.ron");
    let described: Vec<&str> = SECTIONS.iter().flat_map(|s| s.figures()).map(|(name, _)| name).collect();
    for key in mouldbench::shop::sources::of_text(text).keys() {
        let name = key.rsplit('/').next().expect("a name");
        assert!(described.contains(&name), "{key}");
    }
}

#[test]
fn what_is_changed_is_written_and_read_again_and_nothing_else() {
    let mut desk = Desk::new(Shop::bundled().clone());
    let [limits, habits, resins, ovens] =
        ["limits", "habits", "resins", "ovens"].map(|s| section(s).expect("a section"));
    let untouched = desk.draft().to_own_text();
    assert_eq!(untouched.lines().count(), 4, "nothing differs: {untouched}");
    desk.set(limits, None, "lean_deg", &none(), 1.5).expect("taken");
    desk.remark_on(limits, None, "lean_deg", "the new \"level\" // plate");
    desk.set(limits, None, "flash_mm", &step(1), 0.2).expect("taken");
    desk.set(habits, None, "casts_a_day", &none(), 3.0).expect("taken");
    desk.set(limits, None, "undercut_lines", &["1".into(), "depth_mm".into(), "0".into()], 2.25).expect("taken");
    desk.copy(resins, "Clear", "Clear, shelf 4").expect("copied");
    desk.set(resins, Some("Clear, shelf 4"), "pot_life_s", &none(), 420.0).expect("taken");
    desk.remark_on(resins, Some("Clear, shelf 4"), "pot_life_s", "timed here");
    desk.set(ovens, Some("Bench oven"), "inside_mm", &step(2), 520.0).expect("taken");
    let text = desk.draft().to_own_text();
    assert!(text.contains("lean_deg: 1.5") && !text.contains("torn_mm") && !text.contains("Rigid tough"), "{text}");
    let again = read_again(&desk);
    assert!(again == *desk.draft(), "{text}");
    assert_eq!(again.limits.flash_mm, [0.02, 0.2]);
    assert_eq!(again.limits.undercut_lines[1].depth_mm, [2.25, 4.0]);
    assert_eq!((again.habits.casts_a_day, again.ovens[0].inside_mm[2]), (3, 520.0));
    assert_eq!((again.resins[0].name.as_str(), again.resins[0].pot_life_s), ("Clear, shelf 4", 420.0));
    assert_eq!(again.resin("Clear"), Shop::bundled().resin("Clear"));
    assert_eq!(again.source_of("limits", None, "lean_deg"), Some("set here: the new \"level\" // plate"));
    assert_eq!(again.source_of("resins", Some("Clear, shelf 4"), "pot_life_s"), Some("set here: timed here"));
    assert_eq!(again.source_of("resins", Some("Clear, shelf 4"), "viscosity_pa_s"), Some("0.2 to 1"));
    // A page that begins from that file and puts everything back writes an empty one.
    let mut back = Desk::new(again);
    for (s, owner, figure) in [
        (limits, None, "lean_deg"),
        (limits, None, "flash_mm"),
        (limits, None, "undercut_lines"),
        (habits, None, "casts_a_day"),
        (ovens, Some("Bench oven"), "inside_mm"),
    ] {
        assert!(back.differs(s, owner, figure), "{figure}");
        back.back_to_bundled(s, owner, figure).expect("goes back");
        assert!(!back.differs(s, owner, figure), "{figure}");
    }
    back.remove(resins, "Clear, shelf 4");
    back.remove(resins, "Clear");
    assert!(back.draft() == Shop::bundled(), "what comes with the program stays");
    assert_eq!(back.draft().to_own_text(), untouched);
    // All of it is undone step by step.
    while desk.undo_name().is_some() {
        desk.undo();
    }
    assert!(desk.draft() == Shop::bundled());
}

#[test]
fn figures_that_cannot_be_are_refused_with_their_limit() {
    let mut desk = Desk::new(Shop::bundled().clone());
    let mut refused = |s: &str, owner: Option<&str>, figure: &str, way: Vec<String>, to: f64| {
        let before = desk.draft().clone();
        let words = desk.set(section(s).expect("a section"), owner, figure, &way, to).expect_err("refused");
        assert!(*desk.draft() == before && desk.undo_name().is_none());
        words
    };
    assert_eq!(refused("limits", None, "lean_deg", none(), -1.0), "-1 is refused: it must be at least 0");
    assert_eq!(refused("limits", None, "lean_deg", none(), 60.0), "60 is refused: it must be less than 45");
    assert_eq!(refused("limits", None, "holding_safety", none(), 0.2), "0.2 is refused: it must be at least 1");
    assert_eq!(refused("limits", None, "vent_mm", none(), 0.0), "0 is refused: it must be at least 0.01");
    // Against its neighbours: the second line of flash is no thinner than the first.
    assert_eq!(refused("limits", None, "flash_mm", step(1), 0.01), "0.01 is refused: it must be at least 0.02");
    assert_eq!(refused("habits", None, "casts_a_day", none(), 0.0), "0 is refused: it must be at least 1");
    assert_eq!(refused("habits", None, "casts_a_day", none(), 1.5), "1.5 is refused: it must be a whole number");
    let silicone = Shop::bundled().silicones[0].name.clone();
    assert_eq!(
        refused("silicones", Some(&silicone), "shore_a", none(), 4000.0),
        "4000 is refused: it must be at most 100"
    );
    assert_eq!(
        refused("resins", Some("Clear"), "density_g_cm3", none(), 1080.0),
        "1080 is refused: it must be at most 23"
    );
    assert_eq!(refused("resins", Some("Clear"), "mould_c", none(), 900.0), "900 is refused: it must be at most 200");
    assert_eq!(refused("resins", Some("Clear"), "tool_life", step(0), 21.0), "21 is refused: it must be at most 20");
    assert_eq!(refused("resins", Some("Clear"), "mould_c", none(), f64::NAN), "That is no number");
    let resins = section("resins").expect("a section");
    for (name, words) in
        [("", "Give"), ("Clear", "already"), ("a\"b", "none of"), ("a/b", "none of"), ("a\nb", "none of")]
    {
        let said = desk.copy(resins, "Clear", name).expect_err("refused");
        assert!(said.contains(words), "{said}");
    }
    assert!(desk.copy(section("limits").expect("a section"), "Clear", "x").is_err());
    assert!(desk.draft() == Shop::bundled());
}

/// A plan keeps the materials that it was made with: the resin changed at the desk does not change it, a limit does.
#[test]
fn a_plan_keeps_its_materials() {
    let shop = Shop::bundled();
    let mut plan = mouldbench::plan::Plan::default();
    plan.materials.resin = Some(shop.resins[0].clone());
    let mut desk = Desk::new(shop.clone());
    let name = shop.resins[0].name.clone();
    desk.set(section("resins").expect("a section"), Some(&name), "density_g_cm3", &none(), 1.5).expect("taken");
    assert_eq!(plan.resin(desk.draft()), &shop.resins[0]);
    assert_eq!(
        mouldbench::plan::Plan::default().resin(desk.draft()).density_g_cm3,
        1.5,
        "one that names none goes along"
    );
}

/// Lines can be added up to where nothing goes beyond, and taken out down to none; the file keeps what was made of them.
#[test]
fn lines_of_a_table_are_added_and_taken_out() {
    let mut desk = Desk::new(Shop::bundled().clone());
    let silicones = section("silicones").expect("there");
    let name = desk.materials(silicones)[0].clone();
    let at = |desk: &Desk| -> Vec<(f64, f64)> { desk.draft().silicones[0].warm_cures.clone() };
    let before = at(&desk);
    desk.add_row(silicones, Some(&name), "warm_cures").expect("one more");
    let last = before[before.len() - 1];
    assert_eq!(at(&desk)[before.len()], (last.0 + 10.0, last.1));
    assert_eq!(desk.draft().source_of("silicones", Some(&name), "warm_cures"), Some("set here"));
    assert_eq!(read_again(&desk).silicones[0].warm_cures, at(&desk));
    let refused = (0..50).find_map(|_| desk.add_row(silicones, Some(&name), "warm_cures").err()).expect("an end");
    assert!(refused.contains("200"), "{refused}");
    while !at(&desk).is_empty() {
        desk.remove_row(silicones, Some(&name), "warm_cures", 0).expect("out");
    }
    assert!(desk.remove_row(silicones, Some(&name), "warm_cures", 0).is_err());
    assert_eq!(read_again(&desk).silicones[0].warm_cures, vec![]);
    let cold_s = desk.draft().silicones[0].cure_s;
    desk.add_row(silicones, Some(&name), "warm_cures").expect("the first");
    assert_eq!(at(&desk), [(40.0, 0.5 * cold_s)]);
    while desk.undo_name().is_some() {
        desk.undo();
    }
    assert_eq!(at(&desk), before);
    assert!(desk.add_row(silicones, Some(&name), "pot_life_s").is_err());
}

#[test]
fn only_an_own_material_is_named_anew_and_keeps_what_was_said_of_its_figures() {
    let mut desk = Desk::new(Shop::bundled().clone());
    let resins = section("resins").expect("there");
    let bundled = desk.materials(resins)[0].clone();
    assert!(desk.rename(resins, &bundled, "Mine").is_err() && desk.set_origin(resins, &bundled, "x").is_err());
    desk.copy(resins, &bundled, "Mine").expect("copied");
    desk.set(resins, Some("Mine"), "pot_life_s", &none(), 200.0).expect("set");
    desk.remark_on(resins, Some("Mine"), "pot_life_s", "timed");
    assert!(desk.rename(resins, "Mine", &bundled).is_err() && desk.rename(resins, "Mine", "a/b").is_err());
    desk.rename(resins, "Mine", " Ours ").expect("named");
    desk.set_origin(resins, "Ours", "our trials").expect("said");
    let read = read_again(&desk);
    assert_eq!((read.resins[0].name.as_str(), read.resins[0].source.as_str()), ("Ours", "our trials"));
    assert_eq!(read.source_of("resins", Some("Ours"), "pot_life_s"), Some("set here: timed"));
    assert!(read.sources.keys().all(|k| !k.contains("/Mine/")));
}
