//! Which bodies of a mesh hang together.

use super::awkward::turn;
use glam::Vec3;
use mouldbench::mesh::check::MeshCheck;
use mouldbench::mesh::solids::{ball, cuboid, cylinder};
use mouldbench::mesh::{Mesh, boolean};

fn joined(meshes: &[&Mesh]) -> Mesh {
    let mut all = Mesh::default();
    meshes.iter().for_each(|m| all.append(m));
    all
}

fn flipped(mesh: &Mesh) -> Mesh {
    let mut mesh = mesh.clone();
    mesh.triangles.iter_mut().for_each(|t| t.swap(1, 2));
    mesh
}

fn pieces(mesh: &Mesh) -> usize {
    let far = mesh.transformed(&turn(5));
    let counts = [mesh, &far].map(|m| MeshCheck::of(m).pieces().len());
    assert_eq!(counts[0], counts[1], "however it is turned");
    counts[0]
}

#[test]
fn bodies_that_touch_overlap_or_lie_in_each_other_hang_together() {
    let cube = cuboid(Vec3::ZERO, Vec3::splat(10.0));
    let at = |x: f32| cuboid(Vec3::new(x, 0.0, 0.0), Vec3::new(x + 10.0, 10.0, 10.0));
    assert_eq!(pieces(&cube), 1);
    assert_eq!(pieces(&joined(&[&cube, &at(10.0)])), 1, "they touch");
    assert_eq!(pieces(&joined(&[&cube, &at(7.0)])), 1, "they overlap");
    assert_eq!(pieces(&joined(&[&cube, &cuboid(Vec3::splat(3.0), Vec3::splat(6.0))])), 1, "one lies in the other");
    assert_eq!(pieces(&joined(&[&cube, &flipped(&ball(Vec3::splat(5.0), 3.0, 2))])), 1, "a void is no body");
    assert_eq!(pieces(&joined(&[&cube, &at(10.01)])), 2);
    // One over a bridge of two others.
    assert_eq!(pieces(&joined(&[&cube, &at(18.0), &at(9.0), &at(40.0)])), 2);
}

#[test]
fn a_bush_that_lies_loose_in_a_bore_is_a_body_of_its_own() {
    let block = cuboid(Vec3::new(-20.0, -20.0, 0.0), Vec3::new(20.0, 20.0, 10.0));
    let axis = [Vec3::new(0.0, 0.0, -5.0), Vec3::new(0.0, 0.0, 15.0)];
    let bored = boolean::subtract(&block, &[&cylinder(axis[0], axis[1], 6.0, 48)]).expect("bored");
    let bush = cylinder(Vec3::ZERO, Vec3::new(0.0, 0.0, 10.0), 5.9, 48);
    let check = MeshCheck::of(&joined(&[&bush, &bored]));
    assert_eq!(check.pieces(), [vec![1], vec![0]], "the larger one first, wherever it stands in the file");
}

#[test]
fn alike_bodies_are_told_apart_by_their_places() {
    let balls = [30.0, 0.0, 60.0].map(|x| ball(Vec3::new(x, 5.0, 5.0), 4.0, 2));
    let order = |list: [usize; 3]| {
        let check = MeshCheck::of(&joined(&list.map(|i| &balls[i])));
        let pieces = check.pieces();
        pieces.iter().map(|p| check.bodies[p[0] as usize].bounds.min.x).collect::<Vec<f32>>()
    };
    assert_eq!(order([0, 1, 2]), order([2, 0, 1]));
    assert!(order([0, 1, 2]).is_sorted());
}

#[test]
fn an_open_mesh_is_one_piece() {
    let mut open = joined(&[&cuboid(Vec3::ZERO, Vec3::ONE), &cuboid(Vec3::splat(3.0), Vec3::splat(4.0))]);
    open.triangles.pop();
    assert_eq!(pieces(&open), 1, "what its bodies are nobody can tell");
    assert_eq!(pieces(&Mesh::default()), 1);
}
