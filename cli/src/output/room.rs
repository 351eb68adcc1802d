//! A folder of its own beside the name that something is to take, held by a lock while this run
//! lives, and what becomes of one whose run is gone.

use std::fs::{self, File, OpenOptions, TryLockError};
use std::io::{self, ErrorKind, Read as _, Write as _};
use std::path::{Path, PathBuf};

use tempfile::Builder;

use crate::interrupt;
use crate::terminal;

/// What every room's name begins with.
const PREFIX: &str = ".tautway-";
/// The file in it that is locked while its run lives.
const HELD: &str = "held";
const OPENING: &str = "held by a run of tautway, for ";
/// What was in the way, put aside.
const OLD: &str = "old";
/// Rooms tried; one is lost only to a run that looks at it in the moment between two calls.
const TRIES: usize = 20;

/// A room, cleared away when dropped.
pub struct Room {
    path: PathBuf,
    _held: File,
}

impl Room {
    /// Makes one in the folder where something called `name` is to stand.
    ///
    /// # Errors
    /// When there is no place for it.
    pub fn make(folder: &Path, name: &str) -> io::Result<Self> {
        interrupt::whole_with(|rooms| {
            for _ in 0..TRIES {
                if let Some(made) = try_to_make(folder, name)? {
                    rooms.push(made.path.clone());
                    return Ok(made);
                }
            }
            Err(io::Error::other("others clear away what is begun"))
        })
    }

    /// A place in it.
    pub fn join(&self, name: &str) -> PathBuf {
        self.path.join(name)
    }

    /// Where what was in the way is put aside.
    pub fn old(&self) -> PathBuf {
        self.path.join(OLD)
    }
}

impl Drop for Room {
    fn drop(&mut self) {
        interrupt::whole_with(|rooms| {
            let _ = fs::remove_dir_all(&self.path);
            rooms.retain(|other| *other != self.path);
        });
    }
}

/// A room, or none where another run took it for left behind.
fn try_to_make(folder: &Path, name: &str) -> io::Result<Option<Room>> {
    let mut builder = Builder::new();
    builder.prefix(PREFIX);
    let path = builder.tempdir_in(folder)?.keep();
    let fill = || -> io::Result<Option<File>> {
        let mut open = OpenOptions::new();
        let mut held = match open
            .read(true)
            .write(true)
            .create_new(true)
            .open(path.join(HELD))
        {
            Err(why) if why.kind() == ErrorKind::NotFound => return Ok(None),
            opened => opened?,
        };
        match held.try_lock() {
            Err(TryLockError::WouldBlock) => return Ok(None),
            // Where a file can't be locked, nobody can find it unlocked either.
            Ok(()) | Err(TryLockError::Error(_)) => {}
        }
        writeln!(held, "{OPENING}{name}")?;
        held.sync_all()?;
        // Gone if another run had the lock between the two calls; nobody takes it from now on.
        Ok(path.join(HELD).exists().then_some(held))
    };
    match fill() {
        Ok(Some(held)) => Ok(Some(Room { path, _held: held })),
        Ok(None) => Ok(None),
        Err(why) => {
            let _ = fs::remove_dir_all(&path);
            Err(why)
        }
    }
}

/// Clears away the rooms in a folder whose run is gone, and says so.
pub fn clear(folder: &Path) {
    let Ok(entries) = fs::read_dir(folder) else {
        return;
    };
    let mut rooms: Vec<PathBuf> = entries
        .flatten()
        .filter(|entry| entry.file_name().to_string_lossy().starts_with(PREFIX))
        .filter(|entry| entry.file_type().is_ok_and(|kind| kind.is_dir()))
        .map(|entry| entry.path())
        .collect();
    rooms.sort();
    for room in rooms {
        if let Some(said) = cleared(folder, &room) {
            terminal::aside(&said);
        }
    }
}

/// Clears one away if its run is gone; what there is to say of it.
fn cleared(folder: &Path, room: &Path) -> Option<String> {
    let mut open = OpenOptions::new();
    let held = open.read(true).write(true).open(room.join(HELD));
    let mut held = match held {
        Ok(held) => held,
        Err(why) if why.kind() == ErrorKind::NotFound => {
            // Killed in the moment it was made, or being made now: then its maker takes another.
            let _ = fs::remove_dir(room);
            return None;
        }
        Err(_) => return None,
    };
    held.try_lock().ok()?;
    let mut text = String::new();
    held.read_to_string(&mut text).ok()?;
    let line = text.trim_end_matches('\n');
    if line.is_empty() {
        // As above, a moment later.
        let _ = fs::remove_dir_all(room);
        return None;
    }
    let name = line.strip_prefix(OPENING)?;
    let shown = room.display();
    let old = room.join(OLD);
    if old.exists() {
        let target = folder.join(name);
        if !target.exists() && fs::rename(&old, &target).is_err() {
            return Some(format!(
                "note: a run that was killed left what was there before in {}",
                old.display()
            ));
        }
        if !old.exists() {
            let _ = fs::remove_dir_all(room);
            return Some(format!(
                "note: put {} back as it was, and removed {shown}: the run that was to replace it \
                 was killed",
                target.display()
            ));
        }
    }
    match fs::remove_dir_all(room) {
        Ok(()) => Some(format!(
            "note: removed {shown}: a run that was killed had begun to write {name} there"
        )),
        Err(why) => Some(format!(
            "note: can't remove {shown}, which a killed run left: {why}"
        )),
    }
}

/// Has the disk take what a folder holds, as far as the system can be asked.
///
/// # Errors
/// When a file in it can't be kept.
pub fn kept(folder: &Path) -> io::Result<()> {
    for entry in fs::read_dir(folder)? {
        OpenOptions::new()
            .write(true)
            .open(entry?.path())?
            .sync_all()?;
    }
    entries_kept(folder);
    Ok(())
}

/// Has the disk take the names in a folder. Not every system can be asked, and what was written
/// stands whole either way.
pub fn entries_kept(folder: &Path) {
    #[cfg(unix)]
    if let Ok(folder) = File::open(folder) {
        let _ = folder.sync_all();
    }
    #[cfg(not(unix))]
    let _ = folder;
}
