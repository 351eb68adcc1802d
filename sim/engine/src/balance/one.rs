//! One rubbing body: from where it stood to its first balance.

use super::{Levels, Link, Load, Reaction};
use crate::arithmetic::{clamp, max};
use crate::record::Counters;

/// A body at rest.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rested {
    /// The load's parameter there.
    pub parameter: f64,
    /// The load there.
    pub load: Reaction,
    /// Force in its upstream link, N, positive into the cut.
    pub drive: f64,
    /// -1, 0, +1: whether and which way it moved.
    pub moved: i8,
}

/// One rubbing body on its own link, and where it stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Body {
    /// Its link to the guide.
    pub link: Link,
    /// What starts and stops it.
    pub levels: Levels,
    /// Where it stands, m.
    pub position: f64,
    /// The load's parameter there, or a guess: it only saves time.
    pub parameter: f64,
    /// Which way it last moved; 0: it stayed, or isn't known.
    pub moved: i8,
}

impl Body {
    /// A body at rest at `position`.
    pub fn new(link: Link, levels: Levels, position: f64) -> Self {
        Self {
            link,
            levels,
            position,
            parameter: position,
            moved: 0,
        }
    }

    /// Shifts it, as when the reference it is measured from moves away under it.
    pub fn shift(&mut self, by: f64) {
        self.position += by;
        self.parameter += by;
    }

    /// Moves the guide to `guide` and lets the body come to its first balance.
    #[inline]
    pub fn advance<L: Load>(&mut self, guide: f64, load: &L, counters: &mut Counters) -> Rested {
        let rested = settle(
            &self.link,
            guide,
            self.position,
            self.parameter,
            self.moved,
            load,
            self.levels,
            counters,
        );
        self.position = rested.load.position;
        self.parameter = rested.parameter;
        self.moved = rested.moved;
        rested
    }

    /// Where it comes to rest with the guide at `guide` under an even push (at height 0, N, and its
    /// growth, N/m) with one friction limit (N): what [`Body::advance`] searches for, in closed form;
    /// none where it would come onto another piece of its link.
    #[inline]
    pub fn advance_evenly(&self, guide: f64, push: [f64; 2], limit: f64) -> Option<Rested> {
        let push_at = |at: f64| push[0] + push[1] * at;
        let (drive, rate) = self.link.force_and_rate(guide - self.position);
        let net = drive - push_at(self.position);
        let way = if net.abs() <= self.levels.start * limit {
            0.0
        } else if net > 0.0 {
            1.0
        } else {
            -1.0
        };
        let by = if way == 0.0 {
            0.0
        } else {
            (net.abs() - self.levels.stop * limit) / (rate + push[1])
        };
        let position = self.position + way * by;
        let (drive, rate_there) = self.link.force_and_rate(guide - position);
        (by >= 0.0 && rate_there == rate).then(|| Rested {
            parameter: position,
            load: Reaction {
                position,
                position_slope: 1.0,
                push: push_at(position),
                push_slope: push[1],
                limit,
                limit_slope: 0.0,
            },
            drive,
            moved: way as i8,
        })
    }
}

/// How close `|net|` comes to the friction limit, relative to the forces present.
const FORCE_TOLERANCE: f64 = 1e-13;
/// How close is close enough for a last Newton step along the slopes, without looking again, in
/// force and in distance over that from the nearest kink: its error is of the order of the square.
const CLOSE: f64 = 3e-6;
/// Newton steps before bisection takes over for good.
const MAX_ITERATIONS: u32 = 80;

/// Finds where one body rests when its upstream neighbour is at `guide`.
///
/// `from` is where it stood, `near` the load's parameter there or close to it, `last` which way
/// it last moved (0: unknown); a good guess only saves time.
///
/// # Law
/// `net(x) = link(guide - x) - push(x)`. It stays if `|net(from)| <= start * F(from)`; else it
/// goes in the direction of `net` to the first place where `|net| = stop * F`. With `F`
/// independent of `x` and `net` falling, this is `clamp(from, x_lo, x_hi)`.
///
/// Counts a step as ambiguous where `net -+ F` doesn't fall with `x` (a load whose friction grows
/// faster than its push): then several balances exist and the first on the way is taken.
#[allow(clippy::too_many_arguments)]
pub fn settle<L: Load>(
    link: &Link,
    guide: f64,
    from: f64,
    near: f64,
    last: i8,
    load: &L,
    levels: Levels,
    counters: &mut Counters,
) -> Rested {
    counters.steps += 1;
    let path = Path {
        link,
        guide,
        load,
        stop: levels.stop,
    };
    let there = load.at(near);
    if last != 0 && levels.start == levels.stop {
        // A body on the move mostly moves on: if the balance in that direction lies ahead, the
        // starting place need not be looked at.
        if let Some(rested) = path.carry_on(from, near, there, f64::from(last), counters) {
            return rested;
        }
    }
    let (start, stood) = load.stand_from(from, near, there);
    let net = link.force(guide - from) - stood.push;
    if net.abs() <= levels.start * stood.limit {
        counters.stuck += 1;
        // Exactly where it stood: a rounding in `parameter` must not make it creep.
        let load = Reaction {
            position: from,
            ..stood
        };
        return Rested {
            parameter: start,
            load,
            drive: net + stood.push,
            moved: 0,
        };
    }
    let direction = if net > 0.0 { 1.0 } else { -1.0 };
    path.first_balance(from, start, stood, direction, counters)
}

/// A body on its way: what decides where it stops.
struct Path<'a, L> {
    link: &'a Link,
    guide: f64,
    load: &'a L,
    stop: f64,
}

impl<L: Load> Path<'_, L> {
    #[inline]
    fn excess(&self, e: f64, direction: f64) -> Excess {
        self.excess_of(self.load.at(e), direction)
    }

    #[inline]
    fn excess_of(&self, r: Reaction, direction: f64) -> Excess {
        let (force, rate) = self.link.force_and_rate(self.guide - r.position);
        Excess {
            value: direction * (force - r.push) - self.stop * r.limit,
            // Along the direction of travel.
            slope: -rate * r.position_slope - r.push_slope - direction * self.stop * r.limit_slope,
            scale: force.abs() + r.push.abs() + r.limit,
            drive: force,
            reaction: r,
        }
    }

    /// Whether a step `by` from `e` along the slopes is as good as another look.
    #[inline]
    fn close(&self, e: f64, by: f64, here: &Excess) -> bool {
        let bent_within = |kink: &f64| by.abs() <= CLOSE * (e - kink).abs();
        here.value.abs() <= CLOSE * here.scale && self.load.kinks().iter().all(bent_within)
    }

    /// The balance reached by plain Newton steps from `near`, where the load is `there`, without
    /// leaving the piece of the law that `near` is in; none if that doesn't work out or the
    /// balance lies behind `from`.
    #[inline]
    fn carry_on(
        &self,
        from: f64,
        near: f64,
        there: Reaction,
        direction: f64,
        counters: &mut Counters,
    ) -> Option<Rested> {
        let mut e = near;
        let mut here = self.excess_of(there, direction);
        let face = here.drive;
        for _ in 0..6 {
            if here.slope >= 0.0
                || here.may_rise()
                || (here.drive > 0.0) != (face > 0.0)
                || (here.drive < 0.0) != (face < 0.0)
            {
                return None;
            }
            let by = direction * here.value / -here.slope;
            // Already at the first look: a body that turns round or stays isn't worth a second.
            if direction * (here.reaction.moved(by).position - from) <= 0.0 {
                return None;
            }
            if self.close(e, by, &here) {
                return Some(self.rested_beyond(e, by, here, direction));
            }
            let next = e + by;
            if self
                .load
                .kinks()
                .iter()
                .any(|&k| (e - k) * (next - k) <= 0.0)
            {
                return None;
            }
            counters.iterations += 1;
            e = next;
            here = self.excess(e, direction);
        }
        None
    }

    /// The first balance from `from` on in `direction`, piece by piece between the kinks.
    fn first_balance(
        &self,
        from: f64,
        start: f64,
        stood: Reaction,
        direction: f64,
        counters: &mut Counters,
    ) -> Rested {
        let half = direction * 0.5 * self.link.slack;
        // Kinks on the way, nearest first: both faces of the link, and the load's own.
        let mut faces = [self.guide - half, self.guide + half]
            .into_iter()
            .filter(|face| direction * (face - from) > 0.0)
            .peekable();
        let own = self.load.kinks();
        let mut kinks = (0..own.len())
            .map(|i| {
                own[if direction > 0.0 {
                    i
                } else {
                    own.len() - 1 - i
                }]
            })
            .filter(|kink| direction * (kink - start) > 0.0)
            .map(|kink| (kink, self.load.at(kink)))
            .peekable();
        let mut low = start;
        let mut at_low = self.excess_of(stood, direction);
        loop {
            let kink = kinks.next_if(|(_, there)| {
                faces
                    .peek()
                    .is_none_or(|face| direction * (face - there.position) > 0.0)
            });
            let next = kink.or_else(|| {
                let face = faces.next()?;
                Some(self.load.stand_from(face, low, at_low.reaction))
            });
            let Some((kink, there)) = next else { break };
            let there = self.excess_of(there, direction);
            if (at_low.may_rise() || there.may_rise()) && kink != low {
                // Perhaps not monotone: look for an earlier balance inside the piece.
                if let Some((a, b)) = self.first_crossing(low, kink, direction) {
                    let rises = at_low.slope > 0.0 || there.slope > 0.0 || there.value > 0.0;
                    counters.ambiguous += u64::from(rises);
                    return self.root(a, self.excess(a, direction), b, direction, counters);
                }
            }
            if there.value <= 0.0 {
                return self.root(low, at_low, kink, direction, counters);
            }
            if there.value <= self.rounding(&there.reaction) {
                // Without friction an open gap is all balance: the first is its near edge, and
                // rounding must not step over that.
                return self.rested(kink, there, direction);
            }
            low = kink;
            at_low = there;
        }
        // The last piece is open: find its far end, then the root.
        let mut reach = clamp(at_low.value / max(at_low.slope.abs(), 1e3), 1e-9, 1.0) * 2.0;
        let mut high = low + direction * reach;
        let mut there = self.excess(high, direction);
        let mut doublings = 0;
        while there.value > 0.0 {
            low = high;
            at_low = there;
            reach *= 2.0;
            high += direction * reach;
            there = self.excess(high, direction);
            doublings += 1;
            if doublings > 60 {
                counters.unconverged += 1;
                return self.rested(high, there, direction);
            }
        }
        if there.slope > 0.0 {
            counters.ambiguous += 1;
        }
        self.root(low, at_low, high, direction, counters)
    }

    /// At rest `by` further on than `e`, along the slopes there.
    #[inline]
    fn rested_beyond(&self, e: f64, by: f64, at: Excess, direction: f64) -> Rested {
        let drive_slope = -self.link.rate(self.guide - at.reaction.position);
        Rested {
            parameter: e + by,
            drive: at.drive + drive_slope * at.reaction.position_slope * by,
            load: at.reaction.moved(by),
            moved: direction as i8,
        }
    }

    /// What rounding of the positions alone makes of the link's force, N.
    fn rounding(&self, at: &Reaction) -> f64 {
        2.0 * f64::EPSILON
            * max(self.link.first, self.link.other)
            * (self.guide.abs() + at.position.abs() + self.link.slack)
    }

    fn rested(&self, parameter: f64, at: Excess, direction: f64) -> Rested {
        Rested {
            parameter,
            load: at.reaction,
            drive: at.drive,
            moved: direction as i8,
        }
    }

    /// Newton's method kept inside a bracket, `excess(a) > 0 >= excess(b)`.
    fn root(
        &self,
        mut a: f64,
        at_a: Excess,
        mut b: f64,
        direction: f64,
        counters: &mut Counters,
    ) -> Rested {
        let mut x = a;
        let mut here = at_a;
        for iteration in 0..MAX_ITERATIONS {
            counters.iterations += 1;
            // Slopes are taken along the direction of travel; the parameter's step follows.
            let newton = if here.slope < 0.0 {
                x + direction * here.value / -here.slope
            } else {
                f64::NAN
            };
            let inside = direction * (newton - a) > 0.0 && direction * (b - newton) > 0.0;
            if inside && self.close(x, newton - x, &here) {
                return self.rested_beyond(x, newton - x, here, direction);
            }
            let next = if inside && iteration < MAX_ITERATIONS / 2 {
                newton
            } else {
                0.5 * (a + b)
            };
            if next == x || (b - a).abs() <= 1e-18 + 1e-15 * x.abs() {
                return self.rested(x, here, direction);
            }
            x = next;
            here = self.excess(x, direction);
            if here.value.abs() <= FORCE_TOLERANCE * here.scale {
                return self.rested(x, here, direction);
            }
            if here.value > 0.0 {
                a = x;
            } else {
                b = x;
            }
        }
        counters.unconverged += 1;
        self.rested(x, here, direction)
    }

    /// The first of 32 parts of a piece over which the excess changes sign.
    fn first_crossing(&self, a: f64, b: f64, direction: f64) -> Option<(f64, f64)> {
        const PARTS: i32 = 32;
        let mut low = a;
        for part in 1..PARTS {
            let high = a + (b - a) * f64::from(part) / f64::from(PARTS);
            if self.excess(high, direction).value <= 0.0 {
                return Some((low, high));
            }
            low = high;
        }
        None
    }
}

/// `|net|` above the friction limit, and its slope along the direction of travel.
#[derive(Clone, Copy)]
struct Excess {
    value: f64,
    slope: f64,
    scale: f64,
    drive: f64,
    reaction: Reaction,
}

impl Excess {
    /// Whether the net force may rise somewhere near: it does here, or friction grows faster than
    /// the load, so that only the link keeps it falling.
    fn may_rise(&self) -> bool {
        let load = &self.reaction;
        self.slope > 0.0 || load.push_slope < load.limit_slope.abs()
    }
}
