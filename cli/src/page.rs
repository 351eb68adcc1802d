//! The page: one HTML file with the bench, what to do, job and lathe and what belongs to them as
//! forms, files, and the engine that keeps all of them live.
//!
//! What stands in it before a script runs is what the command line says of the files.

use maud::{Markup, html};
use serde_json::Value;
use tautway_browser_engine::kept::on_a_page;
use tautway_sim::caution::NOT_AN_INSPECTION;
use tautway_sim::compare::Comparison;
use tautway_sim::cut::Options;
use tautway_sim::setup::Setup;
use tautway_words::html::{Page, Read as Reading, blocks, nothing, opening};

use crate::bench::{self, figures};
use crate::output::file::Kind;
use crate::texts::{Read, Text};

const LOOK: &str = include_str!("page.css");

/// What a page has in it that was saved from the browser.
const SAVED: &str = "id=\"state\">tautway-bench-";

/// What is written, for the messages about it.
pub const KIND: Kind = Kind {
    what: "page",
    option: "--out",
    example: "job.page.html",
    is_ours: is_page,
};

fn is_page(text: &str) -> bool {
    let mut beginning = text.lines().take(8);
    beginning.any(|line| line.contains(&opening("page")))
}

/// Whether a file's text is a page as this program writes it, and nobody saved anything in it.
pub fn is_as_written(text: &str) -> bool {
    is_page(text) && !text.contains(SAVED)
}

/// What the page is made from.
pub struct Made<'a> {
    /// Job and lathe.
    pub read: &'a Read,
    /// Every way.
    pub comparison: &'a Comparison,
    /// How they were run.
    pub options: Options,
}

impl Made<'_> {
    /// The page.
    pub fn page(&self) -> String {
        let scenario = &self.read.scenario;
        let ways = self.comparison.ways.iter();
        let runs: Vec<_> = ways.filter_map(|way| way.run.as_ref()).collect();
        let units = scenario.job.units;
        let said = on_a_page(scenario, self.comparison, self.options.seed);
        let [job, lathe] = &self.read.texts;
        let record = if scenario.lathe.attachment.fitted {
            bench::begun(job, lathe, scenario, &self.advised(), self.options)
        } else {
            bench::bare(&self.read.texts, self.options.seed)
        };
        let still = html! {
            h1 { (scenario.job.name) }
            p { "The picture that can be touched needs scripts; these stand still." }
            (figures(&runs, units))
        };
        written(
            &scenario.job.name,
            &record,
            &still,
            &blocks(&said.blocks, Reading::OnScreen),
        )
    }

    /// The way to take, or where there is none the plainest.
    fn advised(&self) -> Setup {
        let ways = &self.comparison.ways;
        let first = self.comparison.best().or(ways.first());
        first.map_or_else(
            || {
                let work = &self.read.scenario.job.work;
                Setup::all(work.kind, work.big_end)[0]
            },
            |way| way.setup,
        )
    }
}

/// The page of texts with faults in them, to be mended on it.
pub fn of_faulty(texts: &[Text; 2], seed: u64) -> String {
    let said = html! { p { "Job and lathe can't be read yet: their faults stand in the forms." } };
    let name = texts[0].file_name();
    written(&name, &bench::bare(texts, seed), &nothing(), &said)
}

fn written(title: &str, record: &Value, still: &Markup, said: &Markup) -> String {
    Page {
        kind: "page",
        version: env!("CARGO_PKG_VERSION"),
        title,
        policy: Some(bench::POLICY),
        look: &format!("{}{LOOK}", bench::LOOK),
        before: html! { a class="skip" href="#answers" { "Skip to what to do" } },
        main: html! {
            div id="bench" { noscript { (still) } }
            div id="work" {
                section id="answers" class="panel" {
                    div class="told" { (said) }
                }
            }
            p class="foot" { (NOT_AN_INSPECTION) }
        },
        after: bench::moving(record),
    }
    .write()
}
