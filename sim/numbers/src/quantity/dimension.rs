//! What a quantity measures, and whose units it is told in.

use schemars::JsonSchema;
use serde::Serialize;

/// The units a person thinks in. Every answer is given in theirs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Units {
    /// Inches, thou, in/ft, lbf, psi.
    Inch,
    /// Millimetres, mm/m or 1:n, newtons, bar.
    Metric,
}

/// What a number measures: names the units a text may carry.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Dimension {
    /// m.
    Length,
    /// rad.
    Angle,
    /// Change of diameter over length.
    Taper,
    /// N.
    Force,
    /// N/m.
    Stiffness,
    /// Pa.
    Pressure,
    /// N/m, along a cutting edge.
    EdgeLoad,
    /// Pure number.
    Ratio,
}

/// Spindle speed, as turns or as speed at the cut.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub enum Speed {
    /// Turns per second.
    Turns(f64),
    /// Metres per second at the surface.
    Surface(f64),
}
