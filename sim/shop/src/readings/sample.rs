//! A sample swept in the lathe: its own taper, what to aim the guide at to copy it, and what is the
//! spindle's and what is its own tilt in the jaws.
//!
//! The indicator stands on the slide, level with the axis, its plunger along `X`. With the sample's
//! radius growing by `s` along `+Z` and its axis drifting toward the operator by `e` (the spindle's
//! lean) and `t` (its tilt in the jaws, which turns with the spindle), a sweep from the front reads
//! the slope `s + e + t`; with the spindle half a turn further `s + e - t`; from behind, the spindle
//! as at first, `s - e - t`. So front and turned give `s + e` and the tilt, front and behind give `s`
//! whatever leans. What is not swept is taken from what is told of it, with its doubt.
//!
//! A guide is set by `s + e` where the piece is cut in the same spindle, from the same side, big
//! toward the same end: the lean goes out again. Cut elsewhere it is set by `s`.
//!
//! Left out: the indicator above or below the axis (second order), a sample out of round.

use schemars::JsonSchema;
use serde::Serialize;

use super::correction::{Nudge, nudge};
use super::interval::Interval;
use super::{Insufficient, Judged, Suspicion, evaluate};
use crate::arithmetic::{hypot, max, min};
use crate::quantity::show::TaperForms;
use crate::quantity::{INCH, Quantity, Taper};
use crate::readings::{ReadingSet, Reads};
use crate::scenario::sample::{SampleSweep, Sweep};
use crate::scenario::{End, Kind, Vary};

use super::test_cut::slope_sign;

/// Run-out of a sample that nobody looked at, over the length swept, m (a thou; a guess).
const ASSUMED_RUN_OUT: f64 = 0.001 * INCH;

/// How the tilt in the jaws is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum TiltBy {
    /// It was swept again, turned by half a turn.
    Turned,
    /// It was swept from behind: it goes out with the lean.
    Behind,
    /// By the run-out that was told.
    Told,
    /// Nobody looked.
    Assumed,
}

/// A sample's taper, where the slide stood still or the guide was let go.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Own {
    /// Its own taper, on diameter.
    pub taper: Interval,
    /// The same in every form.
    pub forms: TaperForms,
    /// What a guide must give to copy it in the same spindle, from the same side, big toward the
    /// same end: taper on diameter as the carriage sees it.
    pub guide: Interval,
}

/// What a swept sample tells.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Copied {
    /// Its taper; none where the guide was coupled.
    pub own: Option<Own>,
    /// What the guide is short of it, on diameter, where it was coupled.
    pub short: Option<Interval>,
    /// What the spindle's lean makes of it, on diameter; told, or swept from both sides.
    pub lean: Interval,
    /// Whether the lean was swept from both sides.
    pub lean_seen: bool,
    /// How far it stands askew in the jaws, as taper on diameter; zero where only its doubt is known.
    pub tilt: Interval,
    /// How that is known.
    pub tilt_by: TiltBy,
    /// Where it isn't straight.
    pub bent: Vec<Suspicion>,
    /// What to do to the guide, where it was coupled.
    pub nudge: Option<Nudge>,
    /// Span of the carriage, m.
    pub travel: f64,
    /// What the indicator's steps alone may put its taper off, either way, on diameter.
    pub steps: f64,
    /// Each reading of the first sweep with its place off the line.
    pub readings: Vec<Judged>,
}

/// Why a sweep tells nothing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum NotCopied {
    /// No line goes through its readings.
    Insufficient(Insufficient),
    /// Its readings say that the other end is big.
    OtherEnd,
    /// The sweeps don't belong together: they differ by half of the taper.
    Apart,
}

/// A slope along `+Z` with half of its 95 % interval.
#[derive(Clone, Copy)]
struct Slope {
    value: f64,
    half: f64,
}

/// One sweep's slope: of the surface toward the plunger along `+Z`.
struct Seen {
    slope: Slope,
    bent: Vec<Suspicion>,
    travel: f64,
    steps: f64,
    readings: Vec<Judged>,
}

fn seen(sample: &SampleSweep, sweep: &Sweep) -> Result<Seen, Insufficient> {
    let set = ReadingSet {
        name: sample.name.clone(),
        units: sample.units,
        wanted: Taper::from_si(0.0),
        tolerance: None,
        kind: Some(sample.kind),
        big_end: None,
        side: sample.side,
        reads: Reads::Indicator,
        step: sample.step,
        carriage_step: sample.carriage_step,
        repeatability: sample.repeatability,
        carriage_sign: sweep.carriage_sign,
        end_radius: None,
        nudged_end: End::Tailstock,
        travel: None,
        scale: None,
        test_cut: None,
        readings: sweep.readings.clone(),
    };
    let found = match evaluate(&set) {
        // A guide that follows the sample: the indicator stands still.
        Err(Insufficient::NoTaper) if sample.coupled => return Ok(still(sample, sweep)),
        found => found?,
    };
    Ok(Seen {
        slope: Slope {
            value: found.line.slope * sweep.carriage_sign,
            half: 0.5 * found.guide_taper.half(),
        },
        bent: found.guide,
        travel: found.travel,
        steps: found.steps,
        readings: found.readings,
    })
}

/// A sweep along which the indicator stood still: within one of its steps.
fn still(sample: &SampleSweep, sweep: &Sweep) -> Seen {
    let places = || sweep.readings.iter().map(|reading| reading.carriage);
    let travel = places().fold(f64::NEG_INFINITY, max) - places().fold(f64::INFINITY, min);
    Seen {
        slope: Slope {
            value: 0.0,
            half: sample.step / travel,
        },
        bent: Vec::new(),
        travel,
        steps: 2.0 * sample.step / travel,
        readings: Vec::new(),
    }
}

/// What a swept sample tells.
///
/// # Errors
/// [`NotCopied`] where the readings tell no taper, or none that goes with what was said.
pub fn copied(sample: &SampleSweep) -> Result<Copied, NotCopied> {
    let read = |sweep: &Sweep| seen(sample, sweep).map_err(NotCopied::Insufficient);
    let front = read(&sample.swept)?;
    let turned = sample.turned.as_ref().map(read).transpose()?;
    let behind = sample.behind.as_ref().map(read).transpose()?;
    // A plunger goes in as a plug grows under it, and comes out as a bore does.
    let grows = match sample.kind {
        Kind::Outside => 1.0,
        Kind::Inside => -1.0,
    };
    let of = |seen: &Seen| Slope {
        value: grows * seen.slope.value,
        half: seen.slope.half,
    };
    let first = of(&front);
    // Toward the operator, seen from the front; from behind the spindle's lean counts backward.
    let side = sample.side.sign();
    let told = Slope {
        value: 0.5 * side * sample.out_of_line.si(),
        half: 0.25 * range(&sample.out_of_line),
    };
    let half_of = |a: Slope, b: Slope, sign: f64| Slope {
        value: 0.5 * (a.value + sign * b.value),
        half: 0.5 * hypot(a.half, b.half),
    };
    let (seen_here, tilt, tilt_by) = match (&turned, &behind, sample.run_out) {
        (Some(turned), ..) => (
            half_of(first, of(turned), 1.0),
            half_of(first, of(turned), -1.0),
            TiltBy::Turned,
        ),
        (None, Some(_), _) => (first, none(), TiltBy::Behind),
        (None, None, told) => {
            let run_out = told.map_or(ASSUMED_RUN_OUT, Quantity::si);
            // Half of the indicator's swing, over the length swept.
            let half = 0.5 * run_out / front.travel;
            (
                Slope {
                    value: first.value,
                    half: hypot(first.half, half),
                },
                Slope { value: 0.0, half },
                match told {
                    Some(_) => TiltBy::Told,
                    None => TiltBy::Assumed,
                },
            )
        }
    };
    let (own, lean) = match &behind {
        Some(behind) => {
            let (own, both) = (
                half_of(first, of(behind), 1.0),
                half_of(first, of(behind), -1.0),
            );
            let lean = Slope {
                value: both.value - tilt.value,
                half: hypot(both.half, tilt.half),
            };
            (own, lean)
        }
        None => (
            Slope {
                value: seen_here.value - told.value,
                half: hypot(seen_here.half, told.half),
            },
            told,
        ),
    };
    let here = match (&turned, &behind) {
        // The tilt is in it, and known only together with the lean.
        (None, Some(_)) => Slope {
            value: own.value + told.value,
            half: hypot(own.half, told.half),
        },
        _ => seen_here,
    };
    let sign = slope_sign(sample.big_end);
    let short = sample.coupled.then(|| on_diameter(here, sign));
    let nudge = short.zip(sample.end_radius).map(|(short, radius)| {
        // The slide followed the guide: what is left is what the guide is short of the sample.
        let now = Interval::new(-short.value, -short.low, -short.high);
        nudge(now, 0.0, 0.0, radius.si(), sample.nudged_end, side * sign)
    });
    if !sample.coupled {
        if sign * own.value < 0.0 {
            return Err(NotCopied::OtherEnd);
        }
        let others = [&turned, &behind].into_iter().flatten().map(of);
        let apart = |other: Slope| (other.value - first.value).abs() > 0.5 * own.value.abs();
        if others.into_iter().any(apart) {
            return Err(NotCopied::Apart);
        }
    }
    Ok(Copied {
        own: (!sample.coupled).then(|| {
            let taper = on_diameter(own, sign);
            Own {
                taper,
                forms: TaperForms::of(Taper::from_si(taper.value)),
                guide: on_diameter(here, sign),
            }
        }),
        short,
        lean: on_diameter(lean, sign),
        lean_seen: behind.is_some(),
        tilt: on_diameter(tilt, 1.0),
        tilt_by,
        bent: front.bent,
        nudge,
        travel: front.travel,
        steps: front.steps,
        readings: front.readings,
    })
}

fn none() -> Slope {
    Slope {
        value: 0.0,
        half: 0.0,
    }
}

/// Width of the range of a number.
fn range(known: &dyn Vary) -> f64 {
    let [low, _, high] = known.range_si();
    (high - low).abs()
}

fn on_diameter(slope: Slope, sign: f64) -> Interval {
    let value = 2.0 * sign * slope.value;
    let half = 2.0 * slope.half;
    Interval::new(value, value - half, value + half)
}
