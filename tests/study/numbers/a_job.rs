//! A plan of one mesh in a folder of its own, for the numbers of the bench.

use crate::known::Shared;
use glam::DVec3;
use mouldbench::mesh::{Mesh, write_stl};
use mouldbench::plan::*;
use mouldbench::shop::Shop;
use mouldbench::solve::run::Run;
use mouldbench::study::findings::{Finding, judge};
use mouldbench::study::propose::bare_plan;
use mouldbench::study::report::Report;
use mouldbench::study::report::of::report_of;

/// Fails where `got` is further than `tolerance` from `expected`.
#[track_caller]
pub fn near(got: f64, expected: f64, tolerance: f64) {
    assert!((got - expected).abs() <= tolerance, "{got} for {expected}");
}

/// The job.
pub struct Job {
    folder: tempfile::TempDir,
    pub plan: Plan,
    pub shop: Shop,
}

impl Job {
    /// A bare plan of `mesh`, drawn upwards.
    pub fn new(mesh: &Mesh) -> Job {
        let folder = tempfile::tempdir().expect("a folder");
        let mut file = std::fs::File::create(folder.path().join("part.stl")).expect("made");
        write_stl::write(&mut file, mesh, DVec3::ZERO).expect("written");
        let mut plan = bare_plan("Part", "part.stl", "", Unit::Millimetre);
        plan.parting.draw = DVec3::Z;
        Job { folder, plan, shop: Shop::bundled().clone() }
    }

    pub fn with(mut self, change: impl FnOnce(&mut Plan, &mut Shop)) -> Job {
        change(&mut self.plan, &mut self.shop);
        self
    }

    /// A vent of 1.5 mm that starts straight up.
    pub fn vent(mut self, position: DVec3) -> Job {
        let number = self.plan.free_vent_number();
        let at = Spot { part: 0, position, normal: DVec3::Z };
        self.plan.vents.push(Vent { number, at, diameter_mm: 1.5, ..Vent::default() });
        self
    }

    /// The same as one shot of two: this block makes `makes`, `mesh` is the part of the other.
    pub fn other(mut self, mesh: &Mesh, makes: Shot) -> Job {
        let mut file = std::fs::File::create(self.folder.path().join("other.stl")).expect("made");
        write_stl::write(&mut file, mesh, DVec3::ZERO).expect("written");
        let other = SecondShot { name: "Other".into(), mesh: "other.stl".into(), makes, ..SecondShot::default() };
        self.plan.second_shot = Some(other);
        let soft = makes == Shot::Soft;
        self.plan.materials.resin = self.shop.resins.iter().find(|r| r.is_soft() == soft).cloned();
        self
    }

    /// Where its meshes lie.
    pub fn folder(&self) -> &std::path::Path {
        self.folder.path()
    }

    fn both(&self) -> (Report, Vec<Finding>) {
        let bench = Shared::on(self.folder.path(), &self.shop);
        let facts = bench.facts(&self.plan, &Run::new()).expect("facts");
        let findings = judge(&self.plan, bench.shop(), &facts);
        (report_of(&self.plan, bench.shop(), &facts, &findings), findings)
    }

    pub fn report(&self) -> Report {
        self.both().0
    }

    pub fn findings(&self) -> Vec<Finding> {
        self.both().1
    }

    pub fn codes(&self) -> Vec<&'static str> {
        self.findings().iter().map(|f| f.code).collect()
    }
}
