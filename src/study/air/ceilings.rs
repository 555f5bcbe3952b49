//! Near-level ceilings: surface that faces up so nearly level while resin is poured that bubbles stick under it.
//!
//! A high point says where air gathers; under a level ceiling it does not gather at all, since nothing drives a bubble
//! along. A rib's level top is one high point but not one bubble.

use super::ceiling_runs;
use super::mouth::Mouth;
use crate::mesh::Mesh;
use crate::mesh::tree::nearest_on_triangle;
use crate::solve::run::{Cancelled, Run};
use crate::study::air::ceiling::{Ceiling, Tilt};
use crate::study::job::body::Body;
use glam::{DVec3, Vec3};
use rayon::prelude::*;
use std::collections::HashMap;
use std::sync::Arc;

/// Patches smaller than this are not looked at one by one, mm²: set here.
const SMALLEST_MM2: f64 = 1.0;
/// Most patches that are looked at one by one, largest first.
const MOST: usize = 24;
/// Most tilt that is tried to free a patch, and its steps, degrees.
const MOST_TILT_DEG: f64 = 30.0;
const TILT_STEP_DEG: f64 = 0.5;
/// A patch is free where this share of it is steep enough, and the whole part must gain at least half of it.
const FREE_SHARE: f64 = 0.98;
/// Sides to which a tilt is tried.
const SIDES: usize = 16;
/// Bins of a facing's components to one: about half a degree.
const FACING_BINS: f32 = 128.0;

/// All near-level ceilings of a body.
#[derive(Clone, Debug, PartialEq)]
pub struct Ceilings {
    /// Area of all of it, mm².
    pub area_mm2: f64,
    /// Whether each triangle of the body belongs to it.
    pub flags: Arc<Vec<bool>>,
    /// Connected patches, largest first; the smallest are left out.
    pub patches: Vec<Ceiling>,
}

impl Ceilings {
    /// Finds them for `up`, within `near_deg` of level.
    ///
    /// # Errors
    /// [`Cancelled`].
    pub fn of(body: &Body, up: Vec3, near_deg: f64, run: &Run) -> Result<Ceilings, Cancelled> {
        let mesh = &*body.mesh;
        let flags = near_level(mesh, up, near_deg);
        run.check()?;
        let area = |t: &u32| mesh.double_area_normal(*t as usize).length() as f64 * 0.5;
        let mut patches: Vec<(f64, Vec<u32>)> = connected(mesh, &flags)
            .into_iter()
            .map(|p| (p.iter().map(area).sum::<f64>(), p))
            .filter(|p| p.0 >= SMALLEST_MM2)
            .collect();
        patches.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1[0].cmp(&b.1[0])));
        patches.truncate(MOST);
        let all = facings(mesh, 0..mesh.triangles.len() as u32);
        let patches = patches
            .into_par_iter()
            .map(|(area_mm2, triangles)| {
                run.check()?;
                let (position, normal) = middle(mesh, &triangles, area_mm2);
                Ok(Ceiling {
                    area_mm2,
                    position,
                    normal,
                    tilt: freeing(&facings(mesh, triangles.iter().copied()), &all, up, near_deg, area_mm2),
                    triangles,
                })
            })
            .collect::<Result<_, Cancelled>>()?;
        let area_mm2 =
            (0..mesh.triangles.len() as u32).filter(|t| flags[*t as usize]).fold(0.0, |sum, t| sum + area(&t));
        Ok(Ceilings { area_mm2, flags: Arc::new(flags), patches })
    }
}

impl Ceilings {
    /// For each patch the longest way along it from a place of it to the nearest of `mouths` on it, millimetres; none
    /// without one.
    ///
    /// # Errors
    /// [`Cancelled`].
    pub fn runs_mm(&self, body: &Body, mouths: &[Mouth], run: &Run) -> Result<Vec<Option<f64>>, Cancelled> {
        let longest = |patch: &Ceiling| {
            run.check()?;
            Ok(ceiling_runs::run_mm(body, patch, mouths))
        };
        self.patches.par_iter().map(longest).collect()
    }
}

/// Area facing up within `near_deg` of level, mm².
pub fn area_mm2(mesh: &Mesh, up: Vec3, near_deg: f64) -> f64 {
    let level = near_deg.to_radians().cos() as f32;
    let facing = |t: usize| {
        let n = mesh.double_area_normal(t);
        let area = n.length();
        if n.dot(up) >= level * area { area as f64 * 0.5 } else { 0.0 }
    };
    (0..mesh.triangles.len()).map(facing).sum()
}

/// Whether each triangle faces up within `near_deg` of level.
fn near_level(mesh: &Mesh, up: Vec3, near_deg: f64) -> Vec<bool> {
    let level = near_deg.to_radians().cos() as f32;
    (0..mesh.triangles.len())
        .into_par_iter()
        .with_min_len(4096)
        .map(|t| {
            let n = mesh.double_area_normal(t);
            n.dot(up) >= level * n.length().max(f32::MIN_POSITIVE)
        })
        .collect()
}

/// Flagged triangles that hang together over edges.
fn connected(mesh: &Mesh, flags: &[bool]) -> Vec<Vec<u32>> {
    let own: Vec<u32> = (0..flags.len() as u32).filter(|t| flags[*t as usize]).collect();
    let mut first: HashMap<[u32; 2], u32> = HashMap::with_capacity(own.len() * 2);
    let mut towards: Vec<u32> = (0..own.len() as u32).collect();
    fn find(towards: &mut [u32], mut i: u32) -> u32 {
        while towards[i as usize] != i {
            towards[i as usize] = towards[towards[i as usize] as usize];
            i = towards[i as usize];
        }
        i
    }
    for (i, &t) in own.iter().enumerate() {
        let corners = mesh.triangles[t as usize];
        for k in 0..3 {
            let (a, b) = (corners[k], corners[(k + 1) % 3]);
            let edge = [a.min(b), a.max(b)];
            if let Some(&other) = first.get(&edge) {
                let (a, b) = (find(&mut towards, i as u32), find(&mut towards, other));
                towards[a.max(b) as usize] = a.min(b);
            } else {
                first.insert(edge, i as u32);
            }
        }
    }
    let mut groups: HashMap<u32, Vec<u32>> = HashMap::new();
    for (i, &t) in own.iter().enumerate() {
        groups.entry(find(&mut towards, i as u32)).or_default().push(t);
    }
    let mut groups: Vec<Vec<u32>> = groups.into_values().collect();
    groups.sort_by_key(|g| g[0]);
    groups
}

/// The place of a patch nearest to its middle, and the normal there.
fn middle(mesh: &Mesh, triangles: &[u32], area_mm2: f64) -> (Vec3, Vec3) {
    let centre = |t: u32| mesh.corners_f64(t as usize).iter().sum::<DVec3>() / 3.0;
    let weighed = |t: &u32| centre(*t) * (mesh.double_area_normal(*t as usize).length() as f64 * 0.5);
    let middle = triangles.iter().map(weighed).sum::<DVec3>() / area_mm2;
    let on = |t: u32| {
        let corners = mesh.corners_f64(t as usize);
        let (w, _) = nearest_on_triangle(middle, corners);
        corners[0] * w.x + corners[1] * w.y + corners[2] * w.z
    };
    let best = triangles
        .iter()
        .map(|t| (on(*t), *t))
        .min_by(|a, b| a.0.distance_squared(middle).total_cmp(&b.0.distance_squared(middle)).then(a.1.cmp(&b.1)));
    best.map_or((middle.as_vec3(), Vec3::Z), |(p, t)| (p.as_vec3(), mesh.unit_normal(t as usize)))
}

/// Facings with the area that has them, mm²; those within about half a degree are taken together.
fn facings<'a>(mesh: &Mesh, triangles: impl Iterator<Item = u32> + 'a) -> Vec<(Vec3, f64)> {
    let mut bins: HashMap<[i32; 3], DVec3> = HashMap::new();
    for t in triangles {
        let double = mesh.double_area_normal(t as usize);
        let n = double.normalize_or_zero();
        *bins.entry((n * FACING_BINS).round().as_ivec3().to_array()).or_default() += double.as_dvec3() * 0.5;
    }
    let mut bins: Vec<_> = bins.into_iter().filter(|b| b.1 != DVec3::ZERO).collect();
    bins.sort_by_key(|b| b.0);
    bins.into_iter().map(|(_, sum)| (sum.normalize().as_vec3(), sum.length())).collect()
}

/// Area of facings within an angle of level given by its cosine, mm². Just steep enough counts as steep.
fn level_mm2(facings: &[(Vec3, f64)], up: Vec3, level: f32) -> f64 {
    facings.iter().filter(|n| n.0.dot(up) > level + 1e-6).map(|n| n.1).sum()
}

/// The least tilt that frees a patch, see [`Ceiling::tilt`]; `all` are the facings of the whole body.
fn freeing(patch: &[(Vec3, f64)], all: &[(Vec3, f64)], up: Vec3, near_deg: f64, area_mm2: f64) -> Option<Tilt> {
    let level = near_deg.to_radians().cos() as f32;
    let before: f64 = level_mm2(all, up, level);
    let (u, v) = crate::mesh::solids::frame_square_to(up);
    let steps = (MOST_TILT_DEG / TILT_STEP_DEG) as u32;
    (1..=steps).find_map(|step| {
        let degrees = step as f64 * TILT_STEP_DEG;
        let (sin, cos) = degrees.to_radians().sin_cos();
        // The side that leaves the least level of the whole part, of those that free the patch.
        let mut best: Option<(f64, Vec3)> = None;
        for side in 0..SIDES {
            let (s, c) = (std::f32::consts::TAU * side as f32 / SIDES as f32).sin_cos();
            let towards = u * c + v * s;
            let tilted = up * cos as f32 + towards * sin as f32;
            if level_mm2(patch, tilted, level) <= (1.0 - FREE_SHARE) * area_mm2 {
                let after = level_mm2(all, tilted, level);
                if before - after >= 0.5 * area_mm2 && best.is_none_or(|b| after < b.0 - 1e-9) {
                    best = Some((after, towards));
                }
            }
        }
        best.map(|(_, towards)| Tilt { towards, degrees })
    })
}
