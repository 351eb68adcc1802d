//! What a person reads of records, on the screen and on the setup sheet: for the program, which writes
//! it, and for the engine in a page, which tells it anew after every change.
#![deny(missing_docs)]
#![cfg_attr(not(test), deny(clippy::disallowed_methods))]

pub mod keys;
pub mod spread;
pub mod screen;
pub mod sheet;
pub mod typed;
pub mod gauging;
