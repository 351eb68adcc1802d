//! How a block of eight numbers is filled: by eight steps of one series, or by one step of eight.
//!
//! What is the same at every step whatever stood before goes block by block, and a block doesn't
//! care which of the two it holds: the sums are the same to the last bit, so that a series by
//! itself is one of eight.

use std::ops::Range;

use super::{Across, Eight, Lanes, Mask as _};

/// Lanes in which something holds.
pub type Which = <Eight as Lanes>::Mask;

/// In no lane.
#[inline(always)]
pub fn nowhere() -> Which {
    Eight::ZERO.simd_ne(Eight::ZERO)
}

/// In every lane.
#[inline(always)]
pub fn everywhere() -> Which {
    Eight::ZERO.simd_eq(Eight::ZERO)
}

/// A number of each series: of one (`f64`), whose blocks hold eight steps each, or of eight
/// ([`Eight`]), whose blocks hold one.
pub trait Layout: Lanes + Across<Eight> + Across<Self> {
    /// Steps of a series in a block.
    const STEPS: usize = Eight::LANES / Self::LANES;

    /// Blocks that so many steps take.
    #[inline(always)]
    fn blocks(steps: usize) -> usize {
        steps.div_ceil(Self::STEPS)
    }

    /// Which series a lane belongs to.
    #[inline(always)]
    fn series(lane: usize) -> usize {
        lane / Self::STEPS
    }

    /// Which step a lane of a block belongs to.
    #[inline(always)]
    fn step(block: usize, lane: usize) -> usize {
        block * Self::STEPS + lane % Self::STEPS
    }

    /// The lane of a series at a step.
    #[inline(always)]
    fn lane(step: usize, series: usize) -> usize {
        step % Self::STEPS + series * Self::STEPS
    }

    /// The numbers of the steps in a block.
    fn steps_of(block: usize) -> Eight;

    /// The lanes of a block whose steps come before this one.
    #[inline(always)]
    fn before(block: usize, step: usize) -> Which {
        if (block + 1) * Self::STEPS <= step {
            everywhere()
        } else {
            Self::steps_of(block).simd_lt(Eight::splat(step as f64))
        }
    }

    /// One step's, of its block.
    fn at(block: Eight, step: usize) -> Self;

    /// Of which series something holds at one step, of its block.
    fn which(of: Which, step: usize) -> Self::Mask;

    /// Puts this in as one step's.
    fn put(self, block: &mut Eight, step: usize);

    /// A block of what stands step by step; beyond the end nothing of meaning.
    fn block(values: &[Self], block: usize) -> Eight;

    /// A block of what every series has alike, step by step; beyond the end nothing of meaning.
    fn alike(values: &[f64], block: usize) -> Eight;

    /// The lowest of the steps in a block.
    fn lowest(of: Eight) -> Self;

    /// The highest of the steps in a block.
    fn highest(of: Eight) -> Self;

    /// Of which series something holds at all steps of a block, in bits.
    fn throughout(of: Which) -> u64;

    /// Adds the steps of a block before `end`.
    fn append(into: &mut Vec<Self>, of: Eight, block: usize, end: usize);

    /// Sum over so many steps, block by block, in an order that is the same for both.
    fn sum(blocks: impl Iterator<Item = Eight>, steps: usize) -> Self;

    /// Where a body comes from at each step of a block that goes to its bound if it lies ahead along
    /// its way (+1, -1; 0: it stays where it drifts), from step `from` on: before that it comes
    /// from where `came` says. `stands` is where it stands before that step, afterwards where it
    /// stands after the last before `end`.
    fn clamp(
        stands: &mut Self,
        came: Eight,
        steps: Range<usize>,
        drift: f64,
        way: &Eight,
        bound: &Eight,
    ) -> Eight;
}

/// Whether a body that stood at `from` slips to the limit that lies along its way.
#[inline(always)]
pub fn slips<R: Lanes>(from: R, way: R, limit: R) -> R::Mask {
    (way * (limit - from)).simd_gt(R::zero())
}

/// Eight sums into one.
#[inline(always)]
fn fold<R: Lanes>([a, b, c, d, e, f, g, h]: [R; 8]) -> R {
    ((a + b) + (c + d)) + ((e + f) + (g + h))
}

/// What `block` takes of a slice, the rest nothing.
#[inline(always)]
fn eight_of(values: &[f64], block: usize) -> Eight {
    let rest = &values[block * Eight::LANES..];
    match rest.first_chunk() {
        Some(&eight) => Eight::from_arr(eight),
        None => {
            let mut eight = [0.0; Eight::LANES];
            eight[..rest.len()].copy_from_slice(rest);
            Eight::from_arr(eight)
        }
    }
}

const COUNTED: [f64; Eight::LANES] = [0.0, 1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0];

impl Layout for f64 {
    #[inline(always)]
    fn steps_of(block: usize) -> Eight {
        Eight::splat((block * Eight::LANES) as f64) + Eight::from_arr(COUNTED)
    }

    #[inline(always)]
    fn at(block: Eight, step: usize) -> Self {
        block.extract(step % Eight::LANES)
    }

    #[inline(always)]
    fn which(of: Which, step: usize) -> bool {
        of.bits() >> (step % Eight::LANES) & 1 == 1
    }

    #[inline(always)]
    fn put(self, block: &mut Eight, step: usize) {
        block.replace(step % Eight::LANES, self);
    }

    #[inline(always)]
    fn block(values: &[Self], block: usize) -> Eight {
        eight_of(values, block)
    }

    #[inline(always)]
    fn alike(values: &[f64], block: usize) -> Eight {
        eight_of(values, block)
    }

    #[inline(always)]
    fn lowest(of: Eight) -> Self {
        let of = of.into_arr();
        of.into_iter().fold(of[0], |low, value| value.lower(low))
    }

    #[inline(always)]
    fn highest(of: Eight) -> Self {
        let of = of.into_arr();
        of.into_iter().fold(of[0], |high, value| value.higher(high))
    }

    #[inline(always)]
    fn throughout(of: Which) -> u64 {
        u64::from(of.all())
    }

    #[inline(always)]
    fn append(into: &mut Vec<Self>, of: Eight, block: usize, end: usize) {
        if end >= (block + 1) * Eight::LANES {
            into.extend_from_slice(&of.into_arr());
            return;
        }
        let count = (end - block * Eight::LANES).min(Eight::LANES);
        into.extend_from_slice(&of.into_arr()[..count]);
    }

    #[inline(always)]
    fn sum(blocks: impl Iterator<Item = Eight>, steps: usize) -> Self {
        let mut sums = Eight::ZERO;
        for (block, of) in blocks.enumerate() {
            if (block + 1) * Eight::LANES <= steps {
                sums += of;
            } else {
                sums += of.select(Self::before(block, steps), Eight::ZERO);
            }
        }
        fold(sums.into_arr())
    }

    #[inline(always)]
    fn clamp(
        stands: &mut Self,
        came: Eight,
        steps: Range<usize>,
        drift: f64,
        way: &Eight,
        bound: &Eight,
    ) -> Eight {
        if steps == (0..Eight::LANES) {
            // As a turn ago, mostly: then nobody's way has to wait for where the one before comes to.
            let goes = way.simd_ne(Eight::ZERO);
            let (from, last) = as_asked(*stands, drift, goes.bits(), bound);
            if slips(from, *way, *bound).bits() == goes.bits() {
                *stands = last;
                return from;
            }
        }
        let mut came = came.into_arr();
        let (way, bound) = (way.into_arr(), bound.into_arr());
        let mut at = *stands;
        for i in steps {
            at += drift;
            came[i] = at;
            if slips(at, way[i], bound[i]) {
                at = bound[i];
            }
        }
        *stands = at;
        Eight::from_arr(came)
    }
}

/// Where a body comes from at each of eight steps, and where it stands after them, that goes to its
/// bound at the steps whose bits are set and stays where it drifts at the others.
#[inline(always)]
fn as_asked(stands: f64, drift: f64, goes: u64, bound: &Eight) -> (Eight, f64) {
    let bound = bound.into_arr();
    let mut at = stands;
    let mut step = |i: usize| {
        let from = at + drift;
        at = if goes >> i & 1 == 1 { bound[i] } else { from };
        from
    };
    let from = [
        step(0),
        step(1),
        step(2),
        step(3),
        step(4),
        step(5),
        step(6),
        step(7),
    ];
    (Eight::from_arr(from), at)
}

impl Layout for Eight {
    #[inline(always)]
    fn steps_of(block: usize) -> Eight {
        Eight::splat(block as f64)
    }

    #[inline(always)]
    fn at(block: Eight, _step: usize) -> Self {
        block
    }

    #[inline(always)]
    fn which(of: Which, _step: usize) -> Which {
        of
    }

    #[inline(always)]
    fn put(self, block: &mut Eight, _step: usize) {
        *block = self;
    }

    #[inline(always)]
    fn block(values: &[Self], block: usize) -> Eight {
        values[block]
    }

    #[inline(always)]
    fn alike(values: &[f64], block: usize) -> Eight {
        Eight::splat(values[block])
    }

    #[inline(always)]
    fn lowest(of: Eight) -> Self {
        of
    }

    #[inline(always)]
    fn highest(of: Eight) -> Self {
        of
    }

    #[inline(always)]
    fn throughout(of: Which) -> u64 {
        of.bits()
    }

    #[inline(always)]
    fn append(into: &mut Vec<Self>, of: Eight, _block: usize, _end: usize) {
        into.push(of);
    }

    #[inline(always)]
    fn sum(mut blocks: impl Iterator<Item = Eight>, _steps: usize) -> Self {
        let mut sums = [Eight::ZERO; Eight::LANES];
        'all: loop {
            for sum in &mut sums {
                let Some(of) = blocks.next() else { break 'all };
                *sum += of;
            }
        }
        fold(sums)
    }

    #[inline(always)]
    fn clamp(
        stands: &mut Self,
        _came: Eight,
        _steps: Range<usize>,
        drift: f64,
        way: &Eight,
        bound: &Eight,
    ) -> Eight {
        let from = *stands + Eight::splat(drift);
        *stands = bound.select(slips(from, *way, *bound), from);
        from
    }
}
