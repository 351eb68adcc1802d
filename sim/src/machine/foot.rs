//! Foot and rod: what holds the guide bar to the bed while the carriage moves.
//!
//! On reversal the bar rides with the carriage until its foot has taken up its own slack:
//! `z_bar = clamp(z_bar + dZ, +-slack/2)`. That is a stop on carriage travel, outside the drive
//! across the bed; only its spring is felt there, through the slope.

use super::RIGID;
use crate::balance::Link;
use crate::scenario::Attachment;

/// Friction coefficient of the shoe along the guide bar, oiled (common practice, no source).
pub const SHOE_FRICTION: f64 = 0.12;

/// Foot, clamp and rod.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Foot {
    /// Slack along the bed, m.
    pub slack: f64,
    /// Spring along the bed, N/m.
    pub spring: f64,
    /// Friction of the bar on the carriage, N: carries the bar along until the foot stops it.
    pub bar_drag: f64,
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

    /// Force that keeps the foot on the seat its feed put it on, N, along the bed:
    /// `R = D + |L| (mu + t slope)`, `t = +1` while the guide drives the slide, `-1` while the
    /// load drives the shoe. Below zero it leaves the seat: steep tapers, strong preload.
    ///
    /// `drive` is the force in the drive (positive into the cut), `pull` +1 or -1.
    #[inline]
    pub fn seat_force(&self, drive: f64, pull: f64, slope: f64) -> f64 {
        let t = if drive * pull > 0.0 { 1.0 } else { -1.0 };
        self.bar_drag + drive.abs() * (SHOE_FRICTION + t * slope)
    }
}
