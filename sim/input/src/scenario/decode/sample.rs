//! The file of a swept sample: how it is held, and the indicator's readings along it.
//!
//! ```toml
//! name = "plug of the old valve"
//! units = "inch"
//!
//! [sample]
//! kind = "outside"
//! big_end = "headstock"
//! step = "0.0005 in"
//!
//! [swept]
//! rows = """
//! carriage in   slide in   direction
//!   0.000        0.0000     tailstock
//!   1.500       -0.0941     tailstock
//! """
//! ```

use super::rows;
use super::section::Section;
use super::taper_readings::SIDE;
use super::wordings::BIG_END;
use super::wordings::{DIRECTION, UNITS};
use super::work::KIND;
use crate::quantity::{Length, Quantity, Units};
use crate::scenario::lathe::Condition;
use crate::scenario::limits::Limits;
use crate::scenario::numbers::spindle;
use crate::scenario::readings::Reading;
use crate::scenario::sample::{SampleSweep, Sweep};
use crate::scenario::{End, Kind};
use crate::setup::{Feed, Side};

const STEP: Limits = Limits::POSITIVE;

/// Reads a whole file. Faults are reported in the text; what comes back then is not for use.
pub(super) fn read(top: Section<'_>) -> SampleSweep {
    let name = top.required_text("name", "\"plug of the old valve\"");
    let units = top
        .required_word("units", UNITS, "\"inch\"")
        .unwrap_or(Units::Inch);
    top.reading.units.set(units);

    let table = top.required_table("sample", "[sample], big_end = \"headstock\"");
    let kind = table
        .required_word("kind", KIND, "\"outside\"")
        .unwrap_or(Kind::Outside);
    let big_end = table
        .required_word("big_end", BIG_END, "\"headstock\"")
        .unwrap_or(End::Headstock);
    let side = table.word("side", SIDE).given().unwrap_or(Side::Front);
    let step: Length = table.required("step", STEP, "\"0.0005 in\"");
    let carriage_step: Length =
        table.quantity_or("carriage_step", Limits::NOT_NEGATIVE, Length::from_si(0.0));
    let repeatability = table.quantity::<Length>("repeatability", STEP).given();
    let run_out = table
        .quantity::<Length>("run_out", Limits::NOT_NEGATIVE)
        .given();
    let grows = table.word("carriage_grows", DIRECTION).given();
    table.finish();

    let table = top.table("spindle");
    let ordinary = spindle::OUT_OF_LINE.of(Condition::Ordinary);
    let out_of_line = table.number_or(&spindle::OUT_OF_LINE, ordinary);
    table.finish();

    let table = top.table("guide");
    let coupled = table.flag("coupled", false);
    let end_radius = table.quantity::<Length>("end_radius", STEP).given();
    let nudged_end = table.word("end", BIG_END).given().unwrap_or(End::Tailstock);
    table.finish();

    let swept = sweep(top.required_table("swept", "[swept], rows = \"\"\""), grows);
    let [turned, behind] = ["turned", "behind"].map(|key| {
        let table = top.table(key);
        table.is_there().then(|| sweep(table, grows))
    });
    top.finish();
    SampleSweep {
        name,
        units,
        kind,
        big_end,
        side,
        step: step.si(),
        carriage_step: carriage_step.si(),
        repeatability: repeatability.map(Quantity::si),
        coupled,
        swept,
        turned,
        behind,
        run_out,
        out_of_line,
        end_radius,
        nudged_end,
    }
}

/// A table of readings. Which way the carriage's numbers grow is told once, or shown by directions.
fn sweep(table: Section<'_>, grows: Option<Feed>) -> Sweep {
    let rows = rows::read(&table, grows);
    let carriage_sign = rows::carriage_sign(table.reading, &rows, grows);
    table.finish();
    Sweep {
        carriage_sign,
        readings: rows
            .iter()
            .map(|row| Reading {
                row: row.number,
                carriage: row.carriage,
                slide: row.slide,
                feed: row.feed,
            })
            .collect(),
    }
}
