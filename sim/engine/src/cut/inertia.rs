//! A pass with the slide's mass: between two steps along the helix, many through time.

use crate::arithmetic::max;
use crate::balance::{Body, MassBody, Rested};
use crate::record::Counters;

use super::approach::RunIn;
use super::load::Cut;
use super::mass::Inertia;
use super::operation::Operation;

/// Inertia counts where it takes more than this share of the drag.
const COUNTS: f64 = 0.2;

/// How a pass with the slide's mass went.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ridden {
    /// Share of its time, from the first chip on, in which inertia takes more than a fifth of the
    /// drag.
    pub counts: f64,
    /// Steps through time.
    pub substeps: u64,
}

/// What acts at one step, to go on from to the next.
#[derive(Clone, Copy)]
struct Place {
    guide: f64,
    surface: f64,
    turn_ago: f64,
    hardness: f64,
    engaged: f64,
}

impl Place {
    fn new(guide: f64, load: &Cut<'_>) -> Self {
        Self {
            guide,
            surface: load.surface,
            turn_ago: load.turn_ago,
            hardness: load.hardness,
            engaged: load.engaged,
        }
    }

    fn toward(&self, next: &Self, share: f64) -> Self {
        let go = |from: f64, to: f64| from + share * (to - from);
        Self {
            guide: go(self.guide, next.guide),
            surface: go(self.surface, next.surface),
            turn_ago: go(self.turn_ago, next.turn_ago),
            hardness: go(self.hardness, next.hardness),
            engaged: go(self.engaged, next.engaged),
        }
    }
}

/// The slide under way with its mass.
pub(super) struct InertialPass {
    inertia: Inertia,
    slide: Option<MassBody>,
    place: Option<Place>,
    /// From the first chip on, s: all of it, and with inertia that counts.
    time: (f64, f64),
    substeps: u64,
}

impl InertialPass {
    pub(super) fn new(inertia: Inertia) -> Self {
        Self {
            inertia,
            slide: None,
            place: None,
            time: (0.0, 0.0),
            substeps: 0,
        }
    }

    /// Moves `body` on by a step of the helix that takes `time` (s) and over which it drifts by
    /// `drift` where it stands still on its ways, to where this load acts and the guide is at
    /// `guide`.
    pub(super) fn step(
        &mut self,
        operation: &Operation<'_>,
        body: &mut Body,
        (drift, time): (f64, f64),
        guide: f64,
        load: &Cut<'_>,
        counters: &mut Counters,
    ) -> Rested {
        let next = Place::new(guide, load);
        let before = self.place.replace(next);
        let (Some(before), Some(slide)) = (before, &mut self.slide) else {
            // The pass begins as the run-in in air ends: with the guide, or at rest by hand.
            let rested = body.advance(guide, load, counters);
            let mut slide = self.inertia.slide(body, guide);
            let rides =
                operation.approach.how != RunIn::ByHand && operation.approach.foot_left() == 0.0;
            slide.set_velocity(if rides { -drift / time } else { 0.0 });
            self.slide = Some(slide);
            return rested;
        };
        slide.levels = body.levels;
        let mut inner = Counters::default();
        let from = slide.position() + drift;
        let mut rested = None;
        if slide.velocity() == 0.0 {
            // At rest it mostly stays: then the whole step is one.
            let mut stays = slide.clone();
            stays.shift(drift);
            let there = stays.advance(guide, load, time, &mut inner);
            if there.moved == 0 {
                *slide = stays;
                self.substeps += 1;
                self.time.0 += if load.acting.eased { time } else { 0.0 };
                rested = Some(there);
            }
        }
        let rested = rested.unwrap_or_else(|| {
            let n = self.inertia.substeps(body, time);
            let short = time / f64::from(n);
            let mut last = None;
            for k in 1..=n {
                let at = before.toward(&next, f64::from(k) / f64::from(n));
                let load = load.at_edge(at.surface, at.turn_ago, at.hardness, at.engaged);
                slide.shift(drift / f64::from(n));
                let there = slide.advance(at.guide, &load, short, &mut inner);
                if load.acting.eased {
                    let takes = self.inertia.mass * slide.acceleration().abs();
                    let counts = takes > COUNTS * there.load.limit;
                    self.time.0 += short;
                    self.time.1 += if counts { short } else { 0.0 };
                }
                last = Some(there);
            }
            self.substeps += u64::from(n);
            last.expect("at least one substep")
        });
        let way = rested.load.position - from;
        let moved = if rested.moved == 0 && way == 0.0 {
            0
        } else {
            way.signum() as i8
        };
        counters.steps += 1;
        counters.stuck += u64::from(moved == 0);
        counters.iterations += inner.iterations;
        counters.ambiguous += inner.ambiguous;
        counters.unconverged += inner.unconverged;
        body.position = rested.load.position;
        body.parameter = rested.parameter;
        body.moved = moved;
        Rested { moved, ..rested }
    }

    /// Shifts the slide and what it is measured from.
    pub(super) fn shift(&mut self, by: f64) {
        if let Some(slide) = &mut self.slide {
            slide.shift(by);
        }
        if let Some(place) = &mut self.place {
            place.guide += by;
        }
    }

    pub(super) fn ridden(&self) -> Ridden {
        Ridden {
            counts: self.time.1 / max(self.time.0, f64::MIN_POSITIVE),
            substeps: self.substeps,
        }
    }
}
