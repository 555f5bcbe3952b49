//! `hang`: ways up of bare meshes or of a plan, measured by every criterion, as the window's map has them.

use super::arguments::HangArguments;
use super::check::shop;
use super::plan::bare_set;
use super::{CLEAR, of_file, print_json, print_text, say_changed};
use crate::plan::{HangWeights, Plan, Unit, file};
use crate::sheet::figures::area;
use crate::solve::run::Run;
use crate::study::bench::Bench;
use crate::study::job::loose_bodies::first_not_said;
use crate::study::ways_up::candidates::candidates;
use crate::study::ways_up::{Criterion, HangSearch, Scored, words};
use serde::Serialize;
use std::collections::BTreeMap;
use std::path::PathBuf;

/// What `hang --json` prints.
#[derive(Serialize)]
struct Hangs {
    /// Unit of the first mesh.
    unit: &'static str,
    /// Every kind of part that was measured.
    parts: Vec<OfKind>,
    /// Why high points and air could not be counted.
    no_air: Option<String>,
    /// What each criterion is worth, in high points.
    weights: BTreeMap<&'static str, f64>,
    /// As the plan hangs; bare meshes as they lie: their Z up.
    as_drawn: Way,
    /// A few that lie well apart and trade different things, the best first.
    candidates: Vec<Way>,
    /// Every direction that was measured, the best first.
    directions: Vec<Way>,
}

/// Parts of one mesh.
#[derive(Serialize)]
struct OfKind {
    name: String,
    mesh: String,
    unit: &'static str,
    #[serde(skip)]
    read_in: &'static str,
    in_the_block: u32,
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
    /// Recesses of the master that keep air while rubber is poured, and that air.
    rubber_recesses: Option<usize>,
    rubber_air_mm3: Option<f64>,
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
    let (plan, as_it_is) = plan_of(&bench, arguments)?;
    let run = Run::new();
    let said = of_file(&arguments.files[0]);
    let setting = bench.setting(&plan).map_err(&said)?;
    say_changed(&plan, &setting);
    if let Some((i, n)) = first_not_said(&plan, &setting.placed.loaded) {
        eprintln!("{n} bodies that do not touch are measured as one part: {}", plan.parts[i].mesh);
    }
    let subject = bench.hang_subject(&plan, &setting, &run).map_err(&said)?;
    let found = bench.hang_search(&plan, &setting, &subject, &run, |_| ()).map_err(&said)?;
    let hangs = Hangs::of(&found, &plan);
    if arguments.json {
        print_json(&hangs)?;
    } else {
        print_text(&hangs.in_words(as_it_is))?;
    }
    Ok(CLEAR)
}

/// The plan that is named, or one of bare meshes, and what its own way up is called.
fn plan_of(bench: &Bench, arguments: &HangArguments) -> Result<(Plan, &'static str), String> {
    let is_plan = |p: &PathBuf| p.extension().is_some_and(|e| e.eq_ignore_ascii_case("ron"));
    match &arguments.files[..] {
        [one] if is_plan(one) => {
            if arguments.unit.is_some() {
                return Err("A plan holds the unit of each of its meshes; leave --unit out".into());
            }
            bench.set_folder(one.parent());
            Ok((file::read(one).map_err(|e| e.to_string())?, "as hung"))
        }
        several if several.iter().any(is_plan) => {
            Err("A plan holds its parts already; name one plan alone, or meshes".into())
        }
        meshes => Ok((bare_set(bench, None, meshes, &[], arguments.unit)?, "as drawn")),
    }
}

impl Hangs {
    fn of(found: &HangSearch, plan: &Plan) -> Hangs {
        let weights: &HangWeights = &plan.hang.weights;
        let of_kind = |kind: crate::plan::Kind| {
            let part = &plan.parts[kind.parts[0]];
            let in_the_block = kind.a_shot();
            OfKind {
                name: kind.name,
                mesh: part.mesh.clone(),
                unit: part.unit.sign(),
                read_in: part.unit.name(),
                in_the_block,
            }
        };
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
                rubber_recesses: c.rubber_recesses,
                rubber_air_mm3: c.rubber_air_mm3,
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
            unit: plan.parts.first().map_or(Unit::Millimetre, |p| p.unit).sign(),
            parts: plan.kinds().into_iter().map(of_kind).collect(),
            no_air: found.no_air.clone(),
            weights: Criterion::ALL.iter().map(|c| (c.key(), c.weight(weights))).collect(),
            as_drawn: way(&found.hung, None),
            candidates: candidates(found, weights).iter().map(told).collect(),
            directions: order.iter().map(|i| way(&found.scored[*i], None)).collect(),
        }
    }

    fn in_words(&self, as_it_is: &str) -> String {
        let mut text = String::new();
        for part in &self.parts {
            let copies =
                if part.in_the_block > 1 { format!(", {} in the block", part.in_the_block) } else { String::new() };
            text += &format!("{}, read in {}{copies}\n", part.mesh, part.read_in);
        }
        text += &format!("  {} directions measured\n", self.directions.len());
        if let Some(why) = &self.no_air {
            text += &format!("  high points and air could not be counted: {why}\n");
        }
        text += &format!("  {as_it_is}: {}\n", self.as_drawn.in_short());
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
        let counted = |n: Option<usize>, one: &str, more: &str| {
            let number = n.map_or("–".to_owned(), |n| n.to_string());
            format!("{number} {}", if n == Some(1) { one } else { more })
        };
        format!(
            "{}, {} with air in the rubber, {} near-level ceiling, {:.0} mm tall, undercut {} for a level draw and {} \
             upright; score {:.2}, less is better",
            counted(self.high_points, "high point", "high points"),
            counted(self.rubber_recesses, "recess", "recesses"),
            area(self.near_level_mm2),
            self.height_mm,
            area(self.undercut_level_mm2),
            area(self.undercut_upright_mm2),
            self.total
        )
    }
}
