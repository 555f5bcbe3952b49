//! The view of the part: orbit, zoom to the cursor, sharp on a dense screen.

use super::bench::Bench;
use egui::vec2;
use glam::Vec3;

#[test]
fn dragging_empty_space_looks_round_and_changes_no_plan() {
    let mut bench = Bench::with_ring();
    let version = bench.app().document().expect("a job").version();
    let corner = bench.app().canvas().rect().left_bottom() + vec2(30.0, -60.0);
    assert!(bench.app().canvas().surface_at(corner).is_none(), "empty space");
    let before = bench.app().canvas().backward();
    bench.drag(corner, corner + vec2(140.0, -40.0));
    assert!(before.distance(bench.app().canvas().backward()) > 0.1);
    assert_eq!(bench.app().document().expect("a job").version(), version);
}

#[test]
fn the_wheel_zooms_to_the_cursor() {
    let mut bench = Bench::with_ring();
    let rect = bench.app().canvas().rect();
    let at = (0..400)
        .map(|i| rect.min + rect.size() * vec2((i % 20) as f32 / 20.0, (i / 20) as f32 / 20.0))
        .find(|p| bench.app().canvas().surface_at(*p).is_some() && p.distance(rect.center()) > 60.0)
        .expect("the part off the middle");
    let (point, _) = bench.app().canvas().surface_at(at).expect("the part");
    let far = bench.app().canvas().on_screen(point + Vec3::X).expect("in sight").distance(at);
    bench.scroll(at, 240.0);
    let after = bench.app().canvas().on_screen(point).expect("still in sight");
    assert!(after.distance(at) < 3.0, "the point under the cursor went {} points away", after.distance(at));
    let near = bench.app().canvas().on_screen(point + Vec3::X).map_or(f32::MAX, |p| p.distance(after));
    assert!(near > far * 1.2, "a millimetre was {far} points wide and is {near}");
}

#[test]
fn a_dense_screen_gets_a_dense_picture() {
    let mut bench = Bench::with_ring_at(vec2(1280.0, 800.0), 2.0);
    let image = bench.picture("dense");
    assert_eq!((image.width(), image.height()), (2560, 1600));
    // A part drawn at half size and blown up would have every pair of pixels alike.
    let rect = bench.app().canvas().rect();
    let (x0, y0) = ((rect.min.x * 2.0) as u32, (rect.min.y * 2.0) as u32);
    let (w, h) = ((rect.width() * 2.0) as u32, (rect.height() * 2.0) as u32);
    let differing = (y0 + h / 4..y0 + 3 * h / 4)
        .flat_map(|y| (0..w / 4).map(move |i| (x0 + w / 4 + 2 * i, y)))
        .filter(|&(x, y)| image.get_pixel(x, y).0 != image.get_pixel(x + 1, y).0)
        .count();
    assert!(differing > 400, "only {differing} pairs differ");
}
