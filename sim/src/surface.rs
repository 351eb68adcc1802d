//! The surface that stands: on each line along the work, the envelope of the nose arcs.
//!
//! Heights are relative to the finished cone, positive into the work. Each turn leaves an arc;
//! where the next turn cuts deeper it recuts a part of the one before; a tool can't put metal
//! back, so the deeper of old and new stays.

mod traced;

pub use traced::Traced;
pub(crate) use traced::traced;

use std::ops::Range;

use crate::cutting::EdgeShape;
use crate::helix::{Rows, after, run_of};
use crate::lanes::{Four, Lanes, range, sum};

/// Added before the fraction is dropped, it rounds as `round` does, without the call.
const UNDER_HALF: f64 = 0.5_f64.next_down();
/// Turns to either side whose arcs can reach a place.
const REACH: usize = 6;

/// The mean height between feed marks, on a grid of meridians and places along the axis.
#[derive(Clone, Debug, PartialEq)]
pub struct Standing {
    /// Place by place, round the work at each: as the cut goes.
    heights: Vec<f64>,
    meridians: usize,
    nodes: usize,
    spacing: f64,
    /// Meridians on metal: the others lie in slots, and nothing is measured there.
    on_metal: Vec<usize>,
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
            .fold(f64::NEG_INFINITY, f64::max)
    }
}

impl Standing {
    /// The same height round the work at each place, and `round` on it, line by line; `room` is
    /// for its heights.
    pub fn even(
        length: f64,
        spacing: f64,
        height: impl Fn(f64) -> f64,
        round: &[f64],
        mut room: Vec<f64>,
    ) -> Self {
        let (nodes, spacing) = Self::places(length, spacing);
        room.clear();
        for k in 0..nodes {
            let height = height(spacing * k as f64);
            room.extend(round.iter().map(|round| height + round));
        }
        Self::of_heights(room, round.len(), spacing)
    }

    /// How many places along the axis there are over a length, no further apart than this, and
    /// their spacing, m.
    pub(crate) fn places(length: f64, spacing: f64) -> (usize, f64) {
        let nodes = ((length / spacing).ceil() as usize + 1).max(2);
        (nodes, length / (nodes - 1) as f64)
    }

    /// These heights, round the work at each place, `spacing` (m) apart.
    pub(crate) fn of_heights(heights: Vec<f64>, meridians: usize, spacing: f64) -> Self {
        Self {
            nodes: heights.len() / meridians,
            heights,
            meridians,
            spacing,
            on_metal: (0..meridians).collect(),
        }
    }

    /// The heights alone, as room for others.
    pub fn into_heights(self) -> Vec<f64> {
        self.heights
    }

    /// The same surface with slots along it: the share of each meridian's width that is metal.
    pub fn with_slots(mut self, metal: Option<&[f64]>) -> Self {
        self.on_metal = on_metal(self.meridians, metal);
        self
    }

    /// Meridians on metal.
    pub fn on_metal(&self) -> &[usize] {
        &self.on_metal
    }

    /// Mean of the heights round the work at one place, m.
    pub fn mean_of(&self, round: &[f64]) -> f64 {
        if self.on_metal.len() == self.meridians {
            return sum(round) / self.meridians as f64;
        }
        self.on_metal.iter().map(|&j| round[j]).sum::<f64>() / self.on_metal.len() as f64
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

    /// One line along the work.
    pub fn line(&self, meridian: usize) -> impl ExactSizeIterator<Item = f64> {
        self.heights
            .iter()
            .skip(meridian)
            .step_by(self.meridians)
            .copied()
    }

    /// Heights round the work at each place along it.
    pub fn rounds(&self) -> impl ExactSizeIterator<Item = &[f64]> {
        self.heights.chunks_exact(self.meridians)
    }

    /// Height on a meridian at `z`, held constant beyond the ends, m.
    #[inline]
    pub fn at(&self, meridian: usize, z: f64) -> f64 {
        let place = (z * (1.0 / self.spacing)).clamp(0.0, (self.nodes - 1) as f64);
        let i = (place as usize).min(self.nodes - 2);
        let base = i * self.meridians + meridian;
        let (a, b) = (self.heights[base], self.heights[base + self.meridians]);
        a + (place - i as f64) * (b - a)
    }

    /// Heights on every meridian in turn, the first at `z`, each `step` further on than the last.
    #[inline]
    pub fn along_turn(&self, z: f64, step: f64, heights: &mut [f64]) {
        Rows {
            values: &self.heights,
            lines: self.meridians,
            per_metre: 1.0 / self.spacing,
        }
        .along_turn(z, step, heights);
    }

    /// Mean over the circumference, m.
    pub fn mean(&self) -> Vec<f64> {
        self.rounds().map(|round| self.mean_of(round)).collect()
    }

    /// Peak to valley over the circumference, m.
    pub fn out_of_round(&self) -> Vec<f64> {
        if self.on_metal.len() == self.meridians {
            let total = |(low, high)| high - low;
            return self.rounds().map(|round| total(range(round))).collect();
        }
        self.rounds()
            .map(|round| {
                let (low, high) = self
                    .on_metal
                    .iter()
                    .map(|&j| round[j])
                    .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), h| {
                        (low.min(h), high.max(h))
                    });
                high - low
            })
            .collect()
    }

    /// Shifts the whole surface, as when the size is measured and the dial set anew.
    pub fn shift(&mut self, by: f64) {
        for height in &mut self.heights {
            *height += by;
        }
    }

    /// Cuts a pass into the surface.
    ///
    /// Each turn counts as flat at the mean of its feed mark over its own feed, and as its arc
    /// beyond: exact for the mean level of a steady cut, and for what a deeper turn takes from
    /// its neighbours within a sixth of a feed mark.
    /// `left` is room for as many numbers as the path has.
    pub fn cut(&mut self, path: &EdgePath, left: &mut Vec<f64>) {
        let marks = Marks::new(&path.shape, path.per_turn);
        let (low, high) = range(&path.heights);
        leave(&path.heights, &marks, marks.reach(low, high), left);
        for (k, round) in self.heights.chunks_exact_mut(self.meridians).enumerate() {
            let along = (self.spacing * k as f64 - path.start) * path.direction;
            marks.turns_at(along, self.meridians, |turn, lines| {
                let cut = left.get(turn * path.per_turn + lines.start..);
                deepen(&mut round[lines], cut.unwrap_or_default());
            });
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
            rise: std::array::from_fn(|n| arc(shape, (n as f64 - 0.5).max(0.0) * feed)),
        }
    }

    /// Steps a turn.
    pub(crate) fn per_turn(&self) -> usize {
        self.per_turn
    }

    /// Turns to either side whose arcs can reach a place, in a path between these heights: one
    /// further away can't be deep enough to reach over.
    pub(crate) fn reach(&self, low: f64, high: f64) -> usize {
        let uncut = low == f64::NEG_INFINITY;
        (1..=REACH)
            .rev()
            .find(|&n| uncut || self.rise[n] < high - low)
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
    let most = metal.map_or(0.0, |metal| metal.iter().copied().fold(0.0, f64::max));
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

/// The deeper of each height and what is left there, as far as both go.
#[inline(always)]
fn deepen(heights: &mut [f64], left: &[f64]) {
    let both = heights.len().min(left.len());
    let (heights, rest) = heights[..both].as_chunks_mut::<4>();
    let (left, left_rest) = left[..both].as_chunks::<4>();
    for (here, left) in heights.iter_mut().zip(left) {
        *here = Four::from_arr(*left)
            .higher(Four::from_arr(*here))
            .into_arr();
    }
    for (here, left) in rest.iter_mut().zip(left_rest) {
        *here = if *left > *here { *left } else { *here };
    }
}

/// What each turn leaves at its own place: its arc's mean, or what a deeper neighbour on the same
/// line reaches there.
fn leave(heights: &[f64], marks: &Marks, reach: usize, left: &mut Vec<f64>) {
    left.clear();
    left.extend(heights.iter().map(|height| height - marks.mean));
    if reach == 0 {
        return;
    }
    let (per_turn, calm) = (marks.per_turn, marks.calm());
    let turns = heights.len().div_ceil(per_turn);
    let turn = |t: usize| t * per_turn..((t + 1) * per_turn).min(heights.len());
    let mut rough_until = 0;
    let mut next = 0;
    for t in 0..turns {
        // Up to so far ahead the turns are looked at.
        while next < turns && next <= t + reach {
            let (here, after) = (&heights[turn(next)], heights.get(turn(next).end..));
            let steady = here
                .iter()
                .zip(after.unwrap_or_default())
                .fold(true, |so, (a, b)| so & ((b - a).abs() <= calm));
            next += 1;
            if !steady {
                rough_until = next + reach;
            }
        }
        if t >= rough_until {
            continue;
        }
        for (n, rise) in marks.rise[..=reach].iter().enumerate().skip(1) {
            let deeper = |here: &mut f64, neighbour: f64| {
                let reaches = neighbour - rise;
                *here = if reaches > *here { reaches } else { *here };
            };
            if let Some(after) = heights.get(turn(t).start + n * per_turn..) {
                for (here, &next) in left[turn(t)].iter_mut().zip(after) {
                    deeper(here, next);
                }
            }
            if t >= n {
                for (here, &last) in left[turn(t)].iter_mut().zip(&heights[turn(t - n)]) {
                    deeper(here, last);
                }
            }
        }
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
mod tests {
    use proptest::prelude::*;

    use super::*;

    proptest! {
        /// Number by number is the reference.
        #[test]
        fn the_deeper_stays_as_far_as_both_go(
            heights in prop::collection::vec(-1.0..1.0, 0..30),
            left in prop::collection::vec(prop_oneof![Just(f64::NEG_INFINITY), -1.0..1.0], 0..30),
        ) {
            let mut found = heights.clone();
            deepen(&mut found, &left);
            for (i, found) in found.into_iter().enumerate() {
                let left = left.get(i).copied().unwrap_or(f64::NEG_INFINITY);
                prop_assert_eq!(found, heights[i].max(left));
            }
        }

        /// The definition, arc by arc, is the reference: calm stretches may be passed over.
        #[test]
        fn what_turns_leave_is_the_deepest_arc_at_their_place(
            (per_turn, turns) in (1usize..9, 1usize..40),
            steps in prop::collection::vec((-1.0..1.0, 0u8..20), 360),
            (rough, feed, nose) in (0.0..30e-6, 0.05e-3..0.3e-3, 0.4e-3..1.6e-3),
            missing in 0usize..9,
        ) {
            let shape = EdgeShape::new(nose, 1.6, feed);
            let count = (per_turn * turns).saturating_sub(missing).max(1);
            let mut height = 0.0;
            let heights: Vec<f64> = steps[..count.min(360)]
                .iter()
                .map(|&(by, kind)| {
                    // Mostly calm, now and then a jump, and here and there nothing cut.
                    height += match kind { 0 => rough * by, _ => 1e-8 * by };
                    if kind == 1 { f64::NEG_INFINITY } else { height }
                })
                .collect();
            let path = EdgePath { heights, start: 0.0, direction: 1.0, per_turn, shape };
            let marks = Marks::new(&shape, per_turn);
            let (mark, rise) = (marks.mean, marks.rise);
            let mut left = vec![7.0];
            leave(&path.heights, &marks, REACH, &mut left);
            prop_assert_eq!(left.len(), path.heights.len());
            for (i, left) in left.iter().enumerate() {
                let mut deepest = path.heights[i] - mark;
                for (n, rise) in rise.iter().enumerate().skip(1) {
                    let after = path.heights.get(i + n * per_turn);
                    let before = i.checked_sub(n * per_turn).map(|i| &path.heights[i]);
                    for neighbour in [after, before].into_iter().flatten() {
                        deepest = deepest.max(neighbour - rise);
                    }
                }
                prop_assert_eq!(*left, deepest);
            }
        }
    }
}
