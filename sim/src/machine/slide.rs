//! The cross-slide's drag.
//!
//! `F = gib + mu |W + press * arm * Fc| + mu_side * arm * Ff + seal`, where gib and weight
//! together give the hand drag that a spring scale reads. Lifted beyond its weight, the slide
//! rides on its keepers: the absolute value. Vibration in the cut eases all of it but the seal;
//! hand moves, reversals and the run-in in air have the full value and the higher starting force.

use crate::lanes::Lanes;
use crate::scenario::CrossSlide;
use crate::setup::Press;

/// Friction limit of the slide.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Drag {
    /// Share of the hand drag that doesn't come from weight, N.
    pub gib: f64,
    /// Friction coefficient of the ways.
    pub friction: f64,
    /// Weight on the ways, N.
    pub weight: f64,
    /// +1 when the main force presses the slide down, -1 when it lifts, times the overhang arm.
    pub press: f64,
    /// Friction coefficient against the side of the ways times the overhang arm.
    pub side: f64,
    /// Drag of a cylinder's seals, N.
    pub seal: f64,
    /// Share left while cutting.
    pub left_cutting: f64,
    /// Force to start over force to keep moving, by hand.
    pub breakaway: f64,
    /// Half of the swing of the drag along the stroke, as a share.
    pub change: f64,
}

/// A friction limit and how it grows with the cutting force.
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
            slide.friction.si().min(hand / weight)
        } else {
            slide.friction.si()
        };
        let arm = slide.overhang.si().max(1.0);
        Self {
            gib: (hand - friction * weight).max(0.0),
            friction,
            weight,
            press: press.sign() * arm,
            side: slide.side_friction.si() * arm,
            seal,
            left_cutting: slide.drag_left_cutting.si(),
            breakaway: slide.breakaway.si().max(1.0),
            change: slide.drag_change.si(),
        }
    }

    /// By hand or in air, once moving, N.
    pub fn hand(&self) -> f64 {
        self.gib + self.friction * self.weight + self.seal
    }

    /// While cutting with this main and feed force; `local` is the drag at this place of the
    /// stroke over its mean.
    #[inline]
    pub fn cutting<R: Lanes>(&self, main: R, feed: R, local: f64) -> Limit<R> {
        let share = self.left_cutting * local;
        let ways = R::splat(self.weight) + R::splat(self.press) * main;
        let on_ways = R::splat(share * self.friction);
        let at_side = R::splat(share * self.side);
        let sign = |x: R| R::one().select(x.simd_ge(R::zero()), -R::one());
        Limit {
            limit: on_ways * ways.simd_abs()
                + at_side * feed.simd_abs()
                + R::splat(share * self.gib + self.seal),
            over_main: on_ways * R::splat(self.press) * sign(ways),
            over_feed: at_side * sign(feed),
        }
    }
}
