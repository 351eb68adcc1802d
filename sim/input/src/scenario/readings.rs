//! What was read at the lathe: carriage and slide, the readout, and what the guide should give.

use schemars::JsonSchema;
use serde::Serialize;

use crate::quantity::{Angle, Length, Taper, Units};
use crate::scenario::job::Band;
use crate::setup::{End, Feed, Kind, Side};

/// What the numbers of the slide mean.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Reads {
    /// A readout that counts twice the slide's movement.
    Diameter,
    /// A readout that counts the slide's movement.
    Radius,
    /// An indicator on the slide, square to the spindle's axis.
    Indicator,
}

impl Reads {
    /// Slide movement for one unit of the reading.
    pub fn movement(self) -> f64 {
        match self {
            Self::Diameter => 0.5,
            Self::Radius | Self::Indicator => 1.0,
        }
    }
}

/// One reading, brought to slide movement.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Reading {
    /// Its row in the person's table, counted from 1.
    pub row: usize,
    /// Carriage, m, as read.
    pub carriage: f64,
    /// Slide, m of its movement, with the sign of the reading.
    pub slide: f64,
    /// The way the carriage was moving when it was read.
    pub feed: Feed,
}

/// A straight test cut with the guide let go: what the lathe turns by itself.
///
/// To be cut with the tool on the side on which the job is cut, as a spindle that is out has the
/// opposite effect on the far side.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct TestCut {
    /// Between the two places, along the axis.
    pub apart: Length,
    /// Diameter at the place nearer the headstock.
    pub at_headstock: Length,
    /// Diameter at the place nearer the tailstock.
    pub at_tailstock: Length,
    /// How far off each diameter may be, either way.
    pub gauge_error: Length,
}

impl TestCut {
    /// Change of diameter over length toward the tailstock.
    pub fn toward_tailstock(&self) -> f64 {
        use crate::quantity::Quantity;
        (self.at_tailstock.si() - self.at_headstock.si()) / self.apart.si()
    }
}

/// All that was read and what is wanted.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ReadingSet {
    /// What it is.
    pub name: String,
    /// The person's units.
    pub units: Units,
    /// Taper wanted, on diameter, positive.
    pub wanted: Taper,
    /// Its tolerance with signs, on diameter.
    pub tolerance: Option<Band<Taper>>,
    /// Outside or inside, where the person said so.
    pub kind: Option<Kind>,
    /// Which end of the work is big, where it is needed.
    pub big_end: Option<End>,
    /// The side the tool cuts on.
    pub side: Side,
    /// What the slide's numbers mean.
    pub reads: Reads,
    /// One step of the readout or one line of the indicator, m of slide movement.
    pub step: f64,
    /// One step of the carriage's reading, m.
    pub carriage_step: f64,
    /// Spread of repeated readings (standard deviation), m of slide movement, where it was
    /// measured.
    pub repeatability: Option<f64>,
    /// +1 where the carriage's numbers grow toward the tailstock, -1 toward the headstock.
    pub carriage_sign: f64,
    /// From the guide's pivot to the end that is nudged.
    pub end_radius: Option<Length>,
    /// The end of the guide that is nudged.
    pub nudged_end: End,
    /// Usable travel of the guide.
    pub travel: Option<Length>,
    /// What the attachment's degree scale was set to.
    pub scale: Option<Angle>,
    /// A straight test cut.
    pub test_cut: Option<TestCut>,
    /// The readings, in the order of the table, which is taken for the order of reading.
    pub readings: Vec<Reading>,
}

impl ReadingSet {
    /// +1 where the carriage's numbers grow in the reading's direction, else -1.
    pub fn way(&self, reading: &Reading) -> f64 {
        reading.feed.sign() * self.carriage_sign
    }
}
