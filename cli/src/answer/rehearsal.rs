//! A rehearsal in every form: text, JSON, CSV, and the directory with all of them and the figure.

use serde_json::json;
use tautway_sim::rehearse::{Bearing, Rehearsal, Stand};

use super::figures::WIDTH;
use super::json::{diagnostics, written};
use tautway_words::Document;

use super::of_file;
use crate::failure::Failure;
use crate::output::folder::{self, Sheet};
use crate::plan::{Format, Rehearse};
use crate::table::{self, Row, Scales, name};
use crate::terminal;
use crate::texts::ReadMoves;

/// Gives the answer as asked for: the directory first, so that nothing is told that then isn't
/// there.
///
/// # Errors
/// When something can't be written.
pub fn give(
    read: &ReadMoves,
    made: &Rehearsal,
    document: &Document,
    args: &Rehearse,
) -> Result<(), Failure> {
    if let Some(directory) = &args.to.out {
        let sheets = sheets(read, made, document)?;
        folder::give(directory, args.to.overwrite, &sheets)?;
    }
    match args.format {
        Format::Text => terminal::answer(&terminal::set(document)),
        Format::Json => terminal::answer(&as_json(read, made)),
        Format::Csv => terminal::answer(&as_csv(read, made)?),
    }
}

fn sheets(read: &ReadMoves, made: &Rehearsal, document: &Document) -> Result<Vec<Sheet>, Failure> {
    let drawing = tautway_figures::rehearsal(made, read.script.units);
    let png = drawing
        .png(WIDTH)
        .map_err(|why| Failure::Stopped(format!("can't draw rehearsal.png: {why}")))?;
    Ok(vec![
        Sheet::new("report.txt", of_file(document)),
        Sheet::new("rehearsal.json", as_json(read, made)),
        Sheet::new("rehearsal.csv", as_csv(read, made)?),
        Sheet::new("rehearsal.svg", drawing.svg),
        Sheet::new("rehearsal.png", png),
    ])
}

/// The records in SI, every notice and hazard with its words beside it.
fn as_json(read: &ReadMoves, made: &Rehearsal) -> String {
    let units = read.script.units;
    let mut value = json!(made);
    for (step, shown) in made.steps.iter().zip(
        value["steps"]
            .as_array_mut()
            .map_or(&mut [][..], |steps| steps.as_mut_slice()),
    ) {
        shown["notices"] = step
            .notices
            .iter()
            .map(|notice| {
                json!({
                    "id": notice.id(),
                    "warning": notice.is_warning(),
                    "words": notice.words(units),
                    "numbers": notice,
                })
            })
            .collect();
    }
    if let Some(broken) = &made.broken {
        value["broken"]["id"] = json!(broken.hazard.id());
        value["broken"]["breaks"] = json!(broken.hazard.breaks(units));
        value["broken"]["advice"] = json!(broken.hazard.advice());
    }
    written(&json!({
        "version": env!("CARGO_PKG_VERSION"),
        "units": "SI: m, N; across the bed positive toward the operator, along it positive \
                  toward the tailstock; tapers as change of diameter over length",
        "script": read.script,
        "diagnostics": diagnostics(&read.warnings, &read.texts),
        "rehearsal": value,
    }))
}

/// A row for each move, the start first.
fn as_csv(read: &ReadMoves, made: &Rehearsal) -> Result<String, Failure> {
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
    table::written(rows.into_iter())
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
