//! The answer of a gauging sum: what was found, what was assumed, what to mind.

use serde_json::{Value, json};
use tautway_sim::caution::NOT_AN_INSPECTION;
use tautway_sim::gauging::{Found, Gauged};
use tautway_sim::quantity::Units;

use crate::screen::{WIDTH, found};

/// The answer.
pub struct Page {
    /// The person's units.
    pub units: Units,
    /// What was found, in words.
    pub lines: Vec<String>,
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
            lines: Vec::new(),
            found: Value::Null,
            inputs: Vec::new(),
        }
    }

    /// Adds a line.
    pub fn line(&mut self, text: impl Into<String>) {
        self.lines.push(text.into());
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
    pub fn text(&self) -> String {
        let mut page = self.lines.join("\n");
        page.push('\n');
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
            page.push_str(&format!(
                "\nI assumed: {}. Type yours behind the number: \"0.100 in +- 0.001 in\".\n",
                assumed.join(", ")
            ));
        }
        if self.inputs.iter().any(|(_, measured)| measured.half > 0.0) {
            page.push_str(
                "+- carries the errors of what was measured, to first order, as independent.\n",
            );
        }
        page.push_str(
            "\nSpindle stopped, tool drawn clear, work cooled and clean before any gauge goes \
             on.\nA gauge that fits, or an even blue, is not an inspection. ",
        );
        page.push_str(NOT_AN_INSPECTION);
        page.push('\n');
        page.lines().map(wrapped).collect()
    }
}

/// A line of the page, ended; a table's lines are short and stay as they are.
fn wrapped(line: &str) -> String {
    let options = textwrap::Options::new(WIDTH)
        .word_separator(textwrap::WordSeparator::AsciiSpace)
        .break_words(false);
    if line.len() > WIDTH {
        format!("{}\n", textwrap::fill(line, options))
    } else {
        format!("{line}\n")
    }
}
