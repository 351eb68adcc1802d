//! The answer of a gauging sum: what was found, what was assumed, what to mind.

use serde_json::{Value, json};
use tautway_sim::caution::NOT_AN_INSPECTION;
use tautway_sim::gauging::{Found, Gauged};
use tautway_sim::quantity::Units;
use tautway_words::{Document, Words};

use crate::screen::found;

/// The answer.
pub struct Page {
    /// The person's units.
    pub units: Units,
    /// What was found, in words.
    pub words: Document,
    /// What was found, in SI.
    pub found: Value,
    /// What went into it, in a person's words and as used.
    inputs: Vec<(&'static str, Gauged)>,
}

impl Page {
    /// Nothing found yet.
    pub fn new(units: Units) -> Self {
        Self {
            units,
            words: Document::new(),
            found: Value::Null,
            inputs: Vec::new(),
        }
    }

    /// Adds a line.
    pub fn line(&mut self, text: impl Into<Words>) {
        self.words.lead(text);
    }

    /// Notes a number that goes into the sum and hands it on.
    pub fn input(&mut self, name: &'static str, measured: Gauged) -> Gauged {
        self.inputs.push((name, measured));
        measured
    }

    /// Says what a result's error comes from.
    pub fn mostly_from(&mut self, of: &str, result: &Found) {
        if let Some(greatest) = result.shares.first().filter(|share| share.half > 0.0) {
            self.line(format!(
                "What leaves {of} open is mostly the {}.",
                greatest.of
            ));
        }
    }

    /// What went in, for a script.
    pub fn given(&self) -> Value {
        let pairs = self.inputs.iter();
        pairs
            .map(|(name, measured)| ((*name).to_owned(), json!(measured)))
            .collect::<serde_json::Map<_, _>>()
            .into()
    }

    /// The whole page.
    pub fn document(self) -> Document {
        let mut page = self.words;
        let assumed: Vec<_> = self
            .inputs
            .iter()
            .filter(|(_, measured)| measured.assumed)
            .map(|(name, measured)| {
                let value = found::length_of(measured.value, measured.half, self.units);
                format!("{name} {value}")
            })
            .collect();
        if !assumed.is_empty() {
            page.gap();
            let assumed = assumed.join(", ");
            let yours = "Type yours behind the number: \"0.100 in +- 0.001 in\".";
            page.say("I assumed:", format!("{assumed}. {yours}"));
        }
        if self.inputs.iter().any(|(_, measured)| measured.half > 0.0) {
            page.lead(
                "+- carries the errors of what was measured, to first order, as independent.",
            );
        }
        page.gap();
        page.lead(
            "Spindle stopped, tool drawn clear, work cooled and clean before any gauge goes on.",
        );
        page.lead(format!(
            "A gauge that fits, or an even blue, is not an inspection. {NOT_AN_INSPECTION}"
        ));
        page
    }
}
