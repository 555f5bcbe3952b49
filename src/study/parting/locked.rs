//! Locked cores: rubber of one half that goes through a handle of the part and comes back to itself.
//!
//! Where the piece of a body's surface that belongs to one half has a handle, there is a closed way on it that does not
//! cut it in two. Of such ways round a hole (the surface faces inwards on them) the shortest plane one is sought: across
//! it the rubber is severed, or along it a core goes through.

use super::hole::{self, INWARDS};
use super::loops::Loop;
use super::regions::{Regions, ShapeFault, handles};
use super::section::{Section, section};
use super::surface::{NONE, Surface};
use crate::mesh::tree::Tree;
use crate::plan::Half;
use crate::solve::run::{Cancelled, Run};
use glam::Vec3;
use std::collections::HashSet;
use std::f32::consts::PI;

/// Places at which a way round a hole is looked for.
const PLACES: usize = 16;
/// Planes through each place.
const PLANES: usize = 24;
/// Ways, the shortest first, of which it is found out whether they cut the region in two.
const LOOKS: usize = 48;
/// Holes of one core that are looked for.
const MOST_TUNNELS: u32 = 8;
/// Points of a ring that are kept.
const RING: usize = 48;

/// A hole through which the rubber is locked.
#[derive(Clone, Debug, PartialEq)]
pub struct Tunnel {
    /// Points round the hole where it can be cut across, at one of its mouths where that can be told, with the normals of
    /// the wall there; it closes from the last to the first.
    pub ring: Vec<(Vec3, Vec3)>,
    /// A point on its axis, in the middle of its length.
    pub middle: Vec3,
    /// Its axis, a unit vector.
    pub axis: Vec3,
    /// From mouth to mouth, millimetres.
    pub length_mm: f64,
    /// Greatest distance of its wall from the axis, millimetres.
    pub radius_mm: f64,
    /// The triangles of its wall, in order.
    pub wall: Vec<u32>,
}

/// A core that is locked.
#[derive(Clone, Debug, PartialEq)]
pub struct LockedCore {
    /// Which body.
    pub body: u32,
    /// The half whose rubber is locked.
    pub half: Half,
    /// Handles that its piece of surface goes through.
    pub handles: u32,
    /// Handles of the whole body.
    pub genus: u32,
    /// Lines on the body; without locked cores and islands one more than it has handles.
    pub loops: u32,
    /// A point on the piece, where most of it is hidden.
    pub at: Vec3,
    /// The holes that it goes through, as far as they were found.
    pub tunnels: Vec<Tunnel>,
}

/// Every locked core among `faults`, in their order. `tree` holds the mesh that was parted.
///
/// # Errors
/// [`Cancelled`].
pub fn locked_cores(
    surface: &Surface,
    regions: &Regions,
    loops: &[Loop],
    faults: &[ShapeFault],
    hidden: impl Fn(usize) -> f32,
    tree: &Tree,
    run: &Run,
) -> Result<Vec<LockedCore>, Cancelled> {
    let mut cores = Vec::new();
    for fault in faults {
        let ShapeFault::LockedCore { body, half, handles, at, region } = *fault else { continue };
        let seeker = Seeker { surface, regions, region, tree };
        let tunnels = seeker.tunnels(handles.min(MOST_TUNNELS), &hidden, run)?;
        let loops = loops.iter().filter(|l| l.body == body).count() as u32;
        cores.push(LockedCore { body, half, handles, genus: genus(surface, body), loops, at, tunnels });
    }
    Ok(cores)
}

/// Handles of a whole body.
fn genus(surface: &Surface, body: u32) -> u32 {
    let whole = super::regions::Region { half: Half::One, body, area_mm2: 0.0, first: 0, main: true };
    let regions = Regions { of: surface.body.clone(), list: vec![whole; surface.bodies] };
    handles(surface, &regions).get(body as usize).copied().unwrap_or(0)
}

struct Seeker<'a> {
    surface: &'a Surface,
    regions: &'a Regions,
    region: u32,
    tree: &'a Tree,
}

/// A way round a hole.
#[derive(Clone)]
struct Round {
    section: Section,
    axis: Vec3,
    middle: Vec3,
    length_mm: f32,
}

impl Seeker<'_> {
    fn tunnels(&self, most: u32, hidden: &impl Fn(usize) -> f32, run: &Run) -> Result<Vec<Tunnel>, Cancelled> {
        let own: Vec<u32> = (0..self.surface.len() as u32).filter(|&f| self.is_own(f)).collect();
        let dark: Vec<u32> = own.iter().copied().filter(|&f| hidden(f as usize) > 0.5).collect();
        let mut severed: HashSet<u32> = HashSet::new();
        let mut tunnels = Vec::new();
        while tunnels.len() < most as usize {
            run.check()?;
            let found = self.shortest(&dark, &severed, run)?;
            let found = if found.is_some() { found } else { self.shortest(&own, &severed, run)? };
            let Some(round) = found else { break };
            severed.extend(&round.section.triangles);
            tunnels.push(self.tunnel(round, &severed));
        }
        Ok(tunnels)
    }

    fn is_own(&self, f: u32) -> bool {
        self.regions.of[f as usize] == self.region
    }

    /// The shortest way round a hole through one of the places that does not cut the rest of the region in two.
    fn shortest(&self, places: &[u32], severed: &HashSet<u32>, run: &Run) -> Result<Option<Round>, Cancelled> {
        let mut found: Vec<Round> = Vec::new();
        let places: Vec<u32> = places.iter().copied().filter(|f| !severed.contains(f)).collect();
        for i in 0..PLACES.min(places.len()) {
            run.check()?;
            let seed = places[(2 * i + 1) * places.len() / (2 * PLACES.min(places.len()))];
            let normal = self.surface.normal[seed as usize];
            let u = normal.any_orthonormal_vector();
            let v = normal.cross(u);
            for p in 0..PLANES {
                let (s, c) = (PI * p as f32 / PLANES as f32).sin_cos();
                found.extend(self.round(seed, u * c + v * s, severed));
            }
        }
        found.sort_by(|a, b| a.length_mm.total_cmp(&b.length_mm));
        Ok(found.into_iter().take(LOOKS).find(|r| !self.cuts_in_two(r, severed)))
    }

    /// The way round a hole through a triangle in the plane square to `axis`.
    fn round(&self, seed: u32, axis: Vec3, severed: &HashSet<u32>) -> Option<Round> {
        let section = section(self.surface, seed, axis).filter(|s| s.closed)?;
        let n = section.points.len();
        if n < 3 || !section.triangles.iter().all(|&f| self.is_own(f) && !severed.contains(&f)) {
            return None;
        }
        // Round a hole the wall faces its middle; round a limb of the part it faces away.
        let (middle, length_mm) = (section.middle(), section.length_mm());
        (section.faces_inwards(self.surface) > INWARDS).then_some(Round { section, axis, middle, length_mm })
    }

    /// True where the region falls apart along a way: no way leads from one side of it to the other.
    fn cuts_in_two(&self, round: &Round, severed: &HashSet<u32>) -> bool {
        let on: HashSet<u32> = round.section.triangles.iter().copied().collect();
        let open = |f: u32| self.is_own(f) && !on.contains(&f) && !severed.contains(&f);
        // An edge by which the way is not left lies on one side of its plane; what is beyond the edge may not.
        let surface = self.surface;
        let level = round.section.points[0].dot(round.axis);
        let (mut ups, mut downs): (Vec<u32>, Vec<u32>) = (Vec::new(), Vec::new());
        for &f in &round.section.triangles {
            for (k, &g) in surface.across[f as usize].iter().enumerate() {
                if g != NONE && open(g) {
                    let [a, b] = surface.ends(f as usize, k);
                    let above = (a + b).dot(round.axis) > 2.0 * level;
                    if above { ups.push(g) } else { downs.push(g) }
                }
            }
        }
        let downs: HashSet<u32> = downs.into_iter().collect();
        if downs.is_empty() {
            return true;
        }
        let mut seen = vec![false; self.surface.len()];
        let mut stack = ups;
        stack.iter().for_each(|&f| seen[f as usize] = true);
        while let Some(f) = stack.pop() {
            if downs.contains(&f) {
                return false;
            }
            for &g in &self.surface.across[f as usize] {
                if g != NONE && !seen[g as usize] && open(g) {
                    seen[g as usize] = true;
                    stack.push(g);
                }
            }
        }
        true
    }

    fn tunnel(&self, round: Round, severed: &HashSet<u32>) -> Tunnel {
        let surface = self.surface;
        let wall = hole::wall(surface, &round.section.triangles, round.middle, round.axis, |f| self.is_own(f));
        // Where the wall says otherwise altogether, the way round stands.
        let told = hole::along_wall(surface, &wall, round.axis);
        let axis = if told.dot(round.axis) > 0.94 { told } else { round.axis };
        // Out by the mouth that is not blocked, where one is.
        let far = surface.mesh.bounds().diagonal();
        let blocked = |way: Vec3| self.tree.any_hit(round.middle, way, far);
        let axis = if blocked(axis) && !blocked(-axis) { -axis } else { axis };
        let place = |p: Vec3| (p - round.middle).dot(axis);
        let off_axis = |p: Vec3| (p - round.middle - axis * place(p)).length();
        let corners = || wall.iter().flat_map(|&f| surface.mesh.corners(f as usize));
        let low = corners().map(place).fold(0.0, f32::min);
        let high = corners().map(place).fold(0.0, f32::max);
        let radius = corners().map(off_axis).fold(0.0, f32::max);
        // Across a mouth the blade comes to it along the part; deep in the hole it does not.
        let none = HashSet::new();
        let at_mouth = |f: &&u32| {
            let centre = place(surface.centroid[**f as usize]);
            centre < low + 1.5 * surface.edge_mm || centre > high - 1.5 * surface.edge_mm
        };
        let mouths: Vec<u32> = wall.iter().filter(at_mouth).copied().filter(|f| !severed.contains(f)).collect();
        let tries = 6.min(mouths.len());
        let ring = (0..tries)
            .filter_map(|i| self.round(mouths[i * mouths.len() / tries], axis, &none))
            .filter(|r| r.length_mm <= 1.3 * round.length_mm)
            .min_by(|a, b| a.length_mm.total_cmp(&b.length_mm))
            .unwrap_or_else(|| round.clone());
        let n = ring.section.points.len();
        let keep = RING.min(n);
        let at = |i: usize| {
            let k = i * n / keep;
            (ring.section.points[k], surface.normal[ring.section.triangles[k] as usize])
        };
        Tunnel {
            ring: (0..keep).map(at).collect(),
            middle: round.middle + axis * ((low + high) / 2.0),
            axis,
            length_mm: (high - low) as f64,
            radius_mm: radius as f64,
            wall,
        }
    }
}
