//! The camera: where the eye is, what a pixel sees, where a point lands.
//!
//! ```text
//!   view frame            picture
//!   y up                  (0,0) ─── x right ──→ (width, 0)
//!   │                       │   centre of pixel (i, j) = (i + ½, j + ½)
//!   └── x right             ↓
//!  z towards the eye      y down
//! ```
//!
//! Everything here is plain arithmetic in double precision: it is fed cursor positions in pixels and answers whether
//! the picture changes.

use crate::mesh::Bounds;
use glam::{DMat3, DQuat, DVec2, DVec3};

/// Smallest and largest distance of the eye from what it looks at, millimetres.
const DISTANCE_RANGE_MM: (f64, f64) = (1e-3, 1e7);

/// How depth is shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Projection {
    /// Far things are smaller.
    #[default]
    Perspective,
    /// Equal lengths stay equal; a scale bar holds everywhere.
    Parallel,
}

/// Where one looks from, with the up direction of the part upright in the picture.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum StandardView {
    /// From the front: right in the picture is `right` of the part.
    Front,
    /// From behind.
    Back,
    /// From the left.
    Left,
    /// From the right.
    Right,
    /// From above.
    Top,
    /// From below.
    Bottom,
    /// From above the front right corner, all three faces of a cube alike.
    Corner,
}

impl StandardView {
    /// Every view, in the order of a menu.
    pub const ALL: [StandardView; 7] = [
        StandardView::Front,
        StandardView::Back,
        StandardView::Left,
        StandardView::Right,
        StandardView::Top,
        StandardView::Bottom,
        StandardView::Corner,
    ];

    /// Its name in words.
    pub fn name(self) -> &'static str {
        match self {
            StandardView::Front => "Front",
            StandardView::Back => "Back",
            StandardView::Left => "Left",
            StandardView::Right => "Right",
            StandardView::Top => "Top",
            StandardView::Bottom => "Bottom",
            StandardView::Corner => "Corner",
        }
    }
}

/// A half-line in the world.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ray {
    /// Where it starts, millimetres.
    pub origin: DVec3,
    /// Unit direction, away from the eye.
    pub direction: DVec3,
}

/// Where a point lands in the picture.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Projected {
    /// Pixels from the top left corner.
    pub pixel: DVec2,
    /// Distance from the eye measured along the line of sight of the picture's middle, millimetres. In a parallel
    /// view it may be negative.
    pub depth_mm: f64,
}

/// Where the eye is and what it sees. Compare two with `==` to know whether a picture is still good.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Camera {
    /// The point in the middle of the picture, millimetres.
    pub target: DVec3,
    /// Turns the view frame into the world.
    pub world_from_view: DQuat,
    /// Distance of the eye from the target, millimetres. It also sets the scale of a parallel view, so that changing
    /// the projection leaves the size of things at the target as it was.
    pub distance_mm: f64,
    /// Perspective or parallel.
    pub projection: Projection,
    /// Full angle of view from the picture's bottom to its top, radians.
    pub field_of_view: f64,
    /// Width and height of the picture, pixels.
    pub size_px: DVec2,
    /// Unit vector that stays upright while orbiting.
    pub up: DVec3,
}

impl Camera {
    /// A camera at a corner view of a cube of 100 mm about the origin.
    pub fn new(size_px: DVec2) -> Camera {
        let mut camera = Camera {
            target: DVec3::ZERO,
            world_from_view: DQuat::IDENTITY,
            distance_mm: 400.0,
            projection: Projection::Perspective,
            field_of_view: 28f64.to_radians(),
            size_px: size_px.max(DVec2::ONE),
            up: DVec3::Z,
        };
        camera.world_from_view = orientation(StandardView::Corner, camera.up);
        camera
    }

    /// The eye, millimetres. In a parallel view every ray starts on the plane through it.
    pub fn eye(&self) -> DVec3 {
        self.target + self.backward() * self.distance_mm
    }

    /// Unit vector from the target to the eye.
    pub fn backward(&self) -> DVec3 {
        self.world_from_view * DVec3::Z
    }

    /// Unit vector to the right of the picture.
    pub fn right(&self) -> DVec3 {
        self.world_from_view * DVec3::X
    }

    /// Unit vector to the top of the picture.
    pub fn top(&self) -> DVec3 {
        self.world_from_view * DVec3::Y
    }

    /// Pixels that one millimetre takes at the depth of the target.
    pub fn px_per_mm(&self) -> f64 {
        self.focal_px() / self.distance_mm
    }

    /// Pixels that one millimetre takes at `point`; zero behind the eye.
    pub fn px_per_mm_at(&self, point: DVec3) -> f64 {
        match self.projection {
            Projection::Parallel => self.px_per_mm(),
            Projection::Perspective => {
                let depth = self.depth_of(point);
                if depth > 0.0 { self.focal_px() / depth } else { 0.0 }
            }
        }
    }

    /// Distance in pixels at which one pixel spans one unit.
    pub fn focal_px(&self) -> f64 {
        self.size_px.y * 0.5 / (self.field_of_view * 0.5).tan()
    }

    /// Nearest depth that a perspective picture shows, millimetres.
    pub fn near_mm(&self) -> f64 {
        self.distance_mm * 2e-3
    }

    /// Depth of a point along the line of sight, millimetres from the eye.
    pub fn depth_of(&self, point: DVec3) -> f64 {
        self.distance_mm - (point - self.target).dot(self.backward())
    }

    /// A point in the view frame, about the target.
    pub fn in_view(&self, point: DVec3) -> DVec3 {
        self.world_from_view.inverse() * (point - self.target)
    }

    /// Where a point lands; none where a perspective eye has it behind its near plane.
    pub fn project(&self, point: DVec3) -> Option<Projected> {
        let p = self.in_view(point);
        let depth_mm = self.distance_mm - p.z;
        let scale = match self.projection {
            Projection::Parallel => self.px_per_mm(),
            Projection::Perspective if depth_mm >= self.near_mm() => self.focal_px() / depth_mm,
            Projection::Perspective => return None,
        };
        let pixel = self.size_px * 0.5 + DVec2::new(p.x, -p.y) * scale;
        Some(Projected { pixel, depth_mm })
    }

    /// The point that `pixel` sees at a depth along the line of sight.
    pub fn unproject(&self, pixel: DVec2, depth_mm: f64) -> DVec3 {
        let scale = match self.projection {
            Projection::Parallel => 1.0 / self.px_per_mm(),
            Projection::Perspective => depth_mm / self.focal_px(),
        };
        let q = (pixel - self.size_px * 0.5) * scale;
        self.target + self.world_from_view * DVec3::new(q.x, -q.y, self.distance_mm - depth_mm)
    }

    /// What `pixel` looks along. A perspective ray starts at the eye, a parallel one on the plane through it; points in
    /// front of that plane have a negative distance along it.
    pub fn ray_through(&self, pixel: DVec2) -> Ray {
        match self.projection {
            Projection::Parallel => Ray { origin: self.unproject(pixel, 0.0), direction: -self.backward() },
            Projection::Perspective => {
                let eye = self.eye();
                Ray { origin: eye, direction: (self.unproject(pixel, self.distance_mm) - eye).normalize() }
            }
        }
    }

    /// Takes the picture's new size; the height of what is seen at the target stays. True where it changed.
    pub fn resize(&mut self, size_px: DVec2) -> bool {
        let size_px = size_px.max(DVec2::ONE);
        let changed = size_px != self.size_px;
        self.size_px = size_px;
        changed
    }

    /// Turns about `pivot` by cursor travel in pixels: sideways about the up direction, up and down about the
    /// picture's horizontal, never past straight above or below. The pivot stays where it is in the picture. A travel
    /// of the picture's height turns half round. True where it changed.
    pub fn orbit(&mut self, travel_px: DVec2, pivot: DVec3) -> bool {
        if travel_px == DVec2::ZERO || !travel_px.is_finite() {
            return false;
        }
        let angle_per_px = std::f64::consts::PI / self.size_px.y;
        let yaw = DQuat::from_axis_angle(self.up, -travel_px.x * angle_per_px);
        // Elevation of the eye over the horizontal plane; kept within straight down and straight up.
        let elevation = self.backward().dot(self.up).clamp(-1.0, 1.0).asin();
        let limit = std::f64::consts::FRAC_PI_2;
        let wanted = (elevation + travel_px.y * angle_per_px).clamp(-limit, limit);
        let pitch = DQuat::from_axis_angle(self.right(), elevation - wanted);
        let turn = yaw * pitch;
        let before = *self;
        self.world_from_view = (turn * self.world_from_view).normalize();
        // Exactly: keep the pivot's place in the view frame, also against the rounding of the product above.
        let pivot_in_view = before.in_view(pivot);
        self.target = pivot - self.world_from_view * pivot_in_view;
        *self != before
    }

    /// Moves the picture so that what lies at the depth of `at` follows the cursor. True where it changed.
    pub fn pan(&mut self, travel_px: DVec2, at: DVec3) -> bool {
        let px_per_mm = self.px_per_mm_at(at);
        if travel_px == DVec2::ZERO || !travel_px.is_finite() || px_per_mm <= 0.0 {
            return false;
        }
        let travel = travel_px / px_per_mm;
        self.target -= self.right() * travel.x - self.top() * travel.y;
        true
    }

    /// Makes everything `factor` times larger while `anchor` keeps its place in the picture; `factor` over 1 goes
    /// nearer. True where it changed.
    pub fn zoom_about(&mut self, anchor: DVec3, factor: f64) -> bool {
        if !(factor.is_finite() && factor > 0.0) {
            return false;
        }
        let distance = (self.distance_mm / factor).clamp(DISTANCE_RANGE_MM.0, DISTANCE_RANGE_MM.1);
        if distance == self.distance_mm {
            return false;
        }
        let shrink = distance / self.distance_mm;
        self.target = anchor + (self.target - anchor) * shrink;
        self.distance_mm = distance;
        true
    }

    /// Zooms to the cursor: about the point of the target's depth that lies under it. True where it changed.
    pub fn zoom_to(&mut self, cursor_px: DVec2, factor: f64) -> bool {
        self.zoom_about(self.unproject(cursor_px, self.distance_mm), factor)
    }

    /// Turns to a standard view about the target. True where it changed.
    pub fn look_from(&mut self, view: StandardView) -> bool {
        let turned = orientation(view, self.up);
        let changed = turned != self.world_from_view;
        self.world_from_view = turned;
        changed
    }

    /// Moves so that the box fills the picture but for `margin` (a share of the picture at each side), keeping the
    /// direction. True where it changed.
    pub fn fit(&mut self, bounds: &Bounds, margin: f64) -> bool {
        if bounds.is_empty() {
            return false;
        }
        let (min, max) = (bounds.min.as_dvec3(), bounds.max.as_dvec3());
        let corners: [DVec3; 8] = std::array::from_fn(|i| {
            let pick = |bit: usize, a: f64, b: f64| if i & bit == 0 { a } else { b };
            DVec3::new(pick(1, min.x, max.x), pick(2, min.y, max.y), pick(4, min.z, max.z))
        });
        self.fit_points(&corners, margin)
    }

    /// As [`Camera::fit`], for the hull of some points: nearer than their box where its corners are empty.
    pub fn fit_points(&mut self, points: &[DVec3], margin: f64) -> bool {
        if points.is_empty() {
            return false;
        }
        let before = *self;
        let low = points.iter().copied().fold(DVec3::INFINITY, DVec3::min);
        let high = points.iter().copied().fold(DVec3::NEG_INFINITY, DVec3::max);
        let centre = (low + high) * 0.5;
        let half = self.size_px * 0.5 * (1.0 - 2.0 * margin.clamp(0.0, 0.45)) / self.focal_px();
        let view_from_world = self.world_from_view.inverse();
        let corners: Vec<DVec3> = points.iter().map(|p| view_from_world * (*p - centre)).collect();
        let mut shift = DVec2::ZERO;
        let mut distance = 0.0f64;
        match self.projection {
            Projection::Parallel => {
                // The middle of what is seen goes to the middle of the picture.
                for axis in 0..2 {
                    let low = corners.iter().map(|c| c[axis]).fold(f64::INFINITY, f64::min);
                    let high = corners.iter().map(|c| c[axis]).fold(f64::NEG_INFINITY, f64::max);
                    shift[axis] = (low + high) * 0.5;
                }
                for c in &corners {
                    let c = *c - shift.extend(0.0);
                    distance = distance.max(c.x.abs() / half.x).max(c.y.abs() / half.y);
                }
            }
            Projection::Perspective => {
                // Along each picture axis the corners bound the eye by two planes of slope ±half; where these meet is
                // the nearest eye that sees them all. The nearer axis is then drawn back to the farther one.
                for axis in 0..2 {
                    let low = corners.iter().map(|c| c.z - c[axis] / half[axis]).fold(f64::MIN, f64::max);
                    let high = corners.iter().map(|c| c.z + c[axis] / half[axis]).fold(f64::MIN, f64::max);
                    distance = distance.max((low + high) * 0.5);
                    shift[axis] = (high - low) * 0.5 * half[axis];
                }
            }
        }
        self.target = centre + self.world_from_view * DVec3::new(shift.x, shift.y, 0.0);
        self.distance_mm = distance.clamp(DISTANCE_RANGE_MM.0, DISTANCE_RANGE_MM.1);
        *self != before
    }

    /// The camera on the way from `a` (`t` = 0) to `b` (`t` = 1): the direction turns the short way round, the
    /// distance changes by equal ratios, start and stop are soft. Size, projection and up are those of `b`.
    pub fn between(a: &Camera, b: &Camera, t: f64) -> Camera {
        if t <= 0.0 {
            return Camera { size_px: b.size_px, projection: b.projection, up: b.up, ..*a };
        }
        if t >= 1.0 {
            return *b;
        }
        let s = t * t * (3.0 - 2.0 * t);
        Camera {
            target: a.target.lerp(b.target, s),
            world_from_view: a.world_from_view.slerp(b.world_from_view, s).normalize(),
            distance_mm: a.distance_mm * (b.distance_mm / a.distance_mm).powf(s),
            field_of_view: a.field_of_view + (b.field_of_view - a.field_of_view) * s,
            ..*b
        }
    }
}

/// The turn of the view frame for a standard view with `up` upright.
///
/// Right in the front view is world X made square to `up`, or world Y where `up` is along X; from the top the front
/// edge is at the picture's bottom, from below at its top.
pub fn orientation(view: StandardView, up: DVec3) -> DQuat {
    let up = up.normalize_or(DVec3::Z);
    let reference = if up.x.abs() > 0.9 { DVec3::Y } else { DVec3::X };
    let right = (reference - up * reference.dot(up)).normalize();
    let away = up.cross(right);
    let (backward, top) = match view {
        StandardView::Front => (-away, up),
        StandardView::Back => (away, up),
        StandardView::Left => (-right, up),
        StandardView::Right => (right, up),
        StandardView::Top => (up, away),
        StandardView::Bottom => (-up, -away),
        StandardView::Corner => ((right - away + up).normalize(), up),
    };
    let x = top.cross(backward).normalize();
    let y = backward.cross(x);
    DQuat::from_mat3(&DMat3::from_cols(x, y, backward)).normalize()
}

/// What a drag of the cursor does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DragKind {
    /// Turn about the point that was under the cursor.
    Orbit,
    /// Move the picture with the cursor.
    Pan,
}

/// A running drag: made where the button goes down, fed each new cursor position.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CameraDrag {
    kind: DragKind,
    anchor: DVec3,
    cursor_px: DVec2,
}

impl CameraDrag {
    /// Starts a drag at `cursor_px` about `anchor`, the point of the part under the cursor, or where there is none a
    /// point at the target's depth.
    pub fn start(kind: DragKind, camera: &Camera, cursor_px: DVec2, anchor: Option<DVec3>) -> CameraDrag {
        let anchor = anchor.unwrap_or(match kind {
            DragKind::Orbit => camera.target,
            DragKind::Pan => camera.unproject(cursor_px, camera.distance_mm),
        });
        CameraDrag { kind, anchor, cursor_px }
    }

    /// The point that the drag turns about or carries along.
    pub fn anchor(&self) -> DVec3 {
        self.anchor
    }

    /// Moves the camera to follow the cursor. True where it changed.
    pub fn follow(&mut self, camera: &mut Camera, cursor_px: DVec2) -> bool {
        let travel = cursor_px - self.cursor_px;
        self.cursor_px = cursor_px;
        match self.kind {
            DragKind::Orbit => camera.orbit(travel, self.anchor),
            DragKind::Pan => camera.pan(travel, self.anchor),
        }
    }
}

/// A smooth move from one camera to another.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Flight {
    /// Where it starts.
    pub from: Camera,
    /// Where it ends.
    pub to: Camera,
    /// How long it takes, seconds.
    pub seconds: f64,
}

impl Flight {
    /// The camera `elapsed_s` after the start, and true while the flight still goes on.
    pub fn at(&self, elapsed_s: f64) -> (Camera, bool) {
        let t = if self.seconds > 0.0 { elapsed_s / self.seconds } else { 1.0 };
        (Camera::between(&self.from, &self.to, t), t < 1.0)
    }
}
