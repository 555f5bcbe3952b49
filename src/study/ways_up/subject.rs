//! What ways up and draws are measured on: every different part of the block, each by itself.
//!
//! Parts of a set are measured apart from each other: they are laid out in rows only once it is known which way up they
//! hang, and no part hides another or stands in the way of a draw. What measures like another part already does, which is
//! nearly every copy, is left out.

use crate::plan::{InsertKind, Plan, Spot};
use crate::study::job::body::Body;
use crate::study::job::insert_shapes::InsertShape;
use crate::study::job::placed::Placed;
use glam::DQuat;
use std::sync::Arc;

/// One part.
#[derive(Clone, Debug)]
pub struct Each {
    /// What resin fills.
    pub body: Arc<Body>,
    /// What rubber is poured round: the same, and in a two-shot job the hard part with it.
    pub master: Arc<Body>,
    /// Inserts, whose dummies stand in the master.
    pub inserts: Arc<Vec<InsertShape>>,
}

/// A part of a set as far as it is measured by itself: not where it stands.
#[derive(Clone, Debug, PartialEq)]
pub struct OneKey {
    mesh: u64,
    rotation: DQuat,
    inserts: Vec<(InsertKind, Spot, f64)>,
    insert_meshes: Vec<(String, u64)>,
}

/// What a subject follows from; those of equal keys measure alike.
#[derive(Clone, Debug, PartialEq)]
pub enum SubjectKey {
    /// The only part: the ids of its body and of the master.
    Only {
        /// Body of resin.
        body: u64,
        /// What rubber is poured round.
        master: u64,
    },
    /// The different parts of a set.
    Set(Vec<OneKey>),
}

/// Every different part of a plan.
#[derive(Clone, Debug)]
pub struct Subject {
    /// What it follows from.
    pub key: SubjectKey,
    /// The parts.
    pub parts: Arc<Vec<Each>>,
}

/// The different parts of a set with the first place in the plan where each is found.
pub fn different_parts(plan: &Plan, placed: &Placed) -> Vec<(usize, OneKey)> {
    let mut found: Vec<(usize, OneKey)> = Vec::new();
    for (i, (part, loaded)) in plan.parts.iter().zip(&placed.loaded).enumerate() {
        let own = plan.inserts.iter().filter(|x| x.at.part == i);
        let inserts: Vec<_> = own.map(|x| (x.kind.clone(), Spot { part: 0, ..x.at }, x.in_pocket_mm)).collect();
        let named = |name: &String| inserts.iter().any(|x| matches!(&x.0, InsertKind::Mesh { mesh } if mesh == name));
        let insert_meshes = placed.insert_readings.iter().filter(|r| named(&r.0)).cloned().collect();
        let key = OneKey { mesh: loaded.id, rotation: part.pose.rotation, inserts, insert_meshes };
        if found.iter().all(|f| f.1 != key) {
            found.push((i, key));
        }
    }
    found
}
