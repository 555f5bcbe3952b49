//! A second mesh in the window: added, set, looked at, taken back.

use super::bench::{Bench, stl_of};
use egui::{Key, Modifiers};
use glam::Vec3;
use mouldbench::mesh::solids;
use mouldbench::plan::{SecondShot, Shot, SoftCavity};

fn second(bench: &Bench) -> Option<SecondShot> {
    bench.app().plan().expect("a plan").second_shot.clone()
}

/// The window on a soft plate, its hard box beside it on disk.
fn window() -> Bench {
    let plate = solids::cuboid(Vec3::new(0.0, 0.0, 10.0), Vec3::new(40.0, 30.0, 13.0));
    let bench = Bench::with_mesh("plate", &plate);
    let hard = solids::cuboid(Vec3::ZERO, Vec3::new(40.0, 30.0, 10.0));
    std::fs::write(bench.folder.path().join("core.stl"), stl_of(&hard)).expect("a mesh file");
    bench
}

fn add(bench: &mut Bench, file: &str) {
    bench.go_to("Part");
    bench.click_start("Two shots");
    bench.click_start("Add the other part…");
    let path = bench.folder.path().join(file);
    bench.harness.key_press_modifiers(Modifiers::COMMAND, Key::A);
    bench.type_text(&path.to_string_lossy());
    bench.click("Add");
}

#[test]
#[ignore = "long"]
fn long_the_other_part_is_added_set_and_undone() {
    let mut bench = window();
    let before = bench.app().plan().expect("a plan").clone();
    add(&mut bench, "core.stl");
    let named = second(&bench).expect("two shots");
    assert_eq!((named.name.as_str(), named.makes), ("core", Shot::Soft));
    assert!(std::path::Path::new(&named.mesh).is_absolute() && named.mesh.ends_with("core.stl"), "{}", named.mesh);
    assert_eq!(named.digest.len(), 64, "which file it was is noted");
    assert!(bench.says("Undo add the other shot's part"), "in one edit");
    assert!(bench.says("12 cm²"), "the contact area is told");
    assert!(bench.says("The hard cast can shift towards the top"));
    assert_eq!(bench.unnamed(), Vec::<String>::new());
    bench.picture("two_shot_part");

    bench.choose("Soft part's cavity", "Round the first cast");
    assert_eq!(second(&bench).expect("two shots").cavity, SoftCavity::RoundFirstCast);
    bench.choose("This block makes", "The hard part");
    assert_eq!(second(&bench).expect("two shots").makes, Shot::Hard);
    bench.key(Modifiers::COMMAND, Key::Z);
    bench.key(Modifiers::COMMAND, Key::Z);
    bench.bring_up("Other part, Z");
    bench.type_into("Other part, Z", "0.2");
    assert!((second(&bench).expect("two shots").pose.translation_mm.z - 0.2).abs() < 1e-9);
    assert!(bench.says("Hard and soft part overlap by 240 mm³"));
    bench.key(Modifiers::COMMAND, Key::Z);
    bench.bring_up("Turned about Z");
    bench.type_into("Turned about Z", "90");
    let turned = second(&bench).expect("two shots").pose.rotation * glam::DVec3::X;
    assert!(turned.distance(glam::DVec3::Y) < 1e-9, "{turned}");
    bench.key(Modifiers::COMMAND, Key::Z);

    bench.go_to("Casting");
    bench.bring_up("From hard to soft shot");
    bench.type_into("From hard to soft shot", "3");
    assert_eq!(second(&bench).expect("two shots").wait_s, Some(10_800.0));
    assert!(bench.says("Hard shot, Rigid general") && bench.says("Both together, trimmed"));
    bench.choose("Resin, hard shot", "Rigid heat resistant");
    assert_eq!(second(&bench).expect("two shots").resin.expect("a resin").name, "Rigid heat resistant");
    bench.picture("two_shot_casting");

    bench.go_to("Part");
    bench.bring_up("Make it one shot");
    bench.click("Make it one shot");
    assert_eq!(second(&bench), None);
    for _ in 0..4 {
        bench.key(Modifiers::COMMAND, Key::Z);
    }
    assert_eq!(bench.app().plan(), Some(&before));
}

#[test]
#[ignore = "long"]
fn long_saved_elsewhere_and_opened_again_the_other_part_is_found() {
    let mut bench = window();
    add(&mut bench, "core.stl");
    let plans = bench.folder.path().join("plans");
    std::fs::create_dir_all(&plans).expect("made");
    let file = plans.join("job.ron");
    bench.save_as(&file);
    let saved = mouldbench::plan::file::read(&file).expect("saved");
    assert!(saved.second_shot.is_some());
    let folder = tempfile::tempdir().expect("a folder");
    let bench = Bench::at(egui::vec2(1400.0, 900.0), folder, Some(file), 1.0);
    let report = bench.app().known().report.clone().expect("a report");
    let two = report.second_shot.clone().expect("two shots");
    assert!((two.contact_mm2 - 1200.0).abs() < 0.01, "{}", two.contact_mm2);
    assert!(bench.app().document().is_some_and(|d| !d.history.is_unsaved()), "opening is no edit");
}

#[test]
fn a_file_that_is_no_mesh_is_told_and_the_part_stays() {
    let mut bench = window();
    std::fs::write(bench.folder.path().join("broken.stl"), b"solid nothing").expect("a file");
    add(&mut bench, "broken.stl");
    assert!(bench.says("Hard and soft part cannot be compared"));
    assert!(bench.app().known().report.is_some());
    bench.key(Modifiers::COMMAND, Key::Z);
    assert_eq!(second(&bench), None);
}
