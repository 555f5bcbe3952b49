//! The potential on linked cells against dense elimination, closed forms and itself.

use super::sequence::Sequence;
use super::shapes;
use glam::{Vec2, Vec3};
use mouldbench::mesh::{Mesh, solids};
use mouldbench::solve::cells::{Cells, NONE};
use mouldbench::solve::multigrid::{Lopsided, Multigrid};
use mouldbench::solve::run::Run;

fn cells_of(mesh: &Mesh, cell_mm: f64) -> Cells {
    Cells::fill(mesh, cell_mm, &Run::new()).expect("closed")
}

/// A block of nx×ny×nz cells of edge 1.
fn block(nx: usize, ny: usize, nz: usize) -> Cells {
    let cells = cells_of(&solids::cuboid(Vec3::ZERO, Vec3::new(nx as f32, ny as f32, nz as f32)), 1.0);
    assert_eq!(cells.len(), nx * ny * nz);
    cells
}

/// Gaussian elimination with the largest pivot.
fn eliminate(mut a: Vec<Vec<f64>>, mut b: Vec<f64>) -> Vec<f64> {
    let n = b.len();
    for k in 0..n {
        let p = (k..n).max_by(|&i, &j| a[i][k].abs().total_cmp(&a[j][k].abs())).expect("rows");
        a.swap(k, p);
        b.swap(k, p);
        for i in k + 1..n {
            let f = a[i][k] / a[k][k];
            for j in k..n {
                a[i][j] -= f * a[k][j];
            }
            b[i] -= f * b[k];
        }
    }
    for k in (0..n).rev() {
        b[k] = (b[k] - (k + 1..n).map(|j| a[k][j] * b[j]).sum::<f64>()) / a[k][k];
    }
    b
}

/// Weights between 1 and 1000 that are the same from both ends.
fn uneven(cells: &Cells, seed: u64) -> Vec<[f32; 6]> {
    let mut draw = Sequence(seed);
    let mut weight = vec![[0.0f32; 6]; cells.len()];
    for c in 0..cells.len() {
        for side in [1, 3, 5] {
            let n = cells.neighbours()[c][side];
            if n != NONE {
                let w = 1000f32.powf(draw.unit() as f32);
                weight[c][side] = w;
                weight[n as usize][side - 1] = w;
            }
        }
    }
    weight
}

fn even(cells: &Cells, c: u32) -> [f32; 6] {
    cells.neighbours()[c as usize].map(|n| if n == NONE { 0.0 } else { 1.0 })
}

#[test]
fn uneven_weights_agree_with_elimination() {
    let wall = shapes::band(&shapes::circle(5.0, 12), &shapes::square(2.0, 12), 0.0, 3.0);
    for (mesh, cell_mm) in [(shapes::corridor(4.0, 0.0, 3.0), 0.9), (wall, 0.95)] {
        let cells = cells_of(&mesh, cell_mm);
        let n = cells.len();
        assert!((100..700).contains(&n), "{n} cells");
        let weight = uneven(&cells, 7);
        let mut draw = Sequence(11);
        let held: Vec<f32> = (0..n).map(|i| if i % 17 == 0 { (100.0 * draw.unit()) as f32 } else { 0.0 }).collect();
        let right: Vec<f64> = (0..n).map(|_| draw.unit() - 0.3).collect();
        let mut grid = Multigrid::new(&cells, &Run::new()).expect("not cancelled");
        grid.set(|c| weight[c as usize], |c| held[c as usize]);
        let mut x = vec![0.0; n];
        let solved = grid.solve(&right, &mut x, 1e-10, 200, &Run::new()).expect("not cancelled");
        assert!(solved.remainder <= 1e-10, "{solved:?}");
        let mut a = vec![vec![0.0; n]; n];
        for c in 0..n {
            a[c][c] += held[c] as f64;
            for (side, &k) in cells.neighbours()[c].iter().enumerate() {
                if k != NONE {
                    a[c][c] += weight[c][side] as f64;
                    a[c][k as usize] -= weight[c][side] as f64;
                }
            }
        }
        let exact = eliminate(a, right);
        let largest = exact.iter().fold(0.0f64, |m, v| m.max(v.abs()));
        for (x, e) in x.iter().zip(&exact) {
            assert!((x - e).abs() < 1e-7 * largest, "{x} {e}");
        }
    }
}

#[test]
fn a_lopsided_system_agrees_with_elimination() {
    let cells = cells_of(&shapes::corridor(4.0, 0.0, 3.0), 0.9);
    let n = cells.len();
    let mut draw = Sequence(5);
    let mut system = Lopsided { own: vec![0.0; n], other: vec![[0.0; 6]; n] };
    let mut a = vec![vec![0.0; n]; n];
    for c in 0..n {
        // A share of its own for each row, as uneven steps make it.
        let share = 0.5 + draw.unit();
        system.own[c] = share * 6.0;
        for (side, &k) in cells.neighbours()[c].iter().enumerate() {
            if k != NONE {
                system.other[c][side] = share;
                a[c][k as usize] = -share;
            }
        }
        a[c][c] = system.own[c];
    }
    let right: Vec<f64> = (0..n).map(|_| draw.unit()).collect();
    let mut grid = Multigrid::new(&cells, &Run::new()).expect("not cancelled");
    let walls = |c: u32| cells.neighbours()[c as usize].iter().filter(|&&k| k == NONE).count() as f32;
    grid.set(|c| even(&cells, c), walls);
    let mut x = vec![0.0; n];
    let solved = grid.solve_lopsided(&system, &right, &mut x, 1e-11, 100, &Run::new()).expect("not cancelled");
    assert!(solved.remainder <= 1e-11 && solved.steps < 40, "{solved:?}");
    let exact = eliminate(a, right);
    for (x, e) in x.iter().zip(&exact) {
        assert!((x - e).abs() < 1e-9, "{x} {e}");
    }
}

/// −∇²u = 1 on the unit square, u = 0 on its rim. u in the middle is 0.07367135127 and ∫u is 0.035144254 (series:
/// Timoshenko & Goodier, *Theory of Elasticity*, torsion of a square bar). The error must fall as the cell squared.
#[test]
fn the_unit_square_has_its_known_middle_and_sum() {
    let mut errors = Vec::new();
    for n in [15usize, 45] {
        let cells = block(n, n, 1);
        let mut grid = Multigrid::new(&cells, &Run::new()).expect("not cancelled");
        // The rim is half a cell from the last cells.
        let held = |c: u32| 2.0 * cells.neighbours()[c as usize][..4].iter().filter(|&&k| k == NONE).count() as f32;
        grid.set(|c| even(&cells, c), held);
        let h2 = 1.0 / (n * n) as f64;
        let mut u = vec![0.0; cells.len()];
        let solved = grid.solve(&vec![h2; cells.len()], &mut u, 1e-10, 100, &Run::new()).expect("not cancelled");
        assert!(solved.remainder <= 1e-10, "{solved:?}");
        let middle = cells.at_place(cells.place_of(Vec3::new(n as f32 / 2.0, n as f32 / 2.0, 0.5))).expect("solid");
        let sum = h2 * u.iter().sum::<f64>();
        errors.push([u[middle as usize] / 0.07367135127 - 1.0, sum / 0.035144254 - 1.0]);
    }
    for k in 0..2 {
        let fall = errors[0][k] / errors[1][k];
        assert!(errors[1][k].abs() < 4e-3 && (6.0..12.0).contains(&fall), "{errors:?}");
    }
}

/// The number of steps hardly grows with the number of cells, in a block, in a plate four cells thick, in a ring, and with
/// only one end held; plain conjugate gradients would need a multiple of the cells along.
#[test]
fn steps_do_not_grow_with_the_cells() {
    let ring = |n: f32| shapes::band(&shapes::circle(n, 40), &shapes::circle(n - 4.0, 40), 0.0, 4.0);
    type Solid = Box<dyn Fn(f32) -> Mesh>;
    let solids: [Solid; 3] = [
        Box::new(|n| solids::cuboid(Vec3::ZERO, Vec3::splat(n))),
        Box::new(|n| solids::cuboid(Vec3::ZERO, Vec3::new(4.0 * n, 2.0 * n, 4.0))),
        Box::new(move |n| ring(1.5 * n)),
    ];
    for solid in solids {
        let mut steps = Vec::new();
        for n in [12.0, 40.0] {
            let cells = cells_of(&solid(n), 1.0);
            let low = (0..cells.len() as u32).map(|c| cells.place(c).x).min().expect("cells");
            let mut grid = Multigrid::new(&cells, &Run::new()).expect("not cancelled");
            grid.set(|c| even(&cells, c), |c| if cells.place(c).x == low { 2.0 } else { 0.0 });
            let mut draw = Sequence(3);
            let right: Vec<f64> = (0..cells.len()).map(|_| draw.unit()).collect();
            let mut x = vec![0.0; cells.len()];
            let solved = grid.solve(&right, &mut x, 1e-8, 300, &Run::new()).expect("not cancelled");
            assert!(solved.remainder <= 1e-8);
            steps.push(solved.steps);
            println!("{} cells, {} steps", cells.len(), solved.steps);
        }
        assert!(steps[1] <= 30, "{steps:?}");
    }
}

/// Two plates side by side, nearer than a cell, each with its own flow: neither may know of the other.
#[test]
fn plates_that_only_lie_side_by_side_do_not_mix() {
    let corners = |low: f32, high: f32| {
        [(0.0, low), (30.0, low), (30.0, high), (0.0, high)].map(|(x, y)| Vec2::new(x, y)).to_vec()
    };
    let fan = [[0, 1, 2], [0, 2, 3]];
    let mut mesh = shapes::prism(&corners(0.0, 4.0), &fan, 0.0, 4.0);
    mesh.append(&shapes::prism(&corners(4.01, 8.0), &fan, 0.0, 4.0));
    let cells = cells_of(&mesh, 1.0);
    let mut grid = Multigrid::new(&cells, &Run::new()).expect("not cancelled");
    let first = |c: u32| cells.centre(c).y < 4.005;
    // Potential 0 at one end, 1 at the other in the first plate; 0 at both in the second, where nothing may move.
    let at = |c: u32, x: f32| (cells.centre(c).x - x).abs() < 0.9;
    let ends = |c: u32| at(c, 0.4) || at(c, 29.6);
    grid.set(|c| even(&cells, c), |c| if ends(c) { 1e6 } else { 0.0 });
    let right: Vec<f64> = (0..cells.len() as u32).map(|c| if first(c) && at(c, 29.6) { 1e6 } else { 0.0 }).collect();
    let mut x = vec![0.0; cells.len()];
    let solved = grid.solve(&right, &mut x, 1e-12, 100, &Run::new()).expect("not cancelled");
    assert!(solved.steps < 30, "{solved:?}");
    for c in 0..cells.len() as u32 {
        let share = (cells.centre(c).x as f64 / 30.0).clamp(0.0, 1.0);
        let expected = if first(c) { share } else { 0.0 };
        assert!((x[c as usize] - expected).abs() < if first(c) { 0.05 } else { 1e-9 }, "{expected} {}", x[c as usize]);
    }
}

/// Cells whose weights are nothing keep what stands there; a part without a link to potential 0 is solved all the same
/// where what flows in flows out.
#[test]
fn cells_left_out_and_parts_that_float() {
    let cells = block(20, 3, 3);
    let x_of = |c: u32| cells.place(c).x - cells.place(0).x;
    let inside = |c: u32| (5..15).contains(&x_of(c));
    let weight =
        |c: u32| cells.neighbours()[c as usize].map(|n| if n != NONE && inside(c) && inside(n) { 2.0 } else { 0.0 });
    let mut grid = Multigrid::new(&cells, &Run::new()).expect("not cancelled");
    grid.set(weight, |_| 0.0);
    let right: Vec<f64> = (0..cells.len() as u32)
        .map(|c| match x_of(c) {
            5 => 1.0,
            14 => -1.0,
            0 => 7.0,
            _ => 0.0,
        })
        .collect();
    let mut x: Vec<f64> = (0..cells.len() as u32).map(|c| if inside(c) { 0.0 } else { -5.0 }).collect();
    let solved = grid.solve(&right, &mut x, 1e-10, 100, &Run::new()).expect("not cancelled");
    assert!(solved.remainder <= 1e-10, "{solved:?}");
    for c in 0..cells.len() as u32 {
        for (side, &n) in cells.neighbours()[c as usize].iter().enumerate() {
            if n != NONE && inside(c) && inside(n) {
                let fall = [0.5, -0.5, 0.0, 0.0, 0.0, 0.0][side];
                assert!((x[n as usize] - x[c as usize] - fall).abs() < 1e-7);
            }
        }
        assert!(inside(c) || x[c as usize] == -5.0);
    }
}

#[test]
fn answers_do_not_depend_on_threads_and_a_run_can_be_cancelled() {
    let cells = cells_of(&solids::ball(Vec3::ZERO, 20.0, 3), 1.0);
    let weight = uneven(&cells, 1);
    let solve = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().expect("a pool");
        pool.install(|| {
            let mut grid = Multigrid::new(&cells, &Run::new()).expect("not cancelled");
            grid.set(|c| weight[c as usize], |c| if c < 100 { 3.0 } else { 0.0 });
            let mut x = vec![0.0; cells.len()];
            grid.solve(&vec![1.0; cells.len()], &mut x, 1e-6, 100, &Run::new()).expect("not cancelled");
            x
        })
    };
    assert!(cells.len() > 20_000);
    assert_eq!(solve(1), solve(3));
    let mut grid = Multigrid::new(&cells, &Run::new()).expect("not cancelled");
    grid.set(|c| weight[c as usize], |_| 1.0);
    let run = Run::new();
    run.cancel();
    assert!(grid.solve(&vec![1.0; cells.len()], &mut vec![0.0; cells.len()], 1e-6, 100, &run).is_err());
    assert!(Multigrid::new(&cells, &run).is_err());
}
