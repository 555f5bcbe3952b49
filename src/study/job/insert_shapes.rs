//! Inserts as solids in `work`: the whole insert, and the length of it that stands in its pocket.

use super::frames::Frames;
use crate::mesh::{Mesh, solids};
use crate::plan::{Insert, InsertKind};
use glam::{DAffine3, DMat3, Vec3};

/// Sides of the polygon that stands for a round insert.
const SIDES: u32 = 48;
/// Least rubber between two openings of the part, millimetres: set here. Less tears when the rod or dummy is pulled.
pub const BETWEEN_OPENINGS_MM: f64 = 3.0;

/// An insert in its place.
#[derive(Clone, Debug, PartialEq)]
pub struct InsertShape {
    /// Number of the insert.
    pub number: u32,
    /// Where its axis passes the part's surface.
    pub foot: Vec3,
    /// Unit axis, out of the part and into the pocket.
    pub axis: Vec3,
    /// Whole length along the axis, millimetres.
    pub length_mm: f64,
    /// Radius of the circle that holds its section, millimetres.
    pub radius_mm: f64,
    /// The whole insert as a closed mesh; empty where its own mesh is not loaded.
    pub solid: Mesh,
    /// What it is, in words.
    pub words: String,
}

impl InsertShape {
    /// Rubber between this insert and a round opening at `at`, at the part's surface, millimetres; negative where they
    /// overlap.
    pub fn rubber_to_mm(&self, at: Vec3, radius_mm: f64) -> f64 {
        self.foot.distance(at) as f64 - self.radius_mm - radius_mm
    }
}

/// The solid of `insert`; `other` is its own mesh where its kind is by mesh.
pub fn insert_shape(insert: &Insert, frames: &Frames, other: Option<&Mesh>) -> InsertShape {
    let foot = frames.spot_in_work(&insert.at);
    let axis = frames.normal_in_work(&insert.at);
    let outer = foot + axis * insert.in_pocket_mm as f32;
    let round = |diameter_mm: f64, length_mm: f64| {
        let inner = outer - axis * length_mm as f32;
        (length_mm, diameter_mm / 2.0, solids::cylinder(inner, outer, diameter_mm as f32 / 2.0, SIDES))
    };
    let (length_mm, radius_mm, solid) = match &insert.kind {
        InsertKind::Bush { diameter_mm, length_mm, .. }
        | InsertKind::Pin { diameter_mm, length_mm }
        | InsertKind::Magnet { diameter_mm, length_mm } => round(*diameter_mm, *length_mm),
        InsertKind::Plate { length_mm, width_mm, thickness_mm } => {
            let (u, v) = solids::frame_square_to(axis);
            let half = Vec3::new(*length_mm as f32 / 2.0, *width_mm as f32 / 2.0, *thickness_mm as f32);
            let plate = solids::cuboid(Vec3::new(-half.x, -half.y, -half.z), Vec3::new(half.x, half.y, 0.0));
            let work_from_plate = DAffine3::from_mat3_translation(
                DMat3::from_cols(u.as_dvec3(), v.as_dvec3(), axis.as_dvec3()),
                outer.as_dvec3(),
            );
            (*thickness_mm, length_mm.hypot(*width_mm) / 2.0, plate.transformed(&work_from_plate))
        }
        InsertKind::Mesh { .. } => match other {
            Some(mesh) => {
                let (u, v) = solids::frame_square_to(axis);
                let turn = DMat3::from_cols(u.as_dvec3(), v.as_dvec3(), axis.as_dvec3());
                let bounds = mesh.bounds();
                let work_from_insert = DAffine3::from_mat3_translation(
                    turn,
                    outer.as_dvec3() - turn * glam::DVec3::new(0.0, 0.0, bounds.max.z as f64),
                );
                let radius = mesh.positions.iter().map(|p| p.truncate().length()).fold(0.0, f32::max) as f64;
                (bounds.size().z as f64, radius, mesh.transformed(&work_from_insert))
            }
            None => (0.0, 0.0, Mesh::default()),
        },
    };
    InsertShape { number: insert.number, foot, axis, length_mm, radius_mm, solid, words: words(&insert.kind) }
}

fn words(kind: &InsertKind) -> String {
    match kind {
        InsertKind::Bush { diameter_mm, length_mm, thread } => {
            format!("Threaded bush {thread}, Ø{diameter_mm} × {length_mm} mm")
        }
        InsertKind::Pin { diameter_mm, length_mm } => format!("Pin Ø{diameter_mm} × {length_mm} mm"),
        InsertKind::Plate { length_mm, width_mm, thickness_mm } => {
            format!("Plate {length_mm} × {width_mm} × {thickness_mm} mm")
        }
        InsertKind::Magnet { diameter_mm, length_mm } => format!("Magnet Ø{diameter_mm} × {length_mm} mm"),
        InsertKind::Mesh { mesh } => {
            let file = std::path::Path::new(mesh).file_name();
            format!("Shape from {}", file.map_or_else(|| mesh.clone(), |f| f.to_string_lossy().into_owned()))
        }
    }
}
