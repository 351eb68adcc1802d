//! The cheap rule beside the trials: uncertainties carried to first order (JCGM 100), and whether
//! that would have done (JCGM 101, 8).

use schemars::JsonSchema;
use serde::Serialize;

use super::{Drawn, Study, WayOutlook, cut_batch, luck};
use crate::arithmetic::clamp;
use crate::spread::{
    Coverage, FirstOrder, FirstOrderFault, Input, Interval, Validation, first_order,
};

/// Half step of the central difference, in standard uncertainties (JCGM 100, 5.1.3, note 2).
const STEP: f64 = 1.0;
/// Shares that no value of an input is taken outside of: a slack less than none is none.
const TAIL: f64 = 1e-6;

/// One output to first order, held against the trials.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Checked {
    /// To first order.
    pub first_order: FirstOrder,
    /// Its interval, of the trials' probability.
    pub interval: Interval,
    /// Against the trials; none if these don't vary.
    pub validation: Option<Validation>,
}

/// Taper, size and waves of a way to first order, and whether each agrees with the trials within
/// half a unit of one digit of their uncertainty.
///
/// The piece's luck is that of the seed in every run, so what hard spots alone spread is not in
/// it; a skewed input goes in by its mean and deviation, as the rule has it.
///
/// # Errors
/// An input without a standard deviation: the mean of three readings has none.
pub fn check_first_order(
    study: &Study,
    way: usize,
    outlook: &WayOutlook,
    probability: f64,
) -> Result<Vec<Checked>, FirstOrderFault> {
    let inputs: Vec<Input> = study
        .quantities
        .iter()
        .map(|quantity| Input {
            estimate: quantity.distribution.mean(),
            standard_uncertainty: quantity.distribution.standard_deviation(),
            degrees_of_freedom: f64::INFINITY,
        })
        .collect();
    let found = first_order(&inputs, Some(&correlation(study)), STEP, |values| {
        let mut scenario = study.scenario.clone();
        for ((parameter, quantity), value) in scenario
            .parameters_mut()
            .into_iter()
            .zip(&study.quantities)
            .zip(values)
        {
            let of = |share| quantity.distribution.quantile(share);
            parameter.set_si(&mut scenario, clamp(*value, of(TAIL), of(1.0 - TAIL)));
        }
        let drawn = Drawn {
            scenario,
            luck: study.seed(),
            values: Vec::new(),
        };
        let way = &study.ways[way];
        let luck = luck(&drawn, way);
        cut_batch(&[drawn], way, &[luck])
            .iter()
            .flat_map(|found| [found.taper, found.size_error, found.waves])
            .collect()
    })?;
    let coverages: [&Coverage; 3] = [&outlook.taper, &outlook.size_error, &outlook.waves];
    Ok(found
        .into_iter()
        .zip(coverages)
        .map(|(first_order, trials)| Checked {
            interval: first_order.interval(probability),
            validation: Validation::of(
                first_order.interval(probability),
                trials.symmetric,
                trials.standard_uncertainty,
                1,
            ),
            first_order,
        })
        .collect())
}

/// The inputs' correlation coefficients: of the members of a shared factor that of their scores.
fn correlation(study: &Study) -> Vec<Vec<f64>> {
    let together = |a: u32, b: u32| {
        study
            .factors
            .iter()
            .find(|factor| {
                let has = |number: u32| factor.members().contains(&(number as usize));
                has(a) && has(b)
            })
            .map_or(0.0, |factor| factor.correlation())
    };
    study
        .quantities
        .iter()
        .map(|a| {
            study
                .quantities
                .iter()
                .map(|b| {
                    if a.number == b.number {
                        1.0
                    } else {
                        together(a.number, b.number)
                    }
                })
                .collect()
        })
        .collect()
}
