//! The tailstock set over, or an offset centre in it: offset, direction, and what makes it wrong.
//!
//! Between centres the cone's side lies along the bed when one centre stands over by
//! `S = L sin(a)`, `L` between the centres' points, `a = atan(T / 2)` the half angle. The shop's
//! rule `S = L T / 2` (`L T / 24` in inches and inches per foot) takes the tangent for the sine.
//! A big end toward the headstock wants the tailstock toward a tool in front:
//! `X = -side L sin(atan slope)`. Outside work only. Left out: the centres' wear.

pub use super::way::Offset;
use super::way::{Obstacle, aimed_angle, outside, plain};
use crate::arithmetic::{asin, atan, clamp, cos, hypot, max, powi, sin, tan};
use crate::cut::aimed_taper;
use crate::machine::tool::off_centre_radius;
use crate::quantity::Quantity;
use crate::scenario::{End, Holding, Scenario, Toward};
use crate::setup::Setup;

impl Offset {
    pub(super) fn new(scenario: &Scenario, between: f64, has: Option<f64>) -> Self {
        let taper = aimed_taper(scenario);
        let angle = atan(taper / 2.0);
        Self {
            between,
            over: offset(between, taper),
            rule: by_rule(between, taper),
            toward: toward(&plain(scenario)),
            has,
            taper_per_offset: 2.0 / (between * powi(cos(angle), 3)),
            pitch_short: 1.0 - cos(angle),
        }
    }
}

/// Offset for a taper (on diameter), m: `L sin(atan(T / 2))`.
pub fn offset(between: f64, taper: f64) -> f64 {
    between * sin(atan(taper / 2.0))
}

/// Offset by the shop's rule, m: `L T / 2`.
pub fn by_rule(between: f64, taper: f64) -> f64 {
    between * taper / 2.0
}

/// Taper that an offset makes, on diameter: `2 tan(asin(S / L))`.
pub fn taper_of(between: f64, over: f64) -> f64 {
    2.0 * tan(asin(clamp(over / between, -1.0, 1.0)))
}

/// Which way the tailstock goes: `X = -side L sin(atan slope)`, positive toward the operator.
pub fn toward(setup: &Setup) -> Toward {
    if -setup.side.sign() * setup.slope_sign() > 0.0 {
        Toward::Operator
    } else {
        Toward::Away
    }
}

/// How much steeper than aimed the work stands, rad, when this was set.
pub(super) fn steeper(scenario: &Scenario, set: &Offset) -> f64 {
    let tailstock = &scenario.lathe.tailstock;
    let between = scenario
        .job
        .work
        .between_centres
        .map_or(set.between, |between| between.si());
    let toward = match set.toward {
        Toward::Operator => 1.0,
        Toward::Away => -1.0,
    };
    let over = set.over + toward * tailstock.setover_error.si();
    let real = between + tailstock.seating.si();
    asin(clamp(over / real, -1.0, 1.0)) - aimed_angle(scenario)
}

/// Radius less that of the cone, m, at the places `z` from the headstock-side end of the taper,
/// where the tailstock's centre stands `rise` higher than the headstock's and the tool `height`
/// above the headstock's centre: `r = sqrt(X^2 + h^2)` with `h = height - rise z / L`, a
/// hyperboloid, set right at the gauge plane. `from` is the taper's headstock-side end from the
/// headstock centre.
pub fn hyperboloid(
    radius: impl Fn(f64) -> f64,
    gauge_z: f64,
    [height, rise]: [f64; 2],
    [from, between]: [f64; 2],
    z: f64,
) -> f64 {
    let off = |z: f64| height - rise * (from + z) / between;
    let gauge = radius(gauge_z);
    let across = max(gauge * gauge - powi(off(gauge_z), 2), 0.0).sqrt();
    hypot(across + radius(z) - gauge, off(z)) - radius(z)
}

/// From the headstock centre to the taper, m: what is left of the length between the centres.
pub(super) fn from_centre(scenario: &Scenario, between: f64) -> f64 {
    let work = &scenario.job.work;
    match work.holding {
        Holding::Centres => work.from_jaws.si(),
        _ => max(between - work.length.si() - work.beyond.si(), 0.0),
    }
}

/// Error of the radius at `z`, m, that heights make: of tool and centres with `set`, of the tool
/// alone without.
pub(super) fn of_heights(scenario: &Scenario, set: Option<&Offset>, z: f64) -> f64 {
    let work = &scenario.job.work;
    let slope = aimed_taper(scenario) / 2.0;
    let (gauge_z, sign) = match work.big_end {
        End::Headstock => (work.gauge_plane.si(), -1.0),
        End::Tailstock => (work.length.si() - work.gauge_plane.si(), 1.0),
    };
    let radius = |z: f64| 0.5 * work.diameter.si() + sign * slope * (z - gauge_z);
    let height = scenario.job.tool.height.si();
    match set {
        Some(set) => hyperboloid(
            radius,
            gauge_z,
            [height, scenario.lathe.tailstock.centre_height.si()],
            [from_centre(scenario, set.between), set.between],
            z,
        ),
        None => off_centre_radius(radius(gauge_z), radius(z) - radius(gauge_z), height) - radius(z),
    }
}

/// Holding between centres, or why not.
pub(super) fn obstacles(scenario: &Scenario) -> Vec<Obstacle> {
    if !outside(scenario) {
        return vec![Obstacle::OutsideOnly];
    }
    if scenario.job.work.between_centres.is_none() {
        return vec![Obstacle::NeedsCentres];
    }
    Vec::new()
}
