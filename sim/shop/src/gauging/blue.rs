//! Blue: which end of the taper bears, and so which way and how far to nudge the guide.
//!
//! A gauge of the right taper that bears at one end only says whether the work is steeper or
//! shallower than the gauge. A ring on outside work bears first where the work is too big: at the
//! big end if the work is too steep. A plug in a bore bears first where the bore is too small: at
//! the big end if the bore is too shallow. So `steeper = (inward = -1) == (bears at big end)`.
//!
//! How much it is off comes from one of two things. Shake: with one end bearing, the gauge rocks;
//! the whole movement of an indicator at distance `L` from the bearing end is the gap on diameter
//! there, `error = shake / L`. Length of the mark: blue of film thickness `t` shows where the gap
//! per side is under `t`, a wedge of length `b`, `error = 2 t / b`. Source: similar triangles.
//!
//! The guide imposes `dX/dZ = guide_lean * T / 2` ([`Setup::guide_lean`]), wherever along X the
//! bar stands, as the slide goes with its shoe. An end of the bar at `R` from its pivot, on the
//! tailstock's side (`e = +1`) or the headstock's (`e = -1`), therefore moves by
//! `e guide_lean R (atan(T_new / 2) - atan(T_old / 2))`, square to the bar, plus toward the
//! operator.

use schemars::JsonSchema;
use serde::Serialize;

use super::{Found, Gauged, Refusal, carried, positive};
use crate::quantity::{Quantity, Taper};
use crate::scenario::{End, Toward};
use crate::setup::Setup;

/// Where the blue came off.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Bearing {
    /// At the big end only.
    Big,
    /// At the small end only.
    Small,
}

/// What tells how far the taper is off.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum BlueSign {
    /// The gauge rocks.
    Shake {
        /// All of the indicator's movement, m.
        total: Gauged,
        /// From the bearing end to the indicator, along the axis, m.
        over: Gauged,
    },
    /// The mark's length.
    Mark {
        /// Length of the mark from the bearing end, m.
        length: Gauged,
        /// Thickness of the blue, m.
        film: Gauged,
    },
}

/// A blued gauge tried on the work.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Blue {
    /// The way the cut was made.
    pub setup: Setup,
    /// The taper wanted, that of the gauge.
    pub wanted: Taper,
    /// Where it bears.
    pub bears: Bearing,
    /// What tells how far off; none when only the direction is asked for.
    pub sign: Option<BlueSign>,
    /// From the guide's pivot to the end that is nudged, m.
    pub guide_end: Gauged,
    /// Which end of the guide is nudged.
    pub end: End,
}

/// What to do to the guide.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Correction {
    /// The work is steeper than the gauge.
    pub steeper: bool,
    /// Which way the guide's end goes.
    pub toward: Toward,
    /// How far.
    pub amount: Option<Amount>,
}

/// How far the taper is off, and the guide's end with it.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Amount {
    /// Work against gauge, on diameter: plus is steeper.
    pub taper_error: Found,
    /// How far the guide's end goes, square to the bar, m; never negative.
    pub nudge: Found,
}

/// Where the indicator of a shake stands.
const FROM_BEARING: &str = "distance from the bearing end to the indicator";

impl Blue {
    /// Whether the work is steeper than the gauge.
    pub fn steeper(&self) -> bool {
        (self.setup.inward() < 0.0) == (self.bears == Bearing::Big)
    }

    /// The correction.
    ///
    /// # Errors
    /// When a length is not positive or its error reaches it.
    pub fn correction(&self) -> Result<Correction, Refusal> {
        positive("taper", Gauged::exact(self.wanted.si()))?;
        positive("guide's end from its pivot", self.guide_end)?;
        let steeper = self.steeper();
        let amount = self.sign.map(|sign| self.amount(sign)).transpose()?;
        // Any taper on the right side of the wanted one tells the way.
        let taken = self.wanted.si() * if steeper { 2.0 } else { 0.5 };
        let way = self.nudge(self.guide_end.value, taken);
        let toward = if way > 0.0 {
            Toward::Operator
        } else {
            Toward::Away
        };
        Ok(Correction {
            steeper,
            toward,
            amount,
        })
    }

    fn nudge(&self, radius: f64, taken: f64) -> f64 {
        guide_nudge(
            &self.setup,
            self.end,
            radius,
            Taper::from_si(taken),
            self.wanted,
        )
    }

    fn amount(&self, sign: BlueSign) -> Result<Amount, Refusal> {
        let sense = if self.steeper() { 1.0 } else { -1.0 };
        let ([over, under], scale) = match sign {
            BlueSign::Shake { total, over } => ([("shake", total), (FROM_BEARING, over)], sense),
            BlueSign::Mark { length, film } => {
                ([("film of blue", film), ("mark", length)], 2.0 * sense)
            }
        };
        positive(over.0, over.1)?;
        positive(under.0, under.1)?;
        let error = |over: f64, under: f64| {
            if under > 0.0 {
                scale * over / under
            } else {
                f64::NAN
            }
        };
        let radius = ("guide's end from its pivot", self.guide_end);
        let mut nudge = carried([over, under, radius], |[over, under, radius]| {
            self.nudge(radius, self.wanted.si() + error(over, under))
        })?;
        nudge.value = nudge.value.abs();
        Ok(Amount {
            taper_error: carried([over, under], |[over, under]| error(over, under))?,
            nudge,
        })
    }
}

/// How far an end of the guide moves, square to the bar, to go from one taper to another, m: plus
/// toward the operator. Both tapers without sign; which end is big is the setup's.
pub fn guide_nudge(setup: &Setup, end: End, radius: f64, from: Taper, to: Taper) -> f64 {
    let end = match end {
        End::Tailstock => 1.0,
        End::Headstock => -1.0,
    };
    end * setup.guide_lean() * radius * (to.half_angle() - from.half_angle())
}

/// Blue over the whole length: the taper error, on diameter and either way, that it can't show,
/// `2 t / L`.
///
/// # Errors
/// When a length is not positive.
pub fn unseen(film: Gauged, length: Gauged) -> Result<Found, Refusal> {
    positive("film of blue", film)?;
    positive("length", length)?;
    carried(
        [("film of blue", film), ("length", length)],
        |[film, length]| {
            if length > 0.0 {
                2.0 * film / length
            } else {
                f64::NAN
            }
        },
    )
}
