//! A folder of files.

use std::fs::{self, File};
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};

use super::room::{Room, clear, entries_kept, kept};
use super::{input, marker};
use crate::failure::Failure;
use crate::interrupt;
use crate::terminal;

/// One file of the folder.
pub struct Sheet {
    name: String,
    bytes: Vec<u8>,
}

impl Sheet {
    /// A file to be written.
    pub fn new(name: impl Into<String>, bytes: impl Into<Vec<u8>>) -> Self {
        Self {
            name: name.into(),
            bytes: bytes.into(),
        }
    }
}

/// Times that what another run put there meanwhile is replaced in its turn.
const TRIES: usize = 20;

/// Whether a folder may be written, before anything is run for it: it is new, empty, or holds
/// nothing but what the program wrote and may be replaced.
///
/// # Errors
/// When something is there that must not be replaced, or there is no place for it.
pub fn may_be_written(directory: &Path, overwrite: bool) -> Result<(), Failure> {
    let target = target(directory)?;
    clear(above(&target));
    let shown = directory.display();
    if let Ok(about) = fs::symlink_metadata(&target)
        && !about.is_dir()
    {
        return Err(Failure::Input(format!(
            "{shown} is a file, and --folder wants a directory\n  help: give the name of a new one"
        )));
    }
    if !target.exists() {
        return Ok(());
    }
    let current = std::env::current_dir().and_then(fs::canonicalize);
    if current.is_ok_and(|current| current.starts_with(&target)) {
        return Err(Failure::Input(format!(
            "{shown} is the directory you are in\n  help: give the name of a new one: --folder report"
        )));
    }
    // What another run puts aside while this one looks is as good as not there.
    let found = is_empty(&target).and_then(|empty| match empty {
        true => Ok(None),
        false => marker::foreign(&target).map(Some),
    });
    let foreign = match found {
        Ok(None) => return Ok(()),
        Ok(Some(foreign)) => foreign,
        Err(why) if why.kind() == ErrorKind::NotFound => return Ok(()),
        Err(why) => return Err(Failure::of_file("read", directory, &why)),
    };
    if let Some(other) = foreign {
        return Err(Failure::Input(format!(
            "{shown} holds files of another kind, such as {other}\n  help: give the name of a new \
             directory"
        )));
    }
    input::refuse(directory)?;
    if !overwrite {
        return Err(Failure::Input(format!(
            "{shown} is there already\n  help: give another name, or --overwrite to replace what \
             an earlier run wrote there"
        )));
    }
    Ok(())
}

fn is_empty(folder: &Path) -> io::Result<bool> {
    Ok(fs::read_dir(folder)?.next().is_none())
}

/// Writes the folder, with what was begun before, and says so.
///
/// # Errors
/// As [`write`].
pub fn give(
    directory: &Path,
    overwrite: bool,
    sheets: &[Sheet],
    begun: Option<&Filling>,
) -> Result<(), Failure> {
    let written = write(directory, overwrite, sheets, begun)?;
    interrupt::note(format!("{} is written", directory.display()));
    terminal::note(&format!("wrote {written} files to {}", directory.display()));
    Ok(())
}

/// A folder being filled beside the name it is to take; gone again unless it takes it.
pub struct Filling {
    room: Room,
}

impl Filling {
    /// Begins to fill one for `directory`.
    ///
    /// # Errors
    /// When there is no place for it.
    pub fn begin(directory: &Path) -> Result<Self, Failure> {
        let target = target(directory)?;
        let name = target.file_name().unwrap_or_default().to_string_lossy();
        let begun = Room::make(above(&target), &name).and_then(|room| {
            fs::create_dir(room.join("new"))?;
            Ok(Self { room })
        });
        begun.map_err(|why| Failure::of_file("write", directory, &why))
    }

    /// A file in it, to be written little by little.
    ///
    /// # Errors
    /// When it can't be made.
    pub fn file(&self, name: &str) -> io::Result<File> {
        File::create_new(self.path().join(name))
    }

    fn path(&self) -> PathBuf {
        self.room.join("new")
    }
}

fn above(target: &Path) -> &Path {
    target.parent().unwrap_or(Path::new("."))
}

/// Writes the files into a new room, or into one begun already, and then gives the folder its name;
/// how many files there are.
///
/// # Errors
/// When a file can't be written, or another run was quicker; then nothing is left behind.
fn write(
    directory: &Path,
    overwrite: bool,
    sheets: &[Sheet],
    begun: Option<&Filling>,
) -> Result<usize, Failure> {
    may_be_written(directory, overwrite)?;
    let target = target(directory)?;
    let own = match begun {
        Some(_) => None,
        None => Some(Filling::begin(directory)?),
    };
    let Some(filling) = begun.or(own.as_ref()) else {
        return Ok(0);
    };
    let put = fill(&filling.path(), sheets).and_then(|files| {
        interrupt::whole(|| put(filling, &target, overwrite))?;
        entries_kept(above(&target));
        Ok(files)
    });
    put.or_else(|why| {
        // Another run was quicker: refused as if it had been there from the beginning.
        may_be_written(directory, overwrite)?;
        Err(Failure::of_file("write", directory, &why))
    })
}

fn fill(folder: &Path, sheets: &[Sheet]) -> io::Result<usize> {
    for sheet in sheets {
        interrupt::whole(|| fs::write(folder.join(&sheet.name), &sheet.bytes))?;
    }
    let files = marker::write(folder)?;
    kept(folder)?;
    Ok(files)
}

/// Gives the filled folder its name. What was there goes aside first, if it is ours and may be
/// replaced, and comes back when the name can't be taken.
fn put(filling: &Filling, target: &Path, overwrite: bool) -> io::Result<()> {
    let (filled, old) = (filling.path(), filling.room.old());
    for _ in 0..TRIES {
        // A folder takes no name under which anything stands but an empty folder.
        match fs::rename(&filled, target) {
            Err(why) if overwrite && is_taken(&why) => {}
            done => return done,
        }
        match fs::rename(target, &old) {
            // Another run has put it aside and is about to put its own.
            Err(why) if why.kind() == ErrorKind::NotFound => continue,
            moved => moved?,
        }
        if !matches!(marker::foreign(&old), Ok(None)) {
            // Something was put into it since it was looked at.
            fs::rename(&old, target)?;
            return Err(ErrorKind::DirectoryNotEmpty.into());
        }
        match fs::rename(&filled, target) {
            // Another run was between the two; what it put is replaced in its turn.
            Err(why) if is_taken(&why) => fs::remove_dir_all(&old)?,
            Err(why) => {
                fs::rename(&old, target)?;
                return Err(why);
            }
            Ok(()) => return Ok(()),
        }
    }
    Err(ErrorKind::DirectoryNotEmpty.into())
}

/// Whether a name couldn't be given because something stands there.
fn is_taken(why: &io::Error) -> bool {
    matches!(
        why.kind(),
        ErrorKind::DirectoryNotEmpty | ErrorKind::AlreadyExists | ErrorKind::PermissionDenied
    )
}

/// Where the folder really is: its parent must be there, and a link is followed.
fn target(directory: &Path) -> Result<PathBuf, Failure> {
    match fs::canonicalize(directory) {
        Ok(there) => return Ok(there),
        Err(why) if why.kind() == ErrorKind::NotFound => {}
        Err(why) => return Err(Failure::of_file("find", directory, &why)),
    }
    let parent = match directory.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent,
        _ => Path::new("."),
    };
    let Some(name) = directory.file_name() else {
        return Err(Failure::Input(format!(
            "{} has no name to make a directory of\n  help: give the name of a new one",
            directory.display()
        )));
    };
    if !parent.is_dir() {
        return Err(Failure::no_place(parent, Path::new(name)));
    }
    Ok(parent.join(name))
}
