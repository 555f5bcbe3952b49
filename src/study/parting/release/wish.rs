//! What a plan wants of the release, brought into `work`, and edits that help an undercut or move a shut-off.

use super::crossings::ByHand;
use super::cuts::ReliefCut;
use super::pieces::PieceWish;
use super::shut_offs::Choice;
use super::undercuts::Undercut;
use crate::plan::{self, PieceOf, Plan, Separation, Spot};
use crate::study::job::frames::Frames;
use crate::study::parting::facts::PartingFacts;
use crate::study::parting::hand::Stroke;
use crate::study::parting::hole::Hole;
use crate::study::parting::locked::Tunnel;
use crate::study::parting::surface::Surface;
use crate::study::parting::wish;
use glam::Vec3;

/// What a person did about undercuts and shut-offs.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ReleaseWish {
    /// Relief cuts, in plan order.
    pub cuts: Vec<ReliefCut>,
    /// Loose pieces, in plan order.
    pub pieces: Vec<PieceWish>,
    /// Decisions about shut-offs.
    pub shut_offs: Vec<Choice>,
    /// Shown surfaces, in plan order.
    pub shown: Vec<Stroke>,
    /// Loops that lie where the person wants them.
    pub by_hand: ByHand,
    /// Rubber round the part, millimetres.
    pub wall_mm: f64,
}

/// The wish of `plan`, with `wall_mm` of rubber round the part.
pub fn wish_of_plan(plan: &Plan, frames: &Frames, wall_mm: f64) -> ReleaseWish {
    let (parting, wish) = (&plan.parting, wish::wish_of_plan(plan, frames));
    ReleaseWish {
        cuts: parting
            .relief_cuts
            .iter()
            .map(|c| ReliefCut {
                name: c.name.clone(),
                points: c.points.iter().map(|s| frames.spot_in_work(s)).collect(),
                normals: c.points.iter().map(|s| frames.normal_in_work(s)).collect(),
                depth_mm: c.depth_mm,
            })
            .collect(),
        pieces: parting
            .loose_pieces
            .iter()
            .map(|p| PieceWish {
                name: p.name.clone(),
                at: frames.spot_in_work(&p.at),
                leaves_along: p.leaves_along.as_vec3().normalize_or(Vec3::Z),
                radius_mm: p.radius_mm as f32,
                of: p.of,
            })
            .collect(),
        shut_offs: parting
            .shut_offs
            .iter()
            .map(|s| Choice { near: frames.spot_in_work(&s.near), separation: s.separation })
            .collect(),
        by_hand: ByHand {
            held: wish.held.into_iter().map(|l| l.points).collect(),
            moved: wish.moved.into_iter().map(|m| m.line.points).collect(),
        },
        shown: wish.shown,
        wall_mm,
    }
}

/// A relief cut that opens an undercut: along the draw through its deepest place, from end to end, deep enough to slit
/// the rubber round the part. `part` is the part that the undercut lies on.
pub fn proposed_cut(
    parting: &PartingFacts,
    undercut: &Undercut,
    frames: &Frames,
    part: usize,
    wall_mm: f64,
    name: String,
) -> plan::ReliefCut {
    let deepest = &undercut.deepest;
    let [low, high] = undercut.help.cut_ends;
    let spot = |(p, f): (Vec3, u32)| {
        frames.spot_from_work(part, p, deepest.direction * 0.999 + parting.surface.normal[f as usize] * 0.001)
    };
    let points = vec![spot(low), spot((deepest.start, deepest.triangle)), spot(high)];
    plan::ReliefCut { name, points, depth_mm: wall_mm.max(2.0 * undercut.depth_mm).ceil() }
}

/// What is decided about the shut-off that closes `hole` once it is moved to `to_mm` from where it was proposed; none where
/// the hole does not reach so far or is not closed round there. At 0 it is no longer moved.
pub fn moved_shut_off(
    surface: &Surface,
    hole: &Hole,
    to_mm: f64,
    separation: Separation,
    spot: impl Fn(Vec3, Vec3) -> Spot,
) -> Option<plan::ShutOffChoice> {
    if to_mm == 0.0
        && let Some((at, normal)) = hole.proposed
    {
        return Some(plan::ShutOffChoice { near: spot(at, normal), separation, held: Vec::new(), moved_mm: 0.0 });
    }
    let held: Vec<Spot> = hole.round(surface, to_mm as f32)?.into_iter().map(|(p, n)| spot(p, n)).collect();
    let near = *held.first()?;
    Some(plan::ShutOffChoice { near, separation, held, moved_mm: to_mm })
}

/// A loose piece that takes an undercut with it: about the way aside from its deepest place, wide enough for all of it.
pub fn proposed_piece(undercut: &Undercut, frames: &Frames, part: usize, name: String) -> plan::LoosePiece {
    let axis = undercut.deepest.direction;
    plan::LoosePiece {
        name,
        at: frames.spot_from_work(part, undercut.help.piece_at, axis),
        leaves_along: axis.as_dvec3(),
        radius_mm: (undercut.help.piece_radius_mm as f64 * 10.0 + 1.0).ceil() / 10.0,
        of: PieceOf::Rubber,
    }
}

/// A core or loose piece that goes through a locked hole and leaves by its nearer mouth.
pub fn proposed_core(tunnel: &Tunnel, frames: &Frames, part: usize, of: PieceOf, name: String) -> plan::LoosePiece {
    let mouth = tunnel.middle + tunnel.axis * (tunnel.length_mm / 2.0) as f32;
    plan::LoosePiece {
        name,
        at: frames.spot_from_work(part, mouth, tunnel.axis),
        leaves_along: tunnel.axis.as_dvec3(),
        radius_mm: (tunnel.radius_mm * 10.0 + 1.0).ceil() / 10.0,
        of,
    }
}

/// A relief cut all round inside a locked hole, deep enough for the rubber to part there.
pub fn severing_cut(tunnel: &Tunnel, frames: &Frames, part: usize, name: String) -> plan::ReliefCut {
    let closed = tunnel.ring.iter().chain(tunnel.ring.first());
    plan::ReliefCut {
        name,
        points: closed.map(|&(p, n)| frames.spot_from_work(part, p, n)).collect(),
        depth_mm: (tunnel.radius_mm * 2.0).ceil() / 2.0,
    }
}
