//! The angle of a circular arc over its half chord, tabulated.

use std::sync::LazyLock;

use crate::arithmetic::asin;

/// Pieces of the table.
const PIECES: usize = 512;
/// Where the table ends: a sagitta of this share of the diameter, an arc of 120 deg.
const END: f64 = 0.75;
const PER_SHARE: f64 = PIECES as f64 / END;

/// From the lowest point of the arc to a point `share` of the diameter above it: the angle (rad)
/// over the half chord (radii), within 1e-10 of its value.
///
/// `2 asin sqrt(s) / (2 sqrt(s (1 - s)))` is smooth down to 0, unlike the angle itself, and cubic
/// pieces with its own slopes hold it.
#[derive(Debug, PartialEq)]
pub(super) struct Arcs {
    /// Of each node: value, and slope over one piece.
    nodes: [[f64; 2]; PIECES + 1],
}

static ARCS: LazyLock<Arcs> = LazyLock::new(|| Arcs {
    nodes: std::array::from_fn(|i| {
        let share = i as f64 / PER_SHARE;
        let value = exact(share);
        let slope = if share > 0.0 {
            (1.0 - (1.0 - 2.0 * share) * value) / (2.0 * share * (1.0 - share))
        } else {
            2.0 / 3.0
        };
        [value, slope / PER_SHARE]
    }),
});

#[cold]
#[inline(never)]
fn exact(share: f64) -> f64 {
    if share > 0.0 {
        asin(share.sqrt()) / (share * (1.0 - share)).sqrt()
    } else {
        1.0
    }
}

impl Arcs {
    pub(super) fn table() -> &'static Self {
        &ARCS
    }

    #[inline]
    pub(super) fn angle_over_chord(&self, share: f64) -> f64 {
        let place = share * PER_SHARE;
        let i = place as usize;
        if i >= PIECES {
            return exact(share);
        }
        let t = place - i as f64;
        let [[a, from], [b, to]] = [self.nodes[i], self.nodes[i + 1]];
        let rise = b - a;
        a + t * (from + t * (3.0 * rise - 2.0 * from - to + t * (from + to - 2.0 * rise)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn within_the_stated_bound_of_the_arc_sine() {
        let arcs = Arcs::table();
        for i in 1..200_000 {
            let share = f64::from(i) / 200_001.0;
            let error = (arcs.angle_over_chord(share) / exact(share) - 1.0).abs();
            assert!(error < 1e-10, "{share}: {error}");
        }
        assert_eq!(arcs.angle_over_chord(0.0), 1.0);
    }
}
