//! What a way of cutting does to the lead: over the length, once a turn, and to the flanks.

use crate::quantity::INCH;
use std::f64::consts::TAU;

use schemars::JsonSchema;
use serde::Serialize;

use crate::arithmetic::{asin, clamp, cos, powi, sin, tan};
/// Share by which the pitch along the axis comes out short with the tailstock over: the carriage
/// goes on by a pitch along the bed, which is `cos(half angle)` of it along the work's own axis.
pub fn short_with_tailstock_over(half_angle: f64) -> f64 {
    // 1 - cos without its cancellation.
    2.0 * powi(sin(0.5 * half_angle), 2)
}

/// How far work between offset centres runs ahead of the spindle at most, rad, when a dog's tail
/// bears `offset` times its distance from the axis away from the centre's point.
///
/// There the work's axis stands `e = a tan(half angle)` off the spindle's, and the slot of the
/// driving plate turns a tail at the distance `R` by `asin(e / R sin(turn))` too far: once a turn.
/// Derived here.
pub fn bent_tail(offset: f64, half_angle: f64) -> f64 {
    asin(clamp(offset * tan(half_angle), -1.0, 1.0)).abs()
}

/// The same of a tail that bears in the plane of the centre's point: a Hooke's joint, twice a
/// turn, `sin d = (1 - cos b) / (1 + cos b)`. Closed form.
pub fn hooke(angle: f64) -> f64 {
    asin((1.0 - cos(angle)) / (1.0 + cos(angle)))
}

/// Slowest and fastest a Hooke's joint at this angle drives, over its mean.
pub fn hooke_speed(angle: f64) -> (f64, f64) {
    (cos(angle), 1.0 / cos(angle))
}

/// Axial error of a thread whose work is turned this much too far, m: `lead / 2 pi` a radian.
pub fn drunken(lead: f64, angle: f64) -> f64 {
    lead / TAU * angle
}

/// What comes of the lead.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct LeadFound {
    /// Lead along the axis over what it should be, less one: steady error over length.
    pub per_length: f64,
    /// The same over the whole thread, m.
    pub over_length: f64,
    /// How far the work runs ahead of the spindle and behind, once a turn, rad.
    pub dog: f64,
    /// The drunken thread that makes: axial error either way, m.
    pub drunken: f64,
    /// Largest error between two threads an inch apart, m.
    pub in_an_inch: f64,
    /// What the tolerance allows in an inch, m.
    pub allowed: Option<f64>,
    /// How much the flanks lean to one side when the tool is set square to the bed, rad.
    pub flanks_lean: f64,
}

impl LeadFound {
    /// The attachment's: the carriage leads along the spindle's axis, so that nothing is short.
    pub fn with_attachment(allowed: Option<f64>) -> Self {
        Self::new(0.0, 0.0, 0.0, 0.0, 0.0, allowed)
    }

    /// With the tailstock over by this half angle: `lead` and `length` in m, the dog's tail
    /// `offset` times its distance from the axis off the centre's point.
    pub fn with_tailstock_over(
        half_angle: f64,
        lead: f64,
        length: f64,
        offset: f64,
        allowed: Option<f64>,
    ) -> Self {
        let dog = bent_tail(offset, half_angle) + hooke(half_angle);
        Self::new(
            -short_with_tailstock_over(half_angle),
            lead,
            length,
            dog,
            half_angle,
            allowed,
        )
    }

    fn new(
        per_length: f64,
        lead: f64,
        length: f64,
        dog: f64,
        flanks_lean: f64,
        allowed: Option<f64>,
    ) -> Self {
        let drunken = drunken(lead, dog);
        Self {
            per_length,
            over_length: per_length * length,
            dog,
            drunken,
            in_an_inch: per_length.abs() * INCH + 2.0 * drunken,
            allowed: allowed.map(|per_length| per_length * INCH),
            flanks_lean,
        }
    }

    /// Whether it is within the tolerance, if there is one.
    pub fn within(&self) -> Option<bool> {
        self.allowed.map(|allowed| self.in_an_inch <= allowed)
    }
}
