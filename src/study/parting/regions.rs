//! Connected pieces of one half, and the rule of shape that they must keep.

use super::surface::{self, NONE, Surface};
use crate::plan::Half;
use glam::{DVec3, Vec3};

/// The connected pieces into which the labels divide the surface.
#[derive(Clone, Debug)]
pub struct Regions {
    /// For each triangle, its region.
    pub of: Vec<u32>,
    /// The regions.
    pub list: Vec<Region>,
}

/// A connected piece of one half on one body.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Region {
    /// Which half.
    pub half: Half,
    /// Which body.
    pub body: u32,
    /// Area, mm².
    pub area_mm2: f64,
    /// Its lowest triangle.
    pub first: u32,
    /// True for the largest piece of its half on its body; the others are islands.
    pub main: bool,
}

impl Regions {
    /// The regions of a labelling.
    pub fn of(surface: &Surface, halves: &[Half]) -> Regions {
        let (of, count) = surface::groups(&surface.across, |f, _, g| halves[f] == halves[g]);
        let mut list: Vec<Region> = Vec::with_capacity(count);
        for f in 0..surface.len() {
            let r = of[f] as usize;
            if r == list.len() {
                let (half, body) = (halves[f], surface.body[f]);
                list.push(Region { half, body, area_mm2: 0.0, first: f as u32, main: false });
            }
            list[r].area_mm2 += surface.area_mm2[f] as f64;
        }
        let mut largest: Vec<[Option<usize>; 2]> = vec![[None; 2]; surface.bodies];
        for (r, region) in list.iter().enumerate() {
            let here = &mut largest[region.body as usize][(region.half == Half::Two) as usize];
            if here.is_none_or(|other| region.area_mm2 > list[other].area_mm2) {
                *here = Some(r);
            }
        }
        for r in largest.into_iter().flatten().flatten() {
            list[r].main = true;
        }
        Regions { of, list }
    }

    /// The triangles of every region, in order.
    pub fn triangles(&self) -> Vec<Vec<u32>> {
        let mut triangles = vec![Vec::new(); self.list.len()];
        for (f, &r) in self.of.iter().enumerate() {
            triangles[r as usize].push(f as u32);
        }
        triangles
    }
}

/// How a parting breaks the rule of shape: on each body each half is one connected piece without a handle, and so the
/// body has one loop more than it has handles.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ShapeFault {
    /// A body lies in one half altogether; there is no line on it.
    NoLine {
        /// Which body.
        body: u32,
        /// The half that holds it.
        half: Half,
    },
    /// A half is in several pieces on one body; all but one leave sideways or not at all.
    Pieces {
        /// Which body.
        body: u32,
        /// Which half.
        half: Half,
        /// How many pieces.
        pieces: u32,
        /// A point on the largest piece that is cut off.
        at: Vec3,
    },
    /// The rubber of a half goes through a handle of the body and comes back to itself: a core that is locked.
    LockedCore {
        /// Which body.
        body: u32,
        /// The half whose rubber is locked.
        half: Half,
        /// How many handles it goes through.
        handles: u32,
        /// A point on the piece, where most of it is hidden.
        at: Vec3,
        /// Which of the [`Regions`].
        region: u32,
    },
}

/// Handles of every region: genus = (2 − χ − boundaries) / 2, with vertices where the region only touches itself
/// counted once for each fan, so that an open or pinched surface is as good as any.
pub fn handles(surface: &Surface, regions: &Regions) -> Vec<u32> {
    let inside = |f: usize, k: usize| {
        let g = surface.across[f][k];
        g != NONE && regions.of[g as usize] == regions.of[f]
    };
    // Corners that are joined round a vertex inside the region are one vertex of it.
    let mut root: Vec<u32> = (0..3 * surface.len() as u32).collect();
    fn find(root: &mut [u32], mut c: u32) -> u32 {
        while root[c as usize] != c {
            root[c as usize] = root[root[c as usize] as usize];
            c = root[c as usize];
        }
        c
    }
    let mut euler = vec![0i64; regions.list.len()];
    let mut boundaries = vec![0i64; regions.list.len()];
    for f in 0..surface.len() {
        let r = regions.of[f] as usize;
        euler[r] += 1; // the face
        for k in 0..3 {
            if !inside(f, k) {
                euler[r] -= 1; // an edge on the rim
                continue;
            }
            let g = surface.across[f][k] as usize;
            if f < g {
                euler[r] -= 1; // an edge inside
                let back = surface.edge_back(f, k, g);
                for (one, other) in [(3 * f + k, 3 * g + (back + 1) % 3), (3 * f + (k + 1) % 3, 3 * g + back)] {
                    let (a, b) = (find(&mut root, one as u32), find(&mut root, other as u32));
                    root[a.max(b) as usize] = a.min(b);
                }
            }
        }
    }
    for c in 0..root.len() {
        if root[c] == c as u32 {
            euler[regions.of[c / 3] as usize] += 1;
        }
    }
    // Rims: from an edge on the rim turn round its end inside the region to the next.
    let mut done = vec![false; 3 * surface.len()];
    for f in 0..surface.len() {
        for k in 0..3 {
            if inside(f, k) || done[3 * f + k] {
                continue;
            }
            boundaries[regions.of[f] as usize] += 1;
            let (mut g, mut j) = (f, k);
            while !done[3 * g + j] {
                done[3 * g + j] = true;
                j = (j + 1) % 3;
                while inside(g, j) {
                    let next = surface.across[g][j] as usize;
                    j = (surface.edge_back(g, j, next) + 1) % 3;
                    g = next;
                }
            }
        }
    }
    euler.iter().zip(&boundaries).map(|(&e, &b)| ((2 - e - b) / 2).max(0) as u32).collect()
}

/// Everything in which a labelling breaks the rule of shape, body by body. `hidden` is the share of each triangle that
/// is hidden from the half it is given to.
pub fn shape_faults(surface: &Surface, regions: &Regions, hidden: impl Fn(usize) -> f32) -> Vec<ShapeFault> {
    let handles = handles(surface, regions);
    let mut faults = Vec::new();
    let mut by_body = vec![Vec::new(); surface.bodies];
    for (r, region) in regions.list.iter().enumerate() {
        by_body[region.body as usize].push(r);
    }
    for (body, of_body) in by_body.iter().enumerate() {
        let body = body as u32;
        for half in [Half::One, Half::Two] {
            let pieces = || of_body.iter().copied().filter(|&r| regions.list[r].half == half);
            if pieces().next().is_none() {
                faults.push(ShapeFault::NoLine { body, half: half.other() });
            }
            let cut_off = pieces()
                .filter(|&r| !regions.list[r].main)
                .max_by(|&a, &b| regions.list[a].area_mm2.total_cmp(&regions.list[b].area_mm2).then(b.cmp(&a)));
            if let Some(r) = cut_off {
                let at = middle_of(surface, regions, r, |_| 1.0);
                faults.push(ShapeFault::Pieces { body, half, pieces: pieces().count() as u32, at });
            }
            for r in pieces() {
                if handles[r] > 0 {
                    let at = middle_of(surface, regions, r, &hidden);
                    faults.push(ShapeFault::LockedCore { body, half, handles: handles[r], at, region: r as u32 });
                }
            }
        }
    }
    faults
}

/// The centroid of the region's triangle nearest to the weighted middle of the region.
fn middle_of(surface: &Surface, regions: &Regions, region: usize, weight: impl Fn(usize) -> f32) -> Vec3 {
    let own = || (0..surface.len()).filter(|&f| regions.of[f] == region as u32);
    let any = own().any(|f| weight(f) > 0.0);
    middle_of_triangles(surface, own().filter(|&f| !any || weight(f) > 0.0))
}

/// The centroid of that triangle among `triangles` which lies nearest to their common middle; a point on the surface.
pub fn middle_of_triangles(surface: &Surface, triangles: impl Iterator<Item = usize> + Clone) -> Vec3 {
    let mut sum = DVec3::ZERO;
    let mut area = 0.0;
    for f in triangles.clone() {
        sum += surface.centroid[f].as_dvec3() * surface.area_mm2[f] as f64;
        area += surface.area_mm2[f] as f64;
    }
    let middle = if area > 0.0 { (sum / area).as_vec3() } else { Vec3::ZERO };
    triangles
        .map(|f| surface.centroid[f])
        .min_by(|a, b| a.distance_squared(middle).total_cmp(&b.distance_squared(middle)))
        .unwrap_or(middle)
}
