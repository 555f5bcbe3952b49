//! Air in the rubber pour and second basins: worked by hand, against a flood over cells of our own, turned, and on meshes
//! that are not sound.

use super::shapes::{Dice, block, columns, cubes, gallery, inverted_u, less, shuffled, upright_u, vent};
use crate::study::ways_up::hang_search::body;
use glam::{DAffine3, DQuat, DVec3, Vec3};
use mouldbench::mesh::measure::Measures;
use mouldbench::mesh::{Mesh, boolean, solids};
use mouldbench::plan::*;
use mouldbench::solve::join_tree::{JoinTree, Sweep};
use mouldbench::solve::run::Run;
use mouldbench::study::air::closed_off::{Pocket, RubberAir, closed_off, rubber_air, second_basins};
use mouldbench::study::air::{Air, Mouth};
use mouldbench::study::job::body::Body;
use std::f64::consts::PI;

fn in_rubber(mesh: &Mesh, up: Vec3) -> RubberAir {
    rubber_air(&body(mesh), &[], up, 1.0, &Run::new()).expect("nobody cancels")
}

fn basins(mesh: &Mesh, up: Vec3, gates: &[Mouth]) -> Vec<Pocket> {
    let body = body(mesh);
    let air = Air::new(&body.mesh, &body.tree, up, 0.0, &Run::new()).expect("nobody cancels");
    second_basins(&body, &air.level, gates, 1.0, &Run::new()).expect("nobody cancels").pockets
}

/// A plate 40 × 40 × 15 with a blind hole Ø6 × 10 in its underside; `sides` of the hole.
fn plate_with_blind_hole(sides: u32) -> Mesh {
    let plate = solids::cuboid(Vec3::new(-20.0, -20.0, 0.0), Vec3::new(20.0, 20.0, 15.0));
    let hole = solids::cylinder(Vec3::new(0.0, 0.0, -5.0), Vec3::new(0.0, 0.0, 10.0), 3.0, sides);
    boolean::subtract(&plate, &[&hole]).expect("sound bodies")
}

/// π·3²·10 = 282.7 mm³ in the hole facing down, less what the polygon cuts off its circle; nothing turned over; on its side
/// nothing either, since the hole is open along its length.
#[test]
fn a_blind_hole_facing_down_keeps_its_air() {
    for sides in [24, 96] {
        let mesh = plate_with_blind_hole(sides);
        let n = sides as f64;
        let polygon = n / 2.0 * (2.0 * PI / n).sin() * 9.0 * 10.0;
        let air = in_rubber(&mesh, Vec3::Z);
        assert!((air.total_mm3 - polygon).abs() < 0.01, "{} / {polygon}", air.total_mm3);
        assert!((air.total_mm3 / 282.743 - 1.0).abs() < 0.012, "{}", air.total_mm3);
        let hole = air.recesses[0];
        assert!((hole.depth_mm - 10.0).abs() < 1e-4 && (hole.position.z - 10.0).abs() < 1e-4, "{hole:?}");
        assert!(hole.position.truncate().length() < 3.01 && !air.on_cells);
        assert_eq!(in_rubber(&mesh, -Vec3::Z).total_mm3, 0.0);
        // Lying, the round hole still has a crest: none of it is below its own rim, so all of it stays open to the side.
        assert!(in_rubber(&mesh, Vec3::X).total_mm3 < 1.0);
    }
}

/// Turned together with up and moved far off, the same air.
#[test]
fn air_in_the_rubber_does_not_depend_on_where_the_part_lies() {
    let mut dice = Dice(31);
    let mesh = plate_with_blind_hole(48);
    let level = in_rubber(&mesh, Vec3::Z).total_mm3;
    for _ in 0..4 {
        let turn = DQuat::from_axis_angle(dice.direction(), 3.0 * dice.unit());
        let moved = mesh.transformed(&DAffine3::from_rotation_translation(turn, dice.direction() * 400.0));
        let moved = shuffled(&moved, &mut dice);
        let found = in_rubber(&moved, (turn * DVec3::Z).as_vec3()).total_mm3;
        assert!((found / level - 1.0).abs() < 1e-3, "{found} / {level}");
    }
    // Tilted by 30° the hole keeps less: the plane through the lower end of its rim cuts it; never more.
    let tilted = in_rubber(&mesh, Vec3::new(0.5, 0.0, 0.866)).total_mm3;
    assert!(tilted < level - 30.0 && tilted > 100.0, "{tilted}");
}

/// The space outside on cells, with a flood of its own that shares nothing with the program: rubber rises layer by layer
/// from below; at each level air that has no way on through cells at that level or above to the top is shut in for good.
fn flooded(mesh: &Mesh, up: DVec3, size: f64) -> (f64, f64) {
    let side = up.any_orthonormal_vector();
    let other = up.cross(side);
    let local = |p: Vec3| DVec3::new(p.as_dvec3().dot(side), p.as_dvec3().dot(other), p.as_dvec3().dot(up));
    let points: Vec<DVec3> = mesh.positions.iter().map(|p| local(*p)).collect();
    let low = points.iter().copied().fold(DVec3::INFINITY, DVec3::min) - DVec3::new(1.37, 1.41, 1.43) * size;
    let high = points.iter().copied().fold(DVec3::NEG_INFINITY, DVec3::max) + DVec3::splat(2.0) * size;
    let n = ((high - low) / size).ceil().to_array().map(|c| c as usize + 1);
    let at = |x: usize, y: usize, z: usize| (z * n[1] + y) * n[0] + x;
    let mut outside = vec![true; n[0] * n[1] * n[2]];
    for x in 0..n[0] {
        for y in 0..n[1] {
            let (px, py) = (low.x + x as f64 * size, low.y + y as f64 * size);
            let mut crossings: Vec<f64> = Vec::new();
            for t in &mesh.triangles {
                let [a, b, c] = t.map(|v| points[v as usize]);
                let p = DVec3::new(px, py, 0.0);
                let w = |s: DVec3, e: DVec3| (e - s).truncate().perp_dot((p - s).truncate());
                let double = (b - a).truncate().perp_dot((c - a).truncate());
                let (wa, wb, wc) = (w(b, c) / double, w(c, a) / double, w(a, b) / double);
                if double != 0.0 && wa >= 0.0 && wb >= 0.0 && wc >= 0.0 {
                    crossings.push(wa * a.z + wb * b.z + wc * c.z);
                }
            }
            crossings.sort_by(f64::total_cmp);
            for pair in crossings.chunks_exact(2) {
                for z in 0..n[2] {
                    let height = low.z + z as f64 * size;
                    if height > pair[0] && height < pair[1] {
                        outside[at(x, y, z)] = false;
                    }
                }
            }
        }
    }
    let mut shut = vec![false; outside.len()];
    for level in 0..n[2] {
        // What the top reaches going through layers from `level` on.
        let mut open = vec![false; outside.len()];
        let mut stack = vec![at(0, 0, n[2] - 1)];
        open[stack[0]] = true;
        while let Some(i) = stack.pop() {
            let (x, y, z) = (i % n[0], i / n[0] % n[1], i / (n[0] * n[1]));
            let mut go = |x: usize, y: usize, z: usize| {
                let j = at(x, y, z);
                if outside[j] && !open[j] {
                    open[j] = true;
                    stack.push(j);
                }
            };
            if x > 0 {
                go(x - 1, y, z);
            }
            if x + 1 < n[0] {
                go(x + 1, y, z);
            }
            if y > 0 {
                go(x, y - 1, z);
            }
            if y + 1 < n[1] {
                go(x, y + 1, z);
            }
            if z > level {
                go(x, y, z - 1);
            }
            if z + 1 < n[2] {
                go(x, y, z + 1);
            }
        }
        for i in at(0, 0, level)..outside.len() {
            shut[i] |= outside[i] && !open[i];
        }
    }
    let volume = shut.iter().filter(|s| **s).count() as f64 * size.powi(3);
    let widest = (0..n[2]).map(|z| (0..n[0] * n[1]).filter(|i| shut[z * n[0] * n[1] + i]).count()).max().unwrap_or(0);
    (volume, widest as f64 * size * size)
}

#[test]
#[ignore = "long"]
fn long_air_in_the_rubber_agrees_with_a_flood_over_cells() {
    let mut dice = Dice(8);
    let mut kept = 0;
    let pit = cubes(2.0, less(block((0, 0, 0), (6, 6, 6)), block((1, 1, 0), (5, 5, 4))));
    // A pit with a step, and two pits that meet at a sill inside before they open.
    let step = cubes(
        2.0,
        less(block((0, 0, 0), (6, 6, 7)), [block((1, 1, 0), (5, 5, 2)), block((1, 1, 2), (3, 5, 6))].concat()),
    );
    let two = cubes(
        2.0,
        less(
            block((0, 0, 0), (9, 5, 7)),
            [block((1, 1, 0), (8, 4, 2)), block((1, 1, 2), (3, 4, 6)), block((6, 1, 2), (8, 4, 4))].concat(),
        ),
    );
    let more = [("pit", pit), ("step", step), ("two pits", two), ("drilled plate", plate_with_blind_hole(16))];
    for (name, mesh) in gallery().into_iter().chain(more) {
        if name == "hollow" || mesh.triangles.len() > 3000 {
            // Rubber never comes into an enclosed void, so the flood would count it; the large ones take too long here.
            continue;
        }
        for up in [DVec3::Z, -DVec3::Z, dice.direction()] {
            let (counted, widest) = flooded(&mesh, up, 0.4);
            let exact = in_rubber(&mesh, up.as_vec3()).recesses.iter().map(|r| r.volume_mm3).sum::<f64>();
            // A sill read a layer off moves the widest section by a cell, and walls half a cell.
            let bound = 2.0 * widest * 0.4 + 0.3 * counted + 3.0;
            assert!((exact - counted).abs() <= bound, "{name} {up:?}: {exact} exact, {counted} on cells, ± {bound}");
            kept += usize::from(exact > 3.0);
        }
    }
    assert!(kept >= 8, "{kept} keep air at all");
}

/// Awkward masters: bodies that touch, a void that no rubber reaches, an open mesh done on cells and said so.
#[test]
fn awkward_masters() {
    assert_eq!(in_rubber(&super::shapes::hollow(), Vec3::Z).total_mm3, 0.0, "an enclosed void is no recess");
    assert!(in_rubber(&super::shapes::touching(), Vec3::Z).total_mm3.is_finite());
    let mut open = body(&plate_with_blind_hole(24));
    // One small triangle of the hole's wall is missing.
    let mesh = Mesh { triangles: open.mesh.triangles[1..].to_vec(), positions: open.mesh.positions.clone() };
    open = Body { trouble: Some("not closed".into()), ..body(&mesh) };
    let air = rubber_air(&open, &[], Vec3::Z, 1.0, &Run::new()).expect("nobody cancels");
    assert!(air.on_cells && (air.total_mm3 / 282.7 - 1.0).abs() < 0.25, "{air:?}");
    let nothing = rubber_air(&body(&Mesh::default()), &[], Vec3::Z, 1.0, &Run::new()).expect("nobody cancels");
    assert_eq!(nothing, RubberAir::default());
}

/// An inverted U of two legs 4 × 4 × 12 under a bridge: with its gate in one foot the other leg is a second basin of
/// 4·4·12 = 192 mm³ with its sill at the bridge; with gates in both there is none; an upright U has one basin.
#[test]
fn the_second_foot_of_an_inverted_u() {
    let u = inverted_u();
    let left = vent(1, Vec3::new(2.0, 2.0, 0.0), -Vec3::Z, 2.0);
    let right = vent(2, Vec3::new(14.0, 2.0, 0.0), -Vec3::Z, 2.0);
    let one = basins(&u, Vec3::Z, &[left]);
    assert_eq!(one.len(), 1);
    assert!((one[0].volume_mm3 - 192.0).abs() < 1e-3 && (one[0].depth_mm - 12.0).abs() < 1e-4);
    assert!(one[0].position.x > 12.0 && one[0].position.z.abs() < 1e-4 && (one[0].sill - 12.0).abs() < 1e-4);
    assert_eq!(basins(&u, Vec3::Z, &[left, right]), []);
    assert_eq!(basins(&u, -Vec3::Z, &[vent(1, Vec3::new(2.0, 2.0, 16.0), Vec3::Z, 2.0)]), []);
    assert_eq!(basins(&upright_u(), Vec3::Z, &[vent(1, Vec3::new(2.0, 2.0, 0.0), -Vec3::Z, 2.0)]), []);
    // A gate half way up the leg is in that basin all the same; one in the bridge falls into one leg and then the other.
    let side = vent(1, Vec3::new(0.0, 2.0, 6.0), -Vec3::X, 2.0);
    assert_eq!(basins(&u, Vec3::Z, &[side]).len(), 1);
    let top = vent(1, Vec3::new(8.0, 2.0, 16.0), Vec3::Z, 2.0);
    assert_eq!(basins(&u, Vec3::Z, &[top]).len(), 1);
    // What of a triangle lies below the sill is dry where it lies in that leg, and nowhere else, until resin comes over it.
    let whole = body(&u);
    let air = Air::new(&whole.mesh, &whole.tree, Vec3::Z, 0.0, &Run::new()).expect("nobody cancels");
    let dry = second_basins(&whole, &air.level, &[left], 1.0, &Run::new()).expect("nobody cancels");
    for (t, until) in dry.dry_until.iter().enumerate() {
        let corners = whole.mesh.corners(t);
        let reaches_down = corners.iter().any(|p| p.z < 11.999);
        let in_leg = corners.iter().filter(|p| p.z < 11.999).all(|p| p.x > 11.999);
        let expected = if reaches_down && in_leg { 12.0 } else { f32::NEG_INFINITY };
        assert!(*until == expected || (until - expected).abs() < 1e-4, "{corners:?} {until}");
    }
    assert!((dry.dry_at(11.9), dry.dry_at(12.1)) == (1, 0) && dry.wet_at(12.1).iter().all(|w| *w));
    assert!(dry.wet_at(5.0).iter().any(|w| !*w) && dry.wet_at(5.0).iter().any(|w| *w));
    // Turned with up, the same.
    let mut dice = Dice(12);
    let turn = DQuat::from_axis_angle(dice.direction(), 1.9);
    let turned = shuffled(&u.transformed(&DAffine3::from_quat(turn)), &mut dice);
    let to = |p: Vec3| (turn * p.as_dvec3()).as_vec3();
    let gate = Mouth { centre: to(left.centre), normal: to(left.normal), ..left };
    let found = basins(&turned, to(Vec3::Z), &[gate]);
    assert!(found.len() == 1 && (found[0].volume_mm3 - 192.0).abs() < 0.05, "{found:?}");
}

/// Basins of a comb of columns hung upside down: every column but the gated one, and those that share a foot with it.
#[test]
fn basins_of_a_comb() {
    let comb = cubes(
        2.0,
        [
            block((0, 0, 4), (9, 1, 5)),
            block((0, 0, 0), (1, 1, 4)),
            block((4, 0, 1), (5, 1, 4)),
            block((8, 0, 2), (9, 1, 4)),
        ]
        .concat(),
    );
    let gate = vent(1, Vec3::new(1.0, 1.0, 0.0), -Vec3::Z, 1.0);
    let found = basins(&comb, Vec3::Z, &[gate]);
    let volumes: Vec<i64> = found.iter().map(|p| p.volume_mm3.round() as i64).collect();
    assert_eq!(volumes, [24, 16]);
    let mesh = columns(&mut Dice(7));
    let found = basins(&mesh, -Vec3::Z, &[]);
    assert_eq!(found, [], "without a gate nothing is second");
    // A pit from above splits nothing below it.
    let pit = cubes(2.0, less(block((0, 0, 0), (6, 6, 6)), block((2, 2, 2), (4, 4, 6))));
    assert_eq!(basins(&pit, Vec3::Z, &[vent(1, Vec3::new(6.0, 6.0, 0.0), -Vec3::Z, 1.0)]), []);
}

/// The walk itself on a path of heights (check values N1: 0 5 2 7 1 6 3 8): open at 8, closed off are the peaks 7, 6 and 5
/// at the sills where they meet what is open.
#[test]
fn closed_off_on_a_path() {
    let heights = [0.0, 5.0, 2.0, 7.0, 1.0, 6.0, 3.0, 8.0];
    let mut order: Vec<usize> = (0..heights.len()).collect();
    order.sort_by(|a, b| f64::total_cmp(&heights[*b], &heights[*a]));
    let mut sweep = Sweep::new(heights.len());
    for &i in &order {
        let near = [i.wrapping_sub(1), i + 1];
        let higher = near.into_iter().filter(|&j| j < heights.len() && heights[j] > heights[i]).map(|j| j as u32);
        sweep.visit(i as u32, heights[i], higher);
    }
    let (tree, branch_of): (JoinTree, Vec<u32>) = sweep.finish();
    let summits = |open: &[u32]| {
        let mut all: Vec<i64> =
            closed_off(&tree, open).iter().map(|b| tree.branches[*b as usize].summit as i64).collect();
        all.sort_unstable();
        all
    };
    // 6 is shut off at 3; 7 with 5 behind it at 1.
    assert_eq!(summits(&[branch_of[7]]), [6, 7]);
    assert_eq!(summits(&[branch_of[7], branch_of[3]]), [5, 6]);
    assert!(summits(&[branch_of[1], branch_of[3], branch_of[5], branch_of[7]]).is_empty());
    assert!(summits(&[]).is_empty());
}

/// Through a whole plan: an insert's dummy fills its socket, so no air is kept there.
#[test]
fn an_inserts_dummy_fills_its_socket() {
    let folder = tempfile::tempdir().expect("a folder");
    let plate = solids::cuboid(Vec3::new(-20.0, -20.0, 0.0), Vec3::new(20.0, 20.0, 15.0));
    let mut file = std::fs::File::create(folder.path().join("part.stl")).expect("made");
    mouldbench::mesh::write_stl::write(&mut file, &plate, DVec3::ZERO).expect("written");
    let mut plan = mouldbench::study::propose::bare_plan("Part", "part.stl", "", Unit::Millimetre);
    plan.inserts.push(Insert {
        number: 1,
        kind: InsertKind::Bush { diameter_mm: 6.0, length_mm: 8.0, thread: String::new() },
        at: Spot { part: 0, position: DVec3::ZERO, normal: -DVec3::Z },
        in_pocket_mm: 4.0,
        name: String::new(),
        pocket: PocketMade::DummyOnMaster,
        stays: true,
        threads: Threads::None,
        half: None,
        density_g_cm3: None,
        hottest_c: None,
    });
    let bench = mouldbench::study::bench::Bench::new(mouldbench::shop::Shop::bundled().clone(), []);
    bench.set_folder(Some(folder.path()));
    let setting = bench.setting(&plan).expect("read");
    let body = bench.body(&plan, &setting, &Run::new()).expect("made");
    assert!(Measures::of(&body.mesh).volume_mm3 < 40.0 * 40.0 * 15.0 - 50.0, "the bush is taken out of the resin");
    let air = bench.rubber_air(&plan, &setting, &body, &Run::new()).expect("found");
    assert!(air.without_inserts.is_none() && air.total_mm3 < 1.0, "{air:?}");
}
