//! Through the knife: what the plane square to a wall shows at one place of the cut.

use super::block_box::{BlockBox, Wall};
use super::entry::entry_lines;
use super::facts::CutFacts;
use super::knife::{Knife, Section};
use super::surface::CutSurface;
use crate::mesh::Mesh;
use crate::mesh::slice::{Plane, cut};
use crate::mesh::tree::Tree;
use crate::study::job::setting::Setting;
use glam::DVec2;

/// The picture at one place: to the right is inwards from the wall, up is towards half 1; millimetres from the place where
/// the blade goes in.
#[derive(Clone, Debug)]
pub struct Through {
    /// The blade there.
    pub section: Section,
    /// Its way.
    pub blade: Vec<DVec2>,
    /// Outline of the block.
    pub block: Vec<[DVec2; 2]>,
    /// Outline of the part, inserts taken out.
    pub part: Vec<[DVec2; 2]>,
    /// Outlines of inserts, by their place in the plan, where the plane meets them.
    pub metal: Vec<(usize, Vec<[DVec2; 2]>)>,
}

/// Everything that a picture needs, made once for a cut.
pub struct Views<'a> {
    cut: &'a CutSurface,
    block: &'a BlockBox,
    knife: Knife<'a>,
    inserts: Vec<(&'a Mesh, &'a Tree)>,
}

/// The trees that [`Views`] borrow.
pub struct Trees {
    body: Tree,
    inserts: Vec<Tree>,
}

impl Trees {
    /// Of a cut and the inserts of its setting.
    pub fn of(cut: &CutSurface, setting: &Setting) -> Trees {
        Trees {
            body: Tree::of(&cut.border.mesh),
            inserts: setting.inserts.iter().map(|i| Tree::of(&i.solid)).collect(),
        }
    }
}

impl<'a> Views<'a> {
    /// Views of `cut` in `block`.
    pub fn new(cut: &'a CutSurface, block: &'a BlockBox, setting: &'a Setting, trees: &'a Trees) -> Views<'a> {
        let lines = entry_lines(cut, block);
        Views {
            cut,
            block,
            knife: Knife::new(cut, block, &trees.body, &lines),
            inserts: setting.inserts.iter().map(|i| &i.solid).zip(&trees.inserts).collect(),
        }
    }

    /// The picture at a place of `wall`, millimetres from its lower left corner seen from outside.
    pub fn at(&self, wall: Wall, at_mm: DVec2) -> Through {
        let section = self.knife.section(wall, at_mm, &self.inserts);
        let plane = self.plane(wall, at_mm);
        let metal = self.inserts.iter().enumerate().map(|(i, (mesh, _))| (i, cut(mesh, &plane)));
        Through {
            blade: section.path.iter().map(|p| plane.flat(p.as_dvec3())).collect(),
            block: cut(&self.block.mesh(), &plane),
            part: cut(&self.cut.border.mesh, &plane),
            metal: metal.filter(|(_, lines)| !lines.is_empty()).collect(),
            section,
        }
    }

    fn plane(&self, wall: Wall, at_mm: DVec2) -> Plane {
        let inwards = -self.block.out_in_work(wall);
        let w = self.cut.frame.w;
        // A cut that comes out by a wall is never square to it, unless the draw stands on the wall.
        let up = (w - inwards * w.dot(inwards)).try_normalize().unwrap_or_else(|| inwards.any_orthonormal_vector());
        Plane { origin: self.block.on_wall(wall, at_mm), right: inwards, up }
    }
}

impl CutFacts {
    /// Length of all entry lines one after the other, in the order of the walls, millimetres.
    pub fn entry_mm(&self) -> f64 {
        self.marks.iter().flat_map(|w| &w.lines).map(|l| l.line.length_mm()).fold(0.0, |a, b| a + b)
    }

    /// How far along all entry lines the first station lies where the knife ends at the part; 0 where none does.
    pub fn first_at_part_mm(&self) -> f64 {
        let mut before = 0.0;
        for marked in self.marks.iter().flat_map(|w| &w.lines) {
            if let Some(station) = marked.stations.iter().find(|s| s.to_part) {
                return before + station.along_mm;
            }
            before += marked.line.length_mm();
        }
        0.0
    }

    /// The wall and the place on it so far along all entry lines.
    pub fn entry_at(&self, along_mm: f64) -> Option<(Wall, DVec2)> {
        let mut left = along_mm.max(0.0);
        let mut last = None;
        for line in self.marks.iter().flat_map(|w| &w.lines).map(|l| &l.line) {
            let n = line.points.len();
            for i in 0..if line.closed { n } else { n.saturating_sub(1) } {
                let (a, b) = (line.points[i], line.points[(i + 1) % n]);
                let long = a.distance(b);
                if left <= long {
                    return Some((line.wall, a.lerp(b, if long > 0.0 { left / long } else { 0.0 })));
                }
                left -= long;
                last = Some((line.wall, b));
            }
        }
        last
    }
}
