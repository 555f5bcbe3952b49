//! Where a half has to be pulled over something: connected surface hidden from the half it is given to, and how its
//! rubber gets past.

use super::help::{Help, help};
use super::range::range;
use super::{round, strain};
use crate::mesh::tree::Tree;
use crate::plan::Half;
use crate::solve::run::{Cancelled, Run};
use crate::study::parting::aside::{self, Way, along};
use crate::study::parting::facts::PartingFacts;
use crate::study::parting::regions::middle_of_triangles;
use crate::study::parting::release::kinds::UndercutKind;
use crate::study::parting::surface;
use glam::Vec3;

/// Ways aside that agree more than this (length of their mean) go one way: those of a groove round half a turn come to
/// 2/π.
const ONE_WAY: f32 = 0.62;
/// Undercuts whose form is worked out, the largest; smaller ones are tongues of no known thickness.
const FORMED: usize = 200;

/// How the rubber of an undercut gets past the part.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Form {
    /// A ring outside the part that stretches over a head: girths over π, millimetres.
    Collar {
        /// In the neck.
        neck_mm: f64,
        /// Over the head.
        head_mm: f64,
    },
    /// Rubber inside the part that is squeezed through a neck: widths along the way out, millimetres. A neck of 0 lets
    /// nothing by.
    Core {
        /// The neck.
        neck_mm: f64,
        /// The core behind it.
        head_mm: f64,
    },
    /// Rubber that moves out one way.
    Tongue {
        /// Extent along the draw, millimetres; infinite where it is not bounded on both sides.
        thickness_mm: f64,
        /// How far it reaches in, millimetres.
        length_mm: f64,
        /// Extent square to the draw and to the way out over which it can bow out, millimetres; 0 where the part stands
        /// on its other side.
        width_mm: f64,
    },
}

impl Form {
    /// The kind alone.
    pub fn kind(&self) -> UndercutKind {
        match self {
            Form::Collar { .. } => UndercutKind::Collar,
            Form::Core { .. } => UndercutKind::Core,
            Form::Tongue { .. } => UndercutKind::Tongue,
        }
    }

    /// The greatest strain of the rubber on its way out: hoop stretch of a collar, squeeze of a core; a tongue folds or
    /// bows out, whichever is less.
    pub fn stretch(&self) -> f64 {
        match *self {
            Form::Collar { neck_mm, head_mm } => strain::ring(head_mm, neck_mm),
            Form::Core { neck_mm, head_mm } => strain::squeeze(head_mm, neck_mm),
            Form::Tongue { thickness_mm, length_mm, width_mm } => {
                strain::fold(thickness_mm, length_mm).min(strain::bow(length_mm, width_mm))
            }
        }
    }
}

/// One undercut.
#[derive(Clone, Debug, PartialEq)]
pub struct Undercut {
    /// The half that is held.
    pub half: Half,
    /// The body that holds it.
    pub body: u32,
    /// Area hidden from that half, mm².
    pub area_mm2: f64,
    /// How far its rubber must move aside, square to the draw, before it can leave, millimetres.
    pub depth_mm: f64,
    /// Extent along the draw, millimetres.
    pub height_mm: f64,
    /// How the rubber gets past.
    pub form: Form,
    /// Whether the part is held all round at the deepest level.
    pub closed_round: bool,
    /// A point of the surface in its middle.
    pub middle: Vec3,
    /// The way aside from its deepest place.
    pub deepest: Way,
    /// What would help it.
    pub help: Help,
    /// Its triangles, in order.
    pub triangles: Vec<u32>,
}

/// All undercuts of a parting of at least `least_mm2`, the largest first. `tree` holds the mesh that was parted.
pub fn undercuts(parting: &PartingFacts, tree: &Tree, least_mm2: f64, run: &Run) -> Result<Vec<Undercut>, Cancelled> {
    if let Some(told_from) = &parting.told_from {
        let mut undercuts = undercuts(told_from, tree, least_mm2, run)?;
        undercuts.iter_mut().for_each(|u| u.half = u.half.other());
        return Ok(undercuts);
    }
    let (surface, halves) = (&*parting.surface, &parting.halves);
    let (group, count) = surface::groups(&surface.across, |f, _, g| {
        parting.hidden(f) > 0.0 && parting.hidden(g) > 0.0 && halves[f] == halves[g]
    });
    let mut list: Vec<(f64, Vec<u32>)> = vec![(0.0, Vec::new()); count];
    for f in 0..surface.len() {
        if parting.hidden(f) > 0.0 {
            let (area, triangles) = &mut list[group[f] as usize];
            *area += (parting.hidden(f) * surface.area_mm2[f]) as f64;
            triangles.push(f as u32);
        }
    }
    list.retain(|(area, triangles)| !triangles.is_empty() && *area >= least_mm2);
    list.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1[0].cmp(&b.1[0])));
    let mut undercuts = Vec::with_capacity(list.len());
    for (i, (area_mm2, triangles)) in list.into_iter().enumerate() {
        run.check()?;
        undercuts.push(undercut(parting, tree, area_mm2, triangles, i < FORMED, run)?);
    }
    Ok(undercuts)
}

fn undercut(
    parting: &PartingFacts,
    tree: &Tree,
    area_mm2: f64,
    triangles: Vec<u32>,
    formed: bool,
    run: &Run,
) -> Result<Undercut, Cancelled> {
    let surface = &*parting.surface;
    let first = triangles[0] as usize;
    let half = parting.halves[first];
    let away = along(parting.draw, half);
    let hidden = parting.visibility.from(half);
    let ways = aside::ways(surface, tree, &triangles, away, hidden, run)?;
    let middle = middle_of_triangles(surface, triangles.iter().map(|&f| f as usize));
    // Where only rims of triangles are hidden there is no depth to speak of.
    let deepest =
        ways.iter().copied().max_by(|a, b| a.length_mm.total_cmp(&b.length_mm).then(b.triangle.cmp(&a.triangle)));
    let none = Way { triangle: triangles[0], start: middle, direction: Vec3::ZERO, length_mm: 0.0, clear: true };
    let deepest = deepest.unwrap_or(none);
    let (low, high) = extent(parting, &triangles, away);
    let (form, closed_round) = if formed && deepest.length_mm > 0.0 {
        form(parting, tree, &triangles, &ways, &deepest, away)
    } else {
        (tongue(parting, tree, &triangles, &ways, &deepest, away, false), false)
    };
    Ok(Undercut {
        half,
        body: surface.body[first],
        area_mm2,
        depth_mm: deepest.length_mm as f64,
        height_mm: (high - low) as f64,
        form,
        closed_round,
        middle,
        help: help(surface, &triangles, &deepest, away),
        deepest,
        triangles,
    })
}

/// Least and greatest place of the triangles' corners along a direction.
fn extent(parting: &PartingFacts, triangles: &[u32], along: Vec3) -> (f32, f32) {
    let mesh = &parting.surface.mesh;
    range(triangles.iter().flat_map(|&f| mesh.corners(f as usize)).map(|p| p.dot(along)))
}

/// The form of an undercut, and whether it is closed all round: where all ways aside agree it is a tongue; else the
/// rubber is a core where the surface faces its own middle, and a collar where it faces away from it.
fn form(
    parting: &PartingFacts,
    tree: &Tree,
    triangles: &[u32],
    ways: &[Way],
    deepest: &Way,
    away: Vec3,
) -> (Form, bool) {
    let surface = &*parting.surface;
    let weight = |w: &Way| surface.area_mm2[w.triangle as usize];
    let all: f32 = ways.iter().map(weight).sum();
    let mean = ways.iter().map(|w| w.direction * weight(w)).sum::<Vec3>() / all.max(f32::MIN_POSITIVE);
    if mean.length() > ONE_WAY {
        // Rubber with the part on its other side too is squeezed, unless what sticks in folds more easily.
        let core = core(tree, ways, deepest, away);
        let tongue = tongue(parting, tree, triangles, ways, deepest, away, core.is_some());
        return (core.filter(|core| core.stretch() < tongue.stretch()).unwrap_or(tongue), false);
    }
    let centre = ways.iter().map(|w| w.start * weight(w)).sum::<Vec3>() / all.max(f32::MIN_POSITIVE);
    let faces_out: f32 = ways
        .iter()
        .map(|w| {
            let n = surface.normal[w.triangle as usize];
            (w.start - centre).dot(n - away * n.dot(away)) * weight(w)
        })
        .sum();
    // The level is that of the deepest place on a wall; a face square to the draw has no section.
    let hidden = parting.visibility.from(parting.halves[deepest.triangle as usize]);
    let wall = ways
        .iter()
        .filter(|w| surface.normal[w.triangle as usize].dot(away).abs() < 0.95)
        .max_by(|a, b| a.length_mm.total_cmp(&b.length_mm).then(b.triangle.cmp(&a.triangle)))
        .unwrap_or(deepest);
    let ring = round::ring(surface, tree, wall, away, |f| hidden[f as usize] > 0.5);
    let closed_round = ring.is_some_and(|r| r.closed_round);
    if faces_out >= 0.0 {
        let form = match ring {
            Some(ring) => Form::Collar { neck_mm: ring.neck_mm, head_mm: ring.head_mm },
            None => tongue(parting, tree, triangles, ways, deepest, away, false),
        };
        return (form, closed_round);
    }
    // Nothing across: it is held at both ends, and nothing lets it by along the draw.
    let locked = Form::Core { neck_mm: 0.0, head_mm: 2.0 * deepest.length_mm as f64 };
    (core(tree, ways, deepest, away).unwrap_or(locked), closed_round)
}

/// The ways that are nearly as long as the deepest, those clear of the part where there are any.
fn deep_ways(ways: &[Way], deepest: &Way) -> Vec<Way> {
    let deep: Vec<Way> = ways.iter().copied().filter(|w| w.length_mm >= 0.9 * deepest.length_mm).collect();
    let clear: Vec<Way> = deep.iter().copied().filter(|w| w.clear).collect();
    if clear.is_empty() { deep } else { clear }
}

/// The core and its neck along the middle one of the deep ways by width; none where most of them have no part on their
/// other side.
fn core(tree: &Tree, ways: &[Way], deepest: &Way, away: Vec3) -> Option<Form> {
    let width = |w: &Way| tree.first_hit(w.start, w.direction, f32::INFINITY).map_or(f32::INFINITY, |hit| hit.t);
    let mut deep: Vec<(f32, Way)> = deep_ways(ways, deepest).into_iter().map(|w| (width(&w), w)).collect();
    deep.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.triangle.cmp(&b.1.triangle)));
    let &(width, Way { start, direction, length_mm, clear, .. }) = deep.get(deep.len() / 2)?;
    if width.is_infinite() {
        return None;
    }
    let neck = if clear && width > length_mm {
        aside::free_until(tree, start, direction, away, length_mm, width) - length_mm
    } else {
        0.0
    };
    Some(Form::Core { neck_mm: neck as f64, head_mm: width as f64 })
}

/// The tongue that sticks in at the ways aside; its thickness is the greatest half way along the deep ones. It can bow
/// out where the part does not stand on its other side.
fn tongue(
    parting: &PartingFacts,
    tree: &Tree,
    triangles: &[u32],
    ways: &[Way],
    deepest: &Way,
    away: Vec3,
    confined: bool,
) -> Form {
    let reach = |p: Vec3, d: Vec3| tree.first_hit(p, d, f32::INFINITY).map_or(f32::INFINITY, |hit| hit.t);
    let thickness = deep_ways(ways, deepest)
        .iter()
        .map(|w| {
            let half_way = w.start + w.direction * (w.length_mm / 2.0);
            reach(half_way, away) + reach(half_way, -away)
        })
        .fold(0.0, f32::max);
    let weight = |w: &Way| parting.surface.area_mm2[w.triangle as usize];
    let mean = ways.iter().map(|w| w.direction * weight(w)).sum::<Vec3>();
    let (low, high) = extent(parting, triangles, away.cross(mean.normalize_or(deepest.direction)));
    Form::Tongue {
        thickness_mm: if thickness > 0.0 { thickness as f64 } else { f64::INFINITY },
        length_mm: deepest.length_mm as f64,
        width_mm: if confined { 0.0 } else { (high - low) as f64 },
    }
}
