//! The shop test that would most narrow the answer for a job, by running the job.
//!
//! Every uncertain number is moved to both ends of its range and the finishing passes run again
//! ([`crate::sensitivity`]): the root of the sum of squares of the swings is the outcome's
//! first-order range. For each test the ranges of the numbers it gives are then shrunk, about the
//! same middles, to what three repeats give, and the swings of those run again. The test that
//! takes away most of the range is the one to do. Taper, size and waves are brought together in
//! units of what the drawing allows. What a test would find is not foreseen, only how well.

use serde::Serialize;

use crate::arithmetic::{hypot, max, min, powi};
use crate::cut::Options;
use crate::quantity::{INCH, Length, Quantity, Stiffness, Units};
use crate::scenario::numbers::attachment::TOTAL_SLACK;
use crate::scenario::numbers::{given_by, top_slide};
use crate::scenario::{AttachmentKind, Known, Scenario, Vary as _};
use crate::sensitivity::{Likely, Sensitivity, finishing, swings, weighed};
use crate::setup::{Pull, Setup};
use crate::shop_tests::{Test, total_slack};
use crate::steady::Steady;
use crate::verdict::NOT_SEEN;

/// How well a straight cut tells its taper: two diameters, each mean off by a tenth and a half, over
/// 6 in (worked from that).
const STRAIGHT: f64 = 0.0002 / 6.0;

/// A test and what it would do to the answer.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Worth {
    /// The test.
    pub test: Test,
    /// Share of the outcome's range that it takes away.
    pub narrows: f64,
    /// Half-width of the taper after it, ratio on diameter.
    pub taper: f64,
    /// Half-width of the size after it, m per side.
    pub size: f64,
    /// Most the waves may be after it, m.
    pub waves: f64,
    /// The keys of the numbers it gives.
    pub keys: Vec<&'static str>,
}

/// How sure the answer is now, and what each test would do to it, the best first.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Worths {
    /// As things stand.
    pub now: Likely,
    /// Every test that takes something away.
    pub tests: Vec<Worth>,
}

/// Share of their ranges that a pass each way leaves to the drag and to what is left of it while
/// cutting (found on hidden lathes, where the cut leaves the slack alone).
const PAIR_LEAVES: [(&str, f64); 2] = [("slide.drag", 0.8), ("slide.drag_left_cutting", 0.9)];
/// Half-width that a pass each way leaves to the slack, as a share of it, where the cut uses it
/// (found on hidden lathes).
const PAIR_TELLS_SLACK: f64 = 0.15;

/// What three repeats of a test give, and how well: a cut both ways shows the slack as a reversal
/// does, a pass each way where the slide gives it up.
fn reach(scenario: &Scenario, test: Test) -> Vec<(&'static str, f64)> {
    match test {
        Test::TwoWayCut => given_by(Test::Reversal),
        Test::TwoCuts if uses_slack(scenario) => {
            vec![(TOTAL_SLACK.about.key, PAIR_TELLS_SLACK)]
        }
        Test::TwoCuts => PAIR_LEAVES.to_vec(),
        test => given_by(test),
    }
}

/// Whether a cut drawn away at the job's last depth is short by all the slack: more of it, and it
/// takes as much less.
fn uses_slack(scenario: &Scenario) -> bool {
    let work = &scenario.job.work;
    let away = Setup::all(work.kind, work.big_end)
        .into_iter()
        .find(|way| way.cuts() && way.pull() == Pull::Away);
    let (Some(away), Some(set)) = (away, scenario.job.passes.finish.last()) else {
        return false;
    };
    let mut with = scenario.clone();
    let mut takes = |share: f64| {
        let mut whole = total_slack(&scenario.lathe);
        if let Some(total) = scenario.lathe.attachment.total_slack {
            whole = total;
        }
        whole.set_si(share * whole.si());
        with.lathe.attachment.total_slack = Some(whole);
        (whole.si(), Steady::new(&with, &away).taken(set.si()))
    };
    let [(slack, now), (looser, then)] = [takes(1.0), takes(1.05)];
    now - then > 0.5 * (looser - slack)
}

/// The scenario as it would be known after a test that found the middles right.
pub fn as_if_done(scenario: &Scenario, test: Test) -> Scenario {
    let mut known = scenario.clone();
    let attachment = &mut known.lathe.attachment;
    match test {
        Test::Reversal | Test::TwoWayCut | Test::TwoCuts
            if attachment.total_slack.is_none()
                && reach(scenario, test)
                    .iter()
                    .any(|(key, _)| *key == TOTAL_SLACK.about.key) =>
        {
            attachment.total_slack = Some(total_slack(&scenario.lathe));
        }
        Test::Spring if attachment.drive_spring.is_none() => {
            let shoe = &attachment.shoe_spring;
            let screw = &attachment.screw_spring;
            let both = |shoe: Stiffness, screw: Stiffness| match attachment.kind {
                AttachmentKind::Telescoping => 1.0 / (1.0 / shoe.si() + 1.0 / screw.si()),
                AttachmentKind::Plain => shoe.si(),
            };
            attachment.drive_spring = Some(Known::assumed(
                both(shoe.low, screw.low),
                both(shoe.middle, screw.middle),
                both(shoe.high, screw.high),
            ));
        }
        _ => {}
    }
    let foot = &scenario.lathe.attachment.foot_slack;
    let slope = 0.5 * scenario.job.work.taper.si();
    let mixed = if test == Test::Reversal {
        0.5 * (foot.high.si() - foot.low.si()) * slope
    } else {
        0.0
    };
    let step = scenario.lathe.step_on_diameter() / (3.0 * INCH);
    let given = reach(scenario, test);
    for parameter in known.parameters_mut() {
        let Some((_, share)) = given.iter().find(|(key, _)| *key == parameter.key) else {
            continue;
        };
        let [low, middle, high] = parameter.value.range_si();
        let half = match test {
            Test::GuideTrue => step,
            Test::StraightCut => STRAIGHT,
            Test::TwoCuts if parameter.key != TOTAL_SLACK.about.key => share * 0.5 * (high - low),
            _ => hypot(share * middle.abs(), mixed),
        };
        // A test already done as well is not undone by doing it again.
        let range = [max(low, middle - half), middle, min(high, middle + half)];
        parameter.set_range_si(&mut known, range);
    }
    known
}

/// Whether a number has no say any more once a total stands for it.
fn is_overridden(key: &str, after: &Scenario) -> bool {
    let plain = after.lathe.attachment.kind == AttachmentKind::Plain;
    after.clone().parameters_mut().iter().any(|parameter| {
        parameter.row.about().overrides.contains(&key)
            // The post's slack is in a plain attachment's total, and still the top slide's own.
            || plain && parameter.key == TOTAL_SLACK.about.key && key == top_slide::SLACK.about.key
    })
}

/// What each test would do to the answer for one way of making a job. `tick` is told each test
/// before it is tried.
pub fn next_test(
    scenario: &Scenario,
    setup: &Setup,
    options: Options,
    units: Units,
    mut tick: impl FnMut(Test),
) -> Worths {
    let middle = finishing(scenario, setup, options);
    let before = swings(scenario, setup, options, units, &middle, |_| true);
    let total_before = range(scenario, &before);
    let mut tests = Vec::new();
    for test in Test::ALL {
        tick(test);
        let given = reach(scenario, test);
        let after = as_if_done(scenario, test);
        let mut matters = swings(&after, setup, options, units, &middle, |parameter| {
            given.iter().any(|(key, _)| *key == parameter.key)
        });
        let again: Vec<_> = given.iter().map(|(key, _)| *key).collect();
        matters.extend(
            before
                .iter()
                .filter(|m| !again.contains(&m.key) && !is_overridden(m.key, &after))
                .cloned(),
        );
        let left = range(scenario, &matters);
        let narrows = if total_before > 0.0 {
            1.0 - left / total_before
        } else {
            0.0
        };
        if narrows > 0.005 {
            let likely = weighed(scenario, middle.waves, matters);
            tests.push(Worth {
                test,
                narrows,
                taper: likely.taper,
                size: likely.size,
                waves: likely.waves,
                keys: again,
            });
        }
    }
    tests.sort_by(|a, b| {
        (b.narrows, b.test.minutes() < a.test.minutes())
            .partial_cmp(&(a.narrows, false))
            .unwrap_or(std::cmp::Ordering::Equal)
    });
    Worths {
        now: weighed(scenario, middle.waves, before),
        tests,
    }
}

/// How the range of an outcome narrowed when a lathe became better known, and by what.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Narrowed {
    /// Before.
    pub before: Likely,
    /// After.
    pub after: Likely,
    /// The numbers that took range away, most first: their words, and the share of the squared
    /// range before that went with them.
    pub by: Vec<(&'static str, f64)>,
}

/// Runs the same job one way on a lathe as it was known before and after.
pub fn narrowed(
    before: &Scenario,
    after: &Scenario,
    setup: &Setup,
    options: Options,
    units: Units,
) -> Narrowed {
    let of = |scenario: &Scenario| {
        let middle = finishing(scenario, setup, options);
        let all = swings(scenario, setup, options, units, &middle, |_| true);
        (middle.waves, all)
    };
    let ((waves_before, was), (waves_after, is)) = (of(before), of(after));
    let share = |m: &Sensitivity| powi(range(before, std::slice::from_ref(m)), 2);
    let total: f64 = was.iter().map(share).sum();
    let mut by: Vec<_> = was
        .iter()
        .map(|m| {
            let now = is.iter().find(|now| now.key == m.key).map_or(0.0, share);
            (m.words, (share(m) - now) / total)
        })
        .filter(|(_, taken)| *taken > 0.01)
        .collect();
    by.sort_by(|a, b| b.1.total_cmp(&a.1));
    Narrowed {
        before: weighed(before, waves_before, was),
        after: weighed(after, waves_after, is),
        by,
    }
}

/// Taper, size and waves in one number, each in units of what the drawing allows; where it
/// doesn't say, ten times what nobody would see.
fn range(scenario: &Scenario, matters: &[Sensitivity]) -> f64 {
    let work = &scenario.job.work;
    let half = |band: f64| 0.5 * band;
    let taper = half(work.tolerance.upper.si() - work.tolerance.lower.si());
    let size = work
        .size_tolerance
        .as_ref()
        .map_or(10.0 * NOT_SEEN, |band| {
            // On diameter; the outcome is per side.
            0.5 * half(band.upper.si() - band.lower.si())
        });
    let waves = work.waves_allowed.map_or(10.0 * NOT_SEEN, Length::si);
    let over = |of: f64, allowed: f64| if allowed > 0.0 { of / allowed } else { 0.0 };
    matters
        .iter()
        .map(|m| {
            powi(over(m.taper, taper), 2)
                + powi(over(m.size, size), 2)
                + powi(over(m.waves, waves), 2)
        })
        .sum::<f64>()
        .sqrt()
}
