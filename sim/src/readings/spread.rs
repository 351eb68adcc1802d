//! How well the line is known: noise and readout steps together, by weighted draws.
//!
//! A readout shows the step nearest to the slide's place, so a reading `y` of step `q` says that
//! place plus noise lay within `y +- q/2`. Its likelihood is
//! `Phi((y + q/2 - m) / s) - Phi((y - q/2 - m) / s)` with the line at `m` and noise of standard
//! deviation `s`. Where steps are fine this is Student's t on the residuals; where noise is small
//! it is the set of lines that pass through every step, which repeats do not narrow and a longer
//! travel does. Treating the step's rectangular error as one more noise of `q^2/12` would get
//! the first case right and the second wrong.
//!
//! Source: JCGM 101:2008, clause 6.2 (distributions from Bayes' theorem, propagated by draws);
//! for steps Lira and Wöger, Meas. Sci. Technol. 8 (1997), and Elster, Metrologia 37 (2000), all
//! from memory. Flat in intercept, slope and gap; for the noise `1 / (s + q/4)`, which is the
//! usual `1/s` but for not piling up at no noise at all. Draws come from a wider normal
//! distribution, weighted back, from a fixed seed: the same readings give the same answer.

use nalgebra::DVector;
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use rand_distr::{ChiSquared, Distribution, StandardNormal};
use statrs::function::erf::{erf, erfc};

use super::line::{Fit, Point};

/// What is known of the noise besides the residuals.
#[derive(Clone, Copy, Debug)]
pub(super) enum Noise {
    /// Nothing: the residuals tell.
    Seen,
    /// Its middle, m, and the standard deviation of its logarithm.
    Told(f64, f64),
}

/// Weighted draws of the line and the noise.
pub(super) struct Draws {
    /// Intercept, slope, gap, m.
    pub lines: Vec<DVector<f64>>,
    /// Noise, m.
    pub sigma: Vec<f64>,
    /// Weights; they add up to one.
    pub weight: Vec<f64>,
    /// How many draws of even weight they are worth.
    pub effective: f64,
}

/// The share of the spread that intervals cover.
pub(super) const COVERED: f64 = 0.95;
/// How much wider than the estimate draws are thrown, as variance.
const WIDER: f64 = 1.6;
/// Draws are doubled until they are worth this many, or to the limit.
const WORTH: f64 = 1000.0;
const LIMIT: usize = 64_000;

impl Draws {
    /// Draws for a fit through seated readings.
    pub fn of(fit: &Fit, points: &[Point], step: f64, noise: Noise, seed: u64) -> Self {
        let mut count = 4000;
        loop {
            let draws = Self::many(fit, points, step, noise, seed, count);
            if draws.effective >= WORTH || count >= LIMIT {
                return draws;
            }
            count *= 2;
        }
    }

    /// So many draws.
    pub fn many(
        fit: &Fit,
        points: &[Point],
        step: f64,
        noise: Noise,
        seed: u64,
        count: usize,
    ) -> Self {
        let p = fit.shape.unknowns();
        let rows: Vec<(Vec<f64>, f64)> = points
            .iter()
            .map(|point| (fit.shape.row(point), point.slide))
            .collect();
        let root = fit
            .inverse
            .clone()
            .cholesky()
            .map_or_else(|| fit.inverse.clone() * 0.0, |c| c.l());
        let thrown = Thrown::new(fit, step, noise);
        let mut rng = ChaCha8Rng::seed_from_u64(seed);
        let mut draws = Self {
            lines: Vec::with_capacity(count),
            sigma: Vec::with_capacity(count),
            weight: Vec::with_capacity(count),
            effective: 0.0,
        };
        for _ in 0..count {
            let sigma = thrown.draw(&mut rng);
            let unit = DVector::from_fn(p, |_, _| rng.sample::<f64, _>(StandardNormal));
            let wide = (WIDER * (sigma * sigma + step * step / 12.0)).sqrt();
            let line = &fit.at + &root * &unit * wide;
            let mut log = thrown.log_weight(sigma) + 0.5 * unit.norm_squared() + p as f64 * wide.ln();
            for (row, slide) in &rows {
                let middle: f64 = row.iter().zip(line.iter()).map(|(x, t)| x * t).sum();
                log += log_cell(slide - middle, step, sigma);
            }
            draws.lines.push(line);
            draws.sigma.push(sigma);
            draws.weight.push(log);
        }
        draws.even_out();
        draws
    }

    fn even_out(&mut self) {
        let most = self.weight.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        for weight in &mut self.weight {
            *weight = if most.is_finite() {
                (*weight - most).exp()
            } else {
                1.0
            };
        }
        let sum: f64 = self.weight.iter().sum();
        self.weight.iter_mut().for_each(|w| *w /= sum);
        self.effective = 1.0 / self.weight.iter().map(|w| w * w).sum::<f64>();
    }

    /// Median and the ends of the interval with even chances outside, of any function of a draw.
    pub fn interval(&self, values: &[f64]) -> [f64; 3] {
        let mut order: Vec<usize> = (0..values.len()).collect();
        order.sort_by(|&a, &b| values[a].total_cmp(&values[b]));
        let tail = (1.0 - COVERED) / 2.0;
        let mut found = [f64::NAN; 3];
        let mut sum = 0.0;
        for index in order {
            sum += self.weight[index];
            for (slot, at) in [tail, 0.5, 1.0 - tail].into_iter().enumerate() {
                if found[slot].is_nan() && sum >= at {
                    found[slot] = values[index];
                }
            }
        }
        found
    }

    /// Chance that something is so.
    pub fn chance(&self, so: impl Iterator<Item = bool>) -> f64 {
        so.zip(&self.weight)
            .filter(|(so, _)| *so)
            .map(|(_, weight)| weight)
            .sum()
    }
}

/// How the noise is drawn.
struct Thrown {
    noise: Noise,
    step: f64,
    /// Scatter of the residuals with the steps, m, and readings to spare.
    scatter: f64,
    spare: f64,
    /// Most that is drawn in the even part, m.
    most: f64,
}

impl Thrown {
    fn new(fit: &Fit, step: f64, noise: Noise) -> Self {
        let scatter = fit.variance(step).sqrt().max(1e-9);
        Self {
            noise,
            step,
            scatter,
            spare: fit.spare().max(1) as f64,
            most: 3.0 * scatter,
        }
    }

    /// Share drawn by the shape of the prior; the rest by the residuals.
    fn by_prior(&self) -> f64 {
        if self.step > 0.0 { 0.5 } else { 0.0 }
    }

    fn draw(&self, rng: &mut ChaCha8Rng) -> f64 {
        if let Noise::Told(middle, log) = self.noise {
            let normal: f64 = rng.sample(StandardNormal);
            return middle * (log * normal).exp();
        }
        let quarter = self.step / 4.0;
        let sigma = if rng.random::<f64>() < self.by_prior() {
            let u: f64 = rng.random();
            quarter * ((u * (1.0 + self.most / quarter).ln()).exp() - 1.0)
        } else {
            let chi = ChiSquared::new(self.spare).map_or(1.0, |chi| chi.sample(rng));
            self.scatter * (self.spare / chi.max(1e-12)).sqrt()
        };
        sigma.max(1e-12)
    }

    /// Logarithm of prior over density drawn.
    fn log_weight(&self, sigma: f64) -> f64 {
        if let Noise::Told(..) = self.noise {
            return 0.0;
        }
        let quarter = self.step / 4.0;
        let prior = 1.0 / (sigma + quarter);
        let mut density = 0.0;
        if self.step > 0.0 && sigma <= self.most {
            density += self.by_prior() * prior / (1.0 + self.most / quarter).ln();
        }
        // Up to its constant the same as ChiSquared gives; the constant counts in the mixture.
        let half = self.spare / 2.0;
        let ratio = self.spare * self.scatter * self.scatter / (sigma * sigma);
        let log = half * ratio.ln() - 0.5 * ratio - half * 2f64.ln()
            - statrs::function::gamma::ln_gamma(half)
            + (2.0 / sigma).ln();
        density += (1.0 - self.by_prior()) * log.exp();
        (prior / density).ln()
    }
}

/// Logarithm of the chance of a reading `off` from the line.
fn log_cell(off: f64, step: f64, sigma: f64) -> f64 {
    let z = off / sigma;
    let half = 0.5 * step / sigma;
    if half < 1e-3 {
        return -0.5 * z * z - sigma.ln();
    }
    let root = std::f64::consts::FRAC_1_SQRT_2;
    let (near, far) = ((z.abs() - half) * root, (z.abs() + half) * root);
    let chance = if near > 0.0 {
        0.5 * (erfc(near) - erfc(far))
    } else {
        0.5 * (erf(far) - erf(near))
    };
    // Over the step, to be one density with the fine case.
    (chance / step).max(1e-300).ln()
}
