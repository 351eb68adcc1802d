//! The top slide and the tool post.

use super::row::{About, Basis, ByCondition, Number, ORDINARY_FROM_MEMORY, Part, Place, Row};
use crate::quantity::{Angle, DEGREE, INCH, LBF_PER_THOU, Length, Ratio, Stiffness};
use crate::scenario::limits::Limits;
use crate::scenario::shop_tests::Test;

const SLACK_LIMITS: Limits = Limits::NOT_NEGATIVE;

/// In the order drawn, with the attachment or without.
pub(super) static ROWS: &[&dyn Number] = &[&SLACK, &SPRING];

/// Those that only the ways without the attachment know.
pub(super) static WITHOUT_ATTACHMENT: &[&dyn Number] =
    &[&TRAVEL, &GRADUATION, &SETTING, &GIB_SLACK, &HAND_FEED];

/// Ordinary [mem], the rest [guess].
pub static SLACK: Row<Length> = Row {
    about: About {
        number: 27,
        key: "top_slide.slack",
        words: "backlash of the top slide",
        part: Part::TopSlide,
        limits: SLACK_LIMITS,
        test: Some(Test::Parts),
        wears: true,
        ..About::NOTHING
    },
    place: Place::Lathe(|lathe| Some(&mut lathe.top_slide.slack)),
    default: ByCondition::new(
        INCH,
        ORDINARY_FROM_MEMORY,
        [
            [0.001, 0.003, 0.006],
            [0.002, 0.005, 0.020],
            [0.005, 0.012, 0.030],
            [0.010, 0.025, 0.060],
        ],
    ),
};

/// Ordinary [mem], the rest [guess].
pub static SPRING: Row<Stiffness> = Row {
    about: About {
        number: 28,
        key: "top_slide.spring",
        words: "spring of top slide and post",
        part: Part::TopSlide,
        limits: Limits::POSITIVE,
        test: Some(Test::Spring),
        repeats: Some(0.20),
        ..About::NOTHING
    },
    place: Place::Lathe(|lathe| Some(&mut lathe.top_slide.spring)),
    default: ByCondition::new(
        LBF_PER_THOU,
        ORDINARY_FROM_MEMORY,
        [
            [60.0, 130.0, 300.0],
            [40.0, 100.0, 250.0],
            [30.0, 80.0, 200.0],
            [20.0, 50.0, 140.0],
        ],
    ),
};

/// [guess] of 12 to 16 in lathes.
pub static TRAVEL: Row<Length> = Row {
    about: About {
        number: 54,
        key: "top_slide.travel",
        words: "travel of the top slide",
        part: Part::TopSlide,
        limits: Limits::POSITIVE,
        ..About::NOTHING
    },
    place: Place::Lathe(|lathe| Some(&mut lathe.top_slide.travel)),
    default: ByCondition::same(INCH, Basis::Guess, [2.5, 3.5, 5.0]),
};

/// Marks a half or a whole degree apart, read to a tenth (common practice, no source).
pub static GRADUATION: Row<Angle> = Row {
    about: About {
        number: 55,
        key: "top_slide.graduation",
        words: "degree marks of the top slide",
        part: Part::TopSlide,
        limits: Limits::ANY,
        both_ways: true,
        ..About::NOTHING
    },
    place: Place::Lathe(|lathe| Some(&mut lathe.top_slide.graduation)),
    default: ByCondition::same(DEGREE, Basis::Memory, [-0.1, 0.0, 0.1]),
};

/// [guess]: a tenth and a half either way on an indicator, and what it shifts when clamped.
pub static SETTING: Row<Length> = Row {
    about: About {
        number: 56,
        key: "top_slide.setting",
        words: "setting of the top slide by indicator",
        part: Part::TopSlide,
        limits: Limits::ANY,
        both_ways: true,
        ..About::NOTHING
    },
    place: Place::Lathe(|lathe| Some(&mut lathe.top_slide.setting)),
    default: ByCondition::same(INCH, Basis::Guess, [-0.0005, 0.0, 0.0005]),
};

/// [guess].
pub static GIB_SLACK: Row<Length> = Row {
    about: About {
        number: 57,
        key: "top_slide.gib_slack",
        words: "slack of the top slide's gib",
        part: Part::TopSlide,
        limits: SLACK_LIMITS,
        ..About::NOTHING
    },
    place: Place::Lathe(|lathe| Some(&mut lathe.top_slide.gib_slack)),
    default: ByCondition::new(
        INCH,
        [Basis::Guess; 4],
        [
            [0.0001, 0.0003, 0.001],
            [0.0002, 0.0007, 0.002],
            [0.0005, 0.0015, 0.004],
            [0.001, 0.003, 0.008],
        ],
    ),
};

/// [guess]: two hands on a small crank.
pub static HAND_FEED: Row<Ratio> = Row {
    about: About {
        number: 58,
        key: "top_slide.hand_feed",
        words: "evenness of the feed by hand",
        part: Part::TopSlide,
        limits: Limits::SHARE,
        ..About::NOTHING
    },
    place: Place::Lathe(|lathe| Some(&mut lathe.top_slide.hand_feed)),
    default: ByCondition::same(1.0, Basis::Guess, [0.15, 0.30, 0.50]),
};
