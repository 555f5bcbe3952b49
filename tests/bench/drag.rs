//! A vent dragged on a part: from the new plan to its new findings, which must fit into one frame of 16 ms.

use crate::shapes::bumpy;
use glam::DVec3;
use mouldbench::mesh::write_stl;
use mouldbench::plan::{Plan, Unit};
use mouldbench::shop::Shop;
use mouldbench::solve::run::Run;
use mouldbench::study::bench::Bench;
use mouldbench::study::findings::judge;
use mouldbench::study::propose::{bare_plan, propose_vents_into};
use std::time::Instant;

/// Prints the table.
pub fn run() {
    println!("drag: milliseconds from a moved vent to its findings");
    println!("triangles   first facts   propose vents, with walls   vents   best   middle   worst of 60");
    for level in [5, 6, 7, 8] {
        let mesh = bumpy(level, None);
        let folder = tempfile::tempdir().expect("a folder");
        let mut file = std::fs::File::create(folder.path().join("part.stl")).expect("made");
        write_stl::write(&mut file, &mesh, DVec3::ZERO).expect("written");
        let bench = Bench::new(Shop::bundled().clone(), []);
        bench.set_folder(Some(folder.path()));
        let run = Run::new();
        let mut plan: Plan = bare_plan("Part", "part.stl", "", Unit::Millimetre);
        let start = Instant::now();
        bench.quick_facts(&plan, &run).expect("facts");
        let first_s = start.elapsed().as_secs_f64();
        let start = Instant::now();
        propose_vents_into(&bench, &mut plan, &mut Vec::new(), &run).expect("vents");
        let propose_s = start.elapsed().as_secs_f64();
        bench.quick_facts(&plan, &run).expect("facts");
        let home = plan.vents[0].at.position;
        let mut times: Vec<f64> = (0..60)
            .map(|i| {
                plan.vents[0].at.position = home + DVec3::new(0.1 * i as f64, 0.05 * i as f64, 0.0);
                let start = Instant::now();
                let facts = bench.quick_facts(&plan, &run).expect("facts");
                std::hint::black_box(judge(&plan, bench.shop(), &facts));
                start.elapsed().as_secs_f64() * 1e3
            })
            .collect();
        times.sort_by(f64::total_cmp);
        println!(
            "{:9}   {first_s:9.2} s   {propose_s:23.2} s   {:5}   {:4.2}   {:6.2}   {:5.2}",
            mesh.triangles.len(),
            plan.vents.len(),
            times[0],
            times[30],
            times[59]
        );
    }
}
