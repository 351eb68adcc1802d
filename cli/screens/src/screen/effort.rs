//! What a way without the attachment takes to set up and to put back, and its finish.

use tautway_sim::method::tailstock::Offset;
use tautway_sim::method::top_slide::SetBy;
use tautway_sim::method::{Effort, Method, MethodWay, Setting};
use tautway_sim::quantity::{Quantity, Units};
use tautway_sim::record::Outcome;
use tautway_sim::scenario::Scenario;
use tautway_sim::verdict::NOT_SEEN;

use super::words;

/// Whether an offset centre could go as far.
fn offset_centre(scenario: &Scenario, set: &Offset) -> bool {
    let has = scenario.lathe.tailstock.offset_centre;
    has.is_none_or(|has| has.si() >= set.over)
}

/// What finish to expect.
pub(super) fn finish(setting: &Setting, outcome: &Outcome, units: Units) -> String {
    let waves = if outcome.waves <= NOT_SEEN {
        "steady, no waves you would see".to_owned()
    } else {
        format!("waves about {}", words::height(outcome.waves, units))
    };
    match setting {
        Setting::Swivel(_) => {
            format!("{waves}; feed marks as even as the hand, feed slowly and without a stop")
        }
        _ => waves,
    }
}

/// What it takes to set up and to put back.
pub(super) fn steps(way: &MethodWay, scenario: &Scenario) -> String {
    let steps = match (way.method, &way.setting) {
        (Method::Tailstock, Some(Setting::Offset(set))) if offset_centre(scenario, set) => {
            "centres and dog, offset by indicator, and back to zero after; an offset centre, if \
             there is one, does the same and leaves the tailstock where it is"
        }
        (Method::Tailstock, _) => "centres and dog, offset by indicator, and back to zero after",
        (Method::OffsetCentre, _) => "centres and dog, offset by indicator; the tailstock stays",
        (Method::TopSlide, Some(Setting::Swivel(set))) if set.set_by == SetBy::Marks => {
            "swing it by its marks"
        }
        (Method::TopSlide, _) => "swing it, indicate it along a master",
        (Method::Reamer, _) => "bore, then ream",
        (Method::FormTool, _) => "grind it, plunge it",
        (Method::Grinding, _) => "turn it, mount and dress a wheel, grind it along the same guide",
        (Method::Lapping, _) => "turn it, lap it, wash it",
        (Method::TwoSetUps, _) => {
            "one part to size, bed clamp on, sweep, touch off, the other part"
        }
    };
    let mut text = format!("{}: {steps}", Effort::words(way.effort));
    if let (Some(Setting::Offset(set)), true) = (&way.setting, scenario.job.thread.is_some()) {
        text.push_str(&format!(
            "; a thread's pitch comes out {:.2} % short",
            100.0 * set.pitch_short
        ));
    }
    text
}
