//! What a stroke of a brush covers: true millimetres of width, and only the side of the wall that it lies on.

use crate::study::parting::shapes::{some_turn, turned};
use glam::{Quat, Vec3};
use mouldbench::mesh::{Mesh, boolean, solids};
use mouldbench::solve::run::Run;
use mouldbench::study::parting::hand::Stroke;
use mouldbench::study::parting::surface::Surface;
use std::f32::consts::PI;

/// The area that a stroke covers in all, and what of it looks along `out`, mm².
fn covered(mesh: &Mesh, stroke: &Stroke, out: Vec3) -> (f32, f32) {
    let surface = Surface::new(mesh, &Run::new()).expect("a surface");
    let marked = stroke.mark(&surface);
    let area = |keep: &dyn Fn(usize) -> bool| -> f32 {
        (0..surface.len()).filter(|f| marked[*f] && keep(*f)).map(|f| surface.area_mm2[f]).sum()
    };
    (area(&|_| true), area(&|f| surface.normal[f].dot(out) > 0.99))
}

fn stroke(points: &[Vec3], normal: Vec3, radius_mm: f32) -> Stroke {
    Stroke { points: points.to_vec(), normals: vec![normal; points.len()], radius_mm }
}

fn turned_stroke(of: &Stroke, turn: Quat) -> Stroke {
    let all = |v: &[Vec3]| v.iter().map(|p| turn * *p).collect();
    Stroke { points: all(&of.points), normals: all(&of.normals), radius_mm: of.radius_mm }
}

/// A line 40 mm long with round ends, 12 mm wide: 40·12 + π·6² mm² (a rectangle and two half discs).
const LONG_MM2: f32 = 40.0 * 12.0 + PI * 36.0;

#[test]
fn a_stroke_is_as_wide_as_it_says_on_one_side_of_a_thin_plate() {
    // 0.8 mm: the other side is far nearer than the stroke is wide.
    let plate = solids::cuboid(Vec3::ZERO, Vec3::new(80.0, 40.0, 0.8));
    let on_top = stroke(&[Vec3::new(20.0, 20.0, 0.8), Vec3::new(60.0, 20.0, 0.8)], Vec3::Z, 6.0);
    for seed in [0, 3] {
        let turn = if seed == 0 { Quat::IDENTITY } else { some_turn(seed) };
        let (all, own) = covered(&turned(&plate, turn), &turned_stroke(&on_top, turn), turn * Vec3::Z);
        assert!((all - LONG_MM2).abs() < 0.05 * LONG_MM2, "turn {seed}: {all} mm², not {LONG_MM2}");
        assert!((all - own).abs() < 1e-3, "turn {seed}: {} mm² of it elsewhere", all - own);
    }
    // Along the edge it ends at the edge: half of it, and neither the side nor the under-face.
    let at_edge = stroke(&[Vec3::new(20.0, 40.0, 0.8), Vec3::new(60.0, 40.0, 0.8)], Vec3::Z, 6.0);
    let (all, own) = covered(&plate, &at_edge, Vec3::Z);
    assert!((own - LONG_MM2 / 2.0).abs() < 0.05 * LONG_MM2 && all - own < 1.0, "{all}, {own} on top");
}

#[test]
fn a_stroke_on_a_lid_leaves_its_walls_and_its_inside() {
    // A lid of 1.6 mm, open below.
    let outer = solids::cuboid(Vec3::ZERO, Vec3::new(60.0, 40.0, 12.0));
    let inner = solids::cuboid(Vec3::new(1.6, 1.6, -1.0), Vec3::new(58.4, 38.4, 10.4));
    let lid = boolean::subtract(&outer, &[&inner]).expect("a lid");
    // Across the whole of the face, wider than it: 60 by 40 mm and nothing else.
    let wide = stroke(&[Vec3::new(0.0, 20.0, 12.0), Vec3::new(60.0, 20.0, 12.0)], Vec3::Z, 25.0);
    let (all, own) = covered(&lid, &wide, Vec3::Z);
    assert!((own - 2400.0).abs() < 1.0 && (all - own).abs() < 1e-3, "{all}, {own} on the face");
    // The inside alone, 56.8 by 36.8 mm, from a stroke in it.
    let inside = Stroke { points: vec![Vec3::new(30.0, 20.0, 10.4)], normals: vec![Vec3::NEG_Z], radius_mm: 40.0 };
    let (all, own) = covered(&lid, &inside, Vec3::NEG_Z);
    assert!((own - 56.8 * 36.8).abs() < 1.0 && (all - own).abs() < 1e-3, "{all}, {own} inside");
}

#[test]
fn a_stroke_covers_as_much_of_a_fine_mesh_as_of_a_coarse_one() {
    // A disc of 10 mm on a ball of radius 20: by chord c a cap of π·c² (Archimedes, On the Sphere and Cylinder I, 42-43).
    let wanted = PI * 100.0;
    for finer in [2, 3, 4, 5] {
        let ball = solids::ball(Vec3::ZERO, 20.0, finer);
        let dot = Stroke { points: vec![Vec3::Z * 20.0], normals: vec![Vec3::Z], radius_mm: 10.0 };
        let (all, _) = covered(&ball, &dot, Vec3::Z);
        assert!((all - wanted).abs() < 0.05 * wanted, "finer {finer}: {all} mm², not {wanted}");
    }
    // A plate of two triangles a side, and the same cut into cells.
    let plate = solids::cuboid(Vec3::ZERO, Vec3::new(80.0, 40.0, 2.0));
    let line = stroke(&[Vec3::new(20.0, 20.0, 2.0), Vec3::new(60.0, 20.0, 2.0)], Vec3::Z, 6.0);
    let fine = mouldbench::mesh::refine::refine(&plate, 1.0, 100_000).mesh;
    let (coarse, _) = covered(&plate, &line, Vec3::Z);
    let (fine, _) = covered(&fine, &line, Vec3::Z);
    assert!((fine - coarse).abs() < 0.04 * LONG_MM2 && (fine - LONG_MM2).abs() < 0.05 * LONG_MM2, "{coarse}, {fine}");
}

#[test]
fn a_stroke_goes_round_a_bend_with_the_hand() {
    // Led over the edge of a block the stroke covers both faces along its way, and not the third one.
    let block = solids::cuboid(Vec3::ZERO, Vec3::splat(30.0));
    let led = Stroke {
        points: vec![Vec3::new(20.0, 15.0, 30.0), Vec3::new(30.0, 15.0, 20.0)],
        normals: vec![Vec3::Z, Vec3::X],
        radius_mm: 4.0,
    };
    let (all, top) = covered(&block, &led, Vec3::Z);
    let (_, side) = covered(&block, &led, Vec3::X);
    assert!(top > 25.0 && side > 25.0 && (all - top - side).abs() < 1e-3, "{top} on top, {side} beside, {all} in all");
}
