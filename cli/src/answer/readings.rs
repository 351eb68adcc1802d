//! What readings tell, with all that its forms need.

use tautway_sim::quantity::Units;
use tautway_sim::readings::{CAUTIONS, Evaluation, ReadingSet};
use tautway_words::Document;

use super::given::{Answer, Figure, Table};
use super::json;
use crate::progress::Progress;
use crate::texts::Text;

/// What readings tell.
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
        json::of_readings(self.set, self.found, &CAUTIONS)
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

    fn texts(&self) -> &[Text] {
        self.texts
    }
}
