//! Raw results: every trial's draws and measures as CSV and as lines of JSON, and the record from
//! which they can be run again or joined.

use serde::{Deserialize, Serialize};
use serde_json::json;
use tautway_sim::cut::Options;

use super::found::Found;
use super::parts;
use crate::table;
use tautway_screens::spread::Spread;

/// What a set of trials is made from: the same record, program and number give the same trial.
#[derive(Clone, Debug, Deserialize, PartialEq, Serialize)]
pub struct Record {
    /// Version of the program.
    pub version: String,
    /// Seed of all draws.
    pub seed: u64,
    /// Run-in asked for, m.
    pub run_in: Option<f64>,
    /// Part of the lathes that a range holds.
    pub coverage: f64,
    /// Units answered in.
    pub units: String,
    /// Whether more was to be told.
    pub detail: bool,
    /// First trial.
    pub from: u64,
    /// Trials.
    pub count: u64,
    /// Why they ended.
    pub ending: String,
    /// The files, job first.
    pub files: Vec<File>,
}

/// A file as it was read.
#[derive(Clone, Debug, Deserialize, PartialEq, Serialize)]
pub struct File {
    /// The name it went by.
    pub name: String,
    /// Its text.
    pub text: String,
}

impl Record {
    /// How finely and with which luck.
    pub fn options(&self) -> Options {
        Options {
            seed: self.seed,
            run_in: self.run_in,
            ..Options::default()
        }
    }
}

/// The record as a file.
pub fn record(answer: &Found<'_>, spread: &Spread) -> String {
    let (from, count) = answer.part.unwrap_or((1, spread.outlook.trials));
    let record = Record {
        version: env!("CARGO_PKG_VERSION").to_owned(),
        seed: answer.options.seed,
        run_in: answer.options.run_in,
        coverage: spread.outlook.probability,
        units: table::name(answer.units),
        detail: answer.detail,
        from,
        count,
        ending: table::name(spread.ending),
        files: answer
            .read
            .texts
            .iter()
            .map(|text| File {
                name: text.file_name(),
                text: text.text.clone(),
            })
            .collect(),
    };
    let mut value = json!(record);
    // For whoever reads the draws: what stands in each place.
    value["quantities"] = json!(spread.study.quantities());
    value["ways"] = json!(spread.study.ways().collect::<Vec<_>>());
    parts::written(&value)
}
