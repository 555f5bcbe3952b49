//! Ways up of a set: every different part measured by itself, wherever it stands, and its rows laid out once it hangs.

use crate::study::air::shapes::two_towers;
use crate::study::parting::whole::t_slot;
use crate::study::propose::set::Job;
use glam::{DAffine3, DQuat, DVec3, Vec3};
use mouldbench::mesh::{Mesh, solids};
use mouldbench::plan::{HangWeights, Insert, InsertKind, Pose, Spot};
use mouldbench::solve::run::Run;
use mouldbench::study::parting::draw::propose_draw;
use mouldbench::study::propose::{hang_into, lay_out_with_runners_into, propose_hang_into};
use mouldbench::study::ways_up::candidates::candidates;
use mouldbench::study::ways_up::{Criteria, HangSearch};
use std::sync::Arc;

fn ways(job: &Job) -> Arc<HangSearch> {
    let run = Run::new();
    let setting = job.bench.setting(&job.plan).expect("read");
    let subject = job.bench.hang_subject(&job.plan, &setting, &run).expect("bodies");
    job.bench.hang_search(&job.plan, &setting, &subject, &run, |_| ()).expect("nobody cancels")
}

fn at(search: &HangSearch, up: DVec3) -> Criteria {
    let found = search.scored[search.nearest(up.as_vec3())];
    assert!(found.up.dot(up.as_vec3()) > 0.999_999, "{up} was measured");
    found.criteria
}

/// A T-slot whose draw must go along the slot, and two towers of unequal height, drawn far from the origin; the slot turned
/// about an axis that is none of its own.
fn unequal(turn: DQuat) -> Job {
    let mut job = Job::of(&[("slot", t_slot()), ("towers", two_towers())], DVec3::new(-7000.0, 300.0, 12_000.0));
    job.plan.parts[0].pose.rotation = turn;
    job
}

/// The figures of a set are the sums of those of its parts, each searched alone: high points, air, ceilings, undercuts; the
/// height that of the tallest; the block goes round both side by side with the shop's least rubber between them. The parts
/// stand one before the other along X and one over the other along Z, so whoever measures them as they stand sees draws hidden
/// and another block.
#[test]
fn a_set_measures_as_its_parts_do() {
    let turn = DQuat::from_axis_angle(DVec3::new(0.3, -0.5, 0.8).normalize(), 0.9);
    let mut job = unequal(turn);
    job.plan.parts[0].pose.translation_mm = DVec3::new(-80.0, 0.0, 35.0);
    let both = ways(&job);
    let single = |i: usize| {
        let mut alone = unequal(turn);
        alone.plan.parts = vec![alone.plan.parts[i].clone()];
        ways(&alone)
    };
    let (slot, towers) = (single(0), single(1));
    let limits = &job.bench.shop().limits;
    for up in [DVec3::Z, -DVec3::Z, DVec3::X, -DVec3::Y] {
        let [all, a, b] = [&both, &slot, &towers].map(|s| at(s, up));
        assert_eq!(all.high_points, Some(a.high_points.expect("closed") + b.high_points.expect("closed")), "{up}");
        let close = |got: f64, wanted: f64, slack: f64| assert!((got - wanted).abs() < slack, "{up}: {got} / {wanted}");
        close(all.ceiling_mm2, a.ceiling_mm2 + b.ceiling_mm2, 0.01);
        close(all.upper_mm2, a.upper_mm2 + b.upper_mm2, 0.05);
        close(all.height_mm, a.height_mm.max(b.height_mm), 1e-3);
        close(all.undercut_upright_mm2, a.undercut_upright_mm2 + b.undercut_upright_mm2, 400.0);
        // One block leans to one side: no more than both would keep, each to its own worst side.
        let [air, one, other] = [all, a, b].map(|c| c.air_mm3.expect("closed"));
        assert!(air <= one + other + 1e-3 && air >= one.max(other) - 1e-3, "{up}: {air} of {one} and {other}");
        // Each block is its part and the same rubber round it, rounded up to whole millimetres.
        let walls = [2.0 * limits.wall_mm[0], 2.0 * limits.wall_mm[0], limits.wall_mm[0] + limits.above_mm];
        let wide = a.block_mm[0] + b.block_mm[0] - walls[0] + limits.least_rubber_mm;
        if wide - walls[0] < 100.0 {
            close(all.block_mm[0], wide, 2.0);
            close(all.block_mm[1], a.block_mm[1].max(b.block_mm[1]), 1.0);
            close(all.block_mm[2], a.block_mm[2].max(b.block_mm[2]), 1.0);
        }
    }
}

/// Where a set stands, how far away, and how many copies of each part it holds change nothing that is measured: the map
/// holds when its rows are laid out anew. A copy that is turned, or carries an insert, is measured too.
#[test]
fn ways_up_do_not_depend_on_where_the_parts_stand() {
    let mut job = unequal(DQuat::from_rotation_z(0.4));
    let run = Run::new();
    let key = |job: &Job| {
        let setting = job.bench.setting(&job.plan).expect("read");
        job.bench.hang_subject(&job.plan, &setting, &run).expect("bodies").key
    };
    let (first, before) = (ways(&job), key(&job));
    let far = DVec3::new(4_000.0, -9.0, 800.0);
    for i in 0..2 {
        let pose = job.plan.parts[i].pose;
        job.plan.move_part(i, Pose { translation_mm: pose.translation_mm + far * (i + 1) as f64, ..pose });
    }
    let copy = job.plan.parts[1].pose;
    job.plan.copy_part(1, Pose { translation_mm: copy.translation_mm + DVec3::Y * 70.0, ..copy });
    assert_eq!(key(&job), before);
    let moved = ways(&job);
    assert!(Arc::ptr_eq(&first, &moved), "nothing is measured twice");
    // Afresh, on a bench that knows nothing of it yet, the same to the last bit.
    let afresh = crate::known::Shared::not(job.folder.path(), job.bench.shop());
    let again = ways(&Job { bench: afresh, folder: tempfile::tempdir().expect("a folder"), plan: job.plan.clone() });
    assert_eq!(*again, *first);
    let setting = job.bench.setting(&job.plan).expect("read");
    assert_eq!(job.bench.hang_subject(&job.plan, &setting, &run).expect("bodies").parts.len(), 2);

    let middle = job.plan.parts[2].pose.set_from_part().transform_point3(setting.placed.loaded[2].centre);
    let mut turned = Job { bench: job.bench, plan: job.plan.clone(), folder: job.folder };
    turned.plan.turn_part(2, DQuat::from_rotation_z(1.0), middle);
    assert_ne!(key(&turned), before, "a copy that stands another way");
    turned.plan = job.plan.clone();
    let at = Spot { part: 2, position: setting.placed.loaded[2].centre, normal: DVec3::Z };
    let kind = InsertKind::Pin { diameter_mm: 1.0, length_mm: 6.0 };
    turned.plan.inserts.push(Insert { kind, at, ..pin() });
    assert_ne!(key(&turned), before, "a copy with an insert");
}

pub fn pin() -> Insert {
    Insert {
        number: 1,
        name: String::new(),
        kind: InsertKind::Pin { diameter_mm: 1.0, length_mm: 6.0 },
        at: Spot { part: 0, position: DVec3::ZERO, normal: DVec3::Z },
        in_pocket_mm: 2.0,
        pocket: mouldbench::plan::PocketMade::DummyOnMaster,
        stays: true,
        threads: mouldbench::plan::Threads::None,
        half: None,
        density_g_cm3: None,
        hottest_c: None,
    }
}

/// A proposal takes the best of the very search that the map shows. Hung by any candidate and laid out as the window does it,
/// no part runs into another, and neighbours keep the shop's least rubber.
#[test]
#[ignore = "long"]
fn long_hung_by_any_candidate_no_part_runs_into_another() {
    let mut job = unequal(DQuat::from_rotation_x(0.7));
    // As bare meshes are put: all in one place.
    job.plan.copy_part(0, job.plan.parts[0].pose);
    job.plan.parting.draw = DVec3::Y;
    let (run, shown) = (Run::new(), ways(&job));
    let mut proposed = job.plan.clone();
    propose_hang_into(&job.bench, &mut proposed, &mut Vec::new(), &run).expect("a hang");
    let best = &shown.scored[shown.best(&HangWeights::default())];
    assert!((proposed.hang.rubber.up.as_vec3() - best.up).length() < 1e-6);
    let plan = job.plan.clone();
    for i in candidates(&shown, &HangWeights::default()) {
        job.plan = plan.clone();
        hang_into(&mut job.plan, &shown.scored[i]);
        lay_out_with_runners_into(&job.bench, &mut job.plan, &mut Vec::new(), &run).expect("rows");
        let setting = job.bench.setting(&job.plan).expect("read");
        let between = job.bench.between(&setting, &run).expect("measured");
        let least = job.bench.shop().limits.least_rubber_mm;
        assert_eq!(between.len(), 3);
        for b in between.iter() {
            assert!(!b.overlap && b.distance_mm > least - 0.01, "way {i}: {b:?}");
        }
        let up = job.plan.hang.rubber.up;
        if job.plan.parting.draw.dot(up).abs() < 0.7 {
            let tops: Vec<f32> = setting.upright.iter().map(|b| b.max.z).collect();
            assert!(tops.iter().all(|t| (t - tops[0]).abs() < 0.01), "one row has its tops level: {tops:?}");
        }
        assert_eq!(ways(&job).scored, shown.scored, "what was measured holds");
    }
}

/// Two blocks with T-slots, one behind the other along the slot: each lets go along it and hides 6000 mm² across it (check
/// values G13), whatever the other hides. The draw of a set is along the slots, and its figures are those of both.
#[test]
fn the_draw_of_a_set_is_that_of_its_parts() {
    let slot = t_slot();
    let behind = slot.transformed(&DAffine3::from_translation(DVec3::new(0.0, 300.0, 0.0)));
    let run = Run::new();
    let best = |meshes: &[&Mesh]| propose_draw(meshes, Vec3::Z, &run).expect("nobody cancels")[0];
    let (one, two) = (best(&[&slot]), best(&[&slot, &behind]));
    assert!(one.draw.y.abs() > 0.999 && two.draw.y.abs() > 0.999, "{} {}", one.draw, two.draw);
    assert!((two.view.outline_mm - 2.0 * one.view.outline_mm).abs() < 1e-3 * one.view.outline_mm);
    // A ball says nothing of where to go, and does not take the slot's say.
    let ball = solids::ball(Vec3::new(0.0, -200.0, 0.0), 12.0, 3);
    assert!(best(&[&ball, &slot]).draw.y.abs() > 0.999);
}
