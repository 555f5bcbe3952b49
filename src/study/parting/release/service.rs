//! What a relief cut or a loose piece does for the undercuts that it serves.

use super::cuts::ReliefCut;
use super::pieces::PieceWish;
use super::range::range;
use super::undercuts::{Form, Undercut};
use crate::study::parting::aside::along;
use crate::study::parting::facts::PartingFacts;
use glam::Vec3;

/// A cut serves an undercut that it comes this near to, in edges of the parted surface, and one millimetre at least.
const NEAR_EDGES: f32 = 2.0;
/// Share of the undercut's extent along the draw that a cut must run through.
const SPANS: f64 = 0.8;
/// Share of an undercut that loose pieces must take with them for it to be gone.
const TAKEN: f64 = 0.95;

/// What serves one undercut.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Service {
    /// Relief cuts that run through it and reach deep enough, by their place in the plan.
    pub cuts: Vec<usize>,
    /// Relief cuts that touch it but are too short or too shallow: place in the plan, length along the draw and depth
    /// that are wanted, millimetres.
    pub short: Vec<(usize, f64, f64)>,
    /// Depth of the shallowest cut that serves it, millimetres.
    pub cut_mm: f64,
    /// Loose pieces that take some of it with them.
    pub pieces: Vec<usize>,
    /// Share of its area that comes out with loose pieces, 0 to 1.
    pub taken: f64,
}

impl Service {
    /// True where loose pieces take the undercut away.
    pub fn is_gone(&self) -> bool {
        self.taken >= TAKEN
    }

    /// The form that is left when the cuts are opened; `wall_mm` is the rubber round the part.
    ///
    /// A ring that is slit begins at the slit's end, and one that is slit through its wall opens, a tongue between two
    /// slits; a core slit to its middle comes out piece by piece; a tongue slit at its ends bows freely.
    pub fn opened(&self, form: &Form, wall_mm: f64) -> Form {
        let n = self.cuts.len() as f64;
        if self.cuts.is_empty() {
            return *form;
        }
        match *form {
            Form::Collar { neck_mm, head_mm } if self.cut_mm >= wall_mm => Form::Tongue {
                thickness_mm: f64::INFINITY,
                length_mm: (head_mm - neck_mm) / 2.0,
                width_mm: std::f64::consts::PI * neck_mm / n,
            },
            Form::Collar { neck_mm, head_mm } => {
                Form::Collar { neck_mm: neck_mm + 2.0 * self.cut_mm, head_mm: head_mm + 2.0 * self.cut_mm }
            }
            Form::Core { neck_mm, head_mm } if self.cut_mm >= head_mm / 2.0 => {
                Form::Core { neck_mm, head_mm: head_mm / (n + 1.0) }
            }
            Form::Core { .. } => *form,
            Form::Tongue { thickness_mm, length_mm, .. } => {
                Form::Tongue { thickness_mm, length_mm, width_mm: f64::INFINITY }
            }
        }
    }
}

/// What serves each of `undercuts`.
pub fn services(
    parting: &PartingFacts,
    undercuts: &[Undercut],
    cuts: &[ReliefCut],
    pieces: &[PieceWish],
) -> Vec<Service> {
    undercuts.iter().map(|u| service(parting, u, cuts, pieces)).collect()
}

fn service(parting: &PartingFacts, undercut: &Undercut, cuts: &[ReliefCut], pieces: &[PieceWish]) -> Service {
    let surface = &*parting.surface;
    let away = along(parting.draw, undercut.half);
    let mut service = Service { cut_mm: f64::INFINITY, ..Service::default() };
    let near = (NEAR_EDGES * surface.edge_mm).max(1.0);
    let corners = || undercut.triangles.iter().flat_map(|&f| surface.mesh.corners(f as usize));
    let (low, high) = range(corners().map(|p| p.dot(away)));
    for (i, cut) in cuts.iter().enumerate() {
        let touching: Vec<Vec3> =
            cut.along().into_iter().filter(|p| corners().any(|q| q.distance(*p) <= near)).collect();
        if touching.is_empty() {
            continue;
        }
        // A cut may run on beyond the undercut; only what lies within counts.
        let (from, to) = range(cut.along().iter().map(|p| p.dot(away).clamp(low, high)));
        let wanted = SPANS * (high - low) as f64;
        if ((to - from) as f64) < wanted || cut.depth_mm < undercut.depth_mm {
            service.short.push((i, wanted, undercut.depth_mm));
        } else {
            service.cuts.push(i);
            service.cut_mm = service.cut_mm.min(cut.depth_mm);
        }
    }
    let area = |f: u32| surface.area_mm2[f as usize] as f64;
    let mut whole = 0.0;
    let mut taken = 0.0;
    for &f in &undercut.triangles {
        let by: Vec<usize> = (0..pieces.len()).filter(|&i| pieces[i].holds(surface.centroid[f as usize])).collect();
        whole += area(f);
        taken += if by.is_empty() { 0.0 } else { area(f) };
        for i in by {
            if !service.pieces.contains(&i) {
                service.pieces.push(i);
            }
        }
    }
    service.pieces.sort_unstable();
    service.taken = if whole > 0.0 { taken / whole } else { 0.0 };
    service
}
