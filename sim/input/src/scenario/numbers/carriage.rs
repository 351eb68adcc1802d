//! The carriage on the bed.

use super::row::{About, Basis, ByCondition, Number, Part, Place, Row};
use crate::quantity::{INCH, Length};
use crate::scenario::limits::Limits;
use crate::scenario::shop_tests::Test;

/// In the order drawn, with the attachment or without.
pub(super) static ROWS: &[&dyn Number] = &[&ROCK];

/// [guess]: half of what an indicator on the post shows between a push at either end.
pub static ROCK: Row<Length> = Row {
    about: About {
        number: 63,
        key: "carriage.rock",
        words: "rock of the carriage",
        part: Part::Carriage,
        limits: Limits::ANY,
        both_ways: true,
        test: Some(Test::CarriageRock),
        ..About::NOTHING
    },
    place: Place::Lathe(|lathe| Some(&mut lathe.carriage.rock)),
    default: ByCondition::new(
        INCH,
        [Basis::Guess; 4],
        [
            [-0.0001, 0.0, 0.0001],
            [-0.0002, 0.0, 0.0002],
            [-0.0005, 0.0, 0.0005],
            [-0.001, 0.0, 0.001],
        ],
    ),
};
