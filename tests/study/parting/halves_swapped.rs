//! Swapping the halves swaps names and sides and nothing else: line, lengths, areas, undercuts, cut, keys and findings are
//! those of before to the last digit, told with the other half's name.

use super::shapes::{drilled_cube, revolved, some_turn, turned};
use glam::{DVec3, Quat, Vec3};
use mouldbench::mesh::{Mesh, solids, write_stl};
use mouldbench::plan::*;
use mouldbench::shop::Shop;
use mouldbench::solve::run::Run;
use mouldbench::study::bench::{Bench, Facts};
use mouldbench::study::findings::{Finding, judge};
use mouldbench::study::parting::Wish;
use mouldbench::study::parting::cut::surface::CutSurface;
use mouldbench::study::parting::hand::PinPoint;
use mouldbench::study::parting::release::wish::moved_shut_off;
use mouldbench::study::propose::bare_plan;
use std::collections::BTreeMap;

/// Far from the origin, as parts of a larger drawing are.
const FAR: DVec3 = DVec3::new(900.0, -400.0, 70.0);

struct Job {
    folder: tempfile::TempDir,
    plan: Plan,
}

impl Job {
    fn new(mesh: &Mesh, draw: DVec3) -> Job {
        let folder = tempfile::tempdir().expect("a folder");
        let mut file = std::fs::File::create(folder.path().join("part.stl")).expect("made");
        write_stl::write(&mut file, mesh, FAR).expect("written");
        let mut plan = bare_plan("Part", "part.stl", "", Unit::Millimetre);
        plan.parting.draw = draw.normalize();
        plan.hang = Hang { rubber: Attitude { up: DVec3::Y, turn: 0.3 }, cast: None, ..Hang::default() };
        Job { folder, plan }
    }

    fn spot(at: DVec3, normal: DVec3) -> Spot {
        Spot { part: 0, position: FAR + at, normal: normal.normalize() }
    }

    fn pin(mut self, at: DVec3, normal: DVec3) -> Job {
        self.plan.parting.pins.push(Pin { at: Job::spot(at, normal) });
        self
    }

    /// On a bench of its own, so that nothing is remembered.
    fn facts(&self, plan: &Plan) -> (Facts, Vec<Finding>) {
        let bench = Bench::new(Shop::bundled().clone(), []);
        bench.set_folder(Some(self.folder.path()));
        let run = Run::new();
        let mut facts = bench.quick_facts(plan, &run).expect("facts");
        let body = facts.body.clone().expect("a body");
        let setting = facts.setting.clone();
        facts.parting = Some(bench.parting(plan, &setting, &body, &run).expect("a parting"));
        facts.release = Some(bench.release(plan, &setting, &body, &run).expect("a release"));
        facts.rubber = Some(bench.rubber(plan, &setting, &body, &run).expect("rubber"));
        facts.holds = Some(bench.holds(plan, &setting, &body, &run).expect("holds"));
        facts.cut = Some(bench.cut(plan, &setting, &body, &run).expect("a cut"));
        facts.shape = Some(bench.shape(plan, &setting, &body, &run).expect("a shape"));
        let findings = judge(plan, bench.shop(), &facts);
        (facts, findings)
    }
}

type Bits = [u32; 3];

fn bits(p: Vec3) -> Bits {
    p.to_array().map(f32::to_bits)
}

/// Steps of closed or open chains whichever way round they are told.
fn steps<'a>(chains: impl Iterator<Item = (&'a [Vec3], bool)>) -> Vec<[Bits; 2]> {
    let mut all = Vec::new();
    for (points, closed) in chains {
        let n = points.len();
        for i in 0..if closed { n } else { n - 1 } {
            let mut step = [bits(points[i]), bits(points[(i + 1) % n])];
            step.sort_unstable();
            all.push(step);
        }
    }
    all.sort_unstable();
    all
}

/// The sides of the triangles that each half has: a place and the half.
fn sides(facts: &Facts, exchanged: bool) -> BTreeMap<Bits, bool> {
    let split = &facts.parting.as_ref().expect("a parting").split;
    let middle = |t: usize| {
        let [a, b, c] = split.mesh.corners(t);
        bits((a + b + c) / 3.0)
    };
    (0..split.halves.len()).map(|t| (middle(t), (split.halves[t] == Half::One) != exchanged)).collect()
}

/// Words with the halves' names exchanged.
fn exchanged(words: &str) -> String {
    words.replace("alf 1", "alf @").replace("alf 2", "alf 1").replace("alf @", "alf 2")
}

fn told(findings: &[Finding], exchange: bool) -> Vec<String> {
    let mut told: Vec<String> = findings
        .iter()
        .map(|f| {
            let place = f.place.map(bits);
            let words =
                format!("{:?} {} {:?} {} {} {} {place:?}", f.severity, f.code, f.step, f.message, f.why, f.remedy);
            if exchange { exchanged(&words) } else { words }
        })
        .collect();
    told.sort();
    told
}

/// Triangles of the cut by their places, facing half 1; turned over where the names are to be exchanged.
fn cut_triangles(cut: &CutSurface, exchange: bool) -> Vec<[Bits; 3]> {
    let mut all: Vec<[Bits; 3]> = cut
        .triangles
        .iter()
        .map(|&[a, b, c]| {
            let corners = if exchange { [a, c, b] } else { [a, b, c] };
            let mut places = corners.map(|v| bits(cut.positions[v as usize]));
            let first = (0..3).min_by_key(|&i| places[i]).unwrap_or(0);
            places.rotate_left(first);
            places
        })
        .collect();
    all.sort_unstable();
    all
}

fn other(half: Half, exchange: bool) -> Half {
    if exchange { half.other() } else { half }
}

/// Everything that must be the same, as words; the halves' names exchanged where that is asked.
fn figures(facts: &Facts, exchange: bool) -> Vec<String> {
    let mut all = Vec::new();
    let parting = facts.parting.as_ref().expect("a parting");
    let mut areas = [parting.half_1_mm2, parting.half_2_mm2];
    let mut hidden = [&parting.visibility.from_one, &parting.visibility.from_two].map(|h| h.iter().sum::<f32>());
    if exchange {
        areas.reverse();
        hidden.reverse();
    }
    all.push(format!("{areas:?} {hidden:?} {} {}", parting.undercut_mm2, parting.hidden_from_both_mm2));
    all.push(format!("energy {}", parting.energy_mm));
    for line in &parting.lines {
        let mut kinds: Vec<String> = line.stretches.iter().map(|s| format!("{:?}", s.kind)).collect();
        kinds.sort();
        all.push(format!("{:?} {} {} {kinds:?}", line.kind, line.body, line.length_mm));
    }
    for core in &parting.locked {
        let half = other(core.half, exchange);
        all.push(format!("locked {half:?} {} {:?} {:?}", core.handles, core.at, core.tunnels));
    }
    let release = facts.release.as_ref().expect("a release");
    for u in release.undercuts.iter() {
        let half = other(u.half, exchange);
        all.push(format!("{half:?} {} {} {} {:?} {}", u.area_mm2, u.depth_mm, u.height_mm, u.form, bits(u.middle)[0]));
    }
    for s in &release.shut_offs {
        let plug = other(s.plug, exchange);
        let hole = s.hole.as_ref().map(|h| {
            let sign = if exchange { -1.0 } else { 1.0 };
            let (mut ends, mut reach) = (h.from_ends_mm, h.reach_mm.map(|r| r * sign));
            if exchange {
                ends.reverse();
                reach.reverse();
            }
            format!("{} {} {reach:?} {ends:?}", h.axis * sign, h.moved_mm * sign)
        });
        all.push(format!("shut-off {plug:?} {} {} {:?} {hole:?}", s.length_mm, s.reach_mm, s.decided));
    }
    for p in &facts.rubber.as_ref().expect("rubber").pieces {
        let half = other(p.half, exchange);
        all.push(format!("rubber {half:?} {:?} {} {} {}", p.kind, p.thickness_mm, p.length_mm, p.tip));
    }
    for h in facts.holds.as_ref().expect("holds").iter() {
        let half = h.half.map(|h| other(h, exchange));
        all.push(format!("insert {half:?} {:?} {}", h.room_mm, h.to_line_mm));
    }
    let cut = facts.cut.as_ref().expect("a cut");
    all.push(format!("{:?} {:?} {:?} {}", cut.no_sheet(), cut.knife_depth_mm, cut.least_rubber, cut.tape_mm));
    all.push(format!("{:?}", cut.marks));
    all.push(format!("{:?} {:?} {:?}", cut.sides, cut.given_over, cut.metal));
    if let Ok(surface) = &cut.surface {
        let frame = &surface.frame;
        for key in &cut.keys {
            let at = bits(frame.work(key.at.extend(0.0)));
            all.push(format!("key {at:?} {} {} {}", key.wall, key.length_mm, key.crest != exchange));
        }
        let along = frame.w * if exchange { -1.0 } else { 1.0 };
        assert!((frame.u.cross(frame.v) - frame.w).length() < 1e-12, "right-handed");
        all.push(format!("draw {along} {} of {:?}", frame.u, surface.patches));
    }
    let pushed = facts.shape.as_ref().map(|s| format!("{:?}", s.pushed_mm2));
    all.push(format!("{pushed:?}"));
    all.sort();
    all
}

fn only_names_change(name: &str, job: &Job) {
    let mut swapped = job.plan.clone();
    swapped.swap_halves();
    assert_ne!(swapped, job.plan, "{name}");
    let mut back = swapped.clone();
    back.swap_halves();
    assert_eq!(back, job.plan, "{name}: twice is nothing");

    let (before, found) = job.facts(&job.plan);
    let (after, found_after) = job.facts(&swapped);
    let lines = |facts: &Facts| {
        steps(facts.parting.as_ref().expect("a parting").lines.iter().map(|l| (&l.points[..], l.closed)))
    };
    assert_eq!(lines(&before), lines(&after), "{name}: the line");
    assert_eq!(sides(&before, false), sides(&after, true), "{name}: sides");
    for (a, b) in figures(&before, false).iter().zip(&figures(&after, true)) {
        assert_eq!(a, b, "{name}");
    }
    assert_eq!(figures(&before, false).len(), figures(&after, true).len(), "{name}");
    assert_eq!(told(&found, false), told(&found_after, true), "{name}: findings");
    let [one, two] = [&before, &after].map(|f| f.cut.as_ref().expect("a cut").surface.clone());
    match (one, two) {
        (Ok(one), Ok(two)) => {
            assert_eq!(cut_triangles(&one, false), cut_triangles(&two, true), "{name}: the cut");
        }
        (one, two) => assert_eq!(one.err(), two.err(), "{name}: the cut"),
    }
    // What a loop promises holds on both sides: half 1 on its left.
    for facts in [&before, &after] {
        let parting = facts.parting.as_ref().expect("a parting");
        for l in &parting.loops {
            for (i, &(f, k)) in l.edges.iter().enumerate() {
                assert_eq!(parting.halves[f as usize], Half::One, "{name}");
                assert_eq!(parting.surface.ends(f as usize, k as usize)[0], l.points[i], "{name}");
            }
        }
        for line in &parting.lines {
            let n = line.points.len();
            let covered: usize = line.stretches.iter().map(|s| (s.to + n - s.from - 1) % n + 1).sum();
            assert_eq!(covered, if line.closed { n } else { n - 1 }, "{name}: {:?}", line.stretches);
        }
    }
}

/// A cup, open upwards, with a level rim 3 mm wide.
fn cup() -> Mesh {
    revolved(&[(0.0, 0.0), (14.0, 0.0), (15.0, 20.0), (12.0, 20.0), (11.0, 3.0), (0.0, 3.0)], 48)
}

/// A ball with pins off its great circle, drawn level and obliquely, with an insert that a half was given.
#[test]
fn of_a_pinned_ball_only_names_change() {
    let ball = solids::ball(Vec3::ZERO, 20.0, 3);
    for draw in [DVec3::Z, DVec3::new(-0.4, -0.7, 0.2)] {
        let out = DVec3::new(0.6, 0.3, 0.4).normalize();
        let mut job = Job::new(&ball, draw).pin(out * 19.9, out).pin(-DVec3::X * 19.9, -DVec3::X);
        job.plan.inserts.push(Insert {
            number: 1,
            name: String::new(),
            kind: InsertKind::Pin { diameter_mm: 3.0, length_mm: 10.0 },
            at: Job::spot(draw.normalize() * 20.0, draw),
            in_pocket_mm: 5.0,
            pocket: PocketMade::DummyOnMaster,
            stays: true,
            threads: Threads::None,
            half: Some(Half::Two),
            density_g_cm3: None,
            hottest_c: None,
        });
        only_names_change("ball", &job);
    }
}

/// A cup whose line was dragged to its rim, drawn upright and level.
#[test]
#[ignore = "long"]
fn long_of_a_cup_pinned_at_its_rim_only_names_change() {
    for (draw, at) in [(DVec3::Z, DVec3::new(15.0, 0.0, 20.0)), (DVec3::X, DVec3::new(0.0, 15.0, 20.0))] {
        only_names_change("cup", &Job::new(&cup(), draw).pin(at, DVec3::new(at.x, at.y, 0.0)));
    }
}

/// A drilled cube, turned, with a mark, a shown face and its shut-off moved along the hole; and parted by a plane.
#[test]
#[ignore = "long"]
fn long_of_a_drilled_cube_with_hand_work_only_names_change() {
    let turn = some_turn(3);
    let along = (turn * Vec3::Z).as_dvec3();
    let cube = turned(&drilled_cube(40.0, 10.0, 32), turn);
    let middle = cube.bounds().centre().as_dvec3();
    let side = (turn * Vec3::X).as_dvec3();
    for plane in [false, true] {
        let mut job = Job::new(&cube, along);
        if plane {
            job.plan.parting.plane_mm = Some((middle + FAR).dot(along) + 3.0);
        } else {
            let stroke = |out: DVec3, up: f64| vec![Job::spot(middle + out * 20.0 + along * up, out)];
            let mark = HalfMark { half: Half::Two, stroke: stroke(side, 12.0), radius_mm: 5.0 };
            job.plan.parting.marks.push(mark);
            let shown = ShownSurface { stroke: stroke(-side, -10.0), radius_mm: 6.0, ..ShownSurface::default() };
            job.plan.shown.push(shown);
            let (facts, _) = job.facts(&job.plan);
            let hole = facts.release.as_ref().expect("a release").shut_offs[0].hole.clone().expect("a hole");
            let to_mm = f64::from(hole.reach_mm[0] + 0.3 * (hole.reach_mm[1] - hole.reach_mm[0]));
            let spot = |p: Vec3, n: Vec3| facts.setting.frames.spot_from_work(0, p, n);
            let surface = &facts.parting.as_ref().expect("a parting").surface;
            let choice = moved_shut_off(surface, &hole, to_mm, Separation::Cut, spot).expect("within the hole");
            job.plan.parting.shut_offs.push(choice);
        }
        only_names_change(if plane { "cube by a plane" } else { "cube" }, &job);
    }
}

/// Ties everywhere: a ring whose great circles are as good as each other, and a tower block with equal heights, held to a
/// loop that a person drew.
#[test]
#[ignore = "long"]
fn long_where_everything_ties_only_names_change() {
    let ring = solids::torus(20.0, 5.0, 40, 16);
    only_names_change("ring", &Job::new(&ring, DVec3::Y));
    let block = solids::cuboid(Vec3::ZERO, Vec3::new(30.0, 20.0, 24.0));
    let mut job = Job::new(&block, DVec3::Z);
    let at = |x: f64, y: f64, n: DVec3| Job::spot(DVec3::new(x, y, 9.0), n);
    let points =
        vec![at(0.0, 10.0, -DVec3::X), at(15.0, 0.0, -DVec3::Y), at(30.0, 10.0, DVec3::X), at(15.0, 20.0, DVec3::Y)];
    job.plan.parting.held_loops.push(HeldLoop { points });
    only_names_change("block", &job);
}

/// The rim of a cup that the line is pinned to goes with the half that is drawn off over it, whatever that half is
/// called, and the line stays round: its length is that of the polygon of 48 sides, 2·n·r·sin(π/n).
#[test]
fn a_line_pinned_to_a_rim_stays_round_whatever_the_halves_are_called() {
    let n = 48.0f64;
    let round = 2.0 * n * 15.0 * (std::f64::consts::PI / n).sin();
    for turn in [Quat::IDENTITY, some_turn(5)] {
        let cup = turned(&cup(), turn);
        for draw in [turn * Vec3::Z, turn * -Vec3::Z] {
            let pins = vec![PinPoint { at: turn * Vec3::new(15.0, 0.0, 20.0), normal: turn * Vec3::X }];
            let facts = super::whole::part_as_wished(&cup, &Wish { pins, ..Wish::along(draw) });
            let length = facts.lines[0].length_mm;
            assert!((length - round).abs() < 0.05, "{length} for {round}, drawn along {draw}");
        }
    }
}
