//! Sobol' indices: how much of an output's variance comes from a quantity, or from a group.
//!
//! Every quantity has two samples, A and B. A study runs, for each of n trials, the model with all
//! from A, all from B, and for each group with that group from B and the rest from A (AB). Then
//!
//! - first order, alone: `S = mean(f_B (f_AB - f_A)) / V` (Saltelli et al., Comput. Phys. Commun.
//!   181 (2010) 259, from memory), with the mean taken off f_B, which lessens its scatter;
//! - total, with all its interactions: `T = mean((f_A - f_AB)^2) / 2 V` (Jansen, Comput. Phys.
//!   Commun. 117 (1999) 35, from memory);
//!
//! V being the variance of all f_A and f_B together. A group's first-order index has the
//! interactions within the group in it. Indices presume quantities that are independent from one
//! group to another; correlated ones belong in one group, and a design that parts them is refused.
//! Intervals are bootstrap percentiles over trials, with draws of their own.

use std::fmt;

use crate::arithmetic::{max, powi};

use rand::RngExt;
use schemars::JsonSchema;
use serde::Serialize;

use super::coverage::Interval;
use super::draws::{Draws, Family, SharedFactor};

/// Which sample a row takes its quantities from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Pick {
    /// All from A.
    A,
    /// All from B.
    B,
    /// The group of this number from B, all others from A.
    Swapped(usize),
}

/// One evaluation that the caller owes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Row {
    /// Trial number, of both samples.
    pub trial: u64,
    /// Where its quantities come from.
    pub pick: Pick,
}

/// A study: groups of quantities, by place, and a number of trials.
#[derive(Clone, Debug, PartialEq)]
pub struct Design {
    groups: Vec<Vec<usize>>,
    factors: Vec<SharedFactor>,
    places: usize,
    trials: u64,
}

/// Why a study can't be made.
#[derive(Clone, Debug, PartialEq)]
pub enum SobolFault {
    /// There are no groups, a group is empty, or fewer than two trials.
    Nothing,
    /// A group names a quantity that isn't there.
    Place {
        /// The group.
        group: usize,
        /// The place.
        place: usize,
    },
    /// A group has some, but not all, of the quantities that share a factor.
    Parted {
        /// The group.
        group: usize,
    },
    /// The outputs of a row are missing, ragged or not finite.
    Row(usize),
    /// Fewer than two trials have all of their rows.
    TooFew,
    /// No replicates, or a confidence not between 0 and 1.
    Bootstrap,
}

impl fmt::Display for SobolFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Nothing => f.write_str("groups, none of them empty, and two trials are needed"),
            Self::Place { group, place } => {
                write!(f, "group {group} names quantity {place}, which isn't there")
            }
            Self::Parted { group } => write!(
                f,
                "group {group} parts correlated quantities; put all of them into it or none"
            ),
            Self::Row(row) => write!(
                f,
                "row {row} must have finite outputs, as many as the first row"
            ),
            Self::TooFew => f.write_str("fewer than two trials have all of their rows"),
            Self::Bootstrap => {
                f.write_str("replicates must be over 0 and the confidence between 0 and 1")
            }
        }
    }
}

impl std::error::Error for SobolFault {}

impl Design {
    /// A study of groups among `places` quantities. Groups may overlap, so that quantities and
    /// whole groups can be studied at once; a quantity in no group is drawn all the same.
    ///
    /// # Errors
    /// Nothing to study, a quantity that isn't there, or correlated quantities parted by a group.
    pub fn new(
        groups: Vec<Vec<usize>>,
        factors: Vec<SharedFactor>,
        places: usize,
        trials: u64,
    ) -> Result<Self, SobolFault> {
        if groups.is_empty() || groups.iter().any(Vec::is_empty) || trials < 2 {
            return Err(SobolFault::Nothing);
        }
        for (group, members) in groups.iter().enumerate() {
            if let Some(&place) = members.iter().find(|place| **place >= places) {
                return Err(SobolFault::Place { group, place });
            }
            for factor in &factors {
                let shared = factor.members();
                let held = shared.iter().filter(|m| members.contains(m)).count();
                if held != 0 && held != shared.len() {
                    return Err(SobolFault::Parted { group });
                }
            }
        }
        Ok(Self {
            groups,
            factors,
            places,
            trials,
        })
    }

    /// Evaluations a trial: A, B and one for each group.
    pub fn rows_per_trial(&self) -> usize {
        self.groups.len() + 2
    }

    /// All evaluations, trial after trial, so that a study that is stopped has whole trials.
    pub fn rows(&self) -> impl Iterator<Item = Row> + '_ {
        (0..self.trials).flat_map(move |trial| {
            let swapped = (0..self.groups.len()).map(Pick::Swapped);
            [Pick::A, Pick::B]
                .into_iter()
                .chain(swapped)
                .map(move |pick| Row { trial, pick })
        })
    }

    /// The sample that a quantity comes from in a row.
    pub fn family(&self, row: Row, place: usize) -> Family {
        match row.pick {
            Pick::B => Family::B,
            Pick::Swapped(group) if self.groups[group].contains(&place) => Family::B,
            Pick::A | Pick::Swapped(_) => Family::A,
        }
    }

    /// The uniform numbers of a row, by place, correlated where factors are shared. Row A of a
    /// trial has the same ones as the trial of that number in a propagation.
    pub fn uniforms(&self, row: Row, draws: &Draws) -> Vec<f64> {
        let of = |family| {
            draws
                .trial_of(family, row.trial)
                .correlated(self.places, &self.factors)
        };
        match row.pick {
            Pick::A => of(Family::A),
            Pick::B => of(Family::B),
            Pick::Swapped(group) => {
                let (mut uniforms, from_b) = (of(Family::A), of(Family::B));
                for &place in &self.groups[group] {
                    uniforms[place] = from_b[place];
                }
                uniforms
            }
        }
    }

    /// The indices, from the outputs of the rows in their order. Rows may be missing at the end:
    /// trials that have all of theirs are used.
    ///
    /// # Errors
    /// Outputs that are ragged or not finite, fewer than two whole trials, bootstrap out of range.
    pub fn indices(
        &self,
        outputs: &[Vec<f64>],
        bootstrap: Bootstrap,
    ) -> Result<Vec<OutputIndices>, SobolFault> {
        let width = self.rows_per_trial();
        let trials = outputs.len() / width;
        if trials < 2 {
            return Err(SobolFault::TooFew);
        }
        let count = outputs[0].len();
        let sound = |row: &Vec<f64>| row.len() == count && row.iter().all(|f| f.is_finite());
        if let Some(row) = outputs.iter().position(|row| !sound(row)) {
            return Err(SobolFault::Row(row));
        }
        let tail = (1.0 - bootstrap.confidence) / 2.0;
        if bootstrap.replicates == 0 || !(tail > 0.0 && tail < 0.5) {
            return Err(SobolFault::Bootstrap);
        }
        Ok((0..count)
            .map(|output| {
                let values: Vec<f64> = outputs[..trials * width]
                    .iter()
                    .map(|row| row[output])
                    .collect();
                output_indices(&values, width, &bootstrap)
            })
            .collect())
    }
}

/// How intervals are found.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Bootstrap {
    /// Times that the trials are drawn anew.
    pub replicates: u64,
    /// Confidence of the intervals.
    pub confidence: f64,
    /// The draws; a family of their own within the seed.
    pub draws: Draws,
}

/// An index and its bootstrap interval.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Index {
    /// The index: by rounding and chance it may lie a little outside 0 to 1.
    pub value: f64,
    /// Its percentile interval.
    pub interval: Interval,
}

/// Indices of one group.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct GroupIndices {
    /// Share of the variance from the group alone.
    pub first: Index,
    /// Share of the variance with all interactions that the group has part in.
    pub total: Index,
}

/// Indices of one output.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct OutputIndices {
    /// Variance over A and B together, in the output's unit squared.
    pub variance: f64,
    /// By group; none if the output doesn't vary, where no index is defined.
    pub groups: Option<Vec<GroupIndices>>,
}

fn output_indices(values: &[f64], width: usize, bootstrap: &Bootstrap) -> OutputIndices {
    let trials: Vec<&[f64]> = values.chunks_exact(width).collect();
    let (variance, found) = estimates(&trials);
    let Some(found) = found else {
        return OutputIndices {
            variance,
            groups: None,
        };
    };
    let mut resampled = trials.clone();
    let mut replicates: Vec<Vec<f64>> = vec![Vec::new(); found.len()];
    for replicate in 0..bootstrap.replicates {
        let mut generator = bootstrap.draws.generator(Family::Bootstrap, replicate);
        for trial in &mut resampled {
            *trial = trials[generator.random_range(0..trials.len() as u64) as usize];
        }
        // A replicate without variance has no index, and is passed over.
        for (column, value) in replicates
            .iter_mut()
            .zip(estimates(&resampled).1.into_iter().flatten())
        {
            column.push(value);
        }
    }
    let indices: Vec<Index> = found
        .into_iter()
        .zip(replicates)
        .map(|(value, column)| Index {
            value,
            interval: percentiles(value, column, bootstrap.confidence),
        })
        .collect();
    let groups = indices
        .chunks_exact(2)
        .map(|pair| GroupIndices {
            first: pair[0],
            total: pair[1],
        })
        .collect();
    OutputIndices {
        variance,
        groups: Some(groups),
    }
}

/// The replicates' values nearest to both percentiles.
fn percentiles(value: f64, mut replicates: Vec<f64>, confidence: f64) -> Interval {
    replicates.sort_by(f64::total_cmp);
    let at = |share: f64| {
        let rank = share * (replicates.len().max(1) - 1) as f64;
        replicates.get(rank.round() as usize).copied()
    };
    let tail = (1.0 - confidence) / 2.0;
    Interval {
        lower: at(tail).unwrap_or(value),
        upper: at(1.0 - tail).unwrap_or(value),
    }
}

/// Variance, and first and total index by group, from trials of (A, B, AB, AB, ...).
fn estimates(trials: &[&[f64]]) -> (f64, Option<Vec<f64>>) {
    let count = trials.len() as f64;
    let both = || trials.iter().flat_map(|trial| &trial[..2]);
    let first = trials[0][0];
    let mean = first + both().map(|f| f - first).sum::<f64>() / (2.0 * count);
    let variance = both().map(|f| powi(f - mean, 2)).sum::<f64>() / (2.0 * count);
    let largest = both().fold(0.0f64, |most, f| max(most, f.abs()));
    // What rounding leaves of an output that doesn't vary is no variance.
    if variance.sqrt() <= 1e-13 * largest {
        return (variance, None);
    }
    let indices = (2..trials[0].len())
        .flat_map(|swapped| {
            let (mut alone, mut all) = (0.0, 0.0);
            for trial in trials {
                let moved = trial[swapped] - trial[0];
                alone += (trial[1] - mean) * moved;
                all += moved * moved;
            }
            [alone / count / variance, all / (2.0 * count) / variance]
        })
        .collect();
    (variance, Some(indices))
}
