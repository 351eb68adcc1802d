//! What the readings say, as it is gathered.

use crate::quantity::{Dimension, Quantity};
use crate::scenario::Known;
use crate::scenario::shop_tests::Test;
use crate::shop_tests::repeats::Estimate;
use crate::weighing::Told;
use schemars::JsonSchema;
use serde::Serialize;

/// Parts that differ from the whole by more than this share of it don't add up.
pub const ADDS_UP: f64 = 0.20;

/// A number of the lathe file that the tests give.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Finding {
    /// The key in the lathe file.
    pub key: &'static str,
    /// What the shop calls it.
    pub words: &'static str,
    /// What it measures.
    #[serde(skip)]
    pub dimension: Dimension,
    /// Low, middle and high, SI.
    pub range: [f64; 3],
    /// The tests it comes from.
    pub tests: Vec<Test>,
}

/// What a note is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum NoteKind {
    /// Good to know.
    Told,
    /// Two things can't be told apart from these readings.
    CannotTell,
    /// Readings contradict each other.
    DoesNotAddUp,
}

/// Something to be said about the readings.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Note {
    /// What it is about.
    pub kind: NoteKind,
    /// The test it is about.
    pub test: Test,
    /// In shop words.
    pub words: String,
}

/// What a filled-in form gives.
#[derive(Clone, Debug, Default, PartialEq, Serialize, JsonSchema)]
pub struct Found {
    /// Numbers of the lathe file.
    pub findings: Vec<Finding>,
    /// What is to be said.
    pub notes: Vec<Note>,
    /// The tests that were done.
    pub done: Vec<Test>,
    /// Push-off over drag of the cut drawn away in test 12.
    pub push_over_drag: Option<Told>,
}

impl Found {
    pub(super) fn add(
        &mut self,
        key: &'static str,
        words: &'static str,
        dimension: Dimension,
        range: [f64; 3],
        tests: &[Test],
    ) {
        self.findings.push(Finding {
            key,
            words,
            dimension,
            range,
            tests: tests.to_vec(),
        });
    }

    pub(super) fn note(&mut self, kind: NoteKind, test: Test, words: String) {
        self.notes.push(Note { kind, test, words });
    }
}

pub(super) fn of_known<Q: Quantity>(known: &Known<Q>) -> Estimate {
    Estimate::of_range([known.low.si(), known.middle.si(), known.high.si()])
}
