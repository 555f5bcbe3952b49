//! Resin in cells that are not full: it falls by its own weight, and full cells beside it may draw it in.
//!
//! Falling resin only ever goes down, so one sweep from the highest cell to the lowest follows a whole step whatever its
//! length. In each cell what comes in over the step is known when its turn comes, what leaves goes as what it holds, and
//! that has a closed form: with inflow q and outflow a·f from a room V, f goes to q/a as e^(−a·t/V). Nothing is
//! bound to the time that resin takes from cell to cell, which is far shorter than the fill.

use super::Front;
use crate::solve::cells::NONE;
use crate::study::pour::fill::front::sweep::Sweep;

/// What leaves a cell over a step that begins with `full` of a room of `volume`, takes in `inflow` and loses `outflow` if it
/// is full all the while: the share at the end, and where it becomes full when in the step that is and what is over.
fn through(full: f64, volume: f64, inflow: f64, outflow: f64) -> (f64, Option<(f64, f64)>) {
    let x = outflow / volume;
    let at = |t: f64| {
        if x > 1e-9 {
            let lasting = inflow / outflow;
            lasting + (full - lasting) * (-x * t).exp()
        } else {
            full + inflow / volume * t
        }
    };
    let end = at(1.0);
    if !(end > 1.0) {
        return (end.max(0.0), None);
    }
    let when = if x > 1e-9 {
        let lasting = inflow / outflow;
        ((lasting - full) / (lasting - 1.0)).ln() / x
    } else {
        (1.0 - full) * volume / inflow
    };
    let when = when.clamp(0.0, 1.0);
    (1.0, Some((when, (inflow - outflow) * (1.0 - when))))
}

impl Front {
    /// Links down which resin falls from a cell that is not full, as flow if it were full, and their sum.
    pub(super) fn falling(&self, c: usize) -> ([f64; 6], f64) {
        let mut down = [0.0; 6];
        let mut sum = 0.0;
        for (side, k) in self.neighbours(c).into_iter().enumerate() {
            if k != NONE && !self.full[k as usize] {
                let fall = self.height[c] - self.height[k as usize];
                if fall > 0.0 {
                    down[side] = self.creep.link_mm3[c][side] as f64 * self.drive.weight_pa_mm * fall;
                    sum += down[side];
                }
            }
        }
        (down, sum)
    }

    /// Follows cells that are not full over a step of `time`, of what full ones would give them only `part` by pool. Changes
    /// nothing yet.
    pub(super) fn sweep(&self, time: f64, part: &[f64], sweep: &mut Sweep) {
        let s = &self.scratch;
        sweep.fallen.clear();
        sweep.fallen.resize(self.full.len(), 0.0);
        sweep.after.clear();
        sweep.over.clear();
        sweep.drawn.clear();
        sweep.drawn.resize(part.len(), 0.0);
        for &cell in &self.downwards {
            let c = cell as usize;
            if self.full[c] {
                continue;
            }
            let coming = if s.coming[c] > 0.0 { part[s.pool[c] as usize] * s.coming[c] } else { 0.0 };
            let inflow = sweep.fallen[c] + time * (coming + s.poured[c]);
            if inflow <= 0.0 && self.fill[c] <= 0.0 {
                continue;
            }
            let (down, sum) = self.falling(c);
            let volume = self.creep.volume_mm3[c] as f64;
            let outflow = time * (sum + s.leaving[c]);
            let (after, over) = through(self.fill[c], volume, inflow, outflow);
            let over_mm3 = over.map_or(0.0, |o| o.1);
            let left = (inflow - (after - self.fill[c]) * volume - over_mm3).max(0.0);
            if left > 0.0 && outflow > 0.0 {
                let each = left * time / outflow;
                for (side, k) in self.neighbours(c).into_iter().enumerate() {
                    if down[side] > 0.0 {
                        sweep.fallen[k as usize] += each * down[side];
                    }
                }
                if s.leaving[c] > 0.0 {
                    sweep.drawn[s.pool[c] as usize] += each * s.leaving[c];
                }
            }
            sweep.after.push((cell, after));
            if let Some((when, over_mm3)) = over {
                sweep.over.push((cell, when, over_mm3));
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::through;

    /// The closed form against a thousand small steps, and nothing lost in any case.
    #[test]
    fn a_cell_over_a_step_is_as_over_many_small_ones() {
        for (full, inflow, outflow) in
            [(0.2, 3.0, 5.0), (0.9, 0.0, 7.0), (0.1, 9.0, 2.0), (1.0, 4.0, 4.5), (0.0, 1.0, 0.0)]
        {
            let volume = 2.0;
            let (end, over) = through(full, volume, inflow, outflow);
            let (mut f, mut spilt, mut left, many) = (full, 0.0, 0.0, 100_000);
            for _ in 0..many {
                left += f * outflow / many as f64;
                f += (inflow - f * outflow) / many as f64 / volume;
                if f > 1.0 {
                    spilt += (f - 1.0) * volume;
                    f = 1.0;
                }
            }
            let over = over.map_or(0.0, |o| o.1);
            assert!((end - f).abs() < 1e-3 && (over - spilt).abs() < 1e-3, "{end} {f} {over} {spilt}");
            let left_here = inflow - (end - full) * volume - over;
            assert!((left_here - left).abs() < 2e-3, "{left_here} {left}");
        }
    }
}
