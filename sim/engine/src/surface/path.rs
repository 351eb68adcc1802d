//! The path of the edge through a pass, and what its turns leave on each line: the envelope of the
//! nose arcs.

use std::ops::Range;

use crate::arithmetic::max;
use crate::cutting::EdgeShape;
use crate::helix::{after, run_of};
use crate::lanes::{Eight, Lanes, Layout, everywhere};

/// Added before the fraction is dropped, it rounds as `round` does, without the call.
const UNDER_HALF: f64 = 0.5_f64.next_down();
/// Turns to either side whose arcs can reach a place.
const REACH: usize = 6;

/// The edge's path of one pass: its height at each step, in the order cut.
#[derive(Clone, Debug, PartialEq)]
pub struct EdgePath {
    /// Height of the nose's lowest point, m; minus infinity where nothing was cut.
    pub heights: Vec<f64>,
    /// Place of the first step, m.
    pub start: f64,
    /// +1 toward the tailstock, -1 toward the headstock.
    pub direction: f64,
    /// Steps in a turn: one a meridian.
    pub per_turn: usize,
    /// Feed and nose.
    pub shape: EdgeShape,
}

impl EdgePath {
    /// Place of step `i`, m.
    pub fn place(&self, i: usize) -> f64 {
        self.start + self.direction * self.shape.feed * i as f64 / self.per_turn as f64
    }

    /// Height on one meridian at `z`, feed marks and all, m; minus infinity outside the path.
    pub fn height(&self, meridian: usize, z: f64) -> f64 {
        let per_turn = self.per_turn;
        let turns = (self.heights.len() - meridian).div_ceil(per_turn);
        let turn = (z - self.place(meridian)) * self.direction / self.shape.feed;
        let low = (turn.floor() as isize - REACH as isize).max(0) as usize;
        let high = (turn.ceil() as isize + REACH as isize).clamp(0, turns as isize) as usize;
        (low..high)
            .map(|t| {
                let i = meridian + t * per_turn;
                self.heights[i] - arc(&self.shape, z - self.place(i))
            })
            .fold(f64::NEG_INFINITY, max)
    }
}

/// Lowest and highest of nothing.
#[inline(always)]
pub(super) fn no_range<L: Lanes>() -> (L, L) {
    (L::splat(f64::INFINITY), L::splat(f64::NEG_INFINITY))
}

/// Lowest and highest, none of them NaN, four at a time.
#[inline(always)]
pub(super) fn range<L: Lanes>(values: &[L]) -> (L, L) {
    let wider = |(low, high): (L, L), value: L| (value.lower(low), value.higher(high));
    let (fours, rest) = values.as_chunks::<4>();
    let mut all = [no_range::<L>(); 4];
    for four in fours {
        for (range, &value) in all.iter_mut().zip(four) {
            *range = wider(*range, value);
        }
    }
    let of_rest = rest
        .iter()
        .fold(no_range(), |range, &value| wider(range, value));
    all.into_iter().fold(of_rest, |(low, high), (l, h)| {
        (l.lower(low), h.higher(high))
    })
}

/// The edges' path of one pass, turn by turn.
#[derive(Clone, Debug, Default)]
pub(crate) struct Path<L> {
    /// Height at each step, minus infinity where nothing was cut.
    pub(crate) heights: Vec<L>,
    /// Place of the first step, m.
    pub(crate) start: f64,
    /// +1 toward the tailstock, -1 toward the headstock.
    pub(crate) direction: f64,
    per_turn: usize,
    /// Lowest and highest.
    low: L,
    high: L,
    /// How little a turn must differ from the next for neither to reach over the other, m.
    calm: L,
    /// Of which lathes each turn differs so little from the next, in bits.
    steady: Vec<u64>,
}

impl<L: Layout> Path<L> {
    /// Begins another, with the first step at `start` (m).
    pub(crate) fn begin(&mut self, start: f64, direction: f64, marks: &Marks) {
        self.heights.clear();
        self.steady.clear();
        (self.start, self.direction) = (start, direction);
        self.per_turn = marks.per_turn;
        (self.low, self.high) = no_range();
        self.calm = L::splat(marks.calm());
    }

    /// Adds a turn of so many steps, block by block; only the last may have fewer.
    #[inline(always)]
    pub(crate) fn add_turn(&mut self, steps: usize, turn: impl Iterator<Item = Eight>) {
        let from = self.heights.len();
        let last = from.checked_sub(self.per_turn);
        let whole = steps.is_multiple_of(L::STEPS);
        let (mut low, mut high) = no_range::<Eight>();
        let (calm, mut steady) = (self.calm.across(), everywhere());
        for (block, of) in turn.enumerate() {
            let so = if whole {
                everywhere()
            } else {
                L::before(block, steps)
            };
            low = of.lower(low).select(so, low);
            high = of.higher(high).select(so, high);
            if let Some(last) = last {
                let before = L::block(&self.heights[last..from], block);
                steady = steady & ((of - before).simd_abs().simd_le(calm) | !so);
            }
            L::append(&mut self.heights, of, block, steps);
        }
        self.low = L::lowest(low).lower(self.low);
        self.high = L::highest(high).higher(self.high);
        if last.is_some() {
            self.steady[from / self.per_turn - 1] = L::throughout(steady);
        }
        // None comes after it yet.
        self.steady.push(L::throughout(everywhere()));
    }

    /// Steps a turn.
    pub(crate) fn per_turn(&self) -> usize {
        self.per_turn
    }

    /// Steps so far.
    pub(crate) fn steps(&self) -> usize {
        self.heights.len()
    }

    /// The steps of a turn.
    fn turn(&self, t: usize) -> &[L] {
        let from = t * self.per_turn;
        &self.heights[from..(from + self.per_turn).min(self.heights.len())]
    }
}

/// What rough turns leave, and which they are: room for a pass.
#[derive(Default)]
pub(crate) struct Envelope<L> {
    pub(super) left: Vec<L>,
    pub(super) rough: Vec<bool>,
}

impl<L: Layout> Envelope<L> {
    /// Writes down what each rough turn leaves at its own place, and which they are: its arc's
    /// mean, or what a deeper neighbour on the same line reaches there. As long as no turn differs
    /// from the next by what it takes to reach over, none reaches over any other.
    pub(super) fn find(&mut self, path: &Path<L>, marks: &Marks) {
        let n = path.per_turn;
        let mark = L::splat(marks.mean);
        // Each lathe's turns are its own: what they don't reach is infinitely high.
        let each = |of: &dyn Fn(usize) -> usize| {
            let mut each = [0; Eight::LANES];
            for (series, to) in each.iter_mut().enumerate().take(L::LANES) {
                *to = of(series);
            }
            each
        };
        let reaches = each(&|i| marks.reach(path.low.extract(i), path.high.extract(i)));
        let turns = path.steady.len();
        self.rough.clear();
        self.rough.resize(turns, false);
        if self.left.len() < path.heights.len() {
            self.left.resize(path.heights.len(), L::zero());
        }
        let mut rough_until = [0; Eight::LANES];
        let mut next = [0; Eight::LANES];
        for t in 0..turns {
            for series in 0..L::LANES {
                while next[series] < turns && next[series] <= t + reaches[series] {
                    let steady = path.steady[next[series]] >> series & 1 == 1;
                    next[series] += 1;
                    if !steady {
                        rough_until[series] = next[series] + reaches[series];
                    }
                }
            }
            let reach_here = each(&|i| if t < rough_until[i] { reaches[i] } else { 0 });
            let reach = reach_here.into_iter().max().unwrap_or(0);
            if reach == 0 {
                continue;
            }
            self.rough[t] = true;
            let own = path.turn(t);
            let left = &mut self.left[t * n..][..own.len()];
            for (left, &own) in left.iter_mut().zip(own) {
                *left = own - mark;
            }
            for away in 1..=reach {
                let rise = L::gather(|series| {
                    if away <= reach_here[series] {
                        marks.rise[away]
                    } else {
                        f64::INFINITY
                    }
                });
                let others = [
                    (t + away < turns).then(|| path.turn(t + away)),
                    t.checked_sub(away).map(|t| path.turn(t)),
                ];
                for other in others.into_iter().flatten() {
                    for (here, &other) in left.iter_mut().zip(other) {
                        *here = (other - rise).higher(*here);
                    }
                }
            }
        }
    }
}

/// The feed marks that a pass leaves.
pub(crate) struct Marks {
    feed: f64,
    pub(super) per_turn: usize,
    /// Mean height of one over its lowest point, m.
    pub(crate) mean: f64,
    /// By how much an arc so many turns away stands above its lowest point, at the near edge of
    /// the place's own feed, m.
    pub(crate) rise: [f64; REACH + 1],
}

impl Marks {
    /// Of this nose and feed, with so many steps a turn.
    pub(crate) fn new(shape: &EdgeShape, per_turn: usize) -> Self {
        let feed = shape.feed;
        Self {
            feed,
            per_turn,
            mean: mean_mark(shape),
            rise: std::array::from_fn(|n| arc(shape, max(n as f64 - 0.5, 0.0) * feed)),
        }
    }

    /// Turns to either side whose arcs can reach a place, in a path between these heights: one
    /// further away can't be deep enough to reach over.
    pub(crate) fn reach(&self, low: f64, high: f64) -> usize {
        let uncut = low == f64::NEG_INFINITY;
        (1..=REACH)
            .rev()
            .find(|&n| uncut || self.rise[n] - self.mean < high - low)
            .unwrap_or(0)
    }

    /// An arc rises faster than its distance: as long as no turn differs from the next by more
    /// than this, m, none reaches over any other.
    pub(crate) fn calm(&self) -> f64 {
        self.rise[1] - self.mean
    }

    /// Which turns cut the places a distance `along` the path from its first step, and which lines
    /// each.
    #[inline(always)]
    pub(crate) fn turns_at(
        &self,
        along: f64,
        meridians: usize,
        mut of: impl FnMut(usize, Range<usize>),
    ) {
        let half = 0.5 * self.feed;
        let (per_feed, behind) = (1.0 / self.feed, self.feed / self.per_turn as f64);
        let per_behind = 1.0 / behind;
        // Later lines are reached later: those that the path never comes to are the last.
        let to = |j: usize| along - behind * j as f64;
        let turn = |j: usize| (to(j) * per_feed + UNDER_HALF) as i32 as usize;
        if to(0) < -half {
            return;
        }
        let reached = run_of(0, meridians, meridians, |j| to(j) >= -half);
        let mut from = 0;
        while from < reached {
            let own = turn(from);
            let until = if turn(reached - 1) == own {
                reached
            } else {
                let guess = after((to(0) + half - own as f64 * self.feed) * per_behind);
                run_of(from, reached, guess, |j| turn(j) == own)
            };
            of(own, from..until);
            from = until;
        }
    }
}

/// What is left by one arc `offset` away from its lowest point, above that point, m.
fn arc(shape: &EdgeShape, offset: f64) -> f64 {
    let r = shape.nose_radius;
    let offset = offset.abs();
    if offset < r {
        r - (r * r - offset * offset).sqrt()
    } else {
        f64::INFINITY
    }
}

/// Mean height of a feed mark over its lowest point, m: `feed^2 / 24 r` for an arc.
pub fn mean_mark(shape: &EdgeShape) -> f64 {
    if shape.nose_radius > 0.0 {
        shape.feed * shape.feed / (24.0 * shape.nose_radius)
    } else {
        0.0
    }
}
