//! What stands on one level, for the rows that take part alone: where a front has just begun to move they are few.

use super::level::Level;
use crate::solve::cells::NONE;
use rayon::prelude::*;
use std::ops::Range;

/// Rows that one thread takes at a time.
const CHUNK: usize = 4096;
/// Rows below which threads would cost more than they bring.
const SHARED: usize = 3 * CHUNK;

/// The weights of all links of a level.
#[derive(Clone, Debug, Default)]
pub struct Weights {
    /// Of each link of the pattern.
    pub link: Vec<f32>,
    /// Of each row's link to potential 0.
    pub held: Vec<f32>,
}

impl Weights {
    /// Nothing, for a level.
    pub fn of(level: &Level) -> Weights {
        Weights { link: vec![0.0; level.links_in_all()], held: vec![0.0; level.len()] }
    }

    /// Takes weights over from cells.
    pub fn set_finest(
        &mut self,
        level: &Level,
        weight: &(impl Fn(u32) -> [f32; 6] + Sync),
        held: &(impl Fn(u32) -> f32 + Sync),
    ) {
        let mut parts = Vec::new();
        let (mut links, mut rest) = (self.link.as_mut_slice(), self.held.as_mut_slice());
        let mut first = 0;
        while first < level.len() {
            let end = (first + CHUNK).min(level.len());
            let of_rows = level.links(first).start..level.links(end - 1).end;
            let (part, others) = links.split_at_mut(of_rows.len());
            let (held_part, others_held) = rest.split_at_mut(end - first);
            parts.push((first, part, held_part));
            (links, rest, first) = (others, others_held, end);
        }
        parts.into_par_iter().for_each(|(first, links, of_rows)| {
            let mut at = 0;
            for (i, h) in of_rows.iter_mut().enumerate() {
                let row = first + i;
                let cell = level.cells[row];
                *h = held(cell);
                let of_cell = weight(cell);
                for e in level.links(row) {
                    links[at] = of_cell[level.side[e] as usize];
                    at += 1;
                }
            }
        });
    }
}

/// The rows of one level that have a weight, red ones first, and what stands on them.
#[derive(Clone, Debug, Default)]
pub struct Active {
    /// Row of the pattern, for each row that takes part.
    pub rows: Vec<u32>,
    /// Number among those that take part, for each row of the pattern.
    number: Vec<u32>,
    reds: usize,
    start: Vec<u32>,
    to: Vec<u32>,
    weight: Vec<f32>,
    /// Weight of each row's link to potential 0.
    pub held: Vec<f32>,
    /// 1 over the sum of both.
    inverse: Vec<f32>,
    /// Row of the next level that a row belongs to; `NONE` where that one takes no part.
    parent: Vec<u32>,
    /// Right side of the correction.
    pub right: Vec<f32>,
    /// The correction.
    pub x: Vec<f32>,
    /// What is left on red rows.
    left: Vec<f32>,
}

impl Active {
    /// The links of a row.
    #[inline]
    fn links(&self, row: usize) -> Range<usize> {
        self.start[row] as usize..self.start[row + 1] as usize
    }

    /// Number of rows that take part.
    pub fn len(&self) -> usize {
        self.rows.len()
    }

    /// Takes the rows of a level over that have a weight, and adds the weights up to those of the next level, halved.
    pub fn take(&mut self, level: &Level, weights: &Weights, mut coarse: Option<&mut Weights>) {
        self.rows.clear();
        self.number.clear();
        self.held.clear();
        self.inverse.clear();
        self.number.resize(level.len(), NONE);
        if let Some(coarse) = &mut coarse {
            coarse.link.fill(0.0);
            coarse.held.fill(0.0);
        }
        self.reds = 0;
        for row in 0..level.len() {
            let held = weights.held[row];
            let sum = weights.link[level.links(row)].iter().fold(held, |a, b| a + b);
            if sum > 0.0 {
                self.number[row] = self.rows.len() as u32;
                self.rows.push(row as u32);
                self.held.push(held);
                self.inverse.push(1.0 / sum);
                self.reds += (row < level.reds) as usize;
            }
        }
        self.start.clear();
        self.to.clear();
        self.weight.clear();
        self.start.push(0);
        for &row in &self.rows {
            for e in level.links(row as usize) {
                let w = weights.link[e];
                if w > 0.0 {
                    self.to.push(self.number[level.to[e] as usize]);
                    self.weight.push(w);
                    if let (Some(coarse), true) = (&mut coarse, level.parent_link[e] != NONE) {
                        coarse.link[level.parent_link[e] as usize] += 0.5 * w;
                    }
                }
            }
            self.start.push(self.to.len() as u32);
            if let Some(coarse) = &mut coarse {
                coarse.held[level.parent[row as usize] as usize] += 0.5 * weights.held[row as usize];
            }
        }
        for (values, n) in
            [(&mut self.right, self.rows.len()), (&mut self.x, self.rows.len()), (&mut self.left, self.reds)]
        {
            values.clear();
            values.resize(n, 0.0);
        }
        self.parent.clear();
    }

    /// Notes which row of the next level each row belongs to.
    pub fn belong_to(&mut self, level: &Level, next: &Active) {
        self.parent.extend(self.rows.iter().map(|&row| next.number[level.parent[row as usize] as usize]));
    }

    /// What stands on the diagonal, row by row.
    pub fn diagonal(&self, row: usize) -> f64 {
        self.weight[self.links(row)].iter().map(|w| *w as f64).fold(self.held[row] as f64, |a, b| a + b)
    }

    /// Sum of weight times `x` over the links of a row.
    #[inline]
    pub fn over_links(&self, row: usize, x: &[f64]) -> f64 {
        let links = self.links(row);
        let of_links = self.weight[links.clone()].iter().zip(&self.to[links]);
        of_links.map(|(w, to)| *w as f64 * x[*to as usize]).fold(0.0, |a, b| a + b)
    }

    /// The rows of one colour solved for themselves, from those of the other. With `from_nothing` those are 0.
    fn smooth(&mut self, red: bool, from_nothing: bool) {
        let (reds, blacks) = self.x.split_at_mut(self.reds);
        let (own, other, first, before) =
            if red { (reds, &*blacks, 0, self.reds) } else { (blacks, &*reds, self.reds, 0) };
        let (start, to, weight) = (&self.start, &self.to, &self.weight);
        let (right, inverse) = (&self.right, &self.inverse);
        in_parts(own, |begin, own| {
            for (i, x) in own.iter_mut().enumerate() {
                let row = first + begin + i;
                let mut sum = right[row];
                if !from_nothing {
                    let links = start[row] as usize..start[row + 1] as usize;
                    for (w, to) in weight[links.clone()].iter().zip(&to[links]) {
                        sum += w * other[*to as usize - before];
                    }
                }
                *x = sum * inverse[row];
            }
        });
    }

    /// What is left on red rows, added up on the next level; nothing is left on black ones, which were solved last.
    fn hand_down(&mut self, coarse: &mut Active) {
        let (start, to, weight) = (&self.start, &self.to, &self.weight);
        let (right, x, inverse) = (&self.right, &self.x, &self.inverse);
        in_parts(&mut self.left, |begin, left| {
            for (i, left) in left.iter_mut().enumerate() {
                let row = begin + i;
                let links = start[row] as usize..start[row + 1] as usize;
                let mut sum = right[row];
                for (w, to) in weight[links.clone()].iter().zip(&to[links]) {
                    sum += w * x[*to as usize];
                }
                *left = sum - x[row] / inverse[row];
            }
        });
        coarse.right.fill(0.0);
        for (left, &to) in self.left.iter().zip(&self.parent) {
            if to != NONE {
                coarse.right[to as usize] += left;
            }
        }
    }

    /// Adds the correction of the next level to red rows; black ones are solved from them at once.
    fn take_up(&mut self, coarse: &Active) {
        let (reds, parent) = (self.reds, &self.parent);
        in_parts(&mut self.x[..reds], |begin, x| {
            for (x, &from) in x.iter_mut().zip(&parent[begin..]) {
                if from != NONE {
                    *x += coarse.x[from as usize];
                }
            }
        });
    }
}

/// Works on the parts of a level's rows, in threads where it is worth it; `part` is told where its rows begin.
fn in_parts(rows: &mut [f32], part: impl Fn(usize, &mut [f32]) + Sync) {
    if rows.len() > SHARED {
        rows.par_chunks_mut(CHUNK).enumerate().for_each(|(c, rows)| part(c * CHUNK, rows));
    } else {
        part(0, rows);
    }
}

/// One cycle from the first level down and up again: corrections `x` for the right sides `right`. Levels below the first
/// turn to the next one `visits` times, which costs little: each has about an eighth of the rows of the one before.
pub fn cycle(levels: &mut [Active], visits: usize) {
    let Some((fine, rest)) = levels.split_first_mut() else { return };
    fine.smooth(true, true);
    fine.smooth(false, false);
    if rest.is_empty() {
        return;
    }
    for visit in 0..visits {
        if visit > 0 {
            fine.smooth(false, false);
            fine.smooth(true, false);
            fine.smooth(false, false);
        }
        fine.hand_down(&mut rest[0]);
        cycle(rest, 2);
        fine.take_up(&rest[0]);
    }
    fine.smooth(false, false);
    fine.smooth(true, false);
}
