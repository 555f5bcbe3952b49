//! How near a rod passes the part on its way up through the block.

use super::body::Body;
use super::channels::{Channel, Rod};
use glam::Vec3;

/// Least rubber between a rod's channel and the part, millimetres: set here. A rod that stands this far off is pulled
/// without tearing; between whole cavities the shop's own limit holds.
pub const BESIDE_ROD_MM: f64 = 3.0;
/// Steps along a rod at which the rubber round it is measured, at least and at most; between them one a millimetre.
const STEPS: (f64, f64) = (24.0, 400.0);

/// The least rubber between the channel and the part away from the channel's own mouth (negative inside the part), and
/// where; none where the channel leaves the part at once and keeps [`BESIDE_ROD_MM`] from it after that.
pub fn closest(body: &Body, channel: &Channel) -> Option<(f64, Vec3)> {
    let limit = BESIDE_ROD_MM as f32;
    let mouth = channel.mouth();
    // Until it has come clear of the part once, a channel is still leaving it.
    let mut clear = false;
    let mut worst: Option<(f64, Vec3)> = None;
    for rod in &channel.rods {
        let steps = rod.length_mm().ceil().clamp(STEPS.0, STEPS.1) as usize;
        for i in 0..=steps {
            let at = at(rod, i as f32 / steps as f32);
            let inside = body.is_inside(at);
            let away = body.tree.nearest_within(at, rod.radius_mm + 2.0 * limit).map_or(f32::INFINITY, |n| n.distance);
            let rubber = if inside { -away } else { away - rod.radius_mm };
            let far_from_mouth = at.distance(mouth) > 2.0 * rod.radius_mm + limit;
            clear |= rubber > limit;
            let counts = clear || (inside && far_from_mouth);
            if counts && far_from_mouth && rubber < limit && worst.is_none_or(|w| (rubber as f64) < w.0) {
                worst = Some((rubber as f64, at));
            }
        }
    }
    worst
}

fn at(rod: &Rod, share: f32) -> Vec3 {
    rod.from.lerp(rod.to, share)
}
