//! What belongs to no single crate: the house rules, the order of the modules,
//! and the texts that the fuzzing starts from.

mod arrows;
mod corpus;
mod packages;
mod tidy;
mod wasm;
