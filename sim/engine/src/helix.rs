//! Tables round the work and along it, read along the helix of the feed.

use crate::arithmetic::clamp;
use crate::lanes::{Four, Lanes};

/// A table's rows: one place along the work each, evenly spaced, with a value for every line.
#[derive(Clone, Copy)]
pub struct Rows<'a> {
    /// Row by row.
    pub values: &'a [f64],
    /// Lines along the work: values in a row.
    pub lines: usize,
    /// Rows a metre.
    pub per_metre: f64,
}

impl Rows<'_> {
    /// Value on every line in turn, the first at `z` (m), each `step` further on than the last;
    /// between rows straight, beyond the ends held.
    #[inline]
    pub fn along_turn(&self, z: f64, step: f64, into: &mut [f64]) {
        let (lines, rows) = (self.lines, self.values.len() / self.lines);
        let last = (rows - 1) as f64;
        let place = |line: usize| (z + step * f64::from(line as i32)) * self.per_metre;
        let row = |line: usize| (clamp(place(line), 0.0, last) as i32 as usize).min(rows - 2);
        let within = |line: usize| (0.0..=last).contains(&place(line));
        let inside = within(0) && within(lines - 1);
        let per_place = 1.0 / (step * self.per_metre);
        let into = &mut into[..lines];
        let mut from = 0;
        while from < lines {
            let i = row(from);
            // A turn goes on by about a row: most of it lies between the same two.
            let first = i as f64;
            let until = if row(lines - 1) == i {
                lines
            } else {
                // Through the row's far end, or its near one if they come the other way.
                let end = first + f64::from(u8::from(step > 0.0));
                let guess = after((end - z * self.per_metre) * per_place);
                run_of(from, lines, guess, |line| row(line) == i)
            };
            let a = &self.values[i * lines..][from..until];
            let b = &self.values[(i + 1) * lines..][from..until];
            let into = &mut into[from..until];
            let mut next = 0;
            if inside {
                let mut line = Four::from([0.0, 1.0, 2.0, 3.0]) + Four::splat(from as f64);
                let fours = into.chunks_exact_mut(4).zip(a.chunks_exact(4));
                for ((into, a), b) in fours.zip(b.chunks_exact(4)) {
                    let place =
                        (Four::splat(z) + Four::splat(step) * line) * Four::splat(self.per_metre);
                    let (a, b) = (Four::load(a), Four::load(b));
                    (a + (place - Four::splat(first)) * (b - a)).store(into);
                    line += Four::splat(4.0);
                    next += 4;
                }
            }
            for j in next..into.len() {
                let place = clamp(place(from + j), 0.0, last);
                into[j] = a[j] + (place - first) * (b[j] - a[j]);
            }
            from = until;
        }
    }
}

/// The first line after a place counted in lines.
#[inline(always)]
pub fn after(place: f64) -> usize {
    (place as i32).max(0) as usize + 1
}

/// The end of the run of lines from `from` on of which `same` holds; it holds for the first, and
/// after the first for which it doesn't for none. `guess` is where it may be.
#[inline(always)]
pub fn run_of(from: usize, lines: usize, guess: usize, same: impl Fn(usize) -> bool) -> usize {
    let (mut low, mut high) = ((from + 1).min(lines), lines);
    let guess = guess.clamp(low, high);
    if (guess == low || same(guess - 1)) && (guess == high || !same(guess)) {
        return guess;
    }
    while low < high {
        let middle = low + (high - low) / 2;
        if same(middle) {
            low = middle + 1;
        } else {
            high = middle;
        }
    }
    low
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    proptest! {
        /// The definition, place by place, is the reference.
        #[test]
        fn a_turn_is_its_places_one_by_one(
            values in prop::collection::vec(-1.0..1.0, 200),
            lines in 1usize..30,
            z in -0.02..0.12,
            step in -2e-3..2e-3,
        ) {
            let rows = values.len() / lines;
            let table = Rows { values: &values[..rows * lines], lines, per_metre: (rows - 1) as f64 / 0.1 };
            let mut found = vec![0.0; lines];
            table.along_turn(z, step, &mut found);
            for (j, found) in found.iter().enumerate() {
                let place = (z + step * j as f64) * table.per_metre;
                let place = place.clamp(0.0, (rows - 1) as f64);
                let i = (place as usize).min(rows - 2);
                let (a, b) = (values[i * lines + j], values[(i + 1) * lines + j]);
                prop_assert_eq!(*found, a + (place - i as f64) * (b - a));
            }
        }
    }
}
