//! Propagation of distributions through a model by trials (JCGM 101:2008, 7, from memory).
//!
//! The model is a closure that is given a range of trial numbers and returns the outputs of those
//! trials in their order; within, it may run them in parallel. It may also say stop.
//!
//! By the adaptive rule (7.9.4) trials are run in blocks of `M = max(ceil(100 / (1 - p)), 10^4)`.
//! With y, u and the interval's ends of each of h blocks, it is done when twice the standard
//! deviation of the averages, `2 sqrt(sum((y_i - y)^2) / h / (h - 1))`, is within delta for all
//! four and for every output. delta is half a unit in the last of n significant digits of u.
//! What is told comes from all trials together.
//!
//! Departures from the standard, both for the caller to choose and to state: blocks may be made
//! smaller for a model that is dear to run (block ends are then rougher and slightly off, so that
//! stopping is less sure), and more blocks than two may be asked for at least (the scatter of two
//! is known poorly, so that the rule then often stops by luck).

use std::fmt;
use std::ops::{ControlFlow, Range};

use serde::Serialize;

use super::coverage::{
    Coverage, CoverageFault, check_probability, least_trials, mean_and_deviation,
};

/// Outputs of trials: one row a trial, in trial order, each with the same number of outputs.
pub type Rows = Vec<Vec<f64>>;

/// Which of the two intervals must settle.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum IntervalKind {
    /// As much left out below as above.
    Symmetric,
    /// The shortest.
    Shortest,
}

/// How many trials.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
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

/// The adaptive rule of JCGM 101, 7.9.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Adaptive {
    /// Significant digits of u that must be right, n; 1 or 2 is usual.
    pub digits: u32,
    /// Which interval must settle.
    pub interval: IntervalKind,
    /// Share of delta that must be met: 1, or 1/5 where a first-order result is to be judged.
    pub share_of_delta: f64,
    /// Trials in a block; none for the standard's. Fewer is a departure to be stated.
    pub block: Option<u64>,
    /// Blocks at least; the standard's is 2.
    pub least_blocks: u64,
    /// Trials at most; it ends unsettled there.
    pub most_trials: u64,
}

impl Adaptive {
    /// The standard's rule for n significant digits, with no more than `most_trials`.
    pub fn standard(digits: u32, most_trials: u64) -> Self {
        Self {
            digits,
            interval: IntervalKind::Symmetric,
            share_of_delta: 1.0,
            block: None,
            least_blocks: 2,
            most_trials,
        }
    }

    /// Whether blocks are as the standard has them; if not, say so beside the result.
    pub fn is_standard(&self, probability: f64) -> bool {
        let block = standard_block(probability);
        self.block.is_none_or(|own| own == block) && self.least_blocks == 2
    }
}

/// Trials in the standard's block, `max(ceil(100 / (1 - p)), 10^4)`.
pub fn standard_block(probability: f64) -> u64 {
    // Less a trifle, so that 100 / (1 - 0.99) doesn't come to one more.
    ((100.0 / (1.0 - probability) - 1e-6).ceil() as u64).max(10_000)
}

/// delta: half a unit in the last of `digits` significant digits of u (7.9.2). None for u = 0.
pub fn numerical_tolerance(standard_uncertainty: f64, digits: u32) -> Option<f64> {
    if !(standard_uncertainty > 0.0 && standard_uncertainty.is_finite()) {
        return None;
    }
    let digits = digits.max(1);
    // The notation rounds first, as the standard does: 0.0996 to two digits is 0.10.
    let shown = format!("{:.*e}", digits as usize - 1, standard_uncertainty);
    let exponent: i32 = shown.rsplit('e').next()?.parse().ok()?;
    let last = exponent - (digits as i32 - 1);
    format!("0.5e{last}").parse().ok()
}

/// Why the trials ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
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

/// How far an output's numbers may still move.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Steadiness {
    /// Twice the standard deviation of the block averages, the worst of estimate, u and ends.
    pub worst: f64,
    /// What it was held against: delta, or the share of it asked for. None if u is 0.
    pub allowed: Option<f64>,
}

impl Steadiness {
    fn settled(&self) -> bool {
        // An output that doesn't vary has nothing to settle.
        self.allowed.is_none_or(|allowed| self.worst <= allowed)
    }
}

/// One output.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Output {
    /// Its values, in trial order.
    pub values: Vec<f64>,
    /// What they come to.
    pub coverage: Coverage,
    /// From whole blocks, if there were two of them and the plan was adaptive.
    pub steadiness: Option<Steadiness>,
}

/// Result of a propagation.
#[derive(Clone, Debug, PartialEq, Serialize)]
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

/// y, u and both ends of one block of one output.
type BlockFigures = [f64; 4];

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
                    figures.push(figures_of(last, probability, rule.interval, output)?);
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

fn figures_of(
    values: &[f64],
    probability: f64,
    kind: IntervalKind,
    output: usize,
) -> Result<BlockFigures, PropagationFault> {
    let found = Coverage::of(values, probability)
        .map_err(|fault| PropagationFault::Coverage { output, fault })?;
    let ends = match kind {
        IntervalKind::Symmetric => found.symmetric,
        IntervalKind::Shortest => found.shortest,
    };
    Ok([
        found.estimate,
        found.standard_uncertainty,
        ends.lower,
        ends.upper,
    ])
}

fn steadiness(values: &[f64], blocks: &[BlockFigures], rule: &Adaptive) -> Option<Steadiness> {
    if blocks.len() < 2 {
        return None;
    }
    let worst = (0..4)
        .map(|figure| {
            let column: Vec<f64> = blocks.iter().map(|block| block[figure]).collect();
            2.0 * mean_and_deviation(&column).1 / (blocks.len() as f64).sqrt()
        })
        .fold(0.0, f64::max);
    let (_, uncertainty) = mean_and_deviation(values);
    let allowed =
        numerical_tolerance(uncertainty, rule.digits).map(|delta| delta * rule.share_of_delta);
    Some(Steadiness { worst, allowed })
}
