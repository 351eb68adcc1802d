//! What an answer gives, and how all of that reaches the person.
//!
//! A command is its plan, one run, one answer: it fills in an [`given::Answer`] and hands it to
//! [`give`].

mod given;
mod parts;
pub mod thread;
pub mod found;
mod figures;
pub mod json;
pub mod schema;
pub mod shapes;
pub mod trials;
mod ways;
mod comparison;
mod report;
mod give;
pub mod modify;
pub mod preload;
pub mod readings;
pub mod rehearsal;

pub use give::{give, may_be_written};
pub use parts::{Answered, Record, answered};
