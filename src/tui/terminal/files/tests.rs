//! The watch without notices of the system: looking twice a second finds what a notice would have told.

#![allow(clippy::expect_used)] // a test that cannot go on has failed

use super::super::watch::Happening;
use super::{Files, LOOK, tells_of_change};
use notify::event::{CreateKind, Flag};
use notify::{Event, EventKind};
use std::fs;
use std::path::PathBuf;
use std::sync::mpsc::{Receiver, channel};
use std::thread::sleep;
use std::time::Duration;

/// A folder with a job, a log and a folder of schedules, looked at again and again.
struct Looked {
    _folder: tempfile::TempDir,
    job: PathBuf,
    log: PathBuf,
    schedule: PathBuf,
    files: Files,
    told: Receiver<Happening>,
}

fn looked() -> Looked {
    let folder = tempfile::tempdir().expect("a folder");
    let path = |name: &str| folder.path().join(name);
    fs::create_dir(path("own")).expect("a folder");
    for name in ["press.toml", "press.log", "own/oil.toml"] {
        fs::write(path(name), "as it was").expect("written");
    }
    let (tell, told) = channel();
    let paths = [path("press.toml"), path("press.log"), path("own")];
    let files = Files::with(None, std::sync::Arc::default(), &paths, &tell);
    let looked = Looked {
        job: path("press.toml"),
        log: path("press.log"),
        schedule: path("own/oil.toml"),
        _folder: folder,
        files,
        told,
    };
    assert!(looked.files.looking);
    assert!(looked.is_told(), "what was written before anybody watched is read once");
    looked
}

impl Looked {
    /// Whether a change is told within some looks.
    fn is_told(&self) -> bool {
        matches!(self.told.recv_timeout(LOOK * 20), Ok(Happening::FilesChanged))
    }

    /// Whether nothing is told for some looks.
    fn is_quiet(&self) -> bool {
        self.told.recv_timeout(LOOK * 3).is_err()
    }
}

#[test]
fn what_others_write_is_found_by_looking() {
    let looked = looked();
    for path in [&looked.job, &looked.log, &looked.schedule] {
        fs::write(path, "something else").expect("written");
        assert!(looked.is_told(), "{}", path.display());
        // as long as before, and put in its place whole
        let half = path.with_extension("half");
        fs::write(&half, "another thing.").expect("written");
        fs::rename(&half, path).expect("moved");
        assert!(looked.is_told(), "{}", path.display());
        while looked.told.recv_timeout(LOOK * 2).is_ok() {}
        fs::remove_file(path).expect("gone");
        assert!(looked.is_told(), "{}", path.display());
    }
    fs::write(looked.schedule.with_file_name("wax.toml"), "a new one").expect("written");
    assert!(looked.is_told());
}

#[test]
fn reading_is_no_change_and_the_looking_ends_with_the_watch() {
    let looked = looked();
    for path in [&looked.job, &looked.log, &looked.schedule] {
        fs::read(path).expect("read");
    }
    assert!(looked.is_quiet());
    let Looked {
        _folder, files, told, ..
    } = looked;
    drop(files);
    // the looker holds the other end until it has seen that nobody needs it
    let ended = (0..40).any(|_| {
        sleep(Duration::from_millis(100));
        matches!(told.try_recv(), Err(std::sync::mpsc::TryRecvError::Disconnected))
    });
    assert!(ended);
}

#[test]
fn a_file_that_comes_later_is_looked_at_by_the_same_looker() {
    let mut looked = looked();
    let late = looked.job.with_file_name("late.toml");
    let (tell, told) = channel();
    looked.files.watch_also(&[looked.job.clone(), late.clone()], &tell);
    // the list itself is another now
    assert!(looked.is_told());
    fs::write(&late, "here").expect("written");
    assert!(looked.is_told());
    assert!(told.recv_timeout(LOOK * 3).is_err(), "a second looker was started");
}

#[test]
fn what_the_system_could_not_tell_one_by_one_is_looked_at() {
    let path = PathBuf::from("/shop/press.toml");
    let watched = [path.clone()];
    let made = |path: &str| Event::new(EventKind::Create(CreateKind::File)).add_path(path.into());
    assert!(tells_of_change(&Ok(made("/shop/press.toml")), &watched));
    assert!(!tells_of_change(&Ok(made("/shop/other.toml")), &watched));
    let lost = Event::new(EventKind::Other).set_flag(Flag::Rescan);
    assert!(tells_of_change(&Ok(lost), &watched));
    assert!(tells_of_change(&Err(notify::Error::generic("lost")), &watched));
}
