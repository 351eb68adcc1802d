//! The slide held by a force, the way that the guide draws away: none, too weak, right, wrong way.

use schemars::JsonSchema;
use serde::Serialize;

use super::Taught;
use crate::advice::force_scan::pressed;
use crate::advice::window::{Needs, Window, plain_rule};
use crate::arithmetic::max;
use crate::compare::{Way, way};
use crate::cut::{Operation, Options};
use crate::measure::gauge;
use crate::record::Measures;
use crate::scenario::{Scenario, Toward};
use crate::study::{PER_TURN, RangeFault};
use crate::verdict::{NOT_SEEN, trouble};

/// Lathes asked what holds them, share of them to hold, and margin: as `preload` asks them.
const LATHES: u64 = 1000;
const SURE: (f64, f64) = (0.95, 0.20);
/// Weak forces tried, as shares of what keeps the slide moving.
const WEAK: [f64; 4] = [0.3, 0.5, 0.7, 0.9];

/// Which of the four.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Tried {
    /// Out of the cut, weaker than the drag: the worst of some.
    Weak,
    /// Out of the cut, as advised.
    Right,
    /// As strong, into the cut. On the screen only.
    Wrong,
}

/// One force, and what comes of it.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct PreloadTried {
    /// Which.
    pub tried: Tried,
    /// Force, N; positive out of the cut.
    pub force: f64,
    /// The cut under it.
    pub cut: Taught,
}

/// The forces.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct PreloadLesson {
    /// Which way is out of the cut.
    pub toward: Toward,
    /// What starts the slide, N.
    pub starts: f64,
    /// Twice that, N.
    pub plain_rule: f64,
    /// Force advised for a weight or spring, N; none where no force is right.
    pub advised: Option<f64>,
    /// The weak one leaves more wrong than none.
    pub weak_is_worse: bool,
    /// Weak, right, wrong; no right one where none is advised.
    pub tried: Vec<PreloadTried>,
}

impl PreloadLesson {
    /// One of those tried.
    pub fn tried(&self, which: Tried) -> Option<&PreloadTried> {
        self.tried.iter().find(|tried| tried.tried == which)
    }

    pub(super) fn new(
        scenario: &Scenario,
        drawn: &Way,
        options: Options,
    ) -> Result<Option<Self>, RangeFault> {
        let Some(run) = &drawn.run else {
            return Ok(None);
        };
        let setup = drawn.setup;
        let plain_rule = plain_rule(scenario, &setup, options);
        let of_lathes = Options {
            per_turn: PER_TURN,
            ..options
        };
        let needs = Needs::new(scenario, &setup, of_lathes, None)?;
        let asked: Vec<_> = (1..=LATHES).map(|number| needs.of(number)).collect();
        let advised = Window::of(&asked, SURE.0, SURE.1, false)
            .and_then(|window| window.advised(plain_rule, scenario.job.units));
        let starts = 0.5 * plain_rule;
        let keeps = starts / max(scenario.lathe.slide.breakaway.si(), 1.0);
        let finished_under = |force: f64| {
            let held = pressed(scenario, &setup, force);
            let operation = Operation::new(&held, setup, options);
            trouble(&gauge(
                &held,
                &setup,
                &operation,
                &operation.run_finishing(),
            ))
        };
        let weak = WEAK
            .map(|share| share * keeps)
            .into_iter()
            .max_by(|a, b| finished_under(*a).total_cmp(&finished_under(*b)))
            .unwrap_or(0.5 * keeps);
        let cut = |tried: Tried, force: f64| {
            let held = pressed(scenario, &setup, force);
            let way = way(&held, setup, Vec::new(), Vec::new(), options);
            PreloadTried {
                tried,
                force,
                cut: Taught::new(&held, &way, options),
            }
        };
        let strong = advised.unwrap_or(plain_rule);
        let mut tried = vec![cut(Tried::Weak, weak)];
        tried.extend(advised.map(|force| cut(Tried::Right, force)));
        tried.push(cut(Tried::Wrong, -strong));
        // By what is seen: metal left, waves.
        let missed = |o: &Measures| max((o.set - o.taken).abs(), o.waves);
        let weak_is_worse = tried[0]
            .cut
            .outcome
            .as_ref()
            .is_some_and(|o| missed(o) > missed(&run.outcome) + NOT_SEEN);
        Ok(Some(Self {
            toward: setup.toward_in_x(true),
            starts,
            plain_rule,
            advised,
            weak_is_worse,
            tried,
        }))
    }
}
