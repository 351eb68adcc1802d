//! What this run has read: nothing is ever written over it.

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};

use crate::failure::Failure;

static READ: Mutex<Vec<PathBuf>> = Mutex::new(Vec::new());

fn read() -> MutexGuard<'static, Vec<PathBuf>> {
    READ.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Notes that a file was read from.
pub fn noted(path: &Path) {
    if let Ok(path) = fs::canonicalize(path) {
        read().push(path);
    }
}

/// Refuses a place that was read from, or that holds what was.
///
/// # Errors
/// When it is one.
pub fn refuse(place: &Path) -> Result<(), Failure> {
    let Ok(real) = fs::canonicalize(place) else {
        return Ok(());
    };
    let is_input = read().iter().any(|input| input.starts_with(&real));
    if !is_input {
        return Ok(());
    }
    let shown = place.display();
    Err(Failure::Input(if real.is_dir() {
        format!("{shown} holds what this answer is made from\n  help: give the name of a new one")
    } else {
        format!(
            "{shown} is what this answer is made from, and is never written over\n  help: give \
             another name, and put it in its place when you have looked at it"
        )
    }))
}
