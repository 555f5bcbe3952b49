//! Lines through cell centres, cut with the mesh: crossings, the stretches of solid between them, and what follows from those.

use super::{Brick, NONE};
use glam::U16Vec3;

/// A gap between two neighbouring cell centres along `axis`, the lower of them at place `below`.
#[derive(Clone, Copy, Debug)]
pub(super) struct Gap {
    pub(super) axis: u8,
    pub(super) below: U16Vec3,
}

/// What one thread keeps from slab to slab.
#[derive(Default)]
pub(super) struct Scratch {
    /// Line in the slab, then place and sense along it; see [`cross_triangle`].
    pub(super) crossings: Vec<(u32, u32)>,
    /// Places and senses, line by line.
    pub(super) sorted: Vec<u32>,
    pub(super) start: Vec<u32>,
    pub(super) stretches: Vec<Stretch>,
}

/// A stretch of solid on a line along some axis, in cells from the origin.
#[derive(Clone, Copy, Debug)]
pub(super) struct Stretch {
    /// Place of the line along the two other axes, the lower axis first.
    pub(super) line: [u16; 2],
    pub(super) from: f32,
    pub(super) to: f32,
}

impl Stretch {
    /// First cell centre inside, and one past the last.
    pub(super) fn centres(&self) -> (i32, i32) {
        ((self.from - 0.5).ceil() as i32, (self.to - 0.5).ceil() as i32)
    }
}

/// The two axes square to `axis`, lower first.
pub(super) fn other_axes(axis: usize) -> (usize, usize) {
    match axis {
        0 => (1, 2),
        1 => (0, 2),
        _ => (0, 1),
    }
}

/// Notes where the lines of the slab that begins at line `first_v` cross a triangle with corners (u, v, along).
///
/// A crossing is its line in the slab and a number that sorts by place along it, entering before leaving.
pub(super) fn cross_triangle(
    corners: [[f64; 3]; 3],
    first_v: usize,
    lines_along_u: usize,
    mirrored: bool,
    out: &mut Vec<(u32, u32)>,
) {
    let [a, b, c] = corners;
    let low = a[1].min(b[1]).min(c[1]);
    let high = a[1].max(b[1]).max(c[1]);
    let from = ((low - 0.5).ceil().max(first_v as f64)) as usize;
    let to = (high - 0.5).floor().min((first_v + 7) as f64);
    if to < from as f64 {
        return;
    }
    // Plane of the triangle: along = a + su·(u − a_u) + sv·(v − a_v).
    let (e, f) = ([b[0] - a[0], b[1] - a[1], b[2] - a[2]], [c[0] - a[0], c[1] - a[1], c[2] - a[2]]);
    let area = e[0] * f[1] - e[1] * f[0];
    let (su, sv) =
        if area == 0.0 { (0.0, 0.0) } else { ((e[2] * f[1] - e[1] * f[2]) / area, (e[0] * f[2] - e[2] * f[0]) / area) };
    let least = a[2].min(b[2]).min(c[2]);
    let most = a[2].max(b[2]).max(c[2]);
    for row in from..=to as usize {
        let v = row as f64 + 0.5;
        // Where the line v meets the edge that goes down and the edge that goes up.
        let (mut down, mut up) = (f64::NAN, f64::NAN);
        for (p, q) in [(a, b), (b, c), (c, a)] {
            if (p[1] <= v) == (q[1] <= v) {
                continue;
            }
            let falls = p[1] > q[1];
            // Ends in a fixed order, so that both triangles at an edge get the same number.
            let (s, t) = if falls { (q, p) } else { (p, q) };
            let u = s[0] + (t[0] - s[0]) * ((v - s[1]) / (t[1] - s[1]));
            if falls { down = u } else { up = u }
        }
        if down.is_nan() || up.is_nan() || down == up {
            continue;
        }
        let counter_clockwise = down < up;
        let (left, right) = if counter_clockwise { (down, up) } else { (up, down) };
        // A line lies inside where left ≤ u < right.
        let first = (left - 0.5).ceil().max(0.0) as usize;
        let end = (right - 0.5).ceil().min(lines_along_u as f64).max(0.0) as usize;
        let leaves = counter_clockwise != mirrored;
        for line in first..end {
            let at = a[2] + su * (line as f64 + 0.5 - a[0]) + sv * (v - a[1]);
            let at = at.clamp(least, most).max(0.0) as f32;
            out.push((((row - first_v) * lines_along_u + line) as u32, at.to_bits() << 1 | leaves as u32));
        }
    }
}

impl Scratch {
    /// Sorts the crossings and appends the stretches between them in which the winding number is at least one; gives the
    /// number of lines on which it does not come back to nothing.
    pub(super) fn stretches_of(&mut self, first_v: usize, lines_along_u: usize, stretches: &mut Vec<Stretch>) -> usize {
        self.start.clear();
        self.start.resize(8 * lines_along_u + 1, 0);
        for crossing in &self.crossings {
            self.start[crossing.0 as usize + 1] += 1;
        }
        for line in 0..8 * lines_along_u {
            self.start[line + 1] += self.start[line];
        }
        self.sorted.clear();
        self.sorted.resize(self.crossings.len(), 0);
        // Filled from the back, so that `start` ends as it should be without a copy.
        for crossing in &self.crossings {
            let end = &mut self.start[crossing.0 as usize + 1];
            *end -= 1;
            self.sorted[*end as usize] = crossing.1;
        }
        let mut open = 0;
        for line in 0..8 * lines_along_u {
            let from = self.start[line + 1] as usize;
            let to = self.start.get(line + 2).map_or(self.sorted.len(), |&s| s as usize);
            let run = &mut self.sorted[from..to];
            if run.is_empty() {
                continue;
            }
            run.sort_unstable();
            let line = [(line % lines_along_u) as u16, (first_v + line / lines_along_u) as u16];
            let (mut winding, mut from) = (0, 0.0);
            for &crossing in &*run {
                let at = f32::from_bits(crossing >> 1);
                let was = winding;
                winding += if crossing & 1 == 0 { 1 } else { -1 };
                if was == 0 && winding == 1 {
                    from = at;
                } else if was == 1 && winding == 0 {
                    stretches.push(Stretch { line, from, to: at });
                }
            }
            open += (winding != 0) as usize;
        }
        open
    }
}

/// The gaps between two stretches of a line along `axis` that lie between neighbouring cell centres.
pub(super) fn gaps_between(axis: usize, stretches: &[Stretch]) -> Vec<Gap> {
    let (u, v) = other_axes(axis);
    let between = |pair: &[Stretch]| {
        if pair[0].line != pair[1].line {
            return None;
        }
        let ((_, end), (begin, _)) = (pair[0].centres(), pair[1].centres());
        let below = u16::try_from(end - 1).ok().filter(|_| end == begin)?;
        let mut place = [0; 3];
        (place[u], place[v], place[axis]) = (pair[0].line[0], pair[0].line[1], below);
        Some(Gap { axis: axis as u8, below: U16Vec3::from_array(place) })
    };
    stretches.windows(2).filter_map(between).collect()
}

/// Bricks of the slab `bz` from the stretches along x.
pub(super) fn bricks_of_slab(shape: [usize; 3], bz: usize, stretches: &[Stretch]) -> Vec<Brick> {
    let [nx, ny, _] = shape;
    let mut at = vec![NONE; nx * ny];
    let mut bricks: Vec<Brick> = Vec::new();
    for stretch in stretches {
        let (from, to) = stretch.centres();
        let (y, z) = (stretch.line[0] as usize, stretch.line[1] as usize);
        let (from, to) = (from.max(0) as usize, (to.max(0) as usize).min(8 * nx));
        let mut x = from;
        while x < to {
            let bx = x / 8;
            let end = (8 * (bx + 1)).min(to);
            let slot = &mut at[y / 8 * nx + bx];
            if *slot == NONE {
                *slot = bricks.len() as u32;
                bricks.push(Brick::new([bx, y / 8, bz]));
            }
            let bits = (!0u64 >> (64 - (end - x))) << (8 * (y % 8) + x % 8);
            bricks[*slot as usize].solid[z % 8] |= bits;
            x = end;
        }
    }
    bricks.sort_unstable_by_key(|b| (b.place[1], b.place[0]));
    bricks
}
