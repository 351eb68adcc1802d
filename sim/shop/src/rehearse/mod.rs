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

mod hazard;
mod notice;
mod record;
mod rig;

pub use crate::moves::{
    Cylinder, Move, OPENING, Push, Script, Spoken, decode, keys, lathe_named_in, lines,
};
pub use hazard::Hazard;
pub use notice::Notice;
pub use record::{Bearing, Broken, Gap, Lost, Rehearsal, Stand, Step};

use crate::quantity::Quantity;
use rig::{Outcome, Rig};

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
