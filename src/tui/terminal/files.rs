//! Watching the files others write to.
//!
//! Invariant: reading a file never looks like a change of it; where the system cannot tell of changes, the
//! files are looked at twice a second, and only then.

use super::watch::Happening;
use notify::event::{AccessKind, AccessMode};
use notify::{Event, EventKind, RecommendedWatcher, RecursiveMode, Watcher};
use std::collections::{BTreeMap, BTreeSet};
use std::os::unix::fs::MetadataExt;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::Sender;
use std::sync::{Arc, Mutex, PoisonError};
use std::thread;
use std::time::{Duration, SystemTime};

/// How often the files are looked at where the system does not tell.
const LOOK: Duration = Duration::from_millis(500);

/// A watch; it ends when it is dropped.
pub struct Files {
    watched: Arc<Mutex<Vec<PathBuf>>>,
    watcher: Option<RecommendedWatcher>,
    folders: BTreeSet<PathBuf>,
    /// The files are looked at again and again.
    looking: bool,
    over: Arc<AtomicBool>,
}

impl Files {
    /// Watches files and folders. Tells once at the start: they were read before anybody watched.
    pub fn watch(paths: &[PathBuf], to: &Sender<Happening>) -> Self {
        let list: Arc<Mutex<Vec<PathBuf>>> = Arc::default();
        let (own, tell) = (Arc::clone(&list), to.clone());
        let watcher = notify::recommended_watcher(move |event: notify::Result<Event>| {
            let known = own.lock().unwrap_or_else(PoisonError::into_inner);
            if tells_of_change(&event, &known) {
                // nobody listens any more: the wall is coming down
                let _ = tell.send(Happening::FilesChanged);
            }
        });
        Self::with(watcher.ok(), list, paths, to)
    }

    fn with(
        watcher: Option<RecommendedWatcher>,
        list: Arc<Mutex<Vec<PathBuf>>>,
        paths: &[PathBuf],
        to: &Sender<Happening>,
    ) -> Self {
        let mut files = Self {
            watched: list,
            watcher,
            folders: BTreeSet::new(),
            looking: false,
            over: Arc::default(),
        };
        files.watch_also(paths, to);
        let _ = to.send(Happening::FilesChanged);
        files
    }

    /// Watches these from now on.
    pub fn watch_also(&mut self, paths: &[PathBuf], to: &Sender<Happening>) {
        let whole: Vec<PathBuf> = paths.iter().map(|path| absolute(path)).collect();
        let mut known = self.watched.lock().unwrap_or_else(PoisonError::into_inner);
        if *known == whole {
            return;
        }
        known.clone_from(&whole);
        drop(known);
        if self.looking {
            // whoever looks has them in his list now
            return;
        }
        // a file is watched through its folder: a new one put in its place is seen too
        let folders = whole.iter().filter_map(|path| {
            if path.is_dir() {
                Some(path.clone())
            } else {
                path.parent().map(Path::to_owned)
            }
        });
        for folder in folders {
            let told = self.watcher.as_mut().is_some_and(|watcher| {
                self.folders.contains(&folder) || watcher.watch(&folder, RecursiveMode::NonRecursive).is_ok()
            });
            if told {
                self.folders.insert(folder);
            } else {
                self.look_again_and_again(to.clone());
                return;
            }
        }
    }

    /// Looks at the files twice a second.
    fn look_again_and_again(&mut self, to: Sender<Happening>) {
        self.watcher = None;
        self.looking = true;
        let (watched, over) = (Arc::clone(&self.watched), Arc::clone(&self.over));
        let look = move || looked_at(&watched.lock().unwrap_or_else(PoisonError::into_inner).clone());
        let mut before = look();
        thread::spawn(move || {
            while !over.load(Ordering::Relaxed) {
                thread::sleep(LOOK);
                let now = look();
                if now != before && to.send(Happening::FilesChanged).is_err() {
                    return;
                }
                before = now;
            }
        });
    }
}

/// A file as it is when it is looked at: itself, not only its name; how long; when it was written.
type Mark = (u64, u64, SystemTime);

/// Files by their paths, and what folders hold: writing into a file does not touch its folder.
fn looked_at(paths: &[PathBuf]) -> BTreeMap<PathBuf, Option<Mark>> {
    let mut found = BTreeMap::new();
    for path in paths {
        found.insert(path.clone(), mark(path));
        let inside = std::fs::read_dir(path).into_iter().flatten().flatten();
        found.extend(inside.map(|entry| (entry.path(), mark(&entry.path()))));
    }
    found
}

fn mark(path: &Path) -> Option<Mark> {
    let data = std::fs::metadata(path).ok()?;
    Some((data.ino(), data.len(), data.modified().ok()?))
}

impl Drop for Files {
    fn drop(&mut self) {
        self.over.store(true, Ordering::Relaxed);
    }
}

/// The path from the root, so that it can be compared with what the system names.
fn absolute(path: &Path) -> PathBuf {
    let folder = path
        .parent()
        .filter(|folder| !folder.as_os_str().is_empty())
        .unwrap_or(Path::new("."));
    match (
        std::fs::canonicalize(path),
        std::fs::canonicalize(folder),
        path.file_name(),
    ) {
        (Ok(whole), _, _) => whole,
        (Err(_), Ok(folder), Some(name)) => folder.join(name),
        _ => path.to_owned(),
    }
}

/// Whether one of these may have changed.
fn tells_of_change(event: &notify::Result<Event>, watched: &[PathBuf]) -> bool {
    match event {
        // more happened than could be told
        Ok(event) if event.need_rescan() => true,
        Ok(event) => is_change(event.kind) && event.paths.iter().any(|path| concerns(watched, path)),
        // something went untold
        Err(_) => true,
    }
}

/// Whether something was written, made, moved or taken away; not whether it was read.
const fn is_change(kind: EventKind) -> bool {
    match kind {
        EventKind::Access(access) => matches!(access, AccessKind::Close(AccessMode::Write)),
        EventKind::Create(_) | EventKind::Modify(_) | EventKind::Remove(_) => true,
        EventKind::Any | EventKind::Other => false,
    }
}

fn concerns(watched: &[PathBuf], path: &Path) -> bool {
    watched.iter().any(|one| one == path || path.parent() == Some(one))
}

#[cfg(test)]
mod tests;
