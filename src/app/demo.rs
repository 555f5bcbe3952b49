//! The demo job, carried in the program so that it opens from any folder.

use crate::mesh::read_stl;
use crate::plan::{Plan, file};
use std::path::Path;

/// The parts of the demo by the names that their plans use.
pub fn meshes() -> Vec<(String, &'static [u8])> {
    vec![
        ("handle.stl".into(), include_bytes!("../../assets/demo/handle.stl").as_slice()),
        ("cap.stl".into(), include_bytes!("../../assets/demo/cap.stl").as_slice()),
        ("grip.stl".into(), include_bytes!("../../assets/demo/grip.stl").as_slice()),
        ("ring.stl".into(), include_bytes!("../../assets/demo/ring.stl").as_slice()),
    ]
}

/// Everything that is carried in the program: the parts of the demo and of the exercises.
pub fn bundled() -> impl Iterator<Item = (String, &'static [u8])> {
    meshes().into_iter().chain(crate::study::lessons::practice::exercises::meshes())
}

/// True where the program carries the mesh of that digest under the last name of the path `name`.
pub fn carries(name: &str, digest: &str) -> bool {
    let file = Path::new(name).file_name();
    bundled().any(|(one, bytes)| file.is_some_and(|f| *f == *one) && read_stl::digest_of(bytes) == digest)
}

/// One job of the demo.
#[derive(Clone, Copy, Debug)]
pub struct DemoJob {
    /// What its button says.
    pub title: &'static str,
    /// One line about it.
    pub about: &'static str,
    text: &'static str,
}

/// Every job of the demo, the first is the one that one click opens.
pub const JOBS: [DemoJob; 4] = [
    DemoJob {
        title: "Handle shell",
        about: "2 mm walls, bosses, clips, two threaded bushes",
        text: include_str!("../../projects/handle.ron"),
    },
    DemoJob {
        title: "Cap",
        about: "a groove for a seal ring: an undercut all round",
        text: include_str!("../../projects/cap.ron"),
    },
    DemoJob {
        title: "Soft grip",
        about: "a saddle with ribs and dimples",
        text: include_str!("../../projects/grip.ron"),
    },
    DemoJob {
        title: "Soft ring, two shots",
        about: "a ring cast over the hard cap: contact, hold, weights and days of both",
        text: include_str!("../../projects/ring.ron"),
    },
];

impl DemoJob {
    /// The plan, as it was planned.
    ///
    /// # Errors
    /// Never with the bundled plans; a test reads them.
    pub fn plan(&self) -> Result<Plan, file::PlanFileError> {
        file::from_text(self.text, Path::new(self.title))
    }
}
