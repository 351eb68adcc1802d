//! What a gauging sum is given.

use tautway_sim::gauging::Gauge;
use tautway_sim::scenario::{End, Kind};
use tautway_sim::setup::Side;

use crate::typed::{TypedLength, TypedTaper};

/// Which sum.
#[derive(Debug)]
pub enum Sum {
    /// Standoff of a ring or plug gauge.
    Standoff(Standoff),
    /// Blue.
    Blue(Blue),
    /// Two equal rolls at two heights.
    Rolls(Rolls),
    /// A small and a large ball in a bore.
    Balls(Balls),
    /// Diameters at two places.
    Diameters(Diameters),
}

/// Where blue came off.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Bears {
    /// At the big end only.
    Big,
    /// At the small end only.
    Small,
    /// All along.
    All,
    /// At both ends and not between, or only between.
    Uneven,
}

/// Standoff.
#[derive(Debug)]
pub struct Standoff {
    /// Taper on diameter, or a standard taper's name.
    pub taper: TypedTaper,
    /// How far the gauge stands off; left out, only the table is given.
    pub read: Option<TypedLength>,
    /// How far it should stand off at size.
    pub at_size: Option<TypedLength>,
    /// A ring on outside work, or a plug in a bore: says whether the work is big or small.
    pub kind: Option<Kind>,
    /// Standoff from row to row of the table.
    pub step: Option<TypedLength>,
}

/// Blue.
#[derive(Debug)]
pub struct Blue {
    /// Taper of the gauge, on diameter, or a standard taper's name.
    pub taper: TypedTaper,
    /// A ring on outside work, or a plug in a bore.
    pub kind: Kind,
    /// The end of the lathe that the big end of the work looks at.
    pub big_end: End,
    /// Where the tool meets the work.
    pub side: Side,
    /// Where the gauge bears.
    pub bears: Bears,
    /// All of an indicator's movement when the gauge is rocked on its bearing end.
    pub shake: Option<TypedLength>,
    /// From the bearing end to the indicator; with --bears all, the length of the taper.
    pub over: Option<TypedLength>,
    /// Length of the mark of blue, from the bearing end.
    pub mark: Option<TypedLength>,
    /// Thickness of the blue.
    pub film: Option<TypedLength>,
    /// From the guide's pivot to the end that is nudged.
    pub guide_end: Option<TypedLength>,
    /// Which end of the guide is nudged.
    pub nudge: End,
}

/// Rolls.
#[derive(Debug)]
pub struct Rolls {
    /// Diameter of either roll.
    pub roll: TypedLength,
    /// Over the rolls at the lower height.
    pub low: TypedLength,
    /// Blocks under them.
    pub low_blocks: Option<TypedLength>,
    /// Over the rolls at the upper height.
    pub high: Option<TypedLength>,
    /// Blocks under them.
    pub high_blocks: Option<TypedLength>,
    /// The taper, where it is known: then one height is enough.
    pub taper: Option<TypedTaper>,
    /// With --taper: the work stands on its small end.
    pub big_end_up: bool,
    /// From the plate to the upper end of the taper, if the diameter there is wanted.
    pub length: Option<TypedLength>,
    /// Taper to hold the result against.
    pub wanted: Option<TypedTaper>,
}

/// Balls.
#[derive(Debug)]
pub struct Balls {
    /// Diameter of the small ball.
    pub small: Option<TypedLength>,
    /// From the face of the mouth down to its top.
    pub small_depth: Option<TypedLength>,
    /// Diameter of the large ball.
    pub large: TypedLength,
    /// From the face of the mouth down to its top; with a minus when it stands proud.
    pub large_depth: TypedLength,
    /// The taper, where it is known: then the large ball alone is enough.
    pub taper: Option<TypedTaper>,
    /// Taper to hold the result against.
    pub wanted: Option<TypedTaper>,
}

/// Diameters.
#[derive(Debug)]
pub struct Diameters {
    /// The bigger diameter.
    pub big: TypedLength,
    /// The smaller diameter.
    pub small: TypedLength,
    /// Between the two places, along the axis.
    pub apart: TypedLength,
    /// Ask for the diameter so far beyond the bigger one (with a minus: toward the smaller).
    pub beyond: Option<TypedLength>,
    /// What the diameters were measured with, where their error is not typed.
    pub gauge: Gauge,
    /// Taper to hold the result against.
    pub wanted: Option<TypedTaper>,
}
