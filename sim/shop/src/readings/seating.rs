//! Whether the slide followed at all: stretches of readings over which it stood in its slack.
//!
//! A run is what was read one after the other in one direction. Seated from its first reading, the
//! slide moves `slope` times the carriage's travel; what it moves less is travel over which it
//! stood still. Where that leaves fewer than two places on the seat, nothing in the run tells
//! slack from taper, and a line through it can be wrong and look right: such a run is left out and
//! said so. The slope is the steepest that the later half of any run shows, for slack is taken up
//! early in a run. A misread last reading looks the same and is as good a reason to read again.

use crate::quantity::INCH;
use schemars::JsonSchema;
use serde::Serialize;

use crate::arithmetic::{clamp, max, powi};
use crate::scenario::readings::{Reading, ReadingSet};
use crate::setup::Feed;

/// Standing still for less than this share of the run is told by the readings themselves.
const CLOSE: f64 = 0.5;
/// Standing still for less than this share of the run, or these steps, is noise.
const SEEN: (f64, f64) = (0.05, 3.0);
/// How far past to run, over what was seen lost, and more (common practice, no source).
const PAST: (f64, f64) = (1.25, 0.125 * INCH);

/// A run over which the slide hardly followed.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Unseated {
    /// Way of the carriage.
    pub feed: Feed,
    /// Rows of the run, first and last.
    pub rows: (usize, usize),
    /// Carriage travel read, m.
    pub travel: f64,
    /// Carriage travel over which the slide stood still, m: lost motion is that at least.
    pub stood: f64,
    /// How far past the first place of the run to go before turning back to it, m.
    pub run_past: f64,
    /// Fewer than two places are on the seat: the run is left out.
    pub left_out: bool,
}

/// The runs of readings in which lost motion comes near to the travel.
pub(super) fn unseated(set: &ReadingSet) -> Vec<Unseated> {
    let runs: Vec<&[Reading]> = set
        .readings
        .chunk_by(|a, b| a.feed == b.feed && (b.carriage - a.carriage) * set.way(a) >= 0.0)
        .collect();
    if runs.len() < 2 {
        return Vec::new();
    }
    let steepest = runs
        .iter()
        .filter_map(|run| slope(&run[run.len() / 2 - usize::from(run.len() == 3)..]).or(slope(run)))
        .max_by(|a, b| a.abs().total_cmp(&b.abs()));
    let Some(steepest) = steepest.filter(|slope| slope.abs() > 1e-6) else {
        return Vec::new();
    };
    let mut found = Vec::new();
    for run in runs {
        let (Some(first), Some(last)) = (run.first(), run.last()) else {
            continue;
        };
        let travel = (last.carriage - first.carriage).abs();
        let followed = (last.slide - first.slide) / (last.carriage - first.carriage) / steepest;
        let stood = travel * clamp(1.0 - followed, 0.0, 1.0);
        let noise = SEEN.1 * set.step / steepest.abs();
        if travel <= 0.0 || stood < max(SEEN.0 * travel, noise) {
            continue;
        }
        let mut seated: Vec<f64> = run
            .iter()
            .map(|reading| (reading.carriage - first.carriage).abs())
            .filter(|on| *on >= stood - noise)
            .collect();
        seated.dedup_by(|a, b| (*a - *b).abs() < 1e-6);
        let left_out = seated.len() < 2;
        if left_out || stood > CLOSE * travel {
            found.push(Unseated {
                feed: first.feed,
                rows: (first.row, last.row),
                travel,
                stood,
                run_past: PAST.0 * stood + PAST.1,
                left_out,
            });
        }
    }
    found
}

/// Slide movement over carriage travel, by least squares; none at one place.
fn slope(run: &[Reading]) -> Option<f64> {
    let n = run.len() as f64;
    let mean = |of: fn(&Reading) -> f64| run.iter().map(of).sum::<f64>() / n;
    let (z, x) = (mean(|r| r.carriage), mean(|r| r.slide));
    let square: f64 = run.iter().map(|r| powi(r.carriage - z, 2)).sum();
    let cross: f64 = run.iter().map(|r| (r.carriage - z) * (r.slide - x)).sum();
    (square > 1e-12).then(|| cross / square)
}
