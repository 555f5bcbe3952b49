//! The shop file: bundled, changed by a shop's own, broken.

use mouldbench::shop::{Shop, ShopFileError};
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
    assert_eq!(shop, expected);

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
