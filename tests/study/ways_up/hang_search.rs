//! The search for a way up: every criterion against closed forms and against the exact facts, and what follows from
//! weights.

use crate::study::air::shapes::{
    Dice, block, bumpy_ball, columns, cubes, gallery, inverted_u, shuffled, two_towers, upright_u, vent,
};
use crate::study::parting::shapes::drilled_cube;
use crate::study::parting::whole::t_slot;
use glam::{DAffine3, DQuat, DVec3, Quat, Vec3};
use mouldbench::mesh::measure::Measures;
use mouldbench::mesh::tree::Tree;
use mouldbench::mesh::{Mesh, solids};
use mouldbench::plan::{BlockPlan, HangWeights};
use mouldbench::shop::{Limits, Shop};
use mouldbench::solve::run::{Cancelled, Run};
use mouldbench::study::air::high_points::high_points;
use mouldbench::study::air::{Air, walk};
use mouldbench::study::job::body::Body;
use mouldbench::study::parting::surface::Surface;
use mouldbench::study::parting::visibility::Visibility;
use mouldbench::study::ways_up::candidates::candidates;
use mouldbench::study::ways_up::{Asked, Criteria, Criterion, Each, HangSearch, Measurer, measure, search, words};
use std::f64::consts::PI;
use std::sync::Arc;

pub fn body(mesh: &Mesh) -> Body {
    Body {
        id: 1,
        tree: Arc::new(Tree::of(mesh)),
        bounds: mesh.bounds(),
        measures: Measures::of(mesh),
        mesh: Arc::new(mesh.clone()),
        trouble: None,
        displaced_mm3: Vec::new(),
    }
}

/// A part whose master is itself, alone in its block.
fn alone(mesh: &Mesh) -> [Each; 1] {
    let body = Arc::new(body(mesh));
    [Each { master: body.clone(), body, inserts: Arc::default() }]
}

fn limits() -> Limits {
    Shop::bundled().limits
}

fn asked() -> Asked {
    Asked { draw: DVec3::Y, shown: Vec::new(), block: BlockPlan::default() }
}

/// One direction of a mesh, the level draw chosen among the axes of the part.
fn measured(mesh: &Mesh, up: Vec3, axes: &[Vec3]) -> Criteria {
    let (parts, limits, asked) = (alone(mesh), limits(), asked());
    let draws = measure::undercuts(&parts, axes, &Run::new()).expect("nobody cancels");
    let measurer = Measurer::new(&parts, &limits, &asked, draws, &Run::new()).expect("nobody cancels");
    measurer.one(up, &Run::new()).expect("nobody cancels").criteria
}

fn searched(mesh: &Mesh, asked: &Asked) -> HangSearch {
    search(&alone(mesh), &limits(), asked, Vec3::Z, &Run::new(), |_| ()).expect("nobody cancels")
}

/// A plate 100 × 60 × 2 standing level with a vent in its middle: leaning by the shop's 2° to eight sides, all above the
/// plane through the vent is a wedge under the top; by hand ½·tan θ·60·50² towards the short side, ½·tan θ·100·30² towards
/// the long one, and the same cut by the floor of the plate where it is deeper than 2 mm (it is not: 50·tan 2° = 1.75).
#[test]
fn a_plate_by_hand() {
    let plate = solids::cuboid(Vec3::new(-50.0, -30.0, 0.0), Vec3::new(50.0, 30.0, 2.0));
    let axes = [Vec3::X, Vec3::Y, Vec3::Z];
    let c = measured(&plate, Vec3::Z, &axes);
    assert_eq!(c.high_points, Some(1));
    let tan = 2f64.to_radians().tan();
    // Leaning over a corner by θ: slopes tan θ·cos 45° both ways; the wedge is symmetric about the vent, so that half of
    // ∫|x + y|·tan θ/√2 over the plate lies above it.
    let (a, b) = (50.0f64, 30.0f64);
    let corner = tan / 2f64.sqrt() * (a * a * b + b * b * b / 3.0);
    let expected = (0.5 * tan * 60.0 * 2500.0).max(corner);
    let air = c.air_mm3.expect("a closed mesh");
    assert!((air / expected - 1.0).abs() < 0.01, "{air} / {expected}");
    assert!((c.ceiling_mm2 - 6000.0).abs() < 0.01 && (c.upper_mm2 - 6000.0).abs() < 0.01);
    assert!((c.height_mm - 2.0).abs() < 1e-5);
    // 15 mm of rubber round a part up to 100 mm and below it, 30 above: the shop's figures.
    assert_eq!(c.block_mm, [130.0, 90.0, 47.0]);
    assert!(c.undercut_level_mm2 == 0.0 && c.undercut_upright_mm2 == 0.0);
    // On edge: its upper side is 100 × 2, and nothing else is level.
    let edge = measured(&plate, Vec3::Y, &axes);
    assert!((edge.ceiling_mm2 - 200.0).abs() < 0.01 && (edge.height_mm - 60.0).abs() < 1e-4);
    // Tilted by 10° there is no level ceiling, and one high point: an edge.
    let tilted = measured(&plate, Quat::from_rotation_y(10f32.to_radians()) * Vec3::Z, &axes);
    assert!(tilted.ceiling_mm2 == 0.0 && tilted.high_points == Some(1));
}

/// The exact walk over nine trees with a vent of next to no width at each high point. With one pocket all above the vent's
/// plane stays in both; the exact walk also has what a lean shuts in lower down, and where it has nothing of that kind
/// both are the same.
#[test]
fn air_left_leaning_against_the_exact_walk() {
    let mut dice = Dice(77);
    let (mut same, mut single) = (0, 0);
    for (name, mesh) in gallery() {
        let mesh = shuffled(&mesh, &mut dice);
        let directions = (0..5).map(|_| dice.direction().as_vec3()).collect::<Vec<_>>();
        for up in [Vec3::Z, Vec3::X].into_iter().chain(directions) {
            let limit = limits().air_pocket_mm3;
            let tree = Arc::new(Tree::of(&mesh));
            let air = Air::new(&Arc::new(mesh.clone()), &tree, up, 2.0, &Run::new()).expect("nobody cancels");
            let points = high_points(&air.level, limit);
            let mouths: Vec<_> =
                points.iter().enumerate().map(|(i, p)| vent(i as u32, p.position, Vec3::ZERO, 1e-3)).collect();
            let c = measured(&mesh, up, &[Vec3::Z]);
            let quick = c.air_mm3.expect("closed");
            assert_eq!(c.high_points, Some(points.len()), "{name}");
            assert!(quick <= points.iter().map(|p| p.pocket_mm3).sum::<f64>() + 1e-6);
            if points.len() > 1 {
                continue;
            }
            single += 1;
            let exact = air.worst_mm3(&mouths);
            let whole = Measures::of(&mesh).volume_mm3;
            assert!(quick <= exact * 1.005 + 1e-5 * whole, "{name} {up:?}: {quick} > {exact}");
            let lower_down = air.leaning.iter().any(|tree| {
                let rims: Vec<_> = mouths.iter().filter_map(|m| tree.rim(m)).collect();
                let rim = rims[0].height;
                walk::pieces(tree, &rims).iter().any(|p| p.level < rim - 1e-3 && p.volume_mm3 > 1e-5 * whole)
            });
            if !lower_down {
                same += 1;
                assert!(quick >= exact * 0.995 - 1e-5 * whole, "{name} {up:?}: {quick} < {exact}");
            }
        }
    }
    assert!(single >= 20 && same >= 12, "{same} of {single}");
}

/// Draws level in a hang and upright. The block with a T-slot along Y (6000 of its 32 000 mm² hidden for a draw that is not
/// along the slot, check values G13) hung by any end: level along the slot where Y is level, upright where Y is up. The
/// drilled cube (π·d·L hidden across the hole). Within two per cent of the surface, as the rasters are.
#[test]
fn undercuts_for_level_and_upright_draws() {
    let axes = [Vec3::X, Vec3::Y, Vec3::Z];
    let slot = t_slot();
    let area = Measures::of(&slot).area_mm2;
    let near = |got: f64, wanted: f64| assert!((got - wanted).abs() < 0.02 * area, "{got} / {wanted}");
    let upright = measured(&slot, Vec3::Z, &axes);
    near(upright.undercut_upright_mm2, 6000.0);
    near(upright.undercut_level_mm2, 0.0);
    let on_end = measured(&slot, Vec3::Y, &axes);
    near(on_end.undercut_upright_mm2, 0.0);
    assert!(on_end.undercut_level_mm2 > 0.1 * area, "no level draw goes along an upright slot");
    // Only nearly level in the kept ones: made level, it goes along the slot.
    let aslant = Quat::from_rotation_x(5f32.to_radians()) * Vec3::Y;
    near(measured(&slot, Vec3::Z, &[aslant]).undercut_level_mm2, 0.0);
    let cube = drilled_cube(40.0, 10.0, 64);
    let across = measured(&cube, Vec3::X, &axes);
    assert!((across.undercut_upright_mm2 - PI * 20.0 * 40.0).abs() < 0.02 * Measures::of(&cube).area_mm2);
    assert!(across.undercut_level_mm2 < 0.02 * Measures::of(&cube).area_mm2);
}

/// The rasters against rays from every triangle, as the parting casts them, on shapes with handles, bumps and slots.
#[test]
fn undercuts_against_rays() {
    let mut dice = Dice(5);
    for (name, mesh) in
        [("slot", t_slot()), ("columns", columns(&mut Dice(7))), ("torus", solids::torus(30.0, 10.0, 96, 48))]
    {
        let surface = Surface::new(&mesh, &Run::new()).expect("nobody cancels");
        let tree = Tree::of(&surface.mesh);
        for up in [Vec3::Z, Vec3::X, dice.direction().as_vec3()] {
            let seen = Visibility::of(&surface, &tree, up, &Run::new()).expect("nobody cancels");
            let area = |t: usize| surface.mesh.double_area_normal(t).length() as f64 * 0.5;
            let rays: f64 = (0..surface.mesh.triangles.len()).map(|t| area(t) * seen.from_both[t] as f64).sum();
            let raster = measured(&mesh, up, &[Vec3::Z]).undercut_upright_mm2;
            let whole = Measures::of(&mesh).area_mm2;
            // On the torus undercuts shallower than a cell are wide bands, see the rasters' own test.
            let allowed = if name == "torus" { 0.1 } else { 0.06 };
            assert!(
                (raster - rays).abs() < allowed * whole,
                "{name} {up:?}: {raster} by raster, {rays} by rays of {whole}"
            );
        }
    }
}

/// Mesh and up turned together, far from the origin or shuffled, measure alike.
#[test]
fn turning_mesh_and_up_together_changes_nothing() {
    let mut dice = Dice(4711);
    for (name, mesh) in [("bumpy", bumpy_ball(20.0, 4)), ("towers", two_towers()), ("slot", t_slot())] {
        for _ in 0..3 {
            let up = dice.direction();
            let turn = DQuat::from_axis_angle(dice.direction(), 1.0 + dice.unit());
            let moved = mesh.transformed(&DAffine3::from_rotation_translation(turn, DVec3::new(300.0, -200.0, 50.0)));
            let moved = shuffled(&moved, &mut dice);
            let draw = up.any_orthonormal_vector().as_vec3();
            let a = measured(&mesh, up.as_vec3(), &[draw]);
            let b = measured(&moved, (turn * up).as_vec3(), &[(turn * draw.as_dvec3()).as_vec3()]);
            assert_eq!(a.high_points, b.high_points, "{name}");
            let whole = Measures::of(&mesh);
            assert!((a.air_mm3.expect("closed") - b.air_mm3.expect("closed")).abs() < 1e-3 * whole.volume_mm3);
            assert!((a.ceiling_mm2 - b.ceiling_mm2).abs() < 5e-3 * whole.area_mm2, "{name}");
            assert!((a.height_mm - b.height_mm).abs() < 1e-3, "{name}");
            for (x, y) in
                [(a.undercut_level_mm2, b.undercut_level_mm2), (a.undercut_upright_mm2, b.undercut_upright_mm2)]
            {
                assert!((x - y).abs() < 0.04 * whole.area_mm2, "{name}: {x} / {y}");
            }
        }
    }
}

/// A cone has one high point any way up, but stands best with its tip up or nearly: the wide base up is a level ceiling. A
/// flat tray with a rim hung with its floor down keeps no level ceiling over its inside.
#[test]
fn the_best_ways_up_of_plain_shapes() {
    let cone = solids::frustum(Vec3::ZERO, Vec3::new(0.0, 0.0, 30.0), 20.0, 0.5, 48);
    let found = searched(&cone, &asked());
    let best = &found.scored[found.best(&HangWeights::default())];
    assert_eq!(best.criteria.high_points, Some(1));
    assert!(best.criteria.ceiling_mm2 < 30.0, "{best:?}");
    let down = found.nearest(-Vec3::Z);
    let weights = HangWeights::default();
    let cost = |i: usize| found.total(&found.scored[i].criteria, &weights);
    assert!(cost(down) > cost(found.best(&weights)) + 4.0, "base up is a level ceiling all over");
    // One pocket where the inverted U's feet point up gives two.
    let u = searched(&inverted_u(), &asked());
    assert_eq!(u.scored[u.nearest(Vec3::Z)].criteria.high_points, Some(1));
    assert_eq!(u.scored[u.nearest(-Vec3::Z)].criteria.high_points, Some(2));
}

/// Weights change the total at once and the choice with it; a weight of nothing makes its criterion not count.
#[test]
fn weights_choose() {
    let rod = cubes(2.0, crate::study::air::shapes::block((0, 0, 0), (2, 2, 30)));
    let found = searched(&rod, &asked());
    let none = HangWeights {
        high_point: 0.0,
        air: 0.0,
        rubber_air: 0.0,
        ceiling: 0.0,
        height: 0.0,
        block: 0.0,
        undercut_level: 0.0,
        undercut_upright: 0.0,
        shown: 0.0,
    };
    assert!(found.totals(&none).iter().all(|t| *t == 0.0));
    let low = HangWeights { height: 5.0, ..none };
    let best = &found.scored[found.best(&low)];
    assert!(best.criteria.height_mm < 4.01, "lying: {best:?}");
    let steep = HangWeights { ceiling: 5.0, ..none };
    assert_eq!(found.scored[found.best(&steep)].criteria.ceiling_mm2, 0.0);
    for c in Criterion::ALL {
        let mut one = none;
        *c.weight_of(&mut one) = 3.0;
        let criteria = &found.scored[7].criteria;
        let loss = c.loss(criteria, &found.norms).expect("a closed body");
        assert!((found.total(criteria, &one) - 3.0 * loss).abs() < 1e-12, "{c:?}");
        assert_eq!(c.weight(&one), 3.0);
    }
}

/// A shown surface makes ways up that turn it down or upright better.
#[test]
fn shown_surfaces_do_not_face_up() {
    let ball = solids::ball(Vec3::ZERO, 15.0, 3);
    let shown = Asked { shown: vec![Vec3::X], ..asked() };
    let found = searched(&ball, &shown);
    let c = |d: Vec3| found.scored[found.nearest(d)].criteria.shown_up;
    assert!((c(Vec3::X) - 1.0).abs() < 1e-6 && c(-Vec3::X) == 0.0 && c(Vec3::Z) < 1e-6);
    let best = found.scored[found.best(&HangWeights::default())];
    assert!(best.up.x < 0.3, "{:?}", best.up);
}

/// Candidates: three to five, 25° apart, the best first, and each trades something.
#[test]
fn candidates_lie_apart_and_trade() {
    let mut dice = Dice(99);
    let mut most = 0;
    let stairs =
        cubes(8.0, [block((0, 0, 0), (6, 4, 1)), block((0, 0, 1), (4, 4, 2)), block((0, 0, 2), (2, 4, 3))].concat());
    for mesh in [two_towers(), t_slot(), columns(&mut dice), bumpy_ball(20.0, 4), stairs, upright_u()] {
        let found = searched(&mesh, &asked());
        assert!(found.complete);
        for weights in [HangWeights::default(), HangWeights { height: 20.0, ..HangWeights::default() }] {
            let chosen = candidates(&found, &weights);
            assert!((1..=5).contains(&chosen.len()), "{chosen:?}");
            most = most.max(chosen.len());
            // Each of any two is better than the other at something.
            let better = |a: usize, b: usize| {
                let loss = |c: Criterion, i: usize| c.loss(&found.scored[i].criteria, &found.norms).unwrap_or(0.0);
                Criterion::ALL.iter().any(|c| loss(*c, a) < loss(*c, b) - 1e-3)
            };
            for a in &chosen {
                for b in chosen.iter().filter(|b| *b != a) {
                    assert!(better(*a, *b), "{:?} against {:?}", found.scored[*a], found.scored[*b]);
                }
            }
            assert_eq!(chosen[0], found.best(&weights));
            for (i, a) in chosen.iter().enumerate() {
                for b in &chosen[i + 1..] {
                    let apart = found.scored[*a].up.dot(found.scored[*b].up).clamp(-1.0, 1.0).acos().to_degrees();
                    assert!(apart > 24.9, "{apart}");
                }
            }
            let totals = found.totals(&weights);
            assert!(chosen.windows(2).all(|w| totals[w[0]] <= totals[w[1]]));
        }
    }
    assert!(most >= 3, "{most}");
}

/// Hundreds of directions, evenly over the sphere: none is further than 12° from one that was measured.
#[test]
fn directions_cover_the_sphere() {
    let found = searched(&t_slot(), &asked());
    assert!(found.scored.len() >= 200, "{}", found.scored.len());
    let mut dice = Dice(3);
    for _ in 0..500 {
        let d = dice.direction().as_vec3();
        let off = found.scored[found.nearest(d)].up.dot(d).clamp(-1.0, 1.0).acos().to_degrees();
        assert!(off < 12.0, "{off}");
    }
}

#[test]
fn results_come_as_they_are_found_and_the_work_can_be_stopped() {
    let mesh = t_slot();
    let mut seen = Vec::new();
    let whole = search(&alone(&mesh), &limits(), &asked(), Vec3::Z, &Run::new(), |so_far| {
        assert!(!so_far.complete);
        seen.push(so_far.scored.len());
    })
    .expect("nobody cancels");
    assert!(seen.len() > 5 && seen[0] < whole.scored.len() / 5 && seen.windows(2).all(|w| w[0] < w[1]));
    let run = Run::new();
    let mut pictures = 0;
    let stopped = search(&alone(&mesh), &limits(), &asked(), Vec3::Z, &run, |_| {
        pictures += 1;
        run.cancel();
    });
    assert_eq!((stopped, pictures), (Err(Cancelled), 1));
    // Hung another way the rest stands, and the new way is measured as if it had been asked for at first.
    let (parts, limits) = (alone(&mesh), limits());
    let turned = Vec3::new(0.6, 0.0, 0.8);
    let again = whole.hung_as(&parts, &limits, turned, &Run::new()).expect("nobody cancels");
    let afresh = search(&parts, &limits, &asked(), turned, &Run::new(), |_| ()).expect("nobody cancels");
    assert_eq!(again, afresh);
}

/// An open mesh has no high points to count; the rest is measured all the same, and why is said.
#[test]
fn an_open_mesh_is_measured_without_air() {
    let mut open = t_slot();
    open.triangles.truncate(open.triangles.len() - 1);
    let found = searched(&open, &asked());
    assert!(found.no_air.is_some());
    assert!(found.scored.iter().all(|s| s.criteria.high_points.is_none() && s.criteria.air_mm3.is_none()));
    assert!(found.scored.iter().any(|s| s.criteria.ceiling_mm2 > 0.0));
    assert!(found.totals(&HangWeights::default()).iter().all(|t| t.is_finite()));
}

#[test]
fn trade_offs_in_words() {
    let hung = Criteria { high_points: Some(4), height_mm: 40.0, block_mm: [100.0; 3], ..Criteria::default() };
    let taller = Criteria { high_points: Some(2), height_mm: 74.0, ..hung };
    assert_eq!(words::trade_off(&taller, &hung), "Two high points fewer, but 34 mm taller than as hung");
    let worse = Criteria { high_points: Some(5), ceiling_mm2: 120.0, ..hung };
    assert_eq!(words::trade_off(&worse, &hung), "One high point more, 120 mm² more near-level ceiling than as hung");
    assert_eq!(words::trade_off(&hung, &hung), "Much the same as it hangs now");
    assert_eq!(words::direction(Vec3::Z), "+Z up");
    assert_eq!(words::direction(-Vec3::X), "−X up");
    let tilted = Quat::from_rotation_y(20f32.to_radians()) * Vec3::Z;
    assert_eq!(words::direction(tilted), "+Z up, 20° towards +X");
}
