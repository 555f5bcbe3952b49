//! What is left of trapped air after the chamber is let up.

/// Standard atmosphere, pascals (ISO 2533).
pub const ATMOSPHERE_PA: f64 = 101_325.0;

/// Volume left when air sealed at `sealed_pa` absolute comes under one atmosphere, mm³ (Boyle, isothermal).
pub fn left_after_let_up_mm3(sealed_mm3: f64, sealed_pa: f64) -> f64 {
    sealed_mm3 * sealed_pa / ATMOSPHERE_PA
}

/// Diameter of the ball of that volume, millimetres.
pub fn ball_diameter_mm(volume_mm3: f64) -> f64 {
    (6.0 * volume_mm3.max(0.0) / std::f64::consts::PI).cbrt()
}

/// Volume sealed at `sealed_pa` absolute that leaves a bubble of that diameter, mm³: [`bubble_mm`] the other way round.
pub fn sealed_mm3(bubble_mm: f64, sealed_pa: f64) -> f64 {
    std::f64::consts::PI / 6.0 * bubble_mm.powi(3) * ATMOSPHERE_PA / sealed_pa
}

/// Diameter of the bubble left of a pocket sealed at `sealed_pa` absolute, millimetres.
pub fn bubble_mm(sealed_mm3: f64, sealed_pa: f64) -> f64 {
    ball_diameter_mm(left_after_let_up_mm3(sealed_mm3, sealed_pa))
}
