//! Creeping flow through channels against closed forms, however they lie on the cells.

use super::sequence::Sequence;
use super::shapes::{band, circle, prism};
use glam::{DAffine3, DQuat, DVec3, Vec2, Vec3};
use mouldbench::mesh::measure::Measures;
use mouldbench::mesh::tree::Tree;
use mouldbench::mesh::{Mesh, solids};
use mouldbench::solve::cells::Cells;
use mouldbench::solve::creep::Creep;
use mouldbench::solve::multigrid::Multigrid;
use mouldbench::solve::run::Run;
use mouldbench::solve::torsion::{Sides, torsion};
use rayon::prelude::*;
use std::f64::consts::PI;

const LONG: f32 = 8.0;

/// A channel along z with its conductance times its length, mm⁴: flow in mm³/s is that times pressure over viscosity and
/// length.
struct Channel {
    name: &'static str,
    mesh: Mesh,
    mm4: f64,
}

/// Share of a slot's flow that goes through a duct `wide` times as wide as high: 1 − (192 h/π⁵w) Σ tanh(nπw/2h)/n⁵ over odd
/// n (Shah & London, *Laminar Flow Forced Convection in Ducts*, 1978; White, *Viscous Fluid Flow*).
fn duct_share(wide: f64) -> f64 {
    let odd = (0..60).map(|k| (2 * k + 1) as f64);
    1.0 - 192.0 / (PI.powi(5) * wide) * odd.map(|n| (n * PI * wide / 2.0).tanh() / n.powi(5)).sum::<f64>()
}

fn duct(name: &'static str, wide: f32) -> Channel {
    let mesh = solids::cuboid(Vec3::ZERO, Vec3::new(wide, 1.0, LONG));
    Channel { name, mesh, mm4: wide as f64 / 12.0 * duct_share(wide as f64) }
}

/// Channels at least 1 mm across.
fn channels() -> Vec<Channel> {
    let round =
        |rx: f32, ry: f32| -> Vec<Vec2> { circle(1.0, 120).into_iter().map(|p| p * Vec2::new(rx, ry)).collect() };
    let fan: Vec<[u32; 3]> = (1..119).map(|i| [0, i, i + 1]).collect();
    let (a, b) = (1.0f64, 0.5f64);
    let side = 1.7f64;
    let corners = [(0.0, 0.0), (side, 0.0), (side / 2.0, side * 3f64.sqrt() / 2.0)];
    let corners = corners.map(|(x, y)| Vec2::new(x as f32, y as f32));
    let (ro, ri) = (2.0f64, 1.0f64);
    let ring = ro.powi(4) - ri.powi(4) - (ro * ro - ri * ri).powi(2) / (ro / ri).ln();
    vec![
        duct("square duct", 1.0),
        duct("duct 2:1", 2.0),
        duct("slot 8:1", 8.0),
        // Hagen and Poiseuille: πd⁴/128.
        Channel { name: "pipe", mesh: prism(&round(0.5, 0.5), &fan, 0.0, LONG), mm4: PI / 128.0 },
        // πa³b³/4(a² + b²) (White).
        Channel {
            name: "ellipse",
            mesh: prism(&round(a as f32, b as f32), &fan, 0.0, LONG),
            mm4: PI * (a * b).powi(3) / (4.0 * (a * a + b * b)),
        },
        // √3 s⁴/320 (White).
        Channel {
            name: "triangle",
            mesh: prism(&corners, &[[0, 1, 2]], 0.0, LONG),
            mm4: 3f64.sqrt() * side.powi(4) / 320.0,
        },
        // π/8·(rₒ⁴ − rᵢ⁴ − (rₒ² − rᵢ²)²/ln(rₒ/rᵢ)) (Bird, Stewart & Lightfoot, section 2.4).
        Channel {
            name: "annulus",
            mesh: band(&circle(ro as f32, 120), &circle(ri as f32, 120), 0.0, LONG),
            mm4: PI / 8.0 * ring,
        },
    ]
}

/// What is computed over what is true, less 1, with `across` cells over 1 mm.
fn error(channel: &Channel, across: f64, turn: DQuat, by: DVec3) -> f64 {
    let carry = DAffine3::from_rotation_translation(turn, by);
    let mesh = channel.mesh.transformed(&carry);
    let back = carry.inverse();
    let run = Run::new();
    let cells = Cells::fill(&mesh, 1.0 / across, &run).expect("closed");
    let end = |p: Vec3| {
        let z = back.transform_point3(p.as_dvec3()).z;
        if z < 1e-3 { Some(0) } else { (z > LONG as f64 - 1e-3).then_some(1) }
    };
    let volume = Measures::of(&mesh).volume_mm3;
    let mut creep = Creep::new(cells, &Tree::of(&mesh), volume, end, &run).expect("not cancelled");
    let sum: f64 = creep.volume_mm3.iter().map(|v| *v as f64).sum();
    assert!((sum / volume - 1.0).abs() < 1e-5, "{sum} {volume}");
    let (pressure, solved) = creep.pressure(|o| Some(if o == 0 { 1.0 } else { 0.0 }), &run).expect("not cancelled");
    assert!(solved.remainder < 1e-7, "{solved:?}");
    let (inn, out) = (creep.inflow(0, 1.0, &pressure), -creep.inflow(1, 0.0, &pressure));
    assert!((inn / out - 1.0).abs() < 1e-5, "what flows in flows out: {inn} {out}");
    inn * LONG as f64 / channel.mm4 - 1.0
}

/// On the axes, where walls fall on faces of cells, on middles and between.
#[test]
fn channels_along_the_axes() {
    for channel in channels() {
        let far = |across: f64| {
            [0.0, 0.21, 0.43].map(|shift| error(&channel, across + shift, DQuat::IDENTITY, DVec3::splat(shift)))
        };
        let (coarse, fine) = (far(4.0), far(12.0));
        println!("{}: {coarse:.4?} {fine:.4?}", channel.name);
        assert!(coarse.iter().all(|e| e.abs() < 0.03), "{} at four across: {coarse:?}", channel.name);
        assert!(fine.iter().all(|e| e.abs() < 0.01), "{} at twelve across: {fine:?}", channel.name);
        let mean = |e: [f64; 3]| e.iter().map(|e| e.abs()).sum::<f64>();
        assert!(mean(fine) < mean(coarse), "{}: {coarse:?} {fine:?}", channel.name);
    }
}

/// A turn that lays channels within 3° along a diagonal of faces of the grid, and their walls askew.
fn along_a_diagonal() -> DQuat {
    DQuat::from_xyzw(-0.56879863990294, 0.44441552863767, -0.68921812380923, -0.06277995669915).normalize()
}

/// Turned and shifted by chance, the same draws every time: 2 % off on the root mean square. A channel that lies along a
/// diagonal of the grid errs alike in many sections, and that may come to 8 % (the first of the draws).
#[test]
fn channels_turned() {
    let mut numbers = Sequence(99);
    let draws: Vec<(DQuat, DVec3)> = std::iter::once((along_a_diagonal(), DVec3::ZERO))
        .chain((0..40).map(|_| {
            let turn = DQuat::from_array([(); 4].map(|_| 2.0 * numbers.unit() - 1.0)).normalize();
            (turn, DVec3::from_array([(); 3].map(|_| numbers.unit())))
        }))
        .collect();
    for channel in channels() {
        let errors: Vec<f64> = draws.par_iter().map(|&(turn, by)| error(&channel, 4.0, turn, by)).collect();
        let worst = errors.iter().fold(0.0, |a: f64, e| a.max(e.abs()));
        let square = (errors.iter().map(|e| e * e).sum::<f64>() / errors.len() as f64).sqrt();
        println!("{}: {square:.4}, {worst:.4} at most", channel.name);
        assert!(square < 0.025, "{}: {square} on the root mean square", channel.name);
        assert!(worst < 0.08, "{}: {worst}", channel.name);
    }
}

/// The same at twelve cells across, far from the origin too; few draws, since they are large.
#[test]
fn channels_turned_fine() {
    let turn = DQuat::from_xyzw(0.31, -0.22, 0.47, 0.79).normalize();
    for channel in channels() {
        let draws = [(turn, DVec3::new(1e3, -2e3, 500.0)), (along_a_diagonal(), DVec3::ZERO)];
        let fine = draws.map(|(turn, by)| error(&channel, 12.0, turn, by));
        println!("{}: {fine:.4?}", channel.name);
        assert!(fine.iter().all(|e| e.abs() < 0.015), "{} at twelve across: {fine:?}", channel.name);
    }
}

/// The steps of the difference scheme are uneven at walls and ψ of a pipe is a polynomial of second degree: exact at every
/// cell, (R² − r²)/4, however the pipe lies and however few cells there are. The ends are open, so ψ must not fall there.
#[test]
fn torsion_of_a_pipe_is_exact_at_every_cell() {
    let pipe = &channels()[3];
    let turn = DQuat::from_xyzw(0.31, -0.22, 0.47, 0.79).normalize();
    let carry = DAffine3::from_rotation_translation(turn, DVec3::ONE);
    let mesh = pipe.mesh.transformed(&carry);
    let tree = Tree::of(&mesh);
    for across in [3.0, 6.0] {
        let cells = Cells::fill(&mesh, 1.0 / across, &Run::new()).expect("closed");
        let local = |p: Vec3| carry.inverse().transform_point3(p.as_dvec3());
        let open = |p: Vec3| (local(p).z < 1e-3 || local(p).z > LONG as f64 - 1e-3).then_some(0);
        let sides = Sides::of(&cells, &tree, open, &Run::new()).expect("not cancelled");
        let mut grid = Multigrid::new(&cells, &Run::new()).expect("not cancelled");
        let psi = torsion(&cells, &sides, &mut grid, &Run::new()).expect("not cancelled");
        for (c, psi) in psi.iter().enumerate() {
            let p = local(cells.centre(c as u32));
            // Near the turned ends the walls of the pipe end between cells.
            if (1.5..6.5).contains(&p.z) {
                let exact = (0.25 - p.truncate().length_squared()) / 4.0 * across * across;
                assert!((psi - exact).abs() < 2e-3 * across * across / 16.0, "{psi} {exact} at {p}");
            }
        }
    }
}

/// ψ in the middle of a square of side 1 is 0.07367135127 (series).
#[test]
fn torsion_of_a_square_in_the_middle() {
    let mesh = &channels()[0].mesh;
    let cells = Cells::fill(mesh, 1.0 / 15.0, &Run::new()).expect("closed");
    let open = |p: Vec3| (p.z < 1e-3 || p.z > LONG - 1e-3).then_some(0);
    let sides = Sides::of(&cells, &Tree::of(mesh), open, &Run::new()).expect("not cancelled");
    let mut grid = Multigrid::new(&cells, &Run::new()).expect("not cancelled");
    let psi = torsion(&cells, &sides, &mut grid, &Run::new()).expect("not cancelled");
    let middle = |c: usize| cells.centre(c as u32).truncate() - Vec2::splat(0.5);
    let c = (0..psi.len()).min_by(|&a, &b| middle(a).length().total_cmp(&middle(b).length())).expect("cells");
    // Off the middle it falls by a quarter of the distance squared, since −∇²ψ = 1 and both axes are alike.
    let most = psi[c] / 225.0 + middle(c).length_squared() as f64 / 4.0;
    assert!((most / 0.07367135127 - 1.0).abs() < 4e-3, "{most}");
}
