//! Findings: opened they say why; a remedy is an edit that can be undone.

use super::bench::Bench;
use egui::{Key, Modifiers};
use mouldbench::study::findings::Step;

#[test]
fn a_plan_without_a_gate_offers_to_put_one() {
    let mut bench = Bench::with_ring();
    bench.clear_plan();
    bench.go_to("Feed");
    let finding = bench.app().known().findings_of(Step::Feed).next().expect("no gate is a finding").clone();
    bench.click_start(&format!("Stop: {}", finding.message));
    assert!(bench.says(&finding.why), "opened it says why");
    let label = finding.remedies.first().expect("the program can do something").label();
    bench.click(&label);
    assert!(!bench.app().plan().expect("a plan").feed.gates.is_empty());
    bench.key(Modifiers::COMMAND, Key::Z);
    assert!(bench.app().plan().expect("a plan").feed.gates.is_empty());
}

#[test]
fn proposing_makes_a_whole_plan_in_one_edit() {
    let mut bench = Bench::with_ring();
    bench.clear_plan();
    let bare = bench.app().plan().expect("a plan").clone();
    bench.click("Propose a whole plan");
    let plan = bench.app().plan().expect("a plan").clone();
    assert!(!plan.feed.gates.is_empty() && !plan.vents.is_empty());
    assert!(bench.says("Undo propose a whole plan"));
    bench.picture("proposed");
    let room = bench.app().canvas().rect().height();
    assert!(room > 600.0, "the reasons leave the part its room: {room} points");
    bench.key(Modifiers::COMMAND, Key::Z);
    assert_eq!(bench.app().plan(), Some(&bare));
}

#[test]
fn a_finding_is_counted_elsewhere_and_leads_there() {
    let mut bench = Bench::with_ring();
    bench.clear_plan();
    bench.go_to("Part");
    assert!(bench.says("Open elsewhere"));
    let n = bench
        .app()
        .known()
        .findings_of(Step::Feed)
        .filter(|f| f.severity != mouldbench::study::findings::finding::Severity::Note)
        .count();
    bench.click(&format!("Feed {n}"));
    assert_eq!(bench.app().step(), Step::Feed);
}

#[test]
#[ignore = "long"]
fn long_proposing_the_hang_changes_nothing_but_the_hang() {
    let mut bench = Bench::with_ring();
    let before = bench.app().plan().expect("a plan").clone();
    // Hung on its side first, so that there is something to find.
    bench.go_to("Hang");
    bench.click("+X");
    let on_its_side = bench.app().plan().expect("a plan").clone();
    assert_ne!(on_its_side.hang, before.hang);
    bench.click("Propose the hang");
    let after = bench.app().plan().expect("a plan").clone();
    assert_ne!(after.hang, on_its_side.hang);
    assert_eq!(mouldbench::plan::Plan { hang: on_its_side.hang, ..after }, on_its_side);
    assert!(bench.says("Undo propose the hang"));
}

#[test]
fn an_opened_finding_shows_a_section_of_the_part_through_its_place() {
    let mut bench =
        Bench::with_mesh("plate", &mouldbench::mesh::solids::cuboid(glam::Vec3::ZERO, glam::Vec3::splat(20.0)));
    bench.go_to("Vents");
    assert!(!bench.says("Section of the part"));
    bench.click_start("Stop: A high point");
    assert!(bench.says("Section of the part through this place"));
    assert!(bench.says("the air that stays is filled in"));
    bench.click_start("Stop: A high point");
    assert!(!bench.says("Section of the part"));
}
