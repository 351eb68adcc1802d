//! Random numbers that have a fixed place each: by seed, trial and quantity, whatever the order.
//!
//! A trial has its own stream of a ChaCha generator, and quantity number `k` reads the stream's
//! 64-bit word `k`. So a trial's draws don't depend on threads, on other trials, or on which
//! other quantities are drawn, and two ways of making a cut meet the same lathe.
//!
//! Quantities that go together (all slacks of a worn lathe) are a Gaussian copula: with u the
//! quantity's own uniform number and g the one of the factor that they share,
//! `z = sqrt(r) Phi^-1(g) + sqrt(1 - r) Phi^-1(u)` and the uniform number used is `Phi(z)`. The
//! normal scores of any two of them then have correlation r, each keeps its own distribution, and
//! nobody else's draws shift.

use std::fmt;

use crate::arithmetic::clamp;

use rand::{RngExt, SeedableRng, distr::Open01};
use rand_chacha::ChaCha12Rng;
use schemars::JsonSchema;
use serde::Serialize;

use super::distribution::Distribution;
use super::tails::normal_below;
use crate::special::normal_quantile;

/// First place of the shared factors, far beyond any quantity's.
const FACTORS: u32 = 1 << 24;

/// Keeps these draws apart from others that grow from the same seed number.
const PURPOSE: &[u8; 24] = b"draws of uncertain trial";

/// Which of the independent families of trials a draw belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Family {
    /// The trials of a propagation; sample A of a sensitivity study, so that its runs are shared.
    A,
    /// Sample B of a sensitivity study.
    B,
    /// Choice of trials in a bootstrap.
    Bootstrap,
}

/// All draws that grow from one seed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Draws {
    /// The seed.
    pub seed: u64,
}

impl Draws {
    /// The draws of a trial of family A. Trials are numbered below `2^60`.
    pub fn trial(&self, trial: u64) -> TrialDraws {
        self.trial_of(Family::A, trial)
    }

    /// The draws of a trial of a family.
    pub fn trial_of(&self, family: Family, trial: u64) -> TrialDraws {
        TrialDraws {
            generator: self.generator(family, trial),
        }
    }

    /// One uniform number between 0 and 1, neither included.
    pub fn uniform(&self, trial: u64, place: u32) -> f64 {
        self.trial(trial).uniform(place)
    }

    /// The bare generator of a trial, at its start.
    pub(super) fn generator(&self, family: Family, trial: u64) -> ChaCha12Rng {
        let mut key = [0; 32];
        key[..8].copy_from_slice(&self.seed.to_le_bytes());
        key[8..].copy_from_slice(PURPOSE);
        let mut generator = ChaCha12Rng::from_seed(key);
        generator.set_stream((family as u64) << 60 | trial);
        generator
    }
}

/// The draws of one trial.
#[derive(Clone, Debug)]
pub struct TrialDraws {
    generator: ChaCha12Rng,
}

impl TrialDraws {
    /// The uniform number at a place, between 0 and 1, neither included. Places of quantities are
    /// below `2^24`.
    pub fn uniform(&mut self, place: u32) -> f64 {
        self.generator.set_word_pos(2 * u128::from(place));
        self.generator.sample(Open01)
    }

    /// The uniform numbers at places 0, 1, 2, ..., read in one go.
    pub fn fill(&mut self, uniforms: &mut [f64]) {
        self.generator.set_word_pos(0);
        for uniform in uniforms {
            *uniform = self.generator.sample(Open01);
        }
    }

    /// The uniform numbers at places 0, 1, 2, ..., members of shared factors correlated.
    pub fn correlated(&mut self, places: usize, factors: &[SharedFactor]) -> Vec<f64> {
        let mut uniforms = vec![0.0; places];
        self.fill(&mut uniforms);
        for factor in factors {
            factor.couple(self, &mut uniforms);
        }
        uniforms
    }

    /// A value of each quantity, members of shared factors correlated.
    pub fn values(&mut self, quantities: &[Distribution], factors: &[SharedFactor]) -> Vec<f64> {
        self.correlated(quantities.len(), factors)
            .into_iter()
            .zip(quantities)
            .map(|(uniform, quantity)| quantity.quantile(uniform))
            .collect()
    }
}

/// What several quantities have in common. A quantity is a member of one at most.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct SharedFactor {
    number: u32,
    members: Vec<usize>,
    correlation: f64,
}

/// Why a shared factor is refused.
#[derive(Clone, Debug, PartialEq)]
pub enum FactorFault {
    /// The correlation is not from 0 to 1.
    Correlation(f64),
    /// The quantity is named twice.
    Twice(usize),
    /// Factor numbers end at `2^24`.
    Number(u32),
}

impl fmt::Display for FactorFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Correlation(r) => write!(f, "the correlation is {r}; it must be from 0 to 1"),
            Self::Twice(member) => write!(f, "quantity {member} is named twice; name it once"),
            Self::Number(n) => write!(f, "the factor's number is {n}; it must be below {FACTORS}"),
        }
    }
}

impl std::error::Error for FactorFault {}

/// The uniform number of a normal score: a far tail doesn't round to an end.
pub fn uniform_at(score: f64) -> f64 {
    clamp(
        normal_below(score),
        f64::MIN_POSITIVE,
        1.0 - f64::EPSILON / 2.0,
    )
}

impl SharedFactor {
    /// A factor with a number of its own (which fixes its place), the places of its members, and
    /// the correlation of any two members' normal scores, 0 to 1.
    ///
    /// # Errors
    /// A correlation out of range, a member named twice, a number too great.
    pub fn new(number: u32, members: Vec<usize>, correlation: f64) -> Result<Self, FactorFault> {
        if !(0.0..=1.0).contains(&correlation) {
            return Err(FactorFault::Correlation(correlation));
        }
        if number >= FACTORS {
            return Err(FactorFault::Number(number));
        }
        for (index, member) in members.iter().enumerate() {
            if members[..index].contains(member) {
                return Err(FactorFault::Twice(*member));
            }
        }
        Ok(Self {
            number,
            members,
            correlation,
        })
    }

    /// Correlation of any two members' normal scores.
    pub fn correlation(&self) -> f64 {
        self.correlation
    }

    /// Places of the members.
    pub fn members(&self) -> &[usize] {
        &self.members
    }

    /// Its place among the scores of a trial, beyond any quantity's.
    pub fn place(&self) -> u32 {
        FACTORS + self.number
    }

    /// A member's normal score, of what is shared and what is its own.
    pub fn coupled(&self, shared: f64, own: f64) -> f64 {
        self.correlation.sqrt() * shared + (1.0 - self.correlation).sqrt() * own
    }

    /// Replaces the members' uniform numbers by correlated ones. Members that are not among
    /// `uniforms` are passed over.
    pub fn couple(&self, draws: &mut TrialDraws, uniforms: &mut [f64]) {
        if self.correlation <= 0.0 {
            return;
        }
        let shared = normal_quantile(draws.uniform(self.place()));
        for &member in &self.members {
            if let Some(uniform) = uniforms.get_mut(member) {
                *uniform = uniform_at(self.coupled(shared, normal_quantile(*uniform)));
            }
        }
    }
}
