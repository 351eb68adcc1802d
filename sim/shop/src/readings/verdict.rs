//! The taper against its tolerance, and what would settle it where the readings don't.

use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;
use schemars::JsonSchema;
use serde::Serialize;

use super::interval::Interval;
use super::line::{Fit, Point, Shape};
use super::spread::{Draws, Noise};
use crate::arithmetic::{hypot, min};
use crate::quantity::{INCH, Quantity, Units};
use crate::scenario::Band;
use crate::scenario::readings::ReadingSet;
use crate::variates::normal;

/// How the readings stand to the tolerance.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Verdict {
    /// The whole interval lies inside.
    Proven,
    /// The interval lies across a limit, or the guide gives no single taper.
    NotProven,
    /// The whole interval lies outside.
    Failed,
}

/// What one might do about readings that don't prove enough.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case", tag = "by")]
pub enum Remedy {
    /// The same readings over a longer travel.
    LongerTravel {
        /// Carriage travel, m.
        travel: f64,
    },
    /// An indicator in place of the readout.
    FinerIndicator {
        /// Its step, m of slide movement.
        step: f64,
    },
    /// Each reading taken so many times, backing off in between.
    MoreReadings {
        /// How many times.
        times: usize,
    },
}

/// Whether a remedy would settle it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Settles {
    /// What to do.
    #[serde(flatten)]
    pub remedy: Remedy,
    /// Half of the interval that it would leave, taper on diameter.
    pub leaves: f64,
    /// That is less than the distance to the limit.
    pub enough: bool,
}

/// The taper against its tolerance.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Judgement {
    /// Least taper allowed, on diameter.
    pub least: f64,
    /// Most taper allowed.
    pub most: f64,
    /// Proven, not proven, failed.
    pub verdict: Verdict,
    /// Chance that the taper lies within.
    pub chance: f64,
    /// Distance to the nearest limit, taper on diameter; negative outside.
    pub room: f64,
    /// The nearest limit is so close that no reading will settle it: nudge first.
    pub at_the_limit: bool,
    /// What would settle it, where it is not proven; each remedy's least, or its most in vain.
    pub settles: Vec<Settles>,
}

/// Nearer to a limit than this share of the band there is nothing to prove.
const AT_THE_LIMIT: f64 = 0.04;

impl Judgement {
    /// Of an interval against the band round the nominal.
    pub(super) fn new(
        taper: Interval,
        set: &ReadingSet,
        band: &Band<crate::quantity::Taper>,
    ) -> Self {
        let least = set.wanted.si() + band.lower.si();
        let most = set.wanted.si() + band.upper.si();
        let room = min(taper.value - least, most - taper.value);
        let verdict = if taper.low >= least && taper.high <= most {
            Verdict::Proven
        } else if taper.high < least || taper.low > most {
            Verdict::Failed
        } else {
            Verdict::NotProven
        };
        Self {
            least,
            most,
            verdict,
            chance: f64::NAN,
            room,
            at_the_limit: verdict == Verdict::NotProven
                && room.abs() < AT_THE_LIMIT * (most - least),
            settles: Vec::new(),
        }
    }
}

/// The readings that were used, to be taken again in another way.
pub(super) struct Plan<'a> {
    pub set: &'a ReadingSet,
    pub fit: &'a Fit,
    pub points: &'a [Point],
    /// Half the span of the carriage, m.
    pub half: f64,
    pub step: f64,
    /// Middle of the noise, m.
    pub sigma: f64,
    /// Standard deviation of its logarithm.
    pub sigma_log: f64,
    /// What the test cut adds to half the interval, taper on diameter.
    pub test_cut: f64,
}

impl Plan<'_> {
    /// Every remedy tried, by the same sums on made-up readings along the line that was found.
    pub fn settles(&self, room: f64) -> Vec<Settles> {
        let mut all = Vec::new();
        let span = 2.0 * self.half;
        let reach = self.set.travel.map_or(f64::INFINITY, |t| t.si());
        let longer: Vec<_> = [1.25, 1.5, 2.0, 3.0, 4.0]
            .into_iter()
            .filter(|k| k * span <= reach)
            .map(|k| (Remedy::LongerTravel { travel: k * span }, k, self.step, 1))
            .collect();
        let steps = match self.set.units {
            Units::Inch => [0.0005, 0.0001, 0.000_05].map(|s| s * INCH),
            Units::Metric => [0.01, 0.002, 0.001].map(|s| s * 1e-3),
        };
        let finer: Vec<_> = steps
            .into_iter()
            .filter(|s| *s < 0.99 * self.step)
            .map(|step| (Remedy::FinerIndicator { step }, 1.0, step, 1))
            .collect();
        let more: Vec<_> = [2, 3, 5]
            .into_iter()
            .map(|times| (Remedy::MoreReadings { times }, 1.0, self.step, times))
            .collect();
        for tries in [longer, finer, more] {
            let mut last = None;
            for (remedy, longer, step, times) in tries {
                let leaves = self.leaves(longer, step, times);
                let enough = leaves < room.abs();
                last = Some(Settles {
                    remedy,
                    leaves,
                    enough,
                });
                if enough {
                    break;
                }
            }
            all.extend(last);
        }
        all.sort_by_key(|s| !s.enough);
        all
    }

    /// Half of the interval of the taper on diameter that such readings would leave: the middle of
    /// five sets.
    fn leaves(&self, longer: f64, step: f64, times: usize) -> f64 {
        let shape = Shape {
            extra: super::line::Extra::None,
            ..self.fit.shape
        };
        let mut halves: Vec<f64> = (0..5)
            .filter_map(|seed| {
                let mut rng = ChaCha8Rng::seed_from_u64(seed);
                let mut points = Vec::new();
                for point in self.points {
                    for _ in 0..times {
                        let far = Point {
                            along: point.along * longer,
                            ..*point
                        };
                        let noise = normal(&mut rng);
                        let place = self.fit.value(&far) + self.sigma * noise;
                        let slide = if step > 0.0 {
                            (place / step).round() * step
                        } else {
                            place
                        };
                        points.push(Point { slide, ..far });
                    }
                }
                let fit = Fit::through(shape, &points)?;
                // The noise is as well known as these readings let it be; the next ones start
                // from that.
                let noise = Noise::Told(self.sigma, self.sigma_log);
                let draws = Draws::few(&fit, &points, step, noise, seed);
                let tapers: Vec<f64> = draws
                    .lines
                    .iter()
                    .map(|line| 2.0 * line[1] / self.half)
                    .collect();
                let [low, _, high] = draws.interval(&tapers);
                Some(hypot((high - low) / 2.0, self.test_cut))
            })
            .collect();
        halves.sort_by(f64::total_cmp);
        halves
            .get(halves.len() / 2)
            .copied()
            .unwrap_or(f64::INFINITY)
    }
}
