//! Ways up in the hang step: measured, shown on the map, chosen from the list, weighed.

use super::bench::Bench;
use egui::{Key, Modifiers, Pos2, vec2};
use egui_kittest::kittest::Queryable;
use glam::{DVec3, Vec3};
use mouldbench::mesh::{Mesh, solids};
use mouldbench::study::ways_up::Criterion;
use std::sync::Arc;

fn up(bench: &Bench) -> DVec3 {
    bench.app().plan().expect("a plan").hang.rubber.up
}

fn measured(mesh: &Mesh) -> Bench {
    let mut bench = Bench::with_mesh("cone", mesh);
    bench.clear_plan();
    bench.go_to("Hang");
    bench.bring_up("Measure ways up");
    bench.click("Measure ways up");
    bench
}

/// A cone lying on its side: tip along X+.
fn lying_cone() -> Mesh {
    solids::frustum(Vec3::ZERO, Vec3::new(40.0, 0.0, 0.0), 18.0, 1.0, 32)
}

/// The middle of a disc of the map; the first has Z+ there.
fn middle(bench: &mut Bench, disc: usize) -> (Pos2, f32) {
    bench.harness.get_by_label_contains("Map of ways up").scroll_to_me();
    bench.settle();
    let rect = bench.harness.get_by_label_contains("Map of ways up").rect();
    // Both discs and the room round them share the width.
    let radius = rect.height() / 2.0 - 18.0;
    let aside = (radius + 9.0) * if disc == 0 { -1.0 } else { 1.0 };
    (rect.center() + vec2(aside, 0.0), radius)
}

#[test]
#[ignore = "long"]
fn long_a_click_on_the_map_hangs_the_part_that_way_and_is_undone_as_one() {
    let mut bench = measured(&lying_cone());
    let ways = bench.app().ways_up().expect("measured");
    assert!(ways.search.complete && ways.search.scored.len() >= 200);
    let before = up(&bench);
    let (at, radius) = middle(&mut bench, 1);
    bench.click_at(at);
    assert!(up(&bench).dot(-DVec3::Z) > 0.999_999, "{}", up(&bench));
    assert!(bench.app().ways_up().expect("kept").search.hung.up.z < -0.999, "how it hangs now is measured at once");
    bench.key(Modifiers::COMMAND, Key::Z);
    assert_eq!(up(&bench), before);
    // The rim of the left disc on its left is X−, as is the right end of none other.
    let (at, _) = middle(&mut bench, 0);
    bench.click_at(at - vec2(radius - 1.0, 0.0));
    assert!(up(&bench).dot(-DVec3::X) > 0.97, "{}", up(&bench));
    let (at, _) = middle(&mut bench, 0);
    bench.harness.hover_at(at);
    bench.harness.run_steps(40);
    assert!(bench.says("Near-level ceiling, mm²: ") && bench.says("+Z up"), "hovering tells the numbers");
    let picture = bench.picture("hang_map");
    let colours: std::collections::HashSet<_> =
        (0..200).map(|i| picture.get_pixel((at.x - 60.0) as u32 + i % 100, (at.y - 30.0) as u32 + i / 4).0).collect();
    assert!(colours.len() > 10, "the map has colours: {}", colours.len());
}

#[test]
#[ignore = "long"]
fn long_a_candidate_is_taken_from_the_list() {
    let mut bench = measured(&lying_cone());
    let ways = bench.app().ways_up().expect("measured");
    let best = ways.search.scored[ways.search.best(&Default::default())].up;
    assert!(bench.says("than as hung") || bench.says("Much the same"), "what each trades is said");
    bench.click_start("1: ");
    assert!(up(&bench).dot(best.as_dvec3()) > 0.999_999, "{} / {best}", up(&bench));
    // The one that was taken is not told to differ from itself, and card, list and map write a direction alike.
    assert!(bench.has("As it hangs now"));
    let said = mouldbench::study::ways_up::words::direction(best);
    assert!(bench.says(&format!("1: {said}")) && bench.says(&format!("Part’s {said}")), "{said}");
    bench.key(Modifiers::COMMAND, Key::Z);
    assert_eq!(up(&bench), DVec3::Z);
    assert!(bench.unnamed().is_empty(), "{:?}", bench.unnamed());
}

/// Findings stand above the long lists of the hang step, an opened one is scrolled into sight, and its place stays lit.
#[test]
fn findings_of_the_hang_are_near_the_top() {
    let mut bench = Bench::with_mesh("plate", &solids::cuboid(Vec3::ZERO, Vec3::new(80.0, 50.0, 4.0)));
    bench.clear_plan();
    bench.go_to("Hang");
    let findings = bench.harness.get_by_label("Findings").rect();
    assert!(findings.top() < 700.0, "{findings:?}");
    assert!(findings.top() < bench.harness.get_by_label("Measure ways up").rect().top());
    bench.click_start("Note: Raise the ");
    let opened = bench.harness.get_by_label("Prop the block so").rect();
    assert!(opened.bottom() < 860.0, "what it offers is in sight: {opened:?}");
}

#[test]
#[ignore = "long"]
fn long_weights_change_the_choice_without_a_new_search() {
    let mut bench = measured(&lying_cone());
    let before = bench.app().ways_up().expect("measured");
    bench.bring_up("What counts how much");
    bench.click("What counts how much");
    bench.bring_up(Criterion::Height.weighed());
    bench.type_into(Criterion::Height.weighed(), "500");
    let weights = bench.app().plan().expect("a plan").hang.weights;
    assert_eq!(weights.height, 500.0);
    let after = bench.app().ways_up().expect("kept");
    assert!(Arc::ptr_eq(&before, &after), "nothing was measured again");
    let lowest = after.search.scored.iter().map(|s| s.criteria.height_mm).fold(f64::INFINITY, f64::min);
    bench.click_start("1: ");
    let hung = bench.app().ways_up().expect("kept").search.hung;
    assert!((hung.criteria.height_mm - lowest).abs() < 1e-3, "{} / {lowest}", hung.criteria.height_mm);
    bench.bring_up("Usual weights");
    bench.click("Usual weights");
    assert_eq!(bench.app().plan().expect("a plan").hang.weights, Default::default());
    bench.key(Modifiers::COMMAND, Key::Z);
    assert_eq!(bench.app().plan().expect("a plan").hang.weights.height, 500.0);
}

#[test]
fn the_map_shows_one_criterion_and_says_which() {
    let mut bench = measured(&lying_cone());
    assert!(bench.says("coloured by: All together"));
    bench.bring_up("Map by");
    bench.choose("Map by", Criterion::Ceiling.label());
    assert!(bench.says("coloured by: Near-level ceiling, mm²"));
    bench.picture("hang_map_ceiling");
}

#[test]
#[ignore = "long"]
fn long_ways_up_of_another_part_cannot_be_taken() {
    let mut bench = measured(&lying_cone());
    bench.harness.state_mut().edit("Turn the draw", |p| p.parting.draw = DVec3::Z);
    bench.settle();
    assert!(bench.says("before its last change"));
    let before = up(&bench);
    bench.click_start("2: ");
    assert_eq!(up(&bench), before);
    bench.bring_up("Measure ways up");
    bench.click("Measure ways up");
    assert!(!bench.says("before its last change"));
    bench.click_start("2: ");
    assert_ne!(up(&bench), before);
}

/// A level plate: the finding offers a wedge, and one click props the closed block.
#[test]
fn a_wedge_is_set_by_one_click() {
    let mut bench = Bench::with_mesh("plate", &solids::cuboid(Vec3::ZERO, Vec3::new(80.0, 50.0, 4.0)));
    bench.clear_plan();
    bench.go_to("Hang");
    bench.click_start("Note: Raise the ");
    let silicone = bench.app().known().report.as_ref().expect("a report").silicone.mass_g;
    bench.bring_up("Prop the block so");
    bench.click("Prop the block so");
    let plan = bench.app().plan().expect("a plan");
    let cast = plan.hang.cast.expect("its own attitude");
    assert_eq!(plan.hang.rubber.up, DVec3::Z);
    assert!(cast.up.z > 0.9 && cast.up.z < 0.9999, "{cast:?}");
    let report = bench.app().known().report.clone().expect("a report");
    assert!(report.air.standing.near_level_mm2 < 1.0 && report.air.standing.wedge.is_none());
    assert_eq!(report.silicone.mass_g, silicone, "the block is what it is");
    bench.key(Modifiers::COMMAND, Key::Z);
    assert_eq!(bench.app().plan().expect("a plan").hang.cast, None);
}
