//! The cross-slide's drag.
//!
//! `F = gib + mu |W + press * arm * Fc| + mu_side * arm * Ff + seal`, where gib and weight
//! together give the hand drag that a spring scale reads. Lifted beyond its weight, the slide
//! rides on its keepers: the absolute value. Vibration in the cut eases all of it but the seal;
//! hand moves, reversals and the run-in in air have the full value and the higher starting force.

use crate::arithmetic::{max, min};
use crate::lanes::{Across, Lanes};
use crate::scenario::CrossSlide;
use crate::setup::Press;

/// Friction limit of the slide.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Drag<P = f64> {
    /// Share of the hand drag that doesn't come from weight, N.
    pub gib: P,
    /// Friction coefficient of the ways.
    pub friction: P,
    /// Weight on the ways, N.
    pub weight: P,
    /// +1 when the main force presses the slide down, -1 when it lifts, times the overhang arm.
    pub press: P,
    /// Friction coefficient against the side of the ways times the overhang arm.
    pub side: P,
    /// Drag of a cylinder's seals, N.
    pub seal: P,
    /// Share left while cutting.
    pub left_cutting: P,
    /// Force to start over force to keep moving, by hand.
    pub breakaway: P,
    /// Half of the swing of the drag along the stroke, as a share.
    pub change: P,
}

/// A friction limit and how it grows with the cutting force: straight between where the slide
/// lifts and where it is fed the other way.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limit<R = f64> {
    /// Limit, N.
    pub limit: R,
    /// Growth with the main force.
    pub over_main: R,
    /// Growth with the feed force.
    pub over_feed: R,
}

impl Drag {
    /// From the lathe's description. A hand drag below what weight and friction ask lowers the
    /// friction coefficient: the scale is believed.
    pub fn new(slide: &CrossSlide, press: Press, seal: f64) -> Self {
        let weight = slide.weight.si();
        let hand = slide.drag.si();
        let friction = if weight > 0.0 {
            min(slide.friction.si(), hand / weight)
        } else {
            slide.friction.si()
        };
        let arm = max(slide.overhang.si(), 1.0);
        Self {
            gib: max(hand - friction * weight, 0.0),
            friction,
            weight,
            press: press.sign() * arm,
            side: slide.side_friction.si() * arm,
            seal,
            left_cutting: slide.drag_left_cutting.si(),
            breakaway: max(slide.breakaway.si(), 1.0),
            change: slide.drag_change.si(),
        }
    }

    /// Those of several lathes, each a lane.
    #[inline(always)]
    pub fn gather<'a, R: Lanes>(drag: impl Fn(usize) -> &'a Self) -> Drag<R> {
        Drag {
            gib: R::gather(|lane| drag(lane).gib),
            friction: R::gather(|lane| drag(lane).friction),
            weight: R::gather(|lane| drag(lane).weight),
            press: R::gather(|lane| drag(lane).press),
            side: R::gather(|lane| drag(lane).side),
            seal: R::gather(|lane| drag(lane).seal),
            left_cutting: R::gather(|lane| drag(lane).left_cutting),
            breakaway: R::gather(|lane| drag(lane).breakaway),
            change: R::gather(|lane| drag(lane).change),
        }
    }

    /// By hand or in air, once moving, N.
    pub fn hand(&self) -> f64 {
        self.by_hand()
    }
}

impl<P: Copy> Drag<P> {
    /// The same in every lane.
    #[inline(always)]
    pub fn by_hand<R: Lanes>(&self) -> R
    where
        P: Across<R>,
    {
        self.rubs(R::zero(), R::zero()).limit + self.seal.across()
    }

    /// Force that presses the slide on its ways with this main force, N; below zero it rides on its
    /// keepers.
    #[inline(always)]
    pub fn on_ways<R: Lanes>(&self, main: R) -> R
    where
        P: Across<R>,
    {
        self.weight.across() + self.press.across() * main
    }

    /// What the ways rub with this main and feed force, at the drag of a slide moved by hand and
    /// without seals: without any force, and growth with either, as long as the slide keeps to its
    /// ways and is fed the same way.
    #[inline(always)]
    pub fn rubs<R: Lanes>(&self, main: R, feed: R) -> Limit<R>
    where
        P: Across<R>,
    {
        let sign = |x: R| R::one().select(x.simd_ge(R::zero()), -R::one());
        let friction = self.friction.across() * sign(self.on_ways(main));
        Limit {
            limit: friction * self.weight.across() + self.gib.across(),
            over_main: friction * self.press.across(),
            over_feed: self.side.across() * sign(feed),
        }
    }

    /// Share of that which is left while cutting; `local` is the drag at this place of the stroke
    /// over its mean.
    #[inline(always)]
    pub fn left<R: Lanes>(&self, local: P) -> R
    where
        P: Across<R>,
    {
        self.left_cutting.across() * local.across()
    }

    /// While cutting with this main and feed force, and growth with either; `local` as for
    /// [`Drag::left`].
    #[inline]
    pub fn cutting<R: Lanes>(&self, main: R, feed: R, local: P) -> Limit<R>
    where
        P: Across<R>,
    {
        let rubs = self.rubs(main, feed);
        let left = self.left(local);
        let all = rubs.limit + rubs.over_main * main + rubs.over_feed * feed;
        Limit {
            limit: left * all + self.seal.across(),
            over_main: left * rubs.over_main,
            over_feed: left * rubs.over_feed,
        }
    }
}
