//! The paper that a sheet is printed on.

use tautway_sim::quantity::Units;

/// Paper of a printed sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Paper {
    /// 8 1/2 by 11 in.
    Letter,
    /// 210 by 297 mm.
    A4,
}

impl Paper {
    /// Width and height, mm.
    pub fn size(self) -> (f64, f64) {
        match self {
            Self::Letter => (215.9, 279.4),
            Self::A4 => (210.0, 297.0),
        }
    }

    /// Its rule in a page's style.
    pub fn rule(self) -> &'static str {
        match self {
            Self::Letter => "@page { size: letter; }\n",
            Self::A4 => "@page { size: A4; }\n",
        }
    }

    /// What goes with the units.
    pub fn of(units: Units) -> Self {
        match units {
            Units::Inch => Self::Letter,
            Units::Metric => Self::A4,
        }
    }
}
