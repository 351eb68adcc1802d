//! The readout or indicator on the slide.

use super::row::{About, Basis, ByCondition, Number, Part, Place, Row};
use crate::quantity::{INCH, Length};
use crate::scenario::limits::Limits;

/// In the order drawn, with the attachment or without.
pub(super) static ROWS: &[&dyn Number] = &[&STEP];

/// [mem].
pub static STEP: Row<Length> = Row {
    about: About {
        number: 31,
        key: "readout.step",
        words: "step of the readout",
        part: Part::Holding,
        limits: Limits::NOT_NEGATIVE,
        ..About::NOTHING
    },
    place: Place::Lathe(|lathe| Some(&mut lathe.readout_step)),
    default: ByCondition::same(INCH, Basis::Memory, [0.0001, 0.0005, 0.001]),
};
