//! The parting line by hand: dragged, pinned, marked, held, each undone by its name.

use super::bench::Bench;
use egui::{Key, Modifiers, Pos2, vec2};
use glam::Vec3;
use mouldbench::app::thing::Thing;
use mouldbench::plan::Half;
use mouldbench::study::parting::PartingFacts;
use std::sync::Arc;

fn parting(bench: &Bench) -> Arc<PartingFacts> {
    bench.app().known().facts.as_ref().and_then(|f| f.parting.clone()).expect("a parting")
}

/// Distance from a point to the nearest line.
fn to_line(parting: &PartingFacts, p: Vec3) -> f32 {
    let spans = parting.lines.iter().flat_map(|l| {
        let n = l.points.len();
        (0..n).map(move |i| (l.points[i], l.points[(i + 1) % n]))
    });
    spans
        .map(|(a, b)| {
            let t = ((p - a).dot(b - a) / (b - a).length_squared().max(1e-12)).clamp(0.0, 1.0);
            (a + (b - a) * t).distance(p)
        })
        .fold(f32::INFINITY, f32::min)
}

/// A place where the line is seen, and one on the part off the line, some way above it in the window.
fn on_and_off(bench: &Bench) -> (Pos2, Pos2) {
    let (canvas, parting) = (bench.app().canvas(), parting(bench));
    let seen = parting.lines.iter().flat_map(|l| &l.points).filter_map(|p| canvas.on_screen(*p));
    let wanted = |at: &Pos2| {
        let off = *at - vec2(0.0, 30.0);
        let grabbed = canvas.line_at(*at, &parting.lines).is_some();
        let steady = [-4.0, 0.0, 4.0].iter().all(|d| canvas.surface_at(off + vec2(*d, 0.0)).is_some());
        grabbed && steady && canvas.line_at(off, &parting.lines).is_none()
    };
    let on = seen.into_iter().find(wanted).expect("the line is seen");
    (on, on - vec2(0.0, 30.0))
}

#[test]
#[ignore = "long"]
fn long_the_line_is_grabbed_anywhere_and_passes_where_it_is_let_go() {
    let mut bench = Bench::with_ring();
    bench.go_to("Parting");
    bench.click("+Z");
    let before = bench.app().plan().expect("a plan").clone();
    let (on, off) = on_and_off(&bench);
    let (hand, _) = bench.app().canvas().surface_at(off).expect("the part");
    let far = to_line(&parting(&bench), hand);
    assert!(far > 1.0, "only {far} mm off the line");
    // No pointer step waits for the whole parting: the line follows on a thread of its own.
    bench.drag(on, off);
    let plan = bench.app().plan().expect("a plan").clone();
    assert_eq!(plan.parting.pins.len(), 1, "a pin is made");
    assert_eq!(mouldbench::plan::Plan { parting: before.parting.clone(), ..plan.clone() }, before);
    let frames = bench.app().known().setting().expect("frames").frames.clone();
    let pin = frames.spot_in_work(&plan.parting.pins[0].at);
    assert!(pin.distance(hand) < 1.0, "the pin is {} mm from the hand", pin.distance(hand));
    let edge = parting(&bench).surface.edge_mm;
    let off_line = to_line(&parting(&bench), hand);
    assert!(off_line < 2.0 * edge, "the line passes {off_line} mm from the hand");
    assert_eq!(bench.app().chosen(), Some(Thing::Pin(0)));
    assert!(bench.says("Undo drag the parting line"));

    // The pin is dragged on by itself, the line with it, as one edit with its own name.
    let at = bench.app().canvas().on_screen(pin).expect("in sight");
    bench.drag(at, at + vec2(12.0, 10.0));
    let moved = bench.app().plan().expect("a plan").clone();
    assert_eq!(moved.parting.pins.len(), 1);
    assert_ne!(moved.parting.pins[0], plan.parting.pins[0]);
    assert!(bench.says("Undo move pin 1"));
    bench.key(Modifiers::COMMAND, Key::Z);
    assert_eq!(*bench.app().plan().expect("a plan"), plan);
    bench.key(Modifiers::COMMAND, Key::Z);
    assert_eq!(*bench.app().plan().expect("a plan"), before);
    assert!(to_line(&parting(&bench), hand) > 1.0, "the line is back");
    bench.key(Modifiers::COMMAND | Modifiers::SHIFT, Key::Z);
    bench.harness.state_mut().choose(Some(Thing::Pin(0)));
    bench.key(Modifiers::NONE, Key::Delete);
    assert_eq!(*bench.app().plan().expect("a plan"), before, "a pin is taken out like any other thing");
}

#[test]
#[ignore = "long"]
fn long_a_stroke_gives_faces_to_a_half() {
    let mut bench = Bench::with_ring();
    bench.go_to("Parting");
    bench.click("+Z");
    let half_of = |bench: &Bench, p: Vec3| {
        let parting = parting(bench);
        let away = |f: &usize| parting.surface.centroid[*f].distance(p);
        let f = (0..parting.halves.len()).min_by(|a, b| away(a).total_cmp(&away(b))).expect("a face");
        parting.halves[f]
    };
    // The largest place in sight that belongs to half 1 is given to half 2 along a short stroke.
    let canvas = bench.app().canvas();
    let middle = canvas.rect().center();
    let (from, place) = (0..400)
        .map(|i| middle + vec2((i % 20) as f32 * 12.0 - 120.0, (i / 20) as f32 * 12.0 - 120.0))
        .filter_map(|at| canvas.surface_at(at).map(|s| (at, s.0)))
        .find(|(at, p)| p.z > 6.0 && canvas.surface_at(*at + vec2(24.0, 0.0)).is_some_and(|q| q.0.z > 6.0))
        .expect("the top of the ring");
    assert_eq!(half_of(&bench, place), Half::One);
    bench.click("Give to half 2");
    bench.drag(from, from + vec2(24.0, 0.0));
    assert_eq!(bench.app().plan().expect("a plan").parting.marks.len(), 1);
    assert_eq!(half_of(&bench, place), Half::Two);
    assert!(bench.says("Undo give faces to a half"));
    bench.key(Modifiers::COMMAND, Key::Z);
    assert_eq!(half_of(&bench, place), Half::One);
}

#[test]
#[ignore = "long"]
fn long_a_loop_is_held_and_let_go() {
    let mut bench = Bench::with_ring();
    bench.go_to("Parting");
    bench.click("+Z");
    let before = parting(&bench);
    bench.click_start("Hold ");
    let held = bench.app().plan().expect("a plan").parting.held_loops.clone();
    assert_eq!(held.len(), 1);
    assert!(bench.says("Undo hold"));
    let frames = bench.app().known().setting().expect("frames").frames.clone();
    let stray = |parting: &PartingFacts| {
        held[0].points.iter().map(|s| to_line(parting, frames.spot_in_work(s))).fold(0.0, f32::max)
    };
    let edge = before.surface.edge_mm;
    assert!(stray(&parting(&bench)) < edge, "{} mm", stray(&parting(&bench)));
    bench.click("Let go of loop 1");
    assert!(bench.app().plan().expect("a plan").parting.held_loops.is_empty());
    bench.key(Modifiers::COMMAND, Key::Z);
    assert_eq!(bench.app().plan().expect("a plan").parting.held_loops, held);
}

#[test]
#[ignore = "long"]
fn long_a_mark_over_a_held_loop_stops_the_job_and_is_taken_out_with_one_click() {
    let mut bench = Bench::with_ring();
    bench.go_to("Parting");
    bench.click("+Z");
    bench.click_start("Hold ");
    let held = bench.app().plan().expect("a plan").clone();
    assert!(!bench.says("Held loop 1 is open"));
    // A stroke along the upright of the window, over the line.
    let (on, _) = on_and_off(&bench);
    bench.click("Give to half 2");
    bench.drag(on - vec2(0.0, 12.0), on + vec2(0.0, 12.0));
    assert_eq!(bench.app().plan().expect("a plan").parting.marks.len(), 1);
    assert!(bench.says("Stop: Held loop 1 is open"));
    bench.click_start("Stop: Held loop 1 is open");
    bench.bring_up("Take mark 1 out");
    bench.click("Take mark 1 out");
    assert_eq!(*bench.app().plan().expect("a plan"), held);
    assert!(bench.says("Undo delete mark 1") && !bench.says("Held loop 1 is open"));
}

#[test]
fn a_relief_cut_and_a_loose_piece_are_laid_by_hand_and_taken_out() {
    let mut bench = Bench::with_ring();
    bench.go_to("Parting");
    let before = bench.app().plan().expect("a plan").clone();
    let (canvas, parting) = (bench.app().canvas(), parting(&bench));
    let middle = canvas.rect().center();
    let from = (0..900)
        .map(|i| middle + vec2((i % 30) as f32 * 10.0 - 150.0, (i / 30) as f32 * 10.0 - 150.0))
        .find(|at| {
            (0..6).all(|i| {
                let p = *at + vec2(0.0, 6.0 * i as f32);
                canvas.surface_at(p).is_some() && canvas.line_at(p, &parting.lines).is_none()
            })
        })
        .expect("the part");
    bench.click_start("Relief cuts and loose pieces");
    bench.bring_up("Lay a relief cut");
    bench.click("Lay a relief cut");
    bench.drag(from, from + vec2(0.0, 30.0));
    let plan = bench.app().plan().expect("a plan").clone();
    let cut = plan.parting.relief_cuts[0].clone();
    assert!(cut.points.len() > 1 && cut.depth_mm > 0.0);
    assert!(bench.says("Undo lay a relief cut"));
    bench.bring_up("Depth into the rubber");
    bench.type_into("Depth into the rubber", "7.5");
    assert_eq!(bench.app().plan().expect("a plan").parting.relief_cuts[0].depth_mm, 7.5);

    bench.bring_up("Put a loose piece");
    bench.click("Put a loose piece");
    // Beside the cut: a click on the cut itself would choose it.
    let beside = (1..40)
        .map(|i| from + vec2(8.0 * i as f32 * if i % 2 == 0 { 1.0 } else { -1.0 }, 15.0))
        .filter(|at| at.distance(from) > 24.0)
        .find(|at| bench.app().canvas().surface_at(*at).is_some())
        .expect("the part beside the cut");
    bench.click_at(beside);
    let piece = bench.app().plan().expect("a plan").parting.loose_pieces[0].clone();
    let frames = bench.app().known().setting().expect("frames").frames.clone();
    let normal = frames.normal_in_work(&piece.at).as_dvec3();
    assert!(piece.leaves_along.dot(normal) > 0.999, "it leaves square to the surface");
    bench.bring_up("Diameter");
    bench.type_into("Diameter", "8");
    assert_eq!(bench.app().plan().expect("a plan").parting.loose_pieces[0].radius_mm, 4.0);
    bench.key(Modifiers::NONE, Key::Delete);
    assert!(bench.app().plan().expect("a plan").parting.loose_pieces.is_empty());
    bench.bring_up("Relief cut 1");
    bench.click("Relief cut 1");
    bench.key(Modifiers::NONE, Key::Delete);
    assert_eq!(*bench.app().plan().expect("a plan"), before);
}

#[test]
#[ignore = "long"]
fn long_a_plane_parts_the_ring_at_the_height_that_is_typed() {
    let mut bench = Bench::with_ring();
    bench.go_to("Parting");
    bench.click("+Z");
    let before = bench.app().plan().expect("a plan").clone();
    bench.click("Part by a plane");
    bench.type_into("Height along the draw", "4");
    let parting = parting(&bench);
    let frames = bench.app().known().setting().expect("frames").frames.clone();
    assert!(!parting.lines.is_empty());
    for p in parting.lines.iter().flat_map(|l| &l.points) {
        let height = frames.set_point_from_work(*p).z;
        assert!((height - 4.0).abs() < 1e-3, "the line runs at {height} mm");
    }
    assert!(bench.says("Undo move the parting plane"));
    bench.key(Modifiers::COMMAND, Key::Z);
    bench.key(Modifiers::COMMAND, Key::Z);
    assert_eq!(*bench.app().plan().expect("a plan"), before);
}
