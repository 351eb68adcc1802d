//! Hand moves on the modelled lathe: what carriage, dial, readout and tool really do.
//!
//! A [`Script`] is a lathe, a taper of the guide and a list of [`Move`]s, read from a text by
//! [`decode`]; [`rehearse`] makes the moves one by one, spindle stopped and no cut, and records
//! where everything stands after each.
//!
//! # Law
//! Across the bed the slide is one rubbing body behind the drive's link, as in the approach to a
//! cut: [`Body`](crate::balance::Body) with the hand drag and its higher starting force. The
//! link's upstream end is where guide *and* dial put it, so that the nut's backlash is met again
//! at every place along the bed and lost only when the dial or the guide turns back. Along the
//! bed the guide bar rides with the carriage until its foot stops it.
//!
//! Every move is made in one go. The problem is rate independent, so this differs from small
//! steps by at most one hop of a slide that starts harder than it keeps moving.
//!
//! # Signs and units
//! SI. Across the bed positive is toward the operator, along it toward the tailstock, counted
//! from where the rehearsal begins.
//!
//! # Left out
//! The foot leaving its seat on steep guides under a strong preload, a top slide that isn't set
//! square to the axis, and the weight of the hand.

mod words;
mod decode;
mod hazard;
mod notice;
mod record;
mod rig;

pub use decode::{decode, lathe_named_in};
pub use hazard::Hazard;
pub use notice::Notice;
pub use record::{Bearing, Broken, Gap, Lost, Rehearsal, Stand, Step};

use serde::Serialize;

use crate::quantity::{Length, Quantity, Taper, Units};
use crate::scenario::{End, Lathe, Toward};
use crate::setup::Feed;
use rig::{Outcome, Rig};

/// One hand move.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
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
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
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
#[derive(Clone, Debug, PartialEq, Serialize)]
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
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
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
#[derive(Clone, Debug, PartialEq, Serialize)]
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

/// Makes the moves in their order, up to the first that would break something.
///
/// Begins coupled, foot clamped, nothing locked, air off, the slide in the middle of its slack
/// with nothing wound up.
pub fn rehearse(script: &Script) -> Rehearsal {
    let mut rig = Rig::new(script);
    let start = rig.stand();
    let mut steps = Vec::with_capacity(script.moves.len());
    let mut broken = None;
    for (index, spoken) in script.moves.iter().enumerate() {
        let next_feed = script.moves[index..]
            .iter()
            .find_map(|later| match later.action {
                Move::Carriage { toward, .. } => Some(toward),
                _ => None,
            });
        let mut after = rig.clone();
        match after.make(spoken.action, next_feed) {
            Ok(outcome) => {
                rig = after;
                steps.push(Step::new(index + 1, spoken, &rig, outcome));
            }
            Err(hazard) => {
                broken = Some(Broken {
                    number: index + 1,
                    line: spoken.line,
                    words: spoken.words.clone(),
                    hazard,
                });
                break;
            }
        }
    }
    Rehearsal {
        name: script.name.clone(),
        note: script.note.clone(),
        lathe: script.lathe.name.clone(),
        taper: script.taper.si(),
        big_end: script.big_end,
        start,
        steps,
        broken,
        cautions: crate::caution::by_hand(
            script.cylinder.is_some(),
            script.moves.iter().any(|m| m.action == Move::Uncouple),
        ),
        version: env!("CARGO_PKG_VERSION"),
    }
}

impl Step {
    fn new(number: usize, spoken: &Spoken, rig: &Rig<'_>, outcome: Outcome) -> Self {
        Self {
            number,
            line: spoken.line,
            words: spoken.words.clone(),
            action: spoken.action,
            stand: rig.stand(),
            slide_moved: outcome.slide_moved,
            tool_moved: outcome.tool_moved,
            lost: outcome.lost,
            path: outcome.path,
            notices: outcome.notices,
        }
    }
}
