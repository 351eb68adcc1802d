//! A rehearsal in every form: text, JSON, CSV, and the directory with all of them and the figure.

use schemars::JsonSchema;
use serde::Serialize;
use tautway_sim::quantity::Units;
use tautway_sim::rehearse::{Bearing, Broken, Notice, Rehearsal, Script, Stand, Step};

use tautway_words::Document;

use super::given::{Answer, Figure, Table};
use super::parts::{Beside, Fault, Record, answered, beside, diagnostics};
use crate::progress::Progress;
use crate::table::{Row, Scales, name};
use crate::texts::{ReadMoves, Text};

/// What was rehearsed, with all that its forms need.
pub struct Rehearsed<'a> {
    /// Moves and lathe.
    pub read: &'a ReadMoves,
    /// What came of them.
    pub made: &'a Rehearsal,
    /// The words of the screen.
    pub document: Document,
}

impl Answer for Rehearsed<'_> {
    fn named(&self) -> &'static str {
        "rehearsal"
    }

    fn about(&self) -> &str {
        &self.made.name
    }

    fn document(&self) -> &Document {
        &self.document
    }

    fn json(&self) -> String {
        as_json(self.read, self.made)
    }

    fn tables(&self) -> Vec<Table> {
        vec![Table {
            name: "rehearsal",
            title: "Numbers of every move",
            about: "A column for each move, the start first; the unit of a number stands in its \
                    name.",
            rows: rows(self.read, self.made),
        }]
    }

    fn figures(&self, _: &Progress) -> Vec<Figure> {
        vec![Figure {
            name: "rehearsal".to_owned(),
            drawing: tautway_figures::rehearsal(self.made, self.read.script.units),
        }]
    }

    fn units(&self) -> Units {
        self.read.script.units
    }

    fn texts(&self) -> &[Text] {
        &self.read.texts
    }
}

/// What came of hand moves.
#[derive(Serialize, JsonSchema)]
pub struct Moved<'a> {
    /// The moves as they were read.
    script: &'a Script,
    /// Warnings and notes about the files.
    diagnostics: Vec<Fault<'a>>,
    /// What came of them, every notice and hazard with its words.
    rehearsal: Beside<&'a Rehearsal, InWords<'a>>,
}

impl Record for Moved<'_> {
    const UNITS: &'static str = "SI: m, N; across the bed positive toward the operator, along it \
                                 positive toward the tailstock; tapers as change of diameter over \
                                 length";
}

/// What is told in words.
#[derive(Serialize, JsonSchema)]
struct InWords<'a> {
    /// The moves made.
    steps: Vec<Beside<&'a Step, Notices<'a>>>,
    /// The move that was not made.
    broken: Option<Beside<&'a Broken, Breaks>>,
}

/// Beside a move.
#[derive(Serialize, JsonSchema)]
struct Notices<'a> {
    /// What to know about it.
    notices: Vec<NoticeInWords<'a>>,
}

/// What to know about a move.
#[derive(Serialize, JsonSchema)]
struct NoticeInWords<'a> {
    /// Its name.
    id: &'a str,
    /// Whether it warns.
    warning: bool,
    /// In the person's units.
    words: String,
    /// Its numbers.
    numbers: &'a Notice,
}

/// Beside a move that was not made.
#[derive(Serialize, JsonSchema)]
struct Breaks {
    /// Name of the hazard.
    id: &'static str,
    /// What would break.
    breaks: String,
    /// What to do.
    advice: &'static str,
}

fn as_json(read: &ReadMoves, made: &Rehearsal) -> String {
    let units = read.script.units;
    let notice = |notice| NoticeInWords {
        id: Notice::id(notice),
        warning: notice.is_warning(),
        words: notice.words(units),
        numbers: notice,
    };
    let steps = made.steps.iter().map(|step| {
        let notices = step.notices.iter().map(notice).collect();
        beside(step, Notices { notices })
    });
    let broken = made.broken.as_ref().map(|broken| {
        let breaks = Breaks {
            id: broken.hazard.id(),
            breaks: broken.hazard.breaks(units),
            advice: broken.hazard.advice(),
        };
        beside(broken, breaks)
    });
    let in_words = InWords {
        steps: steps.collect(),
        broken,
    };
    answered(Moved {
        script: &read.script,
        diagnostics: diagnostics(&read.warnings, &read.texts),
        rehearsal: beside(made, in_words),
    })
}

/// A row for each move, the start first.
fn rows(read: &ReadMoves, made: &Rehearsal) -> Vec<Row> {
    let units = read.script.units;
    let scales = Scales::of(units);
    let mut rows = vec![row(&made.start, &scales, "0", "start", "made")];
    finish(&mut rows[0], &scales, None, "");
    for step in &made.steps {
        let number = step.number.to_string();
        let mut row = row(&step.stand, &scales, &number, &step.words, "made");
        let notices: Vec<_> = step.notices.iter().map(|n| n.words(units)).collect();
        finish(&mut row, &scales, Some(step), &notices.join(" "));
        rows.push(row);
    }
    if let (Some(broken), Some(stand)) = (
        &made.broken,
        made.steps.last().map(|s| &s.stand).or(Some(&made.start)),
    ) {
        let number = broken.number.to_string();
        let mut row = row(stand, &scales, &number, &broken.words, "not made");
        let why = format!(
            "{}; {}",
            broken.hazard.breaks(units),
            broken.hazard.advice()
        );
        finish(&mut row, &scales, None, &why);
        rows.push(row);
    }
    rows
}

fn row(stand: &Stand, scales: &Scales, number: &str, words: &str, made: &str) -> Row {
    let mut row = Row::default();
    row.word("number", number);
    row.word("move", words);
    row.word("made", made);
    row.number(
        "carriage_toward_tailstock",
        scales.length,
        Some(stand.carriage),
    );
    row.number("dial_toward_operator", scales.height, Some(stand.dial));
    row.number(
        "readout_toward_operator",
        scales.height,
        Some(stand.readout),
    );
    row.number("slide_toward_operator", scales.height, Some(stand.slide));
    row.number("tool_toward_operator", scales.height, Some(stand.tool));
    row.number("bar_in_foot", scales.height, Some(stand.bar));
    row.number("drive_toward_operator", scales.force, Some(stand.drive));
    row.number("air_toward_operator", scales.force, Some(stand.air));
    row.number("float_toward_operator", scales.height, Some(stand.float.0));
    row.number("float_away", scales.height, Some(stand.float.1));
    row.number(
        "guide_left_headstock",
        scales.length,
        Some(stand.guide_room.0),
    );
    row.number(
        "guide_left_tailstock",
        scales.length,
        Some(stand.guide_room.1),
    );
    let bears: Vec<_> = stand
        .gaps
        .iter()
        .filter(|gap| gap.bears != Bearing::Open)
        .map(|gap| format!("{}: {}", gap.name, name(gap.bears)))
        .collect();
    row.word("bears", bears.join("; "));
    row
}

fn finish(
    row: &mut Row,
    scales: &Scales,
    step: Option<&tautway_sim::rehearse::Step>,
    notices: &str,
) {
    let lost = step.and_then(|step| step.lost);
    row.number("stood_still", scales.length, lost.map(|l| l.stood_still));
    row.number("short", scales.height, lost.map(|l| l.short));
    row.word("notices", notices);
}
