//! How far the work gives way under push-off, along its length.
//!
//! A beam of the finished shape (Euler-Bernoulli, integrated over the cone) in a springy chuck,
//! on two centres, or in a chuck with a centre. Inside work without a stated outside diameter is
//! taken as rigid beyond the spindle.

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

    /// Compliance at `z` from the headstock-side end of the taper, m/N.
    #[inline]
    pub fn gives(&self, z: f64) -> f64 {
        let place = (z / self.length * (PLACES - 1) as f64).clamp(0.0, (PLACES - 1) as f64);
        let i = (place as usize).min(PLACES - 2);
        let share = place - i as f64;
        self.gives[i] + share * (self.gives[i + 1] - self.gives[i])
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
    /// Bending stiffness E I of each slice from jaws to centre, N m2.
    stiffness: Vec<f64>,
}

impl Beam {
    fn new(lathe: &Lathe, work: &Work, slope: f64) -> Self {
        let (from, length, beyond) = (work.from_jaws.si(), work.length.si(), work.beyond.si());
        let total = from + length + beyond;
        let big = work.diameter.si() + 2.0 * slope * work.gauge_plane.si();
        let stiffness = (0..SLICES)
            .map(|i| {
                let along = (total * (i as f64 + 0.5) / SLICES as f64 - from).clamp(0.0, length);
                let from_big = match work.big_end {
                    End::Headstock => along,
                    End::Tailstock => length - along,
                };
                let taper = (big - 2.0 * slope * from_big).max(0.0);
                let solid = |d: f64| std::f64::consts::PI * d.powi(4) / 64.0;
                let inertia = match (work.kind, work.outside_diameter) {
                    (Kind::Outside, _) => solid(taper),
                    (Kind::Inside, Some(outside)) => solid(outside.si()) - solid(taper),
                    (Kind::Inside, None) => f64::INFINITY,
                };
                work.modulus.si() * inertia
            })
            .collect();
        Self {
            holding: work.holding,
            spindle: lathe.spindle.spring.si(),
            tailstock: lathe.tailstock_spring.si(),
            from,
            to_centre: total,
            stiffness,
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
                let moment = |x: f64| {
                    if x < at {
                        x * (1.0 - share)
                    } else {
                        share * (span - x)
                    }
                };
                (1.0 - share).powi(2) / self.spindle
                    + share * share / self.tailstock
                    + self.integral(span, |x| moment(x) * moment(x))
            }
        }
    }

    /// Beam clamped in a springy chuck: deflection at `a` per unit force at `b`.
    fn clamped(&self, a: f64, b: f64) -> f64 {
        let near = a.min(b);
        1.0 / self.spindle + self.integral(near, |x| (a - x) * (b - x))
    }

    /// `integral of f / (E I) dx` from the jaws to `end`, by the midpoint rule.
    fn integral(&self, end: f64, f: impl Fn(f64) -> f64) -> f64 {
        let dx = self.to_centre / SLICES as f64;
        self.stiffness
            .iter()
            .enumerate()
            .map(|(i, stiffness)| {
                let low = dx * i as f64;
                let width = (end - low).clamp(0.0, dx);
                if width > 0.0 {
                    f(low + 0.5 * width) * width / stiffness
                } else {
                    0.0
                }
            })
            .sum()
    }
}
