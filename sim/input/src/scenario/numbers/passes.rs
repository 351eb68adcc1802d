//! What a person does anew at each touch-off and each setting of the dial.

use super::row::{About, Basis, ByCondition, Elsewhere, Number, Part, Place, Row};
use crate::quantity::{INCH, Length};
use crate::scenario::limits::Limits;

/// In the order drawn, with the attachment or without.
pub(super) static ROWS: &[&dyn Number] = &[&TOUCH_OFF_WITHIN, &DIAL_WITHIN];

/// It goes by how it is touched off (`defaults::touch_off`).
pub static TOUCH_OFF_WITHIN: Row<Length, Elsewhere> = Row {
    about: About {
        number: 60,
        key: "passes.touch_off_within",
        words: "touching off",
        part: Part::Hand,
        limits: Limits::ANY,
        both_ways: true,
        ..About::NOTHING
    },
    place: Place::Job(|job| Some(&mut job.by_hand.touch_off)),
    default: Elsewhere,
};

/// A dial read to a third of a division of one thou [guess].
pub static DIAL_WITHIN: Row<Length> = Row {
    about: About {
        number: 61,
        key: "passes.dial_within",
        words: "setting of the dial",
        part: Part::Hand,
        limits: Limits::ANY,
        both_ways: true,
        ..About::NOTHING
    },
    place: Place::Job(|job| Some(&mut job.by_hand.dial)),
    default: ByCondition::same(INCH, Basis::Guess, [-0.0003, 0.0, 0.0003]),
};
