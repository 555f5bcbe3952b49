//! No command writes over a plan, a mesh or a file of another kind unless told by name, and never over what it reads.

use super::{fresh, mouldbench, said, write_stl};
use glam::Vec3;
use mouldbench::mesh::solids;
use std::path::Path;

/// A ball and the plan of it in a folder, and what they hold.
struct Job {
    dir: tempfile::TempDir,
    mesh: String,
    plan: String,
}

impl Job {
    fn new() -> Job {
        let (dir, mesh) = fresh("half-1.stl");
        write_stl(&mesh, &solids::ball(Vec3::new(3.0, 2.0, 50.0), 15.0, 3));
        let plan = dir.path().join("ball.ron").to_string_lossy().into_owned();
        let made = mouldbench(&["plan", &mesh, "--out", &plan, "--up", "0,0,1", "--draw", "0,1,0"]);
        assert!(made.status.success(), "{}", said(&made));
        Job { dir, mesh, plan }
    }

    fn at(&self, name: &str) -> String {
        self.dir.path().join(name).to_string_lossy().into_owned()
    }

    /// Runs and expects that nothing is written, in words that name `path`.
    fn refuses(&self, arguments: &[&str], path: &str) -> String {
        let before = std::fs::read(path).expect("there");
        let output = mouldbench(arguments);
        let words = said(&output);
        assert_eq!(output.status.code(), Some(2), "{arguments:?}: {words}");
        assert!(words.contains(path), "{arguments:?}: {words}");
        assert_eq!(std::fs::read(path).expect("still there"), before, "{arguments:?}");
        words
    }
}

/// It ran, whatever its findings say.
fn written(output: &std::process::Output) {
    assert!(output.status.code().is_some_and(|c| c < 2), "{}", said(output));
}

#[test]
fn what_is_read_is_never_written_over() {
    let job = Job::new();
    let folder = job.dir.path().to_string_lossy().into_owned();
    let link = job.at("link.ron");
    #[cfg(unix)]
    std::os::unix::fs::symlink(&job.plan, &link).expect("a link");
    for replace in [&[] as &[&str], &["--replace"]] {
        let with = |arguments: &[&str]| -> Vec<String> {
            [arguments, replace].concat().iter().map(|a| a.to_string()).collect()
        };
        let cases = [
            (with(&["sheet", &job.plan, "--out", &job.plan]), &job.plan),
            (with(&["sheet", &job.plan, "--out", &link]), &link),
            (with(&["sheet", &job.plan, "--out", &job.mesh]), &job.mesh),
            // The plan's own mesh is called as a half is.
            (with(&["halves", &job.plan, "--out", &folder]), &job.mesh),
            (with(&["plan", &job.mesh, "--out", &job.mesh]), &job.mesh),
        ];
        for (arguments, path) in cases {
            let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
            let words = job.refuses(&arguments, path);
            assert!(words.contains("being read"), "{words}");
        }
    }
}

#[test]
#[ignore = "long"]
fn long_others_files_are_replaced_only_where_that_is_said() {
    let job = Job::new();
    let notes = job.at("notes.pdf");
    std::fs::write(&notes, "%PDF-1.4 somebody's drawing").expect("written");
    let words = job.refuses(&["sheet", &job.plan, "--out", &notes], &notes);
    assert!(words.contains("--replace"), "{words}");
    written(&mouldbench(&["sheet", &job.plan, "--out", &notes, "--replace"]));
    // What this program wrote is replaced unasked.
    let sheet = std::fs::read(&notes).expect("written");
    std::fs::write(&notes, [&sheet[..], b"\n% older"].concat()).expect("written");
    written(&mouldbench(&["sheet", &job.plan, "--out", &notes]));
    assert_eq!(std::fs::read(&notes).expect("written"), sheet);

    let out = job.at("out");
    std::fs::create_dir(&out).expect("made");
    let theirs = job.at("out/half-2.stl");
    write_stl(&theirs, &solids::cuboid(Vec3::ZERO, Vec3::ONE));
    let words = job.refuses(&["halves", &job.plan, "--out", &out], &theirs);
    assert!(words.contains("--replace") && !Path::new(&job.at("out/half-1.stl")).exists(), "{words}");
    for extra in [&["--replace"] as &[&str], &[]] {
        let output = mouldbench(&[&["halves", &job.plan, "--out", &out] as &[&str], extra].concat());
        assert_eq!(output.status.code(), Some(0), "{}", said(&output));
    }
}

#[test]
#[ignore = "long"]
fn long_a_proposed_plan_takes_the_place_of_nothing() {
    let job = Job::new();
    let words = job.refuses(&["plan", &job.mesh, "--out", &job.plan], &job.plan);
    assert!(words.contains("already") && words.contains("--replace"), "{words}");
    let before = std::fs::read(&job.plan).expect("a plan");
    let output = mouldbench(&["plan", &job.mesh, "--out", &job.plan, "--up", "1,0,0", "--draw", "0,1,0", "--replace"]);
    assert!(output.status.success(), "{}", said(&output));
    assert_ne!(std::fs::read(&job.plan).expect("a plan"), before);
}

#[test]
#[ignore = "long"]
fn long_templates_are_written_over_those_of_before_and_nothing_else() {
    let job = Job::new();
    let (pdf, folder) = (job.at("sheet.pdf"), job.at("templates"));
    let run = || mouldbench(&["sheet", &job.plan, "--out", &pdf, "--templates", &folder]);
    written(&run());
    // Once more over its own.
    written(&run());
    let all = || std::fs::read_dir(&folder).expect("there").map(|e| e.expect("one").path());
    let path = all().find(|p| p.extension().is_some_and(|e| e == "svg")).expect("one of each kind");
    std::fs::write(&path, "<svg>somebody's own</svg>").expect("written");
    std::fs::remove_file(&pdf).expect("removed");
    job.refuses(&["sheet", &job.plan, "--out", &pdf, "--templates", &folder], &path.to_string_lossy());
    assert!(!Path::new(&pdf).exists(), "nothing of it is written");
}

#[cfg(unix)]
#[test]
#[ignore = "long"]
fn long_a_link_stays_a_link_and_what_a_file_allows_stays() {
    use std::os::unix::fs::PermissionsExt;
    let job = Job::new();
    let (real, link) = (job.at("kept/sheet.pdf"), job.at("sheet.pdf"));
    std::fs::create_dir(job.at("kept")).expect("made");
    std::os::unix::fs::symlink("kept/sheet.pdf", &link).expect("a link");
    // The first time the link leads to nothing yet.
    for _ in 0..2 {
        written(&mouldbench(&["sheet", &job.plan, "--out", &link]));
        assert!(std::fs::symlink_metadata(&link).expect("there").is_symlink());
        std::fs::set_permissions(&real, std::fs::Permissions::from_mode(0o604)).expect("set");
    }
    written(&mouldbench(&["sheet", &job.plan, "--out", &link]));
    assert_eq!(std::fs::metadata(&real).expect("there").permissions().mode() & 0o777, 0o604);
    let names: Vec<_> =
        std::fs::read_dir(job.at("kept")).expect("there").map(|e| e.expect("one").file_name()).collect();
    assert_eq!(names, ["sheet.pdf"]);
    // A plan that is issued is saved through its link, too.
    let plan = job.at("linked.ron");
    std::os::unix::fs::symlink(&job.plan, &plan).expect("a link");
    written(&mouldbench(&["sheet", &plan, "--out", &link, "--issue", "2031-01-02"]));
    assert!(std::fs::symlink_metadata(&plan).expect("there").is_symlink());
}
