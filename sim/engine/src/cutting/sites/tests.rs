//! The pieces and their slopes against the exact law.

use proptest::prelude::*;

use super::*;
use crate::cutting::EdgeShape;
use crate::lanes::Four;

/// That a force is another within so large a share of it.
fn are_within(share: f64, found: &CuttingForce, exact: &CuttingForce) -> Result<(), TestCaseError> {
    let scale = exact.main.abs().max(exact.push_off.abs());
    for (ours, theirs) in [
        (found.main, exact.main),
        (found.push_off, exact.push_off),
        (found.feed, exact.feed),
    ] {
        prop_assert!((ours - theirs).abs() <= share * scale, "{ours} {theirs}");
    }
    Ok(())
}

proptest! {
    /// Its own exact law is the reference.
    #[test]
    fn the_pieces_are_the_law_within_the_stated_bound(
        (nose, entering, feed) in (prop_oneof![Just(0.0), 0.1e-3..1.6e-3], 0.6..2.0, 0.03e-3..0.5e-3),
        (exponent, ratio, path) in (0.1..0.4, -0.3..0.8, -0.3..0.3),
        depths in prop::collection::vec((-18.0..-9.0, -0.3..1.5, 0.5..1.5), 4),
    ) {
        let shape = EdgeShape::new(nose, entering, feed);
        let law = ForceLaw::new(1.7e9, exponent, ratio, 20e3, shape, path);
        // Where the arc ends below the feed marks the law's own slope leaves the marks out.
        prop_assume!(law.shape.mark <= law.shape.arc_top);
        let mut pieces = ForceTable::new(&law);
        let mut site = TableCell::<Four>::nowhere();
        let mut slopes = ForceExpansion::nowhere();
        let of = |lane: usize| depths[lane];
        let depth: [f64; 4] = std::array::from_fn(|lane| f64::exp2(of(lane).0));
        let deeper = std::array::from_fn(|lane| of(lane).1 * 0.2 * depth[lane].min(feed));
        let hard = std::array::from_fn(|lane| of(lane).2);
        let found = law.near(
            &mut site, &mut pieces, &mut slopes,
            Four::from(depth), Four::from(deeper), Four::from(hard),
        );
        for lane in 0..4 {
            let exact = law.at(depth[lane], deeper[lane], hard[lane]);
            let scale = exact.main.abs().max(exact.push_off.abs());
            for (ours, theirs) in [
                (found.main.extract(lane), exact.main),
                (found.push_off.extract(lane), exact.push_off),
                (found.feed.extract(lane), exact.feed),
            ] {
                prop_assert!((ours - theirs).abs() <= 1e-6 * scale, "{ours} {theirs}");
            }
            // Slopes only say where to look next; where the width goes through nothing behind
            // an edge that leans back they are a hundredth off at most.
            let scale = [exact.main_slope, exact.push_off_slope, exact.feed_slope]
                .map(f64::abs)
                .into_iter()
                .fold(0.0, f64::max);
            for (ours, theirs) in [
                (found.main_slope.extract(lane), exact.main_slope),
                (found.push_off_slope.extract(lane), exact.push_off_slope),
                (found.feed_slope.extract(lane), exact.feed_slope),
            ] {
                prop_assert!((ours - theirs).abs() <= 1e-2 * scale, "{ours} {theirs}");
            }
        }
    }

    /// The exact law is the reference: along the slopes as far as they are trusted.
    #[test]
    fn the_slopes_are_the_law_as_far_as_they_are_trusted(
        (nose, entering, feed) in (prop_oneof![Just(0.0), 0.1e-3..1.6e-3], 0.6..2.0, 0.03e-3..0.5e-3),
        (depth, deeper, hard) in (-16.0..-10.0, -0.2..1.0, 0.5..1.5),
        (x, y) in (-1.0..1.0, -1.0..1.0),
    ) {
        let shape = EdgeShape::new(nose, entering, feed);
        let law = ForceLaw::new(1.7e9, 0.24, 0.5, 20e3, shape, 0.1);
        let mut slopes = ForceExpansion::<f64>::nowhere();
        let depth = f64::exp2(depth);
        let deeper = deeper * 0.2 * depth.min(feed);
        law.near(&mut TableCell::nowhere(), &mut ForceTable::new(&law), &mut slopes, depth, deeper, hard);
        prop_assume!(slopes.reach[0] > 0.0 && slopes.reach[1] > 0.0);
        let (depth, deeper) = (depth + x * slopes.reach[0], deeper + y * slopes.reach[1]);
        let (found, exact) = (slopes.force(depth, deeper, hard), law.at(depth, deeper, hard));
        are_within(1e-4, &found, &exact)?;
    }

    /// The exact law is the reference: close to a bend, on either side, there is a piece too.
    #[test]
    fn beside_its_bends_the_law_has_pieces(
        (nose, entering, feed) in (0.2e-3..1.6e-3, 0.8..1.9, 0.05e-3..0.4e-3),
        (path, kink, off) in (-0.2..0.2, 0..2_usize, prop_oneof![-0.02..-1e-3, 1e-3..0.02]),
    ) {
        let shape = EdgeShape::new(nose, entering, feed);
        let law = ForceLaw::new(1.7e9, 0.24, 0.5, 20e3, shape, path);
        prop_assume!(1.1 * law.shape.mark <= law.shape.arc_top);
        let depth = law.kinks()[kink] * (1.0 + off);
        let mut slopes = ForceExpansion::<f64>::nowhere();
        let mut pieces = ForceTable::new(&law);
        let found = law.near(&mut TableCell::nowhere(), &mut pieces, &mut slopes, depth, 0.0, 1.0);
        prop_assert!(slopes.reach[0] > 0.0 && slopes.reach[1] > 0.0, "{:?}", slopes.reach);
        let exact = law.at(depth, 0.0, 1.0);
        are_within(1e-6, &found, &exact)?;
    }
}
