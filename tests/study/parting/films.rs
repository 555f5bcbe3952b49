//! Rubber between two bodies of a part, told with its thickness and area.

use super::whole::part;
use glam::{DVec3, Quat, Vec3};
use mouldbench::mesh::{Mesh, boolean, solids, write_stl};
use mouldbench::plan::{Plan, Unit};
use mouldbench::shop::Shop;
use mouldbench::solve::run::Run;
use mouldbench::study::bench::Bench;
use mouldbench::study::findings::{Severity, judge};
use mouldbench::study::parting::release::films::{Film, films};
use mouldbench::study::propose::bare_plan;
use std::f64::consts::PI;

const SIDES: u32 = 64;

/// A plate of 60 x 60 x 20 with a bore of radius 10.5, and a bush of radius 10 in it, `off` beside its axis.
fn bush_in_bore(off: f32) -> Mesh {
    let plate = solids::cuboid(Vec3::new(-30.0, -30.0, 0.0), Vec3::new(30.0, 30.0, 20.0));
    let bore = solids::cylinder(Vec3::Z * -1.0, Vec3::Z * 21.0, 10.5, SIDES);
    let mut both = boolean::subtract(&plate, &[&bore]).expect("bored");
    both.append(&solids::cylinder(Vec3::X * off, Vec3::new(off, 0.0, 20.0), 10.0, SIDES));
    both
}

fn turned(mesh: &Mesh, turn: Quat) -> Mesh {
    Mesh { positions: mesh.positions.iter().map(|p| turn * *p).collect(), triangles: mesh.triangles.clone() }
}

fn found(mesh: &Mesh, limit_mm: f64) -> Vec<Film> {
    films(&part(mesh, Vec3::Z).surface, limit_mm, &Run::new()).expect("not cancelled")
}

/// Concentric prisms of 64 sides stand (10.5 − 10)·cos(π/64) apart on all of the bore's wall, 64·2·10.5·sin(π/64)·20 mm²;
/// shifted by 0.2 mm they stand from 0.3 to 0.7 mm apart, to the facets' own 0.012 mm.
#[test]
fn a_bush_in_its_bore_leaves_a_film() {
    for turn in [Quat::IDENTITY, Quat::from_euler(glam::EulerRot::XYZ, 0.4, 1.0, -0.6)] {
        let wall = f64::from(SIDES) * 21.0 * (PI / f64::from(SIDES)).sin() * 20.0;
        let [film] = found(&turned(&bush_in_bore(0.0), turn), 10.0)[..] else { panic!("one film") };
        let gap = 0.5 * (PI / f64::from(SIDES)).cos();
        assert!(film.thickness_mm.iter().all(|t| (t - gap).abs() < 2e-4), "{film:?}, wanted {gap}");
        assert!((film.area_mm2 / wall - 1.0).abs() < 0.01, "{} of {wall} mm²", film.area_mm2);
        let [film] = found(&turned(&bush_in_bore(0.2), turn), 10.0)[..] else { panic!("one film") };
        let [least, most] = film.thickness_mm;
        assert!((least - 0.3).abs() < 0.015 && (most - 0.7).abs() < 0.015, "{film:?}");
    }
}

/// With a limit under the gap there is none; bodies far apart, one body with a slot, and a void in a body have none.
#[test]
fn what_is_thick_enough_or_no_rubber_is_no_film() {
    assert!(found(&bush_in_bore(0.0), 0.4).is_empty());
    let cube = |from: f32| solids::cuboid(Vec3::new(from, -5.0, -5.0), Vec3::new(from + 10.0, 5.0, 5.0));
    let mut apart = cube(0.0);
    apart.append(&cube(21.0));
    assert!(found(&apart, 10.0).is_empty());
    let slotted =
        boolean::subtract(&cube(0.0), &[&solids::cuboid(Vec3::new(4.9, -6.0, -3.0), Vec3::new(5.1, 6.0, 6.0))]);
    assert!(found(&slotted.expect("slotted"), 10.0).is_empty());
    let mut hollow = cube(0.0);
    let inner = solids::cuboid(Vec3::new(3.0, -2.0, -2.0), Vec3::new(7.0, 2.0, 2.0));
    let base = hollow.positions.len() as u32;
    hollow.positions.extend(&inner.positions);
    hollow.triangles.extend(inner.triangles.iter().map(|&[a, b, c]| [a + base, c + base, b + base]));
    assert!(found(&hollow, 10.0).is_empty());
}

fn job(mesh: &Mesh) -> (tempfile::TempDir, Plan) {
    let folder = tempfile::tempdir().expect("a folder");
    let mut file = std::fs::File::create(folder.path().join("part.stl")).expect("made");
    write_stl::write(&mut file, mesh, DVec3::new(500.0, -80.0, 300.0)).expect("written");
    let mut plan = bare_plan("Bush", "part.stl", "", Unit::Millimetre);
    plan.parting.draw = DVec3::Z;
    (folder, plan)
}

/// The plan says so with both figures, the area and the shop's limit, once and at its place.
#[test]
fn it_is_told_with_its_limit() {
    let (folder, plan) = job(&bush_in_bore(0.2));
    let bench = Bench::new(Shop::bundled().clone(), []);
    bench.set_folder(Some(folder.path()));
    let run = Run::new();
    let mut facts = bench.quick_facts(&plan, &run).expect("facts");
    let body = facts.body.clone().expect("a body");
    facts.rubber = Some(bench.rubber(&plan, &facts.setting, &body, &run).expect("rubber"));
    let found: Vec<_> = judge(&plan, bench.shop(), &facts).into_iter().filter(|f| f.code == "rubber-between").collect();
    let [told] = &found[..] else { panic!("{found:?}") };
    assert_eq!(told.severity, Severity::Warn);
    assert!(told.place.is_some() && told.message.contains("less than 10.00 mm"), "{}", told.message);
    let figures = |s: &str| s.starts_with("0.3") || s.starts_with("0.2");
    assert!(
        figures(&told.message) && told.message.contains("to 0.7") && told.message.contains("cm²"),
        "{}",
        told.message
    );
}
