//! Pieces that are cut off from the rest of their half: absorbed where they are small or shallow, else joined to it.

use super::aside::{self, along};
use super::labels::{self, Task};
use super::regions::Regions;
use super::surface::NONE;
use crate::mesh::tree::Tree;
use crate::plan::Half;
use crate::solve::run::{Cancelled, Run};
use std::cmp::Reverse;
use std::collections::BinaryHeap;

/// Below which a piece is given to the half round it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Smallest {
    /// Area of the piece, mm².
    pub area_mm2: f64,
    /// Depth of the undercut that giving it away makes, millimetres.
    pub depth_mm: f64,
}

/// Rounds after which what is left is left: each can only take islands away, but a new cut may bring new ones.
const ROUNDS: usize = 4;

/// Gives small and shallow islands to the half round them and joins larger ones to the rest of their half by the
/// cheapest strip of surface, after which the cut is made anew. An island stays where the strip would have to cross
/// more hidden area than giving the island away would leave. Hand work is never changed, and always joined.
pub fn settle(
    task: &Task,
    tree: &Tree,
    smallest: Smallest,
    mut halves: Vec<Half>,
    run: &Run,
) -> Result<Vec<Half>, Cancelled> {
    let by_hand: Vec<bool> = task.forced.iter().map(|f| f.is_some()).collect();
    let mut forced = task.forced.to_vec();
    for _ in 0..ROUNDS {
        absorb(task, &by_hand, tree, smallest, &mut halves, run)?;
        let before = forced.clone();
        join(task, &by_hand, &halves, &mut forced, run)?;
        if forced == before {
            break;
        }
        halves = labels::label(&Task { forced: &forced, ..*task }, run)?;
    }
    absorb(task, &by_hand, tree, smallest, &mut halves, run)?;
    Ok(halves)
}

fn absorb(
    task: &Task,
    by_hand: &[bool],
    tree: &Tree,
    smallest: Smallest,
    halves: &mut [Half],
    run: &Run,
) -> Result<(), Cancelled> {
    loop {
        run.check()?;
        let regions = Regions::of(task.surface, halves);
        if regions.list.iter().all(|r| r.main) {
            return Ok(());
        }
        let triangles = regions.triangles();
        let mut islands: Vec<usize> = (0..regions.list.len()).filter(|&r| !regions.list[r].main).collect();
        islands.sort_by(|&a, &b| regions.list[a].area_mm2.total_cmp(&regions.list[b].area_mm2).then(a.cmp(&b)));
        // An island may lie in another; giving both away at once would only swap them.
        let mut given = vec![false; regions.list.len()];
        let mut changed = false;
        for r in islands {
            let (region, own) = (regions.list[r], &triangles[r]);
            let beside_given = own.iter().any(|&f| {
                task.surface.across[f as usize].iter().any(|&g| g != NONE && given[regions.of[g as usize] as usize])
            });
            if beside_given || own.iter().any(|&f| by_hand[f as usize]) {
                continue;
            }
            let other = region.half.other();
            let hidden = task.visibility.from(other);
            let small = region.area_mm2 < smallest.area_mm2
                || hidden_area(task, own, other) < smallest.area_mm2
                || aside::depth(task.surface, tree, own, along(task.draw, other), hidden, run)?
                    < smallest.depth_mm as f32;
            if small {
                own.iter().for_each(|&f| halves[f as usize] = other);
                given[r] = true;
                changed = true;
            }
        }
        if !changed {
            return Ok(());
        }
    }
}

fn hidden_area(task: &Task, triangles: &[u32], half: Half) -> f64 {
    let hidden = task.visibility.from(half);
    triangles.iter().map(|&f| (hidden[f as usize] * task.surface.area_mm2[f as usize]) as f64).sum()
}

/// Forces, for every island, the cheapest strip that joins it to the main piece of its half.
fn join(
    task: &Task,
    by_hand: &[bool],
    halves: &[Half],
    forced: &mut [Option<Half>],
    run: &Run,
) -> Result<(), Cancelled> {
    let regions = Regions::of(task.surface, halves);
    let triangles = regions.triangles();
    for (r, region) in regions.list.iter().enumerate() {
        if region.main {
            continue;
        }
        run.check()?;
        let Some(strip) = strip(task, halves, &regions, &triangles[r], forced, run)? else { continue };
        // What a person forced cannot be given away, so it is joined at any price.
        let must = triangles[r].iter().any(|&f| by_hand[f as usize]);
        if must || hidden_area(task, &strip, region.half) < hidden_area(task, &triangles[r], region.half.other()) {
            for &f in &strip {
                forced[f as usize] = Some(region.half);
            }
        }
    }
    Ok(())
}

/// The triangles between an island and the main piece of its half along the cheapest way over triangles of the other
/// half (Dijkstra 1959 on the dual graph), both ends left out.
fn strip(
    task: &Task,
    halves: &[Half],
    regions: &Regions,
    island: &[u32],
    forced: &[Option<Half>],
    run: &Run,
) -> Result<Option<Vec<u32>>, Cancelled> {
    let surface = task.surface;
    let half = halves[island[0] as usize];
    let hidden = task.visibility.from(half);
    let mut cost = vec![f64::INFINITY; surface.len()];
    let mut from = vec![NONE; surface.len()];
    let mut heap = BinaryHeap::new();
    for &f in island {
        cost[f as usize] = 0.0;
        heap.push(Reverse((Key(0.0), f)));
    }
    let mut steps = 0u32;
    while let Some(Reverse((Key(so_far), f))) = heap.pop() {
        steps += 1;
        if steps.is_multiple_of(4096) {
            run.check()?;
        }
        let f = f as usize;
        if so_far > cost[f] {
            continue;
        }
        if so_far > 0.0 && halves[f] == half && regions.list[regions.of[f] as usize].main {
            let mut strip = Vec::new();
            let mut at = from[f];
            while at != NONE && cost[at as usize] > 0.0 {
                strip.push(at);
                at = from[at as usize];
            }
            return Ok(Some(strip));
        }
        for &g in &surface.across[f] {
            if g == NONE || forced[g as usize] == Some(half.other()) {
                continue;
            }
            let g = g as usize;
            let way = surface.centroid[g] - surface.centroid[f];
            let length = way.length().max(f32::MIN_POSITIVE);
            let steep = (way.dot(task.draw) / length).powi(2);
            // Two lines run along a strip.
            let mut step = 2.0 * (length * (1.0 + super::energy::ALONG_DRAW as f32 * steep)) as f64;
            if task.shown.get(g).copied().unwrap_or(false) {
                step *= super::energy::ON_SHOWN;
            }
            step += super::energy::HIDDEN_PER_MM * (surface.area_mm2[g] * hidden[g]) as f64;
            let total = so_far + step.max(1e-12);
            if total < cost[g] {
                cost[g] = total;
                from[g] = f as u32;
                heap.push(Reverse((Key(total), g as u32)));
            }
        }
    }
    Ok(None)
}

/// A finite cost that can be ordered.
#[derive(PartialEq)]
struct Key(f64);

impl Eq for Key {}
impl Ord for Key {
    fn cmp(&self, other: &Key) -> std::cmp::Ordering {
        self.0.total_cmp(&other.0)
    }
}
impl PartialOrd for Key {
    fn partial_cmp(&self, other: &Key) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}
