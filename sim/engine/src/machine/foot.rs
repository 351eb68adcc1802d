//! Foot and rod: what holds the guide bar to the bed while the carriage moves.
//!
//! On reversal the bar rides with the carriage until its foot has taken up its own slack:
//! `z_bar = clamp(z_bar + dZ, +-slack/2)`. That is a stop on carriage travel, outside the drive
//! across the bed; only its spring is felt there, through the slope.

use super::part::RIGID;
use crate::balance::Link;
use crate::lanes::{Across, Lanes};
use crate::scenario::Attachment;

/// Friction coefficient of the shoe along the guide bar, oiled (common practice, no source).
pub const SHOE_FRICTION: f64 = 0.12;

/// Foot, clamp and rod.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Foot<P = f64> {
    /// Slack along the bed, m.
    pub slack: P,
    /// Spring along the bed, N/m.
    pub spring: P,
    /// Friction of the bar on the carriage, N: carries the bar along until the foot stops it.
    pub bar_drag: P,
}

impl Foot {
    /// From the lathe's description.
    pub fn new(attachment: &Attachment) -> Self {
        Self {
            slack: attachment.foot_slack.si(),
            spring: attachment.foot_spring.si(),
            bar_drag: attachment.bar_drag.si(),
        }
    }

    /// The foot's spring seen across the bed: `k / slope^2`; no slack, which acts along the bed.
    pub fn seen_across(&self, slope: f64) -> Link {
        let rate = self.spring / (slope * slope);
        Link {
            first: rate,
            other: rate,
            ..RIGID
        }
    }

    /// Those of several lathes, each a lane.
    pub fn gather<'a, R: Lanes>(foot: impl Fn(usize) -> &'a Self) -> Foot<R> {
        Foot {
            slack: R::gather(|lane| foot(lane).slack),
            spring: R::gather(|lane| foot(lane).spring),
            bar_drag: R::gather(|lane| foot(lane).bar_drag),
        }
    }
}

impl<P: Copy> Foot<P> {
    /// Force that keeps the foot on the seat its feed put it on, N, along the bed:
    /// `R = D + |L| (mu + t slope)`, `t = +1` while the guide drives the slide, `-1` while the
    /// load drives the shoe. Below zero it leaves the seat: steep tapers, strong preload.
    ///
    /// `drive` is the force in the drive (positive into the cut), `pull` +1 or -1.
    #[inline]
    pub fn seat_force<R: Lanes>(&self, drive: R, pull: f64, slope: f64) -> R
    where
        P: Across<R>,
    {
        let guide_drives = (drive * R::splat(pull)).simd_gt(R::zero());
        let along = R::splat(slope).select(guide_drives, R::splat(-slope));
        self.bar_drag.across() + drive.simd_abs() * (R::splat(SHOE_FRICTION) + along)
    }
}
