//! Vents against the wall that they stand on, the part above them, the bubble that they leave, and the wedge that saves some.

use super::vents_aside::{Job, turns};
use crate::study::air::shapes::{Dice, block, cubes, turned, vent as mouth};
use crate::study::ways_up::hang_search::body;
use glam::{DVec3, Vec3};
use mouldbench::mesh::topology::Topology;
use mouldbench::mesh::{Mesh, boolean, solids};
use mouldbench::plan::{Attitude, Gate, Made, ShownSurface};
use mouldbench::solve::run::Run;
use mouldbench::study::air::bubble::{bubble_mm, sealed_mm3};
use mouldbench::study::findings::{Remedy, Severity, judge};
use mouldbench::study::job::thickness::Thickness;

fn boxed(from: [f32; 3], to: [f32; 3]) -> Mesh {
    solids::cuboid(from.into(), to.into())
}

fn united(bodies: &[Mesh]) -> Mesh {
    boolean::unite(&bodies.iter().collect::<Vec<_>>()).expect("united")
}

/// A slab with a fin of 1 mm and a tower of 20 × 20 on it.
fn fin_and_tower() -> Mesh {
    let slab = boxed([0.0, 0.0, 0.0], [60.0, 40.0, 6.0]);
    united(&[slab, boxed([5.0, 10.0, 5.0], [6.0, 30.0, 25.0]), boxed([30.0, 10.0, 5.0], [50.0, 30.0, 30.0])])
}

/// The wall is the least width of the solid there: of a fin's top its width, of a corner the least edge, of a ball its
/// diameter; whichever way it is turned.
#[test]
#[ignore = "long"]
fn long_the_narrowest_wall_runs_any_way() {
    for turn in turns() {
        let wall = |mesh: &Mesh, at: DVec3| {
            let mesh = turned(mesh, turn);
            let body = body(&mesh);
            let walls = Thickness::of(&mesh, &body.tree, &Topology::of(&mesh), &Run::new()).expect("nobody cancels");
            f64::from(walls.narrowest_mm((turn * at).as_vec3()))
        };
        let part = fin_and_tower();
        let near = |found: f64, by_hand: f64| assert!((found / by_hand - 1.0).abs() < 0.02, "{found} for {by_hand}");
        near(wall(&part, DVec3::new(5.5, 20.0, 25.0)), 1.0);
        near(wall(&part, DVec3::new(5.0, 10.0, 25.0)), 1.0);
        near(wall(&part, DVec3::new(40.0, 20.0, 30.0)), 20.0);
        near(wall(&part, DVec3::new(30.0, 10.0, 30.0)), 20.0);
        let plate = boxed([0.0, 0.0, 0.0], [80.0, 50.0, 2.0]);
        for at in [DVec3::new(40.0, 25.0, 2.0), DVec3::new(0.0, 0.0, 2.0), DVec3::new(80.0, 25.0, 1.0)] {
            near(wall(&plate, at), 2.0);
        }
        near(wall(&solids::ball(Vec3::ZERO, 12.0, 5), DVec3::new(0.0, 0.0, 12.0)), 24.0);
        near(wall(&solids::cylinder(Vec3::ZERO, Vec3::new(0.0, 0.0, 30.0), 1.5, 64), DVec3::new(0.0, 0.0, 30.0)), 3.0);
    }
}

#[test]
#[ignore = "long"]
fn long_a_vent_on_a_fin_and_a_gate_on_a_rim_are_told() {
    for turn in turns() {
        let job = Job::new(&fin_and_tower(), turn).vent(DVec3::new(5.5, 20.0, 25.0), DVec3::Z, 8.0);
        let mut job = job.vent(DVec3::new(40.0, 20.0, 30.0), DVec3::Z, 8.0);
        let wide = job.findings("vent-wide");
        assert_eq!(wide.len(), 1, "{wide:?}");
        assert!(wide[0].message.contains("Vent 1, Ø8.0 mm, stands on a wall of 1.0 mm"), "{}", wide[0].message);
        assert_eq!(wide[0].remedies, [Remedy::NarrowVent(1, 0.8)]);
        let at = job.spot(DVec3::new(5.5, 30.0, 15.0), DVec3::Y);
        job.plan.feed.gates.push(Gate { number: 1, at, diameter_mm: 8.0, runner_diameter_mm: 8.0, ..Gate::default() });
        let gate = job.findings("gate-wide");
        assert_eq!(gate.len(), 1, "{gate:?}");
        job.plan.feed.gates[0].diameter_mm = 1.0;
        assert!(job.findings("gate-wide").is_empty());
    }
}

/// Each vent is as wide as its own wall takes: the tower's do not shrink for the fin.
#[test]
#[ignore = "long"]
fn long_every_vent_has_its_own_width() {
    for turn in turns() {
        let mut job = Job::new(&fin_and_tower(), turn);
        let (places, reasons) = job.proposed();
        let widths: Vec<(bool, f64)> =
            places.iter().zip(&job.plan.vents).map(|(p, v)| (p.x < 10.0, v.diameter_mm)).collect();
        assert!(widths.iter().any(|w| w.0) && widths.iter().any(|w| !w.0), "{places:?}");
        assert!(
            widths.iter().all(|&(fin, mm)| (mm - if fin { 0.8 } else { 1.2 }).abs() < 1e-9),
            "{widths:?} {reasons:?}"
        );
        assert!(job.findings("vent-wide").is_empty());
    }
    // 900 cm³ shared by the vents of one flat top: 3 % of the edge of the cube of each one's share.
    let mut big = Job::new(&boxed([0.0, 0.0, 0.0], [100.0, 100.0, 90.0]), turns()[1]);
    big.proposed();
    let vents = &big.plan.vents;
    let by_hand = 0.03 * (900_000.0 / vents.len() as f64).cbrt();
    assert!(vents.iter().all(|v| v.diameter_mm <= by_hand && v.diameter_mm > by_hand - 0.1), "{vents:?} {by_hand}");
    // A sheet of 0.6 mm takes no rod: nicked where the line is near, or told to be slit.
    let mut sheet = Job::new(&boxed([0.0, 0.0, 0.0], [50.0, 0.6, 30.0]), turns()[1]);
    let (_, reasons) = sheet.proposed();
    for (vent, reason) in sheet.plan.vents.iter().zip(&reasons) {
        match vent.made {
            Made::GrooveInParting => assert!(vent.diameter_mm <= 0.48 + 1e-9 && reason.contains("nicked"), "{reason}"),
            _ => assert!(reason.contains("too thin for a rod") && reason.contains("slit"), "{reason}"),
        }
    }
    assert!(!sheet.plan.vents.is_empty());
}

/// A roof over a knob on a floor: no rod goes straight up from the knob. It is left out with its reason, the finding says
/// so, and a vent that a person puts there is a Stop.
#[test]
#[ignore = "long"]
fn long_no_vent_is_proposed_through_the_part() {
    let floor = boxed([0.0, 0.0, 0.0], [40.0, 30.0, 5.0]);
    let wall = boxed([0.0, 0.0, 0.0], [6.0, 30.0, 40.0]);
    let roof = boxed([0.0, 0.0, 34.0], [40.0, 30.0, 40.0]);
    let knob = solids::cylinder(Vec3::new(25.0, 15.0, 4.0), Vec3::new(25.0, 15.0, 15.0), 4.0, 48);
    let part = united(&[floor, wall, roof, knob]);
    for turn in turns() {
        let mut job = Job::new(&part, turn);
        let (places, reasons) = job.proposed();
        assert!(!places.is_empty() && places.iter().all(|p| p.z > 39.0), "{places:?}");
        assert!(reasons.iter().any(|r| r.contains("the part itself stands above it")), "{reasons:?}");
        assert!(job.findings("rubber-thin").is_empty());
        // π·4²·10 above the floor, in a polygon of 48.
        let air = job.findings("air-trapped");
        let covered: Vec<_> = air.iter().filter(|f| f.message.contains("the part itself stands above it")).collect();
        assert!(
            covered.len() == 1 && covered[0].remedies.is_empty() && covered[0].severity == Severity::Stop,
            "{air:?}"
        );
        let job = job.vent(DVec3::new(25.0, 15.0, 15.0), DVec3::Z, 1.2);
        let through = job.findings("channel-in-part");
        assert!(through.len() == 1 && through[0].place.is_some(), "{through:?}");
        assert!(
            through[0].message.contains("runs through the part") && through[0].remedy.contains("hang"),
            "{through:?}"
        );
    }
}

/// A level top of 20 × 20: beside one vent in its middle a lean of 2° shuts in 20·½·10²·tan 2° = 35 mm³ by hand, which leaves
/// a bubble of 0.69 mm (35·500/101325 = 0.172 mm³), under the shop's 1 mm: one is enough; a stricter shop, or a shown top, wants more. A looser shop never wants more than a stricter one.
#[test]
#[ignore = "long"]
fn long_vents_are_proposed_for_bubbles_that_matter() {
    let top = boxed([-10.0, -10.0, 0.0], [10.0, 10.0, 12.0]);
    let vents = |bubble: f64, shown: bool| {
        let mut job = Job::new(&top, turns()[1]).with_limits(|l| l.bubble_mm = bubble);
        if shown {
            let stroke = vec![job.spot(DVec3::new(0.0, 0.0, 12.0), DVec3::Z)];
            job.plan.shown.push(ShownSurface { name: "Top".into(), stroke, radius_mm: 15.0, ..Default::default() });
        }
        let (places, _) = job.proposed();
        let facts = job.bench.quick_facts(&job.plan, &Run::new()).expect("facts");
        let worst = facts.air.as_ref().and_then(|a| a.worst_piece).map_or(0.0, |w| w.bubble_mm);
        let limit = if shown { bubble.min(job.bench.shop().limits.bubble_shown_mm) } else { bubble };
        assert!(worst < limit, "{worst} mm left, limit {limit}");
        places.len()
    };
    let counts: Vec<usize> = [1.0, 0.5, 0.25].map(|mm| vents(mm, false)).to_vec();
    assert_eq!(counts[0], 1);
    assert!(counts.is_sorted() && counts[2] > 1, "{counts:?}");
    assert!(vents(1.0, true) > 1);
    // Boyle and the ball, there and back.
    for pa in [100.0, 500.0, 50_000.0] {
        assert!((bubble_mm(sealed_mm3(0.7, pa), pa) - 0.7).abs() < 1e-12);
    }
    // At 500 Pa a bubble of 1 mm was π/6·101325/500 = 106.1 mm³.
    assert!((sealed_mm3(1.0, 500.0) - 106.1).abs() < 0.1);
}

/// A plate's four vents stand on the corners of its shown top: each leaves its mark on it, whichever face is nearer.
#[test]
#[ignore = "long"]
fn long_a_vent_on_an_edge_marks_every_face_that_it_reaches() {
    for turn in turns() {
        let mut job = Job::new(&boxed([0.0, 0.0, 0.0], [50.0, 40.0, 20.0]), turn);
        for (x, y) in [(0.0, 0.0), (50.0, 0.0), (0.0, 40.0), (50.0, 40.0)] {
            job = job.vent(DVec3::new(x, y, 20.0), DVec3::new(0.0, if y > 0.0 { 1.0 } else { -1.0 }, 0.0), 1.2);
        }
        let stroke = vec![job.spot(DVec3::new(25.0, 20.0, 20.0), DVec3::Z)];
        job.plan.shown = vec![ShownSurface { name: "Top".into(), stroke, radius_mm: 35.0, ..Default::default() }];
        assert_eq!(job.findings("mark-on-shown").len(), 4);
        // The underside is another face, 20 mm off.
        let stroke = vec![job.spot(DVec3::new(25.0, 20.0, 0.0), -DVec3::Z)];
        job.plan.shown[0].stroke = stroke;
        job.plan.shown[0].radius_mm = 60.0;
        assert!(job.findings("mark-on-shown").is_empty());
    }
}

/// What a wedge is said to save is what proposals save: counted by proposing as it stands and on the wedge.
#[test]
#[ignore = "long"]
fn long_a_wedge_saves_the_vents_that_it_says() {
    let mut dice = Dice(5);
    let mut field = solids::cuboid(Vec3::ZERO, Vec3::new(60.0, 40.0, 10.0));
    let stairs =
        cubes(8.0, [block((0, 0, 0), (6, 4, 1)), block((0, 0, 1), (4, 4, 2)), block((0, 0, 2), (2, 4, 3))].concat());
    for _ in 0..4 {
        let (x, y) = (8.0 + 44.0 * dice.unit() as f32, 8.0 + 24.0 * dice.unit() as f32);
        let height = 11.0 + 2.0 * dice.unit() as f32;
        let knob = solids::frustum(Vec3::new(x, y, 5.0), Vec3::new(x, y, height), 7.0, 4.0, 24);
        field = united(&[field, knob]);
    }
    let mut said = 0;
    for (mesh, turn) in [(boxed([0.0, 0.0, 0.0], [50.0, 40.0, 20.0]), 0), (stairs, 1), (field, 1)] {
        let mut job = Job::new(&mesh, turns()[turn]);
        let (level, _) = job.proposed();
        let facts = job.bench.facts(&job.plan, &Run::new()).expect("facts");
        let Some(wedge) = *facts.standing.wedge.as_deref().expect("asked") else { continue };
        let judged = judge(&job.plan, job.bench.shop(), &facts);
        let told = judged.iter().find(|f| f.code == "wedge-helps").expect("it helps");
        let [Remedy::PropBlock(attitude)] = told.remedies[..] else { panic!("{told:?}") };
        job.plan.hang.cast = Some(attitude);
        let (propped, _) = job.proposed();
        assert_eq!(wedge.fewer_vents(), level.len().saturating_sub(propped.len()), "{} {wedge:?}", told.message);
        assert!(propped.len() <= level.len(), "{propped:?}");
        assert_eq!(told.message.contains("fewer"), propped.len() < level.len(), "{}", told.message);
        let after = job.bench.facts(&job.plan, &Run::new()).expect("facts");
        let limit = job.bench.shop().limits.ceiling_mm2;
        assert!(after.standing.ceilings.as_ref().expect("there").area_mm2 <= wedge.now.ceiling_mm2.max(limit));
        // The edge and its lift are told again of the block as it stands.
        let report = mouldbench::study::report::of::report_of(&job.plan, job.bench.shop(), &after, &[]);
        let [raised] = &report.air.standing.raised[..] else { panic!("{:?}", report.air.standing.raised) };
        assert_eq!(raised.edge, wedge.edge.name());
        assert!((report.air.standing.tilt_deg - wedge.tilt_deg).abs() < 1e-3);
        said += wedge.fewer_vents();
    }
    assert!(said > 0, "a level top needs fewer on a wedge");
}

/// Turned over, or on its side, the channels point down or lie; on a wedge they do not.
#[test]
#[ignore = "long"]
fn long_a_block_turned_over_is_a_stop() {
    for turn in turns() {
        let mut job = Job::new(&boxed([0.0, 0.0, 0.0], [50.0, 40.0, 20.0]), turn);
        job = job.vent(DVec3::new(10.0, 10.0, 20.0), DVec3::Z, 1.2).vent(DVec3::new(40.0, 10.0, 20.0), DVec3::Z, 1.2);
        let mut stands = |up: DVec3| {
            job.plan.hang.cast = Some(Attitude { up: turn * up.normalize(), turn: 0.0 });
            job.findings("turned-over")
        };
        let over = stands(-DVec3::Z);
        assert!(over.len() == 1 && over[0].severity == Severity::Stop, "{over:?}");
        assert!(over[0].message.contains("its cup and its 2 vents point downwards"), "{}", over[0].message);
        assert!(stands(DVec3::X)[0].message.contains("sideways"));
        assert!(stands(DVec3::new(0.3, 0.0, 1.0)).is_empty());
    }
}

/// A mouth 2.5 mm above the part is in rubber however wide its rod.
#[test]
fn a_wide_vent_that_ends_in_rubber_is_told() {
    let job = Job::new(&boxed([0.0, 0.0, 0.0], [50.0, 40.0, 20.0]), turns()[1]);
    let off = job.vent(DVec3::new(25.0, 20.0, 22.5), DVec3::Z, 8.0);
    let told = off.findings("vent-off-part");
    assert!(told.len() == 1 && told[0].message.contains("2.5 mm off"), "{told:?}");
    let facts = off.bench.quick_facts(&off.plan, &Run::new()).expect("facts");
    let air = facts.air.expect("there");
    assert!((air.trapped.total_mm3 - 40_000.0).abs() < 1.0 && air.needless == [None], "{}", air.trapped.total_mm3);
    assert_eq!(air.trees.air.level.rim(&mouth(1, air.mouths[0].centre, Vec3::ZERO, 8.0)), None);
}
