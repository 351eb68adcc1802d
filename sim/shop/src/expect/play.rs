//! The plan played on one lathe after another: what the gauge reads, how far the dial is turned,
//! what comes of it.

use std::ops::Range;

use super::elsewhere::{Of, Source, Turn, Wanted};
use super::plan::{End, Limits};
use super::record::{Fitted, Piece, Times};
use crate::arithmetic::max;
use crate::quantity::Quantity;
use crate::record::{EndMark, Measures};
use crate::scenario::{Gauge, GaugeKind, Scenario};
use crate::setup::Setup;
use crate::special::normal_quantile;
use crate::spread::Draws;

/// Keeps the gauging's draws apart from those of lathes and pieces.
const GAUGING: u64 = u64::from_le_bytes(*b"gauging ");
/// Of what a gauge may be off, so much is its own and the same for all readings of a piece, as a
/// standard deviation over the whole (a guess: half of the variance).
const OWN: f64 = core::f64::consts::FRAC_1_SQRT_2;
/// "Within" holds for 95 of 100.
const WITHIN: f64 = 1.96;
/// From pass to pass the edge pushes off more by up to this (a guess).
const DULLS: f64 = 0.1;
/// The taper is gauged over so much of the length, and nudged where it reads further from the
/// middle than so much of the band.
const GAUGED_LENGTH: f64 = 0.8;
const NUDGED_FROM: f64 = 0.25;
/// What a nudge of the guide leaves: half an indicator's step over so much guide, m (a guess).
const NUDGE_OVER: f64 = 0.15;

/// Places of the draws.
const OF_GAUGE: u32 = 0;
const SIZE: u32 = 1;
const TAPER: u32 = 2;
const NUDGE: u32 = 3;
const DULL: u32 = 4;

/// Cuts lathes of these numbers with the work gauged before the last pass: told a lathe's number and
/// what is true of its work there, the other says how much further than set the dial is turned, m.
/// What was true then, and at the end.
type Cuts<'a> =
    dyn Fn(Range<u64>, &(dyn Fn(u64, &Measures) -> f64 + Sync)) -> Vec<[Measures; 2]> + Sync + 'a;

/// The plan of one way.
pub struct Play<'a> {
    pub(super) scenario: &'a Scenario,
    pub(super) setup: Setup,
    pub(super) times: Times,
    of: Of,
    cuts: Box<Cuts<'a>>,
    /// Who cuts instead.
    elsewhere: Option<&'a Source<'a>>,
    draws: Draws,
    /// Depth of each of the passes alike, m.
    pub(super) set: f64,
    /// What it is gauged with.
    pub(super) gauge: Option<(GaugeKind, Gauge)>,
    /// What the drawing admits.
    pub(super) limits: Limits,
    /// Length of what is gauged while stock remains, m, and from where its size is gauged to the
    /// drawing's plane, m along `z`.
    gauged: (f64, f64),
}

impl<'a> Play<'a> {
    /// Of a scenario with the passes alike, by how they are cut on lathes of this seed.
    pub(crate) fn new(
        scenario: &'a Scenario,
        (of, setup): (Of, &Setup),
        seed: u64,
        times: Times,
        cuts: Box<Cuts<'a>>,
    ) -> Self {
        let gauge = scenario.job.gauge;
        Self {
            scenario,
            setup: *setup,
            times,
            of,
            cuts,
            elsewhere: None,
            draws: Draws {
                seed: seed ^ GAUGING,
            },
            set: scenario
                .job
                .passes
                .finish
                .last()
                .map_or(0.0, |set| set.si()),
            gauge: gauge.kind.map(|kind| (kind, gauge)),
            limits: Limits::new(&scenario.job.work),
            gauged: (scenario.job.work.length.si(), 0.0),
        }
    }

    /// The same with its lathes cut elsewhere.
    pub(crate) fn elsewhere(self, source: &'a Source<'a>) -> Self {
        Self {
            elsewhere: Some(source),
            ..self
        }
    }

    /// The same where a part of that length alone is gauged, so far short of the drawing's plane, m
    /// along `z`.
    pub(crate) fn gauged_in_part(self, length: f64, short: f64) -> Self {
        Self {
            gauged: (length, short),
            ..self
        }
    }

    /// What the gauge reads after the first pass, m: metal left on per side.
    pub(super) fn read(&self, number: u64, before: &Measures) -> f64 {
        let off = self.own(number) + self.scatter(number, SIZE);
        -before.size_error + off
    }

    /// Cuts these lathes, the dial turned for what the gauge reads.
    pub(crate) fn found(&self, numbers: Range<u64>, turn: Turn) -> Vec<[Measures; 2]> {
        (self.cuts)(numbers, &|number, found| self.turned(number, found, turn))
    }

    /// How much further than set the dial is turned, m.
    pub(crate) fn turned(&self, number: u64, found: &Measures, turn: Turn) -> f64 {
        // The pass sets its depth; what goes beyond that is the correction.
        turn.of(self.read(number, found)) - self.set
    }

    /// The same with what the gauge read; none where they are cut elsewhere and not there yet.
    pub(super) fn cut(&self, numbers: Range<u64>, turn: Turn) -> Option<Vec<(f64, [Measures; 2])>> {
        let cut = match self.elsewhere {
            None => self.found(numbers.clone(), turn),
            Some(source) => source(&Wanted {
                of: self.of,
                alike: self.scenario.job.passes.finish.len(),
                turn,
                from: numbers.start,
                to: numbers.end,
            })?,
        };
        let read = numbers.zip(&cut).map(|(n, found)| self.read(n, &found[0]));
        let read: Vec<f64> = read.collect();
        Some(read.into_iter().zip(cut).collect())
    }

    /// Pieces of these lathes by the rule.
    pub(super) fn all(&self, numbers: Range<u64>, rule: &Fitted) -> Option<Vec<Piece>> {
        let cut = self.cut(numbers.clone(), Turn::By(rule.last_pass))?;
        let pieces = numbers
            .zip(cut)
            .map(|(number, (read, found))| self.played(number, read, &found, rule));
        Some(pieces.collect())
    }

    /// Pieces of lathes that were cut plainly, had the rule turned the dial instead: reckoned by how
    /// far such lathes follow.
    pub(super) fn turned_further(
        &self,
        numbers: Range<u64>,
        cut: Vec<(f64, [Measures; 2])>,
        rule: &Fitted,
    ) -> Vec<Piece> {
        let pieces = numbers.zip(cut).map(|(number, (read, mut found))| {
            found[1].size_error += rule.follows * (rule.last_pass.turn(read) - read);
            self.played(number, read, &found, rule)
        });
        pieces.collect()
    }

    fn played(&self, number: u64, read: f64, found: &[Measures; 2], rule: &Fitted) -> Piece {
        let [before, after] = found;
        let dial = rule.last_pass.turn(read);
        let left = -before.size_error - self.set;
        let dull = DULLS * self.draws.uniform(number - 1, DULL) * max(left, 0.0);
        let size = after.size_error - dull;
        let by_dial = size + rule.follows * (self.set + rule.usually_left - dial);
        let deep = |mark: Option<EndMark>| mark.map_or(0.0, |mark| mark.depth);
        let end = |size: f64, taper: f64| End {
            size,
            taper,
            waves: after.waves,
        };
        let nudge = self.nudge(number, before);
        // Where it wasn't gauged, the size goes with the taper.
        let tilted = 0.5 * self.setup.inward() * self.setup.slope_sign() * nudge * self.gauged.1;
        Piece {
            left,
            read,
            by_dial: end(by_dial, after.taper),
            with_gauge: end(size - tilted, after.taper - nudge),
            entry: deep(after.entry),
            exit: deep(after.exit),
        }
    }

    /// By how much the guide is nudged, as taper on diameter, so that a taper that reads off comes
    /// to the middle of its band. What an equal pass before left is what the gauge reads.
    fn nudge(&self, number: u64, before: &Measures) -> f64 {
        let Some((_, gauge)) = &self.gauge else {
            return 0.0;
        };
        let length = GAUGED_LENGTH * self.gauged.0;
        let scatter = gauge.within.si() / WITHIN * (1.0 - OWN * OWN).sqrt();
        let normal = |place| normal_quantile(self.draws.uniform(number - 1, place));
        let reads = before.taper_error + 2.0_f64.sqrt() * scatter * normal(TAPER) / length;
        let band = self.scenario.job.work.tolerance;
        if reads.abs() <= NUDGED_FROM * (band.upper.si() - band.lower.si()) {
            return 0.0;
        }
        let step = self.scenario.lathe.readout_step.si();
        let leaves = (self.draws.uniform(number - 1, NUDGE) - 0.5) * 2.0 * step / NUDGE_OVER;
        reads + leaves
    }

    /// The gauge's own error on this piece, m per side.
    fn own(&self, number: u64) -> f64 {
        OWN * self.off(number, OF_GAUGE)
    }

    fn scatter(&self, number: u64, place: u32) -> f64 {
        (1.0 - OWN * OWN).sqrt() * self.off(number, place)
    }

    fn off(&self, number: u64, place: u32) -> f64 {
        let Some((_, gauge)) = &self.gauge else {
            return 0.0;
        };
        let deviation = 0.5 * gauge.within.si() / WITHIN;
        deviation * normal_quantile(self.draws.uniform(number - 1, place))
    }
}
