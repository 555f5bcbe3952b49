//! The parting knows nothing of how the part hangs: level, upright or oblique, the same part has the same lines, areas,
//! shut-offs and locked cores, told in the box.

use super::shapes::drilled_cube;
use crate::known::Shared;
use glam::{DMat3, DQuat, DVec3};
use mouldbench::mesh::write_stl;
use mouldbench::plan::*;
use mouldbench::shop::Shop;
use mouldbench::solve::run::Run;
use mouldbench::study::findings::judge;
use mouldbench::study::propose::bare_plan;
use mouldbench::study::report::Report;
use mouldbench::study::report::of::report_of;

struct Job {
    folder: tempfile::TempDir,
    plan: Plan,
}

impl Job {
    fn new(draw: DVec3) -> Job {
        let folder = tempfile::tempdir().expect("a folder");
        let mut file = std::fs::File::create(folder.path().join("part.stl")).expect("made");
        // Far from the origin, as parts of a larger drawing are.
        write_stl::write(&mut file, &drilled_cube(40.0, 10.0, 64), DVec3::new(9000.0, -4000.0, 700.0))
            .expect("written");
        let mut plan = bare_plan("Part", "part.stl", "", Unit::Millimetre);
        plan.parting.draw = draw;
        Job { folder, plan }
    }

    fn report(&self, change: impl FnOnce(&mut Plan)) -> Report {
        let mut plan = self.plan.clone();
        change(&mut plan);
        let bench = Shared::on(self.folder.path(), Shop::bundled());
        let run = Run::new();
        let mut facts = bench.quick_facts(&plan, &run).expect("facts");
        let body = facts.body.clone().expect("a body");
        facts.parting = Some(bench.parting(&plan, &facts.setting, &body, &run).expect("a parting"));
        facts.release = Some(bench.release(&plan, &facts.setting, &body, &run).expect("a release"));
        report_of(&plan, bench.shop(), &facts, &judge(&plan, bench.shop(), &facts))
    }
}

fn hung(up: DVec3) -> impl FnOnce(&mut Plan) {
    move |p| p.hang = Hang { rubber: Attitude { up: up.normalize(), turn: 0.4 }, cast: None, ..Hang::default() }
}

/// A point of the box in the part's own coordinates, and a direction.
fn in_part(report: &Report, point: [f64; 3]) -> DVec3 {
    let frame = &report.frame.box_from_part;
    turn_back(report) * (DVec3::from(point) - DVec3::from(frame.translation_mm))
}

fn turn_back(report: &Report) -> DMat3 {
    let [x, y, z] = report.frame.box_from_part.rotation.map(DVec3::from);
    // Rows of a rotation are the columns of its inverse.
    DMat3::from_cols(x, y, z)
}

/// What must be the same however it hangs.
fn figures(report: &Report) -> Vec<f64> {
    let p = &report.parting;
    let mut all = vec![p.half_1_mm2, p.half_2_mm2, p.hidden_from_both_mm2];
    all.extend(p.loops.iter().filter_map(|l| l.length_mm));
    all.extend(p.shut_offs.iter().flat_map(|s| [s.length_mm, s.area_mm2, s.span_mm]));
    all.extend(p.undercuts.iter().flat_map(|u| [u.area_mm2, u.depth_mm]));
    all.extend(p.locked.iter().flat_map(|l| &l.holes).flat_map(|h| [h.length_mm, h.width_mm]));
    all
}

#[test]
#[ignore = "long"]
fn long_parting_facts_are_the_same_level_upright_and_oblique() {
    for draw in [DVec3::Z, DVec3::X] {
        let job = Job::new(draw);
        let first = job.report(hung(DVec3::Z));
        if draw == DVec3::Z {
            let lengths: Vec<f64> = first.parting.loops.iter().filter_map(|l| l.length_mm).collect();
            assert!((lengths[0] - 160.0).abs() < 0.5 && (lengths[1] - 62.8).abs() < 0.5, "{lengths:?}");
            assert_eq!((first.parting.shut_offs.len(), first.parting.locked.len()), (1, 0));
        } else {
            assert_eq!((first.parting.shut_offs.len(), first.parting.locked.len()), (0, 1));
        }
        let place = |r: &Report| match r.parting.shut_offs.first() {
            Some(s) => in_part(r, s.position_mm),
            None => in_part(r, r.parting.locked[0].holes[0].position_mm),
        };
        // Draw along up, against it, square to it, and neither.
        for up in [draw, -draw, DVec3::Y, DVec3::new(1.0, 0.0, 1.0), DVec3::new(-0.3, 0.8, 0.5)] {
            let report = job.report(hung(up));
            assert_eq!(figures(&report), figures(&first), "draw {draw} up {up}");
            assert!(place(&report).distance(place(&first)) < 1e-3, "{} {}", place(&report), place(&first));
            let drawn = DVec3::from(report.parting.draw);
            assert!((drawn.z - draw.dot(up.normalize())).abs() < 1e-6, "draw {draw} up {up}: {drawn} in the box");
            assert!((turn_back(&report) * drawn).distance(draw) < 1e-6);
            if let Some(locked) = report.parting.locked.first() {
                assert_eq!((locked.left, locked.genus, locked.loops, locked.handles), (1, 1, 1, 1));
                let hole = &locked.holes[0];
                assert!((turn_back(&report) * DVec3::from(hole.axis)).z.abs() > 0.9999);
                assert_eq!(hole.choices, ["metal_core", "loose_piece", "relief_cut"]);
                assert!(hole.opened_by.is_empty());
            }
        }
    }
}

/// The part itself turned in the block, and its draw with it: the same but for how it is cut into triangles along the way.
#[test]
#[ignore = "long"]
fn long_parting_facts_turn_with_the_part() {
    for draw in [DVec3::Z, DVec3::X] {
        let job = Job::new(draw);
        // The cube's outer walls may go to either half: turned over it is its own mirror image, so which of both gets them
        // cannot hang on the part alone. Halves are compared by what each has, the larger first.
        let by_size = |mut all: Vec<f64>| {
            all[..2].sort_by(|a, b| b.total_cmp(a));
            all
        };
        let first = by_size(figures(&job.report(hung(DVec3::Z))));
        let turn = DQuat::from_euler(glam::EulerRot::XYZ, 0.7, -1.1, 2.3);
        let turned = job.report(|p| {
            p.parts[0].pose = Pose { rotation: turn, translation_mm: DVec3::new(15.0, -8.0, 3.0) };
            p.parting.draw = turn * draw;
        });
        let turned = by_size(figures(&turned));
        assert_eq!(turned.len(), first.len());
        for (a, b) in turned.iter().zip(&first) {
            assert!((a - b).abs() <= 0.005 * b.abs().max(20.0), "{turned:?}\n{first:?}");
        }
    }
}
