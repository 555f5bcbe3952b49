//! The open job: its plan with history, and where it lives on disk.
//!
//! In the window a plan names its meshes by whole paths, so that saving it elsewhere changes nothing that is undone or
//! being computed; in the file they are named from the file's own folder where they lie below it.

use super::demo;
use crate::plan::history::History;
use crate::plan::{Plan, Unit, file};
use crate::study::propose::bare_plan;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// An open job.
#[derive(Debug)]
pub struct Document {
    /// The plan and what came before it.
    pub history: History,
    /// Where it was read from or last saved to.
    pub path: Option<PathBuf>,
    /// The folder that relative mesh names start at, for a job that was not saved yet.
    base: Option<PathBuf>,
    /// Grows with every change of the plan.
    version: u64,
    /// The plan of this version, for those who keep it.
    shared: Arc<Plan>,
}

impl Document {
    fn new(history: History, path: Option<PathBuf>, base: Option<PathBuf>) -> Document {
        let mut history = history;
        let folder = path.as_deref().and_then(Path::parent).or(base.as_deref());
        if let Some(folder) = folder {
            history.everywhere(|plan| name_wholly(plan, folder));
        }
        let shared = Arc::new(history.plan().clone());
        Document { history, path, base, version: 1, shared }
    }

    /// A job read from a file.
    pub fn saved(plan: Plan, path: PathBuf) -> Document {
        Document::new(History::new(plan), Some(path), None)
    }

    /// A job that is on no disk yet; `base` is the folder its relative mesh names start at.
    pub fn unsaved(plan: Plan, base: Option<PathBuf>) -> Document {
        Document::new(History::unsaved(plan), None, base)
    }

    /// A job as bundled with the program: nothing is lost when it is closed as it was.
    pub fn bundled(plan: Plan) -> Document {
        Document::new(History::new(plan), None, None)
    }

    /// A job to practise on; `base` is the folder its relative mesh names start at.
    pub fn for_practice(plan: Plan, base: Option<PathBuf>) -> Document {
        Document::new(History::new(plan), None, base)
    }

    /// The plan that was not saved when the program last ended; `path` is where it belonged.
    pub fn recovered(plan: Plan, path: Option<PathBuf>) -> Document {
        let base = path.as_deref().and_then(Path::parent).map(Path::to_path_buf);
        Document::new(History::unsaved(plan), path, base)
    }

    /// A fresh plan about one mesh file.
    pub fn of_mesh(mesh: &Path, unit: Unit, digest: &str) -> Document {
        let name = mesh.file_stem().map_or_else(|| "Part".to_owned(), |s| s.to_string_lossy().into_owned());
        let file_name = mesh.file_name().map(|n| n.to_string_lossy().into_owned()).unwrap_or_default();
        let plan = bare_plan(&name, &file_name, digest, unit);
        let absolute = std::path::absolute(mesh).unwrap_or_else(|_| mesh.to_path_buf());
        // Nothing was decided yet, so nothing is lost where it is closed as it is.
        Document::new(History::new(plan), None, absolute.parent().map(Path::to_path_buf))
    }

    /// The plan as it is now.
    pub fn plan(&self) -> &Plan {
        self.history.plan()
    }

    /// The plan as it is now, to be kept by others.
    pub fn shared(&self) -> Arc<Plan> {
        self.shared.clone()
    }

    /// The folder that relative mesh names start at.
    pub fn folder(&self) -> Option<PathBuf> {
        match &self.path {
            Some(path) => path.parent().map(Path::to_path_buf),
            None => self.base.clone(),
        }
    }

    /// The same job with its versions counted from `version`.
    pub fn counted_from(self, version: u64) -> Document {
        Document { version, ..self }
    }

    /// Grows with every change of the plan: equal numbers mean the same plan.
    pub fn version(&self) -> u64 {
        self.version
    }

    /// Has everything looked into again, though nothing of the plan was changed.
    pub fn look_again(&mut self) {
        self.version += 1;
    }

    /// Says where the mesh called `old` lies now, in this plan and in all that undo and redo lead to: where a file lies is
    /// nothing that is taken back.
    pub fn mesh_lies_at(&mut self, old: &str, new: &Path) {
        self.counted(|h| {
            h.everywhere(|plan| {
                for name in mesh_names(plan).filter(|n| *n == old) {
                    *name = new.to_string_lossy().into_owned();
                }
            });
            h.changed_since_saved();
        });
    }

    /// One edit, undone by itself.
    pub fn edit(&mut self, name: &str, change: impl FnOnce(&mut Plan)) {
        self.counted(|h| h.edit(name, change));
    }

    /// One step of a drag or of typing; see [`History::stroke`].
    pub fn stroke(&mut self, name: &str, change: impl FnOnce(&mut Plan)) {
        self.counted(|h| h.stroke(name, change));
    }

    /// Changes the plan as a part of the last edit where that is called `name`, else as an edit of its own.
    pub fn amend(&mut self, name: &str, change: impl FnOnce(&mut Plan)) {
        self.counted(|h| {
            if h.undo_name() == Some(name) {
                let mut plan = h.plan().clone();
                change(&mut plan);
                h.undo();
                h.edit(name, |p| *p = plan);
            } else {
                h.edit(name, change);
            }
        });
    }

    /// Ends the stroke under way.
    pub fn settle(&mut self) {
        self.history.settle();
    }

    /// Takes the last edit back.
    pub fn undo(&mut self) {
        self.counted(|h| {
            h.undo();
        });
    }

    /// Makes the last undone edit again.
    pub fn redo(&mut self) {
        self.counted(|h| {
            h.redo();
        });
    }

    fn counted(&mut self, change: impl FnOnce(&mut History)) {
        change(&mut self.history);
        if *self.history.plan() != *self.shared {
            self.version += 1;
            self.shared = Arc::new(self.history.plan().clone());
        }
    }

    /// What the title says: the job's name and its file.
    pub fn title(&self) -> String {
        let name = &self.plan().name;
        if name.is_empty() { "Unnamed job".to_owned() } else { name.clone() }
    }

    /// Where saving under another name starts.
    pub fn suggested_path(&self) -> PathBuf {
        if let Some(path) = &self.path {
            return path.clone();
        }
        let safe: String =
            self.title().chars().map(|c| if c.is_alphanumeric() || c == '-' { c } else { '_' }).collect();
        let folder = self.base.clone().or_else(|| std::env::current_dir().ok()).unwrap_or_default();
        folder.join(format!("{safe}.ron"))
    }

    /// Saves to `path`, with mesh names that hold from there. Saving is no edit. On an error nothing has changed, here or
    /// on disk.
    ///
    /// # Errors
    /// What went wrong, in words.
    pub fn save(&mut self, path: &Path) -> Result<(), file::PlanFileError> {
        let path = std::path::absolute(path).unwrap_or_else(|_| path.to_path_buf());
        // A name that was typed in the meantime starts at the old folder.
        if let Some(folder) = self.folder() {
            self.counted(|h| h.everywhere(|plan| name_wholly(plan, &folder)));
        }
        let mut plan = self.plan().clone();
        if let Some(folder) = path.parent() {
            for name in mesh_names(&mut plan) {
                if let Ok(below) = Path::new(name.as_str()).strip_prefix(folder) {
                    *name = below.to_string_lossy().into_owned();
                }
            }
        }
        file::save(&plan, &path)?;
        self.path = Some(path);
        self.history.mark_saved();
        Ok(())
    }
}

/// Every mesh name in a plan.
pub fn mesh_names(plan: &mut Plan) -> impl Iterator<Item = &mut String> {
    let inserts = plan.inserts.iter_mut().filter_map(|i| match &mut i.kind {
        crate::plan::InsertKind::Mesh { mesh } => Some(mesh),
        _ => None,
    });
    let other = plan.second_shot.iter_mut().map(|s| &mut s.mesh);
    plan.parts.iter_mut().map(|p| &mut p.mesh).chain(inserts).chain(other)
}

/// Names every mesh by its whole path, those that start at `folder` too. The very mesh that is carried in the program keeps
/// its name where no file takes its place.
fn name_wholly(plan: &mut Plan, folder: &Path) {
    let known = plan.parts.iter().map(|p| (&p.mesh, &p.digest));
    let known = known.chain(plan.second_shot.iter().map(|s| (&s.mesh, &s.digest)));
    let carried: Vec<String> = known.filter(|(n, d)| demo::carries(n, d)).map(|(n, _)| n.clone()).collect();
    for name in mesh_names(plan) {
        let file = folder.join(name.as_str());
        if !name.is_empty() && (file.is_file() || !carried.contains(name)) {
            *name = file.to_string_lossy().into_owned();
        }
    }
}
