//! One number, or several side by side: a law is written once for both.
//!
//! A step along the cut has to wait for the one before, but what bounds the slide there does not:
//! the lanes are eight steps of a lathe, or eight lathes that cut the same job. Lanes are plain
//! `f64`, each by itself, so the results are the same on every processor and however many go side by
//! side.

use std::ops::{Add, AddAssign, BitAnd, BitOr, Div, Mul, Neg, Not, Sub, SubAssign};

use crate::arithmetic::{max, min};

mod block;
mod layout;
mod series;

pub use block::{Eight, Four};
pub use layout::{Layout, Which, everywhere, nowhere, slips};
pub use series::{range, sum};

/// A number, or several.
pub trait Lanes:
    Copy
    + Default
    + Add<Output = Self>
    + Sub<Output = Self>
    + Mul<Output = Self>
    + Div<Output = Self>
    + Neg<Output = Self>
    + AddAssign
    + SubAssign
{
    /// Of which lanes something holds.
    type Mask: Mask;

    /// How many.
    const LANES: usize;

    /// `value` in every lane.
    fn splat(value: f64) -> Self;

    /// Nothing in every lane.
    #[inline(always)]
    fn zero() -> Self {
        Self::splat(0.0)
    }

    /// 1 in every lane.
    #[inline(always)]
    fn one() -> Self {
        Self::splat(1.0)
    }

    /// What `of` says of each lane.
    fn gather(of: impl Fn(usize) -> f64) -> Self;

    /// One lane's.
    ///
    /// # Panics
    /// If there is no such lane.
    fn extract(&self, lane: usize) -> f64;

    /// Puts another into one lane.
    ///
    /// # Panics
    /// If there is no such lane.
    fn replace(&mut self, lane: usize, value: f64);

    /// `of` each.
    fn each(self, of: impl Fn(f64) -> f64) -> Self;

    /// This times `by`, and `plus`: a product and a sum, each rounded, never fused, which only
    /// some processors can.
    #[inline(always)]
    fn times_plus(self, by: Self, plus: Self) -> Self {
        self * by + plus
    }

    /// Without its sign.
    fn simd_abs(self) -> Self;

    /// Square root.
    fn simd_sqrt(self) -> Self;

    /// The lower; the other where one is NaN. Of two zeros the second.
    fn simd_min(self, other: Self) -> Self;

    /// The higher; the other where one is NaN. Of two zeros the second.
    fn simd_max(self, other: Self) -> Self;

    /// The lower, the second where neither is.
    fn lower(self, other: Self) -> Self;

    /// The higher, the second where neither is.
    fn higher(self, other: Self) -> Self;

    /// Where this is the same.
    fn simd_eq(self, other: Self) -> Self::Mask;

    /// Where it is another, or NaN.
    fn simd_ne(self, other: Self) -> Self::Mask;

    /// Where this is less.
    fn simd_lt(self, other: Self) -> Self::Mask;

    /// Where this is no more.
    fn simd_le(self, other: Self) -> Self::Mask;

    /// Where this is more.
    fn simd_gt(self, other: Self) -> Self::Mask;

    /// Where this is no less.
    fn simd_ge(self, other: Self) -> Self::Mask;

    /// This where `so`, the other elsewhere.
    fn select(self, so: Self::Mask, other: Self) -> Self;
}

/// Of which lanes something holds.
pub trait Mask: Copy + BitAnd<Output = Self> + BitOr<Output = Self> + Not<Output = Self> {
    /// Whether it holds of all.
    fn all(self) -> bool;

    /// Whether it holds of one.
    fn any(self) -> bool;

    /// In bits, the first lane's lowest.
    fn bits(self) -> u64;
}

/// A number of the machine as the lanes have it: one for all, or each its own.
pub trait Across<R>: Copy {
    /// In every lane.
    fn across(self) -> R;
}

impl<R: Lanes> Across<R> for f64 {
    #[inline(always)]
    fn across(self) -> R {
        R::splat(self)
    }
}

impl Lanes for f64 {
    type Mask = bool;

    const LANES: usize = 1;

    #[inline(always)]
    fn splat(value: f64) -> Self {
        value
    }

    #[inline(always)]
    fn gather(of: impl Fn(usize) -> f64) -> Self {
        of(0)
    }

    #[inline(always)]
    fn extract(&self, lane: usize) -> f64 {
        [*self][lane]
    }

    #[inline(always)]
    fn replace(&mut self, lane: usize, value: f64) {
        *std::slice::from_mut(self)
            .get_mut(lane)
            .expect("the only lane") = value;
    }

    #[inline(always)]
    fn each(self, of: impl Fn(f64) -> f64) -> Self {
        of(self)
    }

    #[inline(always)]
    fn simd_abs(self) -> Self {
        self.abs()
    }

    #[inline(always)]
    fn simd_sqrt(self) -> Self {
        self.sqrt()
    }

    #[inline(always)]
    fn simd_min(self, other: Self) -> Self {
        min(self, other)
    }

    #[inline(always)]
    fn simd_max(self, other: Self) -> Self {
        max(self, other)
    }

    #[inline(always)]
    fn lower(self, other: Self) -> Self {
        if self < other { self } else { other }
    }

    #[inline(always)]
    fn higher(self, other: Self) -> Self {
        if self > other { self } else { other }
    }

    #[inline(always)]
    fn simd_eq(self, other: Self) -> bool {
        self == other
    }

    #[inline(always)]
    fn simd_ne(self, other: Self) -> bool {
        self != other
    }

    #[inline(always)]
    fn simd_lt(self, other: Self) -> bool {
        self < other
    }

    #[inline(always)]
    fn simd_le(self, other: Self) -> bool {
        self <= other
    }

    #[inline(always)]
    fn simd_gt(self, other: Self) -> bool {
        self > other
    }

    #[inline(always)]
    fn simd_ge(self, other: Self) -> bool {
        self >= other
    }

    #[inline(always)]
    fn select(self, so: bool, other: Self) -> Self {
        if so { self } else { other }
    }
}

impl Mask for bool {
    #[inline(always)]
    fn all(self) -> bool {
        self
    }

    #[inline(always)]
    fn any(self) -> bool {
        self
    }

    #[inline(always)]
    fn bits(self) -> u64 {
        u64::from(self)
    }
}

/// Straight between evenly spaced numbers, at a share of the way from the first to the last.
#[inline(always)]
pub fn interpolate<R: Lanes>(table: &[R], share: f64) -> R {
    let place = share * (table.len() - 1) as f64;
    let i = (place as usize).min(table.len() - 2);
    table[i] + R::splat(place - i as f64) * (table[i + 1] - table[i])
}

#[cfg(test)]
mod tests;
