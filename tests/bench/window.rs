//! The window: how long one of its frames takes while it opens a large mesh and while a vent is dragged, and how long the
//! findings take that follow from a move of the pointer. Pictures are drawn on the painter's own thread as always.

use egui::{Pos2, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use glam::{DVec3, Vec3};
use mouldbench::app::{App, Setup};
use mouldbench::mesh::{Mesh, solids, write_stl};
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

/// A ring with waves on it, of about this many triangles, on 60 by 60 by 25 mm.
pub fn wavy_ring(triangles: u32) -> Mesh {
    let round = ((triangles as f32) * 0.9).sqrt() as u32;
    let mut mesh = solids::torus(30.0, 10.0, round, (triangles / 2) / round);
    for p in &mut mesh.positions {
        let wave = (0.4 * p.x).sin() * (0.5 * p.y).cos();
        p.z *= 1.0 + 0.15 * wave;
    }
    mesh
}

pub struct Window {
    /// The window driven without a screen.
    pub harness: Harness<'static, App>,
    /// Time of each frame since the last look, milliseconds.
    frames: Vec<f64>,
}

impl Window {
    /// Draws one frame and times it.
    pub fn frame(&mut self) {
        let begun = own_ms();
        self.harness.step();
        self.frames.push(own_ms() - begun);
    }

    /// Frames until nothing is under way.
    pub fn settle(&mut self) {
        // What was clicked is taken in first.
        (0..3).for_each(|_| self.frame());
        while self.harness.state().waiting_for().is_some() {
            self.frame();
            std::thread::sleep(Duration::from_millis(2));
        }
        self.frame();
    }

    /// Middle, 99th in 100 and longest frame since the last look.
    pub fn take(&mut self) -> [f64; 3] {
        let mut times = std::mem::take(&mut self.frames);
        times.sort_by(f64::total_cmp);
        let at = |share: f64| times.get(((times.len() as f64 - 1.0) * share) as usize).copied().unwrap_or(f64::NAN);
        [at(0.5), at(0.99), at(1.0)]
    }
}

/// Writes a wavy ring of about so many triangles into a folder.
pub fn write_ring(folder: &Path, triangles: u32) -> PathBuf {
    let path = folder.join("ring.stl");
    let mut file = std::fs::File::create(&path).expect("made");
    write_stl::write(&mut file, &wavy_ring(triangles), DVec3::ZERO).expect("written");
    path
}

/// Time that this thread itself has worked, milliseconds: what others do on a shared machine is not counted. Where the
/// system does not tell (it is Linux that does), the clock on the wall.
fn own_ms() -> f64 {
    static BEGUN: std::sync::OnceLock<Instant> = std::sync::OnceLock::new();
    let worked = std::fs::read_to_string("/proc/thread-self/schedstat").ok();
    let worked = worked.and_then(|t| t.split_whitespace().next().and_then(|n| n.parse::<f64>().ok()));
    worked.map_or_else(|| BEGUN.get_or_init(Instant::now).elapsed().as_secs_f64() * 1e3, |ns| ns / 1e6)
}

/// A window with this file open.
pub fn window(file: &Path) -> Window {
    let setup = Setup { file: Some(file.to_path_buf()), ..Setup::default() };
    let builder = Harness::builder().with_size(vec2(1280.0, 800.0)).with_context_setup(mouldbench::app::theme::install);
    let harness = builder.build_ui_state(|ui, app: &mut App| app.ui(ui), App::new(setup));
    Window { harness, frames: Vec::new() }
}

/// Prints the table.
pub fn run() {
    println!("window: milliseconds of work of the window's thread for one frame, middle / 99 in 100 / longest");
    println!(
        "triangles   opening              seconds   dragging a vent      pointer to findings: best / middle / 9 in 10 / worst"
    );
    for triangles in [20_000, 200_000, 1_000_000] {
        let folder = tempfile::tempdir().expect("a folder");
        let path = write_ring(folder.path(), triangles);
        let begun = Instant::now();
        let mut window = window(&path);
        window.settle();
        let seconds = begun.elapsed().as_secs_f64();
        let opening = window.take();
        let spot = window.harness.state().spot_near(Vec3::new(0.0, -40.0, 4.0)).expect("the ring");
        window.harness.state_mut().place_vent(spot);
        window.settle();
        window.harness.get_by_label_contains("Vents, ").click();
        window.settle();
        window.take();
        let at = {
            let app = window.harness.state();
            let frames = &app.known().setting().expect("frames").frames;
            app.canvas().on_screen(frames.spot_in_work(&spot)).expect("in sight")
        };
        let mut waits = Vec::new();
        window.harness.hover_at(at);
        window.frame();
        window.harness.drag_at(at);
        window.frame();
        // A drag begins only once the pointer has gone some way.
        window.harness.hover_at(at + vec2(10.0, 0.0));
        (0..3).for_each(|_| window.frame());
        let mut last = window.harness.state().document().expect("a job").version();
        for i in 1..=60 {
            let to: Pos2 = at + vec2(10.0 + 1.5 * i as f32, -0.4 * i as f32);
            let begun = Instant::now();
            window.harness.hover_at(to);
            window.frame();
            let version = window.harness.state().document().expect("a job").version();
            assert!(version > last, "the vent must follow");
            last = version;
            while window.harness.state().known().version < version && begun.elapsed() < Duration::from_secs(20) {
                // A window draws when it is woken; one that drew all the time would take a core from the work.
                std::thread::sleep(Duration::from_micros(500));
                window.frame();
            }
            waits.push(begun.elapsed().as_secs_f64() * 1e3);
        }
        window.harness.drop_at(at);
        let dragging = window.take();
        window.settle();
        waits.sort_by(f64::total_cmp);
        let three = |t: [f64; 3]| format!("{:5.1} /{:5.1} /{:6.1}", t[0], t[1], t[2]);
        println!(
            "{triangles:9}   {}   {seconds:6.1}   {}   {:.1} / {:.1} / {:.1} / {:.1}",
            three(opening),
            three(dragging),
            waits[0],
            waits[waits.len() / 2],
            waits[waits.len() * 9 / 10],
            waits[waits.len() - 1]
        );
    }
}
