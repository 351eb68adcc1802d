//! Whether a way can be cut on this lathe at all, and the reason if it can't.

use schemars::JsonSchema;
use serde::Serialize;

use crate::arithmetic::{atan, cos};
use crate::bore_room::{BoreRoom, Stretch, Wall, bar_size, gap, reach, when};
use crate::cut::Approach;
use crate::quantity::{Length, Quantity, Taper, Units};
use crate::scenario::{AttachmentKind, Hand, Kind, Scenario, SpindleNose, Thread};
use crate::setup::{Rotation, Setup, Side};

/// Why a way is out.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(tag = "reason", rename_all = "snake_case")]
pub enum Reason {
    /// The lathe has no taper attachment.
    NoAttachment,
    /// The tool's back would meet the work.
    Rubs,
    /// Reverse can unscrew the chuck. Never a mere warning.
    ChuckUnscrews,
    /// The spindle has no reverse.
    NoReverse,
    /// No tool post behind the work.
    NoRearPost,
    /// The way cuts a thread of the other hand.
    OtherHand {
        /// The hand it cuts.
        cuts: Hand,
    },
    /// The guide doesn't swing that far.
    TooSteep {
        /// Steepest taper it takes, on diameter.
        steepest: f64,
    },
    /// The guide is too short for the taper and its run-in.
    GuideTooShort {
        /// Travel needed along the guide, m.
        needs: f64,
        /// Usable travel, m.
        has: f64,
    },
    /// The boring bar rubs in the bore, whatever was assumed.
    BarRubs {
        /// How far it would have to go into the wall, m.
        by: f64,
        /// Which wall.
        wall: Wall,
        /// In which part of the stroke.
        stretch: Stretch,
        /// In the first pass; otherwise in the last.
        first_pass: bool,
        /// How far the edge is in the bore then, m.
        depth: f64,
        /// Thickest common bar that keeps its room, m; against the wall that is cut none helps.
        would_do: Option<f64>,
        /// Its stiffness over this bar's.
        stiffness: Option<f64>,
    },
    /// The bar's holder would meet the face of the work.
    BarTooShort {
        /// Length needed out of the holder, m.
        needs: f64,
        /// Length out of it, m.
        has: f64,
    },
    /// The slide's travel is too short.
    SlideTooShort {
        /// Travel needed, m.
        needs: f64,
        /// Travel, m.
        has: f64,
    },
}

impl Reason {
    /// In the shop's words.
    pub fn words(&self, units: Units) -> String {
        let length = |m: f64| Length::from_si(m).show(units);
        match *self {
            Self::NoAttachment => "this lathe has no taper attachment".to_owned(),
            Self::Rubs => "the tool would rub with its back".to_owned(),
            Self::ChuckUnscrews => {
                "reverse can unscrew a screwed-on chuck: not unless it is positively locked"
                    .to_owned()
            }
            Self::NoReverse => "this spindle has no reverse".to_owned(),
            Self::NoRearPost => "no tool post behind the work".to_owned(),
            Self::OtherHand { cuts: Hand::Left } => "cuts a left-hand thread".to_owned(),
            Self::OtherHand { cuts: Hand::Right } => "cuts a right-hand thread".to_owned(),
            Self::TooSteep { steepest } => format!(
                "the guide swings to {} at most",
                Taper::from_si(steepest).show(units)
            ),
            Self::GuideTooShort { needs, has } => format!(
                "needs {} of guide with its run-in, there are {}",
                length(needs),
                length(has)
            ),
            Self::BarRubs {
                by,
                wall,
                stretch,
                first_pass,
                depth,
                would_do,
                stiffness,
            } => {
                let instead = match (would_do, stiffness) {
                    _ if wall == Wall::Cut => {
                        ": its edge has to stand out that much more at least".to_owned()
                    }
                    (Some(bar), Some(share)) => format!(
                        ": a bar of {} clears, {:.0} % as stiff",
                        bar_size(bar, units),
                        100.0 * share
                    ),
                    _ => ": no common bar clears".to_owned(),
                };
                // What the first pass has too little room for, a hole opened in steps may have.
                let steps = if wall == Wall::Far && first_pass {
                    ", or bore the hole out in straight steps first"
                } else {
                    ""
                };
                format!(
                    "the bar would rub {} by {} ({}){instead}{steps}",
                    wall.words(),
                    gap(by, units),
                    when(first_pass, stretch, depth, units)
                )
            }
            Self::BarTooShort { needs, has } => format!(
                "the holder would meet the face: the bar has to stand out {}, it stands out {}",
                reach(needs, units),
                reach(has, units)
            ),
            Self::SlideTooShort { needs, has } => {
                format!(
                    "needs {} of slide travel, there are {}",
                    length(needs),
                    length(has)
                )
            }
        }
    }
}

/// Travel needed along the guide for the taper and its run-in, m.
pub fn guide_needed(scenario: &Scenario, approach: &Approach) -> f64 {
    let slope = crate::cut::aimed_taper(scenario) / 2.0;
    (scenario.job.work.length.si() + approach.run_in()) / cos(atan(slope))
}

/// Everything that stands in the way of a setup; empty if it can be cut.
pub fn reasons(scenario: &Scenario, setup: &Setup, approach: &Approach) -> Vec<Reason> {
    let Scenario { lathe, job } = scenario;
    if !lathe.attachment.fitted {
        return vec![Reason::NoAttachment];
    }
    let mut out = Vec::new();
    if !setup.cuts() {
        out.push(Reason::Rubs);
    }
    if setup.rotation == Rotation::Reverse {
        if !lathe.spindle.reverse {
            out.push(Reason::NoReverse);
        } else if lathe.spindle.nose == SpindleNose::ScrewedOn {
            out.push(Reason::ChuckUnscrews);
        }
    }
    if setup.side == Side::Rear && job.work.kind == Kind::Outside && !lathe.rear_post {
        out.push(Reason::NoRearPost);
    }
    // A thread with a form is cut after the taper, which doesn't mind the hand.
    if let Some(Thread { hand, cut: None }) = job.thread
        && setup.hand() != hand
    {
        out.push(Reason::OtherHand { cuts: setup.hand() });
    }
    let taper = crate::cut::aimed_taper(scenario);
    let steepest = lathe.attachment.steepest.si();
    if taper > steepest {
        out.push(Reason::TooSteep { steepest });
    }
    let along = guide_needed(scenario, approach);
    let guide = lathe.attachment.guide_travel.si();
    if along > guide {
        out.push(Reason::GuideTooShort {
            needs: along,
            has: guide,
        });
    }
    let across = (job.work.length.si() + approach.run_in()) * taper / 2.0;
    let travel = lathe.slide.travel.si();
    if across > travel {
        out.push(Reason::SlideTooShort {
            needs: across,
            has: travel,
        });
    }
    if let Some(room) = BoreRoom::new(scenario, setup, approach) {
        out.extend(bar_in_bore(&room));
    }
    out
}

/// Why the bar can't make the stroke.
fn bar_in_bore(room: &BoreRoom) -> impl Iterator<Item = Reason> {
    let rubs = room
        .tightest()
        .filter(|_| room.rubs)
        .map(|tight| Reason::BarRubs {
            by: -tight.gap,
            wall: tight.wall,
            stretch: tight.stretch,
            first_pass: tight.first_pass,
            depth: room.depth(tight),
            // How thick the bar is only counts against the far wall.
            would_do: room.thickest.common.filter(|_| tight.wall == Wall::Far),
            stiffness: room.thickest.stiffness.filter(|_| tight.wall == Wall::Far),
        });
    let short = room.too_short().then_some(Reason::BarTooShort {
        needs: room.out_needed,
        has: room.out,
    });
    rubs.into_iter().chain(short)
}

/// Whether depth is set on the cross dial (telescoping) or with the top slide (plain).
pub fn depth_on_cross_dial(scenario: &Scenario) -> bool {
    scenario.lathe.attachment.kind == AttachmentKind::Telescoping
}
