//! The knife: how deep it goes at a place on a wall, and what is round it there.

use super::block_box::{BlockBox, Wall};
use super::entry::EntryLine;
use super::frame::Frame;
use super::keys::SMOOTH_MM;
use super::surface::{CutSurface, Piece};
use crate::mesh::Mesh;
use crate::mesh::tree::Tree;
use glam::{DVec2, DVec3, Vec3};

/// Steps of the blade along the cut, millimetres.
const STEP_MM: f64 = 0.5;
/// Bisections of the last step.
const HALVINGS: usize = 8;
/// A wall whose outward direction has at least this share along the draw lies over or under the cut.
const OVER: f64 = 0.75;
/// Points of the cut whose way to the part is shorter than this share of their way to the line lie over or under the part,
/// not merely beside it.
const BESIDE: f64 = 0.7;

/// The cut ready to be asked.
#[derive(Debug)]
pub struct Knife<'a> {
    cut: &'a CutSurface,
    block: &'a BlockBox,
    /// The sheet and its skirts, without patches.
    sheet: Mesh,
    sheet_tree: Tree,
    body_tree: &'a Tree,
    reach: f64,
    /// Walls that the cut comes out by.
    entered: Vec<Wall>,
}

/// The blade at one place: the section square to the wall there.
#[derive(Clone, Debug, PartialEq)]
pub struct Section {
    /// The wall that it goes in by.
    pub wall: Wall,
    /// Where, on the wall: millimetres from its lower left corner seen from outside.
    pub at_mm: DVec2,
    /// The way of the blade from the wall inwards, in `work`.
    pub path: Vec<Vec3>,
    /// How deep it goes, square to the wall, millimetres.
    pub depth_mm: f64,
    /// True where it ends at the part; false where the blade from a nearer wall goes on.
    pub to_part: bool,
    /// Least rubber that is left in half 1 and in half 2 along it, beyond the band beside the part, millimetres.
    pub rubber_mm: [f64; 2],
    /// The nearest insert by its number in the list, and how far it is, millimetres.
    pub metal: Option<(usize, f64)>,
}

impl<'a> Knife<'a> {
    /// The knife in `cut`, which meets the walls along `lines`. `body_tree` is over the mesh of the cut's border.
    pub fn new(cut: &'a CutSurface, block: &'a BlockBox, body_tree: &'a Tree, lines: &[EntryLine]) -> Knife<'a> {
        let triangles = cut
            .triangles
            .iter()
            .zip(&cut.pieces)
            .filter(|(_, p)| !matches!(p, Piece::Patch(_)))
            .map(|(t, _)| *t)
            .collect();
        let sheet = Mesh { positions: cut.positions.clone(), triangles };
        let bounds = sheet.bounds();
        let entered = Wall::ALL.into_iter().filter(|w| lines.iter().any(|l| l.wall == *w)).collect();
        let reach = f64::from(bounds.diagonal()) + 10.0;
        Knife { cut, block, sheet_tree: Tree::of(&sheet), sheet, body_tree, reach, entered }
    }

    /// The sheet and its skirts.
    pub fn sheet(&self) -> (&Mesh, &Tree) {
        (&self.sheet, &self.sheet_tree)
    }

    fn frame(&self) -> &Frame {
        &self.cut.frame
    }

    /// The point of the sheet at a place across; none where the part is.
    fn on_sheet(&self, at: DVec2) -> Option<DVec3> {
        let from = self.frame().work(at.extend(-self.reach));
        let hit = self.sheet_tree.first_hit(from, self.frame().w.as_vec3(), (2.0 * self.reach) as f32)?;
        Some(at.extend(f64::from(hit.t) - self.reach))
    }

    /// The blade at a place of a wall.
    pub fn section(&self, wall: Wall, at_mm: DVec2, inserts: &[(&Mesh, &Tree)]) -> Section {
        let frame = self.frame();
        let start = frame.local(self.block.on_wall(wall, at_mm).as_vec3());
        let inwards = -self.block.out_in_work(wall);
        let across = DVec2::new(inwards.dot(frame.u), inwards.dot(frame.v)).normalize_or(DVec2::X);
        let work = |p: DVec3| frame.origin + frame.u * p.x + frame.v * p.y + frame.w * p.z;
        let mut points = vec![start];
        let mut to_part = false;
        let most = (self.block.size_mm.length() / STEP_MM) as usize + 2;
        // Where another wall that is cut is nearer, the blade comes from there.
        let others: Vec<Wall> = self.entered.iter().copied().filter(|w| *w != wall).collect();
        let mine = |p: DVec3| {
            let at = work(p);
            let deep = (at - work(start)).dot(inwards);
            others.iter().all(|w| self.block.behind(*w, at) >= deep)
        };
        for i in 1..=most {
            let flat = start.truncate() + across * (i as f64 * STEP_MM);
            match self.on_sheet(flat) {
                Some(p) if mine(p) => points.push(p),
                Some(_) => break,
                None => {
                    to_part = true;
                    let (mut on, mut off) = (flat - across * STEP_MM, flat);
                    for _ in 0..HALVINGS {
                        let middle = 0.5 * (on + off);
                        match self.on_sheet(middle) {
                            Some(_) => on = middle,
                            None => off = middle,
                        }
                    }
                    points.extend(self.on_sheet(on));
                    break;
                }
            }
        }
        let depth_mm = points.iter().map(|p| (work(*p) - work(start)).dot(inwards)).fold(0.0f64, f64::max);
        let length = points.len() as f64 * STEP_MM;
        let beside = if to_part { SMOOTH_MM } else { 0.0 };
        let mut rubber_mm = [f64::INFINITY; 2];
        for (i, p) in points.iter().enumerate() {
            if length - i as f64 * STEP_MM < beside {
                break;
            }
            for (side, sign) in [1.0, -1.0].into_iter().enumerate() {
                rubber_mm[side] = rubber_mm[side].min(self.rubber_along(*p, sign));
            }
        }
        let path: Vec<Vec3> = points.iter().map(|p| work(*p).as_vec3()).collect();
        let metal = inserts
            .iter()
            .enumerate()
            .filter_map(|(i, (_, tree))| {
                let near = path.iter().filter_map(|p| tree.nearest(*p)).map(|n| f64::from(n.distance));
                near.reduce(f64::min).map(|d| (i, d))
            })
            .min_by(|a, b| a.1.total_cmp(&b.1));
        Section { wall, at_mm, path, depth_mm, to_part, rubber_mm, metal }
    }

    /// Rubber over (`sign` 1) or under (-1) a point of the cut, up to the part or to a wall that lies over or under the cut;
    /// infinite where the next wall is a side wall.
    fn rubber_along(&self, p: DVec3, sign: f64) -> f64 {
        let frame = self.frame();
        let at = frame.origin + frame.u * p.x + frame.v * p.y + frame.w * p.z;
        let along = frame.w * sign;
        let (out, wall) = self.block.way_out(at, along);
        let wall_mm = if self.block.out_in_work(wall).dot(along) >= OVER { out } else { f64::INFINITY };
        let lift = 0.05;
        let part = self.body_tree.first_hit((at + along * lift).as_vec3(), along.as_vec3(), out as f32);
        wall_mm.min(part.map_or(f64::INFINITY, |h| f64::from(h.t) + lift))
    }

    /// The least rubber on either side of the cut anywhere inside the block beyond the band beside the part, and where:
    /// over and under the cut to the walls there, and between the cut and a part that hangs over it.
    pub fn least_rubber(&self) -> Option<(f64, Vec3)> {
        use rayon::prelude::*;
        let used: Vec<u32> = {
            let mut seen = vec![false; self.cut.positions.len()];
            self.sheet.triangles.iter().flatten().for_each(|v| seen[*v as usize] = true);
            (0..seen.len() as u32).filter(|v| seen[*v as usize]).collect()
        };
        let found: Vec<(f64, Vec3)> = used
            .par_iter()
            .filter_map(|&v| {
                let at = self.cut.positions[v as usize];
                let off = self.cut.off_line_mm[v as usize];
                if off < SMOOTH_MM || self.block.depth(at.as_dvec3()) < 0.0 {
                    return None;
                }
                let p = self.frame().local(at);
                let mut least = self.rubber_along(p, 1.0).min(self.rubber_along(p, -1.0));
                let near = self.body_tree.nearest_within(at, off.min(1e6) as f32).map(|n| f64::from(n.distance));
                if let Some(d) = near.filter(|d| *d < BESIDE * off) {
                    least = least.min(d);
                }
                least.is_finite().then_some((least, at))
            })
            .collect();
        found.into_iter().reduce(|a, b| if b.0 < a.0 { b } else { a })
    }
}
