//! True-scale views of the part as it hangs in the box.
//!
//! Third-angle arrangement (ISO 5456-2): each view stands on the side that it is seen from. Scales are those of
//! ISO 5455. Visible outlines are continuous wide, dimensions and leaders continuous narrow lines (ISO 128-2).
//! Positions are running dimensions from one corner of the box: left wall, front wall and floor are zero.

use super::balloons::{self, Tag, TagKind};
use super::figures;
use super::lettering::{self, heights};
use super::page::{Anchor, Area, Dash, Item, Pen, Shade, Text, Weight};
use super::words;
use crate::mesh::Mesh;
use crate::solve::outline::{Drawn, Fineness, Projection};
use crate::solve::run::{Cancelled, Run};
use glam::{DVec2, DVec3, Vec2, Vec3};

/// Shape of a placed thing, in the box frame.
#[derive(Clone, Debug)]
pub enum Shape<'a> {
    /// A round rod along a chain of points.
    Rod {
        /// The chain.
        path: Vec<Vec3>,
        /// Radius, millimetres.
        radius_mm: f32,
    },
    /// A mesh.
    Solid(&'a Mesh),
}

/// A placed thing.
#[derive(Clone, Debug)]
pub struct Thing<'a> {
    /// Its tag; `None` for what carries no number, such as the cup.
    pub tag: Option<Tag>,
    /// The point of the part that it belongs to; its tag points here.
    pub foot: Vec3,
    /// Its shape.
    pub shape: Shape<'a>,
}

/// A line between the halves.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PartingLine {
    /// Points; the first is repeated at the end where the line is closed.
    pub points: Vec<Vec3>,
    /// True for the line round a through-hole.
    pub shut_off: bool,
}

/// What is drawn, in the box frame: Z up, origin in the middle of the floor, front wall at −Y.
#[derive(Clone, Debug)]
pub struct Geometry<'a> {
    /// The part as it hangs.
    pub part: &'a Mesh,
    /// Feed, vents, inserts.
    pub things: Vec<Thing<'a>>,
    /// Lines between the halves.
    pub parting: Vec<PartingLine>,
    /// Names of the parts of a set, each in the middle of its part; empty for a part alone.
    pub names: Vec<(String, Vec3)>,
    /// Length, width and height of the block.
    pub block_mm: Vec3,
}

impl Geometry<'_> {
    /// The same with a block of no size where its size is not known.
    fn sound(&self) -> Self {
        let block_mm =
            Vec3::from_array(self.block_mm.to_array().map(|v| if v.is_finite() && v > 0.0 { v } else { 0.0 }));
        Geometry { block_mm, ..self.clone() }
    }
}

/// One of the three views.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum View {
    /// From above.
    Above,
    /// From the front wall.
    Front,
    /// From the right wall.
    Right,
}

impl View {
    /// Direction of the picture's axes in the box.
    pub fn projection(self) -> Projection {
        let (right, up) = match self {
            View::Above => (DVec3::X, DVec3::Y),
            View::Front => (DVec3::X, DVec3::Z),
            View::Right => (DVec3::Y, DVec3::Z),
        };
        Projection { right, up }
    }
}

/// Where a view stands on the page.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Placed {
    /// Which.
    pub view: View,
    /// Place of the picture's origin on the page.
    pub origin: Vec2,
    /// Paper over true length.
    pub scale: f64,
}

impl Placed {
    /// Place on the page of a point of the box.
    pub fn on_page(&self, p: Vec3) -> Vec2 {
        self.flat_on_page(self.view.projection().flat(p.as_dvec3()))
    }

    fn flat_on_page(&self, p: DVec2) -> Vec2 {
        self.origin + Vec2::new((p.x * self.scale) as f32, (-p.y * self.scale) as f32)
    }
}

/// A tag as it was drawn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Balloon {
    /// In which view.
    pub view: View,
    /// Whose.
    pub tag: Tag,
    /// Centre of the balloon.
    pub centre: Vec2,
    /// Foot of its leader.
    pub foot: Vec2,
}

/// Three views on their page.
#[derive(Clone, Debug)]
pub struct Drawing {
    /// What is drawn.
    pub items: Vec<Item>,
    /// Where the views stand.
    pub views: Vec<Placed>,
    /// The tags.
    pub balloons: Vec<Balloon>,
    /// Scale in words.
    pub scale: String,
    /// Height that the drawing takes, millimetres.
    pub height_mm: f32,
}

/// Scales of ISO 5455:1979, largest first: paper over true length.
const SCALES: [(u32, u32); 18] = [
    (50, 1),
    (20, 1),
    (10, 1),
    (5, 1),
    (2, 1),
    (1, 1),
    (1, 2),
    (1, 5),
    (1, 10),
    (1, 20),
    (1, 50),
    (1, 100),
    (1, 200),
    (1, 500),
    (1, 1000),
    (1, 2000),
    (1, 5000),
    (1, 10000),
];

/// The largest scale of ISO 5455 that is not above `most` (paper over true length), in words and as a number.
pub fn scale_for(most: f64) -> (String, f64) {
    let ratio = |(paper, truth): (u32, u32)| f64::from(paper) / f64::from(truth);
    let fitting = SCALES.iter().copied().find(|s| ratio(*s) <= most).unwrap_or(SCALES[SCALES.len() - 1]);
    (format!("{}:{}", fitting.0, fitting.1), ratio(fitting))
}

/// Room for a view's name, millimetres.
const NAME_MM: f32 = 5.5;
/// Room for running dimensions beside a view, millimetres.
const LADDER_MM: f32 = 19.0;
/// From label to label of running dimensions, millimetres.
const LABEL_PITCH_MM: f32 = 4.0;

struct Extent {
    min: Vec3,
    max: Vec3,
}

impl Extent {
    fn of(geometry: &Geometry<'_>) -> Extent {
        let half = Vec3::new(geometry.block_mm.x * 0.5, geometry.block_mm.y * 0.5, 0.0);
        let mut e = Extent { min: -half, max: half + Vec3::Z * geometry.block_mm.z };
        let mut add = |p: Vec3, r: f32| {
            if p.is_finite() && r.is_finite() {
                (e.min, e.max) = (e.min.min(p - r), e.max.max(p + r));
            }
        };
        for &p in &geometry.part.positions {
            add(p, 0.0);
        }
        for thing in &geometry.things {
            match &thing.shape {
                Shape::Rod { path, radius_mm } => path.iter().for_each(|&p| add(p, *radius_mm)),
                Shape::Solid(mesh) => mesh.positions.iter().for_each(|&p| add(p, 0.0)),
            }
        }
        if !(e.max - e.min).is_finite() || (e.max - e.min).max_element() <= 0.0 {
            e = Extent { min: Vec3::splat(-1.0), max: Vec3::ONE };
        }
        e
    }

    fn flat(&self, view: View) -> (DVec2, DVec2) {
        let projection = view.projection();
        (projection.flat(self.min.as_dvec3()), projection.flat(self.max.as_dvec3()))
    }
}

/// Where the three views stand for one scale.
struct Arrangement {
    placed: [Placed; 3],
    /// Picture of each view with everything in it.
    pictures: [Area; 3],
    /// All that belongs to each view.
    cells: [Area; 3],
    size: Vec2,
}

fn arranged(extent: &Extent, scale: f64, ring_mm: f32, at: Vec2) -> Arrangement {
    let s = scale as f32;
    let size = (extent.max - extent.min) * s;
    let (x, y, z) = (size.x, size.y, size.z);
    let above = Area::at(at + Vec2::new(ring_mm, NAME_MM + ring_mm), Vec2::new(x, y));
    let front_top = above.max.y + LADDER_MM + NAME_MM + ring_mm;
    let front = Area::at(Vec2::new(above.min.x, front_top), Vec2::new(x, z));
    let right = Area::at(Vec2::new(front.max.x + LADDER_MM + 2.0 + ring_mm, front_top), Vec2::new(y, z));
    let origin = |view: View, picture: Area| {
        let (low, _) = extent.flat(view);
        Vec2::new(picture.min.x - low.x as f32 * s, picture.max.y + low.y as f32 * s)
    };
    let placed = [(View::Above, above), (View::Front, front), (View::Right, right)].map(|(view, picture)| Placed {
        view,
        origin: origin(view, picture),
        scale,
    });
    let cell = |p: Area, right: f32, below: f32| Area {
        min: p.min - Vec2::new(ring_mm, ring_mm + NAME_MM),
        max: p.max + Vec2::new(right, below),
    };
    let cells = [cell(above, LADDER_MM, LADDER_MM), cell(front, LADDER_MM, ring_mm), cell(right, ring_mm, ring_mm)];
    let all = cells[0].union(cells[1]).union(cells[2]);
    Arrangement { placed, pictures: [above, front, right], cells, size: all.size() }
}

/// Names of parts on a view, the foremost first; one that would lie over another is left out, since it lies behind it.
fn part_names(geometry: &Geometry<'_>, placed: &Placed) -> Vec<Item> {
    let depth = |p: Vec3| match placed.view {
        View::Above => -p.z,
        View::Front => p.y,
        View::Right => -p.x,
    };
    let mut names: Vec<&(String, Vec3)> = geometry.names.iter().filter(|n| n.1.is_finite()).collect();
    names.sort_by(|a, b| depth(a.1).total_cmp(&depth(b.1)));
    let (mut items, mut taken): (Vec<Item>, Vec<Area>) = (Vec::new(), Vec::new());
    for (name, at) in names {
        let size = Vec2::new(lettering::width_mm(name, Weight::Bold, heights::TABLE) + 1.6, heights::TABLE + 1.6);
        let area = Area::at(placed.on_page(*at) - size * 0.5, size);
        let meets = |a: &Area| a.min.cmple(area.max).all() && a.max.cmpge(area.min).all();
        if taken.iter().any(meets) {
            continue;
        }
        let foot = Vec2::new(area.centre().x, area.max.y - 0.9);
        items.push(Item::Rect { area, pen: None, fill: Some(Shade::WHITE) });
        items.push(Item::Text(Text::new(foot, name.clone(), heights::TABLE).bold().anchored(Anchor::Middle)));
        taken.push(area);
    }
    items
}

/// Draws the three views into `room` (the top left corner is used, the width kept).
///
/// # Errors
/// [`Cancelled`] once `run` was cancelled.
pub fn three_views(geometry: &Geometry<'_>, room: Area, run: &Run) -> Result<Drawing, Cancelled> {
    let geometry = &geometry.sound();
    let extent = Extent::of(geometry);
    let tagged: Vec<(Tag, Vec3)> =
        geometry.things.iter().filter(|t| t.foot.is_finite()).filter_map(|t| t.tag.map(|tag| (tag, t.foot))).collect();
    let mut chosen = None;
    'search: for &(paper, truth) in &SCALES {
        let scale = f64::from(paper) / f64::from(truth);
        for rings in 1..=4 {
            let ring_mm = balloons::PITCH_MM * rings as f32 + balloons::RADIUS_MM + 1.2;
            let a = arranged(&extent, scale, ring_mm, room.min);
            if a.size.x > room.size().x || a.size.y > room.size().y {
                break;
            }
            let places: Vec<Vec<Option<Vec2>>> = (0..3)
                .map(|v| {
                    let feet: Vec<Vec2> = tagged.iter().map(|(_, p)| a.placed[v].on_page(*p)).collect();
                    balloons::placed(&feet, a.pictures[v], |spot| free_for_balloon(&a, v, spot))
                })
                .collect();
            let all = places.iter().flatten().all(Option::is_some);
            let last = (paper, truth) == SCALES[SCALES.len() - 1] && rings == 4;
            if all || last || (rings == 4 && tagged.len() > 60) {
                chosen = Some((a, places, format!("{paper}:{truth}")));
                break 'search;
            }
        }
    }
    let Some((arrangement, places, scale)) = chosen else {
        // Nothing fits, not even at the smallest scale: leave the views out rather than draw over the margins.
        return Ok(Drawing {
            items: Vec::new(),
            views: Vec::new(),
            balloons: Vec::new(),
            scale: figures::UNKNOWN.into(),
            height_mm: 0.0,
        });
    };
    let mut drawing = Drawing {
        items: Vec::new(),
        views: arrangement.placed.to_vec(),
        balloons: Vec::new(),
        scale: words::scale(&scale),
        height_mm: arrangement.size.y,
    };
    let fineness = fineness_for(arrangement.placed[0].scale);
    let part = Drawn::new(geometry.part, fineness.crease, run)?;
    for (v, placed) in arrangement.placed.into_iter().enumerate() {
        let name_at = arrangement.cells[v].min + Vec2::new(0.0, heights::BODY);
        let name = Text::new(name_at, words::view_name(placed.view), heights::BODY).bold();
        drawing.items.push(Item::Text(name));
        draw_scene(
            geometry,
            &part,
            &placed.view.projection(),
            &|p| placed.flat_on_page(p),
            &fineness,
            Pen::WIDE,
            run,
            &mut drawing.items,
        )?;
        for (&(tag, foot), place) in tagged.iter().zip(&places[v]) {
            let Some(centre) = *place else { continue };
            drawing.balloons.push(Balloon { view: placed.view, tag, centre, foot: placed.on_page(foot) });
        }
        running_dimensions(geometry, &arrangement, v, &tagged, &mut drawing.items);
        drawing.items.extend(part_names(geometry, &placed));
    }
    for b in &drawing.balloons {
        let pen = Pen { width_mm: 0.18, ..Pen::NARROW };
        drawing.items.push(Item::Line { from: b.centre, to: b.foot, pen });
        drawing.items.push(Item::Circle { centre: b.foot, radius_mm: 0.55, pen: None, fill: Some(Shade::BLACK) });
    }
    for b in &drawing.balloons {
        drawing.items.extend(balloons::drawn(b.tag, b.centre));
    }
    Ok(drawing)
}

fn free_for_balloon(a: &Arrangement, view: usize, spot: Area) -> bool {
    let (picture, cell) = (a.pictures[view], a.cells[view]);
    let name = Area::at(cell.min, Vec2::new(picture.size().x, NAME_MM - 1.0));
    if !cell.holds(spot, 0.01) || spot.overlaps(name, 0.0) || spot.overlaps(picture, 0.0) {
        return false;
    }
    // Running dimensions stand to the right of the view from above and the front view, and below the former.
    let right_of = spot.max.x > picture.max.x;
    let below = spot.max.y > picture.max.y;
    match view {
        0 => !right_of && !below,
        1 => !right_of,
        _ => true,
    }
}

fn fineness_for(scale: f64) -> Fineness {
    Fineness { tolerance_mm: 0.05 / scale, ..Fineness::default() }
}

/// Block, things, part and parting lines in any view.
#[allow(clippy::too_many_arguments)]
fn draw_scene(
    geometry: &Geometry<'_>,
    part: &Drawn<'_>,
    projection: &Projection,
    on_page: &dyn Fn(DVec2) -> Vec2,
    fineness: &Fineness,
    outline_pen: Pen,
    run: &Run,
    items: &mut Vec<Item>,
) -> Result<(), Cancelled> {
    let half = geometry.block_mm * 0.5;
    let corner = |i: usize| {
        let side = |bit: usize, h: f32| if i >> bit & 1 == 0 { -h } else { h };
        Vec3::new(side(0, half.x), side(1, half.y), half.z + side(2, half.z))
    };
    let flat = |p: Vec3| on_page(projection.flat(p.as_dvec3()));
    let mut edges: Vec<Vec<Vec2>> = Vec::new();
    for i in 0..8 {
        for bit in 0..3 {
            let j = i | 1 << bit;
            let line = vec![flat(corner(i)), flat(corner(j))];
            if j != i && line[0].distance(line[1]) > 0.01 && !edges.iter().any(|e| same(e, &line)) {
                edges.push(line);
            }
        }
    }
    items.push(Item::Polylines { lines: edges, pen: Pen { width_mm: 0.35, ..Pen::NARROW } });
    for thing in &geometry.things {
        draw_thing(thing, projection, on_page, fineness, run, items)?;
    }
    let lines: Vec<Vec<DVec3>> =
        geometry.parting.iter().map(|l| l.points.iter().map(|p| p.as_dvec3()).collect()).collect();
    let outline = part.view(projection, fineness, &lines, run)?;
    let paper = |chains: &[Vec<DVec2>]| -> Vec<Vec<Vec2>> {
        chains.iter().map(|c| c.iter().map(|&p| on_page(p)).collect()).collect()
    };
    items.push(Item::Polylines { lines: paper(&outline.visible), pen: outline_pen });
    for (line, seen) in geometry.parting.iter().zip(&outline.seen) {
        let lines = paper(seen);
        if lines.is_empty() {
            continue;
        }
        items.extend(parting_line(lines, line.shut_off));
    }
    Ok(())
}

/// Light inside dark, as in the window; a shut-off the same, dashed.
pub fn parting_line(lines: Vec<Vec<Vec2>>, shut_off: bool) -> [Item; 2] {
    let outer = Pen { width_mm: 1.3, shade: Shade::BLACK, dash: if shut_off { Dash::Dashed } else { Dash::Solid } };
    let inner = Pen { width_mm: 0.6, shade: Shade::WHITE, dash: outer.dash };
    [Item::Polylines { lines: lines.clone(), pen: outer }, Item::Polylines { lines, pen: inner }]
}

fn same(a: &[Vec2], b: &[Vec2]) -> bool {
    let near = |p: Vec2, q: Vec2| p.distance(q) < 0.01;
    (near(a[0], b[0]) && near(a[1], b[1])) || (near(a[0], b[1]) && near(a[1], b[0]))
}

fn draw_thing(
    thing: &Thing<'_>,
    projection: &Projection,
    on_page: &dyn Fn(DVec2) -> Vec2,
    fineness: &Fineness,
    run: &Run,
    items: &mut Vec<Item>,
) -> Result<(), Cancelled> {
    let fill = match thing.tag.map(|t| t.kind) {
        Some(TagKind::Vent) => Shade(60),
        Some(TagKind::Insert) => Shade::TINT,
        Some(TagKind::Gate) | None => Shade(185),
    };
    match &thing.shape {
        Shape::Rod { path, radius_mm } => {
            for pair in path.windows(2) {
                if !(pair[0].is_finite() && pair[1].is_finite() && *radius_mm > 0.0) {
                    continue;
                }
                let flat: Vec<DVec2> = rims(pair[0], pair[1], *radius_mm).map(|p| projection.flat(p)).collect();
                let corners = hull(flat).into_iter().map(on_page).collect();
                items.push(Item::Polygon { corners, pen: Some(Pen::NARROW), fill: Some(fill) });
            }
        }
        Shape::Solid(mesh) => {
            let outline = Drawn::new(mesh, fineness.crease, run)?.view(projection, fineness, &[], run)?;
            let lines = outline.visible.iter().map(|c| c.iter().map(|&p| on_page(p)).collect()).collect();
            items.push(Item::Polylines { lines, pen: Pen { width_mm: 0.35, ..Pen::NARROW } });
        }
    }
    Ok(())
}

/// Points round both ends of a cylinder.
fn rims(from: Vec3, to: Vec3, radius: f32) -> impl Iterator<Item = DVec3> {
    let axis = (to - from).as_dvec3().normalize_or(DVec3::Z);
    let u = axis.any_orthonormal_vector();
    let v = axis.cross(u);
    [from, to].into_iter().flat_map(move |centre| {
        (0..32).map(move |i| {
            let (s, c) = (std::f64::consts::TAU * f64::from(i) / 32.0).sin_cos();
            centre.as_dvec3() + (u * c + v * s) * f64::from(radius)
        })
    })
}

/// Convex hull, counter-clockwise (Andrew 1979).
fn hull(mut points: Vec<DVec2>) -> Vec<DVec2> {
    points.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    let mut out: Vec<DVec2> = Vec::new();
    for pass in 0..2 {
        let base = out.len();
        for &p in &points {
            while out.len() >= base + 2 {
                let (a, b) = (out[out.len() - 2], out[out.len() - 1]);
                if (b - a).perp_dot(p - a) > 1e-12 {
                    break;
                }
                out.pop();
            }
            out.push(p);
        }
        out.pop();
        if pass == 0 {
            points.reverse();
        }
    }
    out
}

/// Running dimensions along one side.
struct Ladder {
    /// Where the side begins on the page, at the coordinate zero.
    zero: Vec2,
    /// Direction of growing coordinate on the page.
    along: Vec2,
    /// Direction away from the picture.
    away: Vec2,
    /// Paper over true length.
    scale: f32,
    /// Lowest and highest coordinate of the side.
    reach: [f32; 2],
}

fn running_dimensions(
    geometry: &Geometry<'_>,
    a: &Arrangement,
    view: usize,
    tagged: &[(Tag, Vec3)],
    items: &mut Vec<Item>,
) {
    let placed = a.placed[view];
    let picture = a.pictures[view];
    let scale = placed.scale as f32;
    let half = geometry.block_mm * 0.5;
    let bounds = geometry.part.bounds();
    // Along each axis: zero, the part's ends, the far wall, then the feet.
    let axis = |i: usize, offset: f32| -> (Vec<f32>, Vec<f32>) {
        let mut ends = vec![0.0, geometry.block_mm[i]];
        if !bounds.is_empty() {
            ends.extend([bounds.min[i] + offset, bounds.max[i] + offset]);
        }
        (ends, tagged.iter().map(|(_, p)| p[i] + offset).collect())
    };
    let zero = placed.on_page(Vec3::new(-half.x, -half.y, 0.0));
    let right_side = |size: f32| Ladder {
        zero: Vec2::new(picture.max.x, zero.y),
        along: Vec2::NEG_Y,
        away: Vec2::X,
        scale,
        reach: [(zero.y - picture.max.y) / scale, ((zero.y - picture.min.y) / scale).max(size)],
    };
    match placed.view {
        View::Above => {
            let (ends, feet) = axis(1, half.y);
            ladder(&right_side(geometry.block_mm.y), &ends, &feet, items);
            let below = Ladder {
                zero: Vec2::new(zero.x, picture.max.y),
                along: Vec2::X,
                away: Vec2::Y,
                scale,
                reach: [(picture.min.x - zero.x) / scale, ((picture.max.x - zero.x) / scale).max(geometry.block_mm.x)],
            };
            let (ends, feet) = axis(0, half.x);
            ladder(&below, &ends, &feet, items);
        }
        View::Front => {
            let (ends, feet) = axis(2, 0.0);
            ladder(&right_side(geometry.block_mm.z), &ends, &feet, items);
        }
        View::Right => {}
    }
}

fn ladder(side: &Ladder, ends: &[f32], feet: &[f32], items: &mut Vec<Item>) {
    let room = (side.reach[1] - side.reach[0]) * side.scale + 2.0 * LABEL_PITCH_MM;
    let distinct = |values: &mut Vec<f32>| {
        values.retain(|v| v.is_finite());
        values.sort_by(f32::total_cmp);
        values.dedup_by(|a, b| (*a - *b).abs() < 0.05);
    };
    let mut values: Vec<f32> = ends.iter().chain(feet).copied().collect();
    distinct(&mut values);
    if values.len() as f32 * LABEL_PITCH_MM > room {
        // Too many to tell apart: the walls and the part stay, the table has the rest.
        values = ends.to_vec();
        distinct(&mut values);
    }
    while values.len() as f32 * LABEL_PITCH_MM > room && values.len() > 2 {
        values.remove(1);
    }
    let wanted: Vec<f32> = values.iter().map(|v| v.clamp(side.reach[0], side.reach[1]) * side.scale).collect();
    let spots = spread(&wanted, LABEL_PITCH_MM);
    let pen = Pen { width_mm: 0.18, ..Pen::NARROW };
    for ((value, from), to) in values.iter().zip(&wanted).zip(&spots) {
        let at = |along: f32, away: f32| side.zero + side.along * along + side.away * away;
        let line = vec![at(*from, 0.4), at(*from, 2.0), at(*to, 5.0), at(*to, 6.2)];
        items.push(Item::Polylines { lines: vec![line], pen });
        let turned = side.away.y > 0.5;
        let words = figures::bare_mm(f64::from(*value));
        // The middle of the figures' height stands on the leader.
        let text = if turned {
            let wide = lettering::width_mm(&words, Weight::Regular, heights::TABLE);
            Text {
                turned: true,
                ..Text::new(at(*to, 6.8 + wide) + Vec2::new(heights::TABLE * 0.5, 0.0), words, heights::TABLE)
            }
        } else {
            Text::new(at(*to, 6.8) + Vec2::new(0.0, heights::TABLE * 0.5), words, heights::TABLE)
        };
        items.push(Item::Text(text));
    }
}

/// Places as near to the wanted ones as can be, in the same order, at least `pitch` apart (pool adjacent violators).
pub fn spread(wanted: &[f32], pitch: f32) -> Vec<f32> {
    // Blocks of touching places: sum of (wanted − rank · pitch) and count.
    let mut blocks: Vec<(f32, usize)> = Vec::new();
    for (i, w) in wanted.iter().enumerate() {
        blocks.push((w - i as f32 * pitch, 1));
        while blocks.len() > 1 {
            let (a, b) = (blocks[blocks.len() - 2], blocks[blocks.len() - 1]);
            if a.0 / a.1 as f32 <= b.0 / b.1 as f32 {
                break;
            }
            blocks.pop();
            if let Some(last) = blocks.last_mut() {
                *last = (a.0 + b.0, a.1 + b.1);
            }
        }
    }
    let mut out = Vec::with_capacity(wanted.len());
    for (sum, count) in blocks {
        for _ in 0..count {
            out.push(sum / count as f32 + out.len() as f32 * pitch);
        }
    }
    out
}

/// A picture of the whole hang seen from above, front and right, fitted into `room`; not to a scale.
///
/// # Errors
/// [`Cancelled`] once `run` was cancelled.
pub fn overview(geometry: &Geometry<'_>, room: Area, run: &Run) -> Result<Vec<Item>, Cancelled> {
    let Some(projection) = Projection::seen_from(DVec3::new(0.55, -0.85, 0.55), DVec3::Z) else {
        return Ok(Vec::new());
    };
    let geometry = &geometry.sound();
    let extent = Extent::of(geometry);
    let corners = (0..8).map(|i| {
        let pick = |bit: usize, axis: usize| if i >> bit & 1 == 0 { extent.min[axis] } else { extent.max[axis] };
        projection.flat(DVec3::new(f64::from(pick(0, 0)), f64::from(pick(1, 1)), f64::from(pick(2, 2))))
    });
    let (low, high) = corners.fold((DVec2::INFINITY, DVec2::NEG_INFINITY), |(l, h), p| (l.min(p), h.max(p)));
    let size = high - low;
    let inner = room.grown(-2.0);
    let scale = (f64::from(inner.size().x) / size.x).min(f64::from(inner.size().y) / size.y);
    let middle = (low + high) * 0.5;
    let centre = inner.centre();
    let on_page = |p: DVec2| centre + Vec2::new(((p.x - middle.x) * scale) as f32, (-(p.y - middle.y) * scale) as f32);
    let fineness = fineness_for(scale);
    let part = Drawn::new(geometry.part, fineness.crease, run)?;
    let mut items = Vec::new();
    // So small a picture is black with wide lines.
    draw_scene(geometry, &part, &projection, &on_page, &fineness, Pen::NARROW, run, &mut items)?;
    Ok(items)
}

/// A bar of exactly `length_mm` on paper with ticks every ten, its left end at `at`.
pub fn scale_bar(at: Vec2, length_mm: f32, words: &str) -> Vec<Item> {
    let pen = Pen { width_mm: 0.35, ..Pen::NARROW };
    let mut items = vec![Item::Line { from: at, to: at + Vec2::new(length_mm, 0.0), pen: Pen::WIDE }];
    let ticks = (length_mm / 10.0).round() as usize;
    for i in 0..=ticks {
        let x = i as f32 * 10.0;
        let tall = if i == 0 || i == ticks { 4.0 } else { 2.0 };
        // End ticks lie inside the bar, so that from edge to edge it measures its length.
        let inset = if i == 0 {
            pen.width_mm * 0.5
        } else if i == ticks {
            -pen.width_mm * 0.5
        } else {
            0.0
        };
        let from = at + Vec2::new(x + inset, 0.25);
        items.push(Item::Line { from, to: from - Vec2::new(0.0, tall), pen });
    }
    items.push(Item::Text(
        Text::new(at + Vec2::new(length_mm + 3.0, 0.5), words, heights::TABLE).anchored(Anchor::Left),
    ));
    items
}
