//! Trapped air of a plan: the trees of its body with the plan's mouths walked over them.

use super::air_tree::AirTree;
use super::bubble;
use super::high_points::{HighPoint, Served, high_points, served};
use super::level_picture::LevelPicture;
use super::mouth::{Mouth, MouthOf};
use super::needless::{self, Needless};
use super::piece::Piece;
use super::trees::Air;
use super::walk::{self, Trapped};
use crate::shop::Limits;
use crate::solve::closed_surface::NotClosed;
use crate::solve::run::{Cancelled, Run};
use crate::study::job::body::Body;
use crate::study::job::fresh_id::fresh_id;
use glam::Vec3;
use rayon::prelude::*;
use std::sync::Arc;

/// The join trees of one body in one attitude, level and leaning.
#[derive(Clone, Debug)]
pub struct AirTrees {
    /// Unlike any other; see [`fresh_id`].
    pub id: u64,
    /// The trees.
    pub air: Air,
}

impl AirTrees {
    /// The trees of `body` for `up`; on cells where the body is not one closed mesh.
    ///
    /// # Errors
    /// [`Cancelled`] where the run was.
    pub fn new(body: &Body, up: Vec3, lean_deg: f64, run: &Run) -> Result<AirTrees, Cancelled> {
        let air = match &body.trouble {
            None => Air::new(&body.mesh, &body.tree, up, lean_deg, run)?,
            // Bodies that overlap may be closed edge by edge; only the union's failure tells.
            Some(_) => Air::on_cells(&body.mesh, &body.tree, up, lean_deg, NotClosed::NotUnited, run)?,
        };
        Ok(AirTrees { id: fresh_id(), air })
    }
}

/// The largest single body of air that stays in the worst attitude within the lean.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WorstPiece {
    /// Its volume, mm³.
    pub volume_mm3: f64,
    /// Its highest point.
    pub position: Vec3,
    /// Diameter of the bubble left after let-up, millimetres.
    pub bubble_mm: f64,
}

/// What becomes of the air with the mouths of a plan.
#[derive(Clone, Debug)]
pub struct AirFacts {
    /// The trees.
    pub trees: Arc<AirTrees>,
    /// The plan's mouths.
    pub mouths: Vec<Mouth>,
    /// High points before vents are counted, highest first.
    pub high_points: Vec<HighPoint>,
    /// What becomes of each.
    pub served: Vec<Served>,
    /// What stays, level.
    pub trapped: Trapped,
    /// How many of its pieces, which come largest first, are not under the shop's limit.
    over_limit: usize,
    /// The most that stays within the lean, mm³.
    pub worst_mm3: f64,
    /// The largest single body of air within the lean, if any stays.
    pub worst_piece: Option<WorstPiece>,
    /// For each mouth, whether it can go with all others that can, and what does its job then.
    pub needless: Vec<Option<Needless>>,
    /// Where each triangle's air is caught as resin rises.
    pub level: LevelPicture,
    /// Error of the volumes where they come from cells, mm³; 0 where exact.
    pub cell_error_mm3: f64,
}

impl AirFacts {
    /// Walks `mouths` over `trees`.
    pub fn new(trees: &Arc<AirTrees>, mouths: Vec<Mouth>, limits: &Limits) -> AirFacts {
        let air = &trees.air;
        let trapped = air.trapped(&mouths);
        let high_points = high_points(&air.level, limits.air_pocket_mm3);
        let (served, _) = served(&air.level, &high_points, &trapped, limits.chamber_pa);
        let all: Vec<&AirTree> = air.trees().collect();
        let per_tree: Vec<(f64, Option<(f64, Vec3)>)> = all
            .par_iter()
            .map(|tree| {
                let rims: Vec<_> = mouths.iter().filter_map(|m| tree.rim(m)).collect();
                let pieces = walk::pieces(tree, &rims);
                let largest = pieces.iter().max_by(|a, b| a.volume_mm3.total_cmp(&b.volume_mm3));
                let place = largest.map(|p: &Piece| (p.volume_mm3, tree.summit_point(p.branch)));
                (pieces.iter().fold(0.0, |sum, p| sum + p.volume_mm3), place)
            })
            .collect();
        let worst_mm3 = per_tree.iter().map(|t| t.0).fold(0.0, f64::max);
        let worst_piece =
            per_tree.iter().filter_map(|t| t.1).max_by(|a, b| a.0.total_cmp(&b.0)).filter(|w| w.0 > 0.0).map(
                |(volume_mm3, position)| WorstPiece {
                    volume_mm3,
                    position,
                    bubble_mm: bubble::bubble_mm(volume_mm3, limits.chamber_pa),
                },
            );
        AirFacts {
            needless: needless::needless(air, &mouths, limits.air_pocket_mm3),
            level: LevelPicture::new(&air.level, &trapped),
            cell_error_mm3: trapped.pieces.iter().fold(0.0, |sum, p| sum + air.level.error_mm3(p)),
            trees: trees.clone(),
            mouths,
            high_points,
            served,
            over_limit: trapped.pieces.iter().take_while(|p| p.volume_mm3 >= limits.air_pocket_mm3).count(),
            trapped,
            worst_mm3,
            worst_piece,
        }
    }

    /// The bodies of air that stay in the level block and are not under the shop's limit, largest first.
    pub fn pieces_that_matter(&self) -> &[Piece] {
        &self.trapped.pieces[..self.over_limit]
    }

    /// The place of vent `number` in `mouths`.
    pub fn mouth_of_vent(&self, number: u32) -> Option<usize> {
        self.mouths.iter().position(|m| m.of == MouthOf::Vent(number))
    }
}
