//! Words that nobody takes are an error in words, never a panic, and never a success.
#![cfg(unix)]

use super::{fresh, said, write_stl};
use std::fs::File;
use std::process::{Command, Output, Stdio};

fn into(arguments: &[&str], out: Stdio) -> Output {
    let program = Command::new(env!("CARGO_BIN_EXE_mouldbench"))
        .env("XDG_CONFIG_HOME", "/nowhere")
        .args(arguments)
        .stdout(out)
        .stderr(Stdio::piped())
        .spawn()
        .expect("starts");
    program.wait_with_output().expect("ends")
}

/// A pipe that nobody reads.
fn closed_pipe() -> Stdio {
    let (reader, writer) = std::io::pipe().expect("a pipe");
    drop(reader);
    Stdio::from(writer)
}

fn full_disk() -> Stdio {
    Stdio::from(File::options().write(true).open("/dev/full").expect("the full device"))
}

#[test]
fn a_closed_or_full_output_is_told_and_is_no_success() {
    let (dir, mesh) = fresh("box.stl");
    write_stl(&mesh, &mouldbench::mesh::solids::cuboid(glam::Vec3::ZERO, glam::Vec3::splat(12.0)));
    let plan = dir.path().join("box.ron").to_string_lossy().into_owned();
    let refused = |arguments: &[&str], out: Stdio, why: &str| {
        let output = into(arguments, out);
        let words = said(&output);
        assert_eq!(output.status.code(), Some(2), "{arguments:?}: {words}");
        assert!(words.contains(why) && !words.contains("panicked"), "{arguments:?}: {words}");
    };
    // The plan itself is written by then.
    let make = ["plan", &mesh, "--out", &plan, "--up", "0,0,1", "--draw", "0,1,0"];
    refused(&make, closed_pipe(), "nobody reads it");
    refused(&["check", &plan, "--sources"], closed_pipe(), "nobody reads it");
    refused(&["check", &plan, "--json"], full_disk(), "the disk is full");
    for arguments in [&["inspect", &mesh] as &[&str], &["inspect", &mesh, "--json"], &["--help"], &["--version"]] {
        refused(arguments, closed_pipe(), "nobody reads it");
        refused(arguments, full_disk(), "the disk is full");
    }
}

#[test]
fn complaints_that_nobody_hears_are_no_panic() {
    for error in [closed_pipe(), full_disk()] {
        let status = Command::new(env!("CARGO_BIN_EXE_mouldbench"))
            .args(["check", "/nowhere/at/all.ron"])
            .stderr(error)
            .status()
            .expect("starts");
        assert_eq!(status.code(), Some(2));
    }
}
