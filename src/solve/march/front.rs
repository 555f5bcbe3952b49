//! What one cell knows of the front, and the upwind solution from it.
//!
//! A cell keeps the sides that it would be reached from, told by each neighbour as that is reached, so that nothing has to
//! be gathered for a solution. Which of the sides are known is as good as random for a processor, and a branch on it costs
//! as much as the solution: so a side that is not known goes in with the weight 0, by masks.

use crate::solve::cells::NONE;

/// The axes beside each axis.
const BESIDE: [[usize; 2]; 3] = [[1, 2], [2, 0], [0, 1]];
/// The slope along a wall takes no more than so much of the unit slope, squared, along one axis and along all.
const MOST_ALONG_WALL: [f32; 2] = [0.5, 2.0 / 3.0];
/// Weight of the one-sided difference of second order: (3T − 4t + t₂)/2 = 3/2 · (T − (4t − t₂)/3).
const SECOND: f32 = 2.25;

/// A cell that the front comes to and did not yet reach; distances in cell edges.
#[derive(Clone, Copy, Debug)]
#[repr(align(32))]
pub(super) struct Front {
    /// Along each axis the distance of the reached neighbour that the front would come from; infinite while there is none.
    t: [f32; 3],
    /// Along each axis what the difference to the neighbour is taken from; while there is none, what the slope along a
    /// wall takes of the unit slope, squared, below zero.
    value: [f32; 3],
    /// The best distance so far.
    best: f32,
    /// Sides that are linked, a bit a side.
    linked: u8,
    /// Of those, the ones that were not yet reached.
    waiting: u8,
    seeded: bool,
}

/// What a cell that was just reached has to say to the cells it is linked to.
pub(super) struct News {
    t: f32,
    /// Along each axis what a difference across this cell is taken from.
    value: [f32; 3],
    /// Along each axis the slope at this cell, squared, below zero.
    slope2: [f32; 3],
}

impl Front {
    /// A cell that no front came to, linked to `neighbours`, in the order of [`crate::solve::cells::Cells::neighbours`].
    pub fn far(neighbours: &[u32; 6]) -> Front {
        let linked = (0..6).fold(0, |bits, side| bits | u8::from(neighbours[side] != NONE) << side);
        Front { t: [f32::INFINITY; 3], value: [0.0; 3], best: f32::INFINITY, linked, waiting: linked, seeded: false }
    }

    /// A cell that the first news come to, from the neighbour on `side`: 1 cell on, or where a cell behind that is known,
    /// as the difference of second order says, T = v + 2/3.
    #[inline]
    pub fn touched(neighbours: &[u32; 6], side: usize, news: &News) -> Front {
        let mut front = Front::far(neighbours);
        let axis = side >> 1 & 3;
        front.waiting &= !(1 << side);
        front.t[axis] = news.t;
        front.value[axis] = news.value[axis];
        // Along axes that lack a neighbour the slope is that of the cell straight upwind.
        let open = front.linked & front.linked >> 1;
        let mut along_wall = 0.0;
        for k in BESIDE[axis] {
            let walled = u32::from(!open >> (2 * k) & 1).wrapping_neg();
            front.value[k] = f32::from_bits(news.slope2[k].to_bits() & walled);
            along_wall += front.value[k];
        }
        let step = left_of(along_wall).sqrt();
        front.best = news.value[axis] + if news.value[axis] > news.t { step * (2.0 / 3.0) } else { step };
        front
    }

    /// The best distance so far.
    #[inline]
    pub fn best(&self) -> f32 {
        self.best
    }

    /// Takes a distance given from outside, unless a better one is there; true where it was taken.
    pub fn seed(&mut self, t: f32) -> bool {
        let takes = t < self.best;
        if takes {
            self.best = t;
            self.seeded = true;
        }
        takes
    }

    /// What a cell with this front says once its best distance is the distance, and the sides that wait for it, a bit a
    /// side.
    #[inline]
    pub fn news(&self) -> (News, u8) {
        let t = self.best;
        // Towards a side that waits only the cell on the other side can be known.
        let value = self.t.map(|t2| if t2 < t { (4.0 * t - t2) * (1.0 / 3.0) } else { t });
        let slope2 = self.t.map(|t2| {
            let rise = f32::max(t - t2, 0.0);
            -(rise * rise).min(MOST_ALONG_WALL[0])
        });
        (News { t, value, slope2 }, self.waiting)
    }

    /// Hears that the neighbour on `side` was reached. Where that makes the distance better, the distance from before;
    /// [`Front::best`] is the better one.
    #[inline]
    pub fn hear(&mut self, side: usize, news: &News) -> Option<f32> {
        let axis = side >> 1 & 3;
        self.waiting &= !(1 << side);
        // Behind a nearer one on the other side.
        if news.t >= self.t[axis] {
            return None;
        }
        self.t[axis] = news.t;
        self.value[axis] = news.value[axis];
        // Relative to the news: T² Σw − 2 T Σwv + Σwv² = what is left of the unit slope.
        let (mut w, mut wv, mut wv2) = (0.0, 0.0, 0.0);
        let mut add = |t: f32, value: f32, known: u32| {
            let weight = if value > t { SECOND } else { 1.0 };
            let weight = f32::from_bits(weight.to_bits() & known);
            let v = f32::from_bits((value - news.t).to_bits() & known);
            w += weight;
            wv += weight * v;
            wv2 += weight * v * v;
        };
        add(news.t, news.value[axis], !0);
        let mut along_wall = 0.0;
        for k in BESIDE[axis] {
            // All ones where the distance is finite.
            let known = (self.t[k].to_bits().wrapping_sub(f32::INFINITY.to_bits()) as i32 >> 31) as u32;
            add(self.t[k], self.value[k], known);
            along_wall += self.value[k].min(0.0);
        }
        let left = left_of(along_wall);
        let root = wv * wv - w * (wv2 - left);
        let mut t = news.t + (wv + root.sqrt()) / w;
        // News come in the order of distance, but for the width of a bucket: no other side lies much further.
        if !(t >= news.t) {
            t = self.without_the_furthest(left);
        }
        let before = self.best;
        // Only another source that is clearly nearer may overrule a seed.
        (t < if self.seeded { before - 0.5 } else { before }).then(|| {
            self.best = t;
            before
        })
    }

    /// The solution where a side lies beyond it, which then does not count: the furthest is left out until none does.
    #[cold]
    #[inline(never)]
    fn without_the_furthest(&self, left: f32) -> f32 {
        let mut sides: Vec<(f32, f32)> =
            (0..3).map(|k| (self.t[k], self.value[k])).filter(|s| s.0 < f32::INFINITY).collect();
        sides.sort_unstable_by(|a, b| a.0.total_cmp(&b.0));
        let base = sides[0].0;
        while let Some(&(furthest, _)) = sides.last() {
            let (mut w, mut wv, mut wv2) = (0.0, 0.0, 0.0);
            for &(t, value) in &sides {
                let weight = if value > t { SECOND } else { 1.0 };
                let v = value - base;
                (w, wv, wv2) = (w + weight, wv + weight * v, wv2 + weight * v * v);
            }
            let t = base + (wv + (wv * wv - w * (wv2 - left)).sqrt()) / w;
            if t >= furthest {
                return t;
            }
            sides.pop();
        }
        // One side alone always has a solution; only rounding can bring the loop here.
        base + left.sqrt()
    }
}

/// What is left of the unit slope, squared, once those along walls are taken.
#[inline]
fn left_of(along_wall: f32) -> f32 {
    1.0 + f32::max(along_wall, -MOST_ALONG_WALL[1])
}

/// The fronts of the cells that were touched and not yet reached. They are few beside all cells, and so stay near the
/// processor.
#[derive(Clone, Debug, Default)]
pub(super) struct Band {
    fronts: Vec<Front>,
    free: Vec<u32>,
}

/// The state of a cell in 32 bits: a distance, infinite for a cell that nothing came near, or with the first bit the number
/// of its front.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct State(u32);

const TOUCHED: u32 = 1 << 31;

impl State {
    /// Nothing came near.
    pub const FAR: State = State(f32::INFINITY.to_bits());

    /// Reached at a distance, in cell edges; at least zero.
    #[inline]
    pub fn reached(t: f32) -> State {
        State(t.to_bits() & !TOUCHED)
    }

    /// The distance, infinite until reached. Numbers of fronts are above the bits of the infinite.
    #[inline]
    pub fn known(self) -> f32 {
        f32::from_bits(self.0.min(State::FAR.0))
    }

    /// The number of the front of a cell that was touched and not yet reached.
    #[inline]
    pub fn touched(self) -> Option<u32> {
        (self.0 & TOUCHED != 0).then_some(self.0 & !TOUCHED)
    }
}

impl Band {
    /// Takes a front in; the state of its cell.
    #[inline]
    pub fn put(&mut self, front: Front) -> State {
        let number = match self.free.pop() {
            Some(number) => {
                self.fronts[number as usize] = front;
                number
            }
            None => {
                self.fronts.push(front);
                self.fronts.len() as u32 - 1
            }
        };
        State(number | TOUCHED)
    }

    /// A front by its number.
    #[inline]
    pub fn front(&mut self, number: u32) -> &mut Front {
        &mut self.fronts[number as usize]
    }

    /// Takes a front out, whose cell is reached; it can be read until the next is put in.
    #[inline]
    pub fn take(&mut self, number: u32) -> &Front {
        self.free.push(number);
        &self.fronts[number as usize]
    }
}
