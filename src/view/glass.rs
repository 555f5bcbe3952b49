//! Glass: what one sees through, laid over the finished picture.
//!
//! Layers are mixed without sorting them: the light that comes through is the product of what each lets through, the
//! colour on top the mean weighted by what each takes (Meshkin 2007; McGuire & Bavoil 2013, with even weights). It does
//! not depend on their order, so nothing flickers while the part is turned.

use crate::view::picture::Layer;
use crate::view::raster::{self, BAND, Batch, Bins, Grid};
use crate::view::shade::{Shader, Tables};
use glam::Vec2;
use rayon::prelude::*;

/// How glass of one batch looks.
pub(crate) struct Pane<'a> {
    pub shader: Shader<'a>,
    /// Share that it takes where it is seen squarely.
    pub take: f32,
    /// True where picking finds it.
    pub picked: bool,
    /// True where what takes most at grazing angles is wanted: rounded bodies, not flat panes.
    pub rimmed: bool,
}

#[derive(Default)]
struct Pots {
    through: Vec<f32>,
    colour: Vec<[f32; 3]>,
    taken: Vec<f32>,
}

/// Lays glass over the picture, and into `picked` the nearest glass of each sample that can be picked (empty: none is
/// wanted).
#[allow(clippy::too_many_arguments)]
pub(crate) fn lay(
    bins: &Bins,
    batches: &[Batch<'_>],
    panes: &[Pane<'_>],
    grid: Grid,
    per_side: usize,
    in_front: [&Layer; 2],
    picked: &mut Layer,
    rgba: &mut [u8],
    tables: &Tables,
) {
    let band_len = BAND * grid.width;
    let width = grid.width / per_side;
    // Without picking each band gets an empty slice.
    let keeps = !picked.near.is_empty();
    let mut near: Vec<&mut [f32]> = picked.near.chunks_mut(band_len).collect();
    let mut id: Vec<&mut [u32]> = picked.id.chunks_mut(band_len).collect();
    let bands = grid.height.div_ceil(BAND);
    near.resize_with(bands, Default::default);
    id.resize_with(bands, Default::default);
    rgba.par_chunks_mut(BAND / per_side * width * 4).zip(near.into_par_iter().zip(id)).enumerate().for_each_init(
        Pots::default,
        |pots, (band, (rows, (near, id)))| {
            let samples = rows.len() / 4 * per_side * per_side;
            pots.through.clear();
            pots.through.resize(samples, 1.0);
            pots.colour.clear();
            pots.colour.resize(samples, [0.0; 3]);
            pots.taken.clear();
            pots.taken.resize(samples, 0.0);
            if keeps {
                near.fill(f32::NEG_INFINITY);
                id.fill(0);
            }
            let y0 = (band * BAND) as i32;
            let band_rows = (y0, y0 + (samples / grid.width) as i32);
            let inverse = 1.0 / per_side as f32;
            bins.in_band(
                batches,
                band,
                |b, t, triangle| {
                    let pane = &panes[b];
                    let name = batches[b].first + triangle;
                    let slope = raster::Slope::of(t);
                    raster::spans(t, grid.width, band_rows, |y, x0, x1| {
                        for x in x0..x1 {
                            let here = slope.at(x, y);
                            let i = (y - y0) as usize * grid.width + x as usize;
                            let s = y as usize * grid.width + x as usize;
                            if in_front.iter().any(|l| l.near.get(s).is_some_and(|n| here < *n)) {
                                continue;
                            }
                            if keeps && pane.picked && here > near[i] {
                                near[i] = here;
                                id[i] = name;
                            }
                            let at = Vec2::new(x as f32 + 0.5, y as f32 + 0.5) * inverse;
                            let (colour, marked, square_on) = pane.shader.surface::<true>(name, at, here, 1.0);
                            let rim = if pane.rimmed { (1.0 - square_on).powi(3) } else { 0.0 };
                            let take = (pane.take + (0.9 - pane.take).max(0.0) * rim).max(marked * 0.85);
                            pots.through[i] *= 1.0 - take;
                            pots.taken[i] += take;
                            for (sum, c) in pots.colour[i].iter_mut().zip(colour) {
                                *sum += c * take;
                            }
                        }
                    });
                },
                |_| {},
            );
            let share = inverse * inverse;
            for (p, pixel) in rows.chunks_exact_mut(4).enumerate() {
                let (x, y) = (p % width, p / width);
                let (mut through, mut over) = (0.0, [0f32; 3]);
                for ky in 0..per_side {
                    for kx in 0..per_side {
                        let i = (y * per_side + ky) * grid.width + x * per_side + kx;
                        through += pots.through[i] * share;
                        if pots.taken[i] > 0.0 {
                            let weight = (1.0 - pots.through[i]) / pots.taken[i] * share;
                            over = std::array::from_fn(|c| over[c] + pots.colour[i][c] * weight);
                        }
                    }
                }
                if through < 1.0 {
                    for c in 0..3 {
                        pixel[c] = tables.byte(tables.linear(pixel[c]) * through + over[c]);
                    }
                }
            }
        },
    );
}
