//! Room for the arrays of a run, kept from pass to pass and from run to run: nothing of what a run
//! comes to depends on it.

use std::cell::Cell;

use crate::lanes::Eight;
use crate::surface::Surface;

use super::Finished;
use super::march::Memory;

/// Room for the arrays of a run.
#[derive(Default)]
pub struct Room {
    pub(super) one: Scratch<f64>,
    pub(super) eight: Scratch<Eight>,
}

/// Of one lathe, or of several side by side.
#[derive(Default)]
pub(super) struct Scratch<L> {
    pub(super) surface: Surface<L>,
    pub(super) memory: Memory<L>,
}

thread_local! {
    /// This thread's, while nobody has it.
    static OF_THREAD: Cell<Option<Room>> = const { Cell::new(None) };
}

impl Room {
    /// Lends this thread's room.
    pub fn of_thread<T>(to: impl FnOnce(&mut Self) -> T) -> T {
        let mut room = OF_THREAD.take().unwrap_or_default();
        let made = to(&mut room);
        OF_THREAD.set(Some(room));
        made
    }

    /// Takes back the arrays of a run that nobody asks any more.
    pub fn clear(&mut self, finished: Finished) {
        self.one.surface = finished.surface;
        self.one.memory.path.heights = finished.last_path.heights;
    }
}
