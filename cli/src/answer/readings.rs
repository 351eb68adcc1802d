//! What readings and sweeps tell, with all that its forms need.

use schemars::JsonSchema;
use serde::Serialize;
use tautway_screens::screen::SAMPLE_CAUTIONS;
use tautway_sim::quantity::Units;
use tautway_sim::readings::{CAUTIONS, Copied, Evaluation, ReadingSet};
use tautway_sim::scenario::sample::SampleSweep;
use tautway_words::Document;

use super::given::{Answer, Figure, Table};
use super::parts::{Record, answered};
use crate::progress::Progress;
use crate::texts::Text;

/// What readings tell.
#[derive(Serialize, JsonSchema)]
pub struct FromReadings<'a> {
    /// What was read.
    readings: &'a ReadingSet,
    /// What it tells.
    found: &'a Evaluation,
    /// What can hurt.
    cautions: &'a [&'a str],
}

impl Record for FromReadings<'_> {
    const UNITS: &'static str =
        "SI: m, rad; slide as its own movement; tapers as change of diameter over length";
}

/// What readings tell, with all that its forms need.
pub struct Evaluated<'a> {
    /// The file.
    pub texts: &'a [Text],
    /// What was read.
    pub set: &'a ReadingSet,
    /// What it tells.
    pub found: &'a Evaluation,
    /// The words of the screen.
    pub document: Document,
    /// The person's units.
    pub units: Units,
}

impl Answer for Evaluated<'_> {
    fn named(&self) -> &'static str {
        "readings"
    }

    fn about(&self) -> &str {
        &self.set.name
    }

    fn document(&self) -> &Document {
        &self.document
    }

    fn json(&self) -> String {
        answered(FromReadings {
            readings: self.set,
            found: self.found,
            cautions: &CAUTIONS,
        })
    }

    /// Its rows are those of the file.
    fn tables(&self) -> Vec<Table> {
        Vec::new()
    }

    fn figures(&self, _: &Progress) -> Vec<Figure> {
        vec![Figure {
            name: "readings".to_owned(),
            drawing: tautway_figures::readings(self.found, self.units),
        }]
    }

    fn units(&self) -> Units {
        self.units
    }

    fn texts(&self) -> &[Text] {
        self.texts
    }
}

/// What a swept sample tells.
#[derive(Serialize, JsonSchema)]
pub struct FromSample<'a> {
    /// What was read.
    sample: &'a SampleSweep,
    /// What it tells.
    found: &'a Copied,
    /// What can hurt.
    cautions: &'a [&'a str],
}

impl Record for FromSample<'_> {
    const UNITS: &'static str =
        "SI: m, rad; readings as the indicator's; tapers as change of diameter over length";
}

/// What a swept sample tells, with all that its forms need.
pub struct Swept<'a> {
    /// The file.
    pub texts: &'a [Text],
    /// What was read.
    pub sweep: &'a SampleSweep,
    /// What it tells.
    pub found: &'a Copied,
    /// The words of the screen.
    pub document: Document,
    /// The person's units.
    pub units: Units,
}

impl Answer for Swept<'_> {
    fn named(&self) -> &'static str {
        "sample"
    }

    fn about(&self) -> &str {
        &self.sweep.name
    }

    fn units(&self) -> Units {
        self.units
    }

    fn document(&self) -> &Document {
        &self.document
    }

    fn json(&self) -> String {
        answered(FromSample {
            sample: self.sweep,
            found: self.found,
            cautions: &SAMPLE_CAUTIONS,
        })
    }

    /// Its rows are those of the file.
    fn tables(&self) -> Vec<Table> {
        Vec::new()
    }

    fn figures(&self, _: &Progress) -> Vec<Figure> {
        Vec::new()
    }

    fn texts(&self) -> &[Text] {
        self.texts
    }
}
