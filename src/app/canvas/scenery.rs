//! The scene that the view draws: made afresh from plan and facts whenever something that is seen has changed.

use super::extent::{block_in_box, cup_ends, draws_block, draws_channels, shows_ceilings, upright_from_work};
use super::sight::{Colouring, Sight};
use crate::app::held::Held;
use crate::app::opened::Opened;
use crate::app::theme::view_theme;
use crate::app::thing::Thing;
use crate::mesh::{Mesh, weld};
use crate::plan::Half;
use crate::study::air::closed_off::Basins;
use crate::study::air::facts::AirFacts;
use crate::study::bench::Facts;
use crate::study::findings::Step;
use crate::study::job::insert_shapes::InsertShape;
use crate::study::job::setting::Setting;
use crate::study::job::thickness::Thickness;
use crate::study::parting::PartingFacts;
use crate::study::parting::hand::Stroke;
use crate::study::parting::loop_kind::LoopKind;
use crate::study::parting::release::Release;
use crate::study::parting::wish::wish_of_plan;
use crate::study::pour::flow::Flow;
use crate::view::palette::{self, Colour, Scale};
use crate::view::scene::*;
use glam::{DAffine3, DVec3, Vec3};
use std::sync::Arc;

/// Picks of surfaces that are no single part: the body, the refined surface.
const BODY_PICK: PickId = 1 << 16;
/// Steps of the ramp for values by triangle.
const RAMP_STEPS: usize = 64;
/// Most pockets of trapped air that are drawn, largest first.
const MOST_POCKETS: usize = 60;
/// Most high points that get a tag, highest first.
const MOST_HIGH_POINTS: usize = 40;
/// How far trapped air is drawn nearer to the eye than it is, millimetres: its skin is the part's own.
const AIR_LIFT_MM: f32 = 0.06;
/// How far lines along the surface are lifted off it, and strokes of a hand, millimetres.
const LINE_LIFT_MM: f32 = 0.15;
/// Dash and gap of a shut-off, points.
const SHUT_OFF_DASH_PT: (f32, f32) = (9.0, 5.0);
const STROKE_LIFT_MM: f32 = 0.4;
/// Sizes as a share of the block's longest side: a pin's head, the ball at a lit place and the ring round that ball.
const PIN_SHARE: f32 = 0.006;
const LIT_SHARE: f32 = 0.012;
const LIT_RING: f32 = 2.6;
/// How much of a thing shows through what hides it: a lit place and air, the flow path, inserts, the cup.
const LIT_GHOST: f32 = 0.8;
const INSIDE_GHOST: f32 = 0.75;
const INSERT_GHOST: f32 = 0.45;
const CUP_GHOST: f32 = 0.2;
const CONTACT_GHOST: f32 = 0.3;
/// How much darker the other shot's part is.
pub const OTHER_DARKER: f32 = 0.45;

/// Both halves of the block, each drawn off along its draw; the part stays between them.
fn halves_apart(opened: &Opened, scene: &mut Scene) {
    let colours = [palette::HALF_1, palette::HALF_2];
    for (i, mesh) in opened.halves.meshes.iter().enumerate() {
        let by = opened.halves.draws[i] * (opened.halves.reach_mm * opened.share);
        let mut surface = Surface::new(mesh.clone(), Paint::Uniform(colours[i]));
        surface.world_from_mesh = DAffine3::from_translation(by.as_dvec3());
        scene.surfaces.push(surface);
    }
}

/// Something derived from facts, kept while the facts are the same.
#[derive(Debug)]
struct Kept<K, T> {
    last: Option<(K, T)>,
}

impl<K, T> Default for Kept<K, T> {
    fn default() -> Self {
        Kept { last: None }
    }
}

impl<K: PartialEq, T: Clone> Kept<K, T> {
    fn get(&mut self, key: K, make: impl FnOnce() -> T) -> T {
        match &self.last {
            Some((k, value)) if *k == key => value.clone(),
            _ => {
                let value = make();
                self.last = Some((key, value.clone()));
                value
            }
        }
    }
}

type Labels = Arc<Vec<u8>>;
type Flags = Arc<Vec<bool>>;
/// The parting whose surface the part is drawn as; none where it is the body's own.
type Refined = Option<Held<PartingFacts>>;

/// Makes scenes; keeps what is costly to derive.
#[derive(Debug, Default)]
pub struct Scenery {
    halves: Kept<Held<PartingFacts>, Labels>,
    undercuts: Kept<(Held<PartingFacts>, Held<Release>), Flags>,
    walls: Kept<(Held<Thickness>, Refined), (Labels, Scale)>,
    wall_scale: Option<Scale>,
    heights: Kept<(Held<Mesh>, [u32; 3]), (Arc<Vec<f32>>, Scale)>,
    flow: Kept<Held<Flow>, f32>,
    caps: Kept<Held<AirFacts>, Vec<(f64, Arc<Mesh>)>>,
    caught: Kept<(Held<AirFacts>, Refined), Vec<(Flags, f64)>>,
    wet: Kept<(Held<Basins>, usize, Refined), Flags>,
    ceilings: Kept<(Held<Vec<bool>>, Refined), Flags>,
    inserts: Kept<Held<Vec<InsertShape>>, Vec<Arc<Mesh>>>,
    strokes: Kept<(Held<PartingFacts>, Vec<Stroke>), Flags>,
}

/// The other shot's part in a darker shade, and where both touch. Where the parting is drawn, the hard part is in it already; a
/// soft part that is cast over this one is glass, so that this one is seen.
fn other_shot(sight: &Sight, facts: &Facts, scene: &mut Scene) {
    let Some(other) = facts.setting.other_whole() else { return };
    let loaded = sight.plan.loaded_hard().is_some();
    let is_parting = |s: &Surface| facts.parting.as_ref().is_some_and(|p| Arc::ptr_eq(&p.surface.mesh, &s.mesh));
    let in_parting = scene.surfaces.iter().any(is_parting);
    if !(loaded && in_parting) {
        let colour = scene.theme.part.mix(palette::LINE_DARK, OTHER_DARKER);
        let mut surface = Surface::new(other.mesh.clone(), Paint::Uniform(colour));
        if !loaded || sight.see_through {
            surface.opacity = Opacity::Glass(0.28);
        }
        scene.surfaces.push(surface);
    }
    let met = facts.two_shot.as_ref().and_then(|t| t.meeting.as_ref());
    if let Some(meeting) = met.filter(|m| sight.step == Step::Part && !m.contact.triangles.is_empty()) {
        let shape = Shape::Mesh { mesh: meeting.contact.clone(), world_from_mesh: DAffine3::IDENTITY };
        let mut contact = Solid { ghost: CONTACT_GHOST, ..Solid::new(shape, palette::CONTACT) };
        (contact.creases, contact.lift_mm) = (false, AIR_LIFT_MM);
        scene.solids.push(contact);
    }
}

impl Scenery {
    /// The range of wall thickness in the scene that was made last; none where walls are not coloured in it.
    pub fn wall_scale(&self) -> Option<Scale> {
        self.wall_scale
    }

    /// The scene of a sight.
    pub fn scene(&mut self, sight: &Sight) -> Scene {
        let theme = view_theme(sight.dark);
        let mut scene = Scene::new(theme);
        self.wall_scale = None;
        scene.px_per_point = sight.px_per_point;
        scene.section = sight.section;
        scene.scale_bar = true;
        let Some(facts) = sight.known.facts.as_deref() else { return scene };
        let setting = &facts.setting;
        self.part(sight, facts, &mut scene);
        other_shot(sight, facts, &mut scene);
        self.block(sight, setting, &mut scene);
        if draws_channels(sight.step) {
            self.channels(sight, setting, &mut scene);
        }
        self.inserts(sight, setting, &mut scene);
        self.hand_work(sight, setting, &mut scene);
        self.air(sight, facts, &mut scene);
        parting_lines(sight, &mut scene);
        if let Some(opened) = &sight.opened {
            halves_apart(opened, &mut scene);
        }
        self.flow_path(sight, facts, &mut scene);
        super::fill_marks::draw(sight, facts, &mut scene);
        if let Some(place) = sight.lit {
            let r = facts.setting.block.size_mm.max_element() as f32 * LIT_SHARE;
            let colour = palette::VERMILION;
            scene
                .solids
                .push(Solid { ghost: LIT_GHOST, ..Solid::new(Shape::Ball { centre: place, radius_mm: r }, colour) });
            let ring = Shape::Ring {
                centre: place,
                axis: setting.frames.cast_up(),
                radius_mm: r * LIT_RING,
                tube_mm: r * 0.28,
            };
            scene.solids.push(Solid { ghost: LIT_GHOST, ..Solid::new(ring, colour) });
        }
        let upright = upright_from_work(setting, sight.step).inverse();
        let axis = |a: DVec3| upright.transform_vector3(a).normalize();
        scene.axes = Some(Axes { up: axis(DVec3::Z), frame: [axis(DVec3::X), axis(DVec3::Y), axis(DVec3::Z)] });
        scene
    }

    /// The part itself, coloured and marked.
    fn part(&mut self, sight: &Sight, facts: &Facts, scene: &mut Scene) {
        let plain = Paint::Uniform(scene.theme.part);
        let mut surfaces: Vec<Surface> = Vec::new();
        let refined = refined(sight, facts);
        if let Some(mesh) = refined.map(|p| &p.surface.mesh).or(facts.body.as_ref().map(|b| &b.mesh)) {
            let paint = self.paint(sight, facts, refined, mesh, scene.theme.part);
            let mut surface = Surface::new(mesh.clone(), paint.unwrap_or(plain));
            if let Some(parting) = refined {
                self.mark_parting(sight, facts, parting, &mut surface);
            }
            // What lies by triangle of the body is drawn on a finer surface only where that was made of the body.
            if refined.is_none() || is_of_body(facts) {
                self.mark_level(sight, facts, refined, &mut surface);
            }
            surface.pick = Some(BODY_PICK);
            surfaces.push(surface);
        } else {
            for (i, mesh) in facts.setting.placed.meshes.iter().enumerate() {
                let mut surface = Surface::new(mesh.clone(), plain.clone());
                surface.pick = Some(i as PickId);
                surfaces.push(surface);
            }
        }
        for surface in &mut surfaces {
            if sight.see_through {
                surface.opacity = Opacity::Glass(0.28);
            }
        }
        scene.surfaces.extend(surfaces);
    }

    /// The colour of the part, drawn as `mesh`; none where what it shows is not known.
    fn paint(
        &mut self,
        sight: &Sight,
        facts: &Facts,
        refined: Option<&Arc<PartingFacts>>,
        mesh: &Arc<Mesh>,
        none: Colour,
    ) -> Option<Paint> {
        match sight.colouring {
            Colouring::Plain => None,
            Colouring::Halves => refined.map(|parting| {
                let of_half = || Arc::new(parting.halves.iter().map(|h| u8::from(*h == Half::Two)).collect());
                let labels = self.halves.get(Held::of(parting), of_half);
                Paint::PerTriangle { labels, colours: vec![palette::HALF_1, palette::HALF_2] }
            }),
            Colouring::Walls => facts.walls.as_ref().map(|walls| {
                let (labels, scale) = self.walls.get((Held::of(walls), refined.map(Held::of)), || {
                    let (labels, scale) = wall_labels(&walls.of_triangle_mm);
                    (on_surface(labels, refined), scale)
                });
                self.wall_scale = Some(scale);
                Paint::PerTriangle { labels, colours: ramp_colours(none) }
            }),
            Colouring::Flow => facts.flow.as_ref().and_then(|flow| {
                let field = flow.field.clone()?;
                let high = self.flow.get(Held::of(flow), || {
                    field.values().iter().copied().filter(|v| v.is_finite()).fold(0.0, f32::max).max(1.0)
                });
                Some(Paint::InCells { field, until: f32::MAX, scale: Scale { low: 0.0, high } })
            }),
            // Where resin has not come yet the part keeps its own colour.
            Colouring::Fill => sight.fill.as_ref().map(|(times, until_s)| Paint::InCells {
                field: times.seconds.clone(),
                until: *until_s,
                scale: Scale { low: 0.0, high: times.longest_s },
            }),
            Colouring::Height => {
                let up = facts.setting.frames.cast_up();
                let (values, scale) = self.heights.get((Held::of(mesh), up.to_array().map(f32::to_bits)), || {
                    let heights: Vec<f32> = mesh.positions.iter().map(|p| p.dot(up)).collect();
                    let low = heights.iter().copied().fold(f32::INFINITY, f32::min);
                    let high = heights.iter().copied().fold(f32::NEG_INFINITY, f32::max);
                    let above: Vec<f32> = heights.iter().map(|h| h - low).collect();
                    (Arc::new(above), Scale { low: 0.0, high: (high - low).max(1e-3) })
                });
                Some(Paint::PerVertex { values, scale })
            }
        }
    }

    /// Undercuts and shown surfaces on the surface of a parting.
    fn mark_parting(&mut self, sight: &Sight, facts: &Facts, parting: &Arc<PartingFacts>, surface: &mut Surface) {
        // The release is of the parting of the same facts; the one that is drawn may be older.
        let of_these = facts.parting.as_ref().is_some_and(|p| Arc::ptr_eq(p, parting));
        let release = facts.release.as_ref().filter(|r| sight.step == Step::Parting && !r.undercuts.is_empty());
        if let Some(release) = release.filter(|_| of_these) {
            let flags = self.undercuts.get((Held::of(parting), Held::of(release)), || {
                let mut flags = vec![false; parting.halves.len()];
                for t in release.undercuts.iter().flat_map(|u| &u.triangles) {
                    flags[*t as usize] = true;
                }
                Arc::new(flags)
            });
            surface.marks.push(Mark {
                triangles: Some(flags),
                beyond: Vec::new(),
                pattern: Pattern::Hatch,
                colour: palette::LINE_DARK,
                strength: 0.85,
            });
        }
        if shown_matters(sight) {
            let strokes = wish_of_plan(&sight.plan, &facts.setting.frames).shown;
            let flags = self.strokes.get((Held::of(parting), strokes.clone()), || {
                Arc::new(crate::study::parting::hand::shown(&parting.surface, &strokes))
            });
            surface.marks.push(Mark {
                triangles: Some(flags),
                beyond: Vec::new(),
                pattern: Pattern::Fill,
                colour: palette::BLUE,
                strength: 0.45,
            });
        }
    }

    /// Resin up to its level, the air that it has caught so far, and ceilings.
    fn mark_level(&mut self, sight: &Sight, facts: &Facts, refined: Option<&Arc<PartingFacts>>, surface: &mut Surface) {
        if let (Some(level), Some(air)) = (sight.level, &facts.air) {
            let up = facts.setting.frames.cast_up().as_dvec3();
            let below = Plane { point: up * level, normal: -up };
            // A basin without a gate is dry until resin comes over its sill.
            let basins = facts.standing.basins.as_ref().filter(|b| b.dry_at(level) > 0);
            let wet = basins.map(|basins| {
                self.wet.get((Held::of(basins), basins.dry_at(level), refined.map(Held::of)), || {
                    on_surface(Arc::new(basins.wet_at(level)), refined)
                })
            });
            surface.marks.push(Mark {
                triangles: wet,
                beyond: vec![below],
                pattern: Pattern::Fill,
                colour: palette::RESIN,
                strength: 0.6,
            });
            let caught = self.caught.get((Held::of(air), refined.map(Held::of)), || {
                caught_pieces(air).into_iter().map(|(flags, at)| (on_surface(flags, refined), at)).collect()
            });
            // Air shows as resin comes to it, all of it once the resin is up: before that nobody knows how it ends.
            let so_far = risen_to(sight, air).map(|_| below);
            for (flags, at) in caught.into_iter().filter(|c| c.1 <= level) {
                surface.marks.push(Mark {
                    triangles: Some(flags),
                    beyond: std::iter::once(Plane { point: up * at, normal: up }).chain(so_far).collect(),
                    pattern: Pattern::Fill,
                    colour: palette::TRAPPED_AIR,
                    strength: 0.85,
                });
            }
        }
        // Where the answers are hidden, as in practice, nothing is known of the air.
        let known = shows_ceilings(sight.step) && facts.air.is_some();
        if let Some(ceilings) = facts.standing.ceilings.as_ref().filter(|_| known) {
            let flags = match refined {
                None => ceilings.flags.clone(),
                Some(_) => self.ceilings.get((Held::of(&ceilings.flags), refined.map(Held::of)), || {
                    on_surface(ceilings.flags.clone(), refined)
                }),
            };
            surface.marks.push(Mark {
                triangles: Some(flags),
                beyond: Vec::new(),
                pattern: Pattern::Stipple,
                colour: palette::TRAPPED_AIR,
                strength: 0.55,
            });
        }
    }

    fn block(&self, sight: &Sight, setting: &Setting, scene: &mut Scene) {
        if !draws_block(sight.step) {
            return;
        }
        let bounds = block_in_box(setting);
        let glass = if sight.step == Step::Block { 0.16 } else { 0.06 };
        let world_from_box = setting.frames.box_from_work.inverse();
        scene.boxes.push(GlassBox { bounds, world_from_box, grid_mm: Some(10.0), glass });
    }

    fn channels(&self, sight: &Sight, setting: &Setting, scene: &mut Scene) {
        let all = [
            (&setting.channels.gates, palette::FEED, TagKind::Gate, Thing::Gate as fn(u32) -> Thing),
            (&setting.channels.vents, palette::VENT, TagKind::Vent, Thing::Vent as fn(u32) -> Thing),
        ];
        for (channels, colour, kind, thing) in all {
            for channel in channels {
                let thing = thing(channel.number);
                let pick = Some(thing.pick_id());
                for rod in &channel.rods {
                    let shape = Shape::Rod {
                        from: rod.from,
                        to: rod.to,
                        radius_from_mm: rod.radius_mm,
                        radius_to_mm: rod.radius_mm,
                    };
                    scene.solids.push(Solid { pick, ..Solid::new(shape, colour) });
                }
                // Round where it bends, as a rod is: two ends that only meet would leave a notch.
                for [one, next] in channel.rods.array_windows() {
                    let shape = Shape::Ball { centre: next.from, radius_mm: one.radius_mm.min(next.radius_mm) };
                    scene.solids.push(Solid { pick, ..Solid::new(shape, colour) });
                }
                scene.tags.push(tag(channel.mouth(), kind, channel.number, colour, thing, sight.chosen));
            }
        }
        let cup = sight.plan.feed.cup;
        if let Some((top, rim)) = cup_ends(setting, cup.height_mm) {
            let foot_radius = setting.channels.gates.iter().flat_map(|g| g.rods.last()).map(|r| r.radius_mm);
            let shape = Shape::Rod {
                from: top,
                to: rim,
                radius_from_mm: foot_radius.fold(1.0, f32::max),
                radius_to_mm: cup.diameter_mm as f32 / 2.0,
            };
            scene.solids.push(Solid { ghost: CUP_GHOST, ..Solid::new(shape, palette::FEED) });
        }
    }

    fn inserts(&mut self, sight: &Sight, setting: &Setting, scene: &mut Scene) {
        let meshes = self
            .inserts
            .get(Held::of(&setting.inserts), || setting.inserts.iter().map(|i| Arc::new(i.solid.clone())).collect());
        for (insert, mesh) in setting.inserts.iter().zip(meshes) {
            let thing = Thing::Insert(insert.number);
            if !mesh.triangles.is_empty() {
                let shape = Shape::Mesh { mesh, world_from_mesh: DAffine3::IDENTITY };
                let solid = Solid::new(shape, palette::INSERT);
                scene.solids.push(Solid { pick: Some(thing.pick_id()), ghost: INSERT_GHOST, ..solid });
            }
            let outer = insert.foot + insert.axis * 0.5;
            scene.tags.push(tag(outer, TagKind::Insert, insert.number, palette::INSERT, thing, sight.chosen));
        }
    }

    /// Pins and the strokes that were drawn by hand.
    fn hand_work(&self, sight: &Sight, setting: &Setting, scene: &mut Scene) {
        let frames = &setting.frames;
        if sight.step == Step::Parting {
            for (i, pin) in sight.plan.parting.pins.iter().enumerate() {
                let thing = Thing::Pin(i);
                let (at, normal) = (frames.spot_in_work(&pin.at), frames.normal_in_work(&pin.at));
                let size = setting.block.size_mm.max_element() as f32 * PIN_SHARE;
                let chosen = sight.chosen == Some(thing);
                let shape = Shape::Ball { centre: at + normal * size * 0.5, radius_mm: size };
                let colour = if chosen { palette::VERMILION } else { palette::LINE_DARK };
                scene.solids.push(Solid { pick: Some(thing.pick_id()), ..Solid::new(shape, colour) });
            }
            for (i, mark) in sight.plan.parting.marks.iter().enumerate() {
                let colour = if mark.half == Half::One { palette::HALF_1 } else { palette::HALF_2 };
                scene.lines.extend(stroke_line(&mark.stroke, setting, colour, Thing::Mark(i), sight.chosen));
            }
        }
        if sight.step == Step::Parting {
            for (i, cut) in sight.plan.parting.relief_cuts.iter().enumerate() {
                let (thing, colour) = (Thing::ReliefCut(i), palette::VERMILION);
                scene.lines.extend(stroke_line(&cut.points, setting, colour, thing, sight.chosen));
            }
            for (i, piece) in sight.plan.parting.loose_pieces.iter().enumerate() {
                let thing = Thing::LoosePiece(i);
                let (at, out) = (frames.spot_in_work(&piece.at), piece.leaves_along.as_vec3().normalize_or(Vec3::Z));
                let r = piece.radius_mm as f32;
                let rod = Shape::Rod { from: at, to: at + out * (2.0 * r), radius_from_mm: r, radius_to_mm: r };
                let colour = if sight.chosen == Some(thing) { palette::VERMILION } else { palette::BLUE };
                scene.solids.push(Solid { pick: Some(thing.pick_id()), ghost: CUP_GHOST, ..Solid::new(rod, colour) });
            }
        }
        if sight.step == Step::Part {
            for (i, shown) in sight.plan.shown.iter().enumerate() {
                let thing = Thing::Shown(i);
                scene.lines.extend(stroke_line(&shown.stroke, setting, palette::BLUE, thing, sight.chosen));
            }
        }
    }

    /// Trapped air as caps of true shape, and high points without a way out.
    fn air(&mut self, sight: &Sight, facts: &Facts, scene: &mut Scene) {
        let Some(air) = &facts.air else { return };
        if !matches!(sight.step, Step::Hang | Step::Vents | Step::Feed | Step::Casting | Step::Sheet) {
            return;
        }
        let up = facts.setting.frames.cast_up().as_dvec3();
        if sight.step != Step::Sheet {
            let caps = self.caps.get(Held::of(air), || {
                let tree = &air.trees.air.level;
                air.pieces_that_matter()
                    .iter()
                    .take(MOST_POCKETS)
                    .map(|p| Arc::new(weld::rewelded(&tree.shape(p))))
                    .filter(|mesh| !mesh.triangles.is_empty())
                    .map(|mesh| (top_along(&mesh, up), mesh))
                    .collect()
            });
            for (top, mesh) in caps {
                // As resin rises, a whole body of air shows once the resin stands at its top.
                if risen_to(sight, air).is_some_and(|l| l < top) {
                    continue;
                }
                let shape = Shape::Mesh { mesh, world_from_mesh: DAffine3::IDENTITY };
                let solid = Solid::new(shape, palette::TRAPPED_AIR);
                scene.solids.push(Solid { ghost: INSIDE_GHOST, lift_mm: AIR_LIFT_MM, creases: false, ..solid });
            }
        }
        if matches!(sight.step, Step::Hang | Step::Vents) {
            let open = air.high_points.iter().zip(&air.served).filter(|(_, s)| s.by.is_none());
            for (n, (point, _)) in open.take(MOST_HIGH_POINTS).enumerate() {
                if risen_to(sight, air).is_some_and(|l| l < point.position.as_dvec3().dot(up)) {
                    continue;
                }
                scene.tags.push(Tag {
                    foot: point.position,
                    kind: TagKind::HighPoint,
                    text: (n + 1).to_string(),
                    colour: palette::TRAPPED_AIR,
                    chosen: false,
                    pick: None,
                });
            }
        }
    }

    fn flow_path(&self, sight: &Sight, facts: &Facts, scene: &mut Scene) {
        if !(matches!(sight.step, Step::Feed) || sight.colouring == Colouring::Flow) {
            return;
        }
        let Some(path) = facts.flow.as_ref().and_then(|f| f.longest.as_ref()) else { return };
        let mut so_far = 0.0;
        let mut colours: Vec<Colour> = Vec::with_capacity(path.points.len());
        for (i, p) in path.points.iter().enumerate() {
            if i > 0 {
                so_far += p.distance(path.points[i - 1]);
            }
            colours.push(palette::ramp(so_far / (path.length_mm as f32).max(1e-3)));
        }
        let mut line = Line::new(path.points.clone(), LineStyle::Tube, LinePaint::PerPoint(colours), 5.0);
        line.ghost = INSIDE_GHOST;
        scene.lines.push(line);
    }
}

/// The lines between the halves: double, light inside dark, shut-offs dashed; greyed where a newer one is on its way.
fn parting_lines(sight: &Sight, scene: &mut Scene) {
    let Some((parting, behind)) = sight.known.parting_to_draw() else { return };
    if !(matches!(sight.step, Step::Parting | Step::Block | Step::Sheet) || sight.colouring == Colouring::Halves) {
        return;
    }
    for (i, one) in parting.lines.iter().enumerate() {
        let left = sight.live.as_ref().is_some_and(|live| live.line == i);
        let (style, colour, width) = match (left || behind, one.kind) {
            (true, _) => (LineStyle::Plain, palette::LINE_QUIET, 2.5),
            (false, LoopKind::Island) => (LineStyle::Double, palette::LINE_LIGHT, 2.5),
            (false, _) => (LineStyle::Double, palette::LINE_LIGHT, 4.0),
        };
        let mut line = Line::new(one.points.clone(), style, LinePaint::Uniform(colour), width);
        line.closed = one.closed;
        line.lift_mm = LINE_LIFT_MM;
        line.dash_pt = (one.kind == LoopKind::ShutOff).then_some(SHUT_OFF_DASH_PT);
        scene.lines.push(line);
    }
    if let Some(live) = &sight.live {
        let paint = LinePaint::Uniform(palette::LINE_LIGHT);
        let mut line = Line::new(live.points.clone(), LineStyle::Double, paint, 5.0);
        line.closed = live.closed;
        line.lift_mm = LINE_LIFT_MM;
        scene.lines.push(line);
        let size = sight.known.setting().map_or(1.0, |s| s.block.size_mm.max_element() as f32 * PIN_SHARE);
        let pin = Shape::Ball { centre: live.hand, radius_mm: size };
        scene.solids.push(Solid::new(pin, palette::VERMILION));
    }
}

fn tag(foot: Vec3, kind: TagKind, number: u32, colour: Colour, thing: Thing, chosen: Option<Thing>) -> Tag {
    Tag { foot, kind, text: number.to_string(), colour, chosen: chosen == Some(thing), pick: Some(thing.pick_id()) }
}

fn stroke_line(
    stroke: &[crate::plan::Spot],
    setting: &Setting,
    colour: Colour,
    thing: Thing,
    chosen: Option<Thing>,
) -> Option<Line> {
    let mut points: Vec<Vec3> = stroke.iter().map(|s| setting.frames.spot_in_work(s)).collect();
    let first = points.first().copied()?;
    if points.len() == 1 {
        let side = setting.frames.normal_in_work(&stroke[0]).any_orthonormal_vector();
        points.push(first + side * 0.3);
    }
    let width = if chosen == Some(thing) { 7.0 } else { 4.5 };
    let mut line = Line::new(points, LineStyle::Tube, LinePaint::Uniform(colour), width);
    line.lift_mm = STROKE_LIFT_MM;
    line.pick = Some(thing.pick_id());
    Some(line)
}

/// True where what was marked as shown is drawn.
fn shown_matters(sight: &Sight) -> bool {
    sight.step == Step::Part && !sight.plan.shown.is_empty()
}

/// True where the parting is that of the body alone, so that its triangles lie in the body's.
fn is_of_body(facts: &Facts) -> bool {
    facts.body.as_ref().zip(facts.master.as_ref()).is_some_and(|(body, master)| body.id == master.id)
}

/// The parting whose surface the part is drawn as: where halves, undercuts or shown surfaces are to be seen on it.
fn refined<'a>(sight: &'a Sight, facts: &Facts) -> Option<&'a Arc<PartingFacts>> {
    let wanted = sight.colouring == Colouring::Halves || sight.step == Step::Parting || shown_matters(sight);
    let (parting, behind) = sight.known.parting_to_draw().filter(|_| wanted)?;
    // Walls are known by triangle of the body.
    (sight.colouring != Colouring::Walls || (!behind && is_of_body(facts))).then_some(parting)
}

/// What is known by triangle of the body, by triangle of the surface that is drawn.
fn on_surface<T: Copy + Default>(of_body: Arc<Vec<T>>, refined: Option<&Arc<PartingFacts>>) -> Arc<Vec<T>> {
    match refined {
        None => of_body,
        Some(parting) => {
            let of = |parent: &u32| of_body.get(*parent as usize).copied().unwrap_or_default();
            Arc::new(parting.surface.parent.iter().map(of).collect())
        }
    }
}

/// The highest point of a mesh along `up`.
fn top_along(mesh: &Mesh, up: DVec3) -> f64 {
    mesh.positions.iter().map(|p| p.as_dvec3().dot(up)).fold(f64::NEG_INFINITY, f64::max)
}

/// The level that resin has risen to; none where it is up, or is not shown.
fn risen_to(sight: &Sight, air: &AirFacts) -> Option<f64> {
    // A hair below the top is up: shares of the way are rounded.
    let [low, high] = air.level.range;
    sight.level.filter(|level| *level < high - 1e-4 * (high - low))
}

/// The range of wall thickness that is coloured.
fn wall_scale(of_triangle_mm: &[f32]) -> Scale {
    let mut known: Vec<f32> = of_triangle_mm.iter().copied().filter(|t| t.is_finite() && *t > 0.0).collect();
    known.sort_by(f32::total_cmp);
    let at = |share: f32| known.get(((known.len() as f32 - 1.0) * share) as usize).copied().unwrap_or(1.0);
    // The thickest few would take the whole ramp: the scale ends where nineteen in twenty are below.
    Scale { low: 0.0, high: at(0.95).max(0.5) }
}

/// Wall thickness as labels of the ramp; the last label is for triangles without a wall.
fn wall_labels(of_triangle_mm: &[f32]) -> (Labels, Scale) {
    let scale = wall_scale(of_triangle_mm);
    let label = |t: &f32| {
        if t.is_finite() && *t > 0.0 {
            (scale.share(*t) * (RAMP_STEPS - 1) as f32).round() as u8
        } else {
            RAMP_STEPS as u8
        }
    };
    (Arc::new(of_triangle_mm.iter().map(label).collect()), scale)
}

fn ramp_colours(none: Colour) -> Vec<Colour> {
    let mut colours: Vec<Colour> = (0..RAMP_STEPS).map(|i| palette::ramp(i as f32 / (RAMP_STEPS - 1) as f32)).collect();
    colours.push(none);
    colours
}

/// The triangles of the air that stays, by the level at which it was caught.
fn caught_pieces(air: &crate::study::air::facts::AirFacts) -> Vec<(Flags, f64)> {
    let mut levels: Vec<f64> = air.pieces_that_matter().iter().take(MOST_POCKETS).map(|p| p.level).collect();
    levels.sort_by(f64::total_cmp);
    levels.dedup_by_key(|l| *l as f32);
    levels
        .into_iter()
        .map(|level| {
            let flags = air.level.caught_at.iter().map(|at| *at == level as f32).collect();
            (Arc::new(flags), level)
        })
        .collect()
}
