//! Nothing unsaved goes unasked: other windows' saves, edits while something is read, the shop's figures, what stands in a
//! field.

use super::bench::{Bench, stl_of};
use egui::{Key, Modifiers, vec2};
use glam::{DVec3, Vec3};
use mouldbench::app::Setup;
use mouldbench::app::action::Action;
use mouldbench::app::asking::Then;
use mouldbench::mesh::solids::{ball, cuboid};
use mouldbench::plan::{Spot, file};
use mouldbench::shop::Shop;
use std::path::{Path, PathBuf};

const CHANGED: &str = "The plan's file was changed elsewhere";
const LEAN: &str = "How far from level the block may stand at the bench, degrees";

/// A window on a plate whose plan is saved, and where.
fn saved_plate() -> (Bench, PathBuf) {
    let mut bench = Bench::with_mesh("plate", &cuboid(Vec3::ZERO, Vec3::new(40.0, 20.0, 6.0)));
    let path = bench.folder.path().join("plate.ron");
    bench.save_as(&path);
    (bench, path)
}

/// Another window on the same plan, with the same data folder.
fn another(path: &Path) -> Bench {
    let folder = path.parent().expect("a folder");
    let data_folder = Some(folder.join("data"));
    let setup = Setup { file: Some(path.to_path_buf()), data_folder, ..Setup::default() };
    Bench::of(vec2(1400.0, 900.0), tempfile::tempdir().expect("a folder"), setup, 1.0)
}

fn put_vent(bench: &mut Bench, x: f64) {
    let spot = Spot { part: 0, position: DVec3::new(x, 10.0, 6.0), normal: DVec3::Z };
    bench.harness.state_mut().place_vent(spot);
    bench.settle();
}

fn vents_in(path: &Path) -> Vec<f64> {
    file::read(path).expect("a plan").vents.iter().map(|v| v.at.position.x).collect()
}

#[test]
fn a_save_over_a_newer_file_asks() {
    let (mut old, path) = saved_plate();
    let mut new = another(&path);
    put_vent(&mut new, 30.0);
    new.key(Modifiers::COMMAND, Key::S);
    assert_eq!(vents_in(&path), [30.0]);
    let theirs = std::fs::read(&path).expect("their plan");

    put_vent(&mut old, 5.0);
    old.key(Modifiers::COMMAND, Key::S);
    assert!(old.has(CHANGED) && old.says("plate.ron") && old.says("● not saved"));
    old.picture("changed elsewhere");
    old.click("Keep editing");
    assert!(!old.has(CHANGED));
    // "Save as" to the same name is no way round, nor is closing.
    old.save_as(&path);
    assert!(old.has(CHANGED));
    old.click("Keep editing");
    assert!(old.ask_to_close());
    old.click("Save");
    assert!(old.has(CHANGED));
    assert_eq!(std::fs::read(&path).expect("their plan"), theirs, "untouched so far");
    // Under another name, which is free.
    old.click("Save under another name…");
    old.click("Save");
    let beside = path.with_file_name("plate 2.ron");
    assert_eq!((vents_in(&path), vents_in(&beside)), (vec![30.0], vec![5.0]));
    assert!(!old.ask_to_close(), "saved: it closes");

    // The other window knows its own save, and replaces what came after it only when told so.
    put_vent(&mut new, 20.0);
    new.key(Modifiers::COMMAND, Key::S);
    assert!(!new.has(CHANGED) && vents_in(&path) == [30.0, 20.0]);
    std::fs::copy(&beside, &path).expect("somebody writes");
    put_vent(&mut new, 12.0);
    new.key(Modifiers::COMMAND, Key::S);
    assert!(new.has(CHANGED));
    new.click("Replace it");
    assert_eq!(vents_in(&path), [30.0, 20.0, 12.0]);
    put_vent(&mut new, 8.0);
    new.key(Modifiers::COMMAND, Key::S);
    assert!(!new.has(CHANGED) && vents_in(&path).len() == 4);
}

#[test]
fn the_content_decides_whether_a_file_was_changed() {
    let (mut bench, path) = saved_plate();
    let (bytes, time) =
        (std::fs::read(&path).expect("the plan"), std::fs::metadata(&path).and_then(|m| m.modified()).expect("a time"));
    // Written again as it was: nobody's work is in it.
    std::fs::write(&path, &bytes).expect("written");
    put_vent(&mut bench, 5.0);
    bench.key(Modifiers::COMMAND, Key::S);
    assert!(!bench.has(CHANGED) && bench.says("✔ saved"));
    // Another content with an old time.
    std::fs::write(&path, &bytes).expect("written");
    std::fs::File::options().write(true).open(&path).and_then(|f| f.set_modified(time)).expect("a time");
    put_vent(&mut bench, 6.0);
    bench.key(Modifiers::COMMAND, Key::S);
    assert!(bench.has(CHANGED));
    bench.click("Keep editing");
    // A file that is gone is made anew.
    std::fs::remove_file(&path).expect("gone");
    bench.key(Modifiers::COMMAND, Key::S);
    assert!(bench.says("✔ saved") && vents_in(&path) == [5.0, 6.0]);
}

#[test]
#[ignore = "long"]
fn long_edits_made_while_a_mesh_is_read_are_asked_about() {
    let (mut bench, path) = saved_plate();
    let mesh = bench.folder.path().join("ball.stl");
    std::fs::write(&mesh, stl_of(&ball(Vec3::ZERO, 20.0, 3))).expect("a mesh");
    let ask = |bench: &mut Bench, x: f64| {
        // Nothing is unsaved when it is asked for, so nothing is asked; the edit comes before the next frame.
        let app = bench.harness.state_mut();
        app.open_or_ask(mesh.clone());
        app.place_vent(Spot { part: 0, position: DVec3::new(x, 10.0, 6.0), normal: DVec3::Z });
        bench.settle();
        assert!(bench.has("Save first?"), "{:?}", bench.app().plan().map(|p| &p.name));
        assert_eq!(bench.app().plan().expect("a plan").name, "plate");
    };
    ask(&mut bench, 5.0);
    bench.click("Cancel");
    bench.rest(0.5);
    assert!(!bench.has("Save first?") && bench.app().plan().is_some_and(|p| p.name == "plate" && p.vents.len() == 1));
    bench.key(Modifiers::COMMAND, Key::S);
    ask(&mut bench, 6.0);
    bench.click("Save");
    assert_eq!((vents_in(&path), bench.app().plan().expect("a plan").name.as_str()), (vec![5.0, 6.0], "ball"));
    bench.open(&path);
    ask(&mut bench, 7.0);
    bench.click("Don't save");
    assert_eq!((vents_in(&path).len(), bench.app().plan().expect("a plan").name.as_str()), (2, "ball"));
    // Nothing was changed: nothing is asked.
    bench.open(&path);
    bench.harness.state_mut().open_or_ask(mesh.clone());
    bench.settle();
    assert!(!bench.has("Save first?") && bench.app().plan().is_some_and(|p| p.name == "ball"));
}

#[test]
fn a_copy_goes_only_once_the_job_is_put_away() {
    let (mut bench, path) = saved_plate();
    put_vent(&mut bench, 5.0);
    bench.rest(2.5);
    let broken = bench.folder.path().join("broken.stl");
    std::fs::write(&broken, b"").expect("no mesh");
    bench.open(&broken);
    bench.click("Don't save");
    // It could not be read, so the job is still there and still not saved.
    assert!(bench.says("● not saved") && bench.app().notices().list().iter().any(|n| n.text.contains("broken.stl")));
    let Bench { harness, folder } = bench;
    drop(harness);
    let next = another(&path);
    assert!(next.has("There is unsaved work on this"), "the copy outlives the window");
    drop(folder);
}

#[test]
#[ignore = "long"]
fn long_closing_asks_for_the_figures_of_the_shop_too() {
    let mut bench = Bench::with_mesh("plate", &cuboid(Vec3::ZERO, Vec3::new(40.0, 20.0, 6.0)));
    let shop = bench.folder.path().join("config/shop.ron");
    bench.harness.state_mut().perform(Action::ShopFigures);
    bench.settle();
    bench.click("Limits");
    bench.type_into(LEAN, "1.5");
    bench.click("Back to the job");
    assert!(bench.ask_to_close() && bench.has("Write the shop's figures first?"));
    bench.picture("figures not written");
    bench.click("Cancel");
    assert!(!bench.has("Write the shop's figures first?"));
    // The plan is asked about first, then the figures; giving the plan up does not give them up.
    put_vent(&mut bench, 5.0);
    assert!(bench.ask_to_close() && bench.has("Save first?"));
    bench.click("Don't save");
    assert!(bench.has("Write the shop's figures first?"));
    // Another hand has written the file meanwhile: that is told on the page, and the window stays.
    std::fs::create_dir_all(shop.parent().expect("a folder")).expect("made");
    std::fs::write(&shop, "MouldbenchShop(\n  oops").expect("written");
    bench.click("Write");
    assert!(bench.app().is_at_shop_page() && bench.says("kept as shop.ron.before"));
    bench.click("Leave it");
    std::fs::remove_file(&shop).expect("gone");
    assert!(bench.ask_to_close());
    bench.click("Don't save");
    bench.click("Write");
    assert_eq!(Shop::read(&shop).expect("written").limits.lean_deg, 1.5);
    assert!(!bench.ask_to_close(), "all is settled: it closes");

    // What stands in a field counts too, and may be given up.
    let mut bench = Bench::with_mesh("plate", &cuboid(Vec3::ZERO, Vec3::new(40.0, 20.0, 6.0)));
    bench.harness.state_mut().perform(Action::ShopFigures);
    bench.settle();
    bench.click("Limits");
    bench.focus(LEAN);
    bench.key(Modifiers::COMMAND, Key::A);
    bench.type_text("1.25");
    assert!(bench.ask_to_close() && bench.has("Write the shop's figures first?"));
    bench.click("Don't write");
    assert!(!bench.ask_to_close() && !bench.folder.path().join("config/shop.ron").exists());
}

#[test]
#[ignore = "long"]
fn long_saving_by_its_keys_works_in_a_field_and_takes_what_stands_in_it() {
    let (mut bench, path) = saved_plate();
    let good = || file::read(&path).expect("a plan").quantity.good;
    bench.go_to("Casting");
    bench.focus("Good casts wanted");
    bench.key(Modifiers::COMMAND, Key::A);
    bench.type_text("37");
    bench.key(Modifiers::COMMAND, Key::S);
    assert_eq!(good(), 37);
    assert!(bench.says("✔ saved"));
    // A line of text as well; the question for a name takes the keys itself.
    bench.focus("Good casts wanted");
    bench.key(Modifiers::COMMAND, Key::A);
    bench.type_text("38");
    bench.key(Modifiers::COMMAND | Modifiers::SHIFT, Key::S);
    assert!(bench.has("Save the plan") && good() == 37);
    bench.click("Cancel");
    assert_eq!(bench.app().plan().expect("a plan").quantity.good, 38);
    // On the page of the shop's figures they write what is changed there.
    bench.harness.state_mut().perform(Action::ShopFigures);
    bench.settle();
    bench.click("Limits");
    bench.focus(LEAN);
    bench.key(Modifiers::COMMAND, Key::A);
    bench.type_text("1.75");
    bench.key(Modifiers::COMMAND, Key::S);
    let shop = bench.folder.path().join("config/shop.ron");
    assert_eq!(Shop::read(&shop).expect("written").limits.lean_deg, 1.75);
    assert_eq!(good(), 37, "the plan is saved from its own pages");
}

#[test]
fn what_stands_in_a_field_counts_when_the_window_is_closed() {
    let (mut bench, path) = saved_plate();
    bench.go_to("Casting");
    bench.focus("Good casts wanted");
    bench.key(Modifiers::COMMAND, Key::A);
    bench.type_text("41");
    assert!(bench.ask_to_close() && bench.has("Save first?"));
    bench.click("Save");
    assert_eq!(file::read(&path).expect("a plan").quantity.good, 41);
    bench.harness.state_mut().go_on(Then::CloseJob);
    bench.settle();
    assert!(!bench.ask_to_close());
}
