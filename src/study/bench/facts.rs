//! All that is known of one plan.

use super::standing_facts::StandingFacts;
use crate::plan::Plan;
use crate::study::air::facts::AirFacts;
use crate::study::job::apart::Between;
use crate::study::job::body::Body;
use crate::study::job::body_shape::BodyShape;
use crate::study::job::cavity::Cavity;
use crate::study::job::channel_strike::Strikes;
use crate::study::job::insert_gap::Passage;
use crate::study::job::setting::Setting;
use crate::study::job::thickness::Thickness;
use crate::study::numbers::facts::NumberFacts;
use crate::study::numbers::insert_holds::InsertHold;
use crate::study::numbers::two_shot::facts::TwoShotFacts;
use crate::study::parting::PartingFacts;
use crate::study::parting::cut::facts::CutFacts;
use crate::study::parting::release::Release;
use crate::study::parting::release::rubber::Rubber;
use crate::study::pour::facts::PourFacts;
use crate::study::pour::feed_ways::FeedWays;
use crate::study::pour::fill::Fill;
use crate::study::pour::flow::Flow;
use std::sync::Arc;

/// The facts of one plan. What is not there is still being computed, or could not be.
#[derive(Clone, Debug)]
pub struct Facts {
    /// Where everything stands.
    pub setting: Setting,
    /// The body of resin.
    pub body: Option<Arc<Body>>,
    /// Trapped air.
    pub air: Option<Arc<AirFacts>>,
    /// The parting.
    pub parting: Option<Arc<PartingFacts>>,
    /// What lets go of what.
    pub release: Option<Arc<Release>>,
    /// How slender the rubber stands.
    pub rubber: Option<Arc<Rubber>>,
    /// Walls.
    pub walls: Option<Arc<Thickness>>,
    /// Flow path; none also where the plan has no gate.
    pub flow: Option<Arc<Flow>>,
    /// The cavity with its channels.
    pub cavity: Option<Arc<Cavity>>,
    /// The ways to feed it.
    pub feed_ways: Option<Arc<FeedWays>>,
    /// How it fills; only where that was asked for.
    pub fill: Option<Arc<Fill>>,
    /// The cut through the block.
    pub cut: Option<Arc<CutFacts>>,
    /// What the body's surface adds up to.
    pub shape: Option<Arc<BodyShape>>,
    /// What holds each insert.
    pub holds: Option<Arc<Vec<InsertHold>>>,
    /// The narrowest way past each insert.
    pub passages: Arc<Vec<Option<Passage>>>,
    /// The rubber between every two parts of a set.
    pub between: Arc<Vec<Between>>,
    /// Where channels meet the part beyond their mouths.
    pub strikes: Option<Arc<Strikes>>,
    /// What follows from how it stands while it is poured.
    pub standing: StandingFacts,
    /// How the parts of a two-shot job meet.
    pub two_shot: Option<TwoShotFacts>,
    /// What the block is poured round: the body, and the hard part of a two-shot job with it where it is loaded.
    pub master: Option<Arc<Body>>,
}

impl Facts {
    /// Facts of which only the setting is there yet.
    pub fn only(setting: Setting) -> Facts {
        Facts {
            setting,
            body: None,
            air: None,
            parting: None,
            release: None,
            rubber: None,
            walls: None,
            flow: None,
            cavity: None,
            feed_ways: None,
            fill: None,
            cut: None,
            shape: None,
            holds: None,
            passages: Arc::default(),
            between: Arc::default(),
            strikes: None,
            standing: StandingFacts::default(),
            two_shot: None,
            master: None,
        }
    }

    /// What of them the pour is judged by.
    pub fn for_pour(&self) -> PourFacts<'_> {
        PourFacts {
            setting: &self.setting,
            body: self.body.as_deref(),
            air: self.air.as_deref(),
            walls: self.walls.as_deref(),
            fill: self.fill.as_deref(),
        }
    }

    /// What of them the numbers of the bench are made from.
    pub fn for_numbers(&self) -> NumberFacts<'_> {
        NumberFacts {
            setting: &self.setting,
            body: self.body.as_deref(),
            master: self.master.as_deref(),
            shape: self.shape.as_deref(),
            cavity: self.cavity.as_deref(),
            parting: self.parting.as_deref(),
            release: self.release.as_deref(),
            rubber: self.rubber.as_deref(),
            holds: self.holds.as_deref().map(Vec::as_slice),
            passages: &self.passages,
            two_shot: self.two_shot.as_ref(),
            pour: self.for_pour(),
        }
    }

    /// True where nothing is still being computed for `plan`.
    pub fn are_complete(&self, plan: &Plan) -> bool {
        self.body.is_some()
            && self.air.is_some()
            && self.parting.is_some()
            && self.release.is_some()
            && self.rubber.is_some()
            && self.walls.is_some()
            && (self.flow.is_some() || plan.feed.gates.is_empty())
            && self.cavity.is_some()
            && self.feed_ways.is_some()
            && self.cut.is_some()
            && self.shape.is_some()
            && self.holds.is_some()
            && self.standing.are_complete()
            && self.two_shot.is_some()
            && self.master.is_some()
            && self.strikes.is_some()
    }
}
