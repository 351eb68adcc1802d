//! The surface that stands: on each line along the work, the envelope of the nose arcs.
//!
//! Heights are relative to the finished cone, positive into the work. Each turn leaves an arc;
//! where the next turn cuts deeper it recuts a part of the one before; a tool can't put metal
//! back, so the deeper of old and new stays. One surface, or those of eight lathes, number by
//! number the same.

use std::ops::Range;

use crate::arithmetic::{clamp, max};
use crate::cutting::EdgeShape;
use crate::helix::{after, run_of};
use crate::lanes::{Eight, Lanes, Layout, Mask as _};

/// Added before the fraction is dropped, it rounds as `round` does, without the call.
const UNDER_HALF: f64 = 0.5_f64.next_down();
/// Turns to either side whose arcs can reach a place.
const REACH: usize = 6;

/// The mean height between feed marks, on a grid of meridians and places along the axis.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Surface<L = f64> {
    /// Place by place, round the work at each: as the cut goes.
    heights: Vec<L>,
    nodes: usize,
    spacing: f64,
    meridians: usize,
    /// Meridians on metal: the others lie in slots, and nothing is measured there.
    on_metal: Vec<usize>,
}

/// A surface as gauges and a profile tracer meet it.
#[derive(Clone, Debug, PartialEq)]
pub struct Traced {
    /// Of the places along the work, m.
    pub(crate) spacing: f64,
    /// Mean round the work at each, m, and peak to valley.
    pub(crate) mean: Vec<f64>,
    pub(crate) out_of_round: Vec<f64>,
    /// Heights along a few lines on metal, m.
    pub(crate) lines: Vec<Vec<f64>>,
    /// Mean in the band round the gauge plane, m.
    pub(crate) gauged: f64,
}

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

impl<L: Layout> Surface<L> {
    /// For work of this length with `round` on it, line by line, the share of each meridian's width
    /// that is metal, and places at most so far apart along it; the arrays of the one before are
    /// kept. One round is there to be gauged before [`Surface::lay`] lays it along the work.
    pub(crate) fn begin(
        &mut self,
        length: f64,
        spacing: f64,
        round: impl Iterator<Item = L>,
        metal: Option<&[f64]>,
    ) {
        self.nodes = ((length / spacing).ceil() as usize + 1).max(2);
        self.spacing = length / (self.nodes - 1) as f64;
        self.heights.clear();
        self.heights.extend(round);
        self.meridians = self.heights.len();
        self.on_metal = on_metal(self.meridians, metal);
    }

    /// Lays the round along all of the work, `height` higher at each place.
    pub(crate) fn lay(&mut self, height: impl Fn(f64) -> L) {
        for k in 1..self.nodes {
            let height = height(self.spacing * k as f64);
            for j in 0..self.meridians {
                self.heights.push(self.heights[j] + height);
            }
        }
        let first = height(0.0);
        for round in &mut self.heights[..self.meridians] {
            *round += first;
        }
    }

    /// Lays the round along all of the work, shifted so far.
    pub(crate) fn lay_even(&mut self, shift: L) {
        self.shift(shift);
        for _ in 1..self.nodes {
            self.heights.extend_from_within(..self.meridians);
        }
    }

    /// Meridians on metal.
    pub fn on_metal(&self) -> &[usize] {
        &self.on_metal
    }

    /// Mean of the heights round the work at one place, m.
    pub fn mean_of(&self, round: &[L]) -> L {
        let sum = |some: &[L]| some.iter().fold(L::zero(), |sum, &height| sum + height);
        let sum = if self.on_metal.len() == self.meridians {
            let (fours, rest) = round.as_chunks::<4>();
            let [a, b, c, d] = fours.iter().fold([L::zero(); 4], |[a, b, c, d], four| {
                [a + four[0], b + four[1], c + four[2], d + four[3]]
            });
            (a + b) + (c + d) + sum(rest)
        } else {
            let on_metal = self.on_metal.iter();
            on_metal.fold(L::zero(), |sum, &j| sum + round[j])
        };
        sum / L::splat(self.on_metal.len() as f64)
    }

    /// Peak to valley round the work at one place, m.
    fn out_of_round_of(&self, round: &[L]) -> L {
        let (low, high) = if self.on_metal.len() == self.meridians {
            range(round)
        } else {
            let on_metal = self.on_metal.iter().map(|&j| round[j]);
            on_metal.fold(no_range(), |(low, high), height| {
                (height.lower(low), height.higher(high))
            })
        };
        high - low
    }

    /// Places along the axis.
    pub fn nodes(&self) -> usize {
        self.nodes
    }

    /// Lines along the work.
    pub fn meridians(&self) -> usize {
        self.meridians
    }

    /// Spacing of the places, m.
    pub fn spacing(&self) -> f64 {
        self.spacing
    }

    /// Heights round the work at each place along it.
    pub fn rounds(&self) -> impl ExactSizeIterator<Item = &[L]> {
        self.heights.chunks_exact(self.meridians)
    }

    /// Heights round the work at a place along it; of an even one that isn't laid yet, at any.
    pub(crate) fn round(&self, k: usize) -> &[L] {
        let last = self.heights.len() / self.meridians - 1;
        &self.heights[k.min(last) * self.meridians..][..self.meridians]
    }

    /// Height on a meridian at `z`, held constant beyond the ends, m.
    #[inline]
    pub fn at(&self, meridian: usize, z: f64) -> L {
        let place = clamp(z * (1.0 / self.spacing), 0.0, (self.nodes - 1) as f64);
        let i = (place as usize).min(self.nodes - 2);
        let (a, b) = (self.round(i)[meridian], self.round(i + 1)[meridian]);
        between(L::splat(place - i as f64), a, b)
    }

    /// Heights on every meridian in turn, block by block, the first at `z`, each `step` further on
    /// than the last; beyond the ends held constant.
    #[inline(always)]
    pub(crate) fn along_turn(&self, z: L, step: f64, mut into: impl FnMut(usize, Eight)) {
        let n = self.meridians;
        let per_metre = 1.0 / self.spacing;
        let last = (self.nodes - 1) as f64;
        let (zero, one, two) = (Eight::ZERO, Eight::splat(1.0), Eight::splat(2.0));
        let least = (0..L::LANES)
            .map(|series| z.extract(series))
            .fold(f64::INFINITY, |least, z| if z < least { z } else { least });
        let z: Eight = z.across();
        let row = |at: usize| &self.heights[at.min(self.nodes - 1) * n..][..n];
        for block in 0..L::blocks(n) {
            // All of a block are near the same place: mostly within two rows.
            let lines = [L::step(block, 0), L::step(block, Eight::LANES - 1)];
            let lowest = if step > 0.0 { lines[0] } else { lines[1] };
            let lowest = (least + step * lowest as f64) * per_metre;
            let first = if lowest > 0.0 { lowest as usize } else { 0 }.min(self.nodes - 1);
            let place = Eight::splat(step).times_plus(L::steps_of(block), z);
            let place = place * Eight::splat(per_metre);
            let place = place.higher(zero).lower(Eight::splat(last));
            let along = place - Eight::splat(first as f64);
            let near = along.simd_ge(zero) & along.simd_lt(two);
            let surface = if near.all() {
                let [a, b, c] = [0, 1, 2].map(|after| L::block(row(first + after), block));
                let before = along.simd_lt(one);
                let (from, to) = (a.select(before, b), b.select(before, c));
                between(along.select(before, along - one), from, to)
            } else {
                Eight::gather(|lane| {
                    let line = L::step(block, lane);
                    if line >= n {
                        return 0.0;
                    }
                    let place = place.extract(lane);
                    let at = place as usize;
                    let of = |at: usize| row(at)[line].extract(L::series(lane));
                    between(place - at as f64, of(at), of(at + 1))
                })
            };
            into(block, surface);
        }
    }

    /// Each one's as gauges meet it, with the means round the gauge plane that were found.
    pub(crate) fn traced(&self, gauged: L) -> Vec<Traced> {
        let every = (self.on_metal.len() / 6).max(1);
        let lines: Vec<usize> = self.on_metal.iter().step_by(every).copied().collect();
        let mut each: Vec<Traced> = (0..L::LANES)
            .map(|series| Traced {
                spacing: self.spacing,
                mean: Vec::with_capacity(self.nodes),
                out_of_round: Vec::with_capacity(self.nodes),
                lines: vec![Vec::with_capacity(self.nodes); lines.len()],
                gauged: gauged.extract(series),
            })
            .collect();
        for round in self.rounds() {
            let (mean, total) = (self.mean_of(round), self.out_of_round_of(round));
            for (series, of) in each.iter_mut().enumerate() {
                of.mean.push(mean.extract(series));
                of.out_of_round.push(total.extract(series));
                for (line, &j) in of.lines.iter_mut().zip(&lines) {
                    line.push(round[j].extract(series));
                }
            }
        }
        each
    }

    /// Shifts the whole surface, as when the size is measured and the dial set anew.
    pub(crate) fn shift(&mut self, by: L) {
        for height in &mut self.heights {
            *height += by;
        }
    }

    /// Cuts a pass into the surface.
    ///
    /// Each turn counts as flat at the mean of its feed mark over its own feed, and as its arc
    /// beyond: exact for the mean level of a steady cut, and for what a deeper turn takes from
    /// its neighbours within a sixth of a feed mark.
    /// `envelope` is room for what rough turns leave.
    pub(crate) fn cut(&mut self, path: &Path<L>, marks: &Marks, envelope: &mut Envelope<L>) {
        let n = self.meridians;
        envelope.find(path, marks);
        let mark = L::splat(marks.mean);
        for (k, round) in self.heights.chunks_exact_mut(n).enumerate() {
            let along = (self.spacing * k as f64 - path.start) * path.direction;
            marks.turns_at(along, n, |turn, lines| {
                let first = turn * n + lines.start;
                // What a rough turn left already has its mark taken off.
                let (all, mark) = if envelope.rough.get(turn) == Some(&true) {
                    (&envelope.left[..path.heights.len()], L::zero())
                } else {
                    (&path.heights[..], mark)
                };
                let left = all.get(first..).unwrap_or_default();
                for (here, &left) in round[lines].iter_mut().zip(left) {
                    *here = (left - mark).higher(*here);
                }
            });
        }
    }
}

impl Surface {
    /// The surface of a path cut into even work of this length: heights `round` the work all along
    /// it, places at most `spacing` (m) apart.
    pub fn even(length: f64, spacing: f64, round: &[f64]) -> Self {
        let mut surface = Self::default();
        surface.begin(length, spacing, round.iter().copied(), None);
        surface.lay_even(0.0);
        surface
    }

    /// One line along the work.
    pub fn line(&self, meridian: usize) -> impl ExactSizeIterator<Item = f64> {
        self.rounds().map(move |round| round[meridian])
    }

    /// Mean over the circumference, m.
    pub fn mean(&self) -> Vec<f64> {
        self.rounds().map(|round| self.mean_of(round)).collect()
    }

    /// Peak to valley over the circumference, m.
    pub fn out_of_round(&self) -> Vec<f64> {
        self.rounds()
            .map(|round| self.out_of_round_of(round))
            .collect()
    }
}

/// Straight between two numbers.
#[inline(always)]
fn between<R: Lanes>(share: R, from: R, to: R) -> R {
    share.times_plus(to - from, from)
}

/// Lowest and highest of nothing.
#[inline(always)]
fn no_range<L: Lanes>() -> (L, L) {
    (L::splat(f64::INFINITY), L::splat(f64::NEG_INFINITY))
}

/// Lowest and highest, none of them NaN, four at a time.
#[inline(always)]
fn range<L: Lanes>(values: &[L]) -> (L, L) {
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
        for (block, of) in turn.enumerate() {
            L::append(&mut self.heights, of, block, steps);
        }
        let (before, turn) = self.heights.split_at(from);
        let (low, high) = range(turn);
        (self.low, self.high) = (low.lower(self.low), high.higher(self.high));
        let all = L::zero().simd_eq(L::zero());
        if from >= self.per_turn {
            let last = &before[from - self.per_turn..];
            let steady = last.iter().zip(turn).fold(all, |so, (&a, &b)| {
                so & (b - a).simd_abs().simd_le(self.calm)
            });
            self.steady[from / self.per_turn - 1] = steady.bits();
        }
        // None comes after it yet.
        self.steady.push(all.bits());
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
    left: Vec<L>,
    rough: Vec<bool>,
}

impl<L: Layout> Envelope<L> {
    /// Writes down what each rough turn leaves at its own place, and which they are: its arc's
    /// mean, or what a deeper neighbour on the same line reaches there. As long as no turn differs
    /// from the next by what it takes to reach over, none reaches over any other.
    fn find(&mut self, path: &Path<L>, marks: &Marks) {
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
    per_turn: usize,
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

/// The lines on metal, with the slots that its share of each line's width leaves.
pub(crate) fn on_metal(meridians: usize, metal: Option<&[f64]>) -> Vec<usize> {
    let most = metal.map_or(0.0, |metal| metal.iter().copied().fold(0.0, max));
    (0..meridians)
        .filter(|&j| metal.is_none_or(|metal| metal[j] > 0.5 * most))
        .collect()
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

#[cfg(test)]
mod tests;
