//! `hang`: ways up of a bare mesh, measured by every criterion.

use super::arguments::HangArguments;
use super::check::shop;
use super::{CLEAR, print_json};
use crate::plan::HangWeights;
use crate::solve::run::Run;
use crate::study::bench::Bench;
use crate::study::hang_search::candidates::candidates;
use crate::study::hang_search::{Criterion, HangSearch, Scored, words};
use crate::study::propose::bare_plan;
use serde::Serialize;
use std::collections::BTreeMap;

/// What `hang --json` prints.
#[derive(Serialize)]
struct Hangs {
    unit: &'static str,
    /// Why high points and air could not be counted.
    no_air: Option<String>,
    /// What each criterion is worth, in high points.
    weights: BTreeMap<&'static str, f64>,
    /// As the mesh lies: its Z up.
    as_drawn: Way,
    /// A few that lie well apart and trade different things, the best first.
    candidates: Vec<Way>,
    /// Every direction that was measured, the best first.
    directions: Vec<Way>,
}

/// One way up.
#[derive(Serialize)]
struct Way {
    /// The direction of the mesh that points up.
    up: [f32; 3],
    in_words: String,
    /// Cost, in high points; less is better.
    total: f64,
    high_points: Option<usize>,
    air_leaning_mm3: Option<f64>,
    bubble_mm: Option<f64>,
    near_level_mm2: f64,
    height_mm: f64,
    block_mm: [f64; 3],
    block_mm3: f64,
    undercut_level_mm2: f64,
    undercut_upright_mm2: f64,
    /// 0 to 1.
    shown_up: f64,
    /// What it trades against the mesh as drawn.
    #[serde(skip_serializing_if = "Option::is_none")]
    trade_off: Option<String>,
}

pub fn run(arguments: &HangArguments) -> Result<u8, String> {
    let bench = Bench::new(shop(arguments.shop.as_deref())?, []);
    let name = arguments.mesh.to_string_lossy();
    let loaded = match arguments.unit {
        Some(unit) => bench.load(&name, unit.into()),
        None => bench.load_guessed(&name),
    }
    .map_err(|e| e.to_string())?;
    let plan = bare_plan("", &name, &loaded.digest, loaded.unit);
    let run = Run::new();
    let said = |e: crate::study::bench::StudyError| e.to_string();
    let setting = bench.setting(&plan).map_err(said)?;
    let body = bench.body(&plan, &setting, &run).map_err(said)?;
    let found = bench.hang_search(&plan, &setting, &body, &run, |_| ()).map_err(said)?;
    let unit = loaded.unit.sign();
    let hangs = Hangs::of(&found, &plan.hang.weights, unit);
    if arguments.json {
        print_json(&hangs)?;
    } else {
        print!("{}", hangs.in_words(&name));
    }
    Ok(CLEAR)
}

impl Hangs {
    fn of(found: &HangSearch, weights: &HangWeights, unit: &'static str) -> Hangs {
        let totals = found.totals(weights);
        let way = |scored: &Scored, trade_off: Option<String>| {
            let c = &scored.criteria;
            Way {
                up: scored.up.to_array(),
                in_words: words::direction(scored.up),
                total: found.total(c, weights),
                high_points: c.high_points,
                air_leaning_mm3: c.air_mm3,
                bubble_mm: c.bubble_mm,
                near_level_mm2: c.ceiling_mm2,
                height_mm: c.height_mm,
                block_mm: c.block_mm,
                block_mm3: c.block_mm3(),
                undercut_level_mm2: c.undercut_level_mm2,
                undercut_upright_mm2: c.undercut_upright_mm2,
                shown_up: c.shown_up,
                trade_off,
            }
        };
        let told = |i: &usize| {
            let scored = &found.scored[*i];
            way(scored, Some(words::trade_off(&scored.criteria, &found.hung.criteria)))
        };
        let mut order: Vec<usize> = (0..totals.len()).collect();
        order.sort_by(|a, b| totals[*a].total_cmp(&totals[*b]).then(a.cmp(b)));
        Hangs {
            unit,
            no_air: found.no_air.clone(),
            weights: Criterion::ALL.iter().map(|c| (c.key(), c.weight(weights))).collect(),
            as_drawn: way(&found.hung, None),
            candidates: candidates(found, weights).iter().map(told).collect(),
            directions: order.iter().map(|i| way(&found.scored[*i], None)).collect(),
        }
    }

    fn in_words(&self, name: &str) -> String {
        let read = if self.unit == "in" { "inches" } else { "millimetres" };
        let mut text = format!("{name}, read in {read}: {} directions measured\n", self.directions.len());
        if let Some(why) = &self.no_air {
            text += &format!("  high points and air could not be counted: {why}\n");
        }
        text += &format!("  as drawn: {}\n", self.as_drawn.in_short());
        for (n, way) in self.candidates.iter().enumerate() {
            let [x, y, z] = way.up;
            text += &format!("{}. {} (--up {x:.4},{y:.4},{z:.4})\n   {}\n", n + 1, way.in_words, way.in_short());
            if let Some(words) = &way.trade_off {
                text += &format!("   {words}\n");
            }
        }
        text
    }
}

impl Way {
    fn in_short(&self) -> String {
        let counted = |n: Option<usize>| n.map_or("–".to_owned(), |n| n.to_string());
        format!(
            "{} high points, {:.0} mm² near-level ceiling, {:.0} mm tall, undercut {:.0} mm² for a level draw and {:.0} \
             mm² upright; {:.2} in all",
            counted(self.high_points),
            self.near_level_mm2,
            self.height_mm,
            self.undercut_level_mm2,
            self.undercut_upright_mm2,
            self.total
        )
    }
}
