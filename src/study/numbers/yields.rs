//! What shots give of each kind of part.

use crate::plan::Plan;
use serde::Serialize;

/// What shots give of one kind of part.
#[derive(Clone, Debug, Default, Serialize)]
pub struct YieldReport {
    /// What the kind is called.
    pub kind: String,
    /// Parts of it in one shot.
    pub a_shot: u32,
    /// Good parts of it that are wanted.
    pub wanted: u32,
    /// Good shots that give them.
    pub shots: u32,
}

/// What shots of `plan` give.
pub fn yields(plan: &Plan) -> Vec<YieldReport> {
    plan.kinds()
        .iter()
        .map(|k| YieldReport { kind: k.name.clone(), a_shot: k.a_shot(), wanted: k.wanted, shots: k.shots() })
        .collect()
}
