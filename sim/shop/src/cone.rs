//! What one taper comes to at the lathe and on the bench: travel, readings, lengths, sine bars.
//!
//! All exact for a true cone of taper `T` on diameter, half angle `a = atan(T / 2)`.

use schemars::JsonSchema;
use serde::Serialize;

use crate::arithmetic::{hypot, sin};
use crate::quantity::{Length, Quantity, Taper};

/// What the readout shows for a run of the carriage along the guide.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct SlideReading {
    /// Run of the carriage.
    pub travel: Length,
    /// Change on a readout that counts diameter: `T travel`.
    pub on_diameter: Length,
    /// Change of the slide itself: half of that.
    pub per_side: Length,
}

/// Lost motion not counted: after run-in.
pub fn reading_over(taper: Taper, travel: Length) -> SlideReading {
    let on_diameter = taper.si() * travel.si();
    SlideReading {
        travel,
        on_diameter: Length::from_si(on_diameter),
        per_side: Length::from_si(on_diameter / 2.0),
    }
}

/// The run of the carriage for a change on a diameter readout; none for a straight piece.
pub fn travel_for(taper: Taper, on_diameter: Length) -> Option<Length> {
    let travel = on_diameter.si() / taper.si();
    travel.is_finite().then(|| Length::from_si(travel))
}

/// Length along the cone's side of a length along its axis: `axis / cos a`.
pub fn along_side(taper: Taper, axis: Length) -> Length {
    Length::from_si(axis.si() * hypot(taper.slope(), 1.0))
}

/// Length along the axis of a length along the cone's side: `side cos a`.
pub fn along_axis(taper: Taper, side: Length) -> Length {
    Length::from_si(side.si() / hypot(taper.slope(), 1.0))
}

/// Blocks under one roll of a sine bar.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct SineBar {
    /// Between the centres of its rolls.
    pub bar: Length,
    /// To stand at the angle of one side: `bar sin a`.
    pub half_angle: Length,
    /// To stand at the included angle: `bar sin 2a`; none past 90 deg.
    pub included: Option<Length>,
    /// The included angle is past 45 deg, where a bar is no longer to be trusted.
    pub steep: bool,
}

/// Blocks for a bar.
pub fn sine_bar(taper: Taper, bar: Length) -> SineBar {
    let half = taper.half_angle();
    let blocks = |angle: f64| Length::from_si(bar.si() * sin(angle));
    let included = 2.0 * half;
    SineBar {
        bar,
        half_angle: blocks(half),
        included: (included <= std::f64::consts::FRAC_PI_2).then(|| blocks(included)),
        steep: included > std::f64::consts::FRAC_PI_4,
    }
}

/// The other end of a taper: `diameter + T along`, `along` positive toward the big end.
pub fn diameter_along(taper: Taper, diameter: Length, along: Length) -> Length {
    Length::from_si(diameter.si() + taper.si() * along.si())
}
