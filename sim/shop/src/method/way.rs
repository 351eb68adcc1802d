//! A way of making a taper without the attachment, as plain values.

use crate::arithmetic::{atan, log2, max};
use crate::caution::Caution;
use crate::expect::{Expect, Middle};
use crate::feasibility::Reason;
use crate::quantity::{Length, Quantity, Units};
use crate::record::Outcome;
use crate::scenario::{End, Kind, Scenario, Toward};
use crate::sensitivity::{Likely, unsteady};
use crate::setup::{Face, Feed, Rotation, Setup, Side};
use crate::verdict::{Verdict, trouble};
use schemars::JsonSchema;
use serde::Serialize;

/// A way of making a taper without the attachment.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Method {
    /// Between centres, the tailstock set over.
    Tailstock,
    /// Between centres, an offset centre in the tailstock left where it is.
    OffsetCentre,
    /// The top slide set over and fed by hand.
    TopSlide,
    /// A taper reamer.
    Reamer,
    /// A tool ground to the taper, plunged.
    FormTool,
    /// Turned with stock left, then ground where it stands.
    Grinding,
    /// Turned, then lapped to its mate.
    Lapping,
    /// Along the guide in two set-ups, where the cone is longer than it.
    TwoSetUps,
}

/// What it takes to set up, and to put back.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Effort {
    /// A few steps.
    Few,
    /// Some.
    Some,
    /// Many.
    Many,
}

impl Effort {
    /// In plain words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Few => "few steps",
            Self::Some => "some steps",
            Self::Many => "many steps",
        }
    }
}

/// What to set.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Offset {
    /// Between the centres' points, m.
    pub between: f64,
    /// How far over, m, exact: `L sin(a)`.
    pub over: f64,
    /// By the shop's rule, m: `L T / 2`.
    pub rule: f64,
    /// Which way.
    pub toward: Toward,
    /// How far it goes, m, where that is known.
    pub has: Option<f64>,
    /// Change of the taper on diameter, a ratio, for a metre of offset: `2 / (L cos^3 a)`.
    pub taper_per_offset: f64,
    /// How much a thread's pitch along the axis comes out short, as a share: `1 - cos a`.
    pub pitch_short: f64,
}

/// How the angle is set.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum SetBy {
    /// By its degree marks.
    Marks,
    /// With an indicator along a master taper or a sine bar.
    Indicator,
}

/// What to set.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Swivel {
    /// From the line of the spindle, rad, per side.
    pub angle: f64,
    /// How.
    pub set_by: SetBy,
    /// What the degree marks leave open, as taper on diameter either way.
    pub by_marks: f64,
    /// What an indicator leaves open.
    pub by_indicator: f64,
    /// Travel needed, m.
    pub needs: f64,
    /// Travel there is, m.
    pub has: f64,
}

/// What to set, by method.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(tag = "set", rename_all = "snake_case")]
pub enum Setting {
    /// Tailstock or offset centre.
    Offset(Offset),
    /// Top slide.
    Swivel(Swivel),
    /// A reamer of this standard taper.
    Reamer {
        /// Its name.
        name: String,
        /// Its taper, on diameter.
        taper: f64,
    },
    /// A form tool.
    FormTool {
        /// Edge in the cut at once, m.
        edge: f64,
        /// Longest that can be plunged without chatter, m.
        most: f64,
    },
    /// A wheel on the slide.
    Grinding(Grinding),
    /// Compound between the piece and its mate.
    Lapping(Lapping),
    /// The guide, and then its clamp moved on.
    TwoSetUps(TwoSetUps),
}

/// What to leave for the wheel, and which wheel.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Grinding {
    /// Stock to leave, m per side: what cleans up, and what a turned taper at the end of its
    /// tolerance is off at one end.
    pub leave: f64,
    /// Of it, what the turned taper may be off, m per side.
    pub for_taper: f64,
    /// Depth of a pass, m per side, and of the last ones.
    pub passes: [f64; 2],
    /// Biggest wheel in a bore, m on diameter; none outside.
    pub wheel: Option<f64>,
    /// Fastest for that wheel, or for one of 4 in outside, turns a second.
    pub turns: f64,
    /// The wheel's diameter that this is for, m.
    pub turns_of: f64,
}

/// What to leave for the lap.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Lapping {
    /// Stock to leave, m per side.
    pub leave: f64,
    /// Of it, what the turned taper may be off, m per side.
    pub for_taper: f64,
    /// What goes further onto its mate as it comes off, m along the axis.
    pub seats_in: f64,
}

/// Where the cone is parted and how it is picked up again. Lengths along the axis, m.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct TwoSetUps {
    /// Where the first section begins.
    pub from: End,
    /// Length of the section cut first ...
    pub first: f64,
    /// ... and of the other.
    pub second: f64,
    /// The joint, from the headstock-side end of the taper.
    pub joint: f64,
    /// Carriage travel lost on reversal.
    pub lost: f64,
    /// Start before the first section; none where the slide is seated by hand.
    pub start: Option<f64>,
    /// How far the bed clamp goes on, with the feed.
    pub clamp_moves: f64,
    /// How far the dial goes for it, per side, positive into the cut.
    pub dial: f64,
    /// Whether that is the cross dial; otherwise the top slide's.
    pub on_cross_dial: bool,
    /// How much of the finished section the indicator is carried along, at most.
    pub swept: f64,
    /// What the indicator leaves open per side, 95 of 100.
    pub indicated: f64,
    /// How much further than the indicator reads over the joint the dial goes for the last pass,
    /// per side: the last pass springs off more than the one before.
    pub further: f64,
}

/// What the joint comes to on many lathes.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Joint {
    /// Step there, m per side, positive where the second section is cut deeper.
    pub step: Middle,
    /// Taper of the second section less that of the first, on diameter.
    pub angle: Middle,
}

/// Why a method is out.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(tag = "reason", rename_all = "snake_case")]
pub enum Obstacle {
    /// Inside work can't be held so.
    OutsideOnly,
    /// The piece isn't held between centres, nor said to have room for them.
    NeedsCentres,
    /// The centre would have to go over too far.
    OverTooFar {
        /// Offset needed, m.
        needs: f64,
        /// Offset there is, m.
        has: f64,
    },
    /// The cone's side is longer than the top slide's travel.
    TravelTooShort {
        /// Travel needed, m.
        needs: f64,
        /// Travel, m.
        has: f64,
    },
    /// A hand feed can't follow a thread.
    NoThread,
    /// Outside work isn't reamed.
    InsideOnly,
    /// No standard reamer has this taper.
    NotStandard,
    /// Too big to ream.
    TooBig {
        /// Diameter at the big end, m.
        needs: f64,
        /// Biggest, m.
        most: f64,
    },
    /// No wheel on a quill goes into so small a bore.
    TooSmall {
        /// Diameter at the small end, m.
        needs: f64,
        /// Smallest, m.
        least: f64,
    },
    /// Lapping doesn't mend what the tolerance leaves.
    TooMuchToLap {
        /// What may have to come off, m per side.
        needs: f64,
        /// What lapping takes, m per side.
        most: f64,
    },
    /// One set-up of the guide is enough.
    OneIsEnough,
    /// A thread can't be picked up in a second set-up.
    NotPickedUp,
    /// Two set-ups of the guide aren't enough.
    TooLongForTwo {
        /// Length of the taper, m.
        needs: f64,
        /// Longest that two set-ups reach with enough of the first to carry an indicator along, m.
        has: f64,
    },
    /// What stands in the way of a cut along the guide.
    Guided {
        /// What.
        because: Reason,
    },
    /// What can hurt forbids every way along the guide.
    NeverSo,
    /// Too much edge in the cut at once.
    TooLong {
        /// Edge needed, m.
        needs: f64,
        /// Longest, m.
        most: f64,
    },
}

impl Obstacle {
    /// In the shop's words.
    pub fn words(&self, units: Units) -> String {
        let length = |m: f64| Length::from_si(m).show(units);
        match *self {
            Self::OutsideOnly => "outside work only".to_owned(),
            Self::NeedsCentres => {
                "the piece has to run between centres: between_centres in the job says how long, \
                 if it can"
                    .to_owned()
            }
            Self::OverTooFar { needs, has } => {
                format!("needs {} over, there are {}", length(needs), length(has))
            }
            Self::TravelTooShort { needs, has } => format!(
                "needs {} of top slide travel, there are {}",
                length(needs),
                length(has)
            ),
            Self::NoThread => "no thread: the feed by hand can't follow one".to_owned(),
            Self::InsideOnly => "inside work only".to_owned(),
            Self::NotStandard => "no standard reamer has this taper".to_owned(),
            Self::TooBig { needs, most } => format!(
                "{} at the big end, and above {} a reamer is more trouble than it saves",
                length(needs),
                length(most)
            ),
            Self::TooSmall { needs, least } => format!(
                "{} at the small end, and below {} no wheel goes in",
                length(needs),
                length(least)
            ),
            Self::TooMuchToLap { needs, most } => format!(
                "at the end of its tolerance {} per side would have to come off at one end, and \
                 lapping takes {}: turn or grind it closer first",
                length(needs),
                length(most)
            ),
            Self::OneIsEnough => "the guide is long enough for one set-up".to_owned(),
            Self::NotPickedUp => {
                "no thread: it can't be picked up where the guide is set on".to_owned()
            }
            Self::TooLongForTwo { needs, has } => format!(
                "{} long, and two set-ups reach {}",
                length(needs),
                length(has)
            ),
            Self::Guided { because } => because.words(units),
            Self::NeverSo => "the preload forbids it".to_owned(),
            Self::TooLong { needs, .. } => {
                format!("{} of edge in the cut at once chatters", length(needs))
            }
        }
    }
}

/// One method, with what comes of it.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct MethodWay {
    /// The method.
    pub method: Method,
    /// How the tool meets the work.
    pub setup: Setup,
    /// What to set; none where the method makes no sense for this piece.
    pub setting: Option<Setting>,
    /// What it takes to set up and to put back.
    pub effort: Effort,
    /// Why it is out; empty if it can be done.
    pub out: Vec<Obstacle>,
    /// What can hurt.
    pub cautions: Vec<Caution>,
    /// What gauges would read, if it was simulated: the finishing passes, from an even stock.
    pub outcome: Option<Outcome>,
    /// Against the drawing, if it was simulated.
    pub verdict: Option<Verdict>,
    /// How sure that is, each uncertain number moved to both ends of its range.
    pub likely: Option<Likely>,
    /// Whether the whole likely range of its taper is within the tolerance.
    pub sure: bool,
    /// What to expect of it on many lathes, where that was asked for.
    pub expect: Option<Expect>,
    /// What the joint of two set-ups comes to then.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub joint: Option<Joint>,
}

impl MethodWay {
    /// Whether it can be done and is expected to meet the drawing.
    pub fn met(&self) -> bool {
        self.out.is_empty() && self.verdict.is_some_and(|verdict| verdict.met())
    }

    /// Order of the methods: can be done, was simulated, meets the drawing, surely so, leaves
    /// little wrong, keeps its seat, little to set up.
    pub(super) fn rank(&self) -> (bool, bool, bool, bool, i32, bool, Effort) {
        let wrong = self.outcome.as_ref().map_or(1.0, |o| trouble(o));
        let steps = log2(max(wrong, crate::verdict::NOT_SEEN) / crate::verdict::NOT_SEEN);
        (
            !self.out.is_empty(),
            self.outcome.is_none(),
            !self.met(),
            !self.sure,
            (0.5 * steps).floor() as i32,
            self.outcome.as_ref().is_some_and(|o| unsteady(o)),
            self.effort,
        )
    }
}

/// The plain setup that methods are worked in: front, face up, forward, toward the headstock.
pub(super) fn plain(scenario: &Scenario) -> Setup {
    Setup {
        kind: scenario.job.work.kind,
        big_end: scenario.job.work.big_end,
        side: Side::Front,
        feed: Feed::Headstock,
        rotation: Rotation::Forward,
        face: Face::Up,
    }
}

/// Half angle of the taper that is aimed at, rad.
pub(super) fn aimed_angle(scenario: &Scenario) -> f64 {
    atan(crate::cut::aimed_taper(scenario) / 2.0)
}

/// A method that isn't run: out, or only named.
pub(super) fn told(
    scenario: &Scenario,
    method: Method,
    setting: Option<Setting>,
    effort: Effort,
    out: Vec<Obstacle>,
    cautions: Vec<Caution>,
) -> MethodWay {
    MethodWay {
        method,
        setup: plain(scenario),
        setting,
        effort,
        out,
        cautions,
        outcome: None,
        verdict: None,
        likely: None,
        sure: false,
        expect: None,
        joint: None,
    }
}

/// Whether the whole likely range of the taper is within the tolerance.
pub(super) fn is_sure(scenario: &Scenario, outcome: &Outcome, likely: &Likely) -> bool {
    let work = &scenario.job.work;
    let off = outcome.taper - work.taper.si();
    off - likely.taper >= work.tolerance.lower.si()
        && off + likely.taper <= work.tolerance.upper.si()
}

/// Whether the piece is turned on the outside.
pub(super) fn outside(scenario: &Scenario) -> bool {
    scenario.job.work.kind == Kind::Outside
}
