//! Diameters at two places: taper and the diameter anywhere else, `T = (D - d) / L`.
//!
//! Both diameters must be of the same edge of the gauge: flat anvils and jaws bear on their edge
//! toward the big end on outside work, toward the small end in a bore. The difference is then
//! right, and each diameter belongs to that edge.

use crate::arithmetic::atan;

use schemars::JsonSchema;
use serde::Serialize;

use super::{Found, Gauged, Refusal, carried, positive};

/// Two diameters.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Diameters {
    /// The bigger, m.
    pub big: Gauged,
    /// The smaller, m.
    pub small: Gauged,
    /// Between the two places along the axis, m.
    pub apart: Gauged,
}

/// What two diameters say.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct TwoPlaces {
    /// On diameter.
    pub taper: Found,
    /// Angle of one side, rad.
    pub half_angle: Found,
    /// Diameter at the place asked for, m.
    pub there: Option<Found>,
}

impl Diameters {
    fn inputs(&self) -> [(&'static str, Gauged); 3] {
        [
            ("big diameter", self.big),
            ("small diameter", self.small),
            ("distance apart", self.apart),
        ]
    }

    /// The sum; `beyond` asks for the diameter so far beyond the big one's place, away from the
    /// small one (negative: toward it), m.
    ///
    /// # Errors
    /// When a number is not positive or the two are the wrong way round.
    pub fn sum(&self, beyond: Option<f64>) -> Result<TwoPlaces, Refusal> {
        for (about, measured) in self.inputs() {
            positive(about, measured)?;
        }
        if self.big.value < self.small.value {
            return Err(Refusal::new(
                "big diameter",
                "the big diameter is smaller than the small one",
                "swap the two",
            ));
        }
        let taper = |big: f64, small: f64, apart: f64| {
            if apart > 0.0 {
                (big - small) / apart
            } else {
                f64::NAN
            }
        };
        let inputs = self.inputs();
        Ok(TwoPlaces {
            taper: carried(inputs, |[big, small, apart]| taper(big, small, apart))?,
            half_angle: carried(inputs, |[big, small, apart]| {
                atan(taper(big, small, apart) / 2.0)
            })?,
            there: beyond
                .map(|beyond| {
                    carried(inputs, |[big, small, apart]| {
                        big + taper(big, small, apart) * beyond
                    })
                })
                .transpose()?,
        })
    }
}
