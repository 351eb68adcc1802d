//! A whole turn of a pass at once: what the slide did a turn ago is tried again, many steps side
//! by side, and put right where it does something else now.
//!
//! In the cut the slide has one level of drag and goes to `clamp(where it was, low, high)`, where
//! the bounds hang on the surface, on the edge's height a turn ago and on the guide, but not on
//! the step before. So the bounds of all steps at which it moves can be worked out together, then
//! the steps at which it stays, and the one thing that has to go step after step is the clamp.
//! A step at which the slide neither moves as foretold nor stays as foretold, or whose bound
//! can't be relied on (an open gap in air, a law with several balances), is settled alone.

use crate::balance::{Body, bound, stand};
use crate::lanes::{Four, Lanes, SimdBool, SimdPartialOrd, SimdSigned, SimdValue};
use crate::record::Counters;

use super::Cut;
use super::turn_log::Step;

/// Steps side by side.
const WIDTH: usize = Four::LANES;
/// The edge's height is carried on from as many turns.
const LOOK_BACK: usize = 3;

/// The steps of one turn, and what is remembered from the turns before.
pub(super) struct Turn {
    steps: usize,
    edge: AtEdge,
    /// Which way the slide moves at each step, as a turn ago until found otherwise, and for how
    /// many turns it has.
    ways: Vec<f64>,
    held: Vec<usize>,
    rests: Vec<Step>,
    sure: Vec<bool>,
}

/// What the edge meets, step by step.
struct AtEdge {
    surface: Vec<f64>,
    turn_ago: Vec<f64>,
    /// Over the table's, less one.
    hardness: Vec<f64>,
    engaged: Vec<f64>,
    /// Where the edge is to be expected.
    near: Vec<f64>,
}

impl Turn {
    pub(super) fn new(steps: usize) -> Self {
        let all = steps.next_multiple_of(WIDTH);
        let empty = || vec![0.0; all];
        Self {
            steps,
            edge: AtEdge {
                surface: empty(),
                turn_ago: empty(),
                hardness: empty(),
                engaged: empty(),
                near: empty(),
            },
            ways: empty(),
            held: vec![0; all],
            rests: vec![Step::default(); all],
            sure: vec![false; all],
        }
    }

    pub(super) fn surface_mut(&mut self) -> &mut [f64] {
        &mut self.edge.surface[..self.steps]
    }

    /// Hardness over the table's, less one.
    pub(super) fn hardness_mut(&mut self) -> &mut [f64] {
        &mut self.edge.hardness[..self.steps]
    }

    pub(super) fn engaged_mut(&mut self) -> &mut [f64] {
        &mut self.edge.engaged[..self.steps]
    }

    /// Leaves out of the cut what slots leave out of the work.
    pub(super) fn interrupt(&mut self, metal: &[f64]) {
        for (engaged, metal) in self.edge.engaged.iter_mut().zip(metal) {
            *engaged *= metal;
        }
    }

    /// Where each step came to rest.
    pub(super) fn rests(&self) -> &[Step] {
        &self.rests[..self.steps]
    }

    /// Remembers which way the slide moved at a step that was made outside.
    pub(super) fn remember(&mut self, step: usize, moved: i8) {
        self.ways[step] = f64::from(moved);
        self.held[step] = 1;
    }

    /// Takes in the edge's heights up to this turn.
    fn look_back(&mut self, edges: &[f64]) {
        let edge = &mut self.edge;
        let ago = |turns: usize| {
            let from = edges.len().checked_sub(turns * self.steps)?;
            Some(&edges[from..from + self.steps])
        };
        let last = ago(1).unwrap_or_default();
        edge.turn_ago[..self.steps].copy_from_slice(last);
        edge.near[..self.steps].copy_from_slice(last);
        if let (Some(before), Some(third)) = (ago(2), ago(LOOK_BACK)) {
            for (k, near) in edge.near[..self.steps].iter_mut().enumerate() {
                let (a, b, c) = (last[k], before[k], third[k]);
                *near = match self.held[k] {
                    0 | 1 => a,
                    2 => 2.0 * a - b,
                    _ => 3.0 * (a - b) + c,
                };
            }
        }
        // The steps beyond the last only fill the lanes.
        for values in [
            &mut edge.surface,
            &mut edge.turn_ago,
            &mut edge.hardness,
            &mut edge.engaged,
            &mut edge.near,
        ] {
            let fill = values[self.steps - 1];
            values[self.steps..].fill(fill);
        }
    }

    /// Settles every step of the turn after these edges; returns the body after it.
    pub(super) fn settle(
        &mut self,
        mut body: Body,
        guide: f64,
        drift: f64,
        edges: &[f64],
        load: &Cut<'_>,
        counters: &mut Counters,
    ) -> Body {
        self.look_back(edges);
        self.bounds(&body, guide, load, counters);
        let mut next = 0;
        while next < self.steps {
            self.clamp(next, body.position, drift);
            let end = self.stay(next, &body, guide, load, counters);
            if end > next {
                body.position = self.rests[end - 1].slide;
                body.moved = self.ways[end - 1] as i8;
            }
            if end < self.steps {
                self.alone(end, &mut body, drift, guide, load, counters);
            }
            next = end + 1;
        }
        for (k, rest) in self.rests[..self.steps].iter_mut().enumerate() {
            rest.push_off -= load.preload + load.rate * rest.edge;
            rest.depth = rest.edge - self.edge.surface[k];
            let stays = self.ways[k] == 0.0;
            counters.stuck += u64::from(stays);
        }
        counters.steps += self.steps as u64;
        body.parameter = self.rests[self.steps - 1].edge;
        body
    }

    /// The bounds of all steps at which the slide moves.
    fn bounds(&mut self, body: &Body, guide: f64, load: &Cut<'_>, counters: &mut Counters) {
        for k in (0..self.ways.len()).step_by(WIDTH) {
            let way = Four::load(&self.ways[k..]);
            let moves = way.simd_ne(Four::splat(0.0));
            if moves.none() {
                continue;
            }
            let loads = self.edge.loads(k, load);
            let found = bound(
                &body.link,
                Four::splat(guide),
                Four::load(&self.edge.near[k..]),
                way,
                |e| loads.reaction(e),
                loads.surface,
                moves,
                counters,
            );
            let sure = found.sure.bitmask();
            let [edge, slide, push, limit, drive] = [
                found.parameter,
                found.load.position,
                found.load.push,
                found.load.limit,
                found.drive,
            ]
            .map(Four::into_arr);
            for lane in 0..WIDTH {
                self.sure[k + lane] = sure >> lane & 1 == 1;
                self.rests[k + lane] = Step {
                    slide: slide[lane],
                    edge: edge[lane],
                    push_off: push[lane],
                    drag: limit[lane],
                    drive: drive[lane],
                    ..Step::default()
                };
            }
        }
    }

    /// Where the slide stands from step `next` on, if it moves and stays as foretold. A bound that
    /// lies behind where the slide already is, is not sure.
    fn clamp(&mut self, next: usize, mut position: f64, drift: f64) {
        for k in next..self.steps {
            position += drift;
            let way = self.ways[k];
            let rest = &mut self.rests[k];
            if way == 0.0 {
                rest.slide = position;
            } else if self.sure[k] && way * (rest.slide - position) > 0.0 {
                position = rest.slide;
            } else {
                self.sure[k] = false;
                return;
            }
        }
    }

    /// Where the edge stands at the steps from `next` on at which the slide stays; returns the
    /// first step that doesn't go as foretold.
    fn stay(
        &mut self,
        next: usize,
        body: &Body,
        guide: f64,
        load: &Cut<'_>,
        counters: &mut Counters,
    ) -> usize {
        for k in (next / WIDTH * WIDTH..self.steps).step_by(WIDTH) {
            let lanes = next.max(k)..self.steps.min(k + WIDTH);
            let way = Four::load(&self.ways[k..]);
            let stays = way.simd_eq(Four::splat(0.0));
            if stays.any() {
                let mut slide = [0.0; WIDTH];
                for (slide, rest) in slide.iter_mut().zip(&self.rests[k..]) {
                    *slide = rest.slide;
                }
                let slide = Four::load(&slide);
                let loads = self.edge.loads(k, load);
                let (edge, there, found) = stand(
                    slide,
                    Four::load(&self.edge.near[k..]),
                    |e| loads.reaction(e),
                    loads.surface,
                    stays,
                    counters,
                );
                let drive = body.link.force(Four::splat(guide) - slide);
                let held = (drive - there.push).simd_abs().simd_le(there.limit);
                let sure = (found & held).bitmask();
                let [edge, push, limit, drive] =
                    [edge, there.push, there.limit, drive].map(Four::into_arr);
                for step in lanes.clone().filter(|&step| self.ways[step] == 0.0) {
                    let lane = step - k;
                    self.sure[step] = sure >> lane & 1 == 1;
                    let rest = &mut self.rests[step];
                    rest.edge = edge[lane];
                    rest.push_off = push[lane];
                    rest.drag = limit[lane];
                    rest.drive = drive[lane];
                }
            }
            for step in lanes {
                if !self.sure[step] {
                    return step;
                }
                self.held[step] = (self.held[step] + 1).min(LOOK_BACK);
            }
        }
        self.steps
    }

    /// Settles one step alone.
    fn alone(
        &mut self,
        k: usize,
        body: &mut Body,
        drift: f64,
        guide: f64,
        load: &Cut<'_>,
        counters: &mut Counters,
    ) {
        let load = load.at_edge(
            self.edge.surface[k],
            self.edge.turn_ago[k],
            1.0 + self.edge.hardness[k],
            self.edge.engaged[k],
        );
        body.position += drift;
        body.parameter = self.edge.near[k];
        let mut own = Counters::default();
        let rested = body.advance(guide, &load, &mut own);
        counters.iterations += own.iterations;
        counters.ambiguous += own.ambiguous;
        counters.unconverged += own.unconverged;
        self.remember(k, rested.moved);
        self.rests[k] = Step {
            slide: rested.load.position,
            edge: rested.parameter,
            push_off: rested.load.push,
            drag: rested.load.limit,
            drive: rested.drive,
            ..Step::default()
        };
    }
}

impl AtEdge {
    /// The load of the steps from `k` on.
    #[inline(always)]
    fn loads<'a>(&self, k: usize, load: &Cut<'a>) -> Cut<'a, Four> {
        load.at_edge(
            Four::load(&self.surface[k..]),
            Four::load(&self.turn_ago[k..]),
            Four::splat(1.0) + Four::load(&self.hardness[k..]),
            Four::load(&self.engaged[k..]),
        )
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::balance::{Levels, Link};
    use crate::cutting::{EdgeShape, ForceLaw};
    use crate::machine::slide::Drag;

    /// Turns of a cut with a field on the work that turns as it goes along.
    #[derive(Clone, Debug)]
    struct Case {
        slack: f64,
        spring: f64,
        drag: f64,
        preload: f64,
        gives: f64,
        depth: f64,
        run_out: f64,
        hardness: f64,
        drift: f64,
        nose: f64,
        per_turn: usize,
        /// Share in the work: below 1, as at an end.
        engaged: f64,
    }

    fn case() -> impl Strategy<Value = Case> {
        (
            (0.0..300e-6, 2e6..5e7, 1.0..400.0, -300.0..300.0, 0.0..4e-7),
            (-20e-6..0.5e-3, 0.0..30e-6, 0.0..0.3, -3e-7..3e-7),
            (0.0..1.2e-3, 1usize..30, 0.5..1.0),
        )
            .prop_map(|((slack, spring, drag, preload, gives), work, rest)| Case {
                slack,
                spring,
                drag,
                preload,
                gives,
                depth: work.0,
                run_out: work.1,
                hardness: work.2,
                drift: work.3,
                nose: rest.0,
                per_turn: rest.1,
                engaged: rest.2,
            })
    }

    proptest! {
        /// A whole turn is its steps one after another.
        #[test]
        fn a_turn_at_once_is_its_steps_one_after_another(case in case()) {
            let shape = EdgeShape::new(case.nose, 1.6, 0.15e-3);
            let law = ForceLaw::new(1.7e9, 0.24, 0.5, 20e3, shape, 0.05);
            let drag = Drag {
                gib: case.drag,
                friction: 0.15,
                weight: 300.0,
                press: 1.2,
                side: 0.1,
                seal: 2.0,
                left_cutting: 0.6,
                breakaway: 1.3,
                change: 0.0,
            };
            let template = Cut {
                law: &law,
                drag: &drag,
                gives: case.gives,
                surface: 0.0,
                turn_ago: 0.0,
                hardness: 1.0,
                engaged: 1.0,
                local_drag: 1.1,
                preload: case.preload,
                rate: 1e3,
                height_share: 0.01,
                eased: true,
            };
            let link = Link { slack: case.slack, first: case.spring, other: 0.7 * case.spring };
            let n = case.per_turn;
            let mut turn = Turn::new(n);
            let mut together = Body::new(link, Levels::ONE, -0.5 * case.slack);
            let mut alone = together;
            let (mut edges, mut stepped) = (vec![-case.depth; n], vec![-case.depth; n]);
            let (mut counted, mut counters) = (Counters::default(), Counters::default());
            for t in 0..12 {
                let angle = |k: usize| std::f64::consts::TAU * k as f64 / n as f64;
                let phase = 0.1 * f64::from(t);
                let surface = |k: usize| -case.depth + case.run_out * (angle(k) + phase).cos();
                let hardness = |k: usize| case.hardness * (3.0 * angle(k) - 2.0 * phase).sin();
                for k in 0..n {
                    turn.surface_mut()[k] = surface(k);
                    turn.hardness_mut()[k] = hardness(k);
                    turn.engaged_mut()[k] = case.engaged;
                }
                together = turn.settle(together, 0.0, case.drift, &edges, &template, &mut counted);
                for k in 0..n {
                    let ago = stepped[stepped.len() - n];
                    let load = template.at_edge(surface(k), ago, 1.0 + hardness(k), case.engaged);
                    alone.shift(case.drift);
                    let rested = alone.advance(0.0, &load, &mut counters);
                    stepped.push(rested.parameter);
                    let ours = turn.rests()[k];
                    let close = |a: f64, b: f64, to: f64| (a - b).abs() <= to;
                    prop_assert!(
                        close(ours.edge, rested.parameter, 1e-9)
                            && close(ours.slide, rested.load.position, 1e-9)
                            && close(ours.drive, rested.drive, 2e-2)
                            && close(ours.drag, rested.load.limit, 2e-2),
                        "turn {t} step {k}: {ours:?} alone {rested:?}"
                    );
                    edges.push(ours.edge);
                }
            }
            prop_assert_eq!(counted.steps, counters.steps);
            // Right at a bound rounding decides whether it moved or stayed.
            prop_assert!(counted.stuck.abs_diff(counters.stuck) <= 2 + counted.steps / 50);
        }
    }
}
