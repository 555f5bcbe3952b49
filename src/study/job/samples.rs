//! Places spread over a surface.

use crate::mesh::Mesh;
use glam::Vec3;

/// A place of the surface.
pub(super) struct Sample {
    pub(super) position: Vec3,
    pub(super) triangle: u32,
    pub(super) area_mm2: f32,
}

/// About `wanted` samples spread over the triangles by area: small triangles now and then, large ones in many places.
pub(super) fn spread(mesh: &Mesh, wanted: usize) -> Vec<Sample> {
    let areas: Vec<f64> = (0..mesh.triangles.len()).map(|t| 0.5 * mesh.double_area_normal(t).length() as f64).collect();
    let area: f64 = areas.iter().filter(|a| a.is_finite()).sum();
    let each = area / wanted as f64;
    let mut samples = Vec::with_capacity(wanted + wanted / 4);
    if each <= 0.0 || !each.is_finite() {
        return samples;
    }
    // Half a sample of credit to begin with, so that no end of the list is favoured.
    let mut credit = 0.5;
    for (t, &area) in areas.iter().enumerate() {
        if !area.is_finite() {
            continue;
        }
        credit += area / each;
        if credit < 1.0 {
            continue;
        }
        let of_this = credit.floor();
        credit -= of_this;
        // A triangle cut into k² equal ones, with a sample in the middle of each.
        let k = of_this.sqrt().ceil() as usize;
        let [a, b, c] = mesh.corners(t);
        let (u, v) = ((b - a) / k as f32, (c - a) / k as f32);
        let stands_for = (of_this * each) as f32 / (k * k) as f32;
        let mut add = |x: f32, y: f32| {
            samples.push(Sample { position: a + u * x + v * y, triangle: t as u32, area_mm2: stands_for });
        };
        for i in 0..k {
            for j in 0..k - i {
                let (x, y) = (i as f32, j as f32);
                add(x + 1.0 / 3.0, y + 1.0 / 3.0);
                if i + j + 1 < k {
                    add(x + 2.0 / 3.0, y + 2.0 / 3.0);
                }
            }
        }
    }
    samples
}
