//! How fine the cells of a fill are, what error that leaves, and what finer ones would take.

use super::Fill;
use crate::study::pour::flow::ACROSS;

/// Cells that a fill may use where nothing else is asked for.
pub const CELL_BUDGET: f64 = 120_000.0;
/// Cells that a finer fill may use: memory for them is at hand on every bench computer.
const MOST_CELLS: f64 = 1e6;
/// Memory that a cell takes with its links, on all levels and in every vector, bytes: reckoned from what is kept, not measured.
const BYTES_A_CELL: f64 = 700.0;
/// A finer fill must have so many times as many cells to be worth its while.
const WORTH_WHILE: f64 = 2.0;
/// Time goes as this power of the number of cells: there are as many steps, each a little longer than in proportion.
const TIME_POWER: f64 = 1.15;

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

/// A fill on finer cells than the one that there is, and what it would take.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Finer {
    /// To be asked for.
    pub fineness: Fineness,
    /// Edge of its cells, mm.
    pub cell_mm: f64,
    /// About as many cells.
    pub cells: f64,
    /// Error of its times to be expected, as a share.
    pub expected_error: f64,
    /// Memory it takes, bytes.
    pub bytes: f64,
    /// Times as long as the one that there is.
    pub times_as_long: f64,
}

impl Finer {
    /// Half the cell of `fill`, or as near to that as memory allows; none where it would gain little.
    pub fn than(fill: &Fill) -> Option<Finer> {
        let cells_now = fill.cells as f64;
        let cells = (8.0 * cells_now).min(MOST_CELLS);
        if cells < WORTH_WHILE * cells_now {
            return None;
        }
        let times = (cells / cells_now).cbrt();
        let across = fill.across * times;
        Some(Finer {
            // The budget only guards: cells along walls are counted in by more than their volume.
            fineness: Fineness { across, cell_budget: 1.2 * cells },
            cell_mm: fill.cell_mm / times,
            cells,
            expected_error: expected_error(across),
            bytes: cells * BYTES_A_CELL,
            times_as_long: (cells / cells_now).powf(TIME_POWER),
        })
    }
}

/// Error of fill times to be expected with so many cells across a wall: channels turned by chance are out by 2 % on
/// the root mean square at four cells, seldom by more than 4 %, and by under 1.5 % at twelve (`tests/solve/creep.rs`); the
/// front adds two or three.
pub fn expected_error(across: f64) -> f64 {
    let few = 4.0 / across.max(0.5);
    0.06 * if few > 1.0 { few * few } else { few }
}
