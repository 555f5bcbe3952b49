//! The walk: with these mouths, what stays?
//!
//! From each root upwards. At a sill, branches that hold a mouth are walked on and branches without one lose all above
//! the sill. Where none of them holds one, the highest mouth lies on the branch below, and all above its rim is lost.

use crate::solve::join_tree::JoinTree;
use crate::study::air::air_tree::AirTree;
use crate::study::air::matters::Matters;
use crate::study::air::mouth::{Mouth, MouthOf, Rim};
use crate::study::air::piece::Piece;

/// What stays in one attitude.
#[derive(Clone, Debug, PartialEq)]
pub struct Trapped {
    /// All of it, mm³.
    pub total_mm3: f64,
    /// Every body of air that stays, largest first.
    pub pieces: Vec<Piece>,
    /// Where each mouth counts, in the order given; none where it lies off the cavity.
    pub rims: Vec<Option<Rim>>,
    /// Whose each mouth is, in the same order.
    pub of: Vec<MouthOf>,
}

impl Trapped {
    /// The mouth with the highest rim in the subtree of `branch`: the one that serves that pocket.
    pub fn serves(&self, tree: &JoinTree, branch: u32) -> Option<MouthOf> {
        let subtree = tree.subtree(branch);
        let mut best: Option<(f64, MouthOf)> = None;
        for (rim, of) in self.rims.iter().zip(&self.of) {
            if let Some(rim) = rim
                && subtree.contains(&rim.branch)
                && best.is_none_or(|b| rim.height > b.0)
            {
                best = Some((rim.height, *of));
            }
        }
        best.map(|b| b.1)
    }
}

/// The walk with every piece kept.
pub fn trapped(tree: &AirTree, mouths: &[Mouth]) -> Trapped {
    let rims: Vec<Option<Rim>> = mouths.iter().map(|m| tree.rim(m)).collect();
    let mut pieces = pieces(tree, &rims.iter().flatten().copied().collect::<Vec<_>>());
    pieces.sort_by(|a, b| b.volume_mm3.total_cmp(&a.volume_mm3).then(a.branch.cmp(&b.branch)));
    Trapped {
        total_mm3: pieces.iter().fold(0.0, |sum, p| sum + p.volume_mm3),
        pieces,
        rims,
        of: mouths.iter().map(|m| m.of).collect(),
    }
}

/// The total alone, mm³.
pub fn trapped_mm3(tree: &AirTree, mouths: &[Mouth]) -> f64 {
    let rims: Vec<Rim> = mouths.iter().filter_map(|m| tree.rim(m)).collect();
    pieces(tree, &rims).iter().fold(0.0, |sum, p| sum + p.volume_mm3)
}

/// Volume of those pieces that are faults, mm³.
pub fn excess_mm3(tree: &AirTree, pieces: &[Piece], matters: &Matters) -> f64 {
    let faults = pieces.iter().filter(|p| matters.is_fault(p.volume_mm3, || tree.summit_point(p.branch)));
    faults.fold(0.0, |sum, p| sum + p.volume_mm3)
}

/// Every body of air that stays with these rims, in the order of the branches.
pub fn pieces(tree: &AirTree, rims: &[Rim]) -> Vec<Piece> {
    let join = tree.tree();
    let mut rims: Vec<Rim> = rims.to_vec();
    rims.sort_by(|a, b| a.branch.cmp(&b.branch).then(b.height.total_cmp(&a.height)));
    let first_from = |branch: u32| rims.partition_point(|r| r.branch < branch);
    let holds = |branch: u32| {
        let end = join.subtree(branch).end;
        rims.get(first_from(branch)).is_some_and(|r| r.branch < end)
    };
    let mut pieces = Vec::new();
    let whole = |branch: u32| {
        let b = &join.branches[branch as usize];
        Piece { branch, level: b.bottom, volume_mm3: b.volume }
    };
    let mut open: Vec<u32> = Vec::new();
    let meet = |branch: u32, open: &mut Vec<u32>, pieces: &mut Vec<Piece>| {
        if holds(branch) {
            open.push(branch);
        } else if join.branches[branch as usize].volume > 0.0 {
            pieces.push(whole(branch));
        }
    };
    for root in join.roots() {
        meet(root, &mut open, &mut pieces);
    }
    while let Some(branch) = open.pop() {
        let end = join.subtree(branch).end;
        let above = rims.get(first_from(branch + 1)).is_some_and(|r| r.branch < end);
        if above {
            for child in join.children(branch) {
                meet(child, &mut open, &mut pieces);
            }
        } else if let Some(rim) = rims.get(first_from(branch)) {
            let volume_mm3 = tree.volume_above(branch, rim.height);
            if volume_mm3 > 0.0 {
                pieces.push(Piece { branch, level: rim.height, volume_mm3 });
            }
        }
    }
    pieces.sort_by_key(|p| p.branch);
    pieces
}
