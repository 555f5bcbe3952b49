//! The cubic cells of a solid, kept sparsely, with the links between neighbours that lie in the same stretch of solid.
//!
//! Lines through cell centres are run along all three axes and cut with the mesh. Along each line the crossings are
//! summed with their sign, which gives the winding number, so that overlapping bodies count as solid and the sum over
//! a whole line is exactly zero for a closed mesh: edges are crossed in a fixed order of their ends, so two triangles
//! that share an edge always agree on which side of it a line passes.
//!
//! A cell belongs to the solid where its centre does. Two neighbours are linked where the straight line between their
//! centres stays in the solid, so a gap thinner than a cell still keeps two walls apart. Cells lie in bricks of 8×8×8
//! to keep neighbours close in memory.

mod lines;

use crate::mesh::Mesh;
use crate::solve::run::{Cancelled, Run};
use glam::{DVec3, IVec3, Vec3};
use lines::{Gap, Scratch, bricks_of_slab, cross_triangle, gaps_between, other_axes};
use rayon::prelude::*;

/// No neighbour: a wall stands between, or the neighbour is not solid.
pub const NONE: u32 = u32::MAX;

/// Most cells along one axis.
const MOST_ALONG: f64 = 32_768.0;
/// Most bricks in the box round the mesh, solid or not.
const MOST_BRICKS: u64 = 64 << 20;

/// Why a mesh could not be filled with cells.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum CellsError {
    /// Lines enter the mesh and never leave it, or the other way round: the mesh has holes.
    #[error("the mesh is not closed: {lines} lines through it do not come out again")]
    NotClosed {
        /// Number of such lines.
        lines: usize,
    },
    /// The cells are too small for the size of the mesh.
    #[error("the cells are too small for a mesh of this size; take larger cells")]
    TooMany,
    /// The size of the cells is not a positive number, or the mesh has no extent.
    #[error("the mesh has no extent, or the size of the cells is not a positive length")]
    NoExtent,
    /// Told to stop.
    #[error(transparent)]
    Cancelled(#[from] Cancelled),
}

/// Cells of a solid. Cells are numbered brick by brick, from 0.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Cells {
    cell_mm: f64,
    /// Low corner of cell (0, 0, 0).
    origin: DVec3,
    /// Bricks along each axis.
    bricks_along: [usize; 3],
    /// Brick number by place in the box, or `NONE`.
    brick_at: Vec<u32>,
    bricks: Vec<Brick>,
    places: Vec<[u16; 3]>,
    neighbours: Vec<[u32; 6]>,
}

/// Which of 8×8×8 cells are solid: one word a layer of z, bit 8·y + x in it.
#[derive(Clone, Debug, PartialEq)]
struct Brick {
    place: [u16; 3],
    first: u32,
    solid: [u64; 8],
    /// Solid cells in the layers below.
    below: [u16; 8],
}

/// The table of [`Cells::number_round`]: a brick with one cell more on every side.
const ROW: usize = 10;
const LAYER: usize = ROW * 10;
const TABLE: usize = LAYER * 10;

fn in_table(x: usize, y: usize, z: usize) -> usize {
    z * LAYER + y * ROW + x
}

impl Brick {
    const EMPTY: Brick = Brick { place: [0; 3], first: 0, solid: [0; 8], below: [0; 8] };

    /// Numbers the cells of layer `z` from `first` on, in rows of the table; `NONE` where there is none.
    fn number_layer(&self, z: usize, first: u32, table: &mut [u32]) {
        let mut number = first;
        let mut word = self.solid[z];
        for y in 0..8 {
            for cell in &mut table[y * ROW..y * ROW + 8] {
                *cell = if word & 1 != 0 { number } else { NONE };
                number += (word & 1) as u32;
                word >>= 1;
            }
        }
    }

    fn new(place: [usize; 3]) -> Brick {
        Brick { place: place.map(|p| p as u16), first: 0, solid: [0; 8], below: [0; 8] }
    }

    fn count(&self) -> u32 {
        self.solid.iter().map(|w| w.count_ones()).sum()
    }

    /// Number of the cell at local place (x, y, z), or `NONE`.
    #[inline]
    fn cell(&self, x: usize, y: usize, z: usize) -> u32 {
        let bit = 1u64 << (8 * y + x);
        let word = self.solid[z];
        if word & bit == 0 {
            return NONE;
        }
        self.first + self.below[z] as u32 + (word & (bit - 1)).count_ones()
    }
}

/// Triangles that are sorted by slab together.
const GROUP: usize = 16 << 10;

/// Triangles of a group by the slab that they may be crossed in.
struct BySlab {
    triangles: Vec<u32>,
    /// Those of slab s are `start[s]..start[s + 1]`.
    start: Vec<u32>,
}

impl BySlab {
    /// Sorts pairs of slab and triangle.
    fn of(slabs: usize, pairs: &[(u32, u32)]) -> BySlab {
        let mut start = vec![0u32; slabs + 1];
        for pair in pairs {
            start[pair.0 as usize + 1] += 1;
        }
        for s in 0..slabs {
            start[s + 1] += start[s];
        }
        let mut fill = start.clone();
        let mut triangles = vec![0u32; pairs.len()];
        for pair in pairs {
            let at = &mut fill[pair.0 as usize];
            triangles[*at as usize] = pair.1;
            *at += 1;
        }
        BySlab { triangles, start }
    }

    fn of_slab(&self, s: usize) -> &[u32] {
        &self.triangles[self.start[s] as usize..self.start[s + 1] as usize]
    }
}

/// What the lines of one slab found.
#[derive(Default)]
struct Slab {
    gaps: Vec<Gap>,
    /// Only along x.
    bricks: Vec<Brick>,
    /// Lines on which the crossings do not add up to nothing.
    open: usize,
}

impl Cells {
    /// Fills a closed mesh with cells of edge `cell_mm`.
    ///
    /// The grid is laid with its corner off the mesh's own corner by an odd share of a cell, so that walls of round
    /// sizes do not fall exactly on cell centres.
    ///
    /// # Errors
    /// [`CellsError::NotClosed`] where the mesh has holes: use [`Cells::fill_by_winding`].
    pub fn fill(mesh: &Mesh, cell_mm: f64, run: &Run) -> Result<Cells, CellsError> {
        let mut cells = Cells::lay(mesh, cell_mm)?;
        let touched = cells.sort_by_slab(mesh, run)?;
        let mut lines = 0;
        let mut gaps: Vec<Gap> = Vec::new();
        let mut bricks: Vec<Brick> = Vec::new();
        for axis in 0..3 {
            for slab in cells.scan(mesh, axis, &touched, run)? {
                lines += slab.open;
                gaps.extend(slab.gaps);
                bricks.extend(slab.bricks);
            }
        }
        if lines > 0 {
            return Err(CellsError::NotClosed { lines });
        }
        cells.set_bricks(bricks, run)?;
        for gap in gaps {
            cells.part_neighbours(gap);
        }
        Ok(cells)
    }

    /// Fills any mesh, closed or not, with the cells at whose centre `winding` is at least ½.
    ///
    /// `winding` gives the generalised winding number at a point (Jacobson, Kavan & Sorkine 2013). Away from every
    /// triangle it varies slowly, so a brick without triangles is decided by its middle where that is clear. All
    /// neighbours are linked: with holes in the mesh no line can say where a wall stands.
    pub fn fill_by_winding(
        mesh: &Mesh,
        cell_mm: f64,
        winding: impl Fn(Vec3) -> f64 + Sync,
        run: &Run,
    ) -> Result<Cells, CellsError> {
        let mut cells = Cells::lay(mesh, cell_mm)?;
        let [nx, ny, nz] = cells.bricks_along;
        let mut touched = vec![false; nx * ny * nz];
        for t in 0..mesh.triangles.len() {
            let corners = mesh.corners_f64(t).map(|p| (p - cells.origin) / (8.0 * cell_mm));
            let low = corners[0].min(corners[1]).min(corners[2]).floor().as_ivec3().max(IVec3::ZERO);
            let high = corners[0].max(corners[1]).max(corners[2]).floor().as_ivec3();
            for z in low.z..=high.z.min(nz as i32 - 1) {
                for y in low.y..=high.y.min(ny as i32 - 1) {
                    for x in low.x..=high.x.min(nx as i32 - 1) {
                        touched[(z as usize * ny + y as usize) * nx + x as usize] = true;
                    }
                }
            }
        }
        let centre = |place: [usize; 3], local: Vec3| {
            let at = DVec3::new(place[0] as f64, place[1] as f64, place[2] as f64) * 8.0 + local.as_dvec3();
            (cells.origin + at * cell_mm).as_vec3()
        };
        let bricks: Vec<Brick> = (0..nx * ny * nz)
            .into_par_iter()
            .filter_map(|b| {
                if run.is_cancelled() {
                    return None;
                }
                let place = [b % nx, b / nx % ny, b / (nx * ny)];
                let mut brick = Brick::new(place);
                if !touched[b] {
                    let middle = winding(centre(place, Vec3::splat(4.0)));
                    if (middle - 0.5).abs() > 0.3 {
                        brick.solid = [if middle > 0.5 { u64::MAX } else { 0 }; 8];
                        return (middle > 0.5).then_some(brick);
                    }
                }
                for (z, word) in brick.solid.iter_mut().enumerate() {
                    for bit in 0..64 {
                        let local = Vec3::new((bit % 8) as f32, (bit / 8) as f32, z as f32) + 0.5;
                        if winding(centre(place, local)) >= 0.5 {
                            *word |= 1 << bit;
                        }
                    }
                }
                (brick.count() > 0).then_some(brick)
            })
            .collect();
        run.check()?;
        cells.set_bricks(bricks, run)?;
        Ok(cells)
    }

    /// The empty grid round the mesh.
    fn lay(mesh: &Mesh, cell_mm: f64) -> Result<Cells, CellsError> {
        let bounds = mesh.bounds();
        if bounds.is_empty() || !(cell_mm > 0.0 && cell_mm.is_finite()) || !bounds.diagonal().is_finite() {
            return Err(CellsError::NoExtent);
        }
        let origin = bounds.min.as_dvec3() - DVec3::new(0.637, 0.681, 0.613) * cell_mm;
        let along = ((bounds.max.as_dvec3() - origin) / cell_mm).ceil() + 1.0;
        if along.max_element() > MOST_ALONG {
            return Err(CellsError::TooMany);
        }
        let bricks_along = along.to_array().map(|n| (n as usize).div_ceil(8));
        if bricks_along.iter().map(|&n| n as u64).product::<u64>() > MOST_BRICKS {
            return Err(CellsError::TooMany);
        }
        Ok(Cells { cell_mm, origin, bricks_along, ..Cells::default() })
    }

    /// Place of a vertex in cells from the origin.
    #[inline]
    fn grid(&self, p: Vec3) -> [f64; 3] {
        ((p.as_dvec3() - self.origin) * (1.0 / self.cell_mm)).to_array()
    }

    /// For each group of triangles and each axis, the triangles that lines along it may pass, by slab.
    fn sort_by_slab(&self, mesh: &Mesh, run: &Run) -> Result<Vec<[BySlab; 3]>, Cancelled> {
        let slabs = [0, 1, 2].map(|axis| self.bricks_along[other_axes(axis).1]);
        let groups = mesh
            .triangles
            .par_chunks(GROUP)
            .enumerate()
            .map(|(group, triangles)| {
                let mut found: [Vec<(u32, u32)>; 3] = Default::default();
                if run.is_cancelled() {
                    return [0, 1, 2].map(|axis| BySlab::of(slabs[axis], &found[axis]));
                }
                for (i, t) in triangles.iter().enumerate() {
                    let [a, b, c] = t.map(|v| self.grid(mesh.positions[v as usize]));
                    // First and last line that may pass, and one too many rather than one too few.
                    let (mut first, mut last) = ([0usize; 3], [0usize; 3]);
                    for k in 0..3 {
                        let (low, high) = (a[k].min(b[k]).min(c[k]), a[k].max(b[k]).max(c[k]));
                        first[k] = (low + (0.5 - 1e-6)) as usize;
                        // One past the last, so that a triangle between two lines has none.
                        last[k] = (high + 0.5) as usize;
                    }
                    for (axis, found) in found.iter_mut().enumerate() {
                        let (u, v) = other_axes(axis);
                        if first[u] < last[u] && first[v] < last[v] {
                            let number = (group * GROUP + i) as u32;
                            let slabs = first[v] / 8..((last[v] - 1) / 8 + 1).min(slabs[axis]);
                            found.extend(slabs.map(|slab| (slab as u32, number)));
                        }
                    }
                }
                [0, 1, 2].map(|axis| BySlab::of(slabs[axis], &found[axis]))
            })
            .collect();
        run.check()?;
        Ok(groups)
    }

    /// What lines along `axis` find in each slab of eight lines of the higher other axis.
    fn scan(&self, mesh: &Mesh, axis: usize, touched: &[[BySlab; 3]], run: &Run) -> Result<Vec<Slab>, Cancelled> {
        let (u, v) = other_axes(axis);
        // Seen along the axis, u × v must point along it for a triangle that is counter-clockwise to face that way.
        let mirrored = axis == 1;
        let lines_along_u = self.bricks_along[u] * 8;
        let slabs = (0..self.bricks_along[v])
            .into_par_iter()
            .map_init(Scratch::default, |scratch, s| {
                let mut slab = Slab::default();
                if run.is_cancelled() {
                    return slab;
                }
                scratch.crossings.clear();
                for &t in touched.iter().flat_map(|group| group[axis].of_slab(s)) {
                    let corners = mesh.triangles[t as usize].map(|i| {
                        let p = self.grid(mesh.positions[i as usize]);
                        [p[u], p[v], p[axis]]
                    });
                    cross_triangle(corners, 8 * s, lines_along_u, mirrored, &mut scratch.crossings);
                }
                let mut stretches = std::mem::take(&mut scratch.stretches);
                stretches.clear();
                slab.open = scratch.stretches_of(8 * s, lines_along_u, &mut stretches);
                slab.gaps = gaps_between(axis, &stretches);
                if axis == 0 {
                    slab.bricks = bricks_of_slab(self.bricks_along, s, &stretches);
                }
                scratch.stretches = stretches;
                slab
            })
            .collect();
        run.check()?;
        Ok(slabs)
    }

    /// Numbers the cells of `bricks`, which come in the order of their place, and links them.
    fn set_bricks(&mut self, mut bricks: Vec<Brick>, run: &Run) -> Result<(), CellsError> {
        let [nx, ny, nz] = self.bricks_along;
        self.brick_at = vec![NONE; nx * ny * nz];
        let mut first = 0u64;
        for (i, brick) in bricks.iter_mut().enumerate() {
            brick.first = first as u32;
            let mut below = 0;
            for z in 0..8 {
                brick.below[z] = below;
                below += brick.solid[z].count_ones() as u16;
            }
            first += below as u64;
            let [x, y, z] = brick.place.map(usize::from);
            self.brick_at[(z * ny + y) * nx + x] = i as u32;
        }
        if first >= NONE as u64 / 8 {
            return Err(CellsError::TooMany);
        }
        self.bricks = bricks;
        // Zeros, so that the memory is first touched where it is filled, by all threads.
        let mut places = vec![[0u16; 3]; first as usize];
        let mut neighbours = vec![[0u32; 6]; first as usize];
        self.link(&self.bricks, &mut places, &mut neighbours, run);
        run.check()?;
        (self.places, self.neighbours) = (places, neighbours);
        Ok(())
    }

    fn link(&self, bricks: &[Brick], places: &mut [[u16; 3]], neighbours: &mut [[u32; 6]], run: &Run) {
        if run.is_cancelled() {
            return;
        }
        if bricks.len() > 32 {
            let (left, right) = bricks.split_at(bricks.len() / 2);
            let cells = (right[0].first - left[0].first) as usize;
            let (places_left, places_right) = places.split_at_mut(cells);
            let (neighbours_left, neighbours_right) = neighbours.split_at_mut(cells);
            rayon::join(
                || self.link(left, places_left, neighbours_left, run),
                || self.link(right, places_right, neighbours_right, run),
            );
            return;
        }
        let mut i = 0;
        let mut table = [NONE; TABLE];
        for brick in bricks {
            self.number_round(brick, &mut table);
            let [bx, by, bz] = brick.place.map(|p| 8 * p);
            for z in 0..8 {
                let mut word = brick.solid[z];
                while word != 0 {
                    let bit = word.trailing_zeros() as usize;
                    word &= word - 1;
                    let (x, y) = (bit % 8, bit / 8);
                    let at = in_table(x + 1, y + 1, z + 1);
                    places[i] = [bx + x as u16, by + y as u16, bz + z as u16];
                    neighbours[i] = [
                        table[at - 1],
                        table[at + 1],
                        table[at - ROW],
                        table[at + ROW],
                        table[at - LAYER],
                        table[at + LAYER],
                    ];
                    i += 1;
                }
            }
        }
    }

    /// Numbers of the cells of a brick and of those that touch its six sides, `NONE` where there is none.
    fn number_round(&self, brick: &Brick, table: &mut [u32; TABLE]) {
        let [bx, by, bz] = brick.place.map(usize::from);
        for z in 0..8 {
            let first = brick.first + u32::from(brick.below[z]);
            brick.number_layer(z, first, &mut table[in_table(1, 1, z + 1)..]);
        }
        for (side, z, to) in [(bz.wrapping_sub(1), 7, 0), (bz + 1, 0, 9)] {
            let beside = self.brick(bx, by, side).unwrap_or(&Brick::EMPTY);
            let first = beside.first + u32::from(beside.below[z]);
            beside.number_layer(z, first, &mut table[in_table(1, 1, to)..]);
        }
        for (side, y, to) in [(by.wrapping_sub(1), 7, 0), (by + 1, 0, 9)] {
            let beside = self.brick(bx, side, bz).unwrap_or(&Brick::EMPTY);
            for z in 0..8 {
                for x in 0..8 {
                    table[in_table(x + 1, to, z + 1)] = beside.cell(x, y, z);
                }
            }
        }
        for (side, x, to) in [(bx.wrapping_sub(1), 7, 0), (bx + 1, 0, 9)] {
            let beside = self.brick(side, by, bz).unwrap_or(&Brick::EMPTY);
            for z in 0..8 {
                for y in 0..8 {
                    table[in_table(to, y + 1, z + 1)] = beside.cell(x, y, z);
                }
            }
        }
    }

    /// Cuts the link across a gap that lies between two neighbouring cell centres.
    fn part_neighbours(&mut self, gap: Gap) {
        let axis = usize::from(gap.axis);
        let mut place = gap.below.as_ivec3();
        let low = self.at_place(place);
        place[axis] += 1;
        let high = self.at_place(place);
        if let (Some(low), Some(high)) = (low, high) {
            self.neighbours[low as usize][2 * axis + 1] = NONE;
            self.neighbours[high as usize][2 * axis] = NONE;
        }
    }

    fn brick(&self, x: usize, y: usize, z: usize) -> Option<&Brick> {
        let [nx, ny, nz] = self.bricks_along;
        if x >= nx || y >= ny || z >= nz {
            return None;
        }
        self.bricks.get(self.brick_at[(z * ny + y) * nx + x] as usize)
    }

    /// Number of cells.
    pub fn len(&self) -> usize {
        self.places.len()
    }

    /// True where the solid holds no cell centre.
    pub fn is_empty(&self) -> bool {
        self.places.is_empty()
    }

    /// Edge of a cell, millimetres.
    pub fn cell_mm(&self) -> f64 {
        self.cell_mm
    }

    /// Volume of all cells, mm³.
    pub fn volume_mm3(&self) -> f64 {
        self.len() as f64 * self.cell_mm.powi(3)
    }

    /// Centre of cell `i`, in the frame of the mesh.
    #[inline]
    pub fn centre(&self, i: u32) -> Vec3 {
        let [x, y, z] = self.places[i as usize];
        (self.origin + (DVec3::new(x as f64, y as f64, z as f64) + 0.5) * self.cell_mm).as_vec3()
    }

    /// Linked neighbours of every cell in the order −x, +x, −y, +y, −z, +z; [`NONE`] where there is none.
    #[inline]
    pub fn neighbours(&self) -> &[[u32; 6]] {
        &self.neighbours
    }

    /// The grid place of a point, solid or not.
    pub fn place_of(&self, point: Vec3) -> IVec3 {
        ((point.as_dvec3() - self.origin) / self.cell_mm).floor().as_ivec3()
    }

    /// Where in a grid place a point lies: 0 to 1 along each axis from its low corner.
    pub fn between(&self, point: Vec3, place: IVec3) -> Vec3 {
        ((point.as_dvec3() - self.origin) / self.cell_mm - place.as_dvec3()).as_vec3()
    }

    /// The grid place of cell `i`.
    pub fn place(&self, i: u32) -> IVec3 {
        let [x, y, z] = self.places[i as usize];
        IVec3::new(x as i32, y as i32, z as i32)
    }

    /// The cell at a grid place, if it is solid.
    #[inline]
    pub fn at_place(&self, place: IVec3) -> Option<u32> {
        if place.min_element() < 0 {
            return None;
        }
        let [x, y, z] = place.to_array().map(|p| p as usize);
        let cell = self.brick(x / 8, y / 8, z / 8)?.cell(x % 8, y % 8, z % 8);
        (cell != NONE).then_some(cell)
    }

    /// The cells within `reach` places of `place` along every axis. However far that reaches, only the grid is looked through.
    pub fn round(&self, place: IVec3, reach: i32) -> impl Iterator<Item = u32> + '_ {
        let along = self.bricks_along.map(|n| i32::try_from(8 * n).unwrap_or(i32::MAX) - 1);
        let (from, to) =
            (place.to_array().map(|p| p.saturating_sub(reach)), place.to_array().map(|p| p.saturating_add(reach)));
        let [x, y, z] = std::array::from_fn(|k| from[k].max(0)..=to[k].min(along[k]));
        z.flat_map(move |z| {
            let x = x.clone();
            y.clone().flat_map(move |y| x.clone().filter_map(move |x| self.at_place(IVec3::new(x, y, z))))
        })
    }

    /// Groups of cells that hang together through links, as the group of every cell and the number of groups, for the
    /// cells that `wanted` names; [`NONE`] for all others.
    pub fn groups(&self, wanted: impl Fn(u32) -> bool, run: &Run) -> Result<(Vec<u32>, u32), Cancelled> {
        let mut group = vec![NONE; self.len()];
        let mut groups = 0;
        let mut stack = Vec::new();
        for seed in 0..self.len() as u32 {
            if group[seed as usize] != NONE || !wanted(seed) {
                continue;
            }
            run.check()?;
            group[seed as usize] = groups;
            stack.push(seed);
            while let Some(c) = stack.pop() {
                for n in self.neighbours[c as usize] {
                    if n != NONE && group[n as usize] == NONE && wanted(n) {
                        group[n as usize] = groups;
                        stack.push(n);
                    }
                }
            }
            groups += 1;
        }
        Ok((group, groups))
    }
}
