//! The other part of a two-shot job: named, and its reading noted in the plan.

use super::App;
use crate::plan::SecondShot;
use std::path::Path;

/// What naming it is called.
const ADD: &str = "Add the other shot's part";

impl App {
    /// Says why something was not done.
    pub(super) fn tell(&mut self, words: &str) {
        self.notices.trouble(words);
    }

    /// Makes the plan one of two shots; the other part is that of `mesh`, in the frame of this plan's parts.
    pub fn add_other_part(&mut self, mesh: &Path) {
        let whole = std::path::absolute(mesh).unwrap_or_else(|_| mesh.to_path_buf());
        let name = whole.file_stem().map(|s| s.to_string_lossy().into_owned()).unwrap_or_default();
        let mesh = whole.to_string_lossy().into_owned();
        self.edit(ADD, |p| {
            let before = p.second_shot.take().unwrap_or_default();
            let unit = p.parts.first().map(|p| p.unit).unwrap_or_default();
            p.second_shot = Some(SecondShot { name, mesh, unit, digest: String::new(), ..before });
        });
    }

    /// Notes which file it was, once that is read, as a part of naming it.
    pub(super) fn note_other_digest(&mut self) {
        let unnoted = |p: &SecondShot| p.digest.is_empty();
        let Some(document) = &self.document else { return };
        // A plan that was read from a file stays as it was written.
        let just_named = document.history.undo_name() == Some(ADD);
        if !just_named
            || self.known.version != document.version()
            || !document.plan().second_shot.as_ref().is_some_and(unnoted)
        {
            return;
        }
        let other = self.known.setting().and_then(|s| s.other.as_ref()).and_then(|o| o.as_ref().ok());
        let Some(digest) = other.map(|o| o.loaded.digest.clone()) else { return };
        if let Some(document) = &mut self.document {
            document.amend(ADD, |p| {
                if let Some(second) = &mut p.second_shot {
                    second.digest = digest;
                }
            });
        }
    }
}
