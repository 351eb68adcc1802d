//! Wild readings: found by growing a clean set one reading at a time.
//!
//! The start is the half of the readings that lies best on a common line (least trimmed squares,
//! every elemental set tried). From there the set grows by the nearest reading while that is no
//! farther off than Student's t allows, as in Hadi and Simonoff, "Procedures for the
//! identification of multiple outliers in linear models", J. Am. Stat. Assoc. 88 (1993), from
//! memory. Looking at one reading after the other instead would let two wild ones hide each
//! other. The scatter is never taken for less than the readout's steps make.
//!
//! Small slips can't be told from scatter. Measured over made-up readings of five to nine places
//! (`sim/tests/all/readings/limits.rs`), a slip of 3 times the scatter is found one time in twenty,
//! of 5 times one in three, of 10 times five in six, of 20 times nineteen in twenty. Few readings
//! see least: five in one direction miss most slips of 20 times. [`unseen`] gives the size for
//! the readings at hand.

use crate::arithmetic::{max, powi};
use crate::spread::student_factor;

use super::line::{Fit, Point, Shape};

/// Chance that a clean set is taken to hold a wild reading, were its readings not let in by the
/// order in which they lie near. As they are, ten clean ones hold a wild one some 25 times in 1000
/// (measured, `sim/tests/all/readings/limits.rs`).
pub(super) const FALSE_ALARM: f64 = 0.01;
/// Elemental sets tried at most; beyond that every so-manieth is.
const SETS: usize = 3000;
/// Smallest scatter of slide readings that is believed, m: rounding in the arithmetic.
const LEAST: f64 = 1e-9;

/// Two-sided quantile of Student's t.
pub(super) fn student(chance: f64, spare: usize) -> f64 {
    student_factor(spare.max(1) as f64, 1.0 - chance)
}

/// Which points lie on the common line; none where they don't determine one.
pub(super) fn clean(shape: Shape, points: &[Point], step: f64) -> Option<Vec<bool>> {
    let (n, p) = (points.len(), shape.unknowns());
    let all = Fit::through(shape, points)?;
    if all.spare() < 2 {
        return Some(vec![true; n]);
    }
    let start = half(shape, points)?;
    // Beyond two in five wild nothing could be called clean.
    let mut size = (p + 1).max(n - 2 * n / 5);
    let mut inside = nearest(&start, points, size);
    loop {
        let Some(fit) = Fit::through(shape, pick(points, &inside)) else {
            // The nearest ones all stand at one place: take in more.
            if size == n {
                return Some(vec![true; n]);
            }
            size += 1;
            inside = nearest(&start, points, size);
            continue;
        };
        let sigma = max(fit.variance(step).sqrt(), LEAST);
        let off: Vec<f64> = points
            .iter()
            .zip(&inside)
            .map(|(point, &inside)| {
                let lever = fit.leverage(point);
                let share: f64 = if inside { 1.0 - lever } else { 1.0 + lever };
                // A reading that the line can't miss is never off it.
                if share < 1e-9 {
                    0.0
                } else {
                    fit.residual(point).abs() / (sigma * share.sqrt())
                }
            })
            .collect();
        let mut order: Vec<usize> = (0..n).collect();
        order.sort_by(|&a, &b| off[a].total_cmp(&off[b]));
        if size == n {
            return Some(inside);
        }
        let limit = student(FALSE_ALARM / (size + 1) as f64, size - p);
        if off[order[size]] >= limit {
            return Some(off.iter().map(|off| *off < limit).collect());
        }
        size += 1;
        inside = vec![false; n];
        for &index in &order[..size] {
            inside[index] = true;
        }
    }
}

/// The slip that would be found nearly nine times in ten (86 in 100 measured) among these
/// readings, m of slide movement: what the last reading to be let in may be off, and 1.28 standard
/// deviations more. None where there
/// are too few readings for any to be looked for.
pub(super) fn unseen(fit: &Fit, points: &[Point], step: f64) -> Option<f64> {
    let spare = fit.spare().checked_sub(1).filter(|spare| *spare > 0)?;
    let sigma = max(fit.variance(step).sqrt(), LEAST);
    let limit = student(FALSE_ALARM / fit.count as f64, spare);
    let lever = points.iter().map(|point| fit.leverage(point)).sum::<f64>() / fit.count as f64;
    // A reading outside the fit pulls it as hard again as one inside it: lever / (1 - lever).
    let share = 1.0 / max(1.0 - lever, 1e-6);
    Some(sigma * share.sqrt() * (limit + 1.28))
}

fn pick<'p>(points: &'p [Point], inside: &'p [bool]) -> impl Iterator<Item = &'p Point> {
    points
        .iter()
        .zip(inside)
        .filter(|(_, inside)| **inside)
        .map(|(point, _)| point)
}

fn nearest(fit: &Fit, points: &[Point], size: usize) -> Vec<bool> {
    let mut order: Vec<usize> = (0..points.len()).collect();
    order.sort_by(|&a, &b| {
        let off = |i: usize| fit.residual(&points[i]).abs();
        off(a).total_cmp(&off(b))
    });
    let mut inside = vec![false; points.len()];
    for &index in &order[..size.min(points.len())] {
        inside[index] = true;
    }
    inside
}

/// The line through as many readings as it has unknowns that leaves the better half nearest.
fn half(shape: Shape, points: &[Point]) -> Option<Fit> {
    let (n, p) = (points.len(), shape.unknowns());
    let keep = (n + p).div_ceil(2);
    let sets = (0..p).fold(1usize, |c, i| c.saturating_mul(n - i) / (i + 1));
    let stride = sets.div_ceil(SETS).max(1);
    let mut best: Option<(f64, Fit)> = None;
    let mut chosen: Vec<usize> = (0..p).collect();
    let mut number = 0;
    loop {
        if number % stride == 0
            && let Some(fit) = Fit::through(shape, chosen.iter().map(|&i| &points[i]))
        {
            let mut squares: Vec<f64> = points.iter().map(|q| powi(fit.residual(q), 2)).collect();
            squares.sort_by(f64::total_cmp);
            let sum: f64 = squares[..keep].iter().sum();
            if best.as_ref().is_none_or(|(least, _)| sum < *least) {
                best = Some((sum, fit));
            }
        }
        number += 1;
        if !advance(&mut chosen, n) {
            break;
        }
    }
    let (_, raw) = best?;
    // One step of concentration smooths what the few points of the set had by chance.
    let inside = nearest(&raw, points, keep);
    Fit::through(shape, pick(points, &inside)).or(Some(raw))
}

/// The next set of indices in order.
fn advance(chosen: &mut [usize], n: usize) -> bool {
    let p = chosen.len();
    for at in (0..p).rev() {
        if chosen[at] < n - p + at {
            chosen[at] += 1;
            for next in at + 1..p {
                chosen[next] = chosen[next - 1] + 1;
            }
            return true;
        }
    }
    false
}
