//! The whole check of the demo handle, as it is and with its walls cut ever finer: every fact alone, then all together.

use mouldbench::mesh::refine::refine;
use mouldbench::mesh::{read_stl, write_stl};
use mouldbench::plan::file;
use mouldbench::shop::Shop;
use mouldbench::solve::run::Run;
use mouldbench::study::bench::Bench;
use std::path::Path;
use std::time::Instant;

fn seconds<T>(work: impl FnOnce() -> T) -> (T, f64) {
    let start = Instant::now();
    let done = work();
    (done, start.elapsed().as_secs_f64())
}

/// Prints the table.
pub fn run() {
    println!("check: seconds");
    println!("triangles   quick facts   cavity   parting   walls   flow   all together, from the file");
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let coarse = read_stl::read(&root.join("assets/demo/handle.stl"), 1.0).expect("the demo part");
    for budget in [0, 100_000, 367_000] {
        let mesh = refine(&coarse.mesh, 0.0, budget).mesh;
        let folder = tempfile::tempdir().expect("a folder");
        let mut part = std::fs::File::create(folder.path().join("handle.stl")).expect("made");
        write_stl::write(&mut part, &mesh, coarse.centre).expect("written");
        let mut plan = file::read(&root.join("projects/handle.ron")).expect("the demo plan");
        plan.parts[0].mesh = "handle.stl".into();
        plan.parts[0].digest.clear();
        let run = Run::new();
        let fresh = || {
            let bench = Bench::new(Shop::bundled().clone(), []);
            bench.set_folder(Some(folder.path()));
            bench
        };
        let bench = fresh();
        let (quick, quick_s) = seconds(|| bench.quick_facts(&plan, &run).expect("facts"));
        let (setting, body) = (quick.setting, quick.body.expect("a body"));
        let (_, cavity_s) = seconds(|| bench.cavity(&setting, &body, &run).expect("a cavity"));
        let (_, parting_s) = seconds(|| bench.parting(&plan, &setting, &body, &run).expect("a parting"));
        let (_, walls_s) = seconds(|| bench.walls(&body, &run).expect("walls"));
        let (_, flow_s) = seconds(|| bench.flow(&plan, &setting, &body, &run).expect("a flow"));
        let bench = fresh();
        let (_, all_s) = seconds(|| bench.facts(&plan, &run).expect("facts"));
        println!(
            "{:9}   {quick_s:11.2}   {cavity_s:6.2}   {parting_s:7.2}   {walls_s:5.2}   {flow_s:4.2}   {all_s:8.2}",
            mesh.triangles.len()
        );
    }
}
