//! Opening, saving, losing nothing.

use super::bench::{Bench, stl_of};
use egui::{Key, Modifiers, vec2};
use mouldbench::plan::file;

#[test]
#[ignore = "long"]
fn long_a_saved_plan_reopens_equal() {
    let mut bench = Bench::with_demo();
    bench.go_to("Casting");
    bench.type_into("Good casts wanted", "42");
    let plan = bench.app().plan().expect("a plan").clone();
    assert_eq!(plan.quantity.good, 42);
    let path = bench.folder.path().join("probe.ron");
    bench.save_as(&path);
    assert!(bench.says("✔ saved"), "the title line says that it is saved");
    assert_eq!(file::read(&path).expect("a plan file"), plan);
    bench.click("Menu");
    bench.click_start("Close the job");
    assert!(bench.app().document().is_none(), "nothing unsaved, so nothing is asked");
    bench.open(&path);
    assert_eq!(bench.app().plan(), Some(&plan));
    assert!(bench.app().known().has_part(), "the bundled mesh is found by name from any folder");
}

#[test]
fn a_broken_file_gives_words_and_leaves_everything_as_it_was() {
    let mut bench = Bench::with_ring();
    bench.save_as(&bench.folder.path().join("ring.ron"));
    let plan = bench.app().plan().expect("a plan").clone();
    let broken = bench.folder.path().join("broken.ron");
    std::fs::write(&broken, "MouldbenchPlan(format: \"mouldbench-plan\", version: 1, plan: (name: ").expect("written");
    bench.open(&broken);
    assert!(bench.says("The plan is broken at line 1"), "the message names the place");
    assert_eq!(bench.app().plan(), Some(&plan), "the open job stays");
    assert!(bench.has("Path"), "the path can be put right where it was typed");
    bench.click("Cancel");
    assert!(!bench.says("The plan is broken"));

    let no_mesh = bench.folder.path().join("empty.stl");
    std::fs::write(&no_mesh, b"").expect("written");
    bench.open(&no_mesh);
    assert!(bench.app().notices().list().iter().any(|n| n.text.contains("empty.stl")), "{:?}", bench.app().notices());
    assert_eq!(bench.app().plan(), Some(&plan), "the open job stays");

    while bench.has("Dismiss") {
        bench.click_start("Dismiss");
    }
    bench.open(&bench.folder.path().join("not there.ron"));
    assert!(bench.says("There is no such file") && bench.says("not there.ron") && bench.has("Path"));
}

#[test]
fn a_failed_save_keeps_the_work() {
    let mut bench = Bench::with_ring();
    bench.go_to("Casting");
    bench.type_into("Good casts wanted", "7");
    bench.save_as(&bench.folder.path().join("no such folder").join("probe.ron"));
    assert!(bench.says("could not be saved (there is no such file or folder)"));
    // No number of the system, no word of a file that is not there, and the path stands to be put right.
    assert!(!bench.says("os error") && !bench.says("What stood there") && bench.has("Path"));
    assert!(bench.says("● not saved"));
    assert_eq!(bench.app().plan().expect("a plan").quantity.good, 7);
}

fn plate() -> mouldbench::mesh::Mesh {
    mouldbench::mesh::solids::cuboid(glam::Vec3::ZERO, glam::Vec3::new(40.0, 20.0, 6.0))
}

fn on_top() -> mouldbench::plan::Spot {
    mouldbench::plan::Spot { part: 0, position: glam::DVec3::new(20.0, 10.0, 6.0), normal: glam::DVec3::Z }
}

#[test]
fn saving_in_another_folder_is_no_edit_and_undo_goes_on_behind_it() {
    let mut bench = Bench::with_mesh("plate", &plate());
    bench.harness.state_mut().place_vent(on_top());
    bench.settle();
    let (before, version) =
        (bench.app().plan().cloned(), bench.app().document().map(mouldbench::app::document::Document::version));
    let elsewhere = bench.folder.path().join("jobs");
    std::fs::create_dir(&elsewhere).expect("a folder");
    bench.save_as(&elsewhere.join("plate.ron"));
    let document = bench.app().document().expect("the job");
    assert_eq!((document.plan(), Some(document.version())), (before.as_ref().expect("a plan"), version));
    assert_eq!(document.history.undo_name(), Some("Put vent 1"));
    assert!(!document.history.is_unsaved());
    bench.key(Modifiers::COMMAND, Key::Z);
    assert!(bench.app().plan().is_some_and(|p| p.vents.is_empty()));
    assert!(
        bench.app().known().has_part() && bench.app().known().trouble.is_none(),
        "{:?}",
        bench.app().known().trouble
    );
    bench.key(Modifiers::COMMAND | Modifiers::SHIFT, Key::Z);
    assert_eq!(bench.app().plan(), before.as_ref());

    // Each file names the mesh from where it lies.
    let named = |at: &std::path::Path| file::read(at).expect("a plan").parts[0].mesh.clone();
    let mesh = bench.folder.path().join("plate.stl");
    assert_eq!(std::path::Path::new(&named(&elsewhere.join("plate.ron"))), mesh);
    let beside = bench.folder.path().join("beside.ron");
    bench.save_as(&beside);
    assert_eq!(named(&beside), "plate.stl");
    bench.open(&elsewhere.join("plate.ron"));
    assert!(bench.app().known().has_part());
}

#[test]
#[ignore = "long"]
fn long_a_mesh_that_is_not_there_is_told_and_found_again() {
    let mut bench = Bench::with_mesh("plate", &plate());
    bench.harness.state_mut().place_vent(on_top());
    bench.settle();
    let plan = bench.folder.path().join("plate.ron");
    bench.save_as(&plan);
    bench.click("Menu");
    bench.click_start("Close the job");
    let (old, new) = (bench.folder.path().join("plate.stl"), bench.folder.path().join("moved.stl"));
    std::fs::rename(&old, &new).expect("moved");
    bench.open(&plan);
    assert!(bench.has("The part is not there to be shown") && bench.says("there is no such file"));
    assert!(!bench.says("os error") && !bench.says("Still looking") && !bench.says("Working…"));
    for line in ["Part, stop: ", "Parting, untouched: ", "Vents, untouched: ", "Block, untouched: "] {
        assert!(bench.says(line), "{line}");
    }
    bench.click("Find plate.stl…");
    bench.type_text(&bench.folder.path().join("nowhere.stl").to_string_lossy());
    bench.click("Take this file");
    assert!(bench.says("There is no such file") && bench.has("Find the mesh file"));
    bench.key(Modifiers::COMMAND, Key::A);
    bench.type_into("Path", &new.to_string_lossy());
    assert!(bench.app().known().has_part() && !bench.has("The part is not there to be shown"));
    assert!(bench.says("● not saved") && !bench.says("has changed since the plan was made"));
    let history = &bench.app().document().expect("the job").history;
    assert_eq!(history.undo_name(), None, "where a file lies is nothing to be undone");
    bench.key(Modifiers::COMMAND, Key::S);
    assert_eq!(file::read(&plan).expect("a plan").parts[0].mesh, "moved.stl");

    // Another mesh of that name is told from the one that the plan was made with.
    std::fs::write(&new, stl_of(&mouldbench::mesh::solids::ball(glam::Vec3::ZERO, 20.0, 3))).expect("written");
    bench.open(&plan);
    assert!(bench.says("has changed since the plan was made"));
}

#[test]
fn no_plan_is_saved_over_what_is_no_plan() {
    let mut bench = Bench::with_mesh("plate", &plate());
    assert!(!bench.ask_to_close(), "nothing was changed yet, so nothing is asked");
    assert!(bench.says("nothing to save yet"));
    let mesh = bench.folder.path().join("plate.stl");
    let before = std::fs::read(&mesh).expect("the mesh");
    bench.key(Modifiers::COMMAND | Modifiers::SHIFT, Key::S);
    // What stands in the field is replaced by what is typed.
    bench.type_text(&mesh.to_string_lossy());
    bench.click("Save");
    assert!(bench.says("no plan, and it is left as it is") && bench.has("Save the plan"));
    assert_eq!(std::fs::read(&mesh).expect("the mesh"), before);
    bench.type_into("Path", &bench.folder.path().join("plate.ron").to_string_lossy());
    assert!(bench.says("✔ saved") && !bench.has("Save the plan"));
    // A plan takes the place of a plan.
    bench.save_as(&bench.folder.path().join("plate.ron"));
    assert!(!bench.has("Save the plan"));
    bench.go_to("Sheet");
    bench.click("Write the setup sheet…");
    bench.type_text(&mesh.to_string_lossy());
    bench.click("Write");
    assert!(bench.says("That file is being read, so it is not written over"));
    assert_eq!(std::fs::read(&mesh).expect("the mesh"), before);
}

#[test]
#[ignore = "long"]
fn long_notices_move_nothing_and_go_with_what_they_tell() {
    let mut bench = Bench::with_mesh("plate", &plate());
    bench.go_to("Vents");
    let view = bench.app().canvas().rect();
    bench.click("Propose vents");
    assert!(bench.has("Dismiss"));
    assert_eq!(bench.app().canvas().rect(), view, "nothing shifts under the pointer");
    bench.key(Modifiers::COMMAND, Key::Z);
    assert!(!bench.has("Dismiss"), "what was undone is not told any more: {:?}", bench.app().notices());
}

#[test]
#[ignore = "long"]
fn long_closing_with_unsaved_work_asks_and_without_does_not() {
    let mut bench = Bench::with_demo();
    assert!(!bench.ask_to_close(), "the demo as bundled closes without a question");
    bench.go_to("Casting");
    bench.type_into("Good casts wanted", "8");
    assert!(bench.ask_to_close(), "the window is held open");
    assert!(bench.has("Save first?"));
    bench.click("Cancel");
    assert!(!bench.has("Save first?"));
    assert_eq!(bench.app().plan().expect("a plan").quantity.good, 8);
    bench.ask_to_close();
    bench.click("Don't save");
    assert!(!bench.ask_to_close(), "given up: it closes");
}

#[test]
#[ignore = "long"]
fn long_a_missing_mesh_is_not_replaced_by_one_of_the_same_name_that_is_carried_along() {
    let mut bench = Bench::new(vec2(1280.0, 800.0));
    // The user's own cap, gone by now; the demo has another of that name.
    let plan = mouldbench::study::propose::bare_plan("Own cap", "cap.stl", &"5e".repeat(32), Default::default());
    let path = bench.folder.path().join("own.ron");
    mouldbench::plan::file::save(&plan, &path).expect("saved");
    bench.open(&path);
    assert!(bench.app().part_is_missing() && !bench.app().known().has_part());
    assert!(bench.has("The part is not there to be shown") && bench.says("cap.stl"));
    // A mesh of that name that is opened and not there is told as well.
    let gone = bench.folder.path().join("cap.stl");
    bench.harness.state_mut().open_or_ask(gone);
    bench.settle();
    assert!(bench.says("there is no such file") && !bench.app().known().has_part());
    // The demo's own plan finds it wherever it lies.
    let demo = mouldbench::plan::file::read(&std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("projects/cap.ron"));
    mouldbench::plan::file::save(&demo.expect("a plan"), &path).expect("saved");
    bench.open(&path);
    assert!(bench.app().known().has_part());
}

#[test]
#[ignore = "long"]
fn long_a_dropped_mesh_starts_a_plan() {
    let mut bench = Bench::new(vec2(1280.0, 800.0));
    let path = bench.folder.path().join("ball.stl");
    let ball = mouldbench::mesh::solids::ball(glam::Vec3::ZERO, 20.0, 3);
    std::fs::write(&path, stl_of(&ball)).expect("written");
    bench.open(&path);
    let plan = bench.app().plan().expect("a plan");
    assert_eq!((plan.name.as_str(), plan.parts.len()), ("ball", 1));
    assert!(bench.app().known().has_part());
    bench.key(Modifiers::NONE, Key::Home);
}

#[test]
fn the_sheet_is_issued_by_one_edit_and_its_templates_are_written() {
    let mut bench =
        Bench::with_mesh("plate", &mouldbench::mesh::solids::cuboid(glam::Vec3::ZERO, glam::Vec3::splat(20.0)));
    bench.go_to("Sheet");
    let before = bench.app().plan().cloned().expect("a plan");
    bench.click("Issue the sheet");
    let plan = bench.app().plan().expect("a plan");
    assert_eq!((plan.revision, plan.issues.len()), (before.revision + 1, 1));
    assert_eq!(plan.issues[0].date, plan.revision_date);
    assert!(
        mouldbench::solve::civil_date::read(&plan.revision_date).is_some_and(|d| d > 20_000),
        "{}",
        plan.revision_date
    );
    assert!(!plan.issues[0].decisions.is_empty() && bench.says("Issued as revision 1"));
    let history = &bench.app().document().expect("the job").history;
    assert_eq!(history.undo_name(), Some("Issue revision 1"));

    let folder = bench.folder.path().join("cut/here");
    bench.harness.state_mut().write_templates_to(&folder);
    bench.settle();
    let mut kinds: Vec<String> = std::fs::read_dir(&folder)
        .expect("a folder")
        .map(|f| f.expect("a file").path().extension().expect("a kind").to_string_lossy().into_owned())
        .collect();
    kinds.sort();
    kinds.dedup();
    assert_eq!(kinds, ["dxf", "pdf", "svg"]);
    assert!(bench.says("templates written to"));
    // Somebody's own file of a template's name is left as it is, and nothing of the rest is written.
    let theirs = std::fs::read_dir(&folder).expect("a folder").map(|f| f.expect("a file").path()).min().expect("one");
    std::fs::write(&theirs, "somebody's own").expect("written");
    bench.harness.state_mut().write_templates_to(&folder);
    bench.settle();
    assert!(bench.says("is left as it is") && std::fs::read(&theirs).expect("read") == b"somebody's own");
    // Where a file stands in the way nothing is written and it is told.
    let blocked = bench.folder.path().join("file");
    std::fs::write(&blocked, "x").expect("a file");
    bench.harness.state_mut().write_templates_to(&blocked);
    bench.settle();
    assert!(bench.says("The templates could not be written"));
    bench.harness.state_mut().perform(mouldbench::app::action::Action::Undo);
    bench.settle();
    assert_eq!(bench.app().plan(), Some(&before));
}

#[test]
fn the_sheet_is_handed_to_the_system_to_be_printed() {
    let mut bench =
        Bench::with_mesh("plate", &mouldbench::mesh::solids::cuboid(glam::Vec3::ZERO, glam::Vec3::splat(20.0)));
    bench.key(Modifiers::COMMAND, Key::P);
    let folder = bench.folder.path().join("data/print");
    let seen = folder.join("plate.seen");
    let come = |bench: &mut Bench, words: &str| {
        let waits = (0..600).any(|_| {
            bench.settle();
            std::thread::sleep(std::time::Duration::from_millis(5));
            bench.says(words)
        });
        assert!(waits, "{words}");
    };
    come(&mut bench, "Sheet written, and handed to the system to be printed");
    assert!((0..600).any(|_| {
        std::thread::sleep(std::time::Duration::from_millis(5));
        std::fs::read(&seen).is_ok_and(|b| b.starts_with(b"%PDF-") && b.ends_with(b"%%EOF"))
    }));
    // No program takes it: it is told, and where the file is.
    std::fs::remove_file(&seen).expect("a copy");
    std::fs::create_dir(&seen).expect("a folder in the way");
    bench.key(Modifiers::COMMAND, Key::P);
    come(&mut bench, "No program of this machine opened the sheet");
    assert!(bench.says("plate.pdf"));
}
