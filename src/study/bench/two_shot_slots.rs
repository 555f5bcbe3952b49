//! What is kept of a two-shot job.

use crate::mesh::Bounds;
use crate::plan::{Attitude, Shot};
use crate::study::bench::slot::Slot;
use crate::study::job::body::Body;
use crate::study::job::other_shot::{Other, OtherKey};
use crate::study::numbers::two_shot::hold::Hold;
use crate::study::numbers::two_shot::{Meeting, Near};
use glam::Vec3;

/// What the meeting depends on: this block's body, the other part, which of the two is the hard one, and what touches.
pub(super) type MeetingKey = (u64, u64, Shot, Near);

/// What the hold depends on: the meeting, and the axes of the box.
pub(super) type HoldKey = (MeetingKey, [Vec3; 3]);

/// The cached ones.
#[derive(Clone, Debug, Default)]
pub(super) struct TwoShotSlots {
    pub(super) other: Slot<OtherKey, Other>,
    pub(super) upright: Slot<(u64, Attitude), Bounds>,
    pub(super) meeting: Slot<MeetingKey, Meeting>,
    pub(super) hold: Slot<HoldKey, Hold>,
    pub(super) master: Slot<MeetingKey, Body>,
}
