//! What is wrong with a mesh, and its repair.

use super::awkward::{far_away, turn};
use glam::{DAffine3, Vec3};
use mouldbench::mesh::Mesh;
use mouldbench::mesh::check::{BodyKind, MeshCheck, ProblemKind};
use mouldbench::mesh::measure::Measures;
use mouldbench::mesh::repair::repaired;
use mouldbench::mesh::solids::{ball, cuboid, cylinder, torus};
use mouldbench::mesh::topology::Topology;
use mouldbench::mesh::weld::rewelded;

fn flipped(mut mesh: Mesh) -> Mesh {
    mesh.triangles.iter_mut().for_each(|t| t.swap(0, 1));
    mesh
}

fn joined(parts: &[&Mesh]) -> Mesh {
    let mut mesh = Mesh::default();
    parts.iter().for_each(|p| mesh.append(p));
    mesh
}

fn kinds(mesh: &Mesh) -> Vec<BodyKind> {
    MeshCheck::of(mesh).bodies.iter().map(|b| b.kind).collect()
}

fn problems(mesh: &Mesh) -> Vec<(ProblemKind, usize)> {
    MeshCheck::of(mesh).problems.iter().map(|p| (p.kind, p.count)).collect()
}

/// A torus whose tube is thicker than its ring: its surface runs through itself where it meets the axis, at ±√(r² − R²).
fn spindle(ring: f32, tube: f32) -> Mesh {
    // No vertex lies on the axis.
    torus(ring, tube, 60, 61)
}

#[test]
fn a_body_that_crosses_itself_is_told_with_its_place() {
    let meets_axis = (16.0f32 * 16.0 - 10.0 * 10.0).sqrt();
    for place in [DAffine3::IDENTITY, turn(1), far_away(2)] {
        let mesh = spindle(10.0, 16.0).transformed(&place);
        let check = MeshCheck::of(&mesh);
        assert!(check.is_closed() && check.bodies.len() == 1 && check.crosses_itself(), "{:?}", check.problems);
        let problem = check.problem(ProblemKind::CrossesItself).expect("told");
        assert!(problem.message().contains("crosses itself"));
        let near =
            [meets_axis, -meets_axis].map(|z| place.transform_point3(Vec3::new(0.0, 0.0, z).as_dvec3()).as_vec3());
        for at in &problem.places {
            let off = near.map(|n| n.distance(*at)).into_iter().fold(f32::INFINITY, f32::min);
            assert!(off < 2.5, "{at} is {off} mm from where the surface meets the axis");
        }
        // Both crossings are told.
        for n in near {
            assert!(problem.places.iter().any(|p| p.distance(n) < 2.5), "none near {n}");
        }
    }
    // Just no spindle: the tube is thinner than the ring by a tenth of a millimetre.
    assert!(!MeshCheck::of(&torus(16.1, 16.0, 60, 61)).crosses_itself());
}

#[test]
fn meshes_of_parts_do_not_cross_themselves() {
    for folder in ["assets/demo", "tests/assets", "assets/practice"] {
        let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
        for path in std::fs::read_dir(folder)
            .expect("a folder")
            .map(|f| f.expect("a file").path())
            .filter(|p| p.extension().is_some_and(|e| e == "stl"))
        {
            let read = mouldbench::mesh::read_stl::read(&path, 1.0).expect("reads");
            let check = MeshCheck::of(&read.mesh);
            assert!(!check.crosses_itself(), "{}: {:?}", path.display(), check.problem(ProblemKind::CrossesItself));
        }
    }
}

#[test]
fn sound_meshes_have_no_problem() {
    for mesh in [
        cuboid(Vec3::ZERO, Vec3::splat(10.0)),
        torus(30.0, 10.0, 24, 12),
        joined(&[&ball(Vec3::ZERO, 5.0, 2), &ball(Vec3::splat(20.0), 5.0, 2)]),
        // Boxes round the balls meet, the balls do not.
        joined(&[&ball(Vec3::ZERO, 5.0, 3), &ball(Vec3::splat(6.0), 5.0, 3)]),
        // A link through a ring, not touching it.
        joined(&[
            &torus(30.0, 5.0, 48, 16),
            &cylinder(Vec3::new(0.0, 0.0, -50.0), Vec3::new(0.0, 0.0, 50.0), 20.0, 32),
        ]),
    ] {
        for mesh in [mesh.transformed(&turn(3)), mesh] {
            let check = MeshCheck::of(&mesh);
            assert_eq!(check.problems, []);
            assert!(check.is_closed() && check.bodies_apart());
            assert!(check.bodies.iter().all(|b| b.kind == BodyKind::Solid));
            assert_eq!(repaired(mesh.clone()), (mesh, Vec::new()));
        }
    }
}

#[test]
fn voids_are_told_from_flipped_bodies() {
    let outer = ball(Vec3::ZERO, 20.0, 3);
    let void = flipped(ball(Vec3::new(3.0, 2.0, 1.0), 5.0, 2));
    let beside = flipped(cuboid(Vec3::splat(40.0), Vec3::splat(50.0)));
    for place in [DAffine3::IDENTITY, turn(1), far_away(1)] {
        let mesh = joined(&[&void, &outer, &beside]).transformed(&place);
        assert_eq!(kinds(&mesh), [BodyKind::Void { inside: 1 }, BodyKind::Solid, BodyKind::Flipped]);
        assert_eq!(problems(&mesh), [(ProblemKind::EnclosedVoid, 1), (ProblemKind::FlippedBodies, 1)]);
        let check = MeshCheck::of(&mesh);
        assert!(check.bodies_apart() && check.is_closed());
        let shown = check.problem(ProblemKind::EnclosedVoid).expect("the void").places[0];
        assert!(check.bodies[0].bounds.union(check.bodies[0].bounds.with(shown)) == check.bodies[0].bounds);
        // Repair turns the flipped one only.
        let (fixed, notes) = repaired(mesh);
        assert_eq!(notes.len(), 1);
        assert_eq!(kinds(&fixed), [BodyKind::Void { inside: 1 }, BodyKind::Solid, BodyKind::Solid]);
    }
}

#[test]
fn a_part_exported_inside_out_keeps_its_void() {
    let right = joined(&[&ball(Vec3::ZERO, 20.0, 3), &flipped(ball(Vec3::X, 5.0, 2)), &ball(Vec3::X, 2.0, 1)]);
    assert_eq!(kinds(&right), [BodyKind::Solid, BodyKind::Void { inside: 0 }, BodyKind::Solid]);
    let (fixed, notes) = repaired(flipped(right.clone()));
    assert_eq!(kinds(&fixed), kinds(&right));
    assert!((Measures::of(&fixed).volume_mm3 - Measures::of(&right).volume_mm3).abs() < 1e-6);
    assert!(notes[0].contains("3 bodies"), "{notes:?}");
}

#[test]
fn bodies_that_touch_or_overlap_are_found() {
    let cube = cuboid(Vec3::ZERO, Vec3::splat(10.0));
    let at = |x: f32, y: f32, z: f32| {
        cube.transformed(&DAffine3::from_translation(glam::DVec3::new(x.into(), y.into(), z.into())))
    };
    for (name, other, meet) in [
        ("overlapping", at(5.0, 5.0, 5.0), true),
        ("face to face", at(10.0, 0.0, 0.0), true),
        ("part of a face", at(10.0, 5.0, 5.0), true),
        ("along an edge", at(10.0, 10.0, 0.0), true),
        ("at a corner", at(10.0, 10.0, 10.0), true),
        ("the same", at(0.0, 0.0, 0.0), true),
        ("inside", cuboid(Vec3::splat(4.0), Vec3::splat(6.0)), true),
        ("round", cuboid(Vec3::splat(-4.0), Vec3::splat(16.0)), true),
        ("through", cylinder(Vec3::new(5.0, 5.0, -5.0), Vec3::new(5.0, 5.0, 15.0), 2.0, 24), true),
        ("close by", at(10.001, 0.0, 0.0), false),
        ("off a corner", at(9.0, 10.001, 9.0), false),
    ] {
        for weld in [false, true] {
            let mesh = joined(&[&cube, &other]);
            let mesh = if weld && name != "the same" { rewelded(&mesh) } else { mesh };
            let check = MeshCheck::of(&mesh);
            assert_eq!(!check.bodies_apart(), meet, "{name}, welded {weld}");
            if meet {
                assert_eq!(check.meetings.len(), 1, "{name}");
                assert_eq!(check.meetings[0].bodies, [0, 1], "{name}");
                let place = check.meetings[0].place;
                let near = check.bodies[0].bounds.min - 1e-4;
                assert!(place.cmpge(near.min(check.bodies[1].bounds.min)).all(), "{name}: {place}");
                assert!(check.problem(ProblemKind::BodiesMeet).is_some());
            }
        }
    }
}

#[test]
fn many_bodies_meet_pair_by_pair() {
    // A row of ten balls of which each overlaps the next, and ten that stand free.
    let mut mesh = Mesh::default();
    for i in 0..10 {
        mesh.append(&ball(Vec3::new(8.0 * i as f32, 0.0, 0.0), 5.0, 2));
        mesh.append(&ball(Vec3::new(11.0 * i as f32, 50.0, 0.0), 5.0, 2));
    }
    let check = MeshCheck::of(&mesh.transformed(&turn(8)));
    let expected: Vec<[u32; 2]> = (0..9).map(|i| [2 * i, 2 * i + 2]).collect();
    assert_eq!(check.meetings.iter().map(|m| m.bodies).collect::<Vec<_>>(), expected);
}

#[test]
fn each_fault_is_counted_placed_and_said() {
    let cube = cuboid(Vec3::ZERO, Vec3::splat(10.0));
    let mut open = cube.clone();
    open.triangles.remove(4);
    assert_eq!(problems(&open), [(ProblemKind::OpenEdges, 3)]);
    let check = MeshCheck::of(&open);
    assert!(!check.is_closed() && check.bodies[0].kind == BodyKind::Open && check.open_edges == 3);
    assert!(check.problems[0].places.iter().all(|p| p.y == 0.0), "the hole is in the wall y = 0");

    let mut turned = cube.clone();
    turned.triangles[7].swap(0, 1);
    assert_eq!(problems(&turned), [(ProblemKind::InconsistentWinding, 3)]);
    let (fixed, notes) = repaired(turned);
    assert!(MeshCheck::of(&fixed).problems.is_empty() && notes.len() == 1, "{notes:?}");
    assert!((Measures::of(&fixed).volume_mm3 - 1000.0).abs() < 1e-9);

    let pair = rewelded(&joined(&[&cube, &cuboid(Vec3::new(10.0, 10.0, 0.0), Vec3::new(20.0, 20.0, 10.0))]));
    assert_eq!(problems(&pair), [(ProblemKind::NonManifoldEdges, 1), (ProblemKind::BodiesMeet, 1)]);
    assert!(MeshCheck::of(&pair).is_closed());
    assert_eq!(MeshCheck::of(&pair).problems[0].places, [Vec3::new(10.0, 10.0, 5.0)]);

    let mut sliver = cube.clone();
    sliver.triangles.push([0, 0, 3]);
    assert_eq!(problems(&sliver), [(ProblemKind::DegenerateTriangles, 1)]);
    let (fixed, notes) = repaired(sliver);
    assert_eq!((fixed, notes.len()), (cube, 1));
    for kind in [ProblemKind::EnclosedVoid, ProblemKind::OpenEdges, ProblemKind::BodiesMeet] {
        let problem = |count| mouldbench::mesh::check::Problem { kind, count, places: Vec::new() };
        assert!(problem(1).message().starts_with("1 ") && problem(2).message().starts_with("2 "));
    }
    assert!(MeshCheck::of(&Mesh::default()).problems.is_empty());
    assert!(!MeshCheck::of(&Mesh::default()).is_closed());
}

#[test]
fn shuffled_winding_is_repaired_whatever_was_turned() {
    let mut dice = super::awkward::Dice(3);
    for mesh in [ball(Vec3::ZERO, 10.0, 3), torus(30.0, 10.0, 24, 12), cuboid(Vec3::ZERO, Vec3::ONE)] {
        let volume = Measures::of(&mesh).volume_mm3;
        for share in [0.05, 0.5, 0.95] {
            let mut wrong = mesh.clone();
            wrong.triangles.iter_mut().filter(|_| dice.roll() < share).for_each(|t| t.swap(0, 1));
            let (fixed, _) = repaired(wrong);
            assert!(Topology::of(&fixed).is_closed());
            assert!((Measures::of(&fixed).volume_mm3 / volume - 1.0).abs() < 1e-9);
        }
    }
}

#[test]
fn a_one_sided_surface_is_left_and_said() {
    // A Möbius strip of 24 quads.
    let n = 24u32;
    let mut mesh = Mesh::default();
    for i in 0..n {
        let a = std::f32::consts::TAU * i as f32 / n as f32;
        for side in [-2.0f32, 2.0] {
            let r = 10.0 + side * (a / 2.0).cos();
            mesh.positions.push(Vec3::new(r * a.cos(), r * a.sin(), side * (a / 2.0).sin()));
        }
    }
    for i in 0..n {
        let (a, b) = (2 * i, 2 * i + 1);
        let (c, d) = if i + 1 < n { (2 * i + 2, 2 * i + 3) } else { (1, 0) };
        mesh.triangles.extend([[a, c, b], [b, c, d]]);
    }
    let (_, notes) = repaired(mesh.clone());
    assert!(notes.iter().any(|n| n.contains("only one side")), "{notes:?}");
    assert_eq!(kinds(&mesh), [BodyKind::Open]);
}
