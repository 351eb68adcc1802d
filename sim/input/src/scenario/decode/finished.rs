//! The file that says what a finished job gave: how it was cut, what was gauged, and how well.

use std::collections::BTreeMap;

use toml::de::DeValue;

use super::section::{Got, Section};
use super::sense::Held;
use super::two_cuts::{MOST_TAKEN, more_than_set};
use super::wordings::UNITS;
use crate::quantity::{Dimension, Length, Quantity, Taper, Units};
use crate::scenario::Severity;
use crate::scenario::finished::{Gauged, Measured, OtherCut, Piece};
use crate::scenario::limits::Limits;
use crate::scenario::numbers::bounds;
use crate::scenario::want::Want;
use crate::setup::{Feed, Rotation, Side};

/// No gauge in a shop tells a part in so many of what it measures here [guess].
const BEST_GAUGE: f64 = 3000.0;
const LONG: Limits = Limits::NOT_NEGATIVE;

/// Reads it. Faults are reported in the text; what comes back then is not for use.
pub(super) fn read(top: Section<'_>) -> Piece {
    let units = top
        .required_word("units", UNITS, "\"inch\"")
        .unwrap_or(Units::Inch);
    top.reading.units.set(units);
    let way = top.table("way");
    let gauged = Gauged {
        units,
        side: way
            .word(
                "side",
                &[(&["front"], Side::Front), (&["rear"], Side::Rear)],
            )
            .given(),
        feed: way
            .required_word(
                "feed",
                &[
                    (&["headstock", "toward the headstock"], Feed::Headstock),
                    (&["tailstock", "toward the tailstock"], Feed::Tailstock),
                ],
                "\"headstock\"",
            )
            .unwrap_or(Feed::Headstock),
        rotation: way
            .word(
                "rotation",
                &[
                    (&["forward"], Rotation::Forward),
                    (&["reverse"], Rotation::Reverse),
                ],
            )
            .given(),
        taken: None,
        taper: None,
        waves: None,
        other: None,
    };
    let started = way
        .quantity::<Length>("started", LONG)
        .given()
        .map(|at| at.si());
    way.finish();
    let found = top.required_table("gauged", "[gauged]");
    let length = Limits::NOT_NEGATIVE;
    let gauged = Gauged {
        taken: measured::<Length>(&found, "taken", length),
        taper: measured::<Taper>(&found, "taper", Limits::POSITIVE),
        waves: measured::<Length>(&found, "waves", length),
        other: other_cut(&top, &found),
        ..gauged
    };
    let diameters = diameters(&found);
    let diameter_off = found
        .quantity::<Length>("diameter_off", Limits::POSITIVE)
        .given();
    if !diameters.is_empty() && diameter_off.is_none() && !found.is_faulty_at("diameter_off") {
        found.missing("diameter_off", "\"0.0003 in\"");
    }
    let piece = Piece {
        job: top.text("job").given(),
        gauged,
        started,
        diameters,
        diameter_off: diameter_off.map_or(0.0, |off| off.si()),
        spacing: measured::<Length>(&found, "spacing", LONG),
        straight: measured::<Length>(&found, "straight", LONG),
        step: measured::<Length>(&found, "step", length),
        roundness: measured::<Length>(&found, "roundness", length),
        guide: measured::<Taper>(&found, "guide", Limits::POSITIVE),
    };
    let nothing = gauged.taken.is_none()
        && gauged.taper.is_none()
        && gauged.waves.is_none()
        && piece.diameters.is_empty();
    let faulty = ["taken", "taper", "waves", "diameters"]
        .iter()
        .any(|key| found.is_faulty_at(key));
    if found.is_there() && nothing && !faulty {
        found.missing("taken", "\"0.0085 in +- 0.0003 in\"");
    }
    found.finish();
    top.finish();
    piece
}

/// Places gauged so far, m, in steps of [`Self::APART`].
#[derive(Default)]
struct Places(BTreeMap<i64, f64>);

impl Places {
    /// Closer ones are one.
    const APART: f64 = 1e-6;

    /// Whether it is gauged already; it is from now on.
    fn is_taken(&mut self, at: f64) -> bool {
        let step = (at / Self::APART).floor() as i64;
        let taken = (step - 1..=step + 1)
            .filter_map(|near| self.0.get(&near))
            .any(|other| (other - at).abs() < Self::APART);
        self.0.insert(step, at);
        taken
    }
}

/// `diameters = [["0.1 in", "2.491 in"], ...]`: distance from the big end, and reading.
fn diameters(table: &Section<'_>) -> Vec<(f64, f64)> {
    const EXAMPLE: &str = "[[\"0.1 in\", \"2.4912 in\"], [\"2.9 in\", \"2.0121 in\"]]";
    table.want("diameters", Want::Pairs(Dimension::Length));
    let Some((value, at)) = table.find("diameters") else {
        return Vec::new();
    };
    let DeValue::Array(rows) = value else {
        table.wrong_type("diameters", value, at, "a list of pairs", EXAMPLE);
        return Vec::new();
    };
    let mut all: Vec<(f64, f64)> = Vec::new();
    let mut places = Places::default();
    for row in rows {
        let at = row.span();
        let pair = match row.get_ref() {
            DeValue::Array(pair) if pair.len() == 2 => pair,
            other => {
                table.wrong_type(
                    "diameters",
                    other,
                    at,
                    "a pair: distance from the big end, and diameter there",
                    "[\"0.1 in\", \"2.4912 in\"]",
                );
                continue;
            }
        };
        let number = |place: usize, limits: Limits, bounds| {
            let (value, at) = (pair[place].get_ref(), pair[place].span());
            let read = table.quantity_by::<Length>("diameters", value, at, limits, Some(bounds));
            read.given()
        };
        let (from, diameter) = (
            number(0, LONG, &bounds::GAUGED_AT),
            number(1, Limits::POSITIVE, &bounds::GAUGED_DIAMETER),
        );
        if let (Some(from), Some(diameter)) = (from, diameter) {
            if places.is_taken(from.si()) {
                table.reading.error(
                    at,
                    "two diameters at one place",
                    "gauged here already",
                    "give their mean, and each place once",
                );
            }
            all.push((from.si(), diameter.si()));
        }
    }
    if all.len() == 1 {
        table.reading.error(
            at,
            "one diameter says nothing of a taper",
            "one only",
            "gauge at two places at least; five along the piece say much more",
        );
    }
    all
}

/// The pass fed the other way. One cut alone is no pair: what the first took has to be there too.
fn other_cut(top: &Section<'_>, found: &Section<'_>) -> Option<OtherCut> {
    let table = top.table("other_way");
    let there = table.is_there();
    let set = table.quantity::<Length>("set", Limits::POSITIVE).given();
    let taken = measured::<Length>(&table, "taken", Limits::NOT_NEGATIVE);
    if there && taken.is_none() && !table.is_faulty_at("taken") {
        table.missing("taken", "\"0.0062 in +- 0.0003 in\"");
    }
    let both = found.find("taken").is_some() || found.is_faulty_at("taken");
    if there && found.is_there() && !both {
        found.missing("taken", "\"0.0085 in +- 0.0003 in\"");
    }
    if let (Some(set), Some(taken)) = (set, taken)
        && taken.value > MOST_TAKEN * set.si()
    {
        more_than_set(&table, "taken", Length::from_si(taken.value), set);
    }
    table.finish();
    taken.map(|taken| OtherCut {
        set: set.map(Quantity::si),
        taken,
    })
}

/// A gauged number with how far its gauge may be off.
fn measured<Q: Quantity>(
    table: &Section<'_>,
    key: &'static str,
    limits: Limits,
) -> Option<Measured> {
    let Got::Given(known) = table.measured::<Q>(key, limits) else {
        return None;
    };
    let off = known.high.si() - known.si();
    if off <= 0.0 {
        table.reading.report(
            Severity::Error,
            table.reading.place(&table.key_path(key)),
            format!("`{}` needs its gauge's own error", table.key_path(key)),
            "no gauge is exact",
            "write what was gauged and how far the gauge may be off: \"0.0085 in +- 0.0003 in\"",
        );
        return None;
    }
    let at = table.reading.place(&table.key_path(key));
    let known_better = off < known.si().abs() / BEST_GAUGE;
    let held = Q::DIMENSION != Dimension::Length
        || table.reading.hold(&Held {
            path: &table.key_path(key),
            at: &at,
            si: off,
            bounds: &bounds::GAUGE_OFF,
            dimension: Q::DIMENSION,
        });
    if held && known_better {
        table.reading.report(
            Severity::Warning,
            at,
            format!("`{}` is gauged better than any gauge", table.key_path(key)),
            format!("within {}", Q::from_si(off).show(table.reading.units.get())),
            "check the digits and the unit of the spread",
        );
    }
    Some(Measured {
        value: known.si(),
        off,
    })
}
