//! One value for every cell of a solid, read at any point.

use super::cells::Cells;
use glam::{IVec3, Vec3};
use std::sync::Arc;

/// Values at the centres of cells.
#[derive(Clone, Debug, PartialEq)]
pub struct CellField {
    cells: Arc<Cells>,
    values: Vec<f32>,
}

impl CellField {
    /// `values[i]` stands at the centre of cell i; infinite where nothing is known.
    pub fn new(cells: Arc<Cells>, values: Vec<f32>) -> CellField {
        debug_assert_eq!(cells.len(), values.len());
        CellField { cells, values }
    }

    /// The same with every value changed.
    pub fn map(&self, change: impl Fn(f32) -> f32) -> CellField {
        CellField { cells: self.cells.clone(), values: self.values.iter().map(|v| change(*v)).collect() }
    }

    /// The values, cell by cell.
    pub fn values(&self) -> &[f32] {
        &self.values
    }

    /// The cells.
    pub fn cells(&self) -> &Cells {
        &self.cells
    }

    /// The value on the wall at `point`, with `inwards` the unit normal into the solid: linear between the cells round a
    /// point half a cell inside. Infinite where most of what is there has no value, and where no cell is near.
    pub fn on_wall(&self, point: Vec3, inwards: Vec3) -> f32 {
        let edge = self.cells.cell_mm() as f32;
        let inside = point + inwards * (0.5 * edge);
        let corner = inside - Vec3::splat(0.5 * edge);
        let low = self.cells.place_of(corner);
        // Where between the low cell's centre and the next one.
        let part = self.cells.between(corner, low);
        let (mut known, mut unknown, mut sum) = (0.0, 0.0, 0.0);
        for i in 0..8 {
            let step = IVec3::new(i & 1, i >> 1 & 1, i >> 2);
            let Some(cell) = self.cells.at_place(low + step) else { continue };
            let along = |step: i32, part: f32| if step == 1 { part } else { 1.0 - part };
            let weight = along(step.x, part.x) * along(step.y, part.y) * along(step.z, part.z);
            let value = self.values[cell as usize];
            if value.is_finite() {
                known += weight;
                sum += weight * value;
            } else {
                unknown += weight;
            }
        }
        if known > unknown {
            return sum / known;
        }
        if known + unknown > 0.0 {
            return f32::INFINITY;
        }
        // A thin edge may hold no cell within half of one: the nearest one round it then.
        let near = self.cells.round(self.cells.place_of(inside), 1);
        let away = |c: &u32| self.cells.centre(*c).distance_squared(inside);
        near.min_by(|a, b| away(a).total_cmp(&away(b))).map_or(f32::INFINITY, |c| self.values[c as usize])
    }
}
