//! Lengths, tapers, forces and the like: SI inside, shop notation at the border.
//!
//! Each quantity is a thin wrapper round one `f64` in SI, so the engine pays nothing for it and a
//! length can't be taken for a force. [`Quantity::parse`] reads what a machinist writes
//! (`1-1/4"`, `3/4 in/ft`, `5 thou`, `1 deg 47 min per side`); [`Quantity::show`] writes it back
//! in the person's own system, rounded as a person would.

mod fault;
mod dimension;
mod token;
mod unit;
mod written;
pub mod show;
mod reader;
mod units_in;
mod parse;
pub mod spread;

pub use dimension::{Dimension, Speed, Units};
pub use fault::{Fault, NO_UNIT};
pub use spread::{Spread, parse_band};
pub use unit::{
    DEGREE, FAHRENHEIT, FOOT, INCH, INCH_PER_FOOT, INCHES_PER_FOOT, LBF, LBF_PER_THOU, MM,
    MM_PER_INCH, PSI, THOU,
};
pub use units_in::{UnitAt, common_units, field_unit, field_units, speed_units, units_in};

use crate::arithmetic::atan;

use schemars::JsonSchema;
use serde::Serialize;

/// A physical quantity with one SI number inside.
pub trait Quantity: Copy + PartialEq + std::fmt::Debug + Serialize + 'static {
    /// The name used in messages: "length", "taper".
    const NAME: &'static str;
    /// What it measures.
    const DIMENSION: Dimension;
    /// Wraps a number in SI (m, rad, ratio on diameter, m per turn, N, N/m, Pa, 1).
    fn from_si(si: f64) -> Self;
    /// The number in SI.
    fn si(self) -> f64;
    /// Reads shop notation.
    ///
    /// # Errors
    /// A [`Fault`] that points into `text` and says what would be right.
    fn parse(text: &str) -> Result<Self, Fault>;
    /// Shop notation in the person's system, rounded as a person would.
    fn show(self, units: Units) -> String;
}

macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident, $word:literal) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd, Serialize, JsonSchema)]
        #[serde(transparent)]
        pub struct $name(f64);

        impl Quantity for $name {
            const NAME: &'static str = $word;
            const DIMENSION: Dimension = Dimension::$name;
            fn from_si(si: f64) -> Self {
                Self(si)
            }
            fn si(self) -> f64 {
                self.0
            }
            fn parse(text: &str) -> Result<Self, Fault> {
                parse::read(text, Dimension::$name).map(Self)
            }
            fn show(self, units: Units) -> String {
                written::write(self.0, Dimension::$name, units)
            }
        }
    };
}

quantity!(/// A length, m inside. Also a feed per turn.
    Length, "length");
quantity!(/// An angle, rad inside.
    Angle, "angle");
quantity!(/// A taper on diameter: change of diameter over length along the axis.
    Taper, "taper");
quantity!(/// A force, N inside.
    Force, "force");
quantity!(/// A spring rate, N/m inside.
    Stiffness, "spring rate");
quantity!(/// A pressure or a specific cutting force, Pa inside.
    Pressure, "pressure");
quantity!(/// A force per length of cutting edge, N/m inside.
    EdgeLoad, "force along the edge");
quantity!(/// A pure number.
    Ratio, "ratio");

impl Dimension {
    /// A number that measures this, in SI, in shop notation as [`Quantity::show`] has it.
    pub fn show(self, si: f64, units: Units) -> String {
        written::write(si, self, units)
    }
}

impl Taper {
    /// Change of radius over length.
    pub fn slope(self) -> f64 {
        self.0 / 2.0
    }
    /// Angle of the cone's side to its axis, rad.
    pub fn half_angle(self) -> f64 {
        atan(self.slope())
    }
}

impl Speed {
    /// Reads `600 rpm`, `300 sfm`, `90 m/min` or `300 ft/min`.
    ///
    /// # Errors
    /// A [`Fault`] that points into `text` and says what would be right.
    pub fn parse(text: &str) -> Result<Self, Fault> {
        parse::read_speed(text)
    }

    /// Shop notation in the person's system, rounded as a person would.
    pub fn show(self, units: Units) -> String {
        written::speed(self, units)
    }
}
