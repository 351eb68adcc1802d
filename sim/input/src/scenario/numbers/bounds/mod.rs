//! One row a number: beyond what it can't be or can't be worked with, and what it usually is.
//!
//! Both are of the size, whatever its sign; of a tolerance, of the width of its band. Marks as
//! beside the defaults: most of them are judgement, which no row hides.

mod row;
mod job;
mod lathe;
mod measured;
mod thread;

pub use job::{CUTTING_SPEED, TURNS};
pub use measured::{GAUGE_OFF, GAUGED_AT, GAUGED_DIAMETER};
pub use row::{Bounds, GUESS, MEMORY};

/// Every row.
pub fn all() -> impl Iterator<Item = &'static Bounds> {
    of_job_and_lathe().chain(of_readings())
}

/// Those of the two files that make a scenario.
pub fn of_job_and_lathe() -> impl Iterator<Item = &'static Bounds> {
    [lathe::BOUNDS, job::BOUNDS, thread::BOUNDS]
        .into_iter()
        .flatten()
}

/// Those of what was read at the lathe or at the gauge.
pub fn of_readings() -> impl Iterator<Item = &'static Bounds> {
    measured::BOUNDS.iter()
}

/// The row of a key, if it is a number of one of the files.
pub fn of(key: &str) -> Option<&'static Bounds> {
    all().find(|bounds| bounds.key == key)
}
