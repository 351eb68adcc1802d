//! What is told of a thread, and the words that more than one part of the screen needs.

use crate::screen::words;
use tautway_sim::quantity::{INCH, Length, Quantity, Units, show};
use tautway_sim::record::Seat;
use tautway_sim::scenario::{Lead, Scenario, ThreadCut};
use tautway_sim::thread::lead::LeadFound;
use tautway_sim::thread::{Method, Moves, ThreadLikely, Threading};

/// What is told of.
pub struct Told<'a> {
    /// Job and lathe.
    pub scenario: &'a Scenario,
    /// The ways.
    pub found: &'a Threading,
    /// The best way on many lathes.
    pub likely: Option<&'a ThreadLikely>,
    /// What was assumed and moves the depth.
    pub moves: &'a [Moves],
    /// The person's units.
    pub units: Units,
    /// Whether more is to be told.
    pub detail: bool,
}

/// `11-1/2 threads per inch`, or the pitch.
pub(super) fn lead(lead: Lead, units: Units) -> String {
    match lead {
        Lead::PerInch(threads) => {
            let eighths = threads * 8.0;
            let number = if (eighths - eighths.round()).abs() < 1e-9 {
                show::nearest_fraction(Length::from_si(threads * INCH), 8).replace(' ', "-")
            } else {
                format!("{threads}")
            };
            format!("{number} threads per inch")
        }
        Lead::Pitch(pitch) => format!("pitch {}", words::nominal(pitch, units)),
    }
}

pub(super) fn seat(seat: Seat) -> &'static str {
    match seat {
        Seat::First => "against the guide",
        Seat::Other => "far face",
        Seat::Floating => "floats in its slack",
    }
}

/// What becomes of the lead, against its tolerance.
pub(super) fn lead_of(cut: &ThreadCut, found: &LeadFound, method: Method, units: Units) -> String {
    let allowed = |per_length: f64| match units {
        Units::Inch => format!("{per_length:.4} in an inch"),
        Units::Metric => format!("{:.1} um in 10 mm", per_length * 1e4),
    };
    let tolerance = cut
        .lead_tolerance
        .map_or("no tolerance is given".to_owned(), |tolerance| {
            format!(
                "allowed {}{}",
                allowed(tolerance.per_length),
                tolerance
                    .source
                    .map_or(String::new(), |source| format!(" ({source})"))
            )
        });
    if method == Method::Attachment {
        return format!(
            "nothing from the guide: the carriage leads along the spindle's axis, as a taper \
             thread's pitch is counted; what is left is the lead screw's own ({tolerance})."
        );
    }
    let verdict = match found.within() {
        Some(true) => "within",
        Some(false) => "OUT",
        None => "not judged",
    };
    format!(
        "the pitch comes out short by {} ({:.0} in a million), {} over the thread; the dog makes \
         it drunken by {} either way once a turn: together {}, {tolerance}: {verdict}.",
        allowed(found.per_length.abs()),
        1e6 * found.per_length.abs(),
        words::height(found.over_length, units),
        words::height(found.drunken, units),
        allowed(found.in_an_inch / INCH),
    )
}
