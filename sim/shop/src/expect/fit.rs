//! The rule for the last pass: from what the gauge reads to how far the dial is turned, fitted on
//! lathes like the one described.
//!
//! Plainly adding what the first pass left comes short where the last pass takes more than the
//! first: it springs off more. A straight line takes that up; where it is no better, what was read
//! is the rule.

use std::ops::Range;

use super::elsewhere::Turn;
use super::play::Play;
use super::record::{FLOATS, Fitted, LastPass, Piece};
use crate::arithmetic::{clamp, max, min};
use crate::measure::filter::line_through;
use crate::quantity::Units;
use crate::quantity::show::round_step;
use crate::record::Measures;

/// Cutting too far weighs so much more than leaving on as aim is taken (a guess: a new piece
/// against another pass).
const TOO_FAR: f64 = 1.5;
/// How far about a limit a lathe counts in part, against half of the tolerance.
const SMOOTH: f64 = 0.3;
/// Rows lie no closer than a tenth of a thou, or 2 um, m.
const FINEST: f64 = 2e-6;
/// Nobody turns a dial finer than a fifth of a thou, or 5 um, m (a guess).
const DIALLED: f64 = 4e-6;
/// Rows of the table, at least and at most.
const ROWS: std::ops::RangeInclusive<usize> = 3..=6;

/// How much of a turn of the dial the last pass follows on lathes like the one described.
pub(super) fn follows(play: &Play<'_>, lathes: Range<u64>) -> Option<f64> {
    let more = 0.1 * play.set;
    let as_read = play.cut(lathes.clone(), Turn::AsRead);
    let further = play.cut(lathes, Turn::Further(more))?;
    let as_read = as_read?;
    let both = as_read.iter().zip(&further);
    Some(median(
        both.map(|((_, a), (_, b))| (b[1].size_error - a[1].size_error) / more)
            .collect(),
    ))
}

/// Fits the rule on lathes cut plainly: what each gauge read, what was true before and after the
/// last pass.
pub(super) fn fit(play: &Play<'_>, follows: f64, found: &[(f64, [Measures; 2])]) -> Fitted {
    let reads: Vec<f64> = found.iter().map(|(read, _)| *read).collect();
    let middle = median(reads.clone());
    let left = found
        .iter()
        .map(|(_, found)| -found[0].size_error - play.set);
    let usually_left = median(left.collect());
    let none = Fitted {
        last_pass: LastPass::plain(middle),
        follows: clamp(follows, 0.0, 1.2),
        usually_left,
        helps: false,
    };
    if follows < FLOATS {
        return none;
    }
    // What the plain rule leaves wrong, as the turn of the dial that would have mended it.
    let wanting: Vec<f64> = found
        .iter()
        .map(|(_, found)| -found[1].size_error / follows)
        .collect();
    let slope = clamp(slope(&reads, &wanting), -0.4, 2.0);
    let at = wanting
        .iter()
        .zip(&reads)
        .map(|(w, r)| w - slope * (r - middle));
    let base = median(at.collect());
    let line = |read: f64| base + slope * (read - middle);
    let ends = |more: &dyn Fn(f64) -> f64| -> Vec<f64> {
        let each = found.iter();
        each.map(|(read, found)| found[1].size_error + follows * more(*read))
            .collect()
    };
    let (fitted, aim) = aimed(play, &ends(&line));
    let (plain, plain_aim) = aimed(play, &ends(&|_| 0.0));
    let last_pass = if fitted <= plain {
        LastPass {
            read: middle,
            dial: middle + base + aim / follows,
            each: 1.0 + slope,
        }
    } else {
        LastPass {
            read: middle,
            dial: middle + plain_aim / follows,
            each: 1.0,
        }
    };
    Fitted {
        last_pass,
        helps: true,
        ..none
    }
}

impl Fitted {
    /// Rows of the table over what such lathes read, at readings that are round to a person: they
    /// stand where they do on other lathes drawn alike.
    pub(super) fn rows(&self, played: &[Piece], play: &Play<'_>) -> Vec<[f64; 2]> {
        let mut reads: Vec<f64> = played.iter().map(|one| one.read).collect();
        reads.sort_by(f64::total_cmp);
        let at = |share: f64| reads[(share * (reads.len() - 1) as f64) as usize];
        let (low, high) = (max(at(0.025), 0.0), max(at(0.975), 0.0));
        let last_pass = &self.last_pass;
        let units = play.scenario.job.units;
        let (first, rows, step) = round_rows(low, high, FINEST, units);
        // Rows close to each other still differ.
        let dialled = min(round_step(DIALLED, units), round_step(step / 2.5, units));
        (first..first + rows)
            .map(|i| {
                let read = step * i as f64;
                [read, dialled * (last_pass.turn(read) / dialled).round()]
            })
            .collect()
    }
}

/// The first row, as a multiple of the step, how many, and the step: the least round one, from this
/// on, that leaves not too many.
fn round_rows(low: f64, high: f64, least: f64, units: Units) -> (usize, usize, f64) {
    let mut step = round_step(least, units);
    loop {
        // A reading a hair beyond a row is that row's.
        let first = (low / step + 0.25).floor() as usize;
        let last = (high / step - 0.25).ceil() as usize;
        let rows = (last.saturating_sub(first) + 1).max(*ROWS.start());
        if rows <= *ROWS.end() {
            return (first, rows, step);
        }
        step = round_step(1.5 * step, units);
    }
}

/// Least loss over where the sizes' middle is put, and by how much they are moved for it, m.
fn aimed(play: &Play<'_>, sizes: &[f64]) -> (f64, f64) {
    let [low, high] = play.limits.size;
    let middle = 0.5 * (low + high);
    let half = 0.5 * (high - low);
    let loss = |by: f64| {
        let each = sizes.iter().map(|size| {
            // A lathe near a limit stands for others on either side of it.
            let beyond = |off: f64| clamp(off / (SMOOTH * half) + 0.5, 0.0, 1.0);
            let size = size + by;
            TOO_FAR * beyond(size - high) + beyond(low - size)
        });
        // In between, near the middle is better: what is not lost on these may be on others.
        let off: f64 = sizes
            .iter()
            .map(|s| min(((s + by - middle) / half).abs(), 1.0))
            .sum();
        each.sum::<f64>() + 0.05 * off
    };
    let tried = (-20..=8).map(|i| middle + 0.05 * f64::from(i) * half);
    tried
        .map(|by| (loss(by), by))
        .min_by(|a, b| a.0.total_cmp(&b.0))
        .unwrap_or((0.0, 0.0))
}

fn median(mut values: Vec<f64>) -> f64 {
    let at = values.len() / 2;
    let (_, middle, _) = values.select_nth_unstable_by(at, f64::total_cmp);
    *middle
}

/// Slope of the least-squares line, the tenths at either end drawn in to where they begin.
fn slope(x: &[f64], y: &[f64]) -> f64 {
    let [x, y] = [x, y].map(|values| {
        let mut sorted = values.to_vec();
        sorted.sort_by(f64::total_cmp);
        let tenth = sorted.len() / 10;
        let ends = (sorted[tenth], sorted[sorted.len() - 1 - tenth]);
        let drawn = values.iter().map(|v| clamp(*v, ends.0, ends.1));
        drawn.collect::<Vec<f64>>()
    });
    line_through(x.into_iter().zip(y)).1
}
