//! What a full cell cannot take goes on to its neighbours, as its pressure would.

use super::Front;
use crate::solve::cells::NONE;

/// What counts as full.
const FULL: f64 = 1.0 - 1e-6;
/// Times that what is over is handed on in one step; what is left then is owed to the next.
const HANDED_ON: usize = 40;

impl Front {
    /// Cell `c` is full at ∫dt/μ `at`.
    pub(super) fn becomes_full(&mut self, c: usize, at: f64) {
        self.fill[c] = 1.0;
        if self.full[c] {
            return;
        }
        self.full[c] = true;
        self.potential[c] = self.gas_potential(c);
        // Nothing comes back from empty cells above it, until its pressure says that resin goes there.
        self.limited[c] = 0;
        for (side, k) in self.neighbours(c).into_iter().enumerate() {
            if k != NONE && self.height[k as usize] > self.height[c] + 1e-6 {
                self.limited[c] |= 1 << side;
            }
        }
        if self.filled_at[c].is_infinite() {
            self.filled_at[c] = at as f32;
        }
    }

    /// Hands on what full cells could not take, as long as it finds room; what does not is owed.
    pub(super) fn hand_on(&mut self, mut over: Vec<(u32, f64)>, time: f64) {
        for _ in 0..HANDED_ON {
            if over.is_empty() {
                return;
            }
            let mut next = Vec::new();
            for (c, excess) in std::mem::take(&mut over) {
                self.push_on(c, excess, time, &mut next);
            }
            over = next;
        }
        self.owed.extend(over);
    }

    /// Gives what a full cell could not take to neighbours with room.
    fn push_on(&mut self, c: u32, excess: f64, time: f64, over: &mut Vec<(u32, f64)>) {
        let i = c as usize;
        let mut share = [0.0; 6];
        let open = |f: &Front, k: u32| k != NONE && !f.full[k as usize];
        let links: f64 = (0..6)
            .filter(|&s| open(self, self.neighbours(i)[s]))
            .map(|s| self.creep.link_mm3[i][s] as f64)
            .fold(0.0, |a, b| a + b);
        if links <= 0.0 {
            self.owed.push((c, excess));
            return;
        }
        let coming = self.scratch.coming[i] + self.scratch.poured[i];
        let own = self.gas_potential(i) + coming.max(excess / time) / links;
        for pressed in [true, false] {
            for (side, k) in self.neighbours(i).into_iter().enumerate() {
                if open(self, k) {
                    let drop = if pressed { (own - self.gas_potential(k as usize)).max(0.0) } else { 1.0 };
                    share[side] = self.creep.link_mm3[i][side] as f64 * drop;
                }
            }
            if share.iter().any(|s| *s > 0.0) {
                break;
            }
        }
        let sum = share.iter().fold(0.0, |a, b| a + b);
        for (side, k) in self.neighbours(i).into_iter().enumerate() {
            if share[side] > 0.0 {
                self.take_over(k, excess * share[side] / sum, over);
            }
        }
    }

    /// Adds `volume` to a cell; what it cannot take is noted in `over`.
    fn take_over(&mut self, k: u32, volume: f64, over: &mut Vec<(u32, f64)>) {
        let i = k as usize;
        let room = self.creep.volume_mm3[i] as f64;
        let now = self.fill[i] + volume / room;
        if now < FULL {
            self.fill[i] = now;
        } else {
            self.becomes_full(i, self.now);
            over.push((k, (now - 1.0) * room));
        }
    }
}
