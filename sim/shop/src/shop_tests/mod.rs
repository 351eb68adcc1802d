//! The shop tests: what is read at the lathe, and what it says of the lathe's numbers.
//!
//! Every reading is kept with its repeats; [`findings`] turns them into numbers of the lathe file
//! with a range from the repeats ([`repeats`]) and says what doesn't add up.

pub mod form;
pub mod notation;
pub mod repeats;
pub mod lost_motion;
mod findings;

pub(crate) use findings::total_slack;
pub use findings::{Finding, Found, Note, NoteKind, findings, with_findings};

pub use crate::scenario::shop_tests::{
    Parts, Pulls, Reversal, ShopTests, Springs, Steps, Test, Tips,
};
