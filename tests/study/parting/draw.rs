//! The draw proposed, and what depth rasters measure, against closed forms.

use super::shapes::{area, drilled_cube, some_turn, turned};
use super::whole::t_slot;
use glam::{Quat, Vec3};
use mouldbench::mesh::{Mesh, read_stl, solids};
use mouldbench::solve::run::Run;
use mouldbench::study::parting::draw::{propose_draw, raster_views, undercut_area_by_raster};
use std::f64::consts::PI;

fn hidden(mesh: &Mesh, direction: Vec3) -> f64 {
    undercut_area_by_raster(mesh, &[direction], &Run::new()).expect("not cancelled")[0]
}

/// Rasters read the hidden area within two per cent of the whole, but for undercuts shallower than a cell of 80/192 mm,
/// which on the torus are bands √(2·cell·r) wide on both sides: the drilled cube across (π·d·L) and along (0), the
/// T-slot block (6000 of 32000 mm²; 0 along the slot), the torus across (½ − r/(πR) of its area) and along (0), convex
/// bodies (0), also turned.
#[test]
fn rasters_read_the_hidden_area() {
    let drilled = drilled_cube(40.0, 10.0, 64);
    let torus = solids::torus(30.0, 10.0, 96, 48);
    let ball = solids::ball(Vec3::splat(7.0), 9.0, 4);
    let cube = solids::cuboid(Vec3::ZERO, Vec3::new(10.0, 20.0, 30.0));
    let tilted = Vec3::new(0.3, -0.5, 0.7);
    for (name, mesh, direction, expected) in [
        ("drilled across", &drilled, Vec3::X, PI * 20.0 * 40.0),
        ("drilled along", &drilled, Vec3::Z, 0.0),
        ("slot up", &t_slot(), Vec3::Z, 6000.0),
        ("slot along", &t_slot(), Vec3::Y, 0.0),
        ("torus across", &torus, Vec3::X, (0.5 - 1.0 / (3.0 * PI)) * 4.0 * PI * PI * 300.0),
        ("torus along", &torus, Vec3::Z, 0.0),
        ("ball", &ball, tilted, 0.0),
        ("cube", &cube, tilted, 0.0),
        ("cube up", &cube, Vec3::Z, 0.0),
    ] {
        for seed in [0, 3] {
            let turn = if seed == 0 { Quat::IDENTITY } else { some_turn(seed) };
            let got = hidden(&turned(mesh, turn), turn * direction);
            let allowed = if name == "torus across" { 0.1 } else { 0.02 };
            assert!((got - expected).abs() < allowed * area(mesh), "{name}, turn {seed}: {got} of {expected}");
        }
    }
}

/// Shadows: cube along its diagonal √3·a², torus along its axis 4πRr and across 4Rr + πr², ball πr² (Cauchy 1832 and
/// elementary); the outline of the ball 2πr.
#[test]
fn rasters_read_the_shadow() {
    let view = |mesh: &Mesh, d: Vec3| raster_views(mesh, &[d], &Run::new()).expect("not cancelled")[0];
    let near = |got: f64, expected: f64, part: f64| assert!((got / expected - 1.0).abs() < part, "{got} {expected}");
    let cube = solids::cuboid(Vec3::ZERO, Vec3::splat(10.0));
    near(view(&cube, Vec3::ONE).shadow_mm2, 3f64.sqrt() * 100.0, 0.02);
    let torus = solids::torus(30.0, 10.0, 180, 90);
    near(view(&torus, Vec3::Z).shadow_mm2, 4.0 * PI * 300.0, 0.02);
    near(view(&torus, Vec3::Y).shadow_mm2, 4.0 * 300.0 + PI * 100.0, 0.02);
    let ball = view(&solids::ball(Vec3::ZERO, 10.0, 5), Vec3::new(0.1, 0.2, 0.9));
    near(ball.shadow_mm2, PI * 100.0, 0.02);
    near(ball.outline_mm, 2.0 * PI * 10.0, 0.03);
}

/// The draw proposed leaves what can leave: along the slot, along the hole, along the torus' axis, however it is turned.
#[test]
#[ignore = "long"]
fn long_draw_follows_slot_and_hole() {
    for seed in [0, 2, 6] {
        let turn = if seed == 0 { Quat::IDENTITY } else { some_turn(seed) };
        for (mesh, along) in
            [(t_slot(), Vec3::Y), (drilled_cube(40.0, 10.0, 64), Vec3::Z), (solids::torus(30.0, 10.0, 96, 48), Vec3::Z)]
        {
            let up = (turn * along).any_orthonormal_vector();
            let found = propose_draw(&[&turned(&mesh, turn)], up, &Run::new()).expect("not cancelled");
            let best = found[0].draw;
            assert!((best.length() - 1.0).abs() < 1e-5);
            let off = best.dot(turn * along).abs().min(1.0).acos().to_degrees();
            assert!(off < 4.0, "turn {seed}: {off}° off");
            assert!(found.windows(2).all(|w| w[0].score_mm <= w[1].score_mm));
            assert!(found.len() >= 2);
        }
    }
}

/// Of draws that are otherwise alike the level one is taken, and a plate opens over its flat sides, not along them.
#[test]
fn level_draw_is_preferred() {
    let cube = solids::cuboid(Vec3::ZERO, Vec3::splat(20.0));
    let found = propose_draw(&[&cube], Vec3::Z, &Run::new()).expect("not cancelled");
    assert!(found[0].draw.z.abs() < 0.05, "{}", found[0].draw);
    let plate = solids::cuboid(Vec3::ZERO, Vec3::new(80.0, 2.0, 60.0));
    let found = propose_draw(&[&plate], Vec3::Z, &Run::new()).expect("not cancelled");
    assert!(found[0].draw.y.abs() > 0.98, "{}", found[0].draw);
}

/// Another hang finds the same draw, to the last digit, where the part has one that is better than all others; only which
/// of W and −W is half 1's follows the hang.
#[test]
#[ignore = "long"]
fn long_draw_does_not_hang_on_the_hang() {
    let turn = some_turn(4);
    for (name, mesh) in [
        ("slot", turned(&t_slot(), turn)),
        ("drilled", turned(&drilled_cube(40.0, 10.0, 64), turn)),
        ("torus", solids::torus(30.0, 10.0, 96, 48)),
    ] {
        let draw = |up: Vec3| propose_draw(&[&mesh], up, &Run::new()).expect("not cancelled")[0].draw;
        let first = draw(Vec3::Z);
        // Upright, level and oblique to that draw, and some that are nothing in particular.
        let level = first.any_orthonormal_vector();
        let oblique = (first + level).normalize();
        for up in [first, -first, level, -oblique, some_turn(1) * Vec3::X, some_turn(9) * Vec3::Y] {
            let again = draw(up);
            assert!(again == first || again == -first, "{name} hung {up}: {again} and {first}");
            assert!(again.dot(up) >= -1e-3, "{name} hung {up}: half 1 lifts off downwards, {again}");
        }
    }
}

/// Where several draws are equally good the hang decides: a cube on one of its faces opens sideways, a ball however it
/// hangs.
#[test]
fn of_equal_draws_the_level_one_is_taken() {
    let cube = solids::cuboid(Vec3::splat(-10.0), Vec3::splat(10.0));
    for up in [Vec3::X, Vec3::Y, Vec3::Z] {
        let found = propose_draw(&[&cube], up, &Run::new()).expect("not cancelled");
        assert!(found[0].draw.dot(up).abs() < 0.02, "hung {up}: {}", found[0].draw);
    }
    let ball = solids::ball(Vec3::new(40.0, -20.0, 10.0), 12.0, 4);
    for up in [Vec3::Z, Vec3::new(0.6, 0.0, 0.8), Vec3::new(0.3, 0.5, 0.8).normalize()] {
        let found = propose_draw(&[&ball], up, &Run::new()).expect("not cancelled");
        let off_level = found[0].draw.dot(up).abs().asin().to_degrees();
        assert!(off_level < 8.0, "hung {up}: {} is {off_level}° off level", found[0].draw);
    }
}

/// The same answer every time, an answer for no mesh at all, and none after cancelling.
#[test]
fn proposals_are_steady() {
    let mesh = t_slot();
    let one = propose_draw(&[&mesh], Vec3::Z, &Run::new()).expect("not cancelled");
    assert_eq!(one, propose_draw(&[&mesh], Vec3::Z, &Run::new()).expect("not cancelled"));
    let nothing = propose_draw(&[&Mesh::default()], Vec3::Z, &Run::new()).expect("not cancelled");
    assert!(nothing.iter().all(|p| p.score_mm == 0.0));
    let run = Run::new();
    run.cancel();
    assert!(propose_draw(&[&mesh], Vec3::Z, &run).is_err());
}

/// A degree askew the raster sees the same of a shell, while its halves hide more of each other along every wall: the way
/// it was drawn is taken, however it hangs.
#[test]
fn a_draw_is_not_a_little_askew() {
    for (name, up) in [("handle", Vec3::X), ("cap", Vec3::new(0.0, 0.9, 0.3)), ("grip", Vec3::new(-1.0, 0.0, 0.16))] {
        let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("assets/demo/{name}.stl"));
        let mesh = read_stl::read(&path, 1.0).expect("read").mesh;
        let best = propose_draw(&[&mesh], up, &Run::new()).expect("not cancelled")[0];
        assert_eq!(best.draw.abs(), Vec3::Z, "{name}: {best:?}");
    }
}
