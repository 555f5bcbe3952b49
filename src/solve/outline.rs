//! Line drawing of a mesh in a parallel view: silhouette and crease edges with hidden parts removed.
//!
//! Along an edge, visibility can only change where the edge crosses, in projection, the border of something that faces
//! the viewer (Appel 1967, "The notion of quantitative invisibility"). Edges are cut at those crossings and every piece
//! is sampled: a point is hidden where the points a hair to its left and right are both covered by a nearer triangle,
//! found in a grid over the picture. Long pieces are sampled more than once and cut by bisection where the answer
//! changes, so that bodies that run through one another are drawn rightly too; the curve in which two such bodies meet
//! is not an edge of the mesh and is not drawn.

use crate::mesh::Mesh;
use crate::solve::run::{Cancelled, Run};
use glam::{DVec2, DVec3};
use rayon::prelude::*;
use std::collections::HashMap;

/// A parallel view: where a point comes to lie in the picture.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Projection {
    /// Unit vector that points right in the picture.
    pub right: DVec3,
    /// Unit vector that points up in the picture, square to `right`.
    pub up: DVec3,
}

impl Projection {
    /// The view seen from the direction `from` with `up` as near to upwards as can be. `None` where the two are
    /// parallel or not finite.
    pub fn seen_from(from: DVec3, up: DVec3) -> Option<Projection> {
        let toward = from.try_normalize()?;
        let right = up.cross(toward);
        if right.length() <= 1e-9 * up.length() {
            return None;
        }
        let right = right.try_normalize()?;
        Some(Projection { right, up: toward.cross(right) })
    }

    /// Unit vector towards the viewer.
    pub fn toward(&self) -> DVec3 {
        self.right.cross(self.up)
    }

    /// Place of a point in the picture: x to the right, y upwards.
    pub fn flat(&self, p: DVec3) -> DVec2 {
        DVec2::new(p.dot(self.right), p.dot(self.up))
    }
}

/// How fine an outline is drawn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fineness {
    /// Edges that bend by more than this are drawn even where they are no silhouette, radians.
    pub crease: f64,
    /// Greatest departure of a drawn line, millimetres of the mesh; details nearer together than this may merge.
    pub tolerance_mm: f64,
    /// True where hidden lines are wanted as well.
    pub hidden: bool,
}

impl Default for Fineness {
    fn default() -> Fineness {
        Fineness { crease: 25f64.to_radians(), tolerance_mm: 0.05, hidden: false }
    }
}

/// Lines of one view as chains of points in the picture; a closed chain ends where it began.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Outline {
    /// Lines that are seen.
    pub visible: Vec<Vec<DVec2>>,
    /// Lines that lie behind something; empty unless they were asked for.
    pub hidden: Vec<Vec<DVec2>>,
    /// Of each line that was given beside the mesh: the stretches that are seen.
    pub seen: Vec<Vec<Vec<DVec2>>>,
}

const NONE: u32 = u32::MAX;
/// Cosine below which a face counts as seen edge-on.
const EDGE_ON: f64 = 1e-4;
/// Cells along the longer side of a grid, at most.
const MOST_CELLS: usize = 768;

/// An edge with its faces; `others` is set where more than two faces meet or they run it the same way.
#[derive(Clone, Copy)]
struct Edge {
    ends: [u32; 2],
    faces: [u32; 2],
    tangled: bool,
    crease: bool,
}

/// A mesh with its edges, ready for any number of views.
pub struct Drawn<'a> {
    mesh: &'a Mesh,
    normals: Vec<DVec3>,
    edges: Vec<Edge>,
    closed: bool,
    crease: f64,
}

impl<'a> Drawn<'a> {
    /// Finds the edges of a mesh. `crease` as in [`Fineness`].
    ///
    /// # Errors
    /// [`Cancelled`] once `run` was cancelled.
    pub fn new(mesh: &'a Mesh, crease: f64, run: &Run) -> Result<Drawn<'a>, Cancelled> {
        let count = mesh.positions.len() as u32;
        let sound = |t: &[u32; 3]| t.iter().all(|&v| v < count && mesh.positions[v as usize].is_finite());
        let mut sides: Vec<(u32, u32, u32, bool)> = mesh
            .triangles
            .par_iter()
            .enumerate()
            .filter(|(_, t)| sound(t))
            .flat_map_iter(|(i, &[a, b, c])| {
                [(a, b), (b, c), (c, a)].map(|(p, q)| (p.min(q), p.max(q), i as u32, p < q))
            })
            .filter(|s| s.0 != s.1)
            .collect();
        run.check()?;
        sides.par_sort_unstable();
        run.check()?;
        let mut normals: Vec<DVec3> = (0..mesh.triangles.len())
            .into_par_iter()
            .map(|t| {
                if !sound(&mesh.triangles[t]) {
                    return DVec3::ZERO;
                }
                let [a, b, c] = mesh.corners_f64(t);
                let longest = (b - a).length_squared().max((c - b).length_squared()).max((a - c).length_squared());
                let n = (b - a).cross(c - a);
                // A sliver has no normal worth the name.
                if n.length() > 1e-7 * longest { n.normalize() } else { DVec3::ZERO }
            })
            .collect();
        let mut edges = Vec::with_capacity(sides.len() / 2 + 1);
        for group in sides.chunk_by(|x, y| (x.0, x.1) == (y.0, y.1)) {
            let first = group[0];
            let second = group.get(1);
            edges.push(Edge {
                ends: [first.0, first.1],
                faces: [first.2, second.map_or(NONE, |s| s.2)],
                tangled: group.len() > 2 || second.is_some_and(|s| s.3 == first.3),
                crease: false,
            });
        }
        lend_normals_to_slivers(mesh, &edges, &mut normals);
        let least = crease.cos();
        for edge in &mut edges {
            let [f, g] = edge.faces;
            edge.crease = g != NONE && normals[f as usize].dot(normals[g as usize]) < least;
        }
        let closed = edges.iter().all(|e| e.faces[1] != NONE && !e.tangled);
        Ok(Drawn { mesh, normals, edges, closed, crease })
    }

    /// Draws one view. Of `fineness` the crease is the one given to [`Drawn::new`]. `lines` are further lines on the
    /// surface (chains of points), of which the seen stretches are wanted.
    ///
    /// # Errors
    /// [`Cancelled`] once `run` was cancelled.
    pub fn view(
        &self,
        view: &Projection,
        fineness: &Fineness,
        lines: &[Vec<DVec3>],
        run: &Run,
    ) -> Result<Outline, Cancelled> {
        let tolerance = fineness.tolerance_mm.max(1e-6);
        let toward = view.toward();
        let points: Vec<DVec3> = self
            .mesh
            .positions
            .par_iter()
            .map(|p| {
                let p = p.as_dvec3();
                view.flat(p).extend(p.dot(toward))
            })
            .collect();
        run.check()?;
        let facing: Vec<i8> = self
            .normals
            .par_iter()
            .map(|n| {
                let c = n.dot(toward);
                if c > EDGE_ON { 1 } else { -i8::from(c < -EDGE_ON) }
            })
            .collect();
        let mut candidates = Vec::new();
        let mut borders = Vec::new();
        for (i, e) in self.edges.iter().enumerate() {
            let f = facing[e.faces[0] as usize];
            let (contour, front) = if e.faces[1] == NONE {
                (true, true)
            } else {
                let g = facing[e.faces[1] as usize];
                let front = f > 0 || g > 0;
                (front && (f <= 0 || g <= 0), front || !self.closed)
            };
            if contour || e.tangled {
                borders.push(i as u32);
            }
            if (contour || e.tangled || e.crease) && (front || fineness.hidden) {
                candidates.push(i as u32);
            }
        }
        let cover = Cover::new(self, &points, &facing);
        let borders = Borders::new(self, &points, borders, cover.grid);
        run.check()?;
        let pieces: Result<Vec<Vec<Piece>>, Cancelled> = candidates
            .par_chunks(256)
            .map(|chunk| {
                run.check()?;
                let mut out = Vec::new();
                let mut cuts = Vec::new();
                for &edge in chunk {
                    let e = &self.edges[edge as usize];
                    let segment =
                        Segment { points: e.ends.map(|v| points[v as usize]), vertices: e.ends, faces: e.faces };
                    let first = out.len();
                    segment.cut(&cover, &borders, tolerance, &mut cuts, &mut out);
                    // An edge of a closed mesh whose faces both look away is never seen; where nothing covers it, it
                    // lies right behind a line that is drawn anyway.
                    if self.closed && !e.faces.iter().any(|&f| facing[f as usize] > 0) {
                        let mut at = first;
                        while at < out.len() {
                            if out[at].visible {
                                out.swap_remove(at);
                            } else {
                                at += 1;
                            }
                        }
                    }
                }
                Ok(out)
            })
            .collect();
        let pieces: Vec<Piece> = pieces?.into_iter().flatten().collect();
        let visible = chains(pieces.iter().filter(|p| p.visible), tolerance);
        let hidden = if fineness.hidden { chains(pieces.iter().filter(|p| !p.visible), tolerance) } else { Vec::new() };
        let seen: Result<Vec<_>, Cancelled> = lines
            .par_iter()
            .map(|line| {
                run.check()?;
                let (mut out, mut cuts) = (Vec::new(), Vec::new());
                let place = |p: DVec3| view.flat(p).extend(p.dot(toward));
                for pair in line.windows(2).filter(|pair| pair.iter().all(|p| p.is_finite())) {
                    let segment =
                        Segment { points: [place(pair[0]), place(pair[1])], vertices: [NONE; 2], faces: [NONE; 2] };
                    segment.cut(&cover, &borders, tolerance, &mut cuts, &mut out);
                }
                Ok(chains(out.iter().filter(|p| p.visible), tolerance))
            })
            .collect();
        Ok(Outline { visible, hidden, seen: seen? })
    }

    /// The crease angle, radians.
    pub fn crease(&self) -> f64 {
        self.crease
    }
}

/// A straight stretch in the picture that may be hidden in part.
struct Segment {
    points: [DVec3; 2],
    vertices: [u32; 2],
    /// Faces that it lies in, which cannot hide it.
    faces: [u32; 2],
}

impl Segment {
    /// Cuts it where visibility changes and adds the pieces to `out`. `cuts` is scratch.
    fn cut(&self, cover: &Cover<'_>, borders: &Borders, tolerance: f64, cuts: &mut Vec<f64>, out: &mut Vec<Piece>) {
        let [a, b] = self.points;
        let length = a.truncate().distance(b.truncate());
        if length < 1e-9 {
            return;
        }
        cuts.clear();
        cuts.extend([0.0, 1.0]);
        borders.crossings(self.vertices, a, b, tolerance, cuts);
        cuts.sort_unstable_by(f64::total_cmp);
        let aside = (b - a).truncate().perp() / length * (0.2 * tolerance);
        let seen = |t: f64| {
            let p = a.lerp(b, t);
            let covered = |q: DVec2| cover.nearer(q, p.z + tolerance, |face| self.faces.contains(&face));
            !(covered(p.truncate() + aside) && covered(p.truncate() - aside))
        };
        let mut start = 0.0;
        let mut last: Option<(f64, bool)> = None;
        let mut emit = |from: f64, to: f64, visible: bool| {
            let ends = [a.lerp(b, from).truncate(), a.lerp(b, to).truncate()];
            out.push(Piece { ends, visible });
        };
        let least = (0.02 * tolerance / length).max(1e-12);
        for pair in cuts.windows(2) {
            let [t0, t1] = [pair[0], pair[1]];
            if t1 - t0 < least {
                continue;
            }
            let samples = (((t1 - t0) * length / (40.0 * tolerance)).ceil() as usize).clamp(1, 48);
            for k in 0..samples {
                let t = t0 + (t1 - t0) * (k as f64 + 0.5) / samples as f64;
                let now = seen(t);
                if let Some((at, before)) = last
                    && before != now
                {
                    // At a cut the change is there; within a piece it is found by halving.
                    let mut border = t0;
                    if k > 0 {
                        let (mut low, mut high) = (at, t);
                        while (high - low) * length > 0.25 * tolerance {
                            let middle = 0.5 * (low + high);
                            if seen(middle) == before { low = middle } else { high = middle }
                        }
                        border = 0.5 * (low + high);
                    }
                    emit(start, border, before);
                    start = border;
                }
                last = Some((t, now));
            }
        }
        if let Some((_, visible)) = last {
            emit(start, 1.0, visible);
        }
    }
}

/// Gives a sliver the normal of the face across its longest edge, so that the sliver draws no false line.
fn lend_normals_to_slivers(mesh: &Mesh, edges: &[Edge], normals: &mut [DVec3]) {
    let mut lenders: HashMap<u32, (f64, DVec3)> = HashMap::new();
    for e in edges {
        let [f, g] = e.faces;
        if g == NONE {
            continue;
        }
        for (sliver, other) in [(f, g), (g, f)] {
            if normals[sliver as usize] == DVec3::ZERO && normals[other as usize] != DVec3::ZERO {
                let [a, b] = e.ends.map(|v| mesh.positions[v as usize].as_dvec3());
                let length = a.distance(b);
                let best = lenders.entry(sliver).or_insert((-1.0, DVec3::ZERO));
                if length > best.0 {
                    *best = (length, normals[other as usize]);
                }
            }
        }
    }
    for (sliver, (_, normal)) in lenders {
        normals[sliver as usize] = normal;
    }
}

/// A stretch of an edge in the picture.
struct Piece {
    ends: [DVec2; 2],
    visible: bool,
}

/// Square cells over the picture.
#[derive(Clone, Copy)]
struct Grid {
    min: DVec2,
    per_cell: f64,
    columns: usize,
    rows: usize,
}

impl Grid {
    fn over(points: &[DVec3], things: usize) -> Grid {
        let finite = points.iter().filter(|p| p.is_finite());
        let (min, max) = finite
            .fold((DVec2::INFINITY, DVec2::NEG_INFINITY), |(lo, hi), p| (lo.min(p.truncate()), hi.max(p.truncate())));
        if min.x > max.x {
            return Grid { min: DVec2::ZERO, per_cell: 1.0, columns: 1, rows: 1 };
        }
        let size = (max - min).max_element().max(1e-9);
        let along = ((things as f64).sqrt() * 0.8).ceil().clamp(1.0, MOST_CELLS as f64);
        let cell = size / along;
        let cells = |length: f64| ((length / cell).floor() as usize + 1).min(MOST_CELLS + 1);
        Grid { min, per_cell: 1.0 / cell, columns: cells(max.x - min.x), rows: cells(max.y - min.y) }
    }

    fn column(&self, x: f64) -> usize {
        (((x - self.min.x) * self.per_cell).max(0.0) as usize).min(self.columns - 1)
    }

    fn row(&self, y: f64) -> usize {
        (((y - self.min.y) * self.per_cell).max(0.0) as usize).min(self.rows - 1)
    }

    /// Calls `on` with every cell that the segment from `a` to `b` may touch.
    fn along(&self, a: DVec2, b: DVec2, mut on: impl FnMut(usize)) {
        let (a, b) = if a.y <= b.y { (a, b) } else { (b, a) };
        let (r0, r1) = (self.row(a.y), self.row(b.y));
        for row in r0..=r1 {
            let (mut x0, mut x1) = (a.x, b.x);
            if r1 > r0 {
                let at = |y: f64| a.lerp(b, ((y - a.y) / (b.y - a.y)).clamp(0.0, 1.0)).x;
                x0 = at(self.min.y + row as f64 / self.per_cell);
                x1 = at(self.min.y + (row + 1) as f64 / self.per_cell);
            }
            let slack = 1e-6 / self.per_cell;
            for column in self.column(x0.min(x1) - slack)..=self.column(x0.max(x1) + slack) {
                on(row * self.columns + column);
            }
        }
    }
}

/// Lists of things by cell.
struct Cells {
    starts: Vec<u32>,
    things: Vec<u32>,
}

impl Cells {
    /// `each(thing, add)` calls `add` with every cell of a thing; it is asked twice.
    fn new(grid: &Grid, things: &[u32], each: impl Fn(u32, &mut dyn FnMut(usize))) -> Cells {
        let mut starts = vec![0u32; grid.columns * grid.rows + 1];
        for &thing in things {
            each(thing, &mut |cell| starts[cell + 1] += 1);
        }
        for i in 1..starts.len() {
            starts[i] += starts[i - 1];
        }
        let mut next = starts.clone();
        let mut list = vec![0u32; *starts.last().unwrap_or(&0) as usize];
        for &thing in things {
            each(thing, &mut |cell| {
                list[next[cell] as usize] = thing;
                next[cell] += 1;
            });
        }
        Cells { starts, things: list }
    }

    fn at(&self, cell: usize) -> &[u32] {
        &self.things[self.starts[cell] as usize..self.starts[cell + 1] as usize]
    }
}

/// What may cover a point of the picture: triangles by cell.
struct Cover<'a> {
    mesh: &'a Mesh,
    points: &'a [DVec3],
    grid: Grid,
    cells: Cells,
}

impl<'a> Cover<'a> {
    fn new(drawn: &Drawn<'a>, points: &'a [DVec3], facing: &[i8]) -> Cover<'a> {
        // Of a closed mesh the faces turned to the viewer hide all that the others hide.
        let faces: Vec<u32> = (0..facing.len())
            .filter(|&t| if drawn.closed { facing[t] > 0 } else { facing[t] != 0 })
            .map(|t| t as u32)
            .collect();
        let grid = Grid::over(points, faces.len());
        let mesh = drawn.mesh;
        let cells = Cells::new(&grid, &faces, |t, add| {
            let [a, b, c] = mesh.triangles[t as usize].map(|v| points[v as usize].truncate());
            let (lo, hi) = (a.min(b).min(c), a.max(b).max(c));
            let (c0, c1) = (grid.column(lo.x), grid.column(hi.x));
            for row in grid.row(lo.y)..=grid.row(hi.y) {
                for column in c0..=c1 {
                    if c1 - c0 < 2 || touches(&grid, row, column, [a, b, c]) {
                        add(row * grid.columns + column);
                    }
                }
            }
        });
        Cover { mesh, points, grid, cells }
    }

    /// True where a triangle that is not `spared` covers `q` nearer to the viewer than `depth`.
    fn nearer(&self, q: DVec2, depth: f64, spared: impl Fn(u32) -> bool) -> bool {
        let cell = self.grid.row(q.y) * self.grid.columns + self.grid.column(q.x);
        self.cells.at(cell).iter().any(|&t| {
            let [a, b, c] = self.mesh.triangles[t as usize].map(|v| self.points[v as usize]);
            if a.z <= depth && b.z <= depth && c.z <= depth {
                return false;
            }
            let (ab, ac, aq) = ((b - a).truncate(), (c - a).truncate(), q - a.truncate());
            let whole = ab.perp_dot(ac);
            let (v, w) = (aq.perp_dot(ac) / whole, ab.perp_dot(aq) / whole);
            const SLACK: f64 = 1e-9;
            v >= -SLACK
                && w >= -SLACK
                && v + w <= 1.0 + SLACK
                && a.z + v * (b.z - a.z) + w * (c.z - a.z) > depth
                && !spared(t)
        })
    }
}

/// False only where the cell lies wholly outside one side of the triangle.
fn touches(grid: &Grid, row: usize, column: usize, corners: [DVec2; 3]) -> bool {
    let half = 0.5 / grid.per_cell;
    let middle = grid.min + DVec2::new(column as f64 + 0.5, row as f64 + 0.5) / grid.per_cell;
    let turn = (corners[1] - corners[0]).perp_dot(corners[2] - corners[0]).signum();
    // Points beyond the rim of the grid are kept in its outermost cells.
    if row == 0 || column == 0 || row + 1 == grid.rows || column + 1 == grid.columns {
        return true;
    }
    (0..3).all(|i| {
        let (p, q) = (corners[i], corners[(i + 1) % 3]);
        let normal = (q - p).perp() * turn;
        let reach = (normal.x.abs() + normal.y.abs()) * half * (1.0 + 1e-9);
        normal.dot(middle - p) >= -reach
    })
}

/// Edges at which something that faces the viewer ends, by cell.
struct Borders {
    grid: Grid,
    cells: Cells,
    segments: Vec<([u32; 2], [DVec3; 2])>,
}

impl Borders {
    fn new(drawn: &Drawn<'_>, points: &[DVec3], edges: Vec<u32>, over: Grid) -> Borders {
        let segments: Vec<([u32; 2], [DVec3; 2])> = edges
            .iter()
            .map(|&e| {
                let ends = drawn.edges[e as usize].ends;
                (ends, ends.map(|v| points[v as usize]))
            })
            .collect();
        // As many cells as there are edges, over the same picture.
        let side = over.columns.max(over.rows) as f64;
        let wanted = ((segments.len() as f64).sqrt() * 2.0).clamp(1.0, side);
        let per_cell = over.per_cell * wanted / side;
        let cells_of = |n: usize| ((n as f64 * wanted / side).ceil() as usize).max(1);
        let grid = Grid { min: over.min, per_cell, columns: cells_of(over.columns), rows: cells_of(over.rows) };
        let numbers: Vec<u32> = (0..segments.len() as u32).collect();
        let cells = Cells::new(&grid, &numbers, |s, add| {
            let [a, b] = segments[s as usize].1;
            grid.along(a.truncate(), b.truncate(), add);
        });
        Borders { grid, cells, segments }
    }

    /// Adds to `cuts` where the edge from `a` to `b` passes behind a border, as shares of its length.
    fn crossings(&self, ends: [u32; 2], a: DVec3, b: DVec3, tolerance: f64, cuts: &mut Vec<f64>) {
        let (p, d) = (a.truncate(), (b - a).truncate());
        self.grid.along(p, b.truncate(), |cell| {
            for &s in self.cells.at(cell) {
                let (their_ends, [c, e]) = self.segments[s as usize];
                if their_ends.iter().any(|v| ends.contains(v)) {
                    continue;
                }
                let f = (e - c).truncate();
                let across = d.perp_dot(f);
                if across.abs() < 1e-12 * d.length() * f.length() {
                    continue;
                }
                let gap = c.truncate() - p;
                let (t, u) = (gap.perp_dot(f) / across, gap.perp_dot(d) / across);
                let slack = 1e-9;
                if t > 0.0 && t < 1.0 && u >= -slack && u <= 1.0 + slack {
                    let (ours, theirs) = (a.z + t * (b.z - a.z), c.z + u * (e.z - c.z));
                    if theirs > ours - tolerance {
                        cuts.push(t);
                    }
                }
            }
        });
    }
}

/// Joins pieces end to end, drops repeats and specks, and thins points that lie on a straight line.
fn chains<'p>(pieces: impl Iterator<Item = &'p Piece>, tolerance: f64) -> Vec<Vec<DVec2>> {
    let fine = 0.05 * tolerance;
    let key = |p: DVec2| ((p.x / fine).round() as i64, (p.y / fine).round() as i64);
    let mut nodes: HashMap<(i64, i64), u32> = HashMap::new();
    let mut places: Vec<DVec2> = Vec::new();
    let mut links: Vec<[u32; 2]> = Vec::new();
    for piece in pieces {
        let [a, b] = piece.ends.map(|p| {
            *nodes.entry(key(p)).or_insert_with(|| {
                places.push(p);
                places.len() as u32 - 1
            })
        });
        if a != b {
            links.push([a.min(b), a.max(b)]);
        }
    }
    links.sort_unstable();
    links.dedup();
    let mut at_node: Vec<Vec<u32>> = vec![Vec::new(); places.len()];
    for (i, link) in links.iter().enumerate() {
        for &n in link {
            at_node[n as usize].push(i as u32);
        }
    }
    let mut used = vec![false; links.len()];
    let mut out = Vec::new();
    let mut walk = |start: u32, first: u32, used: &mut Vec<bool>| {
        let mut chain = vec![places[start as usize]];
        let (mut node, mut link) = (start, first);
        loop {
            used[link as usize] = true;
            let [a, b] = links[link as usize];
            node = if a == node { b } else { a };
            chain.push(places[node as usize]);
            let onward = &at_node[node as usize];
            match onward.iter().find(|&&l| !used[l as usize]) {
                Some(&next) if onward.len() == 2 => link = next,
                _ => break,
            }
        }
        let thin = thinned(&chain, 0.25 * tolerance);
        let (lo, hi) = thin.iter().fold((DVec2::INFINITY, DVec2::NEG_INFINITY), |(l, h), &p| (l.min(p), h.max(p)));
        if (hi - lo).max_element() > tolerance {
            out.push(thin);
        }
    };
    // Open chains from their ends and branchings, then closed ones.
    for node in 0..places.len() as u32 {
        if at_node[node as usize].len() != 2 {
            for &link in &at_node[node as usize] {
                if !used[link as usize] {
                    walk(node, link, &mut used);
                }
            }
        }
    }
    for link in 0..links.len() as u32 {
        if !used[link as usize] {
            walk(links[link as usize][0], link, &mut used);
        }
    }
    out
}

/// Fewer points, none of those left out further than `tolerance` from the line (Douglas & Peucker 1973).
pub fn thinned(line: &[DVec2], tolerance: f64) -> Vec<DVec2> {
    if line.len() < 3 {
        return line.to_vec();
    }
    let mut keep = vec![false; line.len()];
    let last = line.len() - 1;
    (keep[0], keep[last]) = (true, true);
    let mut open = vec![(0, last)];
    while let Some((i, j)) = open.pop() {
        let (a, d) = (line[i], line[j] - line[i]);
        let far = |p: DVec2| {
            let t = if d.length_squared() > 0.0 { ((p - a).dot(d) / d.length_squared()).clamp(0.0, 1.0) } else { 0.0 };
            p.distance(a + d * t)
        };
        let worst = (i + 1..j).map(|k| (far(line[k]), k)).max_by(|x, y| x.0.total_cmp(&y.0));
        if let Some((distance, k)) = worst
            && distance > tolerance
        {
            keep[k] = true;
            open.extend([(i, k), (k, j)]);
        }
    }
    line.iter().zip(keep).filter(|(_, k)| *k).map(|(p, _)| *p).collect()
}
