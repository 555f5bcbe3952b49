//! What of a plan's facts the numbers of the bench are made from.

use crate::study::job::body::Body;
use crate::study::job::body_shape::BodyShape;
use crate::study::job::cavity::Cavity;
use crate::study::job::insert_gap::Passage;
use crate::study::job::setting::Setting;
use crate::study::numbers::insert_holds::InsertHold;
use crate::study::numbers::two_shot::facts::TwoShotFacts;
use crate::study::parting::PartingFacts;
use crate::study::parting::release::Release;
use crate::study::parting::release::rubber::Rubber;
use crate::study::pour::facts::PourFacts;

/// The facts that the numbers are made from. What is not there is still being computed, or could not be.
#[derive(Clone, Copy, Debug)]
pub struct NumberFacts<'a> {
    /// Where everything stands.
    pub setting: &'a Setting,
    /// The body of resin.
    pub body: Option<&'a Body>,
    /// What the block is poured round.
    pub master: Option<&'a Body>,
    /// What the body's surface adds up to.
    pub shape: Option<&'a BodyShape>,
    /// The cavity with its channels.
    pub cavity: Option<&'a Cavity>,
    /// The parting.
    pub parting: Option<&'a PartingFacts>,
    /// What lets go of what.
    pub release: Option<&'a Release>,
    /// How slender the rubber stands.
    pub rubber: Option<&'a Rubber>,
    /// What holds each insert.
    pub holds: Option<&'a [InsertHold]>,
    /// The narrowest way past each insert.
    pub passages: &'a [Option<Passage>],
    /// How the parts of a two-shot job meet.
    pub two_shot: Option<&'a TwoShotFacts>,
    /// What the pour is judged by.
    pub pour: PourFacts<'a>,
}
