//! The ends of the finished work: the marks that entry and exit leave, and where a gauge rests.

use crate::arithmetic::{max, min};
use crate::record::{EndMark, GaugeRests};

/// Over this length a mark at an end is told from the waves of the body, m.
const WINDOW: f64 = 0.5e-3;
/// A mark reaches at most so far, and so much of the length.
const LONGEST: (f64, f64) = (12e-3, 0.2);
/// Heights that change along the window by less than this are of the body, m.
const LEAST_CHANGE: f64 = 0.4e-6;
/// The same against what the body itself does nearly everywhere.
const OF_BODY: f64 = 2.0;
/// No gauge shows a mark of less than this, m (some four hundredths of a thou).
const SHOWS: f64 = 1e-6;
/// Edges are broken before anything is gauged, m (some hundredth of an inch; a guess).
const BROKEN: f64 = 0.25e-3;

/// An end of the work.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum End {
    /// The one toward the headstock.
    Low,
    /// The other.
    High,
}

impl End {
    /// Place in a row of so many, counted from this end.
    fn place(self, count: usize, from_end: usize) -> usize {
        match self {
            Self::Low => from_end,
            Self::High => count - 1 - from_end,
        }
    }
}

/// How far a mark reaches.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Reach {
    end: End,
    /// From the end, m; 0 where nothing tells it from the body.
    pub(super) length: f64,
}

/// How far from an end the heights change faster than along the body.
///
/// What tells them apart is how much the height changes over half a millimetre: entering and
/// leaving, the force comes and goes within a few turns, while along the body it follows what the
/// work does. A slide that floats settles no faster than the guide recedes, so a mark may be long.
pub(super) fn mark(mean: &[f64], spacing: f64, end: End, feed: f64) -> Reach {
    let count = mean.len();
    let window = ((WINDOW / spacing).ceil() as usize).max(2);
    let length = spacing * (count - 1) as f64;
    let reach = (min(LONGEST.0, LONGEST.1 * length) / spacing) as usize;
    let none = Reach { end, length: 0.0 };
    if reach <= window || count < 3 * reach {
        return none;
    }
    let mut usual: Vec<f64> = (reach..count - reach - window)
        .map(|i| (mean[i + window] - mean[i]).abs())
        .collect();
    let nearly_all = usual.len() * 19 / 20;
    let (_, usual, _) = usual.select_nth_unstable_by(nearly_all, f64::total_cmp);
    let limit = max(OF_BODY * *usual, LEAST_CHANGE);
    let at = |i: usize| mean[end.place(count, i)];
    let mut last = None;
    let mut i = skipped(spacing, feed);
    while i + window <= reach && i <= last.map_or(i, |last| last + window) {
        if (at(i + window) - at(i)).abs() > limit {
            last = Some(i);
        }
        i += 1;
    }
    let length = last.map_or(0.0, |last| spacing * (last + window) as f64);
    Reach { end, length }
}

impl Reach {
    /// The mark as it stands against the body, where one would notice it.
    pub(super) fn stands_from(
        self,
        mean: &[f64],
        spacing: f64,
        feed: f64,
        body: impl Fn(f64) -> f64,
    ) -> Option<EndMark> {
        let places = skipped(spacing, feed)..=(self.length / spacing) as usize;
        let stands = places.map(|i| {
            let place = self.end.place(mean.len(), i);
            let z = spacing * place as f64;
            (mean[place] - body(z), z)
        });
        let (depth, z) = stands.max_by(|a, b| a.0.abs().total_cmp(&b.0.abs()))?;
        (self.length > 0.0 && depth.abs() > SHOWS).then_some(EndMark {
            depth,
            z,
            length: self.length,
        })
    }
}

/// Places at an end that nothing is gauged on.
fn skipped(spacing: f64, feed: f64) -> usize {
    (max(BROKEN, feed) / spacing).ceil() as usize
}

/// Where a plug or ring of the taper that was aimed at comes to rest: on what stands highest from
/// the cut, be it a mark or the body.
pub(super) fn gauge_rests(mean: &[f64], spacing: f64, feed: f64) -> GaugeRests {
    let skip = skipped(spacing, feed).min(mean.len() / 4);
    (skip..mean.len() - skip)
        .map(|i| GaugeRests {
            height: mean[i],
            z: spacing * i as f64,
        })
        .min_by(|a, b| a.height.total_cmp(&b.height))
        .unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    const SPACING: f64 = 0.1e-3;
    const FEED: f64 = 0.1e-3;

    /// Waves of this height some 8 mm apart, and a mark that dies away over 1 mm at the low end.
    fn profile(waves: f64, depth: f64) -> Vec<f64> {
        (0..=600)
            .map(|i| {
                let z = SPACING * f64::from(i);
                0.5 * waves * (z / 8e-3 * std::f64::consts::TAU).sin() + depth * (-z / 1e-3).exp()
            })
            .collect()
    }

    #[test]
    fn waves_are_no_mark() {
        for waves in [0.0, 1e-6, 30e-6] {
            let mean = profile(waves, 0.0);
            for end in [End::Low, End::High] {
                assert_eq!(mark(&mean, SPACING, end, FEED).length, 0.0, "{waves}");
            }
        }
    }

    #[test]
    fn a_mark_is_told_with_its_depth_and_place_at_its_own_end() {
        for (waves, depth) in [(0.0, 40e-6), (4e-6, 40e-6), (0.0, -15e-6)] {
            let mean = profile(waves, depth);
            let reach = mark(&mean, SPACING, End::Low, FEED);
            assert!(reach.length > 1e-3 && reach.length < 6e-3, "{reach:?}");
            let found = reach
                .stands_from(&mean, SPACING, FEED, |_| 0.0)
                .expect("it shows");
            // The edge is broken by a quarter of a millimetre.
            let there = depth * (-found.z / 1e-3).exp();
            assert!((found.depth - there).abs() <= 0.5 * waves, "{found:?}");
            assert!((found.z - 0.3e-3).abs() < 1e-9, "{found:?}");
            assert_eq!(mark(&mean, SPACING, End::High, FEED).length, 0.0);
            let turned: Vec<f64> = mean.iter().rev().copied().collect();
            let other = mark(&turned, SPACING, End::High, FEED);
            assert_eq!(other.length, reach.length);
        }
    }

    #[test]
    fn a_gauge_rests_on_what_stands_highest() {
        let proud = gauge_rests(&profile(4e-6, -15e-6), SPACING, FEED);
        assert!(proud.z < 0.5e-3 && proud.height < -9e-6, "{proud:?}");
        let dug = gauge_rests(&profile(4e-6, 40e-6), SPACING, FEED);
        assert!(
            dug.z > 5e-3 && (dug.height + 2e-6).abs() < 0.1e-6,
            "{dug:?}"
        );
    }
}
