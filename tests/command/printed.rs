//! Words that nobody takes are an error in words, never a panic, and never a success.
#![cfg(unix)]

use super::{file, fresh, said, write_stl};
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
    let (cap, up) = (file("tests/assets/tied_towers.stl"), ["--up", "0,0,1", "--draw", "0,1,0"]);
    let made = |extra: &[&'static str]| [&["plan", &mesh, "--out", &plan, "--replace"] as &[&str], &up, extra].concat();
    let (words, json) = (made(&[]), made(&["--json"]));
    let commands: [&[&str]; 9] = [
        &words,
        &json,
        &["check", &plan],
        &["check", &plan, "--json"],
        &["check", &plan, "--sources"],
        &["inspect", &cap],
        &["inspect", &cap, "--json"],
        &["--help"],
        &["--version"],
    ];
    for arguments in commands {
        for (out, why) in [(closed_pipe(), "nobody reads it"), (full_disk(), "the disk is full")] {
            let output = into(arguments, out);
            assert_eq!(output.status.code(), Some(2), "{arguments:?}: {}", said(&output));
            assert!(
                said(&output).contains(why) && !said(&output).contains("panicked"),
                "{arguments:?}: {}",
                said(&output)
            );
        }
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
