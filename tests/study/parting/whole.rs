//! What each half sees and which half each piece of surface gets.

use super::shapes::{area, cells, drilled_cube, some_turn, turned};
use glam::{Quat, Vec3};
use mouldbench::mesh::tree::Tree;
use mouldbench::mesh::{Mesh, solids};
use mouldbench::plan::Half;
use mouldbench::solve::run::Run;
use mouldbench::study::parting::loop_kind::LoopKind;
use mouldbench::study::parting::surface::Surface;
use mouldbench::study::parting::{Leave, PartingError, PartingFacts, Wish, parting, parting_of};
use proptest::prelude::*;
use std::f32::consts::PI;
use std::sync::Arc;

pub const LEAVE: Leave = Leave { island_mm2: 2.0, undercut_depth_mm: 0.1 };

/// The parting on a surface of some ten thousand triangles.
pub fn part(mesh: &Mesh, draw: Vec3) -> PartingFacts {
    part_as_wished(mesh, &Wish::along(draw))
}

pub fn part_as_wished(mesh: &Mesh, wish: &Wish) -> PartingFacts {
    let edge = (area(mesh) / (0.3 * 10_000.0)).sqrt().max(0.2) as f32;
    let surface = Arc::new(Surface::with_edge(mesh, edge, &Run::new()).expect("not cancelled"));
    parting_of(&surface, &Tree::of(mesh), wish, LEAVE, &Run::new()).expect("a parting")
}

/// The same as fine as the program makes it.
pub fn part_finely(mesh: &Mesh, draw: Vec3) -> PartingFacts {
    parting(mesh, &Wish::along(draw), LEAVE, &Run::new()).expect("a parting")
}

pub fn kinds(facts: &PartingFacts) -> Vec<LoopKind> {
    facts.loops.iter().map(|l| l.kind).collect()
}

/// A T-slot block: 60 x 40 x 100 with a neck 10 wide, 10 deep and a head 30 wide, 10 high; on cells of 10.
pub fn t_slot() -> Mesh {
    cells([6, 10, 4], 10.0, |i, _, k| {
        let neck = k == 3 && i == 2;
        let head = k == 2 && (1..4).contains(&i);
        !(neck || head)
    })
}

/// A ball of 3 mm has nothing hidden from both halves in any direction, and half of it goes to each half: the line is
/// near the great circle and less than half a per cent of the area lands on the wrong half.
#[test]
fn ball_parts_on_its_great_circle() {
    for (level, seed) in [(2, 0), (4, 1), (5, 2)] {
        for draw in [Vec3::Z, some_turn(seed) * Vec3::Z, some_turn(seed + 7) * Vec3::X] {
            let facts = part(&solids::ball(Vec3::ZERO, 3.0, level), draw);
            assert_eq!(facts.hidden_from_both_mm2, 0.0, "level {level}");
            assert_eq!(kinds(&facts), [LoopKind::Parting], "level {level} {draw}");
            assert_eq!(facts.shape, []);
            // A chain of edges gains by following the mesh; what it strays is paid for by the area it hides.
            let strayed = facts.loops[0].points.iter().map(|p| p.dot(draw).abs()).fold(0.0, f32::max);
            assert!(strayed < 0.5, "level {level}: line {strayed} off");
            let share = facts.half_1_mm2 / facts.area_mm2();
            assert!((share - 0.5).abs() < 0.06, "level {level}: {share}");
            assert!(facts.undercut_mm2 < 0.005 * facts.area_mm2(), "level {level}: {}", facts.undercut_mm2);
        }
    }
}

/// Nothing of a convex body is hidden from both halves: box, cylinder, cone, turned any way, with walls parallel to the
/// draw among them; closed form 0.
#[test]
fn convex_bodies_hide_nothing() {
    let box_ = solids::cuboid(Vec3::new(-20.0, -10.0, -5.0), Vec3::new(20.0, 10.0, 5.0));
    let rod = solids::cylinder(Vec3::ZERO, Vec3::Z * 30.0, 8.0, 24);
    let cone = solids::frustum(Vec3::ZERO, Vec3::Z * 20.0, 10.0, 4.0, 60);
    for (i, mesh) in [box_, rod, cone].iter().enumerate() {
        for seed in 0..4 {
            let turn = if seed == 0 { Quat::IDENTITY } else { some_turn(seed) };
            for draw in [Vec3::Z, Vec3::X, Vec3::new(1.0, 2.0, 3.0).normalize()] {
                let facts = part(&turned(mesh, turn), turn * draw);
                assert_eq!(facts.hidden_from_both_mm2, 0.0, "shape {i} turn {seed} draw {draw}");
                assert_eq!(kinds(&facts), [LoopKind::Parting], "shape {i} turn {seed} draw {draw}");
                assert!(facts.undercut_mm2 < 0.004 * facts.area_mm2(), "{i} {seed} {draw} {}", facts.undercut_mm2);
            }
        }
    }
}

/// Torus R = 300, r = 100 drawn at a tilt from its axis: nothing is hidden from both below atan √((R−r)/r) = 54.7356°
/// (there the normal curvature of the inner equator along the draw vanishes); at 70° 6.2 %, at 80° 18.7 % (dense
/// sampling of the smooth torus), at 90° exactly ½ − r/(πR). The torus is large, since a step of 0.02 mm off the surface
/// leaves out a band √(2·0.02·r) wide where the undercut is shallower than that.
#[test]
fn tilted_torus_hides_its_closed_form() {
    let torus = solids::torus(300.0, 100.0, 240, 120);
    for (deg, share, allowed) in [
        (0.0, 0.0, 1e-9),
        (50.0, 0.0, 1e-4),
        (70.0, 0.062, 0.005),
        (80.0, 0.187, 0.005),
        (90.0, 0.5 - 1.0 / (PI as f64 * 3.0), 0.005),
    ] {
        let a = f32::to_radians(deg);
        let facts = part(&torus, Vec3::new(a.sin() * 0.8, a.sin() * 0.6, a.cos()));
        let got = facts.hidden_from_both_mm2 / facts.area_mm2();
        assert!((got - share).abs() <= allowed, "{deg}°: {got}");
    }
}

/// A 40 mm cube with a through hole of 20 mm: across the hole all of its wall is hidden, π·d·L of the area, along it
/// nothing. The facets of the hole are what is measured.
#[test]
fn drilled_cube_hides_its_hole_from_a_draw_across() {
    let cube = drilled_cube(40.0, 10.0, 64);
    let hole = 64.0 * 2.0 * 10.0 * (std::f64::consts::PI / 64.0).sin() * 40.0;
    for draw in [Vec3::X, Vec3::new(0.6, 0.8, 0.0)] {
        let facts = part_finely(&cube, draw);
        assert!((facts.hidden_from_both_mm2 - hole).abs() < 1e-3 * hole, "{} of {hole}", facts.hidden_from_both_mm2);
        let got = facts.hidden_from_both_mm2 / facts.area_mm2();
        assert!((got - 0.218832).abs() < 0.001, "{got}");
    }
    let along = part(&cube, Vec3::Z);
    assert_eq!(along.hidden_from_both_mm2, 0.0);
    assert_eq!(along.undercut_mm2, 0.0);
    assert_eq!(kinds(&along), [LoopKind::Parting, LoopKind::ShutOff]);
    assert_eq!(along.shape, []);
}

/// The T-slot block drawn upwards hides floor 20, ceilings 20 and head sides 20 of each millimetre, also the walls that
/// are parallel to the draw: 6000 of 32000 mm²; drawn along the slot nothing.
#[test]
fn t_slot_hides_6000_of_32000() {
    let block = t_slot();
    assert!((area(&block) - 32000.0).abs() < 1e-3);
    for seed in [0, 3] {
        let turn = if seed == 0 { Quat::IDENTITY } else { some_turn(seed) };
        let facts = part_finely(&turned(&block, turn), turn * Vec3::Z);
        assert!((facts.hidden_from_both_mm2 - 6000.0).abs() < 6.0, "turn {seed}: {}", facts.hidden_from_both_mm2);
        assert_eq!(part(&turned(&block, turn), turn * Vec3::Y).hidden_from_both_mm2, 0.0);
    }
}

/// A box of two triangles a wall without draft, drawn square to a wall: top and bottom go to their halves, the line
/// lies on a crease of a wall's top or bottom, and nothing is an undercut.
#[test]
fn wall_without_draft_gets_its_line_on_a_crease() {
    let mesh = solids::cuboid(Vec3::ZERO, Vec3::new(40.0, 30.0, 20.0));
    let facts = part(&mesh, Vec3::Z);
    assert_eq!(facts.undercut_mm2, 0.0);
    assert_eq!(kinds(&facts), [LoopKind::Parting]);
    let heights: Vec<f32> = facts.loops[0].points.iter().map(|p| p.z).collect();
    let flat = heights.iter().all(|&z| z == 20.0) || heights.iter().all(|&z| z == 0.0);
    assert!(flat, "the line stays on one rim");
    // 140 mm of convex crease at 0.15.
    assert!((facts.energy_mm - 140.0 * 0.15).abs() < 1e-3, "{}", facts.energy_mm);
}

/// A box with a square pin out of its side: half 1 must not be pulled over the pin's underside, half 2 not over its
/// top; both halves stay in one piece.
#[test]
fn pin_out_of_a_side_is_split() {
    let mesh = cells([11, 5, 9], 2.0, |i, j, k| i < 5 || (j == 2 && k == 4));
    for seed in [0, 2] {
        let turn = if seed == 0 { Quat::IDENTITY } else { some_turn(seed) };
        let facts = part(&turned(&mesh, turn), turn * Vec3::Z);
        assert_eq!(facts.undercut_mm2, 0.0, "turn {seed}");
        assert_eq!(facts.hidden_from_both_mm2, 0.0);
        assert_eq!(facts.shape, [], "turn {seed}");
        assert_eq!(kinds(&facts), [LoopKind::Parting], "turn {seed}");
        for f in 0..facts.surface.len() {
            let p = turn.inverse() * facts.surface.centroid[f];
            if p.x > 10.1 && (p.z - 8.0).abs() < 1e-3 {
                assert_eq!(facts.halves[f], Half::Two, "underside of the pin");
            }
            if p.x > 10.1 && (p.z - 10.0).abs() < 1e-3 {
                assert_eq!(facts.halves[f], Half::One, "top of the pin");
            }
        }
    }
}

/// A hole that goes in at the top and comes out at a side, 4 x 4 mm: its level arm is hidden from both but for what the
/// shaft above shows, in closed form; the body has a handle, so there is a shut-off or the locked core is named.
#[test]
fn bent_hole_is_hidden_and_its_core_is_named() {
    let edge = 4.0;
    let mesh = cells([5, 3, 5], edge, |i, j, k| !(j == 1 && ((i == 1 && k >= 2) || (k == 2 && i >= 1))));
    let facts = part(&mesh, Vec3::Z);
    // Three cells of arm beyond the shaft: floor, ceiling and two sides each are 4 squares a cell.
    let hidden = 3.0 * 4.0 * 16.0;
    assert!((facts.hidden_from_both_mm2 - hidden).abs() < 0.5, "{}", facts.hidden_from_both_mm2);
    let loops = facts.loops.len();
    let locked = facts.shape.len();
    assert!(loops == 2 && locked == 0 || loops == 1 && locked == 1, "{:?} {:?}", kinds(&facts), facts.shape);
    assert_eq!(facts.loops[0].kind, LoopKind::Parting);
    assert!(facts.undercut_mm2 >= hidden - 0.5);
}

/// Refinement keeps every triangle in its parent's plane and the whole area.
#[test]
fn halves_add_up_to_the_whole() {
    for mesh in [t_slot(), drilled_cube(40.0, 10.0, 32), solids::torus(30.0, 10.0, 60, 30)] {
        let facts = part(&mesh, Vec3::new(0.2, 0.3, 1.0));
        assert!((facts.area_mm2() - area(&mesh)).abs() < 1e-4 * area(&mesh));
        assert!(facts.hidden_from_both_mm2 <= facts.undercut_mm2 + 1e-9);
        for (f, &p) in facts.surface.parent.iter().enumerate() {
            let [a, _, _] = mesh.corners(p as usize);
            let away = (facts.surface.centroid[f] - a).dot(mesh.unit_normal(p as usize));
            assert!(away.abs() < 1e-3);
        }
    }
}

/// Every body of several has its own line; bodies that run into each other or have open edges do not stop anything.
#[test]
fn several_overlapping_and_open_bodies() {
    let mut two = solids::cuboid(Vec3::ZERO, Vec3::splat(10.0));
    two.append(&solids::ball(Vec3::new(30.0, 0.0, 5.0), 5.0, 3));
    let facts = part(&two, Vec3::Z);
    assert_eq!(kinds(&facts), [LoopKind::Parting, LoopKind::Parting]);
    assert_eq!((facts.loops[0].body, facts.loops[1].body), (0, 1));
    assert_eq!(facts.surface.bodies, 2);

    let mut crossing = solids::cuboid(Vec3::ZERO, Vec3::splat(10.0));
    crossing.append(&solids::cuboid(Vec3::splat(5.0), Vec3::splat(15.0)));
    crossing.append(&solids::cuboid(Vec3::splat(5.0), Vec3::splat(15.0)));
    assert!(part(&crossing, Vec3::new(0.1, 0.0, 1.0)).loops.len() >= 2);

    let mut open = solids::ball(Vec3::ZERO, 10.0, 3);
    open.triangles.drain(100..180);
    let facts = part(&open, Vec3::X);
    assert!(!facts.loops.is_empty());

    // Cubes that touch along an edge: four triangles on it.
    let touching = cells([2, 2, 1], 5.0, |i, j, _| i == j);
    let facts = part(&touching, Vec3::Z);
    assert_eq!(facts.hidden_from_both_mm2, 0.0);
    assert!(facts.loops.iter().all(|l| l.closed));
}

/// What is no direction or no surface is refused in words, and a cancelled run stops.
#[test]
fn refusals() {
    let cube = solids::cuboid(Vec3::ZERO, Vec3::ONE);
    for draw in [Vec3::ZERO, Vec3::NAN] {
        let got = parting(&cube, &Wish::along(draw), LEAVE, &Run::new());
        assert!(matches!(got, Err(PartingError::NoDirection)));
    }
    let got = parting(&Mesh::default(), &Wish::along(Vec3::Z), LEAVE, &Run::new());
    assert!(matches!(got, Err(PartingError::NoSurface)));
    let run = Run::new();
    run.cancel();
    assert!(matches!(parting(&cube, &Wish::along(Vec3::Z), LEAVE, &run), Err(PartingError::Cancelled(_))));
}

/// The same part far from the origin reads the same within what f32 positions leave.
#[test]
fn far_from_the_origin() {
    let mut block = t_slot();
    block.positions.iter_mut().for_each(|p| *p += Vec3::new(4096.0, -8192.0, 2048.0));
    let facts = part(&block, Vec3::Z);
    assert!((facts.hidden_from_both_mm2 - 6000.0).abs() < 12.0, "{}", facts.hidden_from_both_mm2);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(10))]

    /// Turning part and draw together changes no area, however odd the part: random cubes glued to a block.
    #[test]
    fn turning_changes_nothing(bits in prop::collection::vec(any::<bool>(), 27), seed in 0u32..50) {
        let mesh = cells([3, 3, 4], 6.0, |i, j, k| k == 0 || bits[i + 3 * j + 9 * (k - 1)]);
        let draw = Vec3::new(0.3, 0.1, 1.0).normalize();
        let turn = some_turn(seed);
        let (one, other) = (part(&mesh, draw), part(&turned(&mesh, turn), turn * draw));
        let whole = one.area_mm2();
        prop_assert!((one.hidden_from_both_mm2 - other.hidden_from_both_mm2).abs() < 2e-3 * whole);
        prop_assert!((one.energy_mm - other.energy_mm).abs() < 0.03 * one.energy_mm.max(100.0), "{} {}", one.energy_mm, other.energy_mm);
    }
}
