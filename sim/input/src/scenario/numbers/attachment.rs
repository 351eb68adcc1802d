//! The taper attachment, from the bed to the cross screw.

use super::row::{
    About, Basis, ByCondition, Elsewhere, Number, ORDINARY_FROM_MEMORY, Part, Place, Row,
};
use crate::quantity::{
    Force, INCH, INCH_PER_FOOT, LBF, LBF_PER_THOU, Length, Ratio, Stiffness, Taper,
};
use crate::scenario::limits::Limits;
use crate::scenario::shop_tests::Test;

const SLACK_LIMITS: Limits = Limits::NOT_NEGATIVE;
const FORCE_LIMITS: Limits = Limits::NOT_NEGATIVE;
const LENGTH_LIMITS: Limits = Limits::POSITIVE;

/// In the order drawn, with the attachment or without.
pub(super) static ROWS: &[&dyn Number] = &[
    &FOOT_SLACK,
    &FOOT_SPRING,
    &BAR_DRAG,
    &SHOE_SLACK,
    &THRUST_SLACK,
    &NUT_SLACK,
    &TOTAL_SLACK,
    &SHOE_SPRING,
    &SCREW_SPRING,
    &SCREW_PUSH_SHARE,
    &DRIVE_SPRING,
    &GUIDE_TRAVEL,
    &STEEPEST,
    &GUIDE_END,
    &SETTING_ERROR,
    &GUIDE_BOW,
    &WEAR_HEADSTOCK_END,
    &WEAR_TAILSTOCK_END,
];

/// Ordinary [mem], the rest [guess].
pub static FOOT_SLACK: Row<Length> = Row {
    about: About {
        number: 1,
        key: "attachment.foot_slack",
        words: "slack of foot and rod",
        part: Part::Foot,
        limits: SLACK_LIMITS,
        test: Some(Test::Foot),
        repeats: Some(0.10),
        wears: true,
        ..About::NOTHING
    },
    place: Place::Lathe(|lathe| Some(&mut lathe.attachment.foot_slack)),
    default: ByCondition::new(
        INCH,
        ORDINARY_FROM_MEMORY,
        [
            [0.0, 0.001, 0.005],
            [0.0, 0.005, 0.060],
            [0.002, 0.020, 0.080],
            [0.010, 0.060, 0.150],
        ],
    ),
};

/// Ordinary [mem], the rest [guess].
pub static FOOT_SPRING: Row<Stiffness> = Row {
    about: About {
        number: 2,
        key: "attachment.foot_spring",
        words: "spring of foot and rod",
        part: Part::Foot,
        limits: Limits::POSITIVE,
        test: Some(Test::Foot),
        ..About::NOTHING
    },
    place: Place::Lathe(|lathe| Some(&mut lathe.attachment.foot_spring)),
    default: ByCondition::new(
        LBF_PER_THOU,
        ORDINARY_FROM_MEMORY,
        [
            [50.0, 100.0, 200.0],
            [20.0, 60.0, 150.0],
            [15.0, 40.0, 100.0],
            [8.0, 20.0, 60.0],
        ],
    ),
};

/// [guess]: an oiled bar of some 30 to 60 lb on its bracket.
pub static BAR_DRAG: Row<Force> = Row {
    about: About {
        number: 3,
        key: "attachment.bar_drag",
        words: "drag of the guide bar on the carriage",
        part: Part::Foot,
        limits: FORCE_LIMITS,
        test: Some(Test::Foot),
        ..About::NOTHING
    },
    place: Place::Lathe(|lathe| Some(&mut lathe.attachment.bar_drag)),
    default: ByCondition::new(
        LBF,
        [Basis::Guess; 4],
        [
            [3.0, 8.0, 20.0],
            [3.0, 10.0, 30.0],
            [3.0, 12.0, 40.0],
            [2.0, 15.0, 60.0],
        ],
    ),
};

/// Ordinary [mem], the rest [guess].
pub static SHOE_SLACK: Row<Length> = Row {
    about: About {
        number: 4,
        key: "attachment.shoe_slack",
        words: "slack of the shoe on the guide",
        part: Part::DriveSlack,
        limits: SLACK_LIMITS,
        test: Some(Test::Parts),
        repeats: Some(0.15),
        wears: true,
        ..About::NOTHING
    },
    place: Place::Lathe(|lathe| {
        let whole = lathe.attachment.total_slack.is_some();
        (!whole).then_some(&mut lathe.attachment.shoe_slack)
    }),
    default: ByCondition::new(
        INCH,
        ORDINARY_FROM_MEMORY,
        [
            [0.0003, 0.001, 0.002],
            [0.0005, 0.002, 0.010],
            [0.003, 0.010, 0.025],
            [0.005, 0.020, 0.050],
        ],
    ),
};

/// Ordinary [mem], the rest [guess].
pub static THRUST_SLACK: Row<Length> = Row {
    about: About {
        number: 5,
        key: "attachment.thrust_slack",
        words: "end float of the screw",
        part: Part::DriveSlack,
        limits: SLACK_LIMITS,
        test: Some(Test::Parts),
        repeats: Some(0.15),
        wears: true,
        ..About::NOTHING
    },
    place: Place::Lathe(|lathe| {
        let whole = lathe.attachment.total_slack.is_some();
        (!whole).then_some(&mut lathe.attachment.thrust_slack)
    }),
    default: ByCondition::new(
        INCH,
        ORDINARY_FROM_MEMORY,
        [
            [0.0003, 0.001, 0.003],
            [0.0005, 0.002, 0.015],
            [0.003, 0.010, 0.025],
            [0.005, 0.020, 0.050],
        ],
    ),
};

/// Ordinary [mem], the rest [guess].
pub static NUT_SLACK: Row<Length> = Row {
    about: About {
        number: 6,
        key: "attachment.nut_slack",
        words: "backlash of the cross nut",
        part: Part::DriveSlack,
        limits: SLACK_LIMITS,
        test: Some(Test::Parts),
        repeats: Some(0.10),
        wears: true,
        ..About::NOTHING
    },
    place: Place::Lathe(|lathe| {
        let whole = lathe.attachment.total_slack.is_some();
        (!whole).then_some(&mut lathe.attachment.nut_slack)
    }),
    default: ByCondition::new(
        INCH,
        ORDINARY_FROM_MEMORY,
        [
            [0.002, 0.006, 0.010],
            [0.003, 0.010, 0.040],
            [0.015, 0.040, 0.070],
            [0.025, 0.060, 0.120],
        ],
    ),
};

/// It stands for shoe, thrust and nut together.
pub static TOTAL_SLACK: Row<Length, Elsewhere> = Row {
    about: About {
        number: 7,
        key: "attachment.slack",
        overrides: &[
            "attachment.shoe_slack",
            "attachment.thrust_slack",
            "attachment.nut_slack",
        ],
        words: "all slack along the cross-slide",
        part: Part::DriveSlack,
        limits: SLACK_LIMITS,
        test: Some(Test::Reversal),
        repeats: Some(0.10),
        wears: true,
        ..About::NOTHING
    },
    place: Place::Lathe(|lathe| lathe.attachment.total_slack.as_mut()),
    default: Elsewhere,
};

/// Ordinary [mem], the rest [guess].
pub static SHOE_SPRING: Row<Stiffness> = Row {
    about: About {
        number: 8,
        key: "attachment.shoe_spring",
        words: "spring of shoe and guide bar",
        part: Part::DriveSpring,
        limits: Limits::POSITIVE,
        test: Some(Test::Spring),
        ..About::NOTHING
    },
    place: Place::Lathe(|lathe| {
        let whole = lathe.attachment.drive_spring.is_some();
        (!whole).then_some(&mut lathe.attachment.shoe_spring)
    }),
    default: ByCondition::new(
        LBF_PER_THOU,
        ORDINARY_FROM_MEMORY,
        [
            [120.0, 260.0, 450.0],
            [80.0, 200.0, 400.0],
            [60.0, 150.0, 300.0],
            [40.0, 90.0, 200.0],
        ],
    ),
};

/// Thrust bearing, screw and nut together. Ordinary [mem], the rest [guess].
pub static SCREW_SPRING: Row<Stiffness> = Row {
    about: About {
        number: 9,
        key: "attachment.screw_spring",
        words: "spring of thrust bearing, screw and nut",
        part: Part::DriveSpring,
        limits: Limits::POSITIVE,
        test: Some(Test::Spring),
        ..About::NOTHING
    },
    place: Place::Lathe(|lathe| {
        let whole = lathe.attachment.drive_spring.is_some();
        (!whole).then_some(&mut lathe.attachment.screw_spring)
    }),
    default: ByCondition::new(
        LBF_PER_THOU,
        ORDINARY_FROM_MEMORY,
        [
            [80.0, 170.0, 350.0],
            [50.0, 120.0, 300.0],
            [35.0, 85.0, 200.0],
            [20.0, 50.0, 130.0],
        ],
    ),
};

/// [guess]: a bent or slender rod pushed is half as stiff or less.
pub static SCREW_PUSH_SHARE: Row<Ratio> = Row {
    about: About {
        number: 10,
        key: "attachment.screw_push_share",
        words: "screw pushed against pulled",
        part: Part::DriveSpring,
        limits: Limits::SHARE.not_zero(),
        test: Some(Test::Spring),
        repeats: Some(0.20),
        ..About::NOTHING
    },
    place: Place::Lathe(|lathe| Some(&mut lathe.attachment.screw_push_share)),
    default: ByCondition::new(
        1.0,
        [Basis::Guess; 4],
        [
            [0.7, 0.9, 1.0],
            [0.5, 0.8, 1.0],
            [0.4, 0.7, 1.0],
            [0.3, 0.6, 1.0],
        ],
    ),
};

/// It stands for shoe and screw together.
pub static DRIVE_SPRING: Row<Stiffness, Elsewhere> = Row {
    about: About {
        number: 11,
        key: "attachment.drive_spring",
        overrides: &["attachment.shoe_spring", "attachment.screw_spring"],
        words: "spring of the whole drive",
        part: Part::DriveSpring,
        limits: Limits::POSITIVE,
        test: Some(Test::Spring),
        repeats: Some(0.15),
        ..About::NOTHING
    },
    place: Place::Lathe(|lathe| lathe.attachment.drive_spring.as_mut()),
    default: Elsewhere,
};

/// [mem].
pub static GUIDE_TRAVEL: Row<Length> = Row {
    about: About {
        number: 12,
        key: "attachment.guide_travel",
        words: "usable travel of the guide",
        part: Part::Guide,
        limits: LENGTH_LIMITS,
        ..About::NOTHING
    },
    place: Place::Lathe(|lathe| Some(&mut lathe.attachment.guide_travel)),
    default: ByCondition::same(INCH, Basis::Memory, [7.0, 10.0, 16.0]),
};

/// [mem].
pub static STEEPEST: Row<Taper> = Row {
    about: About {
        number: 13,
        key: "attachment.steepest",
        words: "steepest taper of the guide",
        part: Part::Guide,
        limits: Limits::POSITIVE,
        ..About::NOTHING
    },
    place: Place::Lathe(|lathe| Some(&mut lathe.attachment.steepest)),
    default: ByCondition::same(INCH_PER_FOOT, Basis::Memory, [2.5, 3.0, 4.0]),
};

/// [mem].
pub static GUIDE_END: Row<Length> = Row {
    about: About {
        number: 14,
        key: "attachment.guide_end",
        words: "guide's end from its pivot",
        part: Part::Guide,
        limits: LENGTH_LIMITS,
        ..About::NOTHING
    },
    place: Place::Lathe(|lathe| Some(&mut lathe.attachment.guide_end)),
    default: ByCondition::same(INCH, Basis::Memory, [6.0, 10.0, 14.0]),
};

/// [calc]: readout steps of 0.0005 in over 3 in are 0.002 in/ft; twice that, for a guide that
/// creeps when its bolts are drawn up, is [guess].
pub static SETTING_ERROR: Row<Taper> = Row {
    about: About {
        number: 15,
        key: "attachment.setting_error",
        words: "setting of the guide",
        part: Part::Guide,
        limits: Limits::ANY,
        both_ways: true,
        test: Some(Test::GuideTrue),
        // The readout's step says how well.
        repeats: Some(0.0),
        ..About::NOTHING
    },
    place: Place::Lathe(|lathe| Some(&mut lathe.attachment.setting_error)),
    default: ByCondition::same(INCH_PER_FOOT, Basis::Calculated, [-0.004, 0.0, 0.004]),
};

/// [guess].
pub static GUIDE_BOW: Row<Length> = Row {
    about: About {
        number: 48,
        key: "attachment.guide_bow",
        words: "bow of the guide",
        part: Part::Guide,
        limits: Limits::ANY,
        both_ways: true,
        test: Some(Test::GuideTrue),
        ..About::NOTHING
    },
    place: Place::Lathe(|lathe| Some(&mut lathe.attachment.guide_bow)),
    default: ByCondition::new(
        INCH,
        [Basis::Guess; 4],
        [
            [-0.0003, 0.0, 0.0003],
            [-0.0007, 0.0, 0.0007],
            [-0.0015, 0.0, 0.0015],
            [-0.003, 0.0, 0.003],
        ],
    ),
};

/// Less is usual: the middle is used most.
pub static WEAR_HEADSTOCK_END: Row<Length, Elsewhere> = Row {
    about: About {
        number: 64,
        key: "attachment.wear_headstock_end",
        words: "slack near the guide's headstock end over that in its middle",
        part: Part::DriveSlack,
        limits: Limits::ANY,
        test: Some(Test::Reversal),
        ..About::NOTHING
    },
    place: Place::Lathe(|lathe| lathe.attachment.wear_headstock_end.as_mut()),
    default: Elsewhere,
};

/// Less is usual: the middle is used most.
pub static WEAR_TAILSTOCK_END: Row<Length, Elsewhere> = Row {
    about: About {
        number: 65,
        key: "attachment.wear_tailstock_end",
        words: "slack near the guide's tailstock end over that in its middle",
        part: Part::DriveSlack,
        limits: Limits::ANY,
        test: Some(Test::Reversal),
        ..About::NOTHING
    },
    place: Place::Lathe(|lathe| lathe.attachment.wear_tailstock_end.as_mut()),
    default: Elsewhere,
};
