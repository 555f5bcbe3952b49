//! Whatever was done before, the picture shows what there is now: all that is drawn over the part equals a scene made afresh.

use super::bench::{Bench, stl_of};
use egui::{Key, Modifiers, vec2};
use glam::{DVec3, Vec3};
use mouldbench::app::action::Action;
use mouldbench::app::asking::Then;
use mouldbench::app::bottom_strip::Level;
use mouldbench::app::canvas::scenery::Scenery;
use mouldbench::app::canvas::sight::Colouring;
use mouldbench::mesh::solids;
use mouldbench::plan::Spot;
use mouldbench::study::findings::Step;

fn is_drawn_afresh(bench: &Bench, what: &str) {
    let Some((scene, sight)) = bench.app().canvas().drawn() else { return };
    let afresh = Scenery::default().scene(sight);
    assert!(format!("{scene:?}") == format!("{afresh:?}"), "{what}: {:?} at {:?}", sight.colouring, sight.step);
}

#[test]
#[ignore = "long"]
fn long_the_picture_is_of_the_job_as_it_is_after_any_edits() {
    let mut bench = Bench::new(vec2(1000.0, 700.0));
    let plates = [Vec3::new(40.0, 20.0, 6.0), Vec3::new(40.0, 20.0, 9.0)].map(|size| {
        let path = bench.folder.path().join(format!("plate {}.stl", size.z));
        std::fs::write(&path, stl_of(&solids::cuboid(Vec3::ZERO, size))).expect("a mesh file");
        path
    });
    let mut seed = 11u64;
    let mut random = |n: u64| {
        seed = seed.wrapping_mul(6364136223846793005).wrapping_add(1442695040888963407);
        (seed >> 33) % n
    };
    bench.harness.state_mut().go_on(Then::OpenFile(plates[0].clone()));
    bench.settle();
    for turn in 0..26 {
        let practising = bench.app().practice().is_some();
        let app = bench.harness.state_mut();
        let at = |x: u64, z| Spot { part: 0, position: DVec3::new(2.0 + x as f64, 9.0, z), normal: DVec3::Z };
        let what = match random(10) {
            0 | 1 => {
                app.place_vent(at(random(36), 6.0));
                "a vent"
            }
            2 => {
                app.place_gate(Spot { normal: DVec3::NEG_Z, ..at(random(36), 0.0) });
                "a gate"
            }
            3 => {
                app.edit("Take all vents out", |p| p.vents.clear());
                "no vents"
            }
            4 => {
                bench.key(Modifiers::COMMAND, Key::Z);
                "undo"
            }
            5 => {
                let share = Some(random(11) as f64 / 10.0);
                app.set_level(Level { share, playing: false });
                "a level"
            }
            6 if practising => {
                app.end_practice();
                "practice over"
            }
            6 => {
                app.perform(Action::PractiseHere);
                "practice"
            }
            7 if practising && app.plan().is_some_and(|p| !p.feed.gates.is_empty()) => {
                app.pour_in_practice();
                "the pour"
            }
            7 if !practising => {
                app.go_on(Then::OpenFile(plates[random(2) as usize].clone()));
                "another job"
            }
            8 => {
                app.canvas_mut().colouring =
                    [None, Some(Colouring::Height), Some(Colouring::Halves)][random(3) as usize];
                "a colour"
            }
            _ => {
                let steps = [Step::Hang, Step::Feed, Step::Vents, Step::Part, Step::Parting];
                app.go_to(steps[random(if practising { 3 } else { 5 }) as usize]);
                "a step"
            }
        };
        bench.settle();
        is_drawn_afresh(&bench, &format!("turn {turn}, {what}"));
    }
}
