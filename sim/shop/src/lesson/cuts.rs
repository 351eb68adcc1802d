//! The cuts of the lesson: both ways, the gib snugged, a spring pass, drag against push-off.

use schemars::JsonSchema;
use serde::Serialize;

use crate::advice::catalogue::changes;
use crate::advice::change::Arrangement;
use crate::advice::seat::SlideForces;
use crate::caution::Caution;
use crate::compare::{Start, Way, way};
use crate::cut::{Operation, Options};
use crate::feasibility::Reason;
use crate::measure::gauge;
use crate::motion::{Motion, motion};
use crate::quantity::{INCH, Quantity, Units};
use crate::record::Outcome;
use crate::scenario::Scenario;
use crate::sensitivity::unsteady;
use crate::setup::{Pull, Setup};
use crate::verdict::Verdict;

/// Times that progress is told of after the comparison.
pub(super) const MORE: usize = 4;
/// Depths at which drag and push-off are compared, m.
const DEPTHS: ([f64; 3], [f64; 3]) = ([0.005, 0.020, 0.060], [0.1, 0.5, 1.5]);
/// Deepest cut at which the two are looked for to be alike, m.
const DEEPEST: f64 = 5e-3;
/// Places looked at up to there.
const LOOKS: usize = 500;

/// One of the two ways of the lesson.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Taught {
    /// The way.
    pub setup: Setup,
    /// Pulled in or drawn away.
    pub pull: Pull,
    /// Its run-in.
    pub start: Start,
    /// Why it can't be cut here; empty where it can.
    pub out: Vec<Reason>,
    /// What can hurt.
    pub cautions: Vec<Caution>,
    /// What comes out.
    pub outcome: Option<Outcome>,
    /// Against the drawing.
    pub verdict: Option<Verdict>,
    /// The drive in motion.
    pub motion: Option<Motion>,
}

impl Taught {
    pub(super) fn new(scenario: &Scenario, way: &Way, options: Options) -> Self {
        let run = way.run.as_ref();
        Self {
            setup: way.setup,
            pull: way.pull,
            start: way.start,
            out: way.out.clone(),
            cautions: way.cautions.clone(),
            outcome: run.map(|run| run.outcome.clone()),
            verdict: way.verdict,
            motion: run.and_then(|run| motion(scenario, run, options)),
        }
    }

    /// It runs on one face of its slack all the way.
    pub fn is_steady(&self) -> bool {
        self.outcome.as_ref().is_some_and(|o| !unsteady(o))
    }
}

/// Drag and push-off over depth, as the drawn-away way feels them.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Depths {
    /// Drag by hand, once moving, N.
    pub hand: f64,
    /// What starts the slide by hand, N.
    pub starts: f64,
    /// Feed, m a turn.
    pub feed: f64,
    /// By depth.
    pub rows: Vec<ForceRow>,
    /// Depths at which they are alike, up to 5 mm, least first, m.
    pub alike: Vec<f64>,
}

/// Drag against push-off at one depth.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ForceRow {
    /// Depth per side, m.
    pub depth: f64,
    /// Push-off, N.
    pub push_off: f64,
    /// Drag while cutting, N.
    pub drag: f64,
}

impl Depths {
    pub(super) fn new(scenario: &Scenario, setup: &Setup, options: Options) -> Self {
        let operation = Operation::new(scenario, *setup, options);
        let feed = scenario.job.passes.feed.si();
        let slide = SlideForces::new(&operation, feed);
        let depths = match scenario.job.units {
            Units::Inch => DEPTHS.0.map(|depth| depth * INCH),
            Units::Metric => DEPTHS.1.map(|depth| depth * 1e-3),
        };
        let row = |depth: f64| {
            let forces = slide.at(depth, 1.0);
            ForceRow {
                depth,
                push_off: forces.push_off,
                drag: forces.drag,
            }
        };
        let beats = |depth: f64| {
            let row = row(depth);
            row.push_off > row.drag
        };
        let places: Vec<f64> = (1..=LOOKS)
            .map(|n| DEEPEST * n as f64 / LOOKS as f64)
            .collect();
        let alike = places
            .windows(2)
            .filter(|pair| beats(pair[0]) != beats(pair[1]))
            .map(|pair| {
                let (mut low, mut high) = (pair[0], pair[1]);
                let first = beats(low);
                for _ in 0..40 {
                    let middle = 0.5 * (low + high);
                    if beats(middle) == first {
                        low = middle;
                    } else {
                        high = middle;
                    }
                }
                0.5 * (low + high)
            })
            .collect();
        Self {
            hand: operation.machine.drag.hand(),
            starts: slide.starts(),
            feed,
            rows: depths.map(row).to_vec(),
            alike,
        }
    }
}

/// The slide's gib snugged, the way that the guide draws away.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Snugged {
    /// How many times the drag by hand.
    pub times: f64,
    /// Drag by hand before and after, N.
    pub hand: [f64; 2],
    /// The cut after.
    pub after: Taught,
    /// Twice the drag, the most that is right, where the usual snugging doesn't hold it steady.
    pub twice: Option<Box<Taught>>,
}

/// Most that a gib may be snugged: twice the drag by hand (common practice, no source).
const MOST_SNUG: f64 = 2.0;

impl Snugged {
    /// The most that was tried.
    pub fn most(&self) -> &Taught {
        self.twice.as_deref().unwrap_or(&self.after)
    }

    pub(super) fn new(scenario: &Scenario, drawn: &Way, options: Options) -> Option<Self> {
        drawn.run.as_ref()?;
        let now = Arrangement {
            scenario: scenario.clone(),
            setup: drawn.setup,
            by_hand: false,
        };
        let snug = changes(&now, None, options)
            .into_iter()
            .find(|change| change.id == "snug-slide-gib")?
            .applied(&now)
            .scenario;
        let hand = [scenario, &snug].map(|s| s.lathe.slide.drag.si());
        let cut = |snug: &Scenario| {
            let way = way(snug, drawn.setup, Vec::new(), Vec::new(), options);
            Taught::new(snug, &way, options)
        };
        let after = cut(&snug);
        let twice = (!after.is_steady()).then(|| {
            let mut twice = snug.clone();
            twice.lathe.slide.drag.middle = Quantity::from_si(MOST_SNUG * hand[0]);
            Box::new(cut(&twice))
        });
        Some(Self {
            times: hand[1] / hand[0],
            hand,
            after,
            twice,
        })
    }
}

/// The finishing passes from an even stock, then one more at the same dial.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct SpringPass {
    /// What was set for the last pass before it, m per side.
    pub set: f64,
    /// What that pass took, m per side.
    pub taken: f64,
    /// What the spring pass took with nothing set, m per side.
    pub spring: f64,
    /// Size error after it, per side, positive into the work, m.
    pub size_error: f64,
}

impl SpringPass {
    pub(super) fn new(scenario: &Scenario, way: &Way, options: Options) -> Option<Self> {
        way.run.as_ref()?;
        let mut scenario = scenario.clone();
        scenario.job.passes.spring = 1;
        let operation = Operation::new(&scenario, way.setup, options);
        let finished = operation.run_finishing();
        let found = gauge(&scenario, &way.setup, &operation, &finished);
        Some(Self {
            set: found.set,
            taken: finished.passes.get(finished.last_set)?.taken,
            spring: finished.passes.last()?.taken,
            size_error: found.size_error,
        })
    }
}
