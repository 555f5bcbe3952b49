//! Channels that meet the part beyond their mouths, and what of the part faces them, against closed forms.

use crate::solve::shapes::prism;
use crate::study::pour::fed_job::{Job, stands};
use glam::{DVec3, Vec2, Vec3};
use mouldbench::mesh::{Mesh, solids};
use mouldbench::plan::Gate;
use mouldbench::solve::run::Run;
use mouldbench::study::bench::Facts;
use mouldbench::study::findings::{Remedy, Severity};
use mouldbench::study::job::channel_strike::Strike;
use mouldbench::study::propose::{Given, lay_runner_into, propose};

/// Area of a circle's segment beyond a chord `d` from its middle.
fn segment(r: f64, d: f64) -> f64 {
    r * r * (d / r).acos() - d * (r * r - d * d).sqrt()
}

fn facts(job: &Job) -> Facts {
    job.bench.facts(&job.plan, &Run::new()).expect("facts")
}

fn struck(job: &Job) -> Vec<Option<Strike>> {
    let (run, plan) = (Run::new(), &job.plan);
    let setting = job.bench.setting(plan).expect("a setting");
    let body = job.bench.body(plan, &setting, &run).expect("a body");
    let strikes = job.bench.strikes(&setting, &body, &run).expect("known");
    strikes.gates.iter().chain(&strikes.vents).copied().collect()
}

/// A gate Ø4 with a runner Ø12 after 3 mm, straight up.
fn wide(mesh: &Mesh, stand: (glam::DQuat, DVec3), at: DVec3, normal: DVec3) -> Job {
    let mut job = Job::new(mesh, stand).gate(at, normal, 4.0);
    job.plan.feed.gates[0].runner_diameter_mm = 12.0;
    job
}

/// A floor with a wall of 2 mm that goes up 5 mm, 3 mm beside the middle of the gate: the runner is through it and out at the
/// other side, all within the 9 mm that its rubber is granted. As two bodies that overlap.
fn floor_and_wall() -> Mesh {
    let mut mesh = solids::cuboid(Vec3::new(-30.0, -30.0, 0.0), Vec3::new(30.0, 30.0, 10.0));
    mesh.append(&solids::cuboid(Vec3::new(3.0, -30.0, 5.0), Vec3::new(5.0, 30.0, 15.0)));
    mesh
}

#[test]
fn a_runner_through_a_wall_is_a_stop_with_its_volume_and_place() {
    // Between chords 3 and 5 of a circle of 6, over the 2 mm from the end of the land to the wall's top.
    let volume = 2.0 * (segment(6.0, 3.0) - segment(6.0, 5.0));
    for stand in stands() {
        let job = wide(&floor_and_wall(), stand, DVec3::new(0.0, 0.0, 10.0), DVec3::Z);
        let found = struck(&job)[0].expect("through the wall");
        assert!((found.volume_mm3 / volume - 1.0).abs() < 0.03, "{} for {volume}", found.volume_mm3);
        assert_eq!((found.leg, found.diameter_mm), (1, 12.0));
        let told = job.findings("channel-in-part");
        assert_eq!((told.len(), told[0].severity), (1, Severity::Stop));
        assert!(told[0].message.contains("mm³") && told[0].remedies.contains(&Remedy::ProposeFeed), "{told:?}");
        // The place lies in the wall.
        let place = facts(&job).setting.frames.set_point_from_work(told[0].place.expect("a place"));
        let at = stand.0.inverse() * (place - stand.1);
        assert!((3.0..=5.0).contains(&at.x) && at.y.abs() < 6.0 && (13.0..=15.0).contains(&at.z), "{at}");
        let runner = job.report().feed.runners.remove(0);
        assert!((runner.in_part_mm3.expect("known") - found.volume_mm3).abs() < 1e-9 && runner.in_part_at_mm.is_some());
        // Both faces of the wall, its top, and the mouth face the channel.
        let chord = |d: f64| 2.0 * (36.0f64 - d * d).sqrt();
        let scar = 4.0 * std::f64::consts::PI + 2.0 * (chord(3.0) + chord(5.0)) + 0.5 * volume;
        let got = job.report().feed.figures.gates[0].scar_mm2;
        assert!((got / scar - 1.0).abs() < 0.01, "{got} for {scar}");
        // Moved off, it is a mouth and nothing else.
        let off = wide(&floor_and_wall(), stand, DVec3::new(-12.0, 0.0, 10.0), DVec3::Z);
        assert_eq!(struck(&off), [None]);
    }
    let off = wide(&floor_and_wall(), stands()[0], DVec3::new(-12.0, 0.0, 10.0), DVec3::Z);
    assert!(off.findings("channel-in-part").is_empty());
    assert_eq!(off.report().feed.runners[0].in_part_mm3, Some(0.0));
}

/// A roof of 45°: after a land of 3 mm a runner of radius 6 comes down into it beyond the chord 3 from its middle:
/// ∫(x − 3)·2√(36 − x²) dx = ⅔·(36 − 9)^1.5 − 3·segment.
#[test]
fn on_a_slope_a_wide_runner_after_a_short_land_cuts_into_the_face() {
    let roof =
        prism(&[(-40.0, 0.0), (40.0, 0.0), (0.0, 40.0)].map(|(x, y)| Vec2::new(x, y)), &[[0, 1, 2]], -30.0, 30.0);
    let volume = 2.0 / 3.0 * 27f64.powf(1.5) - 3.0 * segment(6.0, 3.0);
    for stand in stands() {
        // The prism's outline stands in X and Y.
        let mut job = wide(&roof, stand, DVec3::new(20.0, 20.0, 0.0), DVec3::new(1.0, 1.0, 0.0));
        job.plan.hang.rubber.up = stand.0 * DVec3::Y;
        let found = struck(&job)[0].expect("into the roof");
        assert!((found.volume_mm3 / volume - 1.0).abs() < 0.03, "{} for {volume}", found.volume_mm3);
        // Laid again it has a longer narrow end, and keeps out: 6 mm·tan 45°.
        assert!(lay_runner_into(&job.bench, &mut job.plan, 1, None, &Run::new()).expect("laid"));
        assert_eq!(struck(&job), [None]);
        // A gate alone of the runner's width has its mouth there, however far the face goes up under it.
        let mut one = Job::new(&roof, stand).gate(DVec3::new(20.0, 20.0, 0.0), DVec3::new(1.0, 1.0, 0.0), 6.0);
        one.plan.hang.rubber.up = stand.0 * DVec3::Y;
        assert_eq!(struck(&one), [None]);
        let scar = 9.0 * std::f64::consts::PI * 2f64.sqrt();
        let got = one.report().feed.figures.gates[0].scar_mm2;
        assert!((got / scar - 1.0).abs() < 0.01, "{got} for {scar}");
    }
}

/// Every leg: up off the floor, level through a post, and up.
#[test]
#[ignore = "long"]
fn long_a_leg_through_a_post_is_found_and_named() {
    let mut mesh = solids::cuboid(Vec3::new(-30.0, -30.0, 0.0), Vec3::new(60.0, 30.0, 10.0));
    mesh.append(&solids::cylinder(Vec3::new(25.0, 0.0, 5.0), Vec3::new(25.0, 0.0, 60.0), 1.0, 48));
    for stand in stands() {
        let corners = [DVec3::new(0.0, 0.0, 30.0), DVec3::new(50.0, 0.0, 30.0)];
        let job = wide(&mesh, stand, DVec3::new(0.0, 0.0, 10.0), DVec3::Z).runner(&corners);
        let found = struck(&job)[0].expect("through the post");
        // π·1²·12, less what the post's section makes of a chord that is not all of 12: under 1 %.
        let volume = 12.0 * std::f64::consts::PI;
        assert!((found.volume_mm3 / volume - 1.0).abs() < 0.1, "{} for {volume}", found.volume_mm3);
        assert_eq!(found.leg, 2);
        assert!(job.findings("channel-in-part")[0].message.contains("leg 3"));
    }
}

/// Mouths of every sort, coarse walls among them, are no strike: a tip, a slope, a top, an edge, a corner, a ball's side.
#[test]
fn mouths_are_no_strikes() {
    let cone = solids::frustum(Vec3::ZERO, Vec3::new(0.0, 0.0, 30.0), 20.0, 0.5, 12);
    let block = solids::cuboid(Vec3::new(-15.0, -20.0, 0.0), Vec3::new(15.0, 20.0, 60.0));
    let ball = solids::ball(Vec3::ZERO, 20.0, 2);
    for stand in stands() {
        let tip = Job::new(&cone, stand).vent(DVec3::new(0.0, 0.0, 30.0), DVec3::Z);
        assert_eq!(struck(&tip), [None]);
        for at in [DVec3::new(0.0, 0.0, 60.0), DVec3::new(15.0, 3.0, 60.0), DVec3::new(15.0, 20.0, 60.0)] {
            assert_eq!(struck(&Job::new(&block, stand).gate(at, DVec3::Z, 8.0)), [None], "{at}");
        }
        let side = Job::new(&ball, stand).vent(DVec3::new(0.0, 0.0, 19.9), DVec3::Z);
        assert_eq!(struck(&side), [None]);
    }
}

/// A vent's rod that starts under the part: all of the part above it, π·0.6²·10.
#[test]
fn a_vent_under_the_part_goes_through_all_of_it() {
    let plate = solids::cuboid(Vec3::new(-30.0, -20.0, 0.0), Vec3::new(30.0, 20.0, 10.0));
    for stand in stands() {
        let job = Job::new(&plate, stand).vent(DVec3::ZERO, -DVec3::Z);
        let found = struck(&job)[0].expect("through the plate");
        let volume = std::f64::consts::PI * 0.36 * (10.0 - 0.3);
        assert!((found.volume_mm3 / volume - 1.0).abs() < 0.02, "{} for {volume}", found.volume_mm3);
        assert_eq!(job.findings("channel-in-part")[0].severity, Severity::Stop);
    }
}

/// Whole plans as proposed run through nothing, and no gate is wider than the shop lets its wall take.
#[test]
#[ignore = "long"]
fn long_no_proposal_runs_through_the_part_or_crowds_its_wall() {
    let bracket = {
        let mut mesh = solids::cuboid(Vec3::new(0.0, 0.0, 0.0), Vec3::new(60.0, 40.0, 4.0));
        mesh.append(&solids::cuboid(Vec3::new(0.0, 0.0, 0.0), Vec3::new(2.0, 40.0, 35.0)));
        mesh.append(&solids::cuboid(Vec3::new(20.0, 0.0, 0.0), Vec3::new(22.0, 40.0, 12.0)));
        mesh
    };
    let roof =
        prism(&[(-30.0, 0.0), (30.0, 0.0), (0.0, 40.0)].map(|(x, y)| Vec2::new(x, y)), &[[0, 1, 2]], -20.0, 20.0);
    let plate = solids::cuboid(Vec3::ZERO, Vec3::new(60.0, 40.0, 1.2));
    for (k, (mesh, up, draw)) in
        [(bracket, DVec3::Z, DVec3::Y), (roof, DVec3::Y, DVec3::Z), (plate, DVec3::Y, DVec3::Z)].into_iter().enumerate()
    {
        let stand = stands()[k % 2];
        let mut job = Job::new(&mesh, stand);
        let given = Given { up: Some(stand.0 * up), draw: Some(stand.0 * draw) };
        job.plan = propose(&job.bench, &job.plan, given, &Run::new()).expect("a plan").plan;
        assert!(!job.plan.feed.gates.is_empty() && !job.plan.vents.is_empty(), "shape {k}");
        assert!(struck(&job).iter().all(Option::is_none), "shape {k}: {:?}", struck(&job));
        for gate in job.report().feed.figures.gates {
            let of = gate.of_wall.unwrap_or(0.0);
            assert!(of <= gate.of_wall_limit + 0.01, "shape {k}: {of} of {}", gate.of_wall_limit);
        }
    }
}

#[test]
fn a_runner_laid_by_hand_that_finds_no_way_changes_nothing() {
    let mut job = wide(&floor_and_wall(), stands()[1], DVec3::new(0.0, 0.0, 10.0), DVec3::Z);
    let before: Gate = job.plan.feed.gates[0].clone();
    match lay_runner_into(&job.bench, &mut job.plan, 1, None, &Run::new()).expect("tried") {
        true => assert_eq!(struck(&job), [None]),
        false => assert_eq!(job.plan.feed.gates[0], before),
    }
}
