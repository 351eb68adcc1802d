//! Numbers as a lathe file has them: rounded to what counts in their range.

use crate::arithmetic::{log10, powi};
use crate::quantity::{
    Angle, Dimension, EdgeLoad, Force, INCH, INCH_PER_FOOT, LBF, LBF_PER_THOU, Length, Pressure,
    Quantity, Ratio, Stiffness, Taper, Units,
};

/// SI in one, and the unit as it is written.
fn unit(dimension: Dimension, units: Units) -> (f64, &'static str) {
    match (dimension, units) {
        (Dimension::Length, Units::Inch) => (INCH, " in"),
        (Dimension::Length, Units::Metric) => (1e-3, " mm"),
        (Dimension::Angle, _) => (1f64.to_radians(), " deg"),
        (Dimension::Taper, Units::Inch) => (INCH_PER_FOOT, " in/ft"),
        (Dimension::Taper, Units::Metric) => (1e-3, " mm/m"),
        (Dimension::Force, Units::Inch) => (LBF, " lbf"),
        (Dimension::Force, Units::Metric) => (1.0, " N"),
        (Dimension::Stiffness, Units::Inch) => (LBF_PER_THOU, " lbf/thou"),
        (Dimension::Stiffness, Units::Metric) => (1e6, " N/um"),
        (Dimension::Pressure, Units::Inch) => (LBF / (INCH * INCH), " psi"),
        (Dimension::Pressure, Units::Metric) => (1e6, " MPa"),
        (Dimension::EdgeLoad, Units::Inch) => (LBF / INCH, " lbf/in"),
        (Dimension::EdgeLoad, Units::Metric) => (1e3, " N/mm"),
        (Dimension::Ratio, _) => (1.0, ""),
    }
}

/// One number with its unit.
pub fn written(si: f64, dimension: Dimension, units: Units) -> String {
    let (one, name) = unit(dimension, units);
    let rounded: f64 = format!("{:.3e}", si / one).parse().unwrap_or(f64::NAN);
    // Adding zero makes minus zero plain.
    format!("{}{name}", rounded + 0.0)
}

/// Low, middle and high with their unit, to two digits of the range's width; four digits of a
/// number without a range, or that would round to nothing.
pub fn written_range(range: [f64; 3], dimension: Dimension, units: Units) -> [String; 3] {
    let (one, name) = unit(dimension, units);
    let width = (range[2] - range[0]) / one;
    if !(width > 0.0 && width.is_finite()) {
        return range.map(|si| written(si, dimension, units));
    }
    let decimals = 1 - log10(width).floor() as i32;
    let scale = powi(10f64, decimals);
    range.map(|si| {
        let rounded = (si / one * scale).round();
        if rounded == 0.0 && si != 0.0 {
            return written(si, dimension, units);
        }
        // By its decimals, so that no digit of the arithmetic shows.
        let places = decimals.max(0) as usize;
        let text = format!("{:.places$}", rounded / scale);
        format!("{text}{name}")
    })
}

/// One number as a person is told it.
pub fn told(si: f64, dimension: Dimension, units: Units) -> String {
    match dimension {
        Dimension::Length => Length::from_si(si).show(units),
        Dimension::Angle => Angle::from_si(si).show(units),
        Dimension::Taper => Taper::from_si(si).show(units),
        Dimension::Force => Force::from_si(si).show(units),
        Dimension::Stiffness => Stiffness::from_si(si).show(units),
        Dimension::Pressure => Pressure::from_si(si).show(units),
        Dimension::EdgeLoad => EdgeLoad::from_si(si).show(units),
        Dimension::Ratio => Ratio::from_si(si).show(units),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_written_reads_back() {
        for units in [Units::Inch, Units::Metric] {
            let length = Length::parse(&written(1.23456e-3, Dimension::Length, units));
            assert!((length.expect("a length").si() - 1.23456e-3).abs() < 1e-6);
            let spring = Stiffness::parse(&written(1.0e7, Dimension::Stiffness, units));
            assert!((spring.expect("a spring").si() / 1e7 - 1.0).abs() < 1e-3);
        }
        assert_eq!(
            written(0.075 * INCH, Dimension::Length, Units::Inch),
            "0.075 in"
        );
    }

    #[test]
    fn a_range_is_rounded_to_two_digits_of_its_width() {
        let range = [0.063_76 * INCH, 0.064_54 * INCH, 0.064_98 * INCH];
        let text = written_range(range, Dimension::Length, Units::Inch);
        assert_eq!(text, ["0.0638 in", "0.0645 in", "0.0650 in"]);
        let pull = [18.12 * LBF, 19.67 * LBF, 21.19 * LBF];
        let text = written_range(pull, Dimension::Force, Units::Inch);
        assert_eq!(text, ["18.1 lbf", "19.7 lbf", "21.2 lbf"]);
        // A spring's lower end is not rounded away.
        let spring = [
            1e-3 * LBF_PER_THOU,
            20.0 * LBF_PER_THOU,
            40.0 * LBF_PER_THOU,
        ];
        let text = written_range(spring, Dimension::Stiffness, Units::Inch);
        assert_eq!(text, ["0.001 lbf/thou", "20 lbf/thou", "40 lbf/thou"]);
    }
}
