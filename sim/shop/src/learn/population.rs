//! A draw, and the normal distribution that a population of them has.

use nalgebra::{DMatrix, DVector, SymmetricEigen};
use rand_chacha::ChaCha8Rng;

use crate::arithmetic::{max, powi};
use crate::unevenness::Luck;
use crate::variates::normal;

/// One draw.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct State {
    /// Standard normal scores of the coordinates.
    pub scores: Vec<f64>,
    /// By piece: its hard spots, run-out and drag along the stroke.
    pub lucks: Vec<Luck>,
}

/// The normal distribution that draws have.
pub(super) struct Normal {
    pub(super) mean: Vec<f64>,
    /// Directions, and variances along them, that aren't the prior's.
    along: Vec<(Vec<f64>, f64)>,
}

impl Normal {
    /// Of weighed draws; `worth` how many draws they count for.
    pub(super) fn of(states: &[State], weights: &[f64], worth: f64) -> Self {
        let d = states.first().map_or(0, |state| state.scores.len());
        let weighed = |of: &dyn Fn(&State) -> f64| -> f64 {
            let all = states.iter().zip(weights);
            all.map(|(state, weight)| weight * of(state)).sum()
        };
        let mean: Vec<f64> = (0..d).map(|i| weighed(&|s| s.scores[i])).collect();
        let mut covariance = DMatrix::zeros(d, d);
        for i in 0..d {
            for j in 0..=i {
                let c = weighed(&|s| (s.scores[i] - mean[i]) * (s.scores[j] - mean[j]));
                covariance[(i, j)] = c;
                covariance[(j, i)] = c;
            }
        }
        let band = (d as f64 / worth).sqrt();
        let (least, most) = (powi(max(1.0 - band, 0.0), 2), powi(1.0 + band, 2));
        let eigen = SymmetricEigen::new(covariance);
        let along: Vec<(Vec<f64>, f64)> = eigen
            .eigenvalues
            .iter()
            .zip(eigen.eigenvectors.column_iter())
            .filter(|(variance, _)| !(least..=most).contains(*variance))
            .map(|(variance, direction)| {
                (direction.iter().copied().collect(), max(*variance, 1e-12))
            })
            .collect();
        // The mean's part in the other directions, if it is no more than chance.
        let mut rest = DVector::from_column_slice(&mean);
        for (direction, _) in &along {
            let direction = DVector::from_column_slice(direction);
            let part = direction.dot(&rest);
            rest -= part * direction;
        }
        let free = (d - along.len()) as f64;
        let by_chance = (free + 3.0 * (2.0 * free).sqrt()) / worth;
        let keeps = rest.norm_squared() > by_chance;
        let mean = mean.iter().zip(rest.iter());
        Self {
            mean: mean.map(|(m, r)| if keeps { *m } else { m - r }).collect(),
            along,
        }
    }

    /// From here, drawing anew so much of where it stood along what is told, and more of the rest.
    pub(super) fn proposed(&self, from: &[f64], anew: f64, luck: &mut ChaCha8Rng) -> Vec<f64> {
        let part = |anew: f64| ((1.0 - anew * anew).sqrt(), anew);
        let (told, rest) = (part(anew), part(anew.sqrt()));
        let step: Vec<f64> = from.iter().map(|_| normal(luck)).collect();
        let off: Vec<f64> = from.iter().zip(&self.mean).map(|(z, m)| z - m).collect();
        let mut to: Vec<f64> = self.mean.clone();
        for (to, (off, step)) in to.iter_mut().zip(off.iter().zip(&step)) {
            *to += rest.0 * off + rest.1 * step;
        }
        for (direction, variance) in &self.along {
            let (off, step) = (dot(direction, &off), dot(direction, &step));
            let moved = told.0 * off + told.1 * variance.sqrt() * step;
            let more = moved - rest.0 * off - rest.1 * step;
            to.iter_mut()
                .zip(direction)
                .for_each(|(to, d)| *to += more * d);
        }
        to
    }

    /// Minus twice the logarithm of its density, but for a constant.
    pub(super) fn unlikely(&self, scores: &[f64]) -> f64 {
        let off: Vec<f64> = scores.iter().zip(&self.mean).map(|(z, m)| z - m).collect();
        let along = self
            .along
            .iter()
            .map(|(direction, variance)| (1.0 / variance - 1.0) * powi(dot(direction, &off), 2));
        dot(&off, &off) + along.sum::<f64>()
    }
}

pub(super) fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}
