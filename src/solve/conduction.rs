//! Heating a solid whose whole surface is brought to a new temperature at once: the series for a slab, and the product of
//! three of them for a brick (Carslaw & Jaeger, *Conduction of Heat in Solids*, §3.4 and §1.15).

use std::f64::consts::PI;

/// Terms of the series; from a Fourier number of 0.01 on the rest is below rounding.
const TERMS: u32 = 40;
/// Halvings of the time that is looked for.
const HALVINGS: u32 = 60;

/// Share of the step still missing in the middle of a slab at Fourier number a·t/L², L half its thickness.
pub fn missing_in_slab(fourier: f64) -> f64 {
    if fourier < 0.01 {
        return 1.0;
    }
    let mut sum = 0.0;
    for n in 0..TERMS {
        let k = f64::from(2 * n + 1);
        let term = (-k * k * PI * PI * fourier / 4.0).exp() / k;
        sum += if n % 2 == 0 { term } else { -term };
    }
    (4.0 / PI * sum).clamp(0.0, 1.0)
}

/// Share still missing in the middle of a brick of these sides, mm, after `time_s`, with `diffusivity` in mm²/s. An
/// endless side does not heat it.
pub fn missing_in_brick(sides: [f64; 3], diffusivity: f64, time_s: f64) -> f64 {
    sides.into_iter().map(|side| missing_in_slab(diffusivity * time_s * 4.0 / (side * side))).product()
}

/// Time until only `missing` of the step is missing in the middle of a brick, s.
pub fn time_to_heat(sides: [f64; 3], diffusivity: f64, missing: f64) -> f64 {
    let thinnest = sides.into_iter().fold(f64::INFINITY, f64::min);
    let (mut low, mut high) = (0.0, thinnest * thinnest / diffusivity);
    while missing_in_brick(sides, diffusivity, high) > missing && high < 1e12 {
        high *= 2.0;
    }
    for _ in 0..HALVINGS {
        let middle = 0.5 * (low + high);
        if missing_in_brick(sides, diffusivity, middle) > missing {
            low = middle;
        } else {
            high = middle;
        }
    }
    high
}
