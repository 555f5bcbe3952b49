//! Lines cut off at an upright rectangle.

use glam::DVec2;

/// The stretch of the segment that lies in the rectangle from `low` to `high` (Liang and Barsky 1984); none outside.
pub fn segment(a: DVec2, b: DVec2, low: DVec2, high: DVec2) -> Option<(DVec2, DVec2)> {
    let d = b - a;
    let (mut from, mut to) = (0.0f64, 1.0f64);
    for axis in 0..2 {
        for (p, q) in [(-d[axis], a[axis] - low[axis]), (d[axis], high[axis] - a[axis])] {
            if p == 0.0 {
                if q < 0.0 {
                    return None;
                }
            } else if p < 0.0 {
                from = from.max(q / p);
            } else {
                to = to.min(q / p);
            }
        }
    }
    (from <= to).then(|| (a + d * from, a + d * to))
}

/// The stretches of a chain of lines that lie in the rectangle.
pub fn chain(points: &[DVec2], low: DVec2, high: DVec2) -> Vec<Vec<DVec2>> {
    let mut out: Vec<Vec<DVec2>> = Vec::new();
    let mut open = false;
    for ends in points.windows(2) {
        let Some((a, b)) = segment(ends[0], ends[1], low, high) else {
            open = false;
            continue;
        };
        match out.last_mut() {
            Some(last) if open && a == ends[0] => last.push(b),
            _ => out.push(vec![a, b]),
        }
        open = b == ends[1];
    }
    out
}

/// A circle as a closed chain whose corners lie on it, at most 0.01 mm of it cut off.
pub fn circle(at: DVec2, radius: f64) -> Vec<DVec2> {
    let step = 2.0 * (1.0 - (0.01 / radius.max(0.02)).min(0.5)).acos();
    let count = ((std::f64::consts::TAU / step).ceil() as usize).clamp(12, 720);
    (0..=count)
        .map(|i| {
            let (s, c) = (std::f64::consts::TAU * (i % count) as f64 / count as f64).sin_cos();
            at + DVec2::new(c, s) * radius
        })
        .collect()
}
