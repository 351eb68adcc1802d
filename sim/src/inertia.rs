//! Whether the slide's mass matters to a way, told from its frequencies, and tried.

use crate::compare::NOT_SEEN;
use crate::cut::{self, Course, Finished, Options};
use crate::mattered::unsteady;
use crate::measure::gauge;
use crate::record::{Inertia, Measures, WithInertia};
use crate::scenario::Scenario;
use crate::setup::Setup;

/// Floating frequency over the spindle's below which the quasi-static answer isn't relied on.
///
/// Crossing the gap takes about half a swing; at this ratio that is a quarter of a turn, and what
/// comes once a turn is already exaggerated by a third, `1 / (1 - 1/4)`.
pub const SLOW: f64 = 2.0;
/// Half of the change of depth over which the force's slope is taken, m.
const ABOUT: f64 = 1e-6;

/// What the mass makes of a way that was run without it.
///
/// # Law
/// Floating, the slide swings on the cutting force alone, at `sqrt(k / m) / 2 pi`. In a swing that
/// repeats with the turn the overlap with the turn before changes nothing, so `k` is the slope of
/// the force in a steady cut, `dFp/da`, softened by what tool and work give way; a quicker swing
/// has the overlap's stiffness too and is better held.
pub fn inertia(course: &Course<'_>, finished: &Finished, found: &Measures) -> Inertia {
    let mass = cut::Inertia::of(&course.machine).mass;
    let pass = &finished.passes[finished.last_set];
    let law = course.law(pass.feed);
    let depths = pass.turns.iter().filter(|turn| turn.cutting);
    let (sum, count) = depths.fold((0.0, 0.0), |(sum, n), turn| (sum + turn.depth, n + 1.0));
    let depth = if count > 0.0 { sum / count } else { pass.set };
    let push_off = |depth: f64| law.at(depth, 0.0, 1.0).push_off;
    let slope = (push_off(depth + ABOUT) - push_off((depth - ABOUT).max(0.0))) / (2.0 * ABOUT);
    let z = course.gauge_z();
    let gives = course.machine.tool_gives + course.machine.bench.gives(z);
    let spring = slope.max(0.0) / (1.0 + gives * slope.max(0.0));
    let floating_frequency = (spring / mass).sqrt() / std::f64::consts::TAU;
    let turns_per_second = course.turns_per_second(course.radius(z));
    Inertia {
        mass,
        floating_frequency,
        turns_per_second,
        too_slow: mass > 0.0 && unsteady(found) && floating_frequency < SLOW * turns_per_second,
        tried: None,
    }
}

/// The way's last pass with a set depth, and the spring passes after it, made again with the
/// slide's mass, held against what was found without; nothing if the slide weighs nothing.
pub fn tried(
    scenario: &Scenario,
    setup: &Setup,
    options: Options,
    found: &Measures,
) -> Option<WithInertia> {
    let course = Course::new(scenario, *setup, options);
    let inertia = cut::Inertia::of(&course.machine);
    let course = course.with_inertia(inertia);
    let finished = course.run();
    let ridden = finished.ridden?;
    let measures = gauge(scenario, setup, &course, &finished);
    let apart = |of: fn(&Measures) -> f64| (of(&measures) - of(found)).abs() > NOT_SEEN;
    let differs = apart(|m| m.size_error) || apart(|m| m.waves) || apart(|m| m.roundness);
    Some(WithInertia {
        measures,
        counts: ridden.counts,
        substeps: ridden.substeps,
        differs,
    })
}
