//! The `mouldbench` program.

use mouldbench::command::{Asked, run};
use std::process::ExitCode;

fn main() -> ExitCode {
    match run() {
        Asked::Done(code) => code,
        Asked::Window(file) => open_window(file),
    }
}

#[cfg(feature = "window")]
fn open_window(file: Option<std::path::PathBuf>) -> ExitCode {
    match mouldbench::app::run(file) {
        Ok(()) => ExitCode::SUCCESS,
        Err(e) => {
            eprintln!("mouldbench: {e}");
            ExitCode::from(2)
        }
    }
}

#[cfg(not(feature = "window"))]
fn open_window(_file: Option<std::path::PathBuf>) -> ExitCode {
    eprintln!("mouldbench: this build has no window. See `mouldbench --help` for what it does without one.");
    ExitCode::from(2)
}
