//! What to know about a move that can be made.

use schemars::JsonSchema;
use serde::Serialize;

use super::hazard::along;
use crate::quantity::{Force, Length, Quantity, Taper, Units, show};
use crate::setup::Feed;

/// A warning or a note on one move.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Notice {
    /// The readout was zeroed before the slack was taken up for the next carriage move.
    ZeroedEarly {
        /// Which way the carriage goes next.
        toward: Feed,
        /// Carriage travel before the slide follows, m.
        still: f64,
        /// What the reading will be short of, m across.
        short: f64,
    },
    /// What taper the readout gives since it was zeroed.
    ReadsAs {
        /// Taper on diameter.
        taper: f64,
        /// Taper that the guide is set to.
        guide: f64,
        /// Carriage travel since zero, m.
        over: f64,
    },
    /// The dial was turned and the slide didn't follow all of it.
    DialInSlack {
        /// What the hand turned, m.
        turned: f64,
        /// What the slide moved, m.
        followed: f64,
        /// Whether the slide floats afterwards.
        floats: bool,
    },
    /// The nut is let go: the dial moves nothing.
    DialDead,
    /// The top slide's handle was turned and the tool didn't follow all of it.
    TopSlideInSlack {
        /// What the hand turned, m.
        turned: f64,
        /// What the tool moved, m.
        followed: f64,
    },
    /// Locked while coupled.
    LockedCoupled,
    /// Cross feed engaged while coupled.
    FeedCoupled,
    /// Shoe locked and foot clamped.
    Tied,
    /// The guide travels with the carriage.
    Idle,
    /// Uncoupled: the slide isn't held by the attachment any more.
    Uncoupled {
        /// Nothing holds the slide but its drag.
        free: bool,
    },
    /// Coupled: where the slack stands is unknown.
    CoupledMidSlack,
    /// A hand push met a locked slide.
    PushedLocked,
    /// A hand push on a free slide without a length.
    NothingToMeet,
    /// A hand push that moved nothing.
    PushedInVain,
    /// Air strong enough to hurt.
    StrongAir {
        /// Its force, N.
        force: f64,
    },
    /// Air weaker than what starts the slide.
    WeakAir {
        /// Its force, N.
        force: f64,
        /// Force that starts the slide, N.
        starts: f64,
    },
    /// It was so already.
    Already,
}

impl Notice {
    /// Stable name.
    pub fn id(&self) -> &'static str {
        match self {
            Self::ZeroedEarly { .. } => "zeroed-early",
            Self::ReadsAs { .. } => "reads-as",
            Self::DialInSlack { .. } => "dial-in-slack",
            Self::DialDead => "dial-dead",
            Self::TopSlideInSlack { .. } => "top-slide-in-slack",
            Self::LockedCoupled => "locked-while-coupled",
            Self::FeedCoupled => "cross-feed-while-coupled",
            Self::Tied => "shoe-locked-foot-clamped",
            Self::Idle => "idle",
            Self::Uncoupled { .. } => "uncoupled",
            Self::CoupledMidSlack => "coupled-mid-slack",
            Self::PushedLocked => "pushed-locked",
            Self::NothingToMeet => "nothing-to-meet",
            Self::PushedInVain => "pushed-in-vain",
            Self::StrongAir { .. } => "strong-air",
            Self::WeakAir { .. } => "weak-air",
            Self::Already => "already",
        }
    }

    /// Whether it is a warning, and not just worth knowing.
    pub fn is_warning(&self) -> bool {
        !matches!(
            self,
            Self::ReadsAs { .. }
                | Self::Idle
                | Self::CoupledMidSlack
                | Self::PushedInVain
                | Self::Already
        )
    }

    /// In shop words.
    pub fn words(&self, units: Units) -> String {
        let length = |m: f64| Length::from_si(m).show(units);
        let dial = |m: f64| show::dial(Length::from_si(m), units);
        let force = |n: f64| Force::from_si(n).show(units);
        match *self {
            Self::ZeroedEarly {
                toward,
                still,
                short,
            } => format!(
                "zeroed before the slack is taken up: going {} the slide stands still for {} \
                 more, and the readout will be short by {}. Move on until the readout follows, \
                 then zero.",
                along(toward),
                length(still),
                dial(short)
            ),
            Self::ReadsAs { taper, guide, over } => format!(
                "over {} since zero the readout reads as {} on diameter; the guide is set to {}.",
                length(over),
                Taper::from_si(taper).show(units),
                Taper::from_si(guide).show(units)
            ),
            Self::DialInSlack {
                turned,
                followed,
                floats,
            } => format!(
                "of {} turned the slide followed {}: the rest went into slack{}.",
                dial(turned),
                dial(followed),
                if floats {
                    ", and it floats there. A cut can take that up all at once: a spring pass \
                     goes deep"
                } else {
                    ""
                }
            ),
            Self::DialDead => "the cross dial is dead: the nut is let go with a plain attachment. \
                               Set depth with the top slide."
                .into(),
            Self::TopSlideInSlack { turned, followed } => format!(
                "of {} turned the tool followed {}: the rest is the top slide's own slack.",
                dial(turned),
                dial(followed)
            ),
            Self::LockedCoupled => {
                "the slide is locked with the attachment coupled: lock off before the carriage \
                 moves."
                    .into()
            }
            Self::FeedCoupled => {
                "the cross feed is in with the attachment coupled: out again before anything \
                 moves."
                    .into()
            }
            Self::Tied => "shoe locked and foot clamped: the carriage is tied to the bed. Let one \
                           go before the carriage moves."
                .into(),
            Self::Idle => "the guide travels with the carriage: no taper is made.".into(),
            Self::Uncoupled { free: true } => {
                "nothing holds the slide now but its drag: lock it before the spindle starts."
                    .into()
            }
            Self::Uncoupled { free: false } => {
                "the cross screw alone holds the slide now: lock it before the spindle starts."
                    .into()
            }
            Self::CoupledMidSlack => {
                "the slide is taken to stand in the middle of its slack: take it up before you \
                 zero anything."
                    .into()
            }
            Self::PushedLocked => "the slide is locked: pushing moves nothing.".into(),
            Self::NothingToMeet => "the slide is free and meets no face: say how far, such as `by \
                                    0.100 in`. Not moved."
                .into(),
            Self::PushedInVain => "it stands against that face already.".into(),
            Self::StrongAir { force: n } => format!(
                "the air pushes with {}: above 100 lbf (445 N) it can break a hand when \
                 something is slackened. Less is enough.",
                force(n)
            ),
            Self::WeakAir { force: n, starts } => format!(
                "the air pushes with {}, and it takes {} to start the slide: weaker than the \
                 drag it holds nothing.",
                force(n),
                force(starts)
            ),
            Self::Already => "it was so already.".into(),
        }
    }
}
