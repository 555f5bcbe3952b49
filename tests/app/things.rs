//! Placed things: put by a click on the part, dragged, typed, undone, deleted.

use super::bench::Bench;
use egui::{Key, Modifiers, Pos2, vec2};
use mouldbench::app::thing::Thing;

/// Places in the window where the part's outside is seen, well apart.
pub fn places(bench: &Bench) -> Vec<Pos2> {
    let canvas = bench.app().canvas();
    let rect = canvas.rect();
    let mut found: Vec<Pos2> = Vec::new();
    for j in 4..28 {
        for i in 4..28 {
            let at = rect.min + rect.size() * vec2(i as f32 / 32.0, j as f32 / 32.0);
            // All four sides too, so that a pixel more or less makes no difference.
            let steady = [vec2(0.0, 0.0), vec2(3.0, 0.0), vec2(-3.0, 0.0), vec2(0.0, 3.0), vec2(0.0, -3.0)];
            if steady.iter().all(|d| canvas.surface_at(at + *d).is_some())
                && found.iter().all(|p| p.distance(at) > 70.0)
            {
                found.push(at);
            }
        }
    }
    assert!(found.len() >= 3, "the part must be seen, only {} places are", found.len());
    found
}

#[test]
fn a_vent_is_put_dragged_undone_and_redone() {
    let mut bench = Bench::with_ring();
    bench.go_to("Vents");
    let before = bench.app().plan().expect("a plan").vents.len();
    bench.click("Place vents");
    let [from, to] = places(&bench)[..2] else { unreachable!() };
    let (point, _) = bench.app().canvas().surface_at(from).expect("the part");
    bench.click_at(from);
    let vents = bench.app().plan().expect("a plan").vents.clone();
    assert_eq!(vents.len(), before + 1);
    let vent = vents.last().expect("the new vent").clone();
    let frames = bench.app().known().setting().expect("frames").frames.clone();
    let off = frames.spot_in_work(&vent.at).distance(point);
    // Half a pixel of the part at this size is well under a millimetre.
    assert!(off < 0.6, "the vent is {off} mm from the click");
    assert!((vent.at.normal.length() - 1.0).abs() < 1e-6);
    assert_eq!(bench.app().chosen(), Some(Thing::Vent(vent.number)));
    assert!(bench.says(&format!("Undo put vent {}", vent.number)));

    // A drag from the tag or the mouth moves it along the surface; it is one edit.
    bench.click("Place vents");
    let mouth = bench.app().canvas().on_screen(frames.spot_in_work(&vent.at)).expect("in sight");
    let (target, _) = bench.app().canvas().surface_at(to).expect("the part");
    bench.drag(mouth, to);
    let moved = bench.app().plan().expect("a plan").vents.last().expect("the vent").clone();
    let off = frames.spot_in_work(&moved.at).distance(target);
    assert!(off < 0.8, "dragged to {off} mm from where it was let go");
    assert!(bench.says(&format!("Undo move vent {}", vent.number)));

    bench.key(Modifiers::COMMAND, Key::Z);
    assert_eq!(bench.app().plan().expect("a plan").vents.last(), Some(&vent));
    bench.key(Modifiers::COMMAND, Key::Z);
    assert_eq!(bench.app().plan().expect("a plan").vents.len(), before);
    bench.key(Modifiers::COMMAND | Modifiers::SHIFT, Key::Z);
    bench.key(Modifiers::COMMAND, Key::Y);
    assert_eq!(bench.app().plan().expect("a plan").vents.last(), Some(&moved));
}

#[test]
#[ignore = "long"]
fn long_a_gate_an_insert_and_a_pin_are_put_by_a_click_and_deleted_by_a_key() {
    for (step, tool) in [("Feed", "Place gates"), ("Inserts", "Place inserts"), ("Parting", "Pin the line")] {
        let mut bench = Bench::with_ring();
        bench.go_to(step);
        let plan = bench.app().plan().expect("a plan").clone();
        bench.click(tool);
        let at = places(&bench)[1];
        bench.click_at(at);
        let with = bench.app().plan().expect("a plan").clone();
        assert_ne!(with, plan, "{tool}");
        let thing = bench.app().chosen().unwrap_or_else(|| panic!("{tool} chooses what it put"));
        assert!(thing.spot(&with).is_some());
        bench.key(Modifiers::NONE, Key::Delete);
        assert_eq!(*bench.app().plan().expect("a plan"), plan, "{tool}");
        bench.key(Modifiers::COMMAND, Key::Z);
        assert_eq!(*bench.app().plan().expect("a plan"), with, "{tool}");
    }
}

#[test]
#[ignore = "long"]
fn long_a_typed_place_is_taken_onto_the_part_with_its_normal_and_one_edit() {
    let mut bench = Bench::with_ring();
    bench.go_to("Vents");
    bench.click("Place vents");
    let at = places(&bench)[0];
    bench.click_at(at);
    let vent = |bench: &Bench| bench.app().plan().expect("a plan").vents.last().expect("a vent").clone();
    let in_work = |bench: &Bench| {
        let frames = bench.app().known().setting().expect("frames").frames.clone();
        (frames.spot_in_work(&vent(bench).at), frames.normal_in_work(&vent(bench).at))
    };
    let put = vent(&bench);
    let half = bench.app().known().setting().expect("a block").block.size_mm / 2.0;
    // A place beside the ring: the vent goes to the nearest place of it, and the window says how far that is.
    bench.type_into("From the left wall", &format!("{}", half.x + 55.0));
    assert!(bench.says("mm off the part"), "the distance is said");
    let (place, normal) = in_work(&bench);
    let body = bench.app().known().facts.as_ref().and_then(|f| f.body.clone()).expect("a body");
    let nearest = body.tree.nearest(place).expect("the part");
    assert!(nearest.distance < 1e-3, "it sits {} mm off the part", nearest.distance);
    assert!(normal.dot(body.mesh.unit_normal(nearest.triangle as usize)) > 0.9999, "normal {normal}");
    assert_ne!(vent(&bench).at.normal, put.at.normal);
    bench.key(Modifiers::COMMAND, Key::Z);
    assert_eq!(vent(&bench), put, "typing is one edit");
    assert!(!bench.says("mm off the part"));
    bench.key(Modifiers::COMMAND | Modifiers::SHIFT, Key::Z);

    // All three figures of a place on the part, one after the other: it stays exactly where it was typed.
    let frames = bench.app().known().setting().expect("frames").frames.clone();
    let centroid = body.mesh.corners(0).iter().sum::<glam::Vec3>() / 3.0;
    let target = frames.point_in_box(centroid);
    // Counted as on paper: from the left wall, the front wall and the floor; this master is as large as its part.
    let counted = target + half.with_z(0.0);
    for (label, value) in
        ["From the left wall", "From the front wall", "Above the floor"].into_iter().zip(counted.to_array())
    {
        bench.type_into(label, &format!("{value}"));
    }
    let (place, normal) = in_work(&bench);
    let sits = frames.point_in_box(place);
    assert!(sits.distance(target) < 1e-5, "typed {target}, sits at {sits}");
    assert!(!bench.says("mm off the part"));
    assert!(normal.dot(body.mesh.unit_normal(0)) > 0.999, "normal {normal}");
}

#[test]
#[ignore = "long"]
fn long_a_gate_from_below_gets_a_runner_clear_of_the_part_in_the_same_edit() {
    let mut bench = Bench::with_ring();
    bench.clear_plan();
    bench.go_to("Feed");
    bench.key(Modifiers::NONE, Key::V);
    bench.key(Modifiers::NONE, Key::PageDown);
    bench.click("Place gates");
    let before = bench.app().plan().expect("a plan").clone();
    let at = places(&bench)[0];
    let (_, normal) = bench.app().canvas().surface_at(at).expect("the part");
    assert!(normal.z < 0.0, "seen from below: {normal}");
    bench.click_at(at);
    let gate = bench.app().plan().expect("a plan").feed.gates[0].clone();
    assert!(!gate.runner.is_empty(), "straight up would go through the part");
    let clear = |bench: &Bench| {
        let facts = bench.app().known().facts.clone().expect("facts");
        let body = facts.body.as_ref().expect("a body");
        let rods = &facts.setting.channels.gates[0].rods;
        // The first stretch, narrow end and what follows it, is still leaving the part.
        let along = rods[2..].iter().flat_map(|r| (0..=50).map(|i| r.from.lerp(r.to, i as f32 / 50.0)));
        along.map(|p| body.tree.nearest(p).expect("the part").distance).fold(f32::INFINITY, f32::min)
    };
    // The level run may come nearer than the rod that stands up by 15 in 100.
    let least = 0.85 * (bench.app().shop().limits.least_rubber_mm + gate.runner_diameter_mm / 2.0) as f32;
    assert!(clear(&bench) > least - 1e-3, "{} mm, not {least}", clear(&bench));
    bench.key(Modifiers::COMMAND, Key::Z);
    assert_eq!(*bench.app().plan().expect("a plan"), before, "gate and runner are one edit");
    bench.key(Modifiers::COMMAND | Modifiers::SHIFT, Key::Z);

    // Dragged elsewhere the runner follows.
    bench.click("Place gates");
    let mouth = bench.app().known().setting().expect("frames").frames.spot_in_work(&gate.at);
    let from = bench.app().canvas().on_screen(mouth).expect("in sight");
    bench.drag(from, places(&bench).into_iter().max_by(|a, b| a.distance(from).total_cmp(&b.distance(from))).unwrap());
    let moved = bench.app().plan().expect("a plan").feed.gates[0].clone();
    assert_ne!(moved.at, gate.at);
    assert_ne!(moved.runner, gate.runner);
    assert!(clear(&bench) > least - 1e-3, "{} mm, not {least}", clear(&bench));
    bench.key(Modifiers::COMMAND, Key::Z);
    assert_eq!(bench.app().plan().expect("a plan").feed.gates[0], gate, "the move and its runner are one edit");

    bench.choose("Resin comes", "From above");
    assert!(bench.app().plan().expect("a plan").feed.gates[0].runner.is_empty());
}

#[test]
fn a_stroke_marks_what_shows() {
    let mut bench = Bench::with_ring();
    bench.go_to("Part");
    bench.click("Mark shown surface");
    let [from, to] = places(&bench)[..2] else { unreachable!() };
    let before = bench.app().plan().expect("a plan").shown.len();
    bench.drag(from, to);
    let plan = bench.app().plan().expect("a plan").clone();
    assert_eq!(plan.shown.len(), before + 1);
    assert!(plan.shown.last().expect("the stroke").stroke.len() > 1);
    bench.key(Modifiers::COMMAND, Key::Z);
    assert_eq!(bench.app().plan().expect("a plan").shown.len(), before);
}

#[test]
fn dragging_the_part_in_hang_turns_it_as_one_edit() {
    let mut bench = Bench::with_ring();
    bench.go_to("Hang");
    bench.click("Turn");
    let at = places(&bench)[0];
    let before = bench.app().plan().expect("a plan").hang;
    bench.drag(at, at + vec2(60.0, 25.0));
    let after = bench.app().plan().expect("a plan").hang;
    assert_ne!(before, after);
    assert!((after.rubber.up.length() - 1.0).abs() < 1e-9);
    bench.key(Modifiers::COMMAND, Key::Z);
    assert_eq!(bench.app().plan().expect("a plan").hang, before);
}

#[test]
fn a_face_is_brought_to_the_floor() {
    let mut bench = Bench::with_ring();
    bench.go_to("Hang");
    bench.click("Face to the floor");
    let at = places(&bench)[0];
    let (_, normal) = bench.app().canvas().surface_at(at).expect("the part");
    bench.click_at(at);
    let up = bench.app().plan().expect("a plan").hang.rubber.up;
    assert!((up + normal.as_dvec3()).length() < 1e-3, "up {up} for a face that looked along {normal}");
}
