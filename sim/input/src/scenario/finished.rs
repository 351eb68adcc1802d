//! A finished piece as it was gauged.

use schemars::JsonSchema;
use serde::Serialize;

use super::Scenario;
use crate::arithmetic::hypot;
use crate::quantity::{Quantity, Units};
use crate::setup::{End, Feed, Kind, Rotation, Setup, Side};
use crate::spread::Line;

/// Something gauged.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Measured {
    /// What the gauge said, SI.
    pub value: f64,
    /// How far it may be off, 95 times in 100, SI.
    pub off: f64,
}

/// A pass of the same job fed the other way, from the same side.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct OtherCut {
    /// What was set, m per side; the job's own last pass where it wasn't told.
    pub set: Option<f64>,
    /// What it took, m per side.
    pub taken: Measured,
}

/// What a finished job gave.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Gauged {
    /// The person's units.
    pub units: Units,
    /// The side it was cut from, if told.
    pub side: Option<Side>,
    /// The feed it was cut with.
    pub feed: Feed,
    /// The rotation, if told.
    pub rotation: Option<Rotation>,
    /// What the last pass took, m per side.
    pub taken: Option<Measured>,
    /// Taper, ratio on diameter.
    pub taper: Option<Measured>,
    /// Waves, peak to valley per side, m.
    pub waves: Option<Measured>,
    /// What a pass fed the other way took.
    pub other: Option<OtherCut>,
}

impl Gauged {
    /// The way it was cut: front and forward unless it says otherwise; `None` if no such tool
    /// cuts.
    pub fn way(&self, scenario: &Scenario) -> Option<Setup> {
        let work = &scenario.job.work;
        Setup::all(work.kind, work.big_end)
            .into_iter()
            .filter(|setup| {
                setup.cuts()
                    && setup.feed == self.feed
                    && self.side.is_none_or(|side| setup.side == side)
                    && self.rotation.is_none_or(|turns| setup.rotation == turns)
            })
            .min_by_key(|setup| {
                (
                    setup.side != Side::Front,
                    setup.rotation != Rotation::Forward,
                )
            })
    }
}

/// A finished piece.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Piece {
    /// The job file it was cut to, if the piece's file names it.
    pub job: Option<String>,
    /// How it was cut; what was taken, taper and waves.
    pub gauged: Gauged,
    /// Carriage travel before the taper that the feed started from, m; `None` for what the sheet
    /// says.
    pub started: Option<f64>,
    /// Diameters: distance from the big end and reading, m.
    pub diameters: Vec<(f64, f64)>,
    /// How far each of them may be off, 95 times in 100, m.
    pub diameter_off: f64,
    /// From one wave to the next, m.
    pub spacing: Option<Measured>,
    /// Length at the start that is parallel to the axis, m.
    pub straight: Option<Measured>,
    /// A step, m per side.
    pub step: Option<Measured>,
    /// Out of round, peak to valley on radius, m.
    pub roundness: Option<Measured>,
    /// Taper on diameter at which carriage and slide readings proved the guide.
    pub guide: Option<Measured>,
}

/// A straight line through the diameters.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Fit {
    /// Taper on diameter.
    pub taper: Measured,
    /// Diameter at the gauge plane, m.
    pub diameter: Measured,
}

impl Piece {
    /// The straight line through the diameters, by least squares; `None` with fewer than two.
    pub fn fit(&self, scenario: &Scenario) -> Option<Fit> {
        let n = self.diameters.len();
        let line = Line::through(&self.diameters)?;
        let at = scenario.job.work.gauge_plane.si();
        let spread = self.diameter_off / line.squares.sqrt();
        Some(Fit {
            taper: Measured {
                value: -line.slope,
                off: spread,
            },
            diameter: Measured {
                value: line.at(at),
                off: hypot(
                    self.diameter_off / (n as f64).sqrt(),
                    spread * (at - line.middle),
                ),
            },
        })
    }

    /// What was gauged for `lathe learn`: the taper of the diameters where none was given.
    pub fn gauged(&self, scenario: &Scenario) -> Gauged {
        Gauged {
            taper: self
                .gauged
                .taper
                .or_else(|| self.fit(scenario).map(|fit| fit.taper)),
            ..self.gauged
        }
    }

    /// Where the diameters were taken, m from the headstock-side end of the taper.
    pub fn places(&self, scenario: &Scenario) -> Vec<f64> {
        let work = &scenario.job.work;
        let place = |&(from_big, _): &(f64, f64)| match work.big_end {
            End::Headstock => from_big,
            End::Tailstock => work.length.si() - from_big,
        };
        self.diameters.iter().map(place).collect()
    }

    /// Heights of the surface over the cone aimed at where the diameters were taken, m into the
    /// work; only their differences count.
    pub fn heights(&self, scenario: &Scenario, aim: f64) -> Vec<f64> {
        let inward = match scenario.job.work.kind {
            Kind::Inside => 1.0,
            Kind::Outside => -1.0,
        };
        self.diameters
            .iter()
            .map(|&(from_big, diameter)| 0.5 * inward * (diameter + aim * from_big))
            .collect()
    }
}
