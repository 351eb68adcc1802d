//! Draws before and after as ranges: below what 2.5, 50 and 97.5 of 100 of a number's values lie.

use super::pieces::Pieces;
use super::population::State;
use crate::arithmetic::{max, powi};
use crate::spread::uniform_at;
use crate::study::Part;
use crate::weighing::{Number, SURE, WORTH_TELLING};

/// Ends and middle of a range, as shares.
const SHARES: [f64; 3] = [0.025, 0.5, 0.975];

/// Draws with their weights, all together one, and how many they count for.
pub(super) struct Weighed<'a> {
    pub states: &'a [State],
    pub weights: &'a [f64],
    pub worth: f64,
}

/// Values of which so much of the weight lies below, between the two nearest.
pub(super) fn shares(values: &[f64], weights: &[f64]) -> [f64; 3] {
    let mut order: Vec<usize> = (0..values.len()).collect();
    order.sort_by(|a, b| values[*a].total_cmp(&values[*b]));
    SHARES.map(|share| {
        // Half of a draw's weight lies below it.
        let (mut below, mut last) = (0.0, None);
        for &i in &order {
            let at = below + 0.5 * weights[i];
            if at >= share {
                return last.map_or(values[i], |(before, value): (f64, f64)| {
                    value + (share - before) / (at - before) * (values[i] - value)
                });
            }
            below += weights[i];
            last = Some((at, values[i]));
        }
        last.map_or(f64::NAN, |(_, value)| value)
    })
}

fn mean_and_spread(of: &[f64], weights: &[f64]) -> (f64, f64) {
    let all = || of.iter().zip(weights);
    let mean: f64 = all().map(|(x, w)| w * x).sum();
    let variance: f64 = all().map(|(x, w)| w * powi(x - mean, 2)).sum();
    (mean, variance.sqrt())
}

/// Every number that is in doubt before and after, those of the lathe and of the first job, each with
/// what the draws give it. What the draws don't tell from luck keeps its range to the bit.
pub(super) fn numbers(
    pieces: &Pieces<'_>,
    before: &Weighed<'_>,
    after: &Weighed<'_>,
) -> (Vec<Number>, Vec<Vec<f64>>) {
    let study = pieces.first();
    let [was, is] = [before, after].map(|of| -> Vec<Vec<f64>> {
        of.states
            .iter()
            .map(|state| pieces.scores(0, state))
            .collect()
    });
    let nothing_told = before.states == after.states && before.weights == after.weights;
    let error = (1.0 / before.worth + 1.0 / after.worth).sqrt();
    let mut scenario = pieces.scenario().clone();
    let parameters = scenario.parameters_mut();
    let quantities = study.quantities().iter().zip(&parameters).enumerate();
    quantities
        .filter(|(_, (quantity, _))| quantity.varies() && quantity.part != Part::Hand)
        .map(|(i, (quantity, parameter))| {
            let of = |scored: &[Vec<f64>]| -> Vec<f64> { scored.iter().map(|s| s[i]).collect() };
            let (was, is) = (of(&was), of(&is));
            let (mean, spread) = mean_and_spread(&was, before.weights);
            let (moved, kept) = mean_and_spread(&is, after.weights);
            let changed = (moved - mean).abs() > max(SURE * error, WORTH_TELLING)
                || (1.0 - kept / spread).abs() > max(SURE * error / 2f64.sqrt(), WORTH_TELLING);
            let changed = changed && !nothing_told;
            let range = parameter.value.range_si();
            let value = |score: f64| quantity.distribution.quantile(uniform_at(score));
            let number = Number {
                key: parameter.key,
                words: parameter.words,
                dimension: quantity.dimension,
                before: range,
                after: if changed {
                    shares(&is, after.weights).map(value)
                } else {
                    range
                },
                changed,
                of_lathe: parameter.row.is_of_lathe(),
            };
            (number, is.into_iter().map(value).collect())
        })
        .unzip()
}
