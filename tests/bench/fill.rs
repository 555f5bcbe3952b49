//! The fill of a plate: one pressure, the whole fill, and the first picture of it.

use glam::Vec3;
use mouldbench::mesh::measure::Measures;
use mouldbench::mesh::solids;
use mouldbench::mesh::topology::Topology;
use mouldbench::mesh::tree::Tree;
use mouldbench::solve::cells::Cells;
use mouldbench::solve::creep::Creep;
use mouldbench::solve::run::Run;
use mouldbench::study::job::thickness::Thickness;
use mouldbench::study::pour::fill::drive::{Drive, Inlet, Outlet, channel_resistance};
use mouldbench::study::pour::fill::fineness::Fineness;
use mouldbench::study::pour::fill::viscosity::Pace;
use mouldbench::study::pour::fill::{Mouth, Pour, fill};
use std::time::Instant;

/// Prints the table.
pub fn run() {
    println!("fill of a plate 3 mm thick, seconds");
    println!("cells     prepare   one pressure (steps)   first picture   whole fill (share full)");
    let run = Run::new();
    for long in [75.0f32, 150.0, 300.0] {
        let mesh = solids::cuboid(Vec3::ZERO, Vec3::new(long, 0.63 * long, 3.0));
        let tree = Tree::of(&mesh);
        let walls = Thickness::of(&mesh, &tree, &Topology::of(&mesh), &run).expect("not cancelled");
        let mouth = |x: f32| Mouth { centre: Vec3::new(x * long, 0.3 * long, 3.0), radius_mm: 2.0 };
        let pace = Pace { viscosity_pa_s: 0.6, tau_s: 476.0, pot_life_s: 330.0 };
        let pour = Pour {
            mouths: vec![mouth(0.1), mouth(0.95)],
            drive: Drive {
                inlets: vec![Inlet {
                    opening: 0,
                    level_mm: 90.0,
                    over_pa: 0.0,
                    resistance: channel_resistance(60.0, 4.0),
                }],
                outlets: vec![Outlet {
                    opening: 1,
                    radius_mm: Some(1.0),
                    length_mm: 60.0,
                    rise_mm: 60.0,
                    height_mm: 3.0,
                }],
                up: Vec3::Z,
                weight_pa_mm: 10.8,
                outside_pa: 500.0,
                until: 0.0,
            },
            cup: pace,
            mould: pace,
            fineness: Fineness { cell_budget: 1e6, ..Fineness::USUAL },
            bubble_mm: 1.0,
        };
        let start = Instant::now();
        let cells = Cells::fill(&mesh, 0.75, &run).expect("closed");
        let ends = |p: Vec3| pour.mouths.iter().position(|m| m.centre.distance(p) <= m.radius_mm).map(|i| i as u16);
        let mut creep = Creep::new(cells, &tree, Measures::of(&mesh).volume_mm3, ends, &run).expect("not cancelled");
        let prepare_s = start.elapsed().as_secs_f64();
        let start = Instant::now();
        let (_, solved) = creep.pressure(|o| Some(o as f64), &run).expect("not cancelled");
        let pressure_s = start.elapsed().as_secs_f64();
        let start = Instant::now();
        let mut first_s = None;
        let filled = fill(&mesh, &tree, &walls, &pour, &run, |_| {
            first_s.get_or_insert(start.elapsed().as_secs_f64());
        })
        .expect("a fill");
        println!(
            "{:8}  {prepare_s:8.3}  {pressure_s:13.3} ({:2})  {:14.2}   {:8.2} ({:.3})",
            filled.cells,
            solved.steps,
            first_s.unwrap_or(f64::NAN),
            start.elapsed().as_secs_f64(),
            filled.filled_share
        );
    }
}
