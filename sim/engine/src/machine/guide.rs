//! The guide bar, and the shoe on it.
//!
//! Slack and spring are measured square to the bar; along the cross-slide a gap opens by
//! `1/cos` more and the spring is `cos^2` softer. The shoe's friction runs along the bar and
//! loads the foot; it doesn't hold the shoe across its slack.

use super::headstock;
use super::part::{RIGID, SlackPart};
use crate::arithmetic::{atan, cos};
use crate::balance::Link;
use crate::lanes::Lanes;
use crate::scenario::{Attachment, Lathe, Toward, Work};
use crate::setup::Setup;

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

/// How far the bar is off the line that was asked for, as the work's own line sees it, in the terms
/// of one way of cutting.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GuideError<P = f64> {
    /// Rise of the setting error, and of the bed against the spindle, along `+Z`, along `n`.
    steeper: P,
    /// The bow along `n` over the square of half the usable travel, 1/m.
    bow: P,
}

impl GuideError {
    /// Of this bar, and of a spindle that the bed doesn't run along.
    pub fn new(lathe: &Lathe, work: &Work, setup: &Setup) -> Self {
        let attachment = &lathe.attachment;
        let half_travel = 0.5 * attachment.guide_travel.si();
        let inward = -setup.out_of_cut(Toward::Operator);
        Self {
            steeper: setup.inward() * setup.slope_sign() * attachment.setting_error.middle.slope()
                + headstock::rise(lathe, work, setup),
            bow: inward * attachment.guide_bow.si() / (half_travel * half_travel),
        }
    }

    /// Those of several lathes, each a lane.
    pub fn gather<R: Lanes>(error: impl Fn(usize) -> Self) -> GuideError<R> {
        GuideError {
            steeper: R::gather(|lane| error(lane).steeper),
            bow: R::gather(|lane| error(lane).bow),
        }
    }
}

impl<P: Lanes> GuideError<P> {
    /// At `z`, m along `n`, counted from the gauge plane, where the size is set. The bow is an arc
    /// over the usable travel, whose middle stands at the middle of the taper.
    pub fn at(&self, z: f64, gauge_z: f64, middle: f64) -> P {
        let square = |z: f64| (z - middle) * (z - middle);
        self.steeper * P::splat(z - gauge_z) + self.bow * P::splat(square(gauge_z) - square(z))
    }
}
