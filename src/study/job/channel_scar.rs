//! How much of the part's surface faces a channel: what is cut off and sanded on every cast.
//!
//! Each triangle is clipped by the prism of each rod (Sutherland & Hodgman 1974), a regular polygon with the area of the
//! true circle, as the block is made with. At its mouth a rod reaches back under the surface by its radius, and only what
//! faces along it counts there.

use super::body::Body;
use super::channels::{Channel, Rod};
use crate::mesh::Bounds;
use crate::mesh::solids::frame_square_to;
use glam::{DVec3, Vec3};
use std::f64::consts::{PI, TAU};

/// Sides of the prism.
const SIDES: usize = 48;
/// Where the stretch under the mouth ends, millimetres along the rod: beyond the rounding of the face that it stands on, so that
/// this face lies in one stretch alone.
const OVER_MOUTH_MM: f64 = 0.01;
/// Length of a stretch in diameters: no round number, so that no face of a drawing lies just between two.
const STRETCH: f64 = 0.9371;

/// Area of the body's surface inside `channel`, mm².
pub fn scar_mm2(body: &Body, channel: &Channel) -> f64 {
    channel.rods.iter().enumerate().map(|(i, rod)| of_rod(body, rod, i == 0)).sum()
}

fn of_rod(body: &Body, rod: &Rod, mouth: bool) -> f64 {
    let length = rod.length_mm();
    let along = (rod.to - rod.from).as_dvec3().normalize_or_zero();
    if along == DVec3::ZERO || rod.radius_mm <= 0.0 {
        return 0.0;
    }
    let radius = f64::from(rod.radius_mm);
    let (u, v) = frame_square_to(along.as_vec3());
    let (u, v) = (u.as_dvec3(), v.as_dvec3());
    let local = |p: &Vec3| {
        let off = (*p - rod.from).as_dvec3();
        DVec3::new(off.dot(u), off.dot(v), off.dot(along))
    };
    // Distance of the sides from the axis: n·h²·tan(π/n) = π·r².
    let n = SIDES as f64;
    let side = radius * (PI / (n * (PI / n).tan())).sqrt();
    let piece = STRETCH * (2.0 * radius).max(1.0);
    let mut low = if mouth { -radius } else { 0.0 };
    let mut area = 0.0;
    while low < length - 1e-9 {
        // The stretch under the mouth is one of its own.
        let high = if low < 0.0 { OVER_MOUTH_MM.min(length) } else { (low + piece).min(length) };
        let middle = rod.from + (along * (0.5 * (low + high))).as_vec3();
        let round = ((0.5 * (high - low)).powi(2) + radius * radius).sqrt() * 1.01;
        if body.tree.is_within(middle, round as f32) {
            let region = Bounds { min: middle - round as f32, max: middle + round as f32 };
            body.tree.each_in(region, |_, corners| {
                let [a, b, c] = [local(&corners[0]), local(&corners[1]), local(&corners[2])];
                let faces_out = (b - a).cross(c - a).z > 0.0;
                if low >= 0.0 || faces_out {
                    area += clipped(vec![a, b, c], side, low, high);
                }
            });
        }
        low = high;
    }
    area
}

/// Area of a polygon inside the prism about Z with sides `side` away and between two levels.
fn clipped(mut polygon: Vec<DVec3>, side: f64, low: f64, high: f64) -> f64 {
    let caps = [(DVec3::NEG_Z, -low), (DVec3::Z, high)];
    let sides = (0..SIDES).map(|k| {
        let (s, c) = (TAU * k as f64 / SIDES as f64).sin_cos();
        (DVec3::new(c, s, 0.0), side)
    });
    for (normal, most) in caps.into_iter().chain(sides) {
        let over = |p: &DVec3| p.dot(normal) - most;
        if polygon.iter().all(|p| over(p) <= 0.0) {
            continue;
        }
        let mut kept = Vec::with_capacity(polygon.len() + 1);
        for (k, p) in polygon.iter().enumerate() {
            let q = &polygon[(k + 1) % polygon.len()];
            let (a, b) = (over(p), over(q));
            if a <= 0.0 {
                kept.push(*p);
            }
            if (a < 0.0 && b > 0.0) || (a > 0.0 && b < 0.0) {
                kept.push(*p + (*q - *p) * (a / (a - b)));
            }
        }
        polygon = kept;
        if polygon.len() < 3 {
            return 0.0;
        }
    }
    let origin = polygon[0];
    let sum: DVec3 = polygon.windows(2).map(|e| (e[0] - origin).cross(e[1] - origin)).sum();
    0.5 * sum.length()
}
