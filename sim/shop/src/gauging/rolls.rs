//! Two equal rolls at two heights against an outside taper that stands on a plate.
//!
//! The work stands on one end; the rolls lie on the plate or on equal stacks of blocks, one each
//! side, and a mike goes over both. With `a` the half angle, plus when the cone opens upward, a
//! roll of diameter `d` on blocks of height `H` touches where
//! `M(H) = D0 + 2 H tan a + d (1 + tan(45 deg + a / 2))`, `D0` the cone's diameter at the plate.
//! Two heights give `tan a = (M2 - M1) / (2 (H2 - H1))`, whatever the rolls' diameter.
//! Source: geometry of a circle that touches a line and the plate; the same formula stands in
//! books of gauge-making with `cot` of the complement (from memory).
//! `D0` is that of the cone carried on to the plate: a chamfer there is not seen.

use crate::arithmetic::{atan, hypot};

use schemars::JsonSchema;
use serde::Serialize;

use super::{Found, Gauged, Refusal, carried, positive};

/// Measures over the rolls at two heights.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Rolls {
    /// Diameter of either roll, m.
    pub roll: Gauged,
    /// Over the rolls at the lower height, m.
    pub low: Gauged,
    /// Blocks at the lower height, m; exactly zero on the plate itself.
    pub low_blocks: Gauged,
    /// Over the rolls at the upper height, m.
    pub high: Gauged,
    /// Blocks at the upper height, m.
    pub high_blocks: Gauged,
    /// From the plate to the upper end of the taper, m, if the diameter there is wanted.
    pub length: Option<Gauged>,
}

/// One measure over the rolls, the taper being known.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct OnePairOfRolls {
    /// Diameter of either roll, m.
    pub roll: Gauged,
    /// Over the rolls, m.
    pub over: Gauged,
    /// Blocks under them, m.
    pub blocks: Gauged,
    /// Taper on diameter, without sign.
    pub taper: Gauged,
    /// The big end stands upward.
    pub big_end_up: bool,
    /// From the plate to the upper end, m.
    pub length: Option<Gauged>,
}

/// What the rolls say.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Plug {
    /// On diameter, without sign.
    pub taper: Found,
    /// Angle of one side, rad, without sign.
    pub half_angle: Found,
    /// The big end stands upward.
    pub big_end_up: bool,
    /// At the plate, m.
    pub at_plate: Found,
    /// At the upper end, m.
    pub at_top: Option<Found>,
}

/// `M - D0` for a roll on blocks, by the tangent of the half angle.
fn over_plate(tangent: f64, roll: f64, blocks: f64) -> f64 {
    // tan(45 deg + a/2) = (1 + sin a) / cos a = sec a + tan a.
    2.0 * blocks * tangent + roll * (1.0 + hypot(tangent, 1.0) + tangent)
}

fn not_below_the_plate(about: &'static str, blocks: Gauged) -> Result<(), Refusal> {
    if blocks.value < 0.0 {
        return Err(Refusal::new(
            about,
            format!("the {about} can't be less than nothing"),
            "leave them out where the rolls lie on the plate",
        ));
    }
    Ok(())
}

/// Refuses a roll that would touch above the top of the taper: at `H + d/2 (1 + sin a)`.
fn touches(
    tangent: f64,
    roll: Gauged,
    blocks: Gauged,
    length: Option<Gauged>,
) -> Result<(), Refusal> {
    let sine = tangent / hypot(tangent, 1.0);
    let height = blocks.value + roll.value / 2.0 * (1.0 + sine);
    match length {
        Some(length) if height > length.value => Err(Refusal::new(
            "blocks",
            "so high the rolls would touch above the upper end of the taper",
            "use lower blocks or smaller rolls, or check the length",
        )),
        _ => Ok(()),
    }
}

impl Rolls {
    /// The sum.
    ///
    /// # Errors
    /// When a number is not positive, the heights are the wrong way round, or the rolls would
    /// miss the taper.
    pub fn sum(&self) -> Result<Plug, Refusal> {
        positive("roll", self.roll)?;
        positive("measure over the rolls", self.low)?;
        positive("measure over the raised rolls", self.high)?;
        if let Some(length) = self.length {
            positive("length", length)?;
        }
        not_below_the_plate("lower blocks", self.low_blocks)?;
        if self.high_blocks.value <= self.low_blocks.value {
            return Err(Refusal::new(
                "blocks",
                "the second measure must be over rolls that stand higher than at the first",
                "give the height of the blocks under the raised rolls",
            ));
        }
        let tangent = |low: f64, low_blocks: f64, high: f64, high_blocks: f64| {
            if high_blocks > low_blocks {
                (high - low) / (2.0 * (high_blocks - low_blocks))
            } else {
                f64::NAN
            }
        };
        let signed = tangent(
            self.low.value,
            self.low_blocks.value,
            self.high.value,
            self.high_blocks.value,
        );
        touches(signed, self.roll, self.high_blocks, self.length)?;
        let sense = if signed < 0.0 { -1.0 } else { 1.0 };
        let inputs = [
            ("roll", self.roll),
            ("measure over the rolls", self.low),
            ("lower blocks", self.low_blocks),
            ("measure over the raised rolls", self.high),
            ("blocks", self.high_blocks),
            ("length", self.length.unwrap_or(Gauged::exact(0.0))),
        ];
        let at_height = move |[roll, low, lb, high, hb, length]: [f64; 6]| {
            let tangent = tangent(low, lb, high, hb);
            low - over_plate(tangent, roll, lb) + 2.0 * length * tangent
        };
        Ok(Plug {
            taper: carried(inputs, |[_, low, lb, high, hb, _]| {
                2.0 * sense * tangent(low, lb, high, hb)
            })?,
            half_angle: carried(inputs, |[_, low, lb, high, hb, _]| {
                sense * atan(tangent(low, lb, high, hb))
            })?,
            big_end_up: signed >= 0.0,
            at_plate: carried(inputs, |[roll, low, lb, high, hb, _]| {
                at_height([roll, low, lb, high, hb, 0.0])
            })?,
            at_top: match self.length {
                Some(_) => Some(carried(inputs, at_height)?),
                None => None,
            },
        })
    }
}

impl OnePairOfRolls {
    /// Diameter at the plate, and at the upper end where the length is known, m.
    ///
    /// # Errors
    /// When a number is not positive or the rolls would miss the taper.
    pub fn sum(&self) -> Result<(Found, Option<Found>), Refusal> {
        positive("roll", self.roll)?;
        positive("measure over the rolls", self.over)?;
        positive("taper", self.taper)?;
        not_below_the_plate("blocks", self.blocks)?;
        if let Some(length) = self.length {
            positive("length", length)?;
        }
        let sense = if self.big_end_up { 0.5 } else { -0.5 };
        touches(
            sense * self.taper.value,
            self.roll,
            self.blocks,
            self.length,
        )?;
        let inputs = [
            ("roll", self.roll),
            ("measure over the rolls", self.over),
            ("blocks", self.blocks),
            ("taper", self.taper),
            ("length", self.length.unwrap_or(Gauged::exact(0.0))),
        ];
        let at_height = |[roll, over, blocks, taper, length]: [f64; 5]| {
            let tangent = sense * taper;
            over - over_plate(tangent, roll, blocks) + 2.0 * length * tangent
        };
        let at_plate = carried(inputs, |[roll, over, blocks, taper, _]| {
            at_height([roll, over, blocks, taper, 0.0])
        })?;
        let at_top = match self.length {
            Some(_) => Some(carried(inputs, at_height)?),
            None => None,
        };
        Ok((at_plate, at_top))
    }
}
