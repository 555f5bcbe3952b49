//! Two loose bodies in one file: asked in the Part step, before anything else, and answered by one edit.

use super::bench::{Bench, stl_of};
use egui::{Key, Modifiers, vec2};
use glam::Vec3;
use mouldbench::mesh::{Mesh, solids};
use mouldbench::plan::Bodies;
use mouldbench::study::findings::Step;

/// A crank's arm and its bush beside each other, not touching.
fn loose() -> Mesh {
    let mut mesh = solids::cuboid(Vec3::ZERO, Vec3::new(40.0, 14.0, 12.0));
    mesh.append(&solids::cylinder(Vec3::new(20.0, 30.0, 0.0), Vec3::new(20.0, 30.0, 10.0), 5.0, 24));
    mesh
}

fn undo(bench: &mut Bench) {
    bench.key(Modifiers::COMMAND, Key::Z);
}

#[test]
fn loose_bodies_are_asked_about_before_anything_else() {
    let mut bench = Bench::with_mesh("crank", &loose());
    assert!(bench.says("Part, stop: "), "no green tick over a question");
    assert!(bench.says("One part, or parts of a set?"));
    assert!(bench.says("crank.stl holds 2 bodies that do not touch each other"));
    assert!(bench.says("Stop: crank: 2 bodies that do not touch lie in one file"));
    assert!(!bench.has("Nothing to object to here"));

    // Nothing is proposed past the question.
    let before = bench.app().plan().expect("a plan").clone();
    bench.go_to("Vents");
    bench.click("Propose a whole plan");
    assert_eq!(bench.app().plan(), Some(&before));
    assert_eq!(bench.app().step(), Step::Part, "led to where it is asked");
    assert!(bench.says("Nothing was proposed yet: crank.stl holds 2 bodies"), "{:?}", bench.app().notices());

    bench.click("One part of 2 bodies");
    let plan = bench.app().plan().expect("a plan").clone();
    assert_eq!((plan.parts.len(), plan.parts[0].bodies), (1, Bodies::OnePart));
    assert!(!bench.says("One part, or parts of a set?"));
    assert!(bench.says("Part, in order: ") && bench.has("2, one part"));
    undo(&mut bench);
    assert_eq!(bench.app().plan(), Some(&before), "one edit");
    assert!(bench.says("One part, or parts of a set?"), "asked again");
}

#[test]
#[ignore = "long"]
fn long_loose_bodies_become_parts_of_a_set_with_what_lies_on_them() {
    let mut bench = Bench::with_mesh("crank", &loose());
    // A vent on the bush, whose top is at 10.
    let app = bench.harness.state_mut();
    let spot = app.spot_near(app.known().setting().expect("read").frames.spot_in_work(&mouldbench::plan::Spot {
        part: 0,
        position: glam::DVec3::new(20.0, 30.0, 10.0),
        normal: glam::DVec3::Z,
    }));
    app.place_vent(spot.expect("on the part"));
    bench.settle();
    bench.go_to("Part");
    let before = bench.app().plan().expect("a plan").clone();
    bench.click("2 parts of a set");
    let plan = bench.app().plan().expect("a plan").clone();
    let names: Vec<&str> = plan.parts.iter().map(|p| p.name.as_str()).collect();
    assert_eq!(names, ["crank, body 1", "crank, body 2"], "the larger one first");
    assert_eq!(plan.vents[0].at.part, 1, "the vent lies on the bush");
    assert_eq!(plan.kinds().len(), 2);
    let placed = &bench.app().known().setting().expect("read").placed;
    let volumes: Vec<f64> = placed.loaded.iter().map(|l| l.check.measures.volume_mm3).collect();
    let bush = 24.0 / 2.0 * 25.0 * (std::f64::consts::TAU / 24.0).sin() * 10.0;
    assert!((volumes[0] - 6720.0).abs() < 0.1 && (volumes[1] - bush).abs() < 0.1, "{volumes:?}");
    let least = bench.app().shop().limits.least_rubber_mm;
    let report = bench.app().known().report.clone().expect("a report");
    assert!(report.parts[1].to_next_mm.expect("measured") > least - 0.01, "laid out in rows");
    assert_eq!((report.parts[1].of_bodies, report.parts[1].bodies_in_file), ("one", 2));
    assert!(!bench.says("One part, or parts of a set?"));
    undo(&mut bench);
    assert_eq!(bench.app().plan(), Some(&before), "one edit");

    // Saved and opened again it is the same two.
    bench.click("2 parts of a set");
    let path = bench.folder.path().join("crank.ron");
    bench.save_as(&path);
    let saved = bench.app().plan().expect("a plan").clone();
    let again = Bench::at(vec2(1400.0, 900.0), bench.folder, Some(path), 1.0);
    assert_eq!(again.app().plan(), Some(&saved));
    assert_eq!(again.app().known().setting().expect("read").placed.loaded.len(), 2);
}

#[test]
fn one_body_and_bodies_that_touch_are_not_asked_about() {
    let mut overlapping = solids::cuboid(Vec3::ZERO, Vec3::new(20.0, 14.0, 12.0));
    overlapping.append(&solids::cuboid(Vec3::new(15.0, 2.0, 2.0), Vec3::new(40.0, 10.0, 9.0)));
    let bench = Bench::with_mesh("one", &overlapping);
    assert!(!bench.says("One part, or parts of a set?") && bench.says("Part, in order: "));
}

#[test]
#[ignore = "long"]
fn long_a_set_takes_a_file_of_loose_bodies_and_asks() {
    let mut bench = Bench::with_mesh("ball", &solids::ball(Vec3::ZERO, 12.0, 3));
    bench.go_to("Part");
    let path = bench.folder.path().join("crank.stl");
    std::fs::write(&path, stl_of(&loose())).expect("a mesh file");
    bench.bring_up("Add another part…");
    bench.click("Add another part…");
    bench.type_into("Path", &path.to_string_lossy());
    assert!(bench.says("crank.stl holds 2 bodies"));
    bench.bring_up("2 parts of a set");
    bench.click("2 parts of a set");
    assert_eq!(bench.app().plan().expect("a plan").parts.len(), 3);
}
