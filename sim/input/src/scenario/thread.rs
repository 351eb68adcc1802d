//! The thread of a job: its form, lead, infeed, passes and ends, and the lead screw that cuts it.

use schemars::JsonSchema;
use serde::Serialize;

use super::known::Known;
use crate::quantity::{Angle, INCH, Length, Quantity, Ratio};
use crate::setup::{End, Hand};

/// A thread on the job's cone.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Thread {
    /// Which way it turns.
    pub hand: Hand,
    /// How it is cut. None where the job says only the hand: then its passes are the thread's, as
    /// far as the taper goes.
    pub cut: Option<ThreadCut>,
}

/// How a thread is cut. It runs along the whole of the job's taper, whose `diameter` is that of
/// the cone before threading, over the crests.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ThreadCut {
    /// Its profile.
    pub form: ThreadForm,
    /// Lead; one start.
    pub lead: Lead,
    /// Depth square to the axis, if it was given in place of the form's.
    pub depth: Option<Length>,
    /// How far the lead may be off, for a length of thread.
    pub lead_tolerance: Option<LeadTolerance>,
    /// How the tool goes in.
    pub infeed: Infeed,
    /// The passes.
    pub plan: PassPlan,
    /// Passes at the end with the dial left alone.
    pub spring: u32,
    /// What the thread meets toward the headstock.
    pub headstock_end: ThreadEnd,
    /// What it meets toward the tailstock.
    pub tailstock_end: ThreadEnd,
    /// How the chips of the two flanks hinder each other: forces over those of the flanks apart,
    /// when both cut alike.
    pub crowding: Known<Ratio>,
    /// Between centres: from the headstock centre's point to where the dog's tail bears, along the
    /// axis, over the distance of that place from the axis.
    pub dog_offset: Known<Ratio>,
}

impl ThreadCut {
    /// What the thread meets at an end.
    pub fn end(&self, end: End) -> ThreadEnd {
        match end {
            End::Headstock => self.headstock_end,
            End::Tailstock => self.tailstock_end,
        }
    }
}

/// A thread's profile. Flanks are told by the end of the cone that they face.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ThreadForm {
    /// What the trade calls it.
    pub name: String,
    /// Flank that faces the small end, from square to the axis.
    pub small_end_flank: Angle,
    /// Flank that faces the big end.
    pub big_end_flank: Angle,
    /// Flat left on the crest, along the axis.
    pub crest_flat: Length,
    /// Bottom of the groove.
    pub root: Root,
    /// Whether the finished crest is to be rounded.
    pub round_crest: bool,
    /// Where the numbers come from; none where they are the person's own.
    pub source: Option<&'static str>,
    /// They were set down from memory: look them up before relying on them.
    pub from_memory: bool,
}

/// Bottom of a thread's groove, which is the tip of its tool.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Root {
    /// Flat, this wide along the axis.
    Flat(Length),
    /// Round, of this radius.
    Round(Length),
}

/// Lead as it was given: whether a thread dial can pick it up hangs on the exact number.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Lead {
    /// Threads per inch.
    PerInch(f64),
    /// Pitch.
    Pitch(Length),
}

impl Lead {
    /// As a length, m.
    pub fn si(self) -> f64 {
        match self {
            Self::PerInch(threads) => INCH / threads,
            Self::Pitch(pitch) => pitch.si(),
        }
    }
}

/// How far a lead may be off.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct LeadTolerance {
    /// Error over length, either way.
    pub per_length: f64,
    /// Who says so, where it wasn't the person.
    pub source: Option<&'static str>,
}

/// How the tool goes in.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Infeed {
    /// Square to the axis: both flanks cut alike.
    Square,
    /// Along this angle from square to the axis, toward the feed: the leading flank cuts most.
    Flank(Angle),
}

impl Infeed {
    /// From square to the axis, rad.
    pub fn angle(self) -> f64 {
        match self {
            Self::Square => 0.0,
            Self::Flank(angle) => angle.si(),
        }
    }
}

/// The passes of a thread.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum PassPlan {
    /// Every pass takes the same area of chip; so many of them, or as many as a light first pass
    /// asks for.
    ConstantArea(Option<u32>),
    /// Each pass by its depth, square to the axis.
    Depths(Vec<Length>),
}

/// What a thread meets at an end.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum ThreadEnd {
    /// Open: the tool comes clear past the end.
    Open,
    /// A groove to start or to stop in.
    Groove,
    /// Neither: the tool is drawn back there at the end of a pass. Nothing can start there.
    RunsOut,
}

/// The lead screw and the thread dial on the apron.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct LeadScrew {
    /// Lead.
    pub lead: Lead,
    /// Lines of the thread dial.
    pub dial_lines: u32,
    /// Carriage travel for a whole turn of the dial, spindle stopped.
    pub dial_turn: Length,
    /// Nobody gave it: the usual one.
    pub assumed: bool,
}

impl LeadScrew {
    /// The usual one of an inch lathe: 8 threads per inch, a dial of eight lines that turns once
    /// in 4 in (common practice, no source).
    pub fn usual() -> Self {
        Self {
            lead: Lead::PerInch(8.0),
            dial_lines: 8,
            dial_turn: Length::from_si(4.0 * INCH),
            assumed: true,
        }
    }
}

/// A form of an open standard, with what it fixes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct StandardForm {
    /// Its name.
    pub name: &'static str,
    /// Flanks, degrees from square to the axis.
    pub flank: f64,
    /// Threads per inch, where it fixes them.
    pub threads: Option<f64>,
    /// Tapers on diameter in in/ft that it is made with; none where it fixes none.
    pub tapers: &'static [f64],
    /// Crest flat, in inches where the threads are fixed, else over the pitch.
    pub crest_flat: f64,
    /// Root flat, alike.
    pub root_flat: f64,
    /// Root radius, alike; 0 for a flat.
    pub root_radius: f64,
    /// Tolerance of the lead, and who says so.
    pub lead_tolerance: Option<(f64, &'static str)>,
    /// Source.
    pub source: &'static str,
}

const PIPE: &str = "ASME B1.20.1, from memory";
const ROTARY: &str = "API Spec 7-2, from memory";
/// The tolerance of lead was read, the forms are from memory.
const ROTARY_LEAD: Option<(f64, &str)> = Some((0.0015, "API Spec 7-2"));

const fn rotary(
    name: &'static str,
    threads: f64,
    tapers: &'static [f64],
    crest_flat: f64,
    root_flat: f64,
    root_radius: f64,
) -> StandardForm {
    StandardForm {
        name,
        flank: 30.0,
        threads: Some(threads),
        tapers,
        crest_flat,
        root_flat,
        root_radius,
        lead_tolerance: ROTARY_LEAD,
        source: ROTARY,
    }
}

/// 60 degrees, crest and root cut off by 0.033 of the pitch each: a flat of 0.033 P times
/// 2 tan 30 deg.
pub(crate) const TAPER_PIPE: StandardForm = StandardForm {
    name: "taper pipe",
    flank: 30.0,
    threads: None,
    tapers: &[0.75],
    crest_flat: 0.033 * 1.154_700_538_379_251_5,
    root_flat: 0.033 * 1.154_700_538_379_251_5,
    root_radius: 0.0,
    lead_tolerance: Some((0.003, PIPE)),
    source: PIPE,
};
/// 55 degrees, a sixth of the triangle off the crest, root round with 0.137329 of the pitch.
pub(crate) const ROUNDED_55: StandardForm = StandardForm {
    name: "55 degree rounded",
    flank: 27.5,
    threads: None,
    tapers: &[],
    crest_flat: 1.0 / 6.0,
    root_flat: 0.0,
    root_radius: 0.137_329,
    lead_tolerance: None,
    source: "ISO 7-1 and ISO 228-1, from memory",
};
/// 60 degrees with an eighth of the pitch flat at crest and root.
pub(crate) const SIXTY: StandardForm = StandardForm {
    name: "60 degree",
    flank: 30.0,
    threads: None,
    tapers: &[],
    crest_flat: 0.125,
    root_flat: 0.125,
    root_radius: 0.0,
    lead_tolerance: None,
    source: "an eighth of the pitch flat at crest and root: common practice, no source",
};
/// Rotary shouldered forms: 60 degrees, crests well cut off.
pub(crate) const ROTARY_FORMS: [StandardForm; 5] = [
    rotary("V-0.038R", 4.0, &[2.0, 3.0], 0.065, 0.0, 0.038),
    rotary("V-0.040", 5.0, &[3.0], 0.040, 0.0, 0.020),
    rotary("V-0.050", 4.0, &[2.0, 3.0], 0.050, 0.0, 0.025),
    rotary("V-0.055", 6.0, &[1.5], 0.055, 0.047, 0.0),
    rotary("V-0.065", 4.0, &[2.0], 0.065, 0.056, 0.0),
];
