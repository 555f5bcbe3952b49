//! The resin level's picture, shapes of trapped air, and bubbles after let-up.

use super::shapes::*;
use glam::Vec3;
use mouldbench::mesh::measure::Measures;
use mouldbench::mesh::tree::Tree;
use mouldbench::solve::closed_surface::NotClosed;
use mouldbench::solve::run::Run;
use mouldbench::study::air::level_picture::{self, LevelPicture, Wetting};
use mouldbench::study::air::{Air, bubble, high_points};

/// Volume without resin at a level, open and trapped.
fn without_resin(shape: &Air, mouths: &[mouldbench::study::air::Mouth], z: f64) -> (f64, f64) {
    let trapped = shape.trapped(mouths);
    let spaces = level_picture::spaces(&shape.level, &trapped, z);
    let sum = |open: bool| spaces.iter().filter(|s| s.open == open).map(|s| s.piece.volume_mm3).sum();
    (sum(true), sum(false))
}

#[test]
fn two_towers_level_by_level() {
    // Plate 84 mm² to z = 2, towers 24 mm² each to 8 and 12; a vent on the lower tower only.
    let air = air(&two_towers(), Vec3::Z, 0.0);
    let mouths = [vent(1, Vec3::new(2.0, 3.0, 8.0), Vec3::Z, 1.0)];
    for (z, open, caught) in [
        (1.0, 84.0 + 144.0 + 240.0, 0.0),
        (3.0, 24.0 * 5.0, 240.0),
        (7.0, 24.0, 240.0),
        (8.5, 0.0, 240.0),
        (20.0, 0.0, 240.0),
    ] {
        let found = without_resin(&air, &mouths, z);
        assert!((found.0 - open).abs() < 1e-6 && (found.1 - caught).abs() < 1e-6, "{found:?} at {z}");
    }
}

#[test]
fn at_the_end_what_is_trapped_is_the_total() {
    let mut dice = Dice(99);
    for (name, mesh) in gallery() {
        let up = dice.direction().as_vec3();
        let air = air(&mesh, up, 0.0);
        let t = (dice.number() % mesh.triangles.len() as u64) as usize;
        let [a, b, c] = mesh.corners(t);
        let mouths = [vent(1, (a + b + c) / 3.0, mesh.unit_normal(t), 1.0)];
        let total = air.trapped(&mouths).total_mm3;
        let top = air.level.tree().branches.iter().map(|b| b.summit).fold(f64::MIN, f64::max);
        let (open, caught) = without_resin(&air, &mouths, top + 1.0);
        assert_eq!(open, 0.0, "{name}");
        assert!((caught - total).abs() <= 1e-9 * total.max(1.0), "{name}: {caught} {total}");
        let bottom = air.level.tree().branches.iter().map(|b| b.bottom).fold(f64::MAX, f64::min);
        let whole = Measures::of(&mesh).volume_mm3;
        let (open, caught) = without_resin(&air, &mouths, bottom - 1.0);
        assert!((open + caught - whole).abs() < 1e-4 * whole, "{name}: {open} + {caught} of {whole}");
    }
}

#[test]
fn every_point_of_the_wall_is_full_open_or_trapped() {
    let mesh = two_towers();
    let air = air(&mesh, Vec3::Z, 0.0);
    let trapped = air.trapped(&[vent(1, Vec3::new(2.0, 3.0, 8.0), Vec3::Z, 1.0)]);
    let picture = LevelPicture::new(&air.level, &trapped);
    assert_eq!(picture.range, [0.0, 12.0]);
    for t in 0..mesh.triangles.len() {
        let [a, b, c] = mesh.corners(t);
        let p = (a + b + c) / 3.0;
        let in_high_tower = p.x > 9.9 && p.z > 2.0;
        for level in [1.0, 3.0, 11.0] {
            let expected = if in_high_tower && level > 2.0 {
                Wetting::Trapped
            } else if p.z <= level {
                Wetting::Full
            } else {
                Wetting::Open
            };
            assert_eq!(picture.at(t, p.z, level), expected, "{p} with the resin at {level}");
        }
    }
}

#[test]
fn on_cells_the_picture_is_the_same_but_near_edges() {
    let mesh = two_towers();
    let tree = std::sync::Arc::new(Tree::of(&mesh));
    let why = NotClosed::NotUnited;
    let run = Run::new();
    let on_cells = Air::on_cells(&std::sync::Arc::new(mesh.clone()), &tree, Vec3::Z, 0.0, why, &run).expect("runs");
    let mouths = [vent(1, Vec3::new(2.0, 3.0, 8.0), Vec3::Z, 1.0)];
    let picture = LevelPicture::new(&on_cells.level, &on_cells.trapped(&mouths));
    let exact = air(&mesh, Vec3::Z, 0.0);
    let expected = LevelPicture::new(&exact.level, &exact.trapped(&mouths));
    for t in 0..mesh.triangles.len() {
        let (found, expected) = (picture.caught_at[t], expected.caught_at[t]);
        let p = mesh.corners(t).iter().sum::<Vec3>() / 3.0;
        // Where a tower meets the plate a cell of the other may be the nearer one.
        if (p.z - 2.0).abs() > 0.5 {
            assert_eq!(found.is_finite(), expected.is_finite(), "{p}: {found} {expected}");
        }
        assert!(found.is_infinite() || (found - 2.0).abs() < 0.5, "{p}: {found}");
    }
}

#[test]
fn the_drawn_shape_holds_the_stated_volume() {
    let mut dice = Dice(5);
    let mut drawn = 0;
    for (name, mesh) in gallery() {
        for _ in 0..3 {
            let up = dice.direction().as_vec3();
            let air = air(&mesh, up, 0.0);
            let top = high_points::high_points(&air.level, 1.0)[0].position;
            for piece in air.trapped(&[vent(1, top, up, 0.5)]).pieces {
                let measured = Measures::of(&air.level.shape(&piece)).volume_mm3;
                assert!((measured - piece.volume_mm3).abs() < 1e-3 * piece.volume_mm3.max(1.0), "{name}: {measured}");
                drawn += 1;
            }
        }
    }
    assert!(drawn > 30, "{drawn}");
}

#[test]
fn bubbles_after_let_up() {
    // Boyle: volume ratios 1, 5, 10, 30, 50 mbar against 101325 Pa, and the cube roots of them for the diameter.
    for (mbar, ratio, diameter) in [
        (1.0, 0.000987, 0.0996),
        (5.0, 0.004935, 0.1702),
        (10.0, 0.009869, 0.2145),
        (30.0, 0.029608, 0.3094),
        (50.0, 0.049346, 0.3668),
    ] {
        assert!((bubble::left_after_let_up_mm3(1.0, mbar * 100.0) - ratio).abs() < 1e-6);
        let ball = std::f64::consts::PI / 6.0 * 8.0;
        assert!((bubble::bubble_mm(ball, mbar * 100.0) - 2.0 * diameter).abs() < 2e-4);
    }
    assert_eq!(bubble::bubble_mm(0.0, 1000.0), 0.0);
}
