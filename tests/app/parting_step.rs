//! The parting step beside the line itself: locked cores, shut-offs, loose pieces.

use super::bench::Bench;
use egui::{Key, Modifiers};
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
fn a_locked_core_is_freed_with_one_click_and_locked_again_by_undo() {
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
