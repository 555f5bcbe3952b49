//! What is drawn: a plain list of things, made afresh by the caller whenever something changes.
//!
//! Meshes and per-triangle data are shared by [`Arc`], never copied. The renderer keeps what it derives from a mesh (its
//! smooth normals and crease edges) under the `Arc` itself, so pass the same `Arc` again for the same mesh.

use crate::mesh::{Bounds, Mesh};
use crate::solve::cell_field::CellField;
use crate::view::palette::{Colour, Scale, Theme};
use glam::{DAffine3, DVec3, Vec3};
use std::sync::Arc;

/// What the caller calls a thing, handed back by picking.
pub type PickId = u32;

/// Everything in one picture. Lengths in millimetres, positions in the world (the `work` frame) unless said otherwise.
#[derive(Clone, Debug)]
pub struct Scene {
    /// Colours of the ground and of the bare part.
    pub theme: Theme,
    /// Pixels of the picture for one point of the window, 1 on a plain screen, 2 on a dense one: widths of lines, tags
    /// and letters follow it.
    pub px_per_point: f32,
    /// Parts, inserts, cut halves: things with a true surface.
    pub surfaces: Vec<Surface>,
    /// Placed things: gates, vents, arrows. Where they lie behind a surface they show through it faintly.
    pub solids: Vec<Solid>,
    /// Lines on and through the part. Where they lie behind a surface they show through it faintly.
    pub lines: Vec<Line>,
    /// Numbered tags.
    pub tags: Vec<Tag>,
    /// The block or the box as thin glass with a floor grid.
    pub boxes: Vec<GlassBox>,
    /// A small set of axes with the up arrow, in the lower left corner.
    pub axes: Option<Axes>,
    /// A scale bar at the lower right; drawn in parallel views only, since only there it holds everywhere.
    pub scale_bar: bool,
    /// Cuts away what lies on the side that its normal points to.
    pub section: Option<Plane>,
}

impl Scene {
    /// An empty scene on the given ground.
    pub fn new(theme: Theme) -> Scene {
        Scene {
            theme,
            px_per_point: 1.0,
            surfaces: Vec::new(),
            solids: Vec::new(),
            lines: Vec::new(),
            tags: Vec::new(),
            boxes: Vec::new(),
            axes: None,
            scale_bar: false,
            section: None,
        }
    }

    /// The box round all surfaces and glass boxes, in the world.
    pub fn bounds(&self) -> Bounds {
        let mut all = Bounds::EMPTY;
        for surface in &self.surfaces {
            all = all.union(moved_box(&surface.mesh.bounds(), &surface.world_from_mesh));
        }
        for b in &self.boxes {
            all = all.union(moved_box(&b.bounds, &b.world_from_box));
        }
        all
    }
}

/// The axis-aligned box round a moved box.
pub fn moved_box(bounds: &Bounds, target_from_source: &DAffine3) -> Bounds {
    if bounds.is_empty() {
        return Bounds::EMPTY;
    }
    let (min, max) = (bounds.min, bounds.max);
    Bounds::of((0..8).map(|i| {
        let p = Vec3::new(
            if i & 1 == 0 { min.x } else { max.x },
            if i & 2 == 0 { min.y } else { max.y },
            if i & 4 == 0 { min.z } else { max.z },
        );
        target_from_source.transform_point3(p.as_dvec3()).as_vec3()
    }))
}

/// A plane through `point`, square to the unit vector `normal`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Plane {
    /// A point of it.
    pub point: DVec3,
    /// Its unit normal.
    pub normal: DVec3,
}

impl Plane {
    /// Distance of `p` from the plane, positive on the side of the normal.
    pub fn height(&self, p: DVec3) -> f64 {
        (p - self.point).dot(self.normal)
    }
}

/// A mesh to be drawn.
#[derive(Clone, Debug)]
pub struct Surface {
    /// The mesh, shared.
    pub mesh: Arc<Mesh>,
    /// Where it stands: turned, moved, perhaps scaled alike in all directions; not sheared.
    pub world_from_mesh: DAffine3,
    /// Edges that bend by less are shaded smooth, the others keep their crease and get a crease line; radians.
    pub crease_angle: f32,
    /// Its colour.
    pub paint: Paint,
    /// Opaque or glass.
    pub opacity: Opacity,
    /// True for outline and crease lines.
    pub outline: bool,
    /// Areas set off by hatch, stipple or tint, later ones on top.
    pub marks: Vec<Mark>,
    /// True where the scene's section cuts it.
    pub sectioned: bool,
    /// What picking calls it; none lets picking look through it.
    pub pick: Option<PickId>,
}

impl Surface {
    /// An opaque surface in one colour with crease lines from 30° on.
    pub fn new(mesh: Arc<Mesh>, paint: Paint) -> Surface {
        Surface {
            mesh,
            world_from_mesh: DAffine3::IDENTITY,
            crease_angle: 30f32.to_radians(),
            paint,
            opacity: Opacity::Opaque,
            outline: true,
            marks: Vec::new(),
            sectioned: true,
            pick: None,
        }
    }
}

/// How a surface is coloured.
#[derive(Clone, Debug)]
pub enum Paint {
    /// One colour.
    Uniform(Colour),
    /// `colours[labels[t]]` for triangle `t`; a label without a colour takes the theme's part colour.
    PerTriangle {
        /// One label a triangle.
        labels: Arc<Vec<u8>>,
        /// Colour of each label.
        colours: Vec<Colour>,
    },
    /// The even ramp over one value a vertex; where the value is not a number, the theme's part colour.
    PerVertex {
        /// One value a vertex.
        values: Arc<Vec<f32>>,
        /// The range of the ramp.
        scale: Scale,
    },
    /// The even ramp over what stands in the cells of the solid behind the surface, place by place, however large its
    /// triangles are; where that is over `until` or nothing, the theme's part colour. In the frame of the mesh, whose
    /// triangles must face outwards.
    InCells {
        /// One value a cell.
        field: Arc<CellField>,
        /// The largest value that is shown.
        until: f32,
        /// The range of the ramp.
        scale: Scale,
    },
}

/// Whether one sees through a surface.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Opacity {
    /// Hides what is behind it.
    Opaque,
    /// Lets through all but this share where one looks straight at it, less towards its outline; 0 to 1.
    Glass(f32),
}

/// How a marked area is filled. Hatch and stipple keep their spacing in the picture, so that they stay readable.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pattern {
    /// A full tint.
    Fill,
    /// Slanted lines.
    Hatch,
    /// Dots.
    Stipple,
}

/// An area of a surface that is set off from the rest.
#[derive(Clone, Debug)]
pub struct Mark {
    /// Which triangles: one flag a triangle; none = all of them.
    pub triangles: Option<Arc<Vec<bool>>>,
    /// Only what lies on the side of the normal of each of these planes; exact to the pixel, not to the triangle.
    pub beyond: Vec<Plane>,
    /// How it is filled.
    pub pattern: Pattern,
    /// Colour of the tint, lines or dots.
    pub colour: Colour,
    /// Share of the colour over what is below, 0 to 1.
    pub strength: f32,
}

/// A placed thing of simple shape, true to scale.
#[derive(Clone, Debug)]
pub struct Solid {
    /// Its shape.
    pub shape: Shape,
    /// Its colour.
    pub colour: Colour,
    /// What picking calls it; none lets picking look through it.
    pub pick: Option<PickId>,
    /// Share of it that still shows where it lies behind a surface, 0 to 1.
    pub ghost: f32,
    /// How far it is drawn nearer to the eye than it is, millimetres: so that a skin which it shares with a surface is
    /// its own.
    pub lift_mm: f32,
    /// Draw its creases and rims.
    pub creases: bool,
}

impl Solid {
    /// A solid that shows through at a third, with its creases.
    pub fn new(shape: Shape, colour: Colour) -> Solid {
        Solid { shape, colour, pick: None, ghost: 0.34, lift_mm: 0.0, creases: true }
    }
}

/// Simple shapes, millimetres in the world.
#[derive(Clone, Debug)]
pub enum Shape {
    /// A rod, tapered where the radii differ.
    Rod {
        /// Middle of the first end.
        from: Vec3,
        /// Middle of the other end.
        to: Vec3,
        /// Radius at `from`.
        radius_from_mm: f32,
        /// Radius at `to`.
        radius_to_mm: f32,
    },
    /// A ball.
    Ball {
        /// Middle.
        centre: Vec3,
        /// Radius.
        radius_mm: f32,
    },
    /// A thin round plate, such as the mouth of a vent.
    Disc {
        /// Middle.
        centre: Vec3,
        /// Unit vector square to it.
        normal: Vec3,
        /// Radius.
        radius_mm: f32,
    },
    /// A ring round an axis.
    Ring {
        /// Middle.
        centre: Vec3,
        /// Unit vector along the axis.
        axis: Vec3,
        /// From the axis to the middle of the tube.
        radius_mm: f32,
        /// Half the thickness of the tube.
        tube_mm: f32,
    },
    /// An arrow.
    Arrow {
        /// Its foot.
        from: Vec3,
        /// Its point.
        to: Vec3,
        /// Radius of its shaft; the head is 2.4 times as wide.
        radius_mm: f32,
    },
    /// Any mesh, such as an insert or the cap of trapped air.
    Mesh {
        /// The mesh, shared.
        mesh: Arc<Mesh>,
        /// Where it stands.
        world_from_mesh: DAffine3,
    },
}

/// A line in space, of a width in pixels.
#[derive(Clone, Debug)]
pub struct Line {
    /// Its points.
    pub points: Vec<Vec3>,
    /// True where the last point joins the first.
    pub closed: bool,
    /// How it looks.
    pub style: LineStyle,
    /// Its colour.
    pub paint: LinePaint,
    /// Whole width, points (see [`Scene::px_per_point`]).
    pub width_pt: f32,
    /// Dash and gap, points.
    pub dash_pt: Option<(f32, f32)>,
    /// Share of it that still shows where it lies behind a surface, 0 to 1.
    pub ghost: f32,
    /// How far in front of its true place it is compared with surfaces, millimetres: more than the sagitta by which its
    /// chords dip below a curved surface.
    pub lift_mm: f32,
    /// True where the scene's section cuts it.
    pub sectioned: bool,
    /// What picking calls it.
    pub pick: Option<PickId>,
}

impl Line {
    /// A plain line of the given width, hidden parts at a third.
    pub fn new(points: Vec<Vec3>, style: LineStyle, paint: LinePaint, width_pt: f32) -> Line {
        let (closed, dash_pt, ghost, lift_mm, sectioned, pick) = (false, None, 0.3, 0.05, true, None);
        Line { points, closed, style, paint, width_pt, dash_pt, ghost, lift_mm, sectioned, pick }
    }
}

/// How a line looks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LineStyle {
    /// One colour.
    Plain,
    /// Light inside dark: the parting line. The inside takes the line's colour.
    Double,
    /// Rounded like a tube, with a dark edge.
    Tube,
}

/// Colour of a line.
#[derive(Clone, Debug)]
pub enum LinePaint {
    /// One colour.
    Uniform(Colour),
    /// One colour a point, mixed in between.
    PerPoint(Vec<Colour>),
}

/// Kinds of numbered tags: each has its own shape.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum TagKind {
    /// A drop that points down.
    Gate,
    /// A plain round.
    Vent,
    /// A six-sided nut.
    Insert,
    /// A triangle that points up, rounded.
    HighPoint,
    /// A square on its corner, rounded.
    Finding,
}

/// A numbered tag with a leader to its foot.
#[derive(Clone, Debug)]
pub struct Tag {
    /// Where the leader points, in the world.
    pub foot: Vec3,
    /// What kind of thing it names.
    pub kind: TagKind,
    /// What is written in it: a number, at most three characters.
    pub text: String,
    /// Its colour.
    pub colour: Colour,
    /// True while it is chosen: drawn with a heavier edge.
    pub chosen: bool,
    /// What picking calls it.
    pub pick: Option<PickId>,
}

/// A thin glass box with a grid on its floor (its lowest Z).
#[derive(Clone, Debug)]
pub struct GlassBox {
    /// Its corners, in its own frame.
    pub bounds: Bounds,
    /// Where it stands.
    pub world_from_box: DAffine3,
    /// Distance of the grid lines, millimetres, counted from the frame's origin; every tenth is heavier. None for no grid.
    pub grid_mm: Option<f32>,
    /// Share that the glass takes where one looks straight at it, 0 to 1.
    pub glass: f32,
}

/// A small set of axes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Axes {
    /// Unit vector that the word "up" stands at.
    pub up: DVec3,
    /// Unit vectors along X, Y and Z of the frame that the axes show.
    pub frame: [DVec3; 3],
}
