//! Wordings that more than one file of a person may use.

use super::section::Words;
use crate::quantity::Units;
use crate::scenario::readings::Reads;
use crate::setup::{End, Feed};

pub(crate) const UNITS: &Words<Units> = &[
    (&["inch", "inches", "in", "imperial"], Units::Inch),
    (&["metric", "mm", "millimetre"], Units::Metric),
];

/// What the numbers of the slide mean.
pub(super) const READS: &Words<Reads> = &[
    (&["diameter", "on diameter"], Reads::Diameter),
    (&["radius", "on radius", "per side"], Reads::Radius),
    (&["indicator", "dial indicator"], Reads::Indicator),
];

/// Where the carriage was going.
pub(super) const DIRECTION: &Words<Feed> = &[
    (
        &[
            "headstock",
            "toward the headstock",
            "to the headstock",
            "toward headstock",
            "chuck",
            "toward the chuck",
            "head",
        ],
        Feed::Headstock,
    ),
    (
        &[
            "tailstock",
            "toward the tailstock",
            "to the tailstock",
            "toward tailstock",
            "tail",
        ],
        Feed::Tailstock,
    ),
];

pub(crate) const BIG_END: &Words<End> = &[
    (
        &[
            "headstock",
            "toward the headstock",
            "at the headstock",
            "headstock end",
            "chuck",
            "chuck end",
        ],
        End::Headstock,
    ),
    (
        &[
            "tailstock",
            "toward the tailstock",
            "at the tailstock",
            "tailstock end",
        ],
        End::Tailstock,
    ),
];
