//! The plan played without the attachment: two passes alike, the work gauged between them, the dial
//! of the last turned by a rule; weighed by the same cost as the attachment's ways.

use std::ops::Range;

use super::trials::MethodTrials;
use super::two_set_ups::Both;
use super::way::{Joint, Method, MethodWay, Setting};
use crate::cut::Options;
use crate::expect::{Expect, Of, Play, Source, Times, Turn, Wanted, expect_by, pass_over, planned};
use crate::quantity::Quantity;
use crate::record::Measures;
use crate::scenario::Scenario;
use crate::study::{PER_TURN, RangeFault, Study};

/// Passes alike at the end.
const ALIKE: usize = 2;

/// Setting over, proving, and putting back true, min (guesses, of the order that a shop would say).
fn set_up(method: Method) -> f64 {
    match method {
        Method::Tailstock => 40.0,
        Method::OffsetCentre => 25.0,
        Method::TopSlide => 25.0,
        Method::Reamer | Method::FormTool => 10.0,
        Method::Grinding => 60.0,
        Method::Lapping => 20.0,
        // The guide set, and then moved on, swept and picked up.
        Method::TwoSetUps => 50.0,
    }
}

/// What to expect of a method that was simulated; none of one that wasn't.
///
/// # Errors
/// A number whose range makes no distribution.
pub(super) fn expected(
    scenario: &Scenario,
    way: &MethodWay,
    options: Options,
) -> Result<Option<Expect>, RangeFault> {
    with_play(scenario, way, options, |play| {
        expect_by(&play).expect("its lathes are cut here")
    })
}

/// The same, its lathes cut elsewhere; the inner is none where some are not there yet.
pub(super) fn expected_from(
    scenario: &Scenario,
    way: &MethodWay,
    options: Options,
    source: &Source<'_>,
) -> Result<Option<Option<Expect>>, RangeFault> {
    with_play(scenario, way, options, |play| {
        expect_by(&play.elsewhere(source))
    })
}

/// Cuts lathes that are wanted elsewhere.
pub(super) fn cut(
    scenario: &Scenario,
    way: &MethodWay,
    wanted: &Wanted,
    options: Options,
) -> Result<Vec<[Measures; 2]>, RangeFault> {
    let found = with_play(scenario, way, options, |play| {
        play.found(wanted.from..wanted.to, wanted.turn)
    });
    Ok(found?.unwrap_or_default())
}

/// What the joint of two set-ups comes to, the first section gauged by the rule of its plan.
pub(super) fn joint(
    scenario: &Scenario,
    way: &MethodWay,
    options: Options,
) -> Result<Option<Joint>, RangeFault> {
    let (Some(Setting::TwoSetUps(set)), Some(expect)) = (&way.setting, &way.expect) else {
        return Ok(None);
    };
    let both = Both::new(&planned(scenario, ALIKE), &way.setup, set, options.seed)?;
    let found = with_play(scenario, way, options, |play| {
        both.joint(&|number, before| play.turned(number, before, Turn::By(expect.rule)))
    })?;
    Ok(found)
}

fn with_play<T>(
    scenario: &Scenario,
    way: &MethodWay,
    options: Options,
    then: impl FnOnce(Play<'_>) -> T,
) -> Result<Option<T>, RangeFault> {
    let two = planned(scenario, ALIKE);
    let told = Options {
        per_turn: PER_TURN,
        ..options
    };
    let study = Study::new(&two, &[], told)?;
    let Some(trials) = MethodTrials::new(&study, &two, way)? else {
        return Ok(None);
    };
    let passes = pass_over(&two, two.job.work.length.si());
    let times = Times {
        set_up: set_up(way.method),
        pass: match &way.setting {
            // Each section has its own.
            Some(Setting::TwoSetUps(_)) => passes + pass_over(&two, 0.0),
            _ => passes,
        },
    };
    let gauged = match &way.setting {
        Some(Setting::TwoSetUps(set)) => Some((set.first, set.beyond_gauge(&two, &way.setup))),
        _ => None,
    };
    let cuts = move |numbers: Range<u64>, dial: &(dyn Fn(u64, &Measures) -> f64 + Sync)| {
        trials.gauged(numbers, dial)
    };
    let place = Method::ALL.iter().position(|one| *one == way.method);
    let whose = (Of::Without(place.unwrap_or_default()), &way.setup);
    let play = Play::new(&two, whose, options.seed, times, Box::new(cuts));
    Ok(Some(then(match gauged {
        Some((length, short)) => play.gauged_in_part(length, short),
        None => play,
    })))
}
