//! What a shop test leaves of a scenario's ranges: which numbers it gives, and how well three repeats
//! of it give them. What it would find is not foreseen, only how well.

use crate::arithmetic::{hypot, max, min};
use crate::quantity::{INCH, Quantity, Stiffness};
use crate::scenario::numbers::attachment::TOTAL_SLACK;
use crate::scenario::numbers::given_by;
use crate::scenario::{AttachmentKind, Known, Scenario, Vary as _};
use crate::setup::{Pull, Setup};
use crate::shop_tests::{Test, total_slack};
use crate::steady::Steady;

/// How well a straight cut tells its taper: two diameters, each mean off by a tenth and a half, over
/// 6 in (worked from that).
const STRAIGHT: f64 = 0.0002 / 6.0;

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

/// Numbers that a test gives, each with half of the range that it leaves.
pub(crate) fn tells(scenario: &Scenario, test: Test) -> Vec<(&'static str, f64)> {
    let mut after = as_if_done(scenario, test);
    let parameters = after.parameters_mut();
    reach(scenario, test)
        .into_iter()
        .filter_map(|(key, _)| {
            let parameter = parameters.iter().find(|parameter| parameter.key == key)?;
            let [low, _, high] = parameter.value.range_si();
            Some((key, 0.5 * (high - low)))
        })
        .collect()
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
