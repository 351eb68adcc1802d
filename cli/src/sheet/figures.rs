//! Words and figures that more than one part of the sheet needs.

use super::page::{self, Place};
use crate::screen::words;
use tautway_sim::caution::Caution;
use tautway_sim::quantity::{INCH, Units};
use tautway_sim::scenario::Toward;
use tautway_sim::sheet::Sheet;
use tautway_words::{Block, strong};

/// Where a caution stands that didn't come into the box: the section where the hand is.
pub(super) fn section_of(caution: &Caution) -> Place {
    match caution.id {
        "end-of-travel" | "lock-and-feed" | "reverse-chuck" | "centres" => Place::Lathe,
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
        .map(caution)
}

pub(super) fn caution(caution: &Caution) -> Block {
    page::caution(
        caution.id,
        format!(
            "{} {}. {}",
            strong("STOP IF"),
            caution.stop_if,
            caution.advice
        ),
    )
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

/// "big end" or "small end".
pub(super) fn end(big: bool) -> &'static str {
    if big { "big end" } else { "small end" }
}

pub(super) fn the_way(sheet: &Sheet) -> String {
    words::capital(&words::way(&sheet.setup))
}
