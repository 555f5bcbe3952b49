//! `plan` on every awkward mesh: a sensible plan or a clear message, never a panic.

use super::{file, fresh, json, list, mouldbench, number, said};
use mouldbench::plan::file as plan_file;

/// The awkward meshes, by name.
fn meshes() -> Vec<String> {
    let folder = std::fs::read_dir(file("tests/assets")).expect("the folder");
    let paths = folder.map(|e| e.expect("an entry").path()).filter(|p| p.extension().is_some_and(|e| e == "stl"));
    let mut names: Vec<String> = paths.map(|p| p.to_string_lossy().into_owned()).collect();
    names.sort();
    assert!(names.len() >= 15, "{} meshes", names.len());
    names
}

/// What every proposed plan must be, whatever the mesh; `what` names the case.
fn is_sensible(plan: &str, output: &std::process::Output, what: &str) {
    let words = said(output);
    assert!(!words.contains("panicked"), "{what}: {words}");
    match output.status.code() {
        Some(0) => {}
        Some(2) => {
            // Refused: a sentence that a person can act on, and no file.
            assert!(words.split_whitespace().count() > 5, "{what}: {words}");
            assert!(!std::path::Path::new(plan).exists(), "{what}");
            return;
        }
        other => panic!("{what}: {other:?} {words}"),
    }
    let report = json(output);
    let size: Vec<f64> = (0..3).map(|i| number(&report, &format!("/block/size_mm/{i}"))).collect();
    assert!(size.iter().all(|s| s.is_finite() && *s > 10.0), "{what}: {size:?}");
    for path in ["/silicone/mass_g", "/resin/shot_g", "/air/trapped_mm3", "/part/area_mm2"] {
        assert!(number(&report, path) >= 0.0, "{what}: {path}");
    }
    // Whatever is placed stands inside the block.
    let gates = list(&report, "/feed/gates_mm").iter().cloned();
    let vents = list(&report, "/vents").iter().map(|v| v["position_mm"].clone());
    for place in gates.chain(vents) {
        let p: Vec<f64> = (0..3).map(|i| place[i].as_f64().expect("a number")).collect();
        assert!(
            p[0].abs() < size[0] / 2.0 && p[1].abs() < size[1] / 2.0 && (0.0..size[2]).contains(&p[2]),
            "{what}: {p:?}"
        );
    }
    // Air over the limit is left only where some finding says so.
    let told = list(&report, "/findings").iter().any(|f| f["code"].as_str().is_some_and(|c| c.starts_with("air")));
    assert!(number(&report, "/air/trapped_mm3") < 5.0 || told, "{what}");
}

#[test]
#[ignore = "long"]
fn long_every_awkward_mesh_becomes_a_sensible_plan_or_a_clear_message() {
    let mut made = 0;
    for mesh in meshes() {
        let (_dir, plan) = fresh("p.ron");
        let output = mouldbench(&["plan", &mesh, "--out", &plan, "--json"]);
        is_sensible(&plan, &output, &mesh);
        if output.status.success() {
            // The file holds the plan that was reported.
            assert_eq!(json(&mouldbench(&["check", &plan, "--json"])), json(&output), "{mesh}");
            made += 1;
        }
    }
    assert!(made >= 12, "only {made} meshes became a plan");
}

#[test]
#[ignore = "long"]
fn long_up_as_told_is_up_for_rubber_and_for_casting() {
    for (mesh, up) in
        meshes().into_iter().zip(["0,0,1", "-1,0,0", "0.3,-2,0.5", "0,1e-3,0", "0,0,-7"].into_iter().cycle())
    {
        let (_dir, path) = fresh("p.ron");
        let output = mouldbench(&["plan", &mesh, "--out", &path, &format!("--up={up}"), "--json"]);
        let what = format!("{mesh} up {up}");
        is_sensible(&path, &output, &what);
        if !output.status.success() {
            continue;
        }
        let wanted: Vec<f64> = up.split(',').map(|n| n.parse().expect("a number")).collect();
        let wanted = glam::DVec3::from_slice(&wanted).normalize();
        let plan = plan_file::read(std::path::Path::new(&path)).expect("read");
        assert!(plan.hang.rubber.up.distance(wanted) < 1e-9, "{what}: {}", plan.hang.rubber.up);
        if let Some(cast) = &plan.hang.cast {
            assert!(cast.up.distance(wanted) < 1e-9, "{what}: {}", cast.up);
        }
        // The same in the frames that everything is told in: the mesh's own direction is the box's Z and the cast's Z.
        let report = json(&output);
        let turned = |frame: &str, d: glam::DVec3| {
            let row = |i: usize| {
                glam::DVec3::from_array([0, 1, 2].map(|k| number(&report, &format!("/frame/{frame}/rotation/{i}/{k}"))))
            };
            glam::DVec3::new(row(0).dot(d), row(1).dot(d), row(2).dot(d))
        };
        let in_box = turned("box_from_part", wanted);
        assert!(in_box.distance(glam::DVec3::Z) < 1e-9, "{what}: {in_box}");
        assert!(turned("cast_from_box", in_box).distance(glam::DVec3::Z) < 1e-9, "{what}");
    }
}
