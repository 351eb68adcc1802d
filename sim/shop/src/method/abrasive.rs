//! Grinding in place and lapping to a mate: what to leave for them, and when they are no use. Neither
//! is simulated: a wheel hardly pushes, so it shows the way of the slide as the cut left it.
//!
//! A turned taper at the end of its tolerance `t` is off by `t L / 2` per side from one end to the
//! other (`t` on diameter): that much has to come off at one end before the other cleans up. The
//! tolerance counts from its middle, where the guide is aimed.

use super::way::{Effort, Grinding, Lapping, Method, MethodWay, Obstacle, Setting, outside, told};
use crate::caution;
use crate::quantity::{FOOT, INCH, Quantity};
use crate::scenario::Scenario;

/// What a wheel needs to clean up a turned surface, m per side (3 thou; common practice, no source).
const CLEANS_UP: f64 = 0.003 * INCH;
/// Depth of a grinding pass and of the last ones, m per side (common practice, no source).
const WHEEL_PASSES: [f64; 2] = [0.0005 * INCH, 0.0001 * INCH];
/// Biggest wheel in a bore, as a share of it (two thirds; common practice, no source).
const WHEEL_IN_BORE: f64 = 2.0 / 3.0;
/// Smallest bore that a wheel goes into, m (3/8 in; a guess).
const SMALLEST_BORE: f64 = 0.375 * INCH;
/// Fastest surface of a vitrified wheel that isn't marked for more, m/s: 6,500 ft/min (from memory
/// of the marks on common wheels; the mark on the wheel decides).
const WHEEL_SURFACE: f64 = 6500.0 * FOOT / 60.0;
/// The wheel outside work is told for, m (4 in; a usual one on a slide).
const OUTSIDE_WHEEL: f64 = 4.0 * INCH;
/// What lapping needs to take the feed marks off, m per side (2 tenths; common practice, no source).
const LAPS_OFF: f64 = 0.0002 * INCH;
/// What lapping takes before it goes out of round, m per side (5 tenths; common practice, no source).
const MOST_LAPPED: f64 = 0.0005 * INCH;

/// What a taper at the end of its tolerance is off at one end, m per side.
fn for_taper(scenario: &Scenario) -> f64 {
    let work = &scenario.job.work;
    let half = 0.5 * (work.tolerance.upper.si() - work.tolerance.lower.si());
    0.5 * half * work.length.si()
}

fn no_thread(scenario: &Scenario) -> Vec<Obstacle> {
    let thread = scenario.job.thread.is_some();
    thread.then_some(Obstacle::NoThread).into_iter().collect()
}

/// Turned with stock left, then ground with a wheel on the slide along the same guide.
pub(super) fn grinding(scenario: &Scenario) -> MethodWay {
    let mut out = no_thread(scenario);
    let (_, small) = scenario.job.work.end_diameters();
    let inside = !outside(scenario);
    if inside && small.si() < SMALLEST_BORE {
        out.push(Obstacle::TooSmall {
            needs: small.si(),
            least: SMALLEST_BORE,
        });
    }
    let for_taper = for_taper(scenario);
    let wheel = inside.then(|| WHEEL_IN_BORE * small.si());
    let turns_of = wheel.unwrap_or(OUTSIDE_WHEEL);
    let setting = Grinding {
        leave: CLEANS_UP + for_taper,
        for_taper,
        passes: WHEEL_PASSES,
        wheel,
        turns: WHEEL_SURFACE / (std::f64::consts::PI * turns_of),
        turns_of,
    };
    told(
        scenario,
        Method::Grinding,
        Some(Setting::Grinding(setting)),
        Effort::Many,
        out,
        caution::grinding(scenario),
    )
}

/// Turned, then lapped to its mate.
pub(super) fn lapping(scenario: &Scenario) -> MethodWay {
    let mut out = no_thread(scenario);
    let for_taper = for_taper(scenario);
    let leave = LAPS_OFF + for_taper;
    if leave > MOST_LAPPED && out.is_empty() {
        out.push(Obstacle::TooMuchToLap {
            needs: leave,
            most: MOST_LAPPED,
        });
    }
    let setting = Lapping {
        leave,
        for_taper,
        // Per side over the slope per side.
        seats_in: 2.0 * leave / scenario.job.work.taper.si(),
    };
    told(
        scenario,
        Method::Lapping,
        Some(Setting::Lapping(setting)),
        Effort::Some,
        out,
        caution::lapping(),
    )
}
