//! Near-level ceilings and the wedge, worked by hand, turned, and on shapes that cannot be freed.

use super::shapes::{Dice, block, cubes, shuffled, vent};
use crate::study::ways_up::hang_search::body;
use glam::{DAffine3, DQuat, DVec3, Quat, Vec3};
use mouldbench::mesh::{Mesh, solids};
use mouldbench::shop::{Limits, Shop};
use mouldbench::solve::run::Run;
use mouldbench::study::air::bubble::sealed_mm3;
use mouldbench::study::air::ceilings::{Ceilings, area_mm2};
use mouldbench::study::air::propose::propose;
use mouldbench::study::air::{Air, Matters, Mouth};
use mouldbench::study::ways_up::wedge::{Asked, Edge, Wedge, wedge};

const NEAR_DEG: f64 = 5.0;

fn ceilings(mesh: &Mesh, up: Vec3) -> Ceilings {
    Ceilings::of(&body(mesh), up, NEAR_DEG, &Run::new()).expect("nobody cancels")
}

/// The longest way under the largest ceiling to a vent on it.
fn run_mm(mesh: &Mesh, up: Vec3, mouths: &[Mouth]) -> Option<f64> {
    ceilings(mesh, up).runs_mm(&body(mesh), mouths, &Run::new()).expect("nobody cancels")[0]
}

fn plate() -> Mesh {
    solids::cuboid(Vec3::new(-50.0, -30.0, 0.0), Vec3::new(50.0, 30.0, 4.0))
}

/// A level plate: 6000 mm² in one piece, its middle in the middle, freed by a tilt of the angle itself; the longest way to
/// a vent in the middle is half the diagonal, to one in a corner the whole, to four in the corners half again.
#[test]
fn a_level_plate() {
    let middle = ceilings(&plate(), Vec3::Z);
    assert!((middle.area_mm2 - 6000.0).abs() < 1e-2 && middle.patches.len() == 1);
    let patch = &middle.patches[0];
    assert!(patch.position.distance(Vec3::new(0.0, 0.0, 4.0)) < 1e-3 && patch.normal == Vec3::Z);
    let tilt = patch.tilt.expect("a plate can be tilted");
    assert!((tilt.degrees - NEAR_DEG).abs() < 0.51 && tilt.towards.z.abs() < 1e-6, "{tilt:?}");
    let half = 50f64.hypot(30.0);
    let run = |mouths: &[Mouth]| run_mm(&plate(), Vec3::Z, mouths);
    let in_the_middle = vent(1, Vec3::new(0.0, 0.0, 4.0), Vec3::Z, 1.0);
    assert!((run(&[in_the_middle]).expect("a vent") - half).abs() < 0.01);
    let corner = |x: f32, y: f32| vent(1, Vec3::new(x, y, 4.0), Vec3::Z, 1.0);
    assert!((run(&[corner(50.0, 30.0)]).expect("a vent") - 2.0 * half).abs() < 0.01);
    let four = [corner(50.0, 30.0), corner(-50.0, 30.0), corner(50.0, -30.0), corner(-50.0, -30.0)];
    assert!((run(&four).expect("vents") - half).abs() < 2.0, "the middle is furthest from all four");
    assert_eq!(run(&[]), None);
    assert_eq!(run(&[vent(1, Vec3::new(0.0, 0.0, 0.0), -Vec3::Z, 1.0)]), None, "a vent in the floor is none on it");
}

/// The way goes along the ceiling: round the inner corner of an angle, round the bend of a horseshoe, not through the rubber
/// between its arms. Vents on the very corners open on the top even where the nearest face is a side.
#[test]
fn the_way_to_a_vent_follows_the_ceiling() {
    let mut dice = Dice(3);
    // Arms of 60 and 40, 10 wide: from the far corner of one to the inner corner at (10, 10), and on to the other's.
    let angle = cubes(5.0, [block((0, 0, 0), (12, 2, 2)), block((0, 0, 0), (2, 8, 2))].concat());
    let by_hand = 50f64.hypot(10.0) + 30f64.hypot(10.0);
    // A horseshoe: arms of 70, a bridge of 30, all 10 wide; 10 mm of the inner side of the bridge.
    let shoe =
        cubes(5.0, [block((0, 0, 0), (14, 2, 2)), block((0, 4, 0), (14, 6, 2)), block((0, 0, 0), (2, 6, 2))].concat());
    let round = 2.0 * 60f64.hypot(10.0) + 10.0;
    for (mesh, at, by_hand) in
        [(angle, DVec3::new(60.0, 0.0, 10.0), by_hand), (shoe, DVec3::new(70.0, 0.0, 10.0), round)]
    {
        for away in [0.0, 200.0] {
            let turn = DQuat::from_axis_angle(dice.direction(), 2.0 * dice.unit());
            let moved = mesh.transformed(&DAffine3::from_rotation_translation(turn, DVec3::splat(away)));
            let up = (turn * DVec3::Z).as_vec3();
            let place = (turn * at + DVec3::splat(away)).as_vec3();
            let run =
                run_mm(&shuffled(&moved, &mut dice), up, &[vent(1, place, up, 1.0)]).expect("a vent on its corner");
            assert!((run / by_hand - 1.0).abs() < 0.012, "{run} along it, {by_hand} by hand");
        }
    }
}

/// Tilted by less than the angle it is still a ceiling, by more it is none; a part on its tilt stays free.
#[test]
fn the_angle_counts() {
    for (deg, level) in [(0.0f32, true), (4.8, true), (5.2, false), (30.0, false)] {
        let up = Quat::from_rotation_y(deg.to_radians()) * Vec3::Z;
        let found = ceilings(&plate(), up);
        assert_eq!(found.area_mm2 > 5000.0, level, "{deg}°: {}", found.area_mm2);
        assert!((found.area_mm2 - area_mm2(&plate(), up, NEAR_DEG)).abs() < 1e-6);
    }
    // The tilt that is told frees it indeed, wherever it stands within the angle.
    let up = Quat::from_rotation_y(2f32.to_radians()) * Vec3::Z;
    let patch = &ceilings(&plate(), up).patches[0];
    let tilt = patch.tilt.expect("it can be tilted");
    assert!(tilt.degrees < 4.0, "it leans already: {tilt:?}");
    let (s, c) = tilt.degrees.to_radians().sin_cos();
    assert!(area_mm2(&plate(), up * c as f32 + tilt.towards * s as f32, NEAR_DEG - 1e-3) < 1.0);
}

/// The top of a ball: 2πR²(1 − cos 5°) within the angle, and no tilt that rids it of a top.
#[test]
fn a_dome_cannot_be_freed() {
    let ball = solids::ball(Vec3::ZERO, 40.0, 6);
    let found = ceilings(&ball, Vec3::Z);
    let cap = std::f64::consts::TAU * 1600.0 * (1.0 - 5f64.to_radians().cos());
    assert!((found.area_mm2 / cap - 1.0).abs() < 0.1, "{} / {cap}", found.area_mm2);
    assert!(found.patches.len() == 1 && found.patches[0].tilt.is_none());
}

/// Patches are told apart by where they hang together, and found again turned, shuffled and far off.
#[test]
fn patches_of_steps() {
    let stairs =
        cubes(5.0, [block((0, 0, 0), (6, 4, 1)), block((0, 0, 1), (3, 4, 2)), block((0, 0, 2), (1, 4, 3))].concat());
    let areas = |mesh: &Mesh, up: Vec3| -> Vec<i64> {
        ceilings(mesh, up).patches.iter().map(|p| p.area_mm2.round() as i64).collect()
    };
    assert_eq!(areas(&stairs, Vec3::Z), [300, 200, 100]);
    let mut dice = Dice(6);
    for _ in 0..3 {
        let turn = DQuat::from_axis_angle(dice.direction(), 3.0 * dice.unit());
        let moved = stairs.transformed(&DAffine3::from_rotation_translation(turn, DVec3::splat(200.0)));
        assert_eq!(areas(&shuffled(&moved, &mut dice), (turn * DVec3::Z).as_vec3()), [300, 200, 100]);
    }
}

fn wedged(mesh: &Mesh, asked: &Asked) -> Option<Wedge> {
    let body = body(mesh);
    let air = Air::new(&body.mesh, &body.tree, asked.now, 0.0, &Run::new()).expect("nobody cancels");
    let limits = Shop::bundled().limits;
    let proposed = |air: &Air| Ok(vents(air, &limits));
    wedge(&body, &air.level, asked, &limits, &proposed, &Run::new()).expect("nobody cancels")
}

/// Vents that are proposed where every wall takes the usual one.
fn vents(air: &Air, limits: &Limits) -> usize {
    let limit_mm3 = sealed_mm3(limits.bubble_mm, limits.chamber_pa);
    propose(air, &[], limits.vent_mm, limit_mm3, &Run::new()).expect("nobody cancels").mouths.len()
}

fn asked(now: Vec3, mouths: Vec<Mouth>, cut: bool) -> Asked {
    let limits = Shop::bundled().limits;
    let matters = Matters::from(sealed_mm3(limits.bubble_mm, limits.chamber_pa));
    let (base, lengths_mm) = ([Vec3::Z, Vec3::X, Vec3::Y], [200.0, 150.0]);
    Asked { base, lengths_mm, now, mouths, cut, gates: Vec::new(), matters }
}

/// A level plate is freed by a wedge under any edge; the lift is the block's own length times the sine of the tilt.
#[test]
fn a_plate_wants_a_wedge() {
    let found = wedged(&plate(), &asked(Vec3::Z, Vec::new(), false)).expect("a level plate is freed by a wedge");
    assert!(found.now.ceiling_mm2 > 5999.0 && found.with.ceiling_mm2 < 1.0, "{found:?}");
    let length = if matches!(found.edge, Edge::Left | Edge::Right) { 200.0 } else { 150.0 };
    assert!((found.lift_mm - length * found.tilt_deg.to_radians().sin()).abs() < 1e-9);
    assert!((found.up.dot(Vec3::Z).acos().to_degrees() as f64 - found.tilt_deg).abs() < 1e-3);
    // Standing on that wedge already, there is nothing left to gain.
    let mut on_it = asked(Vec3::Z, Vec::new(), false);
    on_it.now = found.up;
    assert_eq!(wedged(&plate(), &on_it), None);
}

/// A bar with a shallow dip of 1 mm in the middle of its top has two high points level; tilted along itself it has one.
#[test]
fn a_shallow_dip_needs_one_vent_on_a_wedge() {
    // Slopes of 1 in 30, 1.9°: any tilt beyond that along the bar leaves one end up.
    let found = wedged(&dipped_bar(), &asked(Vec3::Z, Vec::new(), false)).expect("a wedge helps");
    assert_eq!((found.now.high_points, found.with.high_points), (2, 1), "{found:?}");
    assert!(matches!(found.edge, Edge::Left | Edge::Right), "{found:?}");
}

/// Once the block is cut its vents stay: with the one vent at the left end of a dipped bar, raising the left edge empties
/// the other end too.
#[test]
fn after_the_cut_the_vents_stay() {
    let bar = cubes(2.0, block((0, 0, 0), (30, 5, 4)));
    let left = vec![vent(1, Vec3::new(0.5, 5.0, 8.0), Vec3::Z, 1.0)];
    let flat = wedged(&bar, &asked(Vec3::Z, left.clone(), true)).expect("a level bar is freed by a wedge");
    assert!(flat.with.trapped_mm3 <= flat.now.trapped_mm3.max(1.0), "and never at the price of air: {flat:?}");
    // Level, the other end of a dipped bar holds ½ · 30 · 1 · 10 mm³ above the dip.
    let found = wedged(&dipped_bar(), &asked(Vec3::Z, left, true)).expect("a wedge helps");
    assert_eq!(found.edge, Edge::Left, "{found:?}");
    assert!((found.now.trapped_mm3 - 150.0).abs() < 6.0 && found.with.trapped_mm3 < 6.0, "{found:?}");
    assert_eq!(
        wedged(&dipped_bar(), &asked(found.up, vec![vent(1, Vec3::new(0.5, 5.0, 8.0), Vec3::Z, 1.0)], true)),
        None
    );
}

/// A bar 60 × 10 × 8 along X whose top dips by 1 mm in the middle, straight down from both ends.
fn dipped_bar() -> Mesh {
    let mut bar = cubes(2.0, block((0, 0, 0), (30, 5, 4)));
    for p in &mut bar.positions {
        if p.z > 7.9 {
            p.z -= 1.0 - (p.x - 30.0).abs() / 30.0;
        }
    }
    bar
}

/// The attitude on the wedge brings its up to the top and turns the block no further about it.
#[test]
fn the_wedges_attitude() {
    let found = wedged(&plate(), &asked(Vec3::Z, Vec::new(), false)).expect("a wedge");
    for cast in [
        mouldbench::plan::Attitude::default(),
        mouldbench::plan::Attitude { up: DVec3::Z, turn: 1.0 },
        mouldbench::plan::Attitude { up: -DVec3::Y, turn: -2.0 },
    ] {
        let on = found.attitude(&cast);
        let up = on.upright_from_set().inverse() * DVec3::Z;
        assert!(up.distance(found.up.as_dvec3().normalize()) < 1e-6);
    }
    let cast = mouldbench::plan::Attitude { up: DVec3::Z, turn: 1.0 };
    let turned = found.attitude(&cast).upright_from_set() * cast.upright_from_set().inverse();
    let (axis, angle) = turned.to_axis_angle();
    assert!(axis.z.abs() < 1e-6 && (angle.to_degrees() - found.tilt_deg).abs() < 1e-3, "only tipped: {axis} {angle}");
}
