//! What drives the master up or down in liquid rubber, and what its rods hold.

use super::figures::{GivesWayReport, HangDirection, HangingReport, HangingRodReport, HoldCause};
use super::quantities::{uplift_n, weight_on_n};
use super::rods_share::{self, Bears, GivesWay, Held};
use crate::mesh::check::BodyKind;
use crate::plan::{Made, MasterCore, Plan};
use crate::shop::Shop;
use crate::study::job::body_shape::skin_mm3;
use crate::study::job::gravity::STANDARD_GRAVITY;
use crate::study::numbers::facts::NumberFacts;
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

/// What each of `rods` bears, and its stiffness along itself, E·A/L, N/mm.
fn bears(rods: &[HangingRod], modulus_mpa: f64, glue_mpa: f64) -> (Vec<Bears>, Vec<f64>) {
    let of = |rod: &HangingRod| Bears {
        at: rod.at,
        pushed_n: buckling_n(rod.diameter_mm, rod.length_mm, modulus_mpa),
        pulled_n: glue_n(rod.diameter_mm, glue_mpa),
        // Glue of one strength breaks at one strain.
        stretch: rod.length_mm,
    };
    let stiffness = |rod: &HangingRod| modulus_mpa * PI / 4.0 * rod.diameter_mm.powi(2) / rod.length_mm;
    (rods.iter().map(of).collect(), rods.iter().map(stiffness).collect())
}

/// What the rods hold of `force_n` at `through`, by all that each bears until it gives way; none without rods or without a
/// force.
pub fn holding(rods: &[HangingRod], through: DVec2, force_n: f64, modulus_mpa: f64, glue_mpa: f64) -> Option<Held> {
    if force_n.abs() < STILL_N {
        return None;
    }
    rods_share::held(&bears(rods, modulus_mpa, glue_mpa).0, through, force_n)
}

/// The rods of a plan that reach from the master to the beam: vents and feeds made by a rod, and those that are plugged
/// afterwards, which stand over the master's middle, or where the others' is while that is not known. A feed rod with corners counts as one of its thin end's
/// diameter and of its whole length.
pub fn rods(plan: &Plan, facts: &NumberFacts) -> Vec<HangingRod> {
    let setting = facts.setting;
    let (frames, master) = (&setting.frames, setting.master_size(plan));
    let mut rods = Vec::new();
    let rod = |what: String, diameter_mm: f64, channel: &crate::study::job::channels::Channel| HangingRod {
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
    let middle = middle_of_master(facts).unwrap_or_else(|| {
        let count = rods.len().max(1) as f64;
        rods.iter().map(|r| r.at).sum::<DVec2>() / count
    });
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

/// Where the middle of the master stands in the box, seen from above: its weight and the rubber's lift pass through it.
fn middle_of_master(facts: &NumberFacts) -> Option<DVec2> {
    // A hard part of a two-shot job hangs with it.
    let whole = facts.master.or(facts.body)?;
    Some(facts.setting.frames.box_from_work.transform_point3(whole.measures.centroid_mm).truncate())
}

/// Whether the master keeps air in a hollow of its own.
pub fn is_sealed_hollow(plan: &Plan, facts: &NumberFacts) -> bool {
    matches!(plan.master.core, MasterCore::Hollow { open: false, .. }) || voids_mm3(facts) > 0.0
}

/// Volume of closed voids in the parts' meshes, mm³.
fn voids_mm3(facts: &NumberFacts) -> f64 {
    let bodies = facts.setting.placed.loaded.iter().flat_map(|l| &l.check.bodies);
    bodies.filter(|b| matches!(b.kind, BodyKind::Void { .. })).map(|b| b.measures.volume_mm3.abs()).sum()
}

/// How the master of `plan` hangs. `master_mm3` is the volume of its material where it is solid, dummies with it.
pub fn hanging(plan: &Plan, shop: &Shop, facts: &NumberFacts, master_mm3: f64) -> HangingReport {
    let setting = facts.setting;
    let (master, rod, panel) = (&plan.master, plan.rod(shop), plan.panel(shop));
    let rubber = plan.silicone(shop).density_g_cm3;
    let factor = plan.master_factor();
    let density = master.density_g_cm3.unwrap_or(shop.habits.master_density_g_cm3);
    let shape = facts.shape.copied().unwrap_or_default();
    // A hard part of a two-shot job hangs with it.
    let whole = facts.master.or(facts.body);
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
    let through = middle_of_master(facts).unwrap_or(DVec2::ZERO);
    let at: Vec<DVec2> = rods.iter().map(|r| r.at).collect();
    let (borne, stiffness) = bears(&rods, rod.modulus_mpa, rod.glue_mpa);
    let loads = rods_share::loads(&borne, &stiffness, through, net_force_n);
    let dry_loads = rods_share::loads(&borne, &stiffness, through, -mass_g / 1000.0 * STANDARD_GRAVITY);
    let middle = at.iter().copied().sum::<DVec2>() / at.len().max(1) as f64;
    let weight_n = mass_g / 1000.0 * STANDARD_GRAVITY;
    let held = |force_n: f64| holding(&rods, through, force_n, rod.modulus_mpa, rod.glue_mpa);
    let up = if net_force_n > STILL_N { held(net_force_n) } else { None };
    let down = if master.stuck_to_floor { None } else { held(-weight_n.max(-net_force_n)) };
    let gives = |held: &Held| GivesWayReport {
        cause: match held.gives {
            GivesWay::Buckles => HoldCause::Buckling,
            GivesWay::PullsOut => HoldCause::Glue,
        },
        lever: held.lever,
        rod: rods[held.most].what.clone(),
        diameter_mm: rods[held.most].diameter_mm,
        length_mm: rods[held.most].length_mm,
    };
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
        safety_up: up.map(|h| h.times),
        safety_down: down.map(|h| h.times),
        gives_up: up.as_ref().map(gives),
        gives_down: down.as_ref().map(gives),
        rod_name: rod.name.clone(),
        beam_mm: [span_mm, BEAM_WIDE_MM, panel.thickness_mm],
        beam_sag_mm: beam_sag_mm(carried_n, span_mm, BEAM_WIDE_MM, panel.thickness_mm, panel.modulus_mpa),
        sealed_hollow: is_sealed_hollow(plan, facts),
        rods: rods
            .iter()
            .zip(loads.iter().zip(dry_loads))
            .map(|(r, (&load_n, dry_load_n))| HangingRodReport {
                what: r.what.clone(),
                diameter_mm: r.diameter_mm,
                length_mm: r.length_mm,
                load_n,
                dry_load_n,
            })
            .collect(),
    }
}
