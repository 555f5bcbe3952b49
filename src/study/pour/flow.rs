//! How far resin runs inside the cavity from the gates, and whether it gets there before it sets.
//!
//! The distance from the gates is marched on cells, which says where resin comes last; the way there is then pulled taut
//! inside the mesh itself, so that its length carries no error of the cells. Cells are sized to have four across the
//! typical thin wall, as far as a budget of cells allows.

mod last_place;

use crate::mesh::Mesh;
use crate::mesh::measure::vertex_normals;
use crate::mesh::tree::Tree;
use crate::solve::cell_field::CellField;
use crate::solve::cells::{Cells, CellsError, NONE};
use crate::solve::march::{March, start_ball};
use crate::solve::run::{Cancelled, Run};
use crate::study::job::thickness::{Thickness, ThinPlace};
use glam::{IVec3, Vec3};
use rayon::prelude::*;
use std::collections::HashMap;
use std::sync::Arc;

/// Cells across the typical thin wall.
pub const ACROSS: f64 = 4.0;
/// Cells that a march may use: some seconds on two cores.
pub const CELL_BUDGET: f64 = 3.0e6;
/// Share of the surface that is thinner than the typical thin wall.
const TYPICAL_SHARE: f32 = 0.1;
/// Cells along the longest way through the box at least, so that thick parts get a smooth path too.
const LEAST_ALONG: f64 = 96.0;
/// Cells round the gate that start with their exact distance.
const BALL: i32 = 6;
/// How far before a wall a ray ends, so that it does not end in it: a part of a cell, and no less than so many parts of the
/// largest coordinate, which is 30 times what rounding to f32 may put a point aside.
const BEFORE_WALL: [f32; 2] = [1e-3, 30.0 * 0.5 * f32::EPSILON];
/// A cell is reached by a corner where no face leads there, at most so many times in a row.
const MOST_BRIDGES: usize = 400;

/// Where resin comes into the cavity: a disc, whose edge is where the path begins.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gate {
    /// Its middle, on or near the cavity's wall, in `work`.
    pub position: Vec3,
    /// Its radius, mm; 0 for a point.
    pub radius_mm: f32,
}

/// The way to the place that is reached last.
#[derive(Clone, Debug, PartialEq)]
pub struct LongestPath {
    /// Its length from the edge of the gate, mm.
    pub length_mm: f64,
    /// From the gate to the last place, in `work`.
    pub points: Vec<Vec3>,
    /// Number of the gate in the list that was given.
    pub gate: usize,
}

impl LongestPath {
    /// The place that is reached last.
    pub fn last(&self) -> Vec3 {
        self.points.last().copied().unwrap_or_default()
    }
}

/// A part of the cavity that no gate leads to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Unreached {
    /// A point inside it, in `work`.
    pub position: Vec3,
    /// Its volume, mm³, by cells.
    pub volume_mm3: f64,
}

/// What the march found.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Flow {
    /// Edge of the cells, mm.
    pub cell_mm: f64,
    /// Edge that four cells across the typical thin wall ask for; smaller than `cell_mm` where the budget ruled.
    pub wanted_cell_mm: f64,
    /// Number of cells.
    pub cells: usize,
    /// True where the mesh was not closed and the cells come from the winding number.
    pub by_winding: bool,
    /// The way to the last place; none without a gate that leads into the cavity.
    pub longest: Option<LongestPath>,
    /// Distance from the gates at every vertex of the mesh, mm; infinite where resin does not come.
    pub vertex_mm: Vec<f32>,
    /// The same at every cell; none before the march.
    pub field: Option<Arc<CellField>>,
    /// Parts of the cavity that no gate leads to, largest first.
    pub unreached: Vec<Unreached>,
    /// Gates, by number in the list, that do not lie on the cavity.
    pub gates_off: Vec<usize>,
    /// Walls under two cells, where the march is not to be trusted, thinnest first.
    pub walls_under_two_cells: Vec<ThinPlace>,
}

/// Why there is no flow path.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum FlowError {
    /// The cavity could not be filled with cells.
    #[error("the cavity could not be filled with cells: {0}")]
    Cells(CellsError),
    /// Told to stop.
    #[error(transparent)]
    Cancelled(#[from] Cancelled),
}

impl From<CellsError> for FlowError {
    fn from(error: CellsError) -> FlowError {
        match error {
            CellsError::Cancelled(c) => FlowError::Cancelled(c),
            other => FlowError::Cells(other),
        }
    }
}

/// The edge that four cells across the typical thin wall ask for, and the edge that the budget allows, mm.
///
/// The typical thin wall is the one that a tenth of the surface is thinner than.
pub fn cell_sizes(mesh: &Mesh, volume_mm3: f64, thickness: &Thickness, budget: f64) -> (f64, f64) {
    let coarsest = mesh.bounds().diagonal() as f64 / LEAST_ALONG;
    let wanted = thickness.quantile(TYPICAL_SHARE).map_or(coarsest, |w| w.thickness_mm as f64 / ACROSS).min(coarsest);
    (wanted, wanted.max((volume_mm3.abs() / budget).cbrt()))
}

/// Marches through the cavity `mesh`, ONE closed mesh in `work`, from `gates`.
///
/// `tree` holds the same mesh and `thickness` its walls. Where the mesh is not closed, `winding` decides what is inside;
/// without it that is an error.
pub fn flow(
    mesh: &Mesh,
    tree: &Tree,
    thickness: &Thickness,
    gates: &[Gate],
    winding: Option<&(dyn Fn(Vec3) -> f64 + Sync)>,
    run: &Run,
) -> Result<Flow, FlowError> {
    let volume = crate::mesh::measure::Measures::of(mesh).volume_mm3;
    let (wanted_cell_mm, cell_mm) = cell_sizes(mesh, volume, thickness, CELL_BUDGET);
    let (cells, by_winding) = match (Cells::fill(mesh, cell_mm, run), winding) {
        (Err(CellsError::NotClosed { .. }), Some(winding)) => {
            (Cells::fill_by_winding(mesh, cell_mm, winding, run)?, true)
        }
        (filled, _) => (filled?, false),
    };
    run.progress(0.3);
    let mut flow = Flow {
        cell_mm,
        wanted_cell_mm,
        cells: cells.len(),
        by_winding,
        walls_under_two_cells: thickness.below(2.0 * cell_mm as f32, 20.0 * cell_mm as f32, 20),
        ..Flow::default()
    };
    let field = Field::march(mesh, &cells, tree, gates, &mut flow.gates_off, run)?;
    run.progress(0.8);
    let normals = vertex_normals(mesh);
    flow.vertex_mm = field.at_vertices(mesh, &normals);
    run.check()?;
    flow.longest = field.longest(&normals, &flow.vertex_mm, run)?;
    if gates.len() > flow.gates_off.len() {
        flow.unreached = field.unreached(run)?;
    }
    let at_cell = |c: u32| if field.march.reached(c) { field.march.mm(c) } else { f32::INFINITY };
    let values: Vec<f32> = (0..cells.len() as u32).map(at_cell).collect();
    drop(field);
    flow.field = Some(Arc::new(CellField::new(Arc::new(cells), values)));
    run.progress(1.0);
    Ok(flow)
}

/// A gate as it lies in the cavity.
struct Source {
    gate: usize,
    inside: Vec3,
    radius_mm: f32,
}

/// Distances with what is needed to find the way back.
struct Field<'a> {
    mesh: &'a Mesh,
    cells: &'a Cells,
    tree: &'a Tree,
    /// How far before a wall a ray ends, mm.
    hair_mm: f32,
    march: March<'a>,
    sources: Vec<Source>,
    /// Which source a seed belongs to.
    seeded_by: HashMap<u32, usize>,
    /// Cells that were reached by a corner, and from where.
    bridged_from: HashMap<u32, u32>,
}

impl<'a> Field<'a> {
    fn march(
        mesh: &'a Mesh,
        cells: &'a Cells,
        tree: &'a Tree,
        gates: &[Gate],
        off: &mut Vec<usize>,
        run: &Run,
    ) -> Result<Field<'a>, Cancelled> {
        let bounds = mesh.bounds();
        let largest = bounds.min.abs().max(bounds.max.abs()).max_element();
        let mut field = Field {
            hair_mm: (BEFORE_WALL[0] * cells.cell_mm() as f32).max(BEFORE_WALL[1] * largest),
            mesh,
            cells,
            tree,
            march: March::new(cells),
            sources: Vec::new(),
            seeded_by: HashMap::new(),
            bridged_from: HashMap::new(),
        };
        let mut nearest: HashMap<u32, f32> = HashMap::new();
        for (gate, g) in gates.iter().enumerate() {
            run.check()?;
            let Some(inside) = field.inside(g) else {
                off.push(gate);
                continue;
            };
            let radius_mm = g.radius_mm.max(0.0);
            let source = field.sources.len();
            field.sources.push(Source { gate, inside, radius_mm });
            for (cell, mm) in start_ball(cells, inside, radius_mm, BALL, |p| field.free(p, inside)) {
                if nearest.get(&cell).is_none_or(|&before| mm < before) {
                    nearest.insert(cell, mm);
                    field.seeded_by.insert(cell, source);
                }
            }
        }
        let mut seeds: Vec<(u32, f32)> = nearest.into_iter().collect();
        seeds.sort_unstable_by_key(|s| s.0);
        field.march.run(&seeds, run)?;
        if !seeds.is_empty() {
            field.bridge(run)?;
        }
        Ok(field)
    }

    /// True where the straight line from a to b stays in the cavity.
    fn free(&self, a: Vec3, b: Vec3) -> bool {
        !self.tree.any_hit(a, b - a, 1.0)
    }

    /// The middle of a gate, drawn into the cavity where it lies on the wall or a little outside; `None` where it
    /// lies off the cavity.
    fn inside(&self, gate: &Gate) -> Option<Vec3> {
        let edge = self.cells.cell_mm() as f32;
        let reach = (2 + (gate.radius_mm.max(0.0) / edge).ceil() as i32).min(64);
        let limit = gate.radius_mm.max(0.0) + 1.5 * edge;
        let mut near: Vec<(f32, u32)> = self
            .cells
            .round(self.cells.place_of(gate.position), reach)
            .map(|c| (self.cells.centre(c).distance(gate.position), c))
            .collect();
        near.sort_unstable_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        let hair = self.hair_mm;
        let mut best: Option<(f32, Vec3)> = None;
        for &(far, cell) in near.iter().take(64) {
            let from = self.cells.centre(cell);
            let way = gate.position - from;
            // A hair before the wall, also where the gate lies on the wall and rounding let the ray through. A ray that
            // comes along the wall leaves the point on it: of equal ones the point furthest off the wall is taken.
            let hit = self.tree.first_hit(from, way, 1.0).map_or(1.0, |hit| hit.t);
            let t = (hit - hair / far.max(hair)).max(0.0);
            let left = (1.0 - t) * far;
            let inside = from + way * t;
            if left > limit || best.is_some_and(|b| left - hair >= b.0) || !self.free(inside, from) {
                continue;
            }
            let off_wall = self.tree.nearest_within(inside, hair).map_or(hair, |wall| wall.distance);
            if best.is_none_or(|b| left - off_wall < b.0) {
                best = Some((left - off_wall, inside));
            }
        }
        best.map(|b| b.1)
    }

    /// Walls thinner than two cells may hang together by corners of cells only: goes on through those, where a
    /// straight line says that it may.
    fn bridge(&mut self, run: &Run) -> Result<(), Cancelled> {
        let mut left: Vec<u32> = (0..self.cells.len() as u32).filter(|&c| !self.march.reached(c)).collect();
        for _ in 0..MOST_BRIDGES {
            run.check()?;
            if left.is_empty() {
                break;
            }
            let this = &*self;
            let found: Vec<(u32, u32, f32)> = left
                .par_iter()
                .filter_map(|&c| {
                    let at = this.cells.centre(c);
                    let place = this.cells.place(c);
                    let mut near: Vec<(f32, u32)> = this
                        .cells
                        .round(place, 1)
                        .filter(|&n| this.march.reached(n))
                        .map(|n| (this.march.mm(n) + this.cells.centre(n).distance(at), n))
                        .collect();
                    near.sort_unstable_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
                    near.into_iter().find(|&(_, n)| this.free(this.cells.centre(n), at)).map(|(mm, n)| (c, n, mm))
                })
                .collect();
            if found.is_empty() {
                break;
            }
            let seeds: Vec<(u32, f32)> = found.iter().map(|&(c, _, mm)| (c, mm)).collect();
            self.bridged_from.extend(found.iter().map(|&(c, n, _)| (c, n)));
            self.march.run(&seeds, run)?;
            left.retain(|&c| !self.march.reached(c));
        }
        Ok(())
    }

    /// Distance at every vertex of the mesh.
    fn at_vertices(&self, mesh: &Mesh, normals: &[Vec3]) -> Vec<f32> {
        mesh.positions
            .par_iter()
            .zip(normals)
            .map(|(&p, &n)| self.at_wall(p, n).map_or(f32::INFINITY, |best| best.0))
            .collect()
    }

    /// Distance at a point of the wall with outward normal `n`, from the cells that see it.
    fn at_wall(&self, p: Vec3, n: Vec3) -> Option<(f32, u32)> {
        self.march.at(p, |c| (p - self.cells.centre(c)).dot(n) >= 0.0 && self.sees(c, p))
    }

    /// True where the straight line from the centre of cell `c` to a point, a hair before it, is free.
    fn sees(&self, c: u32, p: Vec3) -> bool {
        let at = self.cells.centre(c);
        self.free(at, p + (at - p).clamp_length_max(self.hair_mm))
    }

    /// Parts that were never reached; crumbs of a few cells in the tips of edges are left out.
    fn unreached(&self, run: &Run) -> Result<Vec<Unreached>, Cancelled> {
        let (group, groups) = self.cells.groups(|c| !self.march.reached(c), run)?;
        let mut sums = vec![(0u64, IVec3::ZERO.as_i64vec3()); groups as usize];
        for (c, &g) in group.iter().enumerate().filter(|&(_, &g)| g != NONE) {
            sums[g as usize].0 += 1;
            sums[g as usize].1 += self.cells.place(c as u32).as_i64vec3();
        }
        // The cell nearest to the middle of its group stands for it.
        let mut best = vec![(f64::INFINITY, NONE); groups as usize];
        for (c, &g) in group.iter().enumerate().filter(|&(_, &g)| g != NONE) {
            let (count, sum) = sums[g as usize];
            let far = (self.cells.place(c as u32).as_dvec3() - sum.as_dvec3() / count as f64).length_squared();
            if far < best[g as usize].0 {
                best[g as usize] = (far, c as u32);
            }
        }
        let least = 8.max(self.cells.len() as u64 / 20_000);
        let each = self.cells.cell_mm().powi(3);
        let mut parts: Vec<Unreached> = sums
            .iter()
            .zip(&best)
            .filter(|(sum, _)| sum.0 >= least)
            .map(|(sum, best)| Unreached { position: self.cells.centre(best.1), volume_mm3: sum.0 as f64 * each })
            .collect();
        parts.sort_by(|a, b| b.volume_mm3.total_cmp(&a.volume_mm3));
        Ok(parts)
    }
}

/// How far resin runs through a slot before it sets, mm: h·√(Δp·τ/6μ₀).
///
/// For a liquid whose viscosity rises as μ₀·exp(t/τ) under constant pressure: the front in a slot of gap h goes as
/// x² = h²/6 · ∫Δp/μ dt (slot flow: Bird, Stewart & Lightfoot, *Transport Phenomena*, section 2.3), and the integral tends
/// to Δp·τ/μ₀. Real mixes thicken faster near gel, so this is the most that can be hoped for.
pub fn reach_mm(gap_mm: f64, pressure_pa: f64, tau_s: f64, viscosity_pa_s: f64) -> f64 {
    gap_mm * (pressure_pa * tau_s / (6.0 * viscosity_pa_s)).max(0.0).sqrt()
}

/// Time constant τ of a viscosity that grows `times` fold over `pot_life_s`, s: pot life / ln(times).
pub fn tau_s(pot_life_s: f64, times: f64) -> f64 {
    pot_life_s / times.ln()
}

/// Pressure under a head of liquid, Pa: ρ·g·h.
pub fn head_pa(density_g_cm3: f64, head_mm: f64) -> f64 {
    density_g_cm3 * head_mm * crate::study::job::gravity::STANDARD_GRAVITY
}
