//! Who makes the lathes that an answer is tried on: all threads at a command line, one after another
//! on a page.

use std::ops::Range;

use tautway_sim::spread::CoverageFault;
use tautway_sim::study::RangeFault;

/// Makes trials.
pub trait Hands {
    /// Trials of any kind, from 1 to `count`, in order; stopped, those made so far, and whether it
    /// was.
    fn trials<T: Send>(
        &self,
        doing: &str,
        count: u64,
        make: impl Fn(Range<u64>) -> Vec<T> + Sync,
    ) -> (Vec<T>, bool);

    /// One piece of work by itself.
    fn work<T: Send>(&self, doing: &str, work: impl FnOnce() -> T + Send) -> T;
}

/// One after another, to the end.
pub struct Alone;

impl Hands for Alone {
    fn trials<T: Send>(
        &self,
        _doing: &str,
        count: u64,
        make: impl Fn(Range<u64>) -> Vec<T> + Sync,
    ) -> (Vec<T>, bool) {
        (make(1..count + 1), false)
    }

    fn work<T: Send>(&self, _doing: &str, work: impl FnOnce() -> T + Send) -> T {
        work()
    }
}

/// Why there is no answer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NoAnswer {
    /// What is asked isn't right.
    Input(String),
    /// It ended before anything could be told.
    Stopped(String),
}

impl NoAnswer {
    /// What there is to say of it.
    pub fn words(self) -> String {
        match self {
            Self::Input(words) | Self::Stopped(words) => words,
        }
    }
}

impl From<RangeFault> for NoAnswer {
    fn from(fault: RangeFault) -> Self {
        Self::Input(fault.to_string())
    }
}

impl From<CoverageFault> for NoAnswer {
    fn from(fault: CoverageFault) -> Self {
        Self::Stopped(format!("too few lathes were tried: {fault}"))
    }
}
