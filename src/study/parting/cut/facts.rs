//! Everything that follows from the cut of a plan.

use super::block_box::BlockBox;
use super::border::Border;
use super::channels::{OffCut, off_cut, through};
use super::entry::entry_lines;
use super::halves::half;
use super::hooks::{Hook, hooks};
use super::keys::{Key, Side};
use super::knife::Knife;
use super::marks::{WallMarks, wall_marks};
use super::severed::slits;
use super::surface::{CutSurface, Piece};
use super::{CutError, NoSheet};
use crate::mesh::Mesh;
use crate::mesh::tree::{Hit, Tree};
use crate::plan::{Half, Plan};
use crate::solve::run::{Cancelled, Run};
use crate::study::job::body::Body;
use crate::study::job::channels::Channels;
use crate::study::job::insert_shapes::InsertShape;
use crate::study::job::metal::{edges as edges_of, met};
use crate::study::job::setting::Setting;
use crate::study::parting::facts::PartingFacts;
use crate::study::parting::loop_kind::LoopKind;
use crate::study::parting::release::Release;
use glam::{DVec3, Vec3};
use rayon::prelude::*;
use std::sync::Arc;

/// A pocket is made wider than its insert by this, millimetres, so that no skin of rubber is left between insert and part.
const POCKET_MM: f32 = 0.01;
/// Crossings nearer to each other than this are one place, millimetres (set here).
const TOGETHER_MM: f32 = 3.0;

/// The cut of a plan.
#[derive(Clone, Debug)]
pub struct CutFacts {
    /// The block that is cut.
    pub block: BlockBox,
    /// The cut surface, or why there is none.
    pub surface: Result<Arc<CutSurface>, CutError>,
    /// Places where the sheet runs into the part.
    pub in_part: Vec<Vec3>,
    /// Places where the sheet crosses itself.
    pub crossed: Vec<Vec3>,
    /// Marks of every wall.
    pub marks: Vec<WallMarks>,
    /// Least and greatest depth of the knife at the stations where it ends at the part; none where there is none.
    pub knife_depth_mm: Option<[f64; 2]>,
    /// Least rubber over or under the cut, and where.
    pub least_rubber: Option<(f64, Vec3)>,
    /// Keys that have room.
    pub keys: Vec<Key>,
    /// Sides with the keys on each.
    pub sides: Vec<Side>,
    /// Where the halves hook into each other along the draw.
    pub hooks: Vec<Hook>,
    /// Channels that must lie in the cut and do not.
    pub off_cut: Vec<OffCut>,
    /// Inserts that the blade would run into, by their place in the plan, and where.
    pub metal: Vec<(usize, Vec3)>,
    /// Surface that is cut off from its half and goes with the other one: places and areas, mm².
    pub given_over: Vec<(Vec3, f64)>,
    /// Tape along the parting lines on the master, millimetres.
    pub tape_mm: f64,
}

/// The block of a setting in its place.
pub fn block_of(setting: &Setting) -> BlockBox {
    BlockBox { box_from_work: setting.frames.box_from_work, size_mm: setting.block.size_mm }
}

impl CutFacts {
    /// The cut of `plan` along its parting.
    ///
    /// # Errors
    /// [`Cancelled`]; that there is no cut is itself a fact.
    pub fn of(
        plan: &Plan,
        setting: &Setting,
        body: &Body,
        parting: &PartingFacts,
        run: &Run,
    ) -> Result<CutFacts, Cancelled> {
        if let Some(told_from) = &parting.told_from {
            return Ok(CutFacts::of(plan, setting, body, told_from, run)?.turned());
        }
        let block = block_of(setting);
        let border = Border::new(&parting.split.mesh, &parting.split.halves);
        let given_over = border.given_over.clone();
        let up = setting.frames.rubber_up();
        let rods: Vec<_> = rods(&setting.channels);
        let points = through(plan, &setting.channels, up);
        let made = match &body.trouble {
            Some(_) => Err(CutError::NotClosed),
            None => CutSurface::new(border, parting.draw, &block, &points, &rods, run),
        };
        if let Err(CutError::Cancelled(c)) = made {
            return Err(c);
        }
        let lines = parting.lines.iter().filter(|l| l.kind == LoopKind::Parting);
        let mut facts = CutFacts {
            block,
            surface: made.map(Arc::new),
            in_part: Vec::new(),
            crossed: Vec::new(),
            marks: Vec::new(),
            knife_depth_mm: None,
            least_rubber: None,
            keys: Vec::new(),
            sides: Vec::new(),
            hooks: Vec::new(),
            off_cut: Vec::new(),
            metal: Vec::new(),
            given_over,
            tape_mm: lines.map(|l| l.length_mm).fold(0.0, |a, b| a + b),
        };
        let Ok(cut) = facts.surface.clone() else { return Ok(facts) };
        let body_tree = Tree::of(&cut.border.mesh);
        let lines = entry_lines(&cut, &block);
        let knife = Knife::new(&cut, &block, &body_tree, &lines);
        run.check()?;
        facts.in_part = enters(&cut, &body_tree, &block);
        facts.crossed = crosses(&cut, &block);
        run.check()?;
        let trees: Vec<Tree> = setting.inserts.iter().map(|i| Tree::of(&i.solid)).collect();
        let inserts: Vec<(&Mesh, &Tree)> = setting.inserts.iter().map(|i| &i.solid).zip(&trees).collect();
        facts.marks = wall_marks(&knife, &block, &lines, &inserts);
        run.check()?;
        facts.knife_depth_mm = facts
            .marks
            .iter()
            .flat_map(|w| &w.lines)
            .flat_map(|l| &l.stations)
            .filter(|s| s.to_part)
            .map(|s| [s.depth_mm; 2])
            .reduce(|a, b| [a[0].min(b[0]), a[1].max(b[1])]);
        facts.least_rubber = knife.least_rubber();
        facts.hooks = hooks(&cut, &body_tree, &block);
        facts.keys = cut.wave.keys();
        facts.sides = cut.wave.sides();
        facts.off_cut = off_cut(plan, &setting.channels, up, &knife, &body_tree);
        facts.metal = metal(&cut, &block, &inserts);
        Ok(facts)
    }

    /// The first place where there is no honest sheet.
    pub fn no_sheet(&self) -> Option<NoSheet> {
        self.no_sheets().into_iter().next()
    }

    /// Every place where there is no honest sheet, those that are sure first; what crosses side by side is one place.
    pub fn no_sheets(&self) -> Vec<NoSheet> {
        if let Err(CutError::NoSheet(no)) = &self.surface {
            return vec![*no];
        }
        let into = apart(&self.in_part).into_iter().map(|place| NoSheet {
            place,
            why: "the cut would run into the part here",
            sure: true,
        });
        let over = apart(&self.crossed).into_iter().map(|place| NoSheet {
            place,
            why: "the cut would cross itself here",
            sure: false,
        });
        into.chain(over).collect()
    }

    /// The directions in which half 1 and half 2 are drawn off, in `work`; what the opened view moves them along.
    pub fn draws(&self) -> Option<[Vec3; 2]> {
        let w = self.surface.as_ref().ok()?.frame.w.as_vec3();
        Some([w, -w])
    }
}

/// Every rod of every channel.
fn rods(channels: &Channels) -> Vec<crate::study::job::channels::Rod> {
    channels.vents.iter().chain(&channels.gates).flat_map(|c| c.rods.iter().copied()).collect()
}

/// One of each group of places that hang together in steps of [`TOGETHER_MM`], in their order.
fn apart(places: &[Vec3]) -> Vec<Vec3> {
    let mut left: Vec<Vec3> = places.to_vec();
    let mut firsts = Vec::new();
    while !left.is_empty() {
        let first = left.remove(0);
        firsts.push(first);
        let mut group = vec![first];
        while let Some(at) = group.pop() {
            let (near, far) = left.into_iter().partition(|p| p.distance(at) <= TOGETHER_MM);
            left = far;
            group.extend::<Vec<Vec3>>(near);
        }
    }
    firsts
}

/// Where the edge between two points passes through a triangle of a mesh that `skip` does not name, inside the block: beyond
/// it nothing is cut.
fn crossing(
    [from, to]: [Vec3; 2],
    (mesh, tree): (&Mesh, &Tree),
    block: &BlockBox,
    skip: impl Fn(u32) -> bool,
) -> Option<Vec3> {
    let ends = [from.as_dvec3(), to.as_dvec3()];
    let place = |f: u32| passes(ends, mesh.corners_f64(f as usize)).filter(|p| block.depth(*p) > 0.0);
    let counts = |h: &Hit| !skip(h.triangle) && place(h.triangle).is_some();
    let hit = tree.first_hit_where(from, to - from, 1.0, counts)?;
    place(hit.triangle).map(|p| p.as_vec3())
}

/// Where the edge between two points passes through a triangle. The tree asks in single precision, which sees a long thin
/// triangle beside an edge that runs along it as met; here volumes tell, in double precision, on which side everything lies.
fn passes([from, to]: [DVec3; 2], [a, b, c]: [DVec3; 3]) -> Option<DVec3> {
    let volume = |p: DVec3, q: DVec3, r: DVec3, s: DVec3| (q - p).cross(r - p).dot(s - p);
    let (under, over) = (volume(a, b, c, from), volume(a, b, c, to));
    if under * over > 0.0 || under == over {
        return None;
    }
    let round = [volume(from, to, a, b), volume(from, to, b, c), volume(from, to, c, a)];
    let inside = round.iter().all(|v| *v >= 0.0) || round.iter().all(|v| *v <= 0.0);
    inside.then(|| from.lerp(to, under / (under - over)))
}

/// The edges of a mesh, each from its lower vertex.
fn edges(mesh: &Mesh) -> impl ParallelIterator<Item = (u32, u32)> + '_ {
    let sides = mesh.triangles.par_iter().flat_map_iter(|t| (0..3).map(move |k| (t[k], t[(k + 1) % 3])));
    sides.filter(|(a, b)| a < b)
}

/// Places inside `block` where the cut and the part cross, apart from the lines that they share: edges of the cut that run
/// through the part's surface and edges of the part that run through the cut.
pub fn enters(cut: &CutSurface, body_tree: &Tree, block: &BlockBox) -> Vec<Vec3> {
    let body = &cut.border.mesh;
    let (mesh, named) = cut.mesh();
    let mut found: Vec<Vec3> = edges(&mesh)
        .filter_map(|(a, b)| {
            let ends = [named[a as usize], named[b as usize]];
            let touches = |f: u32| body.triangles[f as usize].iter().any(|v| ends.contains(v));
            crossing([a, b].map(|v| mesh.positions[v as usize]), (body, body_tree), block, touches)
        })
        .collect();
    let tree = Tree::of(&mesh);
    found.par_extend(edges(body).filter_map(|(a, b)| {
        let touches = |f: u32| mesh.triangles[f as usize].iter().any(|v| [a, b].contains(&named[*v as usize]));
        crossing([a, b].map(|v| body.positions[v as usize]), (&mesh, &tree), block, touches)
    }));
    found
}

/// Places inside `block` where the cut crosses itself.
pub fn crosses(cut: &CutSurface, block: &BlockBox) -> Vec<Vec3> {
    let (mesh, _) = cut.mesh();
    let tree = Tree::of(&mesh);
    edges(&mesh)
        .filter_map(|(a, b)| {
            let touches = |f: u32| mesh.triangles[f as usize].iter().any(|v| *v == a || *v == b);
            crossing([a, b].map(|v| mesh.positions[v as usize]), (&mesh, &tree), block, touches)
        })
        .collect()
}

/// Inserts that the cut runs into inside the block.
fn metal(cut: &CutSurface, block: &BlockBox, inserts: &[(&Mesh, &Tree)]) -> Vec<(usize, Vec3)> {
    let swept = || cut.triangles.iter().zip(&cut.pieces).filter(|(_, p)| !matches!(p, Piece::Patch(_))).map(|(t, _)| t);
    let in_block = |at: Vec3, _| block.depth(at.as_dvec3()) > 0.0;
    let met = |insert| met(edges_of(&cut.positions, swept()), insert, in_block);
    inserts.iter().enumerate().filter_map(|(i, &insert)| Some((i, met(insert)?))).collect()
}

/// Both halves of the block, half 1 first, with channels, insert pockets, the places of loose pieces and cores, and the slits
/// of severing cuts as the real block has them.
///
/// # Errors
/// [`CutError`]: there is no cut, or a half is not one closed mesh.
pub fn halves(facts: &CutFacts, setting: &Setting, release: &Release, run: &Run) -> Result<[Mesh; 2], CutError> {
    let cut = facts.surface.clone()?;
    if let Some(no) = facts.no_sheet() {
        return Err(CutError::NoSheet(no));
    }
    let hollows = hollows(&setting.channels, &setting.inserts, setting.frames.rubber_up());
    let slits = slits(release);
    let pieces = release.pieces.iter().filter_map(|p| p.room.as_deref());
    let refs: Vec<&Mesh> = hollows.iter().chain(pieces).chain(&slits).collect();
    let made = [Half::One, Half::Two].map(|which| half(&cut, which, &facts.block, &refs, run));
    let [one, two] = made;
    Ok([one?, two?])
}

/// Channels and pockets as solids. What ends on the top of the block goes a little beyond it.
pub(super) fn hollows(channels: &Channels, inserts: &[InsertShape], up: Vec3) -> Vec<Mesh> {
    let mut solids = Vec::new();
    for channel in channels.vents.iter().chain(&channels.gates) {
        let mut channel = channel.clone();
        if let Some(last) = channel.rods.last_mut() {
            if channel.joins.is_none() && (last.to - last.from).dot(up) > 0.0 {
                last.to += (last.to - last.from).normalize_or(up) * 1.0;
            }
        }
        solids.extend(channel.meshes());
    }
    for insert in inserts.iter().filter(|i| !i.solid.triangles.is_empty()) {
        let normals = crate::mesh::measure::vertex_normals(&insert.solid);
        let mut pocket = insert.solid.clone();
        for (p, n) in pocket.positions.iter_mut().zip(normals) {
            *p += n * POCKET_MM;
        }
        solids.push(pocket);
    }
    solids
}
