//! What a plan wants of the release, brought into `work`, and edits that help an undercut.

use super::cuts::ReliefCut;
use super::pieces::PieceWish;
use super::shut_offs::Choice;
use super::undercuts::Undercut;
use crate::plan::{self, Plan};
use crate::study::frames::Frames;
use crate::study::parting::PartingFacts;
use crate::study::parting::aside::along;
use crate::study::parting::hand::Stroke;
use crate::study::parting_wish;
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
    /// Rubber round the part, millimetres.
    pub wall_mm: f64,
}

/// The wish of `plan`, with `wall_mm` of rubber round the part.
pub fn wish_of_plan(plan: &Plan, frames: &Frames, wall_mm: f64) -> ReleaseWish {
    let parting = &plan.parting;
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
            })
            .collect(),
        shut_offs: parting
            .shut_offs
            .iter()
            .map(|s| Choice { near: frames.spot_in_work(&s.near), separation: s.separation })
            .collect(),
        shown: parting_wish::wish_of_plan(plan, frames).shown,
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
    let surface = &*parting.surface;
    let away = along(parting.draw, undercut.half);
    let across = away.cross(undercut.deepest.direction);
    let at = undercut.deepest.start;
    let height = |f: u32| surface.centroid[f as usize].dot(away);
    let beside = |f: u32| {
        let from = surface.centroid[f as usize] - at;
        from.dot(across).abs() <= 1.5 * surface.edge_mm
            && from.dot(undercut.deepest.direction) > -undercut.depth_mm as f32
    };
    let mut row: Vec<u32> = undercut.triangles.iter().copied().filter(|&f| beside(f)).collect();
    row.push(undercut.deepest.triangle);
    row.sort_by(|&a, &b| height(a).total_cmp(&height(b)).then(a.cmp(&b)));
    // The ends and the deepest place between them; the ends go on to the rims of their triangles.
    let spot = |p: Vec3, f: u32| {
        frames.spot_from_work(part, p, undercut.deepest.direction * 0.999 + surface.normal[f as usize] * 0.001)
    };
    let corner = |f: u32, sign: f32| {
        let corners = surface.mesh.corners(f as usize);
        corners.into_iter().max_by(|a, b| (a.dot(away) * sign).total_cmp(&(b.dot(away) * sign))).unwrap_or(at)
    };
    let (low, high) = (row[0], row[row.len() - 1]);
    let points = vec![spot(corner(low, -1.0), low), spot(at, undercut.deepest.triangle), spot(corner(high, 1.0), high)];
    plan::ReliefCut { name, points, depth_mm: wall_mm.max(2.0 * undercut.depth_mm).ceil() }
}

/// A loose piece that takes an undercut with it: about the way aside from its deepest place, wide enough for all of it.
pub fn proposed_piece(
    parting: &PartingFacts,
    undercut: &Undercut,
    frames: &Frames,
    part: usize,
    name: String,
) -> plan::LoosePiece {
    let surface = &*parting.surface;
    let axis = undercut.deepest.direction;
    let corners = || undercut.triangles.iter().flat_map(|&f| surface.mesh.corners(f as usize));
    let flat = |p: Vec3| p - axis * p.dot(axis);
    // About the middle of its box seen along the way out.
    let (u, v) = crate::mesh::solids::frame_square_to(axis);
    let middle = |d: Vec3| {
        let (low, high) = super::range(corners().map(|p| p.dot(d)));
        (low + high) / 2.0
    };
    let at = u * middle(u) + v * middle(v) + axis * undercut.deepest.start.dot(axis);
    let radius = corners().map(|p| flat(p).distance(flat(at))).fold(0.0, f32::max);
    plan::LoosePiece {
        name,
        at: frames.spot_from_work(part, at, axis),
        leaves_along: axis.as_dvec3(),
        radius_mm: (radius as f64 * 10.0 + 1.0).ceil() / 10.0,
    }
}
