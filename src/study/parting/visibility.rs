//! What each half can see: how much of every triangle leaves freely along the draw and against it.

use super::surface::{NONE, Surface};
use crate::mesh::score::Cut;
use crate::mesh::tree::Tree;
use crate::solve::run::{Cancelled, Run};
use glam::Vec3;
use rayon::prelude::*;

/// Shares of each triangle's area, 0 to 1, that do not leave freely.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Visibility {
    /// Hidden from half 1, which looks against +W: something lies above.
    pub from_one: Vec<f32>,
    /// Hidden from half 2: something lies below.
    pub from_two: Vec<f32>,
    /// Hidden from both at the same place.
    pub from_both: Vec<f32>,
    /// How far the smooth surface in the middle of each triangle faces half 1: its normal along the draw; nothing where
    /// the original triangle is parallel to the draw but for rounding.
    pub facing: Vec<f32>,
}

/// Surface that leans back from a half by this sine, 3°, counts as hidden from it altogether, less in proportion (set
/// here). It draws the line to where a wall turns even where the overhang is too small to hold the rubber, and is
/// nothing on walls that are parallel but for their tessellation.
const LEAN_FULL: f32 = 0.05;

/// Triangles on the rim of a shadow are sampled at the middles of SIDE² equal parts.
const SIDE: usize = 4;

/// A triangle that leans back more than this from a half is hidden from it by what lies right behind its own surface:
/// sine of 45°.
const LEANS_BACK: f32 = 0.707;

impl Visibility {
    /// Casts rays from every triangle along `draw` and against it, two to a triangle and more on the rims of shadows.
    ///
    /// A ray starts one step off the surface, square to the draw (see [`Surface::ray_origin`]): facets of walls that
    /// are parallel to the draw but for their tessellation are free, and an undercut shallower than that step is none.
    pub fn of(surface: &Surface, tree: &Tree, draw: Vec3, run: &Run) -> Result<Visibility, Cancelled> {
        let n = surface.len();
        let middle: Vec<[bool; 2]> = (0..n)
            .into_par_iter()
            .map(|f| {
                if f % 1024 == 0 {
                    run.check()?;
                }
                Ok(hidden_at(surface, tree, f, surface.centroid[f], draw))
            })
            .collect::<Result<_, Cancelled>>()?;
        let shares: Vec<[f32; 3]> = (0..n)
            .into_par_iter()
            .map(|f| {
                if f % 1024 == 0 {
                    run.check()?;
                }
                let [one, two] = middle[f];
                let on_rim = surface.across[f].iter().any(|&g| g != NONE && middle[g as usize] != middle[f]);
                if on_rim {
                    return Ok(sampled(surface, tree, f, draw));
                }
                Ok([one as u8 as f32, two as u8 as f32, (one && two) as u8 as f32])
            })
            .collect::<Result<_, Cancelled>>()?;
        Ok(Visibility {
            from_one: shares.iter().map(|s| s[0]).collect(),
            from_two: shares.iter().map(|s| s[1]).collect(),
            from_both: shares.iter().map(|s| s[2]).collect(),
            facing: facing(surface, draw),
        })
    }

    /// Follows a surface that was cut.
    pub fn follow(&mut self, surface: &Surface, cut: &Cut, draw: Vec3) {
        for shares in [&mut self.from_one, &mut self.from_two, &mut self.from_both] {
            for &of in &cut.of_added {
                shares.push(shares[of as usize]);
            }
        }
        for &f in &cut.replaced {
            self.facing[f as usize] = facing_of(surface, f as usize, draw);
        }
        self.facing.extend((self.facing.len()..surface.len()).map(|f| facing_of(surface, f, draw)));
    }

    /// What giving triangle `f` to a half costs, as a share of its area: what is hidden from that half, or how far it
    /// leans back from it, whichever is more.
    pub fn charged(&self, half: crate::plan::Half, f: usize) -> f32 {
        let towards = match half {
            crate::plan::Half::One => self.facing[f],
            crate::plan::Half::Two => -self.facing[f],
        };
        self.from(half)[f].max((-towards / LEAN_FULL).clamp(0.0, 1.0))
    }

    /// The shares hidden from one half.
    pub fn from(&self, half: crate::plan::Half) -> &[f32] {
        match half {
            crate::plan::Half::One => &self.from_one,
            crate::plan::Half::Two => &self.from_two,
        }
    }
}

/// How far the smooth surface faces half 1 in the middle of each triangle, see [`Visibility::facing`].
fn facing(surface: &Surface, draw: Vec3) -> Vec<f32> {
    (0..surface.len()).into_par_iter().map(|f| facing_of(surface, f, draw)).collect()
}

fn facing_of(surface: &Surface, f: usize, draw: Vec3) -> f32 {
    if super::drafted::is_parallel(surface, f, draw) {
        return 0.0;
    }
    surface.smooth_normal(f, surface.centroid[f]).dot(draw)
}

/// Whether the place `at` in triangle `f` is hidden from half 1 and from half 2.
pub fn hidden_at(surface: &Surface, tree: &Tree, f: usize, at: Vec3, draw: Vec3) -> [bool; 2] {
    let facing = surface.normal[f].dot(draw);
    let origin = surface.ray_origin(f, at, draw, tree);
    [
        facing < -LEANS_BACK || tree.any_hit(origin, draw, f32::INFINITY),
        facing > LEANS_BACK || tree.any_hit(origin, -draw, f32::INFINITY),
    ]
}

/// The shares of triangle `f`, from the middles of equal parts of it.
fn sampled(surface: &Surface, tree: &Tree, f: usize, draw: Vec3) -> [f32; 3] {
    let [a, b, c] = surface.mesh.corners(f);
    let mut count = [0u32; 3];
    let mut look = |u: f32, v: f32| {
        let at = a + (b - a) * u + (c - a) * v;
        let [one, two] = hidden_at(surface, tree, f, at, draw);
        count[0] += one as u32;
        count[1] += two as u32;
        count[2] += (one && two) as u32;
    };
    let part = 1.0 / SIDE as f32;
    for i in 0..SIDE {
        for j in 0..SIDE - i {
            look((i as f32 + 1.0 / 3.0) * part, (j as f32 + 1.0 / 3.0) * part);
            if i + j + 1 < SIDE {
                look((i as f32 + 2.0 / 3.0) * part, (j as f32 + 2.0 / 3.0) * part);
            }
        }
    }
    count.map(|c| c as f32 / (SIDE * SIDE) as f32)
}
