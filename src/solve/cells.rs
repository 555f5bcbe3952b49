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

use crate::mesh::Mesh;
use crate::solve::run::{Cancelled, Run};
use glam::{DVec3, IVec3, Vec3};
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
#[derive(Clone, Debug, Default)]
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
#[derive(Clone, Debug)]
struct Brick {
    place: [u16; 3],
    first: u32,
    solid: [u64; 8],
    /// Solid cells in the layers below.
    below: [u16; 8],
}

impl Brick {
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

/// A stretch of solid on a line along some axis, in cells from the origin.
#[derive(Clone, Copy, Debug)]
struct Stretch {
    /// Place of the line along the two other axes, the lower axis first.
    line: [u16; 2],
    from: f32,
    to: f32,
}

impl Stretch {
    /// First cell centre inside, and one past the last.
    fn centres(&self) -> (i32, i32) {
        ((self.from - 0.5).ceil() as i32, (self.to - 0.5).ceil() as i32)
    }
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
        let mut lines = 0;
        let mut along = Vec::with_capacity(3);
        for axis in 0..3 {
            let (slabs, open) = cells.scan(mesh, axis, run)?;
            along.push(slabs);
            lines += open;
        }
        if lines > 0 {
            return Err(CellsError::NotClosed { lines });
        }
        let shape = cells.bricks_along;
        let slabs: Vec<Vec<Brick>> =
            along[0].par_iter().enumerate().map(|(bz, stretches)| bricks_of_slab(shape, bz, stretches)).collect();
        cells.set_bricks(slabs.into_iter().flatten().collect(), run)?;
        for (axis, slabs) in along.iter().enumerate() {
            for stretches in slabs {
                cells.part_neighbours(axis, stretches);
            }
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

    /// Stretches of solid on all lines along `axis`, by slab of eight lines of the higher other axis, and the number
    /// of lines on which the crossings do not add up to nothing.
    fn scan(&self, mesh: &Mesh, axis: usize, run: &Run) -> Result<(Vec<Vec<Stretch>>, usize), CellsError> {
        let (u, v) = other_axes(axis);
        // Seen along the axis, u × v must point along it for a triangle that is counter-clockwise to face that way.
        let mirrored = axis == 1;
        let slabs = self.bricks_along[v];
        let scale = 1.0 / self.cell_mm;
        let grid: Vec<[f64; 3]> = mesh
            .positions
            .par_iter()
            .map(|p| ((p.as_dvec3() - self.origin) * scale).to_array())
            .map(|p| [p[u], p[v], p[axis]])
            .collect();
        run.check()?;

        // Triangles sorted by the slabs that they touch.
        let slabs_of = |t: &[u32; 3]| {
            let heights = t.map(|i| grid[i as usize][1]);
            let low = heights[0].min(heights[1]).min(heights[2]);
            let high = heights[0].max(heights[1]).max(heights[2]);
            let (first, last) = ((low - 0.5).ceil() as usize, (high - 0.5).floor());
            if last < first as f64 { 1..1 } else { first / 8..(last as usize / 8 + 1).min(slabs) }
        };
        let mut start = vec![0u32; slabs + 1];
        for t in &mesh.triangles {
            for s in slabs_of(t) {
                start[s + 1] += 1;
            }
        }
        for s in 0..slabs {
            start[s + 1] += start[s];
        }
        let mut fill = start.clone();
        let mut sorted = vec![0u32; start[slabs] as usize];
        for (i, t) in mesh.triangles.iter().enumerate() {
            for s in slabs_of(t) {
                sorted[fill[s] as usize] = i as u32;
                fill[s] += 1;
            }
        }
        run.check()?;

        let lines_along_u = self.bricks_along[u] * 8;
        let done: Vec<(Vec<Stretch>, usize)> = (0..slabs)
            .into_par_iter()
            .map_init(Vec::new, |crossings, s| {
                if run.is_cancelled() {
                    return (Vec::new(), 0);
                }
                crossings.clear();
                for &t in &sorted[start[s] as usize..start[s + 1] as usize] {
                    let corners = mesh.triangles[t as usize].map(|i| grid[i as usize]);
                    cross_triangle(corners, 8 * s, lines_along_u, mirrored, crossings);
                }
                crossings.sort_unstable();
                stretches_of(crossings, 8 * s, lines_along_u)
            })
            .collect();
        run.check()?;
        let open = done.iter().map(|(_, open)| open).sum();
        Ok((done.into_iter().map(|(stretches, _)| stretches).collect(), open))
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
        let mut places = vec![[0u16; 3]; first as usize];
        let mut neighbours = vec![[NONE; 6]; first as usize];
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
        for brick in bricks {
            let [bx, by, bz] = brick.place.map(usize::from);
            let beside = [
                self.brick(bx.wrapping_sub(1), by, bz),
                self.brick(bx + 1, by, bz),
                self.brick(bx, by.wrapping_sub(1), bz),
                self.brick(bx, by + 1, bz),
                self.brick(bx, by, bz.wrapping_sub(1)),
                self.brick(bx, by, bz + 1),
            ];
            let far = |side: usize, x, y, z| beside[side].map_or(NONE, |b| b.cell(x, y, z));
            for z in 0..8 {
                let mut word = brick.solid[z];
                while word != 0 {
                    let bit = word.trailing_zeros() as usize;
                    word &= word - 1;
                    let (x, y) = (bit % 8, bit / 8);
                    places[i] = [(8 * bx + x) as u16, (8 * by + y) as u16, (8 * bz + z) as u16];
                    neighbours[i] = [
                        if x > 0 { brick.cell(x - 1, y, z) } else { far(0, 7, y, z) },
                        if x < 7 { brick.cell(x + 1, y, z) } else { far(1, 0, y, z) },
                        if y > 0 { brick.cell(x, y - 1, z) } else { far(2, x, 7, z) },
                        if y < 7 { brick.cell(x, y + 1, z) } else { far(3, x, 0, z) },
                        if z > 0 { brick.cell(x, y, z - 1) } else { far(4, x, y, 7) },
                        if z < 7 { brick.cell(x, y, z + 1) } else { far(5, x, y, 0) },
                    ];
                    i += 1;
                }
            }
        }
    }

    /// Cuts the links across gaps that lie between two neighbouring cell centres of a line along `axis`.
    fn part_neighbours(&mut self, axis: usize, stretches: &[Stretch]) {
        let (u, v) = other_axes(axis);
        for pair in stretches.windows(2) {
            if pair[0].line != pair[1].line {
                continue;
            }
            let ((_, end), (begin, _)) = (pair[0].centres(), pair[1].centres());
            if end != begin {
                continue;
            }
            let mut place = IVec3::ZERO;
            (place[u], place[v], place[axis]) = (pair[0].line[0] as i32, pair[0].line[1] as i32, end - 1);
            let low = self.at_place(place);
            place[axis] = end;
            let high = self.at_place(place);
            if let (Some(low), Some(high)) = (low, high) {
                self.neighbours[low as usize][2 * axis + 1] = NONE;
                self.neighbours[high as usize][2 * axis] = NONE;
            }
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

    /// The cells within `reach` places of `place` along every axis.
    pub fn round(&self, place: IVec3, reach: i32) -> impl Iterator<Item = u32> + '_ {
        (-reach..=reach).flat_map(move |z| {
            (-reach..=reach)
                .flat_map(move |y| (-reach..=reach).filter_map(move |x| self.at_place(place + IVec3::new(x, y, z))))
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

/// The two axes square to `axis`, lower first.
fn other_axes(axis: usize) -> (usize, usize) {
    match axis {
        0 => (1, 2),
        1 => (0, 2),
        _ => (0, 1),
    }
}

/// Notes where the lines of the slab that begins at line `first_v` cross a triangle with corners (u, v, along).
///
/// A crossing is one number that sorts by line, then by place along it, entering before leaving.
fn cross_triangle(corners: [[f64; 3]; 3], first_v: usize, lines_along_u: usize, mirrored: bool, out: &mut Vec<u64>) {
    let [a, b, c] = corners;
    let low = a[1].min(b[1]).min(c[1]);
    let high = a[1].max(b[1]).max(c[1]);
    let from = ((low - 0.5).ceil().max(first_v as f64)) as usize;
    let to = (high - 0.5).floor().min((first_v + 7) as f64);
    if to < from as f64 {
        return;
    }
    // Plane of the triangle: along = a + su·(u − a_u) + sv·(v − a_v).
    let (e, f) = ([b[0] - a[0], b[1] - a[1], b[2] - a[2]], [c[0] - a[0], c[1] - a[1], c[2] - a[2]]);
    let area = e[0] * f[1] - e[1] * f[0];
    let (su, sv) =
        if area == 0.0 { (0.0, 0.0) } else { ((e[2] * f[1] - e[1] * f[2]) / area, (e[0] * f[2] - e[2] * f[0]) / area) };
    let least = a[2].min(b[2]).min(c[2]);
    let most = a[2].max(b[2]).max(c[2]);
    for row in from..=to as usize {
        let v = row as f64 + 0.5;
        // Where the line v meets the edge that goes down and the edge that goes up.
        let (mut down, mut up) = (f64::NAN, f64::NAN);
        for (p, q) in [(a, b), (b, c), (c, a)] {
            if (p[1] <= v) == (q[1] <= v) {
                continue;
            }
            let falls = p[1] > q[1];
            // Ends in a fixed order, so that both triangles at an edge get the same number.
            let (s, t) = if falls { (q, p) } else { (p, q) };
            let u = s[0] + (t[0] - s[0]) * ((v - s[1]) / (t[1] - s[1]));
            if falls { down = u } else { up = u }
        }
        if down.is_nan() || up.is_nan() || down == up {
            continue;
        }
        let counter_clockwise = down < up;
        let (left, right) = if counter_clockwise { (down, up) } else { (up, down) };
        // A line lies inside where left ≤ u < right.
        let first = (left - 0.5).ceil().max(0.0) as usize;
        let end = (right - 0.5).ceil().min(lines_along_u as f64).max(0.0) as usize;
        let leaves = counter_clockwise != mirrored;
        for line in first..end {
            let at = a[2] + su * (line as f64 + 0.5 - a[0]) + sv * (v - a[1]);
            let at = at.clamp(least, most).max(0.0) as f32;
            let line = ((row - first_v) * lines_along_u + line) as u64;
            out.push(line << 33 | (at.to_bits() as u64) << 1 | leaves as u64);
        }
    }
}

/// The stretches between sorted crossings in which the winding number is at least one, and the number of lines on
/// which it does not come back to nothing.
fn stretches_of(crossings: &[u64], first_v: usize, lines_along_u: usize) -> (Vec<Stretch>, usize) {
    let mut stretches = Vec::with_capacity(crossings.len() / 2);
    let mut open = 0;
    for run in crossings.chunk_by(|a, b| a >> 33 == b >> 33) {
        let line = (run[0] >> 33) as usize;
        let line = [(line % lines_along_u) as u16, (first_v + line / lines_along_u) as u16];
        let (mut winding, mut from) = (0, 0.0);
        for &crossing in run {
            let at = f32::from_bits((crossing >> 1) as u32);
            let was = winding;
            winding += if crossing & 1 == 0 { 1 } else { -1 };
            if was == 0 && winding == 1 {
                from = at;
            } else if was == 1 && winding == 0 {
                stretches.push(Stretch { line, from, to: at });
            }
        }
        open += (winding != 0) as usize;
    }
    (stretches, open)
}

/// Bricks of the slab `bz` from the stretches along x.
fn bricks_of_slab(shape: [usize; 3], bz: usize, stretches: &[Stretch]) -> Vec<Brick> {
    let [nx, ny, _] = shape;
    let mut at = vec![NONE; nx * ny];
    let mut bricks: Vec<Brick> = Vec::new();
    for stretch in stretches {
        let (from, to) = stretch.centres();
        let (y, z) = (stretch.line[0] as usize, stretch.line[1] as usize);
        let (from, to) = (from.max(0) as usize, (to.max(0) as usize).min(8 * nx));
        let mut x = from;
        while x < to {
            let bx = x / 8;
            let end = (8 * (bx + 1)).min(to);
            let slot = &mut at[y / 8 * nx + bx];
            if *slot == NONE {
                *slot = bricks.len() as u32;
                bricks.push(Brick::new([bx, y / 8, bz]));
            }
            let bits = (!0u64 >> (64 - (end - x))) << (8 * (y % 8) + x % 8);
            bricks[*slot as usize].solid[z % 8] |= bits;
            x = end;
        }
    }
    bricks.sort_unstable_by_key(|b| (b.place[1], b.place[0]));
    bricks
}
