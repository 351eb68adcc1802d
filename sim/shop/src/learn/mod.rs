//! What finished jobs say of the lathe: draws from the ranges known so far, the finishing passes run
//! for each, brought to where they give what was gauged.
//!
//! The ranges are those that [`Study`](crate::study::Study) draws from, so nothing stops at the end of
//! one. What one piece told is where the next begins; numbers of the lathe are the same for all, those
//! of a job for its own pieces, hard spots and run-out for none. What a person does anew each time
//! (touching off, setting the dial) is no number to be learned: it stays in its middle, and what it
//! scatters is added to the gauge's own error.
//!
//! A second cut fed the other way is the strongest thing to bring: pulled in, what is left uncut is
//! push-off over spring; drawn away, the drag holds against that same push-off, and the slack gives
//! what they don't. What is left out: how numbers go together once they are told, each by its own
//! range, and errors of the model itself but for [`MODEL_SHARE`].

mod population;
mod sampler;
mod pieces;
mod told;

pub use crate::scenario::finished::{Gauged, Measured, OtherCut};
pub use crate::weighing::{MODEL_SHARE, Number, Told};
pub use pieces::{Finished, fed_back};
pub use sampler::Step;

use schemars::JsonSchema;
use serde::Serialize;

use crate::arithmetic::{exp, min};
use crate::cut::{BATCH, Options};
use crate::parallel::*;
use crate::scenario::Scenario;
use crate::setup::Setup;
use crate::study::RangeFault;
use crate::weighing::LEAST_EFFECTIVE;
use pieces::Pieces;
use population::State;
use sampler::sample;
use told::Weighed;

/// What the draws are worth at the end is this share of them, or nothing is told.
pub const LEAST_WORTH: f64 = 0.4;
/// The nearest lathe may be off what was gauged, and out in its ranges, by so many standard deviations
/// on average.
const FARTHEST: f64 = 4.0;

/// What was learned.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Learned {
    /// Draws made.
    pub draws: usize,
    /// What they are worth, copies not counted.
    pub effective: f64,
    /// Pieces cut on the way.
    pub cuts: usize,
    /// Steps in which what was gauged came to count.
    pub steps: usize,
    /// How far the nearest lathe is off what was gauged and out in its ranges, standard deviations.
    pub misses: f64,
    /// Every number that was in doubt.
    pub numbers: Vec<Number>,
    /// Push-off over drag in a cut drawn away, where two cuts were gauged, one fed each way.
    pub push_over_drag: Option<Told>,
    /// What the draws give each number, in their order, SI.
    #[serde(skip)]
    pub values: Vec<Vec<f64>>,
}

/// Why nothing was learned.
#[derive(Clone, Debug, PartialEq)]
pub enum Refused {
    /// Every number of the lathe is given without a range.
    NothingInDoubt,
    /// No lathe comes near what was gauged.
    OutOfReach {
        /// How far the nearest one is off, standard deviations.
        misses: f64,
    },
    /// The draws don't come apart.
    TooFew {
        /// What they are worth.
        effective: f64,
        /// Draws made.
        draws: usize,
    },
    /// A range that makes no distribution.
    Range(RangeFault),
}

/// Learns from a finished job cut one way, or from one pass each way.
///
/// # Errors
/// When there is nothing to narrow, or no lathe gives what was gauged.
pub fn learn(
    scenario: &Scenario,
    setup: &Setup,
    gauged: &Gauged,
    options: Options,
    draws: usize,
    tick: impl FnMut(Step),
) -> Result<Learned, Refused> {
    let piece = Finished {
        scenario,
        setup: *setup,
        gauged,
        started: options.run_in,
    };
    learn_all(&[piece], options, draws, tick)
}

/// Learns from pieces of one lathe, one after another. `tick` is told how it goes on.
///
/// # Errors
/// When there is nothing to narrow, or no lathe gives what was gauged.
pub fn learn_all(
    finished: &[Finished<'_>],
    options: Options,
    draws: usize,
    mut tick: impl FnMut(Step),
) -> Result<Learned, Refused> {
    let pieces = in_doubt(finished, options, draws)?;
    let prior = pieces.drawn(options.seed, draws);
    let cut = |piece: usize, states: &[State]| pieces.cut(piece, states);
    let gauged = pieces.gauged();
    let from = (options.seed, gauged.as_slice());
    let sampled = sample(prior.clone(), from, FARTHEST, &cut, &mut tick)
        .map_err(|misses| Refused::OutOfReach { misses })?;
    if sampled.effective < LEAST_WORTH * draws as f64 {
        return Err(Refused::TooFew {
            effective: sampled.effective,
            draws,
        });
    }
    let all = vec![1.0 / draws as f64; draws];
    let after = Weighed {
        states: &sampled.states,
        weights: &all,
        worth: sampled.effective,
    };
    Ok(Learned {
        cuts: sampled.cuts,
        steps: sampled.steps,
        misses: sampled.misses,
        ..told(&pieces, &prior, &after)
    })
}

/// The same by plain weighting of so many draws of the ranges: slow, and simple enough to hold the
/// other against. Refused below 50 draws' worth.
///
/// # Errors
/// When there is nothing to narrow, or too few draws come near what was gauged.
pub fn by_weighting(
    finished: &[Finished<'_>],
    options: Options,
    draws: usize,
) -> Result<Learned, Refused> {
    let pieces = in_doubt(finished, options, draws)?;
    let prior = pieces.drawn(options.seed, draws);
    let groups: Vec<&[State]> = prior.chunks(BATCH).collect();
    let unlikely = |group: &[State]| -> Vec<f64> {
        let mut all = vec![0.0; group.len()];
        for piece in 0..finished.len() {
            let comes = pieces.cut(piece, group);
            all.iter_mut()
                .zip(comes)
                .for_each(|(sum, one)| *sum += one.unlikely());
        }
        all
    };
    let unlikely: Vec<Vec<f64>> = groups.into_par_iter().map(unlikely).collect();
    let unlikely: Vec<f64> = unlikely.into_iter().flatten().collect();
    let least = unlikely.iter().copied().fold(f64::INFINITY, min);
    let weights: Vec<f64> = unlikely.iter().map(|u| exp(-0.5 * (u - least))).collect();
    let sum: f64 = weights.iter().sum();
    let worth = sum * sum / weights.iter().map(|w| w * w).sum::<f64>();
    if worth.is_nan() || worth < LEAST_EFFECTIVE {
        return Err(Refused::TooFew {
            effective: worth,
            draws,
        });
    }
    let weights: Vec<f64> = weights.iter().map(|w| w / sum).collect();
    let after = Weighed {
        states: &prior,
        weights: &weights,
        worth,
    };
    Ok(Learned {
        cuts: draws * finished.len(),
        ..told(&pieces, &prior, &after)
    })
}

fn in_doubt<'a>(
    finished: &[Finished<'a>],
    options: Options,
    draws: usize,
) -> Result<Pieces<'a>, Refused> {
    if finished.is_empty() || draws == 0 {
        return Err(Refused::NothingInDoubt);
    }
    let pieces = Pieces::new(finished, options).map_err(Refused::Range)?;
    if pieces.are_in_doubt() {
        Ok(pieces)
    } else {
        Err(Refused::NothingInDoubt)
    }
}

/// What draws of the prior and of the posterior tell.
fn told(pieces: &Pieces<'_>, prior: &[State], after: &Weighed<'_>) -> Learned {
    let all = vec![1.0 / prior.len() as f64; prior.len()];
    let before = Weighed {
        states: prior,
        weights: &all,
        worth: prior.len() as f64,
    };
    let ratio = [&before, after].map(|of| {
        let told = pieces.push_over_drag(of.states);
        told.map(|values| told::shares(&values, of.weights))
    });
    let (numbers, values) = told::numbers(pieces, &before, after);
    Learned {
        draws: prior.len(),
        effective: after.worth,
        cuts: 0,
        steps: 0,
        misses: 0.0,
        numbers,
        push_over_drag: match ratio {
            [Some(before), Some(after)] => Some(Told { before, after }),
            _ => None,
        },
        values,
    }
}
