//! SI as shop notation, rounded as a person would.

use super::dimension::{Dimension, Speed, Units};
use super::unit::{FOOT, INCH, LBF, PSI};

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
pub(super) fn fixed(value: f64, decimals: usize) -> String {
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
pub(super) fn trimmed(text: &str) -> String {
    if text.contains('.') && !text.contains('e') {
        text.trim_end_matches('0').trim_end_matches('.').into()
    } else {
        text.into()
    }
}

/// To so many digits that count.
pub(super) fn digits(value: f64, count: usize) -> String {
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
pub(super) fn force(value: f64) -> String {
    match value.abs() {
        10.0.. => digits(value, 2),
        0.1.. => trimmed(&fixed(value, 1)),
        _ => digits(value, 1),
    }
}

pub(super) fn inches(value: f64) -> String {
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

pub(super) fn millimetres(value: f64) -> String {
    match value.abs() {
        100.0.. => format!("{} mm", trimmed(&fixed(value, 1))),
        0.1.. => format!("{} mm", fixed(value, 2)),
        0.001.. => format!("{} mm", fixed(value, 3)),
        size if size > 0.0 => format!("{} um", digits(value * 1e3, 2)),
        _ => "0 mm".into(),
    }
}

/// Degrees and minutes; minutes and seconds below a degree.
pub(super) fn angle(si: f64) -> String {
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
pub(super) fn fine_angle(si: f64) -> String {
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
