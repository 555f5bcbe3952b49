//! What is wrong with a mesh, and where.

mod contact;
mod crossing;
mod nesting;
mod pieces;

pub(super) use nesting::containers;

use super::measure::Measures;
use super::topology::{Topology, is_collapsed, is_degenerate};
use super::tree::Tree;
use super::{Bounds, Mesh};
use glam::Vec3;

/// Places that are kept of each kind of problem.
const PLACES: usize = 200;

/// What a body of the mesh is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BodyKind {
    /// Closed, outside out.
    Solid,
    /// Closed and inside out, not inside another body.
    Flipped,
    /// Closed, inside out and wholly inside the named body: a void in it.
    Void {
        /// The innermost body that it lies in.
        inside: u32,
    },
    /// Not closed.
    Open,
}

/// A body: triangles that hang together along their edges.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Body {
    /// What it is.
    pub kind: BodyKind,
    /// Number of triangles.
    pub triangles: usize,
    /// Its own volume, area and centroid; the volume of an inside-out body is negative, that of an open one means
    /// nothing.
    pub measures: Measures,
    /// The box round it.
    pub bounds: Bounds,
    /// A corner of it, to show it by.
    pub place: Vec3,
}

/// A kind of problem.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum ProblemKind {
    /// A void that no rubber reaches.
    EnclosedVoid,
    /// Edges with one triangle: the surface has a hole or a border.
    OpenEdges,
    /// Edges with more than two triangles.
    NonManifoldEdges,
    /// Edges whose two triangles face opposite ways.
    InconsistentWinding,
    /// Triangles of one body that others of it go through.
    CrossesItself,
    /// Bodies that are inside out.
    FlippedBodies,
    /// Pairs of bodies that touch or overlap.
    BodiesMeet,
    /// Triangles without area.
    DegenerateTriangles,
}

/// Something wrong with the mesh.
#[derive(Clone, Debug, PartialEq)]
pub struct Problem {
    /// What.
    pub kind: ProblemKind,
    /// How many of it.
    pub count: usize,
    /// Where, in the mesh's coordinates; not all of many.
    pub places: Vec<Vec3>,
}

impl Problem {
    /// What is wrong, in words with the number.
    pub fn message(&self) -> String {
        let n = self.count;
        let many = |one: &str, more: &str| if n == 1 { format!("1 {one}") } else { format!("{n} {more}") };
        match self.kind {
            ProblemKind::EnclosedVoid => format!(
                "{} inside the part: no rubber reaches it, it cannot be moulded",
                many("closed void", "closed voids")
            ),
            ProblemKind::OpenEdges => {
                format!("{}: the surface has holes or is not a solid", many("open edge", "open edges"))
            }
            ProblemKind::NonManifoldEdges => format!(
                "{} shared by more than two triangles: bodies touch there or sheets are doubled",
                many("edge is", "edges are")
            ),
            ProblemKind::InconsistentWinding => {
                format!("{} between triangles that face opposite ways", many("edge lies", "edges lie"))
            }
            ProblemKind::CrossesItself => format!(
                "{} through others of the same body: the surface crosses itself",
                many("triangle runs", "triangles run")
            ),
            ProblemKind::FlippedBodies => format!("{} inside out", many("body is", "bodies are")),
            ProblemKind::BodiesMeet => {
                format!("{} of bodies touch or overlap: they are cast as one", many("pair", "pairs"))
            }
            ProblemKind::DegenerateTriangles => {
                format!("{} without area: harmless", many("triangle", "triangles"))
            }
        }
    }
}

/// Two bodies that touch or overlap.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Meeting {
    /// The two bodies, lower number first.
    pub bodies: [u32; 2],
    /// A place where they meet; of a body that lies wholly in another's solid a corner of the inner one.
    pub place: Vec3,
}

/// What is known of a mesh after looking at all of it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct MeshCheck {
    /// Number of triangles.
    pub triangles: usize,
    /// Number of vertices.
    pub vertices: usize,
    /// Edges with one triangle.
    pub open_edges: usize,
    /// Every edge is run along equally often both ways.
    pub watertight: bool,
    /// Volume, area and centroid of the whole: voids count as holes, solids that overlap count twice.
    pub measures: Measures,
    /// The bodies, by the number that [`Topology::body_of_triangle`] gives.
    pub bodies: Vec<Body>,
    /// Pairs of bodies that touch or overlap.
    pub meetings: Vec<Meeting>,
    /// What is wrong, worst first.
    pub problems: Vec<Problem>,
}

impl MeshCheck {
    /// Looks at a welded mesh.
    pub fn of(mesh: &Mesh) -> MeshCheck {
        MeshCheck::with(mesh, &Topology::of(mesh))
    }

    /// [`MeshCheck::of`] where the topology is at hand.
    pub fn with(mesh: &Mesh, topology: &Topology) -> MeshCheck {
        let mut bodies = bodies_of(mesh, topology);
        let mut meetings = Vec::new();
        let tree = Tree::of(mesh);
        if bodies.len() > 1 {
            let inside = containers(topology, &tree, &bodies);
            meetings = contact::meetings(mesh, topology, &tree, &bodies);
            name_voids(&mut bodies, &inside);
            // A solid within a solid whose surfaces do not meet.
            let solid_within = |b: u32, a: u32| {
                bodies[b as usize].kind == BodyKind::Solid && bodies[a as usize].kind == BodyKind::Solid
            };
            for (b, around) in inside.iter().enumerate() {
                let innermost = around.last().copied();
                if let Some(a) = innermost.filter(|&a| solid_within(b as u32, a)) {
                    let pair = [a.min(b as u32), a.max(b as u32)];
                    if !meetings.iter().any(|m| m.bodies == pair) {
                        meetings.push(Meeting { bodies: pair, place: bodies[b].place });
                    }
                }
            }
            meetings.sort_by_key(|m| m.bodies);
        } else if let [only] = bodies.as_mut_slice()
            && only.kind == BodyKind::Solid
            && only.measures.volume_mm3 < 0.0
        {
            only.kind = BodyKind::Flipped;
        }
        let mut check = MeshCheck {
            triangles: mesh.triangles.len(),
            vertices: mesh.positions.len(),
            open_edges: topology.open_edges as usize,
            watertight: !mesh.triangles.is_empty() && topology.is_watertight(),
            measures: match bodies.as_slice() {
                [only] => only.measures,
                _ => Measures::of(mesh),
            },
            bodies,
            meetings,
            problems: Vec::new(),
        };
        let mut crossings = crossing::crossings(mesh, topology, &tree);
        if let ([only], true, true) = (check.bodies.as_slice(), check.watertight, crossings.is_empty()) {
            crossings = crossing::doubled(mesh, only.measures.volume_mm3.signum());
        }
        check.list_problems(mesh, topology, &crossings);
        check
    }

    /// True where the surface encloses a volume: no edge is open, crowded on one side or between triangles that face
    /// opposite ways.
    pub fn is_closed(&self) -> bool {
        self.watertight
    }

    /// True where no two bodies touch or overlap, so that each is a part of the cavity by itself.
    pub fn bodies_apart(&self) -> bool {
        self.meetings.is_empty()
    }

    /// The problem of the kind, if there is one.
    pub fn problem(&self, kind: ProblemKind) -> Option<&Problem> {
        self.problems.iter().find(|p| p.kind == kind)
    }

    /// True where the surface of a body runs through itself.
    pub fn crosses_itself(&self) -> bool {
        self.problem(ProblemKind::CrossesItself).is_some()
    }

    fn list_problems(&mut self, mesh: &Mesh, topology: &Topology, crossings: &[Vec3]) {
        let mut add = |kind, count: usize, places: Vec<Vec3>| {
            if count > 0 {
                self.problems.push(Problem { kind, count, places });
            }
        };
        let of_kind = |wanted: fn(BodyKind) -> bool| {
            let places: Vec<Vec3> = self.bodies.iter().filter(|b| wanted(b.kind)).map(|b| b.place).collect();
            (places.len(), places.into_iter().take(PLACES).collect())
        };
        let (count, places) = of_kind(|k| matches!(k, BodyKind::Void { .. }));
        add(ProblemKind::EnclosedVoid, count, places);
        let middles = |edges: &[[u32; 2]]| {
            let middle = |e: &[u32; 2]| mesh.positions[e[0] as usize].midpoint(mesh.positions[e[1] as usize]);
            (edges.len(), edges.iter().take(PLACES).map(middle).collect())
        };
        let (count, places) = middles(&topology.faulty.open);
        add(ProblemKind::OpenEdges, count, places);
        let (count, places) = middles(&topology.faulty.non_manifold);
        add(ProblemKind::NonManifoldEdges, count, places);
        let (count, places) = middles(&topology.faulty.inconsistent);
        add(ProblemKind::InconsistentWinding, count, places);
        add(ProblemKind::CrossesItself, crossings.len(), crossings.iter().copied().take(PLACES).collect());
        let (count, places) = of_kind(|k| k == BodyKind::Flipped);
        add(ProblemKind::FlippedBodies, count, places);
        let places = self.meetings.iter().take(PLACES).map(|m| m.place).collect();
        add(ProblemKind::BodiesMeet, self.meetings.len(), places);
        if topology.degenerate_triangles > 0 {
            let places = (0..mesh.triangles.len())
                .filter(|&t| is_degenerate(mesh, t))
                .take(PLACES)
                .map(|t| mesh.corners(t)[0])
                .collect();
            add(ProblemKind::DegenerateTriangles, topology.degenerate_triangles as usize, places);
        }
    }
}

/// The bodies, closed ones as solids whatever way they face.
pub(super) fn bodies_of(mesh: &Mesh, topology: &Topology) -> Vec<Body> {
    let n = topology.bodies as usize;
    let measures = if n == 1 {
        vec![Measures::of(mesh)]
    } else {
        Measures::of_groups(mesh, &topology.body_of_triangle, topology.bodies)
    };
    let mut bodies: Vec<Body> = measures
        .into_iter()
        .map(|measures| Body {
            kind: BodyKind::Solid,
            triangles: 0,
            measures,
            bounds: Bounds::EMPTY,
            place: Vec3::ZERO,
        })
        .collect();
    for (t, &b) in topology.body_of_triangle.iter().enumerate() {
        let body = &mut bodies[b as usize];
        let corners = mesh.corners(t);
        if body.triangles == 0 {
            body.place = corners[0];
        }
        body.triangles += 1;
        body.bounds = corners.into_iter().fold(body.bounds, Bounds::with);
        if topology.neighbours[t].contains(&Topology::NONE) && !is_collapsed(mesh.triangles[t]) {
            body.kind = BodyKind::Open;
        }
    }
    if topology.inconsistent_edges > 0 {
        for (t, corners) in mesh.triangles.iter().enumerate() {
            let runs_alike = |k: usize| {
                let (a, b) = (corners[k], corners[(k + 1) % 3]);
                match topology.neighbours[t][k] {
                    Topology::NONE => false,
                    n => {
                        let far = mesh.triangles[n as usize];
                        Topology::edge_between(far, a, b).is_some_and(|edge| far[edge] == a)
                    }
                }
            };
            if (0..3).any(runs_alike) {
                bodies[topology.body_of_triangle[t] as usize].kind = BodyKind::Open;
            }
        }
    }
    for body in &mut bodies {
        if body.measures.area_mm2 == 0.0 {
            body.kind = BodyKind::Open;
        }
    }
    bodies
}

/// Tells voids and flipped bodies from solids; `inside` lists the bodies round each, outermost first.
fn name_voids(bodies: &mut [Body], inside: &[Vec<u32>]) {
    for b in 0..bodies.len() {
        if bodies[b].kind == BodyKind::Solid && bodies[b].measures.volume_mm3 < 0.0 {
            bodies[b].kind = match inside[b].last() {
                Some(&a) if bodies[a as usize].measures.volume_mm3 > 0.0 => BodyKind::Void { inside: a },
                _ => BodyKind::Flipped,
            };
        }
    }
}
