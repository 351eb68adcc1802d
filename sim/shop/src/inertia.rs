//! Whether the slide's mass matters to a way, told from its frequencies, and tried.

use crate::arithmetic::{max, min};
use crate::cut::{self, Finished, Operation, Options};
use crate::measure::gauge;
use crate::parallel::*;
use crate::quantity::Quantity;
use crate::record::{Damped, Held, Inertia, Measures, WithInertia, Yardstick};
use crate::scenario::Scenario;
use crate::sensitivity::unsteady;
use crate::setup::Setup;
use crate::spread::Interval;
use crate::verdict::NOT_SEEN;

/// Floating frequency over the spindle's below which the quasi-static answer isn't relied on.
///
/// Crossing the gap takes about half a swing; at this ratio that is a quarter of a turn, and what
/// comes once a turn is already exaggerated by a third, `1 / (1 - 1/4)`.
pub const SLOW: f64 = 2.0;
/// Damping of a slide on its ways and its chip over that at which it no longer swings on the
/// cutting force alone: what oil, ways and chip may give, and the middle of the two by their ratio
/// (a guess; nobody measured it).
pub const DAMPING: [f64; 3] = [0.05, 0.16, 0.5];
/// Half of the change of depth over which the force's slope is taken, m.
const ABOUT: f64 = 1e-6;

/// What the mass makes of a way that was run without it.
///
/// # Law
/// Floating, the slide swings on the cutting force alone, at `sqrt(k / m) / 2 pi`. In a swing that
/// repeats with the turn the overlap with the turn before changes nothing, so `k` is the slope of
/// the force in a steady cut, `dFp/da`, softened by what tool and work give way; a quicker swing
/// has the overlap's stiffness too and is better held.
pub fn inertia(operation: &Operation<'_>, finished: &Finished, found: &Measures) -> Inertia {
    let mass = cut::Inertia::of(&operation.machine).mass;
    let pass = &finished.passes[finished.last_set];
    let law = operation.law(pass.feed);
    let depths = pass.turns.iter().filter(|turn| turn.cutting);
    let (sum, count) = depths.fold((0.0, 0.0), |(sum, n), turn| (sum + turn.depth, n + 1.0));
    let depth = if count > 0.0 { sum / count } else { pass.set };
    let push_off = |depth: f64| law.at(depth, 0.0, 1.0).push_off;
    let slope = (push_off(depth + ABOUT) - push_off(max(depth - ABOUT, 0.0))) / (2.0 * ABOUT);
    let z = operation.gauge_z();
    let gives = operation.machine.tool_gives + operation.machine.bench.gives(z);
    let spring = max(slope, 0.0) / (1.0 + gives * max(slope, 0.0));
    let floating_frequency = (spring / mass).sqrt() / std::f64::consts::TAU;
    let turns_per_second = operation.turns_per_second(operation.radius(z));
    Inertia {
        mass,
        floating_frequency,
        turns_per_second,
        too_slow: mass > 0.0 && unsteady(found) && floating_frequency < SLOW * turns_per_second,
        tried: None,
    }
}

/// Share of a tolerance's whole width by which an answer may be off and still be the same, where
/// no lathes were tried: a tenth, as a gauge may take of it (common practice, no source).
pub const SHARE_OF_TOLERANCE: f64 = 0.1;
/// Never less than this, m: finer time steps change the answer by as much.
const FINEST: f64 = 0.1 * NOT_SEEN;

/// Size per side, waves and roundness.
const MEASURES: [fn(&Measures) -> f64; 3] = [|m| m.size_error, |m| m.waves, |m| m.roundness];

/// Within what size, waves and roundness would still be the answer `found`, and what says so.
///
/// Where lathes were tried, their coverage intervals (`tried_on`, m) do, for the answer is known no
/// better; else [`SHARE_OF_TOLERANCE`] of the drawing's tolerance to either side; else what one
/// would see, [`NOT_SEEN`]. What one wouldn't see never makes another answer of lathes that hardly
/// differ.
pub fn alike(
    scenario: &Scenario,
    found: &Measures,
    tried_on: Option<[Interval; 3]>,
) -> [(Interval, Yardstick); 3] {
    let work = &scenario.job.work;
    let tolerances = [
        work.size_tolerance
            .map(|band| 0.5 * (band.upper.si() - band.lower.si())),
        work.waves_allowed.map(Quantity::si),
        None,
    ];
    std::array::from_fn(|n| {
        let found = MEASURES[n](found);
        let about = |by: f64| Interval {
            lower: found - by,
            upper: found + by,
        };
        let seen = about(NOT_SEEN);
        match (tried_on, tolerances[n]) {
            (Some(tried_on), _) => {
                let within = Interval {
                    lower: min(seen.lower, tried_on[n].lower),
                    upper: max(seen.upper, tried_on[n].upper),
                };
                (within, Yardstick::Lathes)
            }
            (None, Some(tolerance)) => (
                about(max(SHARE_OF_TOLERANCE * tolerance, FINEST)),
                Yardstick::Drawing,
            ),
            (None, None) => (seen, Yardstick::Sight),
        }
    })
}

/// Steps through time that [`tried`] takes: known before it is run.
pub fn steps(scenario: &Scenario, setup: &Setup, options: Options) -> f64 {
    let operation = Operation::new(scenario, *setup, options);
    let turns = scenario.job.work.length.si() / scenario.job.passes.feed.si();
    let (big, _) = scenario.job.work.end_diameters();
    let time = turns / operation.turns_per_second(0.5 * big.si());
    let through = cut::Inertia::of(&operation.machine).steps_through(&operation.machine, time);
    max(through, turns * options.per_turn as f64) * DAMPING.len() as f64
}

/// The way's last pass with a set depth, and the spring passes after it, made again with the
/// slide's mass and each of [`DAMPING`], held against what was found without ([`alike`], by the
/// lathes tried where there are any); nothing if the slide weighs nothing.
pub fn tried(
    scenario: &Scenario,
    setup: &Setup,
    options: Options,
    found: &Measures,
    tried_on: Option<[Interval; 3]>,
) -> Option<WithInertia> {
    let operation = Operation::new(scenario, *setup, options);
    let heavy = cut::Inertia::of(&operation.machine);
    let floats = inertia(&operation, &operation.run(), found).floating_frequency;
    let with = |ratio: f64| {
        let heavy = heavy.damped(ratio, floats);
        let operation = operation.clone().with_inertia(heavy);
        let finished = operation.run();
        let ridden = finished.ridden?;
        Some(Damped {
            ratio,
            measures: gauge(scenario, setup, &operation, &finished),
            counts: ridden.counts,
            substeps: ridden.substeps,
        })
    };
    let damped: Option<Vec<Damped>> = DAMPING.par_iter().map(|ratio| with(*ratio)).collect();
    let damped = damped?;
    let alike = alike(scenario, found, tried_on);
    let held: [Held; 3] = std::array::from_fn(|n| {
        let (within, by) = alike[n];
        let all = || damped.iter().map(|damped| MEASURES[n](&damped.measures));
        Held {
            from: within.lower,
            to: within.upper,
            least: all().fold(f64::INFINITY, min),
            most: all().fold(f64::NEG_INFINITY, max),
            by,
            differs: all().all(|found| !within.holds(found)),
            may_differ: all().any(|found| !within.holds(found)),
        }
    });
    Some(WithInertia {
        damped,
        held,
        differs: held.iter().any(|held| held.differs),
        may_differ: held.iter().any(|held| held.may_differ),
    })
}
