//! Facts of a two-shot job: the other part, how both meet, what the tool is poured round, what holds the hard cast.

use super::{Bench, Setting, StudyError};
use crate::mesh::Bounds;
use crate::mesh::measure::Measures;
use crate::mesh::tree::Tree;
use crate::plan::{Attitude, Plan, Shot};
use crate::solve::run::Run;
use crate::study::body::Body;
use crate::study::placed::{Placed, fresh_id};
use crate::study::slot::Slot;
use crate::study::two_shot::faceted::Faceted;
use crate::study::two_shot::hold::Hold;
use crate::study::two_shot::joined::joined;
use crate::study::two_shot::other::{Other, OtherKey};
use crate::study::two_shot::{Meeting, Near};
use glam::{DVec3, Vec3};
use std::sync::Arc;

/// What the meeting depends on: this block's body, the other part, which of the two is the hard one, and what touches.
type MeetingKey = (u64, u64, Shot, Near);
/// What the hold depends on: the meeting, and the axes of the box.
type HoldKey = (MeetingKey, [Vec3; 3]);

/// The cached ones.
#[derive(Clone, Debug, Default)]
pub(super) struct TwoShotSlots {
    other: Slot<OtherKey, Other>,
    upright: Slot<(u64, Attitude), Bounds>,
    meeting: Slot<MeetingKey, Meeting>,
    hold: Slot<HoldKey, Hold>,
    master: Slot<MeetingKey, Body>,
}

/// The facts of one plan; all of them none where there is one shot, or where the other part cannot be compared.
#[derive(Clone, Debug, Default)]
pub struct TwoShotFacts {
    /// How both parts meet.
    pub meeting: Option<Arc<Meeting>>,
    /// What holds the hard cast in this block; none where it makes the hard one.
    pub hold: Option<Arc<Hold>>,
}

impl Bench {
    /// The other shot's part in its place, or why it is not there; none where there is one shot.
    pub(super) fn other_part(&self, plan: &Plan, placed: &Placed) -> Option<Result<Arc<Other>, String>> {
        let second = plan.second_shot.as_ref()?;
        Some(self.load_known(&second.mesh, &second.digest, second.unit).map_err(|e| e.to_string()).map(|loaded| {
            let key = (loaded.id, second.pose, placed.origin_in_set);
            let placed = self.two_shot.other.get_or(key, || {
                Ok::<_, std::convert::Infallible>(Other::place(loaded, &second.pose, placed.origin_in_set))
            });
            placed.unwrap_or_else(|never| match never {})
        }))
    }

    /// The box round a part that stands in this block with the plan's own, about the origin of `work` with the axes of the
    /// box.
    pub(super) fn other_upright(&self, plan: &Plan, other: &Other) -> Bounds {
        let key = (other.id, plan.hang.rubber);
        let made = self.two_shot.upright.get_or(key, || {
            let turn = crate::study::frames::turns(&plan.hang).0.as_quat();
            Ok::<_, std::convert::Infallible>(Bounds::of(other.mesh.positions.iter().map(|p| turn * *p)))
        });
        *made.unwrap_or_else(|never| match never {})
    }

    /// The other part and what its meeting depends on; none where the two cannot be compared.
    fn meeting_key(&self, plan: &Plan, setting: &Setting, body: &Body) -> Option<(MeetingKey, Arc<Other>)> {
        let makes = plan.second_shot.as_ref()?.makes;
        let other = setting.other_whole().filter(|_| body.trouble.is_none())?;
        Some(((body.id, other.id, makes, Near::of(&self.shop().limits)), other.clone()))
    }

    /// How the two parts meet; none where there is one shot, or where they cannot be compared.
    ///
    /// # Errors
    /// [`Cancelled`](crate::solve::run::Cancelled).
    pub fn meeting(
        &self,
        plan: &Plan,
        setting: &Setting,
        body: &Body,
        run: &Run,
    ) -> Result<Option<Arc<Meeting>>, StudyError> {
        let Some((key, other)) = self.meeting_key(plan, setting, body) else { return Ok(None) };
        let meeting = self.two_shot.meeting.get_or(key, || {
            let [hard, soft] = both(body, &other, key.2);
            Ok::<_, StudyError>(Meeting::of(&hard, &soft, key.3, run)?)
        })?;
        Ok(Some(meeting))
    }

    fn hold_key(plan: &Plan, setting: &Setting, key: MeetingKey) -> Option<HoldKey> {
        let axis =
            |a: DVec3| setting.frames.box_from_work.inverse().transform_vector3(a).as_vec3().normalize_or(Vec3::Z);
        plan.loaded_hard().map(|_| (key, DVec3::AXES.map(axis)))
    }

    /// All facts of the two shots.
    ///
    /// # Errors
    /// [`Cancelled`](crate::solve::run::Cancelled).
    pub fn two_shot_facts(
        &self,
        plan: &Plan,
        setting: &Setting,
        body: &Body,
        run: &Run,
    ) -> Result<TwoShotFacts, StudyError> {
        let (Some(meeting), Some((key, _))) =
            (self.meeting(plan, setting, body, run)?, self.meeting_key(plan, setting, body))
        else {
            return Ok(TwoShotFacts::default());
        };
        let hold = match Bench::hold_key(plan, setting, key) {
            Some(key) => Some(self.two_shot.hold.get_or(key, || {
                run.check()?;
                Ok::<_, StudyError>(Hold::of(&meeting.samples, meeting.hard_middle, key.1))
            })?),
            None => None,
        };
        Ok(TwoShotFacts { meeting: Some(meeting), hold })
    }

    /// Those of them that stand already; none where one is still to be computed.
    pub(super) fn fresh_two_shot(&self, plan: &Plan, setting: &Setting, body: &Body) -> Option<TwoShotFacts> {
        let Some((key, _)) = self.meeting_key(plan, setting, body) else { return Some(TwoShotFacts::default()) };
        let meeting = Some(self.two_shot.meeting.fresh(&key)?);
        let hold = match Bench::hold_key(plan, setting, key) {
            Some(key) => Some(self.two_shot.hold.fresh(&key)?),
            None => None,
        };
        Some(TwoShotFacts { meeting, hold })
    }

    /// What the block is poured round, inserts' dummies apart: the body, and with it the hard part where this block makes
    /// the soft one. Parting, cut and what lets go are asked of it; resin fills the body alone.
    ///
    /// # Errors
    /// [`Cancelled`](crate::solve::run::Cancelled).
    pub fn master(&self, plan: &Plan, setting: &Setting, body: &Body, run: &Run) -> Result<Arc<Body>, StudyError> {
        let key = self.meeting_key(plan, setting, body).filter(|_| plan.loaded_hard().is_some());
        let Some((key, other)) = key else { return Ok(Arc::new(body.clone())) };
        self.two_shot.master.get_or(key, || {
            let [hard, soft] = both(body, &other, key.2);
            let made = joined(&hard, &soft, key.3, run)?;
            let (mesh, trouble) = match made {
                Ok(mesh) => (mesh, None),
                Err(e) => {
                    let mut beside = (*body.mesh).clone();
                    beside.append(&other.mesh);
                    (beside, Some(format!("hard and soft part could not be united: {e}")))
                }
            };
            Ok::<_, StudyError>(Body {
                id: fresh_id(),
                bounds: mesh.bounds(),
                measures: Measures::of(&mesh),
                tree: Arc::new(Tree::of(&mesh)),
                mesh: Arc::new(mesh),
                trouble,
                displaced_mm3: body.displaced_mm3.clone(),
            })
        })
    }

    /// The same if it stands already.
    pub(super) fn fresh_master(&self, plan: &Plan, setting: &Setting, body: &Body) -> Option<Arc<Body>> {
        match self.meeting_key(plan, setting, body).filter(|_| plan.loaded_hard().is_some()) {
            Some((key, _)) => self.two_shot.master.fresh(&key),
            None => Some(Arc::new(body.clone())),
        }
    }
}

/// The hard and the soft part, of which this block makes `makes`.
fn both<'a>(body: &'a Body, other: &'a Other, makes: Shot) -> [Faceted<'a>; 2] {
    let (own, other) = (Faceted::of(&body.mesh, &body.tree), Faceted::of(&other.mesh, &other.tree));
    if makes == Shot::Hard { [own, other] } else { [other, own] }
}
