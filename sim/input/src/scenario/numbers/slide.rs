//! The cross-slide on its ways.

use super::row::{About, Basis, ByCondition, Number, ORDINARY_FROM_MEMORY, Part, Place, Row};
use crate::quantity::{Force, INCH, LBF, Length, Ratio};
use crate::scenario::limits::Limits;
use crate::scenario::shop_tests::Test;

const SLACK_LIMITS: Limits = Limits::NOT_NEGATIVE;
const FRICTION_LIMITS: Limits = Limits::SHARE;
/// What weighs on the ways or rubs on them.
pub(in crate::scenario) const FORCE_LIMITS: Limits = Limits::NOT_NEGATIVE;

/// In the order drawn, with the attachment or without.
pub(super) static ROWS: &[&dyn Number] = &[
    &DRAG,
    &BREAKAWAY,
    &WEIGHT,
    &FRICTION,
    &SIDE_FRICTION,
    &OVERHANG,
    &DRAG_LEFT_CUTTING,
    &DRAG_CHANGE,
    &GIB_SLACK,
    &GIB_LENGTH,
    &TRAVEL,
];

/// Ordinary [mem], the rest [guess].
pub static DRAG: Row<Force> = Row {
    about: About {
        number: 16,
        key: "slide.drag",
        words: "drag of the cross-slide",
        part: Part::Drag,
        limits: FORCE_LIMITS,
        test: Some(Test::Drag),
        repeats: Some(0.10),
        ..About::NOTHING
    },
    place: Place::Lathe(|lathe| Some(&mut lathe.slide.drag)),
    default: ByCondition::new(
        LBF,
        ORDINARY_FROM_MEMORY,
        [
            [8.0, 18.0, 40.0],
            [8.0, 20.0, 60.0],
            [5.0, 18.0, 60.0],
            [2.0, 15.0, 80.0],
        ],
    ),
};

/// Ordinary [mem], the rest [guess].
pub static BREAKAWAY: Row<Ratio> = Row {
    about: About {
        number: 17,
        key: "slide.breakaway",
        words: "drag to start it over drag to keep it moving",
        part: Part::Drag,
        limits: Limits::ONE_OR_MORE,
        test: Some(Test::Drag),
        repeats: Some(0.10),
        drawn_within: Some([1.0, f64::INFINITY]),
        ..About::NOTHING
    },
    place: Place::Lathe(|lathe| Some(&mut lathe.slide.breakaway)),
    default: ByCondition::new(
        1.0,
        ORDINARY_FROM_MEMORY,
        [
            [1.05, 1.2, 1.5],
            [1.05, 1.3, 1.8],
            [1.05, 1.4, 2.0],
            [1.1, 1.5, 2.2],
        ],
    ),
};

/// [mem].
pub static WEIGHT: Row<Force> = Row {
    about: About {
        number: 18,
        key: "slide.weight",
        words: "weight on the cross-slide ways",
        part: Part::Drag,
        limits: FORCE_LIMITS,
        ..About::NOTHING
    },
    place: Place::Lathe(|lathe| Some(&mut lathe.slide.weight)),
    default: ByCondition::same(LBF, Basis::Memory, [45.0, 80.0, 130.0]),
};

/// [mem]; published values of cast iron on cast iron run from 0.07 greasy to 0.21.
pub static FRICTION: Row<Ratio> = Row {
    about: About {
        number: 19,
        key: "slide.friction",
        words: "friction of the ways",
        part: Part::Drag,
        limits: FRICTION_LIMITS,
        test: Some(Test::Drag),
        ..About::NOTHING
    },
    place: Place::Lathe(|lathe| Some(&mut lathe.slide.friction)),
    default: ByCondition::same(1.0, Basis::Memory, [0.08, 0.15, 0.20]),
};

/// [guess]: as the ways.
pub static SIDE_FRICTION: Row<Ratio> = Row {
    about: About {
        number: 20,
        key: "slide.side_friction",
        words: "friction at the side of the ways",
        part: Part::Drag,
        limits: FRICTION_LIMITS,
        ..About::NOTHING
    },
    place: Place::Lathe(|lathe| Some(&mut lathe.slide.side_friction)),
    default: ByCondition::same(1.0, Basis::Guess, [0.08, 0.15, 0.20]),
};

/// [guess].
pub static OVERHANG: Row<Ratio> = Row {
    about: About {
        number: 21,
        key: "slide.overhang",
        words: "overhang of the slide",
        part: Part::Drag,
        limits: Limits::ONE_OR_MORE,
        drawn_within: Some([1.0, f64::INFINITY]),
        ..About::NOTHING
    },
    place: Place::Lathe(|lathe| Some(&mut lathe.slide.overhang)),
    default: ByCondition::new(
        1.0,
        [Basis::Guess; 4],
        [
            [1.0, 1.15, 1.4],
            [1.0, 1.2, 1.6],
            [1.0, 1.3, 1.8],
            [1.0, 1.4, 2.0],
        ],
    ),
};

/// [mem].
pub static DRAG_LEFT_CUTTING: Row<Ratio> = Row {
    about: About {
        number: 22,
        key: "slide.drag_left_cutting",
        words: "drag left while cutting",
        part: Part::Drag,
        limits: Limits::SHARE,
        test: Some(Test::Drag),
        ..About::NOTHING
    },
    place: Place::Lathe(|lathe| Some(&mut lathe.slide.drag_left_cutting)),
    default: ByCondition::same(1.0, Basis::Memory, [0.3, 0.6, 0.9]),
};

/// Ordinary [mem], the rest [guess].
pub static DRAG_CHANGE: Row<Ratio> = Row {
    about: About {
        number: 23,
        key: "slide.drag_change",
        words: "change of drag along the stroke",
        part: Part::Drag,
        limits: Limits::SHARE,
        test: Some(Test::Drag),
        repeats: Some(0.50),
        ..About::NOTHING
    },
    place: Place::Lathe(|lathe| Some(&mut lathe.slide.drag_change)),
    default: ByCondition::new(
        1.0,
        ORDINARY_FROM_MEMORY,
        [
            [0.03, 0.10, 0.25],
            [0.05, 0.20, 0.50],
            [0.10, 0.30, 0.60],
            [0.15, 0.40, 0.80],
        ],
    ),
};

/// Ordinary [mem], the rest [guess].
pub static GIB_SLACK: Row<Length> = Row {
    about: About {
        number: 24,
        key: "slide.gib_slack",
        words: "side slack at the gib",
        part: Part::Gib,
        limits: SLACK_LIMITS,
        test: Some(Test::BarTip),
        repeats: Some(0.15),
        wears: true,
        ..About::NOTHING
    },
    place: Place::Lathe(|lathe| Some(&mut lathe.slide.gib_slack)),
    default: ByCondition::new(
        INCH,
        ORDINARY_FROM_MEMORY,
        [
            [0.0003, 0.0007, 0.0015],
            [0.0005, 0.0015, 0.005],
            [0.0015, 0.004, 0.008],
            [0.003, 0.008, 0.015],
        ],
    ),
};

/// [mem].
pub static GIB_LENGTH: Row<Length> = Row {
    about: About {
        number: 25,
        key: "slide.gib_length",
        words: "guided length of the slide",
        part: Part::Gib,
        limits: Limits::POSITIVE,
        ..About::NOTHING
    },
    place: Place::Lathe(|lathe| Some(&mut lathe.slide.gib_length)),
    default: ByCondition::same(INCH, Basis::Memory, [8.0, 9.0, 10.0]),
};

/// [guess].
pub static TRAVEL: Row<Length> = Row {
    about: About {
        number: 26,
        key: "slide.travel",
        words: "travel of the slide",
        part: Part::Drag,
        limits: Limits::POSITIVE,
        ..About::NOTHING
    },
    place: Place::Lathe(|lathe| Some(&mut lathe.slide.travel)),
    default: ByCondition::same(INCH, Basis::Guess, [5.0, 7.0, 10.0]),
};
