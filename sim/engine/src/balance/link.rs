//! A springy connection with slack.

/// A link of slack `g`: carries `first * (d - g/2)` above `g/2`, `other * (d + g/2)` below
/// `-g/2`, nothing between; `d` is the upstream position less the downstream one, m. Positive
/// force pushes the downstream body into the cut. It never pulls across an open gap.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Link<P = f64> {
    /// Slack, all of it, m, at least 0.
    pub slack: P,
    /// Spring rate on the first face, N/m, above 0.
    pub first: P,
    /// Spring rate on the other face, N/m, above 0.
    pub other: P,
}

impl Link {
    /// Force on the downstream body, N.
    #[inline(always)]
    pub fn force(&self, d: f64) -> f64 {
        self.force_and_rate(d).0
    }

    /// Slope of the force, N/m: 0 in the gap.
    #[inline(always)]
    pub fn rate(&self, d: f64) -> f64 {
        self.force_and_rate(d).1
    }

    /// Force and its slope.
    #[inline(always)]
    pub fn force_and_rate(&self, d: f64) -> (f64, f64) {
        let half = 0.5 * self.slack;
        if d > half {
            (self.first * (d - half), self.first)
        } else if d < -half {
            (self.other * (d + half), self.other)
        } else {
            (0.0, 0.0)
        }
    }

    /// Two links with a friction-free body between them, as one: slacks add, compliances add.
    ///
    /// Exact, because such a body carries the same force on both sides and an open gap carries
    /// none.
    pub fn in_series(self, next: Self) -> Self {
        Self {
            slack: self.slack + next.slack,
            first: series(self.first, next.first),
            other: series(self.other, next.other),
        }
    }
}

/// Two springs in a row; an infinite one is rigid.
fn series(a: f64, b: f64) -> f64 {
    1.0 / (1.0 / a + 1.0 / b)
}
