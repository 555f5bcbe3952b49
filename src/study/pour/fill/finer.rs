//! A fill on finer cells than the one that there is.

use crate::study::pour::fill::filled::Fill;
use crate::study::pour::fill::fineness::{Fineness, expected_error};

/// Cells that a finer fill may use: memory for them is at hand on every bench computer.
const MOST_CELLS: f64 = 1e6;

/// Memory that a cell takes with its links, on all levels and in every vector, bytes: reckoned from what is kept, not measured.
const BYTES_A_CELL: f64 = 700.0;

/// A finer fill must have so many times as many cells to be worth its while.
const WORTH_WHILE: f64 = 2.0;

/// Time goes as this power of the number of cells: there are as many steps, each a little longer than in proportion.
const TIME_POWER: f64 = 1.15;

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
