//! What a comparison and a prediction give.

use tautway_words::Document;

use super::found::Found;
use super::given::{Answer, Figure, Luck, Table};
use super::{figures, json, trials, ways};
use crate::output::folder::Filling;
use crate::progress::Progress;
use crate::texts::Text;

impl Answer for Found<'_> {
    fn named(&self) -> &'static str {
        self.named
    }

    fn about(&self) -> &str {
        &self.read.scenario.job.name
    }

    fn document(&self) -> &Document {
        &self.document
    }

    fn json(&self) -> String {
        json::of(self, self.detail)
    }

    fn tables(&self) -> Vec<Table> {
        vec![Table {
            name: self.named,
            title: "Numbers of every way",
            about: "A column for each way, best first; the unit of a number stands in its name.",
            rows: ways::rows(self),
        }]
    }

    fn figures(&self, progress: &Progress) -> Vec<Figure> {
        figures::of(self, progress)
    }

    fn texts(&self) -> &[Text] {
        &self.read.texts
    }

    fn luck(&self) -> Luck {
        Luck {
            seed: Some(self.options.seed),
            lathes: self.spread.map(|spread| spread.outlook.trials),
        }
    }

    fn again(&self) -> Option<(&'static str, String, &'static str)> {
        let record = trials::record(self, self.spread?);
        let beside = "Every lathe tried, draw by draw: trials.csv and trials.jsonl, which --out \
                      writes beside a page like this; study.json says all it takes to run them \
                      again.";
        Some(("study.json", record, beside))
    }

    fn begun(&self) -> Option<&Filling> {
        self.spread?.rows.as_ref()
    }
}
