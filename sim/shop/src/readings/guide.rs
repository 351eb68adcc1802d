//! Guides that are not straight, as residuals show them: curved, climbing, loose at one end.
//!
//! Each is one more unknown in the line, tested by Student's t and believed when it is larger
//! than a readout step besides: steps alone can draw a small bow.

use schemars::JsonSchema;
use serde::Serialize;

use super::interval::Interval;
use super::line::{Extra, Fit, Point, Shape};
use super::wild::{self, clean};
use crate::scenario::End;

/// Chance to suspect a good guide, for each kind of fault.
const FALSE_ALARM: f64 = 0.01;

/// A value at the two ends of the travel that was read.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Ends {
    /// Carriage nearest the headstock.
    pub headstock: f64,
    /// Carriage nearest the tailstock.
    pub tailstock: f64,
}

/// What is wrong with the guide, by the readings.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case", tag = "guide")]
pub enum Suspicion {
    /// Bent or worn hollow.
    Curved {
        /// Height of the bow over the travel read, m of slide movement.
        bow: Interval,
        /// Taper on diameter at either end.
        taper: Ends,
    },
    /// Slack changes along it: it climbs, or it is worn in one place.
    Climbing {
        /// Lost motion at either end, m of carriage travel.
        lost: Ends,
    },
    /// Two straight parts: one end gives.
    LooseEnd {
        /// Carriage reading where it breaks, m.
        at: f64,
        /// The end of the guide with the shorter part.
        end: End,
        /// How far the break stands off the straight line, m of slide movement.
        off: Interval,
        /// Taper on diameter at either end.
        taper: Ends,
    },
}

/// A guide's fault with the readings that lie on its line.
pub(super) struct Found {
    pub suspicion: Suspicion,
    /// Which points lie on the curve.
    pub inside: Vec<bool>,
}

/// Tests for each fault. `points` are the seated readings, `inside` those on the straight line.
pub(super) fn suspect(
    points: &[Point],
    inside: &[bool],
    gap: bool,
    step: f64,
    scale: Scale,
) -> Vec<Found> {
    let mut places: Vec<f64> = points.iter().map(|p| p.along).collect();
    places.sort_by(f64::total_cmp);
    places.dedup_by(|a, b| (*a - *b).abs() < 1e-6);
    if places.len() < 4 {
        return Vec::new();
    }
    let test = |extra: Extra, tried: usize| -> Option<(Fit, Vec<bool>, Interval, f64)> {
        let shape = Shape { gap, extra };
        let straight = inside.iter().filter(|i| **i).count();
        let kept = clean(shape, points, step)?;
        let count = kept.iter().filter(|i| **i).count();
        let kept = match count.checked_sub(straight) {
            // A curve through one wild reading more is no better than that reading being wild.
            Some(more) if more >= 2 => kept,
            _ => inside.to_vec(),
        };
        let on = || {
            points
                .iter()
                .zip(&kept)
                .filter(|(_, k)| **k)
                .map(|(p, _)| p)
        };
        let fit = Fit::through(shape, on())?;
        if fit.spare() < 2 {
            return None;
        }
        let last = shape.unknowns() - 1;
        let error = (fit.variance(step) * fit.inverse[(last, last)]).sqrt();
        let t = fit.at[last] / error;
        let size = extra_height(extra);
        let wide = wild::student(0.05, fit.spare()) * error;
        let height = Interval::new(
            fit.at[last] * size,
            (fit.at[last] - wide) * size,
            (fit.at[last] + wide) * size,
        );
        let believed = t.abs() > wild::student(FALSE_ALARM / tried as f64, fit.spare())
            && height.value.abs() > step;
        let worth = fit.squares / (fit.spare() as f64 - if tried > 1 { 0.5 } else { 0.0 });
        believed.then_some((fit, kept, height, worth))
    };
    let mut found = Vec::new();
    let knots = &places[1..places.len() - 1];
    let enough = |at: f64| {
        let kept = |beyond: bool| {
            let side = |p: &&Point| (p.along > at + 1e-6) == beyond && (p.along - at).abs() > 1e-6;
            points.iter().filter(side).count()
        };
        kept(true) >= 2 && kept(false) >= 2
    };
    let knots: Vec<f64> = knots.iter().copied().filter(|k| enough(*k)).collect();
    let kink = knots
        .iter()
        .filter_map(|&at| test(Extra::Kink(at), knots.len()).map(|f| (at, f)))
        .min_by(|a, b| a.1.3.total_cmp(&b.1.3));
    let bow = test(Extra::Bow, 1);
    let broken = match (&bow, &kink) {
        (Some(bow), Some((_, kink))) => kink.3 < bow.3,
        (None, Some(_)) => true,
        _ => false,
    };
    if let (true, Some((at, (fit, kept, off, _)))) = (broken, kink) {
        let (low, high) = (fit.at[1], fit.at[1] + fit.at[fit.at.len() - 1]);
        let tail_side = (at > 0.0) == (scale.carriage_sign > 0.0);
        found.push(Found {
            suspicion: Suspicion::LooseEnd {
                at: scale.middle + at * scale.half,
                end: if tail_side {
                    End::Tailstock
                } else {
                    End::Headstock
                },
                off,
                taper: scale.ends(scale.taper(low), scale.taper(high)),
            },
            inside: kept,
        });
    } else if let Some((fit, kept, bow, _)) = bow {
        let c = fit.at[fit.at.len() - 1];
        let (low, high) = (fit.at[1] - 2.0 * c, fit.at[1] + 2.0 * c);
        found.push(Found {
            suspicion: Suspicion::Curved {
                bow,
                taper: scale.ends(scale.taper(low), scale.taper(high)),
            },
            inside: kept,
        });
    }
    if gap && let Some((fit, kept, ..)) = test(Extra::Climb, 1) {
        let slope = fit.at[1] / scale.half;
        let change = fit.at[fit.at.len() - 1];
        let lost = |way: f64| (fit.at[2] + way * change) / slope;
        found.push(Found {
            suspicion: Suspicion::Climbing {
                lost: scale.ends(lost(-1.0), lost(1.0)),
            },
            inside: kept,
        });
    }
    found
}

/// Height over the straight chord of an extra with coefficient one.
fn extra_height(extra: Extra) -> f64 {
    match extra {
        // From end to end the gap changes by twice the coefficient.
        Extra::Climb => 2.0,
        Extra::Kink(at) => (1.0 - at) * (1.0 + at) / 2.0,
        Extra::Bow | Extra::None => 1.0,
    }
}

/// From the fit's coordinates back to carriage and taper.
#[derive(Clone, Copy)]
pub(super) struct Scale {
    /// Carriage reading in the middle, m.
    pub middle: f64,
    /// Half the span, m.
    pub half: f64,
    /// Sign that makes the taper positive.
    pub sign: f64,
    /// +1 where the carriage's numbers grow toward the tailstock.
    pub carriage_sign: f64,
}

impl Suspicion {
    /// Whether such a guide gives no single taper.
    pub fn bends(&self) -> bool {
        !matches!(self, Self::Climbing { .. })
    }
}

impl Scale {
    /// Taper on diameter from a slope of the fit.
    pub fn taper(&self, slope: f64) -> f64 {
        2.0 * self.sign * slope / self.half
    }

    fn ends(&self, low: f64, high: f64) -> Ends {
        if self.carriage_sign > 0.0 {
            Ends {
                headstock: low,
                tailstock: high,
            }
        } else {
            Ends {
                headstock: high,
                tailstock: low,
            }
        }
    }
}
