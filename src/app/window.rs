//! Opening the real window, and saying in words why it can't be opened.

use crate::app::{App, Setup};
use crate::shop::Shop;
use egui::{Pos2, Vec2, ViewportCommand, vec2};
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
        .with_inner_size(WANTED)
        .with_min_inner_size(LEAST)
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
                Ok(Box::new(Window { app: App::new(setup), shown: seen, fitted: false }))
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
    /// True once it is known to fit on the screen.
    fitted: bool,
}

/// The size that is asked for, points, and the least that is worked in.
const WANTED: Vec2 = vec2(1400.0, 900.0);
const LEAST: Vec2 = vec2(960.0, 620.0);
/// What a title bar and its frame take where nobody says how much.
const USUAL_FRAME: Vec2 = vec2(4.0, 40.0);

/// What the inside of a window may have on a screen, points; `frame` is what the window has round its inside.
pub fn inside_of_screen(wanted: Vec2, screen: Vec2, frame: Option<Vec2>) -> Vec2 {
    wanted.min(screen - frame.unwrap_or(USUAL_FRAME)).max(vec2(320.0, 240.0)).floor()
}

impl Window {
    /// Asks for what the screen has, once it is known how large it is: with its frame the window shall not reach over the
    /// edge. What a hand makes of its size afterwards stays.
    fn fit_to_screen(&mut self, ctx: &egui::Context) {
        let viewport = ctx.input(|i| i.viewport().clone());
        let (Some(screen), Some(inside)) = (viewport.monitor_size, viewport.inner_rect) else { return };
        if self.fitted || screen.x < 1.0 || screen.y < 1.0 || viewport.maximized == Some(true) {
            return;
        }
        self.fitted = true;
        let frame = viewport.outer_rect.map(|outer| outer.size() - inside.size()).filter(|f| f.y > 1.0);
        let fits = inside_of_screen(WANTED, screen, frame);
        if fits.x < inside.width() || fits.y < inside.height() {
            ctx.send_viewport_cmd(ViewportCommand::MinInnerSize(LEAST.min(fits)));
            ctx.send_viewport_cmd(ViewportCommand::InnerSize(fits));
            ctx.send_viewport_cmd(ViewportCommand::OuterPosition(Pos2::ZERO));
        }
    }
}

impl eframe::App for Window {
    fn ui(&mut self, ui: &mut egui::Ui, _frame: &mut eframe::Frame) {
        self.shown.store(true, Ordering::Relaxed);
        self.fit_to_screen(ui.ctx());
        self.app.ui(ui);
    }

    fn on_exit(&mut self, _gl: Option<&eframe::glow::Context>) {
        self.app.leave();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_window_asks_for_no_more_than_the_screen_has() {
        // A title bar of 28 points and edges of 2 on a screen of 1280 by 720.
        let small = inside_of_screen(WANTED, vec2(1280.0, 720.0), Some(vec2(4.0, 30.0)));
        assert_eq!(small, vec2(1276.0, 690.0));
        // On a screen just as large as the window it is the title bar that is wanting.
        assert_eq!(inside_of_screen(WANTED, WANTED, Some(vec2(0.0, 24.0))), vec2(1400.0, 876.0));
        assert!(inside_of_screen(WANTED, WANTED, None).y < 900.0, "nobody says how tall the title bar is");
        assert_eq!(inside_of_screen(WANTED, vec2(2560.0, 1440.0), Some(vec2(4.0, 30.0))), WANTED);
    }
}
