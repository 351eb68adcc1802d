//! When enough trials have been run: the adaptive rule of JCGM 101:2008, 7.9 (from memory).
//!
//! Trials are run in blocks of `M = max(ceil(100 / (1 - p)), 10^4)`. With y, u and the interval's
//! ends of each of h blocks, it is done when twice the standard deviation of the averages,
//! `2 sqrt(sum((y_i - y)^2) / h / (h - 1))`, is within delta for all four and for every output.
//! delta is half a unit in the last of n significant digits of u. What is told comes from all
//! trials together.
//!
//! Departures from the standard, both for the caller to choose and to state: blocks may be made
//! smaller for a model that is dear to run (block ends are then rougher and slightly off, so that
//! stopping is less sure), and more blocks than two may be asked for at least (the scatter of two
//! is known poorly, so that the rule then often stops by luck).

use crate::arithmetic::max;

use schemars::JsonSchema;
use serde::Serialize;

use super::coverage::{Coverage, CoverageFault, mean_and_deviation};

/// Which of the two intervals must settle.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum IntervalKind {
    /// As much left out below as above.
    Symmetric,
    /// The shortest.
    Shortest,
}

/// The adaptive rule of JCGM 101, 7.9: blocks of `max(ceil(100 / (1 - p)), 10^4)` trials until
/// twice the standard error of the block averages of estimate, u and both ends is within delta, for
/// every output. Smaller blocks, for a model dear to run, and more blocks at least are departures
/// ([`Adaptive::is_standard`]) that a report must state.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
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

/// How far an output's numbers may still move.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Steadiness {
    /// Twice the standard deviation of the block averages, the worst of estimate, u and ends.
    pub worst: f64,
    /// What it was held against: delta, or the share of it asked for. None if u is 0.
    pub allowed: Option<f64>,
}

impl Steadiness {
    pub(super) fn settled(&self) -> bool {
        // An output that doesn't vary has nothing to settle.
        self.allowed.is_none_or(|allowed| self.worst <= allowed)
    }
}

/// y, u and both ends of one block of one output.
pub(super) type BlockFigures = [f64; 4];

/// Of one block.
pub(super) fn figures_of(
    values: &[f64],
    probability: f64,
    kind: IntervalKind,
) -> Result<BlockFigures, CoverageFault> {
    let found = Coverage::of(values, probability)?;
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

/// From the blocks, held against delta of all values.
pub(super) fn steadiness(
    values: &[f64],
    blocks: &[BlockFigures],
    rule: &Adaptive,
) -> Option<Steadiness> {
    if blocks.len() < 2 {
        return None;
    }
    let worst = (0..4)
        .map(|figure| {
            let column: Vec<f64> = blocks.iter().map(|block| block[figure]).collect();
            2.0 * mean_and_deviation(&column).1 / (blocks.len() as f64).sqrt()
        })
        .fold(0.0, max);
    let (_, uncertainty) = mean_and_deviation(values);
    let allowed =
        numerical_tolerance(uncertainty, rule.digits).map(|delta| delta * rule.share_of_delta);
    Some(Steadiness { worst, allowed })
}
