//! What was found of a thread, as plain values: figures and words read these.
//!
//! Lengths in m, forces in N, areas in m2. Depths count along n from the cone over the crests.

use schemars::JsonSchema;
use serde::Serialize;

use super::labour::Labour;
use super::lead::LeadFound;
use super::pick_up::PickUp;
use super::reason::ThreadReason;
use crate::arithmetic::{max, min};
use crate::caution::Caution;
use crate::compare::Start;
use crate::record::Seat;
use crate::scenario::groove::Profile;
use crate::setup::{Pull, Setup};
use crate::threading::{Method, ThreadPass};

/// What gauges would read of the thread.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ThreadOutcome {
    /// Depth at the gauge plane.
    pub depth: f64,
    /// That less the depth wanted; positive: too deep.
    pub depth_error: f64,
    /// Pitch diameter less what it should be, on diameter.
    pub pitch_diameter_error: f64,
    /// How far a gauge goes on beyond its place, along the axis; negative: it stands off.
    pub goes_on: f64,
    /// Taper of the thread, on diameter.
    pub taper: f64,
    /// That less the nominal.
    pub taper_error: f64,
    /// Most less least of the depth along the thread, off that taper.
    pub along: f64,
    /// Most less least of the depth round a turn.
    pub out_of_round: f64,
    /// Flat left on the crests.
    pub crest_flat: f64,
    /// Seat of the last pass that was set.
    pub seat: Seat,
    /// Least force that holds the slide to one face in that pass; 0 when it doesn't.
    pub seat_margin: f64,
    /// Whether all passes sat alike, each from end to end.
    pub steady: bool,
    /// The lead.
    pub lead: LeadFound,
}

/// Where a thread runs out in stock of its own diameter.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct RunOut {
    /// Along the axis from the big end to where crests are full.
    pub length: f64,
    /// In threads.
    pub threads: f64,
    /// Flat crests that its standard counts as usable, and threads over which it vanishes behind.
    pub standard: Option<(f64, f64)>,
}

/// Against the drawing; `None` where it asks nothing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct ThreadVerdict {
    /// The depth is there after gauging.
    pub depth: bool,
    /// Lead.
    pub lead: Option<bool>,
    /// Taper.
    pub taper: bool,
    /// Pitch diameter, by the job's tolerance of size.
    pub size: Option<bool>,
}

impl ThreadVerdict {
    /// Whether all that is asked for is met.
    pub fn met(&self) -> bool {
        self.depth && self.taper && self.lead != Some(false) && self.size != Some(false)
    }
}

/// A thread cut one way.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ThreadRun {
    /// Every pass as planned.
    pub passes: Vec<ThreadPass>,
    /// The last pass that was set, counted from 0.
    pub last_set: usize,
    /// Passes more, after gauging, until the depth is there.
    pub by_gauge: Vec<ThreadPass>,
    /// What the planned passes leave, by the dial alone.
    pub by_dial: ThreadOutcome,
    /// What comes out after gauging.
    pub outcome: ThreadOutcome,
    /// Against the drawing.
    pub verdict: ThreadVerdict,
}

impl ThreadRun {
    /// Push-off and drag over the passes that are set, least and most of each, N.
    pub fn forces(&self) -> [(f64, f64); 2] {
        let none = (f64::INFINITY, f64::NEG_INFINITY);
        let set = self.passes.iter().filter(|pass| !pass.spring);
        set.fold([none; 2], |[push_off, drag], pass| {
            let wider = |(low, high), (least, most)| (min(low, least), max(high, most));
            [wider(push_off, pass.push_off), wider(drag, pass.drag)]
        })
    }
}

/// What puts a way behind the first: the first of these, in this order, in which it is the worse.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Behind {
    /// It may never be advised.
    Danger,
    /// It doesn't meet the drawing.
    Drawing,
    /// The slide has to be seated by hand before each pass, or the depth felt for by the gauge.
    Handwork,
    /// It takes twice as long or more.
    Time,
    /// It upsets the tailstock.
    Tailstock,
    /// It keeps its depth less well.
    Depth,
    /// It changes its seat or floats.
    Seat,
    /// As good, less plain: rear before front, reverse before forward and the like.
    Plainness,
}

/// One way to cut it.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ThreadWay {
    /// With the attachment or the tailstock over.
    pub method: Method,
    /// Side, feed, rotation.
    pub setup: Setup,
    /// Pulled in or drawn away; neither where no guide moves the slide.
    pub pull: Pull,
    /// Run-in, for the attachment.
    pub start: Option<Start>,
    /// The tailstock set over, positive toward the operator, where that is the way.
    pub set_over: Option<f64>,
    /// Why it is out.
    pub out: Vec<ThreadReason>,
    /// What can hurt.
    pub cautions: Vec<Caution>,
    /// Never to be advised.
    pub forbidden: bool,
    /// Its groove.
    pub profile: Profile,
    /// What it asks of the hand, if it can be cut.
    pub labour: Option<Labour>,
    /// What puts it behind the first, if that may be advised and this one can be cut.
    pub behind: Option<Behind>,
    /// What comes of it, if it can be cut.
    pub run: Option<ThreadRun>,
}

/// All ways of a thread, best first.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Threading {
    /// The ways of the right hand.
    pub ways: Vec<ThreadWay>,
    /// Setups whose tool would cut, that make a thread of the other hand.
    pub other_hand: Vec<Setup>,
    /// Where the half-nut may be closed.
    pub pick_up: PickUp,
    /// How it runs out in stock of its own diameter; none where every crest is full.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub run_out: Option<RunOut>,
    /// Seed of the work's unevenness.
    pub seed: u64,
    /// Version of the program.
    pub version: &'static str,
}

impl Threading {
    /// The way to take.
    pub fn best(&self) -> Option<&ThreadWay> {
        self.ways
            .first()
            .filter(|way| way.out.is_empty() && !way.forbidden && way.run.is_some())
    }
}
