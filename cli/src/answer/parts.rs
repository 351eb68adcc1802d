//! What every record has: version and units, faults with their places, and how it is written.

use schemars::JsonSchema;
use serde::Serialize;
use serde_json::{Value, json};
use tautway_sim::scenario::{Diagnostic, Severity};

use crate::texts::Text;

/// As text, ended by a line end.
pub fn written(value: &Value) -> String {
    format!("{value:#}\n")
}

/// What a command finds, as it stands in its answer.
pub trait Record: Serialize + JsonSchema {
    /// Units of its numbers.
    const UNITS: &'static str;
}

/// The answer of a command.
#[derive(Serialize, JsonSchema)]
pub struct Answered<T: Record> {
    /// Version of the program.
    version: &'static str,
    /// Units of the numbers.
    #[schemars(extend("const" = T::UNITS))]
    units: &'static str,
    #[serde(flatten)]
    found: T,
}

/// The answer as text.
pub fn answered<T: Record>(found: T) -> String {
    written(&json!(Answered {
        version: env!("CARGO_PKG_VERSION"),
        units: T::UNITS,
        found,
    }))
}

/// A record with what is told beside it, which stands in place of what is called the same.
#[derive(Serialize, JsonSchema)]
pub struct Beside<T, B> {
    #[serde(flatten)]
    record: T,
    #[serde(flatten)]
    beside: B,
}

/// A record with what is told beside it.
pub fn beside<T, B>(record: T, beside: B) -> Beside<T, B> {
    Beside { record, beside }
}

/// A fault, a warning or a note with its place.
#[derive(Clone, Serialize, JsonSchema)]
pub struct Fault<'a> {
    /// `error`, `warning` or `note`.
    severity: &'static str,
    /// The file, by the name it went by.
    file: &'a str,
    /// Line, from 1.
    line: Option<usize>,
    /// From which byte of the file to which.
    bytes: [usize; 2],
    /// What is wrong.
    message: &'a str,
    /// What stands beside the place.
    label: &'a str,
    /// What would be right.
    hint: &'a str,
}

/// Faults and warnings with their places.
pub fn diagnostics<'a>(found: &'a [Diagnostic], texts: &[Text]) -> Vec<Fault<'a>> {
    // Where lines end, once a text: there may be a fault a line.
    let ends: Vec<(&str, Vec<usize>)> = texts
        .iter()
        .map(|text| {
            let ends = text.text.match_indices('\n').map(|(at, _)| at);
            (text.name.as_str(), ends.collect())
        })
        .collect();
    found
        .iter()
        .map(|diagnostic| {
            let ends = ends.iter().find(|(name, _)| *name == diagnostic.file);
            let at = diagnostic.span.start;
            let line = ends.map(|(_, ends)| 1 + ends.partition_point(|end| *end < at));
            Fault {
                severity: match diagnostic.severity {
                    Severity::Error => "error",
                    Severity::Warning => "warning",
                    Severity::Note => "note",
                },
                file: &diagnostic.file,
                line,
                bytes: [diagnostic.span.start, diagnostic.span.end],
                message: &diagnostic.message,
                label: &diagnostic.label,
                hint: &diagnostic.hint,
            }
        })
        .collect()
}
