//! A change weighed: the plan played on the same lathes before and after.

use super::step::{Step, What, saved};
use crate::advice::catalogue::{Holds, drawn_away};
use crate::advice::change::{Arrangement, Change};
use crate::advice::gain::Saved;
use crate::advice::source::LINE;
use crate::advice::window::{Needs, Window, plain_rule};
use crate::arithmetic::{clamp, max};
use crate::cut::{Options, approach};
use crate::expect::{Effort, Expect, Limits, chance_of, expect_of, reach_of};
use crate::feasibility::reasons;
use crate::record::Measures;
use crate::study::{PER_TURN, RangeFault, Study};
use crate::verdict::NOT_SEEN;

/// Lathes that a preload among the changes is found from, and the share of them it holds, with what
/// margin.
const NEEDS: u64 = 200;
const SURE: f64 = 0.95;
const MARGIN: f64 = 0.2;

/// Fewer lathes than what is told of a way rests on: before and after are cut on the same, so that
/// the difference is surer than either.
const FEW: u64 = 160;
/// So many are enough where none of them shows that the change could pay or bring the drawing in
/// reach.
const FEWER: u64 = 40;
/// What so many lathes might not have shown, as spoilt pieces among them.
const UNSEEN: f64 = 1.5;
/// Lathes that show whether a change does anything at all.
const PROBES: std::ops::Range<u64> = 1..9;
/// Less than this share of a tolerance is nothing.
const NOTHING: f64 = 0.01;

/// A job as it stands, that changes are held against.
pub struct Before<'a> {
    now: &'a Arrangement,
    expect: &'a Expect,
    /// The fewer, and the few.
    plays: [Expect; 2],
    probes: Vec<Measures>,
    options: Options,
}

impl<'a> Before<'a> {
    /// Of a way whose plan was played.
    ///
    /// # Errors
    /// A number whose range makes no distribution.
    pub fn new(
        now: &'a Arrangement,
        expect: &'a Expect,
        options: Options,
    ) -> Result<Self, RangeFault> {
        Ok(Self {
            plays: [played(now, FEWER, options)?, played(now, FEW, options)?],
            probes: probes(now, options)?,
            now,
            expect,
            options,
        })
    }

    /// What a change comes to; none where the cut can't be made then.
    ///
    /// # Errors
    /// A number whose range makes no distribution.
    pub fn with(&self, change: &Change) -> Result<Option<Step>, RangeFault> {
        let then = change.applied(self.now);
        let (_, run_in) = approach(&then.scenario, &then.setup, self.options);
        if !reasons(&then.scenario, &then.setup, &run_in).is_empty() {
            return Ok(None);
        }
        let limits = Limits::new(&then.scenario.job.work);
        let minutes = change.minutes / self.now.scenario.job.pieces as f64;
        let difference = if self.shows(&then, &limits)? {
            let [fewer, few] = &self.plays;
            let found = difference(fewer, &played(&then, FEWER, self.options)?, &limits);
            if self.might_do(&found, minutes) {
                difference(few, &played(&then, FEW, self.options)?, &limits)
            } else {
                found
            }
        } else {
            Difference::default()
        };
        let Difference { mean, doubt, more } = difference;
        let met = clamp(self.expect.met().met + more, 0.0, 1.0);
        let met = chance_of(
            (met * self.expect.lathes as f64).round() as u64,
            self.expect.lathes,
        );
        Ok(Some(Step {
            what: What::Change {
                id: change.id,
                words: change.words.clone(),
            },
            minutes: change.minutes,
            met,
            verdict: reach_of(self.expect, met),
            saves: mean - minutes,
            doubt,
        }))
    }

    /// The same for a list of what changes buy.
    ///
    /// # Errors
    /// A number whose range makes no distribution.
    pub fn saved(&self, change: &Change) -> Result<Option<Saved>, RangeFault> {
        let pieces = self.now.scenario.job.pieces;
        Ok(self.with(change)?.map(|step| Saved {
            met: step.met,
            minutes: step.gain(pieces),
            doubt: step.doubt,
        }))
    }

    /// Whether a difference found on the fewer lathes leaves open that the change pays, or that it
    /// brings in reach what is not.
    fn might_do(&self, found: &Difference, minutes: f64) -> bool {
        let unseen = UNSEEN * self.expect.cost.spoilt / FEWER as f64;
        let pays = found.mean + 2.0 * max(found.doubt, unseen) > minutes;
        let brings = !self.expect.verdict.is_reached() && found.more > 0.0;
        pays || brings
    }

    /// Whether some lathe cuts, or is gauged, otherwise then.
    fn shows(&self, then: &Arrangement, limits: &Limits) -> Result<bool, RangeFault> {
        let job = |of: &Arrangement| {
            (
                of.setup,
                of.scenario.job.gauge,
                of.scenario.lathe.readout_step,
            )
        };
        if job(then) != job(self.now) {
            return Ok(true);
        }
        let after = probes(then, self.options)?;
        let wide = |[low, high]: [f64; 2]| NOTHING * (high - low);
        Ok(self.probes.iter().zip(&after).any(|(a, b)| {
            (a.size_error - b.size_error).abs() > wide(limits.size)
                || (a.taper - b.taper).abs() > wide(limits.taper)
                || (a.waves - b.waves).abs() > NOTHING * limits.waves.unwrap_or(NOT_SEEN)
        }))
    }
}

/// What the same lathes make of a job before and after.
#[derive(Clone, Copy, Default)]
struct Difference {
    /// Saved a piece, min, and what so many lathes leave open of it.
    mean: f64,
    doubt: f64,
    /// In tolerance then, less before.
    more: f64,
}

fn difference(before: &Expect, after: &Expect, limits: &Limits) -> Difference {
    let costs = [before, after].map(|of| of.each_costs(limits));
    let gains: Vec<f64> = costs[0].iter().zip(&costs[1]).map(|(b, a)| b - a).collect();
    let (mean, doubt) = saved(&gains);
    Difference {
        mean,
        doubt,
        more: after.met().met - before.met().met,
    }
}

/// The plan of an arrangement on the first lathes.
fn played(of: &Arrangement, lathes: u64, options: Options) -> Result<Expect, RangeFault> {
    let effort = Effort::Quick(lathes);
    expect_of(&of.scenario, &of.setup, of.by_hand, effort, options)
}

/// The job's own finishing passes on a few lathes.
fn probes(of: &Arrangement, options: Options) -> Result<Vec<Measures>, RangeFault> {
    let options = Options {
        per_turn: PER_TURN,
        ..options
    };
    let study = Study::new(&of.scenario, &[of.setup], options)?;
    let study = if of.by_hand {
        study.seated_by_hand()
    } else {
        study
    };
    let ways = study
        .trials(PROBES)
        .into_iter()
        .flat_map(|trial| trial.ways);
    Ok(ways.map(|way| way.measures).collect())
}

/// A preload that would hold this job drawn away; none where none may be advised.
///
/// # Errors
/// A number whose range makes no distribution.
pub fn holds(now: &Arrangement, options: Options) -> Result<Option<Holds>, RangeFault> {
    let options = Options {
        per_turn: PER_TURN,
        ..options
    };
    let setup = drawn_away(&now.setup);
    let needs = Needs::new(&now.scenario, &setup, options, None)?;
    let asked: Vec<_> = (1..=NEEDS).map(|number| needs.of(number)).collect();
    let rule = plain_rule(&now.scenario, &setup, options);
    let window = |seals| Window::of(&asked, SURE, MARGIN, seals);
    let windows = window(false).zip(window(true));
    Ok(windows
        .map(|(plain, sealed)| Holds::new([plain, sealed], rule, now.scenario.job.units, LINE)))
}
