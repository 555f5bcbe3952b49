//! The parting step beside the line itself: locked cores, shut-offs, loose pieces.

use super::bench::Bench;
use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable;
use glam::Vec3;
use mouldbench::mesh::{Mesh, boolean, solids};
use mouldbench::plan::PieceOf;

/// A block of 40 x 30 x 20 with a hole Ø12 through it along Z.
fn drilled() -> Mesh {
    let block = solids::cuboid(Vec3::new(-20.0, -15.0, -10.0), Vec3::new(20.0, 15.0, 10.0));
    let drill = solids::cylinder(Vec3::new(0.0, 0.0, -15.0), Vec3::new(0.0, 0.0, 15.0), 6.0, 48);
    boolean::subtract(&block, &[&drill]).expect("drilled")
}

#[test]
#[ignore = "long"]
fn long_a_locked_core_is_freed_with_one_click_and_locked_again_by_undo() {
    let mut bench = Bench::with_mesh("drilled", &drilled());
    bench.go_to("Parting");
    bench.click("+X");
    let before = bench.app().plan().expect("a plan").clone();
    assert!(bench.says("Stop: A core of half"), "it is locked");
    for (word, undo) in [
        ("Metal core through hole 1", "Undo plan a metal core"),
        ("Loose piece through hole 1", "Undo plan a loose piece"),
        ("Relief cut through hole 1", "Undo plan a relief cut"),
    ] {
        bench.bring_up(word);
        bench.click(word);
        let planned = bench.app().plan().expect("a plan").parting.clone();
        let made = (planned.loose_pieces.first().map(|p| p.of), planned.relief_cuts.len());
        match word {
            "Metal core through hole 1" => assert_eq!(made, (Some(PieceOf::Metal), 0)),
            "Loose piece through hole 1" => assert_eq!(made, (Some(PieceOf::Rubber), 0)),
            _ => assert_eq!(made, (None, 1)),
        }
        assert!(!bench.says("Stop: A core of half") && bench.says("Freed by"), "{word}");
        assert!(!bench.has(word), "nothing more is offered");
        assert!(bench.says(undo), "{undo}");
        bench.key(Modifiers::COMMAND, Key::Z);
        assert_eq!(*bench.app().plan().expect("a plan"), before);
        assert!(bench.says("Stop: A core of half"));
    }
    // Drawn along the hole there is nothing to free.
    bench.click("+Z");
    assert!(!bench.has("Locked cores") && !bench.says("Freed by"));
}

/// Where the shut-off lies along Z, and the plan's word on it.
fn shut_off(bench: &Bench) -> (f32, Option<f64>, usize) {
    let facts = bench.app().known().facts.clone().expect("facts");
    let release = facts.release.as_ref().expect("a release");
    let planned = &bench.app().plan().expect("a plan").parting.shut_offs;
    (release.shut_offs[0].middle.z, planned.first().map(|c| c.moved_mm), planned.len())
}

#[test]
#[ignore = "long"]
fn long_a_shut_off_is_moved_along_its_hole_and_back() {
    let mut bench = Bench::with_mesh("drilled", &drilled());
    bench.go_to("Parting");
    bench.click("+Z");
    let before = shut_off(&bench);
    let hole = |bench: &Bench| {
        let facts = bench.app().known().facts.clone().expect("facts");
        facts.release.as_ref().expect("a release").shut_offs[0].hole.clone().expect("a hole")
    };
    let [low, high] = hole(&bench).reach_mm;
    let by = f64::from((0.5 * (low + high)).round());
    bench.bring_up("Moved along the hole");
    bench.type_into("Moved along the hole", &by.to_string());
    let after = shut_off(&bench);
    assert!((after.0 - before.0 - by as f32).abs() < 0.05, "from {before:?} to {after:?} by {by}");
    assert_eq!((after.1, after.2), (Some(by), 1));
    assert!(bench.says("Undo move shut-off along its hole"));
    // What is typed beyond the hole is refused with where it ends, and nothing moves.
    bench.type_into("Moved along the hole", "5000");
    assert!(bench.says("Between ") && bench.says(" stays"));
    assert_eq!(shut_off(&bench), after);
    bench.key(Modifiers::COMMAND, Key::Z);
    assert_eq!(shut_off(&bench).1, before.1, "each is one step");
    bench.key(Modifiers::COMMAND | Modifiers::SHIFT, Key::Z);
    assert_eq!(shut_off(&bench).1, Some(by));
    bench.bring_up("Put shut-off back to where it was proposed");
    bench.click("Put shut-off back to where it was proposed");
    let back = shut_off(&bench);
    assert!((back.0 - before.0).abs() < 1e-4 && back.1 == Some(0.0), "{back:?}");
    bench.key(Modifiers::COMMAND, Key::Z);
    bench.key(Modifiers::COMMAND, Key::Z);
    assert_eq!(shut_off(&bench), before);
    // A drag is one step, however many places it passes.
    bench.bring_up("Moved along the hole");
    let field =
        bench.harness.get_by_role_and_label(egui::accesskit::Role::SpinButton, "Moved along the hole").rect().center();
    let way = if high > -low { 60.0 } else { -60.0 };
    bench.drag(field, field + egui::vec2(way, 0.0));
    let dragged = shut_off(&bench);
    assert!(dragged.1.is_some_and(|mm| mm.abs() > 0.5), "{dragged:?}");
    assert!((f64::from(dragged.0 - before.0) - dragged.1.expect("moved")).abs() < 0.05);
    bench.key(Modifiers::COMMAND, Key::Z);
    assert_eq!(shut_off(&bench), before);
}

#[test]
#[ignore = "long"]
fn long_loose_pieces_are_written_from_the_window() {
    let mut bench = Bench::with_mesh("drilled", &drilled());
    bench.go_to("Parting");
    bench.click("+X");
    bench.bring_up("Metal core through hole 1");
    bench.click("Metal core through hole 1");
    let folder = tempfile::tempdir().expect("a folder");
    let out = folder.path().join("new");
    bench.click_start("Relief cuts and loose pieces");
    bench.bring_up("Write loose pieces…");
    bench.click("Write loose pieces…");
    bench.type_into("Path", &out.to_string_lossy());
    bench.settle();
    assert!(bench.says("Loose piece written: "));
    let read = mouldbench::mesh::read_stl::read(&out.join("Core-1.stl"), 1.0).expect("readable");
    assert!(mouldbench::mesh::check::MeshCheck::of(&read.mesh).is_closed());
}
