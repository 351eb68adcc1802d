//! One way cut under a row of preloads, each on the same lathes.

use std::ops::Range;

use schemars::JsonSchema;
use serde::Serialize;

use crate::cut::Options;
use crate::quantity::{Force, Quantity};
use crate::record::Seat;
use crate::scenario::{Known, Preload, PreloadSource, Scenario};
use crate::sensitivity::unsteady;
use crate::setup::Setup;
use crate::spread::{Coverage, CoverageFault, Proportion};
use crate::study::{Chance, RangeFault, Study, WayOfTrial};

/// Share of the lathes that a band holds.
pub const BAND: f64 = 0.8;
const CONFIDENCE: f64 = 0.95;

/// Middle of the lathes and where [`BAND`] of them lie.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Band {
    /// Mean.
    pub mean: f64,
    /// Least of the band.
    pub low: f64,
    /// Most of the band.
    pub high: f64,
}

/// What a force does.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ForcePoint {
    /// Preload out of the cut, N; negative pushes into it, which is never done.
    pub force: f64,
    /// It runs on one face all the way.
    pub steady: Chance,
    /// It runs all the way on the face that pushes the tool in.
    pub seated: Chance,
    /// Least force that holds it against the guide, N.
    pub seat_margin: Band,
    /// Stock left standing at the gauge plane, m per side; negative too deep.
    pub left: Band,
    /// Waves, m.
    pub waves: Band,
}

/// The forces, each a study of its own with the same draws.
pub struct ForceScan {
    forces: Vec<f64>,
    studies: Vec<Study>,
}

impl ForceScan {
    /// One way under these preloads, N, positive out of the cut.
    ///
    /// # Errors
    /// A number whose range makes no distribution.
    pub fn new(
        scenario: &Scenario,
        setup: &Setup,
        forces: Vec<f64>,
        options: Options,
    ) -> Result<Self, RangeFault> {
        let studies = forces
            .iter()
            .map(|force| Study::new(&pressed(scenario, setup, *force), &[*setup], options))
            .collect::<Result<_, _>>()?;
        Ok(Self { forces, studies })
    }

    /// Cuts lathes under every force, by their numbers from 1.
    pub fn trials(&self, numbers: Range<u64>) -> Vec<Vec<WayOfTrial>> {
        Study::batches(self.studies.iter(), numbers)
    }

    /// What the trials come to, force by force.
    ///
    /// # Errors
    /// Too few trials for a band, or a value that is not finite.
    pub fn summed(&self, trials: &[Vec<WayOfTrial>]) -> Result<Vec<ForcePoint>, CoverageFault> {
        self.forces
            .iter()
            .enumerate()
            .map(|(at, force)| point(*force, trials.iter().map(|ways| &ways[at]).collect()))
            .collect()
    }
}

fn point(force: f64, ways: Vec<&WayOfTrial>) -> Result<ForcePoint, CoverageFault> {
    let band = |of: &dyn Fn(&WayOfTrial) -> f64| {
        let values: Vec<f64> = ways.iter().map(|way| of(way)).collect();
        let found = Coverage::of(&values, BAND)?;
        Ok(Band {
            mean: found.estimate,
            low: found.symmetric.lower,
            high: found.symmetric.upper,
        })
    };
    let chance = |so: &dyn Fn(&WayOfTrial) -> bool| {
        chance(ways.iter().filter(|way| so(way)).count(), ways.len()).ok_or(CoverageFault::TooFew {
            trials: 0,
            least: 1,
        })
    };
    Ok(ForcePoint {
        force,
        steady: chance(&|way| !unsteady(&way.measures))?,
        seated: chance(&|way| way.measures.seat == Seat::First && !unsteady(&way.measures))?,
        seat_margin: band(&|way| way.measures.seat_margin)?,
        left: band(&|way| -way.measures.size_error)?,
        waves: band(&|way| way.measures.waves)?,
    })
}

/// So many of all; none without a trial.
pub(super) fn chance(count: usize, of: usize) -> Option<Chance> {
    let proportion = Proportion {
        count: count as u64,
        of: of as u64,
    };
    Some(Chance {
        in_trials: proportion.count,
        share: proportion.share()?,
        interval: proportion.wilson(CONFIDENCE)?,
    })
}

/// The scenario with a plain weight on its slide instead of what it has, N: positive out of the
/// cut as this way makes it, none at 0.
pub fn pressed(scenario: &Scenario, setup: &Setup, out: f64) -> Scenario {
    let mut scenario = scenario.clone();
    scenario.job.preload = (out != 0.0).then(|| Preload {
        toward: setup.toward_in_x(out > 0.0),
        source: PreloadSource::Constant(Known::given(Force::from_si(out.abs()))),
    });
    scenario
}
