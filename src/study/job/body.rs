//! The body of resin without its channels: parts united, inserts taken out, as one closed mesh.

use super::fresh_id::fresh_id;
use super::insert_shapes::InsertShape;
use super::placed::Placed;
use crate::mesh::measure::Measures;
use crate::mesh::tree::Tree;
use crate::mesh::{Bounds, Mesh, boolean};
use crate::solve::run::{Cancelled, Run};
use glam::Vec3;
use std::sync::Arc;

/// The body of resin in `work`.
#[derive(Clone, Debug)]
pub struct Body {
    /// Unlike any other; see [`fresh_id`].
    pub id: u64,
    /// Parts united, inserts taken out. Where that could not be had, the parts' triangles side by side.
    pub mesh: Arc<Mesh>,
    /// Its tree.
    pub tree: Arc<Tree>,
    /// Its box.
    pub bounds: Bounds,
    /// Its volume and area; of the parts' triangles as they are where `trouble` says so.
    pub measures: Measures,
    /// Why one closed mesh could not be had, in words; the answers then come from cells.
    pub trouble: Option<String>,
    /// Resin that each insert displaces, by its place in the plan, mm³.
    pub displaced_mm3: Vec<f64>,
}

impl Body {
    /// Unites `placed` and takes `inserts` out.
    ///
    /// # Errors
    /// [`Cancelled`] where the run was.
    pub fn new(placed: &Placed, inserts: &[InsertShape], run: &Run) -> Result<Body, Cancelled> {
        run.check()?;
        let whole = placed.loaded.iter().all(|l| l.check.is_closed());
        let made = if placed.loaded.iter().any(|l| l.check.crosses_itself()) {
            // Exact booleans of such a surface take time beyond all bounds, and nobody knows what they should give.
            Err("the surface of a part crosses itself, see the findings on the part".to_owned())
        } else if whole {
            united(placed, inserts, run)?
        } else {
            Err("a part is not closed, see the findings on the part".to_owned())
        };
        let (mesh, displaced_mm3, trouble) = match made {
            Ok((mesh, displaced)) => (mesh, displaced, None),
            Err(why) => (side_by_side(placed), vec![0.0; inserts.len()], Some(why)),
        };
        run.check()?;
        let tree = Arc::new(Tree::of(&mesh));
        Ok(Body {
            id: fresh_id(),
            bounds: mesh.bounds(),
            measures: Measures::of(&mesh),
            mesh,
            tree,
            trouble,
            displaced_mm3,
        })
    }
}

impl Body {
    /// True where `point` lies in the resin: the first wall that a straight line from it meets is left, not entered.
    pub fn is_inside(&self, point: Vec3) -> bool {
        // A line along no axis and no usual angle of a drawn part.
        let along = Vec3::new(0.295, 0.537, 0.790).normalize();
        self.tree.first_hit(point, along, f32::INFINITY).is_some_and(|hit| !hit.entering)
    }
}

type Made = Result<(Arc<Mesh>, Vec<f64>), String>;

fn united(placed: &Placed, inserts: &[InsertShape], run: &Run) -> Result<Made, Cancelled> {
    let mut singles: Vec<Arc<Mesh>> = Vec::new();
    for (mesh, loaded) in placed.meshes.iter().zip(&placed.loaded) {
        run.check()?;
        if loaded.check.bodies_apart() {
            singles.push(mesh.clone());
        } else {
            match boolean::unite_bodies(mesh) {
                Ok(one) => singles.push(Arc::new(one)),
                Err(e) => return Ok(Err(e.to_string())),
            }
        }
    }
    let mut body = match singles.len() {
        1 => singles.swap_remove(0),
        _ => match boolean::unite(&singles.iter().map(|m| &**m).collect::<Vec<_>>()) {
            Ok(one) => Arc::new(one),
            Err(e) => return Ok(Err(e.to_string())),
        },
    };
    run.check()?;
    if let Some(made) = without_all(&body, inserts) {
        return Ok(Ok(made));
    }
    let mut displaced = Vec::with_capacity(inserts.len());
    for insert in inserts {
        run.check()?;
        if insert.solid.triangles.is_empty() {
            displaced.push(0.0);
            continue;
        }
        match boolean::subtract(&body, &[&insert.solid]) {
            Ok(rest) => {
                displaced.push(Measures::of(&body).volume_mm3 - Measures::of(&rest).volume_mm3);
                body = Arc::new(rest);
            }
            Err(e) => return Ok(Err(format!("insert {} could not be taken out: {e}", insert.number))),
        }
    }
    Ok(Ok((body, displaced)))
}

/// `body` without all inserts at once, and what each displaces: two sweeps of the body however many inserts there are.
///
/// None where they must be taken out one by one: where there is only one, where boxes round two of them meet,
/// so that what they share cannot be told apart, or where something fails and the insert at fault is to be named.
fn without_all(body: &Arc<Mesh>, inserts: &[InsertShape]) -> Option<(Arc<Mesh>, Vec<f64>)> {
    let solids: Vec<(usize, &Mesh, Bounds)> = inserts
        .iter()
        .enumerate()
        .filter(|(_, insert)| !insert.solid.triangles.is_empty())
        .map(|(i, insert)| (i, &insert.solid, insert.solid.bounds()))
        .collect();
    let apart = |a: &Bounds, b: &Bounds| (a.max.cmplt(b.min) | b.max.cmplt(a.min)).any();
    let all_apart = solids.iter().enumerate().all(|(k, a)| solids[..k].iter().all(|b| apart(&a.2, &b.2)));
    if solids.len() < 2 || !all_apart {
        return None;
    }
    let cutters: Vec<&Mesh> = solids.iter().map(|s| s.1).collect();
    let (rest, taken) = boolean::part(body, &cutters).ok()?;
    let mut displaced = vec![0.0; inserts.len()];
    for t in 0..taken.triangles.len() {
        // Boxes are apart, so one of them holds the whole triangle, give or take rounding.
        let [a, b, c] = taken.corners(t);
        let middle = (a + b + c) / 3.0;
        let away = |s: &Bounds| middle.distance_squared(middle.clamp(s.min, s.max));
        let (i, _, bounds) = solids.iter().min_by(|x, y| away(&x.2).total_cmp(&away(&y.2)))?;
        // Signed volume of the cone to a corner of the box, near by, which keeps rounding small.
        let [a, b, c] = [a, b, c].map(|p| p.as_dvec3() - bounds.min.as_dvec3());
        displaced[*i] += a.dot(b.cross(c)) / 6.0;
    }
    Some((Arc::new(rest), displaced))
}

/// All parts' triangles in one mesh, as they are.
fn side_by_side(placed: &Placed) -> Arc<Mesh> {
    if let [only] = &placed.meshes[..] {
        return only.clone();
    }
    let mut all = Mesh::default();
    for mesh in &placed.meshes {
        all.append(mesh);
    }
    Arc::new(all)
}
