//! A thread being cut, pass after pass: the force on its tool, its passes, and the march along it.

pub mod force;
pub mod plan;
mod record;
pub mod course;

pub use record::{ThreadPass, ThreadTurn};

use schemars::JsonSchema;
use serde::Serialize;

use crate::quantity::Quantity;
use crate::scenario::Scenario;

/// What makes the taper of the thread.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Method {
    /// The taper attachment.
    Attachment,
    /// The tailstock set over, work between centres.
    TailstockOver,
}

/// Between the centres' points, m.
pub fn between_points(scenario: &Scenario) -> f64 {
    let work = &scenario.job.work;
    work.between_centres.map_or(
        work.from_jaws.si() + work.length.si() + work.beyond.si(),
        |between| between.si(),
    )
}
