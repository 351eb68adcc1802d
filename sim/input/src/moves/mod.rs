//! The moves file: a lathe, how its guide stands, and hand moves one a line.

mod script;
mod words;
mod decode;

pub use decode::{OPENING, decode, keys, lathe_named_in};
pub use script::{Cylinder, Move, Push, Script, Spoken};
pub use words::lines;
