//! The person's units on axes and in captions.

use tautway_sim::arithmetic::clamp;
use tautway_sim::quantity::{INCH, Units};
#[cfg(feature = "charts")]
use tautway_sim::quantity::{INCHES_PER_FOOT, LBF};

/// SI to one unit, with its name and the decimals a person would write.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Scale {
    /// How many of the unit make one SI unit.
    factor: f64,
    /// Name of the unit.
    pub unit: &'static str,
    decimals: usize,
}

impl Scale {
    /// Lengths along the work and the bed.
    pub(crate) fn length(units: Units) -> Self {
        match units {
            Units::Inch => Self {
                factor: 1.0 / INCH,
                unit: "in",
                decimals: 3,
            },
            Units::Metric => Self {
                factor: 1e3,
                unit: "mm",
                decimals: 1,
            },
        }
    }

    /// Depths, heights and slack.
    #[cfg(feature = "charts")]
    pub(crate) fn height(units: Units) -> Self {
        match units {
            Units::Inch => Self {
                factor: 1e3 / INCH,
                unit: "thou",
                decimals: 1,
            },
            Units::Metric => Self {
                factor: 1e3,
                unit: "mm",
                decimals: 3,
            },
        }
    }

    /// Tapers on diameter.
    #[cfg(feature = "charts")]
    pub(crate) fn taper(units: Units) -> Self {
        match units {
            Units::Inch => Self {
                factor: INCHES_PER_FOOT,
                unit: "in/ft",
                decimals: 4,
            },
            Units::Metric => Self {
                factor: 1e3,
                unit: "mm/m",
                decimals: 3,
            },
        }
    }

    /// Forces. Source of the factor: NIST SP 811 (2008), appendix B.8, lbf to N.
    #[cfg(feature = "charts")]
    pub(crate) fn force(units: Units) -> Self {
        match units {
            Units::Inch => Self {
                factor: 1.0 / LBF,
                unit: "lbf",
                decimals: 1,
            },
            Units::Metric => Self {
                factor: 1.0,
                unit: "N",
                decimals: 0,
            },
        }
    }

    /// From SI, kept within what can be drawn; a number that isn't one stays so.
    pub(crate) fn of(self, si: f64) -> f64 {
        clamp(si * self.factor, -1e30, 1e30)
    }

    /// Number and unit.
    pub(crate) fn show(self, si: f64) -> String {
        let number = number(self.of(si), self.decimals);
        // A space that no line breaks at.
        format!("{number}\u{a0}{}", self.unit)
    }
}

/// A number as one writes it: a true minus, no "-0", powers of ten only when it is huge.
pub(crate) fn number(value: f64, decimals: usize) -> String {
    if !value.is_finite() {
        return "an unknown number of".into();
    }
    let text = if value.abs() >= 1e7 {
        format!("{value:.1e}")
    } else {
        format!("{value:.decimals$}")
    };
    if text.bytes().all(|b| matches!(b, b'-' | b'0' | b'.')) {
        return text.trim_start_matches('-').to_owned();
    }
    text.replace('-', "−")
}
