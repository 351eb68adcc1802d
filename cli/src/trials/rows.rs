//! Raw results: every trial's draws and measures as CSV and as lines of JSON, as they come.

use std::fs;
use std::io::{BufWriter, Write};
use std::path::{Path, PathBuf};

use serde_json::json;
use tautway_sim::quantity::Units;
use tautway_sim::record::EndMark;
use tautway_sim::study::{Study, Trial};

use crate::failure::Failure;
use crate::output::folder::Filling;
use crate::table::{self, Scale, Scales};

/// Every trial as a row of CSV, in the person's units, and as a line of JSON, in SI, written as the
/// trials come: into the sibling of the directory that the answer is to fill.
pub struct Rows {
    directory: PathBuf,
    filling: Filling,
    units: Units,
    table: table::Table<fs::File>,
    lines: BufWriter<fs::File>,
}

impl Rows {
    /// For a directory to be written.
    ///
    /// # Errors
    /// When there is no place for it.
    pub fn begin(directory: &Path, units: Units) -> Result<Self, Failure> {
        let filling = Filling::begin(directory)?;
        let file = |name| {
            filling
                .file(name)
                .map_err(|why| Failure::of_file("write", directory, &why))
        };
        let (table, lines) = (file("trials.csv")?, file("trials.jsonl")?);
        Ok(Self {
            directory: directory.to_owned(),
            filling,
            units,
            table: table::Table::new(table),
            lines: BufWriter::new(lines),
        })
    }

    /// Adds the next trial.
    ///
    /// # Errors
    /// When it can't be written.
    pub fn add(&mut self, study: &Study, trial: &Trial) -> Result<(), Failure> {
        let line = writeln!(self.lines, "{}", sealed(&json!(trial).to_string()));
        line.and_then(|()| Ok(self.table.add(&row(study, trial, self.units))?))
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

/// The key of a trial's checksum, the last of its line.
const CHECK: &str = ",\"check\":\"";

/// An object as a line with the checksum of what was there: a number altered on the way is seen.
fn sealed(object: &str) -> String {
    let open = object.strip_suffix('}').unwrap_or(object);
    format!(
        "{open}{CHECK}{:08x}\"}}",
        crc32fast::hash(object.as_bytes())
    )
}

/// The object, where its checksum is right.
pub fn unsealed(line: &str) -> Option<String> {
    let object = format!("{}}}", &line[..line.rfind(CHECK)?]);
    (sealed(&object) == line).then_some(object)
}

/// What was drawn, then what each way made of it.
fn row(study: &Study, trial: &Trial, units: Units) -> table::Row {
    let scales = Scales::of(units);
    let mut row = table::Row::default();
    row.word("trial", trial.number.to_string());
    row.word("luck", trial.luck.to_string());
    for (quantity, value) in study.quantities().iter().zip(&trial.values) {
        let heading = quantity.key.replace('.', "_");
        row.number(&heading, scales.of_kind(quantity.dimension), Some(*value));
    }
    for (way, found) in trial.ways.iter().enumerate() {
        let m = &found.measures;
        let n = way + 1;
        let mut number = |what: &str, scale: Scale, si: f64| {
            row.number(&format!("way_{n}_{what}"), scale, Some(si));
        };
        let deep = |mark: Option<EndMark>| mark.map_or(0.0, |mark| mark.depth);
        number("taper", scales.taper, m.taper);
        number("size_error", scales.height, m.size_error);
        number("taken", scales.height, m.taken);
        number("waves", scales.height, m.waves);
        number("roundness", scales.height, m.roundness);
        number(
            "step",
            scales.height,
            m.step.map_or(0.0, |(height, _)| height),
        );
        number("straight_part", scales.length, m.straight_part);
        number("entry", scales.height, deep(m.entry));
        number("exit", scales.height, deep(m.exit));
        number("seat_margin", scales.force, m.seat_margin);
        row.word(&format!("way_{n}_seat"), table::name(m.seat));
        row.flag(&format!("way_{n}_drawing_met"), Some(found.verdict.met()));
    }
    row
}
