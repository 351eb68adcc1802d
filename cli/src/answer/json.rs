//! Answers as JSON: the records themselves, in SI.

use std::collections::BTreeSet;

use schemars::JsonSchema;
use serde::Serialize;
use serde_json::{Value, json};
use tautway_sim::compare::Way;
use tautway_sim::expect::Expect;
use tautway_sim::method::{MethodOutlook, MethodWay};
use tautway_sim::scenario::{Diagnostic, Scenario};
use tautway_sim::sensitivity::Likely;
use tautway_sim::spread::Ending;
use tautway_sim::study::{Checked as FirstOrder, Mend, Outlook};
use tautway_sim::thread::{Moves, ThreadLikely};

use super::found::Found;
use super::parts::{Beside, Fault, Record, answered, beside, diagnostics, written};
use super::thread::ThreadFound;
use crate::failure::{Failure, Place};
use crate::texts::Text;

/// The lists of a run that have a number for every turn or place.
const LONG: [(&str, &[&str]); 2] = [
    ("profile", &["z", "mean", "meridian", "roundness"]),
    ("reversal", &["carriage", "guide", "slide"]),
];

/// A pass's list.
const TURNS: &str = "turns";

/// What a comparison or a prediction finds.
#[derive(Serialize, JsonSchema)]
pub struct Ways<'a> {
    /// Of the luck: what every draw grows from.
    seed: u64,
    /// Job and lathe as they were read.
    scenario: &'a Scenario,
    /// Warnings and notes about the files.
    diagnostics: Vec<Fault<'a>>,
    /// What to expect of what is advised, or of the one way asked for.
    expect: Option<&'a Expect>,
    /// The ways with the attachment, best first; one way of a prediction.
    #[schemars(with = "Vec<Beside<Way, Met>>")]
    ways: Vec<Value>,
    /// The ways without it, best first.
    without_attachment: Vec<Beside<&'a MethodWay, MethodMet<'a>>>,
    /// How sure the first way is, one number at a time.
    likely: Option<&'a Likely>,
    /// Many lathes like this one.
    spread: Option<ManyLathes<'a>>,
    /// The job's thread, where it has one.
    #[serde(skip_serializing_if = "Option::is_none")]
    thread: Option<ThreadBelow<'a>>,
}

impl Record for Ways<'_> {
    const UNITS: &'static str = "SI: m, N, N/m, Pa, rad; tapers as change of diameter over length";
}

/// Beside a way.
#[derive(Serialize, JsonSchema)]
struct Met {
    /// Whether the drawing is expected to be met; none where the way wasn't cut.
    met: Option<bool>,
}

/// Beside a way without the attachment.
#[derive(Serialize, JsonSchema)]
struct MethodMet<'a> {
    /// Whether the drawing is expected to be met; none where the way wasn't cut.
    met: Option<bool>,
    /// What came of it on many lathes.
    spread: Option<&'a MethodOutlook>,
}

/// What many lathes came to.
#[derive(Serialize, JsonSchema)]
struct ManyLathes<'a> {
    /// Why they ended.
    ending: Ending,
    /// Their sum.
    outlook: &'a Outlook,
    /// What makes the spread of the first way.
    mend: Option<&'a Mend>,
    /// Taper, size and waves of the first way to first order, if asked for.
    first_order: Option<&'a Vec<FirstOrder>>,
}

/// The thread below a comparison.
#[derive(Serialize, JsonSchema)]
struct ThreadBelow<'a> {
    /// Its ways, best first.
    found: ThreadFound<'a>,
    /// How sure the first way is.
    likely: Option<&'a ThreadLikely>,
    /// What was assumed and how far it moves the answer.
    assumed: &'a [Moves],
}

/// An answer; the long lists are left out unless `detail` is wanted.
pub fn of(answer: &Found<'_>, detail: bool) -> String {
    let tried = answer.methods_tried;
    answered(Ways {
        seed: answer.options.seed,
        scenario: &answer.read.scenario,
        diagnostics: diagnostics(&answer.read.warnings, &answer.read.texts),
        expect: answer.first,
        ways: answer.ways.iter().map(|way| of_way(way, detail)).collect(),
        without_attachment: answer
            .methods
            .iter()
            .map(|way| {
                let tried = tried.iter().find(|tried| tried.method == way.method);
                let met = MethodMet {
                    met: way.verdict.map(|verdict| verdict.met()),
                    spread: tried.map(|tried| &tried.outlook),
                };
                beside(way, met)
            })
            .collect(),
        likely: answer.likely,
        spread: answer.spread.map(|spread| ManyLathes {
            ending: spread.ending,
            outlook: &spread.outlook,
            mend: spread.mend.as_ref(),
            first_order: spread.first_order.as_ref(),
        }),
        thread: answer.thread.map(|thread| ThreadBelow {
            found: thread.found(),
            likely: thread.told.likely,
            assumed: thread.told.moves,
        }),
    })
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

/// What `check` answers.
#[derive(Serialize, JsonSchema)]
pub struct Checks<'a> {
    /// Version of the program.
    version: &'static str,
    /// The files, and those read with them.
    files: Vec<&'a str>,
    /// Whether all of them can be worked with.
    in_order: bool,
    /// Every fault, warning and note.
    diagnostics: Vec<Fault<'a>>,
}

impl Checked {
    fn names(&self) -> Vec<&str> {
        match self.texts.is_empty() {
            true => self.found.iter().map(|fault| &fault.file[..]).collect(),
            false => self.texts.iter().map(|text| &text.name[..]).collect(),
        }
    }
}

/// What `check` found, of all files together.
pub fn checked(all: &[Checked]) -> String {
    let found = all.iter().map(|one| diagnostics(&one.found, &one.texts));
    written(&json!(Checks {
        version: env!("CARGO_PKG_VERSION"),
        files: all.iter().flat_map(Checked::names).collect(),
        in_order: all.iter().all(|one| one.what.is_some()),
        diagnostics: found.flatten().collect(),
    }))
}

/// What stands in place of an answer.
#[derive(Serialize, JsonSchema)]
pub struct Refused<'a> {
    /// Why there is none.
    error: Why<'a>,
}

/// Why there is no answer.
#[derive(Serialize, JsonSchema)]
struct Why<'a> {
    /// Not understood as typed (`command`), not right as typed (`input`), faulty `files`, `nothing`
    /// to answer, or `stopped`.
    kind: &'a str,
    /// What is wrong.
    message: &'a str,
    /// What would be right.
    hint: Option<&'a str>,
    /// The faults of the files.
    places: &'a [Place],
}

/// Why there is no answer, for who asked for JSON; none where it was told in the answer.
pub fn refused(failure: &Failure) -> Option<String> {
    let (kind, words, places) = match failure {
        Failure::Input(words) => ("input", words.as_str(), &[][..]),
        Failure::Shown(places) => ("files", "the files are not right", &places[..]),
        Failure::Nothing(words) => ("nothing", words.as_str(), &[][..]),
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
    let error = Why {
        kind,
        message,
        hint,
        places,
    };
    written(&json!(Refused { error }))
}

/// Takes from what definitions of a schema require what is left out unless `--detail` is asked for,
/// and what is required twice, as where something told beside a record takes the place of a key.
pub fn sometimes(definitions: &mut Value) {
    let all = definitions.as_object_mut().into_iter().flatten();
    for (_, table) in all {
        let has = |key: &str| table["properties"].get(key).is_some();
        let left_out: Vec<&str> = LONG
            .iter()
            .flat_map(|(record, lists)| {
                let lists = lists.iter().filter(|_| lists.iter().all(|list| has(list)));
                lists.chain([record])
            })
            .chain([&TURNS])
            .copied()
            .collect();
        if let Some(required) = table.get_mut("required").and_then(Value::as_array_mut) {
            let mut seen = BTreeSet::new();
            required.retain(|key| {
                let once = seen.insert(key.to_string());
                once && !left_out.iter().any(|left| key == left)
            });
        }
    }
}

/// One way; the long lists are left out unless `detail` is wanted.
fn of_way(way: &Way, detail: bool) -> Value {
    let met = way.verdict.map(|verdict| verdict.met());
    let mut value = json!(beside(way, Met { met }));
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
            pass.remove(TURNS);
        }
    }
    value
}
