//! Loose pieces: rubber or metal that fills an undercut, comes out of the block with the cast and is put back for the
//! next.

use super::undercuts::Undercut;
use crate::mesh::measure::{Measures, vertex_normals};
use crate::mesh::topology::Topology;
use crate::mesh::tree::Tree;
use crate::mesh::{Mesh, boolean, solids};
use crate::plan::PieceOf;
use crate::study::parting::facts::PartingFacts;
use glam::Vec3;
use std::sync::Arc;

/// How far a loose piece stands out of the undercut, by which it is seated in the block and held: 3 to 6 mm, common
/// practice, no source.
pub const SHOULDER_MM: f32 = 4.0;
/// How far within its far mouth a core ends, millimetres (set here).
const WITHIN_MM: f32 = 0.02;
/// Sides of a round piece.
const SIDES: u32 = 96;

/// A loose piece as a person wants it, in `work`.
#[derive(Clone, Debug, PartialEq)]
pub struct PieceWish {
    /// Name on card and sheet.
    pub name: String,
    /// Where it sits.
    pub at: Vec3,
    /// The way it leaves the part, a unit vector.
    pub leaves_along: Vec3,
    /// Its radius about that axis, millimetres.
    pub radius_mm: f32,
    /// What it is made of.
    pub of: PieceOf,
}

impl PieceWish {
    /// True where a place of the surface lies within its radius.
    pub fn holds(&self, p: Vec3) -> bool {
        let from = p - self.at;
        (from - self.leaves_along * from.dot(self.leaves_along)).length() <= self.radius_mm
    }
}

/// A loose piece as it is made.
#[derive(Clone, Debug)]
pub struct Piece {
    /// Name on card and sheet.
    pub name: String,
    /// Where it sits.
    pub at: Vec3,
    /// The closed solid, or why there is none.
    pub solid: Result<Arc<Mesh>, String>,
    /// What it takes out of the rubber; none where there is no solid. It goes on into the part, so that rubber and piece
    /// share no face of the part.
    pub room: Option<Arc<Mesh>>,
    /// Its volume, mm³; 0 where there is no solid.
    pub volume_mm3: f64,
    /// Length along the way out, with its shoulder, millimetres.
    pub length_mm: f64,
    /// How it was wished.
    pub wish: PieceWish,
    /// From where to where along its axis it takes the surface with it, millimetres from its place.
    pub takes_mm: [f32; 2],
    /// Surface of undercuts and locked holes that it takes along, mm².
    pub serves_mm2: f64,
    /// Of this, what the piece itself cannot leave along its way out, mm².
    pub held_mm2: f64,
}

impl Piece {
    /// True where the piece takes a place of the surface with it.
    pub fn fills(&self, p: Vec3) -> bool {
        let along = (p - self.wish.at).dot(self.wish.leaves_along);
        self.wish.holds(p) && (self.takes_mm[0]..=self.takes_mm[1]).contains(&along)
    }
}

/// Makes a loose piece: a round rod about its axis from the bottom of the undercuts that it holds to the shoulder beyond
/// them, with the part taken out of it, so that it fills the recess exactly. Of several pieces that are left the one at
/// its place is kept. `body` is the part as one closed mesh, `tree` its tree.
pub fn made(wish: &PieceWish, parting: &PartingFacts, undercuts: &[Undercut], body: &Mesh, tree: &Tree) -> Piece {
    let surface = &*parting.surface;
    let axis = wish.leaves_along;
    let holds = |f: &u32| wish.holds(surface.centroid[*f as usize]);
    let mut held: Vec<u32> = undercuts.iter().flat_map(|u| u.triangles.iter().copied()).filter(holds).collect();
    // A locked hole that it goes through is filled from mouth to mouth.
    let tunnels = parting.locked.iter().flat_map(|core| &core.tunnels);
    let through: Vec<_> = tunnels.filter(|t| t.wall.iter().all(holds)).collect();
    held.extend(through.iter().flat_map(|t| &t.wall));
    held.sort_unstable();
    held.dedup();
    let place = |p: Vec3| (p - wish.at).dot(axis);
    let corners = || held.iter().flat_map(|&f| surface.mesh.corners(f as usize)).filter(|&p| wish.holds(p));
    let low = corners().map(place).fold(0.0, f32::min);
    let high = corners().map(place).fold(0.0, f32::max);
    let area = |f: u32| surface.area_mm2[f as usize] as f64;
    let stuck = |f: u32| {
        let f = f as usize;
        let start = surface.ray_origin(f, surface.centroid[f], axis, tree);
        surface.normal[f].dot(axis) < -1e-3 || tree.any_hit(start, axis, high - low + SHOULDER_MM)
    };
    let mut piece = Piece {
        name: wish.name.clone(),
        at: wish.at,
        solid: Err(String::new()),
        room: None,
        volume_mm3: 0.0,
        length_mm: (high - low + SHOULDER_MM) as f64,
        wish: wish.clone(),
        takes_mm: [low, high],
        serves_mm2: held.iter().map(|&f| area(f)).sum(),
        held_mm2: held.iter().filter(|&&f| stuck(f)).map(|&f| area(f)).sum(),
    };
    // The rod begins inside the part, so that the recess has its own bottom; in a hole that it goes through it ends a hair
    // within the mouth, or it would have a second head.
    let inside = if through.is_empty() { 0.5 + 0.01 * wish.radius_mm } else { -WITHIN_MM };
    let (from, to) = (wish.at + axis * (low - inside), wish.at + axis * (high + SHOULDER_MM));
    let rod = solids::cylinder(from, to, wish.radius_mm, SIDES);
    let left = boolean::subtract(&rod, &[body]).map_err(|e| e.to_string());
    match left.and_then(|left| at_place(&left, wish.at + axis * (high + 0.5 * SHOULDER_MM))) {
        Ok((solid, others)) => {
            piece.volume_mm3 = Measures::of(&solid).volume_mm3;
            piece.room = Some(Arc::new(room(rod, others)));
            piece.solid = Ok(Arc::new(solid));
        }
        Err(why) => piece.solid = Err(why),
    }
    piece
}

/// The rod without what stays with the rubber: the `others` of it beyond walls of the part, each a hair wider, so that the
/// room ends inside the part and not on its surface.
fn room(rod: Mesh, mut others: Mesh) -> Mesh {
    if others.triangles.is_empty() {
        return rod;
    }
    let normals = vertex_normals(&others);
    for (p, n) in others.positions.iter_mut().zip(normals) {
        *p += n * WITHIN_MM;
    }
    // Where the library cannot do it, what lies beyond goes with the piece.
    boolean::subtract(&rod, &[&others]).unwrap_or(rod)
}

/// The body of `mesh` nearest to a point, and all others.
fn at_place(mesh: &Mesh, at: Vec3) -> Result<(Mesh, Mesh), String> {
    let topology = Topology::of(mesh);
    let nearest = Tree::of(mesh).nearest(at).ok_or("nothing is left of it")?;
    let own = topology.body_of_triangle[nearest.triangle as usize];
    let of = |t: usize| topology.body_of_triangle[t] == own;
    let (one, others) = (only(mesh, of), only(mesh, |t| !of(t)));
    let check = Topology::of(&one);
    if check.open_edges > 0 || check.inconsistent_edges > 0 {
        return Err("it is not closed".to_owned());
    }
    Ok((one, others))
}

/// The triangles of `mesh` that are `wanted`, with only the vertices that they use.
fn only(mesh: &Mesh, wanted: impl Fn(usize) -> bool) -> Mesh {
    let mut numbers = vec![u32::MAX; mesh.positions.len()];
    let mut some = Mesh::default();
    for (_, triangle) in mesh.triangles.iter().enumerate().filter(|(t, _)| wanted(*t)) {
        some.triangles.push(triangle.map(|v| {
            let number = &mut numbers[v as usize];
            if *number == u32::MAX {
                *number = some.positions.len() as u32;
                some.positions.push(mesh.positions[v as usize]);
            }
            *number
        }));
    }
    some
}
