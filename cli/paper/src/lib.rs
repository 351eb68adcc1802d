//! A document as PDF: a sheet that is one page, and pages that follow one another.
//!
//! Words are set with the figures' own face, which is in the file, and stay words; figures are drawn
//! from their SVG. The same document gives the same bytes: no date, no random name.
#![deny(missing_docs)]

mod face;
mod mark;
mod lines;
mod picture;
mod pages;
mod table;
mod boxes;
mod parts;
mod set;
mod pdf;
mod print;

pub use pdf::{Print, is_ours};
