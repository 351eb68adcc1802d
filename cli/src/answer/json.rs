//! Answers as JSON: the records themselves, in SI.

use serde_json::{Value, json};
use tautway_sim::compare::Way;
use tautway_sim::method::MethodWay;
use tautway_sim::readings::{Copied, Evaluation, ReadingSet};
use tautway_sim::scenario::sample::SampleSweep;
use tautway_sim::scenario::{Diagnostic, Severity};

use super::found::Found;
use crate::texts::Text;

/// The lists of a run that have a number for every turn or place.
const LONG: [(&str, &[&str]); 2] = [
    ("profile", &["z", "mean", "meridian", "roundness"]),
    ("reversal", &["carriage", "guide", "slide"]),
];

/// An answer; the long lists are left out unless `detail` is wanted.
pub fn of(answer: &Found<'_>, detail: bool) -> String {
    let found = &answer.read.warnings;
    let ways: Vec<_> = answer.ways.iter().map(|way| of_way(way, detail)).collect();
    written(&json!({
        "version": env!("CARGO_PKG_VERSION"),
        "seed": answer.options.seed,
        "units": "SI: m, N, N/m, Pa, rad; tapers as change of diameter over length",
        "scenario": answer.read.scenario,
        "diagnostics": diagnostics(found, &answer.read.texts),
        "expect": answer.first,
        "ways": ways,
        "without_attachment": answer.methods.iter().map(|way| of_method(answer, way)).collect::<Vec<_>>(),
        "likely": answer.likely,
        "spread": answer.spread.map(|spread| json!({
            "ending": spread.ending,
            "outlook": spread.outlook,
            "mend": spread.mend,
            "first_order": spread.first_order,
        })),
    }))
}

fn of_method(answer: &Found<'_>, way: &MethodWay) -> Value {
    let mut value = json!(way);
    value["met"] = json!(way.verdict.map(|verdict| verdict.met()));
    let tried = answer.methods_tried.iter();
    let tried = tried.clone().find(|tried| tried.method == way.method);
    value["spread"] = json!(tried.map(|tried| &tried.outlook));
    value
}

/// What `check` found.
pub fn checked(found: &[Diagnostic], texts: &[Text]) -> String {
    let in_order = found.iter().all(|d| d.severity != Severity::Error);
    written(&json!({
        "version": env!("CARGO_PKG_VERSION"),
        "files": texts.iter().map(|text| &text.name).collect::<Vec<_>>(),
        "in_order": in_order,
        "diagnostics": diagnostics(found, texts),
    }))
}

/// What readings tell.
pub fn of_readings(set: &ReadingSet, found: &Evaluation, cautions: &[&str]) -> String {
    written(&json!({
        "version": env!("CARGO_PKG_VERSION"),
        "units": "SI: m, rad; slide as its own movement; tapers as change of diameter over length",
        "readings": set,
        "found": found,
        "cautions": cautions,
    }))
}

/// What a swept sample tells.
pub fn of_sample(sweep: &SampleSweep, found: &Copied, cautions: &[&str]) -> String {
    written(&json!({
        "version": env!("CARGO_PKG_VERSION"),
        "units": "SI: m, rad; readings as the indicator's; tapers as change of diameter over length",
        "sample": sweep,
        "found": found,
        "cautions": cautions,
    }))
}

/// As text, ended by a line end.
pub fn written(value: &Value) -> String {
    format!("{value:#}\n")
}

/// One way; the long lists are left out unless `detail` is wanted.
pub fn of_way(way: &Way, detail: bool) -> Value {
    let mut value = json!(way);
    value["met"] = json!(way.verdict.map(|verdict| verdict.met()));
    if detail {
        return value;
    }
    let Some(run) = value.get_mut("run").and_then(Value::as_object_mut) else {
        return value;
    };
    for (record, lists) in LONG {
        let Some(record) = run.get_mut(record).and_then(Value::as_object_mut) else {
            continue;
        };
        for list in lists {
            record.remove(*list);
        }
    }
    run.retain(|_, record| record.as_object().is_none_or(|record| !record.is_empty()));
    let passes = run.get_mut("passes").and_then(Value::as_array_mut);
    for pass in passes.into_iter().flatten() {
        if let Some(pass) = pass.as_object_mut() {
            pass.remove("turns");
        }
    }
    value
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
