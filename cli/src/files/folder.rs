//! A directory of files that appears whole or not at all.

use std::ffi::OsStr;
use std::fs::{self, File};
use std::path::{Path, PathBuf};

use tempfile::{Builder, TempDir};

use crate::failure::Failure;
use crate::interrupt;
use crate::terminal;

/// One file of the directory.
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

/// Whether a directory may be written, before anything is run for it.
///
/// # Errors
/// When something is there that must not be replaced, or there is no place for it.
pub fn may_be_written(directory: &Path, overwrite: bool) -> Result<(), Failure> {
    let target = target(directory)?;
    if let Ok(about) = fs::symlink_metadata(&target)
        && !about.is_dir()
    {
        return Err(Failure::Input(format!(
            "{} is a file, and --out wants a directory\n  help: give the name of a new one",
            directory.display()
        )));
    }
    if !target.exists() {
        return Ok(());
    }
    let current = std::env::current_dir().and_then(fs::canonicalize);
    if current.is_ok_and(|current| current.starts_with(&target)) {
        return Err(Failure::Input(format!(
            "{} is the directory you are in\n  help: give the name of a new one: --out report",
            directory.display()
        )));
    }
    let entries = fs::read_dir(&target).map_err(|w| Failure::of_file("read", directory, &w))?;
    let names: Vec<_> = entries.flatten().map(|entry| entry.file_name()).collect();
    if names.is_empty() {
        return Ok(());
    }
    if let Some(other) = names.iter().find(|name| !is_ours(name)) {
        return Err(Failure::Input(format!(
            "{} holds files of another kind, such as {}\n  help: give the name of a new directory",
            directory.display(),
            other.display()
        )));
    }
    if !overwrite {
        return Err(Failure::Input(format!(
            "{} is there already\n  help: give another name, or --overwrite to replace what an \
             earlier run wrote there",
            directory.display()
        )));
    }
    Ok(())
}

/// Whether a file's name is one that this program gives.
fn is_ours(name: &OsStr) -> bool {
    let Some((stem, end)) = name.to_str().and_then(|name| name.rsplit_once('.')) else {
        return false;
    };
    match end {
        "txt" | "html" => stem == "report",
        "json" | "csv" => matches!(
            stem,
            "comparison"
                | "prediction"
                | "rehearsal"
                | "trials"
                | "study"
                | "thread"
                | "passes"
                | "preload"
                | "changes"
        ),
        "jsonl" => stem == "trials",
        "svg" | "png" => {
            matches!(
                stem,
                "setup"
                    | "lost-motion"
                    | "surfaces"
                    | "spread"
                    | "mend"
                    | "drag-map"
                    | "bore"
                    | "rehearsal"
                    | "thread-section"
                    | "thread-passes"
                    | "preload"
                    | "changes"
            ) || stem.starts_with("cut-")
        }
        _ => false,
    }
}

/// Writes the directory and says so.
///
/// # Errors
/// As [`write`].
pub fn give(directory: &Path, overwrite: bool, sheets: &[Sheet]) -> Result<(), Failure> {
    give_begun(directory, overwrite, sheets, None)
}

/// The same with what was written into a sibling before.
///
/// # Errors
/// As [`write`].
pub fn give_begun(
    directory: &Path,
    overwrite: bool,
    sheets: &[Sheet],
    begun: Option<&Filling>,
) -> Result<(), Failure> {
    write(directory, overwrite, sheets, begun)?;
    interrupt::note(format!("{} is written", directory.display()));
    let written = sheets.len() + begun.map_or(0, |begun| begun.files);
    terminal::aside(&format!("wrote {written} files to {}", directory.display()));
    Ok(())
}

/// A new sibling of a directory to be written, being filled; removed again unless it is given the
/// name.
pub struct Filling {
    made: TempDir,
    files: usize,
}

impl Filling {
    /// Begins to fill one for `directory`.
    ///
    /// # Errors
    /// When there is no place for it.
    pub fn begin(directory: &Path) -> Result<Self, Failure> {
        let target = target(directory)?;
        let parent = target.parent().unwrap_or(Path::new("."));
        let made = interrupt::whole_noting(|| {
            let made = sibling(parent);
            let path = made.as_ref().ok().map(|made| made.path().to_owned());
            (made, path)
        })
        .map_err(|why| Failure::of_file("write", directory, &why))?;
        Ok(Self { made, files: 0 })
    }

    /// A file in it, to be written little by little.
    ///
    /// # Errors
    /// When it can't be made.
    pub fn file(&mut self, name: &str) -> std::io::Result<File> {
        self.files += 1;
        File::create(self.made.path().join(name))
    }
}

/// Writes the files into a new sibling, or into one begun already, and then gives it the name.
///
/// # Errors
/// When a file can't be written; then nothing is left behind.
pub fn write(
    directory: &Path,
    overwrite: bool,
    sheets: &[Sheet],
    begun: Option<&Filling>,
) -> Result<(), Failure> {
    may_be_written(directory, overwrite)?;
    let target = target(directory)?;
    let own = match begun {
        Some(_) => None,
        None => Some(Filling::begin(directory)?),
    };
    let Some(filling) = begun.or(own.as_ref()) else {
        return Ok(());
    };
    let path = filling.made.path();
    let filled = fill(path, sheets).and_then(|()| put(path, &target));
    interrupt::whole_noting(|| (drop(own), None));
    filled.map_err(|why| Failure::of_file("write", directory, &why))
}

/// A new directory with the rights any new directory has, removed when dropped.
fn sibling(parent: &Path) -> std::io::Result<TempDir> {
    let mut builder = Builder::new();
    builder.prefix(".tautway-");
    #[cfg(unix)]
    builder.permissions(std::os::unix::fs::PermissionsExt::from_mode(0o777));
    builder.tempdir_in(parent)
}

fn fill(directory: &Path, sheets: &[Sheet]) -> std::io::Result<()> {
    for sheet in sheets {
        interrupt::whole(|| fs::write(directory.join(&sheet.name), &sheet.bytes))?;
    }
    Ok(())
}

/// Gives the filled directory its name; what was there goes only when that has worked.
fn put(filled: &Path, target: &Path) -> std::io::Result<()> {
    interrupt::whole(|| {
        if !target.exists() {
            return fs::rename(filled, target);
        }
        let parent = target.parent().unwrap_or(Path::new("."));
        let aside = sibling(parent)?;
        let old = aside.path().join("old");
        fs::rename(target, &old)?;
        fs::rename(filled, target).inspect_err(|_| {
            let _ = fs::rename(&old, target);
        })
    })
}

/// Where the directory really is: its parent must be there, and a link is followed.
fn target(directory: &Path) -> Result<PathBuf, Failure> {
    if directory.exists() {
        return fs::canonicalize(directory).map_err(|w| Failure::of_file("find", directory, &w));
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
