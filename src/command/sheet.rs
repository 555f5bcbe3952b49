//! `sheet`: the setup sheet as PDF.

use super::arguments::{PaperArgument, SheetArguments};
use super::check::{code, follow_the_fill, read_and_check};
use crate::mesh::io_words::said;
use crate::plan::file;
use crate::sheet::changes;
use crate::sheet::job::SheetJob;
use crate::sheet::page::Paper;
use crate::sheet::{make_pdf, make_templates};
use crate::solve::run::Run;

pub fn run(arguments: &SheetArguments) -> Result<u8, String> {
    let mut checked = read_and_check(&arguments.plan, arguments.shop.as_deref())?;
    if arguments.fill {
        follow_the_fill(&mut checked, arguments.fill_cells)?;
    }
    let paper = match arguments.paper {
        PaperArgument::A4 => Paper::A4,
        PaperArgument::A3 => Paper::A3,
        PaperArgument::Letter => Paper::Letter,
    };
    let shop = checked.bench.shop();
    let mut plan = checked.plan.clone();
    if let Some(date) = &arguments.issue {
        changes::issue(&mut plan, date.clone(), shop, &checked.facts, &checked.report);
    }
    let job = SheetJob::new(&plan, shop, &checked.facts, &checked.report, None);
    let input = job.input(paper);
    let pdf = make_pdf(&input, &Run::new()).map_err(|e| e.to_string())?;
    file::write_whole(&arguments.out, &pdf).map_err(|e| {
        format!("The sheet could not be written ({}). Choose another place: {}", said(&e), arguments.out.display())
    })?;
    eprintln!("Sheet written: {}", arguments.out.display());
    if let Some(folder) = &arguments.templates {
        let told = |e: std::io::Error| {
            format!("The templates could not be written ({}). Choose another folder: {}", said(&e), folder.display())
        };
        let files = make_templates(&input, &Run::new()).map_err(|e| e.to_string())?;
        std::fs::create_dir_all(folder).map_err(told)?;
        for template in files {
            file::write_whole(&folder.join(&template.name), &template.bytes).map_err(told)?;
        }
        eprintln!("Templates written: {}", folder.display());
    }
    if arguments.issue.is_some() {
        // Last, so that a sheet that could not be written counts as no issue.
        file::save(&plan, &arguments.plan).map_err(|e| e.to_string())?;
        eprintln!("Issued as revision {} of {}: {}", plan.revision, plan.revision_date, arguments.plan.display());
    }
    Ok(code(&checked.report))
}
