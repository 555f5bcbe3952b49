//! A finished picture and what lies under each of its pixels.

use crate::view::camera::Camera;
use crate::view::scene::PickId;
use crate::view::tags::PlacedTag;
use glam::{DVec2, DVec3};

/// What lies under a pixel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hit {
    /// Index in [`Scene::surfaces`](crate::view::scene::Scene::surfaces), or in `solids` for [`Picture::pick_solid`].
    pub surface: usize,
    /// What the caller calls it.
    pub id: PickId,
    /// Triangle of its mesh; none on the face of a section.
    pub triangle: Option<usize>,
    /// The point on it, in the world, millimetres.
    pub point: DVec3,
    /// Its flat unit normal there, in the world, pointing out of the mesh whichever side is seen.
    pub normal: DVec3,
}

/// What is remembered of a surface for picking.
#[derive(Clone, Debug)]
pub(crate) struct Pickable {
    /// First id of its triangles; triangle t has `first + t`.
    pub first: u32,
    pub pick: Option<PickId>,
    pub mesh: std::sync::Arc<crate::mesh::Mesh>,
    pub world_from_mesh: glam::DAffine3,
    pub cut: Option<crate::view::scene::Plane>,
}

impl Pickable {
    fn hit(&self, surface: usize, id: u32, camera: &Camera, pixel: DVec2, depth_mm: f64) -> Option<Hit> {
        let name = self.pick?;
        let ray = camera.ray_through(pixel);
        let rough = camera.unproject(pixel, depth_mm);
        let (triangle, normal, on_plane) = if id & FACE != 0 {
            let cut = self.cut?;
            (None, cut.normal, cut.point)
        } else {
            let t = (id - self.first) as usize;
            let [a, b, c] = self.mesh.corners_f64(t).map(|p| self.world_from_mesh.transform_point3(p));
            let sign = if self.world_from_mesh.matrix3.determinant() < 0.0 { -1.0 } else { 1.0 };
            (Some(t), (b - a).cross(c - a).normalize_or_zero() * sign, a)
        };
        // The plane of the triangle gives the point exactly; edge-on, where that runs away, the drawn depth is better.
        let slope = ray.direction.dot(normal);
        let point = if slope.abs() > 1e-3 {
            ray.origin + ray.direction * ((on_plane - ray.origin).dot(normal) / slope)
        } else {
            rough
        };
        Some(Hit { surface, id: name, triangle, point, normal })
    }
}

/// Set in the id of a sample that lies on the face of a section; the rest is the first id of the cut surface.
pub(crate) const FACE: u32 = 1 << 31;

/// A grid of drawn samples: the nearest thing in each.
#[derive(Clone, Debug, Default)]
pub(crate) struct Layer {
    /// Larger is nearer: 1/depth in a perspective view, −depth about the target in a parallel one; −∞ where empty.
    pub near: Vec<f32>,
    /// 0 where empty.
    pub id: Vec<u32>,
}

impl Layer {
    pub fn resize(&mut self, samples: usize) {
        self.near.resize(samples, f32::NEG_INFINITY);
        self.id.resize(samples, 0);
    }
}

/// A line or part of one as it was painted, for picking.
#[derive(Clone, Copy, Debug)]
pub(crate) struct PaintedSpan {
    pub from: glam::Vec2,
    pub to: glam::Vec2,
    pub pick: PickId,
    pub visible: bool,
}

/// A finished picture, with its colours and what lies under each pixel. It is good until the next one is drawn.
#[derive(Clone, Debug)]
pub struct Picture {
    /// Pixels across.
    pub width: usize,
    /// Pixels down.
    pub height: usize,
    /// Red, green, blue, alpha (sRGB), row by row from the top. The ground is painted, so alpha is 255 everywhere and it
    /// does not matter whether one reads it as premultiplied.
    pub rgba: Vec<u8>,
    /// Where the tags came to stand, in the order of the scene.
    pub tags: Vec<PlacedTag>,
    pub(crate) camera: Camera,
    /// Samples a pixel along each side.
    pub(crate) per_side: usize,
    pub(crate) surfaces: Vec<Pickable>,
    pub(crate) solids: Vec<Pickable>,
    pub(crate) opaque: Layer,
    pub(crate) solid: Layer,
    pub(crate) glass: Layer,
    pub(crate) spans: Vec<PaintedSpan>,
}

impl Picture {
    pub(crate) fn empty() -> Picture {
        Picture {
            width: 0,
            height: 0,
            rgba: Vec::new(),
            tags: Vec::new(),
            camera: Camera::new(DVec2::ONE),
            per_side: 1,
            surfaces: Vec::new(),
            solids: Vec::new(),
            opaque: Layer::default(),
            solid: Layer::default(),
            glass: Layer::default(),
            spans: Vec::new(),
        }
    }

    /// The camera that it was drawn with.
    pub fn camera(&self) -> &Camera {
        &self.camera
    }

    /// The colour of a pixel.
    pub fn pixel(&self, x: usize, y: usize) -> [u8; 4] {
        let i = (y * self.width + x) * 4;
        std::array::from_fn(|k| self.rgba[i + k])
    }

    /// The sample whose centre lies nearest to a place in the picture.
    fn sample(&self, pixel: DVec2) -> Option<usize> {
        if !(pixel.x >= 0.0 && pixel.y >= 0.0 && pixel.x < self.width as f64 && pixel.y < self.height as f64) {
            return None;
        }
        let s = self.per_side as f64;
        Some((pixel.y * s) as usize * self.width * self.per_side + (pixel.x * s) as usize)
    }

    /// Centre of a sample, pixels.
    fn sample_centre(&self, sample: usize) -> DVec2 {
        let (across, s) = (self.width * self.per_side, self.per_side as f64);
        DVec2::new(((sample % across) as f64 + 0.5) / s, ((sample / across) as f64 + 0.5) / s)
    }

    pub(crate) fn depth_mm(&self, near: f32) -> f64 {
        match self.camera.projection {
            crate::view::camera::Projection::Perspective => 1.0 / near as f64,
            crate::view::camera::Projection::Parallel => self.camera.distance_mm - near as f64,
        }
    }

    fn look_up(&self, layer: &Layer, things: &[Pickable], pixel: DVec2, sample: usize) -> Option<(Hit, f32)> {
        let id = *layer.id.get(sample)?;
        if id == 0 {
            return None;
        }
        let i = things.partition_point(|t| t.first <= id & !FACE).checked_sub(1)?;
        let near = layer.near[sample];
        things[i].hit(i, id, &self.camera, pixel, self.depth_mm(near)).map(|h| (h, near))
    }

    /// The surface at a place in the picture, pixels from its top left corner: the nearest that has a pick id, glass
    /// included. Cheap: nothing is drawn again.
    ///
    /// The point is where the ray through the middle of the drawn sample meets the plane of the triangle, so it is on
    /// the mesh to rounding; it is off the asked place by less than a sample.
    pub fn pick(&self, pixel: DVec2) -> Option<Hit> {
        let sample = self.sample(pixel)?;
        let centre = self.sample_centre(sample);
        let opaque = self.look_up(&self.opaque, &self.surfaces, centre, sample);
        let glass = self.look_up(&self.glass, &self.surfaces, centre, sample);
        match (opaque, glass) {
            (Some((a, near_a)), Some((b, near_b))) => Some(if near_b > near_a { b } else { a }),
            (Some((a, _)), None) => Some(a),
            (None, Some((b, _))) => Some(b),
            (None, None) => None,
        }
    }

    /// The placed thing at a place in the picture, also where it shows through a surface: its tag first, else its body.
    pub fn pick_solid(&self, pixel: DVec2) -> Option<Hit> {
        let sample = self.sample(pixel)?;
        self.look_up(&self.solid, &self.solids, self.sample_centre(sample), sample).map(|(h, _)| h)
    }

    /// The tag at a place in the picture.
    pub fn pick_tag(&self, pixel: DVec2) -> Option<PickId> {
        let p = pixel.as_vec2();
        self.tags.iter().rev().find(|t| t.shown && t.centre_px.distance(p) <= t.radius_px).and_then(|t| t.pick)
    }

    /// The line nearest to a place in the picture within `reach_px` pixels, seen ones before hidden ones.
    pub fn pick_line(&self, pixel: DVec2, reach_px: f32) -> Option<PickId> {
        let p = pixel.as_vec2();
        let mut best: Option<(bool, f32, PickId)> = None;
        for span in &self.spans {
            let along = span.to - span.from;
            let t = ((p - span.from).dot(along) / along.length_squared().max(1e-12)).clamp(0.0, 1.0);
            let d = (span.from + along * t).distance(p);
            let better = best.is_none_or(|(v, b, _)| (span.visible && !v) || (span.visible == v && d < b));
            if d <= reach_px && better {
                best = Some((span.visible, d, span.pick));
            }
        }
        best.map(|b| b.2)
    }
}
