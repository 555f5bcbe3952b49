//! `inspect`: what a mesh is and what is wrong with it.

use super::arguments::InspectArguments;
use super::{CLEAR, print_json, print_text};
use crate::shop::Shop;
use crate::study::bench::Bench;
use crate::study::job::part_figures::PartReport;
use serde::Serialize;

/// What `inspect --json` prints.
#[derive(Serialize)]
struct Inspection {
    part: PartReport,
    unit: &'static str,
    #[serde(skip)]
    read_in: &'static str,
    repairs: Vec<String>,
    problems: Vec<Problem>,
}

/// Something wrong with the mesh.
#[derive(Serialize)]
struct Problem {
    message: String,
    position_mm: Option<[f64; 3]>,
}

pub fn run(arguments: &InspectArguments) -> Result<u8, String> {
    let bench = Bench::new(Shop::bundled().clone(), []);
    let name = arguments.mesh.to_string_lossy();
    let loaded = match arguments.unit {
        Some(unit) => bench.load(&name, unit.into()),
        None => bench.load_guessed(&name),
    }
    .map_err(|e| e.to_string())?;
    let part = loaded.report();
    let problems: Vec<Problem> = loaded
        .problems()
        .into_iter()
        .map(|(message, at)| Problem { message, position_mm: at.map(|p| (p.as_dvec3() + loaded.centre).to_array()) })
        .collect();
    let (unit, read_in) = (loaded.unit.sign(), loaded.unit.name());
    let inspection = Inspection { part, unit, read_in, repairs: loaded.repairs.clone(), problems };
    if arguments.json {
        print_json(&inspection)?;
    } else {
        print_text(&in_words(&inspection, &name))?;
    }
    Ok(CLEAR)
}

fn in_words(inspection: &Inspection, name: &str) -> String {
    let part = &inspection.part;
    let [low, high] = part.bounds_mm;
    let mut text = format!(
        "{name}, read in {}\n  {} triangles, {} vertices, {}, {}\n  {:.2} × {:.2} × {:.2} mm, volume {:.3} cm³, area {:.2} cm²\n",
        inspection.read_in,
        part.triangles,
        part.vertices,
        if part.bodies == 1 { "one body".to_owned() } else { format!("{} bodies", part.bodies) },
        if part.watertight { "closed" } else { "not closed" },
        high[0] - low[0],
        high[1] - low[1],
        high[2] - low[2],
        part.volume_mm3 / 1000.0,
        part.area_mm2 / 100.0,
    );
    for repair in &inspection.repairs {
        text += &format!("  put right: {repair}\n");
    }
    let n = part.pieces;
    if n > 1 {
        text += &format!(
            "  to be said: {n} bodies do not touch: one part of {n} bodies, or {n} parts of a set (`plan` asks with \
             --bodies one|each)\n"
        );
    }
    for problem in &inspection.problems {
        text += &format!("  wrong: {}\n", problem.message);
    }
    if inspection.problems.is_empty() && n < 2 {
        text += "  nothing wrong\n";
    }
    text
}
