//! A shut-off that is moved along its hole lies there after the parting is found anew.

use super::shapes::{drilled_cube, revolved, some_turn, turned};
use super::whole::part_as_wished;
use glam::{DVec3, Quat, Vec3};
use mouldbench::mesh::{Mesh, boolean, read_stl, solids, write_stl};
use mouldbench::plan::{Attitude, Half, Hang, Plan, Separation, Unit};
use mouldbench::shop::Shop;
use mouldbench::solve::run::Run;
use mouldbench::study::bench::{Bench, Facts};
use mouldbench::study::findings::{Remedy, judge};
use mouldbench::study::parting::hand_lines::HeldLine;
use mouldbench::study::parting::loop_kind::LoopKind;
use mouldbench::study::parting::moved::{MovedLine, NotMoved};
use mouldbench::study::parting::release::shut_offs::{ShutOff, shut_offs};
use mouldbench::study::parting::release::wish::moved_shut_off;
use mouldbench::study::parting::{PartingFacts, Wish};
use mouldbench::study::propose::bare_plan;
use mouldbench::study::report::Report;
use mouldbench::study::report::of::report_of;
use std::f64::consts::PI;

/// A block from -10 to 10 along Z with a hole about Z whose wall has `profile` as (radius, height), lowest first.
fn bored(profile: &[(f32, f32)], sides: u32) -> Mesh {
    let block = solids::cuboid(Vec3::new(-30.0, -30.0, -10.0), Vec3::new(30.0, 30.0, 10.0));
    let (first, last) = (profile[0], profile[profile.len() - 1]);
    let mut whole = vec![(0.0, first.1)];
    whole.extend(profile);
    whole.push((0.0, last.1));
    boolean::subtract(&block, &[&revolved(&whole, sides)]).expect("bored")
}

/// Girth and area of a regular polygon.
fn polygon(radius: f64, sides: u32) -> [f64; 2] {
    let n = sides as f64;
    [2.0 * n * radius * (PI / n).sin(), n / 2.0 * radius * radius * (2.0 * PI / n).sin()]
}

fn the_shut_off(facts: &PartingFacts) -> ShutOff {
    let mut found = shut_offs(facts, &[]);
    assert_eq!(found.len(), 1, "{:?}", facts.loops.iter().map(|l| l.kind).collect::<Vec<_>>());
    found.remove(0)
}

/// The wish with its one shut-off moved; none where the hole does not reach so far.
fn with_move(facts: &PartingFacts, shut_off: &ShutOff, by_mm: f32, wish: &Wish) -> Option<Wish> {
    let round = shut_off.hole.as_ref()?.round(&facts.surface, by_mm)?;
    let (points, normals) = round.into_iter().unzip();
    Some(Wish { moved: vec![MovedLine { by_mm, line: HeldLine { points, normals } }], ..wish.clone() })
}

/// A hole about Z: what it is cut from, the radius at each height, the sides, and the levels that are tried.
struct Case {
    name: &'static str,
    mesh: Mesh,
    centre: Vec3,
    radius: fn(f32) -> f32,
    sides: u32,
    /// From end to end.
    ends: [f32; 2],
    levels: &'static [f32],
    /// What the levels are counted from.
    levels_from: f32,
}

fn cases() -> [Case; 4] {
    let plate = read_stl::read(std::path::Path::new("tests/assets/plate_with_hole.stl"), 1.0).expect("readable");
    let centre = Vec3::new(25.0, 15.0, 0.0) - plate.centre.as_vec3();
    [
        Case {
            name: "straight bore",
            mesh: drilled_cube(40.0, 10.0, 64),
            centre: Vec3::ZERO,
            radius: |_| 10.0,
            sides: 64,
            ends: [-20.0, 20.0],
            levels: &[-17.0, -0.3, 4.4, 19.0],
            levels_from: 0.0,
        },
        Case {
            name: "drafted bore",
            mesh: bored(&[(5.0, -10.0), (6.0, 10.0)], 48),
            centre: Vec3::ZERO,
            radius: |z| 5.5 + 0.05 * z,
            sides: 48,
            ends: [-10.0, 10.0],
            levels: &[-9.0, 0.0, 3.3, 9.5],
            levels_from: 0.0,
        },
        // A drafted hole that opens at 45° into a rim 20 mm wide: four times the width of the bore.
        Case {
            name: "wide rim",
            mesh: bored(&[(5.0, -10.0), (5.5, -5.0), (20.5, 10.0)], 64),
            centre: Vec3::ZERO,
            radius: |z| if z < -5.0 { 5.0 + 0.1 * (z + 10.0) } else { 5.5 + (z + 5.0) },
            sides: 64,
            ends: [-10.0, 10.0],
            levels: &[-6.0, -2.0, 4.0, 9.0],
            levels_from: 0.0,
        },
        // Walls of two triangles: nothing between the mouths but long edges.
        Case {
            name: "coarse plate",
            mesh: plate.mesh,
            centre,
            radius: |_| 5.0,
            sides: 24,
            ends: [0.0, 5.0].map(|z| z + centre.z),
            levels: &[0.5, 2.5, 4.4],
            levels_from: centre.z,
        },
    ]
}

/// A hole as it stands: turned, far from the origin, and the draw leaning from it by so many degrees.
type Stand = (Quat, f32, f32);

/// As modelled, turned, and far from the origin.
fn upright() -> [Stand; 3] {
    [(Quat::IDENTITY, 0.0, 0.0), (some_turn(3), 0.0, 0.0), (Quat::IDENTITY, 2500.0, 0.0)]
}

/// The line has the length of the section at its new level within half a per cent, the patch its area within one, the plug is
/// the half with the longer way out, and every point of it lies in the level within 0.05 mm.
fn lies_where_it_was_moved_to(case: &Case, stands: &[Stand]) {
    for &(turn, far, lean) in stands {
        let off = Vec3::new(far, -far, 0.5 * far);
        let mut mesh = turned(&case.mesh, turn);
        mesh.positions.iter_mut().for_each(|p| *p += off);
        let wish = Wish::along(turn * (Quat::from_rotation_x(lean.to_radians()) * Vec3::Z));
        let facts = part_as_wished(&mesh, &wish);
        let proposed = the_shut_off(&facts);
        let said = format!("{} turn {turn} far {far} lean {lean}", case.name);
        let Some(hole) = proposed.hole.as_ref() else { panic!("{said}: no hole") };
        assert!(hole.axis.dot(turn * Vec3::Z) > 0.9999, "{said}: axis {}", turn.inverse() * hole.axis);
        let height = |p: Vec3| (turn.inverse() * (p - off)).z;
        let line = &facts.lines[proposed.at_loop];
        let own = height(line.points.iter().copied().sum::<Vec3>() / line.points.len() as f32);
        let [low, high] = hole.reach_mm.map(|mm| mm + own);
        assert!((low - case.ends[0]).abs() < 0.3 && (high - case.ends[1]).abs() < 0.3, "{said}: {low} to {high}");
        assert!(hole.round(&facts.surface, hole.reach_mm[1] + 0.5).is_none(), "beyond the hole there is none");
        assert!(hole.round(&facts.surface, hole.reach_mm[0] - 0.5).is_none());
        for level in case.levels.iter().map(|l| l + case.levels_from) {
            let said = format!("{said} to {level}");
            let moved = with_move(&facts, &proposed, level - own, &wish).unwrap_or_else(|| panic!("{said}: no way"));
            let again = part_as_wished(&mesh, &moved);
            assert!(again.moved[0].from.is_ok(), "{said}: {:?}", again.moved);
            let there = the_shut_off(&again);
            let line = &again.lines[there.at_loop];
            let astray = line.points.iter().map(|&p| (height(p) - level).abs()).fold(0.0, f32::max);
            assert!(astray < 0.05, "{said}: {astray} off its level");
            let centre = turn * case.centre + off;
            let round = |p: Vec3| (turn.inverse() * (p - centre)).truncate().length();
            assert!(line.points.iter().all(|&p| round(p) < (case.radius)(level) + 0.1), "{said}");
            let [girth, area] = polygon(f64::from((case.radius)(level)), case.sides);
            assert!((line.length_mm / girth - 1.0).abs() < 0.005, "{said}: {} of {girth}", line.length_mm);
            assert!((there.patch.area_mm2 / area - 1.0).abs() < 0.01, "{said}: {} of {area}", there.patch.area_mm2);
            let to_ends = [case.ends[1] - level, level - case.ends[0]];
            if (to_ends[0] - to_ends[1]).abs() > 1.0 {
                let plug = if to_ends[0] > to_ends[1] { Half::One } else { Half::Two };
                assert_eq!(there.plug, plug, "{said}");
            }
            let hole = there.hole.as_ref().expect("still a hole");
            assert!((hole.moved_mm - (level - own)).abs() < 1e-4);
            assert!((hole.from_ends_mm[0] - to_ends[0]).abs() < 0.3, "{said}: {:?}", hole.from_ends_mm);
            let [from, to] = hole.reach_mm.map(|mm| mm + own);
            assert!((from - low).abs() < 0.1 && (to - high).abs() < 0.1, "{said}: the reach moved, {from} to {to}");
            // Nothing but the surface between the two changed its half.
            assert_eq!(again.loops.len(), facts.loops.len(), "{said}");
            let parting = |f: &PartingFacts| f.lines.iter().find(|l| l.kind == LoopKind::Parting).map(|l| l.length_mm);
            let (a, b) = (parting(&facts).expect("a line"), parting(&again).expect("a line"));
            assert!((a - b).abs() < 0.01 * a, "{said}: the parting line went from {a} to {b}");
            assert!(again.shape.is_empty(), "{said}: {:?}", again.shape);
        }
    }
}

#[test]
fn in_a_straight_bore_it_lies_where_it_was_moved_to() {
    lies_where_it_was_moved_to(&cases()[0], &upright());
}

#[test]
fn in_a_drafted_bore_it_lies_where_it_was_moved_to() {
    lies_where_it_was_moved_to(&cases()[1], &upright());
}

#[test]
fn in_a_hole_with_a_wide_rim_it_lies_where_it_was_moved_to() {
    lies_where_it_was_moved_to(&cases()[2], &upright());
}

#[test]
fn in_a_hole_of_a_coarse_plate_it_lies_where_it_was_moved_to() {
    lies_where_it_was_moved_to(&cases()[3], &upright());
}

/// Drawn 10° beside the hole the line that is proposed is slanted; the one that it is moved to is square to the hole.
#[test]
fn drawn_beside_its_hole_it_lies_where_it_was_moved_to() {
    for i in [0, 1, 3] {
        lies_where_it_was_moved_to(&cases()[i], &[(some_turn(1), 0.0, 10.0)]);
    }
}

/// On a rim that opens at 45° a slanted line does not tell the hole's axis: what the draw says stands, and the line lies in
/// the plane square to that.
#[test]
fn drawn_beside_a_hole_with_a_wide_rim_it_lies_in_one_plane() {
    let (turn, case) = (some_turn(1), &cases()[2]);
    let mesh = turned(&case.mesh, turn);
    let wish = Wish::along(turn * (Quat::from_rotation_x(10f32.to_radians()) * Vec3::Z));
    let facts = part_as_wished(&mesh, &wish);
    let proposed = the_shut_off(&facts);
    let hole = proposed.hole.as_ref().expect("a hole");
    assert!(hole.axis.dot(turn * Vec3::Z) > 0.9, "axis {}", turn.inverse() * hole.axis);
    let [low, high] = hole.reach_mm;
    assert!(high - low > 5.0, "{low} to {high}");
    for share in [0.2, 0.5, 0.8] {
        let by_mm = low + (high - low) * share;
        let again = part_as_wished(&mesh, &with_move(&facts, &proposed, by_mm, &wish).expect("within the hole"));
        assert!(again.moved[0].from.is_ok(), "{:?}", again.moved);
        let line = &again.lines[the_shut_off(&again).at_loop];
        let heights = || line.points.iter().map(|p| p.dot(hole.axis));
        let (least, most) = (heights().fold(f32::MAX, f32::min), heights().fold(f32::MIN, f32::max));
        assert!(most - least < 0.1, "by {by_mm}: from {least} to {most}");
        assert!(again.shape.is_empty() && again.loops.len() == facts.loops.len());
    }
}

/// Between two holes only the moved one changes; loops beside the part, and such as go round no hole, are told and change
/// nothing.
#[test]
fn only_the_hole_that_is_meant_changes() {
    let block = solids::cuboid(Vec3::new(-30.0, -15.0, -8.0), Vec3::new(30.0, 15.0, 8.0));
    let drill = |x: f32, r: f32| solids::cylinder(Vec3::new(x, 0.0, -9.0), Vec3::new(x, 0.0, 9.0), r, 48);
    let mesh = boolean::subtract(&block, &[&drill(-15.0, 6.0), &drill(15.0, 5.0)]).expect("drilled");
    let wish = Wish::along(Vec3::Z);
    let facts = part_as_wished(&mesh, &wish);
    let found = shut_offs(&facts, &[]);
    assert_eq!(found.len(), 2);
    let left = found.iter().find(|s| s.middle.x < 0.0).expect("the left one");
    let by_mm = if left.middle.z > 0.0 { -5.0 } else { 5.0 };
    let moved = with_move(&facts, left, by_mm, &wish).expect("a hole");
    let again = shut_offs(&part_as_wished(&mesh, &moved), &[]);
    let height = |all: &[ShutOff], left: bool| {
        all.iter().find(|s| (s.middle.x < 0.0) == left).map(|s| s.middle.z).expect("a shut-off")
    };
    assert!((height(&again, true) - height(&found, true) - by_mm).abs() < 0.05);
    assert!((height(&again, false) - height(&found, false)).abs() < 0.5);
    // In the air, and round the outside of the block.
    let ring = |r: f32, z: f32| -> HeldLine {
        let at = |i: usize| Quat::from_rotation_z(i as f32 * std::f32::consts::TAU / 24.0) * Vec3::X;
        let normals: Vec<Vec3> = (0..24).map(at).collect();
        HeldLine { points: normals.iter().map(|n| *n * r + Vec3::Z * z).collect(), normals }
    };
    let outside = HeldLine {
        points: vec![
            Vec3::new(30.0, 15.0, 4.0),
            Vec3::new(-30.0, 15.0, 4.0),
            Vec3::new(-30.0, -15.0, 4.0),
            Vec3::new(30.0, -15.0, 4.0),
        ],
        normals: vec![
            Vec3::new(1.0, 1.0, 0.0),
            Vec3::new(-1.0, 1.0, 0.0),
            Vec3::new(-1.0, -1.0, 0.0),
            Vec3::new(1.0, -1.0, 0.0),
        ],
    };
    for (line, why) in [(ring(100.0, 0.0), NotMoved::OffPart), (outside, NotMoved::NoHole)] {
        let lost = part_as_wished(&mesh, &Wish { moved: vec![MovedLine { by_mm: 3.0, line }], ..wish.clone() });
        assert_eq!(lost.moved[0].from, Err(why));
        let same = shut_offs(&lost, &[]);
        assert!((height(&same, true) - height(&found, true)).abs() < 0.5, "{why:?}");
    }
}

struct Job {
    folder: tempfile::TempDir,
    bench: Bench,
}

impl Job {
    fn new() -> Job {
        let folder = tempfile::tempdir().expect("a folder");
        let mut file = std::fs::File::create(folder.path().join("part.stl")).expect("made");
        let away = DVec3::new(9000.0, -4000.0, 700.0);
        write_stl::write(&mut file, &drilled_cube(40.0, 10.0, 64), away).expect("written");
        let bench = Bench::new(Shop::bundled().clone(), []);
        bench.set_folder(Some(folder.path()));
        Job { folder, bench }
    }

    fn facts(&self, plan: &Plan) -> (Facts, Report) {
        assert!(self.folder.path().join("part.stl").exists());
        let run = Run::new();
        let mut facts = self.bench.quick_facts(plan, &run).expect("facts");
        let body = facts.body.clone().expect("a body");
        facts.parting = Some(self.bench.parting(plan, &facts.setting, &body, &run).expect("a parting"));
        facts.release = Some(self.bench.release(plan, &facts.setting, &body, &run).expect("a release"));
        let report = report_of(plan, self.bench.shop(), &facts, &judge(plan, self.bench.shop(), &facts));
        (facts, report)
    }
}

/// As plan content: level, upright and oblique in the block, with the part's file far from its origin. The choice names the
/// place, the report says how far it is from the ends, and a hang that is changed afterwards changes neither.
#[test]
fn a_plan_keeps_its_shut_off_where_it_was_moved() {
    let job = Job::new();
    let mut plan = bare_plan("Part", "part.stl", "", Unit::Millimetre);
    plan.parting.draw = DVec3::Z;
    for up in [DVec3::Z, DVec3::X, DVec3::new(1.0, 0.4, 0.8)] {
        plan.parting.shut_offs.clear();
        plan.hang = Hang { rubber: Attitude { up: up.normalize(), turn: 0.3 }, cast: None, ..Hang::default() };
        let (facts, before) = job.facts(&plan);
        let (parting, setting) = (facts.parting.clone().expect("a parting"), &facts.setting);
        let hole = facts.release.as_ref().expect("a release").shut_offs[0].hole.clone().expect("a hole");
        let spot = |p: Vec3, n: Vec3| setting.frames.spot_from_work(0, p, n);
        let [low, high] = hole.reach_mm.map(f64::from);
        let to_mm = low + 0.25 * (high - low);
        assert!(moved_shut_off(&parting.surface, &hole, high + 1.0, Separation::Cut, spot).is_none());
        let choice = moved_shut_off(&parting.surface, &hole, to_mm, Separation::Cut, spot).expect("within the hole");
        plan.parting.shut_offs.push(choice);
        let (moved_facts, after) = job.facts(&plan);
        let (was, is) = (&before.parting.shut_offs[0], &after.parting.shut_offs[0]);
        assert!((is.moved_mm - to_mm).abs() < 1e-4 && was.moved_mm == 0.0);
        let way = DVec3::from(is.position_mm) - DVec3::from(was.position_mm);
        let along = DVec3::from(after.parting.draw);
        assert!((way - along * to_mm).length() < 0.05, "up {up}: {way} for {to_mm} along {along}");
        assert!(is.decided && is.separation == Separation::Cut, "the decision goes along");
        let [one, two] = is.from_ends_mm.expect("a hole");
        assert!((one - 30.0).abs() < 0.3 && (two - 10.0).abs() < 0.3, "up {up}: {one} and {two}");
        assert_eq!(is.plug, 1);
        // Hung another way up it is the same place of the part.
        let mut other = plan.clone();
        other.hang = Hang {
            rubber: Attitude { up: DVec3::new(0.2, -1.0, 0.1).normalize(), turn: 1.0 },
            cast: None,
            ..Hang::default()
        };
        let (_, elsewhere) = job.facts(&other);
        assert!((elsewhere.parting.shut_offs[0].length_mm - is.length_mm).abs() < 1e-3);
        assert_eq!(elsewhere.parting.shut_offs[0].moved_mm, is.moved_mm);
        // And back to where it was proposed.
        let hole = moved_facts.release.as_ref().expect("a release").shut_offs[0].hole.clone().expect("a hole");
        let parting = moved_facts.parting.clone().expect("a parting");
        let back = moved_shut_off(&parting.surface, &hole, 0.0, Separation::Cut, spot).expect("back");
        assert!(back.held.is_empty());
        plan.parting.shut_offs = vec![back];
        let (_, back) = job.facts(&plan);
        assert!(DVec3::from(back.parting.shut_offs[0].position_mm).distance(DVec3::from(was.position_mm)) < 1e-6);
        assert!(back.parting.shut_offs[0].decided);
    }
}

/// A shut-off whose place is no longer on the part is told, with the way back.
#[test]
fn a_moved_shut_off_that_is_lost_is_told() {
    let job = Job::new();
    let mut plan = bare_plan("Part", "part.stl", "", Unit::Millimetre);
    plan.parting.draw = DVec3::Z;
    let (facts, _) = job.facts(&plan);
    let hole = facts.release.as_ref().expect("a release").shut_offs[0].hole.clone().expect("a hole");
    let surface = &facts.parting.as_ref().expect("a parting").surface;
    let spot = |p: Vec3, n: Vec3| facts.setting.frames.spot_from_work(0, p, n);
    let mut choice =
        moved_shut_off(surface, &hole, f64::from(hole.reach_mm[0]) + 5.0, Separation::Taped, spot).expect("");
    plan.parting.shut_offs.push(choice.clone());
    let codes = |plan: &Plan| -> Vec<(&'static str, Vec<Remedy>)> {
        let (facts, _) = job.facts(plan);
        judge(plan, job.bench.shop(), &facts).into_iter().map(|f| (f.code, f.remedies)).collect()
    };
    assert!(codes(&plan).iter().all(|(code, _)| *code != "shut-off-not-moved"));
    choice.held.iter_mut().for_each(|s| s.position.x += 30.0);
    plan.parting.shut_offs = vec![choice];
    let lost = codes(&plan);
    let (_, remedies) = lost.iter().find(|(code, _)| *code == "shut-off-not-moved").expect("told");
    assert_eq!(remedies, &[Remedy::LeaveShutOff(0)]);
}
