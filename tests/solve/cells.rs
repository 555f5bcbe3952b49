//! Cells of a solid against volumes known in closed form, on coarse, overlapping, gapped and open meshes.

use super::shapes::{any_turn, band, circle, moved};
use glam::{DQuat, DVec3, Vec3};
use mouldbench::mesh::{Mesh, solids};
use mouldbench::solve::cells::{Cells, CellsError, NONE};
use mouldbench::solve::run::{Cancelled, Run};
use proptest::prelude::*;

/// The error of a count of cells is bounded by half a cell over the whole surface, and in fact far smaller.
fn check_volume(mesh: &Mesh, cell_mm: f64, volume: f64, area: f64) -> Cells {
    let cells = Cells::fill(mesh, cell_mm, &Run::new()).expect("closed");
    let error = (cells.volume_mm3() - volume).abs();
    assert!(error < 0.1 * area * cell_mm, "volume {} for {volume}, cell {cell_mm}", cells.volume_mm3());
    cells
}

#[test]
fn a_ball_has_the_volume_of_its_mesh() {
    let r = 10.0f64;
    // Icosphere of level 4: volume 0.2160828 % below the ball (value recomputed from the subdivision).
    let volume = 4.0 / 3.0 * std::f64::consts::PI * r.powi(3) * (1.0 - 0.002160828);
    let cells = check_volume(
        &solids::ball(Vec3::new(3.0, -2.0, 7.0), 10.0, 4),
        0.25,
        volume,
        4.0 * std::f64::consts::PI * r * r,
    );
    for i in 0..cells.len() as u32 {
        assert!(cells.centre(i).distance(Vec3::new(3.0, -2.0, 7.0)) < 10.0);
        assert_eq!(cells.at_place(cells.place_of(cells.centre(i))), Some(i));
    }
}

#[test]
fn neighbours_point_back_and_lie_one_cell_away() {
    let mesh = solids::torus(12.0, 4.0, 48, 24);
    let cells = Cells::fill(&mesh, 0.5, &Run::new()).expect("closed");
    let (mut links, mut parted) = (0, 0);
    for i in 0..cells.len() as u32 {
        for (side, &n) in cells.neighbours()[i as usize].iter().enumerate() {
            let mut step = glam::IVec3::ZERO;
            step[side / 2] = if side % 2 == 0 { -1 } else { 1 };
            let expected = cells.at_place(cells.place(i) + step);
            if n == NONE {
                // A line that touches the inside of the ring between two centres parts them.
                parted += expected.is_some() as usize;
            } else {
                assert_eq!(expected, Some(n));
                assert_eq!(cells.neighbours()[n as usize][side ^ 1], i);
                links += 1;
            }
        }
    }
    assert!(links > 4 * cells.len() && parted < 50, "{links} links, {parted} parted");
    let (_, groups) = cells.groups(|_| true, &Run::new()).expect("not cancelled");
    assert_eq!(groups, 1);
}

#[test]
fn overlapping_bodies_count_once_and_a_hollow_not_at_all() {
    let mut mesh = solids::cuboid(Vec3::ZERO, Vec3::splat(10.0));
    mesh.append(&solids::cuboid(Vec3::new(5.0, 0.0, 0.0), Vec3::new(15.0, 10.0, 10.0)));
    let cells = check_volume(&mesh, 0.5, 1500.0, 800.0);
    let (_, groups) = cells.groups(|_| true, &Run::new()).expect("not cancelled");
    assert_eq!(groups, 1, "no wall stands inside the overlap");

    let mut hollow = solids::ball(Vec3::splat(2.0), 2.0, 3);
    for t in &mut hollow.triangles {
        t.swap(1, 2);
    }
    let mut shell = solids::cuboid(Vec3::splat(-3.0), Vec3::splat(7.0));
    shell.append(&hollow);
    let cells = check_volume(&shell, 0.25, 1000.0 - 33.51 * (1.0 - 0.0086), 650.0);
    assert_eq!(cells.at_place(cells.place_of(Vec3::splat(2.0))), None);
}

#[test]
fn a_gap_thinner_than_a_cell_keeps_two_bodies_apart() {
    // The gap lies between two cell centres for most of these places, so nothing but the links can tell.
    for shift in 0..8 {
        let x = 10.0 + shift as f32 * 0.125;
        let mut mesh = solids::cuboid(Vec3::ZERO, Vec3::new(x, 8.0, 8.0));
        mesh.append(&solids::cuboid(Vec3::new(x + 0.05, 0.0, 0.0), Vec3::new(20.0, 8.0, 8.0)));
        for turn in [
            DQuat::IDENTITY,
            DQuat::from_rotation_z(std::f64::consts::FRAC_PI_2),
            DQuat::from_rotation_y(std::f64::consts::FRAC_PI_2),
        ] {
            let cells = Cells::fill(&moved(&mesh, turn, DVec3::ZERO), 1.0, &Run::new()).expect("closed");
            let (_, groups) = cells.groups(|_| true, &Run::new()).expect("not cancelled");
            assert_eq!(groups, 2, "shift {shift}");
        }
    }
}

#[test]
fn a_mesh_with_a_hole_is_refused_and_filled_by_winding_instead() {
    let mut mesh = solids::ball(Vec3::ZERO, 10.0, 3);
    mesh.triangles.remove(17);
    assert!(matches!(
        Cells::fill(&mesh, 0.5, &Run::new()),
        Err(CellsError::NotClosed { lines }) if lines > 0
    ));
    // Winding number by the sum of solid angles (van Oosterom & Strackee 1983).
    let winding = |p: Vec3| {
        let mut sum = 0.0;
        for t in 0..mesh.triangles.len() {
            let [a, b, c] = mesh.corners_f64(t).map(|q| q - p.as_dvec3());
            let (la, lb, lc) = (a.length(), b.length(), c.length());
            let below = la * lb * lc + a.dot(b) * lc + b.dot(c) * la + c.dot(a) * lb;
            sum += 2.0 * a.dot(b.cross(c)).atan2(below);
        }
        sum / (4.0 * std::f64::consts::PI)
    };
    let cells = Cells::fill_by_winding(&mesh, 1.0, winding, &Run::new()).expect("filled");
    let whole = Cells::fill(&solids::ball(Vec3::ZERO, 10.0, 3), 1.0, &Run::new()).expect("closed");
    let differ = (cells.volume_mm3() - whole.volume_mm3()).abs();
    assert!(differ < 0.01 * whole.volume_mm3(), "{} against {}", cells.volume_mm3(), whole.volume_mm3());
}

#[test]
fn far_from_the_origin_the_same_cells_are_found() {
    // Single precision steps by 1/128 mm at 100 m; corners on quarter millimetres are kept exactly.
    let mesh = solids::cuboid(Vec3::ZERO, Vec3::new(20.25, 7.5, 3.0));
    let near = Cells::fill(&mesh, 0.5, &Run::new()).expect("closed");
    let far = Cells::fill(&moved(&mesh, DQuat::IDENTITY, DVec3::splat(1e5)), 0.5, &Run::new()).expect("closed");
    assert_eq!(near.len(), far.len());
    assert_eq!(near.neighbours(), far.neighbours());
}

#[test]
fn nonsense_and_monstrous_sizes_are_refused() {
    let mesh = solids::cuboid(Vec3::ZERO, Vec3::ONE);
    for cell in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        assert_eq!(Cells::fill(&mesh, cell, &Run::new()).err(), Some(CellsError::NoExtent));
    }
    assert_eq!(Cells::fill(&Mesh::default(), 1.0, &Run::new()).err(), Some(CellsError::NoExtent));
    assert_eq!(Cells::fill(&mesh, 1e-6, &Run::new()).err(), Some(CellsError::TooMany));
    let run = Run::new();
    run.cancel();
    assert_eq!(Cells::fill(&mesh, 0.1, &run).err(), Some(CellsError::Cancelled(Cancelled)));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn a_turned_ring_keeps_volume_and_closes(turn in any_turn(), shift in -3.0..3.0f64) {
        let mesh = band(&circle(12.0, 40), &circle(8.0, 40), 0.0, 3.0);
        let moved = moved(&mesh, turn, DVec3::new(shift, 0.3 * shift, -shift));
        let sector = 20.0 * (std::f64::consts::TAU / 40.0).sin();
        let (area, volume) = (sector * (144.0 - 64.0), sector * (144.0 - 64.0) * 3.0);
        let cells = check_volume(&moved, 0.5, volume, 2.0 * area + 3.0 * 2.0 * std::f64::consts::PI * 20.0);
        prop_assert_eq!(cells.groups(|_| true, &Run::new()).expect("not cancelled").1, 1);
    }
}
