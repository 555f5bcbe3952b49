//! What to weigh, how many pots it takes, how long it works and cures, and what drives a master up.

use crate::shop::{COLD_CURE_C, Habits, Resin, Silicone};
use crate::study::job::gravity::STANDARD_GRAVITY;

/// Cubic millimetres in a cubic centimetre.
const MM3_PER_CM3: f64 = 1000.0;

/// Two components that are weighed into one pot.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Mix {
    /// Both together, g.
    pub mass_g: f64,
    /// Component A, g.
    pub a_g: f64,
    /// Component B, g.
    pub b_g: f64,
}

impl Mix {
    /// `mass_g` split by parts by mass. A ratio by volume is another one: convert it with the densities first.
    pub fn by_mass(mass_g: f64, a_parts: f64, b_parts: f64) -> Mix {
        let a_g = mass_g * a_parts / (a_parts + b_parts);
        Mix { mass_g, a_g, b_g: mass_g - a_g }
    }
}

/// Density of a mix of two liquids without change of volume, g/cm³: (a + b) / (a/ρ_a + b/ρ_b), parts by mass.
pub fn mixed_density_g_cm3(a_parts: f64, a_g_cm3: f64, b_parts: f64, b_g_cm3: f64) -> f64 {
    (a_parts + b_parts) / (a_parts / a_g_cm3 + b_parts / b_g_cm3)
}

/// Rubber for one block.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Rubber {
    /// Rubber in the block, mm³.
    pub volume_mm3: f64,
    /// Rubber in the block, g.
    pub in_block_g: f64,
    /// To weigh, with what stays in the pots.
    pub mix: Mix,
    /// Pot that the mix may rise in while it is degassed, litres.
    pub pot_litres: f64,
}

/// Rubber for a block of `block_mm3` with `cavity_mm3` left out of it: parts, channels and the inserts' pockets, mm³.
///
/// [`Silicone::loss_share`] is a share of the mix, so the mix is what the block holds over (1 − share).
pub fn rubber(block_mm3: f64, cavity_mm3: f64, silicone: &Silicone) -> Rubber {
    let volume_mm3 = (block_mm3 - cavity_mm3).max(0.0);
    let in_block_g = volume_mm3 / MM3_PER_CM3 * silicone.density_g_cm3;
    let mass_g = in_block_g / (1.0 - silicone.loss_share);
    let pot_litres = mass_g / silicone.density_g_cm3 / 1000.0 * silicone.foam_factor;
    let mix = Mix::by_mass(mass_g, silicone.a_parts, silicone.b_parts);
    Rubber { volume_mm3, in_block_g, mix, pot_litres }
}

/// Pots of at most `pot_litres` in which `litres` fit, all filled alike.
pub fn pots(litres: f64, pot_litres: f64) -> u32 {
    // A pot that is full to rounding is no pot too small.
    (litres / pot_litres - 1e-9).ceil().clamp(1.0, 1e6) as u32
}

/// Time from mixing one pot of rubber until it is poured, s.
pub fn pot_work_s(pot_g: f64, habits: &Habits) -> f64 {
    habits.rubber_mix_s + habits.rubber_degas_s + pot_g / habits.rubber_pour_g_s
}

/// Cure of a rubber at `at_c`, s: the logarithm of the time runs straight between the temperatures that are known (as
/// the rate of a reaction does over a short range; Arrhenius 1889), and nothing is reckoned beyond them.
pub fn cure_s(silicone: &Silicone, at_c: f64) -> f64 {
    let mut before = (COLD_CURE_C, silicone.cure_s);
    for &(c, s) in &silicone.warm_cures {
        if at_c < c {
            let share = ((at_c - before.0) / (c - before.0)).clamp(0.0, 1.0);
            return before.1 * (s / before.1).powf(share);
        }
        before = (c, s);
    }
    before.1
}

/// What one shot of resin has to fill, mm³.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct ShotVolumes {
    /// The parts, inserts taken out.
    pub part_mm3: f64,
    /// Cup foot, runners and gates.
    pub feed_mm3: f64,
    /// Vents.
    pub vents_mm3: f64,
    /// Pools left over the mouths.
    pub pool_mm3: f64,
}

impl ShotVolumes {
    /// All together, mm³.
    pub fn sum_mm3(&self) -> f64 {
        self.part_mm3 + self.feed_mm3 + self.vents_mm3 + self.pool_mm3
    }
}

/// Volume of a pool of `depth_mm` over each mouth of these diameters, mm³.
pub fn pool_mm3(depth_mm: f64, mouths_mm: impl IntoIterator<Item = f64>) -> f64 {
    mouths_mm.into_iter().map(|d| std::f64::consts::FRAC_PI_4 * d * d * depth_mm).sum()
}

/// Resin for one shot.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Shot {
    /// One trimmed set of parts, g.
    pub part_g: f64,
    /// What the cavity, its channels and pools hold, g.
    pub filled_g: f64,
    /// To weigh, with what stays in pots and cup.
    pub mix: Mix,
}

/// Resin for one shot. `loss_share` is added to what is filled (the shop's `cup_loss_share`).
pub fn shot(volumes: &ShotVolumes, resin: &Resin, loss_share: f64) -> Shot {
    let grams = |mm3: f64| mm3 / MM3_PER_CM3 * resin.density_g_cm3;
    let filled_g = grams(volumes.sum_mm3());
    let mix = Mix::by_mass(filled_g * (1.0 + loss_share), resin.a_parts, resin.b_parts);
    Shot { part_g: grams(volumes.part_mm3), filled_g, mix }
}

/// A tool life, lowest and highest usual, of which undercuts leave only a share; one cast at least.
pub fn shortened(tool_life: (u32, u32), share: f64) -> (u32, u32) {
    let part = |casts: u32| ((casts as f64 * share).round() as u32).max(1);
    (part(tool_life.0), part(tool_life.1))
}

/// Force with which a master of `mass_g` is driven up in liquid rubber when all of it is wetted, N; negative where it
/// sinks: (ρ·V − m)·g (Archimedes). `displaced_mm3` is the volume inside its outer skin: rubber does not enter it.
pub fn uplift_n(displaced_mm3: f64, rubber_g_cm3: f64, mass_g: f64) -> f64 {
    (displaced_mm3 / MM3_PER_CM3 * rubber_g_cm3 - mass_g) / 1000.0 * STANDARD_GRAVITY
}

/// Force with which rubber presses down on a face of `area_mm2` at `depth_mm` below its top, N: ρ·g·d·A.
///
/// This, and not the uplift, acts on a master that is stuck flat to the floor, where no rubber gets under it.
pub fn weight_on_n(area_mm2: f64, depth_mm: f64, rubber_g_cm3: f64) -> f64 {
    area_mm2 * depth_mm / MM3_PER_CM3 * rubber_g_cm3 / 1000.0 * STANDARD_GRAVITY
}

/// Diameter that `rods` round rods must have so that they do not buckle under `force_n` together, mm: each fixed at the
/// top and free to sway with the master at its foot, Euler's load π²·E·I/(2·L)² over `safety` (Timoshenko & Gere,
/// *Theory of Elastic Stability*, chapter 2). `modulus_mpa` is Young's modulus of the rods.
pub fn rod_diameter_mm(force_n: f64, rods: u32, length_mm: f64, modulus_mpa: f64, safety: f64) -> f64 {
    let each = force_n.max(0.0) * safety / f64::from(rods.max(1));
    let second_moment = each * (2.0 * length_mm).powi(2) / (std::f64::consts::PI.powi(2) * modulus_mpa);
    (64.0 * second_moment / std::f64::consts::PI).powf(0.25)
}
