//! The curvilinear trapezoid of JCGM 101:2008, 6.4.3, counted from its nearer end.
//!
//! Its lower limit is rectangular on `a - d` to `a + d` and its upper limit the mirror image, so
//! that with `W = (b - a) / 2 + d`, at a distance `s` from the middle, the density is
//! `ln(W / s) / 4d` where the limits may lie and level between. The share beyond is
//! `[W - s - s ln(W / s)] / 4d` (own integration of the density, checked against the published
//! variance).

use crate::arithmetic::{atanh, ln, ln_1p, min};

/// Half of the distribution, seen from one end.
pub(super) struct CurvilinearTail {
    /// Half of `b - a`.
    half: f64,
    /// d.
    inexactness: f64,
}

impl CurvilinearTail {
    /// For a stated width `b - a` and inexactness d, `0 <= d <= width / 2`.
    pub(super) fn new(width: f64, inexactness: f64) -> Self {
        Self {
            half: width / 2.0,
            inexactness,
        }
    }

    /// The level density in the middle.
    fn level(&self) -> f64 {
        let (half, d) = (self.half, self.inexactness);
        if d <= 1e-9 * half {
            0.5 / half
        } else {
            // ln((w + d) / (w - d)) = 2 atanh(d / w), without loss for a small d.
            2.0 * atanh(d / half) / (4.0 * d)
        }
    }

    /// Share in the curved part, `depth` (0 to 2 d) in from the outermost value.
    fn curved(&self, depth: f64) -> f64 {
        let (outermost, d) = (self.half + self.inexactness, self.inexactness);
        let s = outermost - depth;
        let part = if s <= 0.0 {
            depth
        } else {
            s * less_log(depth / s)
        };
        part / (4.0 * d)
    }

    /// Share beyond a value that lies `from` inside the stated limit (outside is negative).
    pub(super) fn share(&self, from: f64) -> f64 {
        let (half, d) = (self.half, self.inexactness);
        if from <= -d {
            0.0
        } else if from >= 2.0 * half + d {
            1.0
        } else if from > half {
            1.0 - self.share(2.0 * half - from)
        } else if from <= d {
            self.curved(from + d)
        } else {
            0.5 - (half - from) * self.level()
        }
    }

    /// How far inside the stated limit the share `p` ends (outside is negative).
    pub(super) fn reach(&self, p: f64) -> f64 {
        let (half, d) = (self.half, self.inexactness);
        if p > 0.5 {
            return 2.0 * half - self.reach(1.0 - p);
        }
        // With exact limits, or where the curved part ends before p.
        if d <= 1e-9 * half {
            return half - (0.5 - p) / self.level();
        }
        if half > d {
            let from = half - (0.5 - p) / self.level();
            if from >= d {
                return from;
            }
        }
        let outermost = half + d;
        let (mut low, mut high) = (0.0, 2.0 * d);
        // Where the curve is still a parabola, its root is a good start.
        let mut depth = min((8.0 * d * outermost * p).sqrt(), high);
        for _ in 0..200 {
            let excess = self.curved(depth) - p;
            if excess > 0.0 {
                high = depth;
            } else {
                low = depth;
            }
            let density = ln(outermost / (outermost - depth)) / (4.0 * d);
            let newton = depth - excess / density;
            let next = if newton > low && newton < high {
                newton
            } else {
                f64::midpoint(low, high)
            };
            if (next - depth).abs() <= 2.0 * f64::EPSILON * depth {
                return next - d;
            }
            depth = next;
        }
        depth - d
    }
}

/// `y - ln(1 + y)` without loss for a small y.
fn less_log(y: f64) -> f64 {
    if y > 0.1 {
        return y - ln_1p(y);
    }
    // y^2/2 - y^3/3 + ...
    let (mut power, mut sum) = (y * y, 0.0);
    for k in 2..40 {
        let term = power / f64::from(k);
        sum += term;
        if term.abs() <= f64::EPSILON * sum.abs() {
            break;
        }
        power *= -y;
    }
    sum
}
