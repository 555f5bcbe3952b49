//! The facts of a two-shot job.

use crate::study::numbers::two_shot::Meeting;
use crate::study::numbers::two_shot::hold::Hold;
use std::sync::Arc;

/// The facts of one plan; all of them none where there is one shot, or where the other part cannot be compared.
#[derive(Clone, Debug, Default)]
pub struct TwoShotFacts {
    /// How both parts meet.
    pub meeting: Option<Arc<Meeting>>,
    /// What holds the hard cast in this block; none where it makes the hard one.
    pub hold: Option<Arc<Hold>>,
}
