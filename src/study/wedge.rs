//! A wedge under one edge of the closed block: small tilts of the cast attitude that need fewer vents, free level ceilings
//! or leave less air. The silicone is what it is; once the tool is cut this is the only lever left.

use super::air::high_points::high_points;
use super::air::{AirTree, Mouth, walk};
use super::body::Body;
use super::frames::Frames;
use super::hang_search::measure::leaning_mm3;
use crate::plan::Attitude;
use crate::shop::Limits;
use crate::solve::closed_surface::ClosedSurface;
use crate::solve::run::{Cancelled, Run};
use crate::solve::surface_tree::SurfaceTree;
use glam::{DQuat, DVec3, Vec3};
use rayon::prelude::*;
use std::sync::Arc;

/// Steps of the tilt, degrees: set here.
const STEP_DEG: f64 = 2.5;
/// A wedge is worth setting from these on: whole high points; share of the level ceiling and of the air that goes (set
/// here).
const FEWER_POINTS: usize = 1;
const SHARE: f64 = 0.5;
/// High points that a wedge steeper by a degree is put up with for: cup and vents lean with it (set here).
const PER_DEGREE: f64 = 0.03;

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
    pub fn of(frames: &Frames, size_mm: DVec3, mouths: Vec<Mouth>, cut: bool) -> Asked {
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
        Asked { base: [up, axes[right], back], lengths_mm: [size_mm[right], size_mm[deep]], now, mouths, cut }
    }
}

/// The smallest wedge that helps most, if one does; none also where the body is not closed.
///
/// # Errors
/// [`Cancelled`].
pub fn wedge(
    body: &Body,
    level: &AirTree,
    asked: &Asked,
    limits: &Limits,
    run: &Run,
) -> Result<Option<Wedge>, Cancelled> {
    let AirTree::Exact(tree) = level else { return Ok(None) };
    let surface = tree.surface.clone();
    let stands = |up: Vec3| standing(body, &surface, up, &asked.mouths, limits, run);
    let Some(now) = stands(asked.now)? else { return Ok(None) };
    let worth =
        now.high_points > 1 || now.ceiling_mm2 >= limits.ceiling_mm2 || now.trapped_mm3 >= limits.air_pocket_mm3;
    if !worth || limits.prop_deg < STEP_DEG {
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
    let helps = found.into_iter().flatten().filter(|w| w.helps(asked.cut, limits));
    // Smaller wedges come first, so among equals they stay.
    let better = |a: Wedge, b: Wedge| if b.gain(asked.cut) > a.gain(asked.cut) + 1e-6 { b } else { a };
    Ok(helps.reduce(better))
}

impl Wedge {
    /// High points, ceiling and air that go, each as a count or share, less what its steepness costs; once the block is cut
    /// only the ceiling and what its vents leave count.
    fn gain(&self, cut: bool) -> f64 {
        let gone = |now: f64, with: f64| if now > 0.0 { (now - with) / now } else { 0.0 };
        let ceiling = gone(self.now.ceiling_mm2, self.with.ceiling_mm2);
        let gained = if cut {
            2.0 * gone(self.now.trapped_mm3, self.with.trapped_mm3) + 0.5 * ceiling
        } else {
            let points = self.now.high_points as f64 - self.with.high_points as f64;
            points + ceiling + gone(self.now.leaning_mm3, self.with.leaning_mm3).max(-1.0)
        };
        gained - PER_DEGREE * self.tilt_deg
    }

    /// True where it pays for itself and makes nothing worse that matters.
    fn helps(&self, cut: bool, limits: &Limits) -> bool {
        let (now, with) = (&self.now, &self.with);
        let frees = now.ceiling_mm2 >= limits.ceiling_mm2 && with.ceiling_mm2 <= (1.0 - SHARE) * now.ceiling_mm2;
        if cut {
            let air_goes =
                now.trapped_mm3 >= limits.air_pocket_mm3 && with.trapped_mm3 <= (1.0 - SHARE) * now.trapped_mm3;
            return air_goes || (frees && with.trapped_mm3 < now.trapped_mm3.max(limits.air_pocket_mm3));
        }
        let fewer = with.high_points + FEWER_POINTS <= now.high_points;
        fewer && with.ceiling_mm2 <= now.ceiling_mm2.max(limits.ceiling_mm2)
            || frees && with.high_points <= now.high_points
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
        ceiling_mm2: super::ceilings::area_mm2(&body.mesh, up, limits.near_level_deg),
        leaning_mm3: leaning,
        trapped_mm3,
    }))
}
