//! Flow paths against exact shortest paths, and the reach of a setting resin against worked values.

use crate::solve::sequence::Sequence;
use crate::solve::shapes::{any_turn, band, carried, circle, corridor, moved, square};
use glam::{DQuat, DVec3, Vec3};
use mouldbench::mesh::topology::Topology;
use mouldbench::mesh::tree::Tree;
use mouldbench::mesh::{Mesh, solids};
use mouldbench::solve::cells::CellsError;
use mouldbench::solve::run::{Cancelled, Run};
use mouldbench::solve::taut::length;
use mouldbench::study::job::thickness::Thickness;
use mouldbench::study::pour::flow::{Flow, FlowError, Gate, flow, head_pa, reach_mm, tau_s};
use proptest::prelude::*;

fn measured(mesh: &Mesh) -> (Tree, Thickness) {
    let tree = Tree::of(mesh);
    let thickness = Thickness::of(mesh, &tree, &Topology::of(mesh), &Run::new()).expect("not cancelled");
    (tree, thickness)
}

fn from_gates(mesh: &Mesh, gates: &[Gate]) -> Flow {
    let (tree, thickness) = measured(mesh);
    flow(mesh, &tree, &thickness, gates, None, &Run::new()).expect("a flow")
}

fn gate(position: Vec3, radius_mm: f32) -> Gate {
    Gate { position, radius_mm }
}

/// The path is free, starts at the gate's edge and is as long as it says.
fn check_path(mesh: &Mesh, flow: &Flow, gates: &[Gate]) -> f64 {
    let tree = Tree::of(mesh);
    let path = flow.longest.as_ref().expect("a path");
    let mut hits = Vec::new();
    for leg in path.points.windows(2) {
        // A leg may graze an edge by rounding: then all of it between its hits lies next to the wall.
        tree.all_hits(leg[0], leg[1] - leg[0], 1.0, &mut hits);
        let (Some(first), Some(last)) = (hits.first(), hits.last()) else { continue };
        for i in 0..=8 {
            let p = leg[0].lerp(leg[1], first.t + (last.t - first.t) * i as f32 / 8.0);
            let wall = tree.nearest(p).expect("a wall").distance;
            assert!(wall < 0.01 * flow.cell_mm as f32 + 1e-3, "{leg:?} leaves the cavity by {wall}");
        }
    }
    let gate = gates[path.gate];
    assert!((path.points[0].distance(gate.position) - gate.radius_mm).abs() < 1.5 * flow.cell_mm as f32);
    assert!((length(&path.points) - path.length_mm).abs() < 1e-9);
    path.length_mm
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(8))]

    #[test]
    fn the_end_of_a_corridor_turned_at_random(turn in any_turn(), by in -300.0..300.0f64) {
        // Unit arms ten times as large, 1.6 thick. From the middle of one end, (5, 20), the last places are the outer
        // corners of the other end at (20, 0), top and bottom: in the plane √(5² + 10²) to the inner corner (10, 10) and
        // √(10² + 10²) on; with half the thickness across, unfolded into one straight line.
        let by = DVec3::new(by, -by, 2.0 * by);
        let mesh = moved(&corridor(10.0, 0.0, 1.6), turn, by);
        let gates = [gate(carried(Vec3::new(5.0, 20.0, 0.8), turn, by), 0.0)];
        let found = from_gates(&mesh, &gates);
        let exact = (125f64.sqrt() + 200f64.sqrt()).hypot(0.8);
        let got = check_path(&mesh, &found, &gates);
        prop_assert!((got / exact - 1.0).abs() < 5e-3, "{} for {}", got, exact);
        let last = carried(found.longest.expect("a path").last() - by.as_vec3(), turn.inverse(), DVec3::ZERO);
        prop_assert!(last.truncate().distance(glam::Vec2::new(20.0, 0.0)) < 0.05, "{}", last);
        prop_assert!((last.z - 0.8).abs() > 0.75, "{}", last);
        // Four cells across the wall, and the field itself near the truth at every corner of the mesh.
        prop_assert!((found.cell_mm - 0.4).abs() < 2e-3 || found.cell_mm < 0.4);
        prop_assert!(found.unreached.is_empty() && found.gates_off.is_empty());
        let plane = [(0., 0.), (20., 0.), (20., 10.), (10., 10.), (10., 20.), (0., 20.)];
        let bend = |x: f64, y: f64| 125f64.sqrt() + (10.0 - x).hypot(10.0 - y);
        for (v, mm) in found.vertex_mm.iter().enumerate() {
            let (x, y) = plane[v % 6];
            let straight = (x - 5.0f64).hypot(y - 20.0);
            // Seen past the inner corner from (5, 20): everything left of the line through (10, 10).
            let seen = (x - 5.0) * -10.0 - (y - 20.0) * 5.0 >= 0.0 || y >= 10.0 && x <= 10.0;
            let exact = (if seen { straight } else { bend(x, y) }).hypot(0.8);
            // The way round the corner and on along a wall that is turned on the grid reads longest: of a thousand attitudes
            // 1 cell on the mean and 2.5 at most.
            let off = (*mm as f64 - exact) / found.cell_mm;
            prop_assert!((-0.5..3.2).contains(&off), "vertex {}: {} for {}, {} cells", v, mm, exact, off);
        }
    }

    #[test]
    #[ignore = "long"]
    fn long_half_way_round_a_ring_of_any_attitude(turn in any_turn()) {
        // A ring of 120 sides, 12 outside, 8 inside, 2 high. From the middle of the outer wall the last place is the
        // outer wall across, above or below: along the outer … inner tangents and the arc between them.
        let mesh = moved(&band(&circle(12.0, 120), &circle(8.0, 120), 0.0, 2.0), turn, DVec3::ZERO);
        let gates = [gate(carried(Vec3::new(12.0, 0.0, 1.0), turn, DVec3::ZERO), 0.0)];
        let found = from_gates(&mesh, &gates);
        let (r, big) = (8.0f64, 12.0f64);
        let plane = 2.0 * (big * big - r * r).sqrt() + r * (std::f64::consts::PI - 2.0 * (r / big).acos());
        let exact = plane.hypot(1.0);
        let got = check_path(&mesh, &found, &gates);
        // The fronts meet on the outer wall; the place is sought there to a small part of a cell of 0.5.
        prop_assert!((got / exact - 1.0).abs() < 4e-3, "{} for {}", got, exact);
    }
}

#[test]
fn a_last_place_on_a_vertex_of_the_wall_is_moved_on() {
    // The ring of the property above, as it must lie for the march to read a vertex beside the meeting of the fronts as
    // the last place, at y = 12·sin 3° = 0.628 mm: from there the search must find to y = 0.
    let turn = DQuat::from_xyzw(0.3254749614345709, -0.27614115305684855, -0.32646194811674006, -0.8433473243565913);
    let mesh = moved(&band(&circle(12.0, 120), &circle(8.0, 120), 0.0, 2.0), turn, DVec3::ZERO);
    let gates = [gate(carried(Vec3::new(12.0, 0.0, 1.0), turn, DVec3::ZERO), 0.0)];
    let last = carried(from_gates(&mesh, &gates).longest.expect("a path").last(), turn.inverse(), DVec3::ZERO);
    assert!(last.y.abs() < 0.1 && last.x < -11.9, "{last}");
}

#[test]
fn a_gate_on_the_wall_is_found_wherever_rounding_puts_it() {
    // The middle of an end wall lies on the edge between its two triangles, so that turning and shifting puts the gate
    // inside or outside by a rounding. In the first attitude the nearest cell looks at it along the wall.
    let plain = DQuat::from_xyzw(0.8008612088838918, -0.33660004306221, 0.441000584568814, 0.22547775838320264);
    let mut numbers = Sequence(7);
    let mut next = || 2.0 * numbers.unit() - 1.0;
    for case in 0..16 {
        let (turn, by) = match case {
            0 => (plain, DVec3::new(1.0, -1.0, 2.0) * 208.49625410042518),
            _ => (
                DQuat::from_xyzw(next(), next(), next(), next()).normalize(),
                DVec3::new(next(), next(), next()) * 1000.0,
            ),
        };
        let mesh = moved(&corridor(10.0, 0.0, 1.6), turn, by);
        let at = carried(Vec3::new(5.0, 20.0, 0.8), turn, by);
        let found = from_gates(&mesh, &[gate(at, 0.0)]);
        assert!(found.gates_off.is_empty() && found.unreached.is_empty(), "case {case}: {:?}", found.unreached);
        assert!(found.vertex_mm.iter().all(|mm| mm.is_finite()), "case {case}: {:?}", found.vertex_mm);
        let exact = (125f64.sqrt() + 200f64.sqrt()).hypot(0.8);
        let got = found.longest.expect("a path").length_mm;
        assert!((got / exact - 1.0).abs() < 5e-3, "case {case}: {got} for {exact}");
    }
}

#[test]
fn behind_a_disc_and_from_the_edge_of_a_gate() {
    // A square plate 30 × 30 × 1 with a hole of radius 5 in the middle, gate of radius 1 at (−10, 0). Last are the far
    // corners (15, ±15): the straight line there passes the hole at 15·10/√(25² + 15²) = 5.145 > 5.
    let mesh = band(&square(15.0, 96), &circle(5.0, 96), 0.0, 1.0);
    let gates = [gate(Vec3::new(-10.0, 0.0, 0.0), 1.0)];
    let found = from_gates(&mesh, &gates);
    let exact = (25f64 * 25.0 + 15.0 * 15.0 + 1.0).sqrt() - 1.0;
    let got = check_path(&mesh, &found, &gates);
    assert!((got / exact - 1.0).abs() < 2e-3, "{got} for {exact}");
    // Straight behind the hole, at (5, 0): a tangent √(100 − 25), then the arc from 60° to 180°: 5·2π/3.
    let behind = found.vertex_mm[96] as f64;
    let exact = 75f64.sqrt() + 5.0 * 2.0 * std::f64::consts::FRAC_PI_3 - 1.0;
    assert!((behind / exact - 1.0).abs() < 0.04, "{behind} for {exact}");
}

#[test]
fn on_the_skin_of_a_box_the_last_place_is_not_the_corner() {
    // Kotani's puzzle: on the surface of a 1×1×2 box the point furthest from a corner is not the opposite corner
    // (√8 = 2.828427) but ¼ in from it on both sides (√130/4 = 2.850439). The cavity is a skin of wall 0.03, thirty
    // times as large, so resin may cut each edge by the thickness: paths lie between those of the inner box and outer.
    let size = 30.0f32;
    let wall = 0.03 * size;
    let outer = Vec3::new(size, size, 2.0 * size);
    let mut mesh = solids::cuboid(Vec3::ZERO, outer);
    let mut hollow = solids::cuboid(Vec3::splat(wall), outer - wall);
    for t in &mut hollow.triangles {
        t.swap(1, 2);
    }
    mesh.append(&hollow);
    let gates = [gate(Vec3::ZERO, 0.0)];
    let found = from_gates(&mesh, &gates);
    let exact = 2.850439 * size as f64;
    let got = check_path(&mesh, &found, &gates);
    assert!(got < exact && got > exact * 0.96, "{got} for {exact}");
    // Each edge that is crossed may be cut by up to the wall.
    let corner = found.vertex_mm[7] as f64 / size as f64;
    assert!(corner < 8f64.sqrt() && corner > 8f64.sqrt() - 0.06, "{corner}");
}

#[test]
fn two_gates_meet_half_way() {
    let mesh = solids::cuboid(Vec3::ZERO, Vec3::new(100.0, 4.0, 2.0));
    let gates = [gate(Vec3::new(0.0, 2.0, 1.0), 0.0), gate(Vec3::new(80.0, 2.0, 2.0), 0.0)];
    let found = from_gates(&mesh, &gates);
    // Half way between the gates at x = 40 − …, out in a corner of the section: equally far from both,
    // x² + 2² + 1² = (80 − x)² + 2² + 2² on the side of the bottom.
    let x = (80.0 * 80.0 + 8.0 - 5.0) / 160.0f64;
    let exact = (x * x + 5.0).sqrt();
    let got = check_path(&mesh, &found, &gates);
    assert!((got / exact - 1.0).abs() < 5e-3, "{got} for {exact} {:?}", found.longest);
    assert!((found.longest.expect("a path").last().x as f64 - x).abs() < 0.5);
}

#[test]
fn a_body_without_a_gate_and_a_gate_off_the_cavity_are_named() {
    let mut mesh = solids::cuboid(Vec3::ZERO, Vec3::new(30.0, 20.0, 2.0));
    // 0.1 above the first: thinner than a cell.
    mesh.append(&solids::cuboid(Vec3::new(0.0, 0.0, 2.1), Vec3::new(10.0, 20.0, 4.1)));
    let gates = [gate(Vec3::new(15.0, 60.0, 0.0), 2.0), gate(Vec3::new(0.0, 10.0, 1.0), 0.0)];
    let found = from_gates(&mesh, &gates);
    assert!(found.cell_mm > 0.2, "the gap is thinner than a cell");
    assert_eq!(found.gates_off, vec![0]);
    assert_eq!(found.longest.as_ref().map(|l| l.gate), Some(1));
    assert_eq!(found.unreached.len(), 1, "{:?}", found.unreached);
    assert!((found.unreached[0].volume_mm3 / 400.0 - 1.0).abs() < 0.1);
    assert!(found.unreached[0].position.distance(Vec3::new(5.0, 10.0, 3.1)) < 0.6);
    assert!(found.vertex_mm[..8].iter().all(|mm| mm.is_finite()));
    assert!(found.vertex_mm[8..].iter().all(|mm| mm.is_infinite()), "{:?}", &found.vertex_mm[8..]);
    let none = from_gates(&mesh, &[]);
    assert!(none.longest.is_none() && none.unreached.is_empty());
}

#[test]
fn a_wall_thinner_than_its_cells_still_carries_resin_and_is_listed() {
    // Mostly 4 thick, with a bridge 0.9 thick between the two ends, turned so that no wall lies along the grid: the
    // cells are 1 by the thick walls.
    let section = [
        (0., 0.),
        (40., 0.),
        (40., 1.5),
        (46., 1.5),
        (46., 0.),
        (86., 0.),
        (86., 4.),
        (46., 4.),
        (46., 2.4),
        (40., 2.4),
        (40., 4.),
        (0., 4.),
    ]
    .map(|(x, y)| glam::Vec2::new(x, y));
    let fan = [
        [0, 1, 2],
        [0, 2, 9],
        [0, 9, 11],
        [9, 10, 11],
        [2, 3, 8],
        [2, 8, 9],
        [3, 4, 5],
        [3, 5, 6],
        [3, 6, 8],
        [6, 7, 8],
    ];
    let turn = DQuat::from_euler(glam::EulerRot::XYZ, 0.6, 0.5, 0.7);
    let mesh = moved(&crate::solve::shapes::prism(&section, &fan, 0.0, 40.0), turn, DVec3::ZERO);
    let gates = [gate(carried(Vec3::new(0.0, 2.0, 20.0), turn, DVec3::ZERO), 0.0)];
    let found = from_gates(&mesh, &gates);
    assert!((found.cell_mm - 1.0).abs() < 0.05, "{}", found.cell_mm);
    let got = check_path(&mesh, &found, &gates);
    let exact = (86f64 * 86.0 + 20.0 * 20.0 + 4.0).sqrt();
    assert!((got / exact - 1.0).abs() < 0.01, "{got} for {exact}");
    assert!(found.unreached.is_empty());
    assert!(!found.walls_under_two_cells.is_empty());
    for place in &found.walls_under_two_cells {
        assert!((place.thinnest.thickness_mm - 0.9).abs() < 0.01);
    }
}

#[test]
fn an_open_mesh_needs_the_winding_number() {
    let mut mesh = solids::cuboid(Vec3::ZERO, Vec3::new(20.0, 10.0, 4.0));
    mesh.triangles.remove(2);
    let (tree, thickness) = measured(&mesh);
    let gates = [gate(Vec3::new(0.0, 5.0, 2.0), 0.0)];
    let refused = flow(&mesh, &tree, &thickness, &gates, None, &Run::new());
    assert!(matches!(refused, Err(FlowError::Cells(CellsError::NotClosed { .. }))));
    let winding = |p: Vec3| {
        let inside = p.cmpgt(Vec3::ZERO).all() && p.cmplt(Vec3::new(20.0, 10.0, 4.0)).all();
        inside as u8 as f64
    };
    let found = flow(&mesh, &tree, &thickness, &gates, Some(&winding), &Run::new()).expect("a flow");
    assert!(found.by_winding);
    let exact = (400.0 + 25.0 + 4.0f64).sqrt();
    let got = found.longest.expect("a path").length_mm;
    assert!((got / exact - 1.0).abs() < 0.03, "{got} for {exact}");
}

#[test]
fn a_cancelled_flow_says_so() {
    let mesh = solids::cuboid(Vec3::ZERO, Vec3::new(20.0, 10.0, 4.0));
    let (tree, thickness) = measured(&mesh);
    let run = Run::new();
    run.cancel();
    let cancelled = flow(&mesh, &tree, &thickness, &[gate(Vec3::ZERO, 0.0)], None, &run);
    assert_eq!(cancelled, Err(FlowError::Cancelled(Cancelled)));
}

#[test]
fn reach_of_a_setting_resin() {
    // Viscosity doubling every 300 s: τ = 432.8085123 s; slot 3 mm, 1 kPa, 1 Pa·s: 805.7374 mm (slot flow from Bird,
    // Stewart & Lightfoot integrated with μ₀·exp(t/τ), worked by hand and checked by marching the front in time).
    let tau = tau_s(300.0, 2.0);
    assert!((tau - 432.8085123).abs() < 1e-6);
    assert!((reach_mm(3.0, 1000.0, tau, 1.0) - 805.7374).abs() < 1e-3);
    // March of x·dx/dt = h²Δp/(12μ₀)·exp(−t/τ) up to 20 τ, x in metres.
    let (mut x2, dt) = (0.0f64, 0.05);
    for i in 0..(20.0 * tau / dt) as usize {
        x2 += dt * 0.003f64.powi(2) * 1000.0 / 6.0 * (-(i as f64 + 0.5) * dt / tau).exp();
    }
    assert!((x2.sqrt() * 1000.0 / 805.7374 - 1.0).abs() < 1e-5);
    // A head of 100 mm at 1.1 g/cm³ under standard gravity, 9.80665 m/s²: 1078.7315 Pa (SI brochure).
    assert!((head_pa(1.1, 100.0) - 1078.7315).abs() < 1e-4);
    assert_eq!(reach_mm(3.0, -5.0, tau, 1.0), 0.0);
}
