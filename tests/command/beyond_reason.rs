//! Plans and meshes beyond reason end in words, within two gigabytes of address space and some seconds of work.
#![cfg(unix)]

use super::{file, fresh, said, write_stl};
use crate::plan::mutation::{Chance, mutated};
use glam::{DVec3, Vec3};
use mouldbench::mesh::{Mesh, solids};
use mouldbench::plan::{
    Gate, Insert, InsertKind, LoosePiece, Pin, Plan, ReliefCut, ShownSurface, Spot, Vent, file as plan_file,
};
use std::path::Path;
use std::process::{Command, Output};

/// The program with two gigabytes of address space. What takes more than so many seconds of a core is ended by the system,
/// which is no exit code of the program's.
pub fn bounded(arguments: &[&str]) -> Output {
    Command::new("sh")
        .args(["-c", "ulimit -v 2097152; ulimit -t 300; exec \"$0\" \"$@\"", env!("CARGO_BIN_EXE_mouldbench")])
        .args(arguments)
        .env("XDG_CONFIG_HOME", "/nowhere")
        // Each thread reserves address space of its own; a machine of many cores must not decide.
        .env("RAYON_NUM_THREADS", "2")
        .output()
        .expect("a shell")
}

/// A plan about a small box that holds something of everything, beside its mesh.
fn box_job(folder: &Path) -> (Plan, String) {
    let mesh = folder.join("box.stl").to_string_lossy().into_owned();
    write_stl(&mesh, &solids::cuboid(Vec3::ZERO, Vec3::new(30.0, 20.0, 10.0)));
    let digest = mouldbench::mesh::read_stl::digest_of(&std::fs::read(&mesh).expect("written"));
    let mut plan = mouldbench::study::propose::bare_plan("Box", "box.stl", &digest, Default::default());
    let at = |x: f64, y: f64, z: f64, normal: DVec3| Spot { part: 0, position: DVec3::new(x, y, z), normal };
    let top = |x: f64, y: f64| at(x, y, 10.0, DVec3::Z);
    plan.feed.gates.push(Gate {
        number: 1,
        at: top(5.0, 10.0),
        diameter_mm: 2.0,
        runner_diameter_mm: 6.0,
        runner: vec![DVec3::new(5.0, 10.0, 15.0)],
        ..Gate::default()
    });
    plan.vents.push(Vent { number: 1, at: top(25.0, 10.0), diameter_mm: 1.2, ..Vent::default() });
    plan.inserts.push(Insert {
        number: 1,
        name: String::new(),
        kind: InsertKind::Pin { diameter_mm: 3.0, length_mm: 6.0 },
        at: top(15.0, 10.0),
        in_pocket_mm: 2.0,
        pocket: Default::default(),
        stays: true,
        threads: Default::default(),
        half: None,
        density_g_cm3: None,
        hottest_c: None,
    });
    plan.shown.push(ShownSurface {
        name: "Side".into(),
        stroke: vec![at(30.0, 10.0, 5.0, DVec3::X)],
        radius_mm: 3.0,
        ..Default::default()
    });
    plan.parting.pins.push(Pin { at: at(30.0, 10.0, 5.0, DVec3::X) });
    plan.parting.relief_cuts.push(ReliefCut {
        name: "Cut".into(),
        points: vec![at(0.0, 5.0, 5.0, -DVec3::X), at(0.0, 15.0, 5.0, -DVec3::X)],
        depth_mm: 4.0,
    });
    plan.parting.loose_pieces.push(LoosePiece {
        name: "Piece".into(),
        at: at(0.0, 10.0, 5.0, -DVec3::X),
        leaves_along: -DVec3::X,
        radius_mm: 3.0,
        of: Default::default(),
    });
    plan.parting.draw = DVec3::Z;
    let path = folder.join("box.ron");
    plan_file::save(&plan, &path).expect("saved");
    (plan, path.to_string_lossy().into_owned())
}

fn code_of(output: &Output, what: &str) -> i32 {
    let code = output.status.code();
    assert!(matches!(code, Some(0..=2)), "{what}: {:?}\n{}", output.status, said(output));
    code.unwrap_or_default()
}

/// What is done to a sound plan, and what it is called.
type Case = (&'static str, fn(&mut Plan));

/// As far off as the reader takes.
const FAR: DVec3 = DVec3::new(9.9e6, -9.9e6, 9.9e6);

/// Places far off the part.
const FAR_OFF: [Case; 8] = [
    ("gate", |p| p.feed.gates[0].at.position = FAR),
    ("vent", |p| p.vents[0].at.position = FAR),
    ("insert", |p| p.inserts[0].at.position = FAR),
    ("shown", |p| p.shown[0].stroke[0].position = FAR),
    ("pin", |p| p.parting.pins[0].at.position = FAR),
    ("cut", |p| p.parting.relief_cuts[0].points[0].position = FAR),
    ("piece", |p| p.parting.loose_pieces[0].at.position = FAR),
    ("plane", |p| p.parting.plane_mm = Some(9.9e5)),
];

/// What makes a block of kilometres.
const KILOMETRES: [Case; 2] = [
    ("runner", |p| p.feed.gates[0].runner[0] = FAR),
    ("second part", |p| {
        p.parts.push(p.parts[0].clone());
        p.parts[1].pose.translation_mm = FAR;
    }),
];

/// Sizes at the ends of their ranges.
const SIZES: [Case; 6] = [
    ("wide channels", |p| {
        p.feed.gates[0].diameter_mm = 2e3;
        p.feed.gates[0].runner_diameter_mm = 2e3;
        p.vents[0].diameter_mm = 2e3;
    }),
    ("large insert", |p| p.inserts[0].kind = InsertKind::Plate { length_mm: 2e3, width_mm: 2e3, thickness_mm: 2e3 }),
    ("wide strokes", |p| {
        p.shown[0].radius_mm = 2e3;
        p.parting.loose_pieces[0].radius_mm = 2e3;
        p.parting.relief_cuts[0].depth_mm = 2e3;
    }),
    ("thick rubber", |p| (p.block.wall_mm, p.block.above_mm) = (Some(1.9e3), Some(1.9e3))),
    ("many casts", |p| {
        p.quantity.good = 1_000_000;
        p.quantity.reject_share = Some(0.99);
        (p.diary.masters, p.diary.blocks_a_batch) = (1000, 1000);
        p.materials.resin = Some(mouldbench::shop::Shop::bundled().resins[0].clone());
        if let Some(resin) = &mut p.materials.resin {
            resin.tool_life = (1, 1);
        }
    }),
    ("hair-thin things", |p| {
        (p.feed.gates[0].diameter_mm, p.feed.gates[0].runner_diameter_mm) = (0.001, 0.001);
        p.vents[0].diameter_mm = 0.001;
        p.inserts[0].kind = InsertKind::Pin { diameter_mm: 0.001, length_mm: 0.001 };
        p.shown[0].radius_mm = 0.001;
        p.parting.loose_pieces[0].radius_mm = 0.001;
        p.block.first_pour_mm = Some(0.001);
    }),
];

/// Checks the sound plan with these things done to it.
fn checked_with(cases: &[Case]) -> (i32, String) {
    let (dir, _) = fresh("x");
    let (mut plan, path) = box_job(dir.path());
    cases.iter().for_each(|case| case.1(&mut plan));
    plan_file::save(&plan, Path::new(&path)).expect("saved");
    let output = bounded(&["check", &path]);
    let what: Vec<&str> = cases.iter().map(|c| c.0).collect();
    let code = code_of(&output, &what.join(", "));
    assert!(code < 2 || said(&output).contains("box.ron"), "{what:?}: {}", said(&output));
    (code, said(&output))
}

#[test]
#[ignore = "long"]
fn long_places_far_off_the_part_are_told() {
    assert!(checked_with(&[]).0 < 2, "the sound plan");
    let (code, words) = checked_with(&FAR_OFF);
    assert_eq!(code, 1, "{words}");
    for case in KILOMETRES {
        let (code, words) = checked_with(&[case]);
        assert!(code == 2 && words.contains("20000 mm"), "{}: {words}", case.0);
    }
}

#[test]
#[ignore = "long"]
fn long_sizes_at_the_ends_of_their_ranges_end_in_words() {
    for cases in SIZES.chunks(3) {
        checked_with(cases);
    }
}

/// Run by hand, since it takes a while: `cargo test -- --ignored each_case_beyond_reason_alone --nocapture`.
#[test]
#[ignore = "long"]
fn each_case_beyond_reason_alone() {
    for case in FAR_OFF.into_iter().chain(KILOMETRES).chain(SIZES) {
        let (code, words) = checked_with(&[case]);
        println!("{}: {code} {words}", case.0);
    }
}

#[test]
fn numbers_beyond_reason_and_deep_nesting_are_refused_with_the_file() {
    let (dir, _) = fresh("x");
    let (_, path) = box_job(dir.path());
    let text = std::fs::read_to_string(&path).expect("saved");
    let deep = format!("{}{}", "Some(".repeat(300_000), ")".repeat(300_000));
    for (from, to) in [
        ("radius_mm: 3.0", "radius_mm: 1e300"),
        ("DVec3(15.0, 10.0, 10.0)", "DVec3(4e9, 10.0, 10.0)"),
        ("plugged_rods: 0", "plugged_rods: 4000000000"),
        ("good: 10", "good: 4000000000"),
        ("diameter_mm: 2.0", "diameter_mm: NaN"),
        ("first_pour_mm: None", "first_pour_mm: Some(1e300)"),
        ("wall_mm: None", "wall_mm: Some(1e9)"),
        ("cure_c: None", deep.as_str()),
        ("second_shot: None", "second_shot: [[[[[[[["),
    ] {
        assert!(text.contains(from), "{from}");
        std::fs::write(&path, text.replacen(from, to, 1)).expect("written");
        for command in [&["check", &path] as &[&str], &["hang", &path], &["pieces", &path, "--out", "/nowhere/x"]] {
            let output = bounded(command);
            assert_eq!(output.status.code(), Some(2), "{from}: {}", said(&output));
            assert!(said(&output).contains("box.ron") && said(&output).contains("line"), "{}", said(&output));
        }
    }
}

#[test]
fn a_few_mutated_plans_are_checked_to_an_end() {
    let (dir, _) = fresh("x");
    let (_, path) = box_job(dir.path());
    check_mutated(Path::new(&path), 5, 3);
}

/// Run by hand: `MUTATED=3000 SEED=7 cargo test -- --ignored check_mutated_plans_by_the_thousand --nocapture`.
#[test]
#[ignore = "long"]
fn check_mutated_plans_by_the_thousand() {
    let of = |name: &str, usual: u64| std::env::var(name).ok().and_then(|n| n.parse().ok()).unwrap_or(usual);
    let (dir, _) = fresh("x");
    let (_, path) = box_job(dir.path());
    let codes = check_mutated(Path::new(&path), of("MUTATED", 1000) as usize, of("SEED", 7));
    println!("{codes:?} runs left with 0, 1 and 2");
}

fn check_mutated(path: &Path, count: usize, seed: u64) -> [usize; 3] {
    let text = std::fs::read_to_string(path).expect("saved");
    let mut chance = Chance(seed);
    let mut codes = [0; 3];
    for i in 0..count {
        let spoilt = mutated(&text, &mut chance);
        std::fs::write(path, &spoilt).expect("written");
        let output = bounded(&["check", &path.to_string_lossy(), "--json"]);
        if !matches!(output.status.code(), Some(0..=2)) {
            // Kept to be looked at.
            let kept = std::env::temp_dir().join(format!("mutated-{seed}-{i}.ron"));
            let _ = std::fs::write(&kept, &spoilt);
            panic!("{:?}: {}\n{}", output.status, kept.display(), said(&output));
        }
        codes[code_of(&output, "mutated") as usize] += 1;
    }
    codes
}

#[test]
#[ignore = "long"]
fn long_an_open_sheet_and_a_body_that_crosses_itself_end() {
    let (dir, plan) = fresh("sheet.ron");
    let mesh = dir.path().join("sheet.stl").to_string_lossy().into_owned();
    // One-sided, flat: it encloses nothing.
    let corners = [[0.0, 0.0], [40.0, 0.0], [40.0, 30.0], [0.0, 30.0]].map(|[x, y]| Vec3::new(x, y, 0.0));
    write_stl(&mesh, &Mesh { positions: corners.to_vec(), triangles: vec![[0, 1, 2], [0, 2, 3]] });
    let output = bounded(&["plan", &mesh, "--out", &plan]);
    code_of(&output, "a flat sheet");
    assert!(said(&output).contains("sheet."), "{}", said(&output));

    let torus = dir.path().join("torus.stl").to_string_lossy().into_owned();
    write_stl(&torus, &spindle(10.0, 16.0));
    let inspected = bounded(&["inspect", &torus]);
    assert!(String::from_utf8_lossy(&inspected.stdout).contains("crosses itself"));
    let plan = dir.path().join("torus.ron").to_string_lossy().into_owned();
    let digest = mouldbench::mesh::read_stl::digest_of(&std::fs::read(&torus).expect("written"));
    let bare = mouldbench::study::propose::bare_plan("Torus", "torus.stl", &digest, Default::default());
    plan_file::save(&bare, Path::new(&plan)).expect("saved");
    let checked = bounded(&["check", &plan]);
    assert_eq!(checked.status.code(), Some(1), "{}", said(&checked));
    assert!(String::from_utf8_lossy(&checked.stdout).contains("[mesh-crosses]"));
    let halves = bounded(&["halves", &plan, "--out", &dir.path().join("halves").to_string_lossy()]);
    assert_eq!(halves.status.code(), Some(2), "{}", said(&halves));
    assert!(said(&halves).contains("crosses itself") && said(&halves).contains("torus.ron"), "{}", said(&halves));
}

/// A torus whose tube is thicker than its ring: its surface runs through itself on the axis. No vertex lies on it.
pub fn spindle(ring: f32, tube: f32) -> Mesh {
    let (n, m) = (60u32, 61u32);
    let turn = |i: u32, of: u32| i as f32 / of as f32 * std::f32::consts::TAU;
    let point = |i: u32, j: u32| {
        let (u, v) = (turn(i % n, n), turn(j % m, m));
        let r = ring + tube * v.cos();
        Vec3::new(r * u.cos(), r * u.sin(), tube * v.sin())
    };
    let positions = (0..n * m).map(|k| point(k / m, k % m)).collect();
    let at = |i: u32, j: u32| (i % n) * m + j % m;
    let quad = |i: u32, j: u32| {
        let [a, b, c, d] = [at(i, j), at(i + 1, j), at(i + 1, j + 1), at(i, j + 1)];
        [[a, b, c], [a, c, d]]
    };
    Mesh { positions, triangles: (0..n * m).flat_map(|k| quad(k / m, k % m)).collect() }
}

#[test]
fn named_pipes_and_devices_are_refused_at_once() {
    let (dir, pipe) = fresh("pipe.stl");
    assert!(Command::new("mkfifo").arg(&pipe).status().expect("mkfifo").success());
    let plan = file("projects/cap.ron");
    for path in [pipe.as_str(), "/dev/zero"] {
        let out = dir.path().join("x.ron").to_string_lossy().into_owned();
        for arguments in [
            &["inspect", path] as &[&str],
            &["plan", path, "--out", &out],
            &["check", path],
            &["check", &plan, "--shop", path],
            &["hang", path],
            &["sheet", &plan, "--out", path],
        ] {
            let output = bounded(arguments);
            assert_eq!(output.status.code(), Some(2), "{arguments:?}: {}", said(&output));
            let words = said(&output);
            assert!(words.contains("not a file") && words.contains(path), "{arguments:?}: {words}");
        }
    }
}
