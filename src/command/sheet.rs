//! `sheet`: the setup sheet as PDF.

use super::arguments::{PaperArgument, SheetArguments};
use super::check::{code, read_and_check};
use crate::plan::file;
use crate::sheet::job::SheetJob;
use crate::sheet::make_pdf;
use crate::sheet::page::Paper;
use crate::solve::run::Run;

pub fn run(arguments: &SheetArguments) -> Result<u8, String> {
    let checked = read_and_check(&arguments.plan, arguments.shop.as_deref())?;
    let paper = match arguments.paper {
        PaperArgument::A4 => Paper::A4,
        PaperArgument::Letter => Paper::Letter,
    };
    let job = SheetJob::new(&checked.plan, checked.bench.shop(), &checked.facts, &checked.report, None);
    let pdf = make_pdf(&job.input(paper), &Run::new()).map_err(|e| e.to_string())?;
    file::write_whole(&arguments.out, &pdf).map_err(|e| {
        format!("The sheet could not be written ({e}). Choose another place: {}", arguments.out.display())
    })?;
    eprintln!("Sheet written: {}", arguments.out.display());
    Ok(code(&checked.report))
}
