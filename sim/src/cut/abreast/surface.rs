//! The surfaces of several lathes' work, each a lane: [`Standing`] for all of them at once.

use crate::cut::Stock;
use crate::lanes::{
    Four, Lanes as _, SimdBool as _, SimdPartialOrd, SimdSigned, SimdValue, higher, lower,
};
use crate::surface::{Marks, Standing};

use super::ABREAST;
use super::steps::Line;

/// Heights on a grid of meridians and places along the axis, on every lathe.
#[derive(Default)]
pub(super) struct Surfaces {
    /// Place by place, round the work at each.
    heights: Vec<Four>,
    meridians: usize,
    nodes: usize,
    spacing: f64,
    /// What each turn leaves: room for a pass.
    left: Vec<Four>,
}

/// The edges' path of one pass: heights at each step, minus infinity where nothing was cut.
pub(super) struct Path<'a> {
    pub(super) heights: &'a [Four],
    /// Place of the first step, m.
    pub(super) start: f64,
    /// +1 toward the tailstock, -1 toward the headstock.
    pub(super) direction: f64,
    pub(super) marks: &'a Marks,
}

impl Surfaces {
    /// The same height at each place, and each lathe's `round` on it, line by line.
    pub(super) fn even(&mut self, stock: &Stock, spacing: f64, height: f64, round: [&[f64]; 4]) {
        (self.nodes, self.spacing) = Standing::places(stock.length, spacing);
        self.meridians = round[0].len();
        let line = |j: usize| Four::splat(height) + Four::from(round.map(|round| round[j]));
        self.heights.clear();
        self.heights.extend((0..self.meridians).map(line));
        for _ in 1..self.nodes {
            self.heights.extend_from_within(..self.meridians);
        }
    }

    /// One lathe's, with the slots that share of metal leaves.
    pub(super) fn of(&self, lane: usize, metal: Option<&[f64]>) -> Standing {
        let heights = self.heights.iter().map(|four| four.extract(lane));
        Standing::of_heights(heights.collect(), self.meridians, self.spacing).with_slots(metal)
    }

    /// Spacing of the places, m.
    pub(super) fn spacing(&self) -> f64 {
        self.spacing
    }

    /// Heights round the work at each place along it.
    pub(super) fn rounds(&self) -> impl Iterator<Item = &[Four]> {
        self.heights.chunks_exact(self.meridians)
    }

    /// Shifts all of every surface.
    pub(super) fn shift(&mut self, by: Four) {
        for height in &mut self.heights {
            *height += by;
        }
    }

    /// Heights on a meridian at `z`, held constant beyond the ends, m.
    pub(super) fn at(&self, meridian: usize, z: f64) -> Four {
        let place = (z * (1.0 / self.spacing)).clamp(0.0, (self.nodes - 1) as f64);
        let i = (place as usize).min(self.nodes - 2);
        let base = i * self.meridians + meridian;
        let (a, b) = (self.heights[base], self.heights[base + self.meridians]);
        a + Four::splat(place - i as f64) * (b - a)
    }

    /// Heights on every meridian in turn, the first at `z`, another place for each lathe, each
    /// `step` further on than the last; beyond the ends held constant.
    pub(super) fn along_turn(&self, z: Four, step: f64, into: &mut [Line]) {
        let n = self.meridians;
        let per_metre = Four::splat(1.0 / self.spacing);
        let last = (self.nodes - 1) as f64;
        let (zero, one, two) = (Four::splat(0.0), Four::splat(1.0), Four::splat(2.0));
        let all = z.into_arr();
        let least = all.into_iter().fold(f64::INFINITY, f64::min);
        let (mut line, by) = (zero, Four::splat(step));
        for (meridian, into) in into[..n].iter_mut().enumerate() {
            let place = lower(higher((z + by * line) * per_metre, zero), Four::splat(last));
            line += one;
            // The lathes are all near the same place: mostly within two rows.
            let first = (least + step * f64::from(meridian as i32)) * (1.0 / self.spacing);
            let first = first.clamp(0.0, last) as i32;
            let along = place - Four::splat(f64::from(first));
            let row = |at: usize| self.heights[at.min(self.nodes - 1) * n + meridian];
            let near = along.simd_ge(zero) & along.simd_lt(two);
            into.surface = if near.all() {
                let first = first as usize;
                let (a, b, c) = (row(first), row(first + 1), row(first + 2));
                let before = along.simd_lt(one);
                let from = a.select(before, b);
                let to = b.select(before, c);
                from + along.select(before, along - one) * (to - from)
            } else {
                let places = place.into_arr();
                let of = |lane: usize| {
                    let at = places[lane] as usize;
                    let (a, b) = (row(at).extract(lane), row(at + 1).extract(lane));
                    a + (places[lane] - at as f64) * (b - a)
                };
                Four::from_arr([of(0), of(1), of(2), of(3)])
            };
        }
    }

    /// Cuts a pass into every surface, as [`Standing::cut`] does.
    pub(super) fn cut(&mut self, path: &Path<'_>) {
        self.leave(path);
        let n = self.meridians;
        let marks = path.marks;
        for (k, round) in self.heights.chunks_exact_mut(n).enumerate() {
            let along = (self.spacing * k as f64 - path.start) * path.direction;
            marks.turns_at(along, n, |turn, lines| {
                let left = self.left.get(turn * n + lines.start..);
                let left = left.unwrap_or_default();
                for (here, &left) in round[lines].iter_mut().zip(left) {
                    *here = higher(left, *here);
                }
            });
        }
    }

    /// What each turn leaves at its own place: its arc's mean, or what a deeper neighbour on the
    /// same line reaches there.
    fn leave(&mut self, path: &Path<'_>) {
        let (n, heights, marks) = (self.meridians, path.heights, path.marks);
        let mark = Four::splat(marks.mean);
        self.left.clear();
        self.left
            .extend(heights.iter().map(|&height| height - mark));
        let (mut low, mut high) = (Four::splat(f64::INFINITY), Four::splat(f64::NEG_INFINITY));
        for &height in heights {
            low = lower(low, height);
            high = higher(high, height);
        }
        let reaches: [usize; ABREAST] =
            std::array::from_fn(|lane| marks.reach(low.extract(lane), high.extract(lane)));
        let reach = reaches.into_iter().max().unwrap_or(0);
        if reach == 0 {
            return;
        }
        // As long as no turn differs from the next by what it takes to reach over, none reaches
        // over any other. Each lathe's turns are its own: what they don't reach is infinitely high.
        let calm = Four::splat(marks.calm());
        let turns = heights.len().div_ceil(n);
        let turn = |t: usize| t * n..((t + 1) * n).min(heights.len());
        let mut rough_until = [0; ABREAST];
        let mut next = [0; ABREAST];
        for t in 0..turns {
            while let Some(look) = (0..ABREAST)
                .filter(|&lane| next[lane] < turns && next[lane] <= t + reaches[lane])
                .map(|lane| next[lane])
                .min()
            {
                let after = heights.get(turn(look).end..).unwrap_or_default();
                let steady = heights[turn(look)]
                    .iter()
                    .zip(after)
                    .fold(calm.simd_eq(calm), |so, (&a, &b)| {
                        so & (b - a).simd_abs().simd_le(calm)
                    });
                let steady = Four::bits(steady);
                for lane in 0..ABREAST {
                    if next[lane] == look && look <= t + reaches[lane] {
                        next[lane] += 1;
                        if steady >> lane & 1 == 0 {
                            rough_until[lane] = next[lane] + reaches[lane];
                        }
                    }
                }
            }
            let reach_here: [usize; ABREAST] = std::array::from_fn(|lane| {
                if t < rough_until[lane] {
                    reaches[lane]
                } else {
                    0
                }
            });
            for away in 1..=reach_here.into_iter().max().unwrap_or(0) {
                let rise = Four::from_arr(reach_here.map(|reach| {
                    if away <= reach {
                        marks.rise[away]
                    } else {
                        f64::INFINITY
                    }
                }));
                if let Some(after) = heights.get(turn(t).start + away * n..) {
                    for (here, &next) in self.left[turn(t)].iter_mut().zip(after) {
                        *here = higher(next - rise, *here);
                    }
                }
                if t >= away {
                    for (here, &last) in self.left[turn(t)].iter_mut().zip(&heights[turn(t - away)])
                    {
                        *here = higher(last - rise, *here);
                    }
                }
            }
        }
    }
}
