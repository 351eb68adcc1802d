//! What the trials come to: intervals, chances, and the ways against each other.

use schemars::JsonSchema;
use serde::Serialize;

use super::{Study, Trial};
use crate::record::Measures;
use crate::sensitivity::unsteady;
use crate::spread::{
    Better, Coverage, CoverageFault, Interval, Paired, PairedTally, Proportion, Tally,
};
use crate::verdict::{NOT_SEEN, trouble};

/// Confidence of the intervals of chances and differences.
const CONFIDENCE: f64 = 0.95;

/// A share of the trials, with how well they tell it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
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
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
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
    /// Mark where the tool came into the cut, against the body per side, m; 0 where none shows.
    pub entry: Coverage,
    /// The same where it left, m.
    pub exit: Coverage,
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

impl WayOutlook {
    /// Symmetric intervals of size error, waves and roundness, m.
    pub fn size_waves_roundness(&self) -> [Interval; 3] {
        [&self.size_error, &self.waves, &self.roundness].map(|of| of.symmetric)
    }
}

/// What all trials come to, way by way.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
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

/// Trials as they are summed up, one after another: the room it takes doesn't grow with them
/// ([`Tally`]).
#[derive(Clone, Debug)]
pub struct Gathered {
    trials: u64,
    ways: Vec<WayTally>,
}

/// Of one way.
#[derive(Clone, Debug)]
struct WayTally {
    measures: [Tally; MEASURES.len()],
    taper_met: u64,
    met: u64,
    steady: u64,
    against_first: PairedTally,
}

/// What is told of a way, in the order of [`WayOutlook`].
const MEASURES: [fn(&Measures) -> f64; 8] = [
    |m| m.taper,
    |m| m.size_error,
    |m| m.taken,
    |m| m.waves,
    |m| m.roundness,
    |m| m.straight_part,
    |m| m.entry.map_or(0.0, |mark| mark.depth),
    |m| m.exit.map_or(0.0, |mark| mark.depth),
];

impl Gathered {
    /// No trial yet of so many ways, the first being the one the others are held against.
    pub fn new(ways: usize) -> Self {
        let way = WayTally {
            measures: Default::default(),
            taper_met: 0,
            met: 0,
            steady: 0,
            against_first: PairedTally::new(NOT_SEEN),
        };
        Self {
            trials: 0,
            ways: vec![way; ways],
        }
    }

    /// Trials so far.
    pub fn trials(&self) -> u64 {
        self.trials
    }

    /// Adds the next trial: the order is part of what they come to.
    pub fn add(&mut self, trial: &Trial) {
        self.trials += 1;
        let left_wrong = |way: usize| trouble(&trial.ways[way].measures);
        for (n, (tally, found)) in self.ways.iter_mut().zip(&trial.ways).enumerate() {
            for (tally, of) in tally.measures.iter_mut().zip(MEASURES) {
                tally.add(of(&found.measures));
            }
            tally.taper_met += u64::from(found.verdict.taper);
            tally.met += u64::from(found.verdict.met());
            tally.steady += u64::from(!unsteady(&found.measures));
            if n > 0 {
                tally.against_first.add(left_wrong(0), left_wrong(n));
            }
        }
    }

    /// What they come to, with intervals of this probability.
    ///
    /// # Errors
    /// Too few trials for intervals of this probability, or a value that is not finite.
    pub fn outlook(&self, seed: u64, probability: f64) -> Result<Outlook, CoverageFault> {
        let ways = self.ways.iter().enumerate();
        Ok(Outlook {
            trials: self.trials,
            seed,
            probability,
            ways: ways
                .map(|(n, way)| self.of_way(n, way, probability))
                .collect::<Result<_, _>>()?,
        })
    }

    fn of_way(
        &self,
        n: usize,
        way: &WayTally,
        probability: f64,
    ) -> Result<WayOutlook, CoverageFault> {
        let coverage = |at: usize| way.measures[at].coverage(probability);
        let chance = |count: u64| {
            Chance::counted(count, self.trials).ok_or(CoverageFault::TooFew {
                trials: 0,
                least: 1,
            })
        };
        let paired = way.against_first.paired(Better::Smaller, CONFIDENCE);
        Ok(WayOutlook {
            taper: coverage(0)?,
            size_error: coverage(1)?,
            taken: coverage(2)?,
            waves: coverage(3)?,
            roundness: coverage(4)?,
            straight_part: coverage(5)?,
            entry: coverage(6)?,
            exit: coverage(7)?,
            taper_met: chance(way.taper_met)?,
            met: chance(way.met)?,
            steady: chance(way.steady)?,
            against_first: paired.ok().filter(|_| n > 0),
        })
    }
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
    let mut gathered = Gathered::new(study.ways().count());
    trials.iter().for_each(|trial| gathered.add(trial));
    gathered.outlook(study.seed(), probability)
}

/// The measures that decide when enough trials were run: taper, size and waves of one way, in that
/// order.
pub fn deciding(trial: &Trial, way: usize) -> [f64; 3] {
    let found = &trial.ways[way].measures;
    [found.taper, found.size_error, found.waves]
}
