//! How to hold the slide, in every form: text, JSON, CSV, and the directory with all of them and
//! the figure.

use schemars::JsonSchema;
use serde::Serialize;
use tautway_sim::advice::force_scan::{Band, ForcePoint};
use tautway_sim::advice::preload::PreloadAdvice;
use tautway_sim::caution::{Caution, PRELOAD_WARNED, holding};
use tautway_sim::expect::Expect;
use tautway_sim::quantity::Units;
use tautway_sim::scenario::Scenario;

use tautway_words::Document;

use super::given::{Answer, Figure, Luck, Table};
use super::parts::{Fault, Record, answered, diagnostics};
use crate::progress::Progress;
use crate::table::{Row, SHARE, Scale, Scales};
use crate::texts::{Read, Text};
use tautway_screens::screen::ByPlan;

/// What was found, with all that its forms need.
pub struct Held<'a> {
    /// Job and lathe.
    pub read: &'a Read,
    /// What is advised.
    pub advice: &'a PreloadAdvice,
    /// What the plan promises without it and with it.
    pub plan: &'a ByPlan,
    /// The words of the screen.
    pub document: Document,
    /// The person's units.
    pub units: Units,
    /// Luck of the lathes.
    pub seed: u64,
}

impl Answer for Held<'_> {
    fn named(&self) -> &'static str {
        "preload"
    }

    fn about(&self) -> &str {
        &self.read.scenario.job.name
    }

    fn document(&self) -> &Document {
        &self.document
    }

    fn json(&self) -> String {
        as_json(self.read, self.advice, self.plan, self.seed)
    }

    fn tables(&self) -> Vec<Table> {
        let scales = Scales::of(self.units);
        let scan = self.advice.scan.iter();
        vec![Table {
            name: "preload",
            title: "Numbers of every force",
            about: "A column for each force of the scan; the unit of a number stands in its name.",
            rows: scan.map(|point| row(point, self.advice, &scales)).collect(),
        }]
    }

    fn figures(&self, _: &Progress) -> Vec<Figure> {
        vec![Figure {
            name: "preload".to_owned(),
            drawing: tautway_figures::preload(self.advice, self.units),
        }]
    }

    fn units(&self) -> Units {
        self.units
    }

    fn texts(&self) -> &[Text] {
        &self.read.texts
    }

    fn luck(&self) -> Luck {
        Luck {
            seed: Some(self.seed),
            lathes: Some(self.advice.trials),
        }
    }
}

/// What holding the slide takes.
#[derive(Serialize, JsonSchema)]
pub struct Holding<'a> {
    /// Of the luck: what every draw grows from.
    seed: u64,
    /// Job and lathe as they were read.
    scenario: &'a Scenario,
    /// Warnings and notes about the files.
    diagnostics: Vec<Fault<'a>>,
    /// Whether the best way wants a preload.
    needed: bool,
    /// What to expect of the way as it is.
    expect: &'a Expect,
    /// The same held.
    expect_held: &'a Option<Expect>,
    /// What to expect of the best way without.
    expect_best_without: &'a Expect,
    /// How to hold it, and how hard.
    preload: &'a PreloadAdvice,
    /// What can hurt.
    cautions: Vec<Caution>,
}

impl Record for Holding<'_> {
    const UNITS: &'static str =
        "SI: m, N, Pa; a preload below 0 pushes into the cut and is never advised";
}

fn as_json(read: &Read, advice: &PreloadAdvice, plan: &ByPlan, seed: u64) -> String {
    let strong = |force| force > PRELOAD_WARNED;
    answered(Holding {
        seed,
        scenario: &read.scenario,
        diagnostics: diagnostics(&read.warnings, &read.texts),
        needed: advice.is_needed(),
        expect: &plan.without,
        expect_held: &plan.held,
        expect_best_without: &plan.best,
        preload: advice,
        cautions: holding(true, advice.advised.is_some_and(strong)),
    })
}

/// A force of the scan.
fn row(point: &ForcePoint, advice: &PreloadAdvice, scales: &Scales) -> Row {
    let mut row = Row::default();
    row.number("preload_out_of_cut", scales.force, Some(point.force));
    row.flag("into_cut_never_used", Some(point.force < 0.0));
    row.flag(
        "in_window",
        Some((advice.window.least..=advice.window.most).contains(&point.force)),
    );
    row.word("trials", advice.trials.to_string());
    row.number("share_steady", SHARE, Some(point.steady.share));
    row.number("share_seated", SHARE, Some(point.seated.share));
    let mut band = |name: &str, scale: Scale, band: &Band| {
        row.number(&format!("{name}_mean"), scale, Some(band.mean));
        row.number(&format!("{name}_80_of_100_least"), scale, Some(band.low));
        row.number(&format!("{name}_80_of_100_most"), scale, Some(band.high));
    };
    band("seat_margin", scales.force, &point.seat_margin);
    band("left", scales.height, &point.left);
    band("waves", scales.height, &point.waves);
    row
}
