//! The tailstock and its centre.

use super::row::{About, Basis, ByCondition, Number, ORDINARY_FROM_MEMORY, Part, Place, Row};
use crate::quantity::{INCH, LBF_PER_THOU, Length, MM, Stiffness};
use crate::scenario::limits::Limits;
use crate::scenario::shop_tests::Test;

/// How far it may go over.
pub(in crate::scenario) const OVER_LIMITS: Limits = Limits::POSITIVE;

/// In the order drawn, with the attachment or without.
pub(super) static ROWS: &[&dyn Number] = &[&SPRING];

/// Those that only the ways without the attachment know.
pub(super) static WITHOUT_ATTACHMENT: &[&dyn Number] =
    &[&SETOVER, &SETOVER_ERROR, &CENTRE_HEIGHT, &SEATING];

/// Ordinary [mem], the rest [guess].
pub static SPRING: Row<Stiffness> = Row {
    about: About {
        number: 30,
        key: "tailstock.spring",
        words: "spring of the tailstock centre",
        part: Part::Holding,
        limits: Limits::POSITIVE,
        test: Some(Test::BarTip),
        repeats: Some(0.20),
        ..About::NOTHING
    },
    place: Place::Lathe(|lathe| Some(&mut lathe.tailstock_spring)),
    default: ByCondition::new(
        LBF_PER_THOU,
        ORDINARY_FROM_MEMORY,
        [
            [70.0, 150.0, 320.0],
            [50.0, 120.0, 300.0],
            [40.0, 90.0, 220.0],
            [25.0, 60.0, 150.0],
        ],
    ),
};

/// [mem].
pub static SETOVER: Row<Length> = Row {
    about: About {
        number: 50,
        key: "tailstock.setover",
        words: "how far the tailstock goes over",
        part: Part::Holding,
        limits: OVER_LIMITS,
        ..About::NOTHING
    },
    place: Place::Lathe(|lathe| Some(&mut lathe.tailstock.setover)),
    default: ByCondition::same(INCH, Basis::Memory, [0.25, 0.5, 1.0]),
};

/// [guess]: set by an indicator on the quill; clamping moves it, and straight was not quite known.
pub static SETOVER_ERROR: Row<Length> = Row {
    about: About {
        number: 51,
        key: "tailstock.setover_error",
        words: "setting of the tailstock",
        part: Part::Holding,
        limits: Limits::ANY,
        both_ways: true,
        ..About::NOTHING
    },
    place: Place::Lathe(|lathe| Some(&mut lathe.tailstock.setover_error)),
    default: ByCondition::new(
        INCH,
        [Basis::Guess; 4],
        [
            [-0.001, 0.0, 0.001],
            [-0.0015, 0.0, 0.0015],
            [-0.003, 0.0, 0.003],
            [-0.006, 0.0, 0.006],
        ],
    ),
};

/// A maker's inspection sheet in the pattern of ISO 1708 allows 0.04 mm; the rest [guess].
pub static CENTRE_HEIGHT: Row<Length> = Row {
    about: About {
        number: 52,
        key: "tailstock.centre_height",
        words: "height of the tailstock's centre",
        part: Part::Holding,
        limits: Limits::ANY,
        both_ways: true,
        ..About::NOTHING
    },
    place: Place::Lathe(|lathe| Some(&mut lathe.tailstock.centre_height)),
    default: ByCondition::new(
        MM,
        [Basis::Published, Basis::Guess, Basis::Guess, Basis::Guess],
        [
            [-0.04, 0.0, 0.04],
            [-0.06, 0.0, 0.06],
            [-0.12, 0.0, 0.12],
            [-0.25, 0.0, 0.25],
        ],
    ),
};

/// [guess]: a quarter of the depth of an ordinary centre hole.
pub static SEATING: Row<Length> = Row {
    about: About {
        number: 53,
        key: "tailstock.seating",
        words: "where the work bears on its centres",
        part: Part::Holding,
        limits: Limits::ANY,
        both_ways: true,
        ..About::NOTHING
    },
    place: Place::Lathe(|lathe| Some(&mut lathe.tailstock.seating)),
    default: ByCondition::same(INCH, Basis::Guess, [-0.03, 0.0, 0.03]),
};
