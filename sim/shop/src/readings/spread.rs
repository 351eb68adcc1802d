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

use crate::arithmetic::{erf, erfc, exp, ln, ln_1p, ln_gamma, max, powf, powi};
use crate::variates::{chi_squared, normal};

use nalgebra::{DMatrix, DVector};
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

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
const LIMIT: usize = 32_000;
/// Times that the throw is narrowed to where the weight was, and draws for each.
const ROUNDS: usize = 6;
const ROUND: usize = 1200;
/// Draws of a round that the next throw's shape is to rest on.
const SHAPED_BY: f64 = 100.0;

impl Draws {
    /// Draws for a fit through seated readings.
    pub fn of(fit: &Fit, points: &[Point], step: f64, noise: Noise, seed: u64) -> Self {
        let mut target = Target::new(fit, points, step, noise, seed);
        target.narrow();
        let mut count = 4000;
        loop {
            let draws = target.draws(count);
            if draws.effective >= WORTH || count >= LIMIT {
                return draws;
            }
            count *= 2;
        }
    }

    /// As [`of`](Self::of), but only as many as a plan is worth.
    pub fn few(fit: &Fit, points: &[Point], step: f64, noise: Noise, seed: u64) -> Self {
        let mut target = Target::new(fit, points, step, noise, seed);
        target.narrow();
        target.draws(ROUND)
    }

    fn even_out(&mut self) {
        let most = self.weight.iter().copied().fold(f64::NEG_INFINITY, max);
        for weight in &mut self.weight {
            *weight = if most.is_finite() {
                exp(*weight - most)
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

/// What is drawn from, and how.
struct Target<'a> {
    fit: &'a Fit,
    rows: Vec<(Vec<f64>, f64)>,
    step: f64,
    thrown: Thrown,
    /// Lower root of the fit's inverse, and the logarithm of its determinant.
    root: DMatrix<f64>,
    log_root: f64,
    /// Where earlier rounds found the weight.
    narrowed: Option<Narrowed>,
    rng: ChaCha8Rng,
}

/// A throw shaped by the draws before: Student's t for the line, normal for the logarithm of the
/// noise.
struct Narrowed {
    middle: DVector<f64>,
    root: DMatrix<f64>,
    log_root: f64,
    log_sigma: f64,
    log_spread: f64,
}

/// Degrees of freedom of the narrowed throw: few, for wide flanks.
const FLANKS: f64 = 5.0;
/// Share of draws that stay wide, so that no place is left out.
const WIDE: f64 = 0.2;

impl<'a> Target<'a> {
    fn new(fit: &'a Fit, points: &[Point], step: f64, noise: Noise, seed: u64) -> Self {
        let root = lower_root(&fit.inverse);
        Self {
            fit,
            rows: points
                .iter()
                .map(|point| (fit.shape.row(point), point.slide))
                .collect(),
            step,
            thrown: Thrown::new(fit, step, noise),
            log_root: root.diagonal().map(ln).sum(),
            root,
            narrowed: None,
            rng: ChaCha8Rng::seed_from_u64(seed),
        }
    }

    /// Narrows the throw to where the weight is. While few draws carry it, their weights are
    /// evened so that at least so many shape the next throw.
    fn narrow(&mut self) {
        for _ in 0..ROUNDS {
            let draws = self.draws(ROUND);
            if draws.effective > 0.4 * ROUND as f64 {
                return;
            }
            let mut power = 1.0;
            let evened = |power: f64| -> Vec<f64> {
                let raw: Vec<f64> = draws.weight.iter().map(|w| powf(*w, power)).collect();
                let sum: f64 = raw.iter().sum();
                raw.iter().map(|w| w / sum).collect()
            };
            let mut weight = evened(power);
            while 1.0 / weight.iter().map(|w| w * w).sum::<f64>() < SHAPED_BY && power > 1e-3 {
                power *= 0.7;
                weight = evened(power);
            }
            let p = self.fit.shape.unknowns();
            let mut middle = DVector::zeros(p);
            let mut log_sigma = 0.0;
            for ((line, sigma), w) in draws.lines.iter().zip(&draws.sigma).zip(&weight) {
                middle += line * *w;
                log_sigma += w * ln(*sigma);
            }
            let mut covariance = DMatrix::zeros(p, p);
            let mut variance = 0.0;
            for ((line, sigma), w) in draws.lines.iter().zip(&draws.sigma).zip(&weight) {
                let off = line - &middle;
                covariance += &off * off.transpose() * *w;
                variance += w * powi(ln(*sigma) - log_sigma, 2);
            }
            let root = lower_root(&(covariance * 1.2));
            self.narrowed = Some(Narrowed {
                log_root: root.diagonal().map(ln).sum(),
                middle,
                root,
                log_sigma,
                log_spread: max((1.3 * variance).sqrt(), 0.05),
            });
        }
    }

    fn draws(&mut self, count: usize) -> Draws {
        let mut draws = Draws {
            lines: Vec::with_capacity(count),
            sigma: Vec::with_capacity(count),
            weight: Vec::with_capacity(count),
            effective: 0.0,
        };
        for _ in 0..count {
            let (line, sigma) = self.throw();
            let weight = self.log_chance(&line, sigma) - self.log_thrown(&line, sigma);
            draws.lines.push(line);
            draws.sigma.push(sigma);
            draws.weight.push(weight);
        }
        draws.even_out();
        draws
    }

    fn throw(&mut self) -> (DVector<f64>, f64) {
        let rng = &mut self.rng;
        let p = self.fit.shape.unknowns();
        let unit = DVector::from_fn(p, |_, _| normal(rng));
        if let Some(narrowed) = &self.narrowed
            && rng.random::<f64>() > WIDE
        {
            let chi = chi_squared(FLANKS, rng);
            let normal = normal(rng);
            let line = &narrowed.middle + &narrowed.root * unit * (FLANKS / max(chi, 1e-9)).sqrt();
            let sigma = exp(narrowed.log_sigma + narrowed.log_spread * normal);
            return (line, sigma);
        }
        let sigma = self.thrown.draw(rng);
        (&self.fit.at + &self.root * unit * self.wide(sigma), sigma)
    }

    fn wide(&self, sigma: f64) -> f64 {
        (WIDER * (sigma * sigma + self.step * self.step / 12.0)).sqrt()
    }

    /// Logarithm of prior and likelihood, up to a constant.
    fn log_chance(&self, line: &DVector<f64>, sigma: f64) -> f64 {
        let mut log = self.thrown.log_prior(sigma);
        for (row, slide) in &self.rows {
            let middle: f64 = row.iter().zip(line.iter()).map(|(x, t)| x * t).sum();
            log += log_cell(slide - middle, self.step, sigma);
        }
        log
    }

    /// Logarithm of the density of the throw, up to a constant common to all.
    fn log_thrown(&self, line: &DVector<f64>, sigma: f64) -> f64 {
        let p = self.fit.shape.unknowns() as f64;
        let away = |middle: &DVector<f64>, root: &DMatrix<f64>| {
            root.solve_lower_triangular(&(line - middle))
                .map_or(f64::INFINITY, |unit| unit.norm_squared())
        };
        let wide = self.wide(sigma);
        let normal = -0.5 * away(&self.fit.at, &self.root) / (wide * wide)
            - p * ln(wide)
            - self.log_root
            - 0.5 * p * ln(std::f64::consts::TAU);
        let wide = self.thrown.log_density(sigma) + normal;
        let Some(narrowed) = &self.narrowed else {
            return wide;
        };
        let far = away(&narrowed.middle, &narrowed.root);
        let t = ln_gamma((FLANKS + p) / 2.0)
            - ln_gamma(FLANKS / 2.0)
            - 0.5 * p * ln(FLANKS * std::f64::consts::PI)
            - narrowed.log_root
            - 0.5 * (FLANKS + p) * ln_1p(far / FLANKS);
        let log = log_normal(sigma, narrowed.log_sigma, narrowed.log_spread);
        let near = ln(1.0 - WIDE) + log + t;
        let wide = ln(WIDE) + wide;
        let most = max(near, wide);
        most + ln(exp(near - most) + exp(wide - most))
    }
}

fn lower_root(of: &DMatrix<f64>) -> DMatrix<f64> {
    // A hair on the diagonal where draws happen to lie in a plane.
    let least = 1e-9 * of.diagonal().max();
    let n = of.nrows();
    of.clone()
        .cholesky()
        .or_else(|| (of + DMatrix::identity(n, n) * least).cholesky())
        .map_or_else(|| DMatrix::identity(n, n) * least.sqrt(), |c| c.l())
}

/// Logarithm of the density of a number whose logarithm is normal.
fn log_normal(value: f64, middle: f64, spread: f64) -> f64 {
    let z = (ln(value) - middle) / spread;
    -0.5 * z * z - ln(spread) - ln(value) - 0.5 * ln(std::f64::consts::TAU)
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
        let scatter = max(fit.variance(step).sqrt(), 1e-9);
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
            let normal = normal(rng);
            return middle * exp(log * normal);
        }
        let quarter = self.step / 4.0;
        let sigma = if rng.random::<f64>() < self.by_prior() {
            let u: f64 = rng.random();
            quarter * (exp(u * ln(1.0 + self.most / quarter)) - 1.0)
        } else {
            let chi = chi_squared(self.spare, rng);
            self.scatter * (self.spare / max(chi, 1e-12)).sqrt()
        };
        max(sigma, 1e-12)
    }

    /// Logarithm of what is known of the noise beforehand, up to a constant.
    fn log_prior(&self, sigma: f64) -> f64 {
        match self.noise {
            Noise::Told(middle, log) => log_normal(sigma, ln(middle), log),
            Noise::Seen => -ln(sigma + self.step / 4.0),
        }
    }

    /// Logarithm of the density drawn from.
    fn log_density(&self, sigma: f64) -> f64 {
        if let Noise::Told(middle, log) = self.noise {
            return log_normal(sigma, ln(middle), log);
        }
        let quarter = self.step / 4.0;
        let mut density = 0.0;
        if self.step > 0.0 && sigma <= self.most {
            density += self.by_prior() / ((sigma + quarter) * ln(1.0 + self.most / quarter));
        }
        let half = self.spare / 2.0;
        let ratio = self.spare * self.scatter * self.scatter / (sigma * sigma);
        let log = half * ln(ratio / 2.0) - 0.5 * ratio - ln_gamma(half) + ln(2.0 / sigma);
        density += (1.0 - self.by_prior()) * exp(log);
        ln(max(density, 1e-300))
    }
}

/// Logarithm of the chance of a reading `off` from the line.
fn log_cell(off: f64, step: f64, sigma: f64) -> f64 {
    let z = off / sigma;
    let half = 0.5 * step / sigma;
    if half < 1e-3 {
        return -0.5 * z * z - ln(sigma);
    }
    let root = std::f64::consts::FRAC_1_SQRT_2;
    let (near, far) = ((z.abs() - half) * root, (z.abs() + half) * root);
    let chance = if near > 0.0 {
        0.5 * (erfc(near) - erfc(far))
    } else {
        0.5 * (erf(far) - erf(near))
    };
    // Over the step, to be one density with the fine case.
    ln(max(chance / step, 1e-300))
}
