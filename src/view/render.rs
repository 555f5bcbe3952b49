//! The renderer: keeps its buffers and what it derived from each mesh, turns a scene and a camera into a picture.

use crate::mesh::{Bounds, Mesh, solids as mesh_solids};
use crate::view::camera::{Camera, Projection};
use crate::view::canvas::Canvas;
use crate::view::figures;
use crate::view::furniture::{self, Sketch};
use crate::view::glass::{self, Pane};
use crate::view::occlusion::Openness;
use crate::view::outline;
use crate::view::palette;
use crate::view::picture::{FACE, Layer, Pickable, Picture};
use crate::view::prepared::Prepared;
use crate::view::raster::{self, Batch, Bins, Cap, Grid};
use crate::view::scene::{LinePaint, LineStyle, Mark, Opacity, Paint, Plane, Scene, moved_box};
use crate::view::shade::{self, Shader, Subject, Tables};
use crate::view::stage::{ScreenVertex, Stage};
use crate::view::strokes::{self, Look, Occluders, Piece, Stroke};
use crate::view::tags;
use glam::{DAffine3, DVec2, Vec2};
use rayon::prelude::*;
use std::collections::HashMap;
use std::sync::{Arc, Weak};

/// Largest picture that is drawn, pixels along a side; a larger camera gets an empty picture.
const LARGEST_PX: usize = 8192;

/// How far round a place hollows count, as a share of the scene's diagonal.
const HOLLOW_SHARE: f32 = 0.035;

/// Share of the outline's colour over the surface.
const OUTLINE_STRENGTH: f32 = 0.85;

/// How much care is taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Quality {
    /// One sample a pixel: while something moves.
    Draft,
    /// Four samples a pixel: when still.
    #[default]
    Fine,
}

impl Quality {
    /// Samples along each side of a pixel.
    pub fn per_side(self) -> usize {
        match self {
            Quality::Draft => 1,
            Quality::Fine => 2,
        }
    }
}

/// Draws pictures. Make one and keep it: its buffers and its notes on meshes are used again for each picture.
pub struct Renderer {
    pub(crate) picture: Picture,
    pub(crate) tables: Tables,
    cache: HashMap<(usize, u32), (Weak<Mesh>, Arc<Prepared>)>,
    vertices: Vec<ScreenVertex>,
    bins: Bins,
    openness: Openness,
    canvas: Canvas,
}

impl Default for Renderer {
    fn default() -> Self {
        Renderer::new()
    }
}

/// A surface or solid on its way through the renderer.
pub(crate) struct Item {
    pub mesh: Arc<Mesh>,
    pub world_from_mesh: DAffine3,
    pub prepared: Arc<Prepared>,
    pub first: u32,
    pub cut: Option<Plane>,
    /// Share that it takes of the light, where it is glass.
    pub glass: Option<f32>,
    /// How far it is drawn nearer to the eye than it is, millimetres.
    pub lift_mm: f32,
    /// Index in the scene's surfaces or solids.
    pub index: usize,
}

impl Renderer {
    /// A renderer that has drawn nothing yet.
    pub fn new() -> Renderer {
        Renderer {
            picture: Picture::empty(),
            tables: Tables::new(),
            cache: HashMap::new(),
            vertices: Vec::new(),
            bins: Bins::default(),
            openness: Openness::default(),
            canvas: Canvas::default(),
        }
    }

    /// Takes what was derived from a mesh elsewhere, for example on the thread that read it, so that the first picture
    /// need not wait for it.
    pub fn adopt(&mut self, mesh: &Arc<Mesh>, prepared: Arc<Prepared>) {
        let key = (Arc::as_ptr(mesh) as usize, prepared.crease_angle.to_bits());
        self.cache.insert(key, (Arc::downgrade(mesh), prepared));
    }

    /// The last picture drawn.
    pub fn picture(&self) -> &Picture {
        &self.picture
    }

    fn prepared(&mut self, mesh: &Arc<Mesh>, crease_angle: f32) -> Arc<Prepared> {
        let key = (Arc::as_ptr(mesh) as usize, crease_angle.to_bits());
        if let Some((held, prepared)) = self.cache.get(&key)
            && held.upgrade().is_some_and(|h| Arc::ptr_eq(&h, mesh))
        {
            return prepared.clone();
        }
        let prepared = Arc::new(Prepared::new(mesh, crease_angle));
        self.cache.insert(key, (Arc::downgrade(mesh), prepared.clone()));
        prepared
    }

    /// Draws a scene. The picture is as large as the camera says; it is empty where that is nothing or beyond 8192 pixels
    /// a side.
    pub fn render(&mut self, scene: &Scene, camera: &Camera, quality: Quality) -> &Picture {
        self.cache.retain(|_, (mesh, _)| mesh.strong_count() > 0);
        let (width, height) = (camera.size_px.x.round().max(0.0) as usize, camera.size_px.y.round().max(0.0) as usize);
        let drawable = (1..=LARGEST_PX).contains(&width) && (1..=LARGEST_PX).contains(&height);
        let (width, height) = if drawable { (width, height) } else { (0, 0) };
        let per_side = quality.per_side();
        let grid = Grid { width: width * per_side, height: height * per_side };
        let mut camera = *camera;
        camera.size_px = DVec2::new(width as f64, height as f64);
        let picture = &mut self.picture;
        (picture.width, picture.height, picture.per_side, picture.camera) = (width, height, per_side, camera);
        picture.rgba.resize(width * height * 4, 255);
        picture.opaque.resize(grid.width * grid.height);
        picture.spans.clear();
        picture.tags.clear();
        picture.glass.resize(0);
        if !drawable {
            (picture.surfaces, picture.solids) = (Vec::new(), Vec::new());
            picture.opaque.resize(0);
            picture.solid.resize(0);
            return &self.picture;
        }

        // Surfaces and solids with their ids.
        let mut first = 1u32;
        let mut surfaces = Vec::with_capacity(scene.surfaces.len());
        for (index, surface) in scene.surfaces.iter().enumerate() {
            let prepared = self.prepared(&surface.mesh, surface.crease_angle);
            let cut = scene.section.filter(|_| surface.sectioned);
            let (mesh, world_from_mesh) = (surface.mesh.clone(), surface.world_from_mesh);
            let glass = match surface.opacity {
                Opacity::Opaque => None,
                Opacity::Glass(share) => Some(share.clamp(0.0, 1.0)),
            };
            surfaces.push(Item { mesh, world_from_mesh, prepared, first, cut, glass, lift_mm: 0.0, index });
            first += surface.mesh.triangles.len() as u32 + 1;
        }
        let mut panes = Vec::with_capacity(scene.boxes.len());
        for (index, glass) in scene.boxes.iter().enumerate() {
            let mesh = Arc::new(mesh_solids::cuboid(glass.bounds.min, glass.bounds.max));
            let prepared = Arc::new(Prepared::new(&mesh, 30f32.to_radians()));
            let (world_from_mesh, glass) = (glass.world_from_box, Some(glass.glass.clamp(0.0, 1.0)));
            panes.push(Item { mesh, world_from_mesh, prepared, first, cut: None, glass, lift_mm: 0.0, index });
            first += 13;
        }
        let mut first = 1u32;
        let mut solids = Vec::with_capacity(scene.solids.len());
        for (index, solid) in scene.solids.iter().enumerate() {
            let (mesh, world_from_mesh) = figures::mesh_of(&solid.shape);
            let prepared = if matches!(solid.shape, crate::view::scene::Shape::Mesh { .. }) {
                self.prepared(&mesh, 30f32.to_radians())
            } else {
                Arc::new(Prepared::new(&mesh, 40f32.to_radians()))
            };
            let next = first + mesh.triangles.len() as u32 + 1;
            solids.push(Item {
                mesh,
                world_from_mesh,
                prepared,
                first,
                cut: None,
                glass: None,
                lift_mm: solid.lift_mm,
                index,
            });
            first = next;
        }
        let pickable = |item: &Item, pick| Pickable {
            first: item.first,
            pick,
            mesh: item.mesh.clone(),
            world_from_mesh: item.world_from_mesh,
            cut: item.cut,
        };
        self.picture.surfaces = surfaces.iter().map(|i| pickable(i, scene.surfaces[i.index].pick)).collect();
        self.picture.solids = solids.iter().map(|i| pickable(i, scene.solids[i.index].pick)).collect();

        // Opaque surfaces, then solids, each into a layer of their own.
        let opaque: Vec<&Item> = surfaces.iter().filter(|i| i.glass.is_none()).collect();
        let mut layer = std::mem::take(&mut self.picture.opaque);
        self.fill(&opaque, &camera, per_side, grid, &mut layer);
        self.picture.opaque = layer;
        let mut layer = std::mem::take(&mut self.picture.solid);
        layer.resize(if solids.is_empty() { 0 } else { grid.width * grid.height });
        if !solids.is_empty() {
            self.fill(&solids.iter().collect::<Vec<_>>(), &camera, per_side, grid, &mut layer);
        }
        self.picture.solid = layer;

        let no_marks: Vec<Mark> = Vec::new();
        let surface_shaders: Vec<Shader<'_>> = surfaces
            .iter()
            .map(|item| {
                let s = &scene.surfaces[item.index];
                Shader::new(subject(item, &s.paint, &s.marks, 0.0), &camera, &scene.theme, scene.px_per_point)
            })
            .collect();
        let solid_paints: Vec<Paint> = scene.solids.iter().map(|s| Paint::Uniform(s.colour)).collect();
        let solid_shaders: Vec<Shader<'_>> = solids
            .iter()
            .map(|item| {
                let ghost = scene.solids[item.index].ghost.clamp(0.0, 1.0);
                let subject = subject(item, &solid_paints[item.index], &no_marks, ghost);
                Shader::new(subject, &camera, &scene.theme, scene.px_per_point)
            })
            .collect();
        let boxes = surfaces.iter().chain(&panes).map(|i| moved_box(&i.prepared.bounds, &i.world_from_mesh));
        let radius_mm = boxes.fold(Bounds::EMPTY, |all, b| all.union(b)).diagonal() * HOLLOW_SHARE;
        let (stride, pairs) = match quality {
            Quality::Draft => (3, 4),
            Quality::Fine => (4, 8),
        };
        self.openness.find(&self.picture.opaque, grid, &camera, per_side, stride, radius_mm, pairs);
        self.resolve(scene, &camera, grid, &surface_shaders, &solid_shaders);
        self.lay_glass(scene, &camera, grid, &surfaces, &panes);
        self.draw_lines(scene, &camera, grid, &surfaces, &solids);
        self.furnish(scene, &camera);
        &self.picture
    }

    /// Glass surfaces and boxes over what is there.
    fn lay_glass(&mut self, scene: &Scene, camera: &Camera, grid: Grid, surfaces: &[Item], boxes: &[Item]) {
        let glass_paint = Paint::Uniform(scene.theme.glass);
        let bodies: Vec<&Item> = surfaces.iter().filter(|i| i.glass.is_some()).collect();
        if bodies.is_empty() && boxes.is_empty() {
            return;
        }
        let mut panes: Vec<Pane<'_>> = Vec::new();
        let wanted = bodies.iter().map(|item| {
            let s = &scene.surfaces[item.index];
            (*item, &s.paint, s.marks.as_slice(), s.pick.is_some(), true)
        });
        let boxed = boxes.iter().map(|item| (item, &glass_paint, [].as_slice(), false, false));
        for (item, paint, marks, picked, rimmed) in wanted.chain(boxed) {
            let shader = Shader::new(subject(item, paint, marks, 0.0), camera, &scene.theme, scene.px_per_point);
            panes.push(Pane { shader, take: item.glass.unwrap_or(0.0), picked, rimmed });
        }
        let picked = panes.iter().any(|p| p.picked);
        let picture = &mut self.picture;
        picture.glass.resize(if picked { grid.width * grid.height } else { 0 });
        let items: Vec<&Item> = bodies.into_iter().chain(boxes).collect();
        let batches = staged(&mut self.vertices, &items, camera, picture.per_side);
        self.bins.sort(&batches, grid);
        let (in_front, rgba) = ([&picture.opaque, &picture.solid], &mut picture.rgba);
        glass::lay(
            &self.bins,
            &batches,
            &panes,
            grid,
            picture.per_side,
            in_front,
            &mut picture.glass,
            rgba,
            &self.tables,
        );
    }

    /// Box edges, creases and the scene's lines.
    fn draw_lines(&mut self, scene: &Scene, camera: &Camera, grid: Grid, surfaces: &[Item], solids: &[Item]) {
        let mut spans = std::mem::take(&mut self.picture.spans);
        let picture = &self.picture;
        let per_side = picture.per_side;
        let occluders = Occluders::new([&picture.opaque, &picture.solid], grid, per_side, camera);
        let pt = scene.px_per_point;
        let outline = scene.theme.outline.linear();
        let plain = |width_pt: f32, strength: f32, ghost: f32| Look {
            style: LineStyle::Plain,
            half_px: width_pt * 0.5 * pt,
            dark: outline,
            strength,
            ghost,
            px_per_point: pt,
        };
        let mut strokes: Vec<Stroke> = Vec::new();
        for glass in &scene.boxes {
            let stage = Stage::new(camera, &glass.world_from_box, glass.bounds.centre(), per_side, None);
            let c = scene.theme.grid.linear();
            for line in furniture::box_lines(glass) {
                let mut pieces = Vec::new();
                occluders.trace(&stage, line.ends, [c, c], 0.0, None, &mut 0.0, false, &mut pieces);
                strokes.push(Stroke { look: plain(line.width_pt, line.strength, 0.0), pieces });
            }
        }
        let outlined = surfaces.iter().filter(|i| scene.surfaces[i.index].outline).map(|i| {
            let strength = if i.glass.is_some() { 0.42 } else { 0.8 };
            (i, strength, 0.0)
        });
        let creased = solids.iter().filter(|i| scene.solids[i.index].creases);
        let solid_creases = creased.map(|i| (i, 0.8, scene.solids[i.index].ghost * 0.7));
        for (item, strength, ghost) in outlined.chain(solid_creases) {
            let stage = Stage::new(camera, &item.world_from_mesh, item.prepared.centre, per_side, item.cut);
            let ends = |v: u32| item.mesh.positions[v as usize];
            let parts: Vec<Vec<Piece>> = item
                .prepared
                .edges
                .par_chunks(2048)
                .map(|edges| {
                    let mut pieces = Vec::new();
                    for e in edges {
                        let ends = e.vertices.map(ends);
                        let keep_hidden = ghost > 0.0;
                        occluders.trace(&stage, ends, [outline; 2], 0.0, None, &mut 0.0, keep_hidden, &mut pieces);
                    }
                    pieces
                })
                .collect();
            strokes.push(Stroke { look: plain(0.95, strength, ghost), pieces: parts.concat() });
        }
        let traced: Vec<Stroke> = scene
            .lines
            .par_iter()
            .map(|line| {
                let mut pieces = Vec::new();
                let cut = scene.section.filter(|_| line.sectioned);
                let centre = line.points.first().copied().unwrap_or_default();
                let stage = Stage::new(camera, &DAffine3::IDENTITY, centre, per_side, cut);
                let colour = |i: usize| match &line.paint {
                    LinePaint::Uniform(c) => c.linear(),
                    LinePaint::PerPoint(all) => all.get(i).copied().unwrap_or(scene.theme.ink).linear(),
                };
                let dash = line.dash_pt.map(|(on, off)| (on.max(0.1) * pt, off.max(0.0) * pt));
                let mut walked = 0.0;
                let n = line.points.len();
                let count = if line.closed && n > 2 { n } else { n.saturating_sub(1) };
                for i in 0..count {
                    let j = (i + 1) % n;
                    let (ends, colours) = ([line.points[i], line.points[j]], [colour(i), colour(j)]);
                    let hidden = line.ghost > 0.0;
                    occluders.trace(&stage, ends, colours, line.lift_mm, dash, &mut walked, hidden, &mut pieces);
                }
                let look = Look {
                    style: line.style,
                    half_px: (line.width_pt * 0.5 * pt).max(0.1),
                    dark: palette::LINE_DARK.linear(),
                    strength: 1.0,
                    ghost: line.ghost.clamp(0.0, 1.0),
                    px_per_point: pt,
                };
                Stroke { look, pieces }
            })
            .collect();
        for (line, stroke) in scene.lines.iter().zip(&traced) {
            if let Some(pick) = line.pick {
                strokes::spans(&stroke.pieces, pick, &mut spans);
            }
        }
        strokes.extend(traced);
        let width = self.picture.width;
        strokes::paint(&strokes, &mut self.picture.rgba, width, &self.tables);
        self.picture.spans = spans;
    }

    /// Tags, axes and the scale bar.
    fn furnish(&mut self, scene: &Scene, camera: &Camera) {
        let placed = tags::place(&scene.tags, camera, scene.px_per_point);
        let mut sketch = Sketch {
            rgba: &mut self.picture.rgba,
            width: self.picture.width,
            tables: &self.tables,
            px_per_point: scene.px_per_point,
            theme: &scene.theme,
            canvas: &mut self.canvas,
        };
        if let Some(axes) = &scene.axes {
            sketch.axes(axes, camera);
        }
        if scene.scale_bar {
            sketch.scale_bar(camera);
        }
        sketch.tags(&scene.tags, &placed);
        self.picture.tags = placed;
    }

    /// Keeps the nearest sample of the items.
    fn fill(&mut self, items: &[&Item], camera: &Camera, per_side: usize, grid: Grid, layer: &mut Layer) {
        let batches = staged(&mut self.vertices, items, camera, per_side);
        self.bins.sort(&batches, grid);
        raster::fill(&self.bins, &batches, grid, layer);
    }

    /// Shades every pixel.
    fn resolve(&mut self, scene: &Scene, camera: &Camera, grid: Grid, surfaces: &[Shader<'_>], solids: &[Shader<'_>]) {
        let picture = &mut self.picture;
        let (width, height, per_side) = (picture.width, picture.height, picture.per_side);
        let (opaque, solid, tables, openness) = (&picture.opaque, &picture.solid, &self.tables, &self.openness);
        let reach = ((scene.px_per_point * per_side as f32 * 0.8).round() as usize).max(1);
        let rule = outline::Rule::new(camera, per_side, reach);
        let edge = scene.theme.outline.linear();
        let inverse = 1.0 / per_side as f32;
        let share = inverse * inverse;
        picture.rgba.par_chunks_mut(width * 4).enumerate().for_each_init(
            || (vec![false; grid.width * per_side], vec![false; grid.width * per_side]),
            |(opaque_edge, solid_edge), (y, row)| {
                let ground = shade::ground(&scene.theme, y, height);
                let ground_bytes = [tables.byte(ground[0]), tables.byte(ground[1]), tables.byte(ground[2]), 255];
                for k in 0..per_side {
                    let part = k * grid.width..(k + 1) * grid.width;
                    rule.row(opaque, grid, y * per_side + k, &mut opaque_edge[part.clone()]);
                    if !solids.is_empty() {
                        rule.row(solid, grid, y * per_side + k, &mut solid_edge[part]);
                    }
                }
                // What the pixel before found for this one too.
                let mut same: Option<[u8; 4]> = None;
                for (x, pixel) in row.chunks_exact_mut(4).enumerate() {
                    if let Some(bytes) = same.take() {
                        pixel.copy_from_slice(&bytes);
                        continue;
                    }
                    // Most pixels show the ground alone, or one triangle and no solid: nothing to sort out.
                    let corner = y * per_side * grid.width + x * per_side;
                    let id = opaque.id[corner];
                    let mut plain = true;
                    for ky in 0..per_side {
                        for s in corner + ky * grid.width..corner + ky * grid.width + per_side {
                            plain &= opaque.id[s] == id && (solids.is_empty() || solid.id[s] == 0);
                        }
                    }
                    if plain && id == 0 {
                        pixel.copy_from_slice(&ground_bytes);
                        continue;
                    }
                    if plain && per_side == 1 {
                        let shader = shade::shader_of(surfaces, id);
                        // In a draft two pixels beside each other on one triangle are shaded once, between them.
                        let next = corner + 1;
                        let twice = x + 1 < width
                            && opaque.id[next] == id
                            && (solids.is_empty() || solid.id[next] == 0)
                            && !opaque_edge[x]
                            && !opaque_edge[x + 1]
                            && shader.is_even(id);
                        let (across, near) = if twice {
                            (1.0, 0.5 * (opaque.near[corner] + opaque.near[next]))
                        } else {
                            (0.5, opaque.near[corner])
                        };
                        let at = Vec2::new(x as f32 + across, y as f32 + 0.5);
                        let mut colour = shader.colour(id, at, near, openness.at(x, y));
                        if opaque_edge[x] {
                            colour = shade::mix(colour, edge, OUTLINE_STRENGTH);
                        }
                        let [r, g, b] = colour;
                        let bytes = [tables.byte(r), tables.byte(g), tables.byte(b), 255];
                        pixel.copy_from_slice(&bytes);
                        same = twice.then_some(bytes);
                        continue;
                    }
                    let mut sum = [0f32; 3];
                    let mut samples = [(0u32, 0f32, Vec2::ZERO, false); 4];
                    let mut over = [(0u32, 0f32, Vec2::ZERO, false); 4];
                    let count = per_side * per_side;
                    for i in 0..count {
                        let (kx, ky) = (i % per_side, i / per_side);
                        let (sx, sy) = (x * per_side + kx, y * per_side + ky);
                        let at = Vec2::new(sx as f32 + 0.5, sy as f32 + 0.5) * inverse;
                        let (s, local) = (sy * grid.width + sx, ky * grid.width + sx);
                        samples[i] = (opaque.id[s], opaque.near[s], at, opaque_edge[local]);
                        if !solids.is_empty() {
                            over[i] = (solid.id[s], solid.near[s], at, solid_edge[local]);
                        }
                    }
                    let open = openness.at(x * per_side, y * per_side);
                    let under = shades(&samples[..count], surfaces, edge, open);
                    let above = if solids.is_empty() { [None; 4] } else { shades(&over[..count], solids, edge, 1.0) };
                    for i in 0..count {
                        let mut colour = under[i].unwrap_or(ground);
                        if let Some(solid_colour) = above[i] {
                            let seen = over[i].1 >= samples[i].1;
                            let t = if seen { 1.0 } else { shade::shader_of(solids, over[i].0).ghost };
                            colour = shade::mix(colour, solid_colour, t);
                        }
                        for c in 0..3 {
                            sum[c] += colour[c] * share;
                        }
                    }
                    for c in 0..3 {
                        pixel[c] = tables.byte(sum[c]);
                    }
                    pixel[3] = 255;
                }
            },
        );
    }
}

/// Colours of the samples of a pixel: samples of one triangle are shaded once, in their middle.
#[inline]
fn shades(
    samples: &[(u32, f32, Vec2, bool)],
    shaders: &[Shader<'_>],
    edge: [f32; 3],
    open: f32,
) -> [Option<[f32; 3]>; 4] {
    let mut colours = [None; 4];
    for i in 0..samples.len() {
        let id = samples[i].0;
        if id == 0 || colours[i].is_some() {
            continue;
        }
        let (mut near, mut at, mut n) = (0.0, Vec2::ZERO, 0.0);
        for s in samples.iter().filter(|s| s.0 == id) {
            (near, at, n) = (near + s.1, at + s.2, n + 1.0);
        }
        let colour = shade::shader_of(shaders, id).colour(id, at / n, near / n, open);
        for (c, s) in colours.iter_mut().zip(samples).skip(i) {
            if s.0 == id {
                *c = Some(if s.3 { shade::mix(colour, edge, OUTLINE_STRENGTH) } else { colour });
            }
        }
    }
    colours
}

/// Brings items to the screen.
fn staged<'a>(
    vertices: &'a mut Vec<ScreenVertex>,
    items: &[&'a Item],
    camera: &Camera,
    per_side: usize,
) -> Vec<Batch<'a>> {
    let total: usize = items.iter().map(|i| i.mesh.positions.len()).sum();
    if vertices.len() < total {
        vertices.resize(total, ScreenVertex::default());
    }
    let mut rest = vertices.as_mut_slice();
    let mut batches = Vec::with_capacity(items.len());
    for item in items {
        let (own, after) = rest.split_at_mut(item.mesh.positions.len());
        rest = after;
        let stage = Stage::new(camera, &item.world_from_mesh, item.prepared.centre, per_side, item.cut);
        let stage = stage.lifted(item.lift_mm);
        stage.vertices(&item.mesh, own);
        let mirrored = item.world_from_mesh.matrix3.determinant() < 0.0;
        batches.push(Batch {
            stage,
            positions: &item.mesh.positions,
            triangles: &item.mesh.triangles,
            vertices: own,
            first: item.first,
            cull: item.glass.is_none() && item.prepared.outward && item.cut.is_none() && !mirrored,
            capped: item.cut.filter(|_| item.glass.is_none()).and_then(|plane| cap(camera, &plane, per_side, item)),
        });
    }
    batches
}

fn subject<'a>(item: &'a Item, paint: &'a Paint, marks: &'a [Mark], ghost: f32) -> Subject<'a> {
    Subject {
        first: item.first,
        mesh: &item.mesh,
        prepared: item.prepared.clone(),
        world_from_mesh: item.world_from_mesh,
        paint,
        marks,
        ghost,
    }
}

/// How the face of a section lies over the grid; none where it is seen edge-on or from behind, so that the solid itself
/// hides it.
fn cap(camera: &Camera, plane: &Plane, per_side: usize, item: &Item) -> Option<Cap> {
    let view_from_world = camera.world_from_view.inverse();
    let (n, p) = (view_from_world * plane.normal, camera.in_view(plane.point));
    let s = per_side as f64;
    let middle = camera.size_px * (0.5 * s);
    // A sample at (x, y) of the grid, about the picture's middle, along the view frame's axes.
    let near = match camera.projection {
        Projection::Perspective => {
            // On the plane: n·(ray·depth + eye − p) = 0 with ray = (u, v, −1), so 1/depth = −n·ray / n·(eye − p).
            let eye_height = n.dot(glam::DVec3::Z * camera.distance_mm - p);
            if eye_height <= 1e-9 {
                return None;
            }
            let k = 1.0 / (camera.focal_px() * s);
            let (right, down) = (-n.x * k / eye_height, n.y * k / eye_height);
            [n.z / eye_height + right * (0.5 - middle.x) + down * (0.5 - middle.y), right, down]
        }
        Projection::Parallel => {
            if n.z <= 1e-6 {
                return None;
            }
            let k = 1.0 / (camera.px_per_mm() * s);
            let (right, down) = (-n.x * k / n.z, n.y * k / n.z);
            [n.dot(p) / n.z + right * (0.5 - middle.x) + down * (0.5 - middle.y), right, down]
        }
    };
    item.prepared.closed.then_some(Cap { near, id: FACE | item.first })
}
