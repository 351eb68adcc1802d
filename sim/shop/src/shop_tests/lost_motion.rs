//! Tests 1 and 2: what the carriage loses on reversal, parted into foot and slack.
//!
//! `lost = G / slope + foot`, with `G` all that the slide loses across the bed: slacks and
//! wind-up. Two tapers make two equations; one leaves them mixed.

use super::repeats::{Estimate, of_groups, of_repeats};
use crate::arithmetic::{max, min, powi};

/// Lost motion at one taper.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AtTaper<'a> {
    /// Change of radius over length.
    pub slope: f64,
    /// Carriage travels lost, m.
    pub lost: &'a [f64],
}

/// What reversals tell.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Parted {
    /// All that is lost across the bed, m along the cross-slide: slacks and wind-up.
    pub across: Estimate,
    /// Slack of foot and rod, m along the bed.
    pub foot: Estimate,
}

/// Tapers nearer to each other than this, as a ratio of slopes, part nothing.
pub const TOO_NEAR: f64 = 1.25;

/// Parts foot and slack by the least-squares line of lost motion over `1 / slope`: its rise is
/// what is lost across the bed, what it has at zero is the foot. `None` unless there are two
/// tapers far enough apart.
///
/// The interval is that of a sum of independent group means ([`of_groups`]), since scatter grows
/// as the taper gets slower.
pub fn parted(readings: &[AtTaper<'_>], step: f64) -> Option<Parted> {
    let readings: Vec<_> = readings.iter().filter(|r| !r.lost.is_empty()).collect();
    let steepest = readings.iter().map(|r| r.slope).fold(0.0, max);
    let slowest = readings.iter().map(|r| r.slope).fold(f64::INFINITY, min);
    if readings.len() < 2 || steepest < TOO_NEAR * slowest {
        return None;
    }
    let count: f64 = readings.iter().map(|r| r.lost.len() as f64).sum();
    let mean = readings
        .iter()
        .map(|r| r.lost.len() as f64 / r.slope)
        .sum::<f64>()
        / count;
    let spread: f64 = readings
        .iter()
        .map(|r| r.lost.len() as f64 * powi(1.0 / r.slope - mean, 2))
        .sum();
    let rise = |r: &AtTaper<'_>| r.lost.len() as f64 * (1.0 / r.slope - mean) / spread;
    let across: Vec<_> = readings.iter().map(|r| (rise(r), r.lost)).collect();
    let foot: Vec<_> = readings
        .iter()
        .map(|r| (r.lost.len() as f64 / count - mean * rise(r), r.lost))
        .collect();
    Some(Parted {
        across: of_groups(&across, step),
        foot: of_groups(&foot, step),
    })
}

/// What is lost across the bed where the foot's share is known or assumed: `(lost - foot) slope`.
pub fn across(reading: AtTaper<'_>, step: f64, foot: Estimate) -> Option<Estimate> {
    let lost = of_repeats(reading.lost, step)?;
    Some(lost.less(foot).times(reading.slope))
}

#[cfg(test)]
mod tests {
    use super::*;

    const INCH: f64 = 0.0254;

    #[test]
    fn one_inch_lost_with_a_tenth_at_the_foot_is_75_thou_of_slack() {
        // Common practice, no source: slack = (lost - foot) taper / 24.
        let lost = [INCH; 3];
        let reading = AtTaper {
            slope: 2.0 / 24.0,
            lost: &lost,
        };
        let told = across(reading, 0.0, Estimate::even(0.1 * INCH, 0.0)).expect("readings");
        assert!((told.middle / INCH - 0.075).abs() < 1e-12);
    }

    #[test]
    fn two_tapers_part_the_same_inch() {
        // 0.075 in at 2 in/ft is 0.9 in, at 1/2 in/ft 3.6 in; 0.10 in at the foot each time.
        let (fast, slow) = ([INCH; 3], [3.7 * INCH; 3]);
        let readings = [
            AtTaper {
                slope: 2.0 / 24.0,
                lost: &fast,
            },
            AtTaper {
                slope: 0.5 / 24.0,
                lost: &slow,
            },
        ];
        let told = parted(&readings, 0.01 * INCH).expect("two tapers");
        assert!((told.across.middle / INCH - 0.075).abs() < 1e-9);
        assert!((told.foot.middle / INCH - 0.100).abs() < 1e-9);
        assert!(told.foot.half() > 0.0 && told.foot.half() < 0.02 * INCH);
        assert!(parted(&readings[..1], 0.0).is_none());
    }
}
