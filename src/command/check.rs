//! `check`: facts and findings of a plan.

use super::arguments::CheckArguments;
use super::{CLEAR, SOME_STOP, of_file, print_json, print_text};
use crate::plan::{Plan, file};
use crate::shop::Shop;
use crate::solve::run::Run;
use crate::study::bench::{Bench, Facts};
use crate::study::findings::{Severity, judge};
use crate::study::pour::fill::fineness::Fineness;
use crate::study::report::Report;
use crate::study::report::figure_sources::{self, FigureSource};
use crate::study::report::of::report_of;
use std::path::Path;

/// A plan with all that follows from it.
pub struct Checked {
    pub plan: Plan,
    pub bench: Bench,
    pub facts: Facts,
    pub report: Report,
}

/// The shop's data: the bundled, with the file over it that is named, else the user's own if there is one.
pub fn shop(path: Option<&Path>) -> Result<Shop, String> {
    Shop::for_user(path).map_err(|e| e.to_string())
}

/// Computes everything of `plan`, whose file lies in `folder`.
pub fn everything(plan: Plan, folder: Option<&Path>, shop: Shop) -> Result<Checked, String> {
    let bench = Bench::new(shop, []);
    bench.set_folder(folder);
    checked(plan, bench)
}

/// Computes everything of `plan` on a bench that may hold some of it already.
pub fn checked(plan: Plan, bench: Bench) -> Result<Checked, String> {
    let facts = bench.facts(&plan, &Run::new()).map_err(|e| e.to_string())?;
    let findings = judge(&plan, bench.shop(), &facts);
    let report = report_of(&plan, bench.shop(), &facts, &findings);
    Ok(Checked { plan, bench, facts, report })
}

/// Reads a plan file and computes everything of it.
pub fn read_and_check(path: &Path, shop_file: Option<&Path>) -> Result<Checked, String> {
    let plan = file::read(path).map_err(|e| e.to_string())?;
    everything(plan, path.parent(), shop(shop_file)?).map_err(of_file(path))
}

/// The exit code that the findings ask for.
pub fn code(report: &Report) -> u8 {
    if report.findings.iter().any(|f| f.severity == Severity::Stop) { SOME_STOP } else { CLEAR }
}

pub fn run(arguments: &CheckArguments) -> Result<u8, String> {
    let mut checked = read_and_check(&arguments.plan, arguments.shop.as_deref())?;
    if arguments.fill {
        follow_the_fill(&mut checked, arguments.fill_cells).map_err(of_file(&arguments.plan))?;
    }
    let sources = if arguments.sources { figure_sources::of(&checked.plan, checked.bench.shop()) } else { Vec::new() };
    if arguments.json {
        // The sources stand beside the report, in the same record, where they are asked for.
        let with = WithSources { report: &checked.report, sources: arguments.sources.then_some(&sources) };
        print_json(&with)?;
    } else {
        let mut text = in_words(&checked.report);
        for s in &sources {
            text += &format!("{} from {}: {} ({})\n", s.figure, s.key, s.value, s.source);
        }
        print_text(&text)?;
    }
    Ok(code(&checked.report))
}

/// Adds the fill to what was checked, on so many cells or as many as usual.
pub fn follow_the_fill(checked: &mut Checked, cells: Option<u32>) -> Result<(), String> {
    let Checked { plan, bench, facts, report } = checked;
    let Some(body) = facts.body.clone() else { return Ok(()) };
    let fineness = cells.map_or(Fineness::USUAL, |c| Fineness::of_budget(c.into()));
    let filled = bench.fill(plan, &facts.setting, &body, fineness, &Run::new(), |_| ());
    facts.fill = filled.map_err(|e| e.to_string())?;
    let findings = judge(plan, bench.shop(), facts);
    *report = report_of(plan, bench.shop(), facts, &findings);
    Ok(())
}

/// The report, and where its figures come from.
#[derive(serde::Serialize)]
struct WithSources<'a> {
    #[serde(flatten)]
    report: &'a Report,
    #[serde(skip_serializing_if = "Option::is_none")]
    sources: Option<&'a Vec<FigureSource>>,
}

/// The report as a few lines for a person.
pub fn in_words(report: &Report) -> String {
    let air = &report.air;
    let size = report.block.size_mm;
    let mut text = format!(
        "Air: {} high points; {:.0} mm³ stays level, {:.0} mm³ leaning\n",
        air.high_points.len(),
        air.trapped_mm3,
        air.trapped_lean_mm3
    );
    if report.parts.len() > 1 {
        let yields = &report.casts.yields;
        let a_shot: Vec<String> = yields.iter().map(|y| format!("{} × {}", y.a_shot, y.kind)).collect();
        let nearest = report.parts.iter().filter_map(|p| p.to_next_mm).min_by(f64::total_cmp);
        let nearest = nearest.map_or(String::new(), |mm| format!("; least rubber between them {mm:.1} mm"));
        let shots = report.casts.good;
        text += &format!("Set: {} a shot{nearest}; {shots} good shots wanted\n", a_shot.join(", "));
    }
    let parting = &report.parting;
    text += &format!(
        "Parting: {} loops, {} undercuts, {:.0} mm² hidden from both halves\n",
        parting.loops.len(),
        parting.undercuts.len(),
        parting.hidden_from_both_mm2
    );
    if let Some(longest) = report.flow.longest_mm {
        text += &format!("Flow: longest path {longest:.1} mm\n");
    }
    if let Some(fill) = &report.fill {
        let time = fill.time_s.map_or("never".to_owned(), |t| format!("{t:.0} s"));
        text += &format!(
            "Fill: {time} (±{:.0} % from cells of {:.2} mm), {:.1} % full, {:.0} mm³ of gas closed round\n",
            100.0 * fill.expected_error,
            fill.cell_mm,
            100.0 * fill.stages[0].filled_share,
            fill.closed_round_mm3
        );
    }
    text += &format!(
        "Block: {:.0} × {:.0} × {:.0} mm; silicone {:.0} g ({:.0} g A, {:.0} g B)\nResin: {:.0} g a shot ({:.1} g A, {:.1} g B)\n",
        size[0],
        size[1],
        size[2],
        report.silicone.mass_g,
        report.silicone.a_g,
        report.silicone.b_g,
        report.resin.shot_g,
        report.resin.a_g,
        report.resin.b_g
    );
    if let Some(two) = &report.second_shot {
        text += &format!(
            "Two shots: contact {:.0} mm², overlap {:.1} mm³, gap {:.0} mm² (touching up to {:.2} mm); hard {:.1} g, soft {:.1} g\n",
            two.contact_mm2, two.overlap_mm3, two.gap_mm2, two.tolerance_mm, two.hard.part_g, two.soft.part_g
        );
    }
    for finding in &report.findings {
        let mark = match finding.severity {
            Severity::Stop => "STOP",
            Severity::Warn => "look",
            Severity::Note => "note",
        };
        text += &format!("{mark}  {} [{}]\n      {}\n", finding.message, finding.code, finding.remedy);
    }
    text
}
