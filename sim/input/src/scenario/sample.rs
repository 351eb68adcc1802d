//! A sample swept in the lathe: what an indicator on the slide read along a plug, socket or mating
//! part, to copy its taper.

use schemars::JsonSchema;
use serde::Serialize;

use crate::quantity::{Length, Taper, Units};
use crate::scenario::known::Known;
use crate::scenario::readings::Reading;
use crate::setup::{End, Kind, Side};

/// One sweep: the indicator's readings along the sample.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Sweep {
    /// In the order of the table; `slide` is what the indicator read, m, more as its plunger goes in.
    pub readings: Vec<Reading>,
    /// +1 where the carriage's numbers grow toward the tailstock.
    pub carriage_sign: f64,
}

/// All that was read along a sample.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct SampleSweep {
    /// What it is.
    pub name: String,
    /// The person's units.
    pub units: Units,
    /// The sample's taper is outside (a plug) or inside (a socket).
    pub kind: Kind,
    /// Which of its ends is big as it is held.
    pub big_end: End,
    /// Where the indicator touched.
    pub side: Side,
    /// One line of the indicator, m.
    pub step: f64,
    /// One step of the carriage's reading, m.
    pub carriage_step: f64,
    /// Spread of repeated readings (standard deviation), m, where it was measured.
    pub repeatability: Option<f64>,
    /// The guide was coupled: the slide followed it, and the readings are what it differs by.
    pub coupled: bool,
    /// As it was first held.
    pub swept: Sweep,
    /// The same with the spindle turned by half a turn.
    pub turned: Option<Sweep>,
    /// From the opposite side, the spindle as at first.
    pub behind: Option<Sweep>,
    /// How far it runs out over the length swept, total indicator reading, where it was neither
    /// turned nor swept from behind.
    pub run_out: Option<Length>,
    /// What a straight cut shows of the lathe: a spindle out of line with the bed.
    pub out_of_line: Known<Taper>,
    /// From the guide's pivot to the end that is nudged.
    pub end_radius: Option<Length>,
    /// The end of the guide that is nudged.
    pub nudged_end: End,
}
