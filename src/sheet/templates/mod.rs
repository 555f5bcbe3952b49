//! Templates at full size: what is laid on the box's panels to saw, drill and mark them.
//!
//! A template is a flat drawing of one panel in its own millimetres, x to the right and y up, the panel's lower left corner
//! at the origin. Panels are as large as they are sawn; thin lines show where the silicone and its level come to lie on them. It is painted on sheets of paper in tiles, and written whole as SVG and DXF for a cutter.

pub mod clip;
pub mod dxf;
pub mod labels;
pub mod svg;
pub mod tiles;
pub mod wrap;

use super::balloons::{Tag, TagKind};
use super::words::{self, template as say};
use super::{SheetInput, figures};
use crate::plan::{Made, Scale};
use crate::study::job::master_size::MasterSize;
use crate::study::job::wall_name::WallName;
use glam::{DVec2, DVec3};

/// What a line of a template is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Layer {
    /// The panel is sawn here.
    Outline,
    /// A knife or a pen goes along here.
    Knife,
    /// Middle lines and other marks.
    Mark,
}

/// A line of a template.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// What it is for.
    pub layer: Layer,
    /// Its points; a closed one ends where it starts.
    pub points: Vec<DVec2>,
}

/// A round hole.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hole {
    /// Whose it is.
    pub tag: Tag,
    /// Its middle.
    pub at: DVec2,
    /// Its diameter, millimetres.
    pub diameter_mm: f64,
}

/// A short figure at a line.
#[derive(Clone, Debug, PartialEq)]
pub struct Figure {
    /// The middle of its words.
    pub at: DVec2,
    /// The words.
    pub words: String,
}

/// Words beside an edge.
#[derive(Clone, Debug, PartialEq)]
pub struct EdgeWords {
    /// The middle of the edge.
    pub at: DVec2,
    /// From the edge into the panel, a unit vector along an axis.
    pub inward: DVec2,
    /// The words.
    pub words: String,
}

/// One panel at full size.
#[derive(Clone, Debug, PartialEq)]
pub struct Template {
    /// Name of its files, without an ending.
    pub file: &'static str,
    /// Title.
    pub title: String,
    /// What the size is.
    pub note: String,
    /// Width and height, millimetres.
    pub size: DVec2,
    /// Lines.
    pub lines: Vec<Line>,
    /// Holes.
    pub holes: Vec<Hole>,
    /// Figures at lines.
    pub figures: Vec<Figure>,
    /// Words beside its edges.
    pub edges: Vec<EdgeWords>,
}

impl Template {
    /// A bare panel of this size with its outline and its edges' words: left, right, bottom, top.
    fn panel(file: &'static str, title: String, size: DVec2, edges: [&str; 4]) -> Template {
        let corners = [DVec2::ZERO, DVec2::new(size.x, 0.0), size, DVec2::new(0.0, size.y), DVec2::ZERO];
        let places = [
            (DVec2::new(0.0, size.y / 2.0), DVec2::X),
            (DVec2::new(size.x, size.y / 2.0), DVec2::NEG_X),
            (DVec2::new(size.x / 2.0, 0.0), DVec2::Y),
            (DVec2::new(size.x / 2.0, size.y), DVec2::NEG_Y),
        ];
        let edges = places
            .into_iter()
            .zip(edges)
            .map(|((at, inward), words)| EdgeWords { at, inward, words: words.to_owned() })
            .collect();
        Template {
            file,
            title,
            note: String::new(),
            size,
            lines: vec![Line { layer: Layer::Outline, points: corners.to_vec() }],
            holes: Vec::new(),
            figures: Vec::new(),
            edges,
        }
    }

    /// The panel of the box that stands at `side`, as large as it is sawn, with the face of `inner` width and height that the
    /// silicone has on it. None where its size is not known.
    fn of_box(
        input: &SheetInput<'_>,
        file: &'static str,
        title: String,
        side: WallName,
        inner: DVec2,
        edges: [&str; 4],
    ) -> Option<Template> {
        let block = &input.report.block;
        let panel = block.panels.iter().find(|p| p.stands.contains(&side))?;
        let size = DVec2::from_array(panel.size_mm);
        if !(size.is_finite() && size.cmpge(inner - 1e-6).all() && size.max_element() <= MOST_MM) {
            return None;
        }
        let mut template = Template::panel(file, title, size, edges);
        template.note = say::panel(size.x, size.y, block.panel_mm);
        let flat = side == WallName::Floor;
        // Sides of the box stand on its floor; what is not the silicone's width is half and half the thickness of the others.
        let low = if flat { (size - inner) / 2.0 } else { DVec2::new((size.x - inner.x) / 2.0, 0.0) };
        let high = low + inner;
        let mut mark = |a: DVec2, b: DVec2| {
            template.lines.push(Line { layer: Layer::Mark, points: vec![a, b] });
        };
        if flat {
            let corners = [low, DVec2::new(high.x, low.y), high, DVec2::new(low.x, high.y)];
            for (i, a) in corners.iter().enumerate() {
                mark(*a, corners[(i + 1) % 4]);
            }
        } else {
            mark(DVec2::new(0.0, high.y), DVec2::new(size.x, high.y));
            if low.x > 1e-6 {
                mark(low, DVec2::new(low.x, size.y));
                mark(DVec2::new(high.x, 0.0), DVec2::new(high.x, size.y));
            }
            let words = say::level(&figures::mm(high.y));
            template.figures.push(Figure { at: DVec2::new(size.x / 2.0, high.y - LEVEL_WORDS_MM), words });
        }
        Some(template)
    }

    /// Every point that is drawn, with room for a hole's rim.
    pub fn bounds(&self) -> (DVec2, DVec2) {
        let mut low = DVec2::ZERO;
        let mut high = self.size;
        for p in self.lines.iter().flat_map(|l| &l.points) {
            (low, high) = (low.min(*p), high.max(*p));
        }
        for hole in &self.holes {
            (low, high) = (low.min(hole.at - hole.diameter_mm / 2.0), high.max(hole.at + hole.diameter_mm / 2.0));
        }
        (low, high)
    }

    /// The template a quarter turned to the right; nothing is mirrored.
    pub fn turned(&self) -> Template {
        let turn = |p: DVec2| DVec2::new(p.y, self.size.x - p.x);
        Template {
            size: DVec2::new(self.size.y, self.size.x),
            lines: self
                .lines
                .iter()
                .map(|l| Line { layer: l.layer, points: l.points.iter().map(|p| turn(*p)).collect() })
                .collect(),
            holes: self.holes.iter().map(|h| Hole { at: turn(h.at), ..*h }).collect(),
            figures: self.figures.iter().map(|f| Figure { at: turn(f.at), ..f.clone() }).collect(),
            edges: self
                .edges
                .iter()
                .map(|e| EdgeWords {
                    at: turn(e.at),
                    inward: DVec2::new(e.inward.y, -e.inward.x),
                    words: e.words.clone(),
                })
                .collect(),
            ..self.clone()
        }
    }
}

/// How many times as large as its mesh the master of the plan's first part is made.
pub fn master_factor(input: &SheetInput<'_>) -> f64 {
    match input.plan.parts.first().map(|p| p.scale) {
        Some(Scale::Nominal { master_factor }) if master_factor.is_finite() && master_factor > 0.0 => master_factor,
        _ => 1.0,
    }
}

/// A point of the report (in the box) on the master: grown about the middle of the box and from the part's lowest level.
pub(in crate::sheet) fn on_master(input: &SheetInput<'_>, p: [f64; 3]) -> DVec3 {
    master_size(input).point(DVec3::from_array(p))
}

/// How large the master is and from where it grows.
pub(in crate::sheet) fn master_size(input: &SheetInput<'_>) -> MasterSize {
    let block = &input.report.block;
    let [length, width, top_mm] = block.size_mm;
    let half_mm = DVec2::new(length, width) / 2.0;
    MasterSize { factor: master_factor(input), below_mm: block.below_mm, top_mm, half_mm }
}

/// The templates of a job; none where the size of its block is not known.
pub fn templates(input: &SheetInput<'_>) -> Vec<Template> {
    let [length, width, height] = input.report.block.size_mm;
    if ![length, width, height].iter().all(|s| s.is_finite() && (1.0..=MOST_MM).contains(s)) {
        return Vec::new();
    }
    let across = DVec2::new(length, width);
    let around = [say::EDGE_LEFT, say::EDGE_RIGHT, say::EDGE_FRONT, say::EDGE_BACK];
    // The lid lies on the walls as the floor lies under them.
    let lid = Template::of_box(input, "lid", say::titled(say::LID, say::FROM_ABOVE), WallName::Floor, across, around);
    let mut all = Vec::new();
    if let Some(mut lid) = lid {
        lid.holes = rods(input, (lid.size - across) / 2.0);
        lid.lines.extend(middle_lines(lid.size));
        for edge in &mut lid.edges {
            // Off the middle marks.
            edge.at += edge.inward.perp().abs() * lid.size * 0.25;
        }
        all.push(lid);
    }
    let floor = say::titled(say::FLOOR, say::FROM_ABOVE);
    all.extend(Template::of_box(input, "floor", floor, WallName::Floor, across, around));
    // A wall is seen from outside: whoever stands before it has its neighbours to the left and the right like this.
    for (side, file, title, wide, left, right) in [
        (WallName::Front, "front", say::FRONT, length, say::EDGE_LEFT, say::EDGE_RIGHT),
        (WallName::Back, "back", say::BACK, length, say::EDGE_RIGHT, say::EDGE_LEFT),
        (WallName::Left, "left", say::LEFT, width, say::EDGE_BACK, say::EDGE_FRONT),
        (WallName::Right, "right", say::RIGHT, width, say::EDGE_FRONT, say::EDGE_BACK),
    ] {
        let face = DVec2::new(wide, height);
        let edges = [left, right, say::EDGE_FLOOR, say::EDGE_RIM];
        let title = say::titled(title, say::FROM_OUTSIDE);
        let wall = Template::of_box(input, file, title, side, face, edges).map(|mut wall| {
            let over_ends = wall.size.x > face.x + 1e-6;
            wall.note = format!("{}; {}", wall.note, if over_ends { say::OVER_ENDS } else { say::BETWEEN });
            wall
        });
        all.extend(wall);
    }
    all.extend(wrap::marks(input));
    all
}

/// How far under the line of the silicone's level its words stand, millimetres.
const LEVEL_WORDS_MM: f64 = 4.0;
/// Longest side of a panel that is drawn, millimetres.
const MOST_MM: f64 = 5000.0;

/// Where rods pass the lid, whose corner lies `beyond` that of the silicone: vents straight above their mouths, gates at the head of their standing leg.
fn rods(input: &SheetInput<'_>, beyond: DVec2) -> Vec<Hole> {
    let [length, width, _] = input.report.block.size_mm;
    let corner = DVec2::new(length, width) / 2.0 + beyond;
    let on_lid = |p: [f64; 3]| on_master(input, p).truncate() + corner;
    let gates = input.plan.feed.gates.iter().filter(|g| g.made == Made::RodPulled).filter_map(|gate| {
        let runner = input.report.feed.runners.iter().find(|r| r.number == gate.number)?;
        let leg = runner.legs.last().filter(|_| runner.joins.is_none())?;
        let tag = Tag { kind: TagKind::Gate, number: gate.number };
        Some(Hole { tag, at: on_lid(leg.to_mm), diameter_mm: leg.diameter_mm })
    });
    let vents = input.plan.vents.iter().filter(|v| v.made == Made::RodPulled).filter_map(|vent| {
        let found = input.report.vents.iter().find(|v| v.number == vent.number)?;
        let tag = Tag { kind: TagKind::Vent, number: vent.number };
        Some(Hole { tag, at: on_lid(found.position_mm), diameter_mm: vent.diameter_mm })
    });
    let known = |h: &Hole| h.at.is_finite() && h.diameter_mm.is_finite() && h.diameter_mm > 0.0;
    // A hole off the lid cannot be drilled in it.
    let inside = |h: &Hole| h.at.cmpge(DVec2::ZERO).all() && h.at.cmple(corner * 2.0).all();
    gates.chain(vents).filter(known).filter(inside).collect()
}

/// Marks in the middle of each side, to lay the template by.
fn middle_lines(size: DVec2) -> Vec<Line> {
    let long = (size.min_element() * 0.2).min(10.0);
    let middle = size / 2.0;
    [
        [DVec2::new(0.0, middle.y), DVec2::new(long, middle.y)],
        [DVec2::new(size.x - long, middle.y), DVec2::new(size.x, middle.y)],
        [DVec2::new(middle.x, 0.0), DVec2::new(middle.x, long)],
        [DVec2::new(middle.x, size.y - long), DVec2::new(middle.x, size.y)],
    ]
    .map(|ends| Line { layer: Layer::Mark, points: ends.to_vec() })
    .to_vec()
}

/// Whose template it is, for files that have no page furniture: job and revision, digests, program.
pub fn whose(input: &SheetInput<'_>) -> [String; 3] {
    let job = words::name_or(&input.plan.name, words::UNNAMED);
    let meshes = super::setup::mesh_digests(input);
    [
        format!("{job} · {}", super::setup::revision_words(input)),
        words::digests(&figures::short_digest(input.plan_digest), &meshes),
        format!("{} · {}", words::made_with(input.program), say::UNIT),
    ]
}
