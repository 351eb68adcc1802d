//! A number as well as it is known: its range, how it is spread, and where it came from.

use schemars::JsonSchema;
use serde::Serialize;

use crate::quantity::{Dimension, Quantity, Units};

/// Where a number came from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Origin {
    /// The person gave it.
    Given,
    /// Nobody gave it: it is the default for a lathe in this condition, or for this material.
    Assumed,
}

/// How a number is spread over its range.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum SpreadShape {
    /// 95 in 100 lie from low to high, as many below the middle as above: what a `+-`, a range and
    /// every default mean.
    #[default]
    Mostly,
    /// Anything from low to high alike and nothing outside: a readout's step, a stop.
    Rectangular,
    /// Likeliest at the middle, nothing outside.
    Triangular,
    /// Swings as a sine from low to high.
    Arcsine,
    /// Alike from low to high, both of them known only within this much, in SI.
    Trapezoid {
        /// Either way.
        within: f64,
    },
    /// Positive and skewed: 95 in 100 lie from low to high, about their geometric mean.
    LogNormal,
    /// The mean of a few readings, 95 in 100 from low to high.
    Readings {
        /// How many.
        count: u32,
    },
}

/// A number as well as it is known: a middle to compute with and the range it may lie in.
///
/// A given number without a spread has `low = middle = high`.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Known<Q> {
    /// The value to compute with.
    pub middle: Q,
    /// The least it is likely to be.
    pub low: Q,
    /// The most it is likely to be.
    pub high: Q,
    /// How it is spread over that range.
    pub shape: SpreadShape,
    /// Where it came from.
    pub origin: Origin,
}

impl<Q: Quantity> Known<Q> {
    /// A number the person gave, exact as far as they said.
    pub fn given(middle: Q) -> Self {
        Self {
            middle,
            low: middle,
            high: middle,
            shape: SpreadShape::Mostly,
            origin: Origin::Given,
        }
    }

    /// A default with its range, all three in SI.
    pub fn assumed(low: f64, middle: f64, high: f64) -> Self {
        Self {
            middle: Q::from_si(middle),
            low: Q::from_si(low),
            high: Q::from_si(high),
            shape: SpreadShape::Mostly,
            origin: Origin::Assumed,
        }
    }

    /// The middle, in SI.
    pub fn si(&self) -> f64 {
        self.middle.si()
    }
}

/// A [`Known`] seen without its dimension, so that one loop can vary every number of a scenario.
pub trait Vary {
    /// Low, middle and high in SI.
    fn range_si(&self) -> [f64; 3];
    /// How it is spread over that range.
    fn shape(&self) -> SpreadShape;
    /// Whether it was assumed.
    fn origin(&self) -> Origin;
    /// Replaces the middle, in SI.
    fn set_si(&mut self, si: f64);
    /// Replaces low, middle and high, in SI.
    fn set_range_si(&mut self, range: [f64; 3]);
    /// What it measures.
    fn dimension(&self) -> Dimension;
    /// Such a number in shop notation, from SI, in the person's units.
    fn show_si(&self, si: f64, units: Units) -> String;
    /// Low, middle and high in shop notation, in the person's units.
    fn show(&self, units: Units) -> [String; 3] {
        self.range_si().map(|si| self.show_si(si, units))
    }
}

impl<Q: Quantity> Vary for Known<Q> {
    fn range_si(&self) -> [f64; 3] {
        [self.low.si(), self.middle.si(), self.high.si()]
    }
    fn shape(&self) -> SpreadShape {
        self.shape
    }
    fn origin(&self) -> Origin {
        self.origin
    }
    fn set_si(&mut self, si: f64) {
        self.middle = Q::from_si(si);
    }
    fn set_range_si(&mut self, range: [f64; 3]) {
        [self.low, self.middle, self.high] = range.map(Q::from_si);
        self.shape = SpreadShape::Mostly;
    }
    fn dimension(&self) -> Dimension {
        Q::DIMENSION
    }
    fn show_si(&self, si: f64, units: Units) -> String {
        Q::from_si(si).show(units)
    }
}
