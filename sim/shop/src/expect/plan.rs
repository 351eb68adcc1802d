//! The passes that a plan ends with, and the limits it is judged by.

use crate::arithmetic::min;
use crate::quantity::{INCH, Length, Quantity};
use crate::scenario::{Kind, Scenario, StartSurface, Work};

/// Where a drawing gives no size tolerance, this per side either way, m: half a thou (a guess).
pub const SIZE_TAKEN: f64 = 0.0005 * INCH;

/// Depth of each of so many passes alike that a plan ends with, m: that of the last the job gives, or
/// where the stock has no room for more of them, what these take of it.
pub fn depth_of(scenario: &Scenario, alike: usize) -> f64 {
    let finish = &scenario.job.passes.finish;
    let last = finish.last().map_or(0.0, |set| set.si());
    let of_job = alike_at_end(finish);
    let more = alike.saturating_sub(of_job) as f64 * last;
    let all: f64 = finish.iter().map(|set| set.si()).sum();
    if all + more <= least_stock(&scenario.job.work) + 1e-9 {
        last
    } else {
        last * of_job.min(alike) as f64 / alike as f64
    }
}

/// How many passes at the end of a list are alike.
pub fn alike_at_end(finish: &[Length]) -> usize {
    let last = finish.last().map_or(0.0, |set| set.si());
    let alike = |set: &&Length| (set.si() - last).abs() < 1e-9;
    finish.iter().rev().take_while(alike).count()
}

/// Where there is least of it, m per side.
fn least_stock(work: &Work) -> f64 {
    match work.start {
        StartSurface::Roughed { stock } => stock.si(),
        StartSurface::Tapered { .. } => {
            let [at_big, at_small] = work.stock_at_ends();
            min(at_big, at_small)
        }
        StartSurface::Straight { diameter } => {
            let (big, small) = work.end_diameters();
            let [of_big, of_small] = [big, small].map(|end| 0.5 * (end.si() - diameter.si()));
            match work.kind {
                Kind::Inside => min(of_big, of_small),
                Kind::Outside => min(-of_big, -of_small),
            }
        }
    }
}

/// How a piece ends.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct End {
    /// Size error per side, positive into the work, m.
    pub size: f64,
    /// Taper on diameter.
    pub taper: f64,
    /// Waves, m.
    pub waves: f64,
}

/// What a drawing admits.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limits {
    /// Size error per side, positive into the work, m.
    pub size: [f64; 2],
    /// Whether that was taken for want of a tolerance.
    pub size_taken: bool,
    /// Taper on diameter.
    pub taper: [f64; 2],
    /// Waves, m.
    pub waves: Option<f64>,
}

impl Limits {
    /// Of a drawing.
    pub fn new(work: &Work) -> Self {
        let (size, size_taken) = size_band(work);
        let band = work.tolerance;
        let taper = [band.lower, band.upper].map(|off| work.taper.si() + off.si());
        Self {
            size,
            size_taken,
            taper,
            waves: work.waves_allowed.map(Length::si),
        }
    }

    /// All of it is met.
    pub fn met(&self, end: &End) -> bool {
        self.taper_met(end) && self.size_met(end) && self.waves_met(end)
    }

    pub(super) fn taper_met(&self, end: &End) -> bool {
        end.taper >= self.taper[0] && end.taper <= self.taper[1]
    }

    pub(super) fn size_met(&self, end: &End) -> bool {
        !self.too_far(end) && !self.left_on(end)
    }

    pub(super) fn waves_met(&self, end: &End) -> bool {
        self.waves.is_none_or(|allowed| end.waves <= allowed)
    }

    /// Cut beyond the limit: nothing brings it back.
    pub fn too_far(&self, end: &End) -> bool {
        end.size > self.size[1]
    }

    /// Metal left on beyond the other.
    pub(super) fn left_on(&self, end: &End) -> bool {
        end.size < self.size[0]
    }

    /// Nothing is wrong but metal left on: another pass takes it.
    pub fn mends(&self, end: &End) -> bool {
        self.left_on(end) && self.taper_met(end) && self.waves_met(end)
    }
}

/// Limits of the size error per side, into the work, m; and whether they were taken for want of a
/// tolerance.
pub fn size_band(work: &Work) -> ([f64; 2], bool) {
    let Some(band) = &work.size_tolerance else {
        return ([-SIZE_TAKEN, SIZE_TAKEN], true);
    };
    let [lower, upper] = [0.5 * band.lower.si(), 0.5 * band.upper.si()];
    let limits = match work.kind {
        Kind::Inside => [lower, upper],
        Kind::Outside => [-upper, -lower],
    };
    (limits, false)
}

/// The job with so many passes alike at its end, from an even stock, and no spring pass.
pub fn planned(scenario: &Scenario, alike: usize) -> Scenario {
    let mut planned = scenario.clone();
    let passes = &mut planned.job.passes;
    passes.finish = vec![Length::from_si(depth_of(scenario, alike)); alike];
    passes.spring = 0;
    planned
}
