//! Where to start, in words: the same for a taper cut and for a thread.

use tautway_sim::compare::Start;
use tautway_sim::quantity::{Length, Quantity, Units, show};
use tautway_sim::setup::Setup;

use super::words;

/// The same in one line, where room and guide allow it.
pub fn briefly(start: &Start, setup: &Setup, units: Units) -> String {
    if start.by_hand || start.short || start.room < start.wanted {
        return from(start, setup, None, units);
    }
    format!(
        "at least {} past the {}, every pass: {} is backlash.",
        show::carriage_travel(Length::from_si(start.wanted), units),
        words::starting_end(setup),
        words::about(start.lost, units)
    )
}

/// From where, what is lost on reversal, and what the guide has to give. `also` is what else takes
/// up its slack on the way.
pub fn from(start: &Start, setup: &Setup, also: Option<&str>, units: Units) -> String {
    let end = words::starting_end(setup);
    let lost = words::about(start.lost, units);
    let guide = format!(
        "Usable guide: {}, you need {}.",
        words::about(start.guide_usable, units),
        words::about(start.guide_needed, units)
    );
    if start.by_hand {
        return format!(
            "from the {end} with the slide seated by hand before each pass: {lost} is backlash \
             and there is room for {}. Spindle stopped, tool clear, pull the slide to the face it \
             will run on. {guide}",
            words::about(start.room, units)
        );
    }
    if start.short {
        return format!(
            "only {} before the {end}, as asked: {lost} is backlash, so the slack is still being \
             taken up when the cut begins. {guide}",
            words::about(start.wanted, units)
        );
    }
    let also = also.map_or(String::new(), |also| format!(", and {also}"));
    if start.room < start.wanted {
        return format!(
            "all of {} past the {end} ({lost} is backlash{also}; a little more room would be \
             better). {guide}",
            words::about(start.room, units)
        );
    }
    format!(
        "at least {} past the {end} ({lost} is backlash{also}). {guide}",
        show::carriage_travel(Length::from_si(start.wanted), units)
    )
}
