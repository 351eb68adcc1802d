//! The answer of a gauging sum: what was found, what was assumed, what to mind.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Serialize;
use tautway_sim::caution::NOT_AN_INSPECTION;
use tautway_sim::gauging::{Bore, Correction, Found, Gauged, Plug, StandoffRow, TwoPlaces};
use tautway_sim::quantity::Units;
use tautway_sim::scenario::End;
use tautway_words::{Document, Words};

use crate::screen::found;

/// What a sum gives.
#[derive(Serialize, JsonSchema)]
#[serde(tag = "sum", rename_all = "lowercase")]
pub enum Sum {
    /// Of a gauge that stands off.
    Standoff {
        /// On diameter, m; none where no standoff was read.
        still_to_come_off_on_diameter: Option<Found>,
        /// Per side, m.
        still_to_come_off_per_side: Option<Found>,
        /// Per side, m, positive into the work; none where it wasn't said which kind of work it is.
        size_error: Option<Found>,
        /// Standoff to metal.
        rows: Vec<StandoffRow>,
    },
    /// Of blue.
    Blue(Blued),
    /// Of rolls at two heights.
    Rolls {
        /// The cone.
        plug: Plug,
        /// Taper less the one that was wanted, if one was.
        against_wanted: Option<f64>,
    },
    /// Of one pair of rolls and a known taper.
    #[serde(rename = "one pair of rolls")]
    OnePairOfRolls {
        /// Diameter at the plate, m.
        at_plate: Found,
        /// Diameter at the other end, m, if the length was given.
        at_top: Option<Found>,
    },
    /// Of two balls.
    Balls {
        /// The cone.
        bore: Bore,
        /// Taper less the one that was wanted, if one was.
        against_wanted: Option<f64>,
    },
    /// Of one ball and a known taper.
    #[serde(rename = "one ball")]
    OneBall {
        /// Diameter at the mouth, m.
        mouth: Found,
    },
    /// Of two diameters.
    Diameters {
        /// The cone.
        two_places: TwoPlaces,
        /// Taper less the one that was wanted, if one was.
        against_wanted: Option<f64>,
    },
}

/// What blue tells.
#[derive(Serialize, JsonSchema)]
#[serde(untagged)]
pub enum Blued {
    /// It bears at one end.
    OneEnd {
        /// End of the guide that is nudged.
        nudged_end: End,
        /// Where to, and how far.
        correction: Correction,
    },
    /// It bears evenly.
    Even {
        /// Yes.
        straight: bool,
        /// What the film can hide, as a change of diameter over length.
        hidden_taper_error: Option<Found>,
    },
    /// It bears here and there.
    Uneven {
        /// No.
        straight: bool,
    },
}

/// The answer.
pub struct Page {
    /// The person's units.
    pub units: Units,
    /// What was found, in words.
    pub words: Document,
    /// What was found, in SI.
    pub found: Option<Sum>,
    /// What went into it, in a person's words and as used.
    inputs: Vec<(&'static str, Gauged)>,
}

impl Page {
    /// Nothing found yet.
    pub fn new(units: Units) -> Self {
        Self {
            units,
            words: Document::new(),
            found: None,
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
    pub fn given(&self) -> BTreeMap<&'static str, Gauged> {
        self.inputs.iter().copied().collect()
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
