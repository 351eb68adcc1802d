//! Propagation of distributions through a model by trials (JCGM 101:2008, 7, from memory).
//!
//! The model is a closure that is given a range of trial numbers and returns the outputs of those
//! trials in their order; within, it may run them in parallel. It may also say stop.
//!
//! How many trials it takes is given, or found by the adaptive rule ([`super::adaptive`]).

use std::fmt;
use std::ops::{ControlFlow, Range};

use schemars::JsonSchema;
use serde::Serialize;

use super::adaptive::{Adaptive, BlockFigures, Steadiness, figures_of, standard_block, steadiness};
use super::coverage::{Coverage, CoverageFault, check_probability, least_trials};

/// Outputs of trials: one row a trial, in trial order, each with the same number of outputs.
pub type Rows = Vec<Vec<f64>>;

/// How many trials.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Plan {
    /// A given number, asked for in blocks so that it can be stopped.
    Given {
        /// Trials.
        trials: u64,
        /// Trials in a block.
        block: u64,
    },
    /// As many as the numbers need.
    Adaptive(Adaptive),
}

/// Why the trials ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Ending {
    /// The given number was run.
    Complete,
    /// All outputs are within their delta.
    Settled,
    /// The most trials allowed were run, and the outputs are not within their delta.
    Unsettled,
    /// The model said stop.
    Stopped,
}

/// One output.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Output {
    /// Its values, in trial order.
    pub values: Vec<f64>,
    /// What they come to.
    pub coverage: Coverage,
    /// From whole blocks, if there were two of them and the plan was adaptive.
    pub steadiness: Option<Steadiness>,
}

/// Result of a propagation.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Propagation {
    /// Trials run.
    pub trials: u64,
    /// Why they ended.
    pub ending: Ending,
    /// What was asked for, so that a departure from the standard's rule can be told.
    pub plan: Plan,
    /// Coverage probability of the intervals.
    pub probability: f64,
    /// By output.
    pub outputs: Vec<Output>,
}

/// Why a propagation came to nothing.
#[derive(Clone, Debug, PartialEq)]
pub enum PropagationFault {
    /// An output's values came to nothing.
    Coverage {
        /// Number of the output.
        output: usize,
        /// Why.
        fault: CoverageFault,
    },
    /// The probability or a number of the plan is out of range.
    Plan(&'static str),
    /// The model returned another number of trials than it was asked for.
    Rows {
        /// Trials asked for.
        asked: u64,
        /// Trials returned.
        returned: usize,
    },
    /// A trial has another number of outputs than the first.
    Ragged {
        /// The trial.
        trial: u64,
    },
    /// Stopped before any trial was run.
    Nothing,
}

impl fmt::Display for PropagationFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Coverage { output, fault } => write!(f, "output {output}: {fault}"),
            Self::Plan(wanted) => f.write_str(wanted),
            Self::Rows { asked, returned } => {
                write!(f, "the model returned {returned} trials instead of {asked}")
            }
            Self::Ragged { trial } => {
                write!(
                    f,
                    "trial {trial} has another number of outputs than the first"
                )
            }
            Self::Nothing => f.write_str("stopped before the first trial was run"),
        }
    }
}

impl std::error::Error for PropagationFault {}

/// Runs trials of a model by a plan, with intervals of a coverage probability.
///
/// The model returns `Continue` with all trials it was asked for, or `Break` with those that it
/// did, counted from the first; what was done before a stop is kept.
///
/// # Errors
/// A plan out of range, a model that returns what it was not asked for, too few trials before a
/// stop, or values that are not finite.
pub fn propagate(
    probability: f64,
    plan: Plan,
    mut model: impl FnMut(Range<u64>) -> ControlFlow<Rows, Rows>,
) -> Result<Propagation, PropagationFault> {
    let (block, most) = checked(probability, plan)?;
    let mut columns: Vec<Vec<f64>> = Vec::new();
    let mut blocks: Vec<Vec<BlockFigures>> = Vec::new();
    let (mut done, mut ending) = (0, None);
    while ending.is_none() {
        let asked = block.min(most - done);
        let (rows, stop) = match model(done..done + asked) {
            ControlFlow::Continue(rows) => (rows, false),
            ControlFlow::Break(rows) => (rows, true),
        };
        let returned = rows.len();
        if returned as u64 > asked || (!stop && (returned as u64) < asked) {
            return Err(PropagationFault::Rows { asked, returned });
        }
        gather(&mut columns, rows, done)?;
        done += returned as u64;
        if stop {
            ending = Some(Ending::Stopped);
        } else if let Plan::Adaptive(rule) = plan {
            if asked == block {
                blocks.resize(columns.len(), Vec::new());
                for (output, (values, figures)) in columns.iter().zip(&mut blocks).enumerate() {
                    let last = &values[values.len() - block as usize..];
                    let found = figures_of(last, probability, rule.interval)
                        .map_err(|fault| PropagationFault::Coverage { output, fault })?;
                    figures.push(found);
                }
            }
            let settled = || {
                columns.iter().zip(&blocks).all(|(values, figures)| {
                    steadiness(values, figures, &rule).is_some_and(|found| found.settled())
                })
            };
            if done >= rule.least_blocks * block && settled() {
                ending = Some(Ending::Settled);
            } else if done >= most {
                ending = Some(Ending::Unsettled);
            }
        } else if done >= most {
            ending = Some(Ending::Complete);
        }
    }
    if done == 0 {
        return Err(PropagationFault::Nothing);
    }
    let outputs = columns
        .into_iter()
        .enumerate()
        .map(|(output, values)| {
            let coverage = Coverage::of(&values, probability)
                .map_err(|fault| PropagationFault::Coverage { output, fault })?;
            let steadiness = match plan {
                Plan::Adaptive(rule) => blocks
                    .get(output)
                    .and_then(|figures| steadiness(&values, figures, &rule)),
                Plan::Given { .. } => None,
            };
            Ok(Output {
                values,
                coverage,
                steadiness,
            })
        })
        .collect::<Result<_, _>>()?;
    Ok(Propagation {
        trials: done,
        ending: ending.unwrap_or(Ending::Stopped),
        plan,
        probability,
        outputs,
    })
}

/// Trials in a block, and at most.
fn checked(probability: f64, plan: Plan) -> Result<(u64, u64), PropagationFault> {
    if check_probability(probability).is_err() {
        let wanted = "the coverage probability must lie between 0 and 1";
        return Err(PropagationFault::Plan(wanted));
    }
    match plan {
        Plan::Given { trials, block } if trials > 0 && block > 0 => Ok((block, trials)),
        Plan::Given { .. } => Err(PropagationFault::Plan("trials and block must be over 0")),
        Plan::Adaptive(rule) => {
            let block = rule.block.unwrap_or_else(|| standard_block(probability));
            if (block as usize) < least_trials(probability) {
                let wanted = "a block is too small to hold an interval of this probability";
                Err(PropagationFault::Plan(wanted))
            } else if rule.least_blocks < 2 || rule.digits < 1 {
                let wanted = "at least two blocks and one significant digit are needed";
                Err(PropagationFault::Plan(wanted))
            } else if !(rule.share_of_delta > 0.0 && rule.share_of_delta <= 1.0) {
                let wanted = "the share of delta must be over 0 and at most 1";
                Err(PropagationFault::Plan(wanted))
            } else if rule.most_trials < block.saturating_mul(rule.least_blocks) {
                let wanted = "the most trials allowed must hold the least number of blocks";
                Err(PropagationFault::Plan(wanted))
            } else {
                Ok((block, rule.most_trials))
            }
        }
    }
}

/// Adds rows, the first of them trial `first`, to columns.
fn gather(columns: &mut Vec<Vec<f64>>, rows: Rows, first: u64) -> Result<(), PropagationFault> {
    for (row, trial) in rows.into_iter().zip(first..) {
        if trial == 0 {
            columns.resize(row.len(), Vec::new());
        }
        if row.len() != columns.len() {
            return Err(PropagationFault::Ragged { trial });
        }
        for (column, value) in columns.iter_mut().zip(row) {
            column.push(value);
        }
    }
    Ok(())
}
