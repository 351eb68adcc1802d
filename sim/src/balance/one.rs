//! One rubbing body: from where it stood to its first balance.

use super::{Levels, Link, Load, Reaction};
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

/// How close `|net|` comes to the friction limit, relative to the forces present.
const FORCE_TOLERANCE: f64 = 1e-13;
/// Newton steps before bisection takes over for good.
const MAX_ITERATIONS: u32 = 80;

/// Finds where one body rests when its upstream neighbour is at `guide`.
///
/// `from` is where it stood, `near` the load's parameter there or close to it.
///
/// # Law
/// `net(x) = link(guide - x) - push(x)`. It stays if `|net(from)| <= start * F(from)`; else it
/// goes in the direction of `net` to the first place where `|net| = stop * F`. With `F`
/// independent of `x` and `net` falling, this is `clamp(from, x_lo, x_hi)`.
///
/// Counts a step as ambiguous where `net -+ F` doesn't fall with `x` (a load whose friction grows
/// faster than its push): then several balances exist and the first on the way is taken.
pub fn settle<L: Load>(
    link: &Link,
    guide: f64,
    from: f64,
    near: f64,
    load: &L,
    levels: Levels,
    counters: &mut Counters,
) -> Rested {
    counters.steps += 1;
    let start = load.parameter(from, near);
    let stood = load.at(start);
    let net = link.force(guide - from) - stood.push;
    if net.abs() <= levels.start * stood.limit {
        counters.stuck += 1;
        // Exactly where it stood: a rounding in `parameter` must not make it creep.
        let load = Reaction { position: from, ..stood };
        return Rested { parameter: start, load, drive: net + stood.push, moved: 0 };
    }
    let direction = if net > 0.0 { 1.0 } else { -1.0 };
    let stop = levels.stop;
    let excess = |e: f64| {
        let r = load.at(e);
        let d = guide - r.position;
        let net = link.force(d) - r.push;
        let value = direction * net - stop * r.limit;
        // Along the direction of travel.
        let slope = -link.rate(d) * r.position_slope
            - r.push_slope
            - direction * stop * r.limit_slope;
        let scale = link.force(d).abs() + r.push.abs() + r.limit;
        Excess { value, slope, scale, reaction: r }
    };
    // Kinks on the way, nearest first: both faces of the link, then the load's own.
    let mut kinks = [f64::NAN; 6];
    let mut count = 0;
    for face in [guide - 0.5 * link.slack, guide + 0.5 * link.slack] {
        if direction * (face - from) > 0.0 {
            kinks[count] = load.parameter(face, start);
            count += 1;
        }
    }
    for &kink in load.kinks().iter().take(4) {
        if direction * (kink - start) > 0.0 {
            kinks[count] = kink;
            count += 1;
        }
    }
    let way = &mut kinks[..count];
    way.sort_unstable_by(|a, b| (direction * a).total_cmp(&(direction * b)));
    let mut low = start;
    let mut low_excess = excess(low);
    for &kink in way.iter() {
        let there = excess(kink);
        let unsafe_slope = low_excess.slope >= 0.0 || there.slope > 0.0;
        if unsafe_slope && kink != low {
            // Not monotone: look for an earlier balance inside the piece.
            if let Some((a, b)) = first_crossing(&excess, low, kink) {
                counters.ambiguous += 1;
                return finish(link, guide, direction, root(&excess, a, b, counters));
            }
        }
        if there.value <= 0.0 {
            return finish(link, guide, direction, root(&excess, low, kink, counters));
        }
        low = kink;
        low_excess = there;
    }
    // The last piece is open: find its far end, then the root.
    let mut reach = (low_excess.value / low_excess.slope.abs().max(1e3)).clamp(1e-9, 1.0) * 2.0;
    let mut high = low + direction * reach;
    let mut there = excess(high);
    let mut doublings = 0;
    while there.value > 0.0 {
        low = high;
        reach *= 2.0;
        high += direction * reach;
        there = excess(high);
        doublings += 1;
        if doublings > 60 {
            counters.unconverged += 1;
            return finish(link, guide, direction, (high, there.reaction));
        }
    }
    if there.slope > 0.0 {
        counters.ambiguous += 1;
    }
    finish(link, guide, direction, root(&excess, low, high, counters))
}

/// `|net|` above the friction limit, and its slope along the parameter times the direction.
#[derive(Clone, Copy)]
struct Excess {
    value: f64,
    slope: f64,
    scale: f64,
    reaction: Reaction,
}

fn finish(link: &Link, guide: f64, direction: f64, at: (f64, Reaction)) -> Rested {
    let (parameter, load) = at;
    Rested { parameter, load, drive: link.force(guide - load.position), moved: direction as i8 }
}

/// Newton's method kept inside a bracket, `excess(a) > 0 >= excess(b)`.
fn root(
    excess: &impl Fn(f64) -> Excess,
    a: f64,
    b: f64,
    counters: &mut Counters,
) -> (f64, Reaction) {
    let sign = if b >= a { 1.0 } else { -1.0 };
    let (mut a, mut b) = (a, b);
    let mut x = a;
    let mut here = excess(x);
    for iteration in 0..MAX_ITERATIONS {
        counters.iterations += 1;
        // Slopes are taken along the direction of travel; the step along the parameter follows.
        let newton = if here.slope < 0.0 { x + sign * here.value / -here.slope } else { f64::NAN };
        let inside = sign * (newton - a) > 0.0 && sign * (b - newton) > 0.0;
        let next = if inside && iteration < MAX_ITERATIONS / 2 { newton } else { 0.5 * (a + b) };
        if next == x || (b - a).abs() <= 1e-18 + 1e-15 * x.abs() {
            return (x, here.reaction);
        }
        x = next;
        here = excess(x);
        if here.value.abs() <= FORCE_TOLERANCE * here.scale {
            return (x, here.reaction);
        }
        if here.value > 0.0 {
            a = x;
        } else {
            b = x;
        }
    }
    counters.unconverged += 1;
    (x, here.reaction)
}

/// The first of 32 parts of a piece over which the excess changes sign.
fn first_crossing(excess: &impl Fn(f64) -> Excess, a: f64, b: f64) -> Option<(f64, f64)> {
    const PARTS: i32 = 32;
    let mut low = a;
    for part in 1..PARTS {
        let high = a + (b - a) * f64::from(part) / f64::from(PARTS);
        if excess(high).value <= 0.0 {
            return Some((low, high));
        }
        low = high;
    }
    None
}
