//! The pattern of one level: cells with their links, and the step to the next.

use crate::solve::cells::{Cells, NONE};
use rayon::prelude::*;
use std::ops::Range;

/// The pattern of one level. Rows of red cells come first; a link only joins a red row and a black one.
#[derive(Clone, Debug, Default)]
pub struct Level {
    /// Number of red rows.
    pub reds: usize,
    /// Links of row i are `start[i]..start[i + 1]`.
    start: Vec<u32>,
    /// The row that a link leads to.
    pub to: Vec<u32>,
    /// Place of every row, in blocks of this level.
    places: Vec<[u16; 3]>,
    /// Row of the next level that a row belongs to.
    pub parent: Vec<u32>,
    /// Link of the next level that a link belongs to; `NONE` inside a row of it.
    pub parent_link: Vec<u32>,
    /// The cell of each row; on the finest level only.
    pub cells: Vec<u32>,
    /// Neighbour of the cell, 0 to 5, that a link leads to; on the finest level only.
    pub side: Vec<u8>,
}

fn is_red(place: [u16; 3]) -> bool {
    (place[0] ^ place[1] ^ place[2]) & 1 == 0
}

/// Numbers red ones first, each colour in the order given.
fn by_colour(places: &[[u16; 3]]) -> (Vec<u32>, usize) {
    let reds = places.iter().filter(|p| is_red(**p)).count();
    let (mut red, mut black) = (0, reds as u32);
    let number = |p: &[u16; 3]| {
        let next = if is_red(*p) { &mut red } else { &mut black };
        *next += 1;
        *next - 1
    };
    (places.iter().map(number).collect(), reds)
}

impl Level {
    /// The finest level, and the row of every cell.
    pub fn of_cells(cells: &Cells) -> (Level, Vec<u32>) {
        let places: Vec<[u16; 3]> =
            (0..cells.len() as u32).map(|c| cells.place(c).to_array().map(|p| p as u16)).collect();
        let (row_of, reds) = by_colour(&places);
        let mut level = Level { reds, cells: vec![0; places.len()], ..Level::default() };
        for (cell, &row) in row_of.iter().enumerate() {
            level.cells[row as usize] = cell as u32;
        }
        level.start.push(0);
        for &cell in &level.cells {
            for (side, &n) in cells.neighbours()[cell as usize].iter().enumerate() {
                if n != NONE {
                    level.to.push(row_of[n as usize]);
                    level.side.push(side as u8);
                }
            }
            level.start.push(level.to.len() as u32);
        }
        level.places = level.cells.iter().map(|&c| places[c as usize]).collect();
        (level, row_of)
    }

    /// Number of rows.
    pub fn len(&self) -> usize {
        self.places.len()
    }

    /// True where some rows are linked.
    pub fn has_links(&self) -> bool {
        !self.to.is_empty()
    }

    /// Number of links, each counted from both ends.
    pub fn links_in_all(&self) -> usize {
        self.to.len()
    }

    /// The links of a row.
    #[inline]
    pub fn links(&self, row: usize) -> Range<usize> {
        self.start[row] as usize..self.start[row + 1] as usize
    }

    /// The next level; notes in this one what belongs to what.
    pub fn coarser(&mut self) -> Level {
        let n = self.len();
        let block = |row: u32| self.places[row as usize].map(|p| p >> 1);
        let mut order: Vec<u32> = (0..n as u32).collect();
        let key = |&row: &u32| {
            let [x, y, z] = block(row);
            ((z as u64) << 32 | (y as u64) << 16 | x as u64, row)
        };
        order.par_sort_unstable_by_key(key);
        // Rows of one block that hang together inside it.
        let mut group = vec![NONE; n];
        let mut places: Vec<[u16; 3]> = Vec::new();
        let mut members: Vec<u32> = Vec::with_capacity(n);
        let mut first: Vec<u32> = vec![0];
        for &seed in &order {
            if group[seed as usize] != NONE {
                continue;
            }
            let (number, place) = (places.len() as u32, block(seed));
            group[seed as usize] = number;
            let mut next = members.len();
            members.push(seed);
            while let Some(&row) = members.get(next) {
                next += 1;
                for e in self.links(row as usize) {
                    let other = self.to[e];
                    if group[other as usize] == NONE && block(other) == place {
                        group[other as usize] = number;
                        members.push(other);
                    }
                }
            }
            places.push(place);
            first.push(members.len() as u32);
        }
        let (row_of, reds) = by_colour(&places);
        let mut group_of = vec![0u32; places.len()];
        for (g, &row) in row_of.iter().enumerate() {
            group_of[row as usize] = g as u32;
        }
        self.parent = group.par_iter().map(|&g| row_of[g as usize]).collect();
        self.parent_link = vec![NONE; self.to.len()];
        let mut next = Level { reds, start: vec![0], ..Level::default() };
        let mut around: Vec<u32> = Vec::new();
        for (row, &g) in group_of.iter().enumerate() {
            let rows = &members[first[g as usize] as usize..first[g as usize + 1] as usize];
            around.clear();
            for &child in rows {
                let parents = self.links(child as usize).map(|e| self.parent[self.to[e] as usize]);
                around.extend(parents.filter(|&p| p != row as u32));
            }
            around.sort_unstable();
            around.dedup();
            let begin = next.to.len();
            next.to.extend(&around);
            for &child in rows {
                for e in self.links(child as usize) {
                    if let Ok(at) = around.binary_search(&self.parent[self.to[e] as usize]) {
                        self.parent_link[e] = (begin + at) as u32;
                    }
                }
            }
            next.start.push(next.to.len() as u32);
        }
        next.places = group_of.iter().map(|&g| places[g as usize]).collect();
        next
    }

    /// What cells say of their six neighbours, link by link.
    pub fn entries(&self, row_of: &[u32], of_cell: &[[f64; 6]]) -> Vec<f64> {
        debug_assert_eq!(row_of.len(), of_cell.len());
        let mut entries = vec![0.0; self.to.len()];
        for (row, &cell) in self.cells.iter().enumerate() {
            for e in self.links(row) {
                entries[e] = of_cell[cell as usize][self.side[e] as usize];
            }
        }
        entries
    }
}
