//! What lets go of what: undercuts and how the rubber gets past them, relief cuts and loose pieces that help, shut-offs
//! in through-holes, and how slender the rubber itself stands.
//!
//! Everything is in `work`. Geometry is computed here once for a parting; what a rubber makes of it is judged from
//! figures by [`verdict`], which costs nothing.
//!
//! ```text
//! parting ─ undercuts (the way aside; round: the ring; strain: closed forms) ─ served by cuts and pieces ─ verdict
//! ```

pub mod blade;
pub mod crossings;
pub mod cuts;
pub mod films;
pub mod help;
pub mod kinds;
pub mod locks;
pub mod patch;
pub mod piece_files;
pub mod pieces;
pub mod range;
pub mod round;
pub mod rubber;
pub mod service;
pub mod shut_offs;
pub mod strain;
pub mod undercuts;
pub mod verdict;
pub mod wish;

use crate::mesh::Mesh;
use crate::mesh::tree::Tree;
use crate::shop::{Limits, Silicone};
use crate::solve::run::{Cancelled, Run};
use crate::study::job::insert_shapes::InsertShape;
use crate::study::parting::facts::PartingFacts;
use crate::study::parting::release::kinds::Verdict;
use blade::InTheWay;
use crossings::Crossing;
use cuts::ReliefCut;
use locks::Lock;
use pieces::Piece;
use service::Service;
use shut_offs::ShutOff;
use std::sync::Arc;
use undercuts::Undercut;
use verdict::Judged;
use wish::ReleaseWish;

/// What lets go of what, for one parting and what a person did about it.
#[derive(Clone, Debug, Default)]
pub struct Release {
    /// Undercuts of at least the shop's limit, largest first.
    pub undercuts: Arc<Vec<Undercut>>,
    /// What serves each of them.
    pub services: Vec<Service>,
    /// Relief cuts, in plan order.
    pub cuts: Vec<ReliefCut>,
    /// Loose pieces, in plan order.
    pub pieces: Vec<Piece>,
    /// What was done about each locked core, in the order of [`PartingFacts::locked`].
    pub locks: Vec<Lock>,
    /// Shut-offs, in the order of the loops.
    pub shut_offs: Vec<ShutOff>,
    /// Metal in the way of a blade to a shut-off, whether it is cut or not.
    pub in_the_way: Vec<InTheWay>,
    /// Shown surfaces that the line crosses.
    pub crossings: Vec<Crossing>,
    /// Rubber round the part, millimetres.
    pub wall_mm: f64,
}

impl Release {
    /// Everything that holds in `parting`. `body` is the mesh that was parted, `tree` its tree; it lacks `inserts`.
    ///
    /// # Errors
    /// [`Cancelled`].
    pub fn of(
        parting: &PartingFacts,
        undercuts: &Arc<Vec<Undercut>>,
        body: &Mesh,
        tree: &Tree,
        inserts: &[InsertShape],
        wish: &ReleaseWish,
        run: &Run,
    ) -> Result<Release, Cancelled> {
        if let Some(told_from) = &parting.told_from {
            let turned = |u: &Undercut| Undercut { half: u.half.other(), ..u.clone() };
            let computed = Arc::new(undercuts.iter().map(turned).collect());
            let release = Release::of(told_from, &computed, body, tree, inserts, wish, run)?;
            return Ok(release.told(parting, undercuts));
        }
        let mut pieces = Vec::with_capacity(wish.pieces.len());
        for piece in &wish.pieces {
            run.check()?;
            pieces.push(pieces::made(piece, parting, undercuts, body, tree));
        }
        let shut_offs = shut_offs::shut_offs(parting, &wish.shut_offs);
        Ok(Release {
            in_the_way: blade::in_the_way(parting, &shut_offs, inserts, &pieces, body, tree, run)?,
            services: service::services(parting, undercuts, &wish.cuts, &wish.pieces),
            undercuts: undercuts.clone(),
            cuts: wish.cuts.clone(),
            locks: locks::locks(parting, &wish.cuts, &pieces),
            pieces,
            shut_offs,
            crossings: crossings::crossings(parting, &wish.shown, &wish.by_hand),
            wall_mm: wish.wall_mm,
        })
    }

    /// The same with the names of the halves exchanged, as `parting` and its `undercuts` have them.
    fn told(mut self, parting: &PartingFacts, undercuts: &Arc<Vec<Undercut>>) -> Release {
        self.undercuts = undercuts.clone();
        for shut_off in &mut self.shut_offs {
            shut_off.plug = shut_off.plug.other();
            shut_off.hole = parting.holes[shut_off.at_loop].clone();
        }
        self
    }

    /// What the rubber makes of undercut `i`, with what serves it.
    pub fn judged(&self, i: usize, silicone: &Silicone, limits: &Limits) -> Judged {
        let undercut = &self.undercuts[i];
        let service = self.services.get(i).cloned().unwrap_or_default();
        if service.is_gone() {
            let lines = verdict::Lines::of(silicone, limits);
            return Judged { verdict: Verdict::LetsGo, life: 1.0, lines };
        }
        let form = service.opened(&undercut.form, self.wall_mm);
        let cut = !service.cuts.is_empty();
        verdict::judged(&form, undercut.depth_mm, undercut.closed_round && !cut, cut, silicone, limits)
    }

    /// Share of the tool life that all undercuts leave, 0 to 1: that of the hardest.
    pub fn life(&self, silicone: &Silicone, limits: &Limits) -> f64 {
        (0..self.undercuts.len()).map(|i| self.judged(i, silicone, limits).life).fold(1.0, f64::min)
    }
}
