//! How much rubber is strained where it gets past the part: closed forms on plain figures.

use std::f64::consts::FRAC_PI_4;

/// Stretch of a ring of rubber that fits a neck when it is pulled over a head, both given by diameter or both by girth:
/// head/neck − 1, the hoop strain at its bore (Timoshenko & Goodier, *Theory of Elasticity*, thick ring).
pub fn ring(head: f64, neck: f64) -> f64 {
    if neck > 0.0 { (head / neck - 1.0).max(0.0) } else { f64::INFINITY }
}

/// How much a core of rubber of width `head` is squeezed in a neck of width `neck`: 1 − neck/head, between 0 and 1.
pub fn squeeze(head: f64, neck: f64) -> f64 {
    if head > 0.0 { (1.0 - neck / head).clamp(0.0, 1.0) } else { 0.0 }
}

/// Strain in the skin of a tongue of `thickness_mm` and `length_mm` that is folded through a right angle at one even
/// curvature: half the thickness over the radius 2·length/π (beam bending, Timoshenko & Gere, *Mechanics of Materials*).
pub fn fold(thickness_mm: f64, length_mm: f64) -> f64 {
    if length_mm > 0.0 { FRAC_PI_4 * thickness_mm / length_mm } else { 0.0 }
}

/// Stretch of rubber along an undercut of `width_mm` that bows out by `depth_mm` in its middle while its ends are held:
/// a circular arc over its chord, α/sin α − 1 with tan(α/2) = 2·depth/width.
pub fn bow(depth_mm: f64, width_mm: f64) -> f64 {
    if depth_mm <= 0.0 {
        return 0.0;
    }
    if width_mm <= 0.0 {
        return f64::INFINITY;
    }
    let half = 2.0 * (2.0 * depth_mm / width_mm).atan();
    if half > 0.0 { half / half.sin() - 1.0 } else { 0.0 }
}
