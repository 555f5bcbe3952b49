//! Channels: a gate's narrow end, and what becomes of it.

use glam::{DAffine3, DVec3, Vec3};
use mouldbench::mesh::measure::Measures;
use mouldbench::mesh::{Mesh, boolean, solids};
use mouldbench::plan::{Feed, Gate, Plan, Spot};
use mouldbench::study::job::channels::{Channel, Channels};
use mouldbench::study::job::frames::Frames;
use std::f64::consts::PI;

fn channel(runner: Vec<DVec3>, land_mm: f64, top_mm: f64) -> Channel {
    let at = Spot { part: 0, position: DVec3::ZERO, normal: DVec3::Z };
    let gate = Gate { number: 1, at, diameter_mm: 3.0, land_mm, runner, runner_diameter_mm: 8.0, ..Gate::default() };
    let plan = Plan { feed: Feed { gates: vec![gate], ..Feed::default() }, ..Plan::default() };
    let frames = Frames {
        work_from_part: vec![DAffine3::IDENTITY],
        origin_in_set: DVec3::ZERO,
        box_from_work: DAffine3::IDENTITY,
        cast_from_box: DAffine3::IDENTITY,
    };
    Channels::of(&plan, &frames, top_mm).gates.remove(0)
}

fn radii(channel: &Channel) -> Vec<(f32, f64)> {
    channel.rods.iter().map(|r| (r.radius_mm, (r.length_mm() * 1e3).round() / 1e3)).collect()
}

#[test]
fn a_gate_is_narrow_over_its_land_alone_and_one_straight_stretch_up() {
    let up = channel(Vec::new(), 3.0, 60.0);
    let long = up.length_mm();
    assert_eq!(radii(&up), [(1.5, 3.0), (4.0, ((long - 3.0) * 1e3).round() / 1e3)]);
    assert_eq!(up.last_stretch().len(), 2, "it is pulled as one rod");
    let mm3 = PI * (1.5f64.powi(2) * 3.0 + 16.0 * (long - 3.0));
    assert!((up.volume_mm3() - mm3).abs() < 1e-2, "{} for {mm3}", up.volume_mm3());

    let bent = channel(vec![DVec3::new(20.0, 0.0, 0.0)], 3.0, 60.0);
    assert_eq!(radii(&bent)[..2], [(1.5, 3.0), (4.0, 17.0)]);
    assert_eq!(bent.last_stretch().len(), 1, "the level run is no part of the rod that stands");
    // Where the first stretch is no longer than the land, all of it is narrow.
    let short = channel(vec![DVec3::new(2.5, 0.0, 0.0)], 3.0, 60.0);
    assert_eq!(radii(&short)[0], (1.5, 2.5));
    assert_eq!(short.rods.len(), 2);
}

/// A part whose top is 1 mm under the step: the wide rod must not reach back into it.
#[test]
fn the_wide_rod_keeps_off_the_part() {
    let part = solids::cuboid(Vec3::new(-30.0, -30.0, -5.0), Vec3::new(30.0, 30.0, 0.0));
    let up = channel(Vec::new(), 1.0, 60.0);
    let rods = up.meshes();
    let all: Vec<&Mesh> = std::iter::once(&part).chain(&rods).collect();
    let cavity = Measures::of(&boolean::unite(&all).expect("united")).volume_mm3;
    let wanted = 60.0 * 60.0 * 5.0 + up.volume_mm3();
    // The wide rod goes 0.2 mm back into the land, outside of its narrow circle.
    let back = PI * (16.0 - 1.5f64.powi(2)) * 0.2;
    assert!((cavity - wanted - back).abs() < 0.01 * back, "{cavity} for {wanted} and {back}");
}
