//! The engine as a browser has it: a question as JSON in, its answer as JSON out, nothing imported.
//!
//! The same functions answer the command line, so a page begins with the very record that its own
//! engine would give.
#![deny(missing_docs)]
#![cfg_attr(not(test), deny(clippy::disallowed_methods))]

pub mod edit;
pub mod knobs;
pub mod bench;
pub mod measured;
mod names;
pub mod fields;
pub mod said;
pub mod hands;
pub mod hold;
pub mod change;
pub mod story;
pub mod forms;
pub mod asked;
pub mod kept;
pub mod answer;
pub mod call;
