//! How open each place lies: darker in hollows and where walls meet, found from the picture's own depths.
//!
//! For pairs of opposite samples round a pixel the horizon is taken on both sides; a flat surface, however it leans, has
//! horizons that add up to nothing, a hollow has not.

use crate::view::camera::{Camera, Projection};
use crate::view::picture::Layer;
use crate::view::raster::Grid;
use glam::Vec2;
use rayon::prelude::*;

/// Directions of the pairs of samples, shared out over a tile of four by four pixels and smoothed over it afterwards.
const TURNS: usize = 16;
/// Share of the light from everywhere that the deepest hollow loses.
const DEEPEST: f32 = 0.8;

/// How open each place lies, 0 to 255, on a grid of its own. Kept from picture to picture.
#[derive(Default)]
pub(crate) struct Openness {
    /// Samples of the picture for one cell, along each side.
    pub stride: usize,
    pub width: usize,
    pub height: usize,
    pub open: Vec<u8>,
    depth: Vec<f32>,
    raw: Vec<u8>,
}

impl Openness {
    /// Finds it, looking `radius_mm` around.
    #[allow(clippy::too_many_arguments)]
    pub fn find(
        &mut self,
        layer: &Layer,
        grid: Grid,
        camera: &Camera,
        per_side: usize,
        stride: usize,
        radius_mm: f32,
        pairs: usize,
    ) {
        self.stride = stride;
        self.width = grid.width.div_ceil(stride);
        self.height = grid.height.div_ceil(stride);
        let (w, h) = (self.width, self.height);
        let perspective = camera.projection == Projection::Perspective;
        for buffer in [&mut self.open, &mut self.raw] {
            buffer.resize(w * h, 255);
        }
        self.depth.resize(w * h, f32::INFINITY);
        self.depth.par_chunks_mut(w).enumerate().for_each(|(y, row)| {
            let y = (y * stride + stride / 2).min(grid.height - 1);
            for (x, d) in row.iter_mut().enumerate() {
                let near = layer.near[y * grid.width + (x * stride + stride / 2).min(grid.width - 1)];
                // Nothing there is infinitely far.
                *d = if perspective { if near > 0.0 { 1.0 / near } else { f32::INFINITY } } else { -near };
            }
        });
        let cells_per_unit =
            if perspective { camera.focal_px() } else { camera.px_per_mm() } as f32 * per_side as f32 / stride as f32;
        let turns: [Vec2; TURNS] = std::array::from_fn(|i| {
            // Neighbours in the tile get directions far apart: the order of a 4 by 4 threshold matrix (Bayer 1973).
            const ORDER: [usize; 16] = [0, 8, 2, 10, 12, 4, 14, 6, 3, 11, 1, 9, 15, 7, 13, 5];
            Vec2::from_angle(std::f32::consts::PI * ORDER[i] as f32 / (TURNS * pairs.max(1)) as f32)
        });
        // Offsets of the pairs for each place of the tile, as shares of the reach; radii differ by pair and by place.
        let offsets: Vec<Vec2> = (0..TURNS * pairs)
            .map(|i| {
                let (tile, k) = (i / pairs, i % pairs);
                let turn = Vec2::from_angle(std::f32::consts::PI * k as f32 / pairs as f32);
                let far = ((k * 7 + tile * 5) % 16) as f32 / 16.0;
                turn.rotate(turns[tile]) * (0.22 + 0.78 * far)
            })
            .collect();
        let whole = |c: f32| (c + 0.5f32.copysign(c)) as i32;
        let depth = &self.depth;
        self.raw.par_chunks_mut(w).enumerate().for_each(|(y, row)| {
            for (x, open) in row.iter_mut().enumerate() {
                let z = depth[y * w + x];
                *open = 255;
                if z == f32::INFINITY {
                    continue;
                }
                let scale = if perspective { cells_per_unit / z } else { cells_per_unit };
                let reach = (radius_mm * scale).clamp(3.0, 48.0);
                let tile = (y % 4) * 4 + x % 4;
                let mut hidden = 0.0;
                let to_mm = 1.0 / scale;
                for offset in &offsets[tile * pairs..(tile + 1) * pairs] {
                    let (ox, oy) = (whole(offset.x * reach), whole(offset.y * reach));
                    let run = ((ox * ox + oy * oy).max(1) as f32).sqrt() * to_mm;
                    let horizon = |sign: i32| {
                        let (sx, sy) = (x as i32 + sign * ox, y as i32 + sign * oy);
                        if sx < 0 || sy < 0 || sx >= w as i32 || sy >= h as i32 {
                            return None;
                        }
                        let rise = z - depth[sy as usize * w + sx as usize];
                        Some(rise)
                    };
                    let (Some(rise_a), Some(rise_b)) = (horizon(1), horizon(-1)) else { continue };
                    // Something that stands steeply in front is another thing, not a wall of this hollow.
                    let weight = (2.4 - rise_a.max(rise_b) / run).clamp(0.0, 1.0);
                    if weight == 0.0 {
                        continue;
                    }
                    let slope = |rise: f32| {
                        let rise = rise.max(-1e3 * run);
                        rise / (run * run + rise * rise).sqrt()
                    };
                    hidden += weight * (slope(rise_a) + slope(rise_b)).clamp(0.0, 1.4);
                }
                let hidden = (hidden / pairs as f32 * 0.95).min(1.0);
                *open = ((1.0 - DEEPEST * hidden) * 255.0) as u8;
            }
        });
        let raw = &self.raw;
        let tolerance = radius_mm * 0.6;
        self.open.par_chunks_mut(w).enumerate().for_each(|(y, row)| {
            for (x, open) in row.iter_mut().enumerate() {
                let z = depth[y * w + x];
                if z == f32::INFINITY {
                    *open = 255;
                    continue;
                }
                let (mut sum, mut n) = (0u32, 0u32);
                if (2..h.max(2) - 1).contains(&y) && (2..w.max(2) - 1).contains(&x) {
                    // The whole tile lies in the picture: rows of four without tests.
                    for sy in y - 2..y + 2 {
                        let s = sy * w + x - 2;
                        for (d, o) in depth[s..s + 4].iter().zip(&raw[s..s + 4]) {
                            let near = u32::from((d - z).abs() < tolerance);
                            sum += near * *o as u32;
                            n += near;
                        }
                    }
                    *open = (sum + n / 2).checked_div(n).unwrap_or(raw[y * w + x] as u32) as u8;
                    continue;
                }
                for sy in y.saturating_sub(2)..(y + 2).min(h) {
                    for sx in x.saturating_sub(2)..(x + 2).min(w) {
                        let s = sy * w + sx;
                        if (depth[s] - z).abs() < tolerance {
                            sum += raw[s] as u32;
                            n += 1;
                        }
                    }
                }
                *open = (sum + n / 2).checked_div(n).unwrap_or(raw[y * w + x] as u32) as u8;
            }
        });
    }

    /// How open a place of the picture lies, 0 to 1; place in samples.
    #[inline]
    pub fn at(&self, x: usize, y: usize) -> f32 {
        let (x, y) = (x / self.stride, y / self.stride);
        self.open[y * self.width + x] as f32 * (1.0 / 255.0)
    }
}
