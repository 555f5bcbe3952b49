//! What is measured of a direction, and how the figures are made comparable before they are weighed.

use crate::plan::HangWeights;

/// What was measured of one direction.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Criteria {
    /// High points that matter; none where the body is not closed.
    pub high_points: Option<usize>,
    /// The most air that stays within the shop's lean at the high points, with one vent at each, mm³; see
    /// [`super::measure::leaning_mm3`]. None where the body is not closed.
    pub air_mm3: Option<f64>,
    /// Diameter of the bubble that air leaves after let-up, as if it were one body, millimetres.
    pub bubble_mm: Option<f64>,
    /// Surface facing up within the shop's angle of level, mm².
    pub ceiling_mm2: f64,
    /// Shadow of all surface that faces up, mm²: what `ceiling_mm2` is a share of.
    pub upper_mm2: f64,
    /// Height of the part, millimetres.
    pub height_mm: f64,
    /// The block round the part: length, width and height, millimetres.
    pub block_mm: [f64; 3],
    /// Surface that neither half sees for the best level draw, mm².
    pub undercut_level_mm2: f64,
    /// Surface that neither half sees for a draw straight up, mm².
    pub undercut_upright_mm2: f64,
    /// Recesses of the master that keep air while rubber is poured; none where it is not closed.
    pub rubber_recesses: Option<usize>,
    /// That air, mm³.
    pub rubber_air_mm3: Option<f64>,
    /// How far the shown surface that faces up most does so, as the sine of its slope: 1 straight up, 0 upright or
    /// facing down.
    pub shown_up: f64,
}

impl Criteria {
    /// Volume of the block, mm³.
    pub fn block_mm3(&self) -> f64 {
        self.block_mm.iter().product()
    }
}

/// What figures are divided by, so that parts of every size weigh alike; the same for all directions of a part.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Norms {
    /// Smallest bubble that is a fault, millimetres.
    pub bubble_mm: f64,
    /// The part's diagonal, millimetres.
    pub diagonal_mm: f64,
    /// Volume of a block round a cube of that side, mm³.
    pub block_mm3: f64,
    /// Area of the whole surface, mm².
    pub area_mm2: f64,
}

/// One thing that a direction is judged by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Criterion {
    /// High points.
    HighPoints,
    /// Air that stays in the leaning block.
    Air,
    /// Air that rubber shuts in.
    RubberAir,
    /// Near-level ceilings.
    Ceiling,
    /// Height of the part.
    Height,
    /// Volume of the block.
    Block,
    /// Undercut of the best level draw.
    UndercutLevel,
    /// Undercut of an upright draw.
    UndercutUpright,
    /// Shown surfaces facing up.
    Shown,
}

impl Criterion {
    /// Every criterion.
    pub const ALL: [Criterion; 9] = [
        Criterion::HighPoints,
        Criterion::Air,
        Criterion::RubberAir,
        Criterion::Ceiling,
        Criterion::Height,
        Criterion::Block,
        Criterion::UndercutLevel,
        Criterion::UndercutUpright,
        Criterion::Shown,
    ];

    /// Its name on screen, with its unit.
    pub fn label(self) -> &'static str {
        match self {
            Criterion::HighPoints => "High points",
            Criterion::Air => "Air left leaning, mm³",
            Criterion::RubberAir => "Air shut in by rubber, mm³",
            Criterion::Ceiling => "Near-level ceiling, mm²",
            Criterion::Height => "Height, mm",
            Criterion::Block => "Block, litres",
            Criterion::UndercutLevel => "Undercut, level draw, mm²",
            Criterion::UndercutUpright => "Undercut, upright draw, mm²",
            Criterion::Shown => "Shown surface facing up, %",
        }
    }

    /// Its name for scripts: that of its weight in the plan.
    pub fn key(self) -> &'static str {
        match self {
            Criterion::HighPoints => "high_point",
            Criterion::Air => "air",
            Criterion::RubberAir => "rubber_air",
            Criterion::Ceiling => "ceiling",
            Criterion::Height => "height",
            Criterion::Block => "block",
            Criterion::UndercutLevel => "undercut_level",
            Criterion::UndercutUpright => "undercut_upright",
            Criterion::Shown => "shown",
        }
    }

    /// What its weight stands for, in words.
    pub fn weighed(self) -> &'static str {
        match self {
            Criterion::HighPoints => "Each high point",
            Criterion::Air => "Bubble at the limit",
            Criterion::RubberAir => "Each recess with air in rubber",
            Criterion::Ceiling => "Top wholly level",
            Criterion::Height => "Standing its tallest",
            Criterion::Block => "Largest block",
            Criterion::UndercutLevel => "All hidden, level draw",
            Criterion::UndercutUpright => "All hidden, draw up",
            Criterion::Shown => "Shown face up",
        }
    }

    /// What its weight stands for, in a sentence.
    pub fn weighed_in_full(self) -> &'static str {
        match self {
            Criterion::HighPoints => "Each high point: a vent, and a stalk to trim",
            Criterion::Air => {
                "Air that leaves the smallest faulty bubble when the block leans; twice the bubble counts twice"
            }
            Criterion::RubberAir => {
                "Each recess that keeps air while rubber is poured: brushed full first, or a lump on every cast"
            }
            Criterion::Ceiling => "All that faces up is near level, so that bubbles stick; half of it counts half",
            Criterion::Height => "The part stands as tall as its diagonal; half as tall counts half",
            Criterion::Block => {
                "The block is that round a cube with the part's diagonal as its side; half of it counts half"
            }
            Criterion::UndercutLevel => {
                "No half sees any of the surface when they are drawn off level; a tenth of it counts a tenth"
            }
            Criterion::UndercutUpright => {
                "No half sees any of the surface when they are drawn off upwards; a tenth of it counts a tenth"
            }
            Criterion::Shown => "A shown surface faces straight up, where bubbles gather",
        }
    }

    /// Its figure in the unit of its label; none where it could not be had.
    pub fn value(self, of: &Criteria) -> Option<f64> {
        match self {
            Criterion::HighPoints => of.high_points.map(|n| n as f64),
            Criterion::Air => of.air_mm3,
            Criterion::RubberAir => of.rubber_air_mm3,
            Criterion::Ceiling => Some(of.ceiling_mm2),
            Criterion::Height => Some(of.height_mm),
            Criterion::Block => Some(of.block_mm3() / 1e6),
            Criterion::UndercutLevel => Some(of.undercut_level_mm2),
            Criterion::UndercutUpright => Some(of.undercut_upright_mm2),
            Criterion::Shown => Some(100.0 * of.shown_up),
        }
    }

    /// Its figure as it is weighed: what its weight is worth in high points where this is 1.
    pub fn loss(self, of: &Criteria, norms: &Norms) -> Option<f64> {
        let share = |x: f64, whole: f64| if whole > 0.0 { x / whole } else { 0.0 };
        match self {
            Criterion::HighPoints => of.high_points.map(|n| n as f64),
            Criterion::Air => of.bubble_mm.map(|b| share(b, norms.bubble_mm)),
            // Each must be brushed in or filled by hand, however large it is.
            Criterion::RubberAir => of.rubber_recesses.map(|n| n as f64),
            Criterion::Ceiling => Some(share(of.ceiling_mm2, of.upper_mm2)),
            Criterion::Height => Some(share(of.height_mm, norms.diagonal_mm)),
            Criterion::Block => Some(share(of.block_mm3(), norms.block_mm3)),
            Criterion::UndercutLevel => Some(share(of.undercut_level_mm2, norms.area_mm2)),
            Criterion::UndercutUpright => Some(share(of.undercut_upright_mm2, norms.area_mm2)),
            Criterion::Shown => Some(of.shown_up),
        }
    }

    /// Its weight.
    pub fn weight(self, weights: &HangWeights) -> f64 {
        *self.weight_of(&mut { *weights })
    }

    /// Its weight, to be changed.
    pub fn weight_of(self, weights: &mut HangWeights) -> &mut f64 {
        match self {
            Criterion::HighPoints => &mut weights.high_point,
            Criterion::Air => &mut weights.air,
            Criterion::RubberAir => &mut weights.rubber_air,
            Criterion::Ceiling => &mut weights.ceiling,
            Criterion::Height => &mut weights.height,
            Criterion::Block => &mut weights.block,
            Criterion::UndercutLevel => &mut weights.undercut_level,
            Criterion::UndercutUpright => &mut weights.undercut_upright,
            Criterion::Shown => &mut weights.shown,
        }
    }
}
