//! The bench as one HTML file: two cuts to be touched, with job, lathe, record and engine inside.
//!
//! The first picture is drawn from the record written here; the engine in the file takes over when
//! a knob is turned. Without a script the words and two still figures remain.
//!
//! A lesson holds it as a part: in a shadow root, so that neither page's look touches the other's.

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use maud::{Markup, PreEscaped, html};
use serde_json::{Value, json};
use tautway_browser_engine::asked::{SideOfWork, Turning};
use tautway_browser_engine::bench::Bench;
use tautway_sim::caution::NOT_AN_INSPECTION;
use tautway_sim::compare::Comparison;
use tautway_sim::cut::Options;
use tautway_sim::quantity::Units;
use tautway_sim::record::Run;
use tautway_sim::scenario::Scenario;
use tautway_sim::setup::Setup;
use tautway_words::html::{Page, Read as Reading, blocks, opening};

use crate::output::file::Kind;
use crate::texts::{Read, Text};
use tautway_screens::screen;

const LOOK: &str = include_str!("assets/bench.css");
/// The scripts, in the order in which one needs the other.
const SCRIPTS: [&str; 11] = [
    include_str!("assets/record.js"),
    include_str!("../page/assets/ink.js"),
    include_str!("assets/plan.js"),
    include_str!("assets/forces.js"),
    include_str!("assets/edge.js"),
    include_str!("assets/says.js"),
    include_str!("assets/engine.js"),
    include_str!("assets/state.js"),
    include_str!("assets/bench.js"),
    include_str!("assets/stills.js"),
    include_str!("assets/main.js"),
];
/// What runs in a worker.
const WORKER: &str = include_str!("assets/worker.js");
/// The engine, gzipped; `cli/engine/make` makes it.
const ENGINE: &[u8] = include_bytes!("../../engine/kept/engine.wasm.gz");

/// What a page with the bench in it may load and run.
pub const POLICY: &str = "default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline' \
                          'wasm-unsafe-eval' blob:; worker-src blob:; img-src data:";

/// What is written, for the messages about it.
pub const KIND: Kind = Kind {
    what: "bench",
    option: "--out",
    example: "bench.html",
    is_ours: |text| {
        text.lines()
            .take(8)
            .any(|line| line.contains(&opening("bench")))
    },
};

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
        let record = self.record();
        Page {
            kind: "bench",
            version: env!("CARGO_PKG_VERSION"),
            title: &format!("Bench: {}", scenario.job.name),
            policy: Some(POLICY),
            look: LOOK,
            before: html! { a class="skip" href="#says" { "Skip to what comes of it" } },
            main: html! {
                div id="bench" { noscript { (self.stills()) } }
                (self.words())
            },
            after: html! {
                (moving(&record))
            },
        }
        .write()
    }

    fn record(&self) -> Value {
        let [job, lathe] = &self.read.texts;
        let scenario = &self.read.scenario;
        begun(job, lathe, scenario, &self.advised(), self.options)
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

    /// What the command line says, behind a fold.
    fn words(&self) -> Markup {
        let scenario = &self.read.scenario;
        let units = scenario.job.units;
        let said = screen::compare(scenario, self.comparison, None, None, &[], units, false);
        html! {
            details class="words" {
                summary { "What to do, in words, for job and lathe as this file was written" }
                (blocks(&said.blocks, Reading::OnScreen))
                p { b { (NOT_AN_INSPECTION) } }
            }
        }
    }

    /// For whoever runs no scripts.
    fn stills(&self) -> Markup {
        let ways = &self.comparison.ways;
        let run: Vec<_> = ways.iter().filter_map(|way| way.run.as_ref()).collect();
        html! {
            h1 { (self.read.scenario.job.name) }
            p { "The picture that can be touched needs scripts; these stand still." }
            (figures(&run, self.read.scenario.job.units))
        }
    }
}

/// Two still figures: the surfaces, and the first cut with its forces.
pub fn figures(run: &[&Run], units: Units) -> Markup {
    let named: Vec<_> = run
        .iter()
        .map(|run| (screen::name_of(&run.setup), *run))
        .collect();
    html! {
        @if let Some(first) = run.first() {
            (PreEscaped(tautway_figures::surfaces(&named, units).svg))
            (PreEscaped(tautway_figures::cut_beside(first, run, units).svg))
        }
    }
}

/// What the picture begins with: the texts, the way and the record.
pub fn begun(
    job: &Text,
    lathe: &Text,
    scenario: &Scenario,
    setup: &Setup,
    options: Options,
) -> Value {
    json!({
        "names": [job.file_name(), lathe.file_name()],
        "job": job.text,
        "lathe": lathe.text,
        "side": SideOfWork::from(setup.side),
        "rotation": Turning::from(setup.rotation),
        "seed": options.seed,
        "bench": Bench::new(scenario, setup, None, options),
    })
}

/// When a bench that is a part of another page begins.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Begins {
    /// When it gets the event `guessed`; it tells nothing of what comes till then.
    Guessed,
    /// When the fold is opened that it stands in.
    Opened,
}

/// Its place as a part of another page; what is in it is seen where no scripts run.
pub fn place(begins: Begins, still: Markup) -> Markup {
    let waits = begins == Begins::Guessed;
    html! { div id="bench" data-part data-waits[waits] { (still) } }
}

/// What moves it there.
pub fn part(record: &Value) -> Markup {
    let look = LOOK.replace(":root", ":host");
    html! {
        script type="text/plain" id="bench-look" { (PreEscaped(look)) }
        (moving(record))
    }
}

/// Record, engine and scripts.
fn moving(record: &Value) -> Markup {
    html! {
        (data("record", record))
        script type="application/gzip" id="engine" { (STANDARD.encode(ENGINE)) }
        script type="text/plain" id="worker" { (PreEscaped(WORKER)) }
        script type="module" { (PreEscaped(scripts())) }
    }
}

/// A value for the scripts; nothing in it ends the element.
fn data(id: &str, value: &Value) -> Markup {
    let text = value.to_string().replace('<', "\\u003c");
    html! { script type="application/json" id=(id) { (PreEscaped(text)) } }
}

/// The scripts as one.
fn scripts() -> String {
    SCRIPTS
        .iter()
        .flat_map(|script| script.lines())
        .filter(|line| !line.starts_with("import ") && !line.starts_with("// @ts-check"))
        .map(|line| line.strip_prefix("export ").unwrap_or(line).to_owned() + "\n")
        .collect()
}
