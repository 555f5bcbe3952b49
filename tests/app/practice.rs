//! Practice, driven by accessible label: answers hidden, the pour, the judgement, and the job that comes back.

use super::bench::Bench;
use egui::{Key, Modifiers, vec2};
use glam::{DVec3, Vec3};
use mouldbench::mesh::solids;
use mouldbench::plan::Spot;

fn spot(at: [f64; 3], normal: DVec3) -> Spot {
    Spot { part: 0, position: DVec3::from(at), normal }
}

#[test]
#[ignore = "long"]
fn long_an_exercise_hides_its_answers_until_it_is_poured_and_then_tells_them() {
    let mut bench = Bench::new(vec2(1400.0, 900.0));
    bench.click("Battery step");
    assert!(bench.says("Practice 1 of 3"));
    // Nothing that the program knows of the air is to be seen.
    for step in ["Hang", "Feed", "Vents"] {
        bench.go_to(step);
        for answer in
            ["Findings", "Air that stays", "Propose vents", "Propose the feed", "Propose the hang", "of air stays"]
        {
            assert!(!bench.says(answer), "{answer} at {step}");
        }
    }
    assert!(!bench.has("Parting") && !bench.says("Sheet, "), "practice is about hang, feed and vents");
    let app = bench.app();
    assert!(app.known().facts.as_ref().is_some_and(|f| f.air.is_none()) && app.known().findings.is_empty());
    // Without a gate nothing can be poured.
    bench.click("Pour");
    assert!(bench.app().practice().is_some_and(|p| p.hides_answers()));

    let app = bench.harness.state_mut();
    app.place_gate(spot([30.0, 20.0, 0.0], DVec3::NEG_Z));
    app.place_vent(spot([45.0, 20.0, 40.0], DVec3::Z));
    bench.settle();
    bench.go_to("Vents");
    bench.click("Pour");
    let marks = bench.app().practice().and_then(|p| p.marks()).expect("judged");
    assert_eq!(marks.pockets.iter().filter(|p| p.caught).count(), 1);
    for said in [format!("{} of 100 points", marks.score), "1 of 2".into(), "No vent in this pocket: 6.0 cm³".into()] {
        assert!(bench.says(&said), "{said}");
    }
    assert!(bench.has("Yours") && bench.has("Computed"));
    assert!(bench.app().known().facts.as_ref().is_some_and(|f| f.air.is_some()), "all is told now");

    // The computed plan beside it, and back.
    let mine = bench.app().plan().cloned();
    bench.click("Show the computed plan");
    assert!(bench.app().plan().is_some_and(|p| Some(p) != mine.as_ref() && !p.vents.is_empty()));
    assert!(bench.says(&format!("{} of 100 points", marks.score)), "the judgement stays that of the apprentice");
    let computed = bench.app().plan().cloned();
    bench.click("Show your plan");
    assert_eq!(bench.app().plan().cloned(), mine);

    // Undo leads to no answer: looking at the computed plan was no edit, and trying again hides it.
    let computed = computed.expect("a plan");
    let named = |bench: &Bench| bench.app().document().and_then(|d| d.history.undo_name()).map(str::to_owned);
    assert!(named(&bench).is_some_and(|n| n.starts_with("Put ")), "{:?}", named(&bench));
    assert!(!bench.says("findings are shown after the pour") && bench.has("Next: Cable bridge"));
    bench.click("Try again");
    assert!(bench.app().hides_answers() && bench.says("findings are shown after the pour"));
    let mut steps = 0;
    while named(&bench).is_some() {
        bench.key(Modifiers::COMMAND, Key::Z);
        steps += 1;
        assert!(bench.app().plan() != Some(&computed) && bench.app().hides_answers());
    }
    for _ in 0..steps {
        bench.key(Modifiers::COMMAND | Modifiers::SHIFT, Key::Z);
    }
    assert_eq!(bench.app().plan().cloned(), mine);
    bench.click("Pour");

    // The plan is changed: answers go, and come with the next pour.
    bench.harness.state_mut().place_vent(spot([15.0, 20.0, 25.0], DVec3::Z));
    bench.settle();
    assert!(bench.app().practice().is_some_and(|p| p.hides_answers()));
    assert!(bench.app().known().facts.as_ref().is_some_and(|f| f.air.is_none()));
    bench.click("Pour");
    let better = bench.app().practice().and_then(|p| p.marks()).expect("judged");
    assert!(better.score > marks.score && better.pockets.iter().all(|p| p.caught));
    bench.click("Next: Cable bridge");
    assert!(bench.says("Practice 2 of 3") && bench.app().hides_answers());
    bench.click("End practice");
    assert!(bench.has("Open the demo job"), "there was no job before");
}

#[test]
#[ignore = "long"]
fn long_a_part_of_ones_own_is_poured_and_compared() {
    let mut bench = Bench::with_mesh("plate", &solids::cuboid(Vec3::ZERO, Vec3::new(40.0, 20.0, 6.0)));
    bench.harness.state_mut().perform(mouldbench::app::action::Action::PractiseHere);
    bench.settle();
    assert!(bench.says("Practice on this part") && !bench.says("Master") && !bench.has("Findings"));
    let app = bench.harness.state_mut();
    app.place_gate(spot([20.0, 10.0, 0.0], DVec3::NEG_Z));
    app.place_vent(spot([20.0, 10.0, 6.0], DVec3::Z));
    bench.settle();
    bench.click("Pour");
    let marks = bench.app().practice().and_then(|p| p.marks()).expect("judged");
    // One flat top, vented in the middle: level all leaves, leaning a wedge stays.
    assert!(marks.pockets.iter().all(|p| p.caught) && marks.yours.worst_mm3 > 100.0, "{marks:?}");
    assert!(marks.score < 90 && marks.computed.points.is_some_and(|p| p > marks.score), "{marks:?}");
    for said in ["Yours", "Computed", "Points", "Bubble, leaning"] {
        assert!(bench.has(said), "{said}");
    }
    assert!(!bench.says("Next: "), "it is no exercise");
    bench.click("Show the computed plan");
    let shown = bench.app().plan().cloned();
    // The computed plan is to be looked at; what is changed is one's own.
    bench.harness.state_mut().edit("Take all vents out", |p| p.vents.clear());
    bench.settle();
    assert!(bench.app().plan().is_some_and(|p| Some(p) != shown.as_ref() && p.vents.len() == 1));
}

#[test]
#[ignore = "long"]
fn long_the_open_job_comes_back_with_its_history_and_stays_unsaved_work() {
    let mut bench = Bench::with_mesh("plate", &solids::cuboid(Vec3::ZERO, Vec3::new(40.0, 20.0, 6.0)));
    bench.harness.state_mut().place_vent(spot([20.0, 10.0, 6.0], DVec3::Z));
    bench.settle();
    bench.go_to("Block");
    let before = bench.app().plan().cloned().expect("a plan");
    bench.harness.state_mut().perform(mouldbench::app::action::Action::PractiseHere);
    bench.settle();
    let plan = bench.app().plan().expect("a plan to practise on");
    assert!(plan.vents.is_empty() && plan.parts == before.parts);
    // Saving and proposing wait until it is over.
    bench.key(Modifiers::COMMAND, Key::S);
    bench.key(Modifiers::COMMAND, Key::Enter);
    assert!(!bench.app().is_asking() && bench.app().plan().is_some_and(|p| p.vents.is_empty()));
    bench.harness.state_mut().place_vent(spot([1.0, 10.0, 6.0], DVec3::Z));
    bench.settle();
    bench.click("End practice");
    let app = bench.app();
    assert_eq!(app.plan(), Some(&before));
    assert_eq!(app.step(), mouldbench::study::findings::Step::Block);
    let history = &app.document().expect("the job").history;
    assert!(history.is_unsaved() && history.undo_name() == Some("Put vent 1"));
    assert!(app.known().facts.as_ref().is_some_and(|f| f.air.is_some()));

    // The window is closed in the middle of practice: the job itself is unsaved work at the next start.
    bench.harness.state_mut().perform(mouldbench::app::action::Action::Practise(1));
    bench.settle();
    bench.harness.state_mut().leave();
    let kept = std::fs::read_dir(bench.folder.path().join("data/unsaved")).expect("a folder").flatten();
    let kept = kept.map(|e| e.path()).find(|p| p.extension().is_some_and(|x| x == "ron")).expect("a copy");
    assert_eq!(mouldbench::plan::file::read(&kept).expect("kept"), before);
}
