//! The steps of a turn side by side: what the edge meets at each, and where each came to rest.

use crate::balance::Bound;
use crate::cut::load::Cut;
use crate::lanes::{Four, Lanes};

/// What the edge meets, step by step.
pub(super) struct AtEdge {
    pub(super) surface: Vec<f64>,
    pub(super) turn_ago: Vec<f64>,
    /// Over the table's, less one.
    pub(super) hardness: Vec<f64>,
    pub(super) engaged: Vec<f64>,
    /// Where the edge is to be expected.
    pub(super) near: Vec<f64>,
}

impl AtEdge {
    /// Room for so many steps.
    pub(super) fn new(steps: usize) -> Self {
        let empty = || vec![0.0; steps];
        Self {
            surface: empty(),
            turn_ago: empty(),
            hardness: empty(),
            engaged: empty(),
            near: empty(),
        }
    }

    /// Takes in the edge's heights up to a turn of `n` steps, and carries them on: as long as the
    /// slide has moved the same way, for `held` turns, up to the change of their change.
    pub(super) fn look_back(&mut self, n: usize, edges: &[f64], held: &[f64]) {
        let ago = |turns: usize| {
            let from = edges.len().checked_sub(turns * n)?;
            Some(&edges[from..from + n])
        };
        let last = ago(1).unwrap_or_default();
        self.turn_ago[..n].copy_from_slice(last);
        if let (Some(before), Some(third)) = (ago(2), ago(3)) {
            let heights = last.iter().zip(before).zip(third);
            for ((near, ((&last, &before), &third)), &held) in
                self.near.iter_mut().zip(heights).zip(held)
            {
                let change = last - before;
                let of_change = change - (before - third);
                let once = if held >= 2.0 { change } else { 0.0 };
                let twice = if held >= 3.0 { of_change } else { 0.0 };
                *near = last + once + twice;
            }
        } else {
            self.near[..n].copy_from_slice(last);
        }
        // The steps beyond the last only fill the lanes.
        for values in [
            &mut self.surface,
            &mut self.turn_ago,
            &mut self.hardness,
            &mut self.engaged,
            &mut self.near,
        ] {
            let fill = values[n - 1];
            values[n..].fill(fill);
        }
    }

    /// The load of the steps from `k` on.
    #[inline(always)]
    pub(super) fn loads<'a>(&self, k: usize, load: &Cut<'a>) -> Cut<'a, Four> {
        load.at_edge(
            Four::load(&self.surface[k..]),
            Four::load(&self.turn_ago[k..]),
            Four::splat(1.0) + Four::load(&self.hardness[k..]),
            Four::load(&self.engaged[k..]),
        )
    }
}

/// Where the steps of a turn came to rest, in m and N.
pub(in crate::cut) struct Rests {
    pub(in crate::cut) slide: Vec<f64>,
    pub(in crate::cut) edge: Vec<f64>,
    /// From the surface ahead; negative in air.
    pub(in crate::cut) depth: Vec<f64>,
    /// Of the tool, without preload.
    pub(in crate::cut) push_off: Vec<f64>,
    pub(in crate::cut) drag: Vec<f64>,
    pub(in crate::cut) drive: Vec<f64>,
}

impl Rests {
    /// Room for so many steps.
    pub(super) fn new(steps: usize) -> Self {
        let empty = || vec![0.0; steps];
        Self {
            slide: empty(),
            edge: empty(),
            depth: empty(),
            push_off: empty(),
            drag: empty(),
            drive: empty(),
        }
    }

    /// Writes down where the steps from `k` on come to rest if they move.
    #[inline(always)]
    pub(super) fn put(&mut self, k: usize, found: &Bound<Four>) {
        found.load.position.store(&mut self.slide[k..]);
        found.parameter.store(&mut self.edge[k..]);
        found.load.push.store(&mut self.push_off[k..]);
        found.load.limit.store(&mut self.drag[k..]);
        found.drive.store(&mut self.drive[k..]);
    }

    /// The same of one of them, the one in `lane`.
    pub(super) fn put_one(&mut self, k: usize, found: &Bound<Four>, lane: usize) {
        self.slide[k] = found.load.position.extract(lane);
        self.edge[k] = found.parameter.extract(lane);
        self.push_off[k] = found.load.push.extract(lane);
        self.drag[k] = found.load.limit.extract(lane);
        self.drive[k] = found.drive.extract(lane);
    }
}
