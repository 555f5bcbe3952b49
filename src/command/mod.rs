//! The work without a window.
//!
//! JSON goes to standard output alone; messages and progress go to standard error.

mod arguments;
mod check;
mod halves;
mod hang;
mod inspect;
mod pieces;
mod plan;
mod sheet;

pub use arguments::{Arguments, Command};

use std::path::PathBuf;
use std::process::ExitCode;

/// Exit code where everything ran and nothing stops the pour.
const CLEAR: u8 = 0;
/// Exit code where a finding says Stop.
const SOME_STOP: u8 = 1;
/// Exit code where the command could not run.
const COULD_NOT_RUN: u8 = 2;

/// What the program was asked to do.
pub enum Asked {
    /// Open the window, on a file if one was named, with the shop's own data if it was named.
    Window {
        /// Plan or mesh.
        file: Option<PathBuf>,
        /// Shop file.
        shop: Option<PathBuf>,
    },
    /// A command was carried out; leave with this code.
    Done(ExitCode),
}

/// Reads the command line and carries out the command, if it is one.
pub fn run() -> Asked {
    let arguments = match Arguments::read() {
        Ok(arguments) => arguments,
        Err(e) => {
            // Help and version come as an error too, and go to standard output with code 0.
            let code = if e.use_stderr() { COULD_NOT_RUN } else { CLEAR };
            let _ = e.print();
            return Asked::Done(ExitCode::from(code));
        }
    };
    let done = match arguments.command {
        None => return Asked::Window { file: arguments.file, shop: arguments.shop },
        Some(Command::Inspect(a)) => inspect::run(&a),
        Some(Command::Hang(a)) => hang::run(&a),
        Some(Command::Plan(a)) => plan::run(&a),
        Some(Command::Check(a)) => check::run(&a),
        Some(Command::Sheet(a)) => sheet::run(&a),
        Some(Command::Halves(a)) => halves::run(&a),
        Some(Command::Pieces(a)) => pieces::run(&a),
    };
    Asked::Done(match done {
        Ok(code) => ExitCode::from(code),
        Err(message) => {
            eprintln!("mouldbench: {message}");
            ExitCode::from(COULD_NOT_RUN)
        }
    })
}

/// Prints a record as JSON on standard output.
fn print_json(record: &impl serde::Serialize) -> Result<(), String> {
    use std::io::Write;
    let mut text = serde_json::to_string_pretty(record).map_err(|e| format!("The record could not be written: {e}"))?;
    text.push('\n');
    // A reader that has gone away (a closed pipe) is not a fault of the check.
    let _ = std::io::stdout().write_all(text.as_bytes());
    Ok(())
}
