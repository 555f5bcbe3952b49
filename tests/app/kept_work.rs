//! Unsaved work outlives its window: kept soon, kept until it is saved, offered wherever its plan is opened.

use super::bench::{Bench, stl_of};
use egui::{Key, Modifiers, vec2};
use egui_kittest::kittest::Queryable;
use glam::Vec3;
use mouldbench::app::Setup;
use mouldbench::app::kept_work::{self, Claim, Work};
use mouldbench::mesh::solids::cuboid;
use mouldbench::plan::stamp::Stamp;
use mouldbench::plan::{Plan, file};
use std::path::{Path, PathBuf};
use std::process::{Child, Command};
use std::time::{Duration, Instant};

const TAKE_UP: &str = "Take it up again";
/// What a window in a process of its own is told by.
const FOLDER: &str = "MOULDBENCH_TEST_FOLDER";
const TASK: &str = "MOULDBENCH_TEST_TASK";

/// A saved plan about a plate, in `folder`.
fn plate_plan(folder: &Path) -> PathBuf {
    std::fs::write(folder.join("plate.stl"), stl_of(&cuboid(Vec3::ZERO, Vec3::new(40.0, 20.0, 6.0)))).expect("a mesh");
    let mut bench = Bench::with_mesh("plate", &cuboid(Vec3::ZERO, Vec3::new(40.0, 20.0, 6.0)));
    let path = folder.join("plate.ron");
    bench.save_as(&bench.folder.path().join("plate.ron"));
    std::fs::copy(bench.folder.path().join("plate.ron"), &path).expect("the plan");
    path
}

/// Another window on what is kept in `folder`.
fn window(folder: &Path, file: Option<&Path>) -> Bench {
    let setup = Setup {
        file: file.map(Path::to_path_buf),
        data_folder: Some(folder.join("data")),
        shop_file: Some(folder.join("config/shop.ron")),
        ..Setup::default()
    };
    Bench::of(vec2(1400.0, 900.0), tempfile::tempdir().expect("a folder"), setup, 1.0)
}

fn set_good(bench: &mut Bench, good: u32) {
    bench.go_to("Casting");
    bench.type_into("Good casts wanted", &good.to_string());
}

/// Takes the work up in the question that stands, where there is one: it lies over the welcome page.
fn take_up(bench: &mut Bench) {
    bench.harness.query_all_by_label(TAKE_UP).last().expect("it is offered").click();
    bench.settle();
}

fn good(bench: &Bench) -> u32 {
    bench.app().plan().expect("a plan").quantity.good
}

/// Everything that is kept in `folder`, whoever has it: the number of good casts in each.
fn kept(folder: &Path) -> Vec<u32> {
    let Ok(entries) = std::fs::read_dir(folder.join("data/unsaved")) else { return Vec::new() };
    let plans = entries.flatten().filter(|e| e.path().extension().is_some_and(|x| x == "ron"));
    plans.filter_map(|e| file::read(&e.path()).ok()).map(|p| p.quantity.good).collect()
}

fn wait_for(what: &str, mut holds: impl FnMut() -> bool) {
    let begun = Instant::now();
    while !holds() {
        assert!(begun.elapsed() < Duration::from_secs(120), "waited in vain for {what}");
        std::thread::sleep(Duration::from_millis(5));
    }
}

/// Waits until the system has let go of the lock of a process that was killed: that takes it a moment after the signal.
fn free(folder: &Path) {
    wait_for("the lock to be let go of", || !kept_work::without_window(&folder.join("data/unsaved")).is_empty());
}

fn rest_until_kept(bench: &mut Bench, folder: &Path, good: u32) {
    bench.rest(2.5);
    wait_for("a copy", || kept(folder).contains(&good));
}

/// A window in a process of its own, which says when it has done its task and then lives until it is killed.
fn process(folder: &Path, task: &str) -> Child {
    let _ = std::fs::remove_file(folder.join("ready"));
    let child = Command::new(std::env::current_exe().expect("the tests"))
        .args(["app::kept_work::a_window_that_is_going_to_be_killed", "--exact", "--ignored"])
        .env(FOLDER, folder)
        .env(TASK, task)
        .stdout(std::process::Stdio::null())
        .spawn()
        .expect("a process");
    wait_for(task, || folder.join("ready").exists());
    child
}

#[test]
#[ignore = "started by another test in a process of its own"]
fn a_window_that_is_going_to_be_killed() {
    let (Some(folder), Ok(task)) = (std::env::var_os(FOLDER).map(PathBuf::from), std::env::var(TASK)) else { return };
    let mut bench = window(&folder, Some(&folder.join("plate.ron")));
    match task.as_str() {
        "edit" => {
            set_good(&mut bench, 99);
            rest_until_kept(&mut bench, &folder, 99);
        }
        "take up" => take_up(&mut bench),
        other => panic!("{other}"),
    }
    assert_eq!(good(&bench), 99);
    std::fs::write(folder.join("ready"), "").expect("told");
    std::thread::sleep(Duration::from_secs(300));
}

#[test]
#[ignore = "long"]
fn long_work_outlives_one_kill_after_the_other() {
    let home = tempfile::tempdir().expect("a folder");
    let plan = plate_plan(home.path());
    let mut first = process(home.path(), "edit");
    // While its window lives, nobody else is offered the work.
    assert!(!window(home.path(), Some(&plan)).has(TAKE_UP) && !window(home.path(), None).has(TAKE_UP));
    first.kill().expect("killed");
    free(home.path());
    // It is not reaped: its number is still taken while the next window opens.
    let mut second = process(home.path(), "take up");
    second.kill().expect("killed");
    free(home.path());
    // Taken up, not edited, killed at once: the copy is there still.
    assert!(window(home.path(), None).has(TAKE_UP));
    let mut third = window(home.path(), Some(&plan));
    take_up(&mut third);
    assert_eq!((good(&third), kept(home.path())), (99, vec![99]));
    assert!(third.says("● not saved"));
    // Saved, it is needed no more.
    third.key(Modifiers::COMMAND, Key::S);
    assert_eq!(file::read(&plan).expect("a plan").quantity.good, 99);
    wait_for("the copy to go", || kept(home.path()).is_empty());
    for mut child in [first, second] {
        child.wait().expect("reaped");
    }
}

#[test]
fn it_is_offered_wherever_its_plan_is_opened_with_place_and_time() {
    let home = tempfile::tempdir().expect("a folder");
    let plan = plate_plan(home.path());
    let mut bench = window(home.path(), Some(&plan));
    set_good(&mut bench, 77);
    rest_until_kept(&mut bench, home.path(), 77);
    // The window is gone without a word; this process, and so its number, is the same all along.
    drop(bench);
    let offers = |bench: &Bench, way: &str| {
        let place = format!("{}; last changed just now, at ", plan.display());
        assert!(bench.has(TAKE_UP) && bench.says(&place) && bench.says(" UTC on 20"), "{way}");
    };
    offers(&window(home.path(), Some(&plan)), "named when the program starts");
    let mut bench = window(home.path(), None);
    offers(&bench, "welcome page");
    take_up(&mut bench);
    assert_eq!(good(&bench), 77);
    drop(bench);

    let mut bench = window(home.path(), None);
    bench.open(&plan);
    assert!(bench.has("There is unsaved work on this"));
    offers(&bench, "opened by its path");
    bench.click("Open the file as it was saved");
    assert_eq!((good(&bench), kept(home.path())), (10, vec![77]), "as saved, and the copy stays");
    bench.harness.state_mut().open_or_ask(home.path().join("./plate.ron"));
    bench.settle();
    offers(&bench, "dropped, by another name of the same file");
    bench.click("Cancel");
    bench.click("Menu");
    bench.click_start("Close the job");
    bench.click("plate.ron");
    assert!(bench.has("There is unsaved work on this"), "used last");
    // Also where the file has gone meanwhile.
    bench.click("Cancel");
    std::fs::remove_file(&plan).expect("gone");
    bench.open(&plan);
    take_up(&mut bench);
    assert_eq!(good(&bench), 77);
    drop(bench);
    let mut bench = window(home.path(), None);
    bench.click("Throw it away");
    assert!(!bench.has(TAKE_UP));
    drop(bench);
    assert!(kept(home.path()).is_empty() && !window(home.path(), None).has(TAKE_UP));
}

#[test]
#[ignore = "long"]
fn long_work_that_was_never_saved_is_offered_on_the_welcome_page_and_with_its_mesh() {
    let home = tempfile::tempdir().expect("a folder");
    plate_plan(home.path());
    let mesh = home.path().join("plate.stl");
    let mut bench = window(home.path(), Some(&mesh));
    set_good(&mut bench, 55);
    rest_until_kept(&mut bench, home.path(), 55);
    drop(bench);
    assert!(window(home.path(), Some(&mesh)).says("never saved; last changed just now"));
    let mut bench = window(home.path(), None);
    assert!(bench.says("never saved; last changed just now"));
    take_up(&mut bench);
    assert_eq!((good(&bench), bench.app().known().has_part()), (55, true));
    // Closed without saving, expressly: then it is gone.
    assert!(bench.ask_to_close() && bench.says("Without saving they are gone"));
    bench.click("Don't save");
    bench.harness.state_mut().leave();
    drop(bench);
    assert!(kept(home.path()).is_empty());
}

#[test]
fn a_copy_is_never_ten_seconds_behind_however_busy_the_hands_are() {
    let home = tempfile::tempdir().expect("a folder");
    let plan = plate_plan(home.path());
    let mut bench = window(home.path(), Some(&plan));
    for i in 0..20u32 {
        bench.harness.state_mut().edit("Typed", |p| p.notes = format!("{i} half seconds"));
        bench.harness.run_steps(30);
    }
    // Ten seconds of the window's clock, never two without a change. Nobody waits for anything here: the window is dropped,
    // which lets what was ordered be done.
    drop(bench);
    let found = kept_work::without_window(&home.path().join("data/unsaved"));
    assert_eq!(found.len(), 1);
    assert!(!found[0].work.plan.notes.is_empty(), "{:?}", found[0].work.plan.notes);
}

#[test]
#[ignore = "long"]
fn long_a_failure_to_keep_is_told_once_until_it_works_again() {
    let home = tempfile::tempdir().expect("a folder");
    let plan = plate_plan(home.path());
    // No folder can be made where a file is.
    let unsaved = home.path().join("data/unsaved");
    std::fs::create_dir_all(home.path().join("data")).expect("a folder");
    std::fs::write(&unsaved, "in the way").expect("a file");
    let mut bench = window(home.path(), Some(&plan));
    set_good(&mut bench, 11);
    let told = |bench: &Bench| bench.says("Unsaved work cannot be kept");
    let rest_until = |bench: &mut Bench, what: &str, holds: &dyn Fn(&Bench) -> bool| {
        wait_for(what, || {
            bench.rest(1.0);
            holds(bench)
        });
    };
    rest_until(&mut bench, "a word", &told);
    assert!(bench.says("● not saved, and no copy can be kept") && !bench.says("os error"));
    bench.click_start("Dismiss");
    set_good(&mut bench, 12);
    bench.rest(25.0);
    assert!(!told(&bench), "once");
    assert!(bench.says("no copy can be kept"), "the top line says it as long as it is so");
    std::fs::remove_file(&unsaved).expect("out of the way");
    rest_until(&mut bench, "a copy", &|bench| bench.says("Unsaved work is kept again"));
    assert!(!bench.says("no copy can be kept") && kept(home.path()) == [12]);
}

#[test]
#[ignore = "long"]
fn long_what_equals_the_saved_plan_is_not_offered() {
    let home = tempfile::tempdir().expect("a folder");
    let plan = plate_plan(home.path());
    let mut bench = window(home.path(), Some(&plan));
    set_good(&mut bench, 31);
    rest_until_kept(&mut bench, home.path(), 31);
    let copy = std::fs::read_dir(home.path().join("data/unsaved"))
        .expect("kept")
        .flatten()
        .find(|e| e.path().extension().is_some_and(|x| x == "ron"))
        .expect("a copy")
        .path();
    let bytes = std::fs::read(&copy).expect("the copy");
    bench.key(Modifiers::COMMAND, Key::S);
    drop(bench);
    // As if the window had died between saving and letting go of the copy.
    std::fs::write(&copy, bytes).expect("back");
    assert!(!window(home.path(), None).has(TAKE_UP) && !window(home.path(), Some(&plan)).has(TAKE_UP));
    assert!(kept(home.path()).is_empty());
}

#[test]
fn what_is_kept_has_a_bound_and_a_lock_that_dies_with_its_holder() {
    let folder = tempfile::tempdir().expect("a folder");
    let work = |n: usize| Work {
        plan: Plan { name: format!("job {n}"), ..Plan::default() }.into(),
        // A line's end and quotes in a name break nothing.
        path: Some(PathBuf::from(format!("/somewhere/\"a\nb\" {n}.ron"))),
        stamp: Stamp::of_bytes(&[n as u8]),
    };
    let held = Claim::new(folder.path()).expect("a claim");
    held.write(&work(1000)).expect("written");
    for n in 0..kept_work::MOST + 15 {
        let claim = Claim::new(folder.path()).expect("a claim");
        claim.write(&work(n)).expect("written");
        // Times of the disk are coarse.
        let at = std::time::UNIX_EPOCH + Duration::from_secs(1_000_000 + n as u64);
        let newest = std::fs::read_dir(folder.path()).expect("listing").flatten().filter(|e| {
            e.path().extension().is_some_and(|x| x == "ron")
                && std::fs::read_to_string(e.path()).is_ok_and(|t| t.contains(&format!("\"job {n}\"")))
        });
        for entry in newest {
            let file = std::fs::File::options().write(true).open(entry.path()).expect("opened");
            file.set_modified(at).expect("a time");
        }
    }
    let found = kept_work::without_window(folder.path());
    assert_eq!(found.len(), kept_work::MOST);
    for (i, one) in found.iter().enumerate() {
        let n = kept_work::MOST + 14 - i;
        assert_eq!((&one.work.plan, &one.work.path, one.work.stamp), (&work(n).plan, &work(n).path, work(n).stamp));
    }
    // What a living window holds is neither offered nor tidied away, and can be claimed once it lets go.
    assert!(found.iter().all(|f| f.title() != "job 1000"));
    drop(held);
    let now = kept_work::without_window(folder.path());
    let mine = now.iter().find(|f| f.title() == "job 1000").expect("offered now");
    let (claim, read) = mine.claim(folder.path()).expect("free");
    assert_eq!(read.work.plan.name, "job 1000");
    assert!(mine.claim(folder.path()).is_none(), "one window alone takes it up");
    claim.remove();
    assert!(mine.claim(folder.path()).is_none(), "gone");
}
