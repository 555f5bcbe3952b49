//! Hand work on the parting, islands, and the labels against every other choice.

use super::shapes::{cells, some_turn, turned};
use super::whole::{LEAVE, kinds, part, part_as_wished};
use glam::{Quat, Vec3};
use mouldbench::mesh::tree::Tree;
use mouldbench::mesh::{Mesh, solids};
use mouldbench::plan::Half;
use mouldbench::solve::run::Run;
use mouldbench::study::parting::energy::energy_mm;
use mouldbench::study::parting::hand::{HalfStroke, PinPoint, Stroke};
use mouldbench::study::parting::labels::{Task, label};
use mouldbench::study::parting::loop_kind::LoopKind;
use mouldbench::study::parting::loops::Loop;
use mouldbench::study::parting::release::undercuts::undercuts;
use mouldbench::study::parting::surface::Surface;
use mouldbench::study::parting::visibility::Visibility;
use mouldbench::study::parting::{Leave, PartingFacts, Wish, parting};
use proptest::prelude::*;

fn away_from(l: &Loop, p: Vec3) -> f32 {
    let n = l.points.len();
    (0..n)
        .map(|i| {
            let (a, b) = (l.points[i], l.points[(i + 1) % n]);
            let t = ((p - a).dot(b - a) / (b - a).length_squared().max(1e-12)).clamp(0.0, 1.0);
            (a + (b - a) * t).distance(p)
        })
        .fold(f32::INFINITY, f32::min)
}

fn passes(facts: &PartingFacts, p: Vec3) -> bool {
    facts.loops.iter().any(|l| away_from(l, p) < facts.surface.edge_mm)
}

fn pinned(mesh: &Mesh, draw: Vec3, pins: &[(Vec3, Vec3)]) -> PartingFacts {
    let pins = pins.iter().map(|&(at, normal)| PinPoint { at, normal }).collect();
    part_as_wished(mesh, &Wish { pins, ..Wish::along(draw) })
}

/// The line passes through every pin: above and below the great circle of a ball, in the middle of a wall, on a crease
/// and on a top face; without the pin it is elsewhere.
#[test]
fn line_passes_through_pins() {
    for seed in [0, 4] {
        let turn = if seed == 0 { Quat::IDENTITY } else { some_turn(seed) };
        let up = turn * Vec3::Z;

        let ball = turned(&solids::ball(Vec3::ZERO, 10.0, 4), turn);
        let high = turn * Vec3::new(0.8, 0.0, 0.6);
        let low = turn * Vec3::new(-0.6, -0.7, -0.387);
        let pins = [high, low].map(|n| (n.normalize() * 9.97, n.normalize()));
        let plain = part(&ball, up);
        let facts = pinned(&ball, up, &pins);
        for (p, _) in pins {
            assert!(!passes(&plain, p), "turn {seed}");
            assert!(passes(&facts, p), "turn {seed}: {} off", away_from(&facts.loops[0], p));
        }
        assert_eq!(kinds(&facts), [LoopKind::Parting]);

        let cube = turned(&solids::cuboid(Vec3::ZERO, Vec3::new(40.0, 30.0, 20.0)), turn);
        for (at, normal) in [
            (Vec3::new(13.0, 0.0, 9.0), -Vec3::Y),
            (Vec3::new(40.0, 7.0, 20.0), Vec3::X),
            (Vec3::new(33.0, 12.0, 20.0), Vec3::Z),
        ] {
            let facts = pinned(&cube, up, &[(turn * at, turn * normal)]);
            assert!(passes(&facts, turn * at), "turn {seed} pin {at}");
        }
    }
}

/// A pin beyond any surface or without a normal does no harm.
#[test]
fn odd_pins_do_not_stop_the_parting() {
    let ball = solids::ball(Vec3::ZERO, 5.0, 3);
    for pin in [(Vec3::splat(1e6), Vec3::X), (Vec3::X * 5.0, Vec3::ZERO), (Vec3::NAN, Vec3::X)] {
        assert!(!pinned(&ball, Vec3::Z, &[pin]).loops.is_empty());
    }
    let empty = Stroke { points: vec![], normals: vec![], radius_mm: 5.0 };
    let marks = vec![HalfStroke { half: Half::One, stroke: empty.clone() }];
    let wish = Wish { marks, shown: vec![empty], ..Wish::along(Vec3::Z) };
    assert_eq!(kinds(&part_as_wished(&ball, &wish)), [LoopKind::Parting]);
}

/// Faces under a stroke go to its half and pull the line along; the same wall goes either way.
#[test]
fn marks_are_kept() {
    let cube = solids::cuboid(Vec3::ZERO, Vec3::new(40.0, 30.0, 20.0));
    for half in [Half::One, Half::Two] {
        let stroke = Stroke {
            points: vec![Vec3::new(10.0, 0.0, 10.0), Vec3::new(30.0, 0.0, 10.0)],
            normals: vec![-Vec3::Y; 2],
            radius_mm: 4.0,
        };
        let marks = vec![HalfStroke { half, stroke }];
        let facts = part_as_wished(&cube, &Wish { marks, ..Wish::along(Vec3::Z) });
        let mut under = 0;
        for f in 0..facts.surface.len() {
            let c = facts.surface.centroid[f];
            if c.y == 0.0 && (10.0..30.0).contains(&c.x) && (c.z - 10.0).abs() < 4.0 {
                assert_eq!(facts.halves[f], half);
                under += 1;
            }
        }
        assert!(under > 50);
        assert_eq!(kinds(&facts), [LoopKind::Parting]);
    }
    // A dot smaller than any triangle still takes the triangle it is on.
    let dot = Stroke { points: vec![Vec3::new(20.0, 15.0, 20.0)], normals: vec![Vec3::Z], radius_mm: 0.0 };
    let marks = vec![HalfStroke { half: Half::Two, stroke: dot }];
    let facts = part_as_wished(&cube, &Wish { marks, ..Wish::along(Vec3::Z) });
    let marked = (0..facts.surface.len()).filter(|&f| facts.surface.centroid[f].z == 20.0);
    assert!(marked.into_iter().any(|f| facts.halves[f] == Half::Two));
}

/// A shown cap on the great circle of a ball is gone round: no edge of the line has shown surface on both sides, and
/// the line does cross the cap when nothing is shown.
#[test]
fn line_goes_round_shown_surfaces() {
    let ball = solids::ball(Vec3::ZERO, 10.0, 4);
    let stroke = Stroke { points: vec![Vec3::X * 10.0], normals: vec![Vec3::X], radius_mm: 3.0 };
    let crossings = |facts: &PartingFacts| {
        let shown = stroke.mark(&facts.surface);
        facts
            .loops
            .iter()
            .flat_map(|l| &l.edges)
            .filter(|&&(f, k)| shown[f as usize] && shown[facts.surface.across[f as usize][k as usize] as usize])
            .count()
    };
    assert!(crossings(&part(&ball, Vec3::Z)) > 0);
    let facts = part_as_wished(&ball, &Wish { shown: vec![stroke.clone()], ..Wish::along(Vec3::Z) });
    assert_eq!(crossings(&facts), 0);
    assert_eq!(kinds(&facts), [LoopKind::Parting]);
}

/// A stub 0.5 x 0.5 x 2 mm on a wall is worth a line of its own to the cut but smaller than the shop's limit: one long
/// side of it and the wall beyond are then an undercut (2 · 0.5 + 0.5 · 4.5 mm² where the line lies at the top). With
/// the limits at nothing the line goes to it.
#[test]
fn small_islands_are_absorbed_and_larger_ones_joined() {
    let mesh = cells([25, 12, 20], 0.5, |i, j, k| i < 21 || (j == 6 && k == 10));
    let cut = |leave: Leave| parting(&mesh, &Wish::along(Vec3::Z), leave, &Run::new()).expect("a parting");
    let facts = cut(LEAVE);
    assert!((facts.undercut_mm2 - 3.25).abs() < 0.05, "{}", facts.undercut_mm2);
    assert_eq!(kinds(&facts), [LoopKind::Parting]);
    let undercuts = undercuts(&facts, &Tree::of(&mesh), 0.5, &Run::new()).expect("not cancelled");
    assert_eq!(undercuts.len(), 1);
    assert!((undercuts[0].area_mm2 - facts.undercut_mm2).abs() < 0.05);
    // The rubber beside the middle of the stub gets past it by a quarter of a millimetre.
    assert!((0.15..0.3).contains(&undercuts[0].depth_mm), "{}", undercuts[0].depth_mm);

    let facts = cut(Leave { island_mm2: 0.0, undercut_depth_mm: 0.0 });
    assert!(facts.undercut_mm2 < 0.3, "{}", facts.undercut_mm2);
    assert_eq!(kinds(&facts), [LoopKind::Parting]);
    assert_eq!(facts.shape, []);
}

/// Loops are closed, run along edges between the halves with half 1 on their left, every such edge once, and enclose
/// what the silhouette does.
#[test]
fn loops_hold_every_edge_between_the_halves() {
    let mesh = solids::torus(30.0, 10.0, 90, 45);
    for draw in [Vec3::Z, Vec3::new(0.3, 0.1, 1.0), Vec3::X] {
        let facts = part(&mesh, draw);
        let s = &facts.surface;
        let mut edges: Vec<(u32, u8)> = facts.loops.iter().flat_map(|l| l.edges.clone()).collect();
        let count = edges.len();
        edges.sort_unstable();
        edges.dedup();
        assert_eq!(edges.len(), count);
        let between = (0..s.len())
            .flat_map(|f| (0..3).map(move |k| (f, k)))
            .filter(|&(f, k)| facts.halves[f] == Half::One && facts.halves[s.across[f][k] as usize] == Half::Two)
            .count();
        assert_eq!(count, between);
        for l in &facts.loops {
            assert!(l.closed);
            for (i, &(f, k)) in l.edges.iter().enumerate() {
                let [a, b] = s.ends(f as usize, k as usize);
                assert_eq!(a, l.points[i]);
                assert_eq!(b, l.points[(i + 1) % l.points.len()]);
            }
        }
        // A torus has one handle, so two loops: the outline is the larger one where both lie flat.
        assert_eq!(kinds(&facts), [LoopKind::Parting, LoopKind::ShutOff], "{draw}");
        assert_eq!(facts.shape, []);
    }
    let flat = part(&mesh, Vec3::Z);
    let pi = std::f64::consts::PI;
    assert!((flat.loops[0].encloses_mm2 - pi * 1600.0).abs() < 0.03 * pi * 1600.0);
    assert!((flat.loops[1].encloses_mm2 - pi * 400.0).abs() < 0.06 * pi * 400.0);
}

/// A surface of `mesh` as it is, without refinement.
fn coarse(mesh: &Mesh) -> Surface {
    Surface::with_edge(mesh, 1e9, &Run::new()).expect("not cancelled")
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    /// On a cube of twelve triangles, with any shares hidden, any shown triangles, any forced ones and any draw, no
    /// labelling that keeps the forced ones costs less than the one that the cut gives.
    #[test]
    fn no_labelling_costs_less(
        hidden in prop::collection::vec(0.0f32..1.0, 24),
        hand in prop::collection::vec(0u8..9, 12),
        shown in prop::collection::vec(any::<bool>(), 12),
        draw in (-1.0f32..1.0, -1.0f32..1.0, 0.1f32..1.0),
        size in 0.05f32..20.0,
    ) {
        let surface = coarse(&turned(&solids::cuboid(Vec3::ZERO, Vec3::new(size, 1.0, 2.0)), some_turn(1)));
        prop_assert_eq!(surface.len(), 12);
        let visibility = Visibility {
            from_one: hidden[..12].to_vec(),
            from_two: hidden[12..].to_vec(),
            from_both: vec![0.0; 12],
            facing: vec![0.0; 12],
        };
        let draw = Vec3::from(draw).normalize();
        let forced: Vec<Option<Half>> = hand
            .iter()
            .map(|h| match h { 0 => Some(Half::One), 1 => Some(Half::Two), _ => None })
            .collect();
        let task = Task { surface: &surface, visibility: &visibility, draw, shown: &shown, forced: &forced };
        let halves = label(&task, &Run::new()).expect("not cancelled");
        let keeps = |h: &[Half]| h.iter().zip(&forced).all(|(h, f)| f.is_none_or(|f| f == *h));
        prop_assert!(keeps(&halves));
        let got = energy_mm(&surface, &visibility, &halves, draw, &shown);
        let least = (0..1u32 << 12)
            .map(|bits| (0..12).map(|f| if bits >> f & 1 == 1 { Half::One } else { Half::Two }).collect::<Vec<_>>())
            .filter(|h| keeps(h))
            .map(|h| energy_mm(&surface, &visibility, &h, draw, &shown))
            .fold(f64::INFINITY, f64::min);
        // Capacities are rounded to 1/4096 mm; there are thirty of them.
        prop_assert!((got - least).abs() < 30.0 / 4096.0, "{} against {}", got, least);
    }
}
