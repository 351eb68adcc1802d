//! Lanes against plain numbers, one after another.

use proptest::prelude::*;

use super::*;

/// What every operation makes of three numbers in each lane, and of which lanes each
/// comparison holds.
fn all<R: Lanes>(a: R, b: R, c: R) -> (Vec<R>, Vec<u64>) {
    let holds = [
        a.simd_eq(b),
        a.simd_ne(b),
        a.simd_lt(b),
        a.simd_le(b),
        a.simd_gt(b),
        a.simd_ge(b),
        a.simd_lt(b) & b.simd_lt(c),
        a.simd_lt(b) | b.simd_lt(c),
        !a.simd_lt(b),
    ];
    let mut added = a;
    added += b;
    added -= c;
    let numbers = vec![
        a + b,
        a - b,
        a * b,
        a / b,
        -a,
        added,
        a.times_plus(b, c),
        a.simd_abs(),
        a.simd_abs().simd_sqrt(),
        a.simd_min(b),
        a.simd_max(b),
        a.lower(b),
        a.higher(b),
        a.select(a.simd_lt(b), c),
        a.each(|a| a + 1.0),
        R::gather(|lane| a.extract(lane)),
    ];
    let mut bits: Vec<u64> = holds.iter().map(|holds| holds.bits()).collect();
    bits.extend(holds.map(|holds| u64::from(holds.all())));
    bits.extend(holds.map(|holds| u64::from(holds.any())));
    (numbers, bits)
}

/// Plain numbers, one after another, are the reference, to the last bit.
fn are_plain_numbers<R: Lanes>(values: &[f64]) {
    let lanes = R::LANES;
    let of = |from: usize| R::gather(|lane| values[from * lanes + lane]);
    let (found, holds) = all(of(0), of(1), of(2));
    let mut wanted_bits = vec![0; 9];
    for lane in 0..lanes {
        let of = |from: usize| values[from * lanes + lane];
        let (wanted, bits) = all(of(0), of(1), of(2));
        for (found, wanted) in found.iter().zip(wanted) {
            assert_eq!(found.extract(lane).to_bits(), wanted.to_bits());
        }
        for (all, bit) in wanted_bits.iter_mut().zip(bits) {
            *all |= bit << lane;
        }
    }
    assert_eq!(holds[..9], wanted_bits);
    let whole = (1 << lanes) - 1;
    for (i, &bits) in wanted_bits.iter().enumerate() {
        assert_eq!(holds[9 + i], u64::from(bits == whole));
        assert_eq!(holds[18 + i], u64::from(bits != 0));
    }
    let mut replaced = of(0);
    replaced.replace(lanes - 1, 7.0);
    for (lane, &value) in values[..lanes - 1].iter().enumerate() {
        assert_eq!(replaced.extract(lane), value);
    }
    assert_eq!(replaced.extract(lanes - 1), 7.0);
}

proptest! {
    #[test]
    fn lanes_are_plain_numbers(values in prop::collection::vec(-1e3..1e3, 24), same in 0usize..8) {
        let mut values: Vec<f64> = values;
        values[8 + same] = values[same];
        are_plain_numbers::<Eight>(&values);
        are_plain_numbers::<Four>(&values);
        are_plain_numbers::<f64>(&values);
    }
}
