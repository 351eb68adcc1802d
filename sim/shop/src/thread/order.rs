//! Which way of cutting a thread comes first, and what puts every other one behind it.

use std::cmp::Ordering;

use super::record::{Behind, ThreadRun, ThreadWay};
use crate::arithmetic::{clamp, log2, max, min};
use crate::setup::Setup;
use crate::threading::Method;
use crate::verdict::NOT_SEEN;

/// Where a way stands: the less the better. Time and depth go in steps of two over the best of
/// the ways that may be advised, so that ways close together are not told apart by either.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Rank {
    out: bool,
    danger: bool,
    misses: bool,
    handwork: bool,
    time: i32,
    over: bool,
    trouble: i32,
    unsteady: bool,
    place: usize,
}

/// The best that any way does that may be advised.
#[derive(Clone, Copy)]
struct Least {
    time: f64,
    trouble: f64,
}

impl Least {
    fn of(ways: &[ThreadWay]) -> Self {
        let least = |of: fn(&ThreadWay) -> Option<f64>| {
            let open = ways.iter().filter(|way| !way.forbidden);
            open.filter_map(of).fold(f64::INFINITY, min)
        };
        Self {
            time: clamp(least(|way| way.labour.map(|labour| labour.time)), 1.0, 1e9),
            trouble: clamp(least(|way| way.run.as_ref().map(trouble)), NOT_SEEN, 1.0),
        }
    }
}

/// Doublings of `least` that are in `value`.
fn steps(value: f64, least: f64) -> i32 {
    clamp(log2(value / least), 0.0, 60.0).floor() as i32
}

impl Rank {
    fn of(way: &ThreadWay, least: Least) -> Self {
        let run = way.run.as_ref();
        let time = way.labour.map_or(f64::INFINITY, |labour| labour.time);
        Self {
            out: !way.out.is_empty(),
            danger: way.forbidden,
            misses: !run.is_some_and(|run| run.verdict.met()),
            handwork: !way.labour.is_some_and(|labour| labour.plain),
            time: steps(time, least.time),
            over: way.method == Method::TailstockOver,
            trouble: steps(run.map_or(f64::INFINITY, trouble), least.trouble),
            unsteady: run.is_some_and(|run| !run.by_dial.steady),
            place: Setup::all(way.setup.kind, way.setup.big_end)
                .iter()
                .position(|setup| *setup == way.setup)
                .unwrap_or(usize::MAX),
        }
    }

    /// In what this one is worse than the first.
    fn behind(&self, first: &Self) -> Option<Behind> {
        let each = [
            (self.danger.cmp(&first.danger), Behind::Danger),
            (self.misses.cmp(&first.misses), Behind::Drawing),
            (self.handwork.cmp(&first.handwork), Behind::Handwork),
            (self.time.cmp(&first.time), Behind::Time),
            (self.over.cmp(&first.over), Behind::Tailstock),
            (self.trouble.cmp(&first.trouble), Behind::Depth),
            (self.unsteady.cmp(&first.unsteady), Behind::Seat),
            (self.place.cmp(&first.place), Behind::Plainness),
        ];
        let worse = each.iter().find(|(order, _)| *order != Ordering::Equal);
        worse.map(|(_, behind)| *behind)
    }
}

/// What a way leaves wrong, m: depth, its change along the thread, steps from pass to pass.
fn trouble(run: &ThreadRun) -> f64 {
    let step = run
        .passes
        .iter()
        .filter_map(|pass| pass.step)
        .fold(0.0, |most: f64, step| max(most, step.abs()));
    max(max(run.by_dial.depth_error.abs(), run.outcome.along), step)
}

/// Puts the ways in order: can be cut, may be advised, meets the drawing; then labour, no hand at
/// the slide and few gaugings first, and then the time; then without setting over the tailstock, keeps depth,
/// keeps its seat, plainest. Every way that can be cut is told what puts it behind the first.
pub(super) fn put_in_order(ways: &mut [ThreadWay]) {
    let least = Least::of(ways);
    ways.sort_by_key(|way| Rank::of(way, least));
    let Some((first, others)) = ways.split_first_mut() else {
        return;
    };
    if !first.out.is_empty() || first.forbidden {
        return;
    }
    let best = Rank::of(first, least);
    for way in others.iter_mut().filter(|way| way.out.is_empty()) {
        way.behind = Rank::of(way, least).behind(&best);
    }
}
