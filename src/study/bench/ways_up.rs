//! The search for a way up, and what it is made on.

use super::{Bench, Setting, StudyError, inserts_of};
use crate::plan::{Plan, Pose};
use crate::solve::run::Run;
use crate::study::body::Body;
use crate::study::hang_search::subject::{Each, OneKey, Subject, SubjectKey, different_parts};
use crate::study::hang_search::{self, HangSearch};
use crate::study::layout::lay_out;
use crate::study::placed;
use crate::study::slot::Slot;
use glam::Vec3;
use std::sync::Arc;

/// What the search depends on: what it is made on, and what is asked.
type HangKey = (SubjectKey, hang_search::Asked);

/// The cached ones. Those of a set have slots of their own, since the plan's would be emptied by each other.
#[derive(Clone, Debug, Default)]
pub(super) struct WaysUp {
    set: Slot<Vec<OneKey>, Arc<Vec<Each>>>,
    hangs: Slot<HangKey, HangSearch>,
    hung: Slot<(HangKey, Vec3), HangSearch>,
}

impl Bench {
    /// What ways up and draws of `plan` are measured on.
    ///
    /// # Errors
    /// As the facts it is made from.
    pub fn hang_subject(&self, plan: &Plan, setting: &Setting, run: &Run) -> Result<Subject, StudyError> {
        if plan.parts.len() < 2 {
            let body = self.body(plan, setting, run)?;
            let master = self.master(plan, setting, &body, run)?;
            let key = SubjectKey::Only { body: body.id, master: master.id };
            return Ok(Subject { key, parts: Arc::new(vec![Each { body, master, inserts: setting.inserts.clone() }]) });
        }
        let different = different_parts(plan, &setting.placed);
        let keys: Vec<OneKey> = different.iter().map(|d| d.1.clone()).collect();
        let parts = self.ways_up.set.get_or(keys.clone(), || {
            let each = different.iter().map(|(i, _)| self.each(plan, *i, run));
            Ok::<_, StudyError>(Arc::new(each.collect::<Result<Vec<Each>, StudyError>>()?))
        })?;
        Ok(Subject { key: SubjectKey::Set(keys), parts: (*parts).clone() })
    }

    /// Part `i` of a set by itself, about its own middle.
    fn each(&self, plan: &Plan, i: usize, run: &Run) -> Result<Each, StudyError> {
        let mut alone = plan.clone();
        for other in (0..plan.parts.len()).rev().filter(|other| *other != i) {
            alone.remove_part(other);
        }
        let found = placed::find(&self.store, self.folder().as_deref(), &alone)?;
        let rotation = alone.parts[0].pose.rotation;
        let middle = Pose { rotation, ..Pose::default() }.set_from_part().transform_point3(found.first_middle());
        // Near the origin, so that it is the same however far away the set stands.
        alone.parts[0].pose = Pose { rotation, translation_mm: -middle };
        let placed = found.place(&alone);
        let bounds = placed.bounds_upright(&alone.hang)[0];
        let (frames, _) = lay_out(&placed, &alone, &self.shop.limits, bounds);
        let inserts = Arc::new(inserts_of(&alone, &placed, &frames));
        let body = Arc::new(Body::new(&placed, &inserts, run)?);
        Ok(Each { master: body.clone(), body, inserts })
    }

    /// What [`Bench::hang_subject`] of the plan follows from; none where that is not known yet. `body` and `master` are those
    /// of the plan's facts.
    pub fn hang_subject_key(
        plan: &Plan,
        setting: &Setting,
        body: Option<&Body>,
        master: Option<&Body>,
    ) -> Option<SubjectKey> {
        if plan.parts.len() < 2 {
            return Some(SubjectKey::Only { body: body?.id, master: master?.id });
        }
        let different = different_parts(plan, &setting.placed);
        Some(SubjectKey::Set(different.into_iter().map(|d| d.1).collect()))
    }

    /// What a search for a hang is asked; a search that was asked the same of the same subject holds still.
    pub fn hang_asked(plan: &Plan, setting: &Setting) -> hang_search::Asked {
        let mut block = plan.block;
        if plan.master.stuck_to_floor {
            block.below_mm = Some(0.0);
        }
        let mut shown: Vec<Vec3> = Vec::new();
        for spot in plan.shown.iter().flat_map(|s| &s.stroke) {
            let normal = setting.frames.normal_in_work(spot);
            // Those of a copy say nothing new.
            if !shown.contains(&normal) {
                shown.push(normal);
            }
        }
        hang_search::Asked { draw: plan.parting.draw, shown, block }
    }

    /// Many ways up, measured; seconds. Nothing else waits for it. `watch` is shown what is known on the way.
    ///
    /// # Errors
    /// [`Cancelled`](crate::solve::run::Cancelled).
    pub fn hang_search(
        &self,
        plan: &Plan,
        setting: &Setting,
        subject: &Subject,
        run: &Run,
        watch: impl FnMut(&HangSearch),
    ) -> Result<Arc<HangSearch>, StudyError> {
        let key = (subject.key.clone(), Bench::hang_asked(plan, setting));
        let (limits, parts) = (&self.shop.limits, &subject.parts);
        let hung = plan.hang.rubber.up.normalize_or(glam::DVec3::Z).as_vec3();
        let found = self.ways_up.hangs.get_or(key.clone(), || {
            Ok::<_, StudyError>(hang_search::search(parts, limits, &key.1, hung, run, watch)?)
        })?;
        if found.hung.up == hung {
            return Ok(found);
        }
        self.ways_up.hung.get_or((key, hung), || Ok(found.hung_as(parts, limits, hung, run)?))
    }
}
