//! Every rule once where it must speak and once where it must not.

use crate::known::Shared;
use glam::{DVec3, Vec3};
use mouldbench::mesh::{Mesh, solids, write_stl};
use mouldbench::plan::*;
use mouldbench::shop::Shop;
use mouldbench::solve::run::Run;
use mouldbench::study::findings::{Finding, Remedy, Severity, Step, judge};
use mouldbench::study::propose::bare_plan;
use mouldbench::study::report::of::report_of;

struct Job {
    folder: tempfile::TempDir,
    plan: Plan,
}

impl Job {
    /// A plan of one mesh, with a gate low on its side at `gate`, outward normal `out`.
    fn new(mesh: &Mesh) -> Job {
        let folder = tempfile::tempdir().expect("a folder");
        let mut file = std::fs::File::create(folder.path().join("part.stl")).expect("made");
        write_stl::write(&mut file, mesh, DVec3::ZERO).expect("written");
        let mut plan = bare_plan("Part", "part.stl", "", Unit::Millimetre);
        plan.parting.draw = DVec3::Z;
        Job { folder, plan }
    }

    fn gate(mut self, position: DVec3, normal: DVec3) -> Job {
        self.plan.feed.gates.push(Gate {
            number: 1,
            at: spot(position, normal),
            diameter_mm: 3.0,
            runner: vec![position + normal * 15.0],
            runner_diameter_mm: 6.0,
            ..Gate::default()
        });
        self
    }

    fn vent(mut self, position: DVec3) -> Job {
        let number = self.plan.free_vent_number();
        self.plan.vents.push(Vent { number, at: spot(position, DVec3::Z), diameter_mm: 1.5, ..Vent::default() });
        self
    }

    fn with(mut self, change: impl FnOnce(&mut Plan)) -> Job {
        change(&mut self.plan);
        self
    }

    fn findings(&self) -> Vec<Finding> {
        let bench = Shared::on(self.folder.path(), Shop::bundled());
        let facts = bench.facts(&self.plan, &Run::new()).expect("facts");
        judge(&self.plan, bench.shop(), &facts)
    }

    /// Every place that a message tells is that of the sheet's column beside it, also on a master larger than its part.
    #[track_caller]
    fn tells_each_place_once(&self, code: &str) {
        for factor in [1.0, 1.05] {
            let mut plan = self.plan.clone();
            plan.parts[0].scale = Scale::Nominal { master_factor: factor };
            let bench = Shared::on(self.folder.path(), Shop::bundled());
            let facts = bench.facts(&plan, &Run::new()).expect("facts");
            let findings = judge(&plan, bench.shop(), &facts);
            let report = report_of(&plan, bench.shop(), &facts, &findings);
            let told = report.findings.iter().find(|f| f.code == code).expect("the finding");
            let walls = told.from_walls_mm.expect("a place");
            let [left, front, floor] = walls.map(|v| format!("{v:.1}"));
            let wanted =
                format!("{left} mm from the left wall, {front} from the front wall and {floor} above the floor");
            assert!(told.message.contains(&wanted), "{wanted}: {}", told.message);
            // JSON keeps the place in the box as well: half a block away from the walls, at the mesh's own size.
            let (at, size) = (told.position_mm.expect("a place"), report.block.size_mm);
            assert!((walls[0] - (at[0] * factor + size[0] / 2.0)).abs() < 1e-6, "{walls:?} {at:?}");
            assert!((walls[1] - (at[1] * factor + size[1] / 2.0)).abs() < 1e-6, "{walls:?} {at:?}");
            let below = report.block.below_mm;
            assert!((walls[2] - (below + (at[2] - below) * factor)).abs() < 1e-6, "{walls:?} {at:?}");
        }
    }

    fn codes(&self) -> Vec<&'static str> {
        self.findings().iter().map(|f| f.code).collect()
    }
}

fn spot(position: DVec3, normal: DVec3) -> Spot {
    Spot { part: 0, position, normal }
}

fn find<'a>(findings: &'a [Finding], code: &str) -> &'a Finding {
    findings.iter().find(|f| f.code == code).unwrap_or_else(|| {
        panic!("no {code} among {:?}", findings.iter().map(|f| (f.code, &f.message)).collect::<Vec<_>>())
    })
}

/// A cone standing on its base: one sharp peak.
fn cone() -> Mesh {
    solids::frustum(Vec3::ZERO, Vec3::new(0.0, 0.0, 30.0), 20.0, 0.5, 48)
}

fn vented_cone() -> Job {
    // Near the rim, whose wall is a wedge of 57°: as wide as it bears.
    let job = Job::new(&cone()).gate(DVec3::new(19.155, 0.0, 1.3), DVec3::X).vent(DVec3::new(0.0, 0.0, 30.0));
    job.with(|p| p.feed.gates[0].diameter_mm = 2.2)
}

#[test]
fn a_sound_plan_has_no_stop_and_no_warning() {
    let findings = vented_cone().findings();
    assert!(findings.iter().all(|f| f.severity == Severity::Note), "{findings:?}");
}

#[test]
fn every_finding_is_told_in_full() {
    let jobs = [
        Job::new(&cone()),
        Job::new(&cone()).vent(DVec3::new(0.0, 0.0, 80.0)),
        vented_cone().with(|p| p.block.wall_mm = Some(2.0)),
    ];
    for f in jobs.iter().flat_map(Job::findings) {
        assert!(!f.message.is_empty() && !f.why.is_empty() && !f.remedy.is_empty(), "{f:?}");
        assert!(!f.message.ends_with('.') && !f.remedy.ends_with('.'), "no full stop on screen: {f:?}");
        assert!(f.code.chars().all(|c| c.is_ascii_lowercase() || c == '-'), "{}", f.code);
        assert!(f.remedies.iter().all(|r| !r.label().is_empty()));
    }
}

#[test]
fn air_below_the_peak_is_told_with_vent_depth_and_volume() {
    // A vent 3 mm below the tip of a cone leaves the cap above it: worked by hand as a frustum of height 3.
    let slope = 19.5 / 30.0;
    let r = |below: f64| 0.5 + slope * below;
    // The mouth's upper rim counts: half a vent's diameter along the wall, which rises 30 for every 19.5 outwards.
    let wall = 30f64.hypot(19.5);
    let below = 3.0 - 0.75 * 30.0 / wall;
    let job = vented_cone().with(|p| {
        p.vents[0].at = spot(DVec3::new(r(3.0), 0.0, 27.0), DVec3::new(30.0, 0.0, 19.5).normalize());
    });
    let findings = job.findings();
    let air = find(&findings, "air-trapped");
    let polygon = 48.0 / (2.0 * std::f64::consts::PI) * (std::f64::consts::TAU / 48.0).sin();
    let cap = polygon * std::f64::consts::PI * below / 3.0 * (r(below).powi(2) + r(below) * 0.5 + 0.25);
    assert!(air.message.contains(&format!("{below:.1} mm below")), "{} / {below}", air.message);
    assert!(
        air.message.contains(&format!("{cap:.1} mm³")) || air.message.contains(&format!("{cap:.0} mm³")),
        "{} / {cap}",
        air.message
    );
    assert!(matches!(air.remedies[0], Remedy::MoveVent(1, s) if s.position.distance(DVec3::new(0.0, 0.0, 30.0)) < 1.0));
    assert!(air.place.is_some());
    assert!(!vented_cone().codes().contains(&"air-trapped"));
}

#[test]
fn a_wide_level_top_with_one_vent_leans() {
    let plate = solids::cuboid(Vec3::new(-50.0, -30.0, 0.0), Vec3::new(50.0, 30.0, 3.0));
    let middle = Job::new(&plate).gate(DVec3::new(50.0, 0.0, 1.5), DVec3::X).vent(DVec3::new(0.0, 0.0, 3.0));
    assert_eq!(find(&middle.findings(), "air-leaning").severity, Severity::Stop);
    assert!(!middle.codes().contains(&"air-trapped"), "level, nothing stays");
    let mut corners = middle;
    for (x, y) in [(-49.0, -29.0), (49.0, -29.0), (-49.0, 29.0), (49.0, 29.0)] {
        corners = corners.vent(DVec3::new(x, y, 3.0));
    }
    let codes = corners.codes();
    assert!(codes.contains(&"vent-needless"), "now the one in the middle can go: {codes:?}");
}

#[test]
#[ignore = "long"]
fn long_vents_and_gates_off_the_part() {
    let off = vented_cone().vent(DVec3::new(0.0, 0.0, 60.0));
    let findings = off.findings();
    assert_eq!(find(&findings, "vent-off-part").severity, Severity::Stop);
    let off = Job::new(&cone()).gate(DVec3::new(60.0, 0.0, 1.0), DVec3::X);
    assert!(off.codes().contains(&"gate-off-part"));
    assert!(Job::new(&cone()).codes().contains(&"gate-missing"));
    let codes = vented_cone().codes();
    assert!(!codes.contains(&"vent-off-part") && !codes.contains(&"gate-off-part") && !codes.contains(&"gate-missing"));
}

#[test]
#[ignore = "long"]
fn long_a_second_body_without_a_gate() {
    let mut two = cone();
    two.append(&solids::cuboid(Vec3::new(60.0, 0.0, 0.0), Vec3::new(70.0, 10.0, 10.0)));
    let job = Job::new(&two).gate(DVec3::new(19.0, 0.0, 1.5), DVec3::X);
    let findings = job.findings();
    let unreached = find(&findings, "part-unreached");
    // A cube of 10 is 1 cm³; its volume is told by cells, those at the wall counted whole.
    assert!(["1.0 cm³", "1.1 cm³", "1.2 cm³"].iter().any(|v| unreached.message.contains(v)), "{}", unreached.message);
    assert!(matches!(unreached.remedies[0], Remedy::AddGate(s) if s.position.x > 59.0));
    assert!(!vented_cone().codes().contains(&"part-unreached"));
    // Before all that it is asked what the two bodies are; nothing else is told before it.
    let asked = &findings[0];
    assert_eq!((asked.code, asked.severity), ("bodies-loose", Severity::Stop));
    assert!(asked.message.contains("2 bodies that do not touch"), "{}", asked.message);
    let said = Job::new(&two).with(|p| p.take_bodies_as_one(0));
    assert!(!said.codes().contains(&"bodies-loose") && !vented_cone().codes().contains(&"bodies-loose"));
}

#[test]
#[ignore = "long"]
fn long_a_cross_drilled_cube_drawn_across_locks_a_core() {
    let cube = solids::cuboid(Vec3::splat(-20.0), Vec3::splat(20.0));
    let drill = solids::cylinder(Vec3::new(0.0, -30.0, 0.0), Vec3::new(0.0, 30.0, 0.0), 10.0, 48);
    let drilled = mouldbench::mesh::boolean::subtract(&cube, &[&drill]).expect("drilled");
    let across = Job::new(&drilled).with(|p| p.parting.draw = DVec3::X);
    let along = Job::new(&drilled).with(|p| p.parting.draw = DVec3::Y);
    let findings = across.findings();
    let locked = find(&findings, "core-locked");
    assert_eq!(locked.severity, Severity::Stop);
    assert!(locked.message.contains("20.0 mm wide and 40.0 mm long"), "{}", locked.message);
    let labels: Vec<String> = locked.remedies.iter().map(Remedy::label).collect();
    assert_eq!(
        labels,
        ["Plan a metal core here", "Plan a loose piece here", "Plan a relief cut here", "Propose a draw"]
    );
    across.tells_each_place_once("core-locked");
    assert!(!along.codes().contains(&"core-locked"));
    // Each of the first three frees it by itself, and nothing is then said against what was planned.
    for remedy in &locked.remedies[..3] {
        let across = Job::new(&drilled).with(|p| {
            p.parting.draw = DVec3::X;
            match remedy.clone() {
                Remedy::AddLoosePiece(piece) => p.parting.loose_pieces.push(piece),
                Remedy::AddReliefCut(cut) => p.parting.relief_cuts.push(cut),
                other => panic!("{other:?}"),
            }
        });
        let codes = across.codes();
        assert!(codes.contains(&"core-freed") && !codes.contains(&"core-locked"), "{remedy:?}: {codes:?}");
        assert!(!codes.contains(&"loose-piece-held") && !codes.contains(&"relief-cut-short"), "{remedy:?}: {codes:?}");
    }
    // Half as deep a cut goes round the core and does not sever it.
    let Remedy::AddReliefCut(cut) = locked.remedies[2].clone() else { panic!("a cut") };
    let shallow = Job::new(&drilled).with(|p| {
        p.parting.draw = DVec3::X;
        p.parting.relief_cuts.push(ReliefCut { depth_mm: 5.0, ..cut });
    });
    let findings = shallow.findings();
    let locked = find(&findings, "core-locked");
    assert!(locked.message.contains("goes 5.0 mm deep round it, 10.0 mm would sever it"), "{}", locked.message);
}

#[test]
fn deep_and_shallow_undercuts() {
    // A T: a head on a thin neck, drawn along the neck.
    let t = |overhang: f32| {
        let mut t = solids::cuboid(Vec3::new(-5.0, -30.0, 0.0), Vec3::new(5.0, 30.0, 20.0));
        let side = 5.0 + overhang;
        t.append(&solids::cuboid(Vec3::new(-side, -30.0, 15.0), Vec3::new(side, 30.0, 25.0)));
        t.append(&solids::cuboid(Vec3::new(-side - 10.0, -30.0, -8.0), Vec3::new(side + 10.0, 30.0, 2.0)));
        t
    };
    let shallow = Job::new(&t(1.0)).codes();
    assert!(shallow.contains(&"undercut-lets-go") && !shallow.contains(&"undercut"), "{shallow:?}");
    let deep = Job::new(&t(12.0));
    let findings = deep.findings();
    assert_eq!(find(&findings, "undercut").severity, Severity::Warn);
    assert!(!vented_cone().codes().iter().any(|c| c.starts_with("undercut")));
}

#[test]
#[ignore = "long"]
fn long_thin_walls_thin_rubber_and_large_batches() {
    let thin = solids::cuboid(Vec3::ZERO, Vec3::new(40.0, 30.0, 0.6));
    let findings = Job::new(&thin).findings();
    assert!(find(&findings, "wall-thin").message.contains("0.60 mm"));
    assert!(vented_cone().with(|p| p.block.wall_mm = Some(3.0)).codes().contains(&"rubber-thin"));
    let through = vented_cone().with(|p| p.vents[0].at = spot(DVec3::new(0.0, 0.0, 0.0), DVec3::NEG_Z));
    assert!(find(&through.findings(), "channel-in-part").message.contains("runs through the part"));
    let large = solids::cuboid(Vec3::ZERO, Vec3::new(80.0, 80.0, 60.0));
    assert!(Job::new(&large).codes().contains(&"batch-large"));
    let codes = vented_cone().codes();
    assert!(!codes.iter().any(|c| ["wall-thin", "rubber-thin", "batch-large"].contains(c)), "{codes:?}");
}

#[test]
#[ignore = "long"]
fn long_inserts_outside_in_the_way_and_too_near_the_wall() {
    let block = solids::cuboid(Vec3::ZERO, Vec3::new(40.0, 30.0, 20.0));
    let insert = |x: f64, y: f64, in_pocket_mm: f64| Insert {
        number: 1,
        name: String::new(),
        kind: InsertKind::Pin { diameter_mm: 4.0, length_mm: 10.0 },
        at: spot(DVec3::new(x, y, 20.0), DVec3::Z),
        in_pocket_mm,
        pocket: PocketMade::DummyOnMaster,
        stays: true,
        threads: Threads::None,
        half: None,
        density_g_cm3: None,
        hottest_c: None,
    };
    let job = |inserts: Vec<Insert>| Job::new(&block).vent(DVec3::new(20.0, 15.0, 20.0)).with(|p| p.inserts = inserts);
    let sound = job(vec![insert(34.0, 15.0, 4.0)]).codes();
    assert!(!sound.iter().any(|c| c.starts_with("insert")), "{sound:?}");
    assert!(job(vec![insert(34.0, 15.0, 0.0)]).codes().contains(&"insert-outside"));
    assert!(job(vec![insert(90.0, 15.0, 4.0)]).codes().contains(&"insert-outside"));
    assert!(job(vec![insert(21.0, 15.0, 4.0)]).codes().contains(&"insert-in-the-way"));
    let thin = job(vec![insert(37.5, 15.0, 4.0)]);
    let findings = thin.findings();
    assert!(find(&findings, "insert-thin-resin").message.contains("0.5 mm"));
}

#[test]
#[ignore = "long"]
fn long_marks_on_shown_surfaces_and_missed_pins() {
    let shown = |p: &mut Plan| {
        p.shown.push(ShownSurface {
            name: "Tip".into(),
            stroke: vec![spot(DVec3::new(0.0, 0.0, 30.0), DVec3::Z)],
            radius_mm: 3.0,
            ..ShownSurface::default()
        });
    };
    assert!(vented_cone().with(shown).codes().contains(&"mark-on-shown"));
    assert!(!vented_cone().codes().contains(&"mark-on-shown"));
    let pin = |z: f64| Pin { at: spot(DVec3::new(0.0, 0.0, z), DVec3::Z) };
    assert!(vented_cone().with(|p| p.parting.pins = vec![pin(80.0)]).codes().contains(&"pin-missed"));
}

/// A shown surface with its stroke along these places.
fn shown(name: &str, stroke: Vec<Spot>, radius_mm: f64) -> ShownSurface {
    ShownSurface { name: name.into(), stroke, radius_mm, ..ShownSurface::default() }
}

/// A line across a shown surface says who laid it there: nobody, a plane, a held loop, or a shut-off that was moved.
#[test]
#[ignore = "long"]
fn long_a_line_on_a_shown_surface_says_why_it_lies_there() {
    let told = |job: Job| {
        let found: Vec<Finding> = job.findings().into_iter().filter(|f| f.code == "line-on-shown").collect();
        assert!(found.len() <= 1);
        found.into_iter().next().map(|f| format!("{}. {}", f.message, f.remedy)).unwrap_or_default()
    };
    let flank = |z: f64| spot(DVec3::new(20.0 - 19.5 * z / 30.0, 0.0, z), DVec3::new(1.0, 0.0, 0.65).normalize());
    let patch = || shown("Cheek", vec![flank(10.0)], 4.0);
    let cheek = |change: fn(&mut Plan)| vented_cone().with(|p| p.shown.push(patch())).with(change);
    assert_eq!(told(cheek(|_| ())), "", "the rim of the base is free");
    let held = told(cheek(|p| p.parting.held_loops = vec![round_the_cone(10.0)]));
    assert!(held.contains("Cheek: it is held there by hand. Let go of it"), "{held}");
    let plane = told(cheek(|p| p.parting.plane_mm = Some(10.0)));
    assert!(plane.contains("Cheek: the plane that parts it lies there"), "{plane}");
    // A band from pole to pole of a ball: no line between the halves gets past it.
    let ball = solids::ball(Vec3::ZERO, 20.0, 4);
    let along = (-15..=15).map(|i| glam::DQuat::from_rotation_y(f64::from(-i) * 0.1) * DVec3::X);
    let band: Vec<Spot> = along.map(|n| spot(n * 20.0, n)).collect();
    let seam =
        |change: fn(&mut Plan)| Job::new(&ball).with(|p| p.shown.push(shown("Seam", band.clone(), 3.0))).with(change);
    let none = told(seam(|_| ()));
    assert!(none.contains("Seam: there is no cheaper way for it. Choose another draw"), "{none}");
    let pinned = told(seam(|p| p.parting.pins.push(Pin { at: spot(DVec3::new(-20.0, 0.0, 0.0), -DVec3::X) })));
    assert!(pinned.contains("with the pins and marks as they are there is no cheaper way"), "{pinned}");

    // The shut-off of a hole Ø20 along the draw, moved to 8 mm over the middle, where a spot of the wall is shown.
    let ring: Vec<Spot> = (0..64)
        .map(|i| {
            let (s, c) = (std::f64::consts::TAU * i as f64 / 64.0).sin_cos();
            spot(DVec3::new(10.0 * c, 10.0 * s, 8.0), DVec3::new(-c, -s, 0.0))
        })
        .collect();
    let on_wall = shown("Window", vec![ring[16]], 3.0);
    let drilled = |shut_offs: Vec<ShutOffChoice>| {
        Job::new(&crate::study::parting::shapes::drilled_cube(40.0, 10.0, 64)).with(|p| {
            p.shown.push(on_wall.clone());
            p.parting.shut_offs = shut_offs;
        })
    };
    assert_eq!(told(drilled(Vec::new())), "");
    let choice = ShutOffChoice { near: ring[0], separation: Separation::Cut, held: ring.clone(), moved_mm: 8.0 };
    let moved = told(drilled(vec![choice]));
    assert!(moved.contains("Window: it is a shut-off that was moved there by hand. Move the shut-off back"), "{moved}");
}

/// A loop round the cone at the height `z`, as it would be held.
fn round_the_cone(z: f64) -> HeldLoop {
    let radius = (20.0 - 19.5 * z / 30.0) * (std::f64::consts::PI / 48.0).cos();
    let at = |i: i32| {
        let (s, c) = (std::f64::consts::TAU * i as f64 / 48.0).sin_cos();
        spot(DVec3::new(radius * c, radius * s, z), DVec3::new(c, s, 19.5 / 30.0).normalize())
    };
    HeldLoop { points: (0..48).map(at).collect() }
}

#[test]
#[ignore = "long"]
fn long_held_loops_that_are_open_stop_the_pour() {
    let held = |loops: Vec<HeldLoop>| vented_cone().with(|p| p.parting.held_loops = loops);
    let sound = held(vec![round_the_cone(10.0)]);
    assert!(!sound.codes().contains(&"line-open"), "{:?}", sound.findings());
    // Off the part for a quarter of the way.
    let mut off = round_the_cone(10.0);
    off.points[6..18].iter_mut().for_each(|s| s.position *= 1.8);
    held(vec![round_the_cone(5.0), off.clone()]).tells_each_place_once("line-open");
    let findings = held(vec![round_the_cone(5.0), off]).findings();
    let open = find(&findings, "line-open");
    assert_eq!((open.severity, &open.remedies[..]), (Severity::Stop, &[Remedy::LetGoOfLoop(1)][..]));
    assert!(
        open.message.contains("Held loop 2") && open.message.contains("does not lie on the part"),
        "{}",
        open.message
    );
    assert!(open.message.contains("above the floor") && open.place.is_some(), "{}", open.message);
    // A mark over it, the second of two.
    let mark = |z: f64, half: Half| HalfMark {
        half,
        stroke: vec![spot(DVec3::new(20.0 - 19.5 * z / 30.0, 0.0, z), DVec3::new(1.0, 0.0, 0.65).normalize())],
        radius_mm: 3.0,
    };
    let marked = sound.with(|p| p.parting.marks = vec![mark(20.0, Half::One), mark(10.0, Half::One)]);
    let findings = marked.findings();
    let open = find(&findings, "line-open");
    assert_eq!(open.remedies, [Remedy::RemoveMark(1), Remedy::LetGoOfLoop(0)]);
    assert!(open.message.contains("mark 2 gives both sides"), "{}", open.message);
    let healed = marked.with(|p| {
        p.parting.marks.remove(1);
    });
    assert!(!healed.codes().contains(&"line-open"));
}

#[test]
#[ignore = "long"]
fn long_marks_that_cut_a_piece_off_or_leave_no_line_stop_the_pour() {
    // Parted by a plane low on the cone, a spot of half 2 high up is cut off.
    let marked = vented_cone().with(|p| {
        p.parting.plane_mm = Some(2.0);
        p.parting.marks = vec![HalfMark {
            half: Half::Two,
            stroke: vec![spot(DVec3::new(7.0, 0.0, 20.0), DVec3::new(1.0, 0.0, 0.65).normalize())],
            radius_mm: 2.0,
        }];
    });
    let findings = marked.findings();
    let pieces = find(&findings, "half-in-pieces");
    assert_eq!(pieces.severity, Severity::Stop);
    assert_eq!(pieces.remedies, [Remedy::RemoveMark(0), Remedy::SeekLine, Remedy::ProposeDraw]);
    assert!(!marked.with(|p| p.parting.marks.clear()).codes().contains(&"half-in-pieces"));
    // A plane beyond the part.
    let beyond = vented_cone().with(|p| p.parting.plane_mm = Some(90.0));
    let findings = beyond.findings();
    assert_eq!(find(&findings, "no-line").remedies[0], Remedy::SeekLine);
}

#[test]
fn lines_that_run_out_into_an_open_edge_are_told() {
    // A wall of the box is missing; the line round it ends at the hole's rim.
    let mut open = solids::cuboid(Vec3::ZERO, Vec3::new(40.0, 30.0, 20.0));
    let whole = Job::new(&open).codes();
    open.triangles.retain(|t| !t.iter().all(|&v| open.positions[v as usize].x > 39.0));
    let findings = Job::new(&open).findings();
    let out = find(&findings, "line-runs-out");
    assert!(out.place.is_some() && out.message.contains("open edge"), "{}", out.message);
    assert!(!whole.contains(&"line-runs-out"));
}

#[test]
#[ignore = "long"]
fn long_doubtful_units_changed_meshes_and_many_casts() {
    let small = Job::new(&solids::cuboid(Vec3::ZERO, Vec3::new(4.0, 3.0, 2.0)));
    let findings = small.findings();
    assert_eq!(find(&findings, "unit-doubtful").remedies, [Remedy::SwitchUnit(0, Unit::Inch)]);
    // 90 mm as a drawing in metres has them.
    let metres = Job::new(&solids::cuboid(Vec3::ZERO, Vec3::new(0.09, 0.06, 0.025))).findings();
    let finding = find(&metres, "unit-doubtful");
    assert_eq!(finding.remedies, [Remedy::SwitchUnit(0, Unit::Metre)]);
    assert!(finding.why.contains("Read in metres the part would be 90.0 mm long"), "{}", finding.why);
    assert!(vented_cone().with(|p| p.parts[0].digest = "00".repeat(32)).codes().contains(&"mesh-changed"));
    assert!(vented_cone().with(|p| p.quantity.good = 500).codes().contains(&"tools-several"));
    let codes = vented_cone().codes();
    assert!(!codes.iter().any(|c| ["unit-doubtful", "mesh-changed", "tools-several"].contains(c)), "{codes:?}");
}

#[test]
#[ignore = "long"]
fn long_a_flow_path_too_long_for_the_wall() {
    // A strip 600 mm long and 0.5 mm thick, gated at one end.
    let strip = solids::cuboid(Vec3::ZERO, Vec3::new(600.0, 20.0, 0.5));
    let job = Job::new(&strip).gate(DVec3::new(0.0, 10.0, 0.25), DVec3::NEG_X);
    let findings = job.findings();
    assert_eq!(find(&findings, "flow-far").severity, Severity::Stop);
    assert!(!vented_cone().codes().contains(&"flow-far"));
}

/// A plate with a blind hole Ø6 × 10 in its underside: told with its place and 282 mm³ while it opens downwards, silent turned
/// over.
#[test]
fn recesses_that_keep_air_in_the_rubber() {
    let plate = solids::cuboid(Vec3::new(-20.0, -20.0, 0.0), Vec3::new(20.0, 20.0, 15.0));
    let drill = solids::cylinder(Vec3::new(0.0, 0.0, -5.0), Vec3::new(0.0, 0.0, 10.0), 3.0, 96);
    let drilled = mouldbench::mesh::boolean::subtract(&plate, &[&drill]).expect("drilled");
    let job = Job::new(&drilled);
    let findings = job.findings();
    let air = find(&findings, "air-in-rubber");
    assert_eq!(air.severity, Severity::Warn);
    assert!(air.message.contains("283 mm³") || air.message.contains("282 mm³"), "{}", air.message);
    assert!(air.message.contains("10.0 mm deep") && air.place.is_some());
    assert!(!job.with(|p| p.hang.rubber.up = -DVec3::Z).codes().contains(&"air-in-rubber"));
    assert!(!vented_cone().codes().contains(&"air-in-rubber"));
}

/// An inverted U with its gate in one foot; gates in both leave nothing to say.
#[test]
fn basins_that_fill_over_a_sill() {
    let mut u = solids::cuboid(Vec3::ZERO, Vec3::new(40.0, 10.0, 10.0));
    for x in [0.0, 30.0] {
        let leg = solids::cuboid(Vec3::new(x, 0.0, -20.0), Vec3::new(x + 10.0, 10.0, 5.0));
        u = mouldbench::mesh::boolean::unite(&[&u, &leg]).expect("united");
    }
    let one = Job::new(&u).gate(DVec3::new(5.0, 5.0, -20.0), -DVec3::Z);
    let findings = one.findings();
    let basin = find(&findings, "basin-second");
    assert_eq!(basin.severity, Severity::Warn);
    assert!(basin.message.contains("2.0 cm³") && basin.message.contains("20.0 mm above"), "{}", basin.message);
    assert!(matches!(basin.remedies[0], Remedy::AddGate(s) if s.position.x > 29.0 && s.position.z < -19.0));
    let both = one.with(|p| {
        let mut second = p.feed.gates[0].clone();
        second.number = 2;
        second.at.position.x = 35.0;
        p.feed.gates.push(second);
    });
    assert!(!both.codes().contains(&"basin-second"));
}

/// A level plate: its ceiling is a note, on a shown surface a warning; the wedge that is offered frees it and then is offered
/// no more.
#[test]
fn level_ceilings_and_the_wedge_that_frees_them() {
    let plate = solids::cuboid(Vec3::new(-50.0, -30.0, 0.0), Vec3::new(50.0, 30.0, 6.0));
    let job = Job::new(&plate).gate(DVec3::new(50.0, 0.0, 3.0), DVec3::X).vent(DVec3::new(0.0, 0.0, 6.0));
    let findings = job.findings();
    let ceiling = find(&findings, "ceiling-level");
    assert_eq!(ceiling.severity, Severity::Note);
    assert!(ceiling.message.contains("60.0 cm²") && ceiling.message.contains("58.3 mm"), "{}", ceiling.message);
    assert!(ceiling.remedy.contains("Tilt the block by 5°"), "{}", ceiling.remedy);
    let wedge = find(&findings, "wedge-helps");
    assert!(wedge.message.contains("60.0 cm² less near-level ceiling"), "{}", wedge.message);
    let [Remedy::PropBlock(attitude)] = wedge.remedies[..] else { panic!("{wedge:?}") };
    let shown = |p: &mut Plan| {
        p.shown.push(ShownSurface {
            stroke: vec![spot(DVec3::new(20.0, 10.0, 6.0), DVec3::Z)],
            radius_mm: 3.0,
            ..ShownSurface::default()
        });
    };
    let codes = Job::new(&plate).with(shown).findings();
    assert_eq!(find(&codes, "ceiling-level").severity, Severity::Warn);
    let propped = job.with(|p| p.hang.cast = Some(attitude)).codes();
    assert!(!propped.contains(&"ceiling-level") && !propped.contains(&"wedge-helps"), "{propped:?}");
}

#[test]
fn a_vent_wider_than_its_wall_bears_is_made_narrower_or_slit() {
    // A plate of so many millimetres; the shop's share of it is 0.8 (set in its data).
    let plate = |mm: f32| {
        Job::new(&solids::cuboid(Vec3::ZERO, Vec3::new(40.0, 30.0, mm)))
            .gate(DVec3::new(0.0, 15.0, f64::from(mm) / 2.0), DVec3::NEG_X)
            .vent(DVec3::new(20.0, 15.0, f64::from(mm)))
    };
    let findings = plate(1.2).findings();
    let wide = find(&findings, "vent-wide");
    assert!(wide.message.contains("Ø1.5 mm, stands on a wall of 1.2 mm; the limit is 80 %"), "{}", wide.message);
    assert_eq!(wide.remedies, [Remedy::NarrowVent(1, 0.9)], "0.96 mm, down to a tenth");
    let narrowed = plate(1.2).with(|p| p.vents[0].diameter_mm = 0.9);
    assert!(!narrowed.codes().contains(&"vent-wide"));
    let findings = plate(0.9).findings();
    let slit = find(&findings, "vent-wide");
    assert!(slit.remedies.is_empty() && slit.remedy.contains("slit"), "0.72 mm is no rod: {}", slit.remedy);
    assert!(!plate(20.0).codes().contains(&"vent-wide"));
    assert!(!vented_cone().codes().contains(&"vent-wide"));
}

#[test]
#[ignore = "long"]
fn long_a_vent_by_the_line_is_offered_as_a_groove_in_the_parting_face() {
    // Parted through its peak along y = 0, vented half a millimetre beside it.
    let ball = solids::ball(Vec3::new(0.0, 0.0, 20.0), 20.0, 5);
    let vented = |y: f64| {
        Job::new(&ball)
            .gate(DVec3::new(20.0, 0.0, 20.0), DVec3::X)
            .vent(DVec3::new(0.0, y, 20.0 + (400.0 - y * y).sqrt()))
            .with(|p| p.parting.draw = DVec3::Y)
    };
    let job = vented(0.5);
    let findings = job.findings();
    let note = find(&findings, "vent-by-line");
    assert!(note.message.contains("0.5 mm from the parting line"), "{}", note.message);
    let [Remedy::GrooveVent(1, at)] = note.remedies[..] else { panic!("{:?}", note.remedies) };
    assert!(at.position.y.abs() < 0.02 && at.position.z > 39.8, "on the line, at the peak: {}", at.position);
    let grooved = job.with(|p| {
        p.vents[0].at = at;
        p.vents[0].made = Made::GrooveInParting;
    });
    let codes = grooved.codes();
    for fault in ["vent-by-line", "channel-off-cut", "air-trapped"] {
        assert!(!codes.contains(&fault), "{codes:?}");
    }
    // Too far from the line, under a cut that lies flat, and once the rods stand in rubber.
    assert!(!vented(2.0).codes().contains(&"vent-by-line"));
    assert!(!vented(0.5).with(|p| p.parting.draw = DVec3::Z).codes().contains(&"vent-by-line"));
    assert!(!vented(0.5).with(|p| p.stage = Stage::Poured).codes().contains(&"vent-by-line"));
}

#[test]
fn a_bubble_on_a_shown_surface_is_judged_more_strictly() {
    // A rounded top with its vent low: some air stays, whose bubble is between the two limits of the shop.
    let shown = ShownSurface {
        name: "Lid".into(),
        stroke: vec![spot(DVec3::new(0.0, 0.0, 30.0), DVec3::Z)],
        radius_mm: 5.0,
        ..ShownSurface::default()
    };
    let low = || {
        vented_cone().with(|p| {
            let r = 0.5 + 19.5 / 30.0 * 3.0;
            p.vents[0].at = spot(DVec3::new(r, 0.0, 27.0), DVec3::new(30.0, 0.0, 19.5).normalize());
        })
    };
    let plain = low().findings();
    let air = find(&plain, "air-trapped");
    assert_eq!(air.severity, Severity::Note, "{}", air.message);
    assert!(air.message.contains("less than the limit of 1.0 mm"), "{}", air.message);
    let marked = low().with(|p| p.shown = vec![shown.clone()]).findings();
    let air = find(&marked, "air-trapped");
    assert!(air.message.contains("on the shown surface Lid, limit 0.3 mm"), "{}", air.message);
    assert_eq!(air.severity, Severity::Stop);
    // Somewhere else it is judged as before.
    let aside = ShownSurface { stroke: vec![spot(DVec3::new(0.0, 0.0, 0.0), DVec3::NEG_Z)], ..shown };
    let findings = low().with(|p| p.shown = vec![aside.clone()]).findings();
    assert_eq!(find(&findings, "air-trapped").severity, Severity::Note);
}

/// A plain cup fed at its rim: resin falls from the lower rim of the gate to the floor. The same fed at its foot, and an
/// inverted U fed in one foot, rise; fed on its crown the U falls into its feet.
#[test]
#[ignore = "long"]
fn long_gates_that_fall_are_told_from_gates_that_rise() {
    let outside = solids::cylinder(Vec3::ZERO, Vec3::new(0.0, 0.0, 40.0), 20.0, 96);
    let inside = solids::cylinder(Vec3::new(0.0, 0.0, 3.0), Vec3::new(0.0, 0.0, 50.0), 17.0, 96);
    let cup = mouldbench::mesh::boolean::subtract(&outside, &[&inside]).expect("hollowed");
    let fed = |z: f64| Job::new(&cup).gate(DVec3::new(20.0, 0.0, z), DVec3::X);
    let high = fed(35.0);
    let findings = high.findings();
    let falls = find(&findings, "gate-falls");
    assert_eq!((falls.severity, falls.step), (Severity::Note, Step::Feed));
    assert!(falls.message.starts_with("Resin falls 33.5 mm from gate 1"), "{}", falls.message);
    assert!(falls.message.contains("the thinnest wall below is 3.0 mm"), "{}", falls.message);
    // By hand: the film of a wide gate spans a wall of 3 mm, that of a narrow one does not.
    let bridged = |mm: f64| {
        let job = fed(35.0).with(|p| p.feed.gates[0].diameter_mm = mm);
        find(&job.findings(), "gate-falls").message.contains("bridged")
    };
    assert!(bridged(6.0) && !bridged(1.0));
    assert!(!fed(1.5).codes().contains(&"gate-falls"));
    // Turned over, the rim is the floor, and the gate 3.5 mm above it.
    assert!(!fed(35.0).with(|p| p.hang.rubber.up = -DVec3::Z).codes().contains(&"gate-falls"));

    let mut u = solids::cuboid(Vec3::ZERO, Vec3::new(40.0, 10.0, 10.0));
    for x in [0.0, 30.0] {
        let leg = solids::cuboid(Vec3::new(x, 0.0, -20.0), Vec3::new(x + 10.0, 10.0, 5.0));
        u = mouldbench::mesh::boolean::unite(&[&u, &leg]).expect("united");
    }
    assert!(!Job::new(&u).gate(DVec3::new(5.0, 5.0, -20.0), -DVec3::Z).codes().contains(&"gate-falls"));
    let crown = Job::new(&u).gate(DVec3::new(20.0, 5.0, 10.0), DVec3::Z).findings();
    assert!(find(&crown, "gate-falls").message.starts_with("Resin falls 30.0 mm"), "{crown:?}");
}
