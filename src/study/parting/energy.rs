//! What a parting costs: area that is pulled over something, and length of line.

use super::surface::{NONE, Surface};
use super::visibility::Visibility;
use crate::plan::Half;
use crate::study::parting::crease::CREASE_DEG;
use glam::Vec3;
use rayon::prelude::*;

/// Length of line that one square millimetre of undercut is worth, mm per mm² (set here: at 0.2 small features get no
/// line of their own, at 2 less than a third of a per cent of the area lands on the wrong half).
pub const HIDDEN_PER_MM: f64 = 2.0;
/// Cost of a millimetre of line on a convex crease: it is hardly seen there.
pub const ON_CREASE: f64 = 0.15;
/// Cost of a millimetre of line on smooth surface.
pub const ON_SMOOTH: f64 = 1.0;
/// Cost of a millimetre of line in a concave crease, where flash cannot be trimmed.
pub const IN_CORNER: f64 = 2.0;
/// How much dearer the line is that runs along the draw: 1 + ALONG_DRAW·cos².
pub const ALONG_DRAW: f64 = 2.0;
/// How much dearer the line is across a shown surface; nothing but hand work leads it there if there is another way.
pub const ON_SHOWN: f64 = 1000.0;

/// The cost, in millimetres of plain line, of having the line on edge `k` of triangle `f`, which has `g` across.
///
/// On the contour of smooth surface, where it turns from facing one half to facing the other (`facing`, see
/// [`Visibility::facing`]; empty where that is not known), the line has no choice: there it costs its length however
/// steep.
pub fn edge_cost_mm(
    surface: &Surface,
    facing: &[f32],
    f: usize,
    k: usize,
    g: usize,
    draw: Vec3,
    shown: &[bool],
) -> f64 {
    let [a, b] = surface.ends(f, k);
    let along = b - a;
    let length = along.length();
    if length == 0.0 {
        return 0.0;
    }
    let (n, m) = (surface.normal[f], surface.normal[g]);
    // Sine of the angle by which the surface turns over the edge: positive where it is convex.
    let sine = n.cross(m).dot(along) / length;
    let angle = sine.atan2(n.dot(m));
    let crease = CREASE_DEG.to_radians();
    let mut cost = if angle > crease {
        ON_CREASE
    } else if angle < -crease {
        IN_CORNER
    } else {
        ON_SMOOTH
    };
    // A line between two shown triangles crosses the shown surface; one on its edge does not.
    if !shown.is_empty() && shown[f] && shown[g] {
        cost = ON_SMOOTH.max(cost) * ON_SHOWN;
    }
    let turns = facing.get(f).zip(facing.get(g)).is_some_and(|(a, b)| a * b < 0.0);
    if cost == ON_SMOOTH && turns {
        return length as f64 * cost;
    }
    let cosine = (along.dot(draw) / length) as f64;
    length as f64 * cost * (1.0 + ALONG_DRAW * cosine * cosine)
}

/// Every pair of neighbours once, as (triangle, its edge, triangle across): the triangle is the lower one.
pub fn pairs(surface: &Surface) -> impl Iterator<Item = (usize, usize, usize)> + '_ {
    (0..surface.len())
        .flat_map(|f| (0..3).map(move |k| (f, k)))
        .map(|(f, k)| (f, k, surface.across[f][k]))
        .filter(|&(f, _, g)| g != NONE && f < g as usize)
        .map(|(f, k, g)| (f, k, g as usize))
}

/// The cost of a labelling in millimetres of plain line. Hand work is no part of it.
pub fn energy_mm(surface: &Surface, visibility: &Visibility, halves: &[Half], draw: Vec3, shown: &[bool]) -> f64 {
    let area: f64 = (0..surface.len())
        .map(|f| surface.area_mm2[f] as f64 * visibility.charged(halves[f], f) as f64 * HIDDEN_PER_MM)
        .sum();
    let line: f64 = pairs(surface)
        .filter(|&(f, _, g)| halves[f] != halves[g])
        .map(|(f, k, g)| edge_cost_mm(surface, &visibility.facing, f, k, g, draw, shown))
        .sum();
    area + line
}

/// The costs of all three edges of every triangle, infinite where there is nothing across.
pub fn edge_costs_mm(surface: &Surface, facing: &[f32], draw: Vec3, shown: &[bool]) -> Vec<[f64; 3]> {
    (0..surface.len())
        .into_par_iter()
        .map(|f| {
            std::array::from_fn(|k| match surface.across[f][k] {
                NONE => f64::INFINITY,
                // The same triangle first from both sides, so that both read the same number.
                g if (g as usize) < f => {
                    let back = surface.edge_back(f, k, g as usize);
                    edge_cost_mm(surface, facing, g as usize, back, f, draw, shown)
                }
                g => edge_cost_mm(surface, facing, f, k, g as usize, draw, shown),
            })
        })
        .collect()
}
