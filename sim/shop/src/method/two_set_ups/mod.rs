//! A cone longer than the guide: cut along it in two set-ups, the second picked up from the first.
//!
//! The section that the feed begins with is cut first, as far as the guide reaches, and ends in a
//! shoulder of stock. Then the bed clamp goes on by the length of the other section, so that the
//! guide begins that much later; the slide came back with it, by slope times that way, and the dial
//! makes up for it. An indicator carried along the finished section proves the angle, the edge
//! touched on it gives the size, and before the last pass an indicator carried over the joint reads
//! what is left. The slide is seated by hand there: a run-in would go into finished work.
//!
//! Pulled in, where it can be: the first section is then finished by a slide that keeps its face.

mod split;
mod join;
mod trials;

pub use join::{Joined, join};
pub(super) use join::{measures, outcome};
pub(super) use trials::Both;

use super::swings;
use super::way::{Effort, Method, MethodWay, Obstacle, Setting, TwoSetUps, is_sure, told};
use crate::caution;
use crate::cut::{Options, RunIn, approach};
use crate::feasibility::{Reason, guide_needed, reasons};
use crate::scenario::Scenario;
use crate::setup::{Pull, Setup};
use crate::verdict::judge;

/// Whether no way with the attachment has guide enough for the whole cone.
pub fn wanted(scenario: &Scenario, options: Options) -> bool {
    let has = scenario.lathe.attachment.guide_travel.si();
    let work = &scenario.job.work;
    let needs = |setup: &Setup| guide_needed(scenario, &approach(scenario, setup, options).1);
    let mut all = Setup::all(work.kind, work.big_end).into_iter();
    scenario.lathe.attachment.fitted && all.all(|setup| !setup.cuts() || needs(&setup) > has)
}

/// The way, cut at the middle values.
pub(super) fn way(scenario: &Scenario, options: Options) -> MethodWay {
    let out = |out| {
        told(
            scenario,
            Method::TwoSetUps,
            None,
            Effort::Many,
            out,
            Vec::new(),
        )
    };
    if scenario.job.thread.is_some() {
        return out(vec![Obstacle::NotPickedUp]);
    }
    if !scenario.lathe.attachment.fitted {
        return out(vec![Obstacle::Guided {
            because: Reason::NoAttachment,
        }]);
    }
    if !wanted(scenario, options) {
        return out(vec![Obstacle::OneIsEnough]);
    }
    let (setup, set) = match chosen(scenario, options) {
        Ok(found) => found,
        Err(obstacle) => return out(vec![obstacle]),
    };
    let set = TwoSetUps {
        // A range that makes no distribution is told when the plan is played.
        further: Both::further(scenario, &setup, &set, options).unwrap_or(0.0),
        ..set
    };
    let [first, _] = set.sections(scenario, &setup);
    let how = approach(&first, &setup, options).1.how;
    let mut cautions = vec![caution::CLAMP_MOVED, caution::SHOULDER];
    cautions.extend(caution::cautions(&first, &setup, how));
    if how != RunIn::ByHand {
        cautions.push(caution::SEAT_BY_HAND);
    }
    let setting = Setting::TwoSetUps(set);
    let outcome = outcome(scenario, &setup, &set, options);
    let likely = swings::guided(scenario, options, |scenario, options| {
        measures(scenario, &setup, &set, options)
    });
    MethodWay {
        method: Method::TwoSetUps,
        setup,
        setting: Some(setting),
        effort: Effort::Many,
        out: Vec::new(),
        cautions,
        sure: is_sure(scenario, &outcome, &likely),
        verdict: Some(judge(scenario, &setup, &outcome)),
        outcome: Some(outcome),
        likely: Some(likely),
        expect: None,
        joint: None,
    }
}

/// The plainest way of cutting both sections, pulled in where one can be; otherwise why not.
fn chosen(scenario: &Scenario, options: Options) -> Result<(Setup, TwoSetUps), Obstacle> {
    let work = &scenario.job.work;
    let mut all = Setup::all(work.kind, work.big_end);
    all.retain(Setup::cuts);
    all.sort_by_key(|setup| setup.pull() != Pull::In);
    let mut why = None;
    for setup in all {
        match possible(scenario, &setup, options) {
            Ok(set) => return Ok((setup, set)),
            Err(obstacle) => why = why.or(Some(obstacle)),
        }
    }
    Err(why.unwrap_or(Obstacle::OneIsEnough))
}

fn possible(scenario: &Scenario, setup: &Setup, options: Options) -> Result<TwoSetUps, Obstacle> {
    let set = TwoSetUps::new(scenario, setup, options)?;
    for section in set.sections(scenario, setup) {
        let (_, approach) = approach(&section, setup, options);
        let because = reasons(&section, setup, &approach).into_iter().next();
        if let Some(because) = because {
            return Err(Obstacle::Guided { because });
        }
        if caution::forbids(&caution::cautions(&section, setup, approach.how)) {
            return Err(Obstacle::NeverSo);
        }
    }
    Ok(set)
}
