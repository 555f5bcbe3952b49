//! Every step opens, with names for everything that can be touched; actions by search and by key.

use super::bench::Bench;
use egui::{Key, Modifiers, vec2};
use mouldbench::app::canvas::sight::Colouring;
use mouldbench::plan::Stage;
use mouldbench::study::findings::Step;
use mouldbench::view::camera::StandardView;

#[test]
fn every_step_opens_by_click_and_by_arrow() {
    let mut bench = Bench::with_ring();
    for step in Step::ALL {
        bench.go_to(step.name());
        assert_eq!(bench.app().step(), step);
        assert!(bench.has("Findings"));
    }
    bench.key(Modifiers::NONE, Key::ArrowUp);
    assert_eq!(bench.app().step(), Step::Casting);
    bench.key(Modifiers::NONE, Key::ArrowDown);
    assert_eq!(bench.app().step(), Step::Sheet);
}

#[test]
fn whatever_can_be_touched_has_a_name() {
    let mut bench = Bench::with_ring();
    for step in Step::ALL {
        bench.go_to(step.name());
        let unnamed = bench.unnamed();
        assert!(unnamed.is_empty(), "{}: {unnamed:?}", step.name());
    }
}

#[test]
fn search_finds_an_action_by_a_word_in_it() {
    let mut bench = Bench::with_ring();
    bench.key(Modifiers::COMMAND, Key::K);
    bench.type_text("cut thr");
    bench.key(Modifiers::NONE, Key::Enter);
    assert!(bench.app().canvas().cut.is_some());
    bench.key(Modifiers::NONE, Key::C);
    assert!(bench.app().canvas().cut.is_none(), "the key does the same");
    bench.key(Modifiers::NONE, Key::Slash);
    bench.type_text("go to block");
    bench.key(Modifiers::NONE, Key::Enter);
    assert_eq!(bench.app().step(), Step::Block);
    bench.key(Modifiers::COMMAND, Key::K);
    bench.key(Modifiers::NONE, Key::Escape);
    assert!(!bench.app().is_asking());
}

#[test]
fn keys_are_letters_while_a_field_has_them() {
    let mut bench = Bench::with_ring();
    bench.go_to("Part");
    bench.focus("Job name");
    bench.settle();
    bench.type_text("pcv");
    assert!(!bench.app().canvas().is_parallel() && bench.app().canvas().cut.is_none());
    bench.key(Modifiers::NONE, Key::Enter);
    assert!(bench.app().plan().expect("a plan").name.contains("pcv"), "counts once the field is left");
}

#[test]
fn v_and_an_arrow_turn_to_a_standard_view() {
    let mut bench = Bench::with_ring();
    for (key, view) in [
        (Key::ArrowDown, StandardView::Front),
        (Key::ArrowLeft, StandardView::Left),
        (Key::PageUp, StandardView::Top),
        (Key::Home, StandardView::Corner),
    ] {
        let step = bench.app().step();
        bench.key(Modifiers::NONE, Key::V);
        bench.key(Modifiers::NONE, key);
        assert!(bench.app().canvas().is_from(view), "{view:?}");
        assert_eq!(bench.app().step(), step, "the arrow belongs to the view");
    }
    bench.key(Modifiers::NONE, Key::P);
    assert!(bench.app().canvas().is_parallel());
}

#[test]
fn the_stage_is_an_edit_like_any_other() {
    let mut bench = Bench::with_ring();
    bench.choose("Stage", "Rubber poured");
    assert_eq!(bench.app().plan().expect("a plan").stage, Stage::Poured);
    bench.go_to("Hang");
    assert!(bench.says("Fixed: the rubber is poured"));
    bench.key(Modifiers::COMMAND, Key::Z);
    assert_eq!(bench.app().plan().expect("a plan").stage, Stage::Planned);
}

#[test]
fn the_unit_and_what_the_mesh_is_can_be_corrected() {
    let mut bench = Bench::with_ring();
    bench.go_to("Part");
    let size = |bench: &Bench| bench.app().known().part_bounds[0].size().x;
    let before = size(&bench);
    bench.choose("File is in", "Inches");
    assert!((size(&bench) / before - 25.4).abs() < 1e-3);
    bench.key(Modifiers::COMMAND, Key::Z);
    assert!((size(&bench) - before).abs() < 1e-3);
}

#[test]
fn colours_follow_the_choice_and_the_step() {
    let mut bench = Bench::with_ring();
    bench.go_to("Parting");
    assert_eq!(bench.app().canvas().colouring_of(Step::Parting), Colouring::Halves);
    assert!(bench.picture("parting").pixels().any(|p| is_like(p.0, [86, 180, 233])), "half 1 is sky blue");
    bench.choose("Colour", "Wall thickness");
    assert_eq!(bench.app().canvas().colouring_of(Step::Parting), Colouring::Walls);
}

/// True for a shade of the colour: the same hue, lit more or less.
fn is_like(pixel: [u8; 4], colour: [u8; 3]) -> bool {
    let share = pixel[2] as f32 / colour[2] as f32;
    share > 0.5 && (0..3).all(|k| (pixel[k] as f32 - colour[k] as f32 * share).abs() < 22.0)
}

#[test]
fn nothing_is_cut_off_in_a_small_window() {
    let mut bench = Bench::with_ring_at(vec2(1280.0, 800.0), 1.0);
    for step in Step::ALL {
        bench.go_to(step.name());
        bench.picture(&format!("small_{}", step.name().to_lowercase()));
        let off = bench.off_screen(vec2(1280.0, 800.0));
        assert!(off.is_empty(), "{}: {off:?}", step.name());
    }
}
