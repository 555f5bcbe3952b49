//! Which feed is right, what each gate comes to, and what the let-up draws.

use super::fed_job::{Job, stands};
use glam::{DVec3, Vec3};
use mouldbench::mesh::{Mesh, solids};
use mouldbench::plan::{GateKind, ShownSurface, Unit};
use mouldbench::shop::Shop;
use mouldbench::solve::run::Run;
use mouldbench::study::bench::Bench;
use mouldbench::study::findings::{Severity, judge};
use mouldbench::study::pour::beside_lines::BesideLines;
use mouldbench::study::pour::feed_figures::blade_room;
use mouldbench::study::propose::{Given, Proposal, bare_plan, propose, propose_feed_into};
use mouldbench::study::report::of::report_of;
use std::f64::consts::PI;
use std::path::Path;

fn proposed(mesh: &Mesh, stand: (glam::DQuat, DVec3), draw: DVec3) -> (Job, Vec<String>) {
    let mut job = Job::new(mesh, stand);
    job.plan.parting.draw = stand.0 * draw;
    let mut reasons = Vec::new();
    propose_feed_into(&job.bench, &mut job.plan, &mut reasons, &Run::new()).expect("a feed");
    (job, reasons)
}

/// A block 30 by 40 by 60 that parts along the middle of its long sides.
fn block() -> Mesh {
    solids::cuboid(Vec3::new(-15.0, -20.0, 0.0), Vec3::new(15.0, 20.0, 60.0))
}

/// A bowl-like cone that widens upwards: drawn upright it parts at its top rim, and every way in is high up.
fn widening() -> Mesh {
    solids::frustum(Vec3::ZERO, Vec3::new(0.0, 0.0, 20.0), 12.0, 25.0, 64)
}

#[test]
fn a_block_is_fed_from_where_resin_rises_and_the_gate_passes_its_own_checks() {
    for stand in stands() {
        let (job, reasons) = proposed(&block(), stand, DVec3::Y);
        assert_eq!(job.plan.feed.gates.len(), 1);
        assert!(reasons[0].contains("resin rises"), "{reasons:?}");
        for code in ["gate-falls", "rubber-thin", "channels-close", "gate-wide", "gate-blade", "channel-off-cut"] {
            let found = job.findings(code);
            assert!(found.is_empty(), "{found:?}");
        }
        let report = job.report();
        let gate = &report.feed.figures.gates[0];
        assert!(gate.falls_mm.is_some_and(|mm| mm < 5.0) && gate.over_edge <= 0.02, "{gate:?}");
        let right: Vec<_> = report.feed.figures.ways.iter().filter(|w| w.right).collect();
        assert_eq!(right.len(), 1);
        assert_eq!(right[0].way, gate.way);
        // The reason for the right way is said of this gate, and of none that was moved off its place or fed another way.
        assert!(gate.as_proposed);
        for another in [true, false] {
            let mut plan = job.plan.clone();
            if another {
                plan.feed.gates[0].kind = if gate.way == "from_below" { GateKind::Side } else { GateKind::Bottom };
            } else {
                let at = &mut plan.feed.gates[0].at;
                at.position += 3.0 * at.normal.any_orthonormal_vector();
            }
            let facts = job.bench.facts(&plan, &Run::new()).expect("facts");
            let report = report_of(&plan, job.bench.shop(), &facts, &[]);
            assert!(!report.feed.figures.gates[0].as_proposed && !report.feed.figures.why.is_empty());
        }
        assert!(report.feed.figures.why.contains("resin rises"), "{}", report.feed.figures.why);
        // From above on the top it would fall the whole height, but for the radius of a mouth that reaches over an edge.
        let above = report.feed.figures.ways.iter().find(|w| w.way == "from_above").expect("a block has a top");
        assert!((above.falls_mm - 60.0).abs() < 2.1 && !above.right, "{above:?}");
    }
}

/// Where nothing rises the reason says how far resin falls, with the number of the finding.
#[test]
fn where_resin_falls_the_reason_says_so_with_the_same_number() {
    for stand in stands() {
        let (job, reasons) = proposed(&widening(), stand, DVec3::Z);
        let report = job.report();
        let falls = report.feed.figures.gates[0].falls_mm.expect("measured");
        assert!(falls > 15.0, "{falls}");
        assert!(!reasons[0].contains("resin rises"), "{reasons:?}");
        assert!(reasons[0].contains(&format!("resin falls {falls:.1} mm")), "{falls}: {reasons:?}");
        let found = job.findings("gate-falls");
        assert!(found[0].message.contains(&format!("falls {falls:.1} mm")), "{found:?}");
    }
}

/// A plate on its edge: whatever gate is proposed, it is no wider than its 3 mm and hangs over no edge.
#[test]
#[ignore = "long"]
fn long_a_proposed_gate_is_sized_by_the_rim_it_stands_on() {
    let plate = solids::cuboid(Vec3::new(-30.0, -1.5, 0.0), Vec3::new(30.0, 1.5, 40.0));
    for stand in stands() {
        let (job, reasons) = proposed(&plate, stand, DVec3::Y);
        assert!(reasons[0].contains("in a wall of 3.0 mm"), "{reasons:?}");
        assert!(job.plan.feed.gates[0].diameter_mm <= 3.0 + 1e-6, "{:?}", job.plan.feed.gates[0]);
        assert!(job.findings("gate-wide").is_empty(), "{:?}", job.findings("gate-wide"));
    }
}

/// The bottom of the block is shown all over: what would mark it is not right, whatever rises.
#[test]
#[ignore = "long"]
fn long_a_way_that_marks_a_shown_surface_is_not_right_while_another_does_not() {
    let (turn, away) = stands()[1];
    let mut job = Job::new(&block(), (turn, away));
    let stroke = [-20.0, -10.0, 0.0, 10.0, 20.0].map(|y| job.spot(DVec3::new(0.0, y, 0.0), -DVec3::Z));
    let sides = [-15.0, 15.0].map(|x| job.spot(DVec3::new(x, 0.0, 0.0), DVec3::X * x));
    let name = "Foot".to_owned();
    job.plan.shown.push(ShownSurface {
        name,
        radius_mm: 18.0,
        stroke: [&stroke[..], &sides[..]].concat(),
        ..Default::default()
    });
    let mut reasons = Vec::new();
    propose_feed_into(&job.bench, &mut job.plan, &mut reasons, &Run::new()).expect("a feed");
    let at = turn.inverse() * (job.plan.feed.gates[0].at.position - away);
    assert!(at.z > 10.0, "{at}: {reasons:?}");
    assert!(job.findings("mark-on-shown").is_empty());
}

/// Ø4 square to a face is 4π mm²; up from a slope of 45° the rod cuts it as an ellipse, √2 as large. The block's top is the
/// lowest outlet: 30 mm of rubber over a part of 60 mm leave 85 mm over a gate at 5 mm, and up to one more where the block is rounded
/// up.
#[test]
#[ignore = "long"]
fn long_scar_and_head_as_by_hand() {
    let wedge = solids::frustum(Vec3::ZERO, Vec3::new(0.0, 0.0, 20.0), 40.0, 20.0, 256);
    for stand in stands() {
        let flat = Job::new(&block(), stand).gate(DVec3::new(0.0, 0.0, 60.0), DVec3::Z, 4.0);
        let gate = flat.report().feed.figures.gates[0].clone();
        assert!((gate.scar_mm2 - 4.0 * PI).abs() < 1e-6 && (29.99..31.01).contains(&gate.head_mm), "{gate:?}");
        assert_eq!(gate.way, "from_above");
        let side = Job::new(&block(), stand).gate(DVec3::new(15.0, 0.0, 5.0), DVec3::X, 4.0);
        let side = side.runner(&[DVec3::new(30.0, 0.0, 5.0)]);
        let gate = side.report().feed.figures.gates[0].clone();
        assert!(
            (84.99..86.01).contains(&gate.head_mm) && (gate.wall_mm.expect("a wall") - 30.0).abs() < 0.1,
            "{gate:?}"
        );
        assert!((gate.of_wall.expect("a wall") - 4.0 / 30.0).abs() < 1e-3);
        let slope = Job::new(&wedge, stand).gate(DVec3::new(30.0, 0.0, 10.0), DVec3::new(1.0, 0.0, 1.0), 4.0);
        let gate = slope.report().feed.figures.gates[0].clone();
        assert!((gate.scar_mm2 / (4.0 * PI) - 2f64.sqrt()).abs() < 0.01, "{gate:?}");
    }
}

/// On an outer face a blade comes from all round. In a slot 12 mm wide it comes along the slot only: it is free within
/// atan(6/50) of both ends, about 14° a side. In a well it comes from nowhere.
#[test]
#[ignore = "long"]
fn long_a_blade_comes_to_an_outer_face_and_not_into_a_well() {
    let wall = |min: [f32; 3], max: [f32; 3]| solids::cuboid(Vec3::from_array(min), Vec3::from_array(max));
    let mut slot = wall([-50.0, -20.0, 0.0], [50.0, 20.0, 10.0]);
    slot.append(&wall([-50.0, -20.0, 5.0], [50.0, -6.0, 30.0]));
    slot.append(&wall([-50.0, 6.0, 5.0], [50.0, 20.0, 30.0]));
    let mut well = slot.clone();
    well.append(&wall([-50.0, -20.0, 5.0], [-6.0, 20.0, 30.0]));
    well.append(&wall([6.0, -20.0, 5.0], [50.0, 20.0, 30.0]));
    for stand in stands() {
        let room = |mesh: &Mesh, at: DVec3| {
            let job = Job::new(mesh, stand).gate(at, DVec3::Z, 4.0);
            let setting = job.bench.setting(&job.plan).expect("setting");
            let body = job.bench.body(&job.plan, &setting, &Run::new()).expect("body");
            let spot = job.plan.feed.gates[0].at;
            let (at, normal) = (setting.frames.spot_in_work(&spot), setting.frames.normal_in_work(&spot));
            (blade_room(&body, at, normal, 4.0, 200.0), job.findings("gate-blade"))
        };
        let (open, told) = room(&block(), DVec3::new(0.0, 0.0, 60.0));
        assert!(open.free_deg == 360.0 && open.wall_mm.is_none() && told.is_empty(), "{open:?} {told:?}");
        let (along, told) = room(&slot, DVec3::new(0.0, 0.0, 10.0));
        assert!((along.free_deg - 14.0).abs() < 11.0 && !along.is_enough(), "{along:?}");
        assert!((along.wall_mm.expect("walls") - 4.0).abs() < 0.1, "{along:?}");
        assert_eq!(told[0].severity, Severity::Warn);
        let (none, told) = room(&well, DVec3::new(0.0, 0.0, 10.0));
        assert!(none.free_deg == 0.0 && told.len() == 1, "{none:?}");
    }
}

/// Without a vent all of a block is air: 72 cm³ shut in at the chamber's pressure shrink to p/101 325 of it, and what they give
/// up stands in a cup of Ø40 mm, over the layer that stays.
#[test]
fn what_the_let_up_draws_stands_in_the_cup() {
    for stand in stands() {
        let job = Job::new(&block(), stand).gate(DVec3::new(0.0, 0.0, 60.0), DVec3::Z, 4.0);
        let limits = job.bench.shop().limits;
        let report = job.report();
        let let_up = report.feed.figures.let_up;
        let draws = 72_000.0 * (1.0 - limits.chamber_pa / 101_325.0);
        assert!((let_up.draws_mm3 / draws - 1.0).abs() < 1e-3, "{let_up:?} for {draws}");
        assert!((let_up.in_cup_mm - limits.pool_mm - draws / (PI * 400.0)).abs() < 0.1, "{let_up:?}");
        assert!((report.resin.pool_mm3 - draws - PI * 400.0 * limits.pool_mm).abs() < 100.0);
        assert_eq!(job.findings("cup-small").len(), 1, "57 mm do not stand in a cup of 40");
        assert_eq!(report.feed.volume_mm3, report.resin.feed_mm3, "one record");
        assert!(
            (report.feed.figures.gates[0].channel_mm3 - report.feed.volume_mm3).abs() < 1e-6,
            "one gate, one channel"
        );
        let vented = job.vent(DVec3::new(14.0, 19.0, 60.0), DVec3::Z).vent(DVec3::new(-14.0, 19.0, 60.0), DVec3::Z);
        let vented =
            vented.vent(DVec3::new(14.0, -19.0, 60.0), DVec3::Z).vent(DVec3::new(-14.0, -19.0, 60.0), DVec3::Z);
        assert!(vented.report().feed.figures.let_up.in_cup_mm < limits.pool_mm + 1.0);
        assert!(vented.findings("cup-small").is_empty());
    }
}

/// Low on the block and round to it through rubber; at the top rim of what widens upwards it can only come from above or the
/// side. Gates come in tenths of a millimetre, as drills do.
#[test]
fn kinds_follow_what_is_found() {
    for stand in stands() {
        let low = proposed(&block(), stand, DVec3::Y).0.plan.feed.gates.remove(0);
        assert_eq!(low.kind, GateKind::Bottom);
        assert!(!low.runner.is_empty());
        let high = proposed(&widening(), stand, DVec3::Z).0.plan.feed.gates.remove(0);
        assert_ne!(high.kind, GateKind::Bottom);
        for gate in [low, high] {
            let tenths = 10.0 * gate.diameter_mm;
            assert!((tenths - tenths.round()).abs() < 1e-9, "{}", gate.diameter_mm);
        }
    }
}

/// Round a ball of 10 mm the line is the circle in the middle: a place lies in a cut that rises one in one at most where it
/// is no higher over the circle's plane than it is away from the circle, give or take the 0.3 mm that the cut gives way by.
#[test]
#[ignore = "long"]
fn long_a_runner_lies_in_the_cut_where_the_cut_can_come_down_to_the_line() {
    for stand in stands() {
        let mut job = Job::new(&solids::ball(Vec3::ZERO, 10.0, 4), stand);
        job.plan.parting.draw = stand.0 * DVec3::Y;
        let facts = job.bench.facts(&job.plan, &Run::new()).expect("facts");
        let lines = BesideLines::of(facts.parting.as_ref().expect("a parting"));
        let at = |x: f64, y: f64| facts.setting.frames.spot_in_work(&job.spot(DVec3::new(x, y, 0.0), DVec3::X));
        for (x, y, lies) in
            [(14.0, 0.0, true), (14.0, 3.8, true), (14.0, -3.8, true), (14.0, 5.0, false), (11.0, 2.0, false)]
        {
            assert_eq!(lines.lets(at(x, y)), lies, "{x} {y}");
        }
        assert!(lines.let_stretch(at(11.0, 0.0), at(30.0, 12.0)));
        assert!(!lines.let_stretch(at(11.0, 0.0), at(14.0, 8.0)), "it climbs faster than the cut");
    }
}

/// The demo grip's line climbs from one side to the other, so that most ways out from its lowest places pass a stretch of
/// line that lies much lower.
#[test]
#[ignore = "long"]
fn long_a_part_whose_line_climbs_is_fed_from_below_through_the_cut() {
    let bench = Bench::new(Shop::bundled().clone(), []);
    bench.set_folder(Some(Path::new(env!("CARGO_MANIFEST_DIR")).join("assets/demo").as_path()));
    let bare = bare_plan("Grip", "grip.stl", "", Unit::Millimetre);
    let Proposal { plan, reasons } = propose(&bench, &bare, Given::default(), &Run::new()).expect("a plan");
    assert!(!plan.feed.gates[0].runner.is_empty(), "{reasons:?}");
    let facts = bench.facts(&plan, &Run::new()).expect("facts");
    let told = judge(&plan, bench.shop(), &facts);
    assert!(told.iter().all(|f| f.severity != Severity::Stop && f.code != "gate-falls"), "{told:?}");
}
