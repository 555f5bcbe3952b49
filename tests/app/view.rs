//! The view of the part: orbit, zoom to the cursor, sharp on a dense screen.

use super::bench::Bench;
use egui::{Key, Modifiers, vec2};
use egui_kittest::kittest::Queryable;
use glam::{DVec3, Vec3};
use mouldbench::mesh::{boolean, solids};

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

#[test]
#[ignore = "long"]
fn long_fit_leaves_nothing_off_the_picture() {
    let mut bench = Bench::with_demo();
    for (step, parallel) in [("Hang", false), ("Feed", false), ("Block", true), ("Parting", true)] {
        bench.go_to(step);
        if bench.app().canvas().is_parallel() != parallel {
            bench.key(Modifiers::NONE, Key::P);
        }
        for view in [Key::ArrowDown, Key::ArrowLeft, Key::Home] {
            bench.key(Modifiers::NONE, Key::V);
            bench.key(Modifiers::NONE, view);
            // Off by hand, then back.
            let middle = bench.app().canvas().rect().center();
            bench.scroll(middle, 200.0);
            bench.key(Modifiers::NONE, Key::Home);
            let (setting, plan) = (
                bench.app().known().setting().expect("a setting").clone(),
                bench.app().plan().expect("a plan").clone(),
            );
            // The parting is looked at without feed and vents, so only the part must be seen whole.
            let body = bench.app().known().facts.as_ref().and_then(|f| f.body.clone()).expect("a body");
            let mut must: Vec<Vec3> = body.mesh.positions.iter().step_by(97).copied().collect();
            let foot = setting.channels.gates[0].rods.last().expect("a rod").to;
            let (up, cup) = (setting.frames.rubber_up(), plan.feed.cup);
            let side = up.any_orthonormal_vector() * cup.diameter_mm as f32 / 2.0;
            let rim = foot + up * cup.height_mm as f32;
            if step != "Parting" {
                must.extend(setting.channels.vents.iter().flat_map(|v| &v.rods).map(|r| r.to));
                must.extend([rim + side, rim - side]);
                let size = setting.block.size_mm;
                for i in 0..8 {
                    let pick = |bit: usize, low: f64, high: f64| if i & bit == 0 { low } else { high };
                    let corner = glam::DVec3::new(
                        pick(1, -size.x / 2.0, size.x / 2.0),
                        pick(2, -size.y / 2.0, size.y / 2.0),
                        pick(4, 0.0, size.z),
                    );
                    must.push(setting.frames.work_from_box_point(corner));
                }
            }
            for p in must {
                assert!(bench.app().canvas().on_screen(p).is_some(), "{step}, {view:?}: {p} is off the picture");
            }
        }
    }
}

#[test]
#[ignore = "long"]
fn long_a_view_nobody_moved_shows_everything_of_the_next_step_too() {
    let mut bench = Bench::with_demo();
    bench.go_to("Part");
    bench.key(Modifiers::NONE, Key::Home);
    bench.go_to("Block");
    let setting = bench.app().known().setting().expect("a setting").clone();
    let corner = |sx: f64, z: f64| {
        let size = setting.block.size_mm;
        setting.frames.work_from_box_point(glam::DVec3::new(sx * size.x / 2.0, sx * size.y / 2.0, z * size.z))
    };
    let all = [corner(1.0, 0.0), corner(-1.0, 0.0), corner(1.0, 1.0), corner(-1.0, 1.0)];
    assert!(all.iter().all(|p| bench.app().canvas().on_screen(*p).is_some()), "the block runs off the picture");
    // Once a hand has moved the view it stays as it is.
    let middle = bench.app().canvas().rect().center();
    bench.scroll(middle, 300.0);
    let before = bench.app().canvas().on_screen(all[0]);
    bench.go_to("Inserts");
    assert_eq!(bench.app().canvas().on_screen(all[0]), before);
}

#[test]
#[ignore = "long"]
fn long_air_under_the_shops_limit_is_not_in_the_legend() {
    // A slab with two steep points on it, one of them tiny; the vent stands on the slab, so the air of both stays.
    let slab = mouldbench::mesh::solids::cuboid(Vec3::ZERO, Vec3::new(30.0, 20.0, 5.0));
    for (half, height, drawn) in [(0.5f32, 1.5f32, false), (2.0, 3.0, true)] {
        // A pyramid of volume (2·half)²·height/3: 0.5 mm³ and 16 mm³ against the limit of 1 mm³.
        let mut mesh = slab.clone();
        let first = mesh.positions.len() as u32;
        let at = |x: f32, y: f32, z: f32| Vec3::new(15.0 + x, 10.0 + y, 4.0 + z);
        mesh.positions.extend([
            at(-half, -half, 0.0),
            at(half, -half, 0.0),
            at(half, half, 0.0),
            at(-half, half, 0.0),
            at(-half, -half, 1.0),
            at(half, -half, 1.0),
            at(half, half, 1.0),
            at(-half, half, 1.0),
            at(0.0, 0.0, 1.0 + height),
        ]);
        let mut face = |a: u32, b: u32, c: u32| mesh.triangles.push([first + a, first + b, first + c]);
        face(0, 2, 1);
        face(0, 3, 2);
        for i in 0..4 {
            let j = (i + 1) % 4;
            face(i, j, 4 + j);
            face(i, 4 + j, 4 + i);
            face(4 + i, 4 + j, 8);
        }
        let folder = tempfile::tempdir().expect("a folder for the test");
        let path = folder.path().join("points.stl");
        std::fs::write(&path, super::bench::stl_of(&mesh)).expect("a mesh file");
        let mut bench = Bench::at(vec2(1400.0, 900.0), folder, Some(path), 1.0);
        let spot = bench.app().spot_near(Vec3::new(-12.0, -8.0, 2.5)).expect("the slab");
        bench.harness.state_mut().place_vent(spot);
        bench.go_to("Vents");
        let air = bench.app().known().facts.as_ref().and_then(|f| f.air.clone()).expect("air");
        assert!(air.trapped.total_mm3 > 0.4, "{} mm³ stay", air.trapped.total_mm3);
        assert!(bench.says("Legend: "));
        assert_eq!(
            bench.says("Air that stays;") || bench.says("; Air that stays"),
            drawn,
            "{} mm³",
            air.trapped.total_mm3
        );
    }
}

/// A place inside a closed box is seen all the same: the view is cut through it, and healed when the step is left.
#[test]
#[ignore = "long"]
fn long_a_place_that_is_shown_is_seen() {
    let v = Vec3::new;
    let hole = solids::cylinder(v(20.0, 20.0, -1.0), v(20.0, 20.0, 3.0), 3.0, 24);
    let hollow = boolean::subtract(
        &solids::cuboid(Vec3::ZERO, Vec3::splat(40.0)),
        &[&solids::cuboid(Vec3::splat(2.0), Vec3::splat(38.0)), &hole],
    )
    .expect("hollow");
    let mut bench = Bench::with_mesh("hollow", &hollow);
    bench.go_to("Vents");
    let frames = bench.app().known().setting().expect("read").frames.clone();
    let at = mouldbench::plan::Spot { part: 0, position: DVec3::new(12.0, 27.0, 38.0), normal: DVec3::NEG_Z };
    let place = frames.spot_in_work(&at);
    assert!(!bench.app().canvas().sees(place, 1.0) && bench.app().canvas().cut.is_none());
    bench.harness.state_mut().show_place(place);
    bench.settle();
    assert!(bench.app().canvas().sees(place, 1.0) && bench.app().canvas().cut.is_some());
    bench.go_to("Block");
    assert!(bench.app().canvas().cut.is_none(), "a cut that nobody asked for goes again");
    // On the outside the view only turns there.
    let outside = frames.spot_in_work(&mouldbench::plan::Spot { position: DVec3::new(12.0, 27.0, 0.0), ..at });
    bench.harness.state_mut().show_place(outside);
    bench.settle();
    assert!(bench.app().canvas().sees(outside, 1.0) && bench.app().canvas().cut.is_none());
}

#[test]
fn what_is_proposed_is_in_sight_and_the_row_above_the_view_is_whole_in_a_small_window() {
    let mut bench = Bench::with_ring_at(vec2(1000.0, 650.0), 1.0);
    let middle = bench.app().canvas().rect().center();
    bench.scroll(middle, 400.0);
    bench.click("Propose a whole plan");
    let app = bench.app();
    assert!(!app.canvas().loses_sight(app.known(), app.step()), "cup and block are seen");
    bench.key(egui::Modifiers::NONE, egui::Key::C);
    assert!(bench.off_screen(vec2(1000.0, 650.0)).is_empty(), "{:?}", bench.off_screen(vec2(1000.0, 650.0)));
    let right = bench.app().canvas().rect().right();
    for name in ["See through the part", "Parallel view", "Cut through", "Flip", "View"] {
        let place = bench.harness.get_by_label(name).rect();
        assert!(place.right() <= right, "{name} at {place:?}, the view ends at {right}");
    }
}
