//! Which readings count: seated ones on the line; not those before the slack was taken up, nor
//! wild ones.

use super::guide::{self, Suspicion};
use super::line::{Fit, Point, Shape};
use super::wild;
use crate::arithmetic::max;
use crate::scenario::readings::ReadingSet;
use schemars::JsonSchema;
use serde::Serialize;

/// Which readings count, by the straight line: wild ones out, and those on which the slide had
/// not yet followed.
pub(super) fn first_look(
    set: &ReadingSet,
    points: &[Point],
    shape: Shape,
    step: f64,
) -> Option<Vec<Use>> {
    let clean = wild::clean(shape, points, step)?;
    let fit = Fit::through(
        shape,
        points
            .iter()
            .zip(&clean)
            .filter(|(_, c)| **c)
            .map(|(p, _)| p),
    )?;
    let since = since_reversal(set);
    let sigma = fit.variance(step).sqrt();
    let slope = fit.at[1] / half_span(set);
    let gap = if shape.gap { fit.at[2] } else { 0.0 };
    let lost = gap / slope;
    let mut taken: Vec<Use> = points
        .iter()
        .zip(&clean)
        .zip(&since)
        .map(|((point, clean), since)| {
            if *clean {
                return Use::Used;
            }
            // Not yet taken up, the slide lags toward the other direction's line.
            let lags = fit.residual(point) * point.way * slope.signum();
            let short = if shape.gap {
                *since < lost && lags < gap.abs() + 4.0 * sigma
            } else {
                *since < 1e-9
            };
            if lags > 0.0 && short {
                Use::NotTakenUp
            } else {
                Use::Wild
            }
        })
        .collect();
    if shape.gap && lost > 0.0 {
        let doubtful: Vec<usize> = (0..points.len())
            .filter(|&i| taken[i] == Use::Used)
            .filter(|&i| {
                let lag = slope.abs() * (lost - since[i]) / max(sigma, 1e-12);
                (0.3..3.0).contains(&lag)
            })
            .collect();
        let mut without = taken.clone();
        for index in doubtful {
            without[index] = Use::Doubtful;
        }
        // Not where too little would be left to see the noise.
        if fit_of(shape, points, &without).is_some_and(|fit| fit.spare() >= 3) {
            taken = without;
        }
    }
    Some(taken)
}

fn highest(values: impl Iterator<Item = f64>) -> f64 {
    values.fold(f64::NEG_INFINITY, max)
}

fn half_span(set: &ReadingSet) -> f64 {
    let places = || set.readings.iter().map(|r| r.carriage);
    (highest(places()) + highest(places().map(|z| -z))) / 2.0
}

/// Carriage travel in its direction that each reading is known to have behind it since the
/// carriage turned; nothing at the start, at a repeat, and where it must have turned unseen.
fn since_reversal(set: &ReadingSet) -> Vec<f64> {
    let mut since = Vec::with_capacity(set.readings.len());
    for (index, reading) in set.readings.iter().enumerate() {
        let travel = match index.checked_sub(1).map(|before| &set.readings[before]) {
            None => 0.0,
            Some(before) => {
                let on = (reading.carriage - before.carriage) * set.way(reading);
                if on <= 0.0 {
                    0.0
                } else if before.feed == reading.feed {
                    since[index - 1] + on
                } else {
                    on
                }
            }
        };
        since.push(travel);
    }
    since
}

/// Tests the guide; readings that lie on its curve are not wild after all.
pub(super) fn suspicions(
    points: &[Point],
    taken: &mut [Use],
    gap: bool,
    step: f64,
    scale: guide::Scale,
) -> Vec<Suspicion> {
    let seated: Vec<usize> = (0..points.len())
        .filter(|&i| matches!(taken[i], Use::Used | Use::Wild))
        .collect();
    let of: Vec<Point> = seated.iter().map(|&i| points[i]).collect();
    let inside: Vec<bool> = seated.iter().map(|&i| taken[i] == Use::Used).collect();
    guide::suspect(&of, &inside, gap, step, scale)
        .into_iter()
        .map(|found| {
            for (&index, inside) in seated.iter().zip(&found.inside) {
                if *inside {
                    taken[index] = Use::Used;
                }
            }
            found.suspicion
        })
        .collect()
}

/// What became of a reading.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Use {
    /// It counts.
    Used,
    /// It lies far off for no reason that the readings show.
    Wild,
    /// It was taken before the slide followed, after a reversal or at the start.
    NotTakenUp,
    /// It may have been taken before the slide followed; too near to tell, so it doesn't count.
    Doubtful,
}

pub(super) fn chosen<'p>(points: &'p [Point], taken: &'p [Use]) -> impl Iterator<Item = &'p Point> {
    points
        .iter()
        .zip(taken)
        .filter(|(_, taken)| **taken == Use::Used)
        .map(|(point, _)| point)
}

pub(super) fn fit_of(shape: Shape, points: &[Point], taken: &[Use]) -> Option<Fit> {
    Fit::through(shape, chosen(points, taken))
}
