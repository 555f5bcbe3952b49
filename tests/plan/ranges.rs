//! Every number of a plan has its range, and what lies beyond it is refused with file, line, field and limit.

use super::any_plan::any_plan;
use super::mutation::{Chance, mutated, numbers};
use mouldbench::plan::file::{self, PlanFileError};
use mouldbench::plan::{Plan, faults};
use proptest::strategy::{Strategy, ValueTree};
use proptest::test_runner::TestRunner;
use std::path::Path;

/// Plans that hold together something of everything.
fn full_plans() -> Vec<Plan> {
    let mut runner = TestRunner::deterministic();
    let mut plans: Vec<Plan> = Vec::new();
    let mut draw = || any_plan().new_tree(&mut runner).expect("a plan").current();
    let rich = |p: &Plan| {
        let lists = !p.feed.gates.is_empty() && !p.vents.is_empty() && !p.inserts.is_empty() && !p.shown.is_empty();
        lists && !p.log.is_empty() && p.materials.silicone.is_some() && p.block.wall_mm.is_some()
    };
    // One with another shot, and one with two parts and one of them wanted.
    for two_shots in [true, false] {
        let fits = |p: &Plan| match &p.second_shot {
            Some(s) => two_shots && s.wait_s.is_some() && s.resin.is_some(),
            None => !two_shots && !p.feed.gates.is_empty() && p.parts.iter().any(|p| p.wanted.is_some()),
        };
        let found = (0..5000).map(|_| draw()).find(|p| fits(p) && (!two_shots || rich(p)));
        plans.push(found.expect("such a plan"));
    }
    plans
}

fn refusal(text: &str) -> Option<PlanFileError> {
    file::from_text(text, Path::new("beyond.ron")).err()
}

#[test]
fn every_number_beyond_reason_is_refused_with_file_line_field_and_limit() {
    let mut tried = 0;
    for plan in full_plans() {
        assert_eq!(faults::first_fault(&plan), None);
        let text = file::to_text(&plan);
        for number in numbers(&text) {
            let line = text[..number.start].matches('\n').count() + 1;
            let is_whole = text[number.clone()].bytes().all(|b| b.is_ascii_digit());
            let beyond: &[&str] = if is_whole { &["4000000000"] } else { &["1e300", "-1e300", "NaN", "inf"] };
            for value in beyond {
                let spoilt = format!("{}{value}{}", &text[..number.start], &text[number.end..]);
                let before = text.lines().nth(line - 1).unwrap_or_default();
                let error = refusal(&spoilt).unwrap_or_else(|| panic!("line {line} was taken with {value}: {before}"));
                let PlanFileError::Value { line: told, fault, .. } = &error else { panic!("{before}: {error}") };
                // Of three numbers in a row the row may be meant, never another line.
                let near = (line.saturating_sub(1)..=line).contains(told);
                assert!(near, "line {line} with {value}, told as {told}: {before}\n{error}");
                let words = error.to_string();
                assert!(words.contains("beyond.ron") && fault.starts_with('`'), "{words}");
                let limit = ["must lie between", "must be", "no such gate", "counted from 0"];
                assert!(limit.iter().any(|l| fault.contains(l)), "{words}");
                tried += 1;
            }
        }
    }
    assert!(tried > 1000, "{tried}");
}

#[test]
fn a_refusal_names_the_very_field() {
    let [plan, _] = &full_plans()[..] else { panic!("two plans") };
    let mut plan = plan.clone();
    plan.feed.gates.truncate(1);
    plan.feed.gates[0].joins = None;
    plan.feed.gates[0].land_mm = 1e300;
    let text = file::to_text(&plan);
    let (row, line) = text.lines().enumerate().find(|(_, l)| l.contains("land_mm")).expect("the field");
    match refusal(&text).expect("refused") {
        PlanFileError::Value { line: told, column, fault, .. } => {
            assert_eq!((told, column), (row + 1, line.find("land_mm").expect("there") + 1));
            assert!(fault.starts_with("`feed.gates[0].land_mm`"), "{fault}");
            assert!(fault.contains("1e300 mm") && fault.contains("between 0.001 and 2000 mm"), "{fault}");
        }
        other => panic!("{other}"),
    }
}

#[test]
fn materials_in_a_plan_are_checked_as_the_shops_are() {
    let cases: [(fn(&mut Plan), &str); 6] = [
        (|p| resin(p).density_g_cm3 = -357.0, "materials.resin.density_g_cm3"),
        (|p| resin(p).pot_life_s = f64::NAN, "materials.resin.pot_life_s"),
        (|p| resin(p).tool_life = (30, 15), "materials.resin.tool_life[0]"),
        (|p| silicone(p).loss_share = 1.0, "materials.silicone.loss_share"),
        (|p| silicone(p).warm_cures[0].0 = 5.0, "materials.silicone.warm_cures[0][0]"),
        (|p| silicone(p).foam_factor = 0.0, "materials.silicone.foam_factor"),
    ];
    for (spoil, field) in cases {
        let mut plan = full_plans().swap_remove(0);
        spoil(&mut plan);
        let error = refusal(&file::to_text(&plan)).unwrap_or_else(|| panic!("{field} was taken")).to_string();
        assert!(error.contains(&format!("`{field}`")) && error.contains("beyond.ron"), "{error}");
    }
}

fn resin(plan: &mut Plan) -> &mut mouldbench::shop::Resin {
    plan.materials.resin.as_mut().expect("a resin")
}

fn silicone(plan: &mut Plan) -> &mut mouldbench::shop::Silicone {
    plan.materials.silicone.as_mut().expect("a silicone")
}

/// Reads `count` mutated plans; what is taken must be sound, what is not must be told with the file.
fn read_mutated(count: usize, seed: u64) -> (usize, usize) {
    let mut chance = Chance(seed);
    let mut texts: Vec<String> = full_plans().iter().map(file::to_text).collect();
    for demo in ["handle", "ring"] {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("projects/{demo}.ron"));
        texts.push(std::fs::read_to_string(path).expect("a demo plan"));
    }
    let (mut taken, mut refused) = (0, 0);
    for i in 0..count {
        let text = mutated(&texts[i % texts.len()], &mut chance);
        match file::from_text(&text, Path::new("mutated.ron")) {
            Ok(plan) => {
                assert_eq!(faults::first_fault(&plan), None);
                taken += 1;
            }
            Err(e) => {
                assert!(e.to_string().contains("mutated.ron"), "{e}");
                refused += 1;
            }
        }
    }
    (taken, refused)
}

#[test]
fn mutated_plans_are_read_or_refused_and_nothing_else() {
    let (taken, refused) = read_mutated(2000, 1);
    assert!(taken > 100 && refused > 1000, "{taken} taken, {refused} refused");
}

/// Run by hand: `MUTATED=1000000 SEED=7 cargo test -- --ignored read_plans_mutated_by_the_million --nocapture`.
#[test]
#[ignore = "long"]
fn read_plans_mutated_by_the_million() {
    let of = |name: &str, usual: u64| std::env::var(name).ok().and_then(|n| n.parse().ok()).unwrap_or(usual);
    println!("{:?} taken and refused", read_mutated(of("MUTATED", 100_000) as usize, of("SEED", 7)));
}
