//! Placed things: put by a click on the part, dragged, typed, undone, deleted.

use super::bench::Bench;
use egui::{Key, Modifiers, Pos2, vec2};
use mouldbench::app::thing::Thing;

/// Places in the window where the part's outside is seen, well apart.
fn places(bench: &Bench) -> Vec<Pos2> {
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
fn a_gate_an_insert_and_a_pin_are_put_by_a_click_and_deleted_by_a_key() {
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
fn a_typed_place_is_exact_and_one_edit() {
    let mut bench = Bench::with_ring();
    bench.go_to("Vents");
    bench.click("Place vents");
    let at = places(&bench)[0];
    bench.click_at(at);
    let number = bench.app().plan().expect("a plan").vents.last().expect("a vent").number;
    let in_box = |bench: &Bench| {
        let frames = bench.app().known().setting().expect("frames").frames.clone();
        let vent = bench.app().plan().expect("a plan").vents.last().expect("a vent").clone();
        frames.point_in_box(frames.spot_in_work(&vent.at))
    };
    let before = in_box(&bench);
    bench.type_into("X from the middle", "12.25");
    let after = in_box(&bench);
    assert!((after.x - 12.25).abs() < 1e-4, "{after}");
    assert!((after.y - before.y).abs() < 1e-4 && (after.z - before.z).abs() < 1e-4, "{before} {after}");
    bench.key(Modifiers::COMMAND, Key::Z);
    assert!((in_box(&bench) - before).length() < 1e-4);
    assert!(bench.says(&format!("Undo put vent {number}")));
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
