//! Nothing is drawn while nothing changes.

use super::bench::Bench;
use std::time::Duration;

#[test]
fn an_idle_window_asks_for_no_frame() {
    let mut bench = Bench::with_ring();
    for step in ["Part", "Vents", "Parting", "Block"] {
        bench.go_to(step);
        bench.rest(3.0);
        let delay = bench.harness.output().viewport_output[&egui::ViewportId::ROOT].repaint_delay;
        assert_eq!(delay, Duration::MAX, "{step}: the next frame is wanted after {delay:?}");
    }
}

#[test]
fn playing_the_resin_draws_and_then_stops() {
    let mut bench = Bench::with_ring();
    bench.go_to("Vents");
    bench.click_only("Play");
    bench.harness.run_steps(20);
    let share = bench.app().level().share.expect("the resin rises");
    assert!(share > 0.0 && share < 1.0, "{share}");
    bench.rest(8.0);
    let level = bench.app().level();
    assert_eq!((level.share, level.playing), (Some(1.0), false));
}
