//! What changes buy, in every form: text, JSON, CSV, and the directory with all of them and the
//! figure.

use schemars::JsonSchema;
use serde::Serialize;
use tautway_sim::advice::change::Change;
use tautway_sim::advice::gain::{Gain, Standing, Tried};
use tautway_sim::compare::Gives;
use tautway_sim::expect::Expect;
use tautway_sim::quantity::Units;
use tautway_sim::scenario::Scenario;
use tautway_sim::setup::Setup;

use tautway_screens::screen::Report;
use tautway_words::Document;

use super::given::{Answer, Figure, Luck, Table};
use super::parts::{Beside, Fault, Record, answered, beside, diagnostics};
use crate::progress::Progress;
use crate::table::{self, MINUTES, Row, Scale, Scales, name};
use crate::texts::{Read, Text};

/// A measure of the table: its name, its scale, and where it is found.
type Column = (&'static str, Scale, fn(&Standing) -> f64);

/// Rows of a figure at most.
const ROWS: usize = 14;

/// What was found, with all that its forms need.
pub struct Changed<'a> {
    /// What was found.
    pub report: &'a Report<'a>,
    /// Job and lathe.
    pub read: &'a Read,
    /// The words of the screen.
    pub document: Document,
}

impl Answer for Changed<'_> {
    fn named(&self) -> &'static str {
        "changes"
    }

    fn about(&self) -> &str {
        &self.read.scenario.job.name
    }

    fn document(&self) -> &Document {
        &self.document
    }

    fn json(&self) -> String {
        as_json(self.report, self.read)
    }

    fn tables(&self) -> Vec<Table> {
        vec![Table {
            name: "changes",
            title: "Numbers of every change",
            about: "A column for each change and pair, most gain first; the unit of a number \
                    stands in its name.",
            rows: rows(self.report),
        }]
    }

    fn figures(&self, _: &Progress) -> Vec<Figure> {
        let report = self.report;
        let sorted = report.bought.sorted();
        let mut order = [sorted.better, sorted.nearer, sorted.worse].concat();
        // What buys nothing says so by its absence, unless nothing buys anything.
        if order.is_empty() {
            order = [sorted.nothing, sorted.out].concat();
        }
        order.truncate(ROWS);
        let names: Vec<String> = order
            .iter()
            .map(|place| report.row(&report.bought.tried[*place]))
            .collect();
        vec![Figure {
            name: "changes".to_owned(),
            drawing: tautway_figures::changes(report.bought, &order, &names, report.units),
        }]
    }

    fn units(&self) -> Units {
        self.report.units
    }

    fn texts(&self) -> &[Text] {
        &self.read.texts
    }

    fn luck(&self) -> Luck {
        Luck {
            seed: Some(self.report.bought.seed),
            lathes: Some(self.report.bought.trials),
        }
    }
}

/// What changes buy.
#[derive(Serialize, JsonSchema)]
pub struct Changes<'a> {
    /// Of the luck: what every draw grows from.
    seed: u64,
    /// Lathes tried.
    trials: u64,
    /// Whether it was stopped.
    stopped: bool,
    /// Job and lathe as they were read.
    scenario: &'a Scenario,
    /// Warnings and notes about the files.
    diagnostics: Vec<Fault<'a>>,
    /// The way that it is cut.
    setup: Setup,
    /// What to expect of it.
    expect: &'a Option<Expect>,
    /// What gives way at the tool.
    gives: Gives,
    /// The changes.
    changes: &'a [Change],
    /// What counts as a step: chance in the drawing, taper, size and waves (m).
    steps: [f64; 4],
    /// What it gives as it is.
    now: &'a Standing,
    /// What each change gives, and each two if they were tried.
    tried: Vec<Beside<&'a Tried, OfChange>>,
    /// Places in `tried` of single changes, most gain first.
    by_gain: Vec<usize>,
    /// The same, most gain an hour first.
    by_hour: Vec<usize>,
    /// Places in `tried` of two changes together, most gain first.
    pairs_by_gain: Vec<usize>,
}

impl Record for Changes<'_> {
    const UNITS: &'static str = "SI: m, N, Pa; tapers as change of diameter over length; gains \
                                 positive where better, times in minutes";
}

/// Beside a change.
#[derive(Serialize, JsonSchema)]
struct OfChange {
    /// Names of the changes, with a plus between two.
    id: String,
    /// Time, min; none of a change of one's own.
    minutes: Option<f64>,
    /// Whole steps gained.
    counted_steps: Option<[f64; 4]>,
}

fn as_json(report: &Report<'_>, read: &Read) -> String {
    let bought = report.bought;
    let tried = bought.tried.iter().map(|tried| {
        let of_change = OfChange {
            id: id(report, tried),
            // Only the person knows.
            minutes: (!report.own).then_some(tried.minutes),
            counted_steps: tried.gains.map(|gains| gains.counted(bought.steps)),
        };
        beside(tried, of_change)
    });
    answered(Changes {
        seed: bought.seed,
        trials: bought.trials,
        stopped: report.stopped,
        scenario: &read.scenario,
        diagnostics: diagnostics(&read.warnings, &read.texts),
        setup: report.way.setup,
        expect: &report.way.expect,
        gives: report.way.gives,
        changes: report.changes,
        steps: bought.steps,
        now: &bought.now,
        tried: tried.collect(),
        by_gain: bought.by_gain(false),
        by_hour: bought.by_hour(false),
        pairs_by_gain: bought.by_gain(true),
    })
}

/// A row for each change and pair, those that gain most first.
fn rows(report: &Report<'_>) -> Vec<Row> {
    let bought = report.bought;
    let by_hour = [bought.by_hour(false), bought.by_hour(true)];
    let order = [bought.by_gain(false), bought.by_gain(true)].concat();
    let scales = Scales::of(report.units);
    let ranked = order.iter().enumerate();
    ranked
        .map(|(rank, place)| {
            let tried = &bought.tried[*place];
            let hours = &by_hour[usize::from(tried.changes.len() > 1)];
            let by_hour = hours.iter().position(|p| p == place);
            let mut row = Row::default();
            row.word("rank", (rank + 1).to_string());
            row.word(
                "rank_by_hour_of_its_kind",
                by_hour.map_or(String::new(), |at| (at + 1).to_string()),
            );
            row.word("change", id(report, tried));
            row.word("words", report.words(tried));
            // Only the person knows how long a change of their own takes.
            let time = (!report.own).then_some(60.0 * tried.minutes);
            row.number("time", MINUTES, time);
            let undone = tried
                .changes
                .iter()
                .map(|p| name(report.changes[*p].undone));
            row.word("undone", undone.collect::<Vec<_>>().join(" "));
            row.flag("can_be_cut", Some(tried.out.is_empty()));
            let columns: [Column; 4] = [
                ("share_drawing_met", table::SHARE, |s| s.met.share),
                ("taper_off", scales.taper, |s| s.taper_off),
                ("size_off", scales.height, |s| s.size_off),
                ("waves", scales.height, |s| s.waves),
            ];
            let gains: Option<[Gain; 4]> = tried.gains.map(|gains| gains.all());
            for (at, (name, scale, of)) in columns.into_iter().enumerate() {
                let gain = gains.map(|gains| gains[at]);
                row.number(&format!("{name}_before"), scale, Some(of(&bought.now)));
                row.number(
                    &format!("{name}_after"),
                    scale,
                    tried.after.as_ref().map(of),
                );
                row.number(&format!("{name}_gain"), scale, gain.map(|g| g.mean));
                row.number(
                    &format!("{name}_gain_least"),
                    scale,
                    gain.map(|g| g.interval.lower),
                );
                row.number(
                    &format!("{name}_gain_most"),
                    scale,
                    gain.map(|g| g.interval.upper),
                );
            }
            row.word("trials", bought.trials.to_string());
            row.word("seed", bought.seed.to_string());
            row.word("version", env!("CARGO_PKG_VERSION"));
            row
        })
        .collect()
}

fn id(report: &Report<'_>, tried: &Tried) -> String {
    let ids: Vec<&str> = tried
        .changes
        .iter()
        .map(|p| report.changes[*p].id)
        .collect();
    ids.join("+")
}
