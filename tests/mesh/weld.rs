//! Welding.

use super::awkward::{Dice, zoo};
use glam::Vec3;
use mouldbench::mesh::solids::{ball, cuboid};
use mouldbench::mesh::weld::{rewelded, soup_of, weld};
use mouldbench::mesh::{Mesh, topology::Topology};
use std::collections::HashMap;

/// The same by the standard library's map.
fn weld_by_map(soup: &[[Vec3; 3]]) -> Mesh {
    let mut seen = HashMap::new();
    let mut mesh = Mesh::default();
    for t in soup {
        mesh.triangles.push(t.map(|p| {
            let p = p + Vec3::ZERO;
            *seen.entry(p.to_array().map(f32::to_bits)).or_insert_with(|| {
                mesh.positions.push(p);
                mesh.positions.len() as u32 - 1
            })
        }));
    }
    mesh
}

#[test]
fn welding_equals_a_plain_map() {
    for (name, mesh) in zoo() {
        let soup = soup_of(&mesh);
        assert_eq!(weld(&soup), weld_by_map(&soup), "{name}");
    }
}

#[test]
fn welding_survives_many_points_on_a_lattice_and_growth() {
    // Few distinct mantissas, as drawn parts have; and far more vertices than half the triangles.
    let mut dice = Dice(5);
    let soup: Vec<[Vec3; 3]> = (0..20_000)
        .map(|i| [0, 1, 2].map(|_| if i % 2 == 0 { (dice.point(64.0)).round() } else { dice.point(1e-3) }))
        .collect();
    assert_eq!(weld(&soup), weld_by_map(&soup));
}

#[test]
fn a_closed_ball_comes_back_closed_with_its_vertices() {
    let source = ball(Vec3::new(3.0, -4.0, 5.0), 10.0, 4);
    let welded = weld(&soup_of(&source));
    assert_eq!(welded.positions.len(), 2562); // 10·4⁴ + 2
    assert!(Topology::of(&welded).is_closed());
}

#[test]
fn minus_zero_is_zero_and_the_next_float_is_not() {
    let up = f32::from_bits(1);
    let mesh = weld(&[[Vec3::ZERO, Vec3::X, Vec3::Y], [Vec3::new(-0.0, 0.0, -0.0), Vec3::X, Vec3::new(up, 0.0, 0.0)]]);
    assert_eq!(mesh.triangles, [[0, 1, 2], [0, 1, 3]]);
    assert!(mesh.positions[0].to_array().iter().all(|c| c.to_bits() == 0));
}

#[test]
fn rewelding_joins_touching_cubes_and_drops_what_collapses() {
    let mut two = cuboid(Vec3::ZERO, Vec3::ONE);
    two.append(&cuboid(Vec3::X, Vec3::new(2.0, 1.0, 1.0)));
    two.triangles.push([0, 0, 1]);
    let welded = rewelded(&two);
    assert_eq!((welded.positions.len(), welded.triangles.len()), (12, 24));
}
