//! What a fill that was followed to its end leaves to look at: knit lines, gas that resin closed round, last places.

use super::sight::{Colouring, Sight};
use crate::study::bench::Facts;
use crate::study::pour::fill::Fill;
use crate::study::pour::fill::verdict::bubble_mm;
use crate::view::palette::{self, Colour};
use crate::view::scene::*;
use glam::Vec3;

/// Dash and gap of a knit line, points.
const KNIT_DASH_PT: (f32, f32) = (5.0, 4.0);
/// How strongly marks inside the part show through it.
const GHOST: f32 = 0.8;
/// Radius of the ball at a last place, as a share of the part.
const BALL_SHARE: f32 = 0.008;
/// Most places of closed gas that are drawn.
const MOST_CLOSED: usize = 60;
/// Smallest bubble after let-up that is drawn, as a share of the limit.
const LEAST_OF_LIMIT: f64 = 0.5;

/// Places of closed gas that leave a bubble worth looking at.
pub fn closed(fill: &Fill) -> impl Iterator<Item = (Vec3, f32)> + '_ {
    let least = LEAST_OF_LIMIT * fill.bubble_limit_mm;
    let large = fill.closed.iter().filter(move |c| bubble_mm(c.after_let_up_mm3) > least);
    large.take(MOST_CLOSED).map(|c| (c.position, (bubble_mm(c.volume_mm3) / 2.0) as f32))
}

/// Adds those of the fill in the facts to the scene, where fill times are shown.
pub fn draw(sight: &Sight, facts: &Facts, scene: &mut Scene) {
    let Some(fill) = facts.fill.as_deref().filter(|_| sight.colouring == Colouring::Fill) else { return };
    for knit in &fill.knit {
        let paint = LinePaint::Uniform(palette::LINE_LIGHT);
        let mut line = Line::new(knit.points.clone(), LineStyle::Double, paint, 3.5);
        line.dash_pt = Some(KNIT_DASH_PT);
        line.ghost = GHOST;
        scene.lines.push(line);
    }
    let size = facts.body.as_ref().map_or(1.0, |b| b.mesh.bounds().diagonal()) * BALL_SHARE;
    let mut ball = |centre: Vec3, radius_mm: f32, colour: Colour| {
        let solid = Solid::new(Shape::Ball { centre, radius_mm }, colour);
        scene.solids.push(Solid { ghost: GHOST, ..solid });
    };
    for (place, radius_mm) in closed(fill) {
        ball(place, radius_mm.max(size), palette::TRAPPED_AIR);
    }
    for last in &fill.last {
        ball(last.position, 0.8 * size, palette::LINE_DARK);
    }
}
