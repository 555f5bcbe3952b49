//! `inspect` on the awkward meshes, whose answers are worked by hand beside them.

use super::{file, fresh, json, list, mouldbench, number, said};

#[test]
fn answers_of_the_awkward_meshes() {
    // (file, bodies, watertight, open edges, volume where it means something)
    let cases = [
        ("overlapping_bodies", 2, true, 0, Some(2720.0)),
        ("touching_face", 2, true, 0, Some(2000.0)),
        ("open_box", 1, false, 4, None),
        ("inner_void", 2, true, 0, Some(7000.0)),
        ("plate_with_hole", 1, true, 0, Some(5.0 * (1200.0 - 300.0 * 15f64.to_radians().sin()))),
        ("far_plate", 1, true, 0, Some(5.0 * (1200.0 - 300.0 * 15f64.to_radians().sin()))),
        ("tied_towers", 1, true, 0, Some(4480.0)),
        // Turned outward on reading, and said so.
        ("flipped_body", 2, true, 0, Some(2000.0)),
    ];
    for (name, bodies, watertight, open, volume) in cases {
        let output = mouldbench(&["inspect", &file(&format!("tests/assets/{name}.stl")), "--unit", "mm", "--json"]);
        assert!(output.status.success(), "{name}: {}", said(&output));
        let value = json(&output);
        assert_eq!(value["part"]["bodies"], bodies, "{name}");
        assert_eq!(value["part"]["watertight"], watertight, "{name}");
        assert_eq!(value["part"]["open_edges"], open, "{name}");
        if let Some(volume) = volume {
            let found = number(&value, "/part/volume_mm3");
            assert!((found - volume).abs() < 2e-4 * volume, "{name}: {found} / {volume}");
        }
    }
}

#[test]
fn the_unit_is_guessed_shown_and_can_be_said() {
    let path = file("tests/assets/inch_plate.stl");
    let volume = 5.0 * (1200.0 - 300.0 * 15f64.to_radians().sin());
    let guessed = json(&mouldbench(&["inspect", &path, "--json"]));
    assert_eq!(guessed["unit"], "in");
    assert!((number(&guessed, "/part/volume_mm3") - volume).abs() < 1e-2);
    let as_mm = json(&mouldbench(&["inspect", &path, "--unit", "mm", "--json"]));
    assert!((number(&as_mm, "/part/volume_mm3") * 25.4f64.powi(3) - volume).abs() < 1e-2);
    for (unit, name) in [("mm", "millimetres"), ("in", "inches"), ("m", "metres")] {
        let output = mouldbench(&["inspect", &path, "--unit", unit]);
        let text = String::from_utf8_lossy(&output.stdout).into_owned();
        assert!(text.contains(&format!("read in {name}\n")), "{text}");
        assert_eq!(json(&mouldbench(&["inspect", &path, "--unit", unit, "--json"]))["unit"], unit);
    }
    // A ball of 6 mm is small, but nobody draws one of 6 inches for a hand tool either: it is taken as it stands.
    let (_dir, ball) = fresh("ball.stl");
    super::write_stl(&ball, &mouldbench::mesh::solids::ball(glam::Vec3::ZERO, 3.0, 2));
    assert_eq!(json(&mouldbench(&["inspect", &ball, "--json"]))["unit"], "mm");
}

#[test]
fn problems_are_told_with_a_place() {
    let value = json(&mouldbench(&["inspect", &file("tests/assets/inner_void.stl"), "--json"]));
    let problem = &list(&value, "/problems")[0];
    assert!(problem["message"].as_str().expect("words").contains("void"), "{problem}");
    let at = list(problem, "/position_mm");
    assert_eq!(at.len(), 3);
}

#[test]
fn what_cannot_be_read_is_told_and_leaves_with_two() {
    let (_dir, path) = fresh("broken.stl");
    for bytes in [&b""[..], b"not a mesh at all", b"solid x\nfacet normal 0 0 1\nouter loop\nvertex 0 0 nan\n"] {
        std::fs::write(&path, bytes).expect("written");
        let output = mouldbench(&["inspect", &path, "--json"]);
        assert_eq!(output.status.code(), Some(2));
        assert!(output.stdout.is_empty(), "JSON alone goes to standard output");
        assert!(said(&output).contains("broken.stl"), "{}", said(&output));
    }
    assert_eq!(mouldbench(&["inspect", "/nowhere/at/all.stl"]).status.code(), Some(2));
    assert_eq!(mouldbench(&["inspect"]).status.code(), Some(2));
    assert_eq!(mouldbench(&["--help"]).status.code(), Some(0));
}
