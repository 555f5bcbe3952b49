//! Longest-edge bisection.

use super::awkward::zoo;
use glam::Vec3;
use mouldbench::mesh::Mesh;
use mouldbench::mesh::measure::Measures;
use mouldbench::mesh::refine::{refine, refine_unless};
use mouldbench::mesh::solids::{ball, cuboid, cylinder};
use mouldbench::mesh::topology::{Topology, split_fans};
use mouldbench::mesh::weld::rewelded;

fn longest(mesh: &Mesh) -> f32 {
    (0..mesh.triangles.len())
        .flat_map(|t| {
            let [a, b, c] = mesh.corners(t);
            [a.distance(b), b.distance(c), c.distance(a)]
        })
        .fold(0.0, f32::max)
}

#[test]
fn refining_keeps_shape_and_conformity() {
    for (name, mesh) in zoo().into_iter().flat_map(|(n, m)| [(n, rewelded(&m)), (n, m)]) {
        let (split, _) = split_fans(&mesh, &Topology::of(&mesh));
        let before = Topology::of(&split);
        let target = mesh.bounds().diagonal() / 25.0;
        let refined = refine(&mesh, target, 2_000_000);
        let after = Topology::of(&refined.mesh);
        assert!(longest(&refined.mesh) <= target * 1.0001, "{name}");
        assert!(refined.reached, "{name}");
        let (a, b) = (Measures::of(&mesh), Measures::of(&refined.mesh));
        let relative = if name == "turned and far" { 1e-3 } else { 1e-5 };
        assert!((a.area_mm2 / b.area_mm2 - 1.0).abs() < relative, "{name}: area {} {}", a.area_mm2, b.area_mm2);
        assert!((a.volume_mm3 - b.volume_mm3).abs() <= relative * a.volume_mm3.abs().max(1.0), "{name}");
        // A vertex left in the middle of an edge would show as open edges.
        assert_eq!(before.open_edges == 0, after.open_edges == 0, "{name}");
        assert_eq!(before.is_watertight(), after.is_watertight(), "{name}");
        assert_eq!(before.bodies, after.bodies, "{name}");
        assert_eq!(refined.parent.len(), refined.mesh.triangles.len(), "{name}");
        let euler = |m: &Mesh, t: &Topology| m.positions.len() as i64 - i64::from(t.edges) + m.triangles.len() as i64;
        assert_eq!(euler(&split, &before), euler(&refined.mesh, &after), "{name}");
        // Every part lies in its parent and the parts fill it.
        let mut area = vec![0.0f64; mesh.triangles.len()];
        for (t, &p) in refined.parent.iter().enumerate() {
            area[p as usize] += f64::from(refined.mesh.double_area_normal(t).length());
            let n = mesh.unit_normal(p as usize);
            if name != "turned and far" {
                let away = refined.mesh.corners(t).map(|q| (q - mesh.corners(p as usize)[0]).dot(n).abs());
                assert!(away.iter().all(|&d| d < 1e-4), "{name}: {away:?}");
            }
        }
        for (t, a) in area.iter().enumerate() {
            let whole = f64::from(mesh.double_area_normal(t).length());
            assert!((a - whole).abs() < relative * 100.0 * whole.max(1.0), "{name}: triangle {t}: {a} of {whole}");
        }
        assert_eq!(refined.mesh.positions[..mesh.positions.len()], mesh.positions[..], "{name}");
    }
}

#[test]
fn the_budget_is_kept_and_said() {
    let mesh = cylinder(Vec3::ZERO, Vec3::new(0.0, 0.0, 60.0), 5.0, 64);
    let refined = refine(&mesh, 0.05, 5000);
    assert!((5000..5010).contains(&refined.mesh.triangles.len()));
    assert!(!refined.reached);
    assert!(Topology::of(&refined.mesh).is_closed());
    // Longest first: the walls of 60 mm are long gone, and a larger budget leaves shorter edges.
    let finer = refine(&mesh, 0.05, 20_000);
    assert!(longest(&refined.mesh) < 8.0 && longest(&finer.mesh) < 0.6 * longest(&refined.mesh));
}

#[test]
fn angles_stay_above_half_the_smallest() {
    // Rosenberg & Stenger (1975) for longest-edge bisection.
    let smallest = |mesh: &Mesh| {
        (0..mesh.triangles.len())
            .flat_map(|t| mouldbench::mesh::measure::corner_angles(mesh.corners(t)))
            .fold(f32::INFINITY, f32::min)
    };
    for mesh in [cuboid(Vec3::ZERO, Vec3::new(100.0, 7.0, 3.0)), ball(Vec3::ZERO, 10.0, 1)] {
        let refined = refine(&mesh, mesh.bounds().diagonal() / 60.0, 1_000_000);
        assert!(smallest(&refined.mesh) >= 0.5 * smallest(&mesh) * 0.999);
    }
}

#[test]
fn fine_enough_meshes_stay_as_they_are() {
    let mesh = ball(Vec3::ZERO, 10.0, 3);
    let refined = refine(&mesh, 100.0, 1_000_000);
    assert_eq!(refined.mesh, mesh);
    assert_eq!(refine(&Mesh::default(), 1.0, 10).mesh, Mesh::default());
    // A target of nothing stops at the budget.
    assert!(refine(&mesh, 0.0, 3000).mesh.triangles.len() <= 3010);
    assert!(refine(&mesh, f32::NAN, 3000).mesh.triangles.len() <= 3010);
}

#[test]
fn refining_stops_when_it_is_told_to() {
    let mesh = ball(Vec3::ZERO, 10.0, 3);
    let asked = std::cell::Cell::new(0);
    let third_time = || {
        asked.set(asked.get() + 1);
        asked.get() == 3
    };
    assert!(refine_unless(&mesh, 0.05, 1_000_000, third_time).is_none());
    assert_eq!(asked.get(), 3, "asked again and again while it works, not once before");
    let whole = refine_unless(&mesh, 1.0, 1_000_000, || false).expect("nobody stops it");
    assert_eq!(whole.mesh, refine(&mesh, 1.0, 1_000_000).mesh);
}
