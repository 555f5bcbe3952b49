//! Opening the real window, and saying in words why it can't be opened.

use crate::app::{App, Setup};
use crate::shop::Shop;
use std::path::PathBuf;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

/// Why there is no window.
#[derive(Debug, thiserror::Error)]
pub enum AppError {
    /// The system gave no window.
    #[error(
        "The window could not be opened ({0}). On Linux it needs a running display (X11 or Wayland), OpenGL (libgl1, \
         libegl1) and libxkbcommon-x11-0; without a window use the commands: mouldbench --help"
    )]
    NoWindow(String),
}

/// Opens the window on a plan, a mesh, or the welcome page, and returns when it is closed.
///
/// # Errors
/// [`AppError`] where there is no display, no OpenGL, or a library is missing.
pub fn run(file: Option<PathBuf>, shop: Option<PathBuf>) -> Result<(), AppError> {
    let mut setup = Setup { file, data_folder: crate::app::keeping::data_folder(), ..Setup::default() };
    setup.shop_file = crate::shop::user_file();
    match Shop::for_user(shop.as_deref()) {
        Ok(read) => setup.shop = read,
        // The window opens all the same; what is wrong stands in it until it is put right.
        Err(e) => setup.shop_trouble = Some(format!("{e}. The figures that come with the program are used")),
    }
    let viewport = egui::ViewportBuilder::default()
        .with_title("Mouldbench")
        .with_app_id("mouldbench")
        .with_inner_size([1400.0, 900.0])
        .with_min_inner_size([960.0, 620.0])
        .with_drag_and_drop(true);
    let options = eframe::NativeOptions { viewport, persist_window: false, ..Default::default() };
    let shown = Arc::new(AtomicBool::new(false));
    let seen = shown.clone();
    // Where a system library is missing the window system panics on the way; that must become words too.
    let opened = std::panic::catch_unwind(std::panic::AssertUnwindSafe(|| {
        eframe::run_native(
            "Mouldbench",
            options,
            Box::new(|context| {
                crate::app::theme::install(&context.egui_ctx);
                Ok(Box::new(Window { app: App::new(setup), shown: seen }))
            }),
        )
    }));
    match opened {
        Ok(Ok(())) => Ok(()),
        Ok(Err(e)) => Err(AppError::NoWindow(e.to_string())),
        // A fault of our own while working is no trouble with the window.
        Err(panic) if shown.load(Ordering::Relaxed) => std::panic::resume_unwind(panic),
        Err(panic) => {
            let words = panic
                .downcast_ref::<String>()
                .cloned()
                .or_else(|| panic.downcast_ref::<&str>().map(|s| (*s).to_owned()))
                .unwrap_or_else(|| "it stopped without a reason".to_owned());
            Err(AppError::NoWindow(words))
        }
    }
}

struct Window {
    app: App,
    /// True once the window has been drawn.
    shown: Arc<AtomicBool>,
}

impl eframe::App for Window {
    fn ui(&mut self, ui: &mut egui::Ui, _frame: &mut eframe::Frame) {
        self.shown.store(true, Ordering::Relaxed);
        self.app.ui(ui);
    }

    fn on_exit(&mut self, _gl: Option<&eframe::glow::Context>) {
        self.app.leave();
    }
}
