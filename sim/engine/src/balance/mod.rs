//! Where a rubbing body comes to rest: a link with slack, dry friction, one cutting load.
//!
//! The link runs from the guide, whose position is imposed, to the slide, which carries the load.
//! Positions are along `n`, into the cut. The problem is quasi-static and rate independent: given
//! where the body stood and where the guide is now, find the first balance with
//!
//! `net(x) = link(guide - x) - load(x)` within `+-F`,
//!
//! and equal to `+F` (`-F`) for a body that moved forward (back). `F` may depend on the load, so
//! this is not the minimum of an energy; it is solved as an equation, marching from where the
//! body stood to the *first* balance. The obvious law, a clamp of the guide's position with half
//! the slack (play), is the limit of no load and no spring.
//!
//! A body that starts needs `|net| > F_start` and stops where `|net|` first falls to `F_stop`.
//! Bodies without friction in between condense exactly, [`Link::in_series`]; several that rub are
//! solved in the tests alone, to hold that and this one body against.
//!
//! [`MassBody`] is the same with its mass, through time.
//!
//! This module knows links and bodies, no machine part by name.

mod link;
mod clamp;
mod one;
mod inertia;

pub use clamp::{Clamped, Quadratic, SlipLimit, slip_limit, stick_or_slip};
pub use inertia::MassBody;
pub use link::Link;
pub use one::{Body, Rested, settle};

use crate::arithmetic::max;
use crate::lanes::Lanes;

/// What acts on the body besides its link, as a function of a parameter `e` that grows with
/// the body's position (the cutting edge's place, when tool and work give way).
pub trait Load {
    /// Everything at parameter `e`.
    fn at(&self, e: f64) -> Reaction;

    /// The parameter at which the body stands at `position`, and everything there; `near` is a
    /// guess.
    fn stand(&self, position: f64, near: f64) -> (f64, Reaction);

    /// The same where the load at `near` is already known to be `there`.
    #[inline]
    fn stand_from(&self, position: f64, near: f64, _there: Reaction) -> (f64, Reaction) {
        self.stand(position, near)
    }

    /// Parameters where the law has a kink (the edge meets the surface), ascending.
    fn kinks(&self) -> &[f64];
}

/// A load at one place.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Reaction<R = f64> {
    /// Position of the body, m.
    pub position: R,
    /// Its slope with the parameter, at least 0.
    pub position_slope: R,
    /// Force on the body out of the cut, N.
    pub push: R,
    /// Its slope with the parameter, N/m.
    pub push_slope: R,
    /// Friction limit once moving, N.
    pub limit: R,
    /// Its slope with the parameter, N/m.
    pub limit_slope: R,
}

impl<R: Lanes> Reaction<R> {
    /// The load a little further on, along the slopes.
    #[inline]
    pub fn moved(&self, by: R) -> Self {
        Self {
            position: self.position + self.position_slope * by,
            push: self.push + self.push_slope * by,
            limit: self.limit + self.limit_slope * by,
            ..*self
        }
    }
}

/// Friction levels of a body, over its limit once moving.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Levels {
    /// Force that starts it, at least `stop`.
    pub start: f64,
    /// Where a slip ends, at least 0.
    pub stop: f64,
}

impl Levels {
    /// One level: starting and moving alike.
    pub const ONE: Self = Self {
        start: 1.0,
        stop: 1.0,
    };

    /// From the force to start over the force to keep moving (at least 1), with slips that end
    /// at the moving level (`undershoot` 0) or swing below it (1: undamped):
    /// `stop = 1 - undershoot (start - 1)`.
    pub fn breakaway(start: f64, undershoot: f64) -> Self {
        Self {
            start,
            stop: max(1.0 - undershoot * (start - 1.0), 0.0),
        }
    }

    /// A body already let go: it may move wherever its stopping level is exceeded.
    fn released(self) -> Self {
        Self {
            start: self.stop,
            stop: self.stop,
        }
    }
}
