//! Two ways of making the same cut, compared trial by trial on the same draws.
//!
//! What both ways share cancels in the difference, so that far fewer trials tell them apart than
//! two separate studies would need. Trials in which the two come out alike are counted apart: they
//! are wins of neither, and all shares are of all trials.

use std::fmt;

use schemars::JsonSchema;
use serde::Serialize;

use super::coverage::Interval;
use super::proportion::Proportion;
use super::student;
use super::tally::Moments;

/// Which value of an output is the better one.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Better {
    /// The smaller, as of an error.
    Smaller,
    /// The greater, as of a margin.
    Greater,
}

/// One way against another.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Paired {
    /// Mean of first less second, in the output's unit.
    pub mean: f64,
    /// Standard deviation of that difference from trial to trial.
    pub deviation: f64,
    /// Confidence interval of the mean: `mean +- t s / sqrt(n)`, n - 1 degrees of freedom.
    pub mean_interval: Interval,
    /// Trials in which the first is better.
    pub first_better: Proportion,
    /// Trials in which the second is better.
    pub second_better: Proportion,
    /// Trials in which they differ by no more than what counts as alike.
    pub alike: Proportion,
    /// Wilson's interval of the share in which the first is better.
    pub first_better_interval: Interval,
}

/// Why two ways can't be compared.
#[derive(Clone, Debug, PartialEq)]
pub enum PairedFault {
    /// Not as many trials of the one as of the other.
    Unpaired {
        /// Trials of the first.
        first: usize,
        /// Trials of the second.
        second: usize,
    },
    /// Fewer than two trials.
    TooFew,
    /// A value of this trial is not finite.
    NotFinite(usize),
    /// What counts as alike is below 0 or not a number, or the confidence not between 0 and 1.
    OutOfRange,
}

impl fmt::Display for PairedFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Unpaired { first, second } => write!(
                f,
                "{first} trials of the first way against {second} of the second: both must have \
                 the same trials"
            ),
            Self::TooFew => f.write_str("at least two trials are needed"),
            Self::NotFinite(trial) => {
                write!(f, "a value of trial {trial} is not a finite number")
            }
            Self::OutOfRange => f.write_str(
                "what counts as alike must be 0 or more, the confidence between 0 and 1",
            ),
        }
    }
}

impl std::error::Error for PairedFault {}

impl Paired {
    /// Compares values of one output by trial. Values that differ by `alike` or less (in the
    /// output's unit) count as alike.
    ///
    /// # Errors
    /// Trials that don't pair, fewer than two, values that are not finite, numbers out of range.
    pub fn of(
        first: &[f64],
        second: &[f64],
        better: Better,
        alike: f64,
        confidence: f64,
    ) -> Result<Self, PairedFault> {
        if first.len() != second.len() {
            return Err(PairedFault::Unpaired {
                first: first.len(),
                second: second.len(),
            });
        }
        if first.len() < 2 {
            return Err(PairedFault::TooFew);
        }
        if !(alike >= 0.0 && confidence > 0.0 && confidence < 1.0) {
            return Err(PairedFault::OutOfRange);
        }
        let mut tally = PairedTally::new(alike);
        for (first, second) in first.iter().zip(second) {
            tally.add(*first, *second);
        }
        tally.paired(better, confidence)
    }
}

/// Differences of paired trials, counted as they come: the room it takes doesn't grow with them.
#[derive(Clone, Copy, Debug)]
pub struct PairedTally {
    alike: f64,
    differences: Moments,
    smaller: u64,
    greater: u64,
    not_finite: Option<usize>,
}

impl PairedTally {
    /// None yet; values that differ by `alike` or less count as alike.
    pub fn new(alike: f64) -> Self {
        Self {
            alike,
            differences: Moments::default(),
            smaller: 0,
            greater: 0,
            not_finite: None,
        }
    }

    /// Adds the next trial.
    pub fn add(&mut self, first: f64, second: f64) {
        let difference = first - second;
        if !difference.is_finite() {
            self.not_finite
                .get_or_insert(self.differences.count as usize);
        }
        self.differences.add(difference);
        self.smaller += u64::from(difference < -self.alike);
        self.greater += u64::from(difference > self.alike);
    }

    /// What they come to.
    ///
    /// # Errors
    /// Fewer than two trials, values that are not finite, numbers out of range.
    pub fn paired(&self, better: Better, confidence: f64) -> Result<Paired, PairedFault> {
        let of = self.differences.count;
        if of < 2 {
            return Err(PairedFault::TooFew);
        }
        if !(self.alike >= 0.0 && confidence > 0.0 && confidence < 1.0) {
            return Err(PairedFault::OutOfRange);
        }
        if let Some(trial) = self.not_finite {
            return Err(PairedFault::NotFinite(trial));
        }
        let (mean, deviation) = self.differences.mean_and_deviation();
        let share = |count: u64| Proportion { count, of };
        let (smaller, greater) = (share(self.smaller), share(self.greater));
        let (first_better, second_better) = match better {
            Better::Smaller => (smaller, greater),
            Better::Greater => (greater, smaller),
        };
        let factor = student::factor((of - 1) as f64, confidence);
        let half = factor * deviation / (of as f64).sqrt();
        Ok(Paired {
            mean,
            deviation,
            mean_interval: Interval {
                lower: mean - half,
                upper: mean + half,
            },
            first_better,
            second_better,
            alike: share(of - self.smaller - self.greater),
            first_better_interval: first_better
                .wilson(confidence)
                .ok_or(PairedFault::OutOfRange)?,
        })
    }
}
