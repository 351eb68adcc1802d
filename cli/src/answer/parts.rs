//! What every record has: faults with their places, and how it is written.

use serde_json::{Value, json};
use tautway_sim::scenario::{Diagnostic, Severity};

use crate::texts::Text;

/// As text, ended by a line end.
pub fn written(value: &Value) -> String {
    format!("{value:#}\n")
}

/// Faults and warnings with their places.
pub fn diagnostics(found: &[Diagnostic], texts: &[Text]) -> Value {
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
            json!({
                "severity": match diagnostic.severity {
                    Severity::Error => "error",
                    Severity::Warning => "warning",
                    Severity::Note => "note",
                },
                "file": diagnostic.file,
                "line": line,
                "bytes": [diagnostic.span.start, diagnostic.span.end],
                "message": diagnostic.message,
                "label": diagnostic.label,
                "hint": diagnostic.hint,
            })
        })
        .collect()
}
