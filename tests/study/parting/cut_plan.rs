//! The cut of whole plans: channels in it and beside it, metal in its way, and what is said about it.

use crate::known::Shared;
use glam::{DVec2, DVec3, Vec3};
use mouldbench::mesh::check::MeshCheck;
use mouldbench::mesh::measure::Measures;
use mouldbench::mesh::{Mesh, solids, write_stl};
use mouldbench::plan::*;
use mouldbench::shop::Shop;
use mouldbench::solve::run::Run;
use mouldbench::study::bench::Facts;
use mouldbench::study::findings::{Finding, Severity, judge};
use mouldbench::study::parting::cut::CutError;
use mouldbench::study::parting::cut::channels::Which;
use mouldbench::study::parting::cut::hooks::Hook;
use mouldbench::study::parting::cut::through::{Trees, Views};
use mouldbench::study::propose::bare_plan;
use std::sync::Arc;

const FAR: DVec3 = DVec3::new(400.0, -700.0, 90.0);

struct Job {
    folder: tempfile::TempDir,
    plan: Plan,
}

/// A ball of radius 20 drawn along Z in a block that hangs with Y up, so that the cut stands upright in it.
fn ball() -> Job {
    let mesh = solids::ball(FAR.as_vec3(), 20.0, 3);
    let folder = tempfile::tempdir().expect("a folder");
    let mut file = std::fs::File::create(folder.path().join("part.stl")).expect("made");
    write_stl::write(&mut file, &mesh, DVec3::ZERO).expect("written");
    let mut plan = bare_plan("Ball", "part.stl", "", Unit::Millimetre);
    plan.parting.draw = DVec3::Z;
    plan.hang = Hang { rubber: Attitude { up: DVec3::Y, turn: 0.0 }, cast: None, ..Hang::default() };
    Job { folder, plan }
}

impl Job {
    /// A gate on the ball's side at height `z` over its middle, its runner level and then up.
    fn gate(mut self, z: f64) -> Job {
        let at = DVec3::new((400.0 - z * z).sqrt(), 0.0, z);
        self.plan.feed.gates.push(Gate {
            number: 1,
            at: Spot { part: 0, position: FAR + at, normal: at / 20.0 },
            diameter_mm: 4.0,
            runner: vec![FAR + at + DVec3::X * 11.0],
            runner_diameter_mm: 6.0,
            ..Gate::default()
        });
        self
    }

    fn vent(mut self) -> Job {
        let at = Spot { part: 0, position: FAR + DVec3::Y * 20.0, normal: DVec3::Y };
        self.plan.vents.push(Vent { number: 1, at, diameter_mm: 1.5, ..Vent::default() });
        self
    }

    fn pin(mut self, out: DVec3) -> Job {
        self.plan.inserts.push(Insert {
            number: 7,
            name: String::new(),
            kind: InsertKind::Pin { diameter_mm: 4.0, length_mm: 16.0 },
            at: Spot { part: 0, position: FAR + out * 20.0, normal: out },
            in_pocket_mm: 8.0,
            pocket: PocketMade::DummyOnMaster,
            stays: true,
            threads: Threads::None,
            half: None,
            density_g_cm3: None,
            hottest_c: None,
        });
        self
    }

    fn bench(&self) -> Shared {
        Shared::on(self.folder.path(), Shop::bundled())
    }

    fn judged(&self) -> (Facts, Vec<Finding>) {
        let bench = self.bench();
        let facts = bench.facts(&self.plan, &Run::new()).expect("facts");
        let findings = judge(&self.plan, bench.shop(), &facts);
        (facts, findings)
    }
}

fn of<'a>(findings: &'a [Finding], code: &str) -> Vec<&'a Finding> {
    findings.iter().filter(|f| f.code == code).collect()
}

#[test]
fn a_runner_in_the_plane_of_the_line_lies_in_the_cut() {
    let (facts, findings) = ball().gate(0.0).vent().judged();
    let cut = facts.cut.expect("a cut");
    assert!(cut.off_cut.is_empty(), "{:?}", cut.off_cut);
    // Through the knife, at the deepest station of the first wall that is cut.
    let wall = cut.marks.iter().find(|w| !w.lines.is_empty()).expect("a wall that is cut");
    let stations = wall.lines[0].stations.iter();
    let station = stations.max_by(|a, b| a.depth_mm.total_cmp(&b.depth_mm)).expect("stations");
    let surface = cut.surface.as_ref().expect("a surface");
    let trees = Trees::of(surface, &facts.setting);
    let views = Views::new(surface, &cut.block, &facts.setting, &trees);
    let through = views.at(wall.wall, station.at_mm);
    let section = &through.section;
    assert_eq!((section.depth_mm, section.to_part), (station.depth_mm, station.to_part));
    assert!(section.metal.is_none() && through.metal.is_empty() && section.path.len() > 3);
    // The blade starts at the wall and ends on the ball's outline, a circle.
    let end = *through.blade.last().expect("a blade");
    assert!(through.blade[0].length() < 1e-2 && (end.x - section.depth_mm).abs() < 1e-2);
    let part = || through.part.iter().flatten().copied().chain([end]);
    let low = part().fold(DVec2::INFINITY, |a, p| a.min(p));
    let high = part().fold(DVec2::NEG_INFINITY, |a, p| a.max(p));
    let (middle, radius) = (0.5 * (low + high), 0.5 * (high - low).max_element());
    assert!(radius > 5.0 && radius < 20.1, "radius {radius}, from {low} to {high}, the blade ends at {end}");
    assert!(through.part.len() > 20);
    for p in part() {
        assert!((p.distance(middle) - radius).abs() < 0.4, "{p} is {} mm off the middle", p.distance(middle));
    }
    // The block round it, from this wall to the far one.
    let far = through.block.iter().flatten().map(|p| p.x).fold(f64::NEG_INFINITY, f64::max);
    let near = through.block.iter().flatten().map(|p| p.x).fold(f64::INFINITY, f64::min);
    assert!(near.abs() < 1e-2 && far > high.x + 5.0, "from {near} to {far}");
    // Along all entry lines: from the first place to the last, and never beyond.
    let lines: f64 = cut.marks.iter().flat_map(|w| &w.lines).map(|l| l.line.length_mm()).sum();
    assert!((cut.entry_mm() - lines).abs() < 1e-9);
    assert_eq!(cut.entry_at(0.0), Some((wall.wall, wall.lines[0].line.points[0])));
    assert_eq!(cut.entry_at(1e9).map(|e| e.0), cut.marks.iter().rev().find(|w| !w.lines.is_empty()).map(|w| w.wall));
    assert!(of(&findings, "channel-off-cut").is_empty());
    assert!(of(&findings, "cut-missing").is_empty());
    assert!(of(&findings, "blade-meets-metal").is_empty());
    // The sheet passes both along the level runner and up the standing rod, or the rod is pulled: either way its wave
    // keeps off both.
    assert!((cut.tape_mm / (40.0 * std::f64::consts::PI) - 1.0).abs() < 0.35, "{} mm of tape", cut.tape_mm);
}

#[test]
fn a_bent_runner_far_beside_the_line_is_a_stop() {
    let (facts, findings) = ball().gate(16.0).judged();
    let cut = facts.cut.expect("a cut");
    let [off] = cut.off_cut[..] else { panic!("{:?}", cut.off_cut) };
    assert_eq!(off.which, Which::Gate(1));
    assert!(off.off_mm > 5.0 && off.off_mm < 19.0, "{}", off.off_mm);
    let [stop] = of(&findings, "channel-off-cut")[..] else { panic!("one finding") };
    assert_eq!(stop.severity, Severity::Stop);
    assert!(stop.message.contains("gate 1") && stop.place.is_some(), "{}", stop.message);
}

#[test]
#[ignore = "long"]
fn long_metal_in_the_way_of_the_blade_is_a_stop_and_metal_beside_it_is_not() {
    let (_, findings) = ball().pin(DVec3::X).judged();
    let [stop] = of(&findings, "blade-meets-metal")[..] else { panic!("{findings:#?}") };
    assert_eq!(stop.severity, Severity::Stop);
    assert!(stop.message.contains("insert 7"), "{}", stop.message);
    let (_, findings) = ball().pin(DVec3::Z).judged();
    assert!(of(&findings, "blade-meets-metal").is_empty());
}

#[test]
#[ignore = "long"]
fn long_a_short_blade_and_a_narrow_block_are_told() {
    let mut job = ball();
    let (_, findings) = job.judged();
    assert!(of(&findings, "knife-short").is_empty());
    assert!(of(&findings, "keys-no-room").is_empty(), "{:?}", of(&findings, "keys-no-room"));
    assert!(of(&findings, "cut-thin").is_empty());
    job.plan.block =
        BlockPlan { wall_mm: Some(80.0), below_mm: Some(80.0), above_mm: Some(80.0), ..BlockPlan::default() };
    let (_, findings) = job.judged();
    let [warn] = of(&findings, "knife-short")[..] else { panic!("one finding") };
    assert_eq!(warn.severity, Severity::Warn);
    job.plan.block = BlockPlan { wall_mm: Some(7.0), below_mm: Some(7.0), above_mm: Some(7.0), ..BlockPlan::default() };
    let (facts, findings) = job.judged();
    assert_eq!(of(&findings, "keys-no-room").len(), 1);
    // Seven millimetres and the ball's radius stand over and under the cut.
    let least = facts.cut.and_then(|c| c.least_rubber).expect("rubber").0;
    assert!(least > 24.0 && least < 27.5, "{least}");
}

/// Two places where the cut crosses itself are two Stops, what crosses side by side is one; a hook deeper than rubber lets go
/// of is told with its place, depth and volume, a shallower one is not.
#[test]
fn every_crossing_and_every_deep_hook_is_told() {
    let job = ball();
    let (mut facts, findings) = job.judged();
    assert!(of(&findings, "cut-missing").is_empty() && of(&findings, "halves-hook").is_empty());
    let mut cut = (**facts.cut.as_ref().expect("a cut")).clone();
    cut.crossed = [25.0, 26.0, 28.0, -25.0].map(|x| Vec3::new(x, 1.0, 0.0)).to_vec();
    let hook = |depth_mm| Hook { place: Vec3::X * 24.0, depth_mm, area_mm2: 20.0, volume_mm3: 36.2, pulled_mm: 5.0 };
    cut.hooks = vec![hook(1.84), hook(0.02)];
    let bench = job.bench();
    let shop = bench.shop();
    assert!(shop.limits.undercut_depth_mm > 0.02 && shop.limits.undercut_depth_mm < 1.8);
    facts.cut = Some(Arc::new(cut));
    let findings = judge(&job.plan, shop, &facts);
    let places: Vec<f32> = of(&findings, "cut-missing").iter().filter_map(|f| f.place).map(|p| p.x).collect();
    assert_eq!(places, [25.0, -25.0]);
    let [told] = of(&findings, "halves-hook")[..] else { panic!("{findings:#?}") };
    assert_eq!((told.severity, told.place), (Severity::Warn, Some(Vec3::X * 24.0)));
    for figure in ["1.8 mm", "5.0 mm", "36 mm³"] {
        assert!(told.message.contains(figure), "{figure}: {}", told.message);
    }
}

#[test]
#[ignore = "long"]
fn long_channels_and_pockets_are_taken_out_of_the_halves() {
    let job = ball().gate(0.0).vent().pin(DVec3::Z);
    let bench = job.bench();
    let run = Run::new();
    let setting = bench.setting(&job.plan).expect("a setting");
    let body = bench.body(&job.plan, &setting, &run).expect("a body");
    let halves = bench.halves(&job.plan, &setting, &body, &run).expect("halves");
    let cavity = bench.cavity(&setting, &body, &run).expect("a cavity").volume_mm3;
    // The whole pin is out of the rubber: half of it in the part, half in its pocket.
    let pin = Measures::of(&setting.inserts[0].solid).volume_mm3;
    let sum: f64 = halves.iter().map(|h| Measures::of(h).volume_mm3).sum();
    let wanted = setting.block.volume_mm3() - cavity - pin;
    assert!((sum / wanted - 1.0).abs() < 1e-3, "{sum} against {wanted}");
    for half in halves.iter() {
        let check = MeshCheck::of(half);
        assert!(check.is_closed(), "{:?}", check.problems);
        assert_eq!(check.bodies.len(), 1, "no crumb of rubber is left in a channel or a pocket");
    }
    // The same again is the same very mesh.
    let again: Arc<[Arc<Mesh>; 2]> = bench.halves(&job.plan, &setting, &body, &run).expect("halves");
    assert!(Arc::ptr_eq(&halves, &again));
}

#[test]
#[ignore = "long"]
fn long_a_part_that_is_not_closed_has_no_cut_but_all_other_facts() {
    let job = ball();
    let mut mesh = solids::ball(FAR.as_vec3(), 20.0, 3);
    mesh.triangles.truncate(mesh.triangles.len() - 30);
    let mut file = std::fs::File::create(job.folder.path().join("part.stl")).expect("made");
    write_stl::write(&mut file, &mesh, DVec3::ZERO).expect("written");
    let (facts, findings) = job.judged();
    let cut = facts.cut.as_ref().expect("a cut that says that there is none");
    assert!(matches!(cut.surface, Err(CutError::NotClosed)), "{:?}", cut.surface.as_ref().err());
    assert!(cut.marks.is_empty() && cut.knife_depth_mm.is_none() && cut.draws().is_none());
    assert!(facts.are_complete(&job.plan));
    assert!(of(&findings, "cut-missing").iter().all(|f| f.severity == Severity::Stop));
    assert!(of(&findings, "cut-missing").len() == 1 && !of(&findings, "mesh-not-closed").is_empty());
}
