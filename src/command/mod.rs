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

use crate::files::output::{Guard, Refused, Replace};
use crate::mesh::io_words;
use crate::plan::Plan;
use crate::shop::user_file;
use crate::study::job::setting::Setting;
use std::fmt::Display;
use std::io::Write;
use std::path::{Path, PathBuf};
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
            let printed = if e.use_stderr() {
                say(e.render().to_string().trim_end());
                Err(())
            } else {
                print_text(&e.render().to_string()).map_err(|words| say(format!("mouldbench: {words}")))
            };
            return Asked::Done(ExitCode::from(if printed.is_ok() { CLEAR } else { COULD_NOT_RUN }));
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
            say(format!("mouldbench: {message}"));
            ExitCode::from(COULD_NOT_RUN)
        }
    })
}

/// Prints a record as JSON on standard output.
fn print_json(record: &impl serde::Serialize) -> Result<(), String> {
    let mut text = serde_json::to_string_pretty(record).map_err(|e| format!("The record could not be written: {e}"))?;
    text.push('\n');
    print_text(&text)
}

/// Prints on standard output. Who reads it must be able to rely on having all of it.
fn print_text(text: &str) -> Result<(), String> {
    let mut out = std::io::stdout().lock();
    out.write_all(text.as_bytes()).and_then(|()| out.flush()).map_err(|e| {
        format!(
            "What was found could not be printed ({}). Let it go to a place that takes all of it",
            io_words::said(&e)
        )
    })
}

/// Says something on standard error.
fn say(words: impl Display) {
    // Where nobody hears it there is nobody left to be told so.
    let _ = writeln!(std::io::stderr(), "{words}");
}

/// What went wrong with a file, in words that name it.
fn of_file<E: Display>(path: &Path) -> impl Fn(E) -> String {
    let name = path.display().to_string();
    move |e| {
        let words = e.to_string();
        if words.contains(&name) { words } else { format!("{name}: {words}") }
    }
}

/// What is asked before anything is written by a command that reads the plan at `path` and the shop's file.
fn guard(path: &Path, plan: &Plan, shop_file: Option<&Path>, replace: bool) -> Guard {
    let folder = path.parent().unwrap_or(Path::new(""));
    let meshes = plan.mesh_names().into_iter().map(|name| folder.join(name));
    let shop_file = shop_file.map(Path::to_path_buf).or_else(user_file);
    let inputs = meshes.chain([path.to_path_buf()]).chain(shop_file).collect();
    Guard { inputs, replace: if replace { Replace::Anything } else { Replace::Own } }
}

/// Says which meshes are others than those that the plan was made with, for commands that list no findings.
fn say_changed(plan: &Plan, setting: &Setting) {
    let parts = plan.parts.iter().zip(&setting.placed.loaded).map(|(p, l)| (&p.name, &p.mesh, &p.digest, &l.digest));
    for (name, mesh, made_with, there) in parts {
        if !made_with.is_empty() && made_with != there {
            say(format!(
                "The mesh of {name} has changed since the plan was made; look at it before this is used: {mesh}"
            ));
        }
    }
}

/// Why something is not written, and what would have it written.
fn refused(e: Refused) -> String {
    if e.may_be_said() { format!("{e}; or say --replace to have that file replaced") } else { e.to_string() }
}
