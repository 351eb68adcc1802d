//! Ctrl-C: says what was done, takes half-written files away, and stops; where what was done so
//! far can be told, it asks for that first.

use std::fs;
use std::path::PathBuf;
use std::process;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Mutex, MutexGuard, PoisonError};

use crate::terminal;

/// What would be left half done.
struct Underway {
    /// What was done so far, for the person.
    done: String,
    /// Directories in which something is being made.
    rooms: Vec<PathBuf>,
}

static UNDERWAY: Mutex<Underway> = Mutex::new(Underway {
    done: String::new(),
    rooms: Vec::new(),
});

fn underway() -> MutexGuard<'static, Underway> {
    UNDERWAY.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Whether a stop is to be asked for only, and whether it was.
static GENTLY: AtomicBool = AtomicBool::new(false);
static ASKED: AtomicBool = AtomicBool::new(false);

/// While it lives, the first Ctrl-C only asks to stop.
pub struct Gently(());

/// Lets the work at hand be stopped with what it has.
pub fn gently() -> Gently {
    note("nothing was written".to_owned());
    GENTLY.store(true, Ordering::SeqCst);
    Gently(())
}

impl Drop for Gently {
    fn drop(&mut self) {
        GENTLY.store(false, Ordering::SeqCst);
    }
}

/// Whether a stop was asked for.
pub fn asked() -> bool {
    ASKED.load(Ordering::SeqCst)
}

/// Stops on Ctrl-C, or when asked to end, with exit code 3.
pub fn watch() {
    // Without a handler the signal still ends the program; only the last words are missing.
    let _ = ctrlc::set_handler(|| {
        if GENTLY.load(Ordering::SeqCst) && !ASKED.swap(true, Ordering::SeqCst) {
            terminal::aside("\nstopping; press again to stop at once");
            return;
        }
        // Held to the end: while a file is being written under this lock, this waits.
        let now = underway();
        for room in &now.rooms {
            let _ = fs::remove_dir_all(room);
        }
        let done = match now.done.as_str() {
            "" => "nothing was written",
            done => done,
        };
        terminal::aside(&format!("\ninterrupted: {done}"));
        process::exit(3);
    });
}

/// Notes what has been done so far.
pub fn note(done: String) {
    underway().done = done;
}

/// Does one step of writing that an interruption must not cut in two.
pub fn whole<T>(step: impl FnOnce() -> T) -> T {
    let _held = underway();
    step()
}

/// The same for a step that makes a directory to work in or takes one away.
pub fn whole_with<T>(step: impl FnOnce(&mut Vec<PathBuf>) -> T) -> T {
    step(&mut underway().rooms)
}
