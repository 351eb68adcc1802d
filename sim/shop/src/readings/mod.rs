//! From carriage and slide readings to the taper that is really set.
//!
//! A reading says where the slide stood with the carriage at a place, moving one way. The slide
//! follows `a + b (z - d L / 2)` on its seats (play with lost motion `L`), so both directions
//! give taper and lost motion together; readings in one direction give the taper alone. Readings
//! taken before the slack was taken up are set aside, wild ones are found and named
//! (`wild.rs`), and noise and readout steps are weighed together by Bayes' theorem
//! (`spread.rs`). Intervals cover 95 %.
//!
//! Left out: the spindle's axis against the bed, which slide readings can't see (a straight test
//! cut, given with them, is taken into account), scale errors of the readout, and springing under
//! the cut.

mod line;
mod seating;
mod spread;
mod interval;
mod correction;
mod test_cut;
mod verdict;
mod wild;
mod guide;
mod seated;
mod sample;

pub use crate::scenario::readings::{Reading, ReadingSet, Reads, TestCut};
pub use correction::{Nudge, ScaleCheck, ScaleSense};
pub use guide::{Ends, Suspicion};
pub use interval::Interval;
pub use sample::{Copied, NotCopied, Own, TiltBy, copied};
pub use seated::Use;
pub use seating::Unseated;
pub use verdict::{Judgement, Remedy, Settles, Verdict};

use schemars::JsonSchema;
use serde::Serialize;

use crate::arithmetic::{clamp, hypot, ln, max, min};
use crate::quantity::show::TaperForms;
use crate::quantity::{INCH, Quantity, Taper, Units};
use crate::scenario::Kind;
use line::{Extra, Fit, Point, Shape};
use seated::{chosen, fit_of};
use spread::{Draws, Noise};
use test_cut::{SEED, slope_sign, with_test_cut};

/// Spread of repeated slide readings that is assumed where nothing tells it: 0.0002 in of slide
/// movement (judgement), and either way by this factor.
const ASSUMED_NOISE: (f64, f64) = (0.0002 * INCH, 2.0);
/// A measured repeatability is believed within this factor either way.
const MEASURED_WITHIN: f64 = 1.5;

/// Where the advice is read, these are read first.
pub const CAUTIONS: [&str; 2] = [
    "Take readings with the spindle stopped and the tool clear of the work; move the carriage by \
     hand.",
    "Never reach over a turning chuck, neither to feel slack nor to nudge the guide.",
];

/// A reading with its place off the line.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Judged {
    /// As read.
    #[serde(flatten)]
    pub reading: Reading,
    /// Off the line of its direction, m of slide movement.
    pub residual: f64,
    /// Whether it counts.
    pub taken: Use,
}

/// The line through the readings: `slide = intercept + slope * carriage -+ gap / 2`.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Line {
    /// Slide movement at carriage zero between both directions, m.
    pub intercept: f64,
    /// Slide movement over carriage travel, with the signs of the readings.
    pub slope: f64,
    /// Slide movement between the two directions, m; zero where only one was read.
    pub gap: f64,
}

/// Lost motion as the readings show it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case", tag = "lost")]
pub enum LostRead {
    /// It can't be known from readings in one direction.
    OneDirection,
    /// Read from both, as it is while the slide moves: what more it takes to start it is not in
    /// it.
    Known {
        /// Carriage travel, m.
        travel: Interval,
        /// Slack across the bed, m, foot included: what the slide stands off between the two.
        across: Interval,
    },
    /// The slide runs ahead of the guide, which it can't: directions are the wrong way round.
    Ahead {
        /// Carriage travel, m, negative.
        travel: Interval,
    },
}

/// How a spread was come by.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Source {
    /// From how the readings scatter.
    Seen,
    /// Given with the readings.
    Given,
    /// Assumed: there is no reading to spare.
    Assumed,
}

/// Spread of repeated readings, standard deviation.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Repeatability {
    /// m of slide movement.
    pub sigma: Interval,
    /// Where it comes from.
    pub source: Source,
    /// Smaller than half a readout step: the steps hide it.
    pub hidden: bool,
    /// A single slip of less than this, m of slide movement, may stand among the readings unseen;
    /// none where there are too few readings to look for one at all.
    pub unseen: Option<f64>,
}

/// All that readings tell.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Evaluation {
    /// What it is.
    pub name: String,
    /// The person's units.
    pub units: Units,
    /// Outside or inside, where the person said so.
    pub kind: Option<Kind>,
    /// Taper wanted, on diameter.
    pub wanted: f64,
    /// Taper that work will get, on diameter.
    pub taper: Interval,
    /// The same in every form.
    pub forms: TaperForms,
    /// It less the wanted one, on diameter.
    pub error: Interval,
    /// Taper of the guide alone, on diameter; the same where there is no test cut.
    pub guide_taper: Interval,
    /// What the readout's steps alone may put the taper off, either way, on diameter.
    pub steps: f64,
    /// Against its tolerance.
    pub judgement: Option<Judgement>,
    /// Lost motion.
    pub lost: LostRead,
    /// Runs of readings in which the slide hardly followed.
    pub unseated: Vec<Unseated>,
    /// Spread of repeated readings.
    pub repeatability: Repeatability,
    /// What to do to the guide.
    pub nudge: Option<Nudge>,
    /// The degree scale.
    pub scale: Option<ScaleCheck>,
    /// What seems wrong with the guide.
    pub guide: Vec<Suspicion>,
    /// Span of the carriage over the readings that count, m.
    pub travel: f64,
    /// The line.
    pub line: Line,
    /// +1 where the carriage's numbers grow toward the tailstock.
    pub carriage_sign: f64,
    /// Readout step, m of slide movement.
    pub step: f64,
    /// Every reading, in the order of the table.
    pub readings: Vec<Judged>,
    /// How many even draws the intervals rest on.
    pub draws: f64,
}

/// Why readings tell nothing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Insufficient {
    /// They don't stand at two places of the carriage in any one direction.
    OnePlace,
    /// The slide did not move with the carriage.
    NoTaper,
}

/// What a set of readings tells.
///
/// # Errors
/// [`Insufficient`] where no line goes through them, or only a straight one.
pub fn evaluate(set: &ReadingSet) -> Result<Evaluation, Insufficient> {
    let unseated = seating::unseated(set);
    let out = |reading: &Reading| {
        let in_run = |u: &&Unseated| (u.rows.0..=u.rows.1).contains(&reading.row);
        unseated.iter().filter(|u| u.left_out).any(|u| in_run(&u))
    };
    let (left_out, kept): (Vec<Reading>, Vec<Reading>) = set
        .readings
        .iter()
        .copied()
        .partition(|reading| out(reading));
    let seated = ReadingSet {
        readings: kept,
        ..set.clone()
    };
    let found = if left_out.is_empty() {
        of_seated(set)
    } else {
        of_seated(&seated)
    };
    let mut found = match found {
        Err(_) if !left_out.is_empty() => of_seated(set)?,
        found => {
            let mut found = found?;
            found
                .readings
                .extend(left_out.into_iter().map(|reading| Judged {
                    reading,
                    residual: reading.slide - found.line.at(reading.carriage),
                    taken: Use::NotTakenUp,
                }));
            found.readings.sort_by_key(|judged| judged.reading.row);
            found
        }
    };
    found.unseated = unseated;
    Ok(found)
}

impl Line {
    /// Slide movement between both directions at a place of the carriage, m.
    pub fn at(&self, carriage: f64) -> f64 {
        self.intercept + self.slope * carriage
    }
}

/// As [`evaluate`], of runs in which the slide followed.
fn of_seated(set: &ReadingSet) -> Result<Evaluation, Insufficient> {
    let places = || set.readings.iter().map(|r| r.carriage);
    let low = places().fold(f64::INFINITY, min);
    let high = places().fold(f64::NEG_INFINITY, max);
    let (middle, half) = (f64::midpoint(low, high), (high - low) / 2.0);
    if half.is_nan() || half < 1e-6 {
        return Err(Insufficient::OnePlace);
    }
    let points: Vec<Point> = set
        .readings
        .iter()
        .map(|reading| Point {
            along: (reading.carriage - middle) / half,
            way: set.way(reading),
            slide: reading.slide,
        })
        .collect();
    let both = points.iter().any(|p| p.way > 0.0) && points.iter().any(|p| p.way < 0.0);
    let gap = both && Fit::through(straight(true), &points).is_some();
    if both && !gap {
        return Err(Insufficient::OnePlace);
    }
    let shape = straight(gap);
    let rough = Fit::through(shape, &points).ok_or(Insufficient::OnePlace)?;
    // A carriage step moves the slide by the slope: both roundings together.
    let step = hypot(set.step, rough.at[1].abs() / half * set.carriage_step);

    let mut taken = seated::first_look(set, &points, shape, step).ok_or(Insufficient::OnePlace)?;
    let fit = fit_of(shape, &points, &taken).ok_or(Insufficient::OnePlace)?;
    let sign = if fit.at[1] < 0.0 { -1.0 } else { 1.0 };
    if fit.at[1].abs() < 1e-9 {
        return Err(Insufficient::NoTaper);
    }
    let scale = guide::Scale {
        middle,
        half,
        sign,
        carriage_sign: set.carriage_sign,
    };
    let guide = seated::suspicions(&points, &mut taken, gap, step, scale);
    let fit = fit_of(shape, &points, &taken).ok_or(Insufficient::OnePlace)?;
    let used: Vec<Point> = chosen(&points, &taken).copied().collect();

    let (noise, source) = noise(set, &fit);
    let draws = Draws::of(&fit, &used, step, noise, SEED);
    let per_draw = |of: &dyn Fn(&nalgebra::DVector<f64>) -> f64| -> Vec<f64> {
        draws.lines.iter().map(of).collect()
    };
    let guide_tapers = per_draw(&|line| 2.0 * sign * line[1] / half);
    let (cut, tapers) = with_test_cut(set, &guide_tapers);
    let fitted = 2.0 * sign * fit.at[1] / half;
    let taper = Interval::round(fitted + cut.adds, &draws, &tapers);
    let guide_taper = Interval::round(fitted, &draws, &guide_tapers);
    let lost = if gap {
        let travel = Interval::round(
            fit.at[2] / fit.at[1] * half,
            &draws,
            &per_draw(&|line| line[2] / line[1] * half),
        );
        let across = Interval::round(sign * fit.at[2], &draws, &per_draw(&|line| sign * line[2]));
        if travel.high < 0.0 {
            LostRead::Ahead { travel }
        } else {
            LostRead::Known { travel, across }
        }
    } else {
        LostRead::OneDirection
    };
    let sigma = Interval::of(&draws, &draws.sigma);
    let spans = || used.iter().map(|p| p.along * half);
    let travel = spans().fold(f64::NEG_INFINITY, max) - spans().fold(f64::INFINITY, min);
    let wanted = set.wanted.si();
    let mut judgement = set
        .tolerance
        .as_ref()
        .map(|band| Judgement::new(taper, set, band));
    if let Some(judged) = &mut judgement {
        let within = |t: &f64| (judged.least..=judged.most).contains(t);
        judged.chance = draws.chance(tapers.iter().map(within));
        let bent = guide.iter().any(Suspicion::bends);
        if bent && judged.verdict == Verdict::Proven {
            judged.verdict = Verdict::NotProven;
        } else if judged.verdict == Verdict::NotProven && !judged.at_the_limit && !bent {
            judged.settles = verdict::Plan {
                set,
                fit: &fit,
                points: &used,
                half,
                step,
                sigma: sigma.value,
                sigma_log: clamp(ln(sigma.high / sigma.value) / 1.96, 0.05, 1.0),
                test_cut: cut.spread,
            }
            .settles(judged.room);
        }
    }
    let aim = judgement
        .as_ref()
        .map_or(wanted, |j| f64::midpoint(j.least, j.most));
    let nudge = set.end_radius.zip(set.big_end).map(|(radius, big_end)| {
        correction::nudge(
            guide_taper,
            aim - cut.adds,
            aim,
            radius.si(),
            set.nudged_end,
            set.side.sign() * slope_sign(big_end),
        )
    });
    let readings = set
        .readings
        .iter()
        .zip(&points)
        .zip(&taken)
        .map(|((reading, point), taken)| Judged {
            reading: *reading,
            residual: fit.residual(point),
            taken: *taken,
        })
        .collect();
    Ok(Evaluation {
        name: set.name.clone(),
        units: set.units,
        kind: set.kind,
        wanted,
        taper,
        forms: TaperForms::of(Taper::from_si(taper.value)),
        error: Interval::new(
            taper.value - wanted,
            taper.low - wanted,
            taper.high - wanted,
        ),
        guide_taper,
        steps: steps_alone(&fit, &used, step, half),
        judgement,
        lost,
        unseated: Vec::new(),
        repeatability: Repeatability {
            sigma,
            source,
            hidden: step > 0.0 && sigma.value < step / 2.0,
            unseen: wild::unseen(&fit, &used, step),
        },
        nudge,
        scale: set
            .scale
            .map(|scale| correction::scale_check(scale.si(), guide_taper)),
        guide,
        travel,
        line: Line {
            intercept: fit.at[0] - fit.at[1] * middle / half,
            slope: fit.at[1] / half,
            gap: if gap { fit.at[2] } else { 0.0 },
        },
        carriage_sign: set.carriage_sign,
        step: set.step,
        readings,
        draws: draws.effective,
    })
}

fn straight(gap: bool) -> Shape {
    Shape {
        gap,
        extra: Extra::None,
    }
}

fn noise(set: &ReadingSet, fit: &Fit) -> (Noise, Source) {
    match set.repeatability {
        Some(sigma) => (Noise::Told(sigma, ln(MEASURED_WITHIN)), Source::Given),
        None if fit.spare() == 0 => (
            Noise::Told(ASSUMED_NOISE.0, ln(ASSUMED_NOISE.1)),
            Source::Assumed,
        ),
        None => (Noise::Seen, Source::Seen),
    }
}

/// What the steps alone may put the taper on diameter off: every reading half a step off, each
/// the way that does most.
fn steps_alone(fit: &Fit, points: &[Point], step: f64, half: f64) -> f64 {
    let most: f64 = points
        .iter()
        .map(|point| {
            let row = fit.shape.row(point);
            let weight: f64 = row
                .iter()
                .enumerate()
                .map(|(i, x)| fit.inverse[(1, i)] * x)
                .sum();
            weight.abs() * step / 2.0
        })
        .sum();
    2.0 * most / half
}
