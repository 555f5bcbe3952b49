//! The fill, asked for in the feed step.

use super::bench::Bench;
use egui::{Key, Modifiers};
use glam::Vec3;
use mouldbench::app::canvas::sight::Colouring;
use mouldbench::mesh::solids;
use mouldbench::study::findings::Step;

#[test]
#[ignore = "long"]
fn long_the_fill_is_followed_when_asked_for_and_goes_with_the_plan() {
    let mut bench = Bench::with_mesh("plate", &solids::cuboid(Vec3::ZERO, Vec3::new(40.0, 20.0, 4.0)));
    bench.go_to("Feed");
    bench.click("Propose the feed");
    bench.go_to("Vents");
    bench.click("Propose vents");
    bench.go_to("Feed");
    let fill = |bench: &Bench| bench.app().known().facts.as_ref().and_then(|f| f.fill.clone());
    assert!(fill(&bench).is_none(), "nobody asked for it yet");
    assert!(!bench.has("Time shown"));
    bench.bring_up("Follow the fill");
    bench.click("Follow the fill");
    let followed = fill(&bench).expect("it is among the facts");
    assert!(followed.filled_share > 0.99, "{}", followed.filled_share);
    assert_eq!(bench.app().canvas().colouring_of(Step::Feed), Colouring::Fill);
    for seen in ["Time shown", "The pour takes", "Show the last place to fill"] {
        assert!(bench.has(seen), "{seen}");
    }
    assert!(
        bench.has("Air that leaves through the joint of the halves is not counted: how far it is open, nobody knows")
    );
    // Finer cells are asked for in the same place: half the cell or as near as their number allows, and a smaller error.
    bench.bring_up("Follow it on finer cells");
    bench.click("Follow it on finer cells");
    let finer = fill(&bench).expect("it is among the facts");
    assert!(
        finer.cells > 3 * followed.cells && finer.cell_mm < 0.7 * followed.cell_mm,
        "{} {}",
        finer.cells,
        followed.cells
    );
    assert!(finer.expected_error < followed.expected_error && finer.filled_share > 0.99);
    let apart = finer.time_s() / followed.time_s() - 1.0;
    assert!(apart.abs() < followed.expected_error + finer.expected_error, "{apart}");
    assert!(bench.has("The pour takes") && bench.has("Time shown"));
    // Taking the vents out again makes it another plan.
    bench.key(Modifiers::COMMAND, Key::Z);
    assert!(fill(&bench).is_none());
    assert!(!bench.has("Time shown") && !bench.has("The pour takes"));
}

/// Follows the fill until part of it is drawn, and no further.
fn follow_half_way(bench: &mut Bench) {
    bench.bring_up("Follow the fill");
    bench.click_only("Follow the fill");
    let half = (0..2000).any(|_| {
        bench.harness.run_steps(1);
        std::thread::sleep(std::time::Duration::from_millis(2));
        bench.harness.state_mut().fill_times().is_some_and(|(times, _)| !times.whole)
    });
    assert!(half && bench.app().is_filling());
}

#[test]
#[ignore = "long"]
fn long_half_a_picture_never_stands_for_the_whole() {
    let mut bench = Bench::with_mesh("plate", &solids::cuboid(Vec3::ZERO, Vec3::new(40.0, 20.0, 4.0)));
    bench.go_to("Feed");
    bench.click("Propose the feed");
    bench.bring_up("Follow the fill");
    bench.click("Follow the fill");
    let cells = |bench: &Bench| bench.app().known().facts.as_ref().and_then(|f| f.fill.as_ref()).map(|f| f.cells);
    let shown = |bench: &mut Bench| bench.harness.state_mut().fill_times().map(|(times, _)| times);
    let usual = cells(&bench).expect("it is among the facts");
    let picture = shown(&mut bench).expect("a picture");
    // It goes on through a save, and the last good picture stays until there is a better one.
    bench.bring_up("Follow it on finer cells");
    bench.click_only("Follow it on finer cells");
    let path = bench.folder.path().join("plate.ron");
    assert!(bench.app().is_filling() && bench.harness.state_mut().save_to(&path));
    while bench.app().is_filling() {
        let now = shown(&mut bench).expect("a picture");
        assert!(now.whole && (*now == *picture || cells(&bench) != Some(usual) || !bench.app().is_filling()));
        bench.harness.run_steps(1);
        std::thread::sleep(std::time::Duration::from_millis(5));
    }
    bench.settle();
    let finer = cells(&bench).expect("saving did not end it");
    assert!(finer > usual && !bench.says("about 0 s"), "{finer} {usual}");
    // Asked for once more, the fine one is shown; a coarse one does not take its place.
    bench.bring_up("Follow the fill");
    bench.click("Follow the fill");
    assert_eq!(cells(&bench), Some(finer));
    assert!(!bench.says("about 0 s"));

    // An edit ends a fill on its way: its half picture goes.
    bench.harness.state_mut().edit("Widen the gate", |p| p.feed.gates[0].diameter_mm += 0.5);
    bench.settle();
    assert!(cells(&bench).is_none() && !bench.has("Time shown"));
    follow_half_way(&mut bench);
    bench.harness.state_mut().edit("Widen the gate again", |p| p.feed.gates[0].diameter_mm += 0.5);
    bench.settle();
    assert!(!bench.has("Time shown") && !bench.has("The pour takes"));
    // A hand that stops it keeps what was seen, and is told that it is not all.
    follow_half_way(&mut bench);
    bench.harness.state_mut().stop_work();
    bench.settle();
    assert!(bench.has("Time shown") && bench.says("what comes later was not followed"));
}

/// Until a fill tells it, the last vent is a guess: none is named as the one to leave open.
#[test]
#[ignore = "long"]
fn long_the_last_vent_is_named_once_a_fill_tells_it() {
    let mut bench = Bench::with_mesh("plate", &solids::cuboid(Vec3::ZERO, Vec3::new(40.0, 20.0, 4.0)));
    bench.go_to("Feed");
    bench.click("Propose the feed");
    bench.go_to("Vents");
    bench.click("Propose vents");
    bench.harness.state_mut().edit("Add a vent", |p| {
        let mut second = p.vents[0].clone();
        second.number = p.vents.len() as u32 + 1;
        second.at.position.x += 6.0 * (20.0 - second.at.position.x).signum();
        p.vents.push(second);
    });
    bench.settle();
    let unknown = "In which order resin shows is not known: follow the fill (step Feed) for it";
    assert!(bench.has(unknown) && !bench.says("In the order resin shows at them"));
    bench.go_to("Feed");
    bench.bring_up("Follow the fill");
    bench.click("Follow the fill");
    bench.go_to("Vents");
    assert!(!bench.has(unknown) && bench.has("In the order resin shows at them"));
    let last =
        bench.app().known().report.as_ref().and_then(|r| r.vents.iter().max_by_key(|v| v.shows_in_order).cloned());
    let last = last.expect("vents").number;
    assert!(bench.has(&format!("Let air in only once vent {last} shows, the last")));
}
