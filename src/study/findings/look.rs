//! What a rule looks at.

use crate::mesh::check::ProblemKind;
use crate::plan::Plan;
use crate::shop::Shop;
use crate::study::bench::Facts;
use crate::study::findings::finding::Finding;
use crate::study::numbers::of_bench::BenchNumbers;

/// What a rule looks at.
#[derive(Clone, Copy)]
pub struct Look<'a> {
    /// The plan.
    pub plan: &'a Plan,
    /// The shop.
    pub shop: &'a Shop,
    /// The facts that are there.
    pub facts: &'a Facts,
    /// The numbers of the bench that follow from them.
    pub numbers: &'a BenchNumbers,
}

/// True for the first part of each kind: what is wrong with its mesh is said once.
pub(super) fn is_first_of_kind(plan: &Plan, i: usize) -> bool {
    plan.kinds().iter().any(|k| k.parts[0] == i)
}

/// A finding for each kind of part whose mesh has a problem of `kind`; `make` gets its words.
pub(super) fn of_meshes(look: &Look, kind: ProblemKind, make: impl Fn(String) -> Finding) -> Vec<Finding> {
    let placed = &look.facts.setting.placed;
    let mut findings = Vec::new();
    for (i, loaded) in placed.loaded.iter().enumerate().filter(|(i, _)| is_first_of_kind(look.plan, *i)) {
        if let Some(problem) = loaded.check.problem(kind) {
            let place = problem
                .places
                .first()
                .map(|p| placed.work_from_part[i].transform_point3(p.as_dvec3() + loaded.centre).as_vec3());
            findings.push(Finding { place, ..make(format!("{}: {}", look.plan.part_title(i), problem.message())) });
        }
    }
    findings
}
