//! The cheapest look that tells the two likeliest stories apart.

use crate::arithmetic::{hypot, max};

use schemars::JsonSchema;
use serde::Serialize;

use super::weigh::deviation;
use super::{Cause, Cut, Diagnosis, Gauge};

/// Means of two stories this many deviations apart are told apart by one reading.
const APART: f64 = 3.0;

/// A look worth taking.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Look {
    /// Between these.
    pub between: (Cause, Cause),
    /// What to look at, in the shop's words.
    pub what: &'static str,
    /// Minutes it takes.
    pub minutes: f64,
    /// The reading of the piece that it is; `None` for a test at the lathe.
    pub gauge: Option<Gauge>,
}

/// The cheapest of: a reading of the piece not taken yet in which the two stories' cuts lie far
/// apart, and the tests that show one of them by itself. `None` where one story is left.
pub fn look(diagnosis: &Diagnosis, cuts: &[Cut]) -> Option<Look> {
    let [first, second, ..] = diagnosis.causes.as_slice() else {
        return None;
    };
    let between = (first.cause, second.cause);
    let readings = Gauge::ALL
        .into_iter()
        .enumerate()
        .filter_map(|(place, gauge)| {
            if diagnosis.readings.contains(&gauge) {
                return None;
            }
            let of = |cause: Cause| {
                let values = || {
                    cuts.iter()
                        .filter(move |cut| cut.cause == cause)
                        .map(move |cut| cut.outcomes[place])
                };
                let n = values().count().max(1) as f64;
                (values().sum::<f64>() / n, deviation(values()))
            };
            let (one, other) = (of(between.0), of(between.1));
            let apart = (one.0 - other.0).abs() / max(hypot(one.1, other.1), 1e-12);
            (apart > APART).then_some(Look {
                between,
                what: gauge.words(),
                minutes: gauge.minutes(),
                gauge: Some(gauge),
            })
        });
    let tests = [between.0, between.1].into_iter().map(|cause| {
        let (what, minutes) = cause.direct_look();
        Look {
            between,
            what,
            minutes,
            gauge: None,
        }
    });
    readings
        .chain(tests)
        .min_by(|a, b| a.minutes.total_cmp(&b.minutes))
}
