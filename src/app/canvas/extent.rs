//! What a step shows and how much room it takes: the upright frame, what is drawn, and what the camera must hold.

use crate::app::known::Known;
use crate::mesh::Bounds;
use crate::study::findings::Step;
use crate::study::job::setting::Setting;
use crate::view::scene::moved_box;
use glam::{DAffine3, DVec3, Vec3};

/// The upright frame of a step: the block as resin is poured where it is about resin, else as rubber is poured.
pub fn upright_from_work(setting: &Setting, step: Step) -> DAffine3 {
    match step {
        Step::Feed | Step::Vents | Step::Casting => setting.frames.cast_from_box * setting.frames.box_from_work,
        _ => setting.frames.box_from_work,
    }
}

/// The box round the parts in the upright frame; empty while they are not read.
pub fn bounds_upright(known: &Known, step: Step) -> Bounds {
    let Some(setting) = known.setting() else { return Bounds::EMPTY };
    let upright = upright_from_work(setting, step);
    known.part_bounds.iter().map(|b| moved_box(b, &upright)).fold(Bounds::EMPTY, Bounds::union)
}

/// Points in the upright frame whose hull holds everything that the view draws at a step: parts, inserts, block, rods
/// and cup.
pub fn seen_upright(known: &Known, step: Step) -> Vec<DVec3> {
    let Some(setting) = known.setting() else { return Vec::new() };
    let upright = upright_from_work(setting, step);
    let mut seen: Vec<DVec3> = known.part_bounds.iter().flat_map(|b| corners(b, &upright)).collect();
    let mut ball = |centre: Vec3, radius: f64| {
        let centre = upright.transform_point3(centre.as_dvec3());
        seen.extend(DVec3::AXES.iter().flat_map(|a| [centre + *a * radius, centre - *a * radius]));
    };
    for insert in setting.inserts.iter() {
        ball(insert.foot, insert.length_mm.max(insert.radius_mm));
    }
    if draws_channels(step) {
        for rod in setting.channels.vents.iter().chain(&setting.channels.gates).flat_map(|c| &c.rods) {
            ball(rod.from, rod.radius_mm as f64);
            ball(rod.to, rod.radius_mm as f64);
        }
        if let Some((_, rim)) = cup_ends(setting, known.plan.feed.cup.height_mm) {
            let (u, v) = crate::mesh::solids::frame_square_to(setting.frames.rubber_up());
            let radius = known.plan.feed.cup.diameter_mm as f32 / 2.0;
            let around = (0..16).map(|i| {
                let (s, c) = (std::f32::consts::TAU * i as f32 / 16.0).sin_cos();
                // A polygon that holds the circle.
                rim + (u * c + v * s) * radius * 1.02
            });
            seen.extend(around.map(|p| upright.transform_point3(p.as_dvec3())));
        }
    }
    if draws_block(step) {
        seen.extend(corners(&block_in_box(setting), &(upright * setting.frames.box_from_work.inverse())));
    }
    seen
}

fn corners(bounds: &Bounds, upright: &DAffine3) -> [DVec3; 8] {
    std::array::from_fn(|i| {
        let pick = |axis: usize| if i & (1 << axis) == 0 { bounds.min[axis] } else { bounds.max[axis] };
        upright.transform_point3(DVec3::new(pick(0) as f64, pick(1) as f64, pick(2) as f64))
    })
}

/// True where feed and vents are drawn; where it is about the part or the line alone they would stand in the way.
pub fn draws_channels(step: Step) -> bool {
    !matches!(step, Step::Part | Step::Parting)
}

/// True where the block is drawn round the part.
pub fn draws_block(step: Step) -> bool {
    !matches!(step, Step::Part | Step::Parting)
}

/// The block in `box`.
pub fn block_in_box(setting: &Setting) -> Bounds {
    let size = setting.block.size_mm.as_vec3();
    Bounds { min: Vec3::new(-size.x * 0.5, -size.y * 0.5, 0.0), max: Vec3::new(size.x * 0.5, size.y * 0.5, size.z) }
}

/// Foot and rim of the cup, over the first standing runner; none without a gate.
pub fn cup_ends(setting: &Setting, height_mm: f64) -> Option<(Vec3, Vec3)> {
    let foot = setting.channels.at_cup(0)?.end();
    Some((foot, foot + setting.frames.rubber_up() * height_mm as f32))
}

/// Whether near-level ceilings are marked: where the hang or the vents are being decided.
pub fn shows_ceilings(step: Step) -> bool {
    matches!(step, Step::Hang | Step::Vents)
}
