//! Thrust bearing, cross screw and nut of a telescoping attachment.
//!
//! The nut's backlash is a function of the dial, not of the place along the bed. The screw gives
//! differently pulled and pushed; which of the two a face means depends on side and work
//! ([`Setup::screw`]).

use super::part::{RIGID, SlackPart};
use crate::balance::Link;
use crate::scenario::Attachment;
use crate::setup::{ScrewLoad, Setup};

/// End float of the thrust bearing or yoke.
pub fn thrust(attachment: &Attachment) -> (SlackPart, Link) {
    (
        SlackPart {
            name: "thrust float",
            slack: attachment.thrust_slack.si(),
        },
        RIGID,
    )
}

/// Backlash of screw and nut, with the spring of thrust bearing, screw and nut together.
pub fn nut(attachment: &Attachment, setup: &Setup) -> (SlackPart, Link) {
    let (first, other) = shares(attachment, setup);
    let rate = attachment.screw_spring.si();
    (
        SlackPart {
            name: "nut backlash",
            slack: attachment.nut_slack.si(),
        },
        Link {
            first: rate * first,
            other: rate * other,
            ..RIGID
        },
    )
}

/// Share of the pulled spring rate on the first and on the other face.
pub fn shares(attachment: &Attachment, setup: &Setup) -> (f64, f64) {
    let pushed = attachment.screw_push_share.si();
    let share = |first_face| match setup.screw(first_face) {
        ScrewLoad::Tension => 1.0,
        ScrewLoad::Compression => pushed,
    };
    (share(true), share(false))
}
