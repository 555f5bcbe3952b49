//! What became of hand work once the surface is labelled: held loops that are no line, and marks that are cut off.

use super::hand::{HalfStroke, PinPoint};
use super::hand_lines::HandLines;
use super::regions::{Regions, middle_of_triangles};
use super::surface::{NONE, Surface};
use crate::plan::Half;
use crate::study::parting::held_gap::{GapCause, HeldGap};
use glam::Vec3;
use std::collections::HashMap;

/// Surface that a mark gave to a half and that is cut off from the rest of this half.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CutOff {
    /// Which mark.
    pub mark: usize,
    /// The body it lies on.
    pub body: u32,
    /// The half that it was given to.
    pub half: Half,
    /// A place in its middle.
    pub at: Vec3,
}

/// A pin rules the surface round it, in edges of the surface.
const PIN_EDGES: f32 = 3.0;

/// Stretches of held loops that lie within one half, because something else was given more weight there.
pub fn overruled(
    surface: &Surface,
    halves: &[Half],
    lines: &HandLines,
    marks: &[HalfStroke],
    pins: &[PinPoint],
) -> Vec<HeldGap> {
    if lines.edges.is_empty() {
        return Vec::new();
    }
    let beside = triangles_beside(surface, lines);
    let open = |&(v, w): &(u32, u32)| match beside.get(&(v.min(w), v.max(w))) {
        Some(&[f, g]) => g == NONE || halves[f as usize] == halves[g as usize],
        None => true,
    };
    // Runs of open edges, each of one loop.
    let mut runs: Vec<(usize, Vec<(u32, u32)>)> = Vec::new();
    let mut before: Option<(usize, u32)> = None;
    for (edge, &held) in lines.edges.iter().zip(&lines.held_of) {
        if open(edge) {
            match runs.last_mut() {
                Some((_, run)) if before == Some((held, edge.0)) => run.push(*edge),
                _ => runs.push((held, vec![*edge])),
            }
            before = Some((held, edge.1));
        } else {
            before = None;
        }
    }
    join_over_the_end(&mut runs);
    let point = |v: u32| surface.mesh.positions[v as usize];
    let length = |run: &[(u32, u32)]| run.iter().map(|&(v, w)| point(v).distance(point(w)) as f64).sum::<f64>();
    // Round less than an edge the line strays less than that.
    runs.retain(|(_, run)| length(run) > surface.edge_mm as f64);
    if runs.is_empty() {
        return Vec::new();
    }
    let under: Vec<Vec<bool>> = marks.iter().map(|m| m.stroke.mark(surface)).collect();
    let near_pin = |p: &PinPoint, v: u32| p.at.distance(point(v)) <= PIN_EDGES * surface.edge_mm;
    let gap = |(held, run): (usize, Vec<(u32, u32)>)| {
        let faces = || {
            let found = run.iter().filter_map(|&(v, w)| beside.get(&(v.min(w), v.max(w))));
            found.flatten().copied().filter(|&f| f != NONE)
        };
        HeldGap {
            held,
            at: point(run[0].0),
            length_mm: length(&run),
            cause: GapCause::OneHalf,
            marks: (0..marks.len()).filter(|&m| faces().any(|f| under[m][f as usize])).collect(),
            pins: (0..pins.len()).filter(|&p| run.iter().any(|&(v, _)| near_pin(&pins[p], v))).collect(),
        }
    };
    runs.into_iter().map(gap).collect()
}

/// A run that ends where the first of the same loop begins goes on into it.
fn join_over_the_end(runs: &mut Vec<(usize, Vec<(u32, u32)>)>) {
    let mut i = 0;
    while i < runs.len() {
        let held = runs[i].0;
        let last = i + runs[i..].iter().take_while(|r| r.0 == held).count() - 1;
        let ends_at = runs[last].1.last().map(|e| e.1);
        if last > i && ends_at == runs[i].1.first().map(|e| e.0) {
            let (_, mut run) = runs.remove(last);
            run.append(&mut runs[i].1);
            runs[i].1 = run;
            i = last;
        } else {
            i = last + 1;
        }
    }
}

/// The triangles at each held edge.
fn triangles_beside(surface: &Surface, lines: &HandLines) -> HashMap<(u32, u32), [u32; 2]> {
    let mut ends = vec![false; surface.mesh.positions.len()];
    lines.edges.iter().for_each(|&(a, b)| [a, b].iter().for_each(|&v| ends[v as usize] = true));
    let mut beside: HashMap<(u32, u32), [u32; 2]> =
        lines.edges.iter().map(|&(a, b)| ((a.min(b), a.max(b)), [NONE; 2])).collect();
    for (f, t) in surface.mesh.triangles.iter().enumerate() {
        for k in 0..3 {
            let (a, b) = (t[k], t[(k + 1) % 3]);
            if ends[a as usize]
                && ends[b as usize]
                && let Some(sides) = beside.get_mut(&(a.min(b), a.max(b)))
            {
                *sides = [f as u32, sides[0]];
            }
        }
    }
    beside.retain(|_, sides| sides[0] != NONE);
    beside
}

/// Marks with surface in a piece that is cut off from the rest of its half.
pub fn cut_off(surface: &Surface, halves: &[Half], regions: &Regions, marks: &[HalfStroke]) -> Vec<CutOff> {
    if regions.list.iter().all(|r| r.main) {
        return Vec::new();
    }
    let mut found = Vec::new();
    for (mark, stroke) in marks.iter().enumerate() {
        let under = stroke.stroke.mark(surface);
        let island = |f: usize| under[f] && halves[f] == stroke.half && !regions.list[regions.of[f] as usize].main;
        let Some(first) = (0..surface.len()).find(|&f| island(f)) else { continue };
        let own = (first..surface.len()).filter(|&f| island(f));
        let at = middle_of_triangles(surface, own);
        found.push(CutOff { mark, body: surface.body[first], half: stroke.half, at });
    }
    found
}
