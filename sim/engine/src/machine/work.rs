//! How far the work gives way under push-off, along its length.
//!
//! A beam of the finished shape (Euler-Bernoulli, integrated over the cone) in a springy chuck,
//! on two centres, or in a chuck with a centre. Inside work without a stated outside diameter is
//! taken as rigid beyond the spindle.

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
            moments,
            flexibility,
        }
    }

    /// Deflection at `at` per unit force there, m/N; distances from the jaws.
    fn gives(&self, at: f64) -> f64 {
        match self.holding {
            Holding::Chuck => self.clamped(at, at),
            Holding::ChuckAndCentre => {
                // The centre takes a share: force method on the clamped beam.
                let end = self.to_centre;
                let across = self.clamped(at, end);
                self.clamped(at, at)
                    - across * across / (self.clamped(end, end) + 1.0 / self.tailstock)
            }
            Holding::Centres => {
                let span = self.to_centre;
                let share = at / span;
                // The moment of a unit force: x (1 - share) before it, share (span - x) after.
                let before = self.moments_to(at);
                let all = self.moments_to(span);
                let [none, first, second]: [f64; 3] = std::array::from_fn(|i| all[i] - before[i]);
                let after = span * span * none - 2.0 * span * first + second;
                powi(1.0 - share, 2) / self.spindle
                    + share * share / self.tailstock
                    + powi(1.0 - share, 2) * before[2]
                    + share * share * after
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

fn add(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    std::array::from_fn(|i| a[i] + b[i])
}

/// What a part of a slice adds to the integral and its moments.
fn part(low: f64, width: f64, flexibility: f64) -> [f64; 3] {
    let (middle, of) = (low + 0.5 * width, width * flexibility);
    [of, middle * of, middle * middle * of]
}
