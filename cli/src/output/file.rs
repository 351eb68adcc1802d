//! One file, or a few that belong together.

use std::fs::{self, OpenOptions};
use std::io::{self, Write as _};
use std::path::{Path, PathBuf};

use tempfile::TempPath;

use super::input;
use super::room::{Room, clear, entries_kept, kept};
use crate::failure::Failure;
use crate::interrupt;
use crate::terminal;

/// The name that stands for standard output.
const STANDARD_OUTPUT: &str = "-";

/// Whether this is standard output and no file.
pub fn is_standard_output(file: &Path) -> bool {
    file.as_os_str() == STANDARD_OUTPUT
}

/// What kind of file, for the messages about it.
pub struct Kind {
    /// As it is said: "setup sheet".
    pub what: &'static str,
    /// The option that names it: "--out".
    pub option: &'static str,
    /// A name for one.
    pub example: &'static str,
    /// Whether a text is one that this program wrote; what is none is read as far as it goes.
    pub is_ours: fn(&str) -> bool,
}

/// Whether the file may be written: it is new, or of its kind and may be replaced, and nothing that
/// was read.
///
/// # Errors
/// When it may not.
pub fn may_be_written(file: &Path, overwrite: bool, kind: &Kind) -> Result<(), Failure> {
    if is_standard_output(file) {
        return Ok(());
    }
    let (shown, above) = (file.display(), above(file));
    if !above.is_dir() {
        return Err(Failure::no_place(above, file));
    }
    clear(above);
    if file.is_dir() {
        return Err(Failure::Input(format!(
            "{shown} is a directory, and {} wants a file\n  help: give its name: {} {}",
            kind.option,
            kind.option,
            file.join(kind.example).display()
        )));
    }
    if fs::symlink_metadata(file).is_err() {
        return Ok(());
    }
    let ours = is_ours(file, kind);
    if !ours {
        return Err(Failure::Input(format!(
            "{shown} is there already and is no {}\n  help: give another name",
            kind.what
        )));
    }
    input::refuse(file)?;
    if !overwrite {
        return Err(Failure::Input(format!(
            "{shown} is there already\n  help: give another name, or --overwrite to replace it"
        )));
    }
    Ok(())
}

fn is_ours(file: &Path, kind: &Kind) -> bool {
    fs::read(file).is_ok_and(|bytes| (kind.is_ours)(&String::from_utf8_lossy(&bytes)))
}

fn above(file: &Path) -> &Path {
    match file.parent() {
        Some(above) if !above.as_os_str().is_empty() => above,
        _ => Path::new("."),
    }
}

/// Writes it, to standard output where that is named.
///
/// # Errors
/// When it can't; then what was there is left as it was.
pub fn write(file: &Path, overwrite: bool, text: &str, kind: &Kind) -> Result<(), Failure> {
    write_bytes(file, overwrite, text.as_bytes(), kind)
}

/// The same of bytes.
///
/// # Errors
/// As [`write`].
pub fn write_bytes(file: &Path, overwrite: bool, bytes: &[u8], kind: &Kind) -> Result<(), Failure> {
    if is_standard_output(file) {
        return terminal::answer_bytes(bytes);
    }
    may_be_written(file, overwrite, kind)?;
    let fault = |why: &io::Error| Failure::of_file("write", file, why);
    // A link is followed, so that what it points to is replaced and not the link.
    let target = fs::canonicalize(file).unwrap_or_else(|_| file.to_owned());
    let room = Room::make(above(&target), &name(&target)).map_err(|why| fault(&why))?;
    let made = room.join("new");
    interrupt::whole(|| filled(&made, bytes)).map_err(|why| fault(&why))?;
    let put = interrupt::whole(|| put(&made, &target, overwrite));
    entries_kept(above(&target));
    if let Err(why) = put {
        // Another run was quicker: refused as if it had been there from the beginning.
        may_be_written(file, overwrite, kind)?;
        return Err(fault(&why));
    }
    interrupt::note(format!("{} is written", file.display()));
    Ok(())
}

/// Writes it and says so, where it is a file.
///
/// # Errors
/// As [`write`].
pub fn give(file: &Path, overwrite: bool, bytes: &[u8], kind: &Kind) -> Result<(), Failure> {
    write_bytes(file, overwrite, bytes, kind)?;
    if !is_standard_output(file) {
        terminal::note(&format!("wrote {}", file.display()));
    }
    Ok(())
}

/// Tells what goes with a file that was written: where the file is standard output, beside it.
///
/// # Errors
/// When it can't be told.
pub fn tell_beside(file: Option<&Path>, text: &str) -> Result<(), Failure> {
    if file.is_some_and(is_standard_output) {
        terminal::aside(text);
        return Ok(());
    }
    terminal::answer(text)
}

/// Takes a file of this kind away again; what is none is let be, and one that stays is no fault.
pub fn take_away(file: &Path, kind: &Kind) {
    if is_ours(file, kind) {
        let _ = interrupt::whole(|| fs::remove_file(file));
    }
}

/// A file of several.
pub struct Part<'a> {
    /// Where it goes.
    pub path: &'a Path,
    /// Its text.
    pub text: String,
    /// What it is.
    pub kind: &'a Kind,
}

/// Writes files that belong together into a directory, which is made where it isn't there: all, or
/// none.
///
/// # Errors
/// When one can't be written; then what was there is left as it was.
pub fn write_all(directory: &Path, parts: &[Part<'_>], overwrite: bool) -> Result<(), Failure> {
    let here = if directory.as_os_str().is_empty() {
        Path::new(".")
    } else {
        directory
    };
    let is_new = !here.is_dir();
    let (place, doing) = if is_new {
        (above(here), "make")
    } else {
        (here, "write")
    };
    clear(place);
    let room =
        Room::make(place, &name(here)).map_err(|why| Failure::of_file(doing, directory, &why))?;
    let made = room.join("new");
    fs::create_dir(&made).map_err(|why| Failure::of_file("make", directory, &why))?;
    for part in parts {
        let made = made.join(name(part.path));
        interrupt::whole(|| filled(&made, part.text.as_bytes()))
            .map_err(|why| Failure::of_file("write", part.path, &why))?;
    }
    let fault = |why: &io::Error| Failure::of_file("write", directory, why);
    kept(&made).map_err(|why| fault(&why))?;
    let done = interrupt::whole(|| {
        if is_new {
            // It takes no name under which anything stands but an empty directory.
            fs::rename(&made, here).map_err(|why| fault(&why))
        } else {
            put_each(&room, &made, parts, overwrite)
        }
    });
    entries_kept(place);
    done
}

/// Puts one after the other; what stood there comes back when one can't be put.
fn put_each(room: &Room, made: &Path, parts: &[Part<'_>], overwrite: bool) -> Result<(), Failure> {
    let mut done: Vec<(&Path, Option<PathBuf>)> = Vec::new();
    for (at, part) in parts.iter().enumerate() {
        let fault = |why: &io::Error| Failure::of_file("write", part.path, why);
        let put = may_be_written(part.path, overwrite, part.kind).and_then(|()| {
            let there = fs::symlink_metadata(part.path).is_ok();
            let before = there.then(|| room.join(&format!("before-{at}")));
            if let Some(before) = &before {
                fs::copy(part.path, before).map_err(|why| fault(&why))?;
            }
            put(&made.join(name(part.path)), part.path, overwrite).map_err(|why| fault(&why))?;
            Ok(before)
        });
        match put {
            Ok(before) => done.push((part.path, before)),
            Err(why) => {
                for (path, before) in done {
                    let _ = match before {
                        Some(before) => fs::rename(before, path),
                        None => fs::remove_file(path),
                    };
                }
                return Err(why);
            }
        }
    }
    Ok(())
}

fn name(path: &Path) -> String {
    path.file_name()
        .map_or_else(String::new, |name| name.to_string_lossy().into_owned())
}

/// Fills a new file and has the disk take it.
fn filled(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let mut file = OpenOptions::new().write(true).create_new(true).open(path)?;
    file.write_all(bytes)?;
    file.sync_all()
}

/// Gives a file its name; over what is there only when asked to.
fn put(made: &Path, target: &Path, overwrite: bool) -> io::Result<()> {
    if overwrite {
        fs::rename(made, target)
    } else {
        TempPath::try_from_path(made)?
            .persist_noclobber(target)
            .map_err(|fault| fault.error)
    }
}
