//! Frames that take long bring many events at once: a drag is the same however they come.

use super::bench::Bench;
use super::things::places;
use egui::{Event, Modifiers, PointerButton, Pos2, vec2};
use mouldbench::app::thing::Thing;
use mouldbench::plan::Attitude;

fn button(at: Pos2, button: PointerButton, pressed: bool) -> Event {
    Event::PointerButton { pos: at, button, pressed, modifiers: Modifiers::NONE }
}

/// The events of a drag: the way there from far off, the press, the drag, the release, and the way to somewhere else.
fn events(from: Pos2, to: Pos2, with: PointerButton) -> Vec<Event> {
    let along = |a: Pos2, b: Pos2| (1..=4).map(move |i| Event::PointerMoved(a + (b - a) * (i as f32 / 4.0)));
    let far = from + vec2(-150.0, 90.0);
    let mut all: Vec<Event> = along(far, from).collect();
    all.push(button(from, with, true));
    all.extend(along(from, to));
    all.push(button(to, with, false));
    all.extend(along(to, to + vec2(120.0, -140.0)));
    all
}

/// Hands the events to the window in frames of so many.
fn drag(bench: &mut Bench, from: Pos2, to: Pos2, with: PointerButton, a_frame: usize) {
    for some in events(from, to, with).chunks(a_frame) {
        bench.harness.input_mut().events.extend(some.iter().cloned());
        bench.harness.step();
    }
    bench.settle();
}

fn turned_by(before: Attitude, after: Attitude) -> f64 {
    let turn = after.upright_from_set() * before.upright_from_set().inverse();
    let angle = 2.0 * turn.w.abs().min(1.0).acos();
    angle.to_degrees()
}

#[test]
#[ignore = "long"]
fn long_the_part_is_turned_by_the_drag_alone() {
    let mut bench = Bench::with_ring();
    bench.go_to("Hang");
    bench.click("Turn");
    let height = f64::from(bench.app().canvas().rect().height());
    let before = bench.app().plan().expect("a plan").hang.rubber;
    // Half a turn is as long as the view is high.
    let wanted = 40.0 * 180.0 / height;
    for a_frame in [1, 2, 3, 4, 5, 6, 7, 9, 100] {
        let from = places(&bench)[1];
        drag(&mut bench, from, from + vec2(0.0, 40.0), PointerButton::Primary, a_frame);
        let after = bench.app().plan().expect("a plan").hang.rubber;
        let by = turned_by(before, after);
        assert!((by - wanted).abs() < 0.2, "{a_frame} events a frame: turned by {by}°, not {wanted}°");
        bench.key(Modifiers::COMMAND, egui::Key::Z);
        assert_eq!(bench.app().plan().expect("a plan").hang.rubber, before, "{a_frame} events a frame: one edit");
    }
}

#[test]
#[ignore = "long"]
fn long_the_view_and_what_is_placed_follow_the_drag_alone() {
    // Where it ends with one event a frame is where it ends however they come.
    for with in [PointerButton::Primary, PointerButton::Middle] {
        let mut ends = Vec::new();
        for a_frame in [1, 5, 100] {
            let mut bench = Bench::with_ring();
            let from = places(&bench)[0];
            let (point, _) = bench.app().canvas().surface_at(from).expect("the part");
            drag(&mut bench, from, from + vec2(60.0, -30.0), with, a_frame);
            ends.push((bench.app().canvas().backward(), bench.app().canvas().on_screen(point)));
        }
        assert!(ends.iter().all(|e| e.0.distance(ends[0].0) < 1e-3), "{with:?}: {ends:?}");
        let at = |e: &(glam::DVec3, Option<Pos2>)| e.1.expect("in sight");
        assert!(ends.iter().all(|e| at(e).distance(at(&ends[0])) < 1.0), "{with:?}: {ends:?}");
    }
    let mut bench = Bench::with_ring();
    bench.go_to("Vents");
    bench.click("Place vents");
    let [from, to] = places(&bench)[..2] else { unreachable!() };
    bench.click_at(from);
    bench.click("Place vents");
    let Some(Thing::Vent(number)) = bench.app().chosen() else { panic!("a vent is chosen") };
    for a_frame in [2, 4, 6, 100] {
        let frames = bench.app().known().setting().expect("frames").frames.clone();
        let vent = |bench: &Bench| {
            let plan = bench.app().plan().expect("a plan").clone();
            frames.spot_in_work(&plan.vents.iter().find(|v| v.number == number).expect("the vent").at)
        };
        let mouth = bench.app().canvas().on_screen(vent(&bench)).expect("in sight");
        let (target, _) = bench.app().canvas().surface_at(to).expect("the part");
        drag(&mut bench, mouth, to, PointerButton::Primary, a_frame);
        let off = vent(&bench).distance(target);
        assert!(off < 0.8, "{a_frame} events a frame: {off} mm from where it was let go");
        bench.key(Modifiers::COMMAND, egui::Key::Z);
    }
}

#[test]
fn a_click_falls_where_it_was_made() {
    let mut bench = Bench::with_ring();
    bench.go_to("Vents");
    bench.click("Place vents");
    let before = bench.app().plan().expect("a plan").vents.len();
    let [at, away] = places(&bench)[..2] else { unreachable!() };
    let (point, _) = bench.app().canvas().surface_at(at).expect("the part");
    let (press, release) = (button(at, PointerButton::Primary, true), button(at, PointerButton::Primary, false));
    let all = [Event::PointerMoved(away), Event::PointerMoved(at), press, release, Event::PointerMoved(away)];
    bench.harness.input_mut().events.extend(all);
    bench.harness.step();
    bench.settle();
    let vents = bench.app().plan().expect("a plan").vents.clone();
    assert_eq!(vents.len(), before + 1);
    let frames = bench.app().known().setting().expect("frames").frames.clone();
    let off = frames.spot_in_work(&vents[before].at).distance(point);
    assert!(off < 0.6, "the vent is {off} mm from the click");
}
