//! The shoe on the guide bar.
//!
//! Slack and spring are measured square to the bar; along the cross-slide a gap opens by
//! `1/cos` more and the spring is `cos^2` softer. The shoe's friction runs along the bar and
//! loads the foot; it doesn't hold the shoe across its slack.

use super::{RIGID, SlackPart};
use crate::arithmetic::{atan, cos};
use crate::balance::Link;
use crate::scenario::Attachment;

/// The shoe's slack and spring along the cross-slide, for a guide at this slope.
pub fn shoe(attachment: &Attachment, slope: f64) -> (SlackPart, Link) {
    let cos = cos(atan(slope));
    let rate = attachment.shoe_spring.si() * cos * cos;
    (
        SlackPart {
            name: "shoe on the guide",
            slack: attachment.shoe_slack.si() / cos,
        },
        Link {
            first: rate,
            other: rate,
            ..RIGID
        },
    )
}
