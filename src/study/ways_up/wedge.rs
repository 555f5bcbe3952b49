//! A wedge under one edge of the closed block: small tilts of the cast attitude that need fewer vents, free level ceilings
//! or leave less air. The silicone is what it is; once the tool is cut this is the only lever left.
//!
//! What a wedge is said to save is measured: vents are really proposed as the block stands and on the wedge. Many tilts are
//! ranked by what is quick to find, and the best of them measured.

use super::measure::leaning_mm3;
use crate::plan::{Attitude, Plan, Stage};
use crate::shop::Limits;
use crate::solve::closed_surface::ClosedSurface;
use crate::solve::run::{Cancelled, Run};
use crate::solve::surface_tree::SurfaceTree;
use crate::study::air::high_points::high_points;
use crate::study::air::{Air, AirTree, Matters, Mouth, MouthOf, closed_off, walk};
use crate::study::job::body::Body;
use crate::study::job::frames::Frames;
use glam::{DQuat, DVec3, Vec3};
use rayon::prelude::*;
use std::sync::Arc;

/// Steps of the tilt, degrees: set here.
const STEP_DEG: f64 = 2.5;
/// A wedge is worth setting from these on: whole vents; share of the level ceiling and of the air that goes (set
/// here).
const FEWER_VENTS: usize = 1;
const SHARE: f64 = 0.5;
/// Tilts that are measured: so many triangles' worth, and at least and most so many (set here).
const MEASURED_TRIANGLES: usize = 1_500_000;
const MEASURED: (usize, usize) = (6, 24);
/// High points that a wedge steeper by a degree is put up with for: cup and vents lean with it (set here).
const PER_DEGREE: f64 = 0.03;

/// Less than this is no wedge, millimetres.
const LEAST_LIFT_MM: f64 = 0.5;

/// What one attitude of the closed block gives.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Standing {
    /// High points that matter.
    pub high_points: usize,
    /// Near-level ceiling, mm².
    pub ceiling_mm2: f64,
    /// The most air that stays leaning, with a vent at each high point, mm³.
    pub leaning_mm3: f64,
    /// Air that stays level with the plan's own vents, mm³.
    pub trapped_mm3: f64,
    /// What takes longer to find; none where it was not measured.
    pub measured: Option<Measured>,
}

/// What is measured of the attitudes that are compared in the end.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Measured {
    /// Vents that the program proposes.
    pub vents: usize,
    /// The most air that stays with the plan's own vents, level or leaning, mm³.
    pub worst_mm3: f64,
    /// Basins without a gate, mm³.
    pub basins_mm3: f64,
}

impl Standing {
    /// Vents that are proposed there; high points where that was not measured.
    fn vents(&self) -> usize {
        self.measured.map_or(self.high_points, |m| m.vents)
    }
}

/// The edge of the block that a wedge raises, as one stands before the front of the block as it stands for casting.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Edge {
    /// Nearest to one.
    Front,
    /// To the right.
    Right,
    /// Farthest from one.
    Back,
    /// To the left.
    Left,
}

impl Edge {
    /// Its name in words.
    pub fn name(self) -> &'static str {
        match self {
            Edge::Front => "front",
            Edge::Right => "right",
            Edge::Back => "back",
            Edge::Left => "left",
        }
    }
}

/// What a wedge is sought for.
#[derive(Clone, Debug, PartialEq)]
pub struct Asked {
    /// Up, right and front-to-back of the block as it stands for casting without a wedge, in `work`.
    pub base: [Vec3; 3],
    /// Its length along right and along front-to-back as it stands, millimetres.
    pub lengths_mm: [f64; 2],
    /// Up as resin is poured now, in `work`.
    pub now: Vec3,
    /// The plan's mouths.
    pub mouths: Vec<Mouth>,
    /// True once the block is cut: vents stay where they are.
    pub cut: bool,
    /// The plan's gates.
    pub gates: Vec<Mouth>,
    /// Which air matters.
    pub matters: Matters,
}

/// A wedge that helps.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wedge {
    /// The edge that is raised.
    pub edge: Edge,
    /// By how much, millimetres.
    pub lift_mm: f64,
    /// Tilt, degrees.
    pub tilt_deg: f64,
    /// Up with the wedge, in `work`.
    pub up: Vec3,
    /// As it stands now.
    pub now: Standing,
    /// With the wedge.
    pub with: Standing,
}

impl Asked {
    /// Asks for the block of `size_mm`, lying on whichever of its faces is the nearest to the floor now.
    pub fn of(plan: &Plan, frames: &Frames, size_mm: DVec3, limits: &Limits) -> Asked {
        let cut = plan.stage >= Stage::Cut;
        let mut mouths = Mouth::of_plan(plan, frames);
        // Before the cut vents can still move, and only what they leave depends on them.
        mouths.retain(|m| cut || matches!(m.of, MouthOf::Gate(_)));
        let Lying { base, lengths_mm, now } = Lying::of(frames, size_mm);
        let (gates, matters) = (closed_off::gates_of(plan, frames), Matters::of(plan, frames, limits));
        Asked { base, lengths_mm, now, mouths, cut, gates, matters }
    }
}

/// How the block lies as resin is poured.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lying {
    /// Up, right and front-to-back of the block on whichever of its faces is the nearest to the floor, in `work`.
    pub base: [Vec3; 3],
    /// Its length along right and along front-to-back, millimetres.
    pub lengths_mm: [f64; 2],
    /// Up as resin is poured, in `work`.
    pub now: Vec3,
}

/// An edge that is raised.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Raised {
    /// Which.
    pub edge: Edge,
    /// By how much, millimetres.
    pub lift_mm: f64,
}

impl Lying {
    /// How a block of `size_mm` lies.
    pub fn of(frames: &Frames, size_mm: DVec3) -> Lying {
        let now = frames.cast_up();
        let work_from_box = frames.box_from_work.inverse();
        let axis = |d: DVec3| work_from_box.transform_vector3(d).as_vec3().normalize_or(Vec3::Z);
        let axes = [axis(DVec3::X), axis(DVec3::Y), axis(DVec3::Z)];
        let top = (0..3).max_by(|a, b| axes[*a].dot(now).abs().total_cmp(&axes[*b].dot(now).abs())).unwrap_or(2);
        let up = axes[top] * axes[top].dot(now).signum();
        // Right stays the block's first axis, or its second where it stands on an end.
        let right = if top == 0 { 1 } else { 0 };
        let back = up.cross(axes[right]);
        let deep = 3 - top - right;
        Lying { base: [up, axes[right], back], lengths_mm: [size_mm[right], size_mm[deep]], now }
    }

    /// The edges that are raised over lying flat, at most one of front and back and one of right and left.
    pub fn raised(&self) -> Vec<Raised> {
        let edges = [(Edge::Right, Edge::Left), (Edge::Back, Edge::Front)];
        let raised = (0..2).map(|i| {
            let rise = f64::from(self.base[1 + i].dot(self.now));
            let edge = if rise > 0.0 { edges[i].0 } else { edges[i].1 };
            Raised { edge, lift_mm: rise.abs() * self.lengths_mm[i] }
        });
        raised.filter(|r| r.lift_mm >= LEAST_LIFT_MM).collect()
    }

    /// Degrees off lying flat.
    pub fn tilt_deg(&self) -> f64 {
        f64::from(self.base[0].dot(self.now)).clamp(-1.0, 1.0).acos().to_degrees()
    }
}

/// The smallest wedge that helps most, if one does; none also where the body is not closed. `proposed` says how many vents
/// the program would set in one attitude.
///
/// # Errors
/// [`Cancelled`].
pub fn wedge(
    body: &Body,
    level: &AirTree,
    asked: &Asked,
    limits: &Limits,
    proposed: &(dyn Fn(&Air) -> Result<usize, Cancelled> + Sync),
    run: &Run,
) -> Result<Option<Wedge>, Cancelled> {
    let AirTree::Exact(tree) = level else { return Ok(None) };
    let surface = tree.surface.clone();
    let stands = |up: Vec3| standing(body, &surface, up, &asked.mouths, limits, run);
    let measured = |up: Vec3| measure(body, &surface, up, asked, limits, proposed, run);
    if limits.prop_deg < STEP_DEG {
        return Ok(None);
    }
    let Some(now) = stands(asked.now)? else { return Ok(None) };
    let now = Standing { measured: measured(asked.now)?, ..now };
    let worth = now.vents() > 1 || now.ceiling_mm2 >= limits.ceiling_mm2 || now.trapped_mm3 >= limits.air_pocket_mm3;
    if !worth || now.measured.is_none() {
        return Ok(None);
    }
    let [up, right, back] = asked.base;
    let edges = [
        (Edge::Front, -back, asked.lengths_mm[1]),
        (Edge::Right, right, asked.lengths_mm[0]),
        (Edge::Back, back, asked.lengths_mm[1]),
        (Edge::Left, -right, asked.lengths_mm[0]),
    ];
    let steps = (limits.prop_deg / STEP_DEG + 1e-9) as u32;
    let tried: Vec<(Edge, Vec3, f64, f64)> = (1..=steps)
        .flat_map(|step| {
            let tilt = step as f64 * STEP_DEG;
            let (sin, cos) = tilt.to_radians().sin_cos();
            // The block turns about the edge across from the one that is raised.
            edges.map(|(edge, side, length)| {
                (edge, (up * cos as f32 + side * sin as f32).normalize(), length * sin, tilt)
            })
        })
        .filter(|t| t.1.dot(asked.now) < 1.0 - 1e-6)
        .collect();
    let found: Vec<Option<Wedge>> = tried
        .par_iter()
        .map(|&(edge, up, lift_mm, tilt_deg)| {
            Ok(stands(up)?.map(|with| Wedge { edge, lift_mm, tilt_deg, up, now, with }))
        })
        .collect::<Result<_, Cancelled>>()?;
    let mut found: Vec<Wedge> = found.into_iter().flatten().collect();
    // Smaller wedges come first, so among equals they stay.
    found.sort_by(|a, b| b.gain(asked.cut).total_cmp(&a.gain(asked.cut)));
    found.truncate((MEASURED_TRIANGLES / body.mesh.triangles.len().max(1)).clamp(MEASURED.0, MEASURED.1));
    for wedge in &mut found {
        run.check()?;
        wedge.with.measured = measured(wedge.up)?;
    }
    found.sort_by(|a, b| a.tilt_deg.total_cmp(&b.tilt_deg));
    let helps = found.into_iter().filter(|w| w.helps(asked.cut, limits));
    let better = |a: Wedge, b: Wedge| if b.gain(asked.cut) > a.gain(asked.cut) + 1e-6 { b } else { a };
    Ok(helps.reduce(better))
}

impl Wedge {
    /// Vents, ceiling and air that go, each as a count or share, less what its steepness costs; once the block is cut only
    /// the ceiling and what its vents leave count.
    fn gain(&self, cut: bool) -> f64 {
        let gone = |now: f64, with: f64| if now > 0.0 { (now - with) / now } else { 0.0 };
        let ceiling = gone(self.now.ceiling_mm2, self.with.ceiling_mm2);
        let gained = if cut {
            2.0 * gone(self.now.trapped_mm3, self.with.trapped_mm3) + 0.5 * ceiling
        } else {
            let vents = match self.with.measured {
                Some(with) => self.now.vents() as f64 - with.vents as f64,
                None => self.now.high_points as f64 - self.with.high_points as f64,
            };
            vents + ceiling + gone(self.now.leaning_mm3, self.with.leaning_mm3).max(-1.0)
        };
        gained - PER_DEGREE * self.tilt_deg
    }

    /// True where it pays for itself and makes nothing worse that matters: no ceiling comes level for it, no basin is cut
    /// off from the gates, no more air stays.
    fn helps(&self, cut: bool, limits: &Limits) -> bool {
        let (now, with) = (&self.now, &self.with);
        let (Some(measured_now), Some(measured)) = (now.measured, with.measured) else { return false };
        let least_mm3 = limits.air_pocket_mm3;
        if with.ceiling_mm2 > now.ceiling_mm2.max(limits.ceiling_mm2)
            || measured.basins_mm3 > measured_now.basins_mm3 + least_mm3
        {
            return false;
        }
        let frees = now.ceiling_mm2 >= limits.ceiling_mm2 && with.ceiling_mm2 <= (1.0 - SHARE) * now.ceiling_mm2;
        if cut {
            let no_worse = measured.worst_mm3 <= measured_now.worst_mm3.max(least_mm3);
            let air_goes = now.trapped_mm3 >= least_mm3 && with.trapped_mm3 <= (1.0 - SHARE) * now.trapped_mm3;
            return no_worse && (air_goes || (frees && with.trapped_mm3 < now.trapped_mm3.max(least_mm3)));
        }
        let fewer = measured.vents + FEWER_VENTS <= measured_now.vents;
        fewer || frees && measured.vents <= measured_now.vents
    }

    /// Vents that it saves.
    pub fn fewer_vents(&self) -> usize {
        self.now.vents().saturating_sub(self.with.vents())
    }

    /// The attitude of the closed block on the wedge, as the plan holds it. `frames` are those of the plan, whose cast
    /// attitude is `cast`: the block keeps how it is turned about up.
    pub fn attitude(&self, cast: &Attitude) -> Attitude {
        let upright_from_set = cast.upright_from_set();
        let up = self.up.as_dvec3().normalize();
        // The shortest turn that brings the new up to the top, after the turn that stands.
        let tip = DQuat::from_rotation_arc((upright_from_set * up).normalize(), DVec3::Z);
        Attitude::of_rotation(tip * upright_from_set)
    }
}

fn standing(
    body: &Body,
    surface: &Arc<ClosedSurface>,
    up: Vec3,
    mouths: &[Mouth],
    limits: &Limits,
    run: &Run,
) -> Result<Option<Standing>, Cancelled> {
    run.check()?;
    let Ok(tree) = SurfaceTree::new(surface, up.as_dvec3(), run) else {
        run.check()?;
        return Ok(None);
    };
    let tree = AirTree::Exact(tree);
    let points = high_points(&tree, limits.air_pocket_mm3);
    let trapped_mm3 = walk::trapped_mm3(&tree, mouths);
    let leaning = match &tree {
        AirTree::Exact(tree) => leaning_mm3(tree, &points, limits.lean_deg),
        AirTree::Cells(_) => 0.0,
    };
    Ok(Some(Standing {
        high_points: points.len(),
        ceiling_mm2: crate::study::air::ceilings::area_mm2(&body.mesh, up, limits.near_level_deg),
        leaning_mm3: leaning,
        trapped_mm3,
        measured: None,
    }))
}

/// What is measured in one attitude; none where it cannot be.
fn measure(
    body: &Body,
    surface: &Arc<ClosedSurface>,
    up: Vec3,
    asked: &Asked,
    limits: &Limits,
    proposed: &(dyn Fn(&Air) -> Result<usize, Cancelled> + Sync),
    run: &Run,
) -> Result<Option<Measured>, Cancelled> {
    let Ok(air) = Air::of_surface(surface, up, limits.lean_deg, run) else {
        run.check()?;
        return Ok(None);
    };
    let basins = match asked.gates.is_empty() {
        true => 0.0,
        false => {
            let least_mm3 = closed_off::least_basin_mm3(body, limits);
            closed_off::second_basins(body, &air.level, &asked.gates, least_mm3, run)?
                .pockets
                .iter()
                .map(|b| b.volume_mm3)
                .sum()
        }
    };
    Ok(Some(Measured {
        vents: if asked.cut { 0 } else { proposed(&air)? },
        worst_mm3: air.worst_mm3(&asked.mouths),
        basins_mm3: basins,
    }))
}
