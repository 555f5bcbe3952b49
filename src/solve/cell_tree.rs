//! The join tree of a solid sampled to cells, for solids whose surface is not closed.
//!
//! The grid stands upright in the wanted direction, so that its layers are level. A cell is full where its centre lies
//! inside; full cells are connected through faces. A branch keeps how many of its cells lie in each layer.

use crate::mesh::Mesh;
use crate::solve::join_tree::{JoinTree, NONE, Sweep};
use crate::solve::run::{Cancelled, Run};
use glam::{DVec3, Vec3};
use rayon::prelude::*;

/// Edge of the blocks that are tried first, in cells; a power of two.
const BLOCK: usize = 8;

/// The join tree of a sampled solid.
#[derive(Clone, Debug)]
pub struct CellTree {
    /// The branches; `volume` is filled.
    pub tree: JoinTree,
    /// Up, a unit vector.
    pub up: DVec3,
    /// Edge of a cell, millimetres.
    pub cell_mm: f64,
    side: DVec3,
    other: DVec3,
    /// Centre of cell (0, 0, 0) in (side, other, up).
    origin: DVec3,
    counts: [usize; 3],
    /// Branch of each cell, `NONE` where it is empty; layer by layer from below.
    branch_of_cell: Vec<u32>,
    /// (layer, cells, cells with an empty neighbour) of each branch, falling.
    layers: Vec<Vec<(u32, u32, u32)>>,
}

impl CellTree {
    /// Samples the solid over the box of `points` with at most about `cells` cells and builds its tree for `up`.
    ///
    /// `inside` says whether a point is solid. `all_inside` says whether everything within a distance of a point is, or
    /// everything is not, where that can be told at once; blocks of cells away from the surface are settled by it.
    pub fn new(
        points: impl Iterator<Item = DVec3> + Clone,
        up: DVec3,
        cells: usize,
        inside: impl Fn(DVec3) -> bool + Sync,
        all_inside: impl Fn(DVec3, f64) -> Option<bool> + Sync,
        run: &Run,
    ) -> Result<CellTree, Cancelled> {
        let up = up.try_normalize().unwrap_or(DVec3::Z);
        let side = up.any_orthonormal_vector();
        let other = up.cross(side);
        let local = points.map(|p| DVec3::new(p.dot(side), p.dot(other), p.dot(up)));
        let low = local.clone().fold(DVec3::INFINITY, DVec3::min);
        let high = local.fold(DVec3::NEG_INFINITY, DVec3::max);
        let size = if low.x <= high.x { (high - low).max(DVec3::splat(1e-6)) } else { DVec3::splat(1e-6) };
        let low = if low.is_finite() { low } else { DVec3::ZERO };
        let mut cell_mm = (size.x * size.y * size.z / cells.max(1) as f64).cbrt().max(size.max_element() / 4000.0);
        // A flat box is one cell high however small the cells: there the area decides.
        while (size / cell_mm).ceil().max(DVec3::ONE).element_product() > 1.5 * cells.max(1) as f64 {
            cell_mm *= 1.1;
        }
        let counts = (size / cell_mm).ceil().max(DVec3::ONE).to_array().map(|n| n as usize);
        let spare = DVec3::new(counts[0] as f64, counts[1] as f64, counts[2] as f64) * cell_mm - size;
        let origin = low - spare * 0.5 + DVec3::splat(0.5 * cell_mm);
        let layer = counts[0] * counts[1];
        let world = |x: f64, y: f64, z: f64| {
            let p = origin + DVec3::new(x, y, z) * cell_mm;
            side * p.x + other * p.y + up * p.z
        };
        let mut full = vec![false; layer * counts[2]];
        full.par_chunks_mut(BLOCK * layer).enumerate().try_for_each(|(slab, full)| {
            let first = slab * BLOCK;
            let end = [counts[0], counts[1], full.len() / layer];
            for y in (0..counts[1]).step_by(BLOCK) {
                run.check()?;
                for x in (0..counts[0]).step_by(BLOCK) {
                    // Blocks to be looked at: low corner in the slab and edge.
                    let mut open = vec![([x, y, 0], BLOCK)];
                    while let Some((at, edge)) = open.pop() {
                        let upto: [usize; 3] = std::array::from_fn(|k| (at[k] + edge).min(end[k]));
                        if (0..3).any(|k| at[k] >= upto[k]) {
                            continue;
                        }
                        let middle: [f64; 3] = std::array::from_fn(|k| at[k] as f64 + 0.5 * (edge - 1) as f64);
                        let middle = world(middle[0], middle[1], middle[2] + first as f64);
                        let answer = if edge == 1 {
                            Some(inside(middle))
                        } else {
                            all_inside(middle, 0.5 * 3f64.sqrt() * (edge - 1) as f64 * cell_mm)
                        };
                        match answer {
                            Some(false) => {}
                            Some(true) => {
                                for z in at[2]..upto[2] {
                                    for y in at[1]..upto[1] {
                                        let row = z * layer + y * counts[0];
                                        full[row + at[0]..row + upto[0]].fill(true);
                                    }
                                }
                            }
                            None => {
                                let half = edge / 2;
                                open.extend((0..8).map(|octant| {
                                    let at =
                                        std::array::from_fn(|k| at[k] + if octant >> k & 1 == 1 { half } else { 0 });
                                    (at, half)
                                }));
                            }
                        }
                    }
                }
            }
            Ok(())
        })?;
        let near = |i: usize| {
            let (x, y, z) = (i % counts[0], i % layer / counts[0], i / layer);
            [
                (x > 0).then(|| i - 1),
                (x + 1 < counts[0]).then_some(i + 1),
                (y > 0).then(|| i - counts[0]),
                (y + 1 < counts[1]).then_some(i + counts[0]),
                (z > 0).then(|| i - layer),
                (z + 1 < counts[2]).then_some(i + layer),
            ]
        };
        let mut visited = vec![false; full.len()];
        let mut sweep = Sweep::new(full.len());
        for k in (0..counts[2]).rev() {
            run.check()?;
            let height = origin.z + k as f64 * cell_mm;
            for i in k * layer..(k + 1) * layer {
                if full[i] {
                    let higher = near(i).into_iter().flatten().filter(|&n| visited[n]).map(|n| n as u32);
                    sweep.visit(i as u32, height, higher);
                    visited[i] = true;
                }
            }
        }
        let (tree, branch_of_cell) = sweep.finish();
        let mut layers: Vec<Vec<(u32, u32, u32)>> = vec![Vec::new(); tree.branches.len()];
        for i in (0..full.len()).rev().filter(|&i| full[i]) {
            let k = (i / layer) as u32;
            let edge = near(i).iter().any(|n| n.is_none_or(|n| !full[n]));
            let of_branch = &mut layers[branch_of_cell[i] as usize];
            match of_branch.last_mut() {
                Some(last) if last.0 == k => {
                    last.1 += 1;
                    last.2 += u32::from(edge);
                }
                _ => of_branch.push((k, 1, u32::from(edge))),
            }
        }
        let mut cells = CellTree { tree, up, cell_mm, side, other, origin, counts, branch_of_cell, layers };
        // From the leaves down; whole subtrees add up to their branch.
        let volumes: Vec<f64> = (0..cells.tree.branches.len() as u32)
            .into_par_iter()
            .map(|b| cells.volume_above(b, cells.tree.branches[b as usize].bottom))
            .collect();
        for (branch, volume) in cells.tree.branches.iter_mut().zip(volumes) {
            branch.volume = volume;
        }
        // The lowest cells reach half a cell under their centres.
        let roots: Vec<u32> = cells.tree.roots().collect();
        for root in roots {
            let bottom = cells.tree.branches[root as usize].bottom - 0.5 * cell_mm;
            cells.tree.branches[root as usize].bottom = bottom;
            cells.tree.branches[root as usize].volume = cells.volume_above(root, bottom);
        }
        Ok(cells)
    }

    fn layer_height(&self, layer: u32) -> f64 {
        self.origin.z + layer as f64 * self.cell_mm
    }

    /// Volume above `level` of the component that `branch` stands for there, mm³.
    pub fn volume_above(&self, branch: u32, level: f64) -> f64 {
        let area = self.cell_mm * self.cell_mm;
        let above = |k: u32| (self.layer_height(k) + 0.5 * self.cell_mm - level).clamp(0.0, self.cell_mm);
        self.in_subtree(branch).map(|&(k, cells, _)| cells as f64 * area * above(k)).sum()
    }

    fn in_subtree(&self, branch: u32) -> impl Iterator<Item = &(u32, u32, u32)> {
        self.tree.subtree(branch).flat_map(|b| &self.layers[b as usize])
    }

    /// Bound of the error of that volume, mm³: half of every cell at the surface, and half a layer of the section at
    /// `level`.
    pub fn error_mm3(&self, branch: u32, level: f64) -> f64 {
        let cell = self.cell_mm.powi(3);
        let mut halves = 0;
        for &(k, cells, edge) in self.in_subtree(branch) {
            let off = self.layer_height(k) - level;
            if off.abs() <= 0.5 * self.cell_mm {
                halves += cells;
            } else if off > 0.0 {
                halves += edge;
            }
        }
        0.5 * halves as f64 * cell
    }

    /// Centre of a cell.
    fn centre(&self, cell: usize) -> DVec3 {
        let layer = self.counts[0] * self.counts[1];
        let (x, y, z) = (cell % self.counts[0], cell % layer / self.counts[0], cell / layer);
        let p = self.origin + DVec3::new(x as f64, y as f64, z as f64) * self.cell_mm;
        self.side * p.x + self.other * p.y + self.up * p.z
    }

    /// The branch and the upper face's height of the highest full cell within `radius` of `point`; where there is none,
    /// of the nearest full cell within two cells.
    pub fn highest_near(&self, point: DVec3, radius: f64) -> Option<(u32, f64)> {
        let at =
            (DVec3::new(point.dot(self.side), point.dot(self.other), point.dot(self.up)) - self.origin) / self.cell_mm;
        let reach = (radius / self.cell_mm).max(2.0).ceil();
        let span = |x: f64, n: usize| {
            let low = (x - reach).floor().max(0.0) as usize;
            low..((x + reach).ceil().max(-1.0) + 1.0).min(n as f64) as usize
        };
        let mut highest: Option<(f64, usize)> = None;
        let mut nearest: Option<(f64, usize)> = None;
        for z in span(at.z, self.counts[2]) {
            for y in span(at.y, self.counts[1]) {
                for x in span(at.x, self.counts[0]) {
                    let cell = (z * self.counts[1] + y) * self.counts[0] + x;
                    if self.branch_of_cell[cell] == NONE {
                        continue;
                    }
                    let away = DVec3::new(x as f64, y as f64, z as f64).distance(at);
                    if away * self.cell_mm <= radius && highest.is_none_or(|h| z as f64 > h.0) {
                        highest = Some((z as f64, cell));
                    }
                    if nearest.is_none_or(|n| away < n.0) {
                        nearest = Some((away, cell));
                    }
                }
            }
        }
        let (_, cell) = highest.or(nearest.filter(|n| n.0 <= 2.0))?;
        Some((self.branch_of_cell[cell], self.centre(cell).dot(self.up) + 0.5 * self.cell_mm))
    }

    /// The upper face's middle of the highest cell of a subtree; of several in its layer, the one nearest to their mean.
    pub fn summit_point(&self, branch: u32) -> DVec3 {
        let summit = self.tree.branches[branch as usize].summit_item as usize;
        let leaf = self.branch_of_cell[summit];
        let layer = self.counts[0] * self.counts[1];
        let first = summit / layer * layer;
        let top: Vec<DVec3> = (first..first + layer)
            .filter(|&c| self.branch_of_cell[c] == leaf)
            .map(|c| self.centre(c) + self.up * (0.5 * self.cell_mm))
            .collect();
        let mean = top.iter().sum::<DVec3>() / top.len().max(1) as f64;
        let by_distance = |a: &DVec3, b: &DVec3| a.distance(mean).total_cmp(&b.distance(mean));
        top.into_iter().min_by(by_distance).unwrap_or(self.centre(summit))
    }

    /// The faces of the cells of a subtree above `level`, the lowest layer cut off there.
    pub fn shape(&self, branch: u32, level: f64) -> Mesh {
        let subtree = self.tree.subtree(branch);
        let layer = self.counts[0] * self.counts[1];
        let half = 0.5 * self.cell_mm;
        let within = |cell: usize| {
            let b = self.branch_of_cell[cell];
            b != NONE && subtree.contains(&b) && self.centre(cell).dot(self.up) + half > level
        };
        let mut mesh = Mesh::default();
        for cell in (0..self.branch_of_cell.len()).filter(|&c| within(c)) {
            let (x, y, z) = (cell % self.counts[0], cell % layer / self.counts[0], cell / layer);
            let centre = self.centre(cell);
            let height = centre.dot(self.up);
            let (low, high) = ((height - half).max(level) - height, half);
            let steps = [
                (x > 0, cell.wrapping_sub(1), -self.side),
                (x + 1 < self.counts[0], cell + 1, self.side),
                (y > 0, cell.wrapping_sub(self.counts[0]), -self.other),
                (y + 1 < self.counts[1], cell + self.counts[0], self.other),
                (z > 0, cell.wrapping_sub(layer), -self.up),
                (z + 1 < self.counts[2], cell + layer, self.up),
            ];
            for (exists, other, out) in steps {
                if exists && within(other) {
                    continue;
                }
                let across = if out.dot(self.up).abs() > 0.5 { self.side } else { self.up };
                let along = out.cross(across);
                let corner = |s: f64, t: f64| -> Vec3 {
                    let mut p = (out + across * s + along * t) * half;
                    let rise = p.dot(self.up);
                    p += self.up * (if rise < 0.0 { low } else { high } - rise);
                    (centre + p).as_vec3()
                };
                let base = mesh.positions.len() as u32;
                mesh.positions.extend([corner(-1.0, -1.0), corner(1.0, -1.0), corner(1.0, 1.0), corner(-1.0, 1.0)]);
                mesh.triangles.extend([[base, base + 1, base + 2], [base, base + 2, base + 3]]);
            }
        }
        mesh
    }
}
