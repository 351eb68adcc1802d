//! What is written: a file or a folder, whole or not at all, over nothing but what the program wrote.
//!
//! It is made in a room of its own beside its name and takes the name when it is complete and on the
//! disk. A run that was killed leaves its room behind; the next that writes there clears it away.

mod input;
mod room;
mod marker;
pub mod file;
pub mod folder;

pub use input::noted as read_from;
