//! Moves that break something: what would break, and what to do first.

use schemars::JsonSchema;
use serde::Serialize;

use crate::quantity::{Length, Quantity, Units};
use crate::scenario::Toward;
use crate::setup::Feed;

/// Why a move must not be made.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Hazard {
    /// Shoe locked and foot clamped tie the carriage to the bed.
    CarriageTied,
    /// The cross feed holds the screw while the guide drives the slide.
    FeedEngaged,
    /// The slide's lock holds it while the guide drives it.
    SlideLocked,
    /// The dial drives a locked slide.
    ScrewAgainstLock,
    /// The cross feed holds the screw that the hand turns.
    DialAgainstFeed,
    /// The handle of a locked top slide is turned.
    TopSlideLocked,
    /// The shoe would run off the guide.
    GuideEnd {
        /// Which way.
        toward: Feed,
        /// Guide left that way, m.
        room: f64,
        /// Travel asked of it, m.
        asked: f64,
    },
    /// The slide would run to its end.
    SlideEnd {
        /// Which way.
        toward: Toward,
        /// Slide travel left that way, m.
        room: f64,
    },
    /// Uncoupling, or letting the guide go, with the air on.
    LetGoUnderAir,
    /// Air on a slide that nothing holds.
    FreeUnderAir,
}

impl Hazard {
    /// Stable name.
    pub fn id(&self) -> &'static str {
        match self {
            Self::CarriageTied => "carriage-tied-to-bed",
            Self::FeedEngaged => "cross-feed-in-while-coupled",
            Self::SlideLocked => "slide-locked-while-coupled",
            Self::ScrewAgainstLock => "dial-against-lock",
            Self::DialAgainstFeed => "dial-against-cross-feed",
            Self::TopSlideLocked => "top-slide-locked",
            Self::GuideEnd { .. } => "end-of-guide",
            Self::SlideEnd { .. } => "end-of-slide",
            Self::LetGoUnderAir => "let-go-under-air",
            Self::FreeUnderAir => "free-slide-under-air",
        }
    }

    /// What would break.
    pub fn breaks(&self, units: Units) -> String {
        let show = |m: f64| Length::from_si(m).show(units);
        match *self {
            Self::CarriageTied => {
                "the shoe is locked on the guide and the foot is clamped: the carriage is tied \
                 to the bed, and its handwheel pulls on rod, shoe and rack"
                    .into()
            }
            Self::FeedEngaged => {
                "the cross feed is in: the apron's gears hold the cross screw while the guide \
                 drives the slide"
                    .into()
            }
            Self::SlideLocked => {
                "the cross-slide is locked while the guide drives it: the lock scores the ways, \
                 or shoe, yoke or screw give"
                    .into()
            }
            Self::ScrewAgainstLock => {
                "the slack is taken up and the screw now pulls on a locked slide: nut or lock \
                 suffer"
                    .into()
            }
            Self::DialAgainstFeed => {
                "the cross feed is in: the dial is geared to the apron, and forcing it strips \
                 gears"
                    .into()
            }
            Self::TopSlideLocked => {
                "the top slide is locked: forcing its handle hurts nut and gib".into()
            }
            Self::GuideEnd {
                toward,
                room,
                asked,
            } => format!(
                "the shoe runs off the guide: {} of guide is left {}, the move asks for {}",
                show(room),
                along(toward),
                show(asked)
            ),
            Self::SlideEnd { toward, room } => format!(
                "the cross-slide runs to its end: {} is left {}",
                show(room),
                match toward {
                    Toward::Operator => "toward the operator",
                    Toward::Away => "away from the operator",
                }
            ),
            Self::LetGoUnderAir => {
                "the air is on: the moment the guide is let go the slide flies".into()
            }
            Self::FreeUnderAir => {
                "nothing holds the slide: under air it flies to the end of its travel".into()
            }
        }
    }

    /// What to do.
    pub fn advice(&self) -> &'static str {
        match self {
            Self::CarriageTied => {
                "unlock the shoe, or let the foot go so that the guide travels with the carriage"
            }
            Self::FeedEngaged => "cross feed out before the attachment moves",
            Self::SlideLocked => "unlock the slide before the carriage moves, or uncouple",
            Self::ScrewAgainstLock => "unlock the slide before you turn the dial further",
            Self::DialAgainstFeed => "cross feed out, then turn the dial",
            Self::TopSlideLocked => "unlock the top slide first",
            Self::GuideEnd { .. } => {
                "stop short, or shift the foot along the bed; try the whole stroke by hand, tool \
                 clear, spindle stopped"
            }
            Self::SlideEnd { .. } => {
                "start with the slide farther from that end; try the whole stroke by hand, tool \
                 clear, spindle stopped"
            }
            Self::LetGoUnderAir => {
                "air off and bled first; then uncouple, and lock the slide before the spindle \
                 starts"
            }
            Self::FreeUnderAir => "air off and bled, couple the attachment or lock the slide first",
        }
    }
}

/// "toward the headstock".
pub(super) fn along(feed: Feed) -> &'static str {
    match feed {
        Feed::Headstock => "toward the headstock",
        Feed::Tailstock => "toward the tailstock",
    }
}
