//! The fill, asked for in the feed step.

use super::bench::Bench;
use egui::{Key, Modifiers};
use glam::Vec3;
use mouldbench::app::canvas::sight::Colouring;
use mouldbench::mesh::solids;
use mouldbench::study::findings::Step;

#[test]
fn the_fill_is_followed_when_asked_for_and_goes_with_the_plan() {
    let mut bench = Bench::with_mesh("plate", &solids::cuboid(Vec3::ZERO, Vec3::new(40.0, 20.0, 4.0)));
    bench.go_to("Feed");
    bench.click("Propose the feed");
    bench.go_to("Vents");
    bench.click("Propose vents");
    bench.go_to("Feed");
    let fill = |bench: &Bench| bench.app().known().facts.as_ref().and_then(|f| f.fill.clone());
    assert!(fill(&bench).is_none(), "nobody asked for it yet");
    assert!(!bench.has("Time shown"));
    bench.bring_up("Follow the fill");
    bench.click("Follow the fill");
    let followed = fill(&bench).expect("it is among the facts");
    assert!(followed.filled_share > 0.99, "{}", followed.filled_share);
    assert_eq!(bench.app().canvas().colouring_of(Step::Feed), Colouring::Fill);
    for seen in ["Time shown", "The pour takes", "Show the last place to fill"] {
        assert!(bench.has(seen), "{seen}");
    }
    assert!(
        bench.has("Air that leaves through the joint of the halves is not counted: how far it is open, nobody knows")
    );
    // Finer cells are asked for in the same place: half the cell or as near as their number allows, and a smaller error.
    bench.bring_up("Follow it on finer cells");
    bench.click("Follow it on finer cells");
    let finer = fill(&bench).expect("it is among the facts");
    assert!(
        finer.cells > 3 * followed.cells && finer.cell_mm < 0.7 * followed.cell_mm,
        "{} {}",
        finer.cells,
        followed.cells
    );
    assert!(finer.expected_error < followed.expected_error && finer.filled_share > 0.99);
    let apart = finer.time_s() / followed.time_s() - 1.0;
    assert!(apart.abs() < followed.expected_error + finer.expected_error, "{apart}");
    assert!(bench.has("The pour takes") && bench.has("Time shown"));
    // Taking the vents out again makes it another plan.
    bench.key(Modifiers::COMMAND, Key::Z);
    assert!(fill(&bench).is_none());
    assert!(!bench.has("Time shown") && !bench.has("The pour takes"));
}
