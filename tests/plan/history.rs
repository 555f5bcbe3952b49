//! Undo and redo.

use super::any_plan::any_plan;
use mouldbench::plan::history::History;
use mouldbench::plan::{Plan, Quantity};
use proptest::prelude::*;

fn named(name: &str) -> Plan {
    Plan { name: name.into(), ..Plan::default() }
}

#[test]
fn undo_and_redo_speak() {
    let mut h = History::new(named("a"));
    assert_eq!((h.undo_name(), h.redo_name(), h.is_unsaved()), (None, None, false));
    h.edit("rename job", |p| p.name = "b".into());
    assert_eq!((h.undo_name(), h.is_unsaved()), (Some("rename job"), true));
    assert!(h.undo());
    assert_eq!((h.plan().name.as_str(), h.redo_name(), h.is_unsaved()), ("a", Some("rename job"), false));
    assert!(h.redo());
    assert_eq!(h.plan().name, "b");
    assert!(!h.redo());
}

#[test]
fn a_stroke_is_one_point_and_a_stroke_back_is_none() {
    let mut h = History::new(named("a"));
    for good in 11..20 {
        h.stroke("change quantity", |p| p.quantity = Quantity { good, ..Quantity::default() });
    }
    h.settle();
    assert!(h.undo());
    assert_eq!(h.plan().quantity.good, 10);
    assert!(!h.undo());
    h.stroke("change quantity", |p| p.quantity.good = 12);
    h.stroke("change quantity", |p| p.quantity.good = 10);
    h.settle();
    assert_eq!(h.undo_name(), None);
}

#[test]
fn two_strokes_of_one_name_are_two_points() {
    let mut h = History::new(named("a"));
    h.stroke("change quantity", |p| p.quantity.good = 12);
    h.settle();
    h.stroke("change quantity", |p| p.quantity.good = 14);
    h.settle();
    assert!(h.undo());
    assert_eq!(h.plan().quantity.good, 12);
    assert!(h.undo());
    assert_eq!(h.plan().quantity.good, 10);
}

#[test]
fn an_edit_that_changes_nothing_leaves_redo_alone() {
    let mut h = History::new(named("a"));
    h.edit("rename job", |p| p.name = "b".into());
    h.undo();
    h.edit("nothing", |_| {});
    assert!(h.redo());
    assert_eq!(h.plan().name, "b");
}

#[test]
fn undoing_to_the_saved_state_clears_the_mark() {
    let mut h = History::unsaved(named("a"));
    assert!(h.is_unsaved());
    h.mark_saved();
    h.edit("rename job", |p| p.name = "b".into());
    h.mark_saved();
    h.edit("rename job", |p| p.name = "c".into());
    assert!(h.is_unsaved());
    h.undo();
    assert!(!h.is_unsaved());
    h.undo();
    assert!(h.is_unsaved());
}

#[test]
fn the_history_is_bounded_and_the_oldest_falls_away() {
    let mut h = History::new(named("0"));
    for i in 1..=620 {
        h.edit("rename job", |p| p.name = i.to_string());
    }
    let mut undone = 0;
    while h.undo() {
        undone += 1;
    }
    assert_eq!((undone, h.plan().name.as_str()), (500, "120"));
    assert!(h.is_unsaved(), "the saved plan is not among what is left");
    while h.redo() {}
    assert_eq!(h.plan().name, "620");
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    /// Against the plainest model: a list of plans and a place in it.
    #[test]
    fn history_equals_a_list_of_plans(
        plans in prop::collection::vec(any_plan(), 1..8),
        moves in prop::collection::vec(0u8..4, 0..24),
    ) {
        let mut history = History::new(named("start"));
        let (mut list, mut at) = (vec![named("start")], 0usize);
        let mut next = plans.iter().cycle();
        for m in moves {
            match m {
                0 => { prop_assert_eq!(history.undo(), at > 0); at = at.saturating_sub(1); }
                1 => { prop_assert_eq!(history.redo(), at + 1 < list.len()); at = (at + 1).min(list.len() - 1); }
                _ => {
                    let plan = next.next().expect("a plan").clone();
                    if plan != list[at] {
                        list.truncate(at + 1);
                        list.push(plan.clone());
                        at += 1;
                    }
                    history.edit("edit", |p| *p = plan);
                }
            }
            prop_assert_eq!(history.plan(), &list[at]);
        }
    }
}
