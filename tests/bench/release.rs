//! What lets go of what: undercuts, shut-offs with the holes that they can be moved along, and how slender the rubber stands.

use super::parting::rippled;
use glam::Vec3;
use mouldbench::mesh::tree::{Facing, Tree};
use mouldbench::solve::run::Run;
use mouldbench::study::parting::hole::hole;
use mouldbench::study::parting::loop_kind::LoopKind;
use mouldbench::study::parting::release::rubber::Rubber;
use mouldbench::study::parting::release::shut_offs::shut_offs;
use mouldbench::study::parting::release::undercuts::undercuts;
use mouldbench::study::parting::surface::Surface;
use mouldbench::study::parting::{Leave, Wish, parting_of};
use std::sync::Arc;
use std::time::Instant;

fn timed<T>(work: impl FnOnce() -> T) -> (T, f64) {
    let clock = Instant::now();
    let made = work();
    (made, clock.elapsed().as_secs_f64())
}

/// Prints seconds for 100 thousand and 1 million triangles of a rippled ring, drawn a little beside its axis.
pub fn run() {
    println!("release: seconds");
    println!("triangles  parting  undercuts (found)  shut-offs (found)  their holes  rubber (pieces), of it its tree");
    for (ring, tube) in [(320, 160), (1000, 500)] {
        let mesh = rippled(ring, tube);
        let run = Run::new();
        let draw = Vec3::new(0.2, 0.1, 1.0).normalize();
        let surface = Arc::new(Surface::new(&mesh, &run).expect("not cancelled"));
        let tree = Tree::of(&mesh);
        let leave = Leave { island_mm2: 2.0, undercut_depth_mm: 0.2 };
        let (facts, parting_s) =
            timed(|| parting_of(&surface, &tree, &Wish::along(draw), leave, &run).expect("a parting"));
        let (held, undercuts_s) = timed(|| undercuts(&facts, &tree, 1.0, &run).expect("not cancelled"));
        let (closed, shut_offs_s) = timed(|| shut_offs(&facts, &[]));
        let of_holes = || {
            let own = facts.loops.iter().zip(&facts.lines).filter(|(l, _)| l.kind == LoopKind::ShutOff);
            own.filter_map(|(l, line)| hole(&facts.surface, l, line, &[], draw)).count()
        };
        let (holes, holes_s) = timed(of_holes);
        let (rubber, rubber_s) = timed(|| Rubber::of(&facts, &tree, 10.0, &run).expect("not cancelled"));
        let (_, facing_s) = timed(|| std::hint::black_box(Facing::of(&tree)));
        println!(
            "{:>9} {parting_s:8.2} {undercuts_s:10.2} ({:5}) {shut_offs_s:10.3} ({:5}) {holes_s:8.3} ({holes}) {rubber_s:8.2} ({:4}) {facing_s:12.3}",
            mesh.triangles.len(),
            held.len(),
            closed.len(),
            rubber.pieces.len(),
        );
    }
}
