//! Flat shapes with exact smooth edges, laid over a finished picture: tags, letters, arrow heads.

use crate::view::shade::Tables;
use glam::Vec2;

/// Fills closed outlines (non-zero winding where they run the same way round) with exact area coverage.
///
/// Each edge adds to the cells that it crosses the area to its right, signed by its direction; the running sum over a
/// row is then the coverage.
#[derive(Default)]
pub(crate) struct Canvas {
    cells: Vec<f32>,
}

impl Canvas {
    /// Lays `colour` over the inside of the outlines.
    #[allow(clippy::too_many_arguments)]
    pub fn fill(
        &mut self,
        outlines: &[Vec<Vec2>],
        colour: [f32; 3],
        strength: f32,
        rgba: &mut [u8],
        width: usize,
        tables: &Tables,
    ) {
        let height = rgba.len() / (4 * width.max(1));
        let all = || outlines.iter().flatten();
        let low = all().fold(Vec2::INFINITY, |a, p| a.min(*p)).floor().max(Vec2::ZERO);
        let high = all().fold(Vec2::NEG_INFINITY, |a, p| a.max(*p)).ceil();
        let (x0, y0) = (low.x as usize, low.y as usize);
        let (x1, y1) = ((high.x.max(0.0) as usize).min(width), (high.y.max(0.0) as usize).min(height));
        if !low.is_finite() || !high.is_finite() || x0 >= x1 || y0 >= y1 {
            return;
        }
        let (w, h) = (x1 - x0, y1 - y0);
        self.cells.clear();
        self.cells.resize((w + 2) * h, 0.0);
        for outline in outlines {
            for i in 0..outline.len() {
                let (a, b) = (outline[i] - low, outline[(i + 1) % outline.len()] - low);
                self.edge(a, b, w, h);
            }
        }
        for y in 0..h {
            let mut sum = 0.0f32;
            for x in 0..w {
                sum += self.cells[y * (w + 2) + x];
                let cover = sum.abs().min(1.0);
                if cover > 1.0 / 512.0 {
                    let i = ((y0 + y) * width + x0 + x) * 4;
                    tables.blend(&mut rgba[i..i + 3], colour, cover * strength);
                }
            }
        }
    }

    fn edge(&mut self, a: Vec2, b: Vec2, w: usize, h: usize) {
        if a.y == b.y {
            return;
        }
        let (sign, top, bottom) = if a.y < b.y { (1.0, a, b) } else { (-1.0, b, a) };
        let slope = (bottom.x - top.x) / (bottom.y - top.y);
        let (y_low, y_high) = (top.y.max(0.0), bottom.y.min(h as f32));
        if y_low >= y_high {
            return;
        }
        for y in y_low as usize..(y_high.ceil() as usize).min(h) {
            let (ya, yb) = (y_low.max(y as f32), y_high.min(y as f32 + 1.0));
            if yb <= ya {
                continue;
            }
            let limit = w as f32;
            let xa = (top.x + slope * (ya - top.y)).clamp(0.0, limit);
            let xb = (top.x + slope * (yb - top.y)).clamp(0.0, limit);
            let (left, right) = (xa.min(xb), xa.max(xb));
            let tall = sign * (yb - ya);
            let row = y * (w + 2);
            let first = left as usize;
            if right <= first as f32 + 1.0 {
                let middle = (left + right) * 0.5 - first as f32;
                self.cells[row + first] += tall * (1.0 - middle);
                self.cells[row + first + 1] += tall * middle;
                continue;
            }
            // The edge crosses several cells: each gets its share of the height and the area to its right.
            let per_x = tall / (right - left);
            let mut x = left;
            while x < right {
                let cell = x as usize;
                let end = (cell as f32 + 1.0).min(right);
                let part = per_x * (end - x);
                let middle = (x + end) * 0.5 - cell as f32;
                self.cells[row + cell] += part * (1.0 - middle);
                self.cells[row + cell + 1] += part * middle;
                x = end;
            }
        }
    }
}

/// A circle as an outline.
pub(crate) fn circle(centre: Vec2, radius: f32) -> Vec<Vec2> {
    let sides = (radius * 4.0).clamp(16.0, 96.0) as usize;
    (0..sides).map(|i| centre + Vec2::from_angle(std::f32::consts::TAU * i as f32 / sides as f32) * radius).collect()
}
