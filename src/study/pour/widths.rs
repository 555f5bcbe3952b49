//! How wide gate and runner should be: as is usual for the part, and wider until they alone let the resin through in time.

use crate::plan::{Plan, usual_land_mm};
use crate::shop::Shop;
use crate::study::job::body::Body;
use crate::study::job::gravity::STANDARD_GRAVITY;
use crate::study::job::setting::Setting;
use crate::study::pour::fill::drive::channel_resistance;
use crate::study::pour::fill::viscosity::{Pace, STATED_C};
use crate::study::pour::vent_fit::{self, THINNEST_VENT_MM};

/// Gate diameter, millimetres: common practice, no source (2 to 6, usually 3 to 4).
pub const GATE_MM: std::ops::RangeInclusive<f64> = 2.0..=4.0;
/// On a wall that takes no such gate it is narrower, and no narrower than a rod is drawn, millimetres: common practice, no
/// source.
pub const LEAST_GATE_MM: f64 = THINNEST_VENT_MM;
/// Runner diameters that rods come in, millimetres: common practice, no source.
const RUNNERS_MM: [f64; 8] = [6.0, 8.0, 10.0, 12.0, 14.0, 16.0, 18.0, 20.0];
/// Share of the pot life that gate and runner alone may take: set here, half of what a whole pour may.
const TIME_SHARE: f64 = 0.25;
/// A runner that holds the resin up by less than this share of what the gate does is wide enough: set here.
const WORTH: f64 = 0.2;
/// The runner goes this much further than straight up, millimetres: set here.
const ROUND_MM: f64 = 30.0;

/// What the widths follow from.
#[derive(Clone, Copy, Debug)]
pub struct Widths {
    /// Resin to let through, mm³.
    volume_mm3: f64,
    /// Pressure that drives it on the mean, Pa.
    drive_pa: f64,
    /// Length of the runner, millimetres.
    length_mm: f64,
    /// Diameter that is usual for the mass of the part, millimetres.
    usual_mm: f64,
    pace: Pace,
}

impl Widths {
    /// For the parts of `plan` as they hang.
    pub fn of(plan: &Plan, shop: &Shop, setting: &Setting, body: &Body) -> Widths {
        let resin = plan.resin(shop);
        let up = setting.frames.cast_up();
        let heights = body.mesh.positions.iter().map(|p| p.dot(up) as f64);
        let (low, high) = heights.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), z| (l.min(z), h.max(z)));
        let tall = (high - low).max(0.0);
        // From the middle of the part, where the level is on the mean, up to the foot of the cup.
        let over = (setting.block.size_mm.z - tall).max(0.0) * 0.5 + tall * 0.5;
        let volume_mm3 = body.measures.volume_mm3.abs();
        Widths {
            volume_mm3,
            drive_pa: resin.density_g_cm3 * STANDARD_GRAVITY * over,
            length_mm: setting.block.size_mm.z + ROUND_MM,
            usual_mm: usual_runner_mm(volume_mm3 / 1000.0 * resin.density_g_cm3),
            pace: Pace::of(resin, &shop.habits, STATED_C),
        }
    }

    /// For a gate through which only this share of the resin goes.
    pub fn of_share(&self, share: f64) -> Widths {
        Widths { volume_mm3: self.volume_mm3 * share.clamp(0.0, 1.0), ..*self }
    }

    /// Diameters of gate and runner for a gate in a wall of `wall_mm` that may be `share` times as wide as that wall,
    /// millimetres.
    pub fn at(&self, wall_mm: f64, share: f64) -> (f64, f64) {
        let (usual, most) = (*GATE_MM.start(), *GATE_MM.end());
        let widest = (wall_mm * share).clamp(LEAST_GATE_MM, most);
        let mut gate = wall_mm.clamp(usual, most).min(widest);
        let mut runner = self.usual_mm;
        while !self.in_time(gate, runner) {
            // A wider gate costs a scar of some square millimetres, a wider runner resin for every cast.
            match RUNNERS_MM.into_iter().find(|mm| *mm > runner) {
                _ if gate < widest => gate = (gate + 0.5).min(widest),
                Some(mm) if self.run(runner) > WORTH * self.land(gate) => runner = mm,
                _ => break,
            }
        }
        // Last, since a tenth of gate is not worth a wider runner.
        (vent_fit::tenths(gate), runner)
    }

    /// Diameter of the widest runner that may be wanted for it, millimetres.
    pub fn widest_runner_mm(&self) -> f64 {
        self.at(*GATE_MM.start(), 1.0).1
    }

    fn land(&self, gate_mm: f64) -> f64 {
        channel_resistance(usual_land_mm(), gate_mm / 2.0)
    }

    fn run(&self, runner_mm: f64) -> f64 {
        channel_resistance(self.length_mm, runner_mm / 2.0)
    }

    /// Whether gate and runner alone let the resin through in their share of the pot life.
    fn in_time(&self, gate_mm: f64, runner_mm: f64) -> bool {
        if self.drive_pa <= 0.0 {
            return true;
        }
        let resistance = self.land(gate_mm) + self.run(runner_mm);
        let seconds = self.pace.seconds(self.volume_mm3 * resistance / self.drive_pa);
        seconds <= TIME_SHARE * self.pace.pot_life_s
    }
}

/// Usual runner for the mass of the part: common practice, no source (5–8 mm up to 50 g, 8–12 to 300 g, 12–20 above).
fn usual_runner_mm(mass_g: f64) -> f64 {
    match mass_g {
        m if m <= 50.0 => 6.0,
        m if m <= 300.0 => 10.0,
        _ => 14.0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn widths(volume_mm3: f64, usual_mm: f64) -> Widths {
        let pace = Pace { viscosity_pa_s: 0.8, tau_s: 300.0, pot_life_s: 330.0 };
        Widths { volume_mm3, drive_pa: 1300.0, length_mm: 220.0, usual_mm, pace }
    }

    /// By hand, Poiseuille: Ø2 over 3 mm is 8·3/π + 1.5 = 9.14 mm⁻³, Ø6 over 220 mm is 8·220/(81π) + 1.5/27 = 6.97 mm⁻³; 36 cm³
    /// times their sum, 16.1, times 0.8 Pa·s over 1300 Pa would be 357 s, over a quarter of 330 s. Ø3 is 1.95 and Ø10 is 0.91 mm⁻³:
    /// 63 s; Ø8 would be 2.2 mm⁻³ and 93 s.
    #[test]
    fn a_pour_that_the_usual_widths_hold_up_gets_wider_ones_and_no_wider_than_it_must() {
        let w = widths(36_000.0, 6.0);
        assert!((w.land(2.0) + w.run(6.0) - 16.1).abs() < 0.05);
        assert_eq!(w.at(2.0, 1.5), (3.0, 10.0));
        assert!(w.in_time(3.0, 10.0) && !w.in_time(3.0, 8.0));
        // A small part keeps what is usual.
        assert_eq!(widths(2_000.0, 6.0).at(2.0, 1.5), (2.0, 6.0));
        // More resin is never sent through less.
        let mut before = (0.0, 0.0);
        for cm3 in [1.0, 5.0, 10.0, 20.0, 40.0, 80.0, 160.0, 1000.0] {
            let now = widths(cm3 * 1000.0, 6.0).at(3.0, 1.5);
            assert!(now.0 >= before.0 && now.1 >= before.1, "{before:?} {now:?}");
            before = now;
        }
        assert!(before.0 == 4.0 && before.1 >= 14.0, "{before:?}");
        // On a rim it is never wider than the rim, however long it takes, and never under the thinnest rod.
        assert_eq!(widths(36_000.0, 6.0).at(2.5, 1.0).0, 2.5);
        assert_eq!(widths(36_000.0, 6.0).at(1.2, 1.0).0, 1.2);
        assert_eq!(widths(36_000.0, 6.0).at(0.5, 1.0).0, 0.8);
        assert_eq!(widths(2_000.0, 6.0).at(1.2, 1.5).0, 1.8);
    }
}
