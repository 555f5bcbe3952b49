//! A closer look: the section of this very part through the place that a finding is about.

use crate::mesh::slice::{Plane, cut_with_triangles};
use crate::plan::Half;
use crate::study::bench::Facts;
use crate::study::findings::{Finding, Step};
use glam::{DVec2, DVec3, Vec3};

/// Sections tried round up where the place itself does not say which is the telling one.
const SIDES: usize = 6;
/// Half the window's side, millimetres at least, and as a share of the part's diagonal at most and where nothing else counts.
const LEAST_REACH_MM: f64 = 5.0;
const MOST_REACH: f64 = 0.5;
const REACH: f64 = 0.12;
/// Window round a pocket of air, in its heights.
const ROUND_AIR: f64 = 1.6;
/// Lines by which the air in the picture is told from what is beside it.
const LINES: usize = 48;
/// A flat normal less than this level says nothing of a direction round up.
const LEVEL_NORMAL: f64 = 0.2;

/// What is up in a picture.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Upright {
    /// Up while resin is poured.
    Cast,
    /// The draw of half 1.
    Draw,
    /// Out of the part along its surface's normal.
    Outwards,
}

/// A piece of the part's outline and the half that makes it, where that is known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Piece {
    /// Its ends.
    pub ends: [DVec2; 2],
    /// The half.
    pub half: Option<Half>,
}

/// A straight channel or rod in the picture.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rod {
    /// Its axis, flat.
    pub ends: [DVec2; 2],
    /// Its radius, millimetres.
    pub radius_mm: f64,
    /// True for a vent, false for the feed.
    pub vent: bool,
}

/// The picture: millimetres from the place; up in the picture is [`CloserLook::upright`].
#[derive(Clone, Debug, PartialEq)]
pub struct CloserLook {
    /// What is up.
    pub upright: Upright,
    /// Half the window's side, millimetres.
    pub reach_mm: f64,
    /// The part's outline, inserts taken out.
    pub part: Vec<Piece>,
    /// Outlines of inserts.
    pub metal: Vec<[DVec2; 2]>,
    /// Feed and vents where they come near the section.
    pub rods: Vec<Rod>,
    /// Height at which the resin stops, where air is caught above it.
    pub level_mm: Option<f64>,
    /// The air that stays there: level stretches of it, one above the other.
    pub air: Vec<[DVec2; 2]>,
    /// How far apart those lie, millimetres.
    pub air_step_mm: f64,
}

/// The closer look at a finding's place; none where it has none or the part is not there yet.
pub fn closer_look(facts: &Facts, finding: &Finding) -> Option<CloserLook> {
    let (place, body) = (finding.place?, facts.body.as_ref()?);
    let origin = place.as_dvec3();
    let normal = body.tree.nearest(place).map(|n| body.mesh.unit_normal(n.triangle as usize).as_dvec3());
    let normal = normal.unwrap_or(DVec3::ZERO);
    let cast_up = facts.setting.frames.cast_up().as_dvec3();
    let draw = facts.parting.as_ref().map(|p| p.draw.as_dvec3());
    let (upright, up) = match (finding.step, draw) {
        (Step::Parting, Some(draw)) => (Upright::Draw, draw),
        (Step::Hang | Step::Feed | Step::Vents, _) => (Upright::Cast, cast_up),
        _ if normal.length() > 0.5 => (Upright::Outwards, normal),
        _ => (Upright::Cast, cast_up),
    };
    let level_mm = level_below(facts, finding).map(|level| level - origin.dot(cast_up));
    let widest = body.bounds.diagonal() as f64;
    let reach_mm = match level_mm {
        Some(level) => (-level * ROUND_AIR).max(widest * REACH * 0.5),
        None => widest * REACH,
    };
    let reach_mm = reach_mm.clamp(LEAST_REACH_MM, (widest * MOST_REACH).max(LEAST_REACH_MM));
    let planes = match mouth_that_serves(facts, finding) {
        // A vent that sits too low is to be seen beside the air that it leaves.
        Some(mouth) => planes(origin, up, mouth.as_dvec3() - origin),
        None => planes(origin, up, normal),
    };
    let views = planes.into_iter().map(|plane| view(facts, &plane, upright, reach_mm, level_mm));
    // Of several, the one that shows most air; where there is none, most of the part's outline.
    views.max_by(|a, b| a.tells().total_cmp(&b.tells()))
}

impl CloserLook {
    /// How much a picture tells.
    fn tells(&self) -> f64 {
        let long = |all: &mut dyn Iterator<Item = [DVec2; 2]>| all.map(|[a, b]| a.distance(b)).fold(0.0, |s, l| s + l);
        let air = long(&mut self.air.iter().copied());
        // Any air tells more than any outline.
        1e6 * air + long(&mut self.part.iter().map(|p| p.ends))
    }
}

/// Height along up in `work` at which resin stops below the finding's place; none where no air stays there.
fn level_below(facts: &Facts, finding: &Finding) -> Option<f64> {
    let (air, place) = (facts.air.as_ref().filter(|_| finding.step == Step::Vents)?, finding.place?);
    let up = facts.setting.frames.cast_up();
    let height = place.dot(up) as f64;
    let tree = air.trees.air.level.tree();
    let at = air.high_points.iter().position(|p| p.position == place)?;
    let branch = air.high_points[at].branch;
    let below = air.trapped.pieces.iter().filter(|p| p.level < height);
    // Its own body of air stands on its branch or on one that it joins further down.
    let own = below.filter(|p| tree.subtree(p.branch).contains(&branch) || tree.subtree(branch).contains(&p.branch));
    own.map(|p| p.level).min_by(f64::total_cmp)
}

/// The mouth in the pocket that a finding is about.
fn mouth_that_serves(facts: &Facts, finding: &Finding) -> Option<Vec3> {
    let air = facts.air.as_ref().filter(|_| finding.step == Step::Vents)?;
    let at = air.high_points.iter().position(|p| Some(p.position) == finding.place)?;
    let by = air.served.get(at)?.by?;
    air.mouths.iter().find(|m| m.of == by).map(|m| m.centre)
}

/// The sections that are tried: through `towards` where it leans away from up, else some round up.
fn planes(origin: DVec3, up: DVec3, towards: DVec3) -> Vec<Plane> {
    let level = towards - up * towards.dot(up);
    if level.length() > LEVEL_NORMAL {
        return vec![Plane { origin, right: level.normalize(), up }];
    }
    let side = up.any_orthonormal_vector();
    let turned = |i: usize| {
        let (s, c) = (std::f64::consts::PI * i as f64 / SIDES as f64).sin_cos();
        side * c + up.cross(side) * s
    };
    (0..SIDES).map(|i| Plane { origin, right: turned(i), up }).collect()
}

fn view(facts: &Facts, plane: &Plane, upright: Upright, reach_mm: f64, level_mm: Option<f64>) -> CloserLook {
    let near = |ends: &[DVec2; 2]| {
        let (low, high) = (ends[0].min(ends[1]), ends[0].max(ends[1]));
        low.max_element() <= reach_mm && high.min_element() >= -reach_mm
    };
    let by_half = facts.parting.as_ref().filter(|_| upright == Upright::Draw);
    let outline: Vec<Piece> = match (by_half, &facts.body) {
        (Some(parting), _) => cut_with_triangles(&parting.surface.mesh, plane)
            .map(|(ends, t)| Piece { ends, half: Some(parting.halves[t]) })
            .collect(),
        (None, Some(body)) => {
            cut_with_triangles(&body.mesh, plane).map(|(ends, _)| Piece { ends, half: None }).collect()
        }
        (None, None) => Vec::new(),
    };
    // The hard part stands in the soft one's block; the soft one does not stand in the hard one's.
    let loaded = facts.master.as_ref().zip(facts.body.as_ref()).is_some_and(|(m, b)| m.id != b.id);
    let other = facts.setting.other_whole().filter(|_| loaded).map(|o| &*o.mesh).into_iter();
    let beside = facts.setting.inserts.iter().map(|i| &i.solid).chain(other);
    let metal = beside.flat_map(|solid| cut_with_triangles(solid, plane).map(|c| c.0));
    let (air, air_step_mm) = match level_mm {
        Some(level) => caught(&outline, level),
        None => (Vec::new(), 0.0),
    };
    CloserLook {
        upright,
        reach_mm,
        metal: metal.filter(near).collect(),
        rods: rods(facts, plane, reach_mm),
        level_mm,
        air,
        air_step_mm,
        // Hatching wants whole outlines, so those that leave the window are kept.
        part: outline,
    }
}

/// Feed and vents whose axis passes the plane within their radius in the window.
fn rods(facts: &Facts, plane: &Plane, reach_mm: f64) -> Vec<Rod> {
    let across = plane.right.cross(plane.up);
    let off = |p: Vec3| (p.as_dvec3() - plane.origin).dot(across);
    let channels = &facts.setting.channels;
    let all = channels.vents.iter().map(|c| (c, true)).chain(channels.gates.iter().map(|c| (c, false)));
    let mut rods = Vec::new();
    for (rod, vent) in all.flat_map(|(c, vent)| c.rods.iter().map(move |r| (r, vent))) {
        let (a, b) = (off(rod.from), off(rod.to));
        let (least, radius_mm) = (if a * b <= 0.0 { 0.0 } else { a.abs().min(b.abs()) }, rod.radius_mm as f64);
        let ends = [rod.from, rod.to].map(|p| plane.flat(p.as_dvec3()));
        let (low, high) = (ends[0].min(ends[1]), ends[0].max(ends[1]));
        let seen = low.max_element() - radius_mm <= reach_mm && high.min_element() + radius_mm >= -reach_mm;
        if least <= radius_mm && seen {
            rods.push(Rod { ends, radius_mm, vent });
        }
    }
    rods
}

/// Level stretches inside the outline above `level` that hang together with the place, and the step between them.
fn caught(outline: &[Piece], level: f64) -> (Vec<[DVec2; 2]>, f64) {
    let step = -level / LINES as f64;
    if step <= 0.0 {
        return (Vec::new(), 0.0);
    }
    // From the top down, so that the place's own stretch is known first; half a step off it, where corners like to lie.
    let mut own: Vec<[DVec2; 2]> = Vec::new();
    let mut above: Vec<[f64; 2]> = vec![[-step, step]];
    for i in 0..LINES {
        let y = -(i as f64 + 0.5) * step;
        let mut at: Vec<f64> = outline
            .iter()
            .filter(|p| (p.ends[0].y >= y) != (p.ends[1].y >= y))
            .map(|p| {
                let [a, b] = p.ends;
                a.x + (b.x - a.x) * ((y - a.y) / (b.y - a.y))
            })
            .collect();
        at.sort_by(f64::total_cmp);
        let here: Vec<[f64; 2]> = at.chunks_exact(2).map(|c| [c[0], c[1]]).collect();
        let joined: Vec<[f64; 2]> =
            here.into_iter().filter(|h| above.iter().any(|a| h[0] <= a[1] && h[1] >= a[0])).collect();
        own.extend(joined.iter().map(|h| [DVec2::new(h[0], y), DVec2::new(h[1], y)]));
        if !joined.is_empty() {
            above = joined;
        }
    }
    (own, step)
}
