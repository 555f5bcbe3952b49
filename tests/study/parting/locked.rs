//! Locked cores: what they go through, and what sets them free.

use super::release::held;
use super::shapes::{drilled_cube, some_turn, turned, volume};
use super::whole::{part, part_as_wished};
use glam::{Quat, Vec3};
use mouldbench::mesh::topology::Topology;
use mouldbench::mesh::tree::Tree;
use mouldbench::mesh::{Mesh, boolean, solids};
use mouldbench::plan::{Half, PieceOf};
use mouldbench::solve::run::Run;
use mouldbench::study::parting::locked::Tunnel;
use mouldbench::study::parting::release::Release;
use mouldbench::study::parting::release::cuts::ReliefCut;
use mouldbench::study::parting::release::pieces::{PieceWish, SHOULDER_MM};
use mouldbench::study::parting::release::wish::ReleaseWish;
use mouldbench::study::parting::{PartingFacts, Wish};
use std::f64::consts::PI;
use std::sync::Arc;

fn wall_mm2(facts: &PartingFacts, tunnel: &Tunnel) -> f64 {
    tunnel.wall.iter().map(|&f| facts.surface.area_mm2[f as usize] as f64).sum()
}

/// The hole Ø20 through a cube of 40 drawn across it locks one core: of genus 1 the cube should have two loops and has one.
/// Its hole is found with axis, length, width and all of its wall (a prism of 64 sides: 64·2R·sin(π/64)·L), however the
/// cube is turned; drawn along it nothing is locked.
#[test]
fn a_drilled_cube_drawn_across_is_locked_through_its_hole() {
    for seed in [0, 2, 5] {
        let turn = if seed == 0 { Quat::IDENTITY } else { some_turn(seed) };
        let mesh = turned(&drilled_cube(40.0, 10.0, 64), turn);
        assert_eq!(part(&mesh, turn * Vec3::Z).locked, []);
        for across in [Vec3::X, Vec3::new(1.0, 2.0, 0.0).normalize()] {
            let facts = part(&mesh, turn * across);
            assert_eq!(facts.locked.len(), 1, "turn {seed}");
            let core = &facts.locked[0];
            assert_eq!((core.body, core.handles, core.genus, core.loops, core.tunnels.len()), (0, 1, 1, 1, 1));
            let tunnel = &core.tunnels[0];
            let off = tunnel.axis.dot(turn * Vec3::Z).abs().min(1.0).acos().to_degrees();
            assert!(off < 0.5, "turn {seed}: {off}° off");
            assert!((tunnel.length_mm - 40.0).abs() < 0.05, "{}", tunnel.length_mm);
            assert!((tunnel.radius_mm - 10.0).abs() < 0.1, "{}", tunnel.radius_mm);
            assert!(tunnel.middle.length() < 0.5, "{}", tunnel.middle);
            let wall = 64.0 * 20.0 * (PI / 64.0).sin() * 40.0;
            assert!((wall_mm2(&facts, tunnel) / wall - 1.0).abs() < 0.001, "{} of {wall}", wall_mm2(&facts, tunnel));
            // It is cut across near a mouth, all round.
            for (p, n) in &tunnel.ring {
                let q = turn.inverse() * *p;
                assert!(q.z.abs() > 20.0 - 3.0 * facts.surface.edge_mm, "{q}");
                assert!((q.truncate().length() - 10.0).abs() < 0.1 && n.dot(*p - tunnel.middle) < 0.0);
            }
        }
    }
}

/// A torus drawn across: the hole in its middle, with its axis, is what locks; the limb of the torus is no hole.
#[test]
fn a_torus_drawn_across_is_locked_through_its_middle() {
    for seed in [0, 3] {
        let turn = if seed == 0 { Quat::IDENTITY } else { some_turn(seed) };
        let facts = part(&turned(&solids::torus(30.0, 10.0, 72, 36), turn), turn * Vec3::X);
        // Which half it is locked in is chance; where the halves share it by two loops nothing is locked.
        for core in &facts.locked {
            for tunnel in &core.tunnels {
                let off = tunnel.axis.dot(turn * Vec3::Z).abs().min(1.0).acos().to_degrees();
                assert!(off < 2.0 && tunnel.middle.length() < 1.0, "{off}° {}", tunnel.middle);
            }
        }
        assert_eq!(facts.locked.len() + facts.lines.len(), 2, "one loop and a lock, or two loops");
    }
}

/// A block with two holes side by side, drawn across both: two handles, two holes. Only what is bored is found: the
/// blind hole between them is none.
#[test]
fn two_holes_are_two() {
    let block = solids::cuboid(Vec3::new(-30.0, -10.0, -10.0), Vec3::new(30.0, 10.0, 10.0));
    let drill = |x: f32, r: f32, from: f32| solids::cylinder(Vec3::new(x, from, 0.0), Vec3::new(x, 15.0, 0.0), r, 48);
    let drills = [drill(-20.0, 4.0, -15.0), drill(20.0, 6.0, -15.0), drill(0.0, 5.0, 0.0)];
    let mesh = boolean::subtract(&block, &drills.each_ref()).expect("drilled");
    let facts = part(&mesh, Vec3::Z);
    let tunnels: Vec<&Tunnel> = facts.locked.iter().flat_map(|c| &c.tunnels).collect();
    let handles: u32 = facts.locked.iter().map(|c| c.handles).sum();
    assert_eq!((handles, tunnels.len()), (2, 2));
    assert!(facts.locked.iter().all(|c| c.genus == 2));
    let mut found: Vec<(f32, f64)> = tunnels.iter().map(|t| (t.middle.x, t.radius_mm)).collect();
    found.sort_by(|a, b| a.0.total_cmp(&b.0));
    assert!((found[0].0 + 20.0).abs() < 0.2 && (found[0].1 - 4.0).abs() < 0.1, "{found:?}");
    assert!((found[1].0 - 20.0).abs() < 0.2 && (found[1].1 - 6.0).abs() < 0.1, "{found:?}");
}

fn released(mesh: &Mesh, facts: &PartingFacts, wish: &ReleaseWish) -> Release {
    let undercuts = Arc::new(held(mesh, facts));
    Release::of(facts, &undercuts, mesh, &Tree::of(mesh), &[], wish, &Run::new()).expect("not cancelled")
}

/// A core through the locked hole frees it; it fills the hole from mouth to mouth and has one head only, so that it can
/// be drawn: π·10²·40 of the prism and a disc of its own radius as thick as the shoulder. One that stands beside the hole,
/// or is too thin to fill it, frees nothing.
#[test]
fn a_core_frees_the_hole_and_can_be_drawn() {
    let mesh = drilled_cube(40.0, 10.0, 64);
    let facts = part(&mesh, Vec3::X);
    let tunnel = &facts.locked[0].tunnels[0];
    let piece = |at: Vec3, radius_mm: f32| PieceWish {
        name: "Core".into(),
        at: tunnel.middle + tunnel.axis * (tunnel.length_mm / 2.0) as f32 + at,
        leaves_along: tunnel.axis,
        radius_mm,
        of: PieceOf::Metal,
    };
    let with = |piece: PieceWish| {
        released(&mesh, &facts, &ReleaseWish { pieces: vec![piece], wall_mm: 15.0, ..ReleaseWish::default() })
    };
    let release = with(piece(Vec3::ZERO, 10.1));
    assert_eq!(release.locks[0].left, 0);
    assert_eq!(release.locks[0].opened[0].pieces, [0]);
    let made = &release.pieces[0];
    let solid = made.solid.as_ref().expect("a solid");
    let check = Topology::of(solid);
    assert_eq!((check.open_edges, check.inconsistent_edges, check.bodies), (0, 0, 1));
    let prism = 32.0 * 100.0 * (PI / 32.0).sin() * 40.0;
    let head = PI * 10.1 * 10.1 * SHOULDER_MM as f64;
    assert!((volume(solid) / (prism + head) - 1.0).abs() < 0.005, "{} of {}", volume(solid), prism + head);
    assert!(made.held_mm2 < 0.03 * made.serves_mm2, "{} of {}", made.held_mm2, made.serves_mm2);
    // Nothing of it below the head is wider than the hole.
    let below = solid.positions.iter().filter(|p| (**p - tunnel.middle).dot(tunnel.axis) < 19.9);
    assert!(below.clone().count() > 10);
    for p in below {
        let from = *p - tunnel.middle;
        assert!((from - tunnel.axis * from.dot(tunnel.axis)).length() < 10.01, "{p}");
    }
    for useless in [piece(Vec3::X * 30.0, 10.1), piece(Vec3::ZERO, 6.0)] {
        assert_eq!(with(useless).locks[0].left, 1);
    }
}

/// A relief cut all round inside the hole frees it where it reaches the axis; one that goes half round, is not deep enough,
/// or runs round the cube outside does not.
#[test]
fn a_cut_frees_the_hole_if_it_goes_all_round_and_through() {
    let mesh = drilled_cube(40.0, 10.0, 64);
    let facts = part_as_wished(&mesh, &Wish::along(Vec3::X));
    assert!(matches!(facts.locked[0].half, Half::One | Half::Two));
    let tunnel = &facts.locked[0].tunnels[0];
    let closed: Vec<(Vec3, Vec3)> = tunnel.ring.iter().chain(tunnel.ring.first()).copied().collect();
    let cut = |way: &[(Vec3, Vec3)], depth_mm: f64| ReliefCut {
        name: "Cut".into(),
        points: way.iter().map(|w| w.0).collect(),
        normals: way.iter().map(|w| w.1).collect(),
        depth_mm,
    };
    let left = |cut: ReliefCut| {
        let wish = ReleaseWish { cuts: vec![cut], wall_mm: 15.0, ..ReleaseWish::default() };
        let release = released(&mesh, &facts, &wish);
        (release.locks[0].left, release.locks[0].opened[0].shallow.len())
    };
    assert_eq!(left(cut(&closed, 10.0)), (0, 0));
    assert_eq!(left(cut(&closed, 8.0)), (1, 1));
    assert_eq!(left(cut(&closed[..closed.len() / 2], 10.0)), (1, 0));
    let corners = [(20.0, 20.0), (-20.0, 20.0), (-20.0, -20.0), (20.0, -20.0), (20.0, 20.0)];
    let outside: Vec<(Vec3, Vec3)> =
        corners.iter().map(|&(x, y)| (Vec3::new(x, y, 0.0), Vec3::new(x, y, 0.0).normalize())).collect();
    assert_eq!(left(cut(&outside, 30.0)), (1, 0));
}
