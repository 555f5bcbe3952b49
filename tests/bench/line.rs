//! The parting line in the hand, in the window: how long after a move of the pointer the line is there, how long the
//! window's own thread works for one frame meanwhile, and how long until the whole parting stands after letting go.

use super::window::{window, write_ring};
use egui::{Pos2, vec2};
use egui_kittest::kittest::Queryable;
use std::time::{Duration, Instant};

/// Prints the table.
pub fn run() {
    println!("line: dragged through the window; milliseconds");
    println!(
        "triangles   frame: middle / 99 in 100 / longest   pointer to line: best / middle / 9 in 10 / worst   let go to parting"
    );
    for triangles in [20_000, 100_000, 500_000] {
        let folder = tempfile::tempdir().expect("a folder");
        let mut window = window(&write_ring(folder.path(), triangles));
        window.settle();
        window.harness.get_by_label_contains("Parting, ").click();
        window.settle();
        let app = window.harness.state();
        let parting = app.known().facts.as_ref().and_then(|f| f.parting.clone()).expect("a parting");
        let canvas = app.canvas();
        let steady = |at: Pos2| (-10..=10).all(|i| canvas.surface_at(at + vec2(0.0, 4.0 * i as f32)).is_some());
        let mut on = parting.lines.iter().flat_map(|l| &l.points).filter_map(|p| canvas.on_screen(*p));
        let on = on.rfind(|at| canvas.line_at(*at, &parting.lines).is_some() && steady(*at)).expect("the line is seen");
        window.take();
        window.harness.hover_at(on);
        (0..2).for_each(|_| window.frame());
        window.harness.drag_at(on);
        window.frame();
        window.harness.hover_at(on + vec2(0.0, 8.0));
        (0..2).for_each(|_| window.frame());
        assert!(window.harness.state().line_is_behind(), "the line was not grabbed");
        let mut waits = Vec::new();
        for i in 0..60 {
            let down = 8.0 + 20.0 * (0.1 * i as f32).sin().abs();
            let begun = Instant::now();
            window.harness.hover_at(on + vec2(0.3 * i as f32, down));
            window.frame();
            while window.harness.state().line_is_behind() && begun.elapsed() < Duration::from_secs(20) {
                std::thread::sleep(Duration::from_micros(500));
                window.frame();
            }
            waits.push(begun.elapsed().as_secs_f64() * 1e3);
        }
        let begun = Instant::now();
        window.harness.drop_at(on + vec2(0.0, 20.0));
        window.settle();
        let let_go = begun.elapsed().as_secs_f64() * 1e3;
        assert_eq!(window.harness.state().plan().map(|p| p.parting.pins.len()), Some(1), "a pin stays");
        let frames = window.take();
        waits.sort_by(f64::total_cmp);
        println!(
            "{triangles:9}   {:5.1} / {:5.1} / {:5.1}   {:.1} / {:.1} / {:.1} / {:.1}   {let_go:.0}",
            frames[0],
            frames[1],
            frames[2],
            waits[0],
            waits[waits.len() / 2],
            waits[waits.len() * 9 / 10],
            waits[waits.len() - 1]
        );
    }
}
