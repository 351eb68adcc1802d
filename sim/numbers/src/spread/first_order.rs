//! The first-order law of propagation of uncertainty (JCGM 100:2008, 5, from memory), and whether
//! trials bear it out (JCGM 101:2008, 8, from memory).
//!
//! `u^2(y) = sum_i sum_j c_i c_j u_i u_j r_ij`, with `c_i u_i` from central differences. At a step
//! of one standard uncertainty that is the practice of JCGM 100, 5.1.3, note 2; a small step comes
//! nearer to the derivative but also to a model's numerical noise.

use std::fmt;

use crate::arithmetic::{max, powi};

use schemars::JsonSchema;
use serde::Serialize;

use super::adaptive::numerical_tolerance;
use super::coverage::Interval;
use super::student;

/// Estimate and standard uncertainty of an input, in its unit.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Input {
    /// Estimate, x.
    pub estimate: f64,
    /// Standard uncertainty, u.
    pub standard_uncertainty: f64,
    /// Degrees of freedom of u; infinite if it is held as known.
    #[serde(skip)]
    pub degrees_of_freedom: f64,
}

/// First-order result for one output, in its unit.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct FirstOrder {
    /// The model at the estimates.
    pub estimate: f64,
    /// Combined standard uncertainty.
    pub standard_uncertainty: f64,
    /// Signed contributions `c_i u_i`, by input.
    pub contributions: Vec<f64>,
    /// Effective degrees of freedom, `u^4 / sum((c_i u_i)^4 / v_i)` (Welch, Satterthwaite);
    /// infinite if all are known. Holds for inputs that are not correlated.
    #[serde(skip)]
    pub degrees_of_freedom: f64,
}

/// Why there is no first-order result.
#[derive(Clone, Debug, PartialEq)]
pub enum FirstOrderFault {
    /// An input's numbers are out of range.
    Input(usize),
    /// The step is not a positive number.
    Step(f64),
    /// The correlations are not a symmetric table from -1 to 1 with 1 on the diagonal, as many
    /// rows as inputs, that some set of quantities could have.
    Correlation,
    /// The model returned another number of outputs when an input was moved.
    Outputs(usize),
}

impl fmt::Display for FirstOrderFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Input(i) => write!(
                f,
                "input {i}: the estimate must be finite, the standard uncertainty 0 or more, the \
                 degrees of freedom over 0"
            ),
            Self::Step(step) => write!(f, "the step is {step}; it must be a number over 0"),
            Self::Correlation => f.write_str(
                "the correlations must be a symmetric table of the inputs, 1 on the diagonal, \
                 from -1 to 1 elsewhere, and consistent with one another",
            ),
            Self::Outputs(i) => write!(
                f,
                "the model's number of outputs changed when input {i} was moved"
            ),
        }
    }
}

impl std::error::Error for FirstOrderFault {}

/// Propagates standard uncertainties to first order, for each output of the model.
///
/// `step` is the central difference's half step in standard uncertainties (1 for JCGM 100, 5.1.3,
/// note 2). `correlation` is a table of the inputs' correlation coefficients, or none.
///
/// # Errors
/// Inputs, step or correlations out of range; a model whose number of outputs changes.
pub fn first_order(
    inputs: &[Input],
    correlation: Option<&[Vec<f64>]>,
    step: f64,
    mut model: impl FnMut(&[f64]) -> Vec<f64>,
) -> Result<Vec<FirstOrder>, FirstOrderFault> {
    if let Some(wrong) = inputs.iter().position(|input| {
        !(input.estimate.is_finite()
            && input.standard_uncertainty.is_finite()
            && input.standard_uncertainty >= 0.0
            && input.degrees_of_freedom > 0.0)
    }) {
        return Err(FirstOrderFault::Input(wrong));
    }
    if !(step.is_finite() && step > 0.0) {
        return Err(FirstOrderFault::Step(step));
    }
    if correlation.is_some_and(|table| !consistent(table, inputs.len())) {
        return Err(FirstOrderFault::Correlation);
    }
    let mut at: Vec<f64> = inputs.iter().map(|input| input.estimate).collect();
    let middle = model(&at);
    // By input, then by output.
    let mut differences = Vec::with_capacity(inputs.len());
    for (i, input) in inputs.iter().enumerate() {
        let u = input.standard_uncertainty;
        if u == 0.0 {
            differences.push(vec![0.0; middle.len()]);
            continue;
        }
        at[i] = input.estimate + step * u;
        let above = model(&at);
        at[i] = input.estimate - step * u;
        let below = model(&at);
        at[i] = input.estimate;
        if above.len() != middle.len() || below.len() != middle.len() {
            return Err(FirstOrderFault::Outputs(i));
        }
        let half = above
            .iter()
            .zip(&below)
            .map(|(a, b)| (a - b) / (2.0 * step));
        differences.push(half.collect());
    }
    Ok(middle
        .into_iter()
        .enumerate()
        .map(|(output, estimate)| {
            let contributions: Vec<f64> = differences.iter().map(|by| by[output]).collect();
            combine(estimate, contributions, inputs, correlation)
        })
        .collect())
}

fn combine(
    estimate: f64,
    contributions: Vec<f64>,
    inputs: &[Input],
    correlation: Option<&[Vec<f64>]>,
) -> FirstOrder {
    let variance: f64 = match correlation {
        None => contributions.iter().map(|c| c * c).sum(),
        Some(table) => contributions
            .iter()
            .zip(table)
            .map(|(c, row)| {
                c * row
                    .iter()
                    .zip(&contributions)
                    .map(|(r, d)| r * d)
                    .sum::<f64>()
            })
            .sum(),
    };
    let standard_uncertainty = max(variance, 0.0).sqrt();
    let fourths: f64 = contributions
        .iter()
        .zip(inputs)
        .map(|(c, input)| powi(*c, 4) / input.degrees_of_freedom)
        .sum();
    let degrees_of_freedom = if fourths > 0.0 {
        powi(standard_uncertainty, 4) / fourths
    } else {
        f64::INFINITY
    };
    FirstOrder {
        estimate,
        standard_uncertainty,
        contributions,
        degrees_of_freedom,
    }
}

fn consistent(table: &[Vec<f64>], inputs: usize) -> bool {
    if table.len() != inputs || table.iter().any(|row| row.len() != inputs) {
        return false;
    }
    let matrix = nalgebra::DMatrix::from_fn(inputs, inputs, |i, j| table[i][j]);
    (0..inputs).all(|i| {
        table[i][i] == 1.0 && (0..i).all(|j| table[i][j] == table[j][i] && table[i][j].abs() <= 1.0)
    }) && matrix
        .symmetric_eigenvalues()
        .iter()
        .all(|value| *value >= -1e-9)
}

impl FirstOrder {
    /// `y - k u` to `y + k u`, with k of the normal distribution or, for finite effective degrees
    /// of freedom, of the t (rounded down to a whole number, at least 1, as JCGM 100, G.4.1).
    pub fn interval(&self, probability: f64) -> Interval {
        let factor = student::factor(max(self.degrees_of_freedom.floor(), 1.0), probability);
        Interval {
            lower: self.estimate - factor * self.standard_uncertainty,
            upper: self.estimate + factor * self.standard_uncertainty,
        }
    }
}

/// Whether a first-order interval agrees with the one from trials (JCGM 101, 8.1).
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Validation {
    /// Distance of the lower ends.
    pub lower: f64,
    /// Distance of the upper ends.
    pub upper: f64,
    /// delta, of the standard uncertainty from trials.
    pub tolerance: f64,
}

impl Validation {
    /// Compares ends. The trials should have settled to delta / 5 (8.2), and be of the same
    /// probability. None if the standard uncertainty from trials is 0.
    pub fn of(
        first_order: Interval,
        trials: Interval,
        standard_uncertainty: f64,
        digits: u32,
    ) -> Option<Self> {
        Some(Self {
            lower: (first_order.lower - trials.lower).abs(),
            upper: (first_order.upper - trials.upper).abs(),
            tolerance: numerical_tolerance(standard_uncertainty, digits)?,
        })
    }

    /// Both ends are within delta: the first-order result may be used.
    pub fn holds(&self) -> bool {
        self.lower <= self.tolerance && self.upper <= self.tolerance
    }
}
