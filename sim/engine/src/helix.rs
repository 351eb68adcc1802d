//! Runs of lines round the work that lie between the same two rows of a table, along the helix.

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
        /// Line by line is the reference, wherever the run is guessed to end.
        #[test]
        fn a_run_ends_where_its_lines_do(
            lines in 1usize..40,
            (from, until, guess) in (0.0..1.0_f64, 0.0..1.0_f64, -10.0..60.0_f64),
        ) {
            let share = |share: f64, of: usize| (share * of as f64) as usize;
            let from = share(from, lines);
            let until = from + 1 + share(until, lines - from);
            let found = run_of(from, lines, after(guess), |line| line < until);
            let by_line = (from + 1..lines).find(|&line| line >= until).unwrap_or(lines);
            prop_assert_eq!(found, by_line);
        }
    }
}
