//! Methods that are simulated: what to set, and the cut with it.

use super::way::{
    Effort, Method, MethodWay, Obstacle, Offset, SetBy, Setting, Swivel, is_sure, plain, told,
};
use super::{side, swings, tailstock};
use crate::caution;
use crate::caution::Caution;
use crate::cut::Options;
use crate::quantity::Quantity;
use crate::scenario::Scenario;
use crate::verdict::judge;

/// A simulated method, told.
pub(super) fn simulated(
    scenario: &Scenario,
    method: Method,
    setting: Setting,
    effort: Effort,
    cautions: Vec<Caution>,
    options: Options,
) -> MethodWay {
    let setup = plain(scenario);
    let outcome = side::outcome(scenario, &setting, options);
    let verdict = judge(scenario, &setup, &outcome);
    let likely = swings::likely(scenario, &setting, options);
    MethodWay {
        method,
        setup,
        setting: Some(setting),
        effort,
        out: Vec::new(),
        cautions,
        sure: is_sure(scenario, &outcome, &likely),
        outcome: Some(outcome),
        verdict: Some(verdict),
        likely: Some(likely),
        expect: None,
        joint: None,
    }
}

/// The tailstock set over.
pub(super) fn tailstock_over(scenario: &Scenario, options: Options) -> MethodWay {
    let has = scenario.lathe.tailstock.setover.si();
    let cautions = caution::tailstock_over(scenario, true);
    let method = (Method::Tailstock, Effort::Many);
    askew(scenario, method, Some(has), cautions, options)
}

/// An offset centre in a tailstock left where it is: the same sums, and nothing to put back. Told
/// alone where nobody said that there is one.
pub(super) fn offset_centre(scenario: &Scenario, options: Options) -> MethodWay {
    let has = scenario.lathe.tailstock.offset_centre.map(Quantity::si);
    let cautions = caution::tailstock_over(scenario, false);
    let method = (Method::OffsetCentre, Effort::Some);
    askew(scenario, method, has, cautions, options)
}

/// The work askew between centres, one of which goes over by `has` at most, m.
fn askew(
    scenario: &Scenario,
    (method, effort): (Method, Effort),
    has: Option<f64>,
    cautions: Vec<Caution>,
    options: Options,
) -> MethodWay {
    let mut out = tailstock::obstacles(scenario);
    let set = scenario
        .job
        .work
        .between_centres
        .filter(|_| out.is_empty())
        .map(|between| Offset::new(scenario, between.si(), has));
    if let (Some(set), Some(has)) = (&set, has)
        && set.over > has
    {
        out.push(Obstacle::OverTooFar {
            needs: set.over,
            has,
        });
    }
    let setting = set.map(Setting::Offset);
    match setting {
        Some(setting) if out.is_empty() && has.is_some() => {
            simulated(scenario, method, setting, effort, cautions, options)
        }
        setting => told(scenario, method, setting, effort, out, cautions),
    }
}

/// The top slide set over.
pub(super) fn top_slide_over(scenario: &Scenario, options: Options) -> MethodWay {
    let set = Swivel::new(scenario);
    let mut out = Vec::new();
    if scenario.job.thread.is_some() {
        out.push(Obstacle::NoThread);
    }
    if set.needs > set.has {
        out.push(Obstacle::TravelTooShort {
            needs: set.needs,
            has: set.has,
        });
    }
    let effort = match set.set_by {
        SetBy::Marks => Effort::Few,
        SetBy::Indicator => Effort::Some,
    };
    let cautions = caution::top_slide_over(scenario);
    let setting = Setting::Swivel(set);
    if out.is_empty() {
        simulated(
            scenario,
            Method::TopSlide,
            setting,
            effort,
            cautions,
            options,
        )
    } else {
        told(
            scenario,
            Method::TopSlide,
            Some(setting),
            effort,
            out,
            cautions,
        )
    }
}
