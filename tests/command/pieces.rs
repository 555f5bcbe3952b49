//! `pieces` writes every loose piece as a closed mesh.

use super::{fresh, json, mouldbench, number, said, write_stl};
use glam::{DVec3, Vec3};
use mouldbench::mesh::check::MeshCheck;
use mouldbench::mesh::{boolean, read_stl, solids};
use mouldbench::plan::{LoosePiece, PieceOf, Spot, file};
use std::path::Path;

/// Two pieces of the same name in the side holes of a block, one of which takes nothing and still is a rod with a shoulder; a
/// third far off the part cannot be made. Each file is closed, one body, and as large as the check says.
#[test]
#[ignore = "long"]
fn long_loose_pieces_are_written_and_what_cannot_be_made_is_told() {
    let (dir, mesh) = fresh("block.stl");
    let block = solids::cuboid(Vec3::new(-20.0, -20.0, -15.0), Vec3::new(20.0, 20.0, 15.0));
    let drill = solids::cylinder(Vec3::new(8.0, 1.0, 2.0), Vec3::new(25.0, 1.0, 2.0), 3.0, 64);
    write_stl(&mesh, &boolean::subtract(&block, &[&drill]).expect("drilled"));
    let path = dir.path().join("block.ron");
    let plan = path.to_string_lossy().into_owned();
    let made = mouldbench(&["plan", &mesh, "--out", &plan, "--up", "0,0,1", "--draw", "0,0,1"]);
    assert!(made.status.success(), "{}", said(&made));
    let out = dir.path().join("new/pieces").to_string_lossy().into_owned();
    // None is nothing to write, and no fault.
    let output = mouldbench(&["pieces", &plan, "--out", &out]);
    assert_eq!(output.status.code(), Some(0), "{}", said(&output));
    assert!(said(&output).contains("no loose piece") && !Path::new(&out).exists());

    let mut changed = file::read(&path).expect("a plan");
    let piece = |name: &str, x: f64, along: DVec3, of: PieceOf| LoosePiece {
        name: name.into(),
        at: Spot { part: 0, position: DVec3::new(x, 1.0, 2.0), normal: along },
        leaves_along: along,
        radius_mm: 4.0,
        of,
    };
    changed.parting.loose_pieces = vec![
        piece("Side pin/1", 20.0, DVec3::X, PieceOf::Rubber),
        piece("side pin:1", -20.0, DVec3::NEG_X, PieceOf::Metal),
    ];
    file::save(&changed, &path).expect("written");
    let output = mouldbench(&["pieces", &plan, "--out", &out]);
    assert_eq!(output.status.code(), Some(0), "{}", said(&output));
    assert!(output.stdout.is_empty(), "words go to standard error");
    let checked = json(&mouldbench(&["check", &plan, "--json"]));
    for (i, name) in ["Side-pin-1.stl", "side-pin-1-2.stl"].into_iter().enumerate() {
        let read = read_stl::read(&Path::new(&out).join(name), 1.0).expect("readable");
        let check = MeshCheck::of(&read.mesh);
        assert!(check.is_closed() && check.bodies.len() == 1, "{name}: {:?}", check.problems);
        let told = number(&checked, &format!("/parting/loose_pieces/{i}/volume_mm3"));
        let volume = check.measures.volume_mm3;
        assert!((volume / told - 1.0).abs() < 1e-3 && volume > 100.0, "{name}: {volume} of {told}");
        assert_eq!(checked.pointer(&format!("/parting/loose_pieces/{i}/file")).and_then(|f| f.as_str()), Some(name));
    }

    // A needle too thin to be anything but within the part.
    changed.parting.loose_pieces[1].at.position = DVec3::new(0.0, -10.0, -5.0);
    changed.parting.loose_pieces[1].radius_mm = 0.5;
    file::save(&changed, &path).expect("written");
    std::fs::remove_dir_all(&out).expect("removed");
    let output = mouldbench(&["pieces", &plan, "--out", &out]);
    assert_eq!(output.status.code(), Some(2), "{}", said(&output));
    assert!(said(&output).contains("side pin:1 cannot be made"), "{}", said(&output));
    assert!(Path::new(&out).join("Side-pin-1.stl").exists(), "the others are written");

    let output = mouldbench(&["pieces", &plan, "--out", "/proc/nowhere"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(said(&output).contains("/proc/nowhere"), "{}", said(&output));
}
