//! High points: where air gathers before any vent is counted.
//!
//! The join tree is simplified by pocket volume: a sill counts if at least two of the branches that meet there hold the
//! limit above it. Every leaf that is left is a high point.

use crate::study::air::air_tree::AirTree;
use crate::study::air::bubble;
use crate::study::air::mouth::MouthOf;
use crate::study::air::piece::Piece;
use crate::study::air::walk::Trapped;
use glam::Vec3;

/// A high point of the cavity.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HighPoint {
    /// The peak, or a point in the middle of its level top; on the surface, in `work`.
    pub position: Vec3,
    /// Its height along up.
    pub height: f64,
    /// Height of the nearest sill below it that counts; none where its pocket is a whole body.
    pub sill: Option<f64>,
    /// Volume of its pocket: of that branch above the sill, or of the whole body, mm³.
    pub pocket_mm3: f64,
    /// The branch of the join tree that is its pocket.
    pub branch: u32,
}

/// What becomes of one high point with the mouths of a plan.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Served {
    /// The mouth that serves it: the highest one in its pocket.
    pub by: Option<MouthOf>,
    /// Air that stays here, mm³. Air lost below a sill is counted at the highest peak above it, so that the sum over
    /// all high points is the total.
    pub trapped_mm3: f64,
    /// The largest single body of it, mm³: bodies apart from each other are bubbles apart from each other.
    pub largest_mm3: f64,
    /// Diameter of the bubble that the largest body leaves after let-up, millimetres.
    pub bubble_mm: f64,
}

/// Every high point whose pocket holds `limit_mm3`, highest first.
pub fn high_points(tree: &AirTree, limit_mm3: f64) -> Vec<HighPoint> {
    let join = tree.tree();
    let holds = |b: &u32| join.branches[*b as usize].volume >= limit_mm3;
    let mut pockets: Vec<(u32, Option<f64>)> = join.roots().filter(holds).map(|r| (r, None)).collect();
    let mut points = Vec::new();
    while let Some((pocket, sill)) = pockets.pop() {
        let mut at = pocket;
        loop {
            let mut large = join.children(at).filter(holds);
            match (large.next(), large.next()) {
                (None, _) => {
                    let branch = &join.branches[pocket as usize];
                    points.push(HighPoint {
                        position: tree.summit_point(pocket),
                        height: branch.summit,
                        sill,
                        pocket_mm3: branch.volume,
                        branch: pocket,
                    });
                    break;
                }
                (Some(one), None) => at = one,
                (Some(_), Some(_)) => {
                    let sill = Some(join.branches[at as usize].top);
                    pockets.extend(join.children(at).filter(holds).map(|c| (c, sill)));
                    break;
                }
            }
        }
    }
    points.sort_by(|a, b| b.height.total_cmp(&a.height).then(a.branch.cmp(&b.branch)));
    points
}

/// For each high point the mouth that serves it and the air that stays there, sealed at `sealed_pa` absolute; then the
/// air in bodies too small to have a high point, mm³.
pub fn served(tree: &AirTree, points: &[HighPoint], trapped: &Trapped, sealed_pa: f64) -> (Vec<Served>, f64) {
    let mut stays = vec![(0.0f64, 0.0f64); points.len()];
    let mut elsewhere = 0.0;
    for piece in &trapped.pieces {
        match place_of(tree, points, piece) {
            Some(i) => stays[i] = (stays[i].0 + piece.volume_mm3, stays[i].1.max(piece.volume_mm3)),
            None => elsewhere += piece.volume_mm3,
        }
    }
    let served = points
        .iter()
        .zip(stays)
        .map(|(point, (trapped_mm3, largest_mm3))| Served {
            by: trapped.serves(tree.tree(), point.branch),
            trapped_mm3,
            largest_mm3,
            bubble_mm: bubble::bubble_mm(largest_mm3, sealed_pa),
        })
        .collect();
    (served, elsewhere)
}

/// The high point at which a piece is listed: the one whose pocket it lies in, else the highest one above it or, where
/// it is a small side pocket, above the nearest sill below it.
pub fn place_of(tree: &AirTree, points: &[HighPoint], piece: &Piece) -> Option<usize> {
    let join = tree.tree();
    let mut at = piece.branch;
    loop {
        let subtree = join.subtree(at);
        let here = |p: &HighPoint| subtree.contains(&p.branch) || join.subtree(p.branch).contains(&at);
        // Highest first, so the first is the highest.
        if let Some(i) = points.iter().position(here) {
            return Some(i);
        }
        at = join.branches[at as usize].parent?;
    }
}
