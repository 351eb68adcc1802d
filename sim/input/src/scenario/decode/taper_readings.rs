//! The readings file: head, and the table of rows as typed at the lathe.
//!
//! ```toml
//! name = "guide at 1-3/4 in/ft"
//! units = "inch"
//!
//! [wanted]
//! taper = "1-1/2 in/ft"
//! tolerance = "+0.000 -0.030 in/ft"
//! big_end = "tailstock"
//!
//! [readout]
//! reads = "diameter"
//! step = "0.0005 in"
//!
//! [readings]
//! rows = """
//! carriage in   slide in   direction
//!   0.000        0.0000     tailstock
//!   6.000        0.8790     tailstock
//! """
//! ```

use super::rows;
use super::section::{Section, Words};
use super::wordings::BIG_END;
use super::wordings::{DIRECTION, READS, UNITS};
use super::work::KIND;
use crate::quantity::{Angle, INCH, Length, Quantity, Units};
use crate::scenario::limits::Limits;
use crate::scenario::readings::{Reading, ReadingSet, Reads, TestCut};
use crate::scenario::{End, Severity};
use crate::setup::Side;

pub(super) const SIDE: &Words<Side> = &[(&["front"], Side::Front), (&["rear", "back"], Side::Rear)];

const STEP: Limits = Limits::POSITIVE;
const TRAVEL: Limits = Limits::POSITIVE;
const SCALE: Limits = Limits::POSITIVE;

/// Reads a whole file. Faults are reported in the text; what comes back then is not for use.
pub(super) fn read(top: Section<'_>) -> ReadingSet {
    let name = top.required_text("name", "\"guide at 1-3/4 in/ft\"");
    let units = top
        .required_word("units", UNITS, "\"inch\"")
        .unwrap_or(Units::Inch);
    top.reading.units.set(units);

    let table = top.required_table("wanted", "[wanted], taper = \"1-1/2 in/ft\"");
    let wanted = table.required("taper", Limits::POSITIVE, "\"1-1/2 in/ft\"");
    let tolerance = table.band("tolerance", "\"+0.000 -0.030 in/ft\"").given();
    let kind = table.word("kind", KIND).given();
    let big_end = table.word("big_end", BIG_END).given();
    let side = table.word("tool", SIDE).given().unwrap_or(Side::Front);
    table.finish();

    let table = top.required_table("readout", "[readout], reads = \"diameter\"");
    let reads = table
        .required_word("reads", READS, "\"diameter\"")
        .unwrap_or(Reads::Radius);
    let step: Length = table.required("step", STEP, "\"0.0005 in\"");
    let carriage_step: Length =
        table.quantity_or("carriage_step", Limits::NOT_NEGATIVE, Length::from_si(0.0));
    let repeatability = table.quantity::<Length>("repeatability", STEP).given();
    let direction = table.word("direction", DIRECTION).given();
    let grows = table.word("carriage_grows", DIRECTION).given();
    table.finish();

    let table = top.table("guide");
    let end_radius = table.quantity::<Length>("end_radius", TRAVEL).given();
    let nudged_end = table.word("end", BIG_END).given().unwrap_or(End::Tailstock);
    let travel = table.quantity::<Length>("travel", TRAVEL).given();
    let scale = table.quantity::<Angle>("scale", SCALE).given();
    table.finish();

    let test_cut = test_cut(top.table("test_cut"));
    if big_end.is_none()
        && !top.is_faulty_at("wanted")
        && !top.reading.has("wanted.big_end")
        && (end_radius.is_some() || test_cut.is_some())
    {
        let what = if test_cut.is_some() {
            "the test cut"
        } else {
            "the nudge"
        };
        top.reading.error(
            top.reading.place("wanted.big_end"),
            format!("{what} needs to know which end is big"),
            "no `big_end` here",
            "add to [wanted] a line like this: big_end = \"tailstock\"",
        );
    }

    let table = top.required_table("readings", "[readings], rows = \"\"\"");
    let movement = reads.movement();
    let rows = rows::read(&table, direction);
    table.finish();
    let carriage_sign = rows::carriage_sign(top.reading, &rows, grows);
    if let (Some(step), true) = (finite(step), rows.len() > 1) {
        on_the_steps(&top, &rows, step);
    }
    top.finish();
    ReadingSet {
        name,
        units,
        wanted,
        tolerance,
        kind,
        big_end,
        side,
        reads,
        step: step.si() * movement,
        carriage_step: carriage_step.si(),
        repeatability: repeatability.map(|r| r.si() * movement),
        carriage_sign,
        end_radius,
        nudged_end,
        travel,
        scale,
        test_cut,
        readings: rows
            .iter()
            .map(|row| Reading {
                row: row.number,
                carriage: row.carriage,
                slide: row.slide * movement,
                feed: row.feed,
            })
            .collect(),
    }
}

fn finite(length: Length) -> Option<f64> {
    Some(length.si()).filter(|si| si.is_finite() && *si > 0.0)
}

/// A reading between the steps of its readout was not taken with it.
fn on_the_steps(top: &Section<'_>, rows: &[rows::Row], step: f64) {
    let between = rows.iter().find(|row| {
        let steps = row.slide / step;
        (steps - steps.round()).abs() > 0.02
    });
    if let Some(row) = between {
        let units = top.reading.units.get();
        top.reading.report(
            Severity::Warning,
            row.slide_at.clone(),
            format!(
                "this is no whole number of steps of {}",
                Length::from_si(step).show(units)
            ),
            "between two steps",
            "check the digits, and `readout.step`",
        );
    }
}

fn test_cut(table: Section<'_>) -> Option<TestCut> {
    if !table.is_there() {
        return None;
    }
    let cut = TestCut {
        apart: table.required("apart", TRAVEL, "\"6 in\""),
        at_headstock: table.required("at_headstock", TRAVEL, "\"2.0000 in\""),
        at_tailstock: table.required("at_tailstock", TRAVEL, "\"2.0004 in\""),
        gauge_error: table.quantity_or("gauge_error", STEP, Length::from_si(0.0002 * INCH)),
    };
    table.finish();
    Some(cut)
}
