//! A cone longer than the guide, in words: where it is parted, and how it is picked up again.

use tautway_sim::method::{Joint, MethodWay, Setting, TwoSetUps};
use tautway_sim::quantity::{Length, Quantity, Units, show};
use tautway_sim::setup::Setup;

use super::words::{self, Tapers};

/// What to do in the order of the hand: a label and a sentence.
pub fn to_set(
    set: &TwoSetUps,
    way: &MethodWay,
    tapers: &Tapers,
    units: Units,
) -> Vec<(&'static str, String)> {
    let mut told = vec![
        ("First", first(set, &way.setup, units)),
        ("Then", moved(set, &way.setup, units)),
        ("Prove:", proved(set, units)),
        ("Pick up:", picked_up(set, units)),
    ];
    if let Some(joint) = &way.joint {
        told.push(("Joint:", joint_in_words(joint, tapers, units)));
    }
    told
}

/// The whole way, on one line.
pub fn whole(way: &MethodWay, set: &TwoSetUps, units: Units) -> String {
    format!(
        "the guide in two set-ups, joint {} from the {}; {}",
        words::length(set.first, units),
        words::starting_end(&way.setup),
        words::way(&way.setup)
    )
}

/// The section cut first.
pub fn first(set: &TwoSetUps, setup: &Setup, units: Units) -> String {
    let end = words::starting_end(setup);
    let start = match set.start {
        Some(start) => format!(
            "from at least {} past it: {} is backlash",
            show::carriage_travel(Length::from_si(start), units),
            words::about(set.lost, units)
        ),
        None => "with the slide seated by hand before each pass".to_owned(),
    };
    format!(
        "the {} at the {end}, to size, {start}. Each pass ends in a shoulder: stop the feed there, \
         tool out before you go back.",
        words::length(set.first, units)
    )
}

/// The clamp, and what the dial makes up for.
pub fn moved(set: &TwoSetUps, setup: &Setup, units: Units) -> String {
    let toward = words::toward(setup.feed);
    let way = if set.dial >= 0.0 { "into" } else { "out of" };
    format!(
        "tool clear, bed clamp {} {toward}, guide's angle left alone; the {} goes {} per side {way} \
         the cut for it. The other {} from the joint on, slide seated by hand before each pass.",
        words::length(set.clamp_moves, units),
        if set.on_cross_dial {
            "cross dial"
        } else {
            "top slide's dial"
        },
        words::height(set.dial.abs(), units),
        words::length(set.second, units)
    )
}

/// The angle against the finished section.
pub fn proved(set: &TwoSetUps, units: Units) -> String {
    format!(
        "an indicator in the post, slide seated, carried with the feed along the last {} of finished \
         work must stand still within {}; nudge the guide if it doesn't.",
        words::about(set.swept, units),
        words::height(set.indicated, units)
    )
}

/// The size on the finished section, and the last pass.
pub fn picked_up(set: &TwoSetUps, units: Units) -> String {
    format!(
        "touch the edge on finished work just short of the joint: that is its zero. Before the last \
         pass carry the indicator over the joint: what it reads still on{} is what you turn in.",
        further(set, units)
    )
}

fn further(set: &TwoSetUps, units: Units) -> String {
    let more = words::height(set.further, units);
    if more == words::height(0.0, units) {
        String::new()
    } else {
        format!(" and {more} more")
    }
}

/// What the joint comes to.
pub fn joint_in_words(joint: &Joint, tapers: &Tapers, units: Units) -> String {
    let (step, angle) = (&joint.step, &joint.angle);
    let off = |m: f64| {
        let deeper = if m >= 0.0 { "deeper" } else { "proud" };
        format!("{} {deeper}", words::height(m.abs(), units))
    };
    let steeper = |off: f64| {
        let how = if off >= 0.0 { "steeper" } else { "slower" };
        format!("{} {how}", tapers.difference(off.abs()))
    };
    format!(
        "on 95 of 100 such lathes the second part stands {} to {} per side, and is {} to {}.",
        off(step.low),
        off(step.high),
        steeper(angle.low),
        steeper(angle.high)
    )
}

/// The setting, where it is this.
pub fn of(way: &MethodWay) -> Option<&TwoSetUps> {
    match &way.setting {
        Some(Setting::TwoSetUps(set)) => Some(set),
        _ => None,
    }
}
