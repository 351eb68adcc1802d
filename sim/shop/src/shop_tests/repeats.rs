//! How well repeats tell a number: mean, and a range from their scatter and the reading step.

use crate::arithmetic::{hypot, max, powi};
use crate::spread::student_factor;

use schemars::JsonSchema;
use serde::Serialize;

/// Chance that the truth lies in a range written from repeats.
pub const COVERED: f64 = 0.95;
/// Half-width allowed to a single reading, as a share of it, where nothing tells its scatter
/// [guess].
pub const SINGLE_READING: f64 = 0.10;

/// A number with how far the truth may be off it either way, SI.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, JsonSchema)]
pub struct Estimate {
    /// The number.
    pub middle: f64,
    /// How far the truth may be below.
    pub minus: f64,
    /// How far it may be above.
    pub plus: f64,
}

impl Estimate {
    /// The same distance both ways.
    pub fn even(middle: f64, half: f64) -> Self {
        Self {
            middle,
            minus: half,
            plus: half,
        }
    }

    /// From a range.
    pub fn of_range([low, middle, high]: [f64; 3]) -> Self {
        Self {
            middle,
            minus: middle - low,
            plus: high - middle,
        }
    }

    /// Low, middle and high, none below `least`.
    pub fn range(self, least: f64) -> [f64; 3] {
        [
            self.middle - self.minus,
            self.middle,
            self.middle + self.plus,
        ]
        .map(|si| max(si, least))
    }

    /// The larger of the two distances.
    pub fn half(self) -> f64 {
        max(self.minus, self.plus)
    }

    /// Times a plain number of either sign.
    pub fn times(self, by: f64) -> Self {
        let (minus, plus) = if by < 0.0 {
            (self.plus, self.minus)
        } else {
            (self.minus, self.plus)
        };
        Self {
            middle: self.middle * by,
            minus: minus * by.abs(),
            plus: plus * by.abs(),
        }
    }

    /// Sum of two that are independent: the distances add as squares.
    pub fn and(self, other: Self) -> Self {
        Self {
            middle: self.middle + other.middle,
            minus: hypot(self.minus, other.minus),
            plus: hypot(self.plus, other.plus),
        }
    }

    /// Difference of two that are independent.
    pub fn less(self, other: Self) -> Self {
        self.and(other.times(-1.0))
    }

    /// Quotient of two positive numbers that are independent, to first order.
    pub fn over(self, other: Self) -> Self {
        let middle = self.middle / other.middle;
        let share = |a: f64, of: f64| a / of;
        Self {
            middle,
            minus: middle
                * hypot(
                    share(self.minus, self.middle),
                    share(other.plus, other.middle),
                ),
            plus: middle
                * hypot(
                    share(self.plus, self.middle),
                    share(other.minus, other.middle),
                ),
        }
    }

    /// Whether the two ranges meet.
    pub fn meets(self, other: Self) -> bool {
        self.middle - self.minus <= other.middle + other.plus
            && other.middle - other.minus <= self.middle + self.plus
    }
}

/// The factor on a standard uncertainty that covers [`COVERED`] with so many degrees of freedom:
/// Student's t (JCGM 100:2008, table G.2).
pub fn coverage_factor(freedom: f64) -> f64 {
    student_factor(max(freedom, 1.0), COVERED)
}

/// Mean and variance of the mean of repeats; the variance is unknown for a single one.
pub fn mean(values: &[f64]) -> (f64, Option<f64>) {
    let n = values.len() as f64;
    let mean = values.iter().sum::<f64>() / n;
    let squares: f64 = values.iter().map(|v| powi(v - mean, 2)).sum();
    (mean, (values.len() > 1).then(|| squares / (n - 1.0) / n))
}

/// What repeats of one reading tell, `None` where there are none.
///
/// Half-width: Student's t times the standard deviation of the mean, and half a reading step,
/// which does not average out where every repeat falls on the same mark; the two add as squares.
/// A single reading has no scatter of its own: a tenth of it stands in.
pub fn of_repeats(values: &[f64], step: f64) -> Option<Estimate> {
    if values.is_empty() {
        return None;
    }
    let (mean, variance) = mean(values);
    let scatter = match variance {
        Some(variance) => coverage_factor(values.len() as f64 - 1.0) * variance.sqrt(),
        None => SINGLE_READING * mean.abs(),
    };
    Some(Estimate::even(mean, hypot(scatter, 0.5 * step)))
}

/// Beyond so many spreads of the others, and this share of their middle, a reading is wild (guesses).
const WILD_SPREADS: f64 = 5.0;
const WILD_SHARE: f64 = 0.15;

/// The place of a reading that stands far from all others, by the step they are read in; of three or
/// more.
pub fn wild(values: &[f64], step: f64) -> Option<usize> {
    if values.len() < 3 {
        return None;
    }
    let stands_apart = |at: &usize| {
        let mut others: Vec<f64> = values.to_vec();
        let value = others.remove(*at);
        others.sort_by(f64::total_cmp);
        let middle = 0.5 * (others[(others.len() - 1) / 2] + others[others.len() / 2]);
        let spread = max(others[others.len() - 1] - others[0], step);
        (value - middle).abs() > max(WILD_SPREADS * spread, WILD_SHARE * middle.abs())
    };
    (0..values.len()).find(stands_apart)
}

/// Sum of `factor * mean` over independent groups of repeats, with its range.
///
/// Degrees of freedom by Welch and Satterthwaite (JCGM 100:2008, G.4.1), so that groups of unlike
/// scatter and few repeats keep their coverage. A group of one borrows the largest scatter of the
/// others, or a tenth of itself.
pub fn of_groups(groups: &[(f64, &[f64])], step: f64) -> Estimate {
    let scatter = |values: &[f64]| mean(values).1.map(|v| v * values.len() as f64);
    let most = groups
        .iter()
        .filter_map(|(_, values)| scatter(values))
        .fold(None, |most: Option<f64>, v| {
            Some(most.map_or(v, |m| max(m, v)))
        });
    let (mut middle, mut variance, mut welch, mut steps) = (0.0, 0.0, 0.0, 0.0);
    for &(factor, values) in groups {
        let (mean, of_mean) = mean(values);
        middle += factor * mean;
        let of_mean = of_mean
            .or(most)
            .unwrap_or_else(|| powi(SINGLE_READING * mean / 2.0, 2));
        let part = factor * factor * of_mean;
        variance += part;
        let freedom = if values.len() > 1 {
            values.len() as f64 - 1.0
        } else if most.is_some() {
            2.0
        } else {
            60.0
        };
        welch += part * part / freedom;
        steps += powi(factor * 0.5 * step, 2);
    }
    let freedom = if welch > 0.0 {
        variance * variance / welch
    } else {
        60.0
    };
    let half = coverage_factor(freedom) * variance.sqrt();
    Estimate::even(middle, hypot(half, steps.sqrt()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn three_repeats_take_students_t() {
        // JCGM 100:2008, table G.2: t95 with 2 degrees of freedom 4.30, with 10 2.23.
        assert!((coverage_factor(2.0) - 4.30).abs() < 0.005);
        assert!((coverage_factor(10.0) - 2.23).abs() < 0.005);
        // Mean 2, standard deviation 1, of the mean 1/sqrt(3).
        let told = of_repeats(&[1.0, 2.0, 3.0], 0.0).expect("three");
        assert!((told.half() - 4.3027 / 3.0_f64.sqrt()).abs() < 1e-3);
    }

    #[test]
    fn like_repeats_are_as_sure_as_half_the_step() {
        let told = of_repeats(&[2.0, 2.0, 2.0], 0.1).expect("three");
        assert!((told.half() - 0.05).abs() < 1e-12);
        assert!(of_repeats(&[], 0.1).is_none());
    }
}
