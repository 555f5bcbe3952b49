//! The hard part's surface in small pieces, each with what lies over it.

use super::faceted::Faceted;
use super::near::Near;
use crate::mesh::tree::Hit;
use crate::solve::run::{Cancelled, Run};
use glam::Vec3;
use rayon::prelude::*;

/// Length of a piece's edge where the soft part is near, as a share of the hard part's diagonal, and its bounds,
/// millimetres: set here.
const EDGE_SHARE: f32 = 0.006;
const EDGE_MM: (f32, f32) = (0.2, 2.0);
/// The same where nothing is near, so that a turn is felt.
const BARE_SHARE: f32 = 0.04;
/// Pieces that lie half in, half out are halved this many times more.
const FINER: u32 = 2;
/// However coarse the facets, no more than this share of the reach counts as touching.
const MOST_CARRIED: f64 = 0.5;
/// Most pieces; a larger surface has longer ones.
const MOST: f64 = 250_000.0;
/// Surfaces face each other where their normals are at least this far against each other: cosine of 120°.
const FACING: f32 = -0.5;
/// Triangles taken up between two looks whether to stop.
const CHUNK: usize = 256;

/// What lies over a piece of the hard part.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum State {
    /// Nothing: rubber.
    Bare,
    /// The soft part, touching.
    Touch,
    /// The soft part, so many millimetres off.
    Gap(f64),
    /// It lies inside the soft part, so many millimetres deep along its normal.
    Inside(f64),
}

impl State {
    /// True where the soft part covers it.
    pub fn is_covered(self) -> bool {
        matches!(self, State::Touch | State::Inside(_))
    }

    fn kind(self) -> u8 {
        match self {
            State::Bare => 0,
            State::Touch => 1,
            State::Gap(_) => 2,
            State::Inside(_) => 3,
        }
    }
}

/// A small piece of the hard part's surface.
#[derive(Clone, Copy, Debug)]
pub struct Sample {
    /// Its middle.
    pub at: Vec3,
    /// Its corners.
    pub corners: [Vec3; 3],
    /// Outward unit normal of its facet.
    pub normal: Vec3,
    /// Outward unit normal of the smooth surface that the facet stands for.
    pub smooth: Vec3,
    /// Its area, mm².
    pub area_mm2: f64,
    /// What lies over it.
    pub state: State,
    /// From it to the soft part along its normal, millimetres; below 0 inside it, 0 where there is none.
    pub off_mm: f64,
}

/// A piece of a triangle by the weights of its corners.
type Piece = [Vec3; 3];

/// Cuts the surface of `hard` up and says what of `soft` lies over each piece.
///
/// Seen along the normal of each piece, the nearest surface of the soft part that faces it counts. A piece whose corners
/// disagree with its middle is halved again, so that the border of the contact is found to a fraction of a millimetre.
///
/// # Errors
/// [`Cancelled`] where the run was.
pub fn samples(hard: &Faceted, soft: &Faceted, near: Near, run: &Run) -> Result<Vec<Sample>, Cancelled> {
    let diagonal = hard.mesh.bounds().diagonal();
    let area: f64 =
        (0..hard.mesh.triangles.len()).map(|t| f64::from(hard.mesh.double_area_normal(t).length()) / 2.0).sum();
    let least = (2.0 * area / MOST).sqrt() as f32;
    let cutter = Cutter {
        hard,
        soft,
        near,
        edge: (diagonal * EDGE_SHARE).clamp(EDGE_MM.0, EDGE_MM.1).max(least),
        bare_edge: (diagonal * BARE_SHARE).max(least),
    };
    let chunks: Vec<Result<Vec<Sample>, Cancelled>> = (0..hard.mesh.triangles.len())
        .collect::<Vec<_>>()
        .par_chunks(CHUNK)
        .map(|part| {
            run.check()?;
            let mut found = Vec::new();
            for &t in part {
                cutter.cut(t, &mut found);
            }
            Ok(found)
        })
        .collect();
    let mut all = Vec::new();
    for chunk in chunks {
        all.append(&mut chunk?);
    }
    Ok(all)
}

struct Cutter<'a> {
    hard: &'a Faceted<'a>,
    soft: &'a Faceted<'a>,
    near: Near,
    edge: f32,
    bare_edge: f32,
}

impl Cutter<'_> {
    fn cut(&self, t: usize, found: &mut Vec<Sample>) {
        let corners = self.hard.mesh.corners(t);
        let normal = self.hard.mesh.unit_normal(t);
        if normal == Vec3::ZERO {
            return;
        }
        let at = |w: Vec3| corners[0] * w.x + corners[1] * w.y + corners[2] * w.z;
        let mut open: Vec<(Piece, u32)> = vec![([Vec3::X, Vec3::Y, Vec3::Z], 0)];
        while let Some((piece, finer)) = open.pop() {
            let weights = (piece[0] + piece[1] + piece[2]) / 3.0;
            let (middle, ends) = (at(weights), piece.map(at));
            let radius = ends.iter().map(|e| e.distance(middle)).fold(0.0, f32::max);
            let longest = (0..3).map(|k| ends[k].distance(ends[(k + 1) % 3])).fold(0.0, f32::max);
            let in_reach = self.soft.tree.is_within(middle, radius + self.near.gap_mm as f32);
            let wanted = if in_reach { self.edge } else { self.bare_edge };
            if longest > wanted && finer == 0 {
                halve(piece, &ends, 0, &mut open);
                continue;
            }
            let Over { state, off_mm, .. } = self.look(t, middle, normal);
            if in_reach && finer < FINER {
                let disagrees = piece.iter().any(|corner| {
                    let towards = corner.lerp(weights, 0.1);
                    self.look(t, at(towards), normal).state.kind() != state.kind()
                });
                if disagrees {
                    halve(piece, &ends, finer + 1, &mut open);
                    continue;
                }
            }
            let across = (ends[1] - ends[0]).as_dvec3().cross((ends[2] - ends[0]).as_dvec3());
            found.push(Sample {
                at: middle,
                corners: ends,
                normal,
                smooth: self.hard.normal_at(t, weights),
                area_mm2: across.length() / 2.0,
                state,
                off_mm,
            });
        }
    }

    fn look(&self, t: usize, at: Vec3, normal: Vec3) -> Over {
        over(self.soft, at, normal, f64::from(self.hard.chord_mm[t]), self.near)
    }
}

/// What of the soft part lies over a point.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Over {
    /// In kind.
    pub state: State,
    /// How far off it is, millimetres; below 0 where the point lies inside.
    pub off_mm: f64,
    /// What counts as touching there, millimetres.
    pub tolerance_mm: f64,
}

/// What of `soft` lies over a point of the hard part's surface with this outward normal; `chord_mm` is what the hard part's
/// facet carries.
pub fn over(soft: &Faceted, at: Vec3, normal: Vec3, chord_mm: f64, near: Near) -> Over {
    let reach = near.gap_mm as f32;
    let off = |hit: &Hit| hit.t - reach;
    let mut best: Option<Hit> = None;
    let mut hits = Vec::new();
    soft.tree.all_hits(at - normal * reach, normal, 2.0 * reach, &mut hits);
    for hit in hits {
        let faces = hit.entering && soft.mesh.unit_normal(hit.triangle as usize).dot(normal) < FACING;
        if faces && best.as_ref().is_none_or(|b| off(&hit).abs() < off(b).abs()) {
            best = Some(hit);
        }
    }
    let Some(hit) = best else {
        // Deep inside no facing wall is near. On a side that both have in one plane it is not inside.
        let deep = soft.holds(at, normal) && !soft.tree.is_within(at, near.touch_mm as f32);
        let (state, off_mm) = if deep { (State::Inside(near.gap_mm), -near.gap_mm) } else { (State::Bare, 0.0) };
        return Over { state, off_mm, tolerance_mm: near.touch_mm };
    };
    let carried = chord_mm + f64::from(soft.chord_mm[hit.triangle as usize]);
    let tolerance_mm = (near.touch_mm + carried).min(near.gap_mm * MOST_CARRIED).max(near.touch_mm);
    let width = f64::from(off(&hit));
    let state = match width {
        w if w.abs() <= tolerance_mm => State::Touch,
        w if w > 0.0 => State::Gap(w),
        w => State::Inside(-w),
    };
    Over { state, off_mm: width, tolerance_mm }
}

/// Both halves of a piece, cut at its longest edge; twice where it is to be finer, so that its edges are.
fn halve(piece: Piece, ends: &[Vec3; 3], finer: u32, open: &mut Vec<(Piece, u32)>) {
    let longest = (0..3)
        .max_by(|&a, &b| ends[a].distance(ends[(a + 1) % 3]).total_cmp(&ends[b].distance(ends[(b + 1) % 3])))
        .unwrap_or(0);
    let [a, b, c] = [piece[longest], piece[(longest + 1) % 3], piece[(longest + 2) % 3]];
    let middle = (a + b) / 2.0;
    if finer == 0 {
        open.extend([([a, middle, c], 0), ([middle, b, c], 0)]);
    } else {
        let (bc, ca) = ((b + c) / 2.0, (c + a) / 2.0);
        open.extend([[a, middle, ca], [middle, b, bc], [ca, bc, c], [middle, bc, ca]].map(|p| (p, finer)));
    }
}
