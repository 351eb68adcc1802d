//! How far the work gives way under push-off, along its length.
//!
//! A beam of the finished shape (Euler-Bernoulli, integrated over the cone) in a springy chuck,
//! on two centres, or in a chuck with a centre. Inside work without a stated outside diameter is
//! taken as rigid beyond the spindle. A steady rest is one more spring, in any of them.

use crate::arithmetic::{clamp, max, min, powi};
use crate::lanes::interpolate;
use crate::quantity::Quantity;
use crate::scenario::{End, Holding, Kind, Lathe, Work};

/// Places along the work where the compliance is tabulated.
const PLACES: usize = 33;
/// Slices of the beam integral.
const SLICES: usize = 200;

/// The held work's compliance along the taper.
#[derive(Clone, Debug, PartialEq)]
pub struct Bench {
    gives: Vec<f64>,
    length: f64,
}

impl Bench {
    /// Tabulates the compliance of this piece as it is held.
    pub fn new(lathe: &Lathe, work: &Work, slope: f64) -> Self {
        let length = work.length.si();
        let beam = Beam::new(lathe, work, slope);
        let gives = (0..PLACES)
            .map(|i| beam.gives(beam.from + length * i as f64 / (PLACES - 1) as f64))
            .collect();
        Self { gives, length }
    }

    /// What a steady rest takes of the work's give, as a share of it, at the end of the taper that
    /// would give most without it; none where there is no rest.
    pub fn rest_takes(lathe: &Lathe, work: &Work, slope: f64) -> Option<f64> {
        work.steady?;
        let bare = Work {
            steady: None,
            ..work.clone()
        };
        let [with, without] = [work, &bare].map(|work| Self::new(lathe, work, slope).gives);
        let most = (0..PLACES).max_by(|&a, &b| without[a].total_cmp(&without[b]))?;
        Some(1.0 - with[most] / without[most])
    }

    /// The same as a tool meets it that runs along the side of a cone with this cosine of its half
    /// angle: places along the side are further apart, and square to it there is less of force and
    /// of way.
    pub fn along_side(&self, cos: f64) -> Self {
        Self {
            gives: self.gives.iter().map(|gives| gives * cos * cos).collect(),
            length: self.length / cos,
        }
    }

    /// Compliance at evenly spaced places from one end of the taper to the other, m/N.
    pub fn places(&self) -> &[f64] {
        &self.gives
    }

    /// Compliance at `z` from the headstock-side end of the taper, m/N.
    #[inline]
    pub fn gives(&self, z: f64) -> f64 {
        interpolate(&self.gives, clamp(z / self.length, 0.0, 1.0))
    }
}

struct Beam {
    holding: Holding,
    spindle: f64,
    tailstock: f64,
    /// From the jaws or the headstock centre to the taper, m.
    from: f64,
    /// From there to the tailstock centre, m.
    to_centre: f64,
    /// Where a steady rest stands, m from the jaws, and its spring, N/m.
    rest: Option<(f64, f64)>,
    /// Integral of one over the bending stiffness E I from the jaws to each slice and to the end,
    /// and its first and second moment about the jaws, 1/(N m), 1/N, m/N.
    moments: Vec<[f64; 3]>,
    /// One over the bending stiffness of each slice from jaws to centre, 1/(N m2).
    flexibility: Vec<f64>,
}

impl Beam {
    fn new(lathe: &Lathe, work: &Work, slope: f64) -> Self {
        let (from, length, beyond) = (work.from_jaws.si(), work.length.si(), work.beyond.si());
        let total = from + length + beyond;
        let big = work.diameter.si() + 2.0 * slope * work.gauge_plane.si();
        let flexibility: Vec<f64> = (0..SLICES)
            .map(|i| {
                let along = clamp(total * (i as f64 + 0.5) / SLICES as f64 - from, 0.0, length);
                let from_big = match work.big_end {
                    End::Headstock => along,
                    End::Tailstock => length - along,
                };
                let taper = max(big - 2.0 * slope * from_big, 0.0);
                let solid = |d: f64| std::f64::consts::PI * powi(d, 4) / 64.0;
                let inertia = match (work.kind, work.outside_diameter) {
                    (Kind::Outside, _) => solid(taper),
                    (Kind::Inside, Some(outside)) => solid(outside.si()) - solid(taper),
                    (Kind::Inside, None) => f64::INFINITY,
                };
                1.0 / (work.modulus.si() * inertia)
            })
            .collect();
        let mut sums = [0.0; 3];
        let mut moments = vec![sums];
        for (i, flexibility) in flexibility.iter().enumerate() {
            let width = total / SLICES as f64;
            sums = add(sums, part(width * i as f64, width, *flexibility));
            moments.push(sums);
        }
        Self {
            holding: work.holding,
            spindle: lathe.spindle.spring.si(),
            tailstock: lathe.tailstock_spring.si(),
            from,
            to_centre: total,
            rest: (work.steady).map(|steady| (min(steady.at.si(), total), steady.spring.si())),
            moments,
            flexibility,
        }
    }

    /// Deflection at `at` per unit force there, m/N; distances from the jaws.
    fn gives(&self, at: f64) -> f64 {
        match self.rest {
            None => self.held(at, at),
            Some(prop) => propped([at, at], prop, |a, b| self.held(a, b)),
        }
    }

    /// Held as it is, but for a rest: deflection at `a` per unit force at `b`, m/N.
    fn held(&self, a: f64, b: f64) -> f64 {
        let (low, high) = (min(a, b), max(a, b));
        match self.holding {
            Holding::Chuck => self.clamped(low, high),
            Holding::ChuckAndCentre => {
                let centre = (self.to_centre, self.tailstock);
                propped([low, high], centre, |a, b| self.clamped(a, b))
            }
            Holding::Centres => {
                let span = self.to_centre;
                let [low_share, high_share] = [low / span, high / span];
                let (before_low, before_high) = (self.moments_to(low), self.moments_to(high));
                let all = self.moments_to(span);
                // Moments of unit forces at both: rising to each force, then falling to the centre.
                let between: [f64; 3] = std::array::from_fn(|i| before_high[i] - before_low[i]);
                let [none, first, second]: [f64; 3] =
                    std::array::from_fn(|i| all[i] - before_high[i]);
                let after = span * span * none - 2.0 * span * first + second;
                let rising = (1.0 - low_share) * (1.0 - high_share);
                rising / self.spindle
                    + low_share * high_share / self.tailstock
                    + rising * before_low[2]
                    + low_share * (1.0 - high_share) * (span * between[1] - between[2])
                    + low_share * high_share * after
            }
        }
    }

    /// Beam clamped in a springy chuck: deflection at `a` per unit force at `b`.
    fn clamped(&self, a: f64, b: f64) -> f64 {
        let [none, first, second] = self.moments_to(min(a, b));
        1.0 / self.spindle + a * b * none - (a + b) * first + second
    }

    /// The integrals of `1 / (E I)`, `x / (E I)` and `x^2 / (E I)` from the jaws to `end`, by the
    /// midpoint rule.
    fn moments_to(&self, end: f64) -> [f64; 3] {
        let dx = self.to_centre / SLICES as f64;
        let end = clamp(end, 0.0, self.to_centre);
        let whole = ((end / dx) as usize).min(SLICES);
        let Some(&flexibility) = self.flexibility.get(whole) else {
            return self.moments[SLICES];
        };
        let low = dx * whole as f64;
        let width = max(end - low, 0.0);
        add(self.moments[whole], part(low, width, flexibility))
    }
}

/// Deflection at the first place per unit force at the second with one more spring (place, N/m) on
/// what gives as told without it, m/N: the force method, the spring takes a share.
fn propped([a, b]: [f64; 2], (prop, spring): (f64, f64), without: impl Fn(f64, f64) -> f64) -> f64 {
    without(a, b) - without(a, prop) * without(b, prop) / (without(prop, prop) + 1.0 / spring)
}

fn add(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    std::array::from_fn(|i| a[i] + b[i])
}

/// What a part of a slice adds to the integral and its moments.
fn part(low: f64, width: f64, flexibility: f64) -> [f64; 3] {
    let (middle, of) = (low + 0.5 * width, width * flexibility);
    [of, middle * of, middle * middle * of]
}
