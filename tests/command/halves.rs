//! `halves` writes both halves of the block as STL, and `check` says what there is to cut.

use super::{file, fresh, json, mouldbench, number, said, write_stl};
use glam::Vec3;
use mouldbench::mesh::check::MeshCheck;
use mouldbench::mesh::read_stl;
use mouldbench::mesh::solids;
use std::path::Path;

#[test]
#[ignore = "long"]
fn long_halves_of_a_proposed_plan_are_whole_and_fill_the_block() {
    let (dir, mesh) = fresh("ball.stl");
    write_stl(&mesh, &solids::ball(Vec3::new(300.0, -200.0, 50.0), 18.0, 3));
    let plan = dir.path().join("ball.ron").to_string_lossy().into_owned();
    let made = mouldbench(&["plan", &mesh, "--out", &plan, "--up", "0,0,1", "--draw", "0,1,0"]);
    assert!(made.status.success(), "{}", said(&made));
    let checked = json(&mouldbench(&["check", &plan, "--json"]));
    let out = dir.path().join("new/folder").to_string_lossy().into_owned();
    let output = mouldbench(&["halves", &plan, "--out", &out]);
    assert_eq!(output.status.code(), Some(0), "{}", said(&output));
    assert!(output.stdout.is_empty(), "words go to standard error");
    let mut sum = number(&checked, "/resin/cavity_mm3");
    for name in ["half-1.stl", "half-2.stl"] {
        let read = read_stl::read(&Path::new(&out).join(name), 1.0).expect("readable");
        let check = MeshCheck::of(&read.mesh);
        assert!(check.is_closed(), "{name}: {:?}", check.problems);
        assert_eq!(check.bodies.len(), 1, "{name} hangs together");
        sum += check.measures.volume_mm3;
    }
    let block = number(&checked, "/block/volume_mm3");
    assert!((sum / block - 1.0).abs() < 1e-3, "{sum} mm³ of {block}");
    // Part, gate and vents: what channels take is what the cavity has over the part.
    let channels = number(&checked, "/block/channels_mm3");
    let more = number(&checked, "/resin/cavity_mm3") - number(&checked, "/resin/part_mm3");
    assert!(channels > 0.0 && (channels - more).abs() < 1e-6, "{channels} against {more}");
    let (least, most) = (number(&checked, "/cut/knife_depth_mm/min"), number(&checked, "/cut/knife_depth_mm/max"));
    let wall = number(&checked, "/block/wall_mm");
    // Nowhere nearer than the wall of rubber, nowhere deeper than the block.
    assert!(least > wall - 1.0 && most < 100.0 && least < most, "{least} to {most}, wall {wall}");
    assert!(number(&checked, "/cut/least_rubber_mm") > 10.0);
    assert!(number(&checked, "/cut/keys") >= 6.0);
}

#[test]
#[ignore = "long"]
fn long_what_cannot_be_cut_or_written_is_told() {
    let (dir, mesh) = fresh("open.stl");
    let mut ball = solids::ball(Vec3::ZERO, 15.0, 3);
    ball.triangles.truncate(ball.triangles.len() - 40);
    write_stl(&mesh, &ball);
    let plan = dir.path().join("open.ron").to_string_lossy().into_owned();
    assert!(mouldbench(&["plan", &mesh, "--out", &plan, "--up", "0,0,1", "--draw", "0,0,1"]).status.success());
    let out = dir.path().join("out").to_string_lossy().into_owned();
    let output = mouldbench(&["halves", &plan, "--out", &out]);
    assert_eq!(output.status.code(), Some(2));
    assert!(said(&output).contains("not closed"), "{}", said(&output));
    assert!(!Path::new(&out).join("half-1.stl").exists());

    let output = mouldbench(&["halves", &file("projects/cap.ron"), "--out", "/proc/nowhere"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(said(&output).contains("/proc/nowhere"), "{}", said(&output));
}
