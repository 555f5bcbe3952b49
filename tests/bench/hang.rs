//! The search for a way up: the whole of it by every criterion, and the time until a first answer can be shown.

use crate::shapes::bumpy;
use glam::DVec3;
use mouldbench::mesh::write_stl;
use mouldbench::plan::Unit;
use mouldbench::shop::Shop;
use mouldbench::solve::run::Run;
use mouldbench::study::bench::Bench;
use mouldbench::study::propose::bare_plan;
use std::time::Instant;

/// Prints the table.
pub fn run() {
    println!("ways up: seconds on the clock; directions measured");
    println!("triangles   first shown   whole   directions");
    for level in [5, 6, 7] {
        let mesh = bumpy(level, Some(0.5));
        let folder = tempfile::tempdir().expect("a folder");
        let mut file = std::fs::File::create(folder.path().join("part.stl")).expect("made");
        write_stl::write(&mut file, &mesh, DVec3::ZERO).expect("written");
        let bench = Bench::new(Shop::bundled().clone(), []);
        bench.set_folder(Some(folder.path()));
        let (plan, run) = (bare_plan("Part", "part.stl", "", Unit::Millimetre), Run::new());
        let setting = bench.setting(&plan).expect("set");
        let subject = bench.hang_subject(&plan, &setting, &run).expect("a body");
        let begun = Instant::now();
        let mut first = None;
        let watch = |_: &_| {
            first.get_or_insert_with(|| begun.elapsed().as_secs_f64());
        };
        let found = bench.hang_search(&plan, &setting, &subject, &run, watch).expect("nobody cancels");
        let whole = begun.elapsed().as_secs_f64();
        println!(
            "{:9}   {:11.2}   {whole:5.1}   {}",
            mesh.triangles.len(),
            first.unwrap_or(f64::NAN),
            found.scored.len()
        );
    }
}
