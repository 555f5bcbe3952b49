//! Outlines: samples at which a surface breaks off in front of something farther away.

use crate::view::camera::{Camera, Projection};
use crate::view::picture::{FACE, Layer};
use crate::view::raster::Grid;

/// Steps back, in samples of depth for each sample of reach, from which on a break is drawn. A rounded surface of radius R
/// samples bends away by 0.23·√R samples at its rim, a crease by about one, so neither is taken for a break.
const BREAK_SAMPLES: f32 = 7.0;

/// How breaks are found in one picture.
pub(crate) struct Rule {
    reach: usize,
    perspective: bool,
    /// A break in nearness: this times the nearness in a perspective view, this in a parallel one.
    step: f32,
}

impl Rule {
    pub fn new(camera: &Camera, per_side: usize, reach: usize) -> Rule {
        let perspective = camera.projection == Projection::Perspective;
        let samples_per_unit = if perspective { camera.focal_px() } else { camera.px_per_mm() } * per_side as f64;
        Rule { reach, perspective, step: (BREAK_SAMPLES as f64 * reach as f64 / samples_per_unit) as f32 }
    }

    /// Marks the samples of row `y` that lie on a break, on the nearer side, and the rim of a
    /// section's face.
    ///
    /// Nearness is affine over a flat surface, so its second difference along a line tells a break from a slope.
    pub fn row(&self, layer: &Layer, grid: Grid, y: usize, out: &mut [bool]) {
        let r = self.reach;
        let w = grid.width;
        let row = |y: usize| &layer.near[y * w..(y + 1) * w];
        let (here, above, below) = (row(y), row(y.saturating_sub(r)), row((y + r).min(grid.height - 1)));
        let ids = |y: usize| &layer.id[y * w..(y + 1) * w];
        let (id_here, id_above, id_below) = (ids(y), ids(y.saturating_sub(r)), ids((y + r).min(grid.height - 1)));
        for (x, o) in out.iter_mut().enumerate() {
            let n = here[x];
            *o = false;
            if n == f32::NEG_INFINITY {
                continue;
            }
            let (left, right) = (x.saturating_sub(r), (x + r).min(w - 1));
            let bend = (here[left] + here[right])
                .min(above[x] + below[x])
                .min(above[left] + below[right])
                .min(above[right] + below[left])
                - 2.0 * n;
            *o = bend < if self.perspective { -self.step * n } else { -self.step };
            let id = id_here[x];
            if id & FACE != 0 {
                *o |= [id_here[left], id_here[right], id_above[x], id_below[x]].iter().any(|other| *other != id);
            }
        }
    }
}
