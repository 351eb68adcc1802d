//! The plan played on many lathes and summed up.

use std::cell::Cell;
use std::ops::Range;

use super::elsewhere::{Of, Source, Turn, Wanted};
use super::fit;
use super::plan::{End, planned};
use super::play::Play;
use super::record::{Asked, Expect, FLOATS, Fitted, Gauging, Middle, Piece, Reach, Share, Times};
use super::yardstick::{cost, minutes};
use crate::arithmetic::max;
use crate::cut::Options;
use crate::record::Measures;
use crate::scenario::Scenario;
use crate::setup::Setup;
use crate::spread::{Interval, Proportion};
use crate::study::{PER_TURN, RangeFault, Study};
use crate::verdict::NOT_SEEN;

/// Lathes on which the plan is played.
const LATHES: u64 = 320;
/// And as many again where these leave more doubt than this, either way.
const STEADY: f64 = 0.035;
/// So many are enough where the chance is surely less than this.
const ENOUGH: u64 = 96;
const HOPELESS: f64 = 0.25;
/// Number of the first lathe that a rule is fitted on, which no play meets, and how many.
const FIRST_FITTED: u64 = 1_000_001;
const FITTED: u64 = 192;
/// Lathes that tell how far the dial is followed.
const FOLLOWING: u64 = 16;

/// How surely a plan is weighed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Effort {
    /// As is told of a way: the rule fitted on lathes of its own.
    Whole,
    /// For a difference: on so many lathes, the rule fitted on the same, and what it turns further
    /// reckoned by how far such lathes follow.
    Quick(u64),
}

/// Chances are told with doubt of 95 of 100.
const CONFIDENCE: f64 = 0.95;
/// Passes alike at the end of a plan.
const ALIKE: usize = 2;
/// Where the last pass follows less of the dial than this, but not so little as a floating one, the
/// first pass from an even stock leaves much less than the next ones: one more goes before the
/// gauge.
const SOFT: f64 = 0.85;
/// From this chance on a job is in reach.
const IN_REACH: f64 = 0.80;

/// Plays the plan of one way on many lathes.
///
/// # Errors
/// A number whose range makes no distribution.
pub fn expect(scenario: &Scenario, setup: &Setup, options: Options) -> Result<Expect, RangeFault> {
    expect_of(scenario, setup, false, Effort::Whole, options)
}

/// The same with the slide seated by hand before each pass, if so, whatever the room.
pub(crate) fn expect_of(
    scenario: &Scenario,
    setup: &Setup,
    by_hand: bool,
    effort: Effort,
    options: Options,
) -> Result<Expect, RangeFault> {
    let here = |plan: &Scenario, then: &dyn Fn(Play<'_>) -> Option<Expect>| {
        Ok(then(play(plan, setup, by_hand, options)?))
    };
    let expect = by_plans(scenario, effort, &here)?;
    Ok(expect.expect("its lathes are cut here"))
}

/// The same of a way's whole plan, its lathes cut elsewhere; none where some are not there yet.
///
/// # Errors
/// A number whose range makes no distribution.
pub(crate) fn expect_from(
    scenario: &Scenario,
    setup: &Setup,
    options: Options,
    source: &Source<'_>,
) -> Result<Option<Expect>, RangeFault> {
    let there = |plan: &Scenario, then: &dyn Fn(Play<'_>) -> Option<Expect>| {
        Ok(then(play(plan, setup, false, options)?.elsewhere(source)))
    };
    by_plans(scenario, Effort::Whole, &there)
}

/// Cuts lathes that are wanted elsewhere, of a way with the attachment.
///
/// # Errors
/// A number whose range makes no distribution, a way that isn't there.
pub fn cut(
    scenario: &Scenario,
    wanted: &Wanted,
    options: Options,
) -> Result<Vec<[Measures; 2]>, RangeFault> {
    let Of::Attachment(place) = wanted.of else {
        return Ok(Vec::new());
    };
    let work = &scenario.job.work;
    let Some(setup) = Setup::all(work.kind, work.big_end).into_iter().nth(place) else {
        return Ok(Vec::new());
    };
    let plan = planned(scenario, wanted.alike);
    let play = play(&plan, &setup, false, options)?;
    Ok(play.found(wanted.from..wanted.to, wanted.turn))
}

fn play<'a>(
    scenario: &'a Scenario,
    setup: &Setup,
    by_hand: bool,
    options: Options,
) -> Result<Play<'a>, RangeFault> {
    let told = Options {
        per_turn: PER_TURN,
        ..options
    };
    let study = Study::new(scenario, &[*setup], told)?;
    let study = if by_hand {
        study.seated_by_hand()
    } else {
        study
    };
    let times = Times::of(scenario, setup, by_hand);
    let cuts = move |numbers: Range<u64>, dial: &(dyn Fn(u64, &Measures) -> f64 + Sync)| {
        study.gauged(0, numbers, dial)
    };
    let work = &scenario.job.work;
    let all = Setup::all(work.kind, work.big_end);
    let place = all.iter().position(|one| one == setup);
    Ok(Play::new(
        scenario,
        (Of::Attachment(place.unwrap_or(all.len())), setup),
        options.seed,
        times,
        Box::new(cuts),
    ))
}

/// Hands a plan as it is played to what reads it.
type Played<'a> = dyn Fn(&Scenario, &dyn Fn(Play<'_>) -> Option<Expect>) -> Result<Option<Expect>, RangeFault>
    + 'a;

/// With two passes alike at the end, or with three where two leave too much.
fn by_plans(
    scenario: &Scenario,
    effort: Effort,
    plays: &Played<'_>,
) -> Result<Option<Expect>, RangeFault> {
    let following = match effort {
        Effort::Whole => FOLLOWING,
        Effort::Quick(_) => FOLLOWING / 2,
    };
    let follows = |play: &Play| fit::follows(play, FIRST_FITTED..FIRST_FITTED + following);
    let soft = Cell::new(false);
    let two = |play: Play<'_>| {
        let found = follows(&play)?;
        soft.set((FLOATS..SOFT).contains(&found));
        if soft.get() {
            return None;
        }
        played(&play, found, effort)
    };
    let found = plays(&planned(scenario, ALIKE), &two)?;
    if !soft.get() {
        return Ok(found);
    }
    let three = |play: Play<'_>| played(&play, follows(&play)?, effort);
    plays(&planned(scenario, ALIKE + 1), &three)
}

/// What to expect of a plan of two passes alike that is cut in a way of its own; none where its
/// lathes are cut elsewhere and some are not there yet.
pub(crate) fn expect_by(play: &Play) -> Option<Expect> {
    let follows = fit::follows(play, FIRST_FITTED..FIRST_FITTED + FOLLOWING)?;
    played(play, follows, Effort::Whole)
}

fn played(play: &Play, follows: f64, effort: Effort) -> Option<Expect> {
    let numbers = match effort {
        Effort::Whole => FIRST_FITTED..FIRST_FITTED + FITTED,
        Effort::Quick(lathes) => 1..lathes + 1,
    };
    let cut = play.cut(numbers.clone(), Turn::AsRead)?;
    let rule = fit::fit(play, follows, &cut);
    let played = match effort {
        Effort::Whole => {
            let mut pieces = play.all(1..ENOUGH + 1, &rule)?;
            if !is_hopeless(play, &pieces) {
                pieces.extend(play.all(ENOUGH + 1..LATHES + 1, &rule)?);
                if !is_steady(play, &pieces) {
                    pieces.extend(play.all(LATHES + 1..2 * LATHES + 1, &rule)?);
                }
            }
            pieces
        }
        Effort::Quick(_) => play.turned_further(numbers, cut, &rule),
    };
    Some(summed(play, played, rule))
}

/// Whether a way is surely no good, by dial and with gauging.
fn is_hopeless(play: &Play, pieces: &[Piece]) -> bool {
    let ends: [&dyn Fn(&Piece) -> End; 2] =
        [&|one| one.by_dial, &|one| one.end(play.gauge.is_some())];
    ends.iter().all(|end| {
        let met = pieces.iter().filter(|one| play.limits.met(&end(one)));
        chance(met.count() as u64, pieces.len() as u64).high < HOPELESS
    })
}

/// Whether a chance with the plan's gauging leaves little doubt.
fn is_steady(play: &Play, pieces: &[Piece]) -> bool {
    let gauged = play.gauge.is_some();
    let met = pieces
        .iter()
        .filter(|one| play.limits.met(&one.end(gauged)));
    let found = chance(met.count() as u64, pieces.len() as u64);
    0.5 * (found.high - found.low) <= STEADY
}

fn summed(play: &Play, played: Vec<Piece>, rule: Fitted) -> Expect {
    let limits = &play.limits;
    let share = |so: &dyn Fn(&Piece) -> bool| {
        let count = played.iter().filter(|one| so(one)).count() as u64;
        chance(count, played.len() as u64)
    };
    let middle = |of: &dyn Fn(&Piece) -> f64| Middle::of(played.iter().map(of).collect());
    let by_dial = share(&|one| limits.met(&one.by_dial));
    let is_gauged = play.gauge.is_some();
    let gauged = |one: &Piece| one.end(is_gauged);
    let met = share(&|one| limits.met(&gauged(one)));
    let scrap = share(&|one| limits.too_far(&gauged(one))).met;
    let rework = share(&|one| limits.mends(&gauged(one))).met;
    let missed = |of: &dyn Fn(&End) -> bool| share(&|one| !of(&gauged(one))).met;
    let misses = [
        (Asked::Taper, missed(&|end| limits.taper_met(end))),
        (Asked::Size, missed(&|end| limits.size_met(end))),
        (Asked::Finish, missed(&|end| limits.waves_met(end))),
    ];
    let worst = misses
        .into_iter()
        .fold(None, |worst: Option<(Asked, f64)>, of| {
            let more = of.1 > worst.map_or(0.0, |worst| worst.1);
            if more { Some(of) } else { worst }
        });
    let minutes = minutes(play);
    let helps = rule.helps && play.gauge.is_some();
    let with_gauging = Gauging {
        share: met,
        scrap,
        rework,
    };
    Expect {
        way: play.setup,
        lathes: played.len() as u64,
        by_dial,
        with_gauging,
        size_taken: limits.size_taken,
        left: middle(&|one| one.left),
        taper: middle(&|one| gauged(one).taper),
        waves: middle(&|one| gauged(one).waves),
        wavy: share(&|one| gauged(one).waves > NOT_SEEN).met,
        entry: middle(&|one| one.entry),
        body: middle(&|one| gauged(one).size),
        exit: middle(&|one| one.exit),
        verdict: reach(by_dial, met),
        decided_by: worst.map(|(asked, _)| asked),
        minutes,
        alike: play.scenario.job.passes.finish.len(),
        set: play.set,
        last_pass: if helps {
            rule.rows(&played, play)
        } else {
            Vec::new()
        },
        rule: rule.last_pass,
        follows: rule.follows,
        cost: cost(play, minutes, &with_gauging, helps),
        gauged: is_gauged,
        pieces: played,
    }
}

/// Whether the drawing is in reach, with the better of dial and gauge.
fn reach(by_dial: Share, with_gauging: Share) -> Reach {
    if by_dial.low >= IN_REACH {
        Reach::InReach
    } else if with_gauging.low >= IN_REACH {
        Reach::InReachIfGauged
    } else if max(by_dial.high, with_gauging.high) >= IN_REACH {
        Reach::OnTheEdge
    } else {
        Reach::OutOfReach
    }
}

/// The verdict with another chance in place of that with the plan's gauging.
pub(crate) fn reach_of(expect: &Expect, met: Share) -> Reach {
    reach(expect.by_dial, met)
}

/// A count as a chance.
pub(crate) fn chance(count: u64, of: u64) -> Share {
    let proportion = Proportion { count, of };
    let nothing = Interval {
        lower: 0.0,
        upper: 1.0,
    };
    let doubt = proportion.wilson(CONFIDENCE).unwrap_or(nothing);
    Share {
        met: proportion.share().unwrap_or(0.0),
        low: doubt.lower,
        high: doubt.upper,
    }
}
