//! One rubbing body under a load that goes by quadratics: the clamp in closed form.

use super::{Link, Reaction};
use crate::lanes::{Across, Lanes, Mask as _, slips};

/// A load about one parameter, as quadratics in how much further on than that it is: constant,
/// slope, half the bend.
#[derive(Clone, Copy, Debug)]
pub struct Quadratic<R> {
    /// The parameter.
    pub from: R,
    /// How far the body stands further on than the parameter, over the push, m/N.
    pub gives: R,
    /// Push of the load, N.
    pub push: [R; 3],
    /// Friction limit once moving, N.
    pub limit: [R; 3],
    /// What holds the body besides, out of the cut, N, and its growth, N/m: it makes nothing give.
    pub hold: [R; 2],
}

impl<R: Lanes> Quadratic<R> {
    /// The body's position, likewise.
    #[inline(always)]
    fn positions(&self) -> [R; 3] {
        let [push, slope, square] = self.push;
        [
            self.gives.times_plus(push, self.from),
            self.gives.times_plus(slope, R::one()),
            self.gives * square,
        ]
    }

    /// The load at a parameter.
    #[inline(always)]
    pub fn at(&self, e: R) -> Reaction<R> {
        let by = e - self.from;
        let of = |[constant, slope, square]: [R; 3]| {
            let bend = by * square;
            (constant + by * (slope + bend), slope + (bend + bend))
        };
        let (push, push_slope) = of(self.push);
        let (limit, limit_slope) = of(self.limit);
        Reaction {
            position: e + self.gives * push,
            position_slope: R::one() + self.gives * push_slope,
            push: push + (self.hold[0] + by * self.hold[1]),
            push_slope: push_slope + self.hold[1],
            limit,
            limit_slope,
        }
    }
}

/// Where a body comes to rest that moves one way.
#[derive(Clone, Copy, Debug)]
pub struct SlipLimit<R: Lanes> {
    /// How much further on than the load's parameter.
    pub by: R,
    /// The body's position, m.
    pub position: R,
    /// Whether it is the balance.
    pub sure: R::Mask,
}

/// Where a body comes to rest.
#[derive(Clone, Copy, Debug)]
pub struct Clamped<R: Lanes> {
    /// How much further on than the load's parameter.
    pub by: R,
    /// The body's position, m.
    pub position: R,
    /// All that pushes it out of the cut, N.
    pub push: R,
    /// Friction limit, N.
    pub limit: R,
    /// Force in its upstream link, N.
    pub drive: R,
    /// Which way it went: as asked, or 0.
    pub way: R,
    /// Whether it is the balance.
    pub sure: R::Mask,
    /// Which way it is pulled from there, where it isn't as it stays: +1 or -1.
    pub pulled: R,
}

/// How strongly a quadratic may bend on the way to its root: of a step along the slope so large a
/// share is the first correction. The series below is then within 1e-9 of the step.
const BENDS: f64 = 0.01;

/// Step to the root of `constant + slope t + square t^2` that the slope leads to, and whether the
/// bend is little enough.
#[inline(always)]
fn root<R: Lanes>([constant, slope, square]: [R; 3]) -> (R, R::Mask) {
    let per_slope = -R::one() / slope;
    let step = constant * per_slope;
    // Reversion of the series: t = s (1 + b + 2 b^2 + 5 b^3 + 14 b^4), b = -square s / slope.
    let b = square * step * per_slope;
    let more = b.times_plus(b.times_plus(R::splat(14.0), R::splat(5.0)), R::splat(2.0));
    let step = step.times_plus((b * b).times_plus(more, b), step);
    (step, b.simd_abs().simd_le(R::splat(BENDS)))
}

/// Rate of a link stretched by this, and from where it is.
#[inline(always)]
fn piece<R: Lanes, P: Across<R>>(link: &Link<P>, apart: R) -> (R, R) {
    let half = R::splat(0.5) * link.slack.across();
    let on_other = apart.simd_lt(-half);
    let on_first = link.first.across().select(apart.simd_gt(half), R::zero());
    let rate = link.other.across().select(on_other, on_first);
    (rate, (-half).select(on_other, half))
}

#[inline(always)]
fn along<R: Lanes>([constant, slope, square]: [R; 3], by: R) -> R {
    by.times_plus(by.times_plus(square, slope), constant)
}

/// The bound of a body that moves along `way` (+1, -1; 0: none) while its upstream neighbour is at
/// `guide`, with one friction level, on the piece of the link that the load's parameter is on.
#[inline(always)]
pub fn slip_limit<R: Lanes, P: Across<R>>(
    link: &Link<P>,
    guide: R,
    way: R,
    load: &Quadratic<R>,
) -> SlipLimit<R> {
    let [push, push_slope, push_square] = load.push;
    let [limit, limit_slope, limit_square] = load.limit;
    let at = load.positions();
    let held_slope = push_slope + load.hold[1];
    // way (link - push) - limit = 0.
    let apart = guide - at[0];
    let (rate, stretched_from) = piece(link, apart);
    let net = rate.times_plus(apart - stretched_from, -(push + load.hold[0]));
    let back = -way;
    let slope = back.times_plus(rate.times_plus(at[1], held_slope), -limit_slope);
    let square = back.times_plus(rate.times_plus(at[2], push_square), -limit_square);
    let (by, straight) = root([way.times_plus(net, -limit), slope, square]);
    let position = along(at, by);
    // Whatever the link does: where friction grows faster than the load, there may be an earlier
    // balance.
    let falls = (way * slope).simd_lt(R::zero()) & held_slope.simd_ge(limit_slope.simd_abs());
    let same_piece = piece(link, guide - position).0.simd_eq(rate);
    SlipLimit {
        by,
        position,
        sure: straight & falls & same_piece,
    }
}

/// Where a body comes to rest that stood at `from` and, if it moves, moves along `way` (+1, -1; 0:
/// it stays) to the bound ahead, while its upstream neighbour is at `guide`.
///
/// The law of [`super::settle`] is `clamp(from, low, high)`; here with the bound on one side. Sure
/// where the body does go that way, or can stay. No lane knows of the others.
#[inline(always)]
pub fn stick_or_slip<R: Lanes, P: Across<R>>(
    link: &Link<P>,
    guide: R,
    from: R,
    way: R,
    load: &Quadratic<R>,
    ahead: &SlipLimit<R>,
) -> Clamped<R> {
    let (zero, one) = (R::zero(), R::one());
    let goes = slips(from, way, ahead.position);
    let at = load.positions();
    // Where all go, nobody asks where they would stay.
    let (stays_by, straight) = if goes.all() {
        (zero, goes)
    } else {
        root([at[0] - from, at[1], at[2]])
    };
    let by = ahead.by.select(goes, stays_by);
    let position = ahead.position.select(goes, from);
    let push = along(load.push, by) + by.times_plus(load.hold[1], load.hold[0]);
    let limit = along(load.limit, by);
    let apart = guide - position;
    let (rate, stretched_from) = piece(link, apart);
    let drive = rate * (apart - stretched_from);
    let net = drive - push;
    let can_stay = !goes & straight & net.simd_abs().simd_le(limit);
    Clamped {
        by,
        position,
        push,
        limit,
        drive,
        way: way.select(goes, zero),
        sure: (goes & ahead.sure) | can_stay,
        pulled: one.select(net.simd_gt(zero), -one),
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::balance::{Levels, Load, settle};
    use crate::record::Counters;

    impl Load for Quadratic<f64> {
        fn at(&self, e: f64) -> Reaction {
            Quadratic::at(self, e)
        }

        fn stand(&self, position: f64, near: f64) -> (f64, Reaction) {
            let mut e = near;
            for _ in 0..50 {
                let here = Quadratic::at(self, e);
                e -= (here.position - position) / here.position_slope;
            }
            (e, Quadratic::at(self, e))
        }

        fn kinks(&self) -> &[f64] {
            &[]
        }
    }

    proptest! {
        /// The march to the first balance is the reference: where the closed form is sure it comes
        /// to rest there too, and if it is told the way and the bend is small it is sure.
        #[test]
        fn a_body_rests_where_the_march_finds_it(
            (slack, first, other) in (0.0..200e-6, 1e6..1e8, 1e6..1e8),
            (push, push_slope, push_square) in (-200.0..500.0_f64, 0.0..5e6, -1e9..1e9),
            (limit, limit_share, limit_square) in (0.0..200.0, -1.0..1.0, -1e9..1e9),
            (gives, hold, rate) in (0.0..1e-7, -300.0..300.0_f64, 0.0..1e4),
            (guide, from, way) in (-150e-6..150e-6, -20e-6..20e-6, -1i8..=1),
        ) {
            let link = Link { slack, first, other };
            let limit_slope = limit_share * push_slope;
            let load = Quadratic {
                from: 0.0,
                gives,
                push: [push, push_slope, push_square],
                limit: [limit, limit_slope, limit_square],
                hold: [hold, rate],
            };
            let way_to = f64::from(way);
            let bound = slip_limit(&link, guide, way_to, &load);
            let found = stick_or_slip(&link, guide, from, way_to, &load, &bound);
            // Beyond a tenth of a millimetre the quadratics may turn round.
            prop_assume!(found.by.abs() < 100e-6);
            let there = load.at(found.by);
            prop_assume!(there.limit > 1e-3 && there.push_slope >= there.limit_slope.abs());
            let (start, _) = load.stand(from, 0.0);
            let settled = settle(
                &link, guide, from, start, 0, &load, Levels::ONE, &mut Counters::default(),
            );
            if found.sure {
                prop_assert!((found.by - settled.parameter).abs() < 1e-12 + 1e-7 * found.by.abs());
                prop_assert!((found.position - settled.load.position).abs() < 1e-12 + 1e-7 * found.by.abs());
                let force = 1e-4 * (push.abs() + hold.abs() + limit + 1.0);
                prop_assert!((found.push - settled.load.push).abs() < force);
                prop_assert!((found.limit - settled.load.limit).abs() < force);
                prop_assert!((found.drive - settled.drive).abs() < force);
                prop_assert_eq!(found.way as i8, settled.moved);
            } else if found.way == 0.0 && settled.moved != way {
                // It is told which way to look next.
                prop_assert_eq!(found.pulled as i8, settled.moved);
            }
        }
    }
}
