//! The ways of making the taper that need no taper attachment, each with its setting and limits.
//!
//! With the tailstock over, and with the top slide set over, the tool runs along the cone's side,
//! so the cross-slide stands still: no motion is lost. Such a cut is simulated as a straight one
//! on the same piece ([`side`]), by the same engine, surface and gauges as with the attachment.
//! An offset centre is the tailstock's sums again; reamer and form tool are named where they fit.

mod hand_feed;
mod named;
pub mod tailstock;
pub mod top_slide;
pub mod side;
mod swings;
mod trials;

use serde::Serialize;

use crate::arithmetic::{atan, log2, max};
use crate::caution::Caution;
use crate::cut::Options;
use crate::mattered::{Likely, unsteady};
use crate::parallel::*;
use crate::quantity::{Length, Quantity, Units};
use crate::record::Outcome;
use crate::scenario::{Kind, Scenario};
use crate::setup::{Face, Feed, Rotation, Setup, Side};
use crate::verdict::{Verdict, judge, trouble};

pub use trials::{MethodOutlook, MethodTrials};

/// A way of making a taper without the attachment.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
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
}

/// What it takes to set up, and to put back.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
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

/// What to set, by method.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(tag = "set", rename_all = "snake_case")]
pub enum Setting {
    /// Tailstock or offset centre.
    Offset(tailstock::Offset),
    /// Top slide.
    Swivel(top_slide::Swivel),
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
}

/// Why a method is out.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
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
            Self::TooLong { needs, .. } => {
                format!("{} of edge in the cut at once chatters", length(needs))
            }
        }
    }
}

/// One method, with what comes of it.
#[derive(Clone, Debug, PartialEq, Serialize)]
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
}

impl MethodWay {
    /// Whether it can be done and is expected to meet the drawing.
    pub fn met(&self) -> bool {
        self.out.is_empty() && self.verdict.is_some_and(|verdict| verdict.met())
    }

    /// Order of the methods: can be done, was simulated, meets the drawing, surely so, leaves
    /// little wrong, keeps its seat, little to set up.
    fn rank(&self) -> (bool, bool, bool, bool, i32, bool, Effort) {
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

impl Method {
    /// Every method.
    pub const ALL: [Self; 5] = [
        Self::Tailstock,
        Self::OffsetCentre,
        Self::TopSlide,
        Self::Reamer,
        Self::FormTool,
    ];

    /// What comes of it on one job and lathe.
    pub fn way(self, scenario: &Scenario, options: Options) -> MethodWay {
        match self {
            Self::Tailstock => tailstock::way(scenario, options),
            Self::OffsetCentre => tailstock::offset_centre(scenario),
            Self::TopSlide => top_slide::way(scenario, options),
            Self::Reamer => named::reamer(scenario),
            Self::FormTool => named::form_tool(scenario),
        }
    }
}

/// Every method on one job and lathe, best first, those that are out at the end.
pub fn methods(scenario: &Scenario, options: Options) -> Vec<MethodWay> {
    let all = Method::ALL.par_iter();
    ranked(all.map(|method| method.way(scenario, options)).collect())
}

/// All methods, in the order of [`Method::ALL`]: best first.
fn ranked(mut all: Vec<MethodWay>) -> Vec<MethodWay> {
    all.sort_by_key(|way| way.rank());
    all
}

/// The plain setup that methods are worked in: front, face up, forward, toward the headstock.
fn plain(scenario: &Scenario) -> Setup {
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
fn aimed_angle(scenario: &Scenario) -> f64 {
    atan(crate::cut::aimed_taper(scenario) / 2.0)
}

/// A simulated method, told.
fn simulated(
    scenario: &Scenario,
    method: Method,
    setting: Setting,
    effort: Effort,
    cautions: Vec<Caution>,
    options: Options,
) -> MethodWay {
    let setup = plain(scenario);
    let outcome = side::outcome(scenario, &setting, options);
    let verdict = judge(scenario, &setup, &outcome);
    let likely = swings::likely(scenario, &setting, options);
    MethodWay {
        method,
        setup,
        setting: Some(setting),
        effort,
        out: Vec::new(),
        cautions,
        sure: is_sure(scenario, &outcome, &likely),
        outcome: Some(outcome),
        verdict: Some(verdict),
        likely: Some(likely),
    }
}

/// A method that isn't run: out, or only named.
fn told(
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
    }
}

/// Whether the whole likely range of the taper is within the tolerance.
fn is_sure(scenario: &Scenario, outcome: &Outcome, likely: &Likely) -> bool {
    let work = &scenario.job.work;
    let off = outcome.taper - work.taper.si();
    off - likely.taper >= work.tolerance.lower.si()
        && off + likely.taper <= work.tolerance.upper.si()
}

/// Whether the piece is turned on the outside.
fn outside(scenario: &Scenario) -> bool {
    scenario.job.work.kind == Kind::Outside
}
