//! The shop file: bundled, changed by a shop's own, broken.

use mouldbench::shop::{Habits, Limits, Shop, ShopFileError};
use std::path::Path;

fn read(text: &str) -> Result<Shop, ShopFileError> {
    Shop::from_text(text, Path::new("own-shop.ron"))
}

fn file(content: &str) -> String {
    format!("MouldbenchShop(format: \"mouldbench-shop\", version: 1, {content})")
}

#[test]
fn the_bundled_shop_is_sound_and_inside_the_usual_ranges() {
    let shop = Shop::bundled();
    assert_eq!(shop.fault(), None);
    assert!(shop.silicones.len() >= 3 && shop.resins.len() >= 5);
    let mut names: Vec<&str> =
        shop.silicones.iter().map(|s| s.name.as_str()).chain(shop.resins.iter().map(|r| r.name.as_str())).collect();
    names.sort_unstable();
    names.dedup();
    assert_eq!(names.len(), shop.silicones.len() + shop.resins.len());
    // Ranges: common practice, no source; elongation by hardness as usually published from tests to ISO 37.
    for s in &shop.silicones {
        assert!((1.05..=1.35).contains(&s.density_g_cm3) && (20.0..=60.0).contains(&s.shore_a), "{}", s.name);
        assert!((1800.0..=7200.0).contains(&s.pot_life_s) && (43_200.0..=86_400.0).contains(&s.cure_s), "{}", s.name);
        assert!((0.03..=0.08).contains(&s.loss_share) && (3.0..=5.0).contains(&s.foam_factor), "{}", s.name);
        let usual = match s.shore_a {
            a if a <= 25.0 => 400.0..=700.0,
            a if a <= 35.0 => 300.0..=500.0,
            a if a <= 45.0 => 200.0..=400.0,
            _ => 100.0..=250.0,
        };
        assert!(usual.contains(&s.elongation_pct), "{}", s.name);
        assert!(!s.source.is_empty());
    }
    for r in &shop.resins {
        assert!((1.0..=1.5).contains(&r.density_g_cm3) && (0.2..=5.0).contains(&r.viscosity_pa_s), "{}", r.name);
        assert!((120.0..=900.0).contains(&r.pot_life_s) && (40.0..=80.0).contains(&r.mould_c), "{}", r.name);
        let ratio = r.b_parts / r.a_parts;
        assert!((0.3..=3.0).contains(&ratio) && r.tool_life.1 <= 30, "{}", r.name);
        assert!(!r.source.is_empty());
    }
}

#[test]
fn every_figure_says_where_it_comes_from() {
    let shop = Shop::bundled();
    for (section, figures) in [("limits", Limits::FIGURES), ("habits", Habits::FIGURES)] {
        for figure in figures {
            let source = shop.source_of(section, None, figure).unwrap_or_default();
            let known = ["ommon practice", "set here", "handbook", "ISO", "EN "];
            assert!(known.iter().any(|k| source.contains(k)), "{section}/{figure}: {source:?}");
        }
    }
    // A figure of a material has its own comment, else what its material says.
    let (silicone, resin) = (&shop.silicones[0].name, &shop.resins[0].name);
    let cure = shop.source_of("silicones", Some(silicone), "cure_s").expect("a source");
    assert!(cure.contains("12 to 24 hours"), "{cure}");
    let filled = &shop.silicones[3].name;
    assert!(shop.source_of("silicones", Some(filled), "viscosity_pa_s").expect("one").contains("set here"));
    assert!(shop.source_of("resins", Some(resin), "pot_life_batch_g").expect("one").contains("EN 14022"));
    assert_eq!(shop.source_of("resins", Some("nothing of that name"), "pot_life_s"), None);
}

#[test]
fn a_shops_own_figures_say_so() {
    let own = Shop::bundled().resins[0].name.clone();
    let text = format!(
        r#"MouldbenchShop(
    format: "mouldbench-shop",
    version: 1,
    limits: (lean_deg: 1.0, pool_mm: 5.0),
    habits: (
        pot_litres: 4.0, // the large bucket
    ),
    resins: [
        (
            name: "{own}", a_parts: 1.0, b_parts: 2.0, density_g_cm3: 1.2, viscosity_pa_s: 1.0,
            pot_life_s: 300.0, // timed here
            pot_life_batch_g: 100.0, shrinkage_pct: 0.2, mould_c: 60.0, demould_s: 1000.0,
            tool_life: (5, 6), source: "data sheet of May",
        ),
    ],
)"#
    );
    let shop = read(&text).expect("reads");
    assert_eq!(shop.source_of("limits", None, "lean_deg"), Some("the shop's own file"));
    assert_eq!(shop.source_of("limits", None, "pool_mm"), Some("set here"), "the same figure as before");
    assert_eq!(shop.source_of("habits", None, "pot_litres"), Some("the large bucket"));
    assert_eq!(shop.source_of("resins", Some(&own), "pot_life_s"), Some("timed here"));
    assert_eq!(shop.source_of("resins", Some(&own), "density_g_cm3"), Some("data sheet of May"));
    // Written and read again it is the same, sources and all.
    assert_eq!(read(&shop.to_text()).expect("reads"), shop);
}

#[test]
fn a_figure_that_cannot_be_is_named_with_line_and_column() {
    let place = |text: &str| match read(text) {
        Err(ShopFileError::Value { line, column, fault, .. }) => (line, column, fault),
        other => panic!("{other:?}"),
    };
    let head = "MouldbenchShop(\n  format: \"mouldbench-shop\",\n  version: 1,\n";
    let (line, column, fault) = place(&format!("{head}  limits: (\n    pool_mm: 2.0,\n    lean_deg: -1.0,\n  ),\n)"));
    assert_eq!((line, column), (6, 5));
    assert!(fault.contains("lean_deg is -1"), "{fault}");
    let message = read(&format!("{head}  habits: (casts_a_day: 0))")).expect_err("refused").to_string();
    assert!(message.contains("line 4, column 12"), "{message}");
    let panel = |t: f64| format!("(name: \"P {t}\", thickness_mm: {t:.1}, modulus_mpa: 1.0, source: \"\")");
    let text = format!("{head}  panels: [\n    {},\n    {},\n  ],\n)", panel(2.0), panel(-2.0));
    let (line, column, fault) = place(&text);
    assert_eq!((line, column), (6, 20), "the second, not the first");
    assert!(fault.contains("P -2: thickness_mm is -2"), "{fault}");
}

#[test]
fn what_is_written_reads_back_equal() {
    let mut shop = Shop::bundled().clone();
    shop.limits.lean_deg = 1.25;
    shop.habits.casts_a_day = 3;
    shop.resins[2].tool_life = (7, 9);
    assert_eq!(read(&shop.to_text()).expect("reads back"), shop);
}

#[test]
fn a_shops_own_file_changes_single_figures_and_adds_materials() {
    let bundled = Shop::bundled();
    let own = &bundled.resins[3];
    let mut text = file("limits: (lean_deg: 1.5, wall_mm: (12.0, 20.0, 30.0)), habits: (casts_a_day: 1)");
    let shop = read(&text).expect("reads");
    let mut expected = bundled.clone();
    expected.limits.lean_deg = 1.5;
    expected.limits.wall_mm = [12.0, 20.0, 30.0];
    expected.habits.casts_a_day = 1;
    for key in ["limits/lean_deg", "limits/wall_mm", "habits/casts_a_day"] {
        expected.sources.insert(key.to_owned(), "the shop's own file".to_owned());
    }
    assert!(shop == expected);

    let resin = |name: &str, density: f64| {
        format!(
            "(name: \"{name}\", a_parts: 1.0, b_parts: 2.0, density_g_cm3: {density:?}, viscosity_pa_s: 1.0, \
             pot_life_s: 300.0, pot_life_batch_g: 100.0, shrinkage_pct: 0.2, mould_c: 60.0, demould_s: 1000.0, \
             tool_life: (5, 6), source: \"the shop's own sheet\"),"
        )
    };
    text = file(&format!("resins: [{}{}]", resin(&own.name, 1.5), resin("Shelf 4", 1.3)));
    let shop = read(&text).expect("reads");
    assert_eq!(shop.resins.len(), bundled.resins.len() + 1);
    assert_eq!(shop.resins[0].name, "Shelf 4");
    assert_eq!(shop.resin(&own.name).map(|r| r.density_g_cm3), Some(1.5));
    assert_eq!(shop.silicones, bundled.silicones);
    assert_eq!(shop.resin("nothing of that name"), None);
    assert_eq!(shop.silicone(&bundled.silicones[1].name), Some(&bundled.silicones[1]));
}

#[test]
fn broken_files_name_line_and_column() {
    let broken = |text: &str| match read(text) {
        Err(ShopFileError::Broken { line, column, fault, .. }) => (line, column, fault),
        other => panic!("{other:?}"),
    };
    let (line, column, fault) =
        broken("MouldbenchShop(\n  format: \"mouldbench-shop\",\n  version: 1,\n  limits: (lean: 2.0),\n)");
    assert_eq!(line, 4);
    assert!(column > 10 && fault.contains("lean"), "{column} {fault}");
    let (line, _, _) =
        broken("MouldbenchShop(\n  format: \"mouldbench-shop\",\n  version: 1,\n  resins: [(name: 3)],\n)");
    assert_eq!(line, 4);
    for text in ["", "(", "MouldbenchShop", "\u{0}", "MouldbenchPlan(format: \"x\", version: 1)", "[[[[[["] {
        broken(text);
    }
}

#[test]
fn figures_that_cannot_be_and_other_files_are_refused() {
    for content in [
        "limits: (lean_deg: -1.0)",
        "limits: (air_pocket_mm3: 0.0)",
        "limits: (chamber_pa: inf)",
        "limits: (wall_mm: (1.0, NaN, 3.0))",
        "limits: (cup_loss_share: 1.5)",
        "habits: (casts_a_day: 0)",
        "habits: (pot_life_times: 1.0)",
    ] {
        assert!(matches!(read(&file(content)), Err(ShopFileError::Value { .. })), "{content}");
    }
    let newer = "MouldbenchShop(format: \"mouldbench-shop\", version: 2)";
    assert!(matches!(read(newer), Err(ShopFileError::Version { version: 2, .. })));
    let missing = Shop::read(Path::new("there/is/no/such.ron"));
    assert!(matches!(missing, Err(ShopFileError::Read { .. })));
    let message = missing.expect_err("missing").to_string();
    assert!(message.ends_with("there/is/no/such.ron"), "{message}");
}
