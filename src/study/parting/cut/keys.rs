//! Keys: a wave along the line in the outer part of the sheet, so that the halves close in one place only.
//!
//! The wave runs round the convex outline of all lines, since the nearest point on a convex outline never jumps. It starts
//! beyond a smooth margin beside the cavity and is left out where the block has no room for it.

use glam::DVec2;
use std::f64::consts::TAU;

/// Usual pitch of a waved cut, and the shortest, millimetres (common practice, no source: 10 to 25).
pub const PITCH_MM: [f64; 2] = [15.0, 10.0];
/// Depth from crest to trough, millimetres (common practice, no source: 3 to 6).
pub const DEPTH_MM: f64 = 4.0;
/// Smooth band beside the cavity, millimetres (common practice, no source: 3 to 8).
pub const SMOOTH_MM: f64 = 5.0;
/// Length over which the wave rises to its depth, millimetres (set here).
pub const RISE_MM: f64 = 3.0;
/// Least width of a key beyond the smooth band, rise included, millimetres (set here).
pub const LEAST_ROOM_MM: f64 = 6.0;
/// Keys wanted on a side.
pub const A_SIDE: usize = 3;
/// Stations round the outline at which the room is looked at.
const STATIONS: usize = 720;

/// A convex outline with a measure along it.
#[derive(Clone, Debug, Default)]
pub struct Outline {
    /// Corners, counter-clockwise.
    corners: Vec<DVec2>,
    /// Length up to each corner.
    upto: Vec<f64>,
    /// Whole length.
    length: f64,
}

impl Outline {
    /// The convex hull of points (Andrew, 1979).
    pub fn round(points: impl IntoIterator<Item = DVec2>) -> Outline {
        let mut points: Vec<DVec2> = points.into_iter().collect();
        points.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
        points.dedup();
        let chain = |points: &mut dyn Iterator<Item = DVec2>| {
            let mut hull: Vec<DVec2> = Vec::new();
            for p in points {
                while let [.., a, b] = hull[..] {
                    if (b - a).perp_dot(p - a) > 0.0 {
                        break;
                    }
                    hull.pop();
                }
                hull.push(p);
            }
            hull.pop();
            hull
        };
        let mut corners = chain(&mut points.iter().copied());
        corners.extend(chain(&mut points.iter().rev().copied()));
        Outline::of_corners(corners)
    }

    /// The outline with these corners, counter-clockwise.
    fn of_corners(corners: Vec<DVec2>) -> Outline {
        let mut outline = Outline { upto: Vec::with_capacity(corners.len()), corners, length: 0.0 };
        for i in 0..outline.corners.len() {
            outline.upto.push(outline.length);
            outline.length += outline.corners[i].distance(outline.corners[(i + 1) % outline.corners.len()]);
        }
        outline
    }

    /// Length round, millimetres.
    pub fn length_mm(&self) -> f64 {
        self.length
    }

    /// Distance of a point outside from the outline (0 inside) and the measure of the nearest point.
    pub fn nearest(&self, p: DVec2) -> (f64, f64) {
        let n = self.corners.len();
        let (mut best, mut measure, mut outside) = (f64::INFINITY, 0.0, n < 3);
        for i in 0..n {
            let (a, b) = (self.corners[i], self.corners[(i + 1) % n]);
            let ab = b - a;
            outside |= ab.perp_dot(p - a) < 0.0;
            let t = ((p - a).dot(ab) / ab.length_squared().max(1e-18)).clamp(0.0, 1.0);
            let d = p.distance(a + ab * t);
            if d < best {
                (best, measure) = (d, self.upto[i] + t * ab.length());
            }
        }
        (if outside { best } else { 0.0 }, measure)
    }

    /// The point at a measure and the direction outwards there, turned evenly round corners.
    pub fn at(&self, measure: f64) -> (DVec2, DVec2) {
        let n = self.corners.len();
        let measure = measure.rem_euclid(self.length.max(1e-9));
        let i = self.upto.partition_point(|u| *u <= measure).saturating_sub(1);
        let (a, b) = (self.corners[i], self.corners[(i + 1) % n]);
        let along = (b - a).normalize_or(DVec2::X);
        (a + along * (measure - self.upto[i]), DVec2::new(along.y, -along.x))
    }
}

/// The keys of one cut.
#[derive(Clone, Debug, Default)]
pub struct Wave {
    outline: Outline,
    /// Whole waves round the outline.
    waves: usize,
    /// Room from the outline to the wall at stations round it, millimetres.
    room: Vec<f64>,
    /// Which wall each station looks at.
    wall: Vec<usize>,
}

/// One key: a crest or a trough of the wave.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Key {
    /// Its middle, across.
    pub at: DVec2,
    /// The wall of the block it is beside.
    pub wall: usize,
    /// Length of its ridge square to the line, millimetres.
    pub length_mm: f64,
    /// True where half 2 carries the ridge and half 1 the furrow.
    pub crest: bool,
}

impl Wave {
    /// The wave round `outline`. `room(p, d)` is how far it is from `p` along `d` to the wall of the block, and which wall.
    pub fn round(outline: Outline, room: impl Fn(DVec2, DVec2) -> (f64, usize)) -> Wave {
        if outline.corners.len() < 3 || outline.length < PITCH_MM[1] {
            return Wave { outline, ..Wave::default() };
        }
        let looked: Vec<(f64, usize)> = (0..STATIONS)
            .map(|i| {
                let (p, d) = outline.at(outline.length * i as f64 / STATIONS as f64);
                room(p, d)
            })
            .collect();
        let mut wave = Wave {
            waves: 0,
            outline,
            room: looked.iter().map(|l| l.0).collect(),
            wall: looked.iter().map(|l| l.1).collect(),
        };
        for pitch in PITCH_MM {
            wave.waves = (wave.outline.length / pitch).round().max(2.0) as usize;
            if wave.sides().iter().all(|s| s.keys >= A_SIDE) {
                break;
            }
        }
        wave
    }

    /// The same wave seen from below: the second axis across and the height turned round.
    pub(super) fn turned(&self) -> Wave {
        let corners = &self.outline.corners;
        let round = corners.first().into_iter().chain(corners.iter().skip(1).rev());
        let stations = || (0..self.room.len()).map(|i| (self.room.len() - i) % self.room.len());
        Wave {
            outline: Outline::of_corners(round.map(|c| DVec2::new(c.x, -c.y)).collect()),
            waves: self.waves,
            room: stations().map(|i| self.room[i]).collect(),
            wall: stations().map(|i| self.wall[i]).collect(),
        }
    }

    /// Room at a measure, the least of the two stations beside it.
    fn room_at(&self, measure: f64) -> f64 {
        let x = (measure / self.outline.length.max(1e-9)).rem_euclid(1.0) * STATIONS as f64;
        let i = x as usize % STATIONS;
        self.room[i].min(self.room[(i + 1) % STATIONS])
    }

    /// Height of the wave at a place across.
    pub fn height(&self, p: DVec2) -> f64 {
        if self.waves == 0 {
            return 0.0;
        }
        let (d, measure) = self.outline.nearest(p);
        let rise = smooth((d - SMOOTH_MM) / RISE_MM);
        if rise == 0.0 {
            return 0.0;
        }
        let room = smooth((self.room_at(measure) - SMOOTH_MM - LEAST_ROOM_MM) / 2.0 + 1.0);
        0.5 * DEPTH_MM * rise * room * (TAU * self.waves as f64 * measure / self.outline.length).sin()
    }

    /// Every key that has room.
    pub fn keys(&self) -> Vec<Key> {
        (0..2 * self.waves)
            .filter_map(|i| {
                let measure = self.outline.length * (i as f64 + 0.5) / (2 * self.waves) as f64;
                let length_mm = self.room_at(measure) - SMOOTH_MM;
                let station = (measure / self.outline.length * STATIONS as f64) as usize % STATIONS;
                let (p, d) = self.outline.at(measure);
                (length_mm >= LEAST_ROOM_MM).then(|| Key {
                    at: p + d * (SMOOTH_MM + 0.5 * length_mm),
                    wall: self.wall[station],
                    length_mm,
                    crest: i % 2 == 0,
                })
            })
            .collect()
    }

    /// The sides of the block that the outline looks at, with the keys on each. A side that it only grazes is left out.
    pub fn sides(&self) -> Vec<Side> {
        let keys = self.keys();
        let mut walls = self.wall.clone();
        walls.sort_unstable();
        walls.dedup();
        walls
            .into_iter()
            .filter_map(|wall| {
                let mine = (0..STATIONS).filter(|&i| self.wall[i] == wall);
                let share = mine.clone().count() as f64 / STATIONS as f64;
                let room_mm = mine.map(|i| self.room[i]).fold(f64::INFINITY, f64::min);
                let long_enough = share * self.outline.length >= PITCH_MM[1];
                long_enough.then(|| Side { wall, keys: keys.iter().filter(|k| k.wall == wall).count(), room_mm })
            })
            .collect()
    }
}

/// The keys beside one wall.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Side {
    /// The wall.
    pub wall: usize,
    /// Keys beside it.
    pub keys: usize,
    /// Least room from the lines to the wall, millimetres.
    pub room_mm: f64,
}

/// 0 up to 0, 1 from 1, smooth between.
fn smooth(x: f64) -> f64 {
    let x = x.clamp(0.0, 1.0);
    x * x * (3.0 - 2.0 * x)
}
