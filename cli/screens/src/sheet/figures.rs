//! Words and figures that more than one part of the sheet needs.

use super::page::{self, Place};
use crate::screen::words;
use tautway_sim::bore_room::gap;
use tautway_sim::caution::Caution;
use tautway_sim::quantity::{INCH, Units};
use tautway_sim::scenario::Toward;
use tautway_sim::sheet::Sheet;
use tautway_words::{Block, strong};

/// Where a caution stands that didn't come into the box: the section where the hand is.
pub(super) fn section_of(caution: &Caution) -> Place {
    match caution.id {
        "end-of-travel" | "lock-and-feed" | "reverse-chuck" | "centres" | "top-slide-hand"
        | "top-slide-overhang" | "top-slide-carriage" | "offset-dog" | "offset-centre-edge" => {
            Place::Lathe
        }
        "offset-put-back" => Place::Afterwards,
        "half-nut-closed" | "reverse-threading" => Place::Thread,
        thread if thread.starts_with("thread-") => Place::Thread,
        "clamp-moved" => Place::SecondSetUp,
        "lifting-cut" | "tool-upside-down" | "brass-hooks-in" | "back-edge-rubs" => Place::Tool,
        "bar-rubs" | "seat-by-hand" => Place::RunIn,
        "air-on" => Place::Preload,
        preload if preload.starts_with("preload-") => Place::Preload,
        // What is new comes where the cut is.
        _ => Place::Passes,
    }
}

/// The cautions of a section that are not in the box.
pub(super) fn cautions_of(sheet: &Sheet, section: Place) -> impl Iterator<Item = Block> + '_ {
    sheet
        .below_the_box()
        .iter()
        .filter(move |caution| section_of(caution) == section)
        .map(move |found| caution(found, &margin(sheet, found)))
}

/// A caution with this job's margin behind its sign of danger.
pub(super) fn caution(caution: &Caution, margin: &str) -> Block {
    page::caution(
        caution.id,
        format!(
            "{} {}{margin}. {}",
            strong("STOP IF"),
            caution.stop_if,
            caution.advice
        ),
    )
}

/// How near this job comes to what a caution is of.
pub(super) fn margin(sheet: &Sheet, caution: &Caution) -> String {
    let units = sheet.units;
    let check = &sheet.lathe_check;
    match caution.id {
        "bar-rubs" => {
            let room = sheet.tool.room.as_ref();
            let tight = room.and_then(|room| room.tightest());
            tight.map_or(String::new(), |tight| {
                format!(
                    " ({} at the least, to {})",
                    gap(tight.gap, units),
                    tight.wall.words()
                )
            })
        }
        "end-of-travel" => format!(
            " (guide {} of {}, slide {})",
            words::about(check.guide_needed, units),
            words::about(check.guide_usable, units),
            words::about(check.slide_needed, units)
        ),
        _ => String::new(),
    }
}

pub(super) fn toward(toward: Toward) -> &'static str {
    match toward {
        Toward::Operator => "toward you",
        Toward::Away => "away from you",
    }
}

pub(super) fn opposite(toward: Toward) -> Toward {
    match toward {
        Toward::Operator => Toward::Away,
        Toward::Away => Toward::Operator,
    }
}

/// A length as figures alone: 0.0001 in or 0.001 mm.
pub(super) fn figures(m: f64, units: Units) -> String {
    match units {
        Units::Inch => format!("{:.4}", m / INCH),
        Units::Metric => format!("{:.3}", m * 1e3),
    }
}

/// The unit of [`figures`].
pub(super) fn unit(units: Units) -> &'static str {
    match units {
        Units::Inch => "in",
        Units::Metric => "mm",
    }
}

/// A length to three or two digits with its unit.
pub(super) fn size(m: f64, units: Units) -> String {
    match units {
        Units::Inch => format!("{:.3} in", m / INCH),
        Units::Metric => format!("{:.2} mm", m * 1e3),
    }
}

/// The same exact enough to halve a step: 0.00001 in or 0.0001 mm, no noughts behind.
pub(super) fn exact(m: f64, units: Units) -> String {
    let text = match units {
        Units::Inch => format!("{:.5}", m / INCH),
        Units::Metric => format!("{:.4}", m * 1e3),
    };
    text.strip_suffix('0').unwrap_or(&text).to_owned()
}

/// "big end" or "small end".
pub(super) fn end(big: bool) -> &'static str {
    if big { "big end" } else { "small end" }
}

pub(super) fn the_way(sheet: &Sheet) -> String {
    words::capital(&words::way(&sheet.setup))
}
