//! A power with a fixed exponent, from a table of the binary octave and its parts.

use std::cell::Cell;
use std::sync::LazyLock;

use crate::arithmetic::{exp, exp2, ln, powf};

/// Parts of an octave; a power of two.
const PARTS: usize = 1 << PART_BITS;
const PART_BITS: u32 = 7;
/// Octaves tabulated, the lowest at `2^LOWEST`: chips from 1e-9 to 4e9 of the unit.
const OCTAVES: usize = 64;
const LOWEST: i32 = -32;

const FRACTION_BITS: u32 = f64::MANTISSA_DIGITS - 1;
const FRACTION: u64 = (1 << FRACTION_BITS) - 1;
const BIAS: i32 = f64::MAX_EXP - 1;

/// `x^exponent` for an exponent that stays, within 1e-13 of its value for exponents from 0 to 1.
///
/// The exponent of Kienzle's law is the same for a whole pass, and the chip thickness is asked
/// at every step: `x = 2^n c (1 + r)` with `c` the middle of one of 128 parts of the octave, so
/// that `|r| < 1/256` and four terms of the binomial series do. Out of the table it is `powf`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Power {
    exponent: f64,
    /// Of each part: `1 / c`, `c^exponent`.
    parts: [[f64; 2]; PARTS],
    /// `2^(n exponent)`.
    octaves: [f64; OCTAVES],
    /// The binomial series, from the first power of `r` on.
    series: [f64; 4],
}

/// Of each part: `1 / c`, and the logarithm of `c`, from which a power is made at a fifth of the cost.
static MIDDLES: LazyLock<[[f64; 2]; PARTS]> = LazyLock::new(|| {
    std::array::from_fn(|i| {
        let middle = 1.0 + (i as f64 + 0.5) / PARTS as f64;
        [1.0 / middle, ln(middle)]
    })
});

thread_local! {
    /// The one made last: a job's passes, and its lathes, mostly have one exponent.
    static LAST: Cell<Option<Power>> = const { Cell::new(None) };
}

impl Power {
    /// Of this exponent.
    pub(super) fn new(exponent: f64) -> Self {
        let last = LAST.get();
        if let Some(last) = last.filter(|last| last.exponent.to_bits() == exponent.to_bits()) {
            return last;
        }
        let power = Self::tabulated(exponent);
        LAST.set(Some(power));
        power
    }

    fn tabulated(exponent: f64) -> Self {
        let p = exponent;
        let second = p * (p - 1.0) / 2.0;
        let third = second * (p - 2.0) / 3.0;
        Self {
            exponent,
            parts: MIDDLES.map(|[inverse, log]| [inverse, exp(exponent * log)]),
            octaves: std::array::from_fn(|n| f64::from(n as i32 + LOWEST) * exponent).map(exp2),
            series: [p, second, third, third * (p - 3.0) / 4.0],
        }
    }

    /// `(1 + r)^exponent = 1 + r (a + r (b + r (c + r d)))` for small `r`.
    #[inline(always)]
    pub(super) fn series(&self) -> [f64; 4] {
        self.series
    }

    #[cold]
    #[inline(never)]
    fn out_of_the_table(&self, x: f64) -> f64 {
        powf(x, self.exponent)
    }

    #[inline]
    pub(super) fn of(&self, x: f64) -> f64 {
        let bits = x.to_bits();
        // A negative number has its sign bit here and is out of the table as well.
        let octave = ((bits >> FRACTION_BITS) as usize).wrapping_sub((BIAS + LOWEST) as usize);
        let Some(octave) = self.octaves.get(octave) else {
            return self.out_of_the_table(x);
        };
        let [inverse, power] = self.parts[(bits >> (FRACTION_BITS - PART_BITS)) as usize % PARTS];
        let r = f64::from_bits(bits & FRACTION | 1.0_f64.to_bits()) * inverse - 1.0;
        let [a, b, c, d] = self.series;
        octave * power * (1.0 + r * (a + r * (b + r * (c + r * d))))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn within_the_stated_bound_of_powf() {
        for exponent in [0.0, 0.5, 0.7, 0.76, 0.83, 1.0] {
            let power = Power::new(exponent);
            let mut x = 1e-12;
            while x < 1e12 {
                let exact = f64::powf(x, exponent);
                let error = (power.of(x) / exact - 1.0).abs();
                assert!(error < 1e-13, "{x}^{exponent}: {error}");
                x *= 1.000_37;
            }
        }
    }

    #[test]
    fn out_of_the_table_it_is_powf() {
        let power = Power::new(0.75);
        for x in [0.0, 1e-300, 1e300, f64::INFINITY] {
            assert_eq!(power.of(x), x.powf(0.75));
        }
        assert!(power.of(-1.0).is_nan());
    }
}
