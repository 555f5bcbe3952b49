//! The sheet as a PDF file.

use super::sample::sample;
use mouldbench::sheet::make_pdf;
use mouldbench::sheet::page::Paper;
use mouldbench::solve::run::Run;

#[test]
fn the_same_sheet_gives_the_same_bytes() {
    for (paper, name) in [(Paper::A4, "sheet-a4.pdf"), (Paper::Letter, "sheet-letter.pdf")] {
        let mut job = sample(4, 2, 2);
        job.paper = paper;
        let first = make_pdf(&job.input(), &Run::new()).expect("a sheet");
        let second = make_pdf(&job.input(), &Run::new()).expect("a sheet");
        assert!(first.starts_with(b"%PDF-"));
        assert_eq!(first, second);
        job.plan.revision += 1;
        assert_ne!(first, make_pdf(&job.input(), &Run::new()).expect("a sheet"));
        // Kept for a look at it, and for the script beside this file.
        std::fs::write(std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join(name), first).expect("a place to write");
    }
}
