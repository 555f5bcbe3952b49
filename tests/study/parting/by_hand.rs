//! Lines drawn by hand: pins that are met exactly, loops that are held, and planes.

use super::line::check_split;
use super::shapes::{area, drilled_cube, some_turn, turned};
use super::whole::{kinds, part, part_as_wished};
use glam::{Quat, Vec3};
use mouldbench::mesh::solids;
use mouldbench::plan::Half;
use mouldbench::study::parting::hand::{HalfStroke, PinPoint, Stroke};
use mouldbench::study::parting::hand_lines::HeldLine;
use mouldbench::study::parting::held_gap::GapCause;
use mouldbench::study::parting::line::TrueLine;
use mouldbench::study::parting::loop_kind::LoopKind;
use mouldbench::study::parting::{PartingFacts, Wish};
use std::f64::consts::{PI, TAU};

/// Distance of a point from a line.
fn away_from(line: &TrueLine, p: Vec3) -> f32 {
    let n = line.points.len();
    (0..n)
        .map(|i| {
            let (a, b) = (line.points[i], line.points[(i + 1) % n]);
            let t = ((p - a).dot(b - a) / (b - a).length_squared().max(1e-12)).clamp(0.0, 1.0);
            (a + (b - a) * t).distance(p)
        })
        .fold(f32::INFINITY, f32::min)
}

fn nearest_line(facts: &PartingFacts, p: Vec3) -> f32 {
    facts.lines.iter().map(|l| away_from(l, p)).fold(f32::INFINITY, f32::min)
}

/// The line goes through the very point of every pin, on a wall, on a crease and on a curved side.
#[test]
fn line_goes_through_the_very_point_of_a_pin() {
    for seed in [0, 4] {
        let turn = if seed == 0 { Quat::IDENTITY } else { some_turn(seed) };
        let up = turn * Vec3::Z;
        let cube = turned(&solids::cuboid(Vec3::ZERO, Vec3::new(40.0, 30.0, 20.0)), turn);
        for (at, normal) in [(Vec3::new(13.123, 0.0, 9.456), -Vec3::Y), (Vec3::new(40.0, 7.77, 20.0), Vec3::X)] {
            let pin = PinPoint { at: turn * at, normal: turn * normal };
            let facts = part_as_wished(&cube, &Wish { pins: vec![pin], ..Wish::along(up) });
            check_split(&facts);
            // Within a fiftieth of an edge of the surface it may be put on a vertex that is there.
            let away = nearest_line(&facts, turn * at);
            assert!(away < 0.03 * facts.surface.edge_mm, "turn {seed} pin {at}: {away}");
        }
        let ball = turned(&solids::ball(Vec3::ZERO, 10.0, 4), turn);
        let n = turn * Vec3::new(0.8, 0.05, 0.6).normalize();
        let facts =
            part_as_wished(&ball, &Wish { pins: vec![PinPoint { at: n * 9.98, normal: n }], ..Wish::along(up) });
        check_split(&facts);
        assert!(nearest_line(&facts, n * 9.98) < 0.04, "{}", nearest_line(&facts, n * 9.98));
    }
}

/// A plane parts a ball in a circle: 2π√(R² − h²) long, with 2πR(R − h) above it; below and above the ball there is no
/// line, which is said.
#[test]
fn plane_parts_a_ball_in_a_circle() {
    let ball = solids::ball(Vec3::ZERO, 20.0, 5);
    let whole = area(&ball);
    for (seed, height) in [(0, 0.0), (0, 7.3), (3, -11.0)] {
        let turn = if seed == 0 { Quat::IDENTITY } else { some_turn(seed) };
        let up = turn * Vec3::Z;
        let facts = part_as_wished(&turned(&ball, turn), &Wish { plane_mm: Some(height), ..Wish::along(up) });
        check_split(&facts);
        assert_eq!(kinds(&facts), [LoopKind::Parting]);
        let want = TAU * (400.0 - height * height).sqrt();
        assert!((facts.lines[0].length_mm / want - 1.0).abs() < 0.003, "{} of {want}", facts.lines[0].length_mm);
        let above = facts.half_1_mm2 / whole;
        assert!((above - (20.0 - height) / 40.0).abs() < 0.002, "{above}");
        let off = facts.lines[0].points.iter().map(|p| (p.dot(up) - height as f32).abs()).fold(0.0, f32::max);
        assert!(off < 0.03 * facts.surface.edge_mm, "{off} off the plane");
    }
    let facts = part_as_wished(&ball, &Wish { plane_mm: Some(30.0), ..Wish::along(Vec3::Z) });
    assert!(facts.lines.is_empty());
    assert_eq!(facts.shape.len(), 1);
}

/// The loops that one parting found, held.
fn held(facts: &PartingFacts) -> Vec<HeldLine> {
    facts.lines.iter().map(|l| HeldLine { points: l.points.clone(), normals: l.normals.clone() }).collect()
}

/// A held loop stays where it is when the draw is turned and a pin elsewhere would pull it away: every point of it is on a
/// line, and there is no other.
#[test]
fn held_loops_stay_through_every_recompute() {
    let bodies = [
        ("ball", solids::ball(Vec3::ZERO, 10.0, 4), 0.25),
        ("torus", solids::torus(30.0, 10.0, 60, 30), 0.2),
        ("drilled cube", drilled_cube(40.0, 10.0, 32), 0.05),
    ];
    for (name, mesh, lean) in &bodies {
        let before = part(mesh, Vec3::Z);
        let wish = Wish { held: held(&before), ..Wish::along(Vec3::new(*lean, 0.4 * lean, 1.0).normalize()) };
        let after = part_as_wished(mesh, &wish);
        check_split(&after);
        assert_eq!(after.held_gaps, [], "{name}");
        assert_eq!(kinds(&after), kinds(&before), "{name}");
        for line in &before.lines {
            let moved = line.points.iter().map(|&p| nearest_line(&after, p)).fold(0.0, f32::max);
            assert!(moved < 0.05 * after.surface.edge_mm, "{name}: {moved}");
        }
        let length = |f: &PartingFacts| f.lines.iter().map(|l| l.length_mm).sum::<f64>();
        assert!(
            (length(&after) / length(&before) - 1.0).abs() < 0.003,
            "{name} {} {}",
            length(&after),
            length(&before)
        );
        let free = part(mesh, wish.draw);
        let apart = free.lines[0].points.iter().map(|&p| nearest_line(&after, p)).fold(0.0, f32::max);
        assert!(*name == "drilled cube" || apart > 1.0, "{name}: without the hold it would go elsewhere");
    }
}

/// A held loop that lies off the surface is not followed, and it is said where; the parting is there all the same.
#[test]
fn held_loop_off_the_surface_leaves_a_gap() {
    let ball = solids::ball(Vec3::ZERO, 10.0, 4);
    let circle = |radius: f32| HeldLine {
        points: (0..60)
            .map(|i| {
                let (s, c) = (i as f32 * 0.1 * PI as f32 / 3.0).sin_cos();
                Vec3::new(c, s, 0.0) * radius
            })
            .collect(),
        normals: Vec::new(),
    };
    let facts = part_as_wished(&ball, &Wish { held: vec![circle(14.0)], ..Wish::along(Vec3::Z) });
    assert_eq!(facts.held_gaps.len(), 1);
    assert!(facts.held_gaps[0].length_mm > 70.0);
    assert_eq!(facts.held_gaps[0].cause, GapCause::OffSurface);
    assert_eq!(kinds(&facts), [LoopKind::Parting]);
    let mut broken = circle(10.0);
    broken.points[20..30].iter_mut().for_each(|p| *p *= 1.5);
    let facts = part_as_wished(&ball, &Wish { held: vec![broken], ..Wish::along(Vec3::Z) });
    assert_eq!(facts.held_gaps.len(), 1);
    assert_eq!(kinds(&facts), [LoopKind::Parting]);
    check_split(&facts);
}

fn dot(at: Vec3, normal: Vec3, radius_mm: f32, half: Half) -> HalfStroke {
    HalfStroke { half, stroke: Stroke { points: vec![at], normals: vec![normal], radius_mm } }
}

/// A mark over a held loop gives both its sides to one half: it is told which loop is open, by which mark, where, and over
/// what length: within r of a place on a circle of R lies an arc of 4·R·asin(r/2R). A mark beside the loop opens nothing, whichever half it is given to; two
/// marks open it in two places.
#[test]
#[ignore = "long"]
fn long_marks_over_a_held_loop_open_it() {
    for seed in [0, 5] {
        let turn = if seed == 0 { Quat::IDENTITY } else { some_turn(seed) };
        let up = turn * Vec3::Z;
        let ball = turned(&solids::ball(Vec3::ZERO, 10.0, 5), turn);
        let loops = held(&part(&ball, up));
        let on = |a: f32| turn * Vec3::new(a.cos(), a.sin(), 0.0);
        let beside = turn * Vec3::new(0.6, 0.0, 0.8);
        let with = |marks: Vec<HalfStroke>| {
            let facts = part_as_wished(&ball, &Wish { held: loops.clone(), marks, ..Wish::along(up) });
            check_split(&facts);
            facts
        };
        for half in [Half::One, Half::Two] {
            assert_eq!(with(vec![dot(beside * 10.0, beside, 2.0, half)]).held_gaps, [], "turn {seed}");
            let over = |a: f32| dot(on(a) * 10.0, on(a), 3.0, half);
            let facts = with(vec![dot(beside * 10.0, beside, 2.0, Half::One), over(1.0)]);
            assert_eq!(facts.held_gaps.len(), 1, "turn {seed}: {:?}", facts.held_gaps);
            let gap = &facts.held_gaps[0];
            assert_eq!((gap.held, gap.cause, &gap.marks[..], gap.pins.len()), (0, GapCause::OneHalf, &[1][..], 0));
            let arc = 40.0 * 0.15f64.asin();
            assert!((gap.length_mm - arc).abs() < 2.5 * facts.surface.edge_mm as f64, "{} of {arc}", gap.length_mm);
            assert!((gap.at.distance(on(1.0) * 10.0) - 3.0).abs() < 2.0 * facts.surface.edge_mm, "{}", gap.at);
            // The line goes round the mark all the same, and nothing is cut off.
            assert_eq!((kinds(&facts), facts.cut_off.len()), (vec![LoopKind::Parting], 0));
            let twice = with(vec![over(1.0), over(0.0)]);
            let by: Vec<usize> = twice.held_gaps.iter().flat_map(|g| g.marks.clone()).collect();
            assert_eq!((by.len(), by.contains(&0), by.contains(&1)), (2, true, true), "turn {seed}");
        }
    }
}

/// A spot of half 2 on the top face within a ring of half 1 cannot be joined to its half: it is cut off, by its own mark.
/// Above a plane parting any spot of half 2 is. A spot that a strip can join is not.
#[test]
fn marks_that_are_cut_off_are_told() {
    let cube = solids::cuboid(Vec3::ZERO, Vec3::new(40.0, 30.0, 20.0));
    let at = |x: f32, y: f32| Vec3::new(x, y, 20.0);
    let spot = dot(at(20.0, 15.0), Vec3::Z, 2.0, Half::Two);
    let ring: Vec<Vec3> = (0..=40)
        .map(|i| {
            let (s, c) = (std::f32::consts::TAU * i as f32 / 40.0).sin_cos();
            at(20.0 + 7.0 * c, 15.0 + 7.0 * s)
        })
        .collect();
    let ring = Stroke { normals: vec![Vec3::Z; ring.len()], points: ring, radius_mm: 2.0 };
    let ring = HalfStroke { half: Half::One, stroke: ring };
    let with = |marks: Vec<HalfStroke>, plane_mm: Option<f64>| {
        part_as_wished(&cube, &Wish { marks, plane_mm, ..Wish::along(Vec3::Z) })
    };
    assert_eq!(with(vec![spot.clone()], None).cut_off, []);
    for facts in
        [with(vec![ring, spot.clone()], None), with(vec![dot(at(2.0, 2.0), Vec3::Z, 1.0, Half::One), spot], Some(10.0))]
    {
        assert_eq!(facts.cut_off.len(), 1, "{:?}", facts.cut_off);
        let cut_off = facts.cut_off[0];
        assert_eq!((cut_off.mark, cut_off.half), (1, Half::Two));
        assert!(cut_off.at.distance(at(20.0, 15.0)) < 1.0, "{}", cut_off.at);
        assert!(kinds(&facts).contains(&LoopKind::Island));
    }
}

/// Half 1 lies on the left of every line, so that a line can be held as it is.
#[test]
fn half_one_lies_left_of_a_line() {
    let facts = part(&solids::ball(Vec3::ZERO, 10.0, 4), Vec3::Z);
    let line = &facts.lines[0];
    let n = line.points.len();
    for i in 0..n {
        let along = line.points[(i + 1) % n] - line.points[i];
        assert!(line.normals[i].cross(along).z > 0.0);
    }
    assert!(facts.halves.contains(&Half::One));
}
