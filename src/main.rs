//! The `mouldbench` program.

use mouldbench::command::{Asked, run};
use std::io::Write;
use std::process::ExitCode;

fn main() -> ExitCode {
    match run() {
        Asked::Done(code) => code,
        Asked::Window { file, shop } => open_window(file, shop),
    }
}

#[cfg(feature = "window")]
fn open_window(file: Option<std::path::PathBuf>, shop: Option<std::path::PathBuf>) -> ExitCode {
    match mouldbench::app::run(file, shop) {
        Ok(()) => ExitCode::SUCCESS,
        Err(e) => {
            complain(&e.to_string());
            ExitCode::from(2)
        }
    }
}

#[cfg(not(feature = "window"))]
fn open_window(_file: Option<std::path::PathBuf>, _shop: Option<std::path::PathBuf>) -> ExitCode {
    complain("this build has no window. See `mouldbench --help` for what it does without one.");
    ExitCode::from(2)
}

fn complain(words: &str) {
    // Where nobody hears it there is nobody left to be told so.
    let _ = writeln!(std::io::stderr(), "mouldbench: {words}");
}
