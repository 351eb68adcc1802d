//! Raw results: every trial's draws and measures as CSV and as lines of JSON, as they come.

use std::fs;
use std::io::{BufWriter, Write};
use std::path::{Path, PathBuf};

use serde_json::json;
use tautway_sim::quantity::Dimension;
use tautway_sim::record::EndMark;
use tautway_sim::study::{Study, Trial};

use crate::failure::Failure;
use crate::output::folder::Filling;
use crate::table;

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
        let deep = |mark: Option<EndMark>| mark.map_or(0.0, |mark| mark.depth).to_string();
        row.word(&format!("way {n} entry m"), deep(m.entry));
        row.word(&format!("way {n} exit m"), deep(m.exit));
        row.word(&format!("way {n} seat"), table::name(m.seat));
        row.word(&format!("way {n} seat margin N"), m.seat_margin.to_string());
        row.flag(&format!("way {n} drawing met"), Some(found.verdict.met()));
    }
    row
}
