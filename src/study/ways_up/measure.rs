//! Measuring one direction.

use super::criteria::{Criteria, Norms};
use super::scored::Scored;
use super::subject::Each;
use crate::mesh::Bounds;
use crate::plan::{Attitude, BlockPlan};
use crate::shop::Limits;
use crate::solve::closed_surface::{ClosedSurface, NotClosed};
use crate::solve::level_volume::Facet;
use crate::solve::run::{Cancelled, Run};
use crate::solve::surface_tree::SurfaceTree;
use crate::study::air::closed_off::Outside;
use crate::study::air::high_points::{HighPoint, high_points};
use crate::study::air::{AirTree, LEAN_DIRECTIONS, bubble, lean_directions};
use crate::study::job::block::Block;
use crate::study::job::turn::turn_to_draw;
use crate::study::parting::draw::{Rasters, raster_views};
use glam::{DVec3, Vec3};
use std::sync::Arc;

/// Draws within this sine of level are tried, made level, for the undercut of a level draw (12°).
const NEARLY_LEVEL: f32 = 0.2;
/// Draws within this sine of level are level as they are.
const LEVEL: f32 = 1e-4;
/// How many of the nearly level ones are made level.
const MADE_LEVEL: usize = 2;

/// What the directions are measured for, beside the body.
#[derive(Clone, Debug, PartialEq)]
pub struct Asked {
    /// The plan's draw, in `set`.
    pub draw: DVec3,
    /// Outward normals of shown surfaces.
    pub shown: Vec<Vec3>,
    /// The plan's wishes for the block.
    pub block: BlockPlan,
}

/// The undercut of a draw along each of `axes`, mm², from depth rasters.
///
/// # Errors
/// [`Cancelled`].
pub fn undercuts(parts: &[Each], axes: &[Vec3], run: &Run) -> Result<Vec<(Vec3, f64)>, Cancelled> {
    let mut draws: Vec<(Vec3, f64)> = axes.iter().map(|a| (*a, 0.0)).collect();
    for part in parts {
        for (draw, view) in draws.iter_mut().zip(raster_views(&part.master.mesh, axes, run)?) {
            draw.1 += view.hidden_from_both_mm2;
        }
    }
    Ok(draws)
}

/// Measures directions of the different parts of one block.
pub struct Measurer<'a> {
    parts: Vec<Ready<'a>>,
    limits: &'a Limits,
    asked: &'a Asked,
    /// Undercut of a draw along each axis, from which the level ones of every way up are chosen.
    draws: Vec<(Vec3, f64)>,
}

/// A part made ready.
struct Ready<'a> {
    part: &'a Each,
    rasters: Rasters<'a>,
    surface: Result<Arc<ClosedSurface>, String>,
    outside: Outside,
}

impl<'a> Measurer<'a> {
    /// Makes ready, with the undercuts of [`undercuts`].
    ///
    /// # Errors
    /// [`Cancelled`].
    pub fn new(
        parts: &'a [Each],
        limits: &'a Limits,
        asked: &'a Asked,
        draws: Vec<(Vec3, f64)>,
        run: &Run,
    ) -> Result<Measurer<'a>, Cancelled> {
        let ready = |part: &'a Each| {
            let body = &part.body;
            let surface = match &body.trouble {
                Some(why) => Err(why.clone()),
                None => match ClosedSurface::new(body.mesh.clone(), body.tree.clone(), run) {
                    Ok(surface) => Ok(Arc::new(surface)),
                    Err(NotClosed::Cancelled(c)) => return Err(c),
                    Err(why) => Err(why.to_string()),
                },
            };
            let outside = Outside::of(&part.master, &part.inserts, run)?;
            Ok(Ready { part, rasters: Rasters::new(&part.master.mesh), surface, outside })
        };
        let parts = parts.iter().map(ready).collect::<Result<_, Cancelled>>()?;
        Ok(Measurer { parts, limits, asked, draws })
    }

    /// What figures are divided by.
    pub fn norms(&self) -> Norms {
        let masters = || self.parts.iter().map(|p| &p.part.master);
        let side = masters().map(|m| m.bounds.diagonal() as f64).fold(0.0, f64::max);
        let size = self.row(masters().map(|_| DVec3::splat(side)));
        Norms {
            bubble_mm: self.limits.bubble_mm,
            diagonal_mm: side,
            block_mm3: Block::round(DVec3::ZERO, size, &self.asked.block, self.limits).volume_mm3(),
            area_mm2: masters().map(|m| m.measures.area_mm2).sum(),
        }
    }

    /// Size of parts of these sizes beside each other along the box's X, the shop's least rubber between them.
    fn row(&self, sizes: impl Iterator<Item = DVec3>) -> DVec3 {
        sizes
            .reduce(|row, next| row.max(next).with_x(row.x + self.limits.least_rubber_mm + next.x))
            .unwrap_or(DVec3::ZERO)
    }

    /// Why air is not counted.
    pub fn no_air(&self) -> Option<String> {
        self.parts.iter().find_map(|p| p.surface.as_ref().err().cloned())
    }

    /// One direction.
    ///
    /// # Errors
    /// [`Cancelled`].
    pub fn one(&self, up: Vec3, run: &Run) -> Result<Scored, Cancelled> {
        let upright = self.known(up).unwrap_or_else(|| self.hidden_mm2(up));
        self.scored(up, [self.level_draw_mm2(up), upright], run)
    }

    /// Both ends of an axis: a draw sees the same from both.
    ///
    /// # Errors
    /// [`Cancelled`].
    pub fn both_ends(&self, axis: Vec3, run: &Run) -> Result<[Scored; 2], Cancelled> {
        let one = self.one(axis, run)?;
        let undercuts = [one.criteria.undercut_level_mm2, one.criteria.undercut_upright_mm2];
        Ok([one, self.scored(-axis, undercuts, run)?])
    }

    /// Undercut of a draw along `draw`, mm².
    fn hidden_mm2(&self, draw: Vec3) -> f64 {
        self.parts.iter().map(|p| p.rasters.view(draw).hidden_from_both_mm2).sum()
    }

    fn known(&self, up: Vec3) -> Option<f64> {
        self.draws.iter().find(|(axis, _)| *axis == up || *axis == -up).map(|t| t.1)
    }

    /// The least undercut of the draws square to `up`: those of the kept ones that are, and the best that nearly are, made so.
    fn level_draw_mm2(&self, up: Vec3) -> f64 {
        let mut best = f64::INFINITY;
        let mut nearly: Vec<(Vec3, f64)> = Vec::new();
        for (axis, hidden) in &self.draws {
            let off = axis.dot(up).abs();
            if off < LEVEL {
                best = best.min(*hidden);
            } else if off < NEARLY_LEVEL {
                nearly.push((*axis, *hidden));
            }
        }
        nearly.sort_by(|a, b| a.1.total_cmp(&b.1));
        for (axis, _) in nearly.iter().take(MADE_LEVEL) {
            let level = (*axis - up * axis.dot(up)).normalize_or(up.any_orthonormal_vector());
            best = best.min(self.hidden_mm2(level));
        }
        if best.is_finite() { best } else { self.hidden_mm2(up.any_orthonormal_vector()) }
    }

    fn scored(&self, up: Vec3, [level_mm2, upright_mm2]: [f64; 2], run: &Run) -> Result<Scored, Cancelled> {
        run.check()?;
        let air = self.air(up, run)?;
        let recesses = self.rubber_recesses(up, run)?;
        let level = (self.limits.near_level_deg.to_radians().cos()) as f32;
        let (mut ceiling, mut upper) = (0.0f64, 0.0f64);
        for mesh in self.parts.iter().map(|p| &p.part.body.mesh) {
            for t in 0..mesh.triangles.len() {
                let n = mesh.double_area_normal(t);
                let rise = n.dot(up);
                if rise > 0.0 {
                    upper += rise as f64 * 0.5;
                    let area = n.length();
                    if rise >= level * area {
                        ceiling += area as f64 * 0.5;
                    }
                }
            }
        }
        let upright = Attitude { up: up.as_dvec3().normalize(), turn: 0.0 };
        let turn = turn_to_draw(&upright, self.asked.draw);
        let to_box = Attitude { turn, ..upright }.upright_from_set().as_quat();
        let standing = |p: &Ready| {
            let bounds = p.part.master.mesh.positions.iter().fold(Bounds::EMPTY, |b, p| b.with(to_box * *p));
            if bounds.is_empty() { DVec3::ZERO } else { bounds.max.as_dvec3() - bounds.min.as_dvec3() }
        };
        let size = self.row(self.parts.iter().map(standing));
        let block = Block::round(DVec3::ZERO, size, &self.asked.block, self.limits);
        let bubble_mm = air.map(|a| bubble::bubble_mm(a.1, self.limits.chamber_pa));
        Ok(Scored {
            up,
            turn,
            criteria: Criteria {
                high_points: air.map(|a| a.0),
                air_mm3: air.map(|a| a.1),
                bubble_mm,
                ceiling_mm2: ceiling,
                upper_mm2: upper,
                height_mm: size.z,
                block_mm: block.size_mm.to_array(),
                undercut_level_mm2: level_mm2,
                undercut_upright_mm2: upright_mm2,
                rubber_recesses: recesses.map(|r| r.0),
                rubber_air_mm3: recesses.map(|r| r.1),
                shown_up: self.asked.shown.iter().map(|n| n.dot(up).max(0.0) as f64).fold(0.0, f64::max),
            },
        })
    }

    /// Recesses that keep air while rubber is poured, and all that air, mm³; none where a master is not closed.
    fn rubber_recesses(&self, up: Vec3, run: &Run) -> Result<Option<(usize, f64)>, Cancelled> {
        let (mut count, mut air_mm3) = (0, 0.0);
        for part in &self.parts {
            let Some(recesses) = part.outside.recesses(up, run)? else { return Ok(None) };
            for recess in recesses.iter().filter(|r| r.volume_mm3 >= self.limits.air_pocket_mm3) {
                count += 1;
                air_mm3 += recess.volume_mm3;
            }
        }
        Ok(Some((count, air_mm3)))
    }

    /// High points, and the air that stays leaning; none where a part is not closed.
    fn air(&self, up: Vec3, run: &Run) -> Result<Option<(usize, f64)>, Cancelled> {
        let (mut count, mut stays) = (0, [0.0f64; LEAN_DIRECTIONS]);
        for part in &self.parts {
            let Ok(surface) = &part.surface else { return Ok(None) };
            let tree = match SurfaceTree::new(surface, up.as_dvec3(), run) {
                Ok(tree) => AirTree::Exact(tree),
                Err(NotClosed::Cancelled(c)) => return Err(c),
                Err(_) => return Ok(None),
            };
            let points = high_points(&tree, self.limits.air_pocket_mm3);
            count += points.len();
            // The block leans to one side with all of its parts.
            if let AirTree::Exact(tree) = &tree {
                let own = leaning_to_each_side_mm3(tree, &points, self.limits.lean_deg);
                stays.iter_mut().zip(own).for_each(|(stays, own)| *stays += own);
            }
        }
        Ok(Some((count, stays.into_iter().fold(0.0, f64::max))))
    }
}

/// The most air that stays when the block leans by `lean_deg`, with a vent of no width at each high point, mm³: in each
/// pocket all above the leaning plane through its vent.
///
/// Exact where the pocket is a whole body with nothing level below its top. Air that could go over into the next pocket
/// is counted too; what a lean shuts in under a ledge further down is not, that is what near-level ceilings are measured
/// for. It needs the level tree alone, not one for each lean, so that hundreds of ways up can be compared.
pub fn leaning_mm3(tree: &SurfaceTree, points: &[HighPoint], lean_deg: f64) -> f64 {
    leaning_to_each_side_mm3(tree, points, lean_deg).into_iter().fold(0.0, f64::max)
}

/// The same for each side that the block leans to.
fn leaning_to_each_side_mm3(tree: &SurfaceTree, points: &[HighPoint], lean_deg: f64) -> [f64; LEAN_DIRECTIONS] {
    let mut stays = [0.0f64; LEAN_DIRECTIONS];
    if lean_deg <= 0.0 {
        return stays;
    }
    let leans: [DVec3; LEAN_DIRECTIONS] = match lean_directions(tree.up.as_vec3(), lean_deg, LEAN_DIRECTIONS).try_into()
    {
        Ok(leans) => leans,
        Err(_) => return stays,
    };
    let (sin, cos) = lean_deg.to_radians().sin_cos();
    for point in points {
        let vent = point.position.as_dvec3();
        let mut pocket = [0.0f64; LEAN_DIRECTIONS];
        for &t in tree.triangles_of(point.branch) {
            let corners = tree.surface.mesh.corners_f64(t as usize).map(|p| p - vent);
            // No lean lifts a corner over the vent that lies deeper under it than this.
            let reaches = |p: &DVec3| {
                let height = p.dot(tree.up);
                let aside = (p.length_squared() - height * height).max(0.0).sqrt();
                height * cos + aside * sin > 0.0
            };
            if !corners.iter().any(reaches) {
                continue;
            }
            let area = (corners[1] - corners[0]).cross(corners[2] - corners[0]) * 0.5;
            for (pocket, lean) in pocket.iter_mut().zip(&leans) {
                let facet = Facet { heights: corners.map(|p| p.dot(*lean)), projected: area.dot(*lean) };
                *pocket += facet.above(0.0);
            }
        }
        for (stays, pocket) in stays.iter_mut().zip(pocket) {
            *stays += pocket.clamp(0.0, point.pocket_mm3);
        }
    }
    stays
}
