//! A set made in the window: copies, another part, moved and taken out, each undone.

use super::bench::{Bench, stl_of};
use egui::{Key, Modifiers};
use glam::Vec3;
use mouldbench::mesh::solids;

fn undo(bench: &mut Bench) {
    bench.key(Modifiers::COMMAND, Key::Z);
}

fn parts(bench: &Bench) -> usize {
    bench.app().plan().map_or(0, |p| p.parts.len())
}

fn undo_name(bench: &Bench) -> Option<String> {
    bench.app().document().and_then(|d| d.history.undo_name().map(str::to_owned))
}

#[test]
#[ignore = "long"]
fn long_copies_and_other_parts_are_added_moved_and_taken_out_and_all_of_it_is_undone() {
    let mut bench = Bench::with_mesh("ball", &solids::ball(Vec3::ZERO, 12.0, 3));
    bench.go_to("Part");
    assert!(!bench.has("Lay the set out anew"), "one part alone has no rows");
    bench.bring_up("Add a copy");
    bench.click("Add a copy");
    assert_eq!((parts(&bench), undo_name(&bench).as_deref()), (2, Some("Add a copy")));
    let least = bench.app().shop().limits.least_rubber_mm;
    let report = bench.app().known().report.clone().expect("a report");
    assert!(report.parts[1].to_next_mm.expect("measured") > least - 0.01);
    assert!(bench.says("2 × ball"), "the job card counts them");

    let cone = solids::frustum(Vec3::ZERO, Vec3::new(0.0, 0.0, 15.0), 12.0, 6.0, 24);
    let path = bench.folder.path().join("cone.stl");
    std::fs::write(&path, stl_of(&cone)).expect("a mesh file");
    bench.bring_up("Add another part…");
    bench.click("Add another part…");
    bench.type_into("Path", &path.to_string_lossy());
    assert_eq!((parts(&bench), undo_name(&bench).as_deref()), (3, Some("Add another part")));
    let added = bench.app().plan().expect("a plan").parts[2].clone();
    assert_eq!((added.mesh.as_str(), added.name.as_str()), (&*path.to_string_lossy(), "cone"), "by its whole path");
    assert!(!added.digest.is_empty());

    // Moved by typing, along the box.
    bench.click_start("ball 2");
    bench.bring_up("Upwards");
    let before = bench.app().part_offset(1).expect("read");
    bench.type_into("Upwards", "7");
    let after = bench.app().part_offset(1).expect("read");
    assert!((after.z - 7.0).abs() < 1e-6 && (after - before).truncate().length() < 1e-6, "{before} {after}");
    assert_eq!(undo_name(&bench).as_deref(), Some("Move ball 2"));
    undo(&mut bench);
    assert!((bench.app().part_offset(1).expect("read") - before).length() < 1e-9);
    bench.type_into("Turned about up", "90");
    assert!((bench.app().part_turn_deg(1).expect("read") - 90.0).abs() < 1e-6);
    assert!((bench.app().part_offset(1).expect("read") - before).length() < 1e-6, "about its own middle");

    bench.bring_up("Lay the set out anew");
    bench.click("Lay the set out anew");
    assert_eq!(undo_name(&bench).as_deref(), Some("Lay the set out anew"));
    bench.bring_up("Take ball 2 out");
    bench.click("Take ball 2 out");
    assert_eq!((parts(&bench), undo_name(&bench).as_deref()), (2, Some("Take ball 2 out")));
    while undo_name(&bench).is_some() {
        undo(&mut bench);
    }
    assert_eq!(parts(&bench), 1);
}

#[test]
fn a_file_that_is_no_mesh_leaves_the_set_as_it_is() {
    let mut bench = Bench::with_mesh("ball", &solids::ball(Vec3::ZERO, 12.0, 3));
    bench.go_to("Part");
    let path = bench.folder.path().join("torn.stl");
    std::fs::write(&path, b"solid nothing of the kind").expect("a file");
    bench.bring_up("Add another part…");
    bench.click("Add another part…");
    bench.type_into("Path", &path.to_string_lossy());
    assert_eq!((parts(&bench), undo_name(&bench)), (1, None));
    assert!(bench.says("torn.stl"), "it is told which file");
}

/// Two unequal parts and a copy, hung by a click on the map: one edit that also lays the rows out anew; nothing runs into
/// anything, the map holds, and its figures are those that a proposal weighs.
#[test]
#[ignore = "long"]
fn long_a_set_hung_from_the_map_is_laid_out_anew() {
    let mut bench = Bench::with_mesh("cone", &solids::frustum(Vec3::ZERO, Vec3::new(40.0, 0.0, 0.0), 18.0, 1.0, 32));
    let path = bench.folder.path().join("bar.stl");
    std::fs::write(&path, stl_of(&solids::cuboid(Vec3::splat(900.0), Vec3::new(914.0, 909.0, 960.0))))
        .expect("a mesh file");
    bench.go_to("Part");
    bench.bring_up("Add another part…");
    bench.click("Add another part…");
    bench.type_into("Path", &path.to_string_lossy());
    bench.bring_up("Add a copy");
    bench.harness.state_mut().add_copy(0);
    bench.settle();
    assert_eq!(parts(&bench), 3);
    bench.go_to("Hang");
    bench.bring_up("Measure ways up");
    bench.click("Measure ways up");
    let before = bench.app().plan().expect("a plan").clone();
    let ways = bench.app().ways_up().expect("measured");
    // A way up that is none of those that stand: the bar lying, the cone leaning.
    let way = ways.search.scored[ways.search.nearest(Vec3::new(-0.6, 0.5, -0.62).normalize())];
    bench.harness.state_mut().hang_as(&way);
    bench.settle();
    assert_eq!(undo_name(&bench).as_deref(), Some("Hang it this way up"));
    let after = bench.app().plan().expect("a plan").clone();
    assert!(after.hang.rubber.up.dot(way.up.as_dvec3()) > 0.999_999);
    let known = bench.app().known();
    assert!(known.findings.iter().all(|f| f.code != "parts-overlap" && f.code != "parts-near"), "{:?}", known.findings);
    let facts = known.facts.clone().expect("facts");
    let least = bench.app().shop().limits.least_rubber_mm;
    let between = &facts.between;
    assert!(between.len() == 3 && between.iter().all(|b| b.distance_mm > least - 0.01), "{between:?}");
    let tops: Vec<f32> = facts.setting.upright.iter().map(|b| b.max.z).collect();
    assert!(tops.iter().all(|t| (t - tops[0]).abs() < 0.01), "tops level in the new way up: {tops:?}");
    let held = bench.app().ways_up().expect("kept");
    assert!(bench.app().ways_up_hold(&held), "the map still tells of these parts");
    assert_eq!(held.search.scored, ways.search.scored);
    let (now, then) = (held.search.hung.criteria, way.criteria);
    assert!((now.height_mm - then.height_mm).abs() < 1e-3, "how it hangs now was measured at once");
    assert_eq!((now.high_points, now.block_mm), (then.high_points, then.block_mm));
    undo(&mut bench);
    assert_eq!(*bench.app().plan().expect("a plan"), before, "hang and rows are one edit");

    // Along an axis it is the same.
    bench.bring_up("+X");
    bench.click("+X");
    assert_eq!(undo_name(&bench).as_deref(), Some("Hang it this way up"));
    let facts = bench.app().known().facts.clone().expect("facts");
    let tops: Vec<f32> = facts.setting.upright.iter().map(|b| b.max.z).collect();
    assert!(bench.app().plan().expect("a plan").hang.rubber.up == glam::DVec3::X);
    assert!(tops.iter().all(|t| (t - tops[0]).abs() < 0.01), "{tops:?}");
    assert!(facts.between.iter().all(|b| b.distance_mm > least - 0.01), "{:?}", facts.between);
}
