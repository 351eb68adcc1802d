//! Gauging sums: what gauges, blue, rolls and balls say of a taper, with the gauges' own error.
//!
//! Every measured number is a [`Gauged`]: a value and how far off it may be either way. A result
//! is a [`Found`], its error carried to first order: each input is moved by its own half-width
//! both ways, half the swing of the result is that input's share, and the shares, taken as
//! independent, add as squares (JCGM 100:2008, 5.1.2, with differences in place of slopes as its
//! note 2 allows; from memory). The coverage of the result is that of the inputs. Left out:
//! bending, heat, burrs, form error of the cone.

mod balls;
mod blue;
mod diameters;
mod rolls;
mod standoff;

pub use balls::{Balls, Bore, OneBall};
pub use blue::{Amount, Bearing, Blue, BlueSign, Correction, guide_nudge, unseen};
pub use diameters::{Diameters, TwoPlaces};
pub use rolls::{OnePairOfRolls, Plug, Rolls};
pub use standoff::{Standoff, StandoffRow, StandoffSum, standoff_rows};

use crate::quantity::INCH;
use schemars::JsonSchema;
use serde::Serialize;

use crate::arithmetic::hypot;
/// A measured number and how far off it may be either way.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Gauged {
    /// SI.
    pub value: f64,
    /// Half-width, never negative.
    pub half: f64,
    /// The half-width was not given.
    pub assumed: bool,
}

impl Gauged {
    /// With the half-width as told.
    pub fn given(value: f64, half: f64) -> Self {
        Self {
            value,
            half: half.abs(),
            assumed: false,
        }
    }

    /// With the half-width of a usual gauge.
    pub fn with(value: f64, gauge: Gauge) -> Self {
        Self {
            value,
            half: gauge.half(),
            assumed: true,
        }
    }

    /// Without error: a nominal number.
    pub fn exact(value: f64) -> Self {
        Self::given(value, 0.0)
    }
}

/// What a length was measured with, for when its error was not told.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Gauge {
    /// Outside mike.
    Mike,
    /// Bore gauge, set to a master.
    BoreGauge,
    /// Telescoping gauge with a mike over it.
    TelescopingGauge,
    /// Caliper.
    Caliper,
    /// Dial indicator.
    Indicator,
    /// Depth mike, down to the top of a ball.
    DepthMike,
    /// Steel rule.
    Rule,
    /// A ball or roll of good make: its diameter.
    Ball,
    /// A stack of gauge blocks.
    Blocks,
    /// Film of blue.
    Blue,
}

impl Gauge {
    /// How far off it may be either way, m. None of these was measured: the first five from
    /// memory, the others a guess.
    pub fn half(self) -> f64 {
        let inches = match self {
            Self::Mike => 0.0002,
            Self::BoreGauge | Self::Indicator => 0.0003,
            Self::TelescopingGauge | Self::DepthMike => 0.001,
            Self::Caliper => 0.002,
            Self::Rule => 0.010,
            Self::Ball => 0.0001,
            Self::Blocks => 0.000_05,
            Self::Blue => 0.0002,
        };
        inches * INCH
    }
}

/// How much of a result's error comes from one input.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Share {
    /// The input, as a person calls it.
    pub of: &'static str,
    /// Half the swing of the result that it makes, in the result's unit.
    pub half: f64,
}

/// A result with what the gauges leave open.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Found {
    /// SI.
    pub value: f64,
    /// Half-width, to first order.
    pub half: f64,
    /// Where the half-width comes from, the greatest first.
    pub shares: Vec<Share>,
}

impl Found {
    /// Whether the result is told apart from `other` by these gauges.
    pub fn differs_from(&self, other: f64) -> bool {
        (self.value - other).abs() > self.half
    }
}

/// Numbers that no cone could have given.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refusal {
    /// The input in question, as a person calls it.
    pub about: &'static str,
    /// What is wrong, without a full stop.
    pub message: String,
    /// What would be right.
    pub hint: String,
}

impl Refusal {
    fn new(about: &'static str, message: impl Into<String>, hint: impl Into<String>) -> Self {
        Self {
            about,
            message: message.into(),
            hint: hint.into(),
        }
    }
}

/// Refuses what is not a positive, finite length.
fn positive(about: &'static str, measured: Gauged) -> Result<(), Refusal> {
    if measured.value > 0.0 && measured.value.is_finite() && measured.half.is_finite() {
        Ok(())
    } else {
        Err(Refusal::new(
            about,
            format!("the {about} must be more than nothing"),
            "give it as measured, a positive number with its unit",
        ))
    }
}

/// Carries the inputs' errors through a law. The law is not asked outside its range: it answers
/// NaN there, and the gauges are then too coarse for the sum.
fn carried<const N: usize>(
    inputs: [(&'static str, Gauged); N],
    law: impl Fn([f64; N]) -> f64,
) -> Result<Found, Refusal> {
    let middle = inputs.map(|(_, measured)| measured.value);
    let value = law(middle);
    let mut shares = Vec::with_capacity(N);
    for (place, (of, measured)) in inputs.into_iter().enumerate() {
        if measured.half == 0.0 {
            continue;
        }
        let moved = |by: f64| {
            let mut at = middle;
            at[place] += by;
            law(at)
        };
        let half = (moved(measured.half) - moved(-measured.half)).abs() / 2.0;
        if !half.is_finite() {
            return Err(Refusal::new(
                of,
                format!("the error of the {of} is too large for this sum"),
                "measure it with a finer gauge, or further apart",
            ));
        }
        shares.push(Share { of, half });
    }
    shares.sort_by(|a, b| b.half.total_cmp(&a.half));
    let half = shares
        .iter()
        .fold(0.0, |sum: f64, one| hypot(sum, one.half));
    if !value.is_finite() {
        let (of, _) = inputs[0];
        return Err(Refusal::new(
            of,
            "no cone gives these numbers",
            "look for a figure or a unit in the wrong place",
        ));
    }
    Ok(Found {
        value,
        half,
        shares,
    })
}
