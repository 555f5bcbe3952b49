//! Films: rubber between two bodies of a part, as between a bush and its bore.

use crate::mesh::Mesh;
use crate::mesh::tree::Tree;
use crate::solve::run::{Cancelled, Run};
use crate::study::parting::surface::Surface;
use glam::Vec3;
use rayon::prelude::*;

/// Cosine of 30°: walls face each other where the way between them is no further off their normals than this.
const FACING: f32 = 0.866_025_4;
/// Surfaces nearer than this touch, millimetres.
const TOUCH_MM: f32 = 1e-3;

/// Rubber between two bodies.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Film {
    /// The bodies of the parted surface, the lower number first.
    pub bodies: [u32; 2],
    /// Least and greatest thickness where it is thinner than the limit, millimetres.
    pub thickness_mm: [f64; 2],
    /// How much of the lower body's surface faces the other through less rubber than the limit, mm².
    pub area_mm2: f64,
    /// The thinnest place, on the lower body and on the other.
    pub ends: [Vec3; 2],
}

impl Film {
    /// Half-way through the thinnest place.
    pub fn place(&self) -> Vec3 {
        self.ends[0].midpoint(self.ends[1])
    }
}

/// Rubber thinner than `limit_mm` between every two bodies of `surface`, the thinnest first.
///
/// # Errors
/// [`Cancelled`].
pub fn films(surface: &Surface, limit_mm: f64, run: &Run) -> Result<Vec<Film>, Cancelled> {
    let limit = limit_mm as f32;
    if surface.bodies < 2 {
        return Ok(Vec::new());
    }
    let bodies: Vec<Body> = (0..surface.bodies as u32).map(|b| Body::of(surface, b)).collect();
    let mut films = Vec::new();
    for (a, one) in bodies.iter().enumerate() {
        for (b, other) in bodies.iter().enumerate().skip(a + 1) {
            run.check()?;
            if one.tree.bounds().grown(limit).overlaps(&other.tree.bounds()) {
                films.extend(between(surface, one, other, [a as u32, b as u32], limit));
            }
        }
    }
    films.sort_by(|a, b| a.thickness_mm[0].total_cmp(&b.thickness_mm[0]).then(a.bodies.cmp(&b.bodies)));
    Ok(films)
}

/// The triangles of one body and a tree of them alone.
struct Body {
    triangles: Vec<u32>,
    tree: Tree,
}

impl Body {
    fn of(surface: &Surface, body: u32) -> Body {
        let triangles: Vec<u32> = (0..surface.len() as u32).filter(|&f| surface.body[f as usize] == body).collect();
        let own = triangles.iter().map(|&f| surface.mesh.triangles[f as usize]).collect();
        let tree = Tree::of(&Mesh { positions: surface.mesh.positions.clone(), triangles: own });
        Body { triangles, tree }
    }
}

/// What lies between two bodies where they face each other.
fn between(surface: &Surface, one: &Body, other: &Body, bodies: [u32; 2], limit: f32) -> Option<Film> {
    let facing = |&f: &u32| {
        let (p, n) = (surface.centroid[f as usize], surface.normal[f as usize]);
        let near = other.tree.nearest_within(p, limit)?;
        let way = near.point - p;
        // Touching bodies are no film; what the way goes through must be outside both.
        if way.length() < TOUCH_MM {
            return None;
        }
        let along = way.normalize();
        let there = surface.normal[other.triangles[near.triangle as usize] as usize];
        (along.dot(n) > FACING && along.dot(there) < -FACING).then_some((way.length(), f, p, near.point))
    };
    let found: Vec<(f32, u32, Vec3, Vec3)> = one.triangles.par_iter().filter_map(facing).collect();
    let thinnest = found.iter().min_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)))?;
    Some(Film {
        bodies,
        thickness_mm: [thinnest.0, found.iter().map(|f| f.0).fold(0.0, f32::max)].map(f64::from),
        area_mm2: found.iter().map(|f| f64::from(surface.area_mm2[f.1 as usize])).sum(),
        ends: [thinnest.2, thinnest.3],
    })
}
