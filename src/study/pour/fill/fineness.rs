//! How fine the cells of a fill are, what error that leaves, and what finer ones would take.

use crate::study::pour::flow::ACROSS;

/// Cells that a fill may use where nothing else is asked for.
pub const CELL_BUDGET: f64 = 120_000.0;

/// How fine the cells of a fill are.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fineness {
    /// Cells across the typical thin wall that are wanted.
    pub across: f64,
    /// Cells that may be used for it.
    pub cell_budget: f64,
}

impl Fineness {
    /// What is used where nothing else is asked for.
    pub const USUAL: Fineness = Fineness { across: ACROSS, cell_budget: CELL_BUDGET };

    /// The usual ones, or finer ones where so many cells allow that.
    pub fn of_budget(cell_budget: f64) -> Fineness {
        // Somebody who names many cells wants them used.
        let across = ACROSS * (cell_budget / CELL_BUDGET).cbrt().max(1.0);
        Fineness { across, cell_budget }
    }
}

/// Error of fill times to be expected with so many cells across a wall: channels turned by chance are out by 2 % on
/// the root mean square at four cells, seldom by more than 4 %, and by under 1.5 % at twelve (`tests/solve/creep.rs`); the
/// front adds two or three.
pub fn expected_error(across: f64) -> f64 {
    let few = 4.0 / across.max(0.5);
    0.06 * if few > 1.0 { few * few } else { few }
}
