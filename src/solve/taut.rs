//! A rough path inside a solid pulled taut.
//!
//! A thread through free space, pulled at its ends, runs straight between the edges that it wraps round: the shortest
//! path in its class of homotopy. Every step below keeps the thread free, so the result is never shorter than the
//! true shortest path and its length needs no grid.

use crate::solve::run::{Cancelled, Run};
use glam::Vec3;

/// Bisections of one move; the thread comes to within 2⁻¹⁰ of each move's length of what it wraps round.
const HALVINGS: u32 = 10;
/// Rounds of tightening that are enough for a thread to lie still, by far.
pub const ROUNDS: usize = 60;

/// Most rounds of sliding.
const SLIDES: usize = 40;

/// Length of a polyline.
pub fn length(path: &[Vec3]) -> f64 {
    path.windows(2).map(|p| p[0].as_dvec3().distance(p[1].as_dvec3())).sum()
}

/// Pulls `path` taut between its ends. `free(a, b)` says whether the straight line from a to b stays in the solid; the
/// legs of `path` must be free. Corners are resolved to about `fine` in the units of the points. `rounds` limits the work:
/// [`ROUNDS`] for a length that is final, a few to compare threads.
pub fn pull(
    path: &[Vec3],
    fine: f32,
    rounds: usize,
    free: impl Fn(Vec3, Vec3) -> bool,
    run: &Run,
) -> Result<Vec<Vec3>, Cancelled> {
    let mut thread = shortcut(path, &free, run)?;
    let mut before = length(&thread);
    for round in 0..rounds {
        run.check()?;
        thread = split(&thread, fine);
        // Forwards, then backwards, so that slack is not pushed to one end.
        for _ in 0..2 {
            tighten(&mut thread, &free);
            thread.reverse();
        }
        thread = shortcut(&thread, &free, run)?;
        let now = length(&thread);
        if round > 2 && before - now < 1e-5 * now {
            break;
        }
        before = now;
    }
    for _ in 0..SLIDES.min(rounds) {
        run.check()?;
        if !slide(&mut thread, fine, &free) {
            break;
        }
    }
    shortcut(&thread, &free, run)
}

/// Leaves out every point that can be passed by, looking ever further ahead and then bisecting.
fn shortcut(path: &[Vec3], free: &impl Fn(Vec3, Vec3) -> bool, run: &Run) -> Result<Vec<Vec3>, Cancelled> {
    let mut out = Vec::new();
    let Some(&first) = path.first() else { return Ok(out) };
    out.push(first);
    let mut at = 0;
    while at + 1 < path.len() {
        run.check()?;
        let (mut seen, mut step) = (at + 1, 2);
        let mut hidden = path.len();
        while seen + 1 < hidden {
            let next = if hidden == path.len() && at + step < path.len() {
                at + step
            } else if hidden == path.len() {
                path.len() - 1
            } else {
                (seen + hidden) / 2
            };
            if free(path[at], path[next]) {
                seen = next;
                step *= 2;
            } else {
                hidden = next;
            }
        }
        out.push(path[seen]);
        at = seen;
    }
    Ok(out)
}

/// Puts points on each side of every corner, at a third of the leg, so that corners can be cut.
fn split(thread: &[Vec3], fine: f32) -> Vec<Vec3> {
    let mut out = Vec::with_capacity(3 * thread.len());
    for leg in thread.windows(2) {
        out.push(leg[0]);
        if leg[0].distance(leg[1]) > 3.0 * fine {
            out.push(leg[0].lerp(leg[1], 1.0 / 3.0));
            out.push(leg[0].lerp(leg[1], 2.0 / 3.0));
        }
    }
    out.extend(thread.last());
    out
}

/// Moves each point towards the line between its neighbours as far as both its legs stay free.
fn tighten(thread: &mut [Vec3], free: &impl Fn(Vec3, Vec3) -> bool) {
    for i in 1..thread.len().saturating_sub(1) {
        let (a, p, b) = (thread[i - 1], thread[i], thread[i + 1]);
        let leg = b - a;
        let along =
            if leg.length_squared() > 0.0 { ((p - a).dot(leg) / leg.length_squared()).clamp(0.0, 1.0) } else { 0.0 };
        let goal = a + leg * along;
        let fits = |q: Vec3| free(a, q) && free(q, b);
        if fits(goal) {
            thread[i] = goal;
            continue;
        }
        let (mut low, mut high) = (0.0, 1.0);
        for _ in 0..HALVINGS {
            let middle = 0.5 * (low + high);
            if fits(p.lerp(goal, middle)) { low = middle } else { high = middle }
        }
        thread[i] = p.lerp(goal, low);
    }
}

/// Slides each point along what it hangs on, if that makes the thread shorter: a point that is held by an edge cannot
/// come nearer to the line between its neighbours, but it can move along the edge. It is lifted off, moved aside and
/// let down again towards its neighbours' line. True where anything moved by more than `fine` would show.
fn slide(thread: &mut [Vec3], fine: f32, free: &impl Fn(Vec3, Vec3) -> bool) -> bool {
    let mut moved = false;
    for i in 1..thread.len().saturating_sub(1) {
        let (a, b) = (thread[i - 1], thread[i + 1]);
        let along = (b - a).normalize_or_zero();
        let fits = |q: Vec3| free(a, q) && free(q, b);
        let goal_of = |q: Vec3| a + along * (q - a).dot(along).clamp(0.0, a.distance(b));
        let pull = (goal_of(thread[i]) - thread[i]).normalize_or_zero();
        let across = pull.cross(along);
        let mut step = 0.25 * a.distance(thread[i]).min(thread[i].distance(b));
        while step > 0.1 * fine {
            let p = thread[i];
            let length = |q: Vec3| (a.as_dvec3().distance(q.as_dvec3())) + q.as_dvec3().distance(b.as_dvec3());
            let mut best = (length(p) * (1.0 - 1e-7), p);
            for side in [across, -across, along, -along] {
                let lifted = p + (side - 0.5 * pull) * step;
                if !fits(lifted) {
                    continue;
                }
                let goal = goal_of(lifted);
                let (mut low, mut high) = (0.0, 1.0);
                for _ in 0..HALVINGS + 4 {
                    let middle = 0.5 * (low + high);
                    if fits(lifted.lerp(goal, middle)) { low = middle } else { high = middle }
                }
                let down = lifted.lerp(goal, low);
                if length(down) < best.0 {
                    best = (length(down), down);
                }
            }
            if best.1 == p {
                step *= 0.5;
            } else {
                thread[i] = best.1;
                moved = true;
            }
        }
    }
    moved
}
