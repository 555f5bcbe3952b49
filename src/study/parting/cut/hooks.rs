//! Where the halves hook into each other: places of the cut that overhang along the draw, so that rubber of half 1 stands
//! under rubber of half 2 and is caught by it when the halves are pulled apart.
//!
//! The sheet is a height over the plane square to the draw and never overhangs; skirts may, and so may patches that lie in
//! the plane of their own loop.

use super::block_box::BlockBox;
use super::surface::CutSurface;
use crate::mesh::Mesh;
use crate::mesh::topology::Topology;
use crate::mesh::tree::Tree;
use glam::{DVec2, Vec3};

/// How far the halves are pulled for the volume that is in the way, millimetres (set here).
const PULLS_MM: [f64; 8] = [0.5, 1.0, 2.0, 3.0, 5.0, 8.0, 12.0, 20.0];
/// Sine of the lean back from which a face of the cut overhangs: less is the rounding of a face along the draw.
const OVER: f32 = 1e-3;
/// Hooks that reach over less than this are left out, millimetres (set here).
const LEAST_MM: f64 = 0.05;
/// Distance of the places that are looked at, millimetres, and most of them along one side of a triangle.
const STEP_MM: f32 = 0.1;
const MOST_ALONG: usize = 40;

/// A place where the halves hook into each other.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hook {
    /// Where it is widest, on the cut, in `work`.
    pub place: Vec3,
    /// How far one half reaches over the other square to the draw, millimetres: the widest circle in the overhang seen along
    /// the draw.
    pub depth_mm: f64,
    /// The overhang seen along the draw, mm².
    pub area_mm2: f64,
    /// What half 1, pulled along the draw, cuts into half 2 where that is most, mm³.
    pub volume_mm3: f64,
    /// How far it is pulled there, millimetres.
    pub pulled_mm: f64,
}

/// Every hook of `cut` inside `block`, that with most in its way first. `body_tree` holds the part that the cut starts from.
pub fn hooks(cut: &CutSurface, body_tree: &Tree, block: &BlockBox) -> Vec<Hook> {
    let (mesh, _) = cut.mesh();
    let w = cut.frame.w.as_vec3();
    let overhangs: Vec<bool> = (0..mesh.triangles.len())
        .map(|t| {
            let normal = mesh.double_area_normal(t);
            let [a, b, c] = mesh.corners(t);
            normal.dot(w) < -OVER * normal.length() && block.depth(((a + b + c) / 3.0).as_dvec3()) > 0.0
        })
        .collect();
    if !overhangs.contains(&true) {
        return Vec::new();
    }
    let looked = Looked { mesh: &mesh, tree: Tree::of(&mesh), body_tree, block, cut };
    let mut hooks: Vec<Hook> =
        groups(&mesh, &overhangs).iter().map(|g| looked.hook(g)).filter(|h| h.depth_mm >= LEAST_MM).collect();
    hooks.sort_by(|a, b| b.volume_mm3.total_cmp(&a.volume_mm3).then(b.depth_mm.total_cmp(&a.depth_mm)));
    hooks
}

/// Triangles that overhang, by what hangs together, each with the edges at its rim.
struct Group {
    triangles: Vec<usize>,
    rim: Vec<[Vec3; 2]>,
}

fn groups(mesh: &Mesh, overhangs: &[bool]) -> Vec<Group> {
    let topology = Topology::of(mesh);
    let mut seen = vec![false; overhangs.len()];
    let mut groups = Vec::new();
    for start in (0..overhangs.len()).filter(|&t| overhangs[t]) {
        if std::mem::replace(&mut seen[start], true) {
            continue;
        }
        let mut group = Group { triangles: vec![start], rim: Vec::new() };
        let mut at = 0;
        while at < group.triangles.len() {
            let t = group.triangles[at];
            let corners = mesh.corners(t);
            for (k, &over) in topology.neighbours[t].iter().enumerate() {
                if over == Topology::NONE || !overhangs[over as usize] {
                    group.rim.push([corners[k], corners[(k + 1) % 3]]);
                } else if !std::mem::replace(&mut seen[over as usize], true) {
                    group.triangles.push(over as usize);
                }
            }
            at += 1;
        }
        groups.push(group);
    }
    groups
}

struct Looked<'a> {
    mesh: &'a Mesh,
    tree: Tree,
    body_tree: &'a Tree,
    block: &'a BlockBox,
    cut: &'a CutSurface,
}

impl Looked<'_> {
    fn hook(&self, group: &Group) -> Hook {
        let frame = &self.cut.frame;
        let flat = |p: Vec3| frame.local(p).truncate();
        let rim: Vec<[DVec2; 2]> = group.rim.iter().map(|e| e.map(flat)).collect();
        let mut hook = Hook { place: Vec3::ZERO, depth_mm: -1.0, area_mm2: 0.0, volume_mm3: 0.0, pulled_mm: 0.0 };
        let mut volumes = [0.0; PULLS_MM.len()];
        for &t in &group.triangles {
            let corners = self.mesh.corners(t);
            let [a, b, c] = corners.map(flat);
            let area = 0.5 * (b - a).perp_dot(c - a).abs();
            let places = places(corners);
            let share = area / places.len() as f64;
            hook.area_mm2 += area;
            for at in places {
                let p = flat(at);
                let off = rim.iter().map(|e| distance(p, e)).fold(f64::INFINITY, f64::min);
                if 2.0 * off > hook.depth_mm {
                    (hook.depth_mm, hook.place) = (2.0 * off, at);
                }
                let (under, over) = self.columns(at, t as u32);
                for (volume, pull) in volumes.iter_mut().zip(PULLS_MM) {
                    // Half 1 from −under to 0 before, so much higher after; half 2 from 0 to over.
                    *volume += share * (pull.min(over) - (pull - under).max(0.0)).max(0.0);
                }
            }
        }
        for (volume, pull) in volumes.into_iter().zip(PULLS_MM) {
            if volume > hook.volume_mm3 {
                (hook.volume_mm3, hook.pulled_mm) = (volume, pull);
            }
        }
        hook
    }

    /// Rubber of half 1 under a place of triangle `t`, and rubber of half 2 over it, along the draw, millimetres.
    fn columns(&self, at: Vec3, t: u32) -> (f64, f64) {
        let w = self.cut.frame.w;
        let free = |along: Vec3| {
            let to_wall = self.block.way_out(at.as_dvec3(), along.as_dvec3()).0;
            let other = self.tree.first_hit_where(at, along, to_wall as f32, |h| h.triangle != t);
            let part = self.body_tree.first_hit(at, along, to_wall as f32);
            [other, part].into_iter().flatten().map(|h| f64::from(h.t)).fold(to_wall, f64::min)
        };
        (free(-w.as_vec3()), free(w.as_vec3()))
    }
}

/// The middles of equal small triangles of one.
fn places([a, b, c]: [Vec3; 3]) -> Vec<Vec3> {
    let longest = a.distance(b).max(b.distance(c)).max(c.distance(a));
    let n = ((longest / STEP_MM).ceil() as usize).clamp(1, MOST_ALONG);
    let at = |i: f32, j: f32| a + (b - a) * (i / n as f32) + (c - a) * (j / n as f32);
    let third = 1.0 / 3.0;
    (0..n)
        .flat_map(|i| (0..n - i).map(move |j| (i, j)))
        .flat_map(|(i, j)| {
            let (x, y) = (i as f32, j as f32);
            let turned = (i + j + 1 < n).then(|| at(x + 2.0 * third, y + 2.0 * third));
            [Some(at(x + third, y + third)), turned]
        })
        .flatten()
        .collect()
}

fn distance(p: DVec2, [a, b]: &[DVec2; 2]) -> f64 {
    let ab = b - a;
    let t = ((p - a).dot(ab) / ab.length_squared().max(1e-18)).clamp(0.0, 1.0);
    p.distance(*a + ab * t)
}
