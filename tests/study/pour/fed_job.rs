//! A part with gates and vents, as drawn or turned and far away.

use crate::known::Shared;
use glam::{DQuat, DVec3};
use mouldbench::mesh::{Mesh, write_stl};
use mouldbench::plan::{Gate, GateKind, Plan, Spot, Unit, Vent};
use mouldbench::shop::Shop;
use mouldbench::solve::run::Run;
use mouldbench::study::findings::{Finding, judge};
use mouldbench::study::job::mouth_wall::{over_edge, wall_mm};
use mouldbench::study::job::rod_clearance::{Pass, pass};
use mouldbench::study::propose::bare_plan;
use mouldbench::study::report::Report;
use mouldbench::study::report::of::report_of;

const AWAY: DVec3 = DVec3::new(-700.0, 900.0, 400.0);

/// As drawn, and turned and far away.
pub fn stands() -> [(DQuat, DVec3); 2] {
    [(DQuat::IDENTITY, DVec3::ZERO), (DQuat::from_euler(glam::EulerRot::XYZ, 0.9, -0.6, 2.1), AWAY)]
}

pub struct Job {
    _folder: tempfile::TempDir,
    pub bench: Shared,
    pub plan: Plan,
    stand: (DQuat, DVec3),
}

impl Job {
    pub fn new(mesh: &Mesh, stand: (DQuat, DVec3)) -> Job {
        let folder = tempfile::tempdir().expect("a folder");
        let mut mesh = mesh.clone();
        for p in &mut mesh.positions {
            *p = (stand.0 * p.as_dvec3()).as_vec3();
        }
        let mut file = std::fs::File::create(folder.path().join("part.stl")).expect("made");
        write_stl::write(&mut file, &mesh, stand.1).expect("written");
        let bench = Shared::on(folder.path(), Shop::bundled());
        let mut plan = bare_plan("Part", "part.stl", "", Unit::Millimetre);
        plan.hang.rubber.up = stand.0 * DVec3::Z;
        plan.parting.draw = stand.0 * DVec3::Y;
        Job { _folder: folder, bench, plan, stand }
    }

    /// The same in a shop with other limits.
    pub fn stricter(&mut self, change: impl FnOnce(&mut mouldbench::shop::Limits)) {
        let mut shop = Shop::bundled().clone();
        change(&mut shop.limits);
        self.bench = Shared::on(self._folder.path(), &shop);
    }

    pub fn spot(&self, position: DVec3, normal: DVec3) -> Spot {
        let (turn, away) = self.stand;
        Spot { part: 0, position: away + turn * position, normal: turn * normal.normalize() }
    }

    /// A gate Ø`diameter_mm` whose rod is as wide, straight from above.
    pub fn gate(mut self, at: DVec3, normal: DVec3, diameter_mm: f64) -> Job {
        let number = self.plan.feed.gates.len() as u32 + 1;
        let at = self.spot(at, normal);
        self.plan.feed.gates.push(Gate { number, at, diameter_mm, runner_diameter_mm: diameter_mm, ..Gate::default() });
        self
    }

    pub fn vent(mut self, at: DVec3, normal: DVec3) -> Job {
        let (number, at) = (self.plan.free_vent_number(), self.spot(at, normal));
        self.plan.vents.push(Vent { number, at, diameter_mm: 1.2, ..Vent::default() });
        self
    }

    /// Corners of the runner of gate 1, as drawn.
    pub fn runner(mut self, corners: &[DVec3]) -> Job {
        let (turn, away) = self.stand;
        self.plan.feed.gates[0].runner = corners.iter().map(|c| away + turn * *c).collect();
        self.plan.feed.gates[0].kind = GateKind::Side;
        self
    }

    pub fn findings(&self, code: &str) -> Vec<Finding> {
        let facts = self.bench.facts(&self.plan, &Run::new()).expect("facts");
        judge(&self.plan, self.bench.shop(), &facts).into_iter().filter(|f| f.code == code).collect()
    }

    pub fn passes(&self) -> Vec<Option<Pass>> {
        let setting = self.bench.setting(&self.plan).expect("setting");
        let body = self.bench.body(&self.plan, &setting, &Run::new()).expect("body");
        setting.channels.gates.iter().chain(&setting.channels.vents).map(|c| pass(&body, c)).collect()
    }

    /// The wall at a mouth and how much of it hangs over an edge.
    pub fn mouth(&self, at: DVec3, normal: DVec3, diameter_mm: f64) -> (f64, f64) {
        let setting = self.bench.setting(&self.plan).expect("setting");
        let body = self.bench.body(&self.plan, &setting, &Run::new()).expect("body");
        let spot = self.spot(at, normal);
        let (at, normal) = (setting.frames.spot_in_work(&spot), setting.frames.normal_in_work(&spot));
        (wall_mm(&body, at, normal, diameter_mm), over_edge(&body, at, normal, diameter_mm))
    }

    pub fn report(&self) -> Report {
        let facts = self.bench.facts(&self.plan, &Run::new()).expect("facts");
        let findings = judge(&self.plan, self.bench.shop(), &facts);
        report_of(&self.plan, self.bench.shop(), &facts, &findings)
    }
}
