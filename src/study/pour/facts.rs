//! What of a plan's facts the pour is judged by.

use crate::study::air::facts::AirFacts;
use crate::study::job::body::Body;
use crate::study::job::setting::Setting;
use crate::study::job::thickness::Thickness;
use crate::study::pour::fill::Fill;

/// The facts that a pour is judged by. What is not there is still being computed, or could not be.
#[derive(Clone, Copy, Debug)]
pub struct PourFacts<'a> {
    /// Where everything stands.
    pub setting: &'a Setting,
    /// The body of resin.
    pub body: Option<&'a Body>,
    /// Trapped air.
    pub air: Option<&'a AirFacts>,
    /// Walls.
    pub walls: Option<&'a Thickness>,
    /// How it fills; only where that was asked for.
    pub fill: Option<&'a Fill>,
}
