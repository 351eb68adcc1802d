//! The lathe's numbers: what they can't be and what they usually are.

use super::row::{Bounds, MEMORY};
use crate::quantity::{DEGREE, INCH, INCH_PER_FOOT, LBF, LBF_PER_THOU};

const SLACK: &str = "with more than 2 in of slack nothing follows anything";
const SPRING: &str =
    "no part of a lathe is that soft, and the engine takes what is stiffer for rigid";
const FORCE: &str = "no slide is heavier than a small car";
const LENGTH: &str = "no lathe that a hand works is that long, and no guide that short";
const ERROR: &str = "that is no error, that is another setting";
const SHARE: &str = "the engine works with shares of this size";

/// A slack.
const fn slack(key: &'static str, usual: [f64; 2]) -> Bounds {
    Bounds::new(key, INCH, [1e-6, 2.0], usual, SLACK).or_nothing()
}

/// A spring rate.
const fn spring(key: &'static str, usual: [f64; 2]) -> Bounds {
    Bounds::new(key, LBF_PER_THOU, [0.01, 2e10], usual, SPRING)
}

const fn force(key: &'static str, usual: [f64; 2]) -> Bounds {
    Bounds::new(key, LBF, [1e-3, 3000.0], usual, FORCE).or_nothing()
}

const fn length(key: &'static str, usual: [f64; 2]) -> Bounds {
    Bounds::new(key, INCH, [0.05, 300.0], usual, LENGTH).from(MEMORY)
}

const fn error(key: &'static str, most: f64, usual: [f64; 2]) -> Bounds {
    Bounds::new(key, INCH, [1e-8, most], usual, ERROR).or_nothing()
}

const fn share(key: &'static str, most: f64, usual: [f64; 2]) -> Bounds {
    Bounds::new(key, 1.0, [1e-6, most], usual, SHARE).or_nothing()
}

/// In the order of the lathe file.
pub(super) static BOUNDS: &[Bounds] = &[
    slack("attachment.foot_slack", [0.0003, 0.2]),
    spring("attachment.foot_spring", [3.0, 1000.0]),
    force("attachment.bar_drag", [0.5, 150.0]),
    slack("attachment.shoe_slack", [0.0002, 0.1]),
    slack("attachment.thrust_slack", [0.0002, 0.1]),
    slack("attachment.nut_slack", [0.0005, 0.2]),
    slack("attachment.slack", [0.001, 0.25]),
    spring("attachment.shoe_spring", [5.0, 2000.0]),
    spring("attachment.screw_spring", [5.0, 2000.0]),
    share("attachment.screw_push_share", 1.5, [0.1, 1.2]),
    spring("attachment.drive_spring", [3.0, 1500.0]),
    length("attachment.guide_travel", [2.5, 60.0]),
    Bounds::new(
        "attachment.steepest",
        INCH_PER_FOOT,
        [0.05, 60.0],
        [0.75, 10.0],
        "no guide swings that little, and none so far",
    )
    .from(MEMORY),
    length("attachment.guide_end", [1.5, 60.0]),
    Bounds::new(
        "attachment.setting_error",
        INCH_PER_FOOT,
        [1e-7, 2.0],
        [0.0003, 0.1],
        ERROR,
    )
    .or_nothing(),
    error("attachment.guide_bow", 0.5, [0.00003, 0.03]),
    error("attachment.wear_headstock_end", 2.0, [0.0002, 0.1]),
    error("attachment.wear_tailstock_end", 2.0, [0.0002, 0.1]),
    force("slide.drag", [1.5, 200.0]).from(MEMORY),
    force("slide.gib_drag", [0.5, 150.0]),
    Bounds::new("slide.breakaway", 1.0, [1.0, 20.0], [1.0, 4.0], SHARE),
    force("slide.weight", [4.0, 300.0]).from(MEMORY),
    share("slide.friction", 1.5, [0.02, 0.5]).from(MEMORY),
    share("slide.side_friction", 1.5, [0.02, 0.5]),
    Bounds::new("slide.overhang", 1.0, [1.0, 20.0], [1.0, 4.0], SHARE),
    share("slide.drag_left_cutting", 1.5, [0.05, 1.2]),
    share("slide.drag_change", 1.5, [0.005, 1.0]),
    slack("slide.gib_slack", [0.0001, 0.05]),
    length("slide.gib_length", [1.5, 40.0]),
    length("slide.travel", [1.0, 60.0]),
    slack("top_slide.slack", [0.0002, 0.1]),
    spring("top_slide.spring", [5.0, 2000.0]),
    length("top_slide.travel", [0.75, 24.0]),
    Bounds::new(
        "top_slide.graduation",
        DEGREE,
        [1e-4, 30.0],
        [0.01, 1.5],
        ERROR,
    )
    .or_nothing(),
    error("top_slide.setting", 0.5, [0.00003, 0.02]),
    slack("top_slide.gib_slack", [0.00005, 0.03]),
    share("top_slide.hand_feed", 1.5, [0.02, 1.0]),
    spring("spindle.spring", [10.0, 6000.0]),
    Bounds::new(
        "spindle.out_of_line",
        INCH_PER_FOOT,
        [1e-7, 2.0],
        [0.00005, 0.05],
        ERROR,
    )
    .or_nothing(),
    error("carriage.rock", 0.5, [0.00002, 0.01]),
    spring("tailstock.spring", [5.0, 3000.0]),
    length("tailstock.setover", [0.1, 3.0]),
    error("tailstock.setover_error", 1.0, [0.00005, 0.05]),
    error("tailstock.centre_height", 4.0, [0.0005, 1.0]),
    error("tailstock.seating", 2.0, [0.001, 0.5]),
    length("tailstock.offset_centre", [0.05, 3.0]),
    Bounds::new(
        "readout.step",
        INCH,
        [1e-7, 0.2],
        [0.000_003, 0.005],
        "no dial or readout has such steps",
    )
    .or_nothing()
    .from(MEMORY),
];
