//! Numbers as a lathe file has them: four digits, so that a range survives being written.

use crate::quantity::{Dimension, Units};
use crate::scenario::defaults::{INCH, INCH_PER_FOOT, LBF, LBF_PER_THOU};

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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{Length, Quantity, Stiffness};

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
}
