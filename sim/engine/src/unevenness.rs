//! What the work brings to the cut: hard and soft patches, run-out, out-of-round, and the drag's
//! change along the stroke, as fields fixed to the work and repeated exactly for a seed.
//!
//! The patches are a Gaussian field of standard deviation 1 on (angle, Z), periodic in angle and
//! band-limited, as a sum of cosines with random wave numbers (spectral representation,
//! Shinozuka and Deodatis, Appl. Mech. Rev. 44 (1991) 191). A patch as long as `patch` is half a
//! wave at one standard deviation of the wave number; patches are as wide as they are long.
//! Feeding in or out, front or rear, every way of cutting meets the same field.

use std::f64::consts::{PI, TAU};

use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha12Rng;

use crate::arithmetic::{clamp, cos, max, min, sin_cos};
use crate::quantity::INCH;
use crate::variates::normal;

/// Cosines in the sum.
const WAVES: usize = 32;
/// Waves round the work at most: the field must not change with the number of steps a turn, and
/// a quarter of the usual 24 still has four steps to the shortest wave.
const AROUND_MOST: f64 = 6.0;
const ORDERS: usize = AROUND_MOST as usize + 1;
/// The drag's patches along the stroke, m of slide travel (a guess: oil and scraping marks).
const DRAG_PATCH: f64 = 10e-3;
/// A hand's feed changes over this much of it, m: half a turn of the crank.
const HAND_PATCH: f64 = 0.050 * INCH;

/// Random streams, one a purpose, so that adding one doesn't shift another.
#[derive(Clone, Copy)]
enum Stream {
    Hardness = 1,
    Drag = 2,
    Blank = 3,
    HandFeed = 4,
}

fn stream(seed: u64, stream: Stream) -> ChaCha12Rng {
    let mut rng = ChaCha12Rng::seed_from_u64(seed);
    rng.set_stream(stream as u64);
    rng
}

/// What the waves of a piece grow from, each by itself, so that a part of them can be drawn anew and
/// the rest stay.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Luck([u64; WAVES]);

impl Luck {
    /// Waves of each field.
    pub const WAVES: usize = WAVES;

    /// The same with these waves of another seed.
    pub fn renewed(&self, waves: impl Iterator<Item = usize>, seed: u64) -> Self {
        let mut other = self.clone();
        waves.for_each(|wave| other.0[wave % WAVES] = seed);
        other
    }

    /// Each wave as its seed's stream draws it there.
    fn waves<T>(&self, from: Stream, mut draw: impl FnMut(&mut ChaCha12Rng) -> T) -> Vec<T> {
        let mut waves: Vec<Option<T>> = self.0.iter().map(|_| None).collect();
        for (first, seed) in self.0.iter().enumerate() {
            if self.0[..first].contains(seed) {
                continue;
            }
            let mut rng = stream(*seed, from);
            let last = self.0.iter().rposition(|other| other == seed);
            let up_to = self
                .0
                .iter()
                .zip(&mut waves)
                .take(1 + last.unwrap_or(first));
            for (own, wave) in up_to {
                let drawn = draw(&mut rng);
                if own == seed {
                    *wave = Some(drawn);
                }
            }
        }
        waves.into_iter().flatten().collect()
    }
}

impl From<u64> for Luck {
    fn from(seed: u64) -> Self {
        Self([seed; WAVES])
    }
}

/// `cos(along z + around angle + phase)`.
struct Wave {
    along: f64,
    around: i32,
    phase: f64,
}

/// A field over (angle, length), tabulated.
#[derive(Clone, Debug, PartialEq)]
pub struct HardnessField {
    /// Place by place, round the work at each.
    values: Vec<f64>,
    meridians: usize,
    nodes: usize,
    per_metre: f64,
}

impl HardnessField {
    /// Hardness over its mean, less one, for a piece of this length and mean radius.
    pub fn hardness(
        luck: &Luck,
        sigma: f64,
        patch: f64,
        length: f64,
        radius: f64,
        meridians: usize,
    ) -> Self {
        let wave_number = PI / patch;
        let waves: Vec<Wave> = luck.waves(Stream::Hardness, |rng| {
            let along = normal(rng) * wave_number;
            let around = (normal(rng) * wave_number * radius).round();
            Wave {
                along,
                around: clamp(around, -AROUND_MOST, AROUND_MOST) as i32,
                phase: rng.random::<f64>() * TAU,
            }
        });
        let nodes = ((length / (patch / 8.0)).ceil() as usize + 2).clamp(2, 2000);
        let step = length / (nodes - 1) as f64;
        let scale = sigma * (2.0 / WAVES as f64).sqrt();
        // All waves that go round the work alike are one: a cosine and a sine of the angle.
        let round: Vec<[(f64, f64); ORDERS]> = (0..meridians)
            .map(|meridian| {
                let angle = TAU * meridian as f64 / meridians as f64;
                std::array::from_fn(|order| {
                    let (sin, cos) = sin_cos(order as f64 * angle);
                    (cos, sin)
                })
            })
            .collect();
        let mut values = Vec::with_capacity(nodes * meridians);
        // From place to place each wave goes on by the same angle.
        let mut turned: Vec<((f64, f64), (f64, f64))> = waves
            .iter()
            .map(|wave| (sin_cos(wave.phase), sin_cos(wave.along * step)))
            .collect();
        for _ in 0..nodes {
            let mut sums = [(0.0, 0.0); ORDERS];
            for (wave, ((sin, cos), by)) in waves.iter().zip(&mut turned) {
                let (was_sin, was_cos) = (*sin, *cos);
                (*sin, *cos) = (
                    was_sin * by.1 + was_cos * by.0,
                    was_cos * by.1 - was_sin * by.0,
                );
                let (sin, cos) = (was_sin, was_cos);
                let (even, odd) = &mut sums[wave.around.unsigned_abs() as usize];
                *even += cos;
                *odd -= f64::from(wave.around.signum()) * sin;
            }
            for round in &round {
                let sum: f64 = sums
                    .iter()
                    .zip(round)
                    .map(|((even, odd), (cos, sin))| even * cos + odd * sin)
                    .sum();
                values.push(max(scale * sum, -0.9));
            }
        }
        Self {
            values,
            meridians,
            nodes,
            per_metre: 1.0 / step,
        }
    }

    /// Value at one meridian and place.
    #[inline]
    pub fn at(&self, meridian: usize, z: f64) -> f64 {
        let place = clamp(z * self.per_metre, 0.0, (self.nodes - 1) as f64);
        let i = (place as usize).min(self.nodes - 2);
        let base = i * self.meridians + meridian;
        let (a, b) = (self.values[base], self.values[base + self.meridians]);
        a + (place - i as f64) * (b - a)
    }

    /// Places along the work.
    pub(crate) fn rows(&self) -> usize {
        self.nodes
    }

    /// Of them a metre.
    pub(crate) fn per_metre(&self) -> f64 {
        self.per_metre
    }

    /// The place before `z`.
    pub(crate) fn row(&self, z: f64) -> usize {
        let place = clamp(z * self.per_metre, 0.0, (self.nodes - 1) as f64);
        (place as usize).min(self.nodes - 2)
    }

    /// Values on a meridian at a place and the next.
    pub(crate) fn between(&self, meridian: usize, row: usize) -> (f64, f64) {
        let at = row * self.meridians + meridian;
        (self.values[at], self.values[at + self.meridians])
    }

    /// The field with every value (over the mean, not less one) times a factor along the work,
    /// given at places this far apart; as fine as these are, or as the field was.
    pub(crate) fn times(&self, length: f64, spacing: f64, factors: &[f64]) -> Self {
        let fine = (length / spacing).ceil() as usize + 2;
        let nodes = fine.max(self.nodes);
        let step = length / (nodes - 1) as f64;
        let last = factors.len() - 1;
        let mut values = Vec::with_capacity(nodes * self.meridians);
        for node in 0..nodes {
            let z = step * node as f64;
            let place = min(z / spacing, last as f64);
            let i = (place as usize).min(last.saturating_sub(1));
            let next = factors[(i + 1).min(last)];
            let factor = factors[i] + (place - i as f64) * (next - factors[i]);
            for meridian in 0..self.meridians {
                let value = (1.0 + self.at(meridian, z)) * factor - 1.0;
                values.push(max(value, -0.9));
            }
        }
        Self {
            values,
            meridians: self.meridians,
            nodes,
            per_metre: 1.0 / step,
        }
    }
}

/// A hand's feed per turn over its mean, less one, with the spacing of its places, m.
///
/// It changes over half a turn of the crank: 1/20 in of a screw of ten threads (a guess).
pub fn hand_feed(seed: u64, deviation: f64, length: f64) -> (f64, Vec<f64>) {
    let places = ((length / (HAND_PATCH / 8.0)).ceil() as usize + 1).clamp(2, 4000);
    let spacing = length / (places - 1) as f64;
    let mut rng = stream(seed, Stream::HandFeed);
    let waves: Vec<[f64; 2]> = (0..WAVES)
        .map(|_| {
            [
                normal(&mut rng) * PI / HAND_PATCH,
                rng.random::<f64>() * TAU,
            ]
        })
        .collect();
    let scale = deviation * (2.0 / WAVES as f64).sqrt();
    let feed = sums_of_cosines(&waves, spacing)
        .map(|sum| max(scale * sum, -0.8))
        .take(places)
        .collect();
    (spacing, feed)
}

/// The drag along the stroke over its mean, less one, at evenly spaced places of the slide.
///
/// `change` is half of the swing: taken as two standard deviations of the field.
pub fn drag_along_stroke(luck: &Luck, change: f64, stroke: f64) -> Vec<f64> {
    // Straight from place to place, a sixteenth of a patch apart: within half a per cent.
    let places = ((stroke / (DRAG_PATCH / 16.0)).ceil() as usize + 1).clamp(2, 2000);
    let waves: Vec<[f64; 2]> = luck.waves(Stream::Drag, |rng| {
        [normal(rng) * PI / DRAG_PATCH, rng.random::<f64>() * TAU]
    });
    let scale = 0.5 * change * (2.0 / WAVES as f64).sqrt();
    sums_of_cosines(&waves, stroke / (places - 1) as f64)
        .map(|sum| max(scale * sum, -0.9))
        .take(places)
        .collect()
}

/// Sums of `cos(k x + phase)` at `x = 0, spacing, 2 spacing, ...`.
///
/// From place to place each wave turns on by the same angle: within 1e-12 over the thousands of
/// places there are.
fn sums_of_cosines(waves: &[[f64; 2]], spacing: f64) -> impl Iterator<Item = f64> {
    let mut turned: Vec<[f64; 4]> = waves
        .iter()
        .map(|[k, phase]| {
            let ((sin, cos), (by_sin, by_cos)) = (sin_cos(*phase), sin_cos(k * spacing));
            [cos, sin, by_cos, by_sin]
        })
        .collect();
    std::iter::repeat_with(move || {
        let mut sum = 0.0;
        for [cos, sin, by_cos, by_sin] in &mut turned {
            sum += *cos;
            let was = *cos;
            *cos = was * *by_cos - *sin * *by_sin;
            *sin = *sin * *by_cos + was * *by_sin;
        }
        sum
    })
}

/// Height of the surface the work starts from, by meridian, m, positive where metal is missing
/// (further into the cut): half the run-out once a turn, half the out-of-round twice.
pub fn blank(luck: &Luck, run_out: f64, ovality: f64, meridians: usize) -> Vec<f64> {
    let mut rng = stream(luck.0[0], Stream::Blank);
    let (once, twice) = (rng.random::<f64>() * TAU, rng.random::<f64>() * TAU);
    (0..meridians)
        .map(|j| {
            let angle = TAU * j as f64 / meridians as f64;
            0.5 * run_out * cos(angle + once) + 0.5 * ovality * cos(2.0 * angle + twice)
        })
        .collect()
}

/// Share of each meridian's width that is metal, with slots that take up `slot` of the
/// circumference each, evenly round the work; the first begins at meridian 0.
pub fn metal(count: u32, slot: f64, meridians: usize) -> Vec<f64> {
    let width = 1.0 / meridians as f64;
    (0..meridians)
        .map(|j| {
            let from = j as f64 * width;
            let missing: f64 = (0..=count)
                .map(|n| {
                    let begins = f64::from(n) / f64::from(count);
                    max(min(begins + slot, from + width) - max(begins, from), 0.0)
                })
                .sum();
            1.0 - min(missing / width, 1.0)
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn patches_have_the_stated_deviation_and_close_round_the_work() {
        let (mut sum, mut squares, mut count) = (0.0, 0.0, 0.0);
        for seed in 0..40_u64 {
            let field = HardnessField::hardness(&seed.into(), 0.05, 12.7e-3, 76e-3, 20e-3, 24);
            for meridian in 0..24 {
                for i in 0..60 {
                    let v = field.at(meridian, 76e-3 * f64::from(i) / 59.0);
                    sum += v;
                    squares += v * v;
                    count += 1.0;
                }
            }
        }
        let deviation = (squares / count - (sum / count).powi(2)).sqrt();
        assert!((deviation / 0.05 - 1.0).abs() < 0.1, "{deviation}");
    }

    #[test]
    fn luck_renewed_in_part_keeps_the_rest_and_in_whole_is_another() {
        let (one, other) = (Luck::from(1), Luck::from(2));
        let drag = |luck: &Luck| drag_along_stroke(luck, 0.4, 50e-3);
        assert_eq!(drag(&one.renewed(0..WAVES, 2)), drag(&other));
        // Half of each, and the other half of each: the same waves in all.
        let half = |of: &Luck, seed| drag(&of.renewed(0..WAVES / 2, seed));
        let (mixed, back) = (half(&one, 2), half(&other, 1));
        assert!(mixed != drag(&one) && mixed != drag(&other));
        for i in 0..mixed.len() {
            let (a, b) = (drag(&one)[i] + drag(&other)[i], mixed[i] + back[i]);
            assert!((a - b).abs() < 1e-12, "{i}: {a} {b}");
        }
    }

    #[test]
    fn waves_turned_from_place_to_place_are_their_cosines() {
        let waves = [[3.1, 0.4], [-870.0, 5.9], [45.0, 2.2]];
        let spacing = 0.16e-3;
        for (i, sum) in sums_of_cosines(&waves, spacing).enumerate().take(4000) {
            let x = spacing * i as f64;
            let wanted: f64 = waves.iter().map(|[k, phase]| (k * x + phase).cos()).sum();
            assert!((sum - wanted).abs() < 1e-11, "{i}: {sum} {wanted}");
        }
    }

    #[test]
    fn slots_take_their_share_of_the_circumference() {
        for (count, slot, meridians) in [(1, 0.05, 24), (2, 0.1, 24), (3, 0.03, 7), (12, 0.04, 5)] {
            let metal = metal(count, slot, meridians);
            assert!(metal.iter().all(|share| (0.0..=1.0).contains(share)));
            let mean = metal.iter().sum::<f64>() / meridians as f64;
            let left = 1.0 - f64::from(count) * slot;
            assert!(
                (mean - left).abs() < 1e-12,
                "{count} {slot} {meridians}: {mean}"
            );
        }
    }

    #[test]
    fn run_out_reads_as_its_total_on_an_indicator() {
        let heights = blank(&Luck::from(3), 75e-6, 0.0, 360);
        let (low, high) = heights
            .iter()
            .fold((f64::MAX, f64::MIN), |(l, h), &v| (l.min(v), h.max(v)));
        assert!((high - low - 75e-6).abs() < 1e-8);
    }
}
