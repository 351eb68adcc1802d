//! Writes shop notation, rounded as a person would.
//!
//! [`Quantity::show`] suits a number that stands alone. The functions here are for the places
//! where the shop has its own way of saying it: a dial, a run-in, a taper in every form.

use crate::arithmetic::{log10, max, powf};

use schemars::JsonSchema;
use serde::Serialize;

use super::dimension::Units;
use super::unit::{FOOT, INCH};
use super::written::{digits, fine_angle, fixed, trimmed};
use super::{Length, Quantity, Taper};

/// A small distance as it is read off a dial or an indicator: `3.6 thou`, or `0.091 mm`.
///
/// For slack, push-off and steps, where only the size matters.
pub fn dial(distance: Length, units: Units) -> String {
    let si = distance.si();
    if !si.is_finite() {
        return "no value".into();
    }
    match units {
        Units::Inch => format!("{} thou", trimmed(&fixed(si / INCH * 1e3, 1))),
        Units::Metric => format!("{} mm", fixed(si * 1e3, 3)),
    }
}

/// How far something came out from where it should be, always with its sign: `+0.0036 in`,
/// `-0.091 mm`, and `0` without one.
pub fn deviation(off: Length, units: Units) -> String {
    let text = off.show(units);
    if off.si() > 0.0 && off.si().is_finite() {
        format!("+{text}")
    } else {
        text
    }
}

/// A distance square to the axis, with the word that keeps it from being taken for a diameter:
/// `0.0036 in per side`, and `1/4 in per side` where it is a sixteenth or so within half a thou.
pub fn per_side(distance: Length, units: Units) -> String {
    const FINEST: u32 = 16;
    let inches = distance.si() / INCH;
    let steps = inches * f64::from(FINEST);
    let is_fraction = steps.round() != 0.0
        && inches.abs() < 100.0
        && (steps - steps.round()).abs() / f64::from(FINEST) < 0.0005;
    match units {
        Units::Inch if is_fraction => {
            format!("{} in per side", nearest_fraction(distance, FINEST))
        }
        _ => format!("{} per side", distance.show(units)),
    }
}

/// The least step of 1, 2 or 5 and their tens, in shop units, that is not under a length, m.
pub fn round_step(not_under: f64, units: Units) -> f64 {
    let unit = match units {
        Units::Inch => INCH,
        Units::Metric => 1e-3,
    };
    // A hair over a step is the arithmetic, not the length.
    let wanted = max(not_under, f64::MIN_POSITIVE) / unit * (1.0 - 1e-9);
    let decade = powf(10.0, log10(wanted).floor());
    let step = [1.0, 2.0, 5.0].map(|round| round * decade);
    unit * step
        .into_iter()
        .find(|step| *step >= wanted)
        .unwrap_or(10.0 * decade)
}

/// How far to wind the carriage back before a cut: rounded *up* to 1/8 in (`1 1/4 in`) or to 1 mm
/// (`32 mm`), as too short a run-in spoils the work and a longer one only costs time.
pub fn carriage_travel(distance: Length, units: Units) -> String {
    if !distance.si().is_finite() {
        return "no value".into();
    }
    let step = match units {
        Units::Inch => INCH / 8.0,
        Units::Metric => 1e-3,
    };
    // A hair under a millionth of a step is the arithmetic, not the distance.
    let steps = max((distance.si() / step - 1e-6).ceil(), 0.0);
    match units {
        Units::Inch => format!("{} in", nearest_fraction(Length::from_si(steps * step), 8)),
        Units::Metric => format!("{} mm", fixed(steps, 0)),
    }
}

/// The nearest inch fraction, without the unit: `3/8`, `1 1/4`, `2`. `finest` is the smallest
/// step, 8 for eighths; a power of two is what a rule has.
pub fn nearest_fraction(distance: Length, finest: u32) -> String {
    let finest = finest.max(1);
    let inches = distance.si() / INCH;
    if !inches.is_finite() || inches.abs() >= 1e6 {
        return fixed(inches, 0);
    }
    let steps = (inches.abs() * f64::from(finest)).round();
    let (whole, mut over) = (
        (steps / f64::from(finest)).floor(),
        steps % f64::from(finest),
    );
    let mut under = f64::from(finest);
    while over != 0.0 && over % 2.0 == 0.0 && under % 2.0 == 0.0 {
        over /= 2.0;
        under /= 2.0;
    }
    let sign = if inches < 0.0 && steps > 0.0 { "-" } else { "" };
    match (whole, over) {
        (_, 0.0) => format!("{sign}{whole}"),
        (0.0, _) => format!("{sign}{over}/{under}"),
        _ => format!("{sign}{whole} {over}/{under}"),
    }
}

/// One taper in every form that a drawing, a table or a degree scale may ask for. Each form reads
/// back as the taper, except [`ratio`](Self::ratio) of a straight piece.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct TaperForms {
    /// On diameter: `0.75 in/ft`.
    pub inch_per_foot: String,
    /// On diameter: `62.5 mm/m`.
    pub mm_per_metre: String,
    /// Change of diameter over length: `1:16`, or `straight`.
    pub ratio: String,
    /// From the axis to one side: `1 deg 47 min 23.7 sec per side`.
    pub half_angle: String,
    /// Across the whole cone: `3 deg 34 min 47.4 sec included`.
    pub included: String,
}

impl TaperForms {
    /// The forms of a taper, to five digits and a tenth of a second as tables print them.
    pub fn of(taper: Taper) -> Self {
        let half = taper.half_angle();
        Self {
            inch_per_foot: format!("{} in/ft", digits(taper.si() * FOOT / INCH, 5)),
            mm_per_metre: format!("{} mm/m", digits(taper.si() * 1e3, 5)),
            ratio: if taper.si() == 0.0 {
                "straight".into()
            } else {
                format!("1:{}", digits(1.0 / taper.si(), 5))
            },
            half_angle: format!("{} per side", fine_angle(half)),
            included: format!("{} included", fine_angle(2.0 * half)),
        }
    }
}
