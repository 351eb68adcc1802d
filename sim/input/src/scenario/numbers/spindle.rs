//! The spindle and the chuck.

use super::row::{About, ByCondition, Number, ORDINARY_FROM_MEMORY, Part, Place, Row};
use crate::quantity::{LBF_PER_THOU, Stiffness};
use crate::scenario::limits::Limits;
use crate::scenario::shop_tests::Test;

/// In the order drawn, with the attachment or without.
pub(super) static ROWS: &[&dyn Number] = &[&SPRING];

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
