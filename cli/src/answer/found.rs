//! What was found, with all that the forms of an answer need.

use tautway_sim::compare::Way;
use tautway_sim::cut::Options;
use tautway_sim::method::MethodWay;
use tautway_sim::quantity::Units;
use tautway_sim::sensitivity::Likely;
use tautway_words::Document;

use super::{Answer, Figure, Luck, Table, figures, json, trials, ways};
use crate::output::folder::Filling;
use crate::progress::Progress;
use crate::texts::{Read, Text};
use crate::trials::{MethodTried, Spread};

/// What was found, with all that its forms need.
pub struct Found<'a> {
    /// Job and lathe.
    pub read: &'a Read,
    /// The ways, best first; one way of a prediction.
    pub ways: &'a [&'a Way],
    /// The ways without the attachment, best first; none in a prediction.
    pub methods: &'a [MethodWay],
    /// Those on many lathes.
    pub methods_tried: &'a [MethodTried],
    /// How sure the first way is, one number at a time.
    pub likely: Option<&'a Likely>,
    /// Many lathes like this one.
    pub spread: Option<&'a Spread>,
    /// The part of the trials that this is, from and how many; none of a whole.
    pub part: Option<(u64, u64)>,
    /// The words of the screen.
    pub document: Document,
    /// The person's units.
    pub units: Units,
    /// How finely and with which luck it was run.
    pub options: Options,
    /// Whether more was to be told.
    pub detail: bool,
    /// What its files are called.
    pub named: &'static str,
}

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
