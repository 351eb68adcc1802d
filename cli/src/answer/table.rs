//! Answers as CSV (RFC 4180): a row for each way, the unit of every number in its heading.

use std::io::Write;

use csv::{Terminator, WriterBuilder};
use serde_json::{Value, json};
use tautway_sim::compare::Way;
use tautway_sim::quantity::Units;
use tautway_sim::spread::Coverage;
use tautway_sim::study::WayOutlook;

use super::Answer;
use crate::failure::Failure;

/// SI to the person's units, and the unit as a heading has it.
#[derive(Clone, Copy)]
pub(super) struct Scale(f64, &'static str);

/// The units of a table.
pub(super) struct Scales {
    pub(super) length: Scale,
    pub(super) height: Scale,
    pub(super) roughness: Scale,
    pub(super) taper: Scale,
    pub(super) force: Scale,
    pub(super) spring: Scale,
}

/// Who gives way, of all that does.
pub(super) const SHARE: Scale = Scale(100.0, "percent");
const INCH: f64 = 0.0254;
/// N in a pound-force. Source: NIST SP 811 (2008), appendix B.8.
const LBF: f64 = 4.448_221_615_260_5;

impl Scales {
    pub(super) fn of(units: Units) -> Self {
        match units {
            Units::Inch => Self {
                length: Scale(1.0 / INCH, "in"),
                height: Scale(1e3 / INCH, "thou"),
                roughness: Scale(1e6 / INCH, "uin"),
                taper: Scale(12.0, "in_per_ft"),
                force: Scale(1.0 / LBF, "lbf"),
                spring: Scale(1e-3 * INCH / LBF, "lbf_per_thou"),
            },
            Units::Metric => Self {
                length: Scale(1e3, "mm"),
                height: Scale(1e6, "um"),
                roughness: Scale(1e6, "um"),
                taper: Scale(1e3, "mm_per_m"),
                force: Scale(1.0, "N"),
                spring: Scale(1e-6, "N_per_um"),
            },
        }
    }
}

/// One row in the making: headings and fields side by side.
#[derive(Default)]
pub(super) struct Row {
    headings: Vec<String>,
    fields: Vec<String>,
}

impl Row {
    pub(super) fn word(&mut self, heading: &str, field: impl Into<String>) {
        self.headings.push(heading.to_owned());
        self.fields.push(field.into());
    }

    pub(super) fn flag(&mut self, heading: &str, flag: Option<bool>) {
        self.word(heading, flag.map_or("", |f| if f { "yes" } else { "no" }));
    }

    /// A number, empty when there is none.
    pub(super) fn number(&mut self, heading: &str, scale: Scale, si: Option<f64>) {
        let field = si
            .map(|si| si * scale.0)
            .filter(|value| value.is_finite())
            .map_or(String::new(), |value| format!("{}", rounded(value)));
        self.word(&format!("{heading}_{}", scale.1), field);
    }
}

/// To seven digits: more than anybody knows, and no noise from changing units.
fn rounded(value: f64) -> f64 {
    format!("{value:.6e}").parse().unwrap_or(value)
}

/// The table.
///
/// # Errors
/// Never in practice: it is written to memory.
pub fn of(answer: &Answer<'_>) -> Result<String, Failure> {
    let scales = Scales::of(answer.units);
    let rows = answer.ways.iter().enumerate();
    written(rows.map(|(index, way)| row(answer, index, way, &scales)))
}

/// Rows under the headings of the first.
///
/// # Errors
/// Never in practice: they are written to memory.
pub(super) fn written(rows: impl Iterator<Item = Row>) -> Result<String, Failure> {
    let mut table = Table::new(Vec::new());
    let fault = |why: &dyn std::fmt::Display| Failure::Stopped(format!("can't write CSV: {why}"));
    for row in rows {
        table.add(&row).map_err(|w| fault(&w))?;
    }
    let bytes = table.writer.into_inner().map_err(|w| fault(&w))?;
    String::from_utf8(bytes).map_err(|w| fault(&w))
}

/// Rows under the headings of the first, written as they come.
pub(super) struct Table<W: Write> {
    writer: csv::Writer<W>,
    headed: bool,
}

impl<W: Write> Table<W> {
    pub(super) fn new(to: W) -> Self {
        Self {
            writer: WriterBuilder::new()
                .terminator(Terminator::CRLF)
                .from_writer(to),
            headed: false,
        }
    }

    pub(super) fn add(&mut self, row: &Row) -> csv::Result<()> {
        if !self.headed {
            self.writer.write_record(&row.headings)?;
            self.headed = true;
        }
        self.writer.write_record(&row.fields)
    }

    pub(super) fn flush(&mut self) -> std::io::Result<()> {
        self.writer.flush()
    }
}

/// A unit enum by the name it has in JSON.
pub(super) fn name(value: impl serde::Serialize) -> String {
    match json!(value) {
        Value::String(name) => name,
        other => other.to_string(),
    }
}

/// What has a range in the table: its name, its scale, and where it is found.
type Ranged = (
    &'static str,
    fn(&Scales) -> Scale,
    fn(&WayOutlook) -> &Coverage,
);
const SPREADS: [Ranged; 3] = [
    ("taper", |s| s.taper, |w| &w.taper),
    ("size_error", |s| s.height, |w| &w.size_error),
    ("waves", |s| s.height, |w| &w.waves),
];

fn row(answer: &Answer<'_>, index: usize, way: &Way, scales: &Scales) -> Row {
    let mut row = Row::default();
    let setup = &way.setup;
    row.word("rank", (index + 1).to_string());
    row.word("side", name(setup.side));
    row.word("feed", name(setup.feed));
    row.word("rotation", name(setup.rotation));
    row.word("tool_face", name(setup.face));
    row.word("pull", name(way.pull));
    row.flag("can_be_cut", Some(way.out.is_empty()));
    let why: Vec<_> = way.out.iter().map(|r| r.words(answer.units)).collect();
    row.word("why_not", why.join("; "));
    row.flag("forbidden", Some(way.forbidden));
    let verdict = way.verdict;
    row.flag("drawing_met", verdict.map(|v| v.met()));
    let tried = answer.spread.and_then(|spread| spread.of(setup));
    let chance = |of: fn(&WayOutlook) -> f64| {
        tried.map_or(String::new(), |tried| rounded(of(tried)).to_string())
    };
    row.word(
        "trials",
        answer
            .spread
            .map_or(String::new(), |s| s.outlook.trials.to_string()),
    );
    row.word("share_drawing_met", chance(|tried| tried.met.share));
    row.word("share_steady", chance(|tried| tried.steady.share));
    for (name, scale, of) in SPREADS {
        let scale = scale(scales);
        let found = tried.map(of);
        row.number(
            &format!("{name}_least"),
            scale,
            found.map(|c| c.symmetric.lower),
        );
        row.number(
            &format!("{name}_most"),
            scale,
            found.map(|c| c.symmetric.upper),
        );
    }
    row.flag("taper_met", verdict.map(|v| v.taper));
    row.flag("size_met", verdict.and_then(|v| v.size));
    row.flag("waves_met", verdict.and_then(|v| v.waves));
    let outcome = way.run.as_ref().map(|run| &run.outcome);
    row.number("taper", scales.taper, outcome.map(|o| o.taper));
    row.number("taper_error", scales.taper, outcome.map(|o| o.taper_error));
    row.number("set", scales.height, outcome.map(|o| o.set));
    row.number("taken", scales.height, outcome.map(|o| o.taken));
    row.number("size_error", scales.height, outcome.map(|o| o.size_error));
    row.number("waves", scales.height, outcome.map(|o| o.waves));
    let spacing = outcome.and_then(|o| o.wave_spacing);
    row.number("wave_spacing", scales.length, spacing);
    let step = outcome.and_then(|o| o.step);
    row.number("step", scales.height, step.map(|s| s.0));
    row.number("step_place", scales.length, step.map(|s| s.1));
    row.number(
        "straight_part",
        scales.length,
        outcome.map(|o| o.straight_part),
    );
    row.number("roundness", scales.height, outcome.map(|o| o.roundness));
    row.number("ra", scales.roughness, outcome.map(|o| o.ra));
    row.number("rz", scales.roughness, outcome.map(|o| o.rz));
    row.number("standoff", scales.length, outcome.map(|o| o.standoff));
    row.word("seat", outcome.map_or(String::new(), |o| name(o.seat)));
    row.number("seat_margin", scales.force, outcome.map(|o| o.seat_margin));
    row.number(
        "push_off_least",
        scales.force,
        outcome.map(|o| o.push_off.0),
    );
    row.number("push_off_most", scales.force, outcome.map(|o| o.push_off.1));
    row.number("drag_least", scales.force, outcome.map(|o| o.drag.0));
    row.number("drag_most", scales.force, outcome.map(|o| o.drag.1));
    row.number("lost_motion", scales.length, Some(way.start.lost));
    row.number("run_in_wanted", scales.length, Some(way.start.wanted));
    row.number("run_in_room", scales.length, Some(way.start.room));
    row.flag("seat_by_hand", Some(way.start.by_hand));
    row.number("guide_needed", scales.length, Some(way.start.guide_needed));
    row.number("guide_usable", scales.length, Some(way.start.guide_usable));
    row.number("tip_spring", scales.spring, Some(way.tip_spring));
    row.number("gives_drive", SHARE, Some(way.gives.drive));
    row.number("gives_post", SHARE, Some(way.gives.post));
    row.number("gives_bar", SHARE, Some(way.gives.bar));
    row.number("gives_work", SHARE, Some(way.gives.work));
    let cautions: Vec<_> = way.cautions.iter().map(|c| c.id).collect();
    row.word("cautions", cautions.join(" "));
    row.word("seed", answer.options.seed.to_string());
    row.word("version", env!("CARGO_PKG_VERSION"));
    row
}
