//! Where the slide stands, what it cuts and what gauges read of it: laws of the parts, balance, the
//! march along the work, the surface left.
//!
//! It gives facts as plain values. Signs come from [`setup`], numbers from [`scenario`].
#![warn(missing_docs)]
#![cfg_attr(not(test), deny(clippy::disallowed_methods))]

use tautway_input::{scenario, setup};
use tautway_numbers::{arithmetic, quantity, variates};

pub mod record;
pub mod lanes;
pub mod helix;
pub mod cutting;
pub mod unevenness;
pub mod surface;
pub mod balance;
pub mod machine;
pub mod cut;
pub mod measure;
pub mod threading;
pub mod motion;
pub mod regime_map;
