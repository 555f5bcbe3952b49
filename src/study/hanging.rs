//! What drives the master up or down in liquid rubber, and what its rods hold.

use super::bench::Facts;
use super::body_shape::skin_mm3;
use super::quantities::{STANDARD_GRAVITY, uplift_n, weight_on_n};
use super::report::{HangDirection, HangingReport, HangingRodReport};
use crate::mesh::check::BodyKind;
use crate::plan::{Made, MasterCore, Plan};
use crate::shop::Shop;
use glam::DVec2;
use std::f64::consts::PI;

/// Width of the strip of board that is laid over the box as a beam, millimetres: set here.
const BEAM_WIDE_MM: f64 = 40.0;
/// Forces smaller than this have no direction that matters, newtons: set here.
const STILL_N: f64 = 1e-3;

/// A rod from the master to the beam.
#[derive(Clone, Debug, PartialEq)]
pub struct HangingRod {
    /// What it leaves: a vent, a feed, or nothing.
    pub what: String,
    /// Where it stands in the box, seen from above.
    pub at: DVec2,
    /// Diameter, millimetres.
    pub diameter_mm: f64,
    /// Free length, millimetres.
    pub length_mm: f64,
}

/// Load under which a round rod buckles that is fixed at its top and free to sway with the master at its foot, N:
/// π²·E·I/(2·L)² (Euler; Timoshenko & Gere, *Theory of Elastic Stability*, chapter 2), `modulus_mpa` in N/mm².
pub fn buckling_n(diameter_mm: f64, length_mm: f64, modulus_mpa: f64) -> f64 {
    let second_moment = PI * diameter_mm.powi(4) / 64.0;
    PI * PI * modulus_mpa * second_moment / (2.0 * length_mm).powi(2)
}

/// What the glued end of a round rod holds in a straight pull, N.
pub fn glue_n(diameter_mm: f64, glue_mpa: f64) -> f64 {
    PI / 4.0 * diameter_mm * diameter_mm * glue_mpa
}

/// Sag of a beam of this section in the middle of its span under `force_n` there, simply supported, mm: F·L³/(48·E·I)
/// (Roark, *Formulas for Stress and Strain*, table of straight beams).
pub fn beam_sag_mm(force_n: f64, span_mm: f64, wide_mm: f64, thick_mm: f64, modulus_mpa: f64) -> f64 {
    let second_moment = wide_mm * thick_mm.powi(3) / 12.0;
    force_n.abs() * span_mm.powi(3) / (48.0 * modulus_mpa * second_moment)
}

/// Loads of rods at `at` under a force of `force_n` at `through`, N, of the same sign as the force where they push back
/// on it: equal rods under a stiff body share the force, and its moment by their distances from their middle (as
/// fasteners in a group; Shigley, *Mechanical Engineering Design*). None in line or alone resist no moment: they share
/// the force alone.
pub fn rod_loads(at: &[DVec2], through: DVec2, force_n: f64) -> Vec<f64> {
    let count = at.len() as f64;
    let middle = at.iter().copied().sum::<DVec2>() / count;
    let off = (through - middle) * force_n;
    let (mut xx, mut xy, mut yy) = (0.0, 0.0, 0.0);
    for p in at {
        let d = *p - middle;
        (xx, xy, yy) = (xx + d.x * d.x, xy + d.x * d.y, yy + d.y * d.y);
    }
    let determinant = xx * yy - xy * xy;
    let slope = if determinant > 1e-6 * (xx + yy).powi(2) {
        DVec2::new(off.x * yy - off.y * xy, off.y * xx - off.x * xy) / determinant
    } else {
        DVec2::ZERO
    };
    at.iter().map(|p| force_n / count + slope.dot(*p - middle)).collect()
}

/// How many times over the rods hold `force_n` at `through`: pushed rods by buckling, pulled ones by their glue; none
/// without rods or without a force.
pub fn safety(rods: &[HangingRod], through: DVec2, force_n: f64, modulus_mpa: f64, glue_mpa: f64) -> Option<f64> {
    if rods.is_empty() || force_n.abs() < STILL_N {
        return None;
    }
    let at: Vec<DVec2> = rods.iter().map(|r| r.at).collect();
    let holds = rods.iter().zip(rod_loads(&at, through, force_n)).map(|(rod, load)| {
        let most = if load > 0.0 {
            buckling_n(rod.diameter_mm, rod.length_mm, modulus_mpa)
        } else {
            glue_n(rod.diameter_mm, glue_mpa)
        };
        most / load.abs().max(1e-12)
    });
    Some(holds.fold(f64::INFINITY, f64::min))
}

/// The rods of a plan that reach from the master to the beam: vents and feeds made by a rod, and those that are plugged
/// afterwards, which stand where the others' middle is. A feed rod with corners counts as one of its thin end's
/// diameter and of its whole length.
pub fn rods(plan: &Plan, facts: &Facts) -> Vec<HangingRod> {
    let setting = &facts.setting;
    let (frames, master) = (&setting.frames, setting.master_size(plan));
    let mut rods = Vec::new();
    let rod = |what: String, diameter_mm: f64, channel: &super::channels::Channel| HangingRod {
        what,
        at: frames.point_in_box(channel.mouth()).truncate(),
        diameter_mm,
        length_mm: master.channel_mm(frames, channel),
    };
    for (vent, channel) in plan.vents.iter().zip(&setting.channels.vents) {
        if vent.made == Made::RodPulled {
            rods.push(rod(format!("vent {}", vent.number), vent.diameter_mm, channel));
        }
    }
    for (gate, channel) in plan.feed.gates.iter().zip(&setting.channels.gates) {
        // A runner that ends in another's does not reach the beam.
        if gate.made == Made::RodPulled && channel.joins.is_none() {
            rods.push(rod(format!("gate {}", gate.number), gate.diameter_mm, channel));
        }
    }
    let count = rods.len().max(1) as f64;
    let middle = rods.iter().map(|r| r.at).sum::<DVec2>() / count;
    for n in 1..=plan.master.plugged_rods.min(100) {
        rods.push(HangingRod {
            what: format!("plugged rod {n}"),
            at: middle,
            diameter_mm: plan.master.plugged_rod_mm,
            length_mm: setting.block.above_mm,
        });
    }
    // A rod that starts at the top of the block hangs nothing.
    rods.retain(|r| r.length_mm > 1.0);
    rods
}

/// Whether the master keeps air in a hollow of its own.
pub fn is_sealed_hollow(plan: &Plan, facts: &Facts) -> bool {
    matches!(plan.master.core, MasterCore::Hollow { open: false, .. }) || voids_mm3(facts) > 0.0
}

/// Volume of closed voids in the parts' meshes, mm³.
fn voids_mm3(facts: &Facts) -> f64 {
    let bodies = facts.setting.placed.loaded.iter().flat_map(|l| &l.check.bodies);
    bodies.filter(|b| matches!(b.kind, BodyKind::Void { .. })).map(|b| b.measures.volume_mm3.abs()).sum()
}

/// How the master of `plan` hangs. `master_mm3` is the volume of its material where it is solid, dummies with it.
pub fn hanging(plan: &Plan, shop: &Shop, facts: &Facts, master_mm3: f64) -> HangingReport {
    let setting = &facts.setting;
    let (master, rod, panel) = (&plan.master, plan.rod(shop), plan.panel(shop));
    let rubber = plan.silicone(shop).density_g_cm3;
    let factor = plan.master_factor();
    let density = master.density_g_cm3.unwrap_or(shop.habits.master_density_g_cm3);
    let shape = facts.shape.as_deref().copied().unwrap_or_default();
    // A hard part of a two-shot job hangs with it.
    let whole = facts.master.as_ref().or(facts.body.as_ref());
    let area_mm2 = whole.map_or(0.0, |b| b.measures.area_mm2) * factor.powi(2);
    let displaced_mm3 = master_mm3 + voids_mm3(facts) * factor.powi(3);
    let material_mm3 = match master.core {
        MasterCore::Solid => master_mm3,
        MasterCore::Hollow { skin_mm, .. } => skin_mm3(area_mm2, shape.edges_mm * factor, displaced_mm3, skin_mm),
    };
    let mass_g = master.weighed_g.unwrap_or(material_mm3 / 1000.0 * density);
    let wetted_n = uplift_n(displaced_mm3, rubber, mass_g);
    let depth_mm = setting.block.size_mm.z - shape.lowest_mm;
    let foot_mm2 = shape.foot_mm2 * factor.powi(2);
    let net_force_n = if master.stuck_to_floor { wetted_n - weight_on_n(foot_mm2, depth_mm, rubber) } else { wetted_n };
    let rods = rods(plan, facts);
    let through =
        whole.map_or(DVec2::ZERO, |b| setting.frames.box_from_work.transform_point3(b.measures.centroid_mm).truncate());
    let at: Vec<DVec2> = rods.iter().map(|r| r.at).collect();
    let loads = if rods.is_empty() { Vec::new() } else { rod_loads(&at, through, net_force_n) };
    let middle = at.iter().copied().sum::<DVec2>() / at.len().max(1) as f64;
    let weight_n = mass_g / 1000.0 * STANDARD_GRAVITY;
    let safe = |force_n: f64| safety(&rods, through, force_n, rod.modulus_mpa, rod.glue_mpa);
    let span_mm = setting.block.size_mm.x.min(setting.block.size_mm.y) + 2.0 * panel.thickness_mm;
    let carried_n = net_force_n.max(weight_n);
    HangingReport {
        mass_g,
        weighed: master.weighed_g.is_some(),
        displaced_mm3,
        net_force_n,
        direction: match net_force_n {
            f if f > STILL_N => HangDirection::Up,
            f if f < -STILL_N => HangDirection::Down,
            _ => HangDirection::Still,
        },
        weight_n,
        wetted_force_n: wetted_n,
        stuck_to_floor: master.stuck_to_floor,
        foot_mm2,
        depth_mm,
        lift_moment_n_mm: if rods.is_empty() { 0.0 } else { net_force_n.abs() * through.distance(middle) },
        safety_up: if net_force_n > STILL_N { safe(net_force_n) } else { None },
        safety_down: if master.stuck_to_floor { None } else { safe(-weight_n.max(-net_force_n)) },
        rod_name: rod.name.clone(),
        beam_mm: [span_mm, BEAM_WIDE_MM, panel.thickness_mm],
        beam_sag_mm: beam_sag_mm(carried_n, span_mm, BEAM_WIDE_MM, panel.thickness_mm, panel.modulus_mpa),
        sealed_hollow: is_sealed_hollow(plan, facts),
        rods: rods
            .iter()
            .zip(loads)
            .map(|(r, load_n)| HangingRodReport {
                what: r.what.clone(),
                diameter_mm: r.diameter_mm,
                length_mm: r.length_mm,
                load_n,
            })
            .collect(),
    }
}
