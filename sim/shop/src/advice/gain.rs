//! What changes buy: the same lathes cut before and after, and the differences.
//!
//! Gain is, in this order: minutes saved a piece where that was weighed; the chance to meet the whole drawing; how much nearer to its aim the
//! taper comes on the average lathe; the same for the size; how much lower the waves are. A gain
//! counts where its interval leaves out nothing at all, and in whole steps: one lathe of 100, a
//! tenth of half the taper's tolerance, what one would see of size and waves
//! ([`crate::verdict::NOT_SEEN`]). What counts for nothing in one goes on to the next.

use std::cmp::Ordering;
use std::ops::Range;

use schemars::JsonSchema;
use serde::Serialize;

use super::change::{Arrangement, Change};
use super::force_scan::chance;
use crate::arithmetic::max;
use crate::cut::{self, Options};
use crate::expect::Share;
use crate::feasibility::{Reason, reasons};
use crate::quantity::Quantity;
use crate::sensitivity::unsteady;
use crate::spread::{Better, CoverageFault, Interval, Paired, mean_and_deviation};
use crate::study::{Chance, RangeFault, Study, WayOfTrial};
use crate::verdict::NOT_SEEN;

const CONFIDENCE: f64 = 0.95;
/// A step of the taper, as a share of half the tolerance.
const TAPER_STEP: f64 = 0.1;
/// Less is nothing, min.
const LEAST_SAVED: f64 = 0.1;
/// A step of the chance.
const MET_STEP: f64 = 0.01;

/// What an arrangement gives over the lathes.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Standing {
    /// All that the drawing asks for is met.
    pub met: Chance,
    /// It runs on one face all the way.
    pub steady: Chance,
    /// How far the taper is off its aim, mean over the lathes, on diameter.
    pub taper_off: f64,
    /// How far the size is off, mean over the lathes, m per side.
    pub size_off: f64,
    /// Waves, mean over the lathes, m.
    pub waves: f64,
}

/// A gain: positive is better.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Gain {
    /// Mean over the lathes.
    pub mean: f64,
    /// Its 95 % interval.
    pub interval: Interval,
}

/// What an arrangement gains over another on the same lathes.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Gains {
    /// Chance to meet the whole drawing.
    pub met: Gain,
    /// Taper nearer its aim, on diameter.
    pub taper: Gain,
    /// Size nearer, m per side.
    pub size: Gain,
    /// Waves lower, m.
    pub waves: Gain,
}

/// One change, or two, with what it buys.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Tried {
    /// Places of the changes in [`Tryout::changes`]: one or two.
    pub changes: Vec<usize>,
    /// Time, min.
    pub minutes: f64,
    /// Why the cut can't be made then; empty if it can.
    pub out: Vec<Reason>,
    /// What it gives then.
    pub after: Option<Standing>,
    /// Against before.
    pub gains: Option<Gains>,
    /// What it saves by the plan's own cost, where that was weighed.
    pub saved: Option<Saved>,
}

/// What a change saves by the plan's own cost ([`crate::worth`]).
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Saved {
    /// In tolerance then, with the plan's gauging.
    pub met: Share,
    /// Minutes a piece, the change's own not counted.
    pub minutes: f64,
    /// What the lathes leave open of that, either way.
    pub doubt: f64,
}

impl Saved {
    /// Minutes saved, or lost, beyond doubt; else nothing.
    pub fn counted(&self) -> f64 {
        if self.minutes.abs() > max(self.doubt, LEAST_SAVED) {
            self.minutes
        } else {
            0.0
        }
    }
}

/// What all the changes buy.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Bought {
    /// Lathes tried.
    pub trials: u64,
    /// Seed of their draws.
    pub seed: u64,
    /// Before.
    pub now: Standing,
    /// Each change by itself, in the order of [`Tryout::changes`], then the pairs.
    pub tried: Vec<Tried>,
    /// What counts as a step of chance, taper, size and waves.
    pub steps: [f64; 4],
}

/// Changes to be tried on the lathes of a study.
pub struct Tryout {
    /// The changes.
    pub changes: Vec<Change>,
    now: Study,
    tried: Vec<(Tried, Option<Study>)>,
    steps: [f64; 4],
}

impl Tryout {
    /// Each change by itself, and with `pairs` every two that go together.
    ///
    /// # Errors
    /// A number whose range makes no distribution.
    pub fn new(
        now: &Arrangement,
        changes: Vec<Change>,
        pairs: bool,
        options: Options,
    ) -> Result<Self, RangeFault> {
        let mut sets: Vec<Vec<usize>> = (0..changes.len()).map(|one| vec![one]).collect();
        if pairs {
            for one in 0..changes.len() {
                for other in one + 1..changes.len() {
                    if changes[one].goes_with(&changes[other]) {
                        sets.push(vec![one, other]);
                    }
                }
            }
        }
        let tried = sets
            .into_iter()
            .map(|set| {
                let mut after = now.clone();
                for place in &set {
                    after = changes[*place].applied(&after);
                }
                let (_, approach) = cut::approach(&after.scenario, &after.setup, options);
                let out = reasons(&after.scenario, &after.setup, &approach);
                let study = if out.is_empty() {
                    Some(study_of(&after, options)?)
                } else {
                    None
                };
                let tried = Tried {
                    minutes: set.iter().map(|place| changes[*place].minutes).sum(),
                    changes: set,
                    out,
                    after: None,
                    gains: None,
                    saved: None,
                };
                Ok((tried, study))
            })
            .collect::<Result<_, RangeFault>>()?;
        let band = &now.scenario.job.work.tolerance;
        let half_band = 0.5 * (band.upper.si() - band.lower.si());
        Ok(Self {
            changes,
            now: study_of(now, options)?,
            tried,
            steps: [MET_STEP, TAPER_STEP * half_band, NOT_SEEN, NOT_SEEN],
        })
    }

    /// Cuts lathes before and after every change, by their numbers from 1: before first.
    pub fn trials(&self, numbers: Range<u64>) -> Vec<Vec<WayOfTrial>> {
        let tried = self.tried.iter().filter_map(|(_, study)| study.as_ref());
        Study::batches(std::iter::once(&self.now).chain(tried), numbers)
    }

    /// What the trials come to.
    ///
    /// # Errors
    /// Fewer than two trials, or a value that is not finite.
    pub fn bought(&self, trials: &[Vec<WayOfTrial>]) -> Result<Bought, CoverageFault> {
        let column = |at: usize| -> Vec<&WayOfTrial> { trials.iter().map(|t| &t[at]).collect() };
        let few = CoverageFault::TooFew {
            trials: trials.len(),
            least: 2,
        };
        if trials.len() < 2 {
            return Err(few);
        }
        let before = column(0);
        let mut at = 0;
        let mut tried = Vec::with_capacity(self.tried.len());
        for (change, study) in &self.tried {
            let mut change = change.clone();
            if study.is_some() {
                at += 1;
                let after = column(at);
                change.after = Some(standing(&after).ok_or(few.clone())?);
                change.gains = Some(gains(&before, &after).ok_or(few.clone())?);
            }
            tried.push(change);
        }
        Ok(Bought {
            trials: trials.len() as u64,
            seed: self.now.seed(),
            now: standing(&before).ok_or(few)?,
            tried,
            steps: self.steps,
        })
    }
}

fn study_of(arrangement: &Arrangement, options: Options) -> Result<Study, RangeFault> {
    let study = Study::new(&arrangement.scenario, &[arrangement.setup], options)?;
    Ok(if arrangement.by_hand {
        study.seated_by_hand()
    } else {
        study
    })
}

type Measure = fn(&WayOfTrial) -> f64;
/// Whether the drawing is met, then how far taper, size and waves are off.
const MEASURES: [Measure; 4] = [
    |way| f64::from(u8::from(way.verdict.met())),
    |way| way.measures.taper_error.abs(),
    |way| way.measures.size_error.abs(),
    |way| way.measures.waves,
];

fn standing(ways: &[&WayOfTrial]) -> Option<Standing> {
    let mean = |of: Measure| {
        let values: Vec<f64> = ways.iter().map(|way| of(way)).collect();
        mean_and_deviation(&values).0
    };
    let share = |so: &dyn Fn(&WayOfTrial) -> bool| {
        chance(ways.iter().filter(|way| so(way)).count(), ways.len())
    };
    Some(Standing {
        met: share(&|way| way.verdict.met())?,
        steady: share(&|way| !unsteady(&way.measures))?,
        taper_off: mean(MEASURES[1]),
        size_off: mean(MEASURES[2]),
        waves: mean(MEASURES[3]),
    })
}

fn gains(before: &[&WayOfTrial], after: &[&WayOfTrial]) -> Option<Gains> {
    let values = |ways: &[&WayOfTrial], of: Measure| ways.iter().map(|way| of(way)).collect();
    let gain = |at: usize| {
        let [before, after]: [Vec<f64>; 2] = [before, after].map(|w| values(w, MEASURES[at]));
        // First less second: what is to grow has the later first.
        let paired = if at == 0 {
            Paired::of(&after, &before, Better::Greater, 0.0, CONFIDENCE)
        } else {
            Paired::of(&before, &after, Better::Smaller, 0.0, CONFIDENCE)
        };
        paired.ok().map(|paired| Gain {
            mean: paired.mean,
            interval: paired.mean_interval,
        })
    };
    Some(Gains {
        met: gain(0)?,
        taper: gain(1)?,
        size: gain(2)?,
        waves: gain(3)?,
    })
}

impl Gains {
    /// Chance, taper, size and waves.
    pub fn all(&self) -> [Gain; 4] {
        [self.met, self.taper, self.size, self.waves]
    }

    /// Whole steps gained, what its interval does not tell from nothing left out.
    pub fn counted(&self, steps: [f64; 4]) -> [f64; 4] {
        let gains = self.all();
        [0, 1, 2, 3].map(|at| {
            let Gain { mean, interval } = gains[at];
            if interval.holds(0.0) || steps[at] <= 0.0 {
                0.0
            } else {
                // A part of a step is none, and less than nothing is not minus nothing.
                (mean / steps[at] + 1e-9_f64.copysign(mean)).trunc() + 0.0
            }
        })
    }

    /// Whether it counts for anything, for better or worse.
    pub fn counts(&self, steps: [f64; 4]) -> bool {
        self.counted(steps).iter().any(|steps| *steps != 0.0)
    }
}

/// Single changes by what they come to, each kind in the order in which it is told: places in
/// [`Bought::tried`].
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Sorted {
    /// Save time or pieces, most first.
    pub better: Vec<usize>,
    /// Bring taper, size or waves nearer, and not one piece more is good; most first.
    pub nearer: Vec<usize>,
    /// Cost time or pieces, or lead further off; worst first.
    pub worse: Vec<usize>,
    /// Change nothing that one would see.
    pub nothing: Vec<usize>,
    /// The cut can't be made then.
    pub out: Vec<usize>,
}

impl Bought {
    /// Single changes by what they come to: by the plan's cost where that was weighed, else by
    /// what comes nearer.
    pub fn sorted(&self) -> Sorted {
        let mut sorted = Sorted::default();
        for place in self.by_gain(false) {
            let tried = &self.tried[place];
            let steps = tried.gains.map_or([0.0; 4], |g| g.counted(self.steps));
            let nearer = steps.into_iter().find(|steps| *steps != 0.0).unwrap_or(0.0);
            let sign = tried.saved.map_or(nearer, |saved| saved.counted());
            let kind = if !tried.out.is_empty() {
                &mut sorted.out
            } else if sign > 0.0 {
                &mut sorted.better
            } else if sign < 0.0 {
                &mut sorted.worse
            } else if nearer > 0.0 {
                &mut sorted.nearer
            } else {
                &mut sorted.nothing
            };
            kind.push(place);
        }
        sorted.worse.reverse();
        sorted
    }

    /// Places in [`Self::tried`] of single changes, or of pairs, by gain: the most first, and of
    /// those alike the cheapest. Changes after which the cut can't be made stand last.
    pub fn by_gain(&self, pairs: bool) -> Vec<usize> {
        self.ranked(pairs, |_| 1.0)
    }

    /// The same by gain an hour.
    pub fn by_hour(&self, pairs: bool) -> Vec<usize> {
        self.ranked(pairs, |tried| 60.0 / tried.minutes)
    }

    fn ranked(&self, pairs: bool, rate: impl Fn(&Tried) -> f64) -> Vec<usize> {
        let worth = |place: &usize| -> [f64; 5] {
            let tried = &self.tried[*place];
            let saved = tried.saved.map_or(0.0, |saved| saved.counted());
            tried.gains.map_or([f64::NEG_INFINITY; 5], |gains| {
                let [met, taper, size, waves] = gains.counted(self.steps);
                [saved, met, taper, size, waves].map(|steps| steps * rate(tried))
            })
        };
        let mut places: Vec<usize> = (0..self.tried.len())
            .filter(|place| (self.tried[*place].changes.len() > 1) == pairs)
            .collect();
        places.sort_by(|a, b| {
            let (one, other) = (worth(a), worth(b));
            let by_worth = one
                .iter()
                .zip(&other)
                .map(|(one, other)| other.total_cmp(one))
                .find(|order| *order != Ordering::Equal);
            let minutes = |place: &usize| self.tried[*place].minutes;
            by_worth.unwrap_or_else(|| minutes(a).total_cmp(&minutes(b)))
        });
        places
    }
}
