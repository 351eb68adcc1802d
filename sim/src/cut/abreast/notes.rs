//! What is written down of the turns of lathes abreast.

use crate::cut::pass::WHOLE;
use crate::cut::turn_log::most;
use crate::lanes::Lanes;
use crate::record::TurnSample;

use super::Each;
use super::steps::{Line, Rest};

const ZERO: Each = Each::ZERO;

/// Where the slides came to rest at the steps of a turn.
#[derive(Default)]
pub(super) struct Turn {
    target: Vec<Each>,
    pub(super) slide: Vec<Each>,
    pub(super) edge: Vec<Each>,
    push: Vec<Each>,
    drag: Vec<Each>,
    drive: Vec<Each>,
    /// Which way they moved.
    pub(super) way: Vec<Each>,
}

/// Means over a turn.
#[derive(Clone, Copy)]
pub(super) struct Sample {
    /// Its middle, m.
    pub(super) z: f64,
    target: Each,
    slide: Each,
    edge: Each,
    depth: Each,
    push_off: Each,
    drag: Each,
    drive: Each,
    /// Steps on the first face, on the other, and with the whole edge in the cut.
    first: Each,
    other: Each,
    whole: Each,
}

impl Turn {
    /// Room for so many steps.
    pub(super) fn resize(&mut self, steps: usize) {
        for values in [
            &mut self.target,
            &mut self.slide,
            &mut self.edge,
            &mut self.push,
            &mut self.drag,
            &mut self.drive,
            &mut self.way,
        ] {
            values.resize(steps, ZERO);
        }
    }

    /// Writes down a step, with where the guides' middles were.
    #[inline(always)]
    pub(super) fn put(&mut self, k: usize, rest: &Rest, target: Each) {
        self.target[k] = target;
        self.slide[k] = rest.slide;
        self.edge[k] = rest.edge;
        self.push[k] = rest.push;
        self.drag[k] = rest.drag;
        self.drive[k] = rest.drive;
        self.way[k] = rest.way;
    }

    /// The means over a whole turn; `hold` is the preload at height 0 and its growth.
    pub(super) fn means(&self, lines: &[Line], hold: (Each, Each)) -> Sample {
        let sum = |values: &[Each]| values.iter().fold(ZERO, |sum, &value| sum + value);
        let one = Each::splat(1.0);
        let [mut depth, mut first, mut other, mut whole] = [ZERO; 4];
        for (&edge, line) in self.edge.iter().zip(lines) {
            let cut = edge - line.surface;
            depth += cut.higher(ZERO);
            let in_cut = cut.simd_gt(ZERO) & line.inside.simd_gt(Each::splat(WHOLE));
            whole += one.select(in_cut, ZERO);
        }
        for drive in &self.drive {
            first += one.select(drive.simd_gt(ZERO), ZERO);
            other += one.select(drive.simd_lt(ZERO), ZERO);
        }
        let edge = sum(&self.edge);
        let steps = Each::splat(self.edge.len() as f64);
        let push_off = sum(&self.push) - hold.0 * steps - hold.1 * edge;
        Sample {
            z: 0.0,
            target: sum(&self.target) / steps,
            slide: sum(&self.slide) / steps,
            edge: edge / steps,
            depth: depth / steps,
            push_off: push_off / steps,
            drag: sum(&self.drag) / steps,
            drive: sum(&self.drive) / steps,
            first,
            other,
            whole,
        }
    }
}

impl Sample {
    /// One lathe's means, with this slack in its drive.
    pub(super) fn of(&self, lane: usize, slack: f64, steps: usize) -> TurnSample {
        let mean = |mean: &Each| mean.extract(lane);
        let count = |count: Each| count.extract(lane) as usize;
        let (first, other) = (count(self.first), count(self.other));
        let middle = mean(&self.target);
        TurnSample {
            z: self.z,
            first_face: middle - 0.5 * slack,
            other_face: middle + 0.5 * slack,
            slide: mean(&self.slide),
            edge: mean(&self.edge),
            depth: mean(&self.depth),
            push_off: mean(&self.push_off),
            drag: mean(&self.drag),
            drive: mean(&self.drive),
            seat: most([first, other, steps - first - other]),
            cutting: count(self.whole) == steps,
        }
    }
}
