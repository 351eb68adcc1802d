//! The spindle and the chuck.

use super::row::{About, Basis, ByCondition, Number, ORDINARY_FROM_MEMORY, Part, Place, Row};
use crate::quantity::{INCH_PER_FOOT, LBF_PER_THOU, Stiffness, Taper};
use crate::scenario::limits::Limits;
use crate::scenario::shop_tests::Test;

/// In the order drawn, with the attachment or without.
pub(super) static ROWS: &[&dyn Number] = &[&SPRING, &OUT_OF_LINE];

/// Ordinary [mem], the rest [guess].
pub static SPRING: Row<Stiffness> = Row {
    about: About {
        number: 29,
        key: "spindle.spring",
        words: "spring of spindle and chuck",
        part: Part::Holding,
        limits: Limits::POSITIVE,
        test: Some(Test::BarTip),
        repeats: Some(0.20),
        ..About::NOTHING
    },
    place: Place::Lathe(|lathe| Some(&mut lathe.spindle.spring)),
    default: ByCondition::new(
        LBF_PER_THOU,
        ORDINARY_FROM_MEMORY,
        [
            [180.0, 400.0, 700.0],
            [120.0, 300.0, 600.0],
            [90.0, 220.0, 450.0],
            [60.0, 150.0, 350.0],
        ],
    ),
};

/// [guess]: a thou on diameter in a foot where it was once set with care.
pub static OUT_OF_LINE: Row<Taper> = Row {
    about: About {
        number: 62,
        key: "spindle.out_of_line",
        words: "headstock out of line with the bed",
        part: Part::Headstock,
        limits: Limits::ANY,
        both_ways: true,
        test: Some(Test::StraightCut),
        // The gauge and the length of the piece say how well.
        repeats: Some(0.0),
        ..About::NOTHING
    },
    place: Place::Lathe(|lathe| Some(&mut lathe.spindle.out_of_line)),
    default: ByCondition::new(
        INCH_PER_FOOT,
        [Basis::Guess; 4],
        [
            [-0.0005, 0.0, 0.0005],
            [-0.001, 0.0, 0.001],
            [-0.002, 0.0, 0.002],
            [-0.004, 0.0, 0.004],
        ],
    ),
};
