//! Numbered tags: where they stand so that none covers another, and their shapes.

use crate::view::camera::Camera;
use crate::view::scene::{PickId, Tag, TagKind};
use glam::Vec2;
use std::f32::consts::{FRAC_PI_2, PI, TAU};

/// Radius of the circle that holds a tag, points.
pub const RADIUS_PT: f32 = 12.5;
/// Clear space between two tags, points.
const GAP_PT: f32 = 3.0;

/// A tag as it stands in the picture.
#[derive(Clone, Debug, PartialEq)]
pub struct PlacedTag {
    /// Index in the scene's tags.
    pub index: usize,
    /// False where its foot is out of sight or no room was left.
    pub shown: bool,
    /// Middle of the tag, pixels.
    pub centre_px: Vec2,
    /// Radius of the circle that holds its whole shape, pixels. Circles of shown tags never meet.
    pub radius_px: f32,
    /// Where its leader points, pixels.
    pub foot_px: Vec2,
    /// Its kind.
    pub kind: TagKind,
    /// What is written in it.
    pub text: String,
    /// What picking calls it.
    pub pick: Option<PickId>,
}

/// Places every tag: near its foot, away from the middle of all feet, inside the picture, clear of the others. The order
/// of the scene decides who chooses first. Where the neighbourhood is full the nearest free place on a lattice is
/// taken; where the whole picture is full, the tag is not shown.
pub fn place(tags: &[Tag], camera: &Camera, px_per_point: f32) -> Vec<PlacedTag> {
    let radius = RADIUS_PT * px_per_point;
    let apart = 2.0 * radius + GAP_PT * px_per_point;
    let size = camera.size_px.as_vec2();
    let feet: Vec<Option<Vec2>> = tags
        .iter()
        .map(|t| camera.project(t.foot.as_dvec3()).map(|p| p.pixel.as_vec2()))
        .map(|f| f.filter(|p| p.cmpge(Vec2::ZERO).all() && p.cmple(size).all()))
        .collect();
    let in_sight: Vec<Vec2> = feet.iter().flatten().copied().collect();
    let middle = in_sight.iter().sum::<Vec2>() / in_sight.len().max(1) as f32;
    let mut taken: Vec<(Vec2, Vec2)> = Vec::with_capacity(tags.len());
    let mut placed = Vec::with_capacity(tags.len());
    for (index, (tag, foot)) in tags.iter().zip(&feet).enumerate() {
        let spot = foot.and_then(|foot| spot(foot, middle, &taken, &in_sight, size, radius, apart));
        if let (Some(centre), Some(foot)) = (spot, foot) {
            taken.push((centre, *foot));
        }
        placed.push(PlacedTag {
            index,
            shown: spot.is_some(),
            centre_px: spot.unwrap_or(Vec2::ZERO),
            radius_px: radius,
            foot_px: foot.unwrap_or(Vec2::ZERO),
            kind: tag.kind,
            text: tag.text.clone(),
            pick: tag.pick,
        });
    }
    placed
}

fn spot(
    foot: Vec2,
    middle: Vec2,
    taken: &[(Vec2, Vec2)],
    feet: &[Vec2],
    size: Vec2,
    radius: f32,
    apart: f32,
) -> Option<Vec2> {
    let free = |c: Vec2| {
        let inside = c.x >= radius && c.y >= radius && c.x <= size.x - radius && c.y <= size.y - radius;
        inside && taken.iter().all(|(o, _)| o.distance_squared(c) >= apart * apart)
    };
    // Away from the middle of all feet and upwards, which is where air and rods go.
    let outward = (foot - middle).normalize_or(Vec2::ZERO) + Vec2::new(0.0, -0.8);
    let outward = outward.normalize_or(Vec2::NEG_Y);
    let mut best: Option<(f32, Vec2)> = None;
    for ring in 0..5 {
        let reach = radius * (2.3 + 1.5 * ring as f32);
        for k in 0..24 {
            let direction = Vec2::from_angle(TAU * k as f32 / 24.0);
            let centre = foot + direction * reach;
            if !free(centre) {
                continue;
            }
            let crossings = taken.iter().filter(|(c, f)| crosses(foot, centre, *f, *c)).count() as f32;
            let covered = feet.iter().filter(|f| f.distance(centre) < radius * 1.2).count() as f32;
            let cost = reach / radius + 1.6 * (1.0 - direction.dot(outward)) + 4.0 * crossings + 2.0 * covered;
            if best.is_none_or(|(b, _)| cost < b) {
                best = Some((cost, centre));
            }
        }
    }
    if let Some((_, centre)) = best {
        return Some(centre);
    }
    // The whole picture, on a lattice as close as tags may stand.
    let (columns, rows) = ((size.x / apart) as i32, (size.y / apart) as i32);
    (0..rows * columns)
        .map(|i| Vec2::new((i % columns) as f32 + 0.5, (i / columns) as f32 + 0.5) * apart)
        .filter(|c| free(*c))
        .min_by(|a, b| a.distance_squared(foot).total_cmp(&b.distance_squared(foot)))
}

/// Whether two leaders cross.
fn crosses(a: Vec2, b: Vec2, c: Vec2, d: Vec2) -> bool {
    let side = |p: Vec2, q: Vec2, r: Vec2| (q - p).perp_dot(r - p) > 0.0;
    side(a, b, c) != side(a, b, d) && side(c, d, a) != side(c, d, b)
}

/// The outline of a tag's shape about `centre`, all of it within `radius`, corners rounded.
pub fn outline(kind: TagKind, centre: Vec2, radius: f32) -> Vec<Vec2> {
    let polygon = |corners: u32, start: f32, rounding: f32| {
        // The hull of circles round the corners of a smaller polygon.
        let small = radius * rounding;
        let mut points = Vec::new();
        for i in 0..corners {
            let middle = start + TAU * i as f32 / corners as f32;
            let corner = centre + Vec2::from_angle(middle) * (radius - small);
            let half = PI / corners as f32;
            points.extend((0..=8).map(|k| corner + Vec2::from_angle(middle - half + half * k as f32 / 4.0) * small));
        }
        points
    };
    match kind {
        TagKind::Vent => (0..64).map(|i| centre + Vec2::from_angle(TAU * i as f32 / 64.0) * radius * 0.88).collect(),
        TagKind::Insert => polygon(6, 0.0, 0.22),
        TagKind::HighPoint => polygon(3, -FRAC_PI_2, 0.42),
        TagKind::Finding => polygon(4, 0.0, 0.38),
        TagKind::Gate => {
            // A drop: a circle with its point below, touched by the two straight sides.
            let r = radius * 0.78;
            let tip = centre + Vec2::new(0.0, radius);
            let middle = centre - Vec2::new(0.0, radius - r) * 0.6;
            let open = (r / (tip - middle).length()).acos();
            let mut points = vec![tip];
            points.extend((0..=48).map(|i| {
                let angle = FRAC_PI_2 + open + (TAU - 2.0 * open) * i as f32 / 48.0;
                middle + Vec2::from_angle(angle) * r
            }));
            points
        }
    }
}

/// Where the text of a tag has its middle: shapes that are heavier on one side carry it there.
pub fn text_middle(kind: TagKind, centre: Vec2, radius: f32) -> Vec2 {
    centre
        + match kind {
            TagKind::Gate => Vec2::new(0.0, -radius * 0.13),
            TagKind::HighPoint => Vec2::new(0.0, radius * 0.12),
            _ => Vec2::ZERO,
        }
}
