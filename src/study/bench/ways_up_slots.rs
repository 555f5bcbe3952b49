//! What is kept of the search for a way up.

use crate::study::bench::slot::Slot;
use crate::study::ways_up::subject::{Each, OneKey, SubjectKey};
use crate::study::ways_up::{self, HangSearch};
use glam::Vec3;
use std::sync::Arc;

/// What the search depends on: what it is made on, and what is asked.
pub(super) type HangKey = (SubjectKey, ways_up::Asked);

/// The cached ones. Those of a set have slots of their own, since the plan's would be emptied by each other.
#[derive(Clone, Debug, Default)]
pub(super) struct WaysUp {
    pub(super) set: Slot<Vec<OneKey>, Arc<Vec<Each>>>,
    pub(super) hangs: Slot<HangKey, HangSearch>,
    pub(super) hung: Slot<(HangKey, Vec3), HangSearch>,
}
