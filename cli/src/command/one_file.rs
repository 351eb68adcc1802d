//! An answer that is one file: written whole or not at all, over nothing but its like.

use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};

use tempfile::Builder;

use crate::failure::Failure;
use crate::interrupt;

/// What kind of file.
pub struct Kind {
    /// As it is said: "setup sheet".
    pub what: &'static str,
    /// A name for one.
    pub example: &'static str,
    /// Whether a text is one that this program wrote.
    pub is_ours: fn(&str) -> bool,
}

/// Whether the file may be written: it is new, or of its kind and may be replaced.
///
/// # Errors
/// When it may not.
pub fn may_be_written(file: &Path, overwrite: bool, kind: &Kind) -> Result<(), Failure> {
    let parent = parent(file);
    if !parent.is_dir() {
        return Err(Failure::no_place(&parent, file));
    }
    if file.is_dir() {
        return Err(Failure::Input(format!(
            "{} is a directory, and --out wants a file\n  help: give its name: --out {}",
            file.display(),
            file.join(kind.example).display()
        )));
    }
    if fs::symlink_metadata(file).is_err() {
        return Ok(());
    }
    let ours = fs::read_to_string(file).is_ok_and(|text| (kind.is_ours)(&text));
    if !ours {
        return Err(Failure::Input(format!(
            "{} is there already and is no {}\n  help: give another name",
            file.display(),
            kind.what
        )));
    }
    if !overwrite {
        return Err(Failure::Input(format!(
            "{} is there already\n  help: give another name, or --overwrite to replace it",
            file.display()
        )));
    }
    Ok(())
}

fn parent(file: &Path) -> PathBuf {
    match file.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent.to_owned(),
        _ => PathBuf::from("."),
    }
}

/// Writes the text beside the file and then gives it the name.
///
/// # Errors
/// When it can't; then what was there is left as it was.
pub fn write(file: &Path, overwrite: bool, text: &str, kind: &Kind) -> Result<(), Failure> {
    may_be_written(file, overwrite, kind)?;
    // A link is followed, so that what it points to is replaced and not the link.
    let target = fs::canonicalize(file).unwrap_or_else(|_| file.to_owned());
    interrupt::whole(|| {
        let mut builder = Builder::new();
        builder.prefix(".tautway-");
        #[cfg(unix)]
        builder.permissions(std::os::unix::fs::PermissionsExt::from_mode(0o666));
        let mut beside = builder.tempfile_in(parent(&target))?;
        beside.write_all(text.as_bytes())?;
        beside.flush()?;
        if overwrite {
            beside.persist(&target).map_err(|fault| fault.error)?;
        } else {
            beside
                .persist_noclobber(&target)
                .map_err(|fault| fault.error)?;
        }
        Ok(())
    })
    .map_err(|why: std::io::Error| Failure::of_file("write", file, &why))?;
    interrupt::note(format!("{} is written", file.display()));
    Ok(())
}
