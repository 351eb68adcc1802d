//! The surfaces of several lathes' work, each a lane: [`Standing`] for all of them at once.

use crate::cut::Stock;
use crate::lanes::{Lanes, Mask as _};
use crate::surface::{Marks, Standing, Traced, on_metal, traced};

use super::steps::{Line, ZERO};
use super::{ABREAST, Each};

/// Heights on a grid of meridians and places along the axis, on every lathe.
#[derive(Default)]
pub(super) struct Surfaces {
    /// Place by place, round the work at each.
    heights: Vec<Each>,
    meridians: usize,
    nodes: usize,
    spacing: f64,
    /// What rough turns leave, and which they are: room for a pass.
    left: Vec<Each>,
    rough: Vec<bool>,
}

/// The edges' path of one pass, turn by turn.
#[derive(Default)]
pub(super) struct Path {
    /// Height at each step, minus infinity where nothing was cut.
    heights: Vec<Each>,
    /// Place of the first step, m.
    start: f64,
    /// +1 toward the tailstock, -1 toward the headstock.
    direction: f64,
    per_turn: usize,
    /// Lowest and highest.
    low: Each,
    high: Each,
    /// How little a turn must differ from the next for neither to reach over the other, m.
    calm: Each,
    /// Of which lathes each turn differs so little from the next, in bits.
    steady: Vec<u64>,
}

impl Path {
    /// Begins another, with the first step at `start` (m).
    pub(super) fn begin(&mut self, start: f64, direction: f64, marks: &Marks) {
        self.heights.clear();
        self.steady.clear();
        (self.start, self.direction) = (start, direction);
        self.per_turn = marks.per_turn();
        self.low = Each::splat(f64::INFINITY);
        self.high = Each::splat(f64::NEG_INFINITY);
        self.calm = Each::splat(marks.calm());
    }

    /// Adds a turn; only the last may have fewer steps.
    pub(super) fn add_turn(&mut self, turn: impl Iterator<Item = Each>) {
        let from = self.heights.len();
        self.heights.extend(turn);
        let (before, turn) = self.heights.split_at(from);
        for &height in turn {
            self.low = height.lower(self.low);
            self.high = height.higher(self.high);
        }
        let all = ZERO.simd_eq(ZERO);
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

    /// Steps so far.
    pub(super) fn steps(&self) -> usize {
        self.heights.len()
    }

    /// The steps of a turn.
    fn turn(&self, t: usize) -> &[Each] {
        let from = t * self.per_turn;
        &self.heights[from..(from + self.per_turn).min(self.heights.len())]
    }
}

impl Surfaces {
    /// For work like this with the same height at each place and each lathe's `round` on it, line
    /// by line: one round is there to be gauged before [`Surfaces::even`] lays it along the work.
    pub(super) fn begin(
        &mut self,
        stock: &Stock,
        spacing: f64,
        height: f64,
        round: [&[f64]; ABREAST],
    ) {
        (self.nodes, self.spacing) = Standing::places(stock.length, spacing);
        self.meridians = round[0].len();
        let line = |j: usize| Each::splat(height) + Each::gather(|lane| round[lane][j]);
        self.heights.clear();
        self.heights.extend((0..self.meridians).map(line));
    }

    /// Lays the round, shifted so far, along all of the work.
    pub(super) fn even(&mut self, shift: Each) {
        for height in &mut self.heights {
            *height += shift;
        }
        for _ in 1..self.nodes {
            self.heights.extend_from_within(..self.meridians);
        }
    }

    /// Each lathe's as gauges meet it, with the slots that share of metal leaves and the mean round
    /// the gauge plane that was found.
    pub(super) fn traced(&self, metal: Option<&[f64]>, gauged: Each) -> [Traced; ABREAST] {
        let on_metal = on_metal(self.meridians, metal);
        let lines: Vec<usize> = traced(&on_metal).collect();
        let mut each = std::array::from_fn(|lane| Traced {
            spacing: self.spacing,
            mean: Vec::with_capacity(self.nodes),
            out_of_round: Vec::with_capacity(self.nodes),
            lines: vec![Vec::with_capacity(self.nodes); lines.len()],
            gauged: gauged.extract(lane),
        });
        for round in self.heights.chunks_exact(self.meridians) {
            let mean = mean_of(round, &on_metal);
            let (low, high) = on_metal.iter().fold(
                (Each::splat(f64::INFINITY), Each::splat(f64::NEG_INFINITY)),
                |(low, high), &j| (round[j].lower(low), round[j].higher(high)),
            );
            let (mean, total) = (mean.into_arr(), (high - low).into_arr());
            for (lane, of) in each.iter_mut().enumerate() {
                of.mean.push(mean[lane]);
                of.out_of_round.push(total[lane]);
                for (line, &j) in of.lines.iter_mut().zip(&lines) {
                    line.push(round[j].extract(lane));
                }
            }
        }
        each
    }

    /// Lines along the work.
    pub(super) fn meridians(&self) -> usize {
        self.meridians
    }

    /// Spacing of the places, m.
    pub(super) fn spacing(&self) -> f64 {
        self.spacing
    }

    /// Places along the axis.
    pub(super) fn nodes(&self) -> usize {
        self.nodes
    }

    /// Heights round the work at a place along it.
    pub(super) fn round(&self, k: usize) -> &[Each] {
        let last = self.heights.len() / self.meridians - 1;
        &self.heights[k.min(last) * self.meridians..][..self.meridians]
    }

    /// Heights on a meridian at `z`, held constant beyond the ends, m.
    pub(super) fn at(&self, meridian: usize, z: f64) -> Each {
        let place = (z * (1.0 / self.spacing)).clamp(0.0, (self.nodes - 1) as f64);
        let i = (place as usize).min(self.nodes - 2);
        let (a, b) = (self.round(i)[meridian], self.round(i + 1)[meridian]);
        a + Each::splat(place - i as f64) * (b - a)
    }

    /// Heights on every meridian in turn, the first at `z`, another place for each lathe, each
    /// `step` further on than the last; beyond the ends held constant.
    pub(super) fn along_turn(&self, z: Each, step: f64, into: &mut [Line]) {
        let n = self.meridians;
        let per_metre = Each::splat(1.0 / self.spacing);
        let last = (self.nodes - 1) as f64;
        let (zero, one, two) = (Each::splat(0.0), Each::splat(1.0), Each::splat(2.0));
        let all = z.into_arr();
        let least = all.into_iter().fold(f64::INFINITY, f64::min);
        let by = Each::splat(step);
        // The lathes are all near the same place: mostly within two rows, and so for a while.
        let first_of = |line: usize| {
            let place = (least + step * f64::from(line as i32)) * (1.0 / self.spacing);
            place.clamp(0.0, last) as i32 as usize
        };
        let row = |at: usize| &self.heights[at.min(self.nodes - 1) * n..][..n];
        let mut from = 0;
        while from < n {
            let first = first_of(from);
            let until = (from + 1..n).find(|&line| first_of(line) != first);
            let until = until.unwrap_or(n);
            let (a, b, c) = (row(first), row(first + 1), row(first + 2));
            let rows = a[from..until]
                .iter()
                .zip(&b[from..until])
                .zip(&c[from..until]);
            let mut line = Each::splat(f64::from(from as i32));
            for (meridian, ((&a, &b), &c)) in (from..until).zip(rows) {
                let place = by.times_plus(line, z) * per_metre;
                let place = place.higher(zero).lower(Each::splat(last));
                line += one;
                let along = place - Each::splat(first as f64);
                let near = along.simd_ge(zero) & along.simd_lt(two);
                into[meridian].surface = if near.all() {
                    let before = along.simd_lt(one);
                    let (from, to) = (a.select(before, b), b.select(before, c));
                    along
                        .select(before, along - one)
                        .times_plus(to - from, from)
                } else {
                    let places = place.into_arr();
                    let of = |lane: usize| {
                        let at = places[lane] as usize;
                        let of = |at: usize| row(at)[meridian].extract(lane);
                        let (a, b) = (of(at), of(at + 1));
                        (places[lane] - at as f64).mul_add(b - a, a)
                    };
                    Each::from_arr(std::array::from_fn(of))
                };
            }
            from = until;
        }
    }

    /// Cuts a pass into every surface, as [`Standing::cut`] does.
    pub(super) fn cut(&mut self, path: &Path, marks: &Marks) {
        let n = self.meridians;
        self.leave(path, marks);
        let mark = Each::splat(marks.mean);
        for (k, round) in self.heights.chunks_exact_mut(n).enumerate() {
            let along = (self.spacing * k as f64 - path.start) * path.direction;
            marks.turns_at(along, n, |turn, lines| {
                let first = turn * n + lines.start;
                // What a rough turn left already has its mark taken off.
                let (all, mark) = if self.rough.get(turn) == Some(&true) {
                    (&self.left[..path.heights.len()], ZERO)
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

    /// Writes down what each rough turn leaves at its own place, and which they are: its arc's
    /// mean, or what a deeper neighbour on the same line reaches there. As long as no turn differs
    /// from the next by what it takes to reach over, none reaches over any other.
    fn leave(&mut self, path: &Path, marks: &Marks) {
        let n = self.meridians;
        let mark = Each::splat(marks.mean);
        let (low, high) = (path.low.into_arr(), path.high.into_arr());
        let reaches: [usize; ABREAST] =
            std::array::from_fn(|lane| marks.reach(low[lane], high[lane]));
        let turns = path.steady.len();
        self.rough.clear();
        self.rough.resize(turns, false);
        if self.left.len() < path.heights.len() {
            self.left.resize(path.heights.len(), ZERO);
        }
        let mut rough_until = [0; ABREAST];
        let mut next = [0; ABREAST];
        for t in 0..turns {
            for lane in 0..ABREAST {
                while next[lane] < turns && next[lane] <= t + reaches[lane] {
                    let steady = path.steady[next[lane]] >> lane & 1 == 1;
                    next[lane] += 1;
                    if !steady {
                        rough_until[lane] = next[lane] + reaches[lane];
                    }
                }
            }
            // Each lathe's turns are its own: what they don't reach is infinitely high.
            let reach_here: [usize; ABREAST] = std::array::from_fn(|lane| {
                if t < rough_until[lane] {
                    reaches[lane]
                } else {
                    0
                }
            });
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
                let rise = Each::from_arr(reach_here.map(|reach| {
                    if away <= reach {
                        marks.rise[away]
                    } else {
                        f64::INFINITY
                    }
                }));
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

/// Mean of the heights round the work on metal, m, in the order of [`Standing::mean_of`].
pub(super) fn mean_of(round: &[Each], on_metal: &[usize]) -> Each {
    let sum = |some: &[Each]| some.iter().fold(ZERO, |sum, &height| sum + height);
    let sum = if on_metal.len() == round.len() {
        let (fours, rest) = round.as_chunks::<4>();
        let [a, b, c, d] = fours.iter().fold([ZERO; 4], |[a, b, c, d], four| {
            [a + four[0], b + four[1], c + four[2], d + four[3]]
        });
        (a + b) + (c + d) + sum(rest)
    } else {
        on_metal.iter().fold(ZERO, |sum, &j| sum + round[j])
    };
    sum / Each::splat(on_metal.len() as f64)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::cutting::EdgeShape;
    use crate::surface::EdgePath;

    /// Surfaces all at one height.
    fn even(nodes: usize, meridians: usize, spacing: f64, height: f64) -> Surfaces {
        Surfaces {
            heights: vec![Each::splat(height); nodes * meridians],
            meridians,
            nodes,
            spacing,
            // Left by a longer pass before.
            left: vec![Each::splat(1.0); 4 * nodes * meridians],
            ..Surfaces::default()
        }
    }

    fn one(surfaces: &Surfaces, lane: usize) -> Standing {
        let heights = surfaces.heights.iter().map(|all| all.extract(lane));
        Standing::of_heights(heights.collect(), surfaces.meridians, surfaces.spacing)
    }

    proptest! {
        /// One lathe's surface is the reference, calm or rough, to the last bit.
        #[test]
        fn a_pass_cuts_each_surface_as_that_of_one_lathe(
            (per_turn, turns, nodes) in (1usize..9, 1usize..30, 2usize..40),
            steps in prop::collection::vec((-1.0..1.0, 0u8..40), ABREAST * 9 * 30),
            (rough, feed, nose) in (0.0..30e-6, 0.05e-3..0.3e-3, 0.4e-3..1.6e-3),
            (start, toward, missing) in (-1e-3..1e-3, any::<bool>(), 0usize..9),
        ) {
            let shape = EdgeShape::new(nose, 1.6, feed);
            let count = (per_turn * turns).saturating_sub(missing).max(1);
            let mut heights = [0.0; ABREAST];
            let path: Vec<Each> = (0..count)
                .map(|i| {
                    let here: [f64; ABREAST] = std::array::from_fn(|lane| {
                        let (by, kind) = steps[i * ABREAST + lane];
                        // One lathe rougher than the other, here and there nothing cut.
                        let rough = rough * lane as f64 / (ABREAST - 1) as f64;
                        heights[lane] += if kind == 0 { rough * by } else { 1e-8 * by };
                        if kind == 1 { f64::NEG_INFINITY } else { heights[lane] }
                    });
                    Each::from(here)
                })
                .collect();
            let spacing = 0.9 * feed;
            let direction = if toward { 1.0 } else { -1.0 };
            let start = start + if toward { 0.0 } else { spacing * (nodes - 1) as f64 };
            let mut surfaces = even(nodes, per_turn, spacing, -20e-6);
            let marks = &Marks::new(&shape, per_turn);
            let mut cut = Path::default();
            cut.begin(start, direction, marks);
            for turn in path.chunks(per_turn) {
                cut.add_turn(turn.iter().copied());
            }
            surfaces.cut(&cut, marks);
            for lane in 0..ABREAST {
                let found = one(&surfaces, lane);
                let heights = path.iter().map(|all| all.extract(lane)).collect();
                let path = EdgePath { heights, start, direction, per_turn, shape };
                let all = vec![-20e-6; nodes * per_turn];
                let mut wanted = Standing::of_heights(all, per_turn, spacing);
                wanted.cut(&path, &mut Vec::new());
                prop_assert_eq!(found, wanted);
            }
        }

        /// One lathe's surface, read place by place, is the reference.
        #[test]
        fn a_turn_is_read_on_each_surface_at_its_own_place(
            values in prop::collection::vec(-1.0..1.0, ABREAST * 20 * 6),
            (meridians, z, apart) in (1usize..6, -0.3e-3..2.5e-3, 0.0..0.4e-3),
            step in -0.06e-3..0.06e-3,
        ) {
            let (nodes, spacing) = (20, 0.11e-3);
            let mut surfaces = even(nodes, meridians, spacing, 0.0);
            for (height, four) in surfaces.heights.iter_mut().zip(values.as_chunks::<ABREAST>().0) {
                *height = Each::from_arr(*four);
            }
            let places: [f64; ABREAST] = std::array::from_fn(|lane| z + apart * lane as f64);
            let mut lines = vec![Line::default(); meridians];
            surfaces.along_turn(Each::from(places), step, &mut lines);
            for (lane, place) in places.into_iter().enumerate() {
                let one = one(&surfaces, lane);
                for (meridian, line) in lines.iter().enumerate() {
                    let wanted = one.at(meridian, place + step * meridian as f64);
                    prop_assert!((line.surface.extract(lane) - wanted).abs() < 1e-9);
                }
            }
        }
    }
}
