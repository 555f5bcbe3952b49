//! The true line: length, where it lies, and the surface split along it.

use super::shapes::{cells, revolved, some_turn, turned};
use super::whole::kinds;
use glam::{Quat, Vec3};
use mouldbench::mesh::refine::refine;
use mouldbench::mesh::{Mesh, solids};
use mouldbench::plan::Half;
use mouldbench::study::parting::PartingFacts;
use mouldbench::study::parting::energy::energy_mm;
use mouldbench::study::parting::line::StretchKind;
use mouldbench::study::parting::loop_kind::LoopKind;
use proptest::prelude::*;
use std::collections::HashMap;
use std::f64::consts::{PI, TAU};

fn part(mesh: &Mesh, draw: Vec3) -> PartingFacts {
    let facts = super::whole::part(mesh, draw);
    check_split(&facts);
    facts
}

/// Lines and labels agree: the edges of the split between the halves are those of the lines, each once, half 1 on the
/// left; every vertex is where the line says; the split has no gap that the surface had not; pieces lie in their
/// parents.
pub fn check_split(facts: &PartingFacts) {
    let split = &facts.split;
    assert_eq!(split.halves.len(), split.mesh.triangles.len());
    assert_eq!(split.parent.len(), split.mesh.triangles.len());
    assert_eq!(facts.lines.len(), facts.loops.len());
    let mut by_edge: HashMap<(u32, u32), (Half, usize)> = HashMap::new();
    for (f, t) in split.mesh.triangles.iter().enumerate() {
        for k in 0..3 {
            by_edge.insert((t[k], t[(k + 1) % 3]), (split.halves[f], f));
        }
    }
    let between = by_edge
        .iter()
        .filter(|&(&(a, b), &(half, _))| half == Half::One && by_edge.get(&(b, a)).is_some_and(|o| o.0 == Half::Two))
        .count();
    let mut on_lines = 0;
    for (line, l) in facts.lines.iter().zip(&facts.loops) {
        assert_eq!((line.kind, line.body, line.closed), (l.kind, l.body, l.closed));
        let n = line.points.len();
        assert!(line.vertices.len() == n && line.normals.len() == n);
        let edges = if line.closed { n } else { n - 1 };
        let mut length = 0.0;
        for i in 0..edges {
            let (a, b) = (line.vertices[i], line.vertices[(i + 1) % n]);
            assert_eq!(split.mesh.positions[a as usize], line.points[i]);
            assert_eq!(by_edge[&(a, b)].0, Half::One, "half 1 on the left");
            assert_eq!(by_edge[&(b, a)].0, Half::Two);
            length += line.points[i].as_dvec3().distance(line.points[(i + 1) % n].as_dvec3());
        }
        assert!((length - line.length_mm).abs() < 1e-6 * length);
        on_lines += edges;
        // Stretches follow one another all the way.
        let covered: usize =
            line.stretches.iter().map(|s| if s.to > s.from { s.to - s.from } else { s.to + n - s.from }).sum();
        assert_eq!(covered, edges);
        for (s, t) in line.stretches.iter().zip(line.stretches.iter().skip(1)) {
            assert_eq!(s.to, t.from);
        }
    }
    assert_eq!(between, on_lines);
}

/// A ball of meridians and bands about Z.
fn banded_ball(radius: f32, meridians: u32, bands: u32) -> Mesh {
    let mut mesh = Mesh::default();
    for j in 1..bands {
        for i in 0..meridians {
            let (s, c) = (TAU * i as f64 / meridians as f64).sin_cos();
            let (sv, cv) = (PI * j as f64 / bands as f64).sin_cos();
            mesh.positions.push(Vec3::new((sv * c) as f32, (sv * s) as f32, cv as f32) * radius);
        }
    }
    let top = mesh.positions.len() as u32;
    mesh.positions.extend([Vec3::Z * radius, -Vec3::Z * radius]);
    for i in 0..meridians {
        let n = (i + 1) % meridians;
        mesh.triangles.push([top, i, n]);
        for j in 0..bands - 2 {
            let (a, b) = (j * meridians, (j + 1) * meridians);
            mesh.triangles.extend([[a + i, b + i, b + n], [a + i, b + n, a + n]]);
        }
        let last = (bands - 2) * meridians;
        mesh.triangles.push([top + 1, last + n, last + i]);
    }
    mesh
}

/// A ball whose vertices are pushed about on it, by up to a quarter of an edge each way.
fn uneven_ball(radius: f32, level: u32) -> Mesh {
    let mut mesh = solids::ball(Vec3::ZERO, radius, level);
    let edge = radius * 1.1 / (1 << level) as f32;
    for (i, p) in mesh.positions.iter_mut().enumerate() {
        let r = |k: usize| (((i * 3 + k) as f64 * 0.618_033_988_749_895).fract() as f32 - 0.5) * 0.5 * edge;
        *p = (*p + Vec3::new(r(0), r(1), r(2))).normalize() * radius;
    }
    mesh
}

/// The line of a ball is a great circle whatever the tessellation and the draw: 2πR within half a per cent.
#[test]
fn ball_of_any_tessellation_has_the_length_of_a_great_circle() {
    let shapes = [
        ("even", solids::ball(Vec3::ZERO, 20.0, 5)),
        ("small", solids::ball(Vec3::ZERO, 3.0, 5)),
        ("large", solids::ball(Vec3::ZERO, 150.0, 5)),
        ("banded", banded_ball(20.0, 142, 71)),
        ("uneven", uneven_ball(20.0, 5)),
        ("coarse", solids::ball(Vec3::ZERO, 20.0, 3)),
    ];
    for (name, ball) in &shapes {
        let radius = ball.bounds().size().x as f64 / 2.0;
        for (turn, draw) in [
            (Quat::IDENTITY, Vec3::Z),
            (Quat::IDENTITY, Vec3::X),
            (some_turn(1), Vec3::Z),
            (some_turn(2), some_turn(5) * Vec3::Y),
        ] {
            let facts = part(&turned(ball, turn), draw);
            assert_eq!(kinds(&facts), [LoopKind::Parting], "{name}");
            let got = facts.lines[0].length_mm / (TAU * radius);
            assert!((got - 1.0).abs() < 0.005, "{name} {draw}: {got}");
            assert!((facts.half_1_mm2 / facts.area_mm2() - 0.5).abs() < 0.001, "{name} {draw}");
            let strayed = facts.lines[0].points.iter().map(|p| p.dot(draw).abs()).fold(0.0, f32::max) as f64;
            assert!(strayed < 0.015 * radius, "{name} {draw}: {strayed}");
        }
    }
}

/// Torus R = 30, r = 10 drawn at a tilt from its axis: the contour tan v = −cos u · tan φ, integrated here.
#[test]
fn tilted_torus_has_the_length_of_its_contour() {
    let torus = solids::torus(30.0, 10.0, 250, 100);
    for (deg, table) in [(0.0f32, 376.9911), (15.0, 377.8044), (30.0, 380.3297), (45.0, 384.9593), (50.0, 0.0)] {
        let a = deg.to_radians();
        let facts = part(&torus, Vec3::new(a.sin() * 0.8, a.sin() * 0.6, a.cos()));
        assert_eq!(kinds(&facts), [LoopKind::Parting, LoopKind::ShutOff], "{deg}");
        let got: f64 = facts.lines.iter().map(|l| l.length_mm).sum();
        let want = contour_of_torus(30.0, 10.0, a as f64);
        if table > 0.0 {
            assert!((want - table).abs() < 1e-3);
        }
        assert!(facts.lines.iter().flat_map(|l| &l.stretches).all(|s| s.kind == StretchKind::Drafted), "{deg}");
        assert!((got / want - 1.0).abs() < 0.01, "{deg}: {got} of {want}");
    }
}

/// Length of the contour of a torus, both loops, by the rectangle rule on a periodic curve.
fn contour_of_torus(ring: f64, tube: f64, tilt: f64) -> f64 {
    let n = 4000;
    let mut sum = 0.0;
    for turn in [0.0, PI] {
        let at = |i: usize| {
            let u = TAU * i as f64 / n as f64;
            let v = (-u.cos() * tilt.tan()).atan() + turn;
            let rho = ring + tube * v.cos();
            glam::DVec3::new(rho * u.cos(), rho * u.sin(), tube * v.sin())
        };
        sum += (0..n).map(|i| at(i).distance(at(i + 1))).sum::<f64>();
    }
    sum
}

/// Beyond the tilt where the torus first hides surface (54.7356°) the contour is no longer the best line: the energy is
/// never above that of parting by the contour.
#[test]
fn steeper_torus_never_costs_more_than_its_contour() {
    let torus = solids::torus(300.0, 100.0, 160, 80);
    for deg in [30.0f32, 60.0, 70.0, 80.0, 90.0] {
        let a = deg.to_radians();
        let draw = Vec3::new(a.sin() * 0.8, a.sin() * 0.6, a.cos());
        let facts = part(&torus, draw);
        let by_contour: Vec<Half> =
            facts.visibility.facing.iter().map(|&s| if s >= 0.0 { Half::One } else { Half::Two }).collect();
        let contour = energy_mm(&facts.surface, &facts.visibility, &by_contour, draw, &[]);
        assert!(facts.energy_mm <= contour * (1.0 + 1e-6), "{deg}: {} over {contour}", facts.energy_mm);
    }
}

/// Two pyramids' stumps base to base: `width` x `depth` at the belt at height 0, drafted up and down.
fn belted(width: f32, depth: f32, up: (f32, f32), down: (f32, f32)) -> Mesh {
    let ring = |z: f32, inset: f32| {
        let (x, y) = (width / 2.0 - inset, depth / 2.0 - inset);
        [Vec3::new(-x, -y, z), Vec3::new(x, -y, z), Vec3::new(x, y, z), Vec3::new(-x, y, z)]
    };
    let mut mesh = Mesh::default();
    for (height, deg) in [(-down.0, down.1), (0.0, 0.0), (up.0, up.1)] {
        mesh.positions.extend(ring(height, height.abs() * deg.to_radians().tan()));
    }
    mesh.triangles.extend([[0, 2, 1], [0, 3, 2], [8, 9, 10], [8, 10, 11]]);
    for band in [0, 4] {
        for i in 0..4 {
            let (a, b) = (band + i, band + (i + 1) % 4);
            mesh.triangles.extend([[a, b, b + 4], [a, b + 4, a + 4]]);
        }
    }
    mesh
}

/// A box drafted both ways from a belt keeps its line on the belt exactly, however blunt the belt and unlike the two
/// drafts, coarse and fine, however it is turned: no smoothing over the blunt edge moves it. One drafted one way has it on the wider
/// rim.
#[test]
fn drafted_box_has_its_line_on_the_belt() {
    for (up, down) in [((10.0, 2.0), (10.0, 2.0)), ((20.0, 3.0), (8.0, 1.0)), ((15.0, 0.5), (15.0, 5.0))] {
        let coarse = belted(40.0, 30.0, up, down);
        for (fine, seed) in [(false, 0), (false, 3), (true, 0), (true, 4)] {
            let turn = if seed == 0 { Quat::IDENTITY } else { some_turn(seed) };
            let mesh = if fine { refine(&coarse, 1.0, 40_000).mesh } else { coarse.clone() };
            let facts = part(&turned(&mesh, turn), turn * Vec3::Z);
            let line = &facts.lines[0];
            let away = line.points.iter().map(|&p| (turn.inverse() * p).z.abs()).fold(0.0, f32::max);
            assert!(away < 2e-5, "{up:?} {down:?} fine {fine}: {away} off the belt");
            assert!((line.length_mm - 140.0).abs() < 1e-3, "{}", line.length_mm);
            assert!(line.stretches.iter().all(|s| s.kind == StretchKind::Crease));
            assert!(facts.undercut_mm2 < 1e-6);
        }
    }
    let mut cone = belted(40.0, 30.0, (20.0, 2.0), (20.0, 2.0));
    cone.positions[..4].iter_mut().for_each(|p| p.z = 0.0);
    let mut box_ =
        Mesh { positions: cone.positions[4..].to_vec(), triangles: vec![[0, 2, 1], [0, 3, 2], [4, 5, 6], [4, 6, 7]] };
    for i in 0..4 {
        let j = (i + 1) % 4;
        box_.triangles.extend([[i, j, j + 4], [i, j + 4, i + 4]]);
    }
    let facts = part(&box_, Vec3::Z);
    assert!(facts.lines[0].points.iter().all(|p| p.z == 0.0));
    assert!((facts.lines[0].length_mm - 140.0).abs() < 1e-3);
}

/// A cylinder of R = 10, L = 40 drawn at a slant has two generators and two half rims, 2πR + 2L (closed form of the smooth
/// body); the generators lie where the smooth surface is square to the draw, inside the facets of a coarse one.
#[test]
fn slanting_cylinder_has_generators_and_half_rims() {
    for sides in [24u32, 25, 128] {
        let rod = solids::cylinder(Vec3::ZERO, Vec3::Z * 40.0, 10.0, sides);
        for (deg, round) in [(30.0f32, 0.0f32), (55.0, 0.7)] {
            let a = deg.to_radians();
            let draw = Vec3::new(a.sin() * round.cos(), a.sin() * round.sin(), a.cos());
            let facts = part(&rod, draw);
            let got = facts.lines[0].length_mm;
            let polygon = 2.0 * sides as f64 * 10.0 * (PI / sides as f64).sin();
            assert!((got - polygon - 80.0).abs() < 0.005 * got, "{sides} {deg}: {got} of {}", polygon + 80.0);
            // Points on the wall lie square to the draw as seen from the axis.
            let level = Vec3::new(round.cos(), round.sin(), 0.0);
            for p in facts.lines[0].points.iter().filter(|p| (1.0..39.0).contains(&p.z)) {
                let off = p.dot(level).abs();
                assert!(off < 0.03, "{sides} {deg}: {off} beside the contour");
            }
        }
    }
}

/// A cup with a drafted wall that runs out into a rounding: its contour lies in the rounding, at the height of the
/// rounding's middle, and nowhere on the flat wall; coarse and fine give the same line.
#[test]
fn rounding_below_a_drafted_wall_holds_the_contour() {
    let (middle, radius) = (glam::Vec2::new(15.0, 4.0), 4.0f32);
    let lean = 2f32.to_radians();
    for steps in [4, 6, 24] {
        let mut profile = vec![(0.0, 0.0)];
        for i in 0..=steps {
            let a = -PI as f32 / 2.0 + (PI as f32 / 2.0 + lean) * i as f32 / steps as f32;
            profile.push((middle.x + radius * a.cos(), middle.y + radius * a.sin()));
        }
        let (r, z) = profile[profile.len() - 1];
        profile.push((r - (30.0 - z) * lean.tan(), 30.0));
        profile.push((0.0, 30.0));
        for sides in [36, 144] {
            let facts = part(&revolved(&profile, sides), Vec3::Z);
            assert_eq!(facts.lines.len(), 1);
            let line = &facts.lines[0];
            let off = line.points.iter().map(|p| (p.z - middle.y).abs()).fold(0.0, f32::max);
            assert!(off < 0.06, "{steps} steps, {sides} sides: {off} off the contour");
            let polygon = 2.0 * sides as f64 * 19.0 * (PI / sides as f64).sin();
            assert!((line.length_mm / polygon - 1.0).abs() < 0.005, "{} of {polygon}", line.length_mm);
        }
    }
}

/// A step in a wall without draft: the line follows creases; whatever runs over a plain wall between two creases is
/// straight to a hundredth of a millimetre.
#[test]
fn line_over_a_plain_wall_is_straight() {
    // A block whose left half is 20 lower at the bottom and whose right half is 20 higher at the top.
    let mesh = cells([4, 2, 6], 10.0, |i, _, k| if i < 2 { k < 4 } else { k >= 2 });
    for seed in [0, 2] {
        let turn = if seed == 0 { Quat::IDENTITY } else { some_turn(seed) };
        let facts = part(&turned(&mesh, turn), turn * Vec3::Z);
        for line in &facts.lines {
            for s in line.stretches.iter().filter(|s| s.kind == StretchKind::Undrafted) {
                let n = line.points.len();
                let run = if s.to > s.from { s.to - s.from } else { s.to + n - s.from };
                let (a, b) = (line.points[s.from], line.points[s.to]);
                let length: f32 =
                    (0..run).map(|i| line.points[(s.from + i) % n].distance(line.points[(s.from + i + 1) % n])).sum();
                let flat = line.normals[(s.from + 1) % n].dot(line.normals[(s.from + run - 1) % n]) > 0.999;
                if flat && run > 2 {
                    assert!(length < a.distance(b) + 0.01, "turn {seed}: {length} over {}", a.distance(b));
                }
            }
        }
    }
}

/// The same body in large triangles and in small ones has the same line: exactly on creases, within one edge of the parted
/// surface where it crosses a wall without draft.
#[test]
fn coarse_and_fine_meshes_of_one_body_have_the_same_line() {
    let stepped = cells([4, 2, 6], 10.0, |i, _, k| if i < 2 { k < 4 } else { k >= 2 });
    let long = cells([6, 2, 4], 7.0, |i, _, k| if i < 4 { k < 3 } else { k >= 1 });
    for (name, coarse) in [("stepped", &stepped), ("long", &long)] {
        for seed in [0, 2] {
            let turn = if seed == 0 { Quat::IDENTITY } else { some_turn(seed) };
            let coarse = turned(coarse, turn);
            let fine = refine(&coarse, 2.0, 60_000).mesh;
            assert!(fine.triangles.len() > 4 * coarse.triangles.len());
            let [a, b] = [&coarse, &fine].map(|mesh| part(mesh, turn * Vec3::Z));
            let edge = a.surface.edge_mm.max(b.surface.edge_mm);
            let total = |f: &PartingFacts| f.lines.iter().map(|l| l.length_mm).sum::<f64>();
            assert!((total(&a) - total(&b)).abs() < 2.0 * f64::from(edge), "{name}: {} and {}", total(&a), total(&b));
            for (one, other) in [(&a, &b), (&b, &a)] {
                let ways: Vec<Vec3> = other.lines.iter().flat_map(|l| closed_run(&l.points)).collect();
                for line in &one.lines {
                    let kinds = kinds_of(line);
                    for (p, kind) in line.points.iter().zip(kinds) {
                        let off = ways.chunks(2).map(|s| to_segment(*p, s[0], s[1])).fold(f32::INFINITY, f32::min);
                        let least = if kind == StretchKind::Undrafted { edge } else { 1e-3 };
                        assert!(off <= least, "{name}, turn {seed}: {off} mm off at {p}, {kind:?}, edge {edge}");
                    }
                }
            }
        }
    }
}

/// Ends of the pieces of a closed line, two a piece.
fn closed_run(points: &[Vec3]) -> Vec<Vec3> {
    (0..points.len()).flat_map(|i| [points[i], points[(i + 1) % points.len()]]).collect()
}

/// The kind of stretch that each point lies in; where two meet, the one that may lie less exactly.
fn kinds_of(line: &mouldbench::study::parting::line::TrueLine) -> Vec<StretchKind> {
    let n = line.points.len();
    let mut kinds = vec![StretchKind::Crease; n];
    for undrafted in [false, true] {
        for s in line.stretches.iter().filter(|s| (s.kind == StretchKind::Undrafted) == undrafted) {
            let run = if s.to > s.from { s.to - s.from } else { s.to + n - s.from };
            for i in 0..=run {
                kinds[(s.from + i) % n] = s.kind;
            }
        }
    }
    kinds
}

fn to_segment(p: Vec3, a: Vec3, b: Vec3) -> f32 {
    let d = b - a;
    let t = if d.length_squared() > 0.0 { ((p - a).dot(d) / d.length_squared()).clamp(0.0, 1.0) } else { 0.0 };
    p.distance(a + d * t)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(8))]

    /// Turning part and draw together changes neither lengths nor areas.
    #[test]
    fn turning_changes_no_length(which in 0usize..5, seed in 0u32..40, lean in 0.0f32..0.6) {
        let mesh = match which {
            0 => solids::ball(Vec3::ZERO, 8.0, 3),
            1 => solids::torus(30.0, 10.0, 48, 24),
            2 => belted(40.0, 30.0, (12.0, 3.0), (9.0, 1.0)),
            3 => solids::cylinder(Vec3::ZERO, Vec3::Z * 30.0, 7.0, 20),
            _ => solids::frustum(Vec3::ZERO, Vec3::Z * 20.0, 10.0, 6.0, 40),
        };
        let draw = Vec3::new(lean, 0.3 * lean, 1.0).normalize();
        let turn = some_turn(seed);
        let (one, other) = (part(&mesh, draw), part(&turned(&mesh, turn), turn * draw));
        let length = |f: &PartingFacts| f.lines.iter().map(|l| l.length_mm).sum::<f64>();
        prop_assert!((length(&one) / length(&other) - 1.0).abs() < 2e-3, "{} {}", length(&one), length(&other));
        prop_assert!((one.half_1_mm2 - other.half_1_mm2).abs() < 2e-3 * one.area_mm2());
        prop_assert!((one.undercut_mm2 - other.undercut_mm2).abs() < 2e-3 * one.area_mm2());
    }
}
