//! From samples to colours: matt shading under two soft lights, paint, marks, the face of a section.

use crate::mesh::Mesh;
use crate::solve::cell_field::CellField;
use crate::view::camera::{Camera, Projection};
use crate::view::palette::{self, Colour, Scale, Theme};
use crate::view::picture::FACE;
use crate::view::prepared::{Prepared, unpack_normal};
use crate::view::scene::{Mark, Paint, Pattern, Plane};
use glam::{DAffine3, DMat3, DVec2, DVec3, Vec2, Vec3};
use std::sync::Arc;

/// Where the main light comes from, in the view frame: over the left shoulder.
const KEY: Vec3 = Vec3::new(-0.42, 0.62, 0.66);
/// Where the second, weaker light comes from: low from the right.
const FILL: Vec3 = Vec3::new(0.80, -0.10, 0.59);
/// Spacing of hatch lines and dots, points.
const HATCH_PT: f32 = 7.0;

/// One mesh as the shading sees it.
pub(crate) struct Shader<'a> {
    pub first: u32,
    mesh: &'a Mesh,
    prepared: Arc<Prepared>,
    paint: ReadyPaint<'a>,
    marks: Vec<ReadyMark<'a>>,
    closed: bool,
    turned: f32,
    /// The point about the mesh's middle that a pixel sees: `eye + (base + right·x + down·y)·k + back·m`.
    eye: Vec3,
    base: Vec3,
    right: Vec3,
    down: Vec3,
    back: Vec3,
    perspective: bool,
    key: Vec3,
    fill: Vec3,
    theme: Linear,
    /// Where hatches start, pixels, so that they go with the part when it is moved.
    anchor: Vec2,
    hatch_px: f32,
    pub ghost: f32,
}

/// Steps of the ramp in linear light, finer than a screen can show.
const RAMP_STEPS: usize = 512;

/// A paint in linear light.
enum ReadyPaint<'a> {
    Uniform([f32; 3]),
    PerTriangle(&'a [u8], Vec<[f32; 3]>),
    PerVertex(&'a [f32], Scale, Vec<[f32; 3]>),
    InCells(&'a CellField, f32, Scale, Vec<[f32; 3]>),
}

impl<'a> ReadyPaint<'a> {
    fn new(paint: &'a Paint) -> ReadyPaint<'a> {
        match paint {
            Paint::Uniform(c) => ReadyPaint::Uniform(c.linear()),
            Paint::PerTriangle { labels, colours } => {
                ReadyPaint::PerTriangle(labels, colours.iter().map(|c| c.linear()).collect())
            }
            Paint::PerVertex { values, scale } => ReadyPaint::PerVertex(values, *scale, ready_ramp()),
            Paint::InCells { field, until, scale } => ReadyPaint::InCells(field, *until, *scale, ready_ramp()),
        }
    }
}

fn ready_ramp() -> Vec<[f32; 3]> {
    (0..RAMP_STEPS).map(|i| palette::ramp(i as f32 / (RAMP_STEPS - 1) as f32).linear()).collect()
}

struct ReadyMark<'a> {
    triangles: Option<&'a [bool]>,
    /// Height over each plane is `.0 · q + .1`, about the mesh's middle.
    beyond: Vec<(Vec3, f32)>,
    pattern: Pattern,
    colour: [f32; 3],
    strength: f32,
}

#[derive(Clone, Copy)]
struct Linear {
    part: [f32; 3],
    inside: [f32; 3],
    cap: [f32; 3],
    outline: [f32; 3],
}

/// What is told about a mesh to shade it.
pub(crate) struct Subject<'a> {
    pub first: u32,
    pub mesh: &'a Mesh,
    pub prepared: Arc<Prepared>,
    pub world_from_mesh: DAffine3,
    pub paint: &'a Paint,
    pub marks: &'a [Mark],
    pub ghost: f32,
}

impl<'a> Shader<'a> {
    pub fn new(subject: Subject<'a>, camera: &Camera, theme: &Theme, px_per_point: f32) -> Shader<'a> {
        let world_from_mesh = subject.world_from_mesh;
        let centre = subject.prepared.centre.as_dvec3();
        let centre_in_world = world_from_mesh.transform_point3(centre);
        let view_from_mesh = DMat3::from_quat(camera.world_from_view.inverse()) * world_from_mesh.matrix3;
        let mesh_from_view = view_from_mesh.inverse();
        let shift = camera.in_view(centre_in_world);
        let perspective = camera.projection == Projection::Perspective;
        let unit = 1.0 / if perspective { camera.focal_px() } else { camera.px_per_mm() };
        let middle = camera.size_px * 0.5;
        let start = DVec3::new(-middle.x * unit, middle.y * unit, if perspective { -1.0 } else { 0.0 });
        let eye = if perspective { DVec3::Z * camera.distance_mm - shift } else { -shift };
        let light = |l: Vec3| (view_from_mesh.transpose() * l.normalize().as_dvec3()).normalize().as_vec3();
        let height = |plane: &Plane| {
            let along = world_from_mesh.matrix3.transpose() * plane.normal;
            (along.as_vec3(), plane.height(centre_in_world) as f32)
        };
        Shader {
            first: subject.first,
            mesh: subject.mesh,
            closed: subject.prepared.closed,
            prepared: subject.prepared,
            paint: ReadyPaint::new(subject.paint),
            marks: subject
                .marks
                .iter()
                .map(|m| ReadyMark {
                    triangles: m.triangles.as_ref().map(|t| t.as_slice()),
                    beyond: m.beyond.iter().map(height).collect(),
                    pattern: m.pattern,
                    colour: m.colour.linear(),
                    strength: m.strength.clamp(0.0, 1.0),
                })
                .collect(),
            turned: if view_from_mesh.determinant() < 0.0 { -1.0 } else { 1.0 },
            eye: (mesh_from_view * eye).as_vec3(),
            base: (mesh_from_view * start).as_vec3(),
            right: (mesh_from_view * (DVec3::X * unit)).as_vec3(),
            down: (mesh_from_view * (DVec3::NEG_Y * unit)).as_vec3(),
            back: (mesh_from_view * DVec3::Z).as_vec3(),
            perspective,
            key: light(KEY),
            fill: light(FILL),
            theme: Linear {
                part: theme.part.linear(),
                inside: theme.inside.linear(),
                cap: theme.cap.linear(),
                outline: theme.outline.linear(),
            },
            anchor: camera.project(centre_in_world).map_or(DVec2::ZERO, |p| p.pixel).as_vec2(),
            hatch_px: HATCH_PT * px_per_point,
            ghost: subject.ghost,
        }
    }

    /// True where the colour changes slowly over a triangle: no hatches, dots, borders or fronts lie on it.
    #[inline]
    pub fn is_even(&self, id: u32) -> bool {
        id & FACE == 0 && self.marks.is_empty() && !matches!(self.paint, ReadyPaint::InCells(..))
    }

    /// Colour in linear light of the sample `id` at a place in the picture; `open` is how much of the sky it sees.
    pub fn colour(&self, id: u32, at: Vec2, near: f32, open: f32) -> [f32; 3] {
        if id & FACE != 0 {
            return self.cap_colour(at);
        }
        self.surface::<false>(id, at, near, open).0
    }

    /// Colour in linear light of a triangle's sample, with the share of it that marks take and how squarely it is seen
    /// (1 straight on, 0 edge-on; left at 1 unless `SQUARE` asks for it).
    #[inline]
    pub fn surface<const SQUARE: bool>(&self, id: u32, at: Vec2, near: f32, open: f32) -> ([f32; 3], f32, f32) {
        let t = (id - self.first) as usize;
        let ray = self.base + self.right * at.x + self.down * at.y;
        let q = if self.perspective { self.eye + ray / near } else { self.eye + ray + self.back * near };
        let [ia, ib, ic] = self.mesh.triangles[t];
        let corner = |v: u32| self.mesh.positions[v as usize] - self.prepared.centre;
        let (a, b, c) = (corner(ia), corner(ib), corner(ic));
        let (ab, ac) = (b - a, c - a);
        let flat = ab.cross(ac);
        let towards_eye = if self.perspective { self.eye - q } else { self.back };
        let front = flat.dot(towards_eye) * self.turned >= 0.0;
        let per_square = 1.0 / flat.length_squared().max(f32::MIN_POSITIVE);
        let aq = q - a;
        let share_b = (aq.cross(ac).dot(flat) * per_square).clamp(0.0, 1.0);
        let share_c = (ab.cross(aq).dot(flat) * per_square).clamp(0.0, 1.0 - share_b);
        let share_a = 1.0 - share_b - share_c;
        // Corners of a triangle differ by little and so do the lengths of their packed normals: the mean alone is made
        // a unit.
        let [na, nb, nc] = self.prepared.corner_normals[t];
        let normal = unpack_normal(na) * share_a + unpack_normal(nb) * share_b + unpack_normal(nc) * share_c;
        let normal = normal * (1.0 / normal.length_squared().max(f32::MIN_POSITIVE).sqrt());
        let mut colour = match &self.paint {
            ReadyPaint::Uniform(c) => *c,
            ReadyPaint::PerTriangle(labels, colours) => {
                labels.get(t).and_then(|l| colours.get(*l as usize)).copied().unwrap_or(self.theme.part)
            }
            ReadyPaint::PerVertex(values, scale, ramp) => {
                let value_at = |v: u32| values.get(v as usize).copied().unwrap_or(f32::NAN);
                let value = value_at(ia) * share_a + value_at(ib) * share_b + value_at(ic) * share_c;
                if value.is_nan() {
                    self.theme.part
                } else {
                    ramp[(scale.share(value) * (RAMP_STEPS - 1) as f32 + 0.5) as usize]
                }
            }
            ReadyPaint::InCells(field, until, scale, ramp) => {
                let value = field.on_wall(q + self.prepared.centre, -flat * per_square.sqrt());
                if value <= *until {
                    ramp[(scale.share(value) * (RAMP_STEPS - 1) as f32 + 0.5) as usize]
                } else {
                    self.theme.part
                }
            }
        };
        let inside = !front && !self.closed;
        if inside {
            colour = mix(colour, self.theme.inside, 0.75);
        }
        let mut marked = 0f32;
        for mark in &self.marks {
            let on = mark.triangles.is_none_or(|set| set.get(t).copied().unwrap_or(false))
                && mark.beyond.iter().all(|(along, over)| along.dot(q) + over > 0.0);
            if on {
                let share = mark.strength * self.pattern(mark.pattern, at);
                colour = mix(colour, mark.colour, share);
                marked = marked.max(share);
            }
        }
        let normal = if front { normal } else { -normal };
        let square_on = if SQUARE {
            (normal.dot(towards_eye) / towards_eye.length().max(f32::MIN_POSITIVE)).abs().min(1.0)
        } else {
            1.0
        };
        (self.lit(colour, normal, open), marked, square_on)
    }

    /// Matt light: a wrapped main light, a wrapped fill, and what comes from everywhere, the last kept out of hollows.
    #[inline]
    fn lit(&self, colour: [f32; 3], normal: Vec3, open: f32) -> [f32; 3] {
        let key = ((normal.dot(self.key) + 0.18) / 1.18).max(0.0);
        let fill = ((normal.dot(self.fill) + 0.35) / 1.35).max(0.0);
        let shade = (0.33 + 0.25 * fill) * open;
        let light = 0.62 * key * (0.45 + 0.55 * open);
        // Shade is a touch cooler than light, as daylight is.
        [
            colour[0] * (shade * 0.955 + light * 1.02),
            colour[1] * (shade * 0.985 + light),
            colour[2] * (shade * 1.05 + light * 0.965),
        ]
    }

    /// The face of a section: flat, with thin slanted lines as on a drawing.
    fn cap_colour(&self, at: Vec2) -> [f32; 3] {
        let own = match &self.paint {
            ReadyPaint::Uniform(c) => mix(self.theme.cap, *c, 0.35),
            _ => self.theme.cap,
        };
        mix(own, self.theme.outline, 0.55 * hatch(at - self.anchor, self.hatch_px * 1.15, 0.13, true))
    }

    fn pattern(&self, pattern: Pattern, at: Vec2) -> f32 {
        let p = at - self.anchor;
        match pattern {
            Pattern::Fill => 1.0,
            Pattern::Hatch => hatch(p, self.hatch_px, 0.26, false),
            Pattern::Stipple => stipple(p, self.hatch_px * 0.8),
        }
    }
}

/// Coverage of slanted lines that take the share `wide` of their spacing; edges soft over one pixel.
fn hatch(p: Vec2, spacing: f32, wide: f32, falling: bool) -> f32 {
    let s = std::f32::consts::FRAC_1_SQRT_2;
    let along = if falling { (p.x - p.y) * s } else { (p.x + p.y) * s };
    let from_middle = (along.rem_euclid(spacing) - spacing * 0.5).abs();
    (spacing * wide * 0.5 + 0.5 - from_middle).clamp(0.0, 1.0)
}

/// Coverage of dots on a lattice with every second row moved by half.
fn stipple(p: Vec2, spacing: f32) -> f32 {
    let row = (p.y / spacing).floor();
    let x = p.x + if row.rem_euclid(2.0) < 1.0 { 0.0 } else { spacing * 0.5 };
    let d = Vec2::new(x.rem_euclid(spacing), p.y - row * spacing) - Vec2::splat(spacing * 0.5);
    (spacing * 0.22 + 0.5 - d.length()).clamp(0.0, 1.0)
}

/// The mix of two colours in linear light.
#[inline]
pub(crate) fn mix(a: [f32; 3], b: [f32; 3], t: f32) -> [f32; 3] {
    [a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t, a[2] + (b[2] - a[2]) * t]
}

/// The shader that an id belongs to.
#[inline]
pub(crate) fn shader_of<'s, 'a>(shaders: &'s [Shader<'a>], id: u32) -> &'s Shader<'a> {
    match shaders {
        [only] => only,
        _ => &shaders[shaders.partition_point(|s| s.first <= id & !FACE) - 1],
    }
}

/// Linear light to and from sRGB by table.
pub(crate) struct Tables {
    to_byte: Vec<u8>,
    to_linear: [f32; 256],
}

impl Tables {
    const STEPS: usize = 4096;

    pub fn new() -> Tables {
        Tables {
            // Spaced by square root, so that dark steps are as fine as light ones.
            to_byte: (0..=Self::STEPS)
                .map(|i| {
                    let root = i as f32 / Self::STEPS as f32;
                    (palette::srgb_from_linear(root * root) * 255.0 + 0.5) as u8
                })
                .collect(),
            to_linear: std::array::from_fn(|i| palette::linear_from_srgb(i as f32 / 255.0)),
        }
    }

    #[inline]
    pub fn byte(&self, linear: f32) -> u8 {
        self.to_byte[(linear.clamp(0.0, 1.0).sqrt() * Self::STEPS as f32 + 0.5) as usize]
    }

    #[inline]
    pub fn linear(&self, byte: u8) -> f32 {
        self.to_linear[byte as usize]
    }

    /// Lays a colour over a pixel.
    #[inline]
    pub fn blend(&self, pixel: &mut [u8], colour: [f32; 3], share: f32) {
        for (p, c) in pixel.iter_mut().zip(colour) {
            let under = self.linear(*p);
            *p = self.byte(under + (c - under) * share);
        }
    }
}

/// The ground at a row, linear.
pub(crate) fn ground(theme: &Theme, y: usize, height: usize) -> [f32; 3] {
    let t = (y as f32 + 0.5) / height.max(1) as f32;
    let (a, b): (Colour, Colour) = (theme.ground_top, theme.ground_bottom);
    mix(a.linear(), b.linear(), t)
}
