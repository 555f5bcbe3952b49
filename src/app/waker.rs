//! How other threads wake the window.

use std::sync::{Arc, OnceLock};

/// Wakes the window once it is there; before that it does nothing.
#[derive(Clone, Default)]
pub struct Waker {
    ctx: Arc<OnceLock<egui::Context>>,
}

impl std::fmt::Debug for Waker {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Waker").field("bound", &self.ctx.get().is_some()).finish()
    }
}

impl Waker {
    /// Says which window is woken; only the first one counts.
    pub fn bind(&self, ctx: &egui::Context) {
        self.ctx.get_or_init(|| ctx.clone());
    }

    /// The window, once it is there.
    pub fn window(&self) -> Option<&egui::Context> {
        self.ctx.get()
    }

    /// Asks the window to draw itself again.
    pub fn wake(&self) {
        if let Some(ctx) = self.ctx.get() {
            ctx.request_repaint();
        }
    }
}
