//! The shop tests: what is read at the lathe, and what it says of the lathe's numbers.
//!
//! Every reading is kept with its repeats; [`findings`] turns them into numbers of the lathe file
//! with a range from the repeats ([`repeats`]) and says what doesn't add up.

pub mod form;
pub mod notation;
pub mod repeats;
pub mod lost_motion;
mod findings;

pub use findings::{Finding, Found, Note, NoteKind, findings, with_findings};

pub use crate::scenario::shop_tests::{Parts, Pulls, Reversal, ShopTests, Springs, Steps, Tips};

use serde::Serialize;

/// A shop test, by its number on the form.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Test {
    /// 1.
    Reversal,
    /// 2.
    Foot,
    /// 3.
    Parts,
    /// 4.
    Drag,
    /// 5.
    Spring,
    /// 6.
    BarTip,
    /// 7.
    GuideTrue,
    /// 8.
    StraightCut,
    /// 9.
    TwoWayCut,
    /// 10.
    SetAgainstTaken,
}

impl Test {
    /// All, in the form's order.
    pub const ALL: [Self; 10] = [
        Self::Reversal,
        Self::Foot,
        Self::Parts,
        Self::Drag,
        Self::Spring,
        Self::BarTip,
        Self::GuideTrue,
        Self::StraightCut,
        Self::TwoWayCut,
        Self::SetAgainstTaken,
    ];

    /// Number on the form.
    pub fn number(self) -> usize {
        self as usize + 1
    }

    /// As [`crate::scenario::Knob::test`] names it.
    pub fn name(self) -> &'static str {
        match self {
            Self::Reversal => "test 1, reversal",
            Self::Foot => "test 2, foot",
            Self::Parts => "test 3, which part is loose",
            Self::Drag => "test 4, drag",
            Self::Spring => "test 5, push-pull spring",
            Self::BarTip => "test 6, bar tip",
            Self::GuideTrue => "test 7, guide true",
            Self::StraightCut => "test 8, headstock and tailstock",
            Self::TwoWayCut => "test 9, two-way cut",
            Self::SetAgainstTaken => "test 10, set against taken",
        }
    }

    /// Whether it belongs to the least that should be done.
    pub fn is_minimum(self) -> bool {
        matches!(self, Self::Reversal | Self::Drag | Self::TwoWayCut)
    }

    /// Minutes it takes [guess].
    pub fn minutes(self) -> u32 {
        match self {
            Self::Reversal | Self::Foot | Self::Drag | Self::BarTip | Self::SetAgainstTaken => 5,
            Self::Parts | Self::Spring | Self::GuideTrue => 10,
            Self::StraightCut => 15,
            Self::TwoWayCut => 20,
        }
    }
}
