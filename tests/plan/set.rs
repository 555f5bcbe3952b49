//! The parts of a set: counted, named, copied, moved and taken out with what lies on them.

use glam::{DQuat, DVec3};
use mouldbench::plan::*;

fn spot(part: usize, x: f64) -> Spot {
    Spot { part, position: DVec3::new(x, 0.0, 0.0), normal: DVec3::X }
}

fn part(name: &str, mesh: &str) -> Part {
    Part { name: name.into(), mesh: mesh.into(), ..Part::default() }
}

/// Two parts; one of everything on each of them, at 10 on the first and at 20 on the second.
fn full() -> Plan {
    let mut plan = Plan { parts: vec![part("Cap", "cap.stl"), part("Grip", "grip.stl")], ..Plan::default() };
    for i in 0..2 {
        let at = spot(i, 10.0 * (i + 1) as f64);
        let number = i as u32 + 1;
        let runner = vec![DVec3::new(1.0, 2.0, 3.0)];
        plan.feed.gates.push(Gate { number, at, diameter_mm: 2.0, runner_diameter_mm: 6.0, runner, ..Gate::default() });
        plan.vents.push(Vent { number, at, diameter_mm: 1.0, ..Vent::default() });
        plan.inserts.push(Insert {
            number,
            name: String::new(),
            kind: InsertKind::Pin { diameter_mm: 3.0, length_mm: 9.0 },
            at,
            in_pocket_mm: 3.0,
            pocket: PocketMade::DummyOnMaster,
            stays: true,
            threads: Threads::None,
            half: None,
            density_g_cm3: None,
            hottest_c: None,
        });
        plan.shown.push(ShownSurface {
            name: "Top".into(),
            stroke: vec![at],
            radius_mm: 2.0,
            ..ShownSurface::default()
        });
        plan.parting.pins.push(Pin { at });
        plan.parting.marks.push(HalfMark { half: Half::One, stroke: vec![at], radius_mm: 2.0 });
        plan.parting.held_loops.push(HeldLoop { points: vec![at, at] });
        plan.parting.shut_offs.push(ShutOffChoice { near: at, held: vec![at], ..ShutOffChoice::default() });
        plan.parting.relief_cuts.push(ReliefCut { name: "C".into(), points: vec![at, at], depth_mm: 5.0 });
        plan.parting.loose_pieces.push(LoosePiece {
            name: "P".into(),
            at,
            leaves_along: DVec3::X,
            radius_mm: 3.0,
            of: PieceOf::Rubber,
        });
    }
    plan.feed.gates[1].joins = Some(1);
    plan
}

/// How many things lie on part `i`.
fn on(plan: &Plan, i: usize) -> [usize; 10] {
    let p = &plan.parting;
    [
        plan.feed.gates.iter().filter(|g| g.at.part == i).count(),
        plan.vents.iter().filter(|v| v.at.part == i).count(),
        plan.inserts.iter().filter(|x| x.at.part == i).count(),
        plan.shown.iter().filter(|s| s.stroke[0].part == i).count(),
        p.pins.iter().filter(|x| x.at.part == i).count(),
        p.marks.iter().filter(|m| m.stroke[0].part == i).count(),
        p.held_loops.iter().filter(|h| h.points[0].part == i).count(),
        p.shut_offs.iter().filter(|s| s.near.part == i && s.held[0].part == i).count(),
        p.relief_cuts.iter().filter(|c| c.points[0].part == i).count(),
        p.loose_pieces.iter().filter(|l| l.at.part == i).count(),
    ]
}

#[test]
fn a_copy_takes_all_that_lies_on_its_part_and_nothing_else() {
    let mut plan = full();
    let before = plan.clone();
    // A quarter turn about Z and a shift: what stands in the set goes (x, y, z) to (100 − y, x, z + 7).
    let pose = Pose {
        rotation: DQuat::from_rotation_z(std::f64::consts::FRAC_PI_2),
        translation_mm: DVec3::new(100.0, 0.0, 7.0),
    };
    assert_eq!(plan.copy_part(1, pose), Some(2));
    assert_eq!((on(&plan, 0), on(&plan, 1), on(&plan, 2)), ([1; 10], [1; 10], [1; 10]));
    assert_eq!(plan.feed.gates[..2], before.feed.gates[..], "what was there stays as it was");
    let gate = &plan.feed.gates[2];
    assert_eq!((gate.number, gate.joins), (3, Some(1)), "it runs into what its pattern ran into");
    assert!(gate.runner[0].distance(DVec3::new(98.0, 1.0, 10.0)) < 1e-9, "{}", gate.runner[0]);
    assert_eq!(gate.at.position, before.feed.gates[1].at.position, "on the part itself nothing moves");
    assert_eq!((plan.vents[2].number, plan.inserts[2].number), (3, 3));
    assert!(plan.parting.loose_pieces[2].leaves_along.distance(DVec3::Y) < 1e-12);
    assert_eq!(faults::first_fault(&plan), None);
    // A gate that the joined one belongs to: copied together, the copies join each other.
    plan.feed.gates[1].at.part = 0;
    plan.copy_part(0, Pose::default());
    let [.., a, b] = &plan.feed.gates[..] else { panic!("gates") };
    assert_eq!((a.joins, b.joins), (None, Some(a.number)));
}

#[test]
fn taking_a_part_out_takes_its_things_and_keeps_the_others_on_their_part() {
    let mut plan = full();
    plan.copy_part(1, Pose::default());
    plan.remove_part(0);
    assert_eq!(plan.parts.len(), 2);
    assert_eq!((on(&plan, 0), on(&plan, 1)), ([1; 10], [1; 10]));
    assert!(plan.vents.iter().all(|v| v.at.position.x == 20.0), "those of the grip and of its copy");
    assert!(plan.feed.gates.iter().all(|g| g.joins.is_none()), "gate 1 is gone");
    assert_eq!(faults::first_fault(&plan), None);
    plan.remove_part(1);
    plan.remove_part(0);
    assert_eq!(plan.parts.len(), 1, "the last part stays");
    assert_eq!(on(&plan, 0), [1; 10]);
}

#[test]
fn moving_a_part_takes_along_what_is_stored_in_the_set() {
    let mut plan = full();
    let pose =
        Pose { rotation: DQuat::from_rotation_z(std::f64::consts::PI), translation_mm: DVec3::new(0.0, 50.0, 0.0) };
    plan.move_part(1, pose);
    assert!(plan.feed.gates[1].runner[0].distance(DVec3::new(-1.0, 48.0, 3.0)) < 1e-9);
    assert!(plan.parting.loose_pieces[1].leaves_along.distance(-DVec3::X) < 1e-9);
    assert_eq!(plan.feed.gates[0], full().feed.gates[0]);
    // Turned back about the same point and shifted back it is the same again.
    plan.turn_part(1, DQuat::from_rotation_z(std::f64::consts::PI), DVec3::new(0.0, 25.0, 0.0));
    assert!(plan.feed.gates[1].runner[0].distance(DVec3::new(1.0, 2.0, 3.0)) < 1e-9);
}

#[test]
fn copies_are_counted_in_their_names() {
    let mut plan = full();
    assert_eq!([plan.part_title(0), plan.part_title(1)], ["Cap", "Grip"]);
    plan.copy_part(0, Pose::default());
    assert_eq!([0, 1, 2].map(|i| plan.part_title(i)), ["Cap 1", "Grip", "Cap 2"]);
    plan.change_kind(0, |p| p.name = "Lid".into());
    assert_eq!([0, 1, 2].map(|i| plan.part_title(i)), ["Lid 1", "Grip", "Lid 2"]);
    plan.parts[1].name = " ".into();
    assert_eq!(plan.part_title(1), "Part");
}

/// Worked by hand: 30 of a kind at two a shot are 15 shots, 7 at two are 4, and the kind that takes longest counts.
#[test]
fn shots_follow_from_what_each_kind_wants() {
    let mut plan = full();
    plan.quantity.good = 30;
    assert_eq!(plan.good_shots(), 30);
    plan.copy_part(0, Pose::default());
    plan.change_kind(1, |p| p.wanted = Some(12));
    let shots: Vec<(u32, u32)> = plan.kinds().iter().map(|k| (k.a_shot(), k.shots())).collect();
    assert_eq!(shots, [(2, 15), (1, 12)]);
    assert_eq!(plan.good_shots(), 15);
    plan.change_kind(0, |p| p.wanted = Some(7));
    assert_eq!(plan.good_shots(), 12);
    plan.change_kind(1, |p| p.wanted = Some(1));
    assert_eq!(plan.good_shots(), 4);
    // The same file in another unit is another part.
    plan.parts[2].unit = Unit::Inch;
    assert_eq!(plan.kinds().len(), 3);
}

#[test]
fn a_runner_must_come_to_the_cup_in_the_end() {
    let mut plan = full();
    plan.feed.gates[0].joins = Some(2);
    assert!(faults::first_fault(&plan).expect("a ring").contains("round into itself"));
    plan.feed.gates[0].joins = Some(9);
    assert!(faults::first_fault(&plan).expect("nowhere").contains("no such gate"));
    plan.feed.gates[0].joins = Some(1);
    assert!(faults::first_fault(&plan).is_some());
}

#[test]
fn a_set_is_read_as_it_was_written_and_a_plan_without_one_as_ever() {
    let mut plan = full();
    plan.parts[1].wanted = Some(4);
    plan.copy_part(0, Pose { translation_mm: DVec3::new(1e5, -2.0, 0.1), ..Pose::default() });
    let text = file::to_text(&plan);
    let read = |text: &str| file::from_text(text, std::path::Path::new("set.ron"));
    assert_eq!(read(&text).expect("read"), plan);
    // Written before sets were known.
    let mut old: String =
        text.lines().filter(|l| !l.contains("wanted:") && !l.contains("joins:")).collect::<Vec<_>>().join("\n");
    old.push('\n');
    let mut bare = plan;
    bare.parts.iter_mut().for_each(|p| p.wanted = None);
    bare.feed.gates.iter_mut().for_each(|g| g.joins = None);
    assert_eq!(read(&old).expect("an old file"), bare);
}

#[test]
fn a_part_that_is_left_alone_takes_its_quantity_to_the_plan() {
    let mut plan = full();
    plan.parts[0].wanted = Some(30);
    plan.copy_part(0, Pose { translation_mm: DVec3::X * 90.0, ..Pose::default() });
    while plan.parts.len() > 1 {
        plan.remove_part(plan.parts.len() - 1);
    }
    assert_eq!((plan.parts[0].wanted, plan.quantity.good, plan.good_shots()), (None, 30, 30));
}

/// Each body of a file becomes a part, in every copy; what lies on one goes along with its body, and poses stay.
#[test]
fn bodies_of_a_file_become_parts_with_what_lies_on_them() {
    use mouldbench::plan::bodies::BodyAt;
    let at = |x: f64| BodyAt { centroid: DVec3::X * x, low: DVec3::X * (x - 1.0), high: DVec3::X * (x + 1.0) };
    let spot = |part: usize, x: f64| Spot { part, position: DVec3::X * x, normal: DVec3::Z };
    let part = |mesh: &str, y: f64| Part {
        name: "hinge".into(),
        mesh: mesh.into(),
        pose: Pose { translation_mm: DVec3::Y * y, ..Pose::default() },
        ..Part::default()
    };
    let mut plan = Plan { parts: vec![part("a", 0.0), part("b", 9.0), part("a", 30.0)], ..Plan::default() };
    for (number, at) in [spot(0, 0.0), spot(0, 10.0), spot(1, 10.0), spot(2, 10.0)].into_iter().enumerate() {
        plan.vents.push(Vent { number: number as u32 + 1, at, ..Vent::default() });
    }
    plan.parting.pins.push(Pin { at: spot(2, 0.0) });
    plan.part_bodies(0, &[at(0.0), at(10.0)], |s| usize::from(s.position.x > 5.0));
    let names: Vec<&str> = plan.parts.iter().map(|p| p.name.as_str()).collect();
    assert_eq!(names, ["hinge, body 1", "hinge", "hinge, body 1", "hinge, body 2", "hinge, body 2"]);
    let y: Vec<f64> = plan.parts.iter().map(|p| p.pose.translation_mm.y).collect();
    assert_eq!(y, [0.0, 9.0, 30.0, 0.0, 30.0]);
    assert_eq!(plan.vents.iter().map(|v| v.at.part).collect::<Vec<_>>(), [0, 3, 1, 4]);
    assert_eq!(plan.parting.pins[0].at.part, 2);
    let kinds: Vec<Vec<usize>> = plan.kinds().into_iter().map(|k| k.parts).collect();
    assert_eq!(kinds, [vec![0, 2], vec![1], vec![3, 4]], "copies of one body are one kind");
}
