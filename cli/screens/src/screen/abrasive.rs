//! What to leave for a wheel or a lap, and how it is led.

use tautway_sim::method::{Grinding, Lapping};
use tautway_sim::quantity::Units;

use super::words;

/// What to leave for a wheel, which, and how it is led.
pub fn to_grind(set: &Grinding, units: Units) -> Vec<(&'static str, String)> {
    let height = |m: f64| words::height(m, units);
    let wheel = words::about(set.turns_of, units);
    let rpm = (60.0 * set.turns / 100.0).floor() * 100.0;
    vec![
        (
            "Leave",
            format!(
                "{} per side: {} to clean up, and {} that a taper at the end of its tolerance is \
                 off at one end.",
                height(set.leave),
                height(set.leave - set.for_taper),
                height(set.for_taper)
            ),
        ),
        (
            "Wheel",
            match set.wheel {
                Some(most) => format!(
                    "{} at most, two thirds of the small end, on the shortest quill; at most \
                     {rpm:.0} rpm, and never more than its mark says.",
                    words::about(most, units)
                ),
                None => format!(
                    "one of {wheel} at most {rpm:.0} rpm, and never more than its mark says."
                ),
            },
        ),
        (
            "Lead it",
            format!(
                "by the same guide, from the same end, past the end as in turning: backlash counts. \
                 {} a pass, {} at the end, then without setting until it hardly sparks. It hardly \
                 pushes: the slide stays on the face where the start left it.",
                height(set.passes[0]),
                height(set.passes[1])
            ),
        ),
    ]
}

/// What to leave for lapping, and what it moves.
pub fn to_lap(set: &Lapping, units: Units) -> Vec<(&'static str, String)> {
    let height = |m: f64| words::height(m, units);
    vec![
        (
            "Leave",
            format!(
                "{} per side: {} for the feed marks, and {} that a taper at the end of its \
                 tolerance is off at one end.",
                height(set.leave),
                height(set.leave - set.for_taper),
                height(set.for_taper)
            ),
        ),
        (
            "Standoff",
            format!(
                "as that comes off, the parts go {} further together.",
                height(set.seats_in)
            ),
        ),
        (
            "Lap",
            "blue first: lapping evens what bears all along, it mends no taper that bears at one \
             end. Fine compound on a cast iron lap turned at the same setting, or on the mate \
             itself; to and fro, lifted often; wash, blue again."
                .to_owned(),
        ),
    ]
}
