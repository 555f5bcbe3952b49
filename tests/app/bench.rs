//! A window without a display, and the hands that work in it.

use super::painter::CpuPainter;
use crate::known;
use egui::{Pos2, Vec2, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT, Queryable};
use mouldbench::app::{App, Setup};
use mouldbench::shop::Shop;
use std::path::PathBuf;
use std::time::{Duration, Instant};

/// The window of one test, with a data folder of its own.
pub struct Bench {
    pub harness: Harness<'static, App>,
    pub folder: tempfile::TempDir,
}

/// Stands for the system's program: it keeps a copy of what it is given, and fails where a folder stands in the way.
fn see(path: &std::path::Path) -> std::io::Result<()> {
    std::fs::copy(path, path.with_extension("seen")).map(|_| ())
}

impl Bench {
    /// A window of this size on the welcome page.
    pub fn new(size: Vec2) -> Bench {
        let folder = tempfile::tempdir().expect("a folder for the test");
        Bench::at(size, folder, None, 1.0)
    }

    /// A window that keeps its things in `folder` and opens `file`.
    pub fn at(size: Vec2, folder: tempfile::TempDir, file: Option<PathBuf>, pixels_per_point: f32) -> Bench {
        let (data, shop) = (folder.path().join("data"), folder.path().join("config/shop.ron"));
        let setup = Setup { file, data_folder: Some(data), shop_file: Some(shop), hand_over: see, ..Setup::default() };
        Bench::of(size, folder, setup, pixels_per_point)
    }

    /// A window that starts with `setup`; `folder` is only kept while it is there. What an earlier window found out about
    /// the same file is known to it.
    pub fn of(size: Vec2, folder: tempfile::TempDir, setup: Setup, pixels_per_point: f32) -> Bench {
        let opened = setup.file.as_ref().and_then(|f| std::fs::read(f).ok());
        let facts = opened.as_deref().and_then(|o| known::of(o, &setup.shop));
        let mut bench = Bench::start(size, folder, Setup { facts, ..setup }, pixels_per_point);
        bench.settle();
        if let Some(opened) = opened {
            known::keep(&opened, bench.app().bench());
        }
        bench
    }

    fn start(size: Vec2, folder: tempfile::TempDir, setup: Setup, pixels_per_point: f32) -> Bench {
        let harness = Harness::builder()
            .with_size(size)
            .with_pixels_per_point(pixels_per_point)
            .with_max_steps(400)
            .renderer(CpuPainter::default())
            .with_context_setup(mouldbench::app::theme::install)
            .build_ui_state(|ui, app: &mut App| app.ui(ui), App::new(setup));
        Bench { harness, folder }
    }

    /// The usual window with the demo job open and everything computed.
    pub fn with_demo() -> Bench {
        let folder = tempfile::tempdir().expect("a folder for the test");
        let (data, shop_file) = (folder.path().join("data"), folder.path().join("config/shop.ron"));
        let (data_folder, shop_file) = (Some(data), Some(shop_file));
        let facts = known::of(b"demo", Shop::bundled());
        let setup = Setup { data_folder, shop_file, hand_over: see, facts, ..Setup::default() };
        let mut bench = Bench::start(vec2(1400.0, 900.0), folder, setup, 1.0);
        bench.settle();
        bench.click("Open the demo job");
        known::keep(b"demo", bench.app().bench());
        bench
    }

    /// The usual window on a plain ring: seen from all sides, and quick to compute.
    pub fn with_ring() -> Bench {
        Bench::with_ring_at(vec2(1400.0, 900.0), 1.0)
    }

    /// A window of another size or density on the ring.
    pub fn with_ring_at(size: Vec2, pixels_per_point: f32) -> Bench {
        let ring = mouldbench::mesh::solids::torus(30.0, 10.0, 48, 24);
        Bench::with_mesh_at("ring", &ring, size, pixels_per_point)
    }

    /// The usual window on a mesh.
    pub fn with_mesh(name: &str, mesh: &mouldbench::mesh::Mesh) -> Bench {
        Bench::with_mesh_at(name, mesh, vec2(1400.0, 900.0), 1.0)
    }

    fn with_mesh_at(name: &str, mesh: &mouldbench::mesh::Mesh, size: Vec2, pixels_per_point: f32) -> Bench {
        let folder = tempfile::tempdir().expect("a folder for the test");
        let path = folder.path().join(format!("{name}.stl"));
        std::fs::write(&path, stl_of(mesh)).expect("a mesh file");
        Bench::at(size, folder, Some(path), pixels_per_point)
    }

    pub fn app(&self) -> &App {
        self.harness.state()
    }

    /// Runs frames until nothing is under way.
    pub fn settle(&mut self) {
        let begun = Instant::now();
        loop {
            self.harness.run_steps(3);
            let Some(what) = self.app().waiting_for() else { break };
            assert!(begun.elapsed() < Duration::from_secs(120), "still waiting for {what}");
            std::thread::sleep(Duration::from_millis(4));
        }
        self.harness.run_steps(2);
    }

    /// Clicks what is called `label`.
    pub fn click(&mut self, label: &str) {
        self.harness.get_by_label(label).click();
        self.settle();
    }

    /// Scrolls what is called `label` into sight.
    pub fn bring_up(&mut self, label: &str) {
        self.harness
            .query_all_by_label(label)
            .next()
            .unwrap_or_else(|| panic!("nothing is called {label}"))
            .scroll_to_me();
        self.settle();
    }

    /// Clicks the first thing whose name begins with `start`, scrolled into sight.
    pub fn click_start(&mut self, start: &str) {
        self.beginning(start).scroll_to_me();
        self.settle();
        self.beginning(start).click();
        self.settle();
    }

    fn beginning(&self, start: &str) -> egui_kittest::Node<'_> {
        let start = start.to_owned();
        let wanted = start.clone();
        self.harness
            .query_all(
                egui_kittest::kittest::By::new()
                    .predicate(move |node| node.label().is_some_and(|l| l.starts_with(&wanted))),
            )
            .next()
            .unwrap_or_else(|| panic!("nothing is called {start}…"))
    }

    /// True where something is called `label`.
    pub fn has(&self, label: &str) -> bool {
        self.harness.query_all_by_label(label).next().is_some()
    }

    /// True where some name or text holds `words`.
    pub fn says(&self, words: &str) -> bool {
        self.harness.query_all_by_label_contains(words).next().is_some()
    }

    /// Opens a step of the job card.
    pub fn go_to(&mut self, step: &str) {
        self.click_start(&format!("{step}, "));
    }

    /// Clicks a place in the window.
    pub fn click_at(&mut self, at: Pos2) {
        self.harness.hover_at(at);
        self.harness.run_steps(2);
        self.harness.drag_at(at);
        self.harness.run_steps(1);
        self.harness.drop_at(at);
        self.settle();
    }

    /// Drags from one place to another with the left button, in a few steps.
    pub fn drag(&mut self, from: Pos2, to: Pos2) {
        self.harness.hover_at(from);
        self.harness.run_steps(2);
        self.harness.drag_at(from);
        self.harness.run_steps(1);
        for i in 1..=8 {
            self.harness.hover_at(from + (to - from) * (i as f32 / 8.0));
            self.harness.run_steps(2);
        }
        self.harness.drop_at(to);
        self.settle();
    }

    /// Presses a key with modifiers.
    pub fn key(&mut self, modifiers: egui::Modifiers, key: egui::Key) {
        self.harness.key_press_modifiers(modifiers, key);
        self.settle();
    }

    /// Gives the keys to the field called `label`.
    pub fn focus(&mut self, label: &str) {
        self.field(label).focus();
        self.harness.run_steps(2);
    }

    fn field<'a>(&'a self, label: &'a str) -> egui_kittest::Node<'a> {
        use egui::accesskit::Role;
        let roles = [Role::TextInput, Role::SpinButton, Role::MultilineTextInput];
        self.harness
            .query_all_by_label(label)
            .find(|n| roles.contains(&n.accesskit_node().role()))
            .unwrap_or_else(|| panic!("no field is called {label}"))
    }

    /// Sets the slider called `label`.
    pub fn slide_to(&mut self, label: &str, value: f64) {
        use egui::accesskit::{Action, ActionData, ActionRequest, Role};
        let slider = self
            .harness
            .query_all_by_label(label)
            .find(|n| n.accesskit_node().role() == Role::Slider)
            .unwrap_or_else(|| panic!("no slider is called {label}"));
        let (target_node, target_tree) = slider.accesskit_node().locate();
        let data = Some(ActionData::NumericValue(value));
        let request = ActionRequest { action: Action::SetValue, target_tree, target_node, data };
        self.harness.event(egui::Event::AccessKitActionRequest(request));
        self.settle();
    }

    /// Types into whatever has the keys.
    pub fn type_text(&mut self, text: &str) {
        self.harness.event(egui::Event::Text(text.to_owned()));
        self.settle();
    }

    /// Replaces what the field called `label` holds and leaves the field.
    pub fn type_into(&mut self, label: &str, text: &str) {
        self.field(label).click();
        self.harness.run_steps(3);
        self.harness.key_press_modifiers(egui::Modifiers::COMMAND, egui::Key::A);
        self.harness.run_steps(1);
        self.harness.event(egui::Event::Text(text.to_owned()));
        self.harness.run_steps(1);
        self.harness.key_press(egui::Key::Enter);
        self.settle();
    }

    /// Opens the list called `label` and takes `item`.
    pub fn choose(&mut self, label: &str, item: &str) {
        use egui::accesskit::Role;
        self.harness
            .query_all_by_label(label)
            .find(|n| n.accesskit_node().role() == Role::ComboBox)
            .unwrap_or_else(|| panic!("no list is called {label}"))
            .click();
        self.harness.run_steps(3);
        self.click(item);
    }

    /// Clicks without waiting for anything.
    pub fn click_only(&mut self, label: &str) {
        self.harness.get_by_label(label).click();
        self.harness.run_steps(2);
    }

    /// Lets this many seconds of frames pass.
    pub fn rest(&mut self, seconds: f32) {
        self.settle();
        self.harness.run_steps((seconds * 60.0) as usize);
        self.settle();
    }

    /// Turns the wheel over a place.
    pub fn scroll(&mut self, at: Pos2, by: f32) {
        self.harness.hover_at(at);
        self.harness.run_steps(2);
        self.harness.event(egui::Event::MouseWheel {
            unit: egui::MouseWheelUnit::Point,
            delta: vec2(0.0, by),
            phase: egui::TouchPhase::Move,
            source: egui::MouseWheelSource::Unknown,
            modifiers: egui::Modifiers::NONE,
        });
        self.harness.run_steps(30);
        self.settle();
    }

    /// Opens a file by its typed path.
    pub fn open(&mut self, path: &std::path::Path) {
        self.key(egui::Modifiers::COMMAND, egui::Key::O);
        self.type_text(&path.to_string_lossy());
        self.click("Open");
    }

    /// Saves under a typed path.
    pub fn save_as(&mut self, path: &std::path::Path) {
        self.key(egui::Modifiers::COMMAND | egui::Modifiers::SHIFT, egui::Key::S);
        self.harness.key_press_modifiers(egui::Modifiers::COMMAND, egui::Key::A);
        self.harness.run_steps(1);
        self.type_text(&path.to_string_lossy());
        self.click("Save");
    }

    /// Asks the window to close; true where it is held open.
    pub fn ask_to_close(&mut self) -> bool {
        let root = egui::ViewportId::ROOT;
        let info = self.harness.input_mut().viewports.entry(root).or_default();
        info.events.push(egui::ViewportEvent::Close);
        self.harness.step();
        let held = self.harness.output().viewport_output[&root]
            .commands
            .iter()
            .any(|c| matches!(c, egui::ViewportCommand::CancelClose));
        if let Some(info) = self.harness.input_mut().viewports.get_mut(&root) {
            info.events.clear();
        }
        self.settle();
        held
    }

    /// Takes everything out of the plan but the part, as edits.
    pub fn clear_plan(&mut self) {
        self.harness.state_mut().edit("Clear", |p| {
            *p = mouldbench::plan::Plan {
                name: p.name.clone(),
                parts: p.parts.clone(),
                ..mouldbench::plan::Plan::default()
            };
        });
        self.settle();
    }

    /// What can be touched and has no name.
    pub fn unnamed(&self) -> Vec<String> {
        use egui::accesskit::Role;
        let touched = [
            Role::Button,
            Role::CheckBox,
            Role::ComboBox,
            Role::TextInput,
            Role::SpinButton,
            Role::Slider,
            Role::ListBoxOption,
            Role::Image,
            Role::MultilineTextInput,
        ];
        self.harness
            .query_all(egui_kittest::kittest::By::new().predicate(move |n| touched.contains(&n.role())))
            .filter(|n| {
                let node = n.accesskit_node();
                let named = node.label().is_some_and(|l| !l.trim().is_empty());
                !named && !node.labelled_by().any(|l| l.value().or(l.label()).is_some_and(|t| !t.is_empty()))
            })
            .map(|n| format!("{:?} at {:?}", n.accesskit_node().role(), n.rect()))
            .collect()
    }

    /// What reaches over the edge of a window of this size.
    pub fn off_screen(&self, size: Vec2) -> Vec<String> {
        use egui::accesskit::Role;
        let touched = [Role::Button, Role::CheckBox, Role::ComboBox, Role::SpinButton, Role::Slider];
        self.harness
            .query_all(egui_kittest::kittest::By::new().predicate(move |n| touched.contains(&n.role())))
            .filter(|n| {
                let r = n.rect();
                // What scrolls may lie below; what is wider than the window, or beside it, is cut off.
                r.is_positive() && (r.min.x < -0.5 || r.max.x > size.x + 0.5)
            })
            .map(|n| format!("{:?} {:?} at {:?}", n.accesskit_node().role(), n.accesskit_node().label(), n.rect()))
            .collect()
    }

    /// The window as it looks; also written where `MOULDBENCH_PICTURES` names a folder.
    pub fn picture(&mut self, name: &str) -> image::RgbaImage {
        let image = self.harness.render().expect("the painter draws");
        if let Ok(folder) = std::env::var("MOULDBENCH_PICTURES") {
            image.save(std::path::Path::new(&folder).join(format!("{name}.png"))).expect("a folder to write to");
        }
        image
    }
}

/// A binary STL file, by hand: 80 bytes of head, the count, fifty bytes a triangle.
pub fn stl_of(mesh: &mouldbench::mesh::Mesh) -> Vec<u8> {
    let mut bytes = vec![0u8; 80];
    bytes.extend((mesh.triangles.len() as u32).to_le_bytes());
    for t in 0..mesh.triangles.len() {
        for v in std::iter::once(mesh.unit_normal(t)).chain(mesh.corners(t)) {
            bytes.extend(v.to_array().iter().flat_map(|c| c.to_le_bytes()));
        }
        bytes.extend([0, 0]);
    }
    bytes
}
