//! The surface that stands: on each line along the work, the envelope of the nose arcs.
//!
//! Heights are relative to the finished cone, positive into the work. Each turn leaves an arc;
//! where the next turn cuts deeper it recuts a part of the one before; a tool can't put metal
//! back, so the deeper of old and new stays. One surface, or those of eight lathes, number by
//! number the same.

mod path;

pub use path::{EdgePath, mean_mark};
pub(crate) use path::{Envelope, Marks, Path};

use crate::arithmetic::{clamp, max};
use crate::lanes::{Eight, Lanes, Layout, Mask as _};
use path::{no_range, range};

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
                let of = |after: usize| L::block(row(first + after), block);
                let (a, b, c) = (of(0), of(1), of(2));
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

    /// Each one's as gauges meet it.
    pub(crate) fn traced(&self) -> Vec<Traced> {
        let every = (self.on_metal.len() / 6).max(1);
        let lines: Vec<usize> = self.on_metal.iter().step_by(every).copied().collect();
        let none = || vec![0.0; self.nodes];
        let mut each: Vec<Traced> = (0..L::LANES)
            .map(|_| Traced {
                spacing: self.spacing,
                mean: none(),
                out_of_round: none(),
                lines: lines.iter().map(|_| none()).collect(),
            })
            .collect();
        for (k, round) in self.rounds().enumerate() {
            let (mean, total) = (self.mean_of(round), self.out_of_round_of(round));
            for (series, of) in each.iter_mut().enumerate() {
                of.mean[k] = mean.extract(series);
                of.out_of_round[k] = total.extract(series);
                for (line, &j) in of.lines.iter_mut().zip(&lines) {
                    line[k] = round[j].extract(series);
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

/// The lines on metal, with the slots that its share of each line's width leaves.
pub(crate) fn on_metal(meridians: usize, metal: Option<&[f64]>) -> Vec<usize> {
    let most = metal.map_or(0.0, |metal| metal.iter().copied().fold(0.0, max));
    (0..meridians)
        .filter(|&j| metal.is_none_or(|metal| metal[j] > 0.5 * most))
        .collect()
}

#[cfg(test)]
mod tests;
