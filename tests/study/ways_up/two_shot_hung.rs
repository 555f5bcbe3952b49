//! Ways up of a two-shot job: what rubber meets is measured on both parts, what resin fills on its own.

use crate::study::numbers::a_job::{Job, near};
use glam::{DAffine3, DQuat, DVec3, Vec3};
use mouldbench::mesh::{Mesh, boolean, solids};
use mouldbench::plan::{Plan, Shot};
use mouldbench::solve::run::Run;
use mouldbench::study::bench::Bench;
use mouldbench::study::propose::{propose_draw_into, propose_hang_into};
use mouldbench::study::ways_up::{Criteria, HangSearch};

/// A block of 40 × 30 × 12 with a blind hole of 6 × 6, 8 deep, in its upper face.
fn drilled() -> Mesh {
    let block = solids::cuboid(Vec3::ZERO, Vec3::new(40.0, 30.0, 12.0));
    boolean::subtract(&block, &[&solids::cuboid(Vec3::new(17.0, 12.0, 4.0), Vec3::new(23.0, 18.0, 20.0))]).expect("cut")
}

/// A plate of 3 mm that covers that face and the hole in it.
fn lid() -> Mesh {
    solids::cuboid(Vec3::new(0.0, 0.0, 12.0), Vec3::new(40.0, 30.0, 15.0))
}

/// The same plate with a hole of 6 × 6 right through it.
fn pierced_lid() -> Mesh {
    boolean::subtract(&lid(), &[&solids::cuboid(Vec3::new(17.0, 12.0, 0.0), Vec3::new(23.0, 18.0, 20.0))]).expect("cut")
}

fn bench(job: &Job) -> Bench {
    let bench = Bench::new(job.shop.clone(), []);
    bench.set_folder(Some(job.folder()));
    bench
}

fn ways(bench: &Bench, plan: &Plan) -> HangSearch {
    let run = Run::new();
    let setting = bench.setting(plan).expect("read");
    let subject = bench.hang_subject(plan, &setting, &run).expect("bodies");
    (*bench.hang_search(plan, &setting, &subject, &run, |_| ()).expect("nobody cancels")).clone()
}

fn measured(job: &Job, up: Vec3) -> Criteria {
    let found = ways(&bench(job), &job.plan);
    let way = found.scored[found.nearest(up)];
    assert!(way.up.dot(up) > 0.999_999);
    way.criteria
}

/// Alone, hung with its face down, the hole keeps 6·6·8 = 288 mm³ of air in the rubber; turned over none. In the soft block the
/// plate covers it: no rubber comes there any way up. The block is that of 15 mm of part, what resin fills is 3 mm of plate.
#[test]
#[ignore = "long"]
fn long_a_hole_that_the_other_shot_covers_keeps_no_air() {
    let alone = Job::new(&drilled());
    let down = measured(&alone, -Vec3::Z);
    assert_eq!(down.rubber_recesses, Some(1));
    near(down.rubber_air_mm3.expect("closed"), 288.0, 0.01);
    assert_eq!(measured(&alone, Vec3::Z).rubber_recesses, Some(0));
    let hard = measured(&Job::new(&drilled()).other(&lid(), Shot::Hard), -Vec3::Z);
    assert_eq!(hard, down, "the block of the hard part knows nothing of the soft one");

    let soft = Job::new(&lid()).other(&drilled(), Shot::Soft);
    for up in [Vec3::Z, -Vec3::Z] {
        let c = measured(&soft, up);
        assert_eq!((c.rubber_recesses, c.high_points), (Some(0), Some(1)), "{up}");
        near(c.rubber_air_mm3.expect("closed"), 0.0, 1e-6);
        near(c.height_mm, 15.0, 0.05);
        // The plate's own upper side, whichever side the hard part is on.
        near(c.ceiling_mm2, 1200.0, 1.0);
        near(c.upper_mm2, 1200.0, 1.0);
        let limits = &soft.shop.limits;
        near(c.block_mm[2], (15.0 + limits.wall_mm[0] + limits.above_mm).ceil(), 1.0);
        near(c.block_mm[0], 40.0 + 2.0 * limits.wall_mm[0], 1.0);
    }
    // Standing on an edge of 30 by 15, the plate's edge of 30 by 3 is the level top of the resin.
    let edge = measured(&soft, Vec3::X);
    near(edge.ceiling_mm2, 90.0, 1.0);
    near(edge.height_mm, 40.0, 0.05);
}

/// A hole through the soft plate is blind in what the rubber meets, since the hard part closes it: 6·6·3 = 108 mm³ with the
/// plate down. Alone the plate has no recess. The same far away and turned: plate and hard part are moved together.
#[test]
#[ignore = "long"]
fn long_a_hole_that_the_other_shot_closes_keeps_air() {
    let plain = solids::cuboid(Vec3::ZERO, Vec3::new(40.0, 30.0, 12.0));
    assert_eq!(measured(&Job::new(&pierced_lid()), -Vec3::Z).rubber_recesses, Some(0));
    let soft = Job::new(&pierced_lid()).other(&plain, Shot::Soft);
    let down = measured(&soft, -Vec3::Z);
    assert_eq!(down.rubber_recesses, Some(1));
    near(down.rubber_air_mm3.expect("closed"), 108.0, 0.5);
    assert_eq!(measured(&soft, Vec3::Z).rubber_recesses, Some(0));
    // Resin's own plate lets go upright; the wall of the hole does too, and hides from a level draw, the floor with it at most.
    near(down.undercut_upright_mm2, 0.0, 30.0);

    let turn = DQuat::from_axis_angle(DVec3::new(0.2, 0.9, -0.4).normalize(), 1.1);
    let moved =
        |mesh: &Mesh| mesh.transformed(&DAffine3::from_rotation_translation(turn, DVec3::new(300.0, -80.0, 500.0)));
    let turned = Job::new(&moved(&pierced_lid())).other(&moved(&plain), Shot::Soft);
    let bench = bench(&turned);
    let run = Run::new();
    let setting = bench.setting(&turned.plan).expect("read");
    let subject = bench.hang_subject(&turned.plan, &setting, &run).expect("bodies");
    let found = bench.hang_search(&turned.plan, &setting, &subject, &run, |_| ()).expect("nobody cancels");
    let up = -(turn * DVec3::Z).as_vec3();
    let there = found.hung_as(&subject.parts, &bench.shop().limits, up, &run).expect("nobody cancels").hung.criteria;
    assert_eq!(there.rubber_recesses, Some(1));
    near(there.rubber_air_mm3.expect("closed"), 108.0, 1.0);
    near(there.height_mm, 15.0, 0.1);
}

/// The map of the window and a proposal are of one search, and both know it again by the facts of the plan.
#[test]
fn map_and_proposal_measure_the_same() {
    let soft = Job::new(&lid()).other(&drilled(), Shot::Soft);
    let (bench, run) = (bench(&soft), Run::new());
    let shown = ways(&bench, &soft.plan);
    let facts = bench.facts(&soft.plan, &run).expect("facts");
    let known = Bench::hang_subject_key(&soft.plan, &facts.setting, facts.body.as_deref(), facts.master.as_deref());
    let subject = bench.hang_subject(&soft.plan, &facts.setting, &run).expect("bodies");
    assert_eq!(known, Some(subject.key.clone()));
    let [only] = &subject.parts[..] else { panic!("one part") };
    assert!(only.body.measures.volume_mm3 < 3_601.0 && only.master.measures.volume_mm3 > 17_600.0);
    let mut plan = soft.plan.clone();
    propose_hang_into(&bench, &mut plan, &mut Vec::new(), &run).expect("a hang");
    let best = shown.scored[shown.best(&plan.hang.weights)].up;
    assert!(plan.hang.rubber.up.as_vec3().dot(best) > 0.999_999);
    propose_draw_into(&bench, &mut plan, None, &mut Vec::new(), &run).expect("a draw");
    assert!(plan.parting.draw.is_normalized());
}
