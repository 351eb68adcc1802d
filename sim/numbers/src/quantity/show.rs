//! Writes shop notation, rounded as a person would.
//!
//! [`Quantity::show`] suits a number that stands alone. The functions here are for the places
//! where the shop has its own way of saying it: a dial, a run-in, a taper in every form.

use crate::arithmetic::max;

use serde::Serialize;

use super::dimension::{Dimension, Units};
use super::unit::{FOOT, INCH, LBF, PSI};
use super::{Length, Quantity, Speed, Taper};

/// Shop notation of a number in SI.
pub(super) fn write(si: f64, dimension: Dimension, units: Units) -> String {
    if !si.is_finite() {
        return "no value".into();
    }
    match (dimension, units) {
        (Dimension::Length, Units::Inch) => inches(si / INCH),
        (Dimension::Length, Units::Metric) => millimetres(si * 1e3),
        (Dimension::Angle, _) => angle(si),
        (Dimension::Taper, Units::Inch) => {
            let rate = si * FOOT / INCH;
            let decimals = if rate.abs() < 0.1 { 4 } else { 3 };
            format!("{} in/ft", fixed(rate, decimals))
        }
        (Dimension::Taper, Units::Metric) => {
            let rate = si * 1e3;
            let decimals = match rate.abs() {
                10.0.. => 1,
                1.0.. => 2,
                _ => 3,
            };
            format!("{} mm/m", trimmed(&fixed(rate, decimals)))
        }
        (Dimension::Force, Units::Inch) => format!("{} lbf", force(si / LBF)),
        (Dimension::Force, Units::Metric) => format!("{} N", force(si)),
        (Dimension::Stiffness, Units::Inch) => {
            format!("{} lbf/thou", digits(si * INCH / 1e3 / LBF, 2))
        }
        (Dimension::Stiffness, Units::Metric) => format!("{} N/um", digits(si / 1e6, 2)),
        (Dimension::Pressure, Units::Inch) => format!("{} psi", digits(si / PSI, 3)),
        // Air is spoken of in bar, a specific cutting force in MPa.
        (Dimension::Pressure, Units::Metric) if si.abs() < 1e7 => {
            format!("{} bar", digits(si / 1e5, 3))
        }
        (Dimension::Pressure, Units::Metric) => format!("{} MPa", digits(si / 1e6, 3)),
        (Dimension::EdgeLoad, Units::Inch) => format!("{} lbf/in", digits(si * INCH / LBF, 2)),
        (Dimension::EdgeLoad, Units::Metric) => format!("{} N/mm", digits(si / 1e3, 2)),
        (Dimension::Ratio, _) => digits(si, 3),
    }
}

/// Shop notation of a speed: rpm, sfm or m/min.
pub(super) fn speed(speed: Speed, units: Units) -> String {
    match (speed, units) {
        (Speed::Turns(turns), _) => format!("{} rpm", digits(turns * 60.0, 3)),
        (Speed::Surface(speed), Units::Inch) => format!("{} sfm", digits(speed * 60.0 / FOOT, 3)),
        (Speed::Surface(speed), Units::Metric) => format!("{} m/min", digits(speed * 60.0, 3)),
    }
}

/// With a fixed number of decimals; never "-0.00", and with a power of ten when it is huge.
fn fixed(value: f64, decimals: usize) -> String {
    if value.abs() >= 1e7 {
        return format!("{value:.3e}");
    }
    let text = format!("{value:.decimals$}");
    match text.strip_prefix('-') {
        Some(rest) if !rest.contains(|digit: char| ('1'..='9').contains(&digit)) => rest.into(),
        _ => text,
    }
}

/// Without zeros at the end of the decimals.
fn trimmed(text: &str) -> String {
    if text.contains('.') && !text.contains('e') {
        text.trim_end_matches('0').trim_end_matches('.').into()
    } else {
        text.into()
    }
}

/// To so many digits that count.
fn digits(value: f64, count: usize) -> String {
    if !value.is_finite() {
        return "no value".into();
    }
    let rounded = format!("{value:.*e}", count.saturating_sub(1));
    match rounded.parse::<f64>() {
        Ok(0.0) => "0".into(),
        Ok(number) if (1e-4..1e7).contains(&number.abs()) => number.to_string(),
        _ => rounded,
    }
}

/// One decimal under ten, two digits from there on; one digit when it is next to nothing.
fn force(value: f64) -> String {
    match value.abs() {
        10.0.. => digits(value, 2),
        0.1.. => trimmed(&fixed(value, 1)),
        _ => digits(value, 1),
    }
}

fn inches(value: f64) -> String {
    match value.abs() {
        100.0.. => format!("{} in", trimmed(&fixed(value, 1))),
        10.0.. => format!("{} in", trimmed(&fixed(value, 2))),
        0.1.. => format!("{} in", fixed(value, 3)),
        0.0001.. => format!("{} in", fixed(value, 4)),
        // A roughness or an edge radius.
        size if size > 0.0 => format!("{} uin", digits(value * 1e6, 2)),
        _ => "0 in".into(),
    }
}

fn millimetres(value: f64) -> String {
    match value.abs() {
        100.0.. => format!("{} mm", trimmed(&fixed(value, 1))),
        0.1.. => format!("{} mm", fixed(value, 2)),
        0.001.. => format!("{} mm", fixed(value, 3)),
        size if size > 0.0 => format!("{} um", digits(value * 1e3, 2)),
        _ => "0 mm".into(),
    }
}

/// Degrees and minutes; minutes and seconds below a degree.
fn angle(si: f64) -> String {
    let degrees = si.abs().to_degrees();
    if degrees >= 1e7 {
        return format!("{:.3e} deg", si.to_degrees());
    }
    let sign = if si < 0.0 { "-" } else { "" };
    let minutes = (degrees * 60.0).round();
    if minutes >= 60.0 {
        let (whole, rest) = ((minutes / 60.0).floor(), minutes % 60.0);
        return if rest == 0.0 {
            format!("{sign}{whole} deg")
        } else {
            format!("{sign}{whole} deg {rest} min")
        };
    }
    let seconds = (degrees * 3600.0).round();
    match ((seconds / 60.0).floor(), seconds % 60.0) {
        (0.0, 0.0) => "0 deg".into(),
        (0.0, rest) => format!("{sign}{rest} sec"),
        (whole, 0.0) => format!("{sign}{whole} min"),
        (whole, rest) => format!("{sign}{whole} min {rest} sec"),
    }
}

/// Degrees, minutes and seconds to a tenth, as a table of tapers gives them.
fn fine_angle(si: f64) -> String {
    let sign = if si < 0.0 { "-" } else { "" };
    let tenths = (si.abs().to_degrees() * 36_000.0).round();
    let seconds = digits(tenths % 600.0 / 10.0, 3);
    let minutes = (tenths / 600.0).floor();
    format!(
        "{sign}{} deg {} min {seconds} sec",
        (minutes / 60.0).floor(),
        minutes % 60.0
    )
}

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
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
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
