//! Our side of `tests/peers/compare.py`: the same work on the demo handle, or on the STL file that `PEERS_MESH` names.
//!
//! What the libraries must work on to do the very same is written to `target/peers`: the rays, the
//! cells of the distance and the graph of the parting. Each line is a topic, seconds, and values, parted by tabs.

use glam::{DVec3, Vec3};
use mouldbench::mesh::Bounds;
use mouldbench::mesh::boolean::unite;
use mouldbench::mesh::measure::Measures;
use mouldbench::mesh::read_stl;
use mouldbench::mesh::solids::cylinder;
use mouldbench::mesh::topology::Topology;
use mouldbench::mesh::tree::Tree;
use mouldbench::plan::file;
use mouldbench::solve::cells::Cells;
use mouldbench::solve::closed_surface::ClosedSurface;
use mouldbench::solve::creep::Creep;
use mouldbench::solve::march::{March, start_ball};
use mouldbench::solve::multigrid::Multigrid;
use mouldbench::solve::run::Run;
use mouldbench::solve::surface_tree::SurfaceTree;
use mouldbench::study::parting::labels::{Task, force_extremes, network};
use mouldbench::study::parting::surface::Surface;
use mouldbench::study::parting::visibility::Visibility;
use rayon::prelude::*;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::Instant;

/// Cells along the longest side of the box.
const ALONG: f64 = 256.0;

fn best<T>(times: usize, mut work: impl FnMut() -> T) -> (f64, T) {
    let timed = |work: &mut dyn FnMut() -> T| {
        let start = Instant::now();
        let done = work();
        (start.elapsed().as_secs_f64(), done)
    };
    let first = timed(&mut work);
    (1..times).map(|_| timed(&mut work)).fold(first, |a, b| if b.0 < a.0 { b } else { a })
}

/// Origin and direction of rays from anywhere in the box of the mesh to anywhere (xorshift: Marsaglia 2003).
fn rays(bounds: Bounds) -> Vec<[Vec3; 2]> {
    let mut state = 0x9e37_79b9_7f4a_7c15u64;
    let mut roll = || {
        state ^= state << 13;
        state ^= state >> 7;
        state ^= state << 17;
        (state >> 40) as f32 / (1u32 << 24) as f32
    };
    let mut point = || Vec3::new(roll(), roll(), roll());
    (0..1_000_000).map(|_| [bounds.min + point() * bounds.size(), (point() - 0.5).normalize_or(Vec3::X)]).collect()
}

/// Prints the lines.
pub fn run() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let path = std::env::var_os("PEERS_MESH").map_or_else(|| root.join("assets/demo/handle.stl"), PathBuf::from);
    let out = root.join("target/peers");
    std::fs::create_dir_all(&out).expect("a folder");
    let run = Run::new();

    let (read_s, (mesh, centre, measures, topology)) = best(5, || {
        let read_stl::Reading { mesh, centre, .. } = read_stl::read(&path, 1.0).expect("a mesh");
        let (measures, topology) = (Measures::of(&mesh), Topology::of(&mesh));
        (mesh, centre, measures, topology)
    });
    println!(
        "read\t{read_s:.4}\ttriangles {}, vertices {}, volume_mm3 {:.3}, area_mm2 {:.3}, bodies {}",
        mesh.triangles.len(),
        mesh.positions.len(),
        measures.volume_mm3,
        measures.area_mm2,
        topology.bodies
    );

    let (bounds, tree) = (mesh.bounds(), Tree::of(&mesh));
    let rays = rays(bounds);
    let (rays_s, hits) = best(3, || {
        let hits = |[origin, way]: &&[Vec3; 2]| tree.first_hit(*origin, *way, f32::INFINITY).is_some();
        rays.par_iter().filter(hits).count()
    });
    println!("rays\t{rays_s:.4}\t{:.4} of them hit, all threads", hits as f64 / rays.len() as f64);
    // In the coordinates of the file.
    let numbers = rays.iter().flat_map(|[o, way]| [*o + centre.as_vec3(), *way]).flat_map(|v| v.to_array());
    std::fs::write(out.join("rays.bin"), numbers.flat_map(f32::to_le_bytes).collect::<Vec<u8>>()).expect("written");

    let cell_mm = f64::from(bounds.size().max_element()) / ALONG;
    let (fill_s, cells) = best(5, || Cells::fill(&mesh, cell_mm, &run).expect("closed"));
    println!("fill\t{fill_s:.4}\t{} cells, volume {:.1} mm3", cells.len(), cells.volume_mm3());

    let (march_s, march) = best(9, || {
        let mut march = March::new(&cells);
        march.run(&start_ball(&cells, cells.centre(0), 0.0, 2, |_| true), &run).expect("nobody cancels");
        march
    });
    let most = (0..cells.len() as u32).map(|c| march.mm(c)).filter(|mm| mm.is_finite()).fold(0.0, f32::max);
    println!("distance\t{march_s:.4}\tlongest {most:.2} mm");
    let places: Vec<u8> = (0..cells.len() as u32)
        .flat_map(|c| cells.place(c).to_array().map(|p| p as u16))
        .flat_map(u16::to_le_bytes)
        .collect();
    std::fs::write(out.join("cells.bin"), places).expect("written");
    std::fs::write(out.join("cells.txt"), format!("{cell_mm}\n")).expect("written");

    // One pressure on the same cells, held at the first hundred and a very little everywhere, with something flowing in everywhere.
    let volume = measures.volume_mm3;
    let creep = Creep::new(cells.clone(), &tree, volume, |_| None, &run).expect("not cancelled");
    let (pressure_s, (solved, most)) = best(3, || {
        let mut grid = Multigrid::new(&cells, &run).expect("not cancelled");
        grid.set(|c| creep.link_mm3[c as usize], |c| if c < 100 { 1.0 } else { 1e-6 });
        let mut x = vec![0.0; cells.len()];
        let solved = grid.solve(&vec![1e-3; cells.len()], &mut x, 1e-8, 300, &run).expect("not cancelled");
        (solved, x.iter().fold(0.0f64, |a, b| a.max(*b)))
    });
    println!("pressure\t{pressure_s:.4}\t{} steps, highest {most:.3}", solved.steps);
    let neighbours = cells.neighbours().iter().flatten().flat_map(|n| n.to_le_bytes()).collect::<Vec<u8>>();
    std::fs::write(out.join("neighbours.bin"), neighbours).expect("written");
    let links = creep.link_mm3.iter().flatten().flat_map(|w| w.to_le_bytes()).collect::<Vec<u8>>();
    std::fs::write(out.join("links.bin"), links).expect("written");

    let (mesh, tree) = (Arc::new(mesh), Arc::new(tree));
    let (join_s, join) = best(5, || {
        let surface = Arc::new(ClosedSurface::new(mesh.clone(), tree.clone(), &run).expect("closed"));
        SurfaceTree::new(&surface, DVec3::Z, &run).expect("closed").tree
    });
    let lasting = (0..join.branches.len() as u32)
        .filter(|&b| join.is_leaf(b))
        .filter(|&leaf| {
            // The way down from a summit until it is joined by a higher one.
            let summit = join.branches[leaf as usize].summit;
            let mut at = leaf;
            while let Some(parent) = join.branches[at as usize].parent
                && join.branches[parent as usize].summit_item == join.branches[leaf as usize].summit_item
            {
                at = parent;
            }
            join.branches[at as usize].parent.is_none() || summit - join.branches[at as usize].bottom >= 1.0
        })
        .count();
    println!("components\t{join_s:.4}\t{lasting} that last 1 mm, +Z up");

    let surface = Surface::new(&mesh, &run).expect("not cancelled");
    let draw = file::read(&root.join("projects/handle.ron")).expect("the demo plan").parting.draw.as_vec3();
    let visibility = Visibility::of(&surface, &tree, draw, &run).expect("not cancelled");
    let mut forced = vec![None; surface.len()];
    force_extremes(&surface, &visibility, draw, &mut forced);
    let task = Task { surface: &surface, visibility: &visibility, draw, shown: &[], forced: &forced };
    let graph = network(&task, &run).expect("not cancelled");
    let (cut_s, cut) = best(5, || graph.minimum_cut(&run).expect("not cancelled"));
    // What goes through a node straight to the sink is no work for anybody.
    let flow = cut.flow - graph.through();
    println!("cut\t{cut_s:.4}\tflow {flow}, {} nodes, {} edges", graph.nodes(), graph.edges().count());
    let mut file = std::io::BufWriter::new(std::fs::File::create(out.join("cut.txt")).expect("made"));
    writeln!(file, "{} {}", graph.nodes(), graph.edges().count()).expect("written");
    for capacity in graph.terminals() {
        writeln!(file, "{capacity}").expect("written");
    }
    for (a, b, forth, back) in graph.edges() {
        writeln!(file, "{a} {b} {forth} {back}").expect("written");
    }
    file.flush().expect("written");

    let middle = bounds.centre();
    let height = bounds.size().z + 10.0;
    let rod = cylinder(middle, middle + Vec3::Z * height, 3.0, 48);
    let (union_s, one) = best(3, || unite(&[&mesh, &rod]).expect("united"));
    println!("union\t{union_s:.4}\tvolume {:.3} mm3", Measures::of(&one).volume_mm3);
}
