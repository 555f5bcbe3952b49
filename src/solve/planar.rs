//! A constrained Delaunay triangulation of points in a rectangle.
//!
//! Points lie on a lattice of integers, so that every question of side and circle is answered exactly and no input makes
//! the triangulation fold over. Points go in one by one (Lawson, 1977); an edge that must be there is made by turning the
//! edges that it crosses (Sloan, 1993); every edge that nobody asked for is Delaunay.

/// No triangle.
const NONE: u32 = u32::MAX;

/// Largest coordinate: products of four of them must fit into 127 bits.
pub const LIMIT: i64 = 1 << 28;

/// A point of the lattice.
pub type Point = [i64; 2];

/// Why an edge could not be put in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum PlanarError {
    /// A point lies outside the rectangle, or the rectangle is empty or too large.
    #[error("a point lies outside the rectangle")]
    Outside,
    /// The edge crosses another one that must be there; the two ends of that one.
    #[error("two edges that must be kept cross")]
    Crossing(u32, u32),
}

/// A triangulation of a rectangle. Vertices 0 to 3 are its corners.
#[derive(Clone, Debug)]
pub struct Planar {
    points: Vec<Point>,
    triangles: Vec<[u32; 3]>,
    /// The triangle across the edge from corner k to corner k+1.
    across: Vec<[u32; 3]>,
    /// What kind of kept edge that edge is; 0 where nobody asked for it.
    kept: Vec<[u8; 3]>,
    /// A triangle at each vertex.
    at: Vec<u32>,
    last: u32,
    doubtful: Vec<(u32, u32)>,
}

#[inline]
const fn next(k: usize) -> usize {
    if k == 2 { 0 } else { k + 1 }
}

#[inline]
const fn before(k: usize) -> usize {
    if k == 0 { 2 } else { k - 1 }
}

/// Twice the area of the triangle: positive where `c` is left of the way from `a` to `b`.
#[inline]
pub fn side(a: Point, b: Point, c: Point) -> i64 {
    (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
}

/// True where `d` lies inside the circle through `a`, `b`, `c` (counter-clockwise).
fn in_circle(a: Point, b: Point, c: Point, d: Point) -> bool {
    let rel = |p: Point| {
        let (x, y) = ((p[0] - d[0]) as i128, (p[1] - d[1]) as i128);
        (x, y, x * x + y * y)
    };
    let ((ax, ay, a2), (bx, by, b2), (cx, cy, c2)) = (rel(a), rel(b), rel(c));
    a2 * (bx * cy - by * cx) + b2 * (cx * ay - cy * ax) + c2 * (ax * by - ay * bx) > 0
}

/// True where the open segments `ab` and `cd` cross in one inner point.
pub fn cross_properly(a: Point, b: Point, c: Point, d: Point) -> bool {
    let (c_side, d_side) = (side(a, b, c).signum(), side(a, b, d).signum());
    let (a_side, b_side) = (side(c, d, a).signum(), side(c, d, b).signum());
    c_side * d_side < 0 && a_side * b_side < 0
}

impl Planar {
    /// The rectangle between two corners as two triangles.
    ///
    /// # Errors
    /// [`PlanarError::Outside`] where it is empty or goes beyond [`LIMIT`].
    pub fn new(low: Point, high: Point) -> Result<Planar, PlanarError> {
        let fits = |p: Point| p.iter().all(|c| c.abs() <= LIMIT);
        if !fits(low) || !fits(high) || low[0] >= high[0] || low[1] >= high[1] {
            return Err(PlanarError::Outside);
        }
        Ok(Planar {
            points: vec![low, [high[0], low[1]], high, [low[0], high[1]]],
            triangles: vec![[0, 1, 2], [0, 2, 3]],
            across: vec![[NONE, NONE, 1], [0, NONE, NONE]],
            kept: vec![[0; 3]; 2],
            at: vec![0, 0, 0, 1],
            last: 0,
            doubtful: Vec::new(),
        })
    }

    /// All points, the corners first.
    pub fn points(&self) -> &[Point] {
        &self.points
    }

    /// All triangles, counter-clockwise.
    pub fn triangles(&self) -> &[[u32; 3]] {
        &self.triangles
    }

    /// For each triangle and edge (from corner k to corner k+1) the triangle across, or `u32::MAX` at the border.
    pub fn across(&self) -> &[[u32; 3]] {
        &self.across
    }

    /// For each triangle and edge the kind that [`Planar::keep`] was given; 0 for an edge that nobody asked for.
    pub fn kept(&self) -> &[[u8; 3]] {
        &self.kept
    }

    /// Puts a point in and gives its vertex: an old one where there is one already.
    ///
    /// # Errors
    /// [`PlanarError::Outside`].
    pub fn insert(&mut self, p: Point) -> Result<u32, PlanarError> {
        if p[0] < self.points[0][0] || p[1] < self.points[0][1] || p[0] > self.points[2][0] || p[1] > self.points[2][1]
        {
            return Err(PlanarError::Outside);
        }
        let t = self.locate(p);
        let corners = self.triangles[t];
        if let Some(&v) = corners.iter().find(|&&v| self.points[v as usize] == p) {
            return Ok(v);
        }
        let new = self.points.len() as u32;
        self.points.push(p);
        self.at.push(t as u32);
        let on =
            (0..3).find(|&k| side(self.points[corners[k] as usize], self.points[corners[next(k)] as usize], p) == 0);
        match on {
            Some(k) => self.split_edge(t, k, new),
            None => self.split_triangle(t, new),
        }
        self.settle();
        Ok(new)
    }

    /// Makes the edge from `a` to `b` part of the triangulation as an edge of `kind` (not 0); where it runs through
    /// other vertices, in pieces.
    ///
    /// # Errors
    /// [`PlanarError::Crossing`] where another kept edge is in the way; everything stays triangulated.
    pub fn keep(&mut self, a: u32, b: u32, kind: u8) -> Result<(), PlanarError> {
        let mut from = a;
        while from != b {
            from = self.keep_one(from, b, kind)?;
        }
        Ok(())
    }

    /// The triangle that runs from `a` to `b` and which of its edges does.
    pub fn edge(&self, a: u32, b: u32) -> Option<(usize, usize)> {
        let mut found = None;
        self.each_at(a, |t, k| {
            if self.triangles[t][next(k)] == b {
                found = Some((t, k));
            }
            found.is_some()
        });
        found
    }

    /// Calls `visit` with each triangle at vertex `v` and the corner that is `v`, until it says true.
    fn each_at(&self, v: u32, mut visit: impl FnMut(usize, usize) -> bool) {
        let start = self.at[v as usize] as usize;
        let corner = |t: usize| self.triangles[t].iter().position(|&c| c == v).unwrap_or(0);
        let mut t = start;
        loop {
            let k = corner(t);
            if visit(t, k) {
                return;
            }
            // Counter-clockwise: over the edge that arrives at v.
            let over = self.across[t][before(k)];
            if over == NONE {
                break;
            }
            t = over as usize;
            if t == start {
                return;
            }
        }
        let mut t = start;
        loop {
            let over = self.across[t][corner(t)];
            if over == NONE {
                return;
            }
            t = over as usize;
            if visit(t, corner(t)) {
                return;
            }
        }
    }

    /// A triangle that holds `p`.
    fn locate(&self, p: Point) -> usize {
        let mut t = self.last as usize;
        let mut turn = 0usize;
        'walk: loop {
            // Another first edge each time: a walk that always asks the same edge first can go in circles.
            turn += 1;
            for i in 0..3 {
                let k = (i + turn) % 3;
                let (a, b) = (self.triangles[t][k], self.triangles[t][next(k)]);
                let over = self.across[t][k];
                if over != NONE && side(self.points[a as usize], self.points[b as usize], p) < 0 {
                    t = over as usize;
                    continue 'walk;
                }
            }
            return t;
        }
    }

    fn put(&mut self, t: usize, corners: [u32; 3], across: [u32; 3], kept: [u8; 3]) {
        if t == self.triangles.len() {
            self.triangles.push(corners);
            self.across.push(across);
            self.kept.push(kept);
        } else {
            self.triangles[t] = corners;
            self.across[t] = across;
            self.kept[t] = kept;
        }
        for k in 0..3 {
            self.at[corners[k] as usize] = t as u32;
            let over = across[k];
            if over != NONE && (over as usize) < self.triangles.len() {
                let (a, b) = (corners[k], corners[next(k)]);
                let far = self.triangles[over as usize];
                if let Some(j) = (0..3).find(|&j| far[j] == b && far[next(j)] == a) {
                    self.across[over as usize][j] = t as u32;
                }
            }
        }
        self.last = t as u32;
    }

    fn split_triangle(&mut self, t: usize, p: u32) {
        let ([a, b, c], n, f) = (self.triangles[t], self.across[t], self.kept[t]);
        let (x, y) = (self.triangles.len() as u32, self.triangles.len() as u32 + 1);
        self.put(t, [a, b, p], [n[0], x, y], [f[0], 0, 0]);
        self.put(x as usize, [b, c, p], [n[1], y, t as u32], [f[1], 0, 0]);
        self.put(y as usize, [c, a, p], [n[2], t as u32, x], [f[2], 0, 0]);
        self.doubtful.extend([(a, b), (b, c), (c, a)]);
    }

    fn split_edge(&mut self, t: usize, k: usize, p: u32) {
        let (a, b, c) = (self.triangles[t][k], self.triangles[t][next(k)], self.triangles[t][before(k)]);
        let (bc, ca) = (self.across[t][next(k)], self.across[t][before(k)]);
        let (f, f_bc, f_ca) = (self.kept[t][k], self.kept[t][next(k)], self.kept[t][before(k)]);
        let other = self.across[t][k];
        let new = self.triangles.len() as u32;
        self.doubtful.extend([(b, c), (c, a)]);
        if other == NONE {
            self.put(t, [a, p, c], [NONE, new, ca], [f, 0, f_ca]);
            self.put(new as usize, [p, b, c], [NONE, bc, t as u32], [f, f_bc, 0]);
            return;
        }
        let o = other as usize;
        let j = (0..3).find(|&j| self.triangles[o][j] == b && self.triangles[o][next(j)] == a).unwrap_or(0);
        let d = self.triangles[o][before(j)];
        let (ad, db) = (self.across[o][next(j)], self.across[o][before(j)]);
        let (f_ad, f_db) = (self.kept[o][next(j)], self.kept[o][before(j)]);
        let new_2 = new + 1;
        self.put(t, [a, p, c], [other, new, ca], [f, 0, f_ca]);
        self.put(new as usize, [p, b, c], [new_2, bc, t as u32], [f, f_bc, 0]);
        self.put(o, [p, a, d], [t as u32, ad, new_2], [f, f_ad, 0]);
        self.put(new_2 as usize, [b, p, d], [new, other, db], [f, 0, f_db]);
        self.doubtful.extend([(a, d), (d, b)]);
    }

    /// Turns the edge `k` of `t` in the four-sided figure round it.
    fn turn(&mut self, t: usize, k: usize) {
        let o = self.across[t][k] as usize;
        let (a, b, c) = (self.triangles[t][k], self.triangles[t][next(k)], self.triangles[t][before(k)]);
        let j = (0..3).find(|&j| self.triangles[o][j] == b).unwrap_or(0);
        let d = self.triangles[o][before(j)];
        let (bc, ca) = (self.across[t][next(k)], self.across[t][before(k)]);
        let (f_bc, f_ca) = (self.kept[t][next(k)], self.kept[t][before(k)]);
        let (ad, db) = (self.across[o][next(j)], self.across[o][before(j)]);
        let (f_ad, f_db) = (self.kept[o][next(j)], self.kept[o][before(j)]);
        self.put(t, [a, d, c], [ad, o as u32, ca], [f_ad, 0, f_ca]);
        self.put(o, [d, b, c], [db, bc, t as u32], [f_db, f_bc, 0]);
    }

    /// The two corners across edge `k` of `t`: that of `t` and that of the triangle across.
    fn tips(&self, t: usize, k: usize) -> Option<(u32, u32)> {
        let o = self.across[t][k];
        if o == NONE {
            return None;
        }
        let b = self.triangles[t][next(k)];
        let j = (0..3).find(|&j| self.triangles[o as usize][j] == b)?;
        Some((self.triangles[t][before(k)], self.triangles[o as usize][before(j)]))
    }

    /// Turns doubtful edges until all are Delaunay.
    fn settle(&mut self) {
        while let Some((a, b)) = self.doubtful.pop() {
            let Some((t, k)) = self.edge(a, b) else { continue };
            let Some((c, d)) = self.tips(t, k) else { continue };
            if self.kept[t][k] != 0 {
                continue;
            }
            let p = |v: u32| self.points[v as usize];
            if in_circle(p(a), p(b), p(c), p(d)) {
                self.turn(t, k);
                self.doubtful.extend([(b, c), (c, a), (a, d), (d, b)]);
            }
        }
    }

    fn mark(&mut self, t: usize, k: usize, kind: u8) {
        self.kept[t][k] |= kind;
        let o = self.across[t][k];
        if o != NONE {
            let b = self.triangles[t][next(k)];
            if let Some(j) = (0..3).find(|&j| self.triangles[o as usize][j] == b) {
                self.kept[o as usize][j] |= kind;
            }
        }
    }

    /// Keeps the way from `a` towards `b` up to the first vertex on it, which is given back.
    fn keep_one(&mut self, a: u32, b: u32, kind: u8) -> Result<u32, PlanarError> {
        let (pa, pb) = (self.points[a as usize], self.points[b as usize]);
        // A vertex on the way, or the edge that the way leaves the star of `a` by.
        let mut on_way = None;
        let mut leaves = None;
        self.each_at(a, |t, k| {
            let (r, l) = (self.triangles[t][next(k)], self.triangles[t][before(k)]);
            for v in [r, l] {
                let p = self.points[v as usize];
                let ahead =
                    (p[0] - pa[0]) as i128 * (pb[0] - pa[0]) as i128 + (p[1] - pa[1]) as i128 * (pb[1] - pa[1]) as i128;
                if side(pa, pb, p) == 0 && ahead > 0 {
                    on_way = Some(v);
                    return true;
                }
            }
            if side(pa, pb, self.points[r as usize]) < 0 && side(pa, pb, self.points[l as usize]) > 0 {
                leaves = Some((t, next(k)));
            }
            false
        });
        if let Some(v) = on_way {
            if let Some((t, k)) = self.edge(a, v) {
                self.mark(t, k, kind);
            } else if let Some((t, k)) = self.edge(v, a) {
                self.mark(t, k, kind);
            }
            return Ok(v);
        }
        let Some((mut t, mut k)) = leaves else { return Err(PlanarError::Outside) };
        // Every edge that the way crosses, up to the first vertex on it.
        let mut crossed = Vec::new();
        let end = loop {
            let (r, l) = (self.triangles[t][k], self.triangles[t][next(k)]);
            if self.kept[t][k] != 0 {
                return Err(PlanarError::Crossing(r, l));
            }
            crossed.push((r, l));
            let Some((_, tip)) = self.tips(t, k) else { return Err(PlanarError::Outside) };
            let over = self.across[t][k] as usize;
            let where_tip = side(pa, pb, self.points[tip as usize]);
            if where_tip == 0 {
                break tip;
            }
            let j = self.triangles[over].iter().position(|&v| v == tip).unwrap_or(0);
            // Out by the edge whose ends lie on both sides of the way.
            (t, k) = if where_tip > 0 { (over, before(j)) } else { (over, j) };
        };
        let p_end = self.points[end as usize];
        let mut made = Vec::new();
        let mut queue: std::collections::VecDeque<(u32, u32)> = crossed.into();
        while let Some((r, l)) = queue.pop_front() {
            let Some((t, k)) = self.edge(r, l) else { continue };
            let Some((c, d)) = self.tips(t, k) else { continue };
            let p = |v: u32| self.points[v as usize];
            // Strictly convex: the new edge from d to c leaves r and l on either side.
            let (at_r, at_l) = (side(p(d), p(c), p(r)), side(p(d), p(c), p(l)));
            if at_r.signum() * at_l.signum() >= 0 {
                queue.push_back((r, l));
                continue;
            }
            self.turn(t, k);
            if (c == a && d == end) || (c == end && d == a) {
                continue;
            }
            if cross_properly(pa, p_end, self.points[c as usize], self.points[d as usize]) {
                queue.push_back((c, d));
            } else {
                made.push((c, d));
            }
        }
        if let Some((t, k)) = self.edge(a, end) {
            self.mark(t, k, kind);
        }
        self.doubtful.extend(made);
        self.settle();
        Ok(end)
    }
}
