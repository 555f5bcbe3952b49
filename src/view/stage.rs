//! From meshes to the screen: every vertex in fixed point on the grid of samples, triangles cut at the eye's near plane
//! and at the section.

use crate::mesh::Mesh;
use crate::view::camera::{Camera, Projection};
use crate::view::scene::Plane;
use glam::{DAffine3, DMat3, Vec2, Vec3};
use rayon::prelude::*;

/// Steps of the fixed-point grid in one sample, as a power of two.
pub(crate) const SUB_BITS: u32 = 8;
/// Steps of the fixed-point grid in one sample.
pub(crate) const SUB: i32 = 1 << SUB_BITS;
/// Samples either side of the picture's middle that a corner may lie away before its triangle is cut: far beyond any
/// picture, yet small enough that edge products stay within 64 bits.
const GUARD: f32 = 20_000.0;

/// `x` of a vertex that the section cuts away.
const CUT_AWAY: i32 = i32::MIN;
/// `x` of a vertex that lies behind the near plane or far outside the picture.
const OUTSIDE: i32 = i32::MIN + 1;

/// A vertex on the grid of samples.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct ScreenVertex {
    /// Steps from the left edge.
    pub x: i32,
    /// Steps from the top edge.
    pub y: i32,
    /// Larger is nearer; see [`crate::view::picture::Layer`].
    pub near: f32,
}

impl ScreenVertex {
    pub fn is_whole(&self) -> bool {
        self.x > OUTSIDE
    }
    pub fn is_cut_away(&self) -> bool {
        self.x == CUT_AWAY
    }
}

/// How the points of one mesh get to the screen, in single precision about the mesh's own middle.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Stage {
    centre: Vec3,
    /// Rows of the view frame in the mesh frame, scaled; applied to `p − centre`.
    rows: [Vec3; 3],
    /// The middle in the view frame, about the target.
    shift: Vec3,
    distance: f32,
    near_depth: f32,
    perspective: bool,
    /// Samples a unit of x/depth, or a millimetre in a parallel view.
    scale: f32,
    middle: Vec2,
    /// Height over the section plane is `cut.0 · (p − centre) + cut.1`.
    cut: Option<(Vec3, f32)>,
}

/// A point in the view frame about the target, with its height over the section.
#[derive(Clone, Copy, Debug)]
struct Staged {
    view: Vec3,
    height: f32,
}

impl Stage {
    pub fn new(
        camera: &Camera,
        world_from_mesh: &DAffine3,
        centre: Vec3,
        per_side: usize,
        cut: Option<Plane>,
    ) -> Stage {
        let view_from_world = DMat3::from_quat(camera.world_from_view.inverse());
        let view_from_mesh = view_from_world * world_from_mesh.matrix3;
        let centre_in_world = world_from_mesh.transform_point3(centre.as_dvec3());
        let perspective = camera.projection == Projection::Perspective;
        let scale = if perspective { camera.focal_px() } else { camera.px_per_mm() } * per_side as f64;
        Stage {
            centre,
            rows: [0, 1, 2].map(|i| view_from_mesh.row(i).as_vec3()),
            shift: (view_from_world * (centre_in_world - camera.target)).as_vec3(),
            distance: camera.distance_mm as f32,
            near_depth: camera.near_mm() as f32,
            perspective,
            scale: scale as f32,
            middle: (camera.size_px * 0.5 * per_side as f64).as_vec2(),
            cut: cut.map(|plane| {
                let along = world_from_mesh.matrix3.transpose() * plane.normal;
                (along.as_vec3(), plane.height(centre_in_world) as f32)
            }),
        }
    }

    /// The same, with everything nearer to the eye by so much.
    pub fn lifted(mut self, lift_mm: f32) -> Stage {
        self.shift.z += lift_mm;
        self
    }

    #[inline]
    fn staged(&self, p: Vec3) -> Staged {
        let q = p - self.centre;
        let view = Vec3::new(self.rows[0].dot(q), self.rows[1].dot(q), self.rows[2].dot(q)) + self.shift;
        let height = match self.cut {
            Some((along, over)) => along.dot(q) + over,
            None => -1.0,
        };
        Staged { view, height }
    }

    /// Place and nearness, samples; only for points in front of the near plane.
    #[inline]
    fn flat(&self, view: Vec3) -> (Vec2, f32) {
        let (k, near) = if self.perspective {
            let inverse = 1.0 / (self.distance - view.z);
            (self.scale * inverse, inverse)
        } else {
            (self.scale, view.z)
        };
        (self.middle + Vec2::new(view.x * k, -view.y * k), near)
    }

    #[inline]
    fn fixed(&self, view: Vec3) -> ScreenVertex {
        let (at, near) = self.flat(view);
        // Rounds to the nearest without a call into the maths library.
        let step = |c: f32| {
            let c = c * SUB as f32;
            (c + 0.5f32.copysign(c)) as i32
        };
        ScreenVertex { x: step(at.x), y: step(at.y), near }
    }

    #[inline]
    fn in_front(&self, view: Vec3) -> bool {
        !self.perspective || self.distance - view.z >= self.near_depth
    }

    #[inline]
    fn within_guard(&self, view: Vec3) -> bool {
        let depth = if self.perspective { self.distance - view.z } else { 1.0 };
        let reach = GUARD * depth;
        (view.x * self.scale).abs() <= reach && (view.y * self.scale).abs() <= reach
    }

    /// The piece of a line between two points of the mesh that is in front of the near plane and left by the section:
    /// both ends in samples with their nearness.
    pub fn line(&self, from: Vec3, to: Vec3) -> Option<[(Vec2, f32); 2]> {
        let (mut a, mut b) = (self.staged(from), self.staged(to));
        let front = |s: &Staged| if self.perspective { self.distance - s.view.z - self.near_depth } else { 1.0 };
        for side in [&(|s: &Staged| -s.height) as &dyn Fn(&Staged) -> f32, &front] {
            let (ha, hb) = (side(&a), side(&b));
            if ha < 0.0 && hb < 0.0 {
                return None;
            }
            if (ha < 0.0) != (hb < 0.0) {
                let t = ha / (ha - hb);
                let cut = Staged { view: a.view + (b.view - a.view) * t, height: a.height + (b.height - a.height) * t };
                if ha < 0.0 { a = cut } else { b = cut }
            }
        }
        Some([self.flat(a.view), self.flat(b.view)])
    }

    /// The vertex on the grid, or a marker that its triangles need to be cut.
    #[inline]
    pub fn vertex(&self, p: Vec3) -> ScreenVertex {
        let s = self.staged(p);
        if s.height > 0.0 {
            return ScreenVertex { x: CUT_AWAY, y: 0, near: 0.0 };
        }
        if !(self.in_front(s.view) && self.within_guard(s.view)) {
            return ScreenVertex { x: OUTSIDE, y: 0, near: 0.0 };
        }
        self.fixed(s.view)
    }

    /// A triangle cut at the section, the near plane and the guard band: corners of the polygon that is left, at most
    /// eight. `keys` are the vertex indices: an edge is always cut from its lower end, so that both its triangles get
    /// the very same point.
    pub fn cut_triangle(&self, corners: [Vec3; 3], keys: [u32; 3], out: &mut Vec<ScreenVertex>) {
        out.clear();
        let mut polygon: Vec<(Staged, [u32; 2])> = Vec::with_capacity(9);
        let mut next = Vec::with_capacity(9);
        for (p, key) in corners.into_iter().zip(keys) {
            polygon.push((self.staged(p), [key, key]));
        }
        let scale = self.scale;
        let depth = |v: Vec3| if self.perspective { self.distance - v.z } else { 1.0 };
        let sides: [&dyn Fn(&Staged) -> f32; 6] = [
            &|s| -s.height,
            &|s| if self.perspective { self.distance - s.view.z - self.near_depth } else { 1.0 },
            &|s| GUARD * depth(s.view) - s.view.x * scale,
            &|s| GUARD * depth(s.view) + s.view.x * scale,
            &|s| GUARD * depth(s.view) - s.view.y * scale,
            &|s| GUARD * depth(s.view) + s.view.y * scale,
        ];
        for side in sides {
            next.clear();
            for i in 0..polygon.len() {
                let (a, ka) = polygon[i];
                let (b, kb) = polygon[(i + 1) % polygon.len()];
                let (ha, hb) = (side(&a), side(&b));
                if ha >= 0.0 {
                    next.push((a, ka));
                }
                if (ha >= 0.0) != (hb >= 0.0) {
                    let ((p, hp), (q, hq), key) =
                        if ka <= kb { ((a, ha), (b, hb), [ka[0], kb[1]]) } else { ((b, hb), (a, ha), [kb[0], ka[1]]) };
                    let t = hp / (hp - hq);
                    let cut =
                        Staged { view: p.view + (q.view - p.view) * t, height: p.height + (q.height - p.height) * t };
                    next.push((cut, key));
                }
            }
            std::mem::swap(&mut polygon, &mut next);
            if polygon.is_empty() {
                return;
            }
        }
        out.extend(polygon.iter().map(|(s, _)| self.fixed(s.view)));
    }

    /// Every vertex of a mesh on the grid.
    pub fn vertices(&self, mesh: &Mesh, out: &mut [ScreenVertex]) {
        const PER_TASK: usize = 16_384;
        out.par_chunks_mut(PER_TASK).zip(mesh.positions.par_chunks(PER_TASK)).for_each(|(out, from)| {
            for (o, p) in out.iter_mut().zip(from) {
                *o = self.vertex(*p);
            }
        });
    }
}
