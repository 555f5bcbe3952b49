//! Rods of gates and vents against the part, each other and the block, and gates against the wall that they stand on.

use super::fed_job::{Job, stands};
use glam::{DVec3, Vec3};
use mouldbench::mesh::{Mesh, solids};
use mouldbench::solve::run::Run;
use mouldbench::study::findings::{Remedy, Severity};
use mouldbench::study::propose::lay_runner_into;

/// A block 30 by 40 and 60 tall.
fn block() -> Mesh {
    solids::cuboid(Vec3::new(-15.0, -20.0, 0.0), Vec3::new(15.0, 20.0, 60.0))
}

/// From 5 mm up on a side, the rod lies with its axis in the face: half of it, 4 mm deep, over the 55 mm that are left but
/// the 4 + 3 mm that any rod is granted at its mouth.
#[test]
fn a_rod_that_runs_half_inside_a_wall_is_found_with_its_length() {
    for stand in stands() {
        let job = Job::new(&block(), stand).gate(DVec3::new(15.0, 0.0, 5.0), DVec3::X, 8.0);
        let pass = job.passes()[0].expect("it hugs the wall");
        assert!((pass.rubber_mm + 4.0).abs() < 0.06, "{pass:?}");
        assert!((pass.cut_mm - 48.0).abs() < 5.0 && pass.near_mm >= pass.cut_mm, "{pass:?}");
        let found = job.findings("channel-in-part");
        assert_eq!(found.len(), 1, "{found:?}");
        assert_eq!(found[0].severity, Severity::Stop);
        assert!(job.findings("rubber-thin").is_empty(), "told once");
        assert!(found[0].place.is_some() && found[0].remedies.contains(&Remedy::LeadRound(1)), "{found:?}");
    }
}

/// What is offered helps: led off the part first, the rod passes it nowhere.
#[test]
fn led_round_the_same_gate_is_free_of_the_part() {
    for stand in stands() {
        let mut job = Job::new(&block(), stand).gate(DVec3::new(15.0, 0.0, 5.0), DVec3::X, 8.0);
        assert!(lay_runner_into(&job.bench, &mut job.plan, 1, Some(true), &Run::new()).expect("laid"));
        assert_eq!(job.passes(), [None]);
        assert!(job.findings("rubber-thin").is_empty());
        assert!(job.findings("channels-close").is_empty(), "the block holds it as well");
    }
}

/// A step 30 mm tall rises 1.5 mm beside a vent: 1.5 less its radius of 0.6 mm is 0.9 mm of rubber, up to the step's top.
#[test]
fn a_vent_beside_a_taller_wall_passes_it_too_near() {
    let mut stepped = solids::cuboid(Vec3::new(-20.0, -10.0, 0.0), Vec3::new(0.0, 10.0, 40.0));
    stepped.append(&solids::cuboid(Vec3::new(-1.0, -10.0, 0.0), Vec3::new(20.0, 10.0, 10.0)));
    for stand in stands() {
        let job = Job::new(&stepped, stand).vent(DVec3::new(1.5, 0.0, 10.0), DVec3::Z);
        let pass = job.passes()[0].expect("it passes the step");
        assert!((pass.rubber_mm - 0.9).abs() < 1e-3 && pass.cut_mm == 0.0, "{pass:?}");
        // Beyond the mouth's own 3.6 mm, and as far over the step's top as it is still within 3 mm of its edge.
        let over = (3.6f64.powi(2) - 1.5f64.powi(2)).sqrt();
        assert!((pass.near_mm - (30.0 - 3.6 + over)).abs() < 1.5, "{pass:?}");
        assert_eq!(job.findings("rubber-thin")[0].severity, Severity::Warn);
        // 5 mm off it keeps 4.4 mm.
        let off = Job::new(&stepped, stand).vent(DVec3::new(5.0, 0.0, 10.0), DVec3::Z);
        assert_eq!(off.passes(), [None]);
    }
}

#[test]
fn rods_that_leave_the_surface_are_let_off() {
    let cone = solids::frustum(Vec3::ZERO, Vec3::new(0.0, 0.0, 30.0), 20.0, 0.5, 48);
    for stand in stands() {
        // On the tip, in the middle of a top, on the very edge of it, and half way up a wall of 57°.
        let tip = Job::new(&cone, stand).vent(DVec3::new(0.0, 0.0, 30.0), DVec3::Z);
        assert_eq!(tip.passes(), [None]);
        let slope = Job::new(&cone, stand).vent(DVec3::new(10.25, 0.0, 15.0), DVec3::new(30.0, 0.0, 19.5));
        assert_eq!(slope.passes(), [None]);
        for at in [DVec3::new(0.0, 0.0, 60.0), DVec3::new(15.0, 3.0, 60.0), DVec3::new(15.0, 20.0, 60.0)] {
            assert_eq!(Job::new(&block(), stand).gate(at, DVec3::Z, 8.0).passes(), [None], "{at}");
        }
    }
}

/// From below straight up: through the floor of 2 mm, and through a thick part all the way.
#[test]
fn a_rod_that_starts_into_the_part_runs_through_it() {
    let plate = solids::cuboid(Vec3::new(-30.0, -20.0, 0.0), Vec3::new(30.0, 20.0, 2.0));
    for stand in stands() {
        let thin = Job::new(&plate, stand).gate(DVec3::ZERO, -DVec3::Z, 8.0);
        let pass = thin.passes()[0].expect("through the plate");
        assert!(pass.inside_mm > 1.0 && pass.inside_mm < 2.5, "{pass:?}");
        let thick = Job::new(&block(), stand).gate(DVec3::ZERO, -DVec3::Z, 8.0);
        let pass = thick.passes()[0].expect("through the block");
        assert!((pass.inside_mm - 60.0).abs() < 2.5 && pass.rubber_mm < -4.0, "{pass:?}");
        assert!(thick.findings("channel-in-part")[0].message.contains("runs through the part"));
    }
}

#[test]
#[ignore = "long"]
fn long_a_runner_that_swallows_a_vent_is_a_stop_and_one_that_nearly_does_a_warning() {
    for stand in stands() {
        // Ø8 rod at the middle of the top; vents at 2 mm (inside it), 6.5 (6.5 − 4 − 0.6 = 1.9) and 9 (4.4).
        for (x, wanted) in [(2.0, Some(-2.6)), (6.5, Some(1.9)), (9.0, None)] {
            let job = Job::new(&block(), stand).gate(DVec3::new(0.0, 0.0, 60.0), DVec3::Z, 8.0);
            let job = job.vent(DVec3::new(x, 0.0, 60.0), DVec3::Z);
            let found = job.findings("channels-close");
            assert_eq!(found.len(), usize::from(wanted.is_some()), "{x}: {found:?}");
            if let Some(rubber) = wanted {
                assert_eq!(found[0].severity == Severity::Stop, rubber < 0.0);
                assert!(rubber < 0.0 || found[0].message.contains(&format!("{rubber:.1} mm of rubber")), "{found:?}");
            }
        }
        let pair = Job::new(&block(), stand).vent(DVec3::new(0.0, 0.0, 60.0), DVec3::Z);
        let pair = pair.vent(DVec3::new(0.0, 1.0, 60.0), DVec3::Z);
        assert_eq!(pair.findings("channels-close")[0].severity, Severity::Stop, "two vents in one");
    }
}

/// The block goes round its runners by the wall that was asked for; set to 2 mm by hand, a runner is as near to its side.
#[test]
fn a_runner_by_the_side_of_the_block_is_told() {
    for stand in stands() {
        let job = Job::new(&block(), stand).gate(DVec3::new(15.0, 0.0, 5.0), DVec3::X, 6.0);
        let mut job = job.runner(&[DVec3::new(30.0, 0.0, 5.0)]);
        assert!(job.findings("channels-close").is_empty());
        job.plan.block.wall_mm = Some(2.0);
        let found = job.findings("channels-close");
        assert!(found.iter().any(|f| f.message.contains("of rubber to the block's side")), "{found:?}");
    }
}

/// A plate 2 mm thick seen on its rim, on its face, near an edge; a duct's end; a ball; a rib with a round top.
#[test]
fn the_wall_at_a_mouth_is_the_narrowest_way_through_it() {
    let plate = solids::cuboid(Vec3::new(0.0, -30.0, -1.0), Vec3::new(60.0, 30.0, 1.0));
    let near = |got: f64, wanted: f64, share: f64| (got / wanted - 1.0).abs() < share;
    for stand in stands() {
        let job = Job::new(&plate, stand);
        for diameter in [1.2, 4.0, 8.0] {
            let (rim, over) = job.mouth(DVec3::new(60.0, 3.0, 0.0), DVec3::X, diameter);
            assert!(near(rim, 2.0, 0.01), "rim {rim}");
            assert_eq!(over > 0.02, diameter > 2.0, "Ø{diameter}: {over}");
            let (face, over) = job.mouth(DVec3::new(30.0, 3.0, 1.0), DVec3::Z, diameter);
            assert!(near(face, 2.0, 0.01) && over == 0.0, "face {face} {over}");
        }
        // 1 mm from an edge a mouth of Ø4 hangs over it by a segment: (π/3 − √3/4)/π of a circle, 19.6 %.
        let (_, over) = job.mouth(DVec3::new(59.0, 0.0, 1.0), DVec3::Z, 4.0);
        assert!((over - 0.196).abs() < 0.05, "{over}");
        // Leaning normals are those of a line on an edge; the wall stays the plate's.
        let (edge, _) = job.mouth(DVec3::new(60.0, 3.0, 1.0), DVec3::new(1.0, 0.0, 1.0), 2.0);
        assert!(near(edge, 2.0, 0.01), "{edge}");
        let duct = Job::new(&solids::cuboid(Vec3::new(-100.0, -5.0, -1.5), Vec3::new(100.0, 5.0, 1.5)), stand);
        let (end, _) = duct.mouth(DVec3::new(100.0, 0.0, 0.0), DVec3::X, 3.0);
        assert!(near(end, 3.0, 0.01), "{end}");
        // A corner that is cut off is no wall: a block is as wide as it is.
        let (corner, _) = Job::new(&block(), stand).mouth(DVec3::new(14.5, 19.5, 60.0), DVec3::Z, 1.2);
        assert!(near(corner, 30.0, 0.01), "{corner}");
        let rib = Job::new(&solids::cylinder(Vec3::new(0.0, -30.0, 0.0), Vec3::new(0.0, 30.0, 0.0), 2.0, 96), stand);
        let (round, over) = rib.mouth(DVec3::new(0.0, 5.0, 2.0), DVec3::Z, 1.2);
        assert!((3.4..=4.02).contains(&round) && over == 0.0, "{round} {over}");
    }
}

/// The gate of Ø8 on a rim of 2 mm that nobody minded.
#[test]
#[ignore = "long"]
fn long_a_gate_wider_than_its_rim_is_told_and_one_that_fits_is_not() {
    let plate = solids::cuboid(Vec3::new(0.0, -30.0, -1.0), Vec3::new(60.0, 30.0, 1.0));
    for stand in stands() {
        let wide = Job::new(&plate, stand).gate(DVec3::new(60.0, 0.0, 0.0), DVec3::X, 8.0);
        let found = wide.findings("gate-wide");
        assert_eq!(found.len(), 1);
        assert!(found[0].message.contains("wall of 2.0 mm") && found[0].message.contains("hangs over"), "{found:?}");
        assert_eq!(found[0].remedies, [Remedy::NarrowGate(1, 2.0)]);
        let fits = Job::new(&plate, stand).gate(DVec3::new(60.0, 0.0, 0.0), DVec3::X, 2.0);
        assert!(fits.findings("gate-wide").is_empty());
        let face = Job::new(&plate, stand).gate(DVec3::new(30.0, 0.0, 1.0), DVec3::Z, 4.0);
        let found = face.findings("gate-wide");
        assert!(found[0].message.contains("the limit is 150 % of it"), "{found:?}");
        assert_eq!(found[0].remedies, [Remedy::NarrowGate(1, 3.0)]);
    }
}

/// A gate of Ø3.5 on a rim of 2.5 mm, as wide as a wall of that thickness takes on its face; and what each place takes.
#[test]
fn a_rim_takes_a_gate_as_wide_as_itself_and_a_face_one_and_a_half_times() {
    let plate = solids::cuboid(Vec3::new(0.0, -30.0, -1.25), Vec3::new(60.0, 30.0, 1.25));
    for (k, (at, normal, diameter, limit)) in [
        (DVec3::new(60.0, 0.0, 0.0), DVec3::X, 3.5, Some("140 % of it, the limit is 100 % of it")),
        (DVec3::new(60.0, 0.0, 0.0), DVec3::X, 2.6, Some("104 % of it, the limit is 100 % of it")),
        (DVec3::new(60.0, 0.0, 0.0), DVec3::X, 2.5, None),
        (DVec3::new(30.0, 0.0, 1.25), DVec3::Z, 4.0, Some("160 % of it, the limit is 150 % of it")),
        (DVec3::new(30.0, 0.0, 1.25), DVec3::Z, 3.7, None),
    ]
    .into_iter()
    .enumerate()
    {
        // Drawn along the plate's thickness the line runs round its rim, under the gate.
        let stand = stands()[k % 2];
        let mut job = Job::new(&plate, stand).gate(at, normal, diameter);
        job.plan.parting.draw = stand.0 * DVec3::Z;
        let found = job.findings("gate-wide");
        let told: Vec<&str> = found.iter().filter(|f| f.severity == Severity::Warn).map(|f| &*f.message).collect();
        assert_eq!(told.len(), usize::from(limit.is_some()), "Ø{diameter} at {at}: {found:?}");
        assert!(limit.is_none_or(|l| told[0].contains(l)), "{told:?}");
        let gate = job.report().feed.figures.gates.remove(0);
        assert_eq!(gate.on_rim, normal == DVec3::X);
        assert!((gate.of_wall.expect("a wall") - diameter / 2.5).abs() < 0.02, "{gate:?}");
    }
}

#[test]
fn a_shop_that_wants_less_is_heeded() {
    let plate = solids::cuboid(Vec3::new(0.0, -30.0, -1.25), Vec3::new(60.0, 30.0, 1.25));
    let mut job = Job::new(&plate, stands()[0]).gate(DVec3::new(60.0, 0.0, 0.0), DVec3::X, 2.4);
    assert!(job.findings("gate-wide").is_empty());
    job.stricter(|limits| limits.gate_rim_share = 0.8);
    assert!(job.findings("gate-wide")[0].message.contains("the limit is 80 % of it"));
}
