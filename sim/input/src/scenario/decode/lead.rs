//! A lead as threads per inch or pitch, and the lead screw in the lathe file.

use super::section::{Got, Section};
use crate::quantity::{Fault, Length, Quantity, Ratio};
use crate::scenario::limits::Limits;
use crate::scenario::{Lead, LeadScrew};

/// A pure number that may carry what it counts: `11-1/2`, `14 tpi`.
fn per_inch(text: &str) -> Result<f64, Fault> {
    let lower = text.to_lowercase();
    let number = ["threads per inch", "tpi", "per inch"]
        .iter()
        .find_map(|unit| lower.trim_end().strip_suffix(unit))
        .unwrap_or(&lower);
    let fault = |message: &str| Fault {
        at: 0..text.len(),
        message: message.to_owned(),
        hint: "write how many threads stand in an inch: 14 or \"11-1/2\"".to_owned(),
    };
    let count = Ratio::parse(number.trim_end())
        .map_err(|_| fault("this is no number of threads"))?
        .si();
    if !(0.25..=200.0).contains(&count) {
        return Err(fault("threads per inch go from 1/4 to 200"));
    }
    Ok(count)
}

/// Threads per inch or pitch under these keys; an error if both are given.
pub(super) fn lead_in(table: &Section<'_>) -> Got<Lead> {
    let threads = table.read("threads_per_inch", "14", per_inch);
    let pitch = table.quantity::<Length>("pitch", Limits::POSITIVE);
    match (threads, pitch) {
        (Got::Given(_), Got::Given(_)) => {
            let path = table.key_path("pitch");
            table.reading.error(
                table.reading.place(&path),
                "pitch and threads per inch are both given",
                "one is enough",
                "leave out one of the two",
            );
            Got::Faulty
        }
        (Got::Faulty, _) | (_, Got::Faulty) => Got::Faulty,
        (Got::Given(threads), Got::Open) => Got::Given(Lead::PerInch(threads)),
        (Got::Open, Got::Given(pitch)) => Got::Given(Lead::Pitch(pitch)),
        (Got::Open, Got::Open) => Got::Open,
    }
}

/// Reads `[lead_screw]`.
pub(super) fn lead_screw(table: Section<'_>) -> LeadScrew {
    let usual = LeadScrew::usual();
    let lead = lead_in(&table);
    let lines = table.count(
        "dial_lines",
        "8",
        1..=96,
        "lines are counted in whole numbers",
        "count all lines of the thread dial, the short ones too: dial_lines = 8",
    );
    let turn = table.quantity::<Length>("dial_turn", Limits::POSITIVE);
    let assumed = !lead.is_given() || !lines.is_given() || !turn.is_given();
    let screw = LeadScrew {
        lead: lead.given().unwrap_or(usual.lead),
        dial_lines: lines.given().unwrap_or(usual.dial_lines),
        dial_turn: turn.given().unwrap_or(usual.dial_turn),
        assumed,
    };
    table.finish();
    screw
}
