//! Several parts in one block: two copies equal twice one, rows, runners that join them, and rubber between them.

use crate::known::Shared;
use glam::{DQuat, DVec3, Quat, Vec3};
use mouldbench::mesh::tree::Tree;
use mouldbench::mesh::{Mesh, solids, write_stl};
use mouldbench::plan::{Gate, Insert, InsertKind, Part, Plan, Pose, Spot, Unit};
use mouldbench::shop::Shop;
use mouldbench::solve::run::Run;
use mouldbench::study::bench::Facts;
use mouldbench::study::findings::{Finding, Remedy, Severity, judge};
use mouldbench::study::job::apart::between;
use mouldbench::study::parting::loop_kind::LoopKind;
use mouldbench::study::propose::{Given, bare_plan, lay_out_with_runners_into, propose};
use mouldbench::study::report::Report;
use mouldbench::study::report::of::report_of;
use std::f64::consts::PI;
use std::path::Path;
use std::sync::Arc;

pub struct Job {
    pub folder: tempfile::TempDir,
    pub bench: Shared,
    pub plan: Plan,
}

impl Job {
    /// Meshes by name, drawn about `away`, in one plan.
    pub fn of(meshes: &[(&str, Mesh)], away: DVec3) -> Job {
        let folder = tempfile::tempdir().expect("a folder");
        let mut plan = Plan::default();
        for (name, mesh) in meshes {
            let file = format!("{name}.stl");
            let mut to = std::fs::File::create(folder.path().join(&file)).expect("made");
            write_stl::write(&mut to, mesh, away).expect("written");
            plan.parts.extend(bare_plan(name, &file, "", Unit::Millimetre).parts);
        }
        plan.parting.draw = DVec3::Z;
        let bench = Shared::on(folder.path(), Shop::bundled());
        Job { folder, bench, plan }
    }

    /// Mesh files of the repository, each once.
    fn of_asset(name: &str) -> Job {
        let job = Job::of(&[], DVec3::ZERO);
        let from = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/assets").join(name);
        std::fs::copy(from, job.folder.path().join(name)).expect("copied");
        let parts = bare_plan("Asset", name, "", Unit::Millimetre).parts;
        let bench = Shared::on(job.folder.path(), Shop::bundled());
        Job { plan: Plan { parts, ..job.plan.clone() }, bench, ..job }
    }

    fn look(&self) -> (Facts, Report, Vec<Finding>) {
        let facts = self.bench.facts(&self.plan, &Run::new()).expect("facts");
        let findings = judge(&self.plan, self.bench.shop(), &facts);
        let report = report_of(&self.plan, self.bench.shop(), &facts, &findings);
        (facts, report, findings)
    }
}

fn pose(turn_about_up: f64, shift: DVec3) -> Pose {
    Pose { rotation: DQuat::from_rotation_z(turn_about_up), translation_mm: shift }
}

fn line_mm(report: &Report) -> f64 {
    report.parting.loops.iter().filter_map(|l| l.length_mm).sum()
}

fn undercut_mm2(report: &Report) -> f64 {
    report.parting.undercuts.iter().map(|u| u.area_mm2).sum()
}

fn near(a: f64, b: f64, share: f64) -> bool {
    (a - b).abs() <= share * b.abs().max(1e-3)
}

/// Awkward meshes, each with one vent-less copy beside it, turned about up; the whole set also shifted so far that `f32` in the
/// set would not do.
#[test]
#[ignore = "long"]
fn long_two_copies_equal_twice_one_in_air_parting_and_shot() {
    let shift = DVec3::new(70_000.3, -20_000.1, 3000.0);
    for name in
        ["tied_towers.stl", "overlapping_bodies.stl", "touching_edge.stl", "plate_with_hole.stl", "far_plate.stl"]
    {
        let mut job = Job::of_asset(name);
        let (_, one, _) = job.look();
        for (turn, all) in [(0.0, DVec3::ZERO), (2.1, shift)] {
            job.plan.parts.truncate(1);
            job.plan.parts[0].pose = pose(0.0, all);
            // About the part's own middle, wherever it was drawn.
            let middle = job.bench.load(name, Unit::Millimetre).expect("read").centre;
            job.plan.copy_part(0, job.plan.parts[0].pose);
            job.plan.turn_part(1, DQuat::from_rotation_z(turn), middle + all);
            let turned = job.plan.parts[1].pose;
            job.plan.move_part(1, pose(turn, turned.translation_mm + DVec3::new(0.0, 90.0, 0.0)));
            let (_, two, _) = job.look();
            assert!(near(two.part.volume_mm3, 2.0 * one.part.volume_mm3, 1e-6), "{name}");
            assert_eq!(two.air.high_points.len(), 2 * one.air.high_points.len(), "{name} turned by {turn}");
            let pockets = |r: &Report| r.air.high_points.iter().map(|p| p.pocket_mm3).sum::<f64>();
            assert!(near(pockets(&two), 2.0 * pockets(&one), 1e-4), "{name}: {} of {}", pockets(&two), pockets(&one));
            assert!(near(two.air.trapped_mm3, 2.0 * one.air.trapped_mm3, 1e-4), "{name}");
            assert!(near(line_mm(&two), 2.0 * line_mm(&one), 2e-3), "{name}: {} {}", line_mm(&two), line_mm(&one));
            assert!(near(undercut_mm2(&two), 2.0 * undercut_mm2(&one), 2e-3), "{name}");
            assert!(near(two.parting.half_1_mm2, 2.0 * one.parting.half_1_mm2, 2e-3), "{name}");
            assert!(near(two.resin.part_g, 2.0 * one.resin.part_g, 1e-5), "{name}");
        }
    }
}

/// A ball of 10 parts along its equator, 2π·10 = 62.83 mm, and holds 4/3·π·10³ = 4188.8 mm³; a drafted box of 30 by 30 mm at
/// its foot parts along that, 120 mm (its frustum of 20 high from half-diagonals 21.2132 to 17.6777 holds
/// 20/3·(30² + 30·25 + 25²) = 15 166.7 mm³).
#[test]
#[ignore = "long"]
fn long_different_parts_add_up_to_their_closed_forms() {
    let ball = || solids::ball(Vec3::ZERO, 10.0, 5);
    let half_diagonal = |side: f32| side * std::f32::consts::FRAC_1_SQRT_2;
    let tapered = solids::frustum(Vec3::ZERO, Vec3::new(0.0, 0.0, 20.0), half_diagonal(30.0), half_diagonal(25.0), 4);
    let mut job = Job::of(&[("ball", ball()), ("box", tapered)], DVec3::new(5000.0, -900.0, 40.0));
    job.plan.copy_part(0, Pose::default());
    job.plan.parts[0].pose = pose(0.4, DVec3::new(-100.0, 3.0, 2.0));
    job.plan.parts[2].pose = pose(-1.3, DVec3::new(120.0, 0.0, 0.0));
    let (facts, report, _) = job.look();
    let line = 2.0 * 2.0 * PI * 10.0 + 120.0;
    assert!(near(line_mm(&report), line, 5e-3), "{} of {line}", line_mm(&report));
    let volume = 2.0 * 4.0 / 3.0 * PI * 1000.0 + 20.0 / 3.0 * (900.0 + 750.0 + 625.0);
    assert!(near(report.part.volume_mm3, volume, 5e-3), "{} of {volume}", report.part.volume_mm3);
    assert!(undercut_mm2(&report) < 0.01 * report.part.area_mm2);
    let bodies: Vec<LoopKind> = report.parting.loops.iter().map(|l| l.kind).collect();
    assert_eq!(bodies, [LoopKind::Parting; 3]);
    assert_eq!(facts.between.len(), 3);
    let names: Vec<&str> = report.parts.iter().map(|p| p.name.as_str()).collect();
    assert_eq!(names, ["ball 1", "box", "ball 2"]);
    let yields: Vec<(&str, u32)> = report.casts.yields.iter().map(|y| (y.kind.as_str(), y.a_shot)).collect();
    assert_eq!(yields, [("ball", 2), ("box", 1)]);
}

/// A cone with a rim, so that its line is plain and its top a peak.
fn hat(radius: f32, tall: f32) -> Mesh {
    solids::frustum(Vec3::ZERO, Vec3::new(0.0, 0.0, tall), radius, radius * 0.3, 48)
}

#[test]
#[ignore = "long"]
fn long_a_proposed_set_gives_every_part_a_gate_and_its_vents_and_one_rod_feeds_all() {
    for (up, draw) in [(DVec3::Z, DVec3::Z), (DVec3::Z, DVec3::Y)] {
        let meshes = [("hat", hat(15.0, 20.0)), ("stud", solids::ball(Vec3::new(40.0, 9.0, -70.0), 11.0, 4))];
        let mut job = Job::of(&meshes, DVec3::new(-3000.0, 800.0, 0.0));
        job.plan.copy_part(0, Pose::default());
        job.plan.copy_part(0, Pose::default());
        let given = Given { up: Some(up), draw: Some(draw) };
        let proposal = propose(&job.bench, &job.plan, given, &Run::new()).expect("a proposal");
        job.plan = proposal.plan;
        let (facts, report, findings) = job.look();
        let (setting, body) = (&facts.setting, facts.body.as_ref().expect("a body"));
        let spoils = |f: &&Finding| f.severity == Severity::Stop || f.code == "channels-close";
        assert!(!findings.iter().any(|f| spoils(&f)), "{findings:?}");

        // Rows: the shop's least rubber between neighbours, everything in one cut.
        let least = job.bench.shop().limits.least_rubber_mm;
        let nearest = report.parts.iter().filter_map(|p| p.to_next_mm).fold(f64::INFINITY, f64::min);
        assert!(nearest > least - 0.01 && nearest < least + 8.0, "{nearest}");
        let parting = facts.parting.as_ref().expect("a parting");
        let mut heights = vec![(0.0, 0.0); job.plan.parts.len()];
        for line in parting.lines.iter().filter(|l| l.kind == LoopKind::Parting) {
            let part = setting.part_at(line.points[0]);
            for p in &line.points {
                heights[part].0 += f64::from(p.dot(draw.as_vec3()));
                heights[part].1 += 1.0;
            }
        }
        let heights: Vec<f64> = heights.iter().map(|h| h.0 / h.1).collect();
        let spread = heights.iter().fold(0.0f64, |s, h| s.max((h - heights[0]).abs()));
        assert!(spread < 1.0, "drawn {draw}: lines lie at {heights:?} along the draw");

        // Feed: one gate a part, one of them up to the cup, all others into it by and by, clear of the parts.
        let gates = &job.plan.feed.gates;
        let mut fed: Vec<usize> = gates.iter().map(|g| g.at.part).collect();
        fed.sort_unstable();
        assert_eq!(fed, [0, 1, 2, 3], "{:?}", proposal.reasons);
        assert_eq!(gates.iter().filter(|g| g.joins.is_none()).count(), 1, "{:?}", proposal.reasons);
        let flow = facts.flow.as_ref().expect("a flow");
        assert!(flow.unreached.is_empty());
        for (i, channel) in setting.channels.gates.iter().enumerate() {
            let apart = (gates[i].runner_diameter_mm / 2.0 + least) as f32 * 0.85 - 0.2;
            for rod in channel.rods.iter().skip(2) {
                let clear = (0..=60).all(|k| !body.tree.is_within(rod.from.lerp(rod.to, k as f32 / 60.0), apart));
                assert!(clear, "gate {} passes a part", gates[i].number);
            }
            let Some(into) = gates[i].joins.and_then(|n| setting.channels.gates.iter().find(|c| c.number == n)) else {
                let top = setting.frames.point_in_box(channel.end()).z;
                assert!((top - setting.block.size_mm.z).abs() < 1e-3, "the standing rod comes to the top");
                continue;
            };
            let on_axis = into.rods.iter().any(|r| {
                let along = (r.to - r.from).normalize();
                let t = (channel.end() - r.from).dot(along).clamp(0.0, r.length_mm() as f32);
                channel.end().distance(r.from + along * t) < 1e-2
            });
            assert!(on_axis, "gate {} ends in the runner of gate {}", gates[i].number, into.number);
        }
        assert!(facts.cut.as_ref().expect("a cut").surface.is_ok(), "one cut opens all");

        // Vents: no part keeps air, and each has its own.
        assert!(report.air.after_let_up_bubble_mm <= job.bench.shop().limits.bubble_mm);
        for part in 0..4 {
            assert!(job.plan.vents.iter().any(|v| v.at.part == part), "part {part} has no vent");
        }
        // The union of runners that join has no room counted twice.
        let cavity = facts.cavity.as_ref().expect("a cavity");
        assert!(cavity.trouble.is_none());
    }
}

/// Laid out again from any heap it comes to the same rows; gates stay where they are on their parts.
#[test]
fn a_set_laid_out_anew_keeps_its_gates_and_stands_the_same() {
    let mut job = Job::of(&[("hat", hat(15.0, 20.0))], DVec3::ZERO);
    job.plan.copy_part(0, Pose::default());
    let given = Given { up: Some(DVec3::Z), draw: Some(DVec3::Z) };
    job.plan = propose(&job.bench, &job.plan, given, &Run::new()).expect("a proposal").plan;
    let before = job.plan.clone();
    let apart = |p: &Plan| (p.parts[1].pose.translation_mm - p.parts[0].pose.translation_mm).length();
    let beside = job.plan.parts[0].pose.translation_mm + DVec3::new(3.0, 4.0, 5.0);
    job.plan.move_part(1, pose(0.0, beside));
    assert!(apart(&job.plan) < 60.0);
    lay_out_with_runners_into(&job.bench, &mut job.plan, &mut Vec::new(), &Run::new()).expect("laid out");
    assert!((apart(&job.plan) - apart(&before)).abs() < 1e-3, "{} {}", apart(&job.plan), apart(&before));
    let spots = |p: &Plan| p.feed.gates.iter().map(|g| g.at).collect::<Vec<Spot>>();
    assert_eq!(spots(&job.plan), spots(&before));
    let (_, report, findings) = job.look();
    assert!(findings.iter().all(|f| f.severity != Severity::Stop), "{findings:?}");
    assert_eq!(report.feed.runners.iter().filter(|r| r.joins.is_some()).count(), 1);
}

fn of(meshes: &[Mesh]) -> Vec<mouldbench::study::job::apart::Between> {
    let trees: Vec<Tree> = meshes.iter().map(Tree::of).collect();
    between(&meshes.iter().cloned().map(Arc::new).collect::<Vec<_>>(), &trees, &Run::new()).expect("measured")
}

fn moved(mesh: &Mesh, turn: Quat, by: Vec3) -> Mesh {
    let mut mesh = mesh.clone();
    mesh.positions.iter_mut().for_each(|p| *p = turn * *p + by);
    mesh
}

/// Closed forms: faces of boxes 4 mm apart; balls of 10 whose middles are 25 apart, 5; two edges crossed at right angles, 3;
/// a corner over a face, 2. Each turned any way.
#[test]
fn rubber_between_parts_is_measured_exactly() {
    let cube = || solids::cuboid(Vec3::splat(-5.0), Vec3::splat(5.0));
    let ball = || solids::ball(Vec3::ZERO, 10.0, 6);
    let edge_up = Quat::from_rotation_x(std::f32::consts::FRAC_PI_4);
    let edge_down = Quat::from_rotation_y(std::f32::consts::FRAC_PI_4);
    let corner_down = Quat::from_rotation_arc(Vec3::ONE.normalize(), Vec3::NEG_Z);
    let (edge, corner) = (5.0 * 2f32.sqrt(), 5.0 * 3f32.sqrt());
    let big = || solids::cuboid(Vec3::new(-50.0, -50.0, -5.0), Vec3::new(50.0, 50.0, 5.0));
    let cases = [
        (cube(), moved(&cube(), Quat::IDENTITY, Vec3::new(14.0, 3.0, -2.0)), 4.0, 1e-4),
        (ball(), moved(&ball(), Quat::from_rotation_z(1.0), Vec3::new(20.0, 15.0, 0.0)), 5.0, 0.02),
        (
            moved(&cube(), edge_up, Vec3::ZERO),
            moved(&cube(), edge_down, Vec3::new(0.7, 0.9, 2.0 * edge + 3.0)),
            3.0,
            1e-3,
        ),
        (big(), moved(&cube(), corner_down, Vec3::new(21.0, -17.0, 5.0 + corner + 2.0)), 2.0, 1e-4),
    ];
    for (a, b, wanted, within) in cases {
        for turn in [Quat::IDENTITY, Quat::from_euler(glam::EulerRot::XYZ, 0.4, -1.2, 2.0)] {
            let by = Vec3::new(30.0, -12.0, 7.0);
            let found = of(&[moved(&a, turn, by), moved(&b, turn, by)]);
            assert_eq!(found.len(), 1);
            assert!(!found[0].overlap);
            assert!((found[0].distance_mm - wanted).abs() < within, "{} for {wanted}", found[0].distance_mm);
        }
    }
    // In each other: through each other, one within the other, a thin plate through a ball without a vertex inside.
    let plate = || solids::cuboid(Vec3::new(-30.0, -30.0, -1.0), Vec3::new(30.0, 30.0, 1.0));
    for (a, b) in [
        (cube(), moved(&cube(), Quat::from_rotation_z(0.3), Vec3::new(6.0, 0.0, 0.0))),
        (ball(), moved(&cube(), Quat::IDENTITY, Vec3::ZERO)),
        (ball(), plate()),
    ] {
        assert!(of(&[a.clone(), b.clone()])[0].overlap && of(&[b, a])[0].overlap);
    }
    // On each other: no rubber, and no overlap to speak of.
    let touching = of(&[cube(), moved(&cube(), Quat::IDENTITY, Vec3::new(10.0, 0.0, 0.0))])[0];
    assert!(touching.distance_mm < 1e-4);
    assert!(of(&[cube(), cube()])[0].distance_mm < 1e-4);
}

#[test]
#[ignore = "long"]
fn long_parts_too_near_or_in_each_other_are_told_with_what_to_do() {
    let said = |shift: f64| {
        let mut job = Job::of(&[("cube", solids::cuboid(Vec3::ZERO, Vec3::splat(20.0)))], DVec3::ZERO);
        job.plan.copy_part(0, pose(0.0, DVec3::new(shift, 0.0, 0.0)));
        let findings = job.look().2;
        findings.into_iter().find(|f| f.code.starts_with("parts-"))
    };
    assert_eq!(said(30.0), None);
    let near = said(24.0).expect("too near");
    assert_eq!((near.severity, near.code), (Severity::Warn, "parts-near"));
    assert!(near.message.contains("4.0 mm") && near.message.contains("10.0 mm"), "{}", near.message);
    assert!(near.message.contains("cube 1") && near.message.contains("cube 2"));
    assert_eq!(near.remedies, [Remedy::LayOutSet]);
    // 20 wide and 15 along: 5 of the other must go, and 10 of rubber come between.
    let over = said(15.0).expect("in each other");
    assert_eq!((over.severity, over.code), (Severity::Stop, "parts-overlap"));
    assert!(over.message.contains("15.0 mm"), "{}", over.message);
    for touching in [20.0, 0.0] {
        assert_eq!(said(touching).expect("touching").severity, Severity::Stop);
    }
}

/// By hand: gate 2 runs 20 mm into gate 1's runner, of which 10 mm lie before and 30 + the rise behind the place; the piece
/// that both use counts twice.
#[test]
fn the_way_from_the_cup_counts_who_drinks_through_each_stretch() {
    let mut job = Job::of(&[("cube", solids::cuboid(Vec3::ZERO, Vec3::splat(20.0)))], DVec3::ZERO);
    let at = |y: f64| Spot { part: 0, position: DVec3::new(20.0, y, 10.0), normal: DVec3::X };
    let gate = |number, y, runner, joins| Gate {
        number,
        at: at(y),
        diameter_mm: 6.0,
        runner_diameter_mm: 6.0,
        runner,
        joins,
        ..Gate::default()
    };
    job.plan.feed.gates = vec![
        gate(4, 2.0, vec![DVec3::new(40.0, 2.0, 10.0), DVec3::new(40.0, 42.0, 10.0)], None),
        gate(7, 12.0, vec![DVec3::new(34.0, 12.0, 10.0)], Some(4)),
        gate(9, 18.0, vec![], Some(7)),
    ];
    let setting = job.bench.setting(&job.plan).expect("a setting");
    let channels = &setting.channels;
    let rise = setting.block.size_mm.z - setting.frames.point_in_box(channels.gates[0].mouth()).z;
    // Gate 7: 10 + 10 to X = 40 at Y = 12, ten on the way of gate 4's second leg.
    assert!((channels.gates[1].length_mm() - 20.0).abs() < 1e-3);
    // Gate 9 stands on the part's face at X = 20 and goes straight to the nearest place of 7's axis, 6 mm along the face.
    assert!((channels.gates[2].length_mm() - 6.0).abs() < 1e-3);
    let used = |i: usize, by: usize| {
        channels.way_from_cup(i).iter().filter(|s| s.gates == by).map(|s| s.length_mm).sum::<f64>()
    };
    assert!(
        (used(0, 1) - 30.0).abs() < 1e-3 && (used(0, 3) - (30.0 + rise)).abs() < 1e-3,
        "{:?}",
        channels.way_from_cup(0)
    );
    assert!((used(1, 3) - (30.0 + rise)).abs() < 1e-3, "{:?}", channels.way_from_cup(1));
    assert!((used(1, 2) - 20.0).abs() < 1e-3);
    assert!((used(2, 1) - 6.0).abs() < 1e-3 && (used(2, 2) - 20.0).abs() < 1e-3);
    assert_eq!(channels.at_cup(2).map(|c| c.number), Some(4));
    // What joins another holds nothing up at the beam.
    let facts = Facts::only(setting);
    let rods = mouldbench::study::numbers::hanging::rods(&job.plan, &facts.for_numbers());
    assert_eq!(rods.iter().map(|r| r.what.as_str()).collect::<Vec<_>>(), ["gate 4"]);
}

/// A rod of `long` mm along X, square of 4 mm, of twelve triangles.
fn rod(long: f32) -> Mesh {
    solids::cuboid(Vec3::new(-0.5 * long, -2.0, -2.0), Vec3::new(0.5 * long, 2.0, 2.0))
}

/// A long rod turned in the plan, and a cube off its middle inside the box round the rod. The cube's corners are nearer to the
/// middle of the rod's walls than the rod's own corners are, so vertices would tell the wrong part; every place of either
/// surface belongs to the part that it is on.
#[test]
fn a_place_belongs_to_the_part_whose_surface_it_is_on() {
    let cube = solids::cuboid(Vec3::splat(-3.0), Vec3::splat(3.0));
    let mut job = Job::of(&[("rod", rod(160.0)), ("cube", cube)], DVec3::new(900.0, 0.0, -400.0));
    let turn = DQuat::from_axis_angle(DVec3::new(0.1, 0.2, 1.0).normalize(), 0.8);
    let about = DVec3::new(900.0, 0.0, -400.0);
    job.plan.turn_part(0, turn, about);
    job.plan.parts[1].pose.translation_mm = turn * DVec3::new(25.0, 9.0, 0.0);
    let setting = job.bench.setting(&job.plan).expect("read");
    let [rod, cube] = [&setting.placed.bounds[0], &setting.placed.bounds[1]];
    assert!(rod.min.cmple(cube.min).all() && rod.max.cmpge(cube.max).all(), "one box holds the other");
    for (i, mesh) in setting.placed.meshes.iter().enumerate() {
        for t in 0..mesh.triangles.len() {
            let [a, b, c] = mesh.corners(t);
            for (u, v) in [(0.3, 0.3), (0.5, 0.48), (0.1, 0.8)] {
                assert_eq!(setting.part_at(a + (b - a) * u + (c - a) * v), i, "triangle {t} of part {i}");
            }
        }
    }
}

/// What stands between the parts is measured when a part is moved, not when an insert is; the way past an insert is measured
/// when the insert is moved, and not for every judgement.
#[test]
#[ignore = "long"]
fn long_an_insert_that_is_moved_leaves_the_parts_where_they_are() {
    let mut job = Job::of(&[("hat", hat(15.0, 20.0)), ("ball", solids::ball(Vec3::ZERO, 11.0, 3))], DVec3::ZERO);
    job.plan.parts[1].pose = pose(0.0, DVec3::new(40.0, 0.0, 8.0));
    let at = Spot { part: 0, position: DVec3::new(0.0, 0.0, 20.0), normal: DVec3::Z };
    let kind = InsertKind::Pin { diameter_mm: 3.0, length_mm: 9.0 };
    job.plan.inserts.push(Insert { kind, at, ..crate::study::ways_up::set_hung::pin() });
    let (before, _, _) = job.look();
    assert_eq!((before.between.len(), before.passages.len()), (1, 1));
    let expected = 40.0 - 15.0 - 11.0;
    assert!(before.between[0].distance_mm > expected - 0.5, "{:?}", before.between);
    job.plan.notes = "nothing of the geometry".into();
    let (same, _, _) = job.look();
    assert!(Arc::ptr_eq(&before.passages, &same.passages) && Arc::ptr_eq(&before.between, &same.between));
    job.plan.inserts[0].at.position.x = 1.5;
    let (moved, _, _) = job.look();
    assert!(Arc::ptr_eq(&before.between, &moved.between) && !Arc::ptr_eq(&before.passages, &moved.passages));
    assert!(
        moved.passages[0].expect("resin round it").gap_mm < before.passages[0].expect("resin round it").gap_mm - 1.0
    );
    job.plan.parts[1].pose = pose(0.0, DVec3::new(50.0, 0.0, 8.0));
    let (apart, _, _) = job.look();
    assert!((apart.between[0].distance_mm - before.between[0].distance_mm - 10.0).abs() < 0.5);
}

/// A second mesh is read in the unit of the first, unless no part is of such a size; one that the plan holds already in its own.
#[test]
fn a_second_mesh_is_read_in_the_unit_of_the_first() {
    let meshes = [
        ("bar", rod(60.0)),
        ("peg", rod(5.0)),
        ("stud", solids::cuboid(Vec3::ZERO, Vec3::new(0.4, 0.4, 1.4))),
        ("beam", rod(900.0)),
    ];
    let mut job = Job::of(&meshes, DVec3::ZERO);
    let all = std::mem::take(&mut job.plan.parts);
    let read = |job: &Job, name: &str| {
        let (loaded, said) = job.bench.load_beside(name, &job.plan).expect("read");
        (loaded.unit, said)
    };
    job.plan.parts = vec![all[0].clone()];
    assert_eq!(read(&job, "peg.stl"), (Unit::Millimetre, "peg.stl is read in millimetres, as bar is".to_owned()));
    // 1.4 mm is no part; 1.4 inches are.
    let (unit, said) = read(&job, "stud.stl");
    assert!(unit == Unit::Inch && said.ends_with("so it is read in inches"), "{said}");
    job.plan.parts[0].unit = Unit::Inch;
    assert_eq!(read(&job, "peg.stl").0, Unit::Inch, "as the plan's first, not as its size alone suggests");
    assert_eq!(read(&job, "bar.stl").0, Unit::Inch);
    // 900 inches would be nearly 23 m.
    let (unit, said) = read(&job, "beam.stl");
    assert!(
        unit == Unit::Millimetre && said.starts_with("In inches, as bar is read, beam.stl would be 22860.0 mm"),
        "{said}"
    );
    // What a person said of the same mesh holds for one more of it.
    job.plan.parts.push(Part { unit: Unit::Millimetre, ..all[1].clone() });
    assert_eq!(read(&job, "peg.stl").0, Unit::Millimetre);
}
