//! The file by which a folder is known as ours: what was written into it, name by name.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::fs;
use std::io;
use std::path::Path;

use crate::interrupt;

/// Its name.
pub const NAME: &str = "tautway-output.txt";

const OPENING: &str = "This folder was written by tautway ";
const MORE: &str = "\
A run with --overwrite replaces the files named here, and refuses while there are others.
Size in bytes and name:
";

/// Writes it for all that stands in a folder; sizes and names alone, so that the same answer gives
/// the same bytes. How many files there are.
///
/// # Errors
/// When the folder can't be read, or the file not be written.
pub fn write(folder: &Path) -> io::Result<usize> {
    let mut files = BTreeMap::new();
    for entry in fs::read_dir(folder)? {
        let entry = entry?;
        files.insert(entry.file_name(), entry.metadata()?.len());
    }
    let mut text = format!("{OPENING}{}.\n{MORE}", env!("CARGO_PKG_VERSION"));
    for (name, bytes) in &files {
        let _ = writeln!(text, "{bytes:>10} {}", name.display());
    }
    interrupt::whole(|| fs::write(folder.join(NAME), text))?;
    Ok(files.len())
}

/// What stands in a folder and isn't ours, first by name; none in a folder that may be replaced.
///
/// # Errors
/// When it can't be read.
pub fn foreign(folder: &Path) -> io::Result<Option<String>> {
    let ours = names(folder);
    let mut others = Vec::new();
    for entry in fs::read_dir(folder)? {
        let entry = entry?;
        let name = entry.file_name();
        let named = name
            .to_str()
            .is_some_and(|name| ours.iter().any(|ours| ours == name));
        // A link or a folder under a name of ours was put there by somebody else.
        if !named || !entry.file_type()?.is_file() {
            others.push(name.display().to_string());
        }
    }
    others.sort();
    Ok(others.into_iter().next())
}

/// The names in the marker and its own; none where there is none.
fn names(folder: &Path) -> Vec<String> {
    let path = folder.join(NAME);
    let is_file = fs::symlink_metadata(&path).is_ok_and(|about| about.is_file());
    let text = match fs::read_to_string(&path) {
        Ok(text) if is_file && text.starts_with(OPENING) => text,
        _ => return Vec::new(),
    };
    let listed = text.lines().filter_map(|line| {
        let (bytes, name) = line.trim_start().split_once(' ')?;
        bytes.parse::<u64>().ok()?;
        Some(name.to_owned())
    });
    listed.chain([NAME.to_owned()]).collect()
}
