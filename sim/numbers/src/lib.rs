//! Numbers that know no lathe: arithmetic that is the same on every processor, quantities in SI with
//! their shop notation, and what uncertain numbers come to.
#![warn(missing_docs)]
#![cfg_attr(not(test), deny(clippy::disallowed_methods))]

pub mod arithmetic;
pub mod special;
pub mod variates;
pub mod quantity;
pub mod spread;
