//! The Gaussian profile filter of ISO 16610-21, and what stands on either side of it.

use std::f64::consts::{LN_2, PI};

use crate::arithmetic::{exp, powi};
use crate::lanes::{range, sum};

/// `alpha = sqrt(ln 2 / pi)`: the filter passes half of a wave as long as the cut-off.
fn alpha() -> f64 {
    (LN_2 / PI).sqrt()
}

/// Share of a wave of this length that the mean line (waviness) keeps:
/// `exp(-pi (alpha cutoff / wavelength)^2) = 2^-((cutoff/wavelength)^2)`.
pub fn passed(cutoff: f64, wavelength: f64) -> f64 {
    exp(-PI * powi(alpha() * cutoff / wavelength, 2))
}

/// The mean line of an evenly spaced profile: weights
/// `exp(-pi (x / alpha cutoff)^2) / (alpha cutoff)`, cut at one cut-off to either side and
/// brought to a sum of one, also at the ends, where a part of the weights has no profile.
pub fn mean_line(profile: &[f64], spacing: f64, cutoff: f64) -> Vec<f64> {
    let reach = (cutoff / spacing).round() as usize;
    let scale = spacing / (alpha() * cutoff);
    let weights: Vec<f64> = (0..=reach)
        .map(|i| exp(-PI * powi(i as f64 * scale, 2)))
        .collect();
    let at = |k: usize| {
        let low = k.saturating_sub(reach);
        let high = (k + reach).min(profile.len() - 1);
        let (mut sum, mut weight) = (0.0, 0.0);
        for (i, height) in profile.iter().enumerate().take(high + 1).skip(low) {
            let w = weights[i.abs_diff(k)];
            sum += w * height;
            weight += w;
        }
        sum / weight
    };
    if profile.len() <= 2 * reach {
        return (0..profile.len()).map(at).collect();
    }
    // Away from the ends all weights are in, and one after another is laid over the whole profile.
    let inner = profile.len() - 2 * reach;
    let all = 2.0 * weights.iter().sum::<f64>() - weights[0];
    let mut line = vec![0.0; profile.len()];
    let (middle, ends) = line.split_at_mut(profile.len() - reach);
    let middle = &mut middle[reach..];
    let own = weights[0] / all;
    for (line, height) in middle.iter_mut().zip(&profile[reach..]) {
        *line = own * height;
    }
    for (away, weight) in weights.iter().enumerate().skip(1) {
        let share = weight / all;
        let before = &profile[reach - away..][..inner];
        let after = &profile[reach + away..][..inner];
        for (line, (a, b)) in middle.iter_mut().zip(before.iter().zip(after)) {
            *line += share * (a + b);
        }
    }
    for (k, line) in ends.iter_mut().enumerate() {
        *line = at(profile.len() - reach + k);
    }
    for (k, line) in line[..reach].iter_mut().enumerate() {
        *line = at(k);
    }
    line
}

/// Mean of the absolute heights over their mean line (Ra, Wa): `1/l integral |z| dx`.
pub fn mean_height(profile: &[f64]) -> f64 {
    if profile.is_empty() {
        return 0.0;
    }
    let mean = profile.iter().sum::<f64>() / profile.len() as f64;
    profile.iter().map(|h| (h - mean).abs()).sum::<f64>() / profile.len() as f64
}

/// Highest less lowest.
pub fn total_height(profile: &[f64]) -> f64 {
    let (low, high) = range(profile);
    if high >= low { high - low } else { 0.0 }
}

/// Mean over five sections of the highest less the lowest (Rz).
pub fn mean_section_height(profile: &[f64]) -> f64 {
    let section = profile.len().div_ceil(5).max(1);
    let heights: Vec<f64> = profile.chunks(section).map(total_height).collect();
    if heights.is_empty() {
        0.0
    } else {
        heights.iter().sum::<f64>() / heights.len() as f64
    }
}

/// Intercept at `i = 0` and slope of the least-squares line through heights `i` apart, from
/// `i = first` on.
pub fn line_along(heights: &[f64], first: f64) -> (f64, f64) {
    let n = heights.len() as f64;
    if n < 1.0 {
        return (0.0, 0.0);
    }
    let mean = sum(heights) / n;
    // From the middle, where the places' own sum is nothing; theirs of squares is n (n^2 - 1) / 12.
    let half = 0.5 * (n - 1.0);
    let mut moments = [0.0; 4];
    for (k, four) in heights.chunks(4).enumerate() {
        let from = f64::from(4 * k as i32) - half;
        for ((moment, height), i) in moments.iter_mut().zip(four).zip([0.0, 1.0, 2.0, 3.0]) {
            *moment += (from + i) * (height - mean);
        }
    }
    let slope = if n > 1.0 {
        12.0 * sum(&moments) / (n * (n * n - 1.0))
    } else {
        0.0
    };
    (mean - slope * (first + half), slope)
}

/// Intercept at `x = 0` and slope of the least-squares line.
pub fn line_through(points: impl Iterator<Item = (f64, f64)> + Clone) -> (f64, f64) {
    let n = points.clone().count() as f64;
    if n < 1.0 {
        return (0.0, 0.0);
    }
    let mx = points.clone().map(|p| p.0).sum::<f64>() / n;
    let my = points.clone().map(|p| p.1).sum::<f64>() / n;
    let sxx: f64 = points.clone().map(|p| (p.0 - mx) * (p.0 - mx)).sum();
    let sxy: f64 = points.map(|p| (p.0 - mx) * (p.1 - my)).sum();
    let slope = if sxx > 0.0 { sxy / sxx } else { 0.0 };
    (my - slope * mx, slope)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_filter_passes_what_the_standard_says() {
        // ISO 16610-21 (from memory), closed form: alpha, and the share kept at half, once and
        // twice the cut-off.
        assert!((alpha() - 0.4697186).abs() < 5e-8);
        for (ratio, share) in [(0.5, 0.0625), (1.0, 0.5), (2.0, 0.840896)] {
            assert!((passed(1.0, ratio) - share).abs() < 5e-7);
        }
        // The kernel's standard deviation over the cut-off.
        assert!((alpha() / (2.0 * PI).sqrt() - 0.1873906).abs() < 5e-8);
    }

    #[test]
    fn the_discrete_filter_keeps_those_shares_of_a_sine() {
        let (spacing, cutoff) = (0.01, 0.8);
        for ratio in [0.5, 1.0, 2.0] {
            let wavelength = ratio * cutoff;
            let profile: Vec<f64> = (0..4000)
                .map(|i| (2.0 * PI * f64::from(i) * spacing / wavelength).sin())
                .collect();
            let line = mean_line(&profile, spacing, cutoff);
            let amplitude = 0.5 * total_height(&line[500..3500]);
            // Cut at one cut-off the kernel loses some 2e-6 of its weight.
            assert!(
                (amplitude - passed(cutoff, wavelength)).abs() < 2e-3,
                "{amplitude}"
            );
        }
    }

    #[test]
    fn a_line_along_even_places_is_the_line_through_them() {
        // The general formula is the reference.
        for count in [1, 2, 3, 7, 100] {
            let heights: Vec<f64> = (0..count)
                .map(|i| 3.0 - 0.2 * f64::from(i) + f64::from(i * 7 % 5))
                .collect();
            let points = heights.iter().enumerate();
            let (a, b) = line_through(points.map(|(i, &h)| (5.0 + i as f64, h)));
            let (c, d) = line_along(&heights, 5.0);
            assert!((a - c).abs() < 1e-11 && (b - d).abs() < 1e-12, "{count}");
        }
    }

    #[test]
    fn mean_height_of_a_sine_and_of_nose_arcs() {
        // Sine: 2/pi of the amplitude. Arcs: 0.0320750 f^2/r (closed form of parabolas).
        let sine: Vec<f64> = (0..100_000)
            .map(|i| (2.0 * PI * f64::from(i) / 100_000.0).sin())
            .collect();
        assert!((mean_height(&sine) - std::f64::consts::FRAC_2_PI).abs() < 1e-6);
        let parabola: Vec<f64> = (0..100_000)
            .map(|i| {
                let x = f64::from(i) / 100_000.0 - 0.5;
                0.5 * x * x
            })
            .collect();
        assert!((mean_height(&parabola) - 0.0320750).abs() < 1e-6);
    }
}
