//! Four and eight numbers side by side, as the processor has blocks for them.

use std::ops::{Add, AddAssign, BitAnd, BitOr, Div, Mul, Neg, Not, Sub, SubAssign};

use wide::{f64x4, f64x8};

use super::{Across, Lanes, Mask};

/// So many numbers as one block of the processor, or as several of its blocks.
macro_rules! block {
    ($(#[$doc:meta])* $Block:ident, $(#[$mask_doc:meta])* $Holds:ident, $inner:ty, $lanes:literal) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, Default, PartialEq)]
        #[repr(transparent)]
        pub struct $Block($inner);

        $(#[$mask_doc])*
        #[derive(Clone, Copy, Debug)]
        #[repr(transparent)]
        pub struct $Holds($inner);

        impl $Block {
            /// Nothing in every lane.
            pub const ZERO: Self = Self(<$inner>::ZERO);

            /// Lane by lane.
            #[inline(always)]
            pub fn from_arr(lanes: [f64; $lanes]) -> Self {
                Self(<$inner>::from(lanes))
            }

            /// Lane by lane.
            #[inline(always)]
            pub fn into_arr(self) -> [f64; $lanes] {
                self.0.to_array()
            }
        }

        impl From<[f64; $lanes]> for $Block {
            #[inline(always)]
            fn from(lanes: [f64; $lanes]) -> Self {
                Self::from_arr(lanes)
            }
        }

        impl Across<$Block> for $Block {
            #[inline(always)]
            fn across(self) -> Self {
                self
            }
        }

        impl Add for $Block {
            type Output = Self;

            #[inline(always)]
            fn add(self, other: Self) -> Self {
                Self(self.0 + other.0)
            }
        }

        impl Sub for $Block {
            type Output = Self;

            #[inline(always)]
            fn sub(self, other: Self) -> Self {
                Self(self.0 - other.0)
            }
        }

        impl Mul for $Block {
            type Output = Self;

            #[inline(always)]
            fn mul(self, other: Self) -> Self {
                Self(self.0 * other.0)
            }
        }

        impl Div for $Block {
            type Output = Self;

            #[inline(always)]
            fn div(self, other: Self) -> Self {
                Self(self.0 / other.0)
            }
        }

        impl Neg for $Block {
            type Output = Self;

            #[inline(always)]
            fn neg(self) -> Self {
                Self(-self.0)
            }
        }

        impl AddAssign for $Block {
            #[inline(always)]
            fn add_assign(&mut self, other: Self) {
                *self = *self + other;
            }
        }

        impl SubAssign for $Block {
            #[inline(always)]
            fn sub_assign(&mut self, other: Self) {
                *self = *self - other;
            }
        }

        impl Lanes for $Block {
            type Mask = $Holds;

            const LANES: usize = $lanes;

            #[inline(always)]
            fn splat(value: f64) -> Self {
                Self(<$inner>::splat(value))
            }

            #[inline(always)]
            fn gather(of: impl Fn(usize) -> f64) -> Self {
                // A loop and not the array's own `map`, which isn't taken into the caller.
                let mut lanes = [0.0; $lanes];
                for (lane, value) in lanes.iter_mut().enumerate() {
                    *value = of(lane);
                }
                Self::from_arr(lanes)
            }

            #[inline(always)]
            fn extract(&self, lane: usize) -> f64 {
                self.0.as_array()[lane]
            }

            #[inline(always)]
            fn replace(&mut self, lane: usize, value: f64) {
                self.0.as_mut_array()[lane] = value;
            }

            #[inline(always)]
            fn each(self, of: impl Fn(f64) -> f64) -> Self {
                Self::from_arr(self.into_arr().map(of))
            }

            #[inline(always)]
            fn simd_abs(self) -> Self {
                Self(self.0.abs())
            }

            #[inline(always)]
            fn simd_sqrt(self) -> Self {
                Self(self.0.sqrt())
            }

            #[inline(always)]
            fn simd_min(self, other: Self) -> Self {
                self.select(other.simd_ne(other), self.lower(other))
            }

            #[inline(always)]
            fn simd_max(self, other: Self) -> Self {
                self.select(other.simd_ne(other), self.higher(other))
            }

            #[inline(always)]
            fn lower(self, other: Self) -> Self {
                // An instruction that takes the second of two equal numbers, in this order or the
                // other; where there is none, compare and select.
                if cfg!(target_feature = "sse2") {
                    Self(self.0.fast_min(other.0))
                } else if cfg!(target_feature = "simd128") {
                    Self(other.0.fast_min(self.0))
                } else {
                    self.select(self.simd_lt(other), other)
                }
            }

            #[inline(always)]
            fn higher(self, other: Self) -> Self {
                // An instruction that takes the second of two equal numbers, in this order or the
                // other; where there is none, compare and select.
                if cfg!(target_feature = "sse2") {
                    Self(self.0.fast_max(other.0))
                } else if cfg!(target_feature = "simd128") {
                    Self(other.0.fast_max(self.0))
                } else {
                    self.select(self.simd_gt(other), other)
                }
            }

            #[inline(always)]
            fn simd_eq(self, other: Self) -> $Holds {
                $Holds(self.0.simd_eq(other.0))
            }

            #[inline(always)]
            fn simd_ne(self, other: Self) -> $Holds {
                $Holds(self.0.simd_ne(other.0))
            }

            #[inline(always)]
            fn simd_lt(self, other: Self) -> $Holds {
                $Holds(self.0.simd_lt(other.0))
            }

            #[inline(always)]
            fn simd_le(self, other: Self) -> $Holds {
                $Holds(self.0.simd_le(other.0))
            }

            #[inline(always)]
            fn simd_gt(self, other: Self) -> $Holds {
                $Holds(self.0.simd_gt(other.0))
            }

            #[inline(always)]
            fn simd_ge(self, other: Self) -> $Holds {
                $Holds(self.0.simd_ge(other.0))
            }

            #[inline(always)]
            fn select(self, so: $Holds, other: Self) -> Self {
                Self(so.0.select(self.0, other.0))
            }
        }

        impl BitAnd for $Holds {
            type Output = Self;

            #[inline(always)]
            fn bitand(self, other: Self) -> Self {
                Self(self.0 & other.0)
            }
        }

        impl BitOr for $Holds {
            type Output = Self;

            #[inline(always)]
            fn bitor(self, other: Self) -> Self {
                Self(self.0 | other.0)
            }
        }

        impl Not for $Holds {
            type Output = Self;

            #[inline(always)]
            fn not(self) -> Self {
                Self(!self.0)
            }
        }

        impl Mask for $Holds {
            #[inline(always)]
            fn all(self) -> bool {
                self.0.all()
            }

            #[inline(always)]
            fn any(self) -> bool {
                self.0.any()
            }

            #[inline(always)]
            fn bits(self) -> u64 {
                u64::from(self.0.to_bitmask())
            }
        }
    };
}

block!(
    /// Four numbers.
    Four,
    /// Of which of four numbers something holds.
    OfFour,
    f64x4,
    4
);
block!(
    /// Eight numbers.
    Eight,
    /// Of which of eight numbers something holds.
    OfEight,
    f64x8,
    8
);
