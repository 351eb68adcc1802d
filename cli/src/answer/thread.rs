//! A thread's plan in every form: text, JSON, CSV, and the directory with all of them and figures.

use schemars::JsonSchema;
use serde::Serialize;
use serde_json::{Value, json};
use tautway_figures::{thread_passes, thread_section};
use tautway_sim::quantity::Units;
use tautway_sim::scenario::Scenario;
use tautway_sim::thread::{Method, Moves, ThreadLikely, ThreadPass, ThreadWay, Threading};

use tautway_screens::screen::{ThreadTold, thread_below};
use tautway_words::Document;

use super::given::{Answer, Figure, Luck, Table};
use super::parts::{Beside, Fault, Record, answered, beside, diagnostics};
use crate::progress::Progress;
use crate::table::{MINUTES, Row, Scales, name};
use crate::texts::{Read, Text};

/// What is planned for a thread.
#[derive(Serialize, JsonSchema)]
pub struct ThreadPlan<'a> {
    /// Job and lathe as they were read.
    scenario: &'a Scenario,
    /// Warnings and notes about the files.
    diagnostics: Vec<Fault<'a>>,
    /// Its ways, best first.
    thread: ThreadFound<'a>,
    /// How sure the first way is.
    likely: Option<&'a ThreadLikely>,
    /// What was assumed and how far it moves the answer.
    assumed: &'a [Moves],
}

impl Record for ThreadPlan<'_> {
    const UNITS: &'static str = "SI: m, m2, N, rad; tapers as change of diameter over length; depths \
                                 from the cone over the crests";
}

/// A thread's ways, with what is told beside each.
pub type ThreadFound<'a> = Beside<&'a Threading, Shown>;

/// Beside what was found.
#[derive(Serialize, JsonSchema)]
pub struct Shown {
    /// The ways of the right hand.
    #[schemars(with = "Vec<Beside<ThreadWay, OfWay>>")]
    ways: Vec<Value>,
}

/// Beside a way.
#[derive(Serialize, JsonSchema)]
struct OfWay {
    /// Why it is out, in words.
    why_not: Vec<String>,
    /// Whether the drawing is expected to be met; none where the way wasn't cut.
    met: Option<bool>,
}

/// What was found, with all that its forms need.
pub struct Planned<'a> {
    /// Job and lathe.
    pub read: &'a Read,
    /// What is told.
    pub told: &'a ThreadTold<'a>,
    /// The words of the screen.
    pub document: Document,
}

impl<'a> Planned<'a> {
    /// As it stands below the cone that is turned first.
    pub fn below(read: &'a Read, told: &'a ThreadTold<'a>, every_pass: bool) -> Self {
        Self {
            read,
            told,
            document: thread_below(told, every_pass),
        }
    }
}

impl Planned<'_> {
    /// What was found; the long lists are left out unless `detail` is wanted.
    pub fn found(&self) -> ThreadFound<'_> {
        let told = self.told;
        let ways = told.found.ways.iter().map(|way| {
            let told_of_way = OfWay {
                why_not: way.out.iter().map(|r| r.words(told.units)).collect(),
                met: way.run.as_ref().map(|run| run.verdict.met()),
            };
            let mut shown = json!(beside(way, told_of_way));
            if told.detail {
                return shown;
            }
            for list in ["passes", "by_gauge"] {
                let passes = shown.pointer_mut(&format!("/run/{list}"));
                for pass in passes.and_then(Value::as_array_mut).into_iter().flatten() {
                    pass.as_object_mut().map(|pass| pass.remove("turns"));
                }
            }
            shown
        });
        let ways = Shown {
            ways: ways.collect(),
        };
        beside(told.found, ways)
    }

    /// The first way, if it can be cut.
    fn best(&self) -> Option<&ThreadWay> {
        self.told.found.best().filter(|best| best.run.is_some())
    }

    /// A row for each way.
    fn way_rows(&self) -> Vec<Row> {
        let told = self.told;
        let scales = Scales::of(told.units);
        let ways = told.found.ways.iter().enumerate();
        ways.map(|(index, way)| {
            let mut row = Row::default();
            row.word("rank", (index + 1).to_string());
            row.word("method", name(way.method));
            row.word("side", name(way.setup.side));
            row.word("feed", name(way.setup.feed));
            row.word("rotation", name(way.setup.rotation));
            row.word("tool_face", name(way.setup.face));
            row.word("pull", name(way.pull));
            row.flag("can_be_cut", Some(way.out.is_empty()));
            let why: Vec<_> = way.out.iter().map(|r| r.words(told.units)).collect();
            row.word("why_not", why.join("; "));
            row.flag("forbidden", Some(way.forbidden));
            let run = way.run.as_ref();
            row.flag("drawing_met", run.map(|run| run.verdict.met()));
            row.flag("depth_met", run.map(|run| run.verdict.depth));
            row.flag("taper_met", run.map(|run| run.verdict.taper));
            row.flag("lead_met", run.and_then(|run| run.verdict.lead));
            row.flag("size_met", run.and_then(|run| run.verdict.size));
            row.number("depth_wanted", scales.height, Some(way.profile.depth));
            let by_dial = run.map(|run| &run.by_dial);
            row.number(
                "by_dial_depth_error",
                scales.height,
                by_dial.map(|o| o.depth_error),
            );
            row.number("by_dial_goes_on", scales.length, by_dial.map(|o| o.goes_on));
            row.flag("by_dial_steady", by_dial.map(|o| o.steady));
            let outcome = run.map(|run| &run.outcome);
            row.number("depth_error", scales.height, outcome.map(|o| o.depth_error));
            row.number("goes_on", scales.length, outcome.map(|o| o.goes_on));
            row.number("taper", scales.taper, outcome.map(|o| o.taper));
            row.number("crest_flat", scales.height, outcome.map(|o| o.crest_flat));
            row.word("seat", outcome.map_or(String::new(), |o| name(o.seat)));
            row.number("seat_margin", scales.force, outcome.map(|o| o.seat_margin));
            let lead = outcome.map(|o| o.lead);
            row.number(
                "lead_error_in_an_inch",
                scales.height,
                lead.map(|lead| lead.in_an_inch),
            );
            row.number(
                "lead_allowed_in_an_inch",
                scales.height,
                lead.and_then(|lead| lead.allowed),
            );
            row.number("drunken", scales.height, lead.map(|lead| lead.drunken));
            let start = way.start.as_ref();
            row.number("lost_motion", scales.length, start.map(|start| start.lost));
            row.number(
                "run_in_wanted",
                scales.length,
                start.map(|start| start.wanted),
            );
            row.number("run_in_room", scales.length, start.map(|start| start.room));
            row.flag("seat_by_hand", start.map(|start| start.by_hand));
            let labour = way.labour.as_ref();
            let count = |of: Option<usize>| of.map_or(String::new(), |count| count.to_string());
            row.word("passes", count(labour.map(|labour| labour.passes)));
            row.word("seatings_by_hand", count(labour.map(|l| l.seatings)));
            row.number("labour", MINUTES, labour.map(|labour| labour.time));
            row.word("behind_for", way.behind.map_or(String::new(), name));
            row.number("tailstock_over", scales.length, way.set_over);
            let cautions: Vec<_> = way.cautions.iter().map(|c| c.id).collect();
            row.word("cautions", cautions.join(" "));
            row.word("seed", told.found.seed.to_string());
            row.word("version", env!("CARGO_PKG_VERSION"));
            row
        })
        .collect()
    }

    /// A row for each pass of a way.
    fn pass_rows(&self, way: &ThreadWay) -> Vec<Row> {
        let scales = Scales::of(self.told.units);
        let run = way.run.as_ref();
        let planned = run.map_or(&[][..], |run| &run.passes);
        let more = run.map_or(&[][..], |run| &run.by_gauge);
        let row = |pass: &ThreadPass, after_gauging: bool| {
            let mut row = Row::default();
            row.word("number", pass.number.to_string());
            row.flag("spring", Some(pass.spring));
            row.flag("after_gauging", Some(after_gauging));
            row.number("set", scales.height, Some(pass.set));
            row.number("dial", scales.height, Some(pass.dial));
            row.number("reached", scales.height, Some(pass.reached));
            row.number("main_force", scales.force, Some(pass.main));
            row.number("along_axis", scales.force, Some(pass.axial));
            row.number("push_off_least", scales.force, Some(pass.push_off.0));
            row.number("push_off_most", scales.force, Some(pass.push_off.1));
            row.number("drag_most", scales.force, Some(pass.drag.1));
            row.number("drive_least", scales.force, Some(pass.drive.0));
            row.number("drive_most", scales.force, Some(pass.drive.1));
            row.word("seat", name(pass.seat));
            row.number("step", scales.height, pass.step);
            row
        };
        planned
            .iter()
            .map(|pass| row(pass, false))
            .chain(more.iter().map(|pass| row(pass, true)))
            .collect()
    }
}

impl Answer for Planned<'_> {
    fn named(&self) -> &'static str {
        "thread"
    }

    fn about(&self) -> &str {
        &self.read.scenario.job.name
    }

    fn document(&self) -> &Document {
        &self.document
    }

    fn json(&self) -> String {
        answered(ThreadPlan {
            scenario: &self.read.scenario,
            diagnostics: diagnostics(&self.read.warnings, &self.read.texts),
            thread: self.found(),
            likely: self.told.likely,
            assumed: self.told.moves,
        })
    }

    fn tables(&self) -> Vec<Table> {
        let mut tables = vec![Table {
            name: "thread",
            title: "Numbers of every way to cut the thread",
            about: "A column for each way, best first; the unit of a number stands in its name.",
            rows: self.way_rows(),
        }];
        tables.extend(self.best().map(|best| Table {
            name: "passes",
            title: "Numbers of every pass of the thread",
            about: "Of the first way: a column for each pass, in their order.",
            rows: self.pass_rows(best),
        }));
        tables
    }

    /// Of the best way; none where no way can be cut.
    fn figures(&self, _: &Progress) -> Vec<Figure> {
        let told = self.told;
        let Some(best) = told.found.best() else {
            return Vec::new();
        };
        let Some(run) = &best.run else {
            return Vec::new();
        };
        let lean = told
            .found
            .ways
            .iter()
            .find(|way| way.method == Method::TailstockOver)
            .and_then(|way| Some(way.run.as_ref()?.outcome.lead.flanks_lean));
        let work = &told.scenario.job.work;
        vec![
            Figure {
                name: "thread-section".to_owned(),
                drawing: thread_section(work, best, run, lean, told.units),
            },
            Figure {
                name: "thread-passes".to_owned(),
                drawing: thread_passes(run, told.units),
            },
        ]
    }

    fn units(&self) -> Units {
        self.told.units
    }

    fn texts(&self) -> &[Text] {
        &self.read.texts
    }

    fn luck(&self) -> Luck {
        Luck {
            seed: Some(self.told.found.seed),
            lathes: self.told.likely.map(|likely| likely.trials),
        }
    }
}
