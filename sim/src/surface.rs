//! The surface that stands: on each line along the work, the envelope of the nose arcs.
//!
//! Heights are relative to the finished cone, positive into the work. Each turn leaves an arc;
//! where the next turn cuts deeper it recuts a part of the one before; a tool can't put metal
//! back, so the deeper of old and new stays.

use crate::cutting::EdgeShape;

/// Turns to either side whose arcs can reach a place.
const REACH: usize = 6;

/// The mean height between feed marks, on a grid of meridians and places along the axis.
#[derive(Clone, Debug, PartialEq)]
pub struct Standing {
    heights: Vec<f64>,
    meridians: usize,
    nodes: usize,
    spacing: f64,
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

    /// What is left by one arc `offset` away from its lowest point, above that point, m.
    fn arc(&self, offset: f64) -> f64 {
        let r = self.shape.nose_radius;
        let offset = offset.abs();
        if offset < r {
            r - (r * r - offset * offset).sqrt()
        } else {
            f64::INFINITY
        }
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
                self.heights[i] - self.arc(z - self.place(i))
            })
            .fold(f64::NEG_INFINITY, f64::max)
    }
}

impl Standing {
    /// A surface of `nodes` places on each meridian; `height(meridian, z)` gives it.
    pub fn new(
        meridians: usize,
        length: f64,
        spacing: f64,
        height: impl Fn(usize, f64) -> f64,
    ) -> Self {
        let nodes = ((length / spacing).ceil() as usize + 1).max(2);
        let spacing = length / (nodes - 1) as f64;
        let heights = (0..meridians)
            .flat_map(|j| (0..nodes).map(move |k| (j, k)))
            .map(|(j, k)| height(j, spacing * k as f64))
            .collect();
        Self {
            heights,
            meridians,
            nodes,
            spacing,
        }
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
    pub fn line(&self, meridian: usize) -> &[f64] {
        &self.heights[meridian * self.nodes..(meridian + 1) * self.nodes]
    }

    /// Height on a meridian at `z`, held constant beyond the ends, m.
    #[inline]
    pub fn at(&self, meridian: usize, z: f64) -> f64 {
        let place = (z / self.spacing).clamp(0.0, (self.nodes - 1) as f64);
        let i = (place as usize).min(self.nodes - 2);
        let base = meridian * self.nodes + i;
        let (a, b) = (self.heights[base], self.heights[base + 1]);
        a + (place - i as f64) * (b - a)
    }

    /// Mean over the circumference, m.
    pub fn mean(&self) -> Vec<f64> {
        (0..self.nodes)
            .map(|k| {
                (0..self.meridians)
                    .map(|j| self.heights[j * self.nodes + k])
                    .sum::<f64>()
                    / self.meridians as f64
            })
            .collect()
    }

    /// Peak to valley over the circumference, m.
    pub fn out_of_round(&self) -> Vec<f64> {
        (0..self.nodes)
            .map(|k| {
                let (low, high) = (0..self.meridians)
                    .map(|j| self.heights[j * self.nodes + k])
                    .fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), v| {
                        (l.min(v), h.max(v))
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
    pub fn cut(&mut self, path: &EdgePath) {
        let feed = path.shape.feed;
        let half = 0.5 * feed;
        // Mean of the arc over one feed.
        let mark = mean_mark(&path.shape);
        // By how much an arc `n` turns away stands above its lowest point, at the near edge of
        // the place's own feed.
        let rise: Vec<f64> = (0..=REACH)
            .map(|n| path.arc((n as f64 - 0.5).max(0.0) * feed))
            .collect();
        // A turn further away than this can't be deep enough to reach over.
        let (low, high) = path
            .heights
            .iter()
            .filter(|h| h.is_finite())
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), &v| {
                (l.min(v), h.max(v))
            });
        let uncut = path.heights.iter().any(|h| !h.is_finite());
        let reach = (1..=REACH)
            .rev()
            .find(|&n| uncut || rise[n] < high - low)
            .unwrap_or(0);
        for j in 0..self.meridians {
            let turns = (path.heights.len().saturating_sub(j)).div_ceil(path.per_turn);
            if turns == 0 {
                continue;
            }
            let first = path.place(j);
            for k in 0..self.nodes {
                let along = (self.spacing * k as f64 - first) * path.direction;
                if along < -half || along > (turns as f64 - 0.5) * feed {
                    continue;
                }
                let own = ((along / feed).round() as usize).min(turns - 1);
                let height_of = |t: usize| path.heights[j + t * path.per_turn];
                let mut deepest = height_of(own) - mark;
                let low = own.saturating_sub(reach);
                let high = (own + reach).min(turns - 1);
                for t in low..=high {
                    let height = height_of(t);
                    if height > deepest && t != own {
                        deepest = deepest.max(height - rise[t.abs_diff(own)]);
                    }
                }
                let here = &mut self.heights[j * self.nodes + k];
                *here = here.max(deepest);
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
