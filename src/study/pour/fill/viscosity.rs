//! From ∫dt/μ to seconds, for a mix that gets thicker all the while.

use crate::shop::{Habits, Resin};

/// Temperature at which a resin's viscosity and pot life are stated, °C.
pub const STATED_C: f64 = 25.0;

/// A viscosity that grows as μ₀·exp(t/τ).
///
/// ∫dt/μ from 0 to t is then (τ/μ₀)·(1 − e^(−t/τ)), which never passes τ/μ₀. Real mixes thicken faster near gel, so late in
/// the pot life this is the most that can be hoped for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pace {
    /// Viscosity when the mix is poured, Pa·s.
    pub viscosity_pa_s: f64,
    /// Time in which it grows e-fold, s.
    pub tau_s: f64,
    /// Time after which the mix is not to be moved any more, s.
    pub pot_life_s: f64,
}

impl Pace {
    /// The pace of `resin` at `temperature_c`, by the shop's habits: viscosity and pot life halve every so many kelvin.
    pub fn of(resin: &Resin, habits: &Habits, temperature_c: f64) -> Pace {
        let halves = |every_k: f64| 2f64.powf(-(temperature_c - STATED_C) / every_k);
        let pot_life_s = resin.pot_life_s * halves(habits.pot_life_halves_k);
        Pace {
            viscosity_pa_s: resin.viscosity_pa_s * halves(habits.viscosity_halves_k),
            tau_s: crate::study::pour::flow::tau_s(pot_life_s, habits.pot_life_times),
            pot_life_s,
        }
    }

    /// Seconds at which ∫dt/μ is `at`, 1/Pa; infinite where it never gets there.
    pub fn seconds(&self, at: f64) -> f64 {
        let share = at * self.viscosity_pa_s / self.tau_s;
        if share < 1.0 { -self.tau_s * (-share).ln_1p() } else { f64::INFINITY }
    }

    /// ∫dt/μ after so many seconds, 1/Pa.
    pub fn after(&self, seconds: f64) -> f64 {
        -self.tau_s / self.viscosity_pa_s * (-seconds / self.tau_s).exp_m1()
    }

    /// ∫dt/μ at the end of the pot life, 1/Pa.
    pub fn until(&self) -> f64 {
        self.after(self.pot_life_s)
    }
}
