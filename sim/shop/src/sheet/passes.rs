//! Touch-off and passes, as the person dials them.

use schemars::JsonSchema;
use serde::Serialize;

use crate::arithmetic::max;
use crate::compare::Way;
use crate::cut::withdrawal;
use crate::expect::{Expect, alike_at_end};
use crate::quantity::{INCH, Quantity, Speed, Units};
use crate::record::Run;
use crate::scenario::{End, Kind, Passes, Scenario, StartSurface};
use crate::setup::{Pull, Setup};

/// Where the edge is touched off.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct TouchOff {
    /// The end of the taper where the tool meets the work first; `None` for the gauge plane.
    pub end: Option<End>,
    /// Whether that end is the big one.
    pub at_big_end: bool,
    /// Stock there, per side, m: the dial at size, counted from the touch.
    pub stock: f64,
    /// All slack along the cross-slide, m.
    pub slack: f64,
    /// Least withdrawal, m per side: more than the slack, so that it is taken up again.
    pub withdraw: f64,
}

impl TouchOff {
    pub(super) fn at(scenario: &Scenario, setup: &Setup, slack: f64) -> Self {
        let work = &scenario.job.work;
        let (big, small) = work.end_diameters();
        let [at_big, at_small] = work.stock_at_ends();
        let big_first = match work.start {
            StartSurface::Tapered { .. } => at_big > at_small,
            _ => work.kind == Kind::Inside,
        };
        let other = match work.big_end {
            End::Headstock => End::Tailstock,
            End::Tailstock => End::Headstock,
        };
        let first = if big_first { work.big_end } else { other };
        let (end, stock) = match work.start {
            StartSurface::Roughed { stock } => (None, stock.si()),
            StartSurface::Tapered { .. } => (Some(first), max(at_big, at_small)),
            StartSurface::Straight { diameter } => {
                let size = if big_first { big } else { small };
                let stock = 0.5 * setup.inward() * (size.si() - diameter.si());
                (Some(first), stock)
            }
        };
        let step = match scenario.job.units {
            Units::Inch => 0.010 * INCH,
            Units::Metric => 1e-4,
        };
        Self {
            end,
            at_big_end: big_first,
            stock,
            slack,
            withdraw: (withdrawal(slack) / step - 1e-6).ceil() * step,
        }
    }
}

/// What a pass is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Stage {
    /// Roughing.
    Rough,
    /// Roughing once more at the same dial.
    Again,
    /// Finishing.
    Finish,
    /// The last, its dial by what the gauge read before it.
    Last,
    /// With the dial left alone.
    Spring,
}

/// A pass to be made.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct SheetPass {
    /// 1, 2, 3 ...
    pub number: usize,
    /// What it is for.
    pub stage: Stage,
    /// Dial from the last touch-off, per side, m.
    pub dial: f64,
    /// Set for this pass, per side, m.
    pub set: f64,
    /// Feed per turn, m.
    pub feed: f64,
    /// What the run took at the gauge plane, per side, m.
    pub takes: f64,
}

/// The passes of a way: roughing as run, then the plan that was played on many lathes; all as run
/// where none was. Drawn away none leaves the dial alone: such a pass may dig in, and its caution
/// forbids it.
pub(super) fn of(run: &Run, job: &Passes, way: &Way) -> Vec<SheetPass> {
    let mut all = as_run(run);
    if way.pull == Pull::Away {
        all.retain(|pass| pass.set > 0.0);
        for (at, pass) in all.iter_mut().enumerate() {
            pass.number = at + 1;
        }
    }
    match &way.expect {
        Some(expect) => as_planned(all, job, expect),
        None => all,
    }
}

/// These passes, the finishing ones as in the plan that was played.
pub(super) fn as_planned(all: Vec<SheetPass>, job: &Passes, expect: &Expect) -> Vec<SheetPass> {
    let (mut passes, finishing): (Vec<_>, Vec<_>) = all
        .into_iter()
        .partition(|pass| matches!(pass.stage, Stage::Rough | Stage::Again));
    let takes = finishing.first().map_or(0.0, |pass| pass.takes);
    let of_job = alike_at_end(&job.finish);
    let before = &job.finish[..job.finish.len() - of_job];
    let alike = std::iter::repeat_n(expect.set, of_job.max(expect.alike));
    let depths: Vec<f64> = before.iter().map(|set| set.si()).chain(alike).collect();
    let of_plan: f64 = depths.iter().sum();
    let of_run: f64 = job.finish.iter().map(|set| set.si()).sum();
    // Roughing leaves what the plan takes.
    let roughed = passes.last().map_or(0.0, |pass: &SheetPass| pass.dial);
    if roughed > 0.0 {
        let share = (roughed - (of_plan - of_run)) / roughed;
        for pass in &mut passes {
            pass.dial *= share;
            pass.set *= share;
            pass.takes *= share;
        }
    }
    let mut dial = 0.0;
    for (n, set) in depths.iter().enumerate() {
        dial += set;
        passes.push(SheetPass {
            number: passes.len() + 1,
            stage: if n + 1 == depths.len() && expect.gauging_helps() {
                Stage::Last
            } else {
                Stage::Finish
            },
            dial,
            set: *set,
            feed: job.feed.si(),
            takes,
        });
    }
    passes
}

/// The passes of a run. Finishing is dialled from a touch-off of its own.
fn as_run(run: &Run) -> Vec<SheetPass> {
    let mut dial = 0.0;
    let mut finishing = false;
    run.passes
        .iter()
        .map(|pass| {
            if pass.finishing && !finishing {
                finishing = true;
                dial = 0.0;
            }
            dial += pass.set;
            let stage = match (pass.finishing, pass.set > 0.0) {
                (false, true) => Stage::Rough,
                (false, false) => Stage::Again,
                (true, true) => Stage::Finish,
                (true, false) => Stage::Spring,
            };
            SheetPass {
                number: pass.number,
                stage,
                dial,
                set: pass.set,
                feed: pass.feed,
                takes: pass.taken,
            }
        })
        .collect()
}

/// Turns a second and surface speed, m/s, at a diameter.
pub(super) fn speed(speed: Speed, diameter: f64) -> (f64, f64) {
    let round = std::f64::consts::PI * diameter;
    match speed {
        Speed::Turns(turns) => (turns, turns * round),
        Speed::Surface(surface) => (surface / round, surface),
    }
}
