//! The whole sheet as a PDF for parts of growing size.

#[path = "../sheet/sample.rs"]
mod sample;

use glam::Vec3;
use mouldbench::mesh::solids;
use mouldbench::sheet::make_pdf;
use mouldbench::solve::run::Run;
use std::time::Instant;

pub fn run() {
    for (ring, tube) in [(100, 50), (400, 125), (600, 250), (1000, 500)] {
        let mut job = sample::sample(6, 2, 1);
        job.part = solids::torus(45.0, 14.0, ring, tube);
        job.part.positions.iter_mut().for_each(|p| *p += Vec3::Z * 50.0);
        let start = Instant::now();
        match make_pdf(&job.input(), &Run::new()) {
            Ok(pdf) => println!(
                "sheet  {:>9} triangles  {:>7.0} ms  {:>5} kB",
                job.part.triangles.len(),
                start.elapsed().as_secs_f64() * 1e3,
                pdf.len() / 1000
            ),
            Err(error) => println!("sheet  {error}"),
        }
    }
}
