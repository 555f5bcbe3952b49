//! The work without a window, run as a user runs it.

mod bare_meshes;
mod beyond_reason;
mod check;
mod demo_plans;
mod halves;
mod hang;
mod inspect;
mod pieces;
mod plan;
mod printed;
mod sheet;
mod two_shot;
mod written_over;

use serde_json::Value;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

/// The program with these arguments.
fn mouldbench(arguments: &[&str]) -> Output {
    // No file of whoever runs the tests counts.
    in_configuration(std::path::Path::new("/nowhere"), arguments)
}

/// The program with the user's configuration in `folder`.
fn in_configuration(folder: &std::path::Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_mouldbench"))
        .env("XDG_CONFIG_HOME", folder)
        .args(arguments)
        .output()
        .expect("the program starts")
}

/// Standard output as JSON, and nothing but JSON.
fn json(output: &Output) -> Value {
    serde_json::from_slice(&output.stdout).unwrap_or_else(|e| {
        panic!("{e}\n{}\n{}", String::from_utf8_lossy(&output.stdout), String::from_utf8_lossy(&output.stderr))
    })
}

fn said(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

/// A file of the repository.
fn file(path: &str) -> String {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(path).to_string_lossy().into_owned()
}

/// A path in a fresh folder as text; the folder lives as long as the first value.
fn fresh(name: &str) -> (tempfile::TempDir, String) {
    let dir = tempfile::tempdir().expect("a folder");
    let path: PathBuf = dir.path().join(name);
    (dir, path.to_string_lossy().into_owned())
}

fn number(value: &Value, path: &str) -> f64 {
    value.pointer(path).and_then(Value::as_f64).unwrap_or_else(|| panic!("{path} in {value}"))
}

fn list<'a>(value: &'a Value, path: &str) -> &'a Vec<Value> {
    value.pointer(path).and_then(Value::as_array).unwrap_or_else(|| panic!("{path} in {value}"))
}

/// Writes a mesh as binary STL.
fn write_stl(path: &str, mesh: &mouldbench::mesh::Mesh) {
    let mut file = std::fs::File::create(path).expect("made");
    mouldbench::mesh::write_stl::write(&mut file, mesh, glam::DVec3::ZERO).expect("written");
}
