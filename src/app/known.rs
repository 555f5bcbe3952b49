//! What the window knows of the job: the newest facts, and whether they are of the plan as it is now.

use crate::mesh::Bounds;
use crate::plan::Plan;
use crate::study::bench::{Facts, StandingFacts};
use crate::study::findings::finding::Severity;
use crate::study::findings::{Finding, Step};
use crate::study::job::setting::Setting;
use crate::study::parting::PartingFacts;
use crate::study::report::Report;
use std::sync::Arc;

/// How what the sheet would tell now stands to what was told when its revision was issued.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum SinceIssue {
    /// The plan holds no record of an issue of its revision.
    #[default]
    NoRecord,
    /// It tells the same.
    Same,
    /// It tells something else: a line for each thing.
    Changed(Vec<String>),
}

/// Facts and judgements of one version of the plan.
#[derive(Clone, Debug, Default)]
pub struct Known {
    /// The version of the document that this follows from; 0 for nothing yet.
    pub version: u64,
    /// The plan that this follows from.
    pub plan: Arc<Plan>,
    /// The facts so far.
    pub facts: Option<Arc<Facts>>,
    /// The box round each part in `work`, and after them that of the other shot's.
    pub part_bounds: Vec<Bounds>,
    /// Judgements on the facts so far, worst first.
    pub findings: Vec<Finding>,
    /// The whole record, once every fact is there.
    pub report: Option<Arc<Report>>,
    /// How the sheet stands to the last issue of its revision; looked at once every fact is there.
    pub since_issue: SinceIssue,
    /// Why there are no facts, or not all of them, in words.
    pub trouble: Option<String>,
    /// True where nothing is still being computed.
    pub complete: bool,
    /// The last parting of the same parts, while the new one is being computed.
    pub last_parting: Option<Arc<PartingFacts>>,
}

impl Known {
    /// True where the parts are read.
    pub fn has_part(&self) -> bool {
        self.facts.is_some()
    }

    /// Where everything stands.
    pub fn setting(&self) -> Option<&Setting> {
        self.facts.as_ref().map(|f| &f.setting)
    }

    /// The parting that is drawn, and whether it is still that of an older plan.
    pub fn parting_to_draw(&self) -> Option<(&Arc<PartingFacts>, bool)> {
        let now = self.facts.as_ref().and_then(|f| f.parting.as_ref()).map(|p| (p, false));
        now.or(self.last_parting.as_ref().map(|p| (p, true)))
    }

    /// The same without anything that tells where air stays, what resin does, or what is judged of it.
    pub fn without_answers(&self) -> Known {
        let facts = self.facts.as_deref().map(|f| {
            let facts = Facts { air: None, flow: None, fill: None, feed_ways: None, ..f.clone() };
            Arc::new(Facts { standing: Default::default(), ..facts })
        });
        Known { facts, findings: Vec::new(), report: None, ..self.clone() }
    }

    /// The same with no more than the air that rising resin comes to: how it ends is told once it is up.
    pub fn while_poured(&self) -> Known {
        let facts = self.facts.as_deref().map(|f| {
            let standing = StandingFacts { basins: f.standing.basins.clone(), ..Default::default() };
            Arc::new(Facts { flow: None, fill: None, feed_ways: None, standing, ..f.clone() })
        });
        Known { facts, findings: Vec::new(), report: None, ..self.clone() }
    }

    /// Keeps the parting of what was known before, while there is none yet for the same parts.
    pub fn keep_parting_of(&mut self, before: &Known) {
        let same_parts = match (self.setting(), before.setting()) {
            (Some(a), Some(b)) => a.placed.id == b.placed.id,
            _ => false,
        };
        let none_yet = self.facts.as_ref().is_some_and(|f| f.parting.is_none()) && !self.complete;
        if same_parts && none_yet {
            self.last_parting = before.parting_to_draw().map(|p| p.0.clone());
        }
    }

    /// The judgements that belong to a step, worst first.
    pub fn findings_of(&self, step: Step) -> impl Iterator<Item = &Finding> {
        self.findings.iter().filter(move |f| f.step == step)
    }

    /// The worst judgement of a step.
    pub fn worst_of(&self, step: Step) -> Option<Severity> {
        self.findings_of(step).map(|f| f.severity).min()
    }
}
