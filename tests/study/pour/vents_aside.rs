//! Proposed vents keep off shown surfaces, inserts and the part where the air allows it, and say so where it does not.

use crate::known::Shared;
use glam::{DQuat, DVec3, Vec3};
use mouldbench::mesh::{Mesh, solids, write_stl};
use mouldbench::plan::{Insert, InsertKind, Plan, PocketMade, ShownSurface, Spot, Threads, Unit, Vent};
use mouldbench::shop::{Limits, Shop};
use mouldbench::solve::run::Run;
use mouldbench::study::findings::{Finding, judge};
use mouldbench::study::propose::bare_plan;
use mouldbench::study::propose::propose_feed_into;
use mouldbench::study::propose::vents::propose_vents_into;

pub const AWAY: DVec3 = DVec3::new(800.0, -500.0, 300.0);

/// A part with its plan.
pub struct Job {
    _folder: tempfile::TempDir,
    pub bench: Shared,
    pub plan: Plan,
    turn: DQuat,
}

impl Job {
    /// `mesh` turned and far away, hung as it was drawn.
    pub fn new(mesh: &Mesh, turn: DQuat) -> Job {
        let folder = tempfile::tempdir().expect("a folder");
        let mut mesh = mesh.clone();
        for p in &mut mesh.positions {
            *p = (turn * p.as_dvec3()).as_vec3();
        }
        let mut file = std::fs::File::create(folder.path().join("part.stl")).expect("made");
        write_stl::write(&mut file, &mesh, AWAY).expect("written");
        let bench = Shared::on(folder.path(), Shop::bundled());
        let mut plan = bare_plan("Part", "part.stl", "", Unit::Millimetre);
        plan.hang.rubber.up = turn * DVec3::Z;
        plan.parting.draw = turn * DVec3::Y;
        Job { _folder: folder, bench, plan, turn }
    }

    /// The same in a shop with other limits.
    pub fn with_limits(mut self, change: impl FnOnce(&mut Limits)) -> Job {
        let mut shop = Shop::bundled().clone();
        change(&mut shop.limits);
        self.bench = Shared::on(self._folder.path(), &shop);
        self
    }

    pub fn vent(mut self, position: DVec3, normal: DVec3, diameter_mm: f64) -> Job {
        let (number, at) = (self.plan.free_vent_number(), self.spot(position, normal));
        self.plan.vents.push(Vent { number, at, diameter_mm, ..Vent::default() });
        self
    }

    pub fn spot(&self, position: DVec3, normal: DVec3) -> Spot {
        Spot { part: 0, position: AWAY + self.turn * position, normal: self.turn * normal.normalize() }
    }

    /// Places of the proposed vents as drawn, and the reasons.
    pub fn proposed(&mut self) -> (Vec<DVec3>, Vec<String>) {
        let mut reasons = Vec::new();
        propose_vents_into(&self.bench, &mut self.plan, &mut reasons, &Run::new()).expect("vents");
        let back = self.turn.inverse();
        (self.plan.vents.iter().map(|v| back * (v.at.position - AWAY)).collect(), reasons)
    }

    pub fn findings(&self, code: &str) -> Vec<Finding> {
        let facts = self.bench.facts(&self.plan, &Run::new()).expect("facts");
        judge(&self.plan, self.bench.shop(), &facts).into_iter().filter(|f| f.code == code).collect()
    }
}

pub fn turns() -> [DQuat; 2] {
    [DQuat::IDENTITY, DQuat::from_euler(glam::EulerRot::XYZ, 0.7, -1.1, 2.3)]
}

/// A cone with a level tip of 3 mm across. Leaning by 2° a mouth anywhere on the tip loses less than
/// π·1.5³·tan 2° = 0.37 mm³ (half a cylinder cut slantwise), which is under the shop's 1 mm³.
fn cone() -> Mesh {
    solids::frustum(Vec3::ZERO, Vec3::new(0.0, 0.0, 20.0), 15.0, 1.5, 48)
}

#[test]
fn a_vent_goes_round_a_shown_surface_by_the_shortest_way() {
    for turn in turns() {
        let mut job = Job::new(&cone(), turn);
        let (bare, reasons) = job.proposed();
        assert_eq!(bare.len(), 1);
        assert!((bare[0].z - 20.0).abs() < 1e-3 && !reasons[0].contains("off the peak"), "{reasons:?}");
        let diameter_mm = job.plan.vents[0].diameter_mm;
        let shown = job.spot(bare[0], DVec3::Z);
        job.plan.shown.push(ShownSurface {
            name: "Tip".into(),
            stroke: vec![shown],
            radius_mm: 1.0,
            ..Default::default()
        });
        let (aside, reasons) = job.proposed();
        assert_eq!(aside.len(), 1);
        let moved = aside[0].distance(bare[0]);
        let least = 1.0 + diameter_mm / 2.0;
        assert!((least - 1e-3..least + 0.6).contains(&moved), "{moved} mm, {least} are enough");
        assert!(reasons[0].contains("off the peak") && reasons[0].contains("Tip"), "{reasons:?}");
        assert!(job.findings("mark-on-shown").is_empty() && job.findings("air-trapped").is_empty());
    }
}

#[test]
#[ignore = "long"]
fn long_where_everything_is_shown_the_vent_stays_and_says_so() {
    for turn in turns() {
        let mut job = Job::new(&cone(), turn);
        let (bare, _) = job.proposed();
        let shown = job.spot(DVec3::new(0.0, 0.0, 20.0), DVec3::Z);
        let all =
            ShownSurface { name: "Whole cone".into(), stroke: vec![shown], radius_mm: 18.0, ..Default::default() };
        job.plan.shown.push(all);
        let (still, reasons) = job.proposed();
        assert!(still.len() == 1 && still[0].distance(bare[0]) < 1e-3, "{still:?}");
        assert!(reasons[0].contains("marks the shown surface Whole cone") && reasons[0].contains("no place near"));
        assert_eq!(job.findings("mark-on-shown").len(), 1);
    }
}

#[test]
#[ignore = "long"]
fn long_a_vent_keeps_its_distance_from_an_insert() {
    let mut moved = 0;
    for turn in turns() {
        // Pins into the flank right below the tip on every side: some are under the peak that would be taken.
        for side in 0..6 {
            let mut job = Job::new(&cone(), turn);
            let (sin, cos) = (std::f64::consts::TAU * side as f64 / 6.0).sin_cos();
            let out = DVec3::new(cos, sin, 0.0);
            let slope = (out * 20.0 + DVec3::Z * 13.5).normalize();
            let foot = out * (1.5 + 13.5 * 3.0 / 20.0) + DVec3::Z * 17.0;
            let at = job.spot(foot, slope);
            job.plan.inserts.push(Insert {
                number: 7,
                name: String::new(),
                kind: InsertKind::Pin { diameter_mm: 1.0, length_mm: 3.0 },
                at,
                in_pocket_mm: 2.0,
                pocket: PocketMade::DummyOnMaster,
                stays: true,
                threads: Threads::None,
                half: None,
                density_g_cm3: None,
                hottest_c: None,
            });
            let (vents, reasons) = job.proposed();
            let top: Vec<&DVec3> = vents.iter().filter(|p| p.z > 18.0).collect();
            assert_eq!(top.len(), 1, "{vents:?}");
            let radius_mm = job.plan.vents[0].diameter_mm / 2.0;
            assert!(top[0].distance(foot) >= 3.0 + 0.5 + radius_mm - 1e-3, "{}", top[0].distance(foot));
            // All that a plan tells takes long; one pin of each turn tells it.
            assert!(side > 0 || job.findings("insert-in-the-way").is_empty());
            moved += usize::from(reasons.iter().any(|r| r.contains("too close to insert 7")));
        }
    }
    assert!(moved >= 2, "some pin is under the peak");
}

#[test]
#[ignore = "long"]
fn long_a_rod_keeps_clear_of_an_arm_above_its_mouth() {
    // The cone's tip again, on a plate, and an arm from a wall behind that ends 2.5 mm beside the middle of the tip.
    let mut mesh = solids::cuboid(Vec3::new(-20.0, -20.0, -24.0), Vec3::new(20.0, 20.0, -18.0));
    mesh.append(&solids::frustum(Vec3::new(0.0, 0.0, -20.0), Vec3::ZERO, 12.0, 1.5, 48));
    mesh.append(&solids::cuboid(Vec3::new(-20.0, 14.0, -24.0), Vec3::new(20.0, 20.0, 20.0)));
    mesh.append(&solids::cuboid(Vec3::new(3.5, -6.0, 12.0), Vec3::new(20.0, 18.0, 20.0)));
    for turn in turns() {
        let mut job = Job::new(&mesh, turn);
        let (vents, _) = job.proposed();
        let tip: Vec<(usize, &DVec3)> = vents.iter().enumerate().filter(|v| v.1.truncate().length() < 3.0).collect();
        assert_eq!(tip.len(), 1, "{vents:?}");
        let (number, at) = tip[0];
        let radius_mm = job.plan.vents[number].diameter_mm / 2.0;
        assert!(at.z > -0.5, "on the tip: {at}");
        assert!(3.5 - at.x - radius_mm >= 3.0 - 1e-3, "{} mm of rubber", 3.5 - at.x - radius_mm);
        let own = format!("Vent {} passes", number + 1);
        assert!(job.findings("rubber-thin").iter().all(|f| !f.message.starts_with(&own)));
    }
}

/// A plate whose underside could take the gate anywhere: a shown spot where it would be sends it elsewhere, and where all of
/// the part is shown the gate is there all the same and says so.
#[test]
#[ignore = "long"]
fn long_a_gate_keeps_off_shown_surfaces_and_says_so_where_it_cannot() {
    for turn in turns() {
        let mut job = Job::new(&solids::cuboid(Vec3::ZERO, Vec3::new(40.0, 30.0, 12.0)), turn);
        let gate = |job: &mut Job| {
            let mut reasons = Vec::new();
            propose_feed_into(&job.bench, &mut job.plan, &mut reasons, &Run::new()).expect("a gate");
            assert_eq!((job.plan.feed.gates.len(), reasons.len()), (1, 1));
            (job.plan.feed.gates[0].at, reasons.remove(0))
        };
        let (bare, reason) = gate(&mut job);
        assert!(reason.contains("not on a shown surface"), "{reason}");
        let spot = |at: Spot, radius_mm: f64| ShownSurface {
            name: "Cheek".into(),
            stroke: vec![at],
            radius_mm,
            ..Default::default()
        };
        job.plan.shown = vec![spot(bare, 5.0)];
        assert_eq!(job.findings("mark-on-shown").len(), 1, "where it is");
        let (aside, reason) = gate(&mut job);
        assert!(aside.position.distance(bare.position) > 5.0 && reason.contains("not on a shown surface"), "{reason}");
        assert!(job.findings("mark-on-shown").is_empty());
        // Every face of it.
        let faces = [DVec3::X, DVec3::NEG_X, DVec3::Y, DVec3::NEG_Y, DVec3::Z, DVec3::NEG_Z];
        let middle = DVec3::new(20.0, 15.0, 6.0);
        job.plan.shown = faces.map(|n| spot(job.spot(middle + n * middle, n), 60.0)).to_vec();
        let (_, reason) = gate(&mut job);
        assert!(reason.contains("on the shown surface Cheek") && !reason.contains("not on"), "{reason}");
        assert_eq!(job.findings("mark-on-shown").len(), 1);
    }
}
