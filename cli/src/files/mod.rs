//! What is written: a file or a directory, whole or not at all.

pub mod file;
pub mod folder;
