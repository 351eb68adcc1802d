//! One file that appears whole or not at all.

use std::fs;
use std::io::Write;
use std::path::Path;

use tempfile::Builder;

use crate::arguments::WriteArgs;
use crate::failure::Failure;
use crate::interrupt;

/// Whether the file may be written, before anything is worked out for it.
///
/// # Errors
/// When something is there that must not be replaced.
pub fn may_be_written(args: &WriteArgs) -> Result<(), Failure> {
    let Some(path) = &args.write else {
        return Ok(());
    };
    if path.is_dir() {
        let path = path.display();
        return Err(Failure::Input(format!(
            "{path} is a directory\n  help: give the name of a file: --write lathe.toml"
        )));
    }
    if fs::symlink_metadata(path).is_ok() && !args.overwrite {
        let path = path.display();
        return Err(Failure::Input(format!(
            "{path} is there already\n  help: give another name, or --overwrite to write over it"
        )));
    }
    Ok(())
}

/// Writes it.
///
/// # Errors
/// When it can't be written; then what was there is left as it was.
pub fn write(path: &Path, text: &str, overwrite: bool) -> Result<(), Failure> {
    let fault = |why: &std::io::Error| Failure::of_file("write", path, why);
    let parent = match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent,
        _ => Path::new("."),
    };
    interrupt::whole(|| {
        let mut builder = Builder::new();
        builder.prefix(".tautway-");
        #[cfg(unix)]
        builder.permissions(std::os::unix::fs::PermissionsExt::from_mode(0o666));
        let mut file = builder.tempfile_in(parent).map_err(|w| fault(&w))?;
        file.write_all(text.as_bytes()).map_err(|w| fault(&w))?;
        let put = if overwrite {
            file.persist(path)
        } else {
            file.persist_noclobber(path)
        };
        put.map(drop).map_err(|why| fault(&why.error))
    })?;
    interrupt::note(format!("{} is written", path.display()));
    Ok(())
}
