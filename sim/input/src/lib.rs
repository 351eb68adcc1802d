//! What a person wrote, checked and in SI, and one way to make the cut with every sign that follows.
#![warn(missing_docs)]
#![cfg_attr(not(test), deny(clippy::disallowed_methods))]

use tautway_numbers::{arithmetic, quantity, spread};

pub mod standard_taper;
pub mod setup;
pub mod scenario;
pub mod moves;
