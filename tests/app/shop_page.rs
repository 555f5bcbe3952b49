//! The page of the shop's figures, by its labels.

use super::bench::Bench;
use egui::{Key, Modifiers, vec2};
use mouldbench::shop::Shop;

const LEAN: &str = "How far from level the block may stand at the bench, degrees";

/// A window on a small block, at the page.
fn at_the_page(size: egui::Vec2) -> Bench {
    let mut bench = Bench::with_ring_at(size, 1.0);
    bench.key(Modifiers::COMMAND, Key::K);
    bench.type_text("shop's figures");
    bench.harness.key_press(Key::Enter);
    bench.settle();
    assert!(bench.app().is_at_shop_page() && bench.says("Write the shop's file"));
    bench
}

#[test]
fn a_figure_is_changed_refused_written_and_used_at_once() {
    let mut bench = at_the_page(vec2(1280.0, 800.0));
    let file = bench.folder.path().join("config/shop.ron");
    assert!(bench.off_screen(vec2(1280.0, 800.0)).is_empty(), "{:?}", bench.off_screen(vec2(1280.0, 800.0)));
    assert!(bench.unnamed().is_empty(), "{:?}", bench.unnamed());
    bench.picture("shop page, silicones");
    bench.click("Limits");
    bench.picture("shop page, limits");
    let version = bench.app().document().expect("a job").version();
    let resin = bench.app().plan().expect("a plan").materials.resin.clone();
    bench.type_into(LEAN, "-1");
    assert!(bench.says("-1 is refused: it must be at least 0") && !bench.says("not written yet"));
    bench.type_into(LEAN, "one");
    assert!(bench.says("“one” is no number"));
    bench.type_into(LEAN, "1,5");
    assert!(bench.says("not written yet") && !bench.says("refused"));
    bench.type_into(&format!("Remark on how far{}", &LEAN["How far".len()..]), "the new plate");
    bench.picture("shop page, a limit changed");
    assert_eq!(bench.app().shop().limits.lean_deg, 2.0, "not before it is written");
    bench.click("Write the shop's file");
    assert!(bench.says("The shop's file written: "));
    let read = Shop::read(&file).expect("readable");
    assert_eq!(read.limits.lean_deg, 1.5);
    assert_eq!(read.source_of("limits", None, "lean_deg"), Some("set here: the new plate"));
    assert!(*bench.app().shop() == read && !bench.says("not written yet"));
    // Everything was looked into again, by a bench that has the new figure; the plan is the same.
    assert!(bench.app().document().expect("a job").version() > version);
    assert_eq!(bench.app().plan().expect("a plan").materials.resin, resin);
    bench.click(&format!("Back to the bundled figure: {LEAN}"));
    bench.key(Modifiers::COMMAND, Key::Z);
    assert!(!bench.says("not written yet"), "undone");
    bench.click("Back to the job");
    assert!(!bench.app().is_at_shop_page() && bench.app().known().complete);
}

#[test]
#[ignore = "long"]
fn long_a_copy_is_added_and_a_broken_file_is_not_written_over_unasked() {
    let mut bench = at_the_page(vec2(1400.0, 900.0));
    let file = bench.folder.path().join("config/shop.ron");
    std::fs::create_dir_all(file.parent().expect("a folder")).expect("made");
    std::fs::write(&file, "MouldbenchShop(\n  oops").expect("written");
    bench.click("Resins");
    bench.click("Add a copy");
    assert!(bench.says("Give the copy a name"));
    bench.type_into("Name of a copy", "Shelf 4, quick");
    bench.click("Add a copy");
    bench.type_into("Pot life", "240");
    assert!(bench.says("Undo change of pot life"));
    bench.click("Write the shop's file");
    assert!(bench.says("broken at line 2") && bench.says("kept as shop.ron.before"));
    assert_eq!(std::fs::read_to_string(&file).expect("there"), "MouldbenchShop(\n  oops", "untouched");
    bench.click("Leave it");
    bench.click("Write the shop's file");
    bench.click("Replace the file");
    let read = Shop::read(&file).expect("readable");
    assert_eq!((read.resins[0].name.as_str(), read.resins[0].pot_life_s), ("Shelf 4, quick", 240.0));
    let kept = file.with_extension("ron.before");
    assert_eq!(std::fs::read_to_string(kept).expect("kept"), "MouldbenchShop(\n  oops");
    assert!(!bench.says("Replace the file"));
    bench.click("Take it out");
    bench.click("Write the shop's file");
    assert!(Shop::read(&file).expect("readable") == *Shop::bundled());
}

#[test]
fn lines_of_warm_cures_and_words_of_an_own_material_are_changed() {
    let mut bench = at_the_page(vec2(1400.0, 900.0));
    let file = bench.folder.path().join("config/shop.ron");
    // The job's own undo and proposals are not offered beside the page's.
    assert!(!bench.has("Propose a whole plan"));
    bench.type_into("Name of a copy", "Shelf 2, slow");
    bench.click("Add a copy");
    bench.click("Add a line");
    assert!(bench.says("Undo line added to"));
    bench.click("Take line 1 out");
    bench.type_into("Its name", "Shelf 2, slower");
    assert!(bench.says("Undo name of"));
    bench.type_into("Where its figures come from", "its data sheet of May");
    bench.click("Write the shop's file");
    let read = Shop::read(&file).expect("readable");
    let own = &read.silicones[0];
    assert_eq!((own.name.as_str(), own.source.as_str()), ("Shelf 2, slower", "its data sheet of May"));
    let warm: Vec<f64> = own.warm_cures.iter().map(|w| w.0).collect();
    assert_eq!(warm, [60.0, 70.0], "40 and 60 were there; a line was added beyond, the first taken out");
    assert!(!bench.says("Shelf 2, slow\n") && bench.says("Shelf 2, slower"));
}
