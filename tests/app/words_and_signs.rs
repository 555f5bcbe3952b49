//! What the window says agrees with its signs: ticks, notices, search, clicks beside the part, the opened block.

use super::bench::Bench;
use egui::{Key, Modifiers, pos2};
use egui_kittest::kittest::{NodeT, Queryable};
use glam::Vec3;
use mouldbench::app::canvas::tool::Tool;
use mouldbench::app::job_card::{Tick, holds};
use mouldbench::mesh::solids;
use mouldbench::study::findings::Step;

fn found(bench: &Bench) -> Vec<String> {
    let starts = egui_kittest::kittest::By::new().predicate(|n| n.label().is_some_and(|l| l.starts_with("Do: ")));
    bench.harness.query_all(starts).filter_map(|n| n.accesskit_node().label()).collect()
}

fn search(bench: &mut Bench, words: &str) {
    bench.key(Modifiers::COMMAND, Key::K);
    bench.type_text(words);
}

#[test]
fn search_ranks_names_before_descriptions_and_knows_tools() {
    let mut bench = Bench::with_ring();
    search(&mut bench, "vent");
    let list = found(&bench);
    let at = |name: &str| list.iter().position(|l| l == &format!("Do: {name}")).unwrap_or(usize::MAX);
    assert_eq!(list[0], "Do: Place vents", "{list:?}");
    for named in ["Propose vents", "Go to Vents"] {
        assert!(at(named) < at("Propose a whole plan"), "{named} in {list:?}");
    }
    assert!(!list.iter().any(|l| l.contains("demo job")), "“invented” has no vent: {list:?}");
    bench.key(Modifiers::NONE, Key::Enter);
    assert_eq!((bench.app().step(), bench.app().tool()), (Step::Vents, Tool::Vent));
    assert!(bench.app().plan().is_some_and(|p| p.vents.is_empty()), "no plan was proposed");

    // A word that no name holds: the key runs nothing.
    search(&mut bench, "undone");
    assert!(!found(&bench).is_empty());
    let before = bench.app().plan().cloned();
    bench.key(Modifiers::NONE, Key::Enter);
    assert!(bench.has("Search for an action"), "it is still open");
    assert_eq!(bench.app().plan().cloned(), before);
    bench.key(Modifiers::NONE, Key::Escape);

    // Nothing typed: the key runs nothing either.
    search(&mut bench, "");
    bench.key(Modifiers::NONE, Key::Enter);
    assert!(bench.has("Search for an action"));
}

#[test]
fn the_opened_block_does_not_go_along_into_the_next_job() {
    let mut bench = Bench::with_ring();
    bench.harness.state_mut().set_open_share(0.6);
    bench.settle();
    let file = bench.folder.path().join("ring.stl");
    bench.open(&file);
    assert_eq!(bench.app().open_share(), 0.0);
    assert!(bench.app().opening_words().is_none() && !bench.app().is_block_open());
}

#[test]
fn a_click_beside_the_part_says_that_nothing_was_hit() {
    let mut bench = Bench::with_ring();
    let beside = bench.app().canvas().rect().left_top() + egui::vec2(30.0, 60.0);
    for (step, tool, words) in [
        ("Feed", "Place gates", "Nothing hit: click the part where resin shall come in"),
        ("Vents", "Place vents", "Nothing hit: click the part where air shall go out"),
        ("Inserts", "Place inserts", "Nothing hit: click the part where the insert stands"),
        ("Hang", "Face to the floor", "Nothing hit: click a face of the part"),
        ("Parting", "Give to half 1", "Nothing hit: stroke over the part"),
    ] {
        bench.go_to(step);
        bench.bring_up(tool);
        bench.click(tool);
        assert!(!bench.says("Nothing hit"));
        bench.click_at(beside);
        assert!(bench.has(words), "{tool}");
        // It goes with the hand.
        bench.harness.hover_at(beside + egui::vec2(200.0, 200.0));
        bench.harness.run_steps(3);
        assert!(!bench.says("Nothing hit"), "{tool}");
    }
    bench.key(Modifiers::NONE, Key::Escape);
    bench.click_at(beside);
    assert!(!bench.says("Nothing hit"), "without a tool a click beside lets go of what was chosen");
}

#[test]
#[ignore = "long"]
fn long_a_sheet_that_was_issued_and_changed_since_says_so() {
    let mut bench = Bench::with_ring();
    bench.click("Propose a whole plan");
    bench.go_to("Sheet");
    bench.click("Issue the sheet");
    assert!(bench.says("Sheet, in order: Revision 1"));
    bench.harness.state_mut().edit("More of them", |p| p.quantity.good += 7);
    bench.settle();
    assert!(bench.says("Sheet, look here: Changed since revision 1"), "{}", holds(bench.app(), Step::Sheet));
    assert!(bench.says("Changed since revision 1: 1 thing"));
    bench.key(Modifiers::COMMAND, Key::Z);
    assert!(bench.says("Sheet, in order: Revision 1"), "undone, it tells the same again");
    // A revision that was only typed is no issue.
    bench.harness.state_mut().edit("Another revision", |p| p.revision = 4);
    bench.settle();
    assert!(bench.says("Sheet, untouched: Revision 4, no issue on record"));
}

#[test]
fn nothing_is_in_order_before_it_was_looked_at() {
    let mut bench = Bench::with_ring();
    assert_eq!(Tick::of(bench.app(), Step::Part), Tick::InOrder);
    bench.harness.state_mut().edit("Another unit", |p| p.notes.push('x'));
    // The change is there, what follows from it is not yet.
    assert_eq!(Tick::of(bench.app(), Step::Part), Tick::Looking);
    assert_eq!(Tick::Looking.words(), "being looked at");
    bench.settle();
    assert_eq!(Tick::of(bench.app(), Step::Part), Tick::InOrder);
}

/// A cap with a flat top hung level keeps a little air at its rim when the block leans: what the card says of it is not
/// that it stays where nothing objects to it.
#[test]
#[ignore = "long"]
fn long_words_over_a_green_tick_do_not_object() {
    let mut bench = Bench::with_mesh("ball", &solids::ball(Vec3::ZERO, 12.0, 3));
    let app = bench.harness.state_mut();
    let top = app.spot_near(Vec3::new(0.0, 0.0, 12.0)).expect("on the ball");
    app.place_vent(top);
    bench.settle();
    let mut seen = 0;
    for mm in [0.0f64, 0.5, 1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0] {
        // The vent moved down from the top, so that more and more air stays above it.
        let out = glam::DVec3::new(mm, 0.0, (144.0 - mm * mm).sqrt());
        bench.harness.state_mut().edit("Lower the vent", |p| {
            p.vents[0].at.position = out;
            p.vents[0].at.normal = out.normalize();
        });
        bench.settle();
        let air = bench.app().known().facts.as_ref().and_then(|f| f.air.clone()).expect("air");
        let (tick, words) = (Tick::of(bench.app(), Step::Vents), holds(bench.app(), Step::Vents));
        let much = air.worst_mm3 >= bench.app().shop().limits.air_pocket_mm3;
        if tick == Tick::InOrder && much {
            seen += 1;
            assert!(words.contains("largest bubble Ø") && words.contains("limit Ø"), "{words}");
            assert!(!words.contains("stays"), "{words}");
        } else if much {
            assert!(words.contains("of air stays"), "{tick:?}: {words}");
        }
    }
    assert!(seen > 0, "some air was left that nothing objects to");
}

#[test]
fn a_notice_tells_a_stop_first_and_covers_no_panel() {
    let mut bench = Bench::with_ring();
    let view = bench.app().canvas().rect();
    let reasons: Vec<String> =
        (0..9).map(|i| format!("Reason number {i}, told at length so that it fills its line")).collect();
    let stop = Some("One Stop is left: it cannot be cut".to_owned());
    bench.harness.state_mut().notices_mut().proposed("Propose a whole plan: done", reasons, stop);
    bench.settle();
    let rect = |bench: &Bench, words: &str| bench.harness.get_by_label(words).rect();
    let (stop, done) = (rect(&bench, "One Stop is left: it cannot be cut"), rect(&bench, "Propose a whole plan: done"));
    assert!(stop.bottom() <= done.top(), "the Stop comes first");
    assert!(!bench.says("Reason number 3"), "reasons are folded");
    let dismiss = rect(&bench, "Dismiss");
    for r in [stop, done, dismiss] {
        assert!(view.contains_rect(r), "{r} in {view}");
    }
    bench.click("Why: 9 reasons");
    assert!(bench.says("Reason number 3"));
    assert!(view.contains_rect(rect(&bench, "Dismiss")));
    assert!(view.contains(pos2(view.center().x, rect(&bench, "Dismiss").center().y)));
}
