//! The two texts a person writes, a lathe and a job, as checked values in SI.

mod diagnostic;
mod want;
mod known;
pub mod limits;
mod thread;
pub mod groove;
mod job;
pub mod readings;
pub mod sample;
mod lathe;
pub mod shop_tests;
pub mod defaults;
pub mod material;
pub mod numbers;
mod parameter;
pub mod finished;
pub mod template;
pub(crate) mod decode;
pub mod keys;

pub use decode::steady::NO_FOLLOWER;
pub use decode::{
    decode, decode_finished, decode_lathe, decode_readings, decode_sample, decode_shop_tests,
    lathe_named_in,
};
pub use diagnostic::{Diagnostic, Severity, Source, is_unshowable};
pub use job::*;
pub use known::{Known, Origin, SpreadShape, Vary};
pub use lathe::*;
pub use parameter::{Parameter, Value};
pub use thread::*;

pub use crate::setup::{End, Hand, Kind, Toward};

use schemars::JsonSchema;
use serde::Serialize;

/// A lathe and a job on it, decoded and checked: all that the engine needs.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Scenario {
    /// The machine.
    pub lathe: Lathe,
    /// The work and the cut.
    pub job: Job,
}
