//! Draws of a posterior by tempered sequential Monte Carlo, in standard normal coordinates.
//!
//! From draws of the prior the likelihood of what was gauged comes in by steps, each so great that half
//! of the draws stay worth their place; they are resampled (systematically) and moved until copies have
//! come apart. What one piece leaves is where the next one begins, all told before kept in the moves.
//!
//! A move draws anew from the normal distribution that the draws have, keeping some of where it stood
//! (an autoregressive proposal, reversible for that normal, accepted by Metropolis and Hastings). Their
//! covariance is taken from the draws but for what as many draws of a standard normal would show by
//! chance (the band of Marchenko and Pastur): there the prior's stands.

use rand::{RngExt, SeedableRng, distr::Open01};
use rand_chacha::ChaCha8Rng;

use super::population::{Normal, State, dot};
use crate::arithmetic::{exp, max, min, powi};
use crate::parallel::*;
use crate::unevenness::Luck;
use crate::weighing::Comes;

/// Of the draws so much stays worth its place in a step.
const STAYS: f64 = 0.5;
/// Moves in a step go on until copies have so much in common at most (square of the correlation), in
/// the end until no more than so much of a draw goes together with others; so many sweeps at most.
const APART: f64 = 0.5;
const LAST_EXCESS: f64 = 0.25;
const MOST_SWEEPS: usize = 12;
const MOST_LAST: usize = 80;
/// Share of moves taken that a step's size is held in.
const TAKEN: [f64; 2] = [0.25, 0.5];
/// Sweeps after which the draws' normal distribution is taken anew.
const REFITTED: usize = 4;
/// Steps for one piece at most; the last takes what is left.
const MOST_STEPS: usize = 60;

/// How it goes on: told after each sweep.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Step {
    /// Pieces cut so far.
    pub cuts: usize,
    /// How much of what was gauged counts by now, 0 to 1.
    pub counts: f64,
}

/// What comes of pieces: by which piece, of these draws.
pub(super) type Cut<'a> = &'a (dyn Fn(usize, &[State]) -> Vec<Comes> + Sync);

/// What was drawn.
pub(super) struct Sampled {
    /// Draws of the posterior, alike in weight.
    pub states: Vec<State>,
    /// What they are worth, copies not counted.
    pub effective: f64,
    /// Pieces cut.
    pub cuts: usize,
    /// Steps of the tempering.
    pub steps: usize,
    /// What was gauged against the nearest lathe, with how far that one lies out in its ranges: root
    /// of the mean square in standard deviations.
    pub misses: f64,
}

/// Draws with what came of them.
struct Population<'a> {
    seed: u64,
    cut: Cut<'a>,
    states: Vec<State>,
    /// By piece, by draw.
    comes: Vec<Vec<Comes>>,
    /// How much of what the last piece gave counts.
    heat: f64,
    /// Share that a move of the lathe changes, and of the luck.
    step: f64,
    luck_step: f64,
    sweeps: u64,
    cuts: usize,
}

impl Population<'_> {
    fn unlikely(&self, comes: &dyn Fn(usize) -> f64) -> f64 {
        let last = self.comes.len() - 1;
        let before: f64 = (0..last).map(comes).sum();
        before + self.heat * comes(last)
    }

    fn luck(&self, of: u64) -> ChaCha8Rng {
        let mut luck = ChaCha8Rng::seed_from_u64(self.seed ^ u64::from_le_bytes(*b"sampler "));
        luck.set_stream(self.sweeps << 32 | of);
        luck
    }

    /// Moves every draw once: by turns the lathe, and a part of the luck of one piece.
    fn sweep(&mut self, normal: &Normal) {
        self.sweeps += 1;
        let turn = (self.sweeps / 2) as usize;
        let only = self
            .sweeps
            .is_multiple_of(2)
            .then_some(turn % self.comes.len());
        let share = self.moved(normal, only);
        let step = if only.is_none() {
            &mut self.step
        } else {
            &mut self.luck_step
        };
        if share < TAKEN[0] {
            *step *= 0.7;
        } else if share > TAKEN[1] {
            *step = min(1.3 * *step, 1.0);
        }
    }

    /// The lathe, or the luck of this piece only; returns the share that moved.
    fn moved(&mut self, normal: &Normal, only: Option<usize>) -> f64 {
        let renewed = max(self.luck_step * Luck::WAVES as f64, 1.0) as usize;
        let made: Vec<(State, f64)> = self
            .states
            .iter()
            .enumerate()
            .map(|(i, state)| {
                let mut luck = self.luck(i as u64);
                let chance: f64 = luck.sample(Open01);
                let mut made = state.clone();
                if let Some(piece) = only {
                    let from = luck.random_range(0..Luck::WAVES);
                    let waves = from..from + renewed;
                    made.lucks[piece] = state.lucks[piece].renewed(waves, luck.random());
                } else {
                    made.scores = normal.proposed(&state.scores, self.step, &mut luck);
                }
                (made, chance)
            })
            .collect();
        let (states, chances): (Vec<State>, Vec<f64>) = made.into_iter().unzip();
        let cut = |all: &mut Self, piece: usize| {
            let anew = only.is_none_or(|only| only == piece);
            anew.then(|| all.all(piece, &states))
        };
        let pieces = self.comes.len();
        let comes: Vec<Option<Vec<Comes>>> = (0..pieces).map(|piece| cut(self, piece)).collect();
        let mut taken = 0;
        for (i, (state, chance)) in states.into_iter().zip(chances).enumerate() {
            let old = &self.states[i];
            let was = |piece: usize| self.comes[piece][i].unlikely();
            let is = |piece: usize| match &comes[piece] {
                Some(comes) => comes[i].unlikely(),
                None => was(piece),
            };
            let mut more = self.unlikely(&is) - self.unlikely(&was);
            if only.is_none() {
                more += dot(&state.scores, &state.scores) - dot(&old.scores, &old.scores);
                more -= normal.unlikely(&state.scores) - normal.unlikely(&old.scores);
            }
            if chance < exp(-0.5 * more) {
                self.states[i] = state;
                for (kept, comes) in self.comes.iter_mut().zip(&comes) {
                    if let Some(comes) = comes {
                        kept[i] = comes[i].clone();
                    }
                }
                taken += 1;
            }
        }
        f64::from(taken) / self.states.len() as f64
    }

    fn all(&mut self, piece: usize, states: &[State]) -> Vec<Comes> {
        self.cuts += states.len();
        let groups: Vec<&[State]> = states.chunks(crate::cut::BATCH).collect();
        let cut = self.cut;
        let made: Vec<Vec<Comes>> = groups
            .into_par_iter()
            .map(|group| cut(piece, group))
            .collect();
        made.into_iter().flatten().collect()
    }

    /// Cuts a piece on the draws as they stand; of what it gave nothing counts yet.
    fn begin(&mut self, piece: usize) {
        let states = std::mem::take(&mut self.states);
        let comes = self.all(piece, &states);
        self.states = states;
        self.comes.push(comes);
        self.heat = 0.0;
    }

    /// The normal distribution of the draws as they stand.
    fn normal(&self) -> Normal {
        let n = self.states.len() as f64;
        Normal::of(&self.states, &vec![1.0 / n; self.states.len()], n)
    }

    /// Moves the draws until each has so little in common with where it stood, or so many times;
    /// returns how much that is.
    fn part(
        &mut self,
        mut normal: Normal,
        (apart, most): (f64, usize),
        (piece, pieces): (usize, usize),
        tick: &mut dyn FnMut(Step),
    ) -> f64 {
        let start = self.states.clone();
        let mut alike = 1.0;
        for sweep in 1..=most {
            self.sweep(&normal);
            tick(Step {
                cuts: self.cuts,
                counts: (piece as f64 + self.heat) / pieces as f64,
            });
            alike = in_common(&start, &self.states);
            if sweep.is_multiple_of(2) && alike < apart {
                break;
            }
            if sweep.is_multiple_of(REFITTED) {
                normal = self.normal();
            }
        }
        alike
    }

    /// How far the nearest draw is off what was read, and the draws from the middle of their ranges.
    fn misses(&self, count: usize) -> f64 {
        let n = self.states.len();
        let misfit = |i: usize| {
            self.comes
                .iter()
                .map(|comes| comes[i].misfit())
                .sum::<f64>()
        };
        let least = (0..n).map(misfit).fold(f64::INFINITY, min);
        let mean = self.normal().mean;
        ((least + dot(&mean, &mean)) / max(count as f64, 1.0)).sqrt()
    }

    /// Systematic resampling; returns of how many copies a draw has on average.
    fn resample(&mut self, weights: &[f64]) -> f64 {
        self.sweeps += 1;
        let n = self.states.len();
        let first: f64 = self.luck(0).sample(Open01);
        let mut parents = Vec::with_capacity(n);
        let (mut parent, mut below) = (0, weights[0]);
        for i in 0..n {
            let at = (i as f64 + first) / n as f64;
            while at > below && parent + 1 < n {
                parent += 1;
                below += weights[parent];
            }
            parents.push(parent);
        }
        let mut copies = vec![0.0; n];
        parents.iter().for_each(|parent| copies[*parent] += 1.0);
        self.states = parents.iter().map(|p| self.states[*p].clone()).collect();
        for comes in &mut self.comes {
            *comes = parents.iter().map(|p| comes[*p].clone()).collect();
        }
        copies.iter().map(|c| c * c).sum::<f64>() / n as f64
    }

    /// The next heat and what the draws weigh there, all together one.
    fn next_heat(&self) -> (f64, Vec<f64>, f64) {
        let unlikely: Vec<f64> = match self.comes.last() {
            Some(comes) => comes.iter().map(Comes::unlikely).collect(),
            None => Vec::new(),
        };
        let likeliest = unlikely.iter().copied().fold(f64::INFINITY, min);
        let at = |heat: f64| -> (Vec<f64>, f64) {
            let of = |unlikely: f64| {
                let weight = exp(-0.5 * (heat - self.heat) * (unlikely - likeliest));
                if weight.is_nan() { 0.0 } else { weight }
            };
            let weights: Vec<f64> = unlikely.iter().map(|u| of(*u)).collect();
            let sum: f64 = weights.iter().sum();
            let worth = sum * sum / weights.iter().map(|w| w * w).sum::<f64>();
            (weights.iter().map(|w| w / sum).collect(), worth)
        };
        let enough = STAYS * unlikely.len() as f64;
        let whole = at(1.0);
        if whole.1 >= enough {
            return (1.0, whole.0, whole.1);
        }
        let (mut low, mut high) = (self.heat, 1.0);
        for _ in 0..50 {
            let middle = 0.5 * (low + high);
            if at(middle).1 >= enough {
                low = middle;
            } else {
                high = middle;
            }
        }
        let (weights, worth) = at(low);
        (low, weights, worth)
    }
}

/// The most that any coordinate has in common with where it started: square of the correlation.
fn in_common(start: &[State], now: &[State]) -> f64 {
    let (n, d) = (now.len() as f64, now[0].scores.len());
    (0..d)
        .map(|i| {
            let mean = |of: &[State]| of.iter().map(|s| s.scores[i]).sum::<f64>() / n;
            let (a, b) = (mean(start), mean(now));
            let sum = |of: &dyn Fn(f64, f64) -> f64| -> f64 {
                let both = start.iter().zip(now);
                both.map(|(s, t)| of(s.scores[i] - a, t.scores[i] - b))
                    .sum()
            };
            let (both, one, other) = (sum(&|s, t| s * t), sum(&|s, _| s * s), sum(&|_, t| t * t));
            let correlation = both / (one * other).sqrt();
            if correlation.is_nan() {
                1.0
            } else {
                powi(max(correlation, 0.0), 2)
            }
        })
        .fold(0.0, max)
}

/// Draws differing from each other.
fn distinct(states: &[State]) -> usize {
    // Copies lie side by side after systematic resampling.
    1 + states.windows(2).filter(|two| two[0] != two[1]).count()
}

/// Draws of the prior as draws of the posterior; `gauged`: by piece how many things were read on it.
///
/// # Errors
/// How far, in standard deviations, the nearest lathe is off, where that is more than `farthest`.
pub(super) fn sample(
    prior: Vec<State>,
    (seed, gauged): (u64, &[usize]),
    farthest: f64,
    cut: Cut<'_>,
    tick: &mut dyn FnMut(Step),
) -> Result<Sampled, f64> {
    let n = prior.len();
    let mut all = Population {
        seed,
        cut,
        states: prior,
        comes: Vec::new(),
        heat: 0.0,
        step: 0.7,
        luck_step: 1.0,
        sweeps: 0,
        cuts: 0,
    };
    // Draws that go together with each, besides itself.
    let mut excess = 0.0;
    let mut steps = 0;
    for piece in 0..gauged.len() {
        let count: usize = gauged[..=piece].iter().sum();
        all.begin(piece);
        let most = steps + MOST_STEPS;
        while all.heat < 1.0 {
            let (next, weights, worth) = all.next_heat();
            if !worth.is_finite() {
                return Err(f64::INFINITY);
            }
            // Weights all alike: nothing is told, and nothing moves.
            if next >= 1.0 && worth > n as f64 - 1e-3 {
                all.heat = 1.0;
                break;
            }
            steps += 1;
            let normal = Normal::of(&all.states, &weights, worth);
            let far = (dot(&normal.mean, &normal.mean) / max(count as f64, 1.0)).sqrt();
            if far > farthest {
                return Err(far);
            }
            let copies = all.resample(&weights);
            excess = (1.0 + excess) * copies - 1.0;
            all.heat = if steps < most { next } else { 1.0 };
            let limits = (APART, MOST_SWEEPS);
            excess *= all.part(normal, limits, (piece, gauged.len()), tick);
        }
    }
    if steps > 0 {
        let normal = all.normal();
        let limits = (min(LAST_EXCESS / excess, APART), MOST_LAST);
        excess *= all.part(normal, limits, (gauged.len() - 1, gauged.len()), tick);
    }
    let misses = all.misses(gauged.iter().sum());
    if misses > farthest || misses.is_nan() {
        return Err(misses);
    }
    let worth = n as f64 / (1.0 + max(excess, 0.0));
    let effective = if steps > 0 {
        min(worth, distinct(&all.states) as f64)
    } else {
        n as f64
    };
    Ok(Sampled {
        states: all.states,
        effective,
        cuts: all.cuts,
        steps,
        misses,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario::finished::Measured;
    use crate::variates::normal;

    fn prior(draws: usize, d: usize, pieces: usize) -> Vec<State> {
        let mut luck = ChaCha8Rng::seed_from_u64(5);
        let state = |_| State {
            scores: (0..d).map(|_| normal(&mut luck)).collect(),
            lucks: vec![Luck::from(0); pieces],
        };
        (0..draws).map(state).collect()
    }

    fn moments(states: &[State], of: &dyn Fn(&State) -> f64) -> (f64, f64) {
        let n = states.len() as f64;
        let mean = states.iter().map(of).sum::<f64>() / n;
        let variance = states.iter().map(|s| powi(of(s) - mean, 2)).sum::<f64>() / n;
        (mean, variance.sqrt())
    }

    /// A sum of two scores is gauged, on one piece or on two, far finer than the prior draws lie: closed
    /// forms of normals.
    #[test]
    fn a_normal_posterior_is_found_whether_told_at_once_or_piece_by_piece() {
        let off = 0.02;
        let told = |states: &[State], off: f64| -> Vec<Comes> {
            let one = |state: &State| {
                let mut comes = Comes::default();
                let read = Measured {
                    value: 2.0,
                    off: 1.96 * off,
                };
                comes.against(Some(read), state.scores[3] + state.scores[17], [0.0; 2]);
                comes
            };
            states.iter().map(one).collect()
        };
        let once = |_: usize, states: &[State]| told(states, off);
        let twice = |_: usize, states: &[State]| told(states, 2f64.sqrt() * off);
        let cuts: [(&[usize], Cut<'_>); 2] = [(&[1], &once), (&[1, 1], &twice)];
        for (gauged, cut) in cuts {
            let states = prior(1000, 30, gauged.len());
            let found = sample(states, (1, gauged), 4.0, cut, &mut |_| {}).expect("within reach");
            assert!(found.effective >= 400.0, "{}", found.effective);
            // Prior variance of the sum 2: mean 2 * 2 / (2 + off^2).
            let sum = |s: &State| s.scores[3] + s.scores[17];
            let (mean, spread) = moments(&found.states, &sum);
            assert!((mean - 2.0).abs() < 4.0 * off / 400f64.sqrt(), "{mean}");
            assert!((spread / off - 1.0).abs() < 0.15, "{spread}");
            // The difference and all others stay as they were: 4 standard errors of 400.
            let free = |s: &State| (s.scores[3] - s.scores[17]) / 2f64.sqrt();
            for of in [&free as &dyn Fn(&State) -> f64, &|s| s.scores[0]] {
                let (mean, spread) = moments(&found.states, of);
                assert!(mean.abs() < 0.2, "{mean}");
                assert!((spread - 1.0).abs() < 0.15, "{spread}");
            }
        }
    }

    #[test]
    fn what_no_lathe_gives_is_out_of_reach_by_so_many_deviations() {
        let cut = |_: usize, states: &[State]| -> Vec<Comes> {
            let one = |state: &State| {
                let mut comes = Comes::default();
                let read = Measured {
                    value: 9.0,
                    off: 0.1,
                };
                comes.against(Some(read), state.scores[0], [0.0; 2]);
                comes
            };
            states.iter().map(one).collect()
        };
        let far = sample(prior(300, 5, 1), (1, &[1]), 4.0, &cut, &mut |_| {});
        assert!(far.is_err_and(|far| far > 4.0 && far < 10.0));
    }
}
