//! What belongs to no single crate: the house rules, and the texts that the fuzzing starts from.

mod corpus;
mod tidy;
