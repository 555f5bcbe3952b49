//! Issues of the sheet: what each one told, so that the next can say what was changed since.

use super::{Plan, Stage, file};
use crate::mesh::read_stl::digest_of;
use serde::{Deserialize, Serialize};

/// Issues that a plan keeps; older ones are of no use at the bench.
pub const KEPT: usize = 3;
/// Decisions that an issue may hold.
pub const MOST_DECISIONS: usize = 5000;
/// Most that a let-up may have drawn, mm³: set here, ten litres.
pub const MOST_DRAWN_MM3: f64 = 1e7;

/// One issue of the sheet.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Issue {
    /// Its revision.
    pub revision: u32,
    /// Its date, `YYYY-MM-DD`.
    pub date: String,
    /// What it told, in words: one entry a thing.
    #[serde(default)]
    pub decisions: Vec<Decision>,
    /// Digest of the plan that was issued, as [`digest_of_decided`] gives it; empty in files that knew none.
    #[serde(default)]
    pub plan: String,
    /// What letting the chamber up draws into the block, mm³, where the issued weights were those of a fill that was followed.
    #[serde(default)]
    pub draws_mm3: Option<f64>,
}

/// Digest of all that was decided in a plan, lower-case hexadecimal. What happens to a plan after its issue without changing
/// what is made is left out: the stage, the log of casts, the issues themselves, and the folder that a mesh lies in.
pub fn digest_of_decided(plan: &Plan) -> String {
    let mut plan = Plan {
        revision: 0,
        revision_date: String::new(),
        stage: Stage::default(),
        unlocked: Vec::new(),
        issues: Vec::new(),
        log: Vec::new(),
        ..plan.clone()
    };
    plan.parts.iter_mut().for_each(|part| part.mesh.clear());
    if let Some(second) = &mut plan.second_shot {
        second.mesh.clear();
    }
    digest_of(file::to_text(&plan).as_bytes())
}

impl Plan {
    /// What was kept of the issue that bears the plan's own revision.
    pub fn own_issue(&self) -> Option<&Issue> {
        self.issues.iter().find(|i| i.revision == self.revision)
    }

    /// What was kept of that issue, as long as the plan is still the one that was issued.
    pub fn as_issued(&self) -> Option<&Issue> {
        self.own_issue().filter(|i| !i.plan.is_empty() && i.plan == digest_of_decided(self))
    }
}

/// What one thing was, in words.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Decision {
    /// The thing, such as a vent by its number.
    pub what: String,
    /// How it was.
    pub how: String,
}
