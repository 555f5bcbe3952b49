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
        .filter(|f| f.severity != mouldbench::study::report::Severity::Note)
        .count();
    bench.click(&format!("Feed {n}"));
    assert_eq!(bench.app().step(), Step::Feed);
}
