//! The printed setup sheet: page list, layout, true-scale drawings, and the painter to PDF.
//!
//! The sheet shows what the plan says and the report found; it computes nothing of its own but where ink goes.

pub mod balloons;
pub mod changes;
pub mod drawing;
pub mod figures;
pub mod handover;
pub mod insert_page;
pub mod job;
pub mod layout;
pub mod lettering;
pub mod numbers_page;
pub mod page;
pub mod parting_page;
pub mod pdf;
pub mod rods;
pub mod section;
pub mod setup;
pub mod silicone;
pub mod steps;
pub mod templates;
mod two_shot_page;
pub mod words;

use crate::plan::Plan;
use crate::shop::{Limits, Resin, Silicone};
use crate::solve::run::{Cancelled, Run};
use crate::study::report::Report;
use drawing::Geometry;
use page::{PageList, Paper, Picture};

/// All that a sheet is made from.
#[derive(Clone, Debug)]
pub struct SheetInput<'a> {
    /// What was decided.
    pub plan: &'a Plan,
    /// What follows from it.
    pub report: &'a Report,
    /// The rubber that the report reckoned with.
    pub silicone: &'a Silicone,
    /// The resin that the report reckoned with.
    pub resin: &'a Resin,
    /// The limits that it judged by.
    pub limits: &'a Limits,
    /// What is drawn.
    pub geometry: Geometry<'a>,
    /// A picture for the first page; without it the hang is drawn there in lines.
    pub picture: Option<Picture>,
    /// Whose sheet it is; may be empty.
    pub shop: &'a str,
    /// Job number; may be empty.
    pub job_number: &'a str,
    /// Program and version.
    pub program: &'a str,
    /// Digest of the plan, hexadecimal.
    pub plan_digest: &'a str,
    /// Paper.
    pub paper: Paper,
}

/// Why there is no sheet.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum SheetError {
    /// It was cancelled.
    #[error(transparent)]
    Cancelled(#[from] Cancelled),
    /// The PDF could not be written.
    #[error(transparent)]
    Pdf(#[from] pdf::PdfError),
}

/// Lays the sheet out.
///
/// # Errors
/// [`Cancelled`] once `run` was cancelled.
pub fn make_pages(input: &SheetInput<'_>, run: &Run) -> Result<PageList, Cancelled> {
    setup::pages(input, run)
}

/// Makes the templates of a job as one PDF in tiles, and each whole for a cutter. The same input gives the same bytes.
///
/// # Errors
/// See [`SheetError`].
pub fn make_templates(input: &SheetInput<'_>, run: &Run) -> Result<Vec<TemplateFile>, SheetError> {
    let all = templates::templates(input);
    let pages = templates::tiles::pages(&all, input, run)?;
    let labels = pdf::Labels {
        title: words::template::file_title(&input.plan.name),
        program: input.program.to_owned(),
        date: input.plan.revision_date.clone(),
        uncompressed: false,
    };
    let mut files = vec![TemplateFile { name: "templates.pdf".into(), bytes: pdf::paint(&pages, &labels)? }];
    let whose = templates::whose(input);
    for template in &all {
        let file = |ending: &str, text: String| TemplateFile {
            name: format!("{}.{ending}", template.file),
            bytes: text.into_bytes(),
        };
        files.push(file("svg", templates::svg::write(template, &whose)));
        files.push(file("dxf", templates::dxf::write(template, &whose)));
    }
    Ok(files)
}

/// A file of templates.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TemplateFile {
    /// Its name in the folder.
    pub name: String,
    /// What is in it.
    pub bytes: Vec<u8>,
}

/// Makes the sheet as a PDF. The same input gives the same bytes.
///
/// # Errors
/// See [`SheetError`].
pub fn make_pdf(input: &SheetInput<'_>, run: &Run) -> Result<Vec<u8>, SheetError> {
    let pages = make_pages(input, run)?;
    let labels = pdf::Labels {
        title: words::title_of(&input.plan.name),
        program: input.program.to_owned(),
        date: input.plan.revision_date.clone(),
        uncompressed: false,
    };
    Ok(pdf::paint(&pages, &labels)?)
}
