//! Answers as JSON: the records themselves, in SI.

use serde_json::{Value, json};
use tautway_sim::compare::Way;
use tautway_sim::method::MethodWay;
use tautway_sim::readings::{Copied, Evaluation, ReadingSet};
use tautway_sim::scenario::Diagnostic;
use tautway_sim::scenario::sample::SampleSweep;

use super::found::Found;
use super::parts::diagnostics;
pub use super::parts::written;
use crate::failure::{Failure, Place};
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
    let mut value = json!({
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
    });
    if let Some(thread) = answer.thread {
        let [found, likely, assumed] = thread.records();
        value["thread"] = json!({ "found": found, "likely": likely, "assumed": assumed });
    }
    written(&value)
}

fn of_method(answer: &Found<'_>, way: &MethodWay) -> Value {
    let mut value = json!(way);
    value["met"] = json!(way.verdict.map(|verdict| verdict.met()));
    let tried = answer.methods_tried.iter();
    let tried = tried.clone().find(|tried| tried.method == way.method);
    value["spread"] = json!(tried.map(|tried| &tried.outlook));
    value
}

/// What `check` found in one file and those read with it.
pub struct Checked {
    /// What it is; none where something stands in the way.
    pub what: Option<String>,
    /// Every fault, warning and note.
    pub found: Vec<Diagnostic>,
    /// The texts they point into.
    pub texts: Vec<Text>,
}

/// What `check` found, of all files together.
pub fn checked(all: &[Checked]) -> String {
    let names = |one: &Checked| match one.texts.is_empty() {
        true => one.found.iter().map(|fault| fault.file.clone()).collect(),
        false => one
            .texts
            .iter()
            .map(|text| text.name.clone())
            .collect::<Vec<_>>(),
    };
    let found = all.iter().map(|one| diagnostics(&one.found, &one.texts));
    let found = found.filter_map(|found| found.as_array().cloned());
    written(&json!({
        "version": env!("CARGO_PKG_VERSION"),
        "files": all.iter().flat_map(names).collect::<Vec<_>>(),
        "in_order": all.iter().all(|one| one.what.is_some()),
        "diagnostics": found.flatten().collect::<Vec<_>>(),
    }))
}

/// Why there is no answer, for who asked for JSON; none where it was told in the answer.
pub fn refused(failure: &Failure) -> Option<String> {
    let (kind, words, places) = match failure {
        Failure::Input(words) => ("input", words.as_str(), &[][..]),
        Failure::Shown(places) => ("files", "the files are not right", &places[..]),
        Failure::Stopped(words) => ("stopped", words.as_str(), &[][..]),
        Failure::Answered | Failure::Told => return None,
    };
    Some(error(kind, words, places))
}

/// The same of what can't be understood as typed, or can't be done for a reason.
pub fn error(kind: &str, words: &str, places: &[Place]) -> String {
    let (message, hint) = match words.split_once("\n  help: ") {
        Some((message, hint)) => (message, Some(hint)),
        None => (words, None),
    };
    written(&json!({
        "error": { "kind": kind, "message": message, "hint": hint, "places": places },
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
