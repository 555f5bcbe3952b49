//! Places typed exactly: what was typed is kept as it was typed, while the thing itself always sits on the part with the
//! part's normal.

use crate::app::App;
use crate::app::thing::Thing;
use crate::mesh::tree::nearest_on_triangle;
use crate::plan::Spot;
use glam::{DVec3, Vec3};
use rayon::prelude::*;

/// A typed place that lies this near to the part is taken as it is, millimetres.
const ON_SURFACE_MM: f64 = 0.02;

/// The place that was typed last.
#[derive(Clone, Copy, Debug)]
pub struct TypedPlace {
    thing: Thing,
    /// What was typed, in `work`.
    at: DVec3,
    /// Where the thing was put for it.
    put: Spot,
    off_mm: f64,
}

/// Where a thing is, as a person is told.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ExactPlace {
    /// The place in the box: as it was typed, else where the thing sits.
    pub in_box: DVec3,
    /// Where the thing sits, in the box.
    pub sits_in_box: DVec3,
    /// How far `in_box` is off the part, millimetres; 0 where it counts as on it.
    pub off_mm: f64,
}

impl App {
    /// Where a thing is; none where it is in no plan or nothing is known of the part.
    pub fn exact_place(&self, thing: Thing) -> Option<ExactPlace> {
        let (spot, setting) = (thing.spot(self.plan()?)?, self.known().setting()?);
        let sits = setting.frames.spot_in_work(&spot);
        let sits_in_box = setting.frames.point_in_box(sits);
        if let Some(typed) = self.typed.filter(|t| t.thing == thing && t.put == spot) {
            let in_box = setting.frames.box_from_work.transform_point3(typed.at);
            return Some(ExactPlace { in_box, sits_in_box, off_mm: typed.off_mm });
        }
        // What was placed on another mesh, or by another program, may lie off this one.
        let off_mm = match thing {
            Thing::Insert(_) | Thing::LoosePiece(_) => 0.0,
            _ => self.nearest_of_body(sits).map_or(0.0, |(p, _)| p.distance(sits) as f64),
        };
        Some(ExactPlace { in_box: sits_in_box, sits_in_box, off_mm: if off_mm > ON_SURFACE_MM { off_mm } else { 0.0 } })
    }

    /// The spot on the part for a typed place in the box, remembered as typed; none while the part is not read.
    pub fn type_place(&mut self, thing: Thing, in_box: DVec3) -> Option<Spot> {
        let setting = self.known().setting()?;
        let frames = setting.frames.clone();
        let at = frames.box_from_work.inverse().transform_point3(in_box);
        let (nearest, normal) = self.nearest_for(thing, at.as_vec3())?;
        let off_mm = nearest.as_dvec3().distance(at);
        // A loose piece fills a recess; its middle need not be on the part.
        let on = off_mm <= ON_SURFACE_MM || matches!(thing, Thing::LoosePiece(_));
        let part = self.known().setting()?.part_at(nearest);
        let mut put = frames.spot_from_work(part, nearest, normal);
        if on {
            // Every digit that was typed is kept.
            put.position = frames.part_from_work_point(part, at);
        }
        self.typed = Some(TypedPlace { thing, at, put, off_mm: if on { 0.0 } else { off_mm } });
        Some(put)
    }

    /// The point of the body nearest to a point of `work`, with its outward normal.
    pub(super) fn nearest_of_body(&self, point: Vec3) -> Option<(Vec3, Vec3)> {
        let body = self.known().facts.as_ref()?.body.as_ref()?;
        let nearest = body.tree.nearest(point)?;
        Some((nearest.point, body.mesh.unit_normal(nearest.triangle as usize)))
    }

    /// The place for a thing nearest to a point of `work`, with its outward normal. The body has a pocket where an
    /// insert sits, so an insert is placed on the parts as they were read.
    fn nearest_for(&self, thing: Thing, point: Vec3) -> Option<(Vec3, Vec3)> {
        // While the body is united anew the parts stand for it: what is typed then is not lost.
        if !matches!(thing, Thing::Insert(_)) && self.known().facts.as_ref()?.body.is_some() {
            return self.nearest_of_body(point);
        }
        let near = |(mesh, t): (&std::sync::Arc<crate::mesh::Mesh>, usize)| {
            let on = nearest_on_triangle(point.as_dvec3(), mesh.corners(t).map(Vec3::as_dvec3)).0;
            (on.distance_squared(point.as_dvec3()), on.as_vec3(), mesh.unit_normal(t))
        };
        let placed = &self.known().setting()?.placed;
        let found = placed.meshes.iter().filter_map(|mesh| {
            (0..mesh.triangles.len()).into_par_iter().map(|t| near((mesh, t))).min_by(|a, b| a.0.total_cmp(&b.0))
        });
        found.min_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, on, normal)| (on, normal))
    }

    /// The point of the part nearest to a point of `work`, as a spot.
    pub fn spot_near(&self, point: Vec3) -> Option<Spot> {
        let (on, normal) = self.nearest_of_body(point)?;
        let setting = self.known().setting()?;
        Some(setting.frames.spot_from_work(setting.part_at(on), on, normal))
    }

    /// Moves a thing to the nearest point of the part.
    pub fn onto_surface(&mut self, thing: Thing) {
        let Some(setting) = self.known().setting() else { return };
        let Some(spot) = self.plan().and_then(|p| thing.spot(p)) else { return };
        let Some((on, normal)) = self.nearest_for(thing, setting.frames.spot_in_work(&spot)) else { return };
        let spot = setting.frames.spot_from_work(setting.part_at(on), on, normal);
        self.typed = None;
        self.edit(&format!("Move {} onto the surface", thing.in_sentence()), |p| thing.put(p, spot));
        self.was_moved(thing);
    }

    /// Notes that a thing was moved: the runner of a gate follows once the gate is let go.
    pub(super) fn was_moved(&mut self, thing: Thing) {
        if let Thing::Gate(number) = thing {
            self.moved_gate = Some(number);
        }
    }
}
