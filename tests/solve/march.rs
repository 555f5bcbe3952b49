//! Distances inside solids against exact shortest paths.

use super::shapes::{any_turn, band, carried, circle, corridor, moved, square};
use glam::{DQuat, DVec3, Vec3};
use mouldbench::mesh::{Mesh, solids};
use mouldbench::solve::cells::Cells;
use mouldbench::solve::march::{March, start_ball};
use mouldbench::solve::run::{Cancelled, Run};
use proptest::prelude::*;

fn fill(mesh: &Mesh, cell_mm: f64) -> Cells {
    Cells::fill(mesh, cell_mm, &Run::new()).expect("closed")
}

/// Marches from a point that sees everything within five cells, radius 0.
fn march_from<'a>(cells: &'a Cells, source: Vec3) -> March<'a> {
    let mut march = March::new(cells);
    march.run(&start_ball(cells, source, 0.0, 5, |_| true), &Run::new()).expect("not cancelled");
    march
}

/// Mean and largest relative excess of the marched over the straight distance, further than a fifth of the longest.
fn excess(cells: &Cells, march: &March, source: Vec3) -> (f64, f64, f64) {
    let (mut sum, mut count, mut most, mut least) = (0.0, 0, f64::MIN, f64::MAX);
    let mut missed = 0;
    let far = (0..cells.len() as u32).map(|i| cells.centre(i).distance(source)).fold(0.0, f32::max);
    for i in 0..cells.len() as u32 {
        let exact = cells.centre(i).distance(source);
        if exact < 0.2 * far {
            continue;
        }
        if !march.reached(i) {
            missed += 1;
            continue;
        }
        let e = (march.mm(i) / exact) as f64 - 1.0;
        sum += e;
        count += 1;
        (most, least) = (most.max(e), least.min(e));
    }
    // A single cell in the tip of a corner may hang on nothing.
    assert!(missed * 10_000 <= cells.len(), "{missed} of {} cells not reached", cells.len());
    (sum / count as f64, most, least)
}

#[test]
fn a_spherical_wave_in_a_free_block_is_off_by_a_tenth_of_a_cell() {
    let mesh = solids::cuboid(Vec3::ZERO, Vec3::new(20.0, 18.0, 16.0));
    let source = Vec3::new(5.0, 6.0, 7.0);
    for cell in [1.0, 0.5, 0.25] {
        let cells = fill(&mesh, cell);
        let march = march_from(&cells, source);
        for i in 0..cells.len() as u32 {
            let error = (march.mm(i) - cells.centre(i).distance(source)).abs() as f64;
            assert!(error < 0.16 * cell, "cell {cell}: {error} at {}", cells.centre(i));
        }
    }
}

#[test]
fn slabs_turned_at_random_read_hardly_too_long() {
    // The textbook scheme reads 5 %, 1 % and 0 % too long on the mean of these, 10 % and 2 % on the worst.
    for (across, mean_limit, worst_limit) in [(2.0, 0.022, 0.045), (3.0, 0.008, 0.013), (4.0, 0.003, 0.004)] {
        let mut sum = 0.0;
        for k in 0..12 {
            let turn = DQuat::from_euler(glam::EulerRot::XYZ, 0.37 * k as f64, 0.91 * k as f64 + 0.2, 0.53 * k as f64);
            let mesh = moved(&solids::cuboid(Vec3::ZERO, Vec3::new(60.0, 40.0, 1.0)), turn, DVec3::ZERO);
            let source = carried(Vec3::new(10.0, 10.0, 0.5), turn, DVec3::ZERO);
            let cells = fill(&mesh, 1.0 / across);
            let (mean, most, least) = excess(&cells, &march_from(&cells, source), source);
            assert!(
                mean.abs() < worst_limit && most < 2.0 * worst_limit + 0.01 && least > -0.01,
                "{across}: {mean} {most}"
            );
            sum += mean;
        }
        assert!((sum / 12.0).abs() < mean_limit, "{across} across: mean {}", sum / 12.0);
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(16))]

    #[test]
    fn round_the_corner_of_a_corridor_turned_at_random(turn in any_turn()) {
        // Unit arms, (0.5, 2) to (2, 0.5) round (1, 1): √5, here ten times as large and 1.6 thick (plane geometry).
        let source = carried(Vec3::new(5.0, 20.0, 0.8), turn, DVec3::ZERO);
        let goal = carried(Vec3::new(20.0, 5.0, 0.8), turn, DVec3::ZERO);
        let cells = fill(&moved(&corridor(10.0, 0.0, 1.6), turn, DVec3::ZERO), 0.4);
        let march = march_from(&cells, source);
        let (mm, _) = march.at(goal, |_| true).expect("reached");
        let excess = mm as f64 / 500f64.sqrt() - 1.0;
        prop_assert!((-0.01..0.025).contains(&excess), "{excess}");
        // The way back is a chain of falling linked cells that ends beside the source.
        let (_, last) = march.at(goal, |_| true).expect("reached");
        let way = march.descend(last);
        prop_assert!(way.windows(2).all(|w| march.mm(w[1]) < march.mm(w[0])));
        prop_assert!(way.windows(2).all(|w| cells.neighbours()[w[0] as usize].contains(&w[1])));
        prop_assert!(cells.centre(way[way.len() - 1]).distance(source) < 0.6);
    }

    #[test]
    fn half_way_round_a_ring_of_any_attitude(turn in any_turn()) {
        // The inner wall is a polygon of 60 sides. Between two opposite points at radius 10 on a corner's ray the
        // shortest way leaves on a tangent: 2·√(R²−r²) + r·(π − 2·acos(r/R)) for a round wall. Cells keep
        // about half a cell off the inner wall.
        let (r, big) = (8.0f64, 10.0f64);
        let exact = 2.0 * (big * big - r * r).sqrt() + r * (std::f64::consts::PI - 2.0 * (r / big).acos());
        let mesh = moved(&band(&circle(12.0, 60), &circle(8.0, 60), 0.0, 2.0), turn, DVec3::ZERO);
        let cells = fill(&mesh, 0.5);
        let march = march_from(&cells, carried(Vec3::new(10.0, 0.0, 1.0), turn, DVec3::ZERO));
        let (mm, _) = march.at(carried(Vec3::new(-10.0, 0.0, 1.0), turn, DVec3::ZERO), |_| true).expect("reached");
        let excess = mm as f64 / exact - 1.0;
        prop_assert!((-0.01..0.06).contains(&excess), "{excess}");
    }
}

#[test]
fn round_a_disc_in_the_way() {
    // Unit disc between (−2, 0) and (2, 0): 2√3 + π/3 = 4.511299166 (tangents and an arc), here five times as large.
    let mesh = band(&square(15.0, 96), &circle(5.0, 96), 0.0, 1.0);
    let mut before = f64::INFINITY;
    for cell in [0.5, 0.25, 0.125] {
        let cells = fill(&mesh, cell);
        let march = march_from(&cells, Vec3::new(-10.0, 0.0, 0.5));
        let (mm, _) = march.at(Vec3::new(10.0, 0.0, 0.5), |_| true).expect("reached");
        let error = (mm as f64 / (5.0 * 4.511299166) - 1.0).abs();
        assert!(error < 0.03 && error < before, "{error} at {cell}");
        before = error;
    }
    assert!(before < 0.008, "{before}");
}

#[test]
fn the_nearer_of_two_sources_counts_and_other_bodies_stay_unreached() {
    let mut mesh = solids::cuboid(Vec3::ZERO, Vec3::new(40.0, 3.0, 3.0));
    mesh.append(&solids::cuboid(Vec3::new(0.0, 5.0, 0.0), Vec3::new(10.0, 8.0, 3.0)));
    let cells = fill(&mesh, 0.5);
    let (a, b) = (Vec3::new(5.0, 1.5, 1.5), Vec3::new(35.0, 1.5, 1.5));
    let mut seeds = start_ball(&cells, a, 0.0, 5, |p| p.y < 4.0);
    seeds.extend(start_ball(&cells, b, 1.0, 5, |p| p.y < 4.0));
    let mut march = March::new(&cells);
    march.run(&seeds, &Run::new()).expect("not cancelled");
    for i in 0..cells.len() as u32 {
        let p = cells.centre(i);
        if p.y > 4.0 {
            assert!(!march.reached(i));
        } else {
            let exact = p.distance(a).min((p.distance(b) - 1.0).max(0.0));
            assert!((march.mm(i) - exact).abs() < 0.15, "{} for {exact} at {p}", march.mm(i));
        }
    }
    // Further seeds reach what is left and change nothing else.
    let before: Vec<f32> = (0..cells.len() as u32).map(|i| march.mm(i)).collect();
    march
        .run(&start_ball(&cells, Vec3::new(5.0, 6.5, 1.5), 0.0, 5, |p| p.y > 4.0), &Run::new())
        .expect("not cancelled");
    for i in 0..cells.len() as u32 {
        assert!(march.reached(i));
        assert!(before[i as usize].is_infinite() || before[i as usize] == march.mm(i));
    }
}

#[test]
fn a_cancelled_march_says_so() {
    let cells = fill(&solids::cuboid(Vec3::ZERO, Vec3::splat(20.0)), 0.5);
    let run = Run::new();
    run.cancel();
    assert_eq!(March::new(&cells).run(&[(0, 0.0)], &run), Err(Cancelled));
}
