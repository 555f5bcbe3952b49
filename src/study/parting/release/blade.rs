//! Metal in the way of the blade that cuts the rubber in a through-hole.
//!
//! The blade comes from the parting line over the part's surface to the nearer mouth of the hole, goes along the hole to the
//! shut-off, and sweeps the surface that spans it.

use super::pieces::Piece;
use super::shut_offs::ShutOff;
use crate::mesh::Mesh;
use crate::mesh::signed::Pseudonormals;
use crate::mesh::topology::Topology;
use crate::mesh::tree::Tree;
use crate::plan::PieceOf;
use crate::solve::run::{Cancelled, Run};
use crate::study::job::insert_shapes::InsertShape;
use crate::study::job::metal::{edges, met};
use crate::study::parting::facts::PartingFacts;
use crate::study::parting::loop_kind::LoopKind;
use glam::Vec3;

/// The blade runs this far off the part's surface, millimetres (set here: half the thickness of a blade).
const OFF_MM: f32 = 0.3;
/// Metal that lies this deep in the part is no metal in the rubber, millimetres.
const HAIR_MM: f32 = 0.1;
/// Places of a shut-off from which the blade's way is looked at.
const WAYS: usize = 48;

/// A thing of metal.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Metal {
    /// An insert, by its place in the plan.
    Insert(usize),
    /// A loose piece of metal, by its place in the plan.
    Piece(usize),
}

/// Metal in the way of the blade to a shut-off.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct InTheWay {
    /// The shut-off, by its place in the release.
    pub shut_off: usize,
    /// What is in the way.
    pub metal: Metal,
    /// Where the blade runs into it.
    pub at: Vec3,
}

/// A closed solid with what is asked of it.
struct Solid<'a> {
    mesh: &'a Mesh,
    topology: Topology,
    normals: Pseudonormals,
}

impl<'a> Solid<'a> {
    fn of(mesh: &'a Mesh) -> Solid<'a> {
        Solid { mesh, topology: Topology::of(mesh), normals: Pseudonormals::of(mesh) }
    }

    fn distance(&self, tree: &Tree, p: Vec3) -> f32 {
        self.normals.signed_distance(self.mesh, &self.topology, tree, p)
    }
}

/// All metal in the way of a blade to one of `shut_offs`, whether they are cut or not. `body` is the part without its
/// inserts, `tree` its tree.
///
/// # Errors
/// [`Cancelled`].
pub fn in_the_way(
    parting: &PartingFacts,
    shut_offs: &[ShutOff],
    inserts: &[InsertShape],
    pieces: &[Piece],
    body: &Mesh,
    tree: &Tree,
    run: &Run,
) -> Result<Vec<InTheWay>, Cancelled> {
    let inserts = inserts.iter().enumerate().map(|(i, s)| (Metal::Insert(i), &s.solid));
    let cores = pieces.iter().enumerate().filter(|(_, p)| p.wish.of == PieceOf::Metal);
    let cores = cores.filter_map(|(i, p)| Some((Metal::Piece(i), &**p.solid.as_ref().ok()?)));
    let metals: Vec<(Metal, &Mesh)> = inserts.chain(cores).filter(|(_, m)| !m.triangles.is_empty()).collect();
    let mut found = Vec::new();
    if metals.is_empty() || shut_offs.is_empty() {
        return Ok(found);
    }
    let part = Solid::of(body);
    // What lies in the part is not met: the blade goes through rubber only.
    let in_rubber = |at: Vec3, out: Vec3| part.distance(tree, at + out * HAIR_MM) > 0.0;
    let ways: Vec<Vec<(Vec3, Vec3)>> = shut_offs.iter().map(|s| ways(parting, s)).collect();
    for &(metal, mesh) in &metals {
        let (solid, own) = (Solid::of(mesh), Tree::of(mesh));
        for (i, shut_off) in shut_offs.iter().enumerate() {
            run.check()?;
            let patch = &shut_off.patch.mesh;
            let middles = (0..patch.triangles.len()).map(|t| patch.corners(t).into_iter().sum::<Vec3>() / 3.0);
            let swept = || {
                // A core that fills the hole holds the patch altogether.
                let inside = middles.clone().find(|&p| solid.distance(&own, p) < -HAIR_MM);
                let span = Tree::of(patch);
                inside.or_else(|| met(edges(&mesh.positions, mesh.triangles.iter()), (patch, &span), |_, _| true))
            };
            let at = met(ways[i].iter().copied(), (mesh, &own), in_rubber).or_else(swept);
            found.extend(at.map(|at| InTheWay { shut_off: i, metal, at }));
        }
    }
    Ok(found)
}

/// The blade's ways to places of a shut-off, each in straight legs.
fn ways(parting: &PartingFacts, shut_off: &ShutOff) -> Vec<(Vec3, Vec3)> {
    let line = &parting.lines[shut_off.at_loop];
    let own = parting.lines.iter().filter(|l| l.kind == LoopKind::Parting && l.body == line.body);
    let rim: Vec<Vec3> = own.flat_map(|l| l.points.iter().zip(&l.normals)).map(|(p, n)| *p + *n * OFF_MM).collect();
    let nearest = |p: Vec3| rim.iter().copied().min_by(|a, b| a.distance(p).total_cmp(&b.distance(p)));
    let step = line.points.len().div_ceil(WAYS).max(1);
    let mut ways = Vec::new();
    for i in (0..line.points.len()).step_by(step) {
        let (p, n) = (line.points[i], line.normals[i]);
        // Off the wall of the hole, on its way to the mouth that is nearer to the parting line.
        let from = p + n * OFF_MM;
        let mouths: Vec<Vec3> = match &shut_off.hole {
            Some(hole) => {
                let [one, two] = hole.from_ends_mm.map(|mm| mm + OFF_MM);
                vec![from + hole.axis * one, from - hole.axis * two]
            }
            None => vec![from],
        };
        let legs = mouths.into_iter().filter_map(|m| nearest(m).map(|q| (m, q)));
        let length = |(m, q): &(Vec3, Vec3)| from.distance(*m) + m.distance(*q);
        if let Some((mouth, rim)) = legs.min_by(|a, b| length(a).total_cmp(&length(b))) {
            // Over the face that has the mouth, then down its side to the line.
            let along = (mouth - from).normalize_or_zero();
            let over = rim + along * (mouth - rim).dot(along).max(0.0);
            ways.extend([(from, mouth), (mouth, over), (over, rim)]);
        }
    }
    ways
}
