//! Several steps of one rubbing body at once: where it would rest if it moved this way.
//!
//! With one friction level and a net force that falls, the body of [`super::settle`] goes to
//! `clamp(from, low, high)`, where the two bounds don't depend on where it stood. So the bounds of
//! many steps can be worked out side by side, and only the clamp has to wait for the step before.

use super::one::Excess;
use super::{Link, Reaction};
use crate::lanes::{Across, Lanes, Mask};
use crate::record::Counters;

/// How close is close enough for a last step along the slopes, in force and in distance over that
/// from the kink: its error is of the order of the square, some 1e-8 of the depth.
pub const CLOSE: f64 = 1e-4;
/// The same where the load is known to bend only slowly: less than 1e-7 of the depth.
pub const CLOSE_UNBENT: f64 = 1e-3;
/// Looks at the law before a lane is given up and left to [`super::settle`].
const LOOKS: u32 = 6;

/// Where a body that moves in one direction comes to rest.
#[derive(Clone, Copy, Debug)]
pub struct Bound<R: Lanes> {
    /// The load's parameter there.
    pub parameter: R,
    /// The load there.
    pub load: Reaction<R>,
    /// Force in the upstream link, N, positive into the cut.
    pub drive: R,
    /// Whether it is the balance: found, and the net force falls through it and around it.
    pub sure: R::Mask,
}

/// The bound of a body that moves along `way` (+1, -1) while its upstream neighbour is at
/// `guide`, with one friction level. `at` is its load, with one kink at `kink`; `first` is where it
/// was looked at first, and what was found there; `closeness` is [`CLOSE`] or [`CLOSE_UNBENT`].
/// Only the lanes `asked` for are waited for, and none knows of the others.
#[allow(clippy::too_many_arguments)]
#[inline(always)]
pub fn bound<R: Lanes, P: Across<R>>(
    link: &Link<P>,
    guide: R,
    first: (R, Reaction<R>),
    way: R,
    mut at: impl FnMut(R) -> Reaction<R>,
    kink: R,
    closeness: f64,
    asked: R::Mask,
    counters: &mut Counters,
) -> Bound<R> {
    let idle = !asked;
    let one = R::one();
    let (mut e, mut there) = first;
    let mut falls = asked;
    for look in 1.. {
        let here = Excess::new(link, guide, there, way, one);
        let holds = here.slope.simd_lt(R::zero());
        // Whatever the link does: where friction grows faster than the load, there may be an
        // earlier balance.
        let load = &here.reaction;
        falls = falls & load.push_slope.simd_ge(load.limit_slope.simd_abs());
        let newton = way * here.value / -here.slope;
        let close = close(here.value, here.scale, newton, e - kink, closeness) & holds & falls;
        let rest = here.reaction.moved(newton);
        let rate = here.rate;
        let sure = close & link.rate(guide - rest.position).simd_eq(rate);
        if (sure | idle).all() || look == LOOKS {
            return Bound {
                parameter: e + newton,
                load: rest,
                drive: here.drive - rate * here.reaction.position_slope * newton,
                sure,
            };
        }
        counters.iterations += 1;
        // In an open gap in air nothing pulls: on to the face that a body going this way comes to.
        let spring = link
            .first
            .across()
            .select(way.simd_gt(R::zero()), link.other.across());
        let face = guide - way * (R::splat(0.5) * link.slack.across());
        let to_face = face - here.reaction.position - way * here.reaction.limit / spring;
        // What is found stays where it is, however long the others take.
        e += R::zero().select(sure, newton.select(holds, to_face));
        there = at(e);
    }
    unreachable!("the last look returns")
}

/// The parameter at which the body stands at `position`, everything there, and whether one look at
/// the load `there`, at `near`, was enough to find it.
#[inline(always)]
pub fn stand_near<R: Lanes>(
    position: R,
    near: R,
    there: &Reaction<R>,
    kink: R,
    closeness: f64,
) -> (R, Reaction<R>, R::Mask) {
    let miss = there.position - position;
    let by = -miss / there.position_slope;
    // Against the depth: that is what the load grows with.
    let found = close(miss, near - kink, by, near - kink, closeness);
    (near + by, there.moved(by), found)
}

/// The parameter at which the body stands at `position`, everything there, and whether it was
/// found; `first` is where it was looked at first, and what was found there. Only the lanes `asked`
/// for are waited for, and none knows of the others.
#[inline(always)]
pub fn stand<R: Lanes>(
    position: R,
    first: (R, Reaction<R>),
    mut at: impl FnMut(R) -> Reaction<R>,
    kink: R,
    closeness: f64,
    asked: R::Mask,
    counters: &mut Counters,
) -> (R, Reaction<R>, R::Mask) {
    let idle = !asked;
    let (mut e, mut there) = first;
    for look in 1.. {
        let (stands, moved, found) = stand_near(position, e, &there, kink, closeness);
        if (found | idle).all() || look == LOOKS {
            return (stands, moved, found);
        }
        counters.iterations += 1;
        e = e.select(found, stands);
        there = at(e);
    }
    unreachable!("the last look returns")
}

#[inline(always)]
fn close<R: Lanes>(miss: R, scale: R, by: R, from_kink: R, closeness: f64) -> R::Mask {
    let near = R::splat(closeness);
    miss.simd_abs().simd_le(near * scale.simd_abs())
        & by.simd_abs().simd_le(near * from_kink.simd_abs())
}
