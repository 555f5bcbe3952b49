//! Where the cut meets the walls of the block.

use super::block_box::{BlockBox, Wall};
use super::surface::CutSurface;
use glam::{DVec2, DVec3};
use std::collections::HashMap;

/// A line on one wall along which the blade goes in.
#[derive(Clone, Debug, PartialEq)]
pub struct EntryLine {
    /// The wall.
    pub wall: Wall,
    /// Points in millimetres from the wall's lower left corner, seen from outside.
    pub points: Vec<DVec2>,
    /// True where it goes on from the last point to the first.
    pub closed: bool,
}

impl EntryLine {
    /// Length, millimetres.
    pub fn length_mm(&self) -> f64 {
        let open: f64 = self.points.windows(2).map(|p| p[0].distance(p[1])).fold(0.0, |a, b| a + b);
        match (self.closed, self.points.first(), self.points.last()) {
            (true, Some(first), Some(last)) => open + first.distance(*last),
            _ => open,
        }
    }
}

/// Pieces of line shorter than this are left out, millimetres.
const CRUMB_MM: f64 = 0.3;

/// The entry lines of every wall, in the order of [`Wall::ALL`].
pub fn entry_lines(cut: &CutSurface, block: &BlockBox) -> Vec<EntryLine> {
    let in_box: Vec<DVec3> = cut.positions.iter().map(|p| block.box_from_work.transform_point3(p.as_dvec3())).collect();
    let mut lines = Vec::new();
    for wall in Wall::ALL {
        let corner = block.wall_corner(wall);
        let [right, up, out] = wall.axes();
        let [width, height] = block.wall_size_mm(wall);
        // A vertex on the wall itself counts as outside, so that every crossing is a clean one.
        let depth: Vec<f64> = in_box.iter().map(|p| (*p - corner).dot(out)).collect();
        let outside = |v: u32| depth[v as usize] >= 0.0;
        let mut places: HashMap<(u32, u32), DVec2> = HashMap::new();
        let mut links: HashMap<(u32, u32), Vec<(u32, u32)>> = HashMap::new();
        let mut order = Vec::new();
        for t in &cut.triangles {
            let mut ends = [(0, 0); 2];
            let mut n = 0;
            for k in 0..3 {
                let (a, b) = (t[k], t[(k + 1) % 3]);
                if outside(a) == outside(b) {
                    continue;
                }
                let key = (a.min(b), a.max(b));
                let (da, db) = (depth[key.0 as usize], depth[key.1 as usize]);
                let p = in_box[key.0 as usize].lerp(in_box[key.1 as usize], da / (da - db)) - corner;
                if places.insert(key, DVec2::new(p.dot(right), p.dot(up))).is_none() {
                    order.push(key);
                }
                ends[n.min(1)] = key;
                n += 1;
            }
            if n == 2 {
                links.entry(ends[0]).or_default().push(ends[1]);
                links.entry(ends[1]).or_default().push(ends[0]);
            }
        }
        let mut done: HashMap<(u32, u32), bool> = HashMap::new();
        // Open chains from their ends first, then closed ones.
        let starts = order.iter().filter(|k| links[k].len() == 1).chain(&order);
        for start in starts {
            if done.contains_key(start) {
                continue;
            }
            let mut chain = vec![*start];
            done.insert(*start, true);
            let mut at = *start;
            while let Some(next) = links.get(&at).and_then(|l| l.iter().find(|k| !done.contains_key(k))) {
                at = *next;
                done.insert(at, true);
                chain.push(at);
            }
            let closed = chain.len() > 2 && links[&at].contains(start);
            let points: Vec<DVec2> = chain.iter().map(|k| places[k]).collect();
            clip(wall, &points, closed, DVec2::new(width, height), &mut lines);
        }
    }
    lines
}

/// The pieces of a chain that lie on the wall.
fn clip(wall: Wall, points: &[DVec2], closed: bool, size: DVec2, lines: &mut Vec<EntryLine>) {
    let on = |p: DVec2| p.cmpge(DVec2::ZERO).all() && p.cmple(size).all();
    if closed && points.iter().all(|p| on(*p)) {
        lines.push(EntryLine { wall, points: points.to_vec(), closed: true });
        return;
    }
    let first = lines.len();
    let mut piece: Vec<DVec2> = Vec::new();
    let n = points.len();
    // A closed chain that leaves the wall is begun outside it.
    let begin = if closed { (0..n).find(|&i| !on(points[i])).unwrap_or(0) } else { 0 };
    for i in 0..if closed { n } else { n.saturating_sub(1) } {
        let (a, b) = (points[(begin + i) % n], points[(begin + i + 1) % n]);
        let Some((from, to)) = within(a, b, size) else {
            finish(wall, &mut piece, lines);
            continue;
        };
        if piece.last().is_none_or(|l| l.distance(from) > 1e-9) {
            finish(wall, &mut piece, lines);
            piece.push(from);
        }
        piece.push(to);
        if !on(b) {
            finish(wall, &mut piece, lines);
        }
    }
    finish(wall, &mut piece, lines);
    lines[first..]
        .sort_by(|a, b| a.points[0].x.total_cmp(&b.points[0].x).then(a.points[0].y.total_cmp(&b.points[0].y)));
}

fn finish(wall: Wall, piece: &mut Vec<DVec2>, lines: &mut Vec<EntryLine>) {
    let mut points = std::mem::take(piece);
    points.dedup_by(|a, b| a.distance(*b) < 1e-9);
    let line = EntryLine { wall, points, closed: false };
    if line.points.len() > 1 && line.length_mm() > CRUMB_MM {
        lines.push(line);
    }
}

/// The piece of a segment inside the rectangle from zero to `size` (Liang & Barsky, 1984).
fn within(a: DVec2, b: DVec2, size: DVec2) -> Option<(DVec2, DVec2)> {
    let d = b - a;
    let (mut t0, mut t1) = (0.0f64, 1.0f64);
    for (p, q) in [(-d.x, a.x), (d.x, size.x - a.x), (-d.y, a.y), (d.y, size.y - a.y)] {
        if p == 0.0 {
            if q < 0.0 {
                return None;
            }
        } else if p < 0.0 {
            t0 = t0.max(q / p);
        } else {
            t1 = t1.min(q / p);
        }
    }
    (t0 < t1).then(|| (a + d * t0, a + d * t1))
}
