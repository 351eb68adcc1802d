//! Hand moves to be tried on a lathe, as plain values.

use schemars::JsonSchema;
use serde::Serialize;

use crate::quantity::{Length, Taper, Units};
use crate::scenario::{End, Lathe, Toward};
use crate::setup::Feed;

/// One hand move.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Move {
    /// The carriage, by its handwheel.
    Carriage {
        /// Which way.
        toward: Feed,
        /// How far, m.
        travel: f64,
    },
    /// The cross dial.
    Dial {
        /// In is away from the operator.
        toward: Toward,
        /// How far by the dial, m of slide travel.
        by: f64,
    },
    /// The handle of the top slide.
    TopSlide {
        /// In is away from the operator.
        toward: Toward,
        /// How far by its dial, m.
        by: f64,
    },
    /// The power cross feed, engaged or not; the spindle stands.
    CrossFeed {
        /// Engaged.
        engaged: bool,
    },
    /// The lock of the cross-slide.
    SlideLock {
        /// Locked.
        locked: bool,
    },
    /// The lock of the top slide.
    TopSlideLock {
        /// Locked.
        locked: bool,
    },
    /// The shoe's lock on the guide, for letting the attachment idle.
    ShoeLock {
        /// Locked.
        locked: bool,
    },
    /// The foot on the bed.
    Foot {
        /// Clamped.
        clamped: bool,
    },
    /// The readout is set to zero.
    ZeroReadout,
    /// The cross dial is set to zero.
    ZeroDial,
    /// The attachment is coupled to the slide.
    Couple,
    /// It is let go.
    Uncouple,
    /// The slide is pushed by hand.
    Bump {
        /// Which way.
        toward: Toward,
        /// How hard or how far.
        push: Push,
    },
    /// Air on the cylinder.
    AirOn {
        /// Gauge pressure, Pa.
        pressure: f64,
    },
    /// Air off and bled.
    AirOff,
}

/// How the hand pushes the slide.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Push {
    /// Just hard enough to move it, until it meets a face.
    ToFace,
    /// With this force, N.
    With(f64),
    /// Just hard enough to move it, at most this far, m.
    By(f64),
}

/// A move as it stands in the text.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Spoken {
    /// What to do.
    pub action: Move,
    /// The words of the text.
    pub words: String,
    /// Byte range in the text.
    #[serde(skip)]
    pub span: std::ops::Range<usize>,
    /// Line in the text, from 1.
    pub line: usize,
}

/// An air cylinder on the slide.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Cylinder {
    /// Bore.
    pub bore: Length,
    /// Rod on the pressed side, zero when the plain side is pressed.
    pub rod: Length,
    /// Which way it pushes.
    pub toward: Toward,
    /// Share of its force that its seals take.
    pub seal_share: f64,
}

/// A lathe, how its guide stands, and the moves to be made on it.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Script {
    /// What the rehearsal is called.
    pub name: String,
    /// A line on what it teaches.
    pub note: Option<String>,
    /// The person's units.
    pub units: Units,
    /// The machine.
    pub lathe: Lathe,
    /// Taper that the guide is set to, on diameter.
    pub taper: Taper,
    /// End where a front tool stands farther out.
    pub big_end: End,
    /// Guide left toward the headstock at the beginning, m.
    pub room_headstock: f64,
    /// Slide travel left toward the operator at the beginning, m.
    pub room_operator: f64,
    /// What `air on` works on.
    pub cylinder: Option<Cylinder>,
    /// The moves.
    pub moves: Vec<Spoken>,
}
