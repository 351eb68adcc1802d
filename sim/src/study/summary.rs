//! What the trials come to: intervals, chances, and the ways against each other.

use serde::Serialize;

use super::{Study, Trial};
use crate::compare::{NOT_SEEN, trouble};
use crate::mattered::unsteady;
use crate::record::Measures;
use crate::spread::{Better, Coverage, CoverageFault, Interval, Paired, Proportion};

/// Confidence of the intervals of chances and differences.
const CONFIDENCE: f64 = 0.95;

/// A share of the trials, with how well they tell it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Chance {
    /// Trials in which it is so.
    pub in_trials: u64,
    /// Share of all.
    pub share: f64,
    /// Wilson's 95 % interval of it.
    pub interval: Interval,
}

impl Chance {
    /// None without a trial.
    fn of(trials: &[Trial], so: impl Fn(&Trial) -> bool) -> Option<Self> {
        let count = trials.iter().filter(|trial| so(trial)).count();
        Self::counted(count as u64, trials.len() as u64)
    }

    /// So many of all; none without a trial.
    pub(crate) fn counted(count: u64, of: u64) -> Option<Self> {
        let proportion = Proportion { count, of };
        Some(Self {
            in_trials: proportion.count,
            share: proportion.share()?,
            interval: proportion.wilson(CONFIDENCE)?,
        })
    }
}

/// What the trials of one way come to.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct WayOutlook {
    /// Taper on diameter, ratio.
    pub taper: Coverage,
    /// Size error per side, m, positive into the work.
    pub size_error: Coverage,
    /// What the last cutting pass took, per side, m.
    pub taken: Coverage,
    /// Waves, peak to valley per side, m.
    pub waves: Coverage,
    /// Largest roundness error, m.
    pub roundness: Coverage,
    /// Length left straight at the start, m.
    pub straight_part: Coverage,
    /// The taper is within its tolerance.
    pub taper_met: Chance,
    /// All that the drawing asks for is met.
    pub met: Chance,
    /// It runs on one face all the way.
    pub steady: Chance,
    /// The first way against this one, by what each leaves wrong: the worst of size, waves and
    /// step. None for the first itself.
    pub against_first: Option<Paired>,
}

/// What all trials come to, way by way.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Outlook {
    /// Trials.
    pub trials: u64,
    /// The seed that they grow from.
    pub seed: u64,
    /// Coverage probability of the intervals.
    pub probability: f64,
    /// By way, in the study's order.
    pub ways: Vec<WayOutlook>,
}

/// Sums up trials, the first way being the one the others are held against.
///
/// # Errors
/// Too few trials for intervals of this probability, or a value that is not finite.
pub fn outlook(
    study: &Study,
    trials: &[Trial],
    probability: f64,
) -> Result<Outlook, CoverageFault> {
    let ways = (0..study.ways().count())
        .map(|way| of_way(trials, way, probability))
        .collect::<Result<_, _>>()?;
    Ok(Outlook {
        trials: trials.len() as u64,
        seed: study.seed(),
        probability,
        ways,
    })
}

fn of_way(trials: &[Trial], way: usize, probability: f64) -> Result<WayOutlook, CoverageFault> {
    let values = |of: fn(&Measures) -> f64| -> Vec<f64> {
        trials
            .iter()
            .map(|trial| of(&trial.ways[way].measures))
            .collect()
    };
    let coverage = |of| Coverage::of(&values(of), probability);
    let chance = |so: &dyn Fn(&Trial) -> bool| {
        Chance::of(trials, so).ok_or(CoverageFault::TooFew {
            trials: 0,
            least: 1,
        })
    };
    let left_wrong = |way: usize| -> Vec<f64> {
        trials
            .iter()
            .map(|trial| trouble(&trial.ways[way].measures))
            .collect()
    };
    let against_first = (way > 0)
        .then(|| {
            let (first, this) = (left_wrong(0), left_wrong(way));
            Paired::of(&first, &this, Better::Smaller, NOT_SEEN, CONFIDENCE).ok()
        })
        .flatten();
    Ok(WayOutlook {
        taper: coverage(|o| o.taper)?,
        size_error: coverage(|o| o.size_error)?,
        taken: coverage(|o| o.taken)?,
        waves: coverage(|o| o.waves)?,
        roundness: coverage(|o| o.roundness)?,
        straight_part: coverage(|o| o.straight_part)?,
        taper_met: chance(&|trial| trial.ways[way].verdict.taper)?,
        met: chance(&|trial| trial.ways[way].verdict.met())?,
        steady: chance(&|trial| !unsteady(&trial.ways[way].measures))?,
        against_first,
    })
}

/// The measures that decide when enough trials were run: taper, size and waves of one way, in that
/// order.
pub fn deciding(trial: &Trial, way: usize) -> [f64; 3] {
    let found = &trial.ways[way].measures;
    [found.taper, found.size_error, found.waves]
}
