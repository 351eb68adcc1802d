//! What a comparison and a prediction give.

use serde_json::Value;
use tautway_sim::cut::Options;
use tautway_sim::quantity::Units;
use tautway_sim::scenario::decode;
use tautway_words::Document;

use super::found::Found;
use super::given::{Answer, Figure, Luck, Table};
use super::{figures, json, trials, ways};
use crate::bench;
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
        let own = Table {
            name: self.named,
            title: "Numbers of every way",
            about: "A column for each way, best first; the unit of a number stands in its name.",
            rows: ways::rows(self),
        };
        let of_thread = self.thread.map_or(Vec::new(), Answer::tables);
        std::iter::once(own).chain(of_thread).collect()
    }

    fn figures(&self, progress: &Progress) -> Vec<Figure> {
        let mut figures = figures::of(self, progress);
        figures.extend(
            self.thread
                .into_iter()
                .flat_map(|thread| thread.figures(progress)),
        );
        figures
    }

    fn units(&self) -> Units {
        self.units
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

    fn bench(&self) -> Option<Value> {
        let [job, lathe] = &self.read.texts;
        let way = self.ways.first()?;
        // A lathe that was drawn is not the one in its file, which the bench's engine reads.
        let (filed, _) = decode(job.source(), lathe.source()).ok()?;
        let mut same = filed.clone();
        same.job.units = self.read.scenario.job.units;
        let fits = filed.lathe.attachment.fitted && same == self.read.scenario;
        let options = Options {
            seed: self.options.seed,
            ..Options::default()
        };
        fits.then(|| bench::begun(job, lathe, &filed, &way.setup, options))
    }

    fn again(&self) -> Option<(&'static str, String, &'static str)> {
        let record = trials::record(self, self.spread?);
        let beside = "Every lathe tried, draw by draw: trials.csv and trials.jsonl, which --folder \
                      writes beside a page like this; study.json says all it takes to run them \
                      again.";
        Some(("study.json", record, beside))
    }

    fn begun(&self) -> Option<&Filling> {
        self.rows
    }
}
