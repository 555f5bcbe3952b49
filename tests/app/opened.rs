//! The block opened by the slider of the Parting step.

use super::bench::Bench;
use egui::{Key, Modifiers};

#[test]
fn the_slider_opens_the_block_and_closes_it() {
    let mut bench = Bench::with_ring();
    bench.go_to("Parting");
    bench.settle();
    assert!(!bench.app().is_block_open());
    let closed = bench.picture("block_closed");
    bench.focus("Open the block");
    for _ in 0..40 {
        bench.key(Modifiers::NONE, Key::ArrowRight);
    }
    assert!(bench.app().open_share() > 0.0, "the key moves the slider");
    for _ in 0..200 {
        bench.settle();
        if bench.app().is_block_open() {
            break;
        }
        std::thread::sleep(std::time::Duration::from_millis(50));
    }
    assert!(bench.app().is_block_open(), "{:?}", bench.app().opening_words());
    let open = bench.picture("block_open");
    let changed = closed.pixels().zip(open.pixels()).filter(|(a, b)| a != b).count();
    assert!(changed > 20_000, "{changed} pixels changed");
    for _ in 0..60 {
        bench.key(Modifiers::NONE, Key::ArrowLeft);
    }
    assert!(!bench.app().is_block_open() && bench.app().open_share() == 0.0);
}
