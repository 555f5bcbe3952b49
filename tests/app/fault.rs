//! It came out wrong: pointed at in the view, told in the panel.

use super::bench::Bench;
use glam::{DVec3, Vec3};
use mouldbench::mesh::solids;
use mouldbench::plan::Spot;
use mouldbench::study::findings::Step;
use mouldbench::study::lessons::came_out_wrong::Fault;

#[test]
fn a_fault_that_is_pointed_at_has_its_causes_told_and_takes_nothing_into_the_plan() {
    let mut bench = Bench::with_mesh("plate", &solids::cuboid(Vec3::ZERO, Vec3::new(40.0, 20.0, 6.0)));
    bench.go_to("Casting");
    bench.bring_up("Point at the fault");
    assert!(bench.says("then click the place"));
    let before = bench.app().plan().cloned();
    bench.click("Point at the fault");
    let middle = bench.app().canvas().rect().center();
    bench.click_at(middle);
    assert!(bench.app().fault_place().is_some(), "the part is in the middle");
    assert!(bench.app().plan().cloned() == before && bench.app().step() == Step::Casting);
    bench.bring_up("Forget the place");
    // The plate has no vent at all: its top is one pocket.
    assert!(bench.says("1. This pocket of"));
    // What is wrong decides what is told.
    let app = bench.harness.state_mut();
    app.set_fault(Fault::Tear);
    app.point_at_fault(Spot { part: 0, position: DVec3::new(20.0, 10.0, 6.0), normal: DVec3::Z });
    bench.settle();
    assert!(bench.says("taken out before it is hard") && !bench.says("1. This pocket of"));
    bench.bring_up("Forget the place");
    bench.click("Forget the place");
    assert!(bench.app().fault_place().is_none() && !bench.has("Forget the place"));
}
