//! `sheet`: the setup sheet as PDF.

use super::arguments::{PaperArgument, SheetArguments};
use super::check::{code, follow_the_fill, read_and_check};
use super::{guard, of_file, refused, say};
use crate::files::output::{Kind, write_whole};
use crate::mesh::io_words::said;
use crate::plan::file;
use crate::sheet::changes;
use crate::sheet::job::SheetJob;
use crate::sheet::page::Paper;
use crate::sheet::{make_pdf, make_templates};
use crate::solve::run::Run;

pub fn run(arguments: &SheetArguments) -> Result<u8, String> {
    // Before anything is computed, so that nobody waits for a refusal.
    let plan = file::read(&arguments.plan).map_err(|e| e.to_string())?;
    let guard = guard(&arguments.plan, &plan, arguments.shop.as_deref(), arguments.replace);
    guard.allows(&arguments.out, Kind::Pdf).map_err(refused)?;
    let mut checked = read_and_check(&arguments.plan, arguments.shop.as_deref())?;
    if arguments.fill {
        follow_the_fill(&mut checked, arguments.fill_cells).map_err(of_file(&arguments.plan))?;
    }
    let paper = match arguments.paper {
        PaperArgument::A4 => Paper::A4,
        PaperArgument::A3 => Paper::A3,
        PaperArgument::Letter => Paper::Letter,
    };
    let shop = checked.bench.shop();
    let mut plan = checked.plan.clone();
    if let Some(date) = &arguments.issue {
        plan.revision = plan.revision.saturating_add(1);
        plan.revision_date = date.clone();
        plan.keep_materials(shop);
        let job = SheetJob::new(&plan, shop, &checked.facts, &checked.report, None);
        let told = changes::decisions(&job.input(paper));
        changes::keep_issue(&mut plan, told);
    }
    let job = SheetJob::new(&plan, shop, &checked.facts, &checked.report, None);
    let input = job.input(paper);
    let pdf = make_pdf(&input, &Run::new()).map_err(of_file(&arguments.plan))?;
    let templates = match &arguments.templates {
        Some(folder) => {
            let files = make_templates(&input, &Run::new()).map_err(of_file(&arguments.plan))?;
            for template in &files {
                guard.allows(&folder.join(&template.name), Kind::of_template(&template.name)).map_err(refused)?;
            }
            Some((folder, files))
        }
        None => None,
    };
    write_whole(&arguments.out, &pdf).map_err(|e| {
        format!("The sheet could not be written ({}). Choose another place: {}", said(&e), arguments.out.display())
    })?;
    say(format!("Sheet written: {}", arguments.out.display()));
    if let Some((folder, files)) = templates {
        let told = |e: std::io::Error| {
            format!("The templates could not be written ({}). Choose another folder: {}", said(&e), folder.display())
        };
        std::fs::create_dir_all(folder).map_err(told)?;
        for template in files {
            write_whole(&folder.join(&template.name), &template.bytes).map_err(told)?;
        }
        say(format!("Templates written: {}", folder.display()));
    }
    if arguments.issue.is_some() {
        // Last, so that a sheet that could not be written counts as no issue.
        file::save(&plan, &arguments.plan).map_err(|e| e.to_string())?;
        say(format!("Issued as revision {} of {}: {}", plan.revision, plan.revision_date, arguments.plan.display()));
    }
    Ok(code(&checked.report))
}
