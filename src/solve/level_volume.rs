//! Volume between a closed surface and a level plane, as sums over triangles that answer any level fast.
//!
//! By the divergence theorem the volume above level s of a region bounded by a surface is Σ ∫ (h − s)·n_h dA over the
//! parts of its triangles above s, with h the height and n_h the normal's component along up; the flat cap at s adds
//! nothing. For one triangle the integral has a closed form in its three heights.

use std::ops::Range;

/// Heights of a triangle's corners in any order, and its area projected along up, signed: positive where it faces up.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Facet {
    /// Heights of the corners, millimetres.
    pub heights: [f64; 3],
    /// Projected area, mm².
    pub projected: f64,
}

impl Facet {
    /// ∫ (h − level) over the projected part of the triangle above `level`, mm³.
    ///
    /// Linear height over a triangle: above the middle corner what is left is a triangle with one third of its apex's
    /// height as mean; below it the same holds for the part under the level, taken from the whole.
    pub fn above(&self, level: f64) -> f64 {
        let [mut a, mut b, mut c] = self.heights;
        if a < b {
            std::mem::swap(&mut a, &mut b);
        }
        if b < c {
            std::mem::swap(&mut b, &mut c);
        }
        if a < b {
            std::mem::swap(&mut a, &mut b);
        }
        // a ≥ b ≥ c
        if level <= c {
            return self.projected * ((a + b + c) / 3.0 - level);
        }
        if level >= a {
            return 0.0;
        }
        if level >= b {
            let d = a - level;
            return self.projected * d * (d / (a - b)) * (d / (a - c)) / 3.0;
        }
        let d = level - c;
        let below = d * (d / (a - c)) * (d / (b - c)) / 3.0;
        self.projected * ((a + b + c) / 3.0 - level + below)
    }
}

const LEAF: usize = 16;
const FAN: usize = 8;

#[derive(Clone, Copy, Debug)]
struct Block {
    low: f64,
    high: f64,
    projected: f64,
    /// Σ projected · (mean height − base).
    moment: f64,
}

impl Block {
    const EMPTY: Block = Block { low: f64::INFINITY, high: f64::NEG_INFINITY, projected: 0.0, moment: 0.0 };

    fn and(self, other: Block) -> Block {
        Block {
            low: self.low.min(other.low),
            high: self.high.max(other.high),
            projected: self.projected + other.projected,
            moment: self.moment + other.moment,
        }
    }
}

/// Blocks over a fixed list of facets: a sum over a range of the list looks only at facets that cross the level.
///
/// Blocks wholly above the level add a linear term, blocks wholly below it nothing.
#[derive(Clone, Debug)]
pub struct LevelSums {
    facets: usize,
    base: f64,
    /// Level 0 has a block for every 16 facets, each further level one for every 8 below.
    levels: Vec<Vec<Block>>,
}

impl LevelSums {
    /// Sums over `facets` facets read by `facet`; `base` is any height near them.
    pub fn new(facets: usize, base: f64, facet: impl Fn(usize) -> Facet + Sync) -> LevelSums {
        use rayon::prelude::*;
        let first: Vec<Block> = (0..facets.div_ceil(LEAF))
            .into_par_iter()
            .with_min_len(256)
            .map(|i| {
                let range = i * LEAF..((i + 1) * LEAF).min(facets);
                range.fold(Block::EMPTY, |sum, f| {
                    let Facet { heights: [a, b, c], projected } = facet(f);
                    sum.and(Block {
                        low: a.min(b).min(c),
                        high: a.max(b).max(c),
                        projected,
                        moment: projected * ((a - base) + (b - base) + (c - base)) / 3.0,
                    })
                })
            })
            .collect();
        let mut levels = vec![first];
        while levels[levels.len() - 1].len() > 1 {
            let next = levels[levels.len() - 1]
                .chunks(FAN)
                .map(|blocks| blocks.iter().fold(Block::EMPTY, |sum, &b| sum.and(b)))
                .collect();
            levels.push(next);
        }
        LevelSums { facets, base, levels }
    }

    /// Σ [`Facet::above`] over `range`, with the same `facet` as in [`LevelSums::new`].
    pub fn above(&self, range: Range<usize>, level: f64, facet: &impl Fn(usize) -> Facet) -> f64 {
        debug_assert!(range.end <= self.facets);
        if range.is_empty() {
            return 0.0;
        }
        self.node(self.levels.len() - 1, 0, &range, level, facet)
    }

    fn node(&self, depth: usize, i: usize, range: &Range<usize>, level: f64, facet: &impl Fn(usize) -> Facet) -> f64 {
        let span = LEAF * FAN.pow(depth as u32);
        let (start, end) = (i * span, ((i + 1) * span).min(self.facets));
        if range.end <= start || range.start >= end {
            return 0.0;
        }
        let block = &self.levels[depth][i];
        if block.high <= level {
            return 0.0;
        }
        let whole = range.start <= start && range.end >= end;
        if whole && block.low >= level {
            return block.moment - block.projected * (level - self.base);
        }
        if depth == 0 {
            return (start.max(range.start)..end.min(range.end)).map(|f| facet(f).above(level)).sum();
        }
        let below = &self.levels[depth - 1];
        (i * FAN..((i + 1) * FAN).min(below.len())).map(|j| self.node(depth - 1, j, range, level, facet)).sum()
    }
}
