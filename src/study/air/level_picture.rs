//! The cavity when the resin stands at a level: what is full, what is open, what is trapped.

use crate::study::air::air_tree::AirTree;
use crate::study::air::piece::Piece;
use crate::study::air::walk::Trapped;

/// Where each triangle's air is caught, for every resin level at once.
///
/// A point of triangle t at height h is, with the resin at z: trapped air where `h ≥ caught_at[t]` and
/// `z ≥ caught_at[t]`; else full where `h ≤ z`; else open. `caught_at` is infinite where air always leaves.
#[derive(Clone, Debug, PartialEq)]
pub struct LevelPicture {
    /// One level for each triangle of the cavity mesh.
    pub caught_at: Vec<f32>,
    /// Lowest and highest point of the cavity along up.
    pub range: [f64; 2],
}

/// State of one point of the wall at one resin level.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wetting {
    /// Under resin.
    Full,
    /// Above the resin; its air can still leave.
    Open,
    /// In air that can no longer leave.
    Trapped,
}

impl LevelPicture {
    /// The picture for what stays.
    pub fn new(tree: &AirTree, trapped: &Trapped) -> LevelPicture {
        let caught_at = tree.caught_levels(&trapped.pieces);
        let branches = &tree.tree().branches;
        let low = branches.iter().map(|b| b.bottom).fold(f64::INFINITY, f64::min);
        let high = branches.iter().map(|b| b.summit).fold(f64::NEG_INFINITY, f64::max);
        LevelPicture { caught_at, range: [low, high] }
    }

    /// State of a point of `triangle` at `height` with the resin at `level`.
    pub fn at(&self, triangle: usize, height: f32, level: f32) -> Wetting {
        let caught = self.caught_at[triangle];
        if height >= caught && level >= caught {
            Wetting::Trapped
        } else if height <= level {
            Wetting::Full
        } else {
            Wetting::Open
        }
    }
}

/// One connected space above the resin.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Space {
    /// Its branch and level: the resin's level, or the lower face of air that was caught before.
    pub piece: Piece,
    /// True where a mouth lies in it.
    pub open: bool,
}

/// Every connected space without resin when the resin stands at `level`.
///
/// Open spaces end at the resin. Trapped ones end where they were caught, and where a space without a mouth has just
/// been cut off, at the resin's level.
pub fn spaces(tree: &AirTree, trapped: &Trapped, level: f64) -> Vec<Space> {
    let join = tree.tree();
    let caught: Vec<&Piece> = trapped.pieces.iter().filter(|p| p.level <= level).collect();
    let mut spaces: Vec<Space> = caught.iter().map(|p| Space { piece: **p, open: false }).collect();
    for branch in join.cut(level) {
        if caught.iter().any(|p| join.subtree(p.branch).contains(&branch)) {
            continue;
        }
        let base = level.max(join.branches[branch as usize].bottom);
        let volume_mm3 = tree.volume_above(branch, base);
        let open = trapped.rims.iter().flatten().any(|r| join.subtree(branch).contains(&r.branch) && r.height >= level);
        if volume_mm3 > 0.0 {
            spaces.push(Space { piece: Piece { branch, level: base, volume_mm3 }, open });
        }
    }
    spaces
}
