//! The metal there is to take: the finished cone, the blank over it, and where the passes run.

use crate::arithmetic::{clamp, max, min};
use crate::quantity::Quantity;
use crate::scenario::{End, Scenario, StartSurface};
use crate::setup::Setup;

/// Entry and exit seldom reach further than this, m, or this much of the length.
const ENDS: (f64, f64) = (5e-3, 0.2);

/// Finished cone and blank of one piece, seen along `n`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stock {
    /// Length of the taper, m.
    pub length: f64,
    /// Place of the gauge plane, m from the headstock-side end.
    pub gauge_z: f64,
    /// Radius of the finished cone there, m.
    gauge_radius: f64,
    /// Change of the finished cone's radius along `+Z`.
    lean: f64,
    inward: f64,
    start: StartSurface,
    /// Change of the radius of the taper that is there along `+Z`.
    start_lean: f64,
    /// What the finishing passes take, m.
    pub to_finish: f64,
    /// Deepest roughing pass, m.
    rough: f64,
}

/// Roughing as it is dialled: this many passes of the same depth from the touch.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RoughingPlan {
    /// Passes.
    pub passes: usize,
    /// Depth of each, m.
    pub set: f64,
    /// Stock where the tool first touches, m.
    pub stock: f64,
}

impl Stock {
    /// The stock of a job, for one setup.
    pub fn new(scenario: &Scenario, setup: &Setup) -> Self {
        let work = &scenario.job.work;
        let length = work.length.si();
        let from_big_end = work.gauge_plane.si();
        let passes = &scenario.job.passes;
        Self {
            length,
            gauge_z: match work.big_end {
                End::Headstock => from_big_end,
                End::Tailstock => length - from_big_end,
            },
            gauge_radius: 0.5 * work.diameter.si(),
            lean: setup.slope_sign() * aimed_taper(scenario) / 2.0,
            inward: setup.inward(),
            start: work.start,
            start_lean: match work.start {
                StartSurface::Tapered { taper, .. } => setup.slope_sign() * taper.slope(),
                _ => 0.0,
            },
            to_finish: passes.finish.iter().map(|pass| pass.si()).sum(),
            rough: passes.rough.si(),
        }
    }

    /// Where along the work it is told what a pass took, m: at the gauge plane, or where that lies
    /// in an entry or exit as far in as those reach.
    pub fn taken_z(&self) -> f64 {
        let ends = min(ENDS.0, ENDS.1 * self.length);
        clamp(self.gauge_z, ends, self.length - ends)
    }

    /// Radius of the finished cone at `z`, m; beyond its ends it goes on.
    pub fn radius(&self, z: f64) -> f64 {
        self.gauge_radius + self.lean * (z - self.gauge_z)
    }

    /// Height of the surface the work starts from over the finished cone, without run-out, m.
    pub fn blank(&self, z: f64) -> f64 {
        match self.start {
            StartSurface::Straight { diameter } => {
                self.inward * (0.5 * diameter.si() - self.radius(z))
            }
            StartSurface::Tapered { diameter, .. } => {
                let there = 0.5 * diameter.si() + self.start_lean * (z - self.gauge_z);
                self.inward * (there - self.radius(z))
            }
            StartSurface::Roughed { stock } => -stock.si(),
        }
    }

    /// Whether the work comes with the same stock all along.
    pub fn is_roughed(&self) -> bool {
        matches!(self.start, StartSurface::Roughed { .. })
    }

    /// Where roughing is touched off, m: the gauge plane of a roughed blank, of another the end
    /// with the most stock.
    fn touched_at(&self) -> f64 {
        match self.start {
            StartSurface::Roughed { .. } => self.gauge_z,
            _ if self.blank(0.0) < self.blank(self.length) => 0.0,
            _ => self.length,
        }
    }

    /// Roughing until the finishing stock is left; `None` where there is no more than that.
    pub fn roughing(&self) -> Option<RoughingPlan> {
        let stock = -self.blank(self.touched_at());
        let to_rough = max(stock - self.to_finish, 0.0);
        let passes = max((to_rough / self.rough - 1e-9).ceil(), 0.0) as usize;
        (passes > 0).then(|| RoughingPlan {
            passes,
            set: to_rough / passes as f64,
            stock,
        })
    }
}

/// Taper to aim at, on diameter: the middle of the tolerance band.
pub fn aimed_taper(scenario: &Scenario) -> f64 {
    let work = &scenario.job.work;
    work.taper.si() + 0.5 * (work.tolerance.lower.si() + work.tolerance.upper.si())
}
