//! A study's lathes at any place of what they are drawn from, told by the standard normal scores that
//! the draws grow from.
//!
//! One score a number that varies and one for the wear that unmeasured slacks share, all independent;
//! touching off and setting the dial, done anew each time, are in their middle.

use std::sync::Arc;

use super::{Drawn, PLACES, Part, Study, cut_batch};
use crate::cut::Realization;
use crate::record::Measures;
use crate::scenario::HandDraws;
use crate::spread::{SharedFactor, uniform_at};
use crate::unevenness::Luck;

/// What a score belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Coordinate {
    /// The number of this place.
    Own(u32),
    /// What the members of the factor of this place share.
    Shared(u32),
}

impl Coordinate {
    /// Its place in a trial's stream.
    pub fn place(self) -> u32 {
        match self {
            Self::Own(place) | Self::Shared(place) => place,
        }
    }
}

impl Study {
    /// All in which lathe and job vary.
    pub(crate) fn coordinates(&self) -> Vec<Coordinate> {
        let own = self
            .quantities
            .iter()
            .filter(|quantity| quantity.varies() && quantity.part != Part::Hand)
            .map(|quantity| Coordinate::Own(quantity.number));
        let shared = self
            .factors
            .iter()
            .filter(|factor| !factor.members().is_empty())
            .map(|factor| Coordinate::Shared(factor.place()));
        own.chain(shared).collect()
    }

    /// The normal score of each quantity, in their order.
    pub(crate) fn scores_at(&self, score: &dyn Fn(Coordinate) -> f64) -> Vec<f64> {
        let of = |number: u32| {
            let own = score(Coordinate::Own(number));
            let member = |factor: &&SharedFactor| factor.members().contains(&(number as usize));
            self.factors.iter().find(member).map_or(own, |factor| {
                factor.coupled(score(Coordinate::Shared(factor.place())), own)
            })
        };
        self.quantities.iter().map(|q| of(q.number)).collect()
    }

    /// The lathe at these scores.
    pub(crate) fn at(&self, scores: &[f64]) -> Drawn {
        let mut uniforms = vec![0.5; PLACES];
        for (quantity, score) in self.quantities.iter().zip(scores) {
            uniforms[quantity.number as usize] = uniform_at(*score);
        }
        let mut drawn = self.drawn(&uniforms);
        drawn.scenario.job.by_hand.chance = HandDraws::default();
        drawn
    }

    /// What gauges read of work of this luck, each on its lathe, in a way; at most
    /// [`crate::cut::BATCH`] of them.
    pub(crate) fn cut_drawn(&self, way: usize, drawn: &[Drawn], lucks: &[&Luck]) -> Vec<Measures> {
        let way = &self.ways[way];
        let of = |(drawn, luck): (&Drawn, &&Luck)| {
            Arc::new(Realization::of(&drawn.scenario, way.1, luck))
        };
        let luck: Vec<Arc<Realization>> = drawn.iter().zip(lucks).map(of).collect();
        cut_batch(drawn, way, &luck)
    }
}
