//! How slender the rubber itself stands.

use super::shapes::{cells, drilled_cube, some_turn, turned};
use super::whole::part;
use glam::{Quat, Vec3};
use mouldbench::mesh::tree::Tree;
use mouldbench::mesh::{Mesh, boolean, solids};
use mouldbench::solve::run::Run;
use mouldbench::study::parting::release::kinds::RubberKind;
use mouldbench::study::parting::release::rubber::{Piece, Rubber};

fn pieces(mesh: &Mesh, draw: Vec3) -> Vec<Piece> {
    Rubber::of(&part(mesh, draw), &Tree::of(mesh), 10.0, &Run::new()).expect("not cancelled").pieces
}

/// A block with a blind hole from its top.
fn blind(diameter: f32, depth: f32, sides: u32) -> Mesh {
    let top = depth + 8.0;
    let block = solids::cuboid(Vec3::new(-15.0, -12.0, 0.0), Vec3::new(16.0, 14.0, top));
    let drill = solids::cylinder(Vec3::Z * 8.0, Vec3::Z * (top + 5.0), diameter / 2.0, sides);
    boolean::subtract(&block, &[&drill]).expect("drilled")
}

fn turns(seed: u32) -> Quat {
    if seed == 0 { Quat::IDENTITY } else { some_turn(seed) }
}

/// A blind hole Ø3 and 24 deep holds a core eight times as long as thick, fine or coarse, turned and far away.
#[test]
fn blind_hole_of_3_by_24_reads_8() {
    for (sides, seed, far) in [(24, 0, 0.0), (64, 3, 0.0), (24, 2, 2000.0), (200, 0, 0.0)] {
        let mut mesh = turned(&blind(3.0, 24.0, sides), turns(seed));
        mesh.positions.iter_mut().for_each(|p| *p += Vec3::new(far, far, -far));
        let found = pieces(&mesh, turns(seed) * Vec3::Z);
        assert_eq!(found.len(), 1, "{sides} {seed}: {:?}", found.iter().map(Piece::slenderness).collect::<Vec<_>>());
        let core = &found[0];
        assert!((core.slenderness() - 8.0).abs() < 0.2, "{sides} {seed}: {} / {}", core.length_mm, core.thickness_mm);
        assert_eq!(core.kind, RubberKind::Core);
        let tip = turns(seed).inverse() * (core.tip - Vec3::new(far, far, -far));
        assert!((tip.z - 8.0).abs() < 1.5, "the tip is at the bottom of the hole, not at {tip}");
    }
}

/// A hole Ø10 and 10 deep holds a core as long as thick; a plain block none at all; a dish is no hole.
#[test]
fn stubby_rubber_is_clean() {
    let found = pieces(&blind(10.0, 10.0, 48), Vec3::Z);
    assert!(
        found.iter().all(|p| p.slenderness() < 1.15),
        "{:?}",
        found.iter().map(Piece::slenderness).collect::<Vec<_>>()
    );
    assert!(pieces(&solids::cuboid(Vec3::ZERO, Vec3::new(40.0, 30.0, 20.0)), Vec3::Z).is_empty());
    assert!(pieces(&solids::torus(30.0, 10.0, 48, 24), Vec3::Z).iter().all(|p| p.slenderness() < 1.0));
    // A step has corners but no second wall.
    assert!(pieces(&cells([4, 3, 4], 8.0, |i, _, k| i < 2 || k < 2), Vec3::Z).is_empty());
}

/// A slot 1 wide, 15 deep and 20 long holds a tongue fifteen times as long as thick, also made of two triangles a wall.
#[test]
fn slot_of_1_by_15_reads_15() {
    let block = solids::cuboid(Vec3::new(-10.0, -15.0, 0.0), Vec3::new(11.0, 15.0, 20.0));
    let slot = solids::cuboid(Vec3::new(0.0, -10.0, 5.0), Vec3::new(1.0, 10.0, 25.0));
    let mesh = boolean::subtract(&block, &[&slot]).expect("slotted");
    for seed in [0, 5] {
        let found = pieces(&turned(&mesh, turns(seed)), turns(seed) * Vec3::Z);
        assert_eq!(found[0].kind, RubberKind::Tongue);
        assert!(
            (found[0].slenderness() - 15.0).abs() < 0.4,
            "{seed}: {} / {}",
            found[0].length_mm,
            found[0].thickness_mm
        );
        assert!((found[0].thickness_mm - 1.0).abs() < 0.01);
    }
}

/// A through-hole Ø20 in a cube of 40, drawn along it: the halves share its length, 40 in all, thickness 20.
#[test]
fn through_hole_is_shared_by_its_plugs() {
    let cube = drilled_cube(40.0, 10.0, 64);
    let found = pieces(&cube, Vec3::Z);
    let sum: f64 = found.iter().filter(|p| p.kind == RubberKind::Plug).map(|p| p.length_mm).sum();
    assert!((sum - 40.0).abs() < 1.5, "{sum} of {found:?}");
    assert!(found.iter().all(|p| (p.thickness_mm - 20.0).abs() < 0.2));
}

/// A hole that turns a corner is as long as its two arms, not as the straight line to its end; bodies stand for
/// themselves.
#[test]
fn bent_holes_and_several_bodies() {
    // Cells of 3: down 7, then sideways 7.
    let bent = cells([12, 5, 12], 3.0, |i, j, k| !(j == 2 && ((i == 2 && k >= 4) || (k == 4 && (2..9).contains(&i)))));
    let found = pieces(&bent, Vec3::Z);
    assert_eq!(found.len(), 1, "{:?}", found.iter().map(Piece::slenderness).collect::<Vec<_>>());
    // Along the middle: 22.5 down and 19.5 sideways to the end wall; corners may be cut a little.
    assert!((38.0..43.0).contains(&found[0].length_mm), "{}", found[0].length_mm);

    let mut two = blind(3.0, 24.0, 24);
    let mut other = blind(2.0, 8.0, 24);
    other.positions.iter_mut().for_each(|p| *p += Vec3::X * 200.0);
    two.append(&other);
    let mut slender: Vec<f64> = pieces(&two, Vec3::Z).iter().map(Piece::slenderness).collect();
    slender.sort_by(f64::total_cmp);
    assert_eq!(slender.len(), 2);
    assert!((slender[0] - 4.0).abs() < 0.15 && (slender[1] - 8.0).abs() < 0.2, "{slender:?}");
}
