//! Which story explains the readings: density of each story's outcomes there, and Bayes' rule.
//!
//! The density of a story at the readings is the mean over its cuts of normal bells, one factor a
//! reading, whose variance is the gauge's own, the model's, and a smoothing one: a share of the
//! deviation of that story's outcomes in that reading, such that each of its cuts is foretold best
//! by the others (leave-one-out likelihood). What can't
//! be negative is compared by its logarithm. Readings count as independent of each other within
//! a cut; between cuts they go together as the model has it. A story that never comes near has no
//! density; if none does, [`Diagnosis::near`] says so.

use schemars::JsonSchema;
use serde::Serialize;

use crate::arithmetic::{exp, hypot, ln, max, min, powi};
use crate::quantity::Quantity;
use crate::scenario::Scenario;
use crate::setup::Setup;

use super::bank::Cut;
use super::cause::Cause;
use super::reading::{END, Gauge, readings};
use crate::scenario::finished::{Measured, Piece};
use crate::spread::uniform_at;

/// Smoothings that are tried.
const SMOOTHINGS: [f64; 6] = [0.05, 0.1, 0.2, 0.35, 0.5, 0.7];
/// Of pieces that meet the drawing and are brought, so many come from a lathe in order [guess].
const SOUND: f64 = 0.5;
/// A piece this many deviations off the nearest cut of any story is none of them.
const FAR: f64 = 4.0;

/// A story and how likely it is.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Likely {
    /// The story.
    pub cause: Cause,
    /// How likely it was held before the piece was looked at.
    pub prior: f64,
    /// Its probability among those looked at.
    pub probability: f64,
    /// What its cuts are worth at these readings: `(sum w)^2 / sum w^2` (Kish).
    pub effective: f64,
    /// Cuts made of it.
    pub cuts: usize,
}

/// What a piece tells.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Diagnosis {
    /// How likely the drawing was met, as far as taper and size were gauged; `None` if neither was.
    pub met: Option<f64>,
    /// Stories, most likely first.
    pub causes: Vec<Likely>,
    /// Readings that were there.
    pub readings: Vec<Gauge>,
    /// How far the nearest cut of all misses the readings, standard deviations a reading.
    pub misses: f64,
    /// Whether that is near enough to be one of the stories.
    pub near: bool,
}

/// One reading as it weighs cuts.
struct Bell {
    /// Its place among the outcomes.
    place: usize,
    value: f64,
    /// Deviation of gauge and model.
    own: f64,
    /// Deviation of the story's outcomes.
    spread: f64,
}

impl Bell {
    /// Logarithm of the density of a miss.
    fn log(&self, miss: f64, smooth: f64) -> f64 {
        let variance = powi(self.own, 2) + powi(smooth * self.spread, 2);
        -0.5 * (miss * miss / variance + ln(variance))
    }
}

/// How far a story's cuts are smoothed, as a share of their spread: as each of them is foretold
/// best by the others.
fn smoothing(bells: &[Bell], of: &[&Cut]) -> f64 {
    let foretold = |smooth: f64| -> f64 {
        of.iter()
            .enumerate()
            .map(|(i, one)| {
                let logs = of
                    .iter()
                    .enumerate()
                    .filter(|(j, _)| *j != i)
                    .map(|(_, cut)| {
                        bells
                            .iter()
                            .map(|bell| {
                                bell.log(
                                    one.outcomes[bell.place] - cut.outcomes[bell.place],
                                    smooth,
                                )
                            })
                            .sum::<f64>()
                    });
                log_sum(&logs.collect::<Vec<f64>>())
            })
            .sum()
    };
    SMOOTHINGS
        .into_iter()
        .map(|smooth| (smooth, foretold(smooth)))
        .max_by(|a, b| a.1.total_cmp(&b.1))
        .map_or(SMOOTHINGS[0], |best| best.0)
}

/// Logarithm of a sum of exponentials.
fn log_sum(logs: &[f64]) -> f64 {
    let most = logs.iter().copied().fold(f64::NEG_INFINITY, max);
    most + ln(logs.iter().map(|log| exp(log - most)).sum::<f64>())
}

/// Holds a piece against the cuts of all stories. `None` if nothing was read.
pub fn diagnose(
    scenario: &Scenario,
    setup: &Setup,
    piece: &Piece,
    cuts: &[Cut],
) -> Option<Diagnosis> {
    let readings = readings(piece, scenario, setup);
    if readings.is_empty() || cuts.is_empty() {
        return None;
    }
    let d = readings.len() as f64;
    let met = met(scenario, piece);
    let mut stories: Vec<(Cause, f64, f64, usize)> = Vec::new();
    let mut nearest = f64::INFINITY;
    for cause in Cause::ALL {
        let of: Vec<&Cut> = cuts.iter().filter(|cut| cut.cause == cause).collect();
        if of.is_empty() {
            continue;
        }
        let n = of.len() as f64;
        let bells: Vec<Bell> = readings
            .iter()
            .map(|&(gauge, value, off)| {
                let place = Gauge::ALL.iter().position(|g| *g == gauge).unwrap_or(0);
                Bell {
                    place,
                    value: gauge.scaled(value),
                    own: hypot(gauge.scaled_off(value, off), gauge.model_off(of[0].set)),
                    spread: deviation(of.iter().map(|cut| cut.outcomes[place])),
                }
            })
            .collect();
        let smooth = smoothing(&bells, &of);
        let logs: Vec<f64> = of
            .iter()
            .map(|cut| {
                let at = |bell: &Bell| bell.value - cut.outcomes[bell.place];
                let misfit: f64 = bells.iter().map(|bell| powi(at(bell) / bell.own, 2)).sum();
                nearest = min(nearest, (misfit / d).sqrt());
                bells.iter().map(|bell| bell.log(at(bell), smooth)).sum()
            })
            .collect();
        let most = logs.iter().copied().fold(f64::NEG_INFINITY, max);
        let weights: Vec<f64> = logs.iter().map(|log| exp(log - most)).collect();
        let sum: f64 = weights.iter().sum();
        let effective = sum * sum / weights.iter().map(|w| w * w).sum::<f64>();
        stories.push((cause, most + ln(sum / n), effective, of.len()));
    }
    let told: Vec<Cause> = stories.iter().map(|story| story.0).collect();
    let priors = priors(met, &told);
    for (story, prior) in stories.iter_mut().zip(&priors) {
        story.1 += ln(*prior);
    }
    let most = stories.iter().map(|s| s.1).fold(f64::NEG_INFINITY, max);
    let all: f64 = stories.iter().map(|s| exp(s.1 - most)).sum();
    let mut causes: Vec<Likely> = stories
        .into_iter()
        .zip(priors)
        .map(|((cause, log, effective, cuts), prior)| Likely {
            cause,
            prior,
            probability: exp(log - most) / all,
            effective,
            cuts,
        })
        .collect();
    causes.sort_by(|a, b| b.probability.total_cmp(&a.probability));
    Some(Diagnosis {
        met,
        causes,
        readings: readings.iter().map(|r| r.0).collect(),
        misses: nearest,
        near: nearest <= FAR,
    })
}

/// How likely the drawing was met, from what was gauged of taper, size and waves and how well.
pub fn met(scenario: &Scenario, piece: &Piece) -> Option<f64> {
    let work = &scenario.job.work;
    let fit = piece.fit(scenario);
    let within = |read: Measured, lower: f64, upper: f64| {
        let deviation = max(read.off / END, f64::MIN_POSITIVE);
        let below = |limit: f64| uniform_at((limit - read.value) / deviation);
        max(below(upper) - below(lower), 0.0)
    };
    let taper = fit.map(|fit| fit.taper).or(piece.gauged.taper).map(|read| {
        let (middle, band) = (work.taper.si(), work.tolerance);
        within(read, middle + band.lower.si(), middle + band.upper.si())
    });
    let size = fit.zip(work.size_tolerance).map(|(fit, band)| {
        let middle = work.diameter.si();
        within(
            fit.diameter,
            middle + band.lower.si(),
            middle + band.upper.si(),
        )
    });
    let waves = piece.gauged.waves.zip(work.waves_allowed);
    let waves = waves.map(|(read, allowed)| within(read, f64::NEG_INFINITY, allowed.si()));
    let asked: Vec<f64> = [taper, size, waves].into_iter().flatten().collect();
    (!asked.is_empty()).then(|| asked.iter().product())
}

/// How likely each story is before the piece is looked at. Who brings a piece that missed the drawing
/// has any of them alike; who brings one that met it has as soon a lathe in order as all troubles
/// together.
fn priors(met: Option<f64>, stories: &[Cause]) -> Vec<f64> {
    let n = stories.len() as f64;
    let met = met.unwrap_or(0.0);
    let sound = met * SOUND + (1.0 - met) / n;
    let prior = |cause: &Cause| match cause {
        Cause::AsDescribed => sound,
        _ => (1.0 - sound) / max(n - 1.0, 1.0),
    };
    stories.iter().map(prior).collect()
}

/// Standard deviation; by quartiles where that is less, so that a few far ones don't blur all.
pub(super) fn deviation(values: impl Iterator<Item = f64>) -> f64 {
    let mut values: Vec<f64> = values.collect();
    values.sort_by(f64::total_cmp);
    let n = values.len();
    let mean = values.iter().sum::<f64>() / n as f64;
    let plain = (values.iter().map(|v| powi(v - mean, 2)).sum::<f64>() / n as f64).sqrt();
    // Of a normal distribution the quartiles stand 1.349 deviations apart.
    let quartiles = (values[3 * n / 4] - values[n / 4]) / 1.349;
    if quartiles > 0.0 {
        min(plain, quartiles)
    } else {
        plain
    }
}
