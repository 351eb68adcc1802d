//! Bayes by weighing draws: what numbers are likely to be once something was gauged.
//!
//! Each draw takes every uncertain number of lathe and job from its range; its weight is the
//! likelihood of what was gauged, were that draw the truth (importance sampling with the prior as
//! proposal). Prior: the range is the middle 95 of 100, the middle the median, normal on either
//! side, in the logarithm where the number is positive; nothing is drawn beyond the range. Numbers
//! are drawn independently of each other. What a person does anew each time (touching off, setting the
//! dial) is no number to be learned: it stays in its middle, and what it scatters is added to the
//! gauge's own error. The posterior of a number is told by mean and deviation of its normal score, so
//! an outcome that doesn't depend on it leaves it exactly as it was.

use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;
use schemars::JsonSchema;
use serde::Serialize;

use crate::arithmetic::{clamp, exp, ln, max, min, powf, powi};
use crate::quantity::Dimension;
use crate::scenario::Scenario;
use crate::scenario::finished::Measured;
use crate::scenario::numbers::Part;
use crate::variates::normal;

/// Standard normal score of the end of a range that covers 95 of 100.
pub(crate) const END: f64 = 1.96;
/// How far the model itself may be off in size and waves, as a share of what was set [guess].
pub const MODEL_SHARE: f64 = 0.03;
/// Fewer draws' worth than this say nothing of a range.
pub const LEAST_EFFECTIVE: f64 = 50.0;
/// A number has changed if it moved by more than this many standard errors of the drawing.
pub(crate) const SURE: f64 = 3.5;
/// Less of a change than this share of a range is none [guess].
pub(crate) const WORTH_TELLING: f64 = 0.02;
/// The best draw may miss what was gauged by this many standard deviations on average.
const FARTHEST: f64 = 3.0;

/// A number before and after.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Number {
    /// The key in the file.
    pub key: &'static str,
    /// What the shop calls it.
    pub words: &'static str,
    /// What it measures.
    #[serde(skip)]
    pub dimension: Dimension,
    /// Low, middle and high before, SI.
    pub before: [f64; 3],
    /// Low, middle and high after, SI; as before where the job says nothing of it.
    pub after: [f64; 3],
    /// Whether the job says something of it, beyond the luck of the drawing.
    pub changed: bool,
    /// Whether it belongs to the lathe, not to this job.
    pub of_lathe: bool,
}

/// What was learned.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Learned {
    /// Draws made.
    pub draws: usize,
    /// What they are worth: `(sum w)^2 / sum w^2` (Kish).
    pub effective: f64,
    /// How far the best draw misses what was gauged, standard deviations.
    pub misses: f64,
    /// Every number that was in doubt.
    pub numbers: Vec<Number>,
}

/// Why nothing was learned.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub enum Refused {
    /// Every number of the lathe is given without a range.
    NothingInDoubt,
    /// No draw comes near what was gauged.
    OutOfReach {
        /// How far the best one misses, standard deviations.
        misses: f64,
    },
    /// Too few draws agree.
    TooFew {
        /// What they are worth.
        effective: f64,
        /// Draws made.
        draws: usize,
    },
}

/// A range as a distribution of a standard normal score.
#[derive(Clone, Copy, Debug)]
struct Prior {
    range: [f64; 3],
    /// Spread in the logarithm.
    logarithmic: bool,
}

impl Prior {
    fn new(range: [f64; 3]) -> Self {
        Self {
            range,
            logarithmic: range[0] > 0.0,
        }
    }

    /// The value at a score; the ends of the range are its ends.
    fn at(&self, score: f64) -> f64 {
        let [low, middle, high] = self.range;
        if score <= -END {
            return low;
        }
        if score >= END {
            return high;
        }
        let end = if score < 0.0 { low } else { high };
        let share = score.abs() / END;
        if self.logarithmic {
            middle * powf(end / middle, share)
        } else {
            middle + share * (end - middle)
        }
    }
}

/// What comes of one draw.
#[derive(Clone, Debug, Default)]
pub(crate) struct Comes {
    /// Sum of squared misses over their variances.
    misfit: f64,
    /// Sum of the logarithms of those variances. With the misfit: minus twice the logarithm of the
    /// likelihood.
    breadth: f64,
    /// Anything else that is to be told before and after.
    pub told: Vec<f64>,
}

impl Comes {
    /// Something gauged against what was found, which may by itself be off by these standard
    /// deviations.
    pub fn against(&mut self, measured: Option<Measured>, found: f64, offs: [f64; 2]) {
        let Some(measured) = measured else {
            return;
        };
        let own = powi(offs[0], 2) + powi(offs[1], 2);
        let variance = powi(measured.off / END, 2) + own;
        self.misfit += powi(measured.value - found, 2) / variance;
        self.breadth += ln(variance);
    }

    /// Sum of squared misses over their variances.
    pub fn misfit(&self) -> f64 {
        self.misfit
    }

    /// Minus twice the logarithm of the likelihood.
    pub fn unlikely(&self) -> f64 {
        self.misfit + self.breadth
    }
}

/// Something told of each draw: its middle and where 95 of 100 lie, as drawn and as weighed.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Told {
    /// As drawn.
    pub before: [f64; 3],
    /// As weighed.
    pub after: [f64; 3],
}

/// One draw: its scores in the order of the numbers, and what came of it.
struct Draw {
    scores: Vec<f64>,
    comes: Comes,
}

/// Draws from the ranges of a scenario and weighs what comes of each; so many things were gauged.
///
/// # Errors
/// When there is nothing to narrow, or the draws can't tell.
pub(crate) fn weigh(
    scenario: &Scenario,
    (seed, draws): (u64, usize),
    gauged: usize,
    mut comes: impl FnMut(&Scenario, usize) -> Comes,
) -> Result<(Learned, Vec<Told>), Refused> {
    let mut varied = scenario.clone();
    let parameters = varied.parameters_mut();
    let priors: Vec<(u32, usize, Prior)> = parameters
        .iter()
        .enumerate()
        .filter_map(|(place, parameter)| {
            let range = parameter.value.range_si();
            let anew = parameter.row.about().part == Part::Hand;
            (!anew && range[0] < range[2]).then(|| (parameter.number, place, Prior::new(range)))
        })
        .collect();
    if priors.is_empty() || draws == 0 {
        return Err(Refused::NothingInDoubt);
    }
    let mut made = Vec::with_capacity(draws);
    for trial in 0..draws {
        let mut scores = Vec::with_capacity(priors.len());
        for &(number, place, prior) in &priors {
            let score = score(seed, trial, number);
            parameters[place].set_si(&mut varied, prior.at(score));
            scores.push(score);
        }
        let comes = comes(&varied, trial);
        made.push(Draw { scores, comes });
    }
    judged(scenario, gauged, &priors, &made)
}

/// The score of a number in a trial: it depends on nothing else.
pub(crate) fn score(seed: u64, trial: usize, number: u32) -> f64 {
    let mut luck = ChaCha8Rng::seed_from_u64(seed);
    luck.set_stream(((trial as u64) << 16) | u64::from(number));
    let score = normal(&mut luck);
    clamp(score, -END, END)
}

fn judged(
    scenario: &Scenario,
    count: usize,
    priors: &[(u32, usize, Prior)],
    made: &[Draw],
) -> Result<(Learned, Vec<Told>), Refused> {
    let count = count.max(1) as f64;
    let least = made.iter().map(|d| d.comes.misfit).fold(f64::INFINITY, min);
    let misses = (least / count).sqrt();
    if misses.is_nan() || misses > FARTHEST {
        return Err(Refused::OutOfReach { misses });
    }
    let unlikely = made.iter().map(|draw| draw.comes.unlikely());
    let likeliest = unlikely.clone().fold(f64::INFINITY, min);
    let weights: Vec<f64> = unlikely
        .map(|unlikely| exp(-0.5 * (unlikely - likeliest)))
        .collect();
    let sum: f64 = weights.iter().sum();
    let effective = sum * sum / weights.iter().map(|w| w * w).sum::<f64>();
    if effective < LEAST_EFFECTIVE {
        return Err(Refused::TooFew {
            effective,
            draws: made.len(),
        });
    }
    let mut named = scenario.clone();
    let parameters = named.parameters_mut();
    let numbers = priors
        .iter()
        .enumerate()
        .map(|(i, &(_, place, prior))| {
            let moments = |weight: &dyn Fn(usize) -> f64| {
                let all: f64 = (0..made.len()).map(weight).sum();
                let mean = (0..made.len())
                    .map(|d| weight(d) * made[d].scores[i])
                    .sum::<f64>()
                    / all;
                let variance = (0..made.len())
                    .map(|d| weight(d) * powi(made[d].scores[i] - mean, 2))
                    .sum::<f64>()
                    / all;
                (mean, variance.sqrt())
            };
            let (mean_before, spread_before) = moments(&|_| 1.0);
            let (mean_after, spread_after) = moments(&|d| weights[d]);
            let (moved, kept) = (mean_after - mean_before, spread_after / spread_before);
            // Weights all alike cost nothing of the draws' worth: then there is no luck in it.
            let luck = SURE * max(1.0 / effective - 1.0 / made.len() as f64, 0.0).sqrt();
            let changed = moved.abs() > max(luck, WORTH_TELLING)
                || kept < 1.0 - max(luck / 2f64.sqrt(), WORTH_TELLING);
            let kept = min(kept, 1.0);
            let after = if changed {
                [-END, 0.0, END].map(|end| prior.at(moved + kept * end))
            } else {
                prior.range
            };
            Number {
                key: parameters[place].key,
                words: parameters[place].words,
                dimension: parameters[place].value.dimension(),
                before: prior.range,
                after,
                changed,
                of_lathe: parameters[place].row.is_of_lathe(),
            }
        })
        .collect();
    let told = (0..made[0].comes.told.len())
        .map(|i| Told {
            before: shares(made, i, |_| 1.0),
            after: shares(made, i, |d| weights[d]),
        })
        .collect();
    let learned = Learned {
        draws: made.len(),
        effective,
        misses,
        numbers,
    };
    Ok((learned, told))
}

/// Below what 2.5, 50 and 97.5 of 100 of it lie, by these weights.
fn shares(made: &[Draw], i: usize, weight: impl Fn(usize) -> f64) -> [f64; 3] {
    let mut order: Vec<usize> = (0..made.len()).collect();
    order.sort_by(|a, b| made[*a].comes.told[i].total_cmp(&made[*b].comes.told[i]));
    let all: f64 = order.iter().map(|d| weight(*d)).sum();
    [0.025, 0.5, 0.975].map(|share| {
        let mut below = 0.0;
        let reached = order.iter().find(|d| {
            below += weight(**d);
            below >= share * all
        });
        reached
            .or(order.last())
            .map_or(f64::NAN, |d| made[*d].comes.told[i])
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_prior_goes_through_its_three_numbers() {
        for range in [[1.0, 2.0, 10.0], [-3.0, 0.0, 1.0], [0.0, 2.0, 3.0]] {
            let prior = Prior::new(range);
            let told = [-END, 0.0, END].map(|score| prior.at(score));
            assert_eq!(told, range);
            assert!(prior.at(-0.5) < prior.at(0.5));
            assert_eq!(prior.at(9.0), range[2]);
        }
    }

    #[test]
    fn a_score_depends_on_trial_and_number_alone() {
        assert_eq!(score(1, 3, 7).to_bits(), score(1, 3, 7).to_bits());
        assert_ne!(score(1, 3, 7).to_bits(), score(1, 4, 7).to_bits());
        assert_ne!(score(1, 3, 7).to_bits(), score(1, 3, 8).to_bits());
        assert_ne!(score(1, 3, 7).to_bits(), score(2, 3, 7).to_bits());
    }
}
