//! Raw results: every trial's draws and measures as CSV and as lines of JSON, and the record from
//! which they can be run again or joined.

use std::fs;
use std::io::{BufWriter, Write};
use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};
use serde_json::json;
use tautway_sim::cut::Options;
use tautway_sim::quantity::Dimension;
use tautway_sim::study::{Study, Trial};

use super::folder::Filling;
use super::{Answer, json, table};
use crate::failure::Failure;
use crate::trials::Spread;

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
pub fn record(answer: &Answer<'_>, spread: &Spread) -> String {
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
    json::written(&value)
}

/// Every trial as a row of CSV and as a line of JSON, in SI, written as the trials come: into the
/// sibling of the directory that the answer is to fill.
pub struct Rows {
    directory: PathBuf,
    filling: Filling,
    table: table::Table<fs::File>,
    lines: BufWriter<fs::File>,
}

impl Rows {
    /// For a directory to be written.
    ///
    /// # Errors
    /// When there is no place for it.
    pub fn begin(directory: &Path) -> Result<Self, Failure> {
        let mut filling = Filling::begin(directory)?;
        let mut file = |name| {
            filling
                .file(name)
                .map_err(|why| Failure::of_file("write", directory, &why))
        };
        let (table, lines) = (file("trials.csv")?, file("trials.jsonl")?);
        Ok(Self {
            directory: directory.to_owned(),
            filling,
            table: table::Table::new(table),
            lines: BufWriter::new(lines),
        })
    }

    /// Adds the next trial.
    ///
    /// # Errors
    /// When it can't be written.
    pub fn add(&mut self, study: &Study, trial: &Trial) -> Result<(), Failure> {
        let line = writeln!(self.lines, "{}", json!(trial));
        line.and_then(|()| Ok(self.table.add(&row(study, trial))?))
            .map_err(|why| Failure::of_file("write", &self.directory, &why))
    }

    /// All trials were added.
    ///
    /// # Errors
    /// When the last can't be written.
    pub fn end(mut self) -> Result<Filling, Failure> {
        let flushed = self.lines.flush().and_then(|()| self.table.flush());
        flushed.map_err(|why| Failure::of_file("write", &self.directory, &why))?;
        Ok(self.filling)
    }
}

/// What was drawn, then what each way made of it.
fn row(study: &Study, trial: &Trial) -> table::Row {
    let mut row = table::Row::default();
    row.word("trial", trial.number.to_string());
    row.word("luck", trial.luck.to_string());
    for (quantity, value) in study.quantities().iter().zip(&trial.values) {
        let unit = match quantity.dimension {
            Dimension::Length => " m",
            Dimension::Angle => " rad",
            Dimension::Taper | Dimension::Ratio => "",
            Dimension::Force => " N",
            Dimension::Stiffness => " N/m",
            Dimension::Pressure => " Pa",
            Dimension::EdgeLoad => " N/m",
        };
        row.word(&format!("{}{unit}", quantity.key), value.to_string());
    }
    for (way, found) in trial.ways.iter().enumerate() {
        let m = &found.measures;
        let n = way + 1;
        row.word(&format!("way {n} taper"), m.taper.to_string());
        row.word(&format!("way {n} size error m"), m.size_error.to_string());
        row.word(&format!("way {n} taken m"), m.taken.to_string());
        row.word(&format!("way {n} waves m"), m.waves.to_string());
        row.word(&format!("way {n} roundness m"), m.roundness.to_string());
        let step = m.step.map_or(0.0, |(height, _)| height);
        row.word(&format!("way {n} step m"), step.to_string());
        row.word(
            &format!("way {n} straight part m"),
            m.straight_part.to_string(),
        );
        row.word(&format!("way {n} seat"), table::name(m.seat));
        row.word(&format!("way {n} seat margin N"), m.seat_margin.to_string());
        row.flag(&format!("way {n} drawing met"), Some(found.verdict.met()));
    }
    row
}
