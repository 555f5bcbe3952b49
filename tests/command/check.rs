//! `check` on the demo plans and on plans that say Stop.

use super::{file, fresh, in_configuration, json, list, mouldbench, number, said, write_stl};
use glam::Vec3;
use mouldbench::mesh::{Mesh, boolean, solids};
use mouldbench::plan::file as plan_file;
use std::f64::consts::PI;

#[test]
#[ignore = "long"]
fn long_the_demo_plans_check_without_a_stop() {
    let mut seen = 0;
    for entry in std::fs::read_dir(file("projects")).expect("the folder") {
        let path = entry.expect("an entry").path();
        if path.extension().is_some_and(|e| e == "ron") {
            let output = mouldbench(&["check", &path.to_string_lossy(), "--json"]);
            assert_eq!(output.status.code(), Some(0), "{}: {}", path.display(), said(&output));
            let report = json(&output);
            assert!(number(&report, "/resin/shot_g") > number(&report, "/resin/part_g"), "{}", path.display());
            // Nothing that a bench would call a fault stays as air.
            assert!(number(&report, "/air/trapped_mm3") < 5.0, "{}", path.display());
            // A demo shows work as it should be: nothing is left to look at.
            let looks: Vec<&str> = list(&report, "/findings")
                .iter()
                .filter(|f| f["severity"] == "warn")
                .map(|f| f["code"].as_str().expect("a code"))
                .collect();
            assert!(looks.is_empty(), "{}: {looks:?}", path.display());
            seen += 1;
        }
    }
    assert_eq!(seen, 4);
}

#[test]
fn every_key_of_the_contract_is_there() {
    let (_dir, plan) = fresh("p.ron");
    let mesh = file("tests/assets/plate_with_hole.stl");
    let report = json(&mouldbench(&["plan", &mesh, "--out", &plan, "--up", "0,0,1", "--draw", "0,0,1", "--json"]));
    for path in [
        "/frame/box_from_part/rotation/2/2",
        "/frame/box_from_part/translation_mm/2",
        "/frame/cast_from_box/rotation/0/0",
        "/part/triangles",
        "/part/vertices",
        "/part/bodies",
        "/part/open_edges",
        "/part/volume_mm3",
        "/part/area_mm2",
        "/part/bounds_mm/1/2",
        "/air/high_points/0/position_mm/2",
        "/air/high_points/0/pocket_mm3",
        "/air/high_points/0/trapped_mm3",
        "/air/trapped_mm3",
        "/air/trapped_lean_mm3",
        "/air/after_let_up_bubble_mm",
        "/vents/0/position_mm/2",
        "/vents/0/diameter_mm",
        "/vents/0/length_mm",
        "/vents/0/rod_mm",
        "/air/near_level_mm2",
        "/air/in_rubber_mm3",
        "/parting/draw/2",
        "/parting/half_1_mm2",
        "/parting/half_2_mm2",
        "/parting/hidden_from_both_mm2",
        "/feed/gates_mm/0/2",
        "/flow/longest_mm",
        "/flow/last_point_mm/2",
        "/flow/thinnest_mm",
        "/flow/thickest_mm",
        "/flow/thickest_point_mm/2",
        "/feed/runners/0/in_part_mm3",
        "/feed/gates/0/of_wall_limit",
        "/vents/0/in_part_mm3",
        "/hanging/rods/0/dry_load_n",
        "/block/size_mm/2",
        "/block/volume_mm3",
        "/silicone/mass_g",
        "/resin/shot_g",
    ] {
        assert!(report.pointer(path).is_some_and(|v| v.is_number()), "{path} in {report}");
    }
    assert!(report["air"]["high_points"][0]["sill_z_mm"].is_null(), "a whole body has no sill");
    assert_eq!(report["part"]["watertight"], true);
    let kinds: Vec<&str> = list(&report, "/parting/loops").iter().filter_map(|l| l["kind"].as_str()).collect();
    assert_eq!(kinds, ["parting", "shut_off"], "a plate with a hole, drawn along it");
    assert!(list(&report, "/parting/loops").iter().all(|l| l["length_mm"].as_f64().is_some_and(|mm| mm > 0.0)));
    assert!((number(&report, "/flow/thinnest_mm") - 5.0).abs() < 0.02);
}

#[test]
fn a_plan_without_gate_and_vent_says_stop_and_leaves_with_one() {
    let (_dir, path) = fresh("bare.ron");
    let mesh = file("tests/assets/tied_towers.stl");
    let plan = mouldbench::study::propose::bare_plan("Towers", &mesh, "", mouldbench::plan::Unit::Millimetre);
    plan_file::save(&plan, path.as_ref()).expect("saved");
    let output = mouldbench(&["check", &path, "--json"]);
    assert_eq!(output.status.code(), Some(1));
    let report = json(&output);
    // Nothing lets air out: all 4480 mm³ of it stays, listed at the two peaks.
    assert!((number(&report, "/air/trapped_mm3") - 4480.0).abs() < 0.01);
    let listed: f64 = list(&report, "/air/high_points").iter().map(|p| number(p, "/trapped_mm3")).sum();
    assert!((listed - 4480.0).abs() < 0.01, "the list adds up to the total: {listed}");
    let codes: Vec<&str> = list(&report, "/findings").iter().filter_map(|f| f["code"].as_str()).collect();
    assert!(codes.contains(&"gate-missing") && codes.contains(&"air-trapped"), "{codes:?}");
    assert!(report["flow"]["longest_mm"].is_null());
    assert!(list(&report, "/air/second_basins").is_empty() && !list(&report, "/air/ceilings").is_empty());
    // Worst first.
    let rank = |s: &str| ["stop", "warn", "note"].iter().position(|r| *r == s).expect("a severity");
    let ranks: Vec<usize> =
        list(&report, "/findings").iter().map(|f| rank(f["severity"].as_str().expect("words"))).collect();
    assert!(ranks.is_sorted());
}

#[test]
#[ignore = "long"]
fn long_an_open_mesh_is_checked_on_cells_and_says_so() {
    let (dir, plan) = fresh("open.ron");
    let mesh = dir.path().join("open.stl").to_string_lossy().into_owned();
    let mut open = solids::cylinder(Vec3::ZERO, Vec3::new(0.0, 0.0, 30.0), 10.0, 48);
    open.triangles.pop();
    write_stl(&mesh, &open);
    let output = mouldbench(&["plan", &mesh, "--out", &plan, "--up", "0,0,1", "--draw", "0,1,0", "--json"]);
    assert!(output.status.success(), "{}", said(&output));
    let report = json(&output);
    assert!(number(&report, "/air/cell_error_mm3") >= 0.0);
    let codes: Vec<&str> = list(&report, "/findings").iter().filter_map(|f| f["code"].as_str()).collect();
    assert!(codes.contains(&"air-on-cells") && codes.contains(&"mesh-not-closed"), "{codes:?}");
    let pocket = number(&report, "/air/high_points/0/pocket_mm3");
    let volume = std::f64::consts::PI * 100.0 * 30.0;
    assert!((pocket - volume).abs() < 0.05 * volume, "{pocket} / {volume}");
}

#[test]
fn overlapping_bodies_are_counted_once() {
    let (_dir, plan) = fresh("over.ron");
    let mesh = file("tests/assets/overlapping_bodies.stl");
    let report = json(&mouldbench(&["plan", &mesh, "--out", &plan, "--up", "0,0,1", "--draw", "0,1,0", "--json"]));
    assert!((number(&report, "/resin/part_mm3") - 2540.0).abs() < 0.1);
    assert!((number(&report, "/air/high_points/0/pocket_mm3") - 2540.0).abs() < 0.1);
}

#[test]
fn an_enclosed_void_stops() {
    let (_dir, plan) = fresh("void.ron");
    let mesh = file("tests/assets/inner_void.stl");
    assert!(mouldbench(&["plan", &mesh, "--out", &plan, "--up", "0,0,1"]).status.success());
    let output = mouldbench(&["check", &plan, "--json"]);
    assert_eq!(output.status.code(), Some(1));
    assert!(list(&json(&output), "/findings").iter().any(|f| f["code"] == "enclosed-void"));
}

#[test]
fn a_plan_whose_mesh_is_gone_cannot_run() {
    let (_dir, path) = fresh("gone.ron");
    let plan = mouldbench::study::propose::bare_plan("Gone", "gone.stl", "", mouldbench::plan::Unit::Millimetre);
    plan_file::save(&plan, path.as_ref()).expect("saved");
    let output = mouldbench(&["check", &path, "--json"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(said(&output).contains("gone.stl"), "{}", said(&output));
    assert!(output.stdout.is_empty());
    assert_eq!(mouldbench(&["check", "/nowhere/p.ron"]).status.code(), Some(2));
}

#[test]
#[ignore = "long"]
fn long_the_fill_is_there_where_it_was_asked_for() {
    let (_dir, plan) = fresh("p.ron");
    let mesh = file("tests/assets/plate_with_hole.stl");
    mouldbench(&["plan", &mesh, "--out", &plan, "--up", "0,0,1", "--draw", "0,0,1"]);
    let bare = json(&mouldbench(&["check", &plan, "--json"]));
    assert!(bare.get("fill").is_none());
    let output = mouldbench(&["check", &plan, "--fill", "--fill-cells", "4000", "--json"]);
    let report = json(&output);
    assert_eq!(report["fill"]["verdict"], "fills", "{}", report["fill"]);
    assert!(number(&report, "/fill/time_s") > 0.0);
    // A mould that is warmer fills sooner.
    assert!(number(&report, "/fill/time_in_warm_mould_s") < number(&report, "/fill/time_s"));
    assert!(number(&report, "/fill/closed_round_mm3") >= number(&report, "/fill/after_let_up_mm3"));
    assert!(!list(&report, "/fill/last_points_mm").is_empty());
    assert!((0.98..=1.0).contains(&number(&report, "/fill/stages/0/filled_share")));
    // The last place lies in the part, above the floor of the block and below its top.
    let z = number(&report, "/fill/last_points_mm/0/2");
    assert!(z > 0.0 && z < number(&report, "/block/size_mm/2"));
    // A vent shows once its channel is full, so after the cavity is; without a fill nothing is known of the order.
    assert!(
        bare["vents"][0]["shows_at_s"].is_null() && bare["vents"][0]["shows_in_order"].is_null(),
        "{}",
        bare["vents"]
    );
    assert!(bare["vents"][0]["order_estimated"] == true && report["vents"][0]["order_estimated"] == false);
    // With one, the order is that of the times.
    let mut shown: Vec<(f64, u64)> = list(&report, "/vents")
        .iter()
        .map(|v| (number(v, "/shows_at_s"), v["shows_in_order"].as_u64().expect("a place in the order")))
        .collect();
    shown.sort_by(|a, b| a.0.total_cmp(&b.0));
    assert!(shown.iter().map(|s| s.1).eq(1..=shown.len() as u64), "{shown:?}");
    assert_eq!(bare["vents"][0]["made_by"], "rod_pulled");
    assert!(number(&report, "/vents/0/shows_at_s") > 0.0, "{}", report["vents"]);
    // The same bare check says nothing of it in words either.
    assert!(!String::from_utf8_lossy(&mouldbench(&["check", &plan]).stdout).contains("Fill:"));
    assert!(
        String::from_utf8_lossy(&mouldbench(&["check", &plan, "--fill", "--fill-cells", "4000"]).stdout)
            .contains("Fill:")
    );
    // A finer fill must be asked for with the fill.
    assert_eq!(mouldbench(&["check", &plan, "--fill-cells", "4000"]).status.code(), Some(2));
}

#[test]
fn the_users_own_shop_file_counts_and_sources_are_told() {
    let (dir, path) = fresh("p.ron");
    let mesh = file("tests/assets/tied_towers.stl");
    let plan = mouldbench::study::propose::bare_plan("Towers", &mesh, "", mouldbench::plan::Unit::Millimetre);
    plan_file::save(&plan, path.as_ref()).expect("saved");
    let own = dir.path().join("mouldbench");
    std::fs::create_dir(&own).expect("a folder");
    let text = r#"MouldbenchShop(
    format: "mouldbench-shop",
    version: 1,
    limits: (
        above_mm: 44.0, // the tall cup
    ),
)
"#;
    std::fs::write(own.join("shop.ron"), text).expect("written");
    let output = in_configuration(dir.path(), &["check", &path, "--json", "--sources"]);
    let report = json(&output);
    assert_eq!(number(&report, "/block/above_mm"), 44.0);
    let sources = list(&report, "/sources");
    let above = sources.iter().find(|s| s["figure"] == "block.above_mm").expect("told");
    assert_eq!(above["key"], "limits/above_mm");
    assert_eq!((above["value"].as_str(), above["source"].as_str()), (Some("44.0"), Some("the tall cup")));
    // Every figure that is named stands in the report, and every one has a source.
    for s in sources {
        let pointer = format!("/{}", s["figure"].as_str().expect("a name").replace('.', "/"));
        assert!(report.pointer(&pointer).is_some(), "{pointer}");
        assert!(!s["source"].as_str().expect("words").is_empty() && s["value"] != "null", "{s}");
    }
    // Without it, or with another file named, that one does not count.
    let plain = json(&mouldbench(&["check", &path, "--json"]));
    assert_eq!(number(&plain, "/block/above_mm"), 30.0);
    assert!(plain.get("sources").is_none());
    let other = dir.path().join("other.ron").to_string_lossy().into_owned();
    std::fs::write(&other, text.replace("44.0", "-44.0")).expect("written");
    let refused = in_configuration(dir.path(), &["check", &path, "--shop", &other]);
    assert_eq!(refused.status.code(), Some(2));
    assert!(said(&refused).contains("line 5, column 9"), "{}", said(&refused));
}

/// A block 40 x 30 x 20 with a hole Ø10 through it and a pocket 10 x 4, 2 mm deep, in one of its long sides.
fn window_and_pocket() -> Mesh {
    let block = solids::cuboid(Vec3::new(-20.0, -15.0, -10.0), Vec3::new(20.0, 15.0, 10.0));
    let drill = solids::cylinder(Vec3::new(0.0, 0.0, -15.0), Vec3::new(0.0, 0.0, 15.0), 5.0, 48);
    let pocket = solids::cuboid(Vec3::new(-5.0, 13.0, -2.0), Vec3::new(5.0, 17.0, 2.0));
    boolean::subtract(&block, &[&drill, &pocket]).expect("cut")
}

/// What the report says of the parting, the rubber and the cut, on a part whose answers are known.
#[test]
#[ignore = "long"]
fn long_parting_rubber_and_cut_are_told_with_their_measures() {
    let (dir, mesh) = fresh("part.stl");
    write_stl(&mesh, &window_and_pocket());
    let checked = |name: &str, draw: &str| {
        let plan = dir.path().join(name).to_string_lossy().into_owned();
        let made = mouldbench(&["plan", &mesh, "--out", &plan, "--up", "1,0,0", "--draw", draw]);
        assert!(made.status.success(), "{}", said(&made));
        json(&mouldbench(&["check", &plan, "--json"]))
    };
    let near = |report: &serde_json::Value, path: &str, want: f64, within: f64| {
        let got = number(report, path);
        assert!((got - want).abs() <= within, "{path}: {got}, not {want}");
    };
    // The hole is a polygon of 48 sides about a radius of 5.
    let (girth, polygon) = (96.0 * 5.0 * (PI / 48.0).sin(), 24.0 * 25.0 * (PI / 24.0).sin());
    let along = checked("along.ron", "0,0,1");
    let kinds: Vec<&str> = list(&along, "/parting/loops").iter().filter_map(|l| l["kind"].as_str()).collect();
    assert_eq!(kinds, ["parting", "shut_off"]);
    near(&along, "/parting/loops/0/length_mm", 140.0, 0.01);
    near(&along, "/parting/loops/1/length_mm", girth, 0.01);
    assert!(list(&along, "/parting/locked").is_empty());
    // One undercut: the walls and the floor of the pocket, 2·(10 + 4)·2 + 10·4.
    assert_eq!(list(&along, "/parting/undercuts").len(), 1);
    near(&along, "/parting/undercuts/0/area_mm2", 96.0, 0.1);
    near(&along, "/parting/hidden_from_both_mm2", 96.0, 0.1);
    near(&along, "/parting/undercuts/0/depth_mm", 2.0, 0.05);
    let undercut = &along["parting"]["undercuts"][0];
    assert_eq!((undercut["kind"].as_str(), undercut["closed_round"].as_bool()), (Some("tongue"), Some(false)));
    assert!((0.0..1.0).contains(&number(&along, "/parting/undercuts/0/stretch")));
    // 2 mm at 40 A lies between what lets go by itself and with care, 1 and 2.5 mm: common practice, no source.
    assert_eq!(undercut["verdict"], "with_care");
    assert_eq!(list(&along, "/parting/shut_offs").len(), 1);
    near(&along, "/parting/shut_offs/0/length_mm", girth, 0.01);
    near(&along, "/parting/shut_offs/0/area_mm2", polygon, 0.05);
    near(&along, "/parting/shut_offs/0/span_mm", 10.0, 0.03);
    assert!([1.0, 2.0].contains(&number(&along, "/parting/shut_offs/0/plug")));
    let ends =
        number(&along, "/parting/shut_offs/0/from_ends_mm/0") + number(&along, "/parting/shut_offs/0/from_ends_mm/1");
    assert!((ends - 20.0).abs() < 0.01, "{ends}");
    // The plug of rubber in the hole.
    assert_eq!(list(&along, "/rubber").len(), 1);
    assert_eq!(along["rubber"][0]["kind"], "plug");
    near(&along, "/rubber/0/thickness_mm", 10.0, 0.2);
    near(&along, "/rubber/0/length_mm", 20.0, 0.2);
    near(&along, "/rubber/0/slenderness", 2.0, 0.05);
    // The knife has at least the wall of rubber to go through, and less than the block is deep.
    let deepest = (0..3).map(|i| number(&along, &format!("/block/size_mm/{i}"))).fold(0.0, f64::max);
    let (least, most) = (number(&along, "/cut/knife_depth_mm/min"), number(&along, "/cut/knife_depth_mm/max"));
    assert!(least >= number(&along, "/block/wall_mm") - 0.01 && least <= most && most < deepest, "{least} to {most}");
    assert!(number(&along, "/cut/least_rubber_mm") >= 10.0);
    // At least three keys a side.
    assert!(number(&along, "/cut/keys") >= 12.0);
    near(&along, "/cut/tape_mm", 140.0, 0.01);
    let channels = number(&along, "/resin/cavity_mm3") - number(&along, "/resin/part_mm3");
    near(&along, "/block/channels_mm3", channels, 1e-6);

    // Drawn across it the hole locks the rubber of the half that fills it: one handle, of which its wall is the undercut.
    let across = checked("across.ron", "1,0,0");
    assert_eq!(list(&across, "/parting/locked").len(), 1);
    for (figure, want) in [("handles", 1.0), ("genus", 1.0), ("loops", 1.0), ("left", 1.0)] {
        near(&across, &format!("/parting/locked/0/{figure}"), want, 0.0);
    }
    near(&across, "/parting/locked/0/holes/0/length_mm", 20.0, 0.05);
    near(&across, "/parting/locked/0/holes/0/width_mm", 10.0, 0.05);
    near(&across, "/parting/loops/0/length_mm", 100.0, 0.01);
    assert!(list(&across, "/parting/shut_offs").is_empty());
    near(&across, "/parting/hidden_from_both_mm2", 96.0 + girth * 20.0, 0.5);
    let core = &across["parting"]["undercuts"][0];
    assert_eq!((core["kind"].as_str(), core["verdict"].as_str()), (Some("core"), Some("loose_piece")));
    near(&across, "/parting/undercuts/0/area_mm2", girth * 20.0, 0.5);
}
