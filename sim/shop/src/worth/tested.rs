//! What a shop test is worth: the expected value of what it would find to the plan.
//!
//! On each lathe played the test's finding is drawn: what is true there, and the test's own error.
//! What the pieces owe to what was found is then taken up by dial and guide: size and taper are
//! regressed on the findings, on one half of the lathes, and the other half is judged with that
//! taken off; against it stands the same done with nothing found. A plan made so can be carried
//! out, so the figure is from below (value of sample information by regression, after Strong,
//! Oakley, Brennan and Breeze, Medical Decision Making 35 (2015) 570, from memory).

use nalgebra::{DMatrix, DVector};

use super::step::{Step, What, saved};
use crate::after_test::{as_if_done, tells};
use crate::arithmetic::max;
use crate::cut::Options;
use crate::expect::{End, Expect, Limits, chance_of, reach_of};
use crate::scenario::Scenario;
use crate::shop_tests::Test;
use crate::special::normal_quantile;
use crate::spread::{Draws, NORMAL_95, mean_and_deviation};
use crate::study::{PER_TURN, RangeFault, Study};

/// Keeps the findings' draws apart from those of lathes and pieces.
const FINDINGS: u64 = u64::from_le_bytes(*b"findings");
/// Where the sizes' middle may be put, in parts of half the tolerance.
const AIMS: std::ops::RangeInclusive<i32> = -20..=20;
/// The least that a regression is held down by: a finding that says nothing says it.
const RIDGE: f64 = 1e-6;

/// What a test is worth; none where it gives no number that is in doubt.
///
/// # Errors
/// A number whose range makes no distribution.
pub fn known(
    scenario: &Scenario,
    expect: &Expect,
    test: Test,
    options: Options,
) -> Result<Option<Step>, RangeFault> {
    let Some(findings) = findings(scenario, expect, test, options)? else {
        return Ok(None);
    };
    let limits = Limits::new(&scenario.job.work);
    let blind = vec![Vec::new(); findings.len()];
    let before = judged(expect, &limits, &blind);
    let after = judged(expect, &limits, &findings);
    let gains: Vec<f64> = (before.iter().zip(&after))
        .map(|((cost, _), (then, _))| cost - then)
        .collect();
    let (mean, doubt) = saved(&gains);
    // Knowing more costs nothing but the time it takes.
    let gain = max(mean, 0.0);
    let count = |judged: &[(f64, bool)]| judged.iter().filter(|(_, met)| *met).count() as f64;
    // Told beside the plan's own chance: what knowing adds.
    let added = max(count(&after) - count(&before), 0.0);
    let met = (expect.met().met * expect.lathes as f64 + added).round() as u64;
    let met = chance_of(met.min(expect.lathes), expect.lathes);
    let minutes = f64::from(test.minutes());
    Ok(Some(Step {
        what: What::Test(test),
        minutes,
        met,
        verdict: reach_of(expect, met),
        saves: gain - minutes / scenario.job.pieces as f64,
        doubt,
    }))
}

/// What the test finds on each lathe, in standard scores; none where it finds nothing in doubt.
fn findings(
    scenario: &Scenario,
    expect: &Expect,
    test: Test,
    options: Options,
) -> Result<Option<Vec<Vec<f64>>>, RangeFault> {
    let told = tells(scenario, test);
    if told.is_empty() || expect.pieces.is_empty() {
        return Ok(None);
    }
    let options = Options {
        per_turn: PER_TURN,
        ..options
    };
    let study = Study::new(scenario, &[expect.way], options)?;
    let draws = Draws {
        seed: study.seed() ^ FINDINGS,
    };
    let mut columns: Vec<Vec<f64>> = vec![Vec::new(); told.len()];
    for number in 1..=expect.lathes {
        let (lathe, _) = study.scenario_of(number);
        let mut lathe = as_if_done(&lathe, test);
        for (column, (at, (key, half))) in columns.iter_mut().zip(told.iter().enumerate()) {
            let parameters = lathe.parameters_mut();
            let Some(parameter) = parameters.iter().find(|p| p.key == *key) else {
                continue;
            };
            let error = normal_quantile(draws.uniform(number - 1, at as u32));
            column.push(parameter.value.range_si()[1] + error * half / NORMAL_95);
        }
    }
    columns.retain(|column| column.len() == expect.pieces.len());
    for column in &mut columns {
        let (mean, deviation) = mean_and_deviation(column);
        if deviation > 0.0 {
            column.iter_mut().for_each(|y| *y = (*y - mean) / deviation);
        } else {
            column.clear();
        }
    }
    columns.retain(|column| !column.is_empty());
    if columns.is_empty() {
        return Ok(None);
    }
    let of = |i: usize| columns.iter().map(|column| column[i]).collect();
    Ok(Some((0..expect.pieces.len()).map(of).collect()))
}

/// What each lathe's piece costs, and whether it is in tolerance, with what was found taken up:
/// learned on one half, judged on the other, and the other way round.
fn judged(expect: &Expect, limits: &Limits, findings: &[Vec<f64>]) -> Vec<(f64, bool)> {
    let ends: Vec<End> = expect
        .pieces
        .iter()
        .map(|piece| piece.end(expect.gauged))
        .collect();
    let mut found = vec![(0.0, false); ends.len()];
    for half in [0, 1] {
        let learned = |i: &usize| i % 2 == half;
        let learn: Vec<usize> = (0..ends.len()).filter(learned).collect();
        let judge = (0..ends.len()).filter(|i| !learned(i));
        let line = |of: &dyn Fn(&End) -> f64| -> Vec<f64> {
            let rows: Vec<Vec<f64>> = learn.iter().map(|i| terms(&findings[*i])).collect();
            let values: Vec<f64> = learn.iter().map(|i| of(&ends[*i])).collect();
            regressed(&rows, &values)
        };
        // A slide that floats follows no dial; the guide can be set all the same.
        let sizes = if expect.floats() {
            Vec::new()
        } else {
            line(&|end| end.size)
        };
        let tapers = line(&|end| end.taper);
        let mended = |i: usize, by: f64| {
            let owed = |line: &[f64]| -> f64 {
                // All but the mean, which the plan's own rule put where it is.
                let terms = terms(&findings[i]);
                let pairs = line.iter().zip(&terms).skip(1);
                pairs.map(|(b, t)| b * t).sum()
            };
            let end = &ends[i];
            End {
                size: end.size - owed(&sizes) + by,
                taper: end.taper - owed(&tapers),
                ..*end
            }
        };
        let step = 0.025 * (limits.size[1] - limits.size[0]);
        let by = AIMS
            .map(|k| f64::from(k) * step)
            .filter(|by| *by == 0.0 || !expect.floats())
            .map(|by| {
                let all = learn.iter().map(|i| expect.costs(limits, &mended(*i, by)));
                (all.sum::<f64>(), by.abs(), by)
            })
            .min_by(|a, b| (a.0, a.1).partial_cmp(&(b.0, b.1)).expect("finite"))
            .map_or(0.0, |best| best.2);
        for i in judge {
            let end = mended(i, by);
            found[i] = (expect.costs(limits, &end), limits.met(&end));
        }
    }
    found
}

/// One, each finding, and its square less its mean.
fn terms(findings: &[f64]) -> Vec<f64> {
    let squares = findings.iter().map(|y| y * y - 1.0);
    std::iter::once(1.0)
        .chain(findings.iter().copied())
        .chain(squares)
        .collect()
}

/// Least squares, held down where terms say the same.
fn regressed(rows: &[Vec<f64>], values: &[f64]) -> Vec<f64> {
    let wide = rows.first().map_or(0, Vec::len);
    let x = DMatrix::from_fn(rows.len(), wide, |i, j| rows[i][j]);
    let y = DVector::from_column_slice(values);
    let normal = x.tr_mul(&x) + DMatrix::identity(wide, wide) * (RIDGE * rows.len() as f64);
    normal.cholesky().map_or_else(Vec::new, |solver| {
        solver.solve(&x.tr_mul(&y)).as_slice().to_vec()
    })
}
