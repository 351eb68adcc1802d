//! A small and a large ball dropped in turn into a tapered bore, mouth up.
//!
//! Depth is from the face of the mouth down to the top of the ball, negative when the ball stands
//! proud; the centre of a ball of radius `q` and depth `h` is at `z = h + q`. A ball in a cone of
//! half angle `a` has its centre `q / sin a` above the apex, so
//! `sin a = (R - r) / (z_small - z_large)`, and the mouth is
//! `D = 2 (z tan a + q / cos a)` by either ball (the large one is used: its leverage is less).
//! Source: geometry of a circle between two lines; the same formula stands in books of
//! gauge-making (from memory). Both balls must touch below the mouth, at `z + q sin a > 0`.

use crate::arithmetic::{asin, atan, cos, sin, tan};

use schemars::JsonSchema;
use serde::Serialize;

use super::{Found, Gauged, Refusal, carried, positive};

/// Depths of two balls.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Balls {
    /// Diameter of the small ball, m.
    pub small: Gauged,
    /// Down to its top, m.
    pub small_depth: Gauged,
    /// Diameter of the large ball, m.
    pub large: Gauged,
    /// Down to its top, m; negative when it stands proud.
    pub large_depth: Gauged,
}

/// Depth of one ball, the taper being known.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct OneBall {
    /// Diameter, m.
    pub ball: Gauged,
    /// Down to its top, m; negative when it stands proud.
    pub depth: Gauged,
    /// Taper on diameter.
    pub taper: Gauged,
}

/// What the balls say.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Bore {
    /// On diameter.
    pub taper: Found,
    /// Angle of one side, rad.
    pub half_angle: Found,
    /// Diameter of the mouth, m.
    pub mouth: Found,
}

fn mouth(half_angle: f64, radius: f64, depth: f64) -> f64 {
    2.0 * ((depth + radius) * tan(half_angle) + radius / cos(half_angle))
}

fn below_mouth(
    about: &'static str,
    half_angle: f64,
    radius: f64,
    depth: f64,
) -> Result<(), Refusal> {
    if depth + radius + radius * sin(half_angle) > 0.0 {
        Ok(())
    } else {
        Err(Refusal::new(
            about,
            "this ball would rest on the edge of the mouth, not on the taper",
            "use a smaller ball",
        ))
    }
}

impl Balls {
    /// The sum.
    ///
    /// # Errors
    /// When a number is not positive, or no cone holds the balls so.
    pub fn sum(&self) -> Result<Bore, Refusal> {
        positive("small ball", self.small)?;
        positive("large ball", self.large)?;
        if self.large.value <= self.small.value {
            return Err(Refusal::new(
                "large ball",
                "the large ball is no larger than the small one",
                "swap the two, or use balls further apart in size",
            ));
        }
        let half_angle = |[small, small_depth, large, large_depth]: [f64; 4]| {
            let centres = (small_depth + small / 2.0) - (large_depth + large / 2.0);
            let sine = (large - small) / 2.0 / centres;
            if centres > 0.0 && sine < 1.0 {
                asin(sine)
            } else {
                f64::NAN
            }
        };
        let inputs = [
            ("small ball", self.small),
            ("depth of the small ball", self.small_depth),
            ("large ball", self.large),
            ("depth of the large ball", self.large_depth),
        ];
        let angle = half_angle(inputs.map(|(_, measured)| measured.value));
        if angle.is_nan() {
            return Err(Refusal::new(
                "depth of the small ball",
                "no taper that opens to the mouth holds these balls at these depths",
                "measure both depths from the face of the mouth, the big end, down to the top of \
                 each ball; a ball that stands proud has a negative depth",
            ));
        }
        for (about, ball, depth) in [
            ("large ball", self.large, self.large_depth),
            ("small ball", self.small, self.small_depth),
        ] {
            below_mouth(about, angle, ball.value / 2.0, depth.value)?;
        }
        Ok(Bore {
            taper: carried(inputs, |at| 2.0 * tan(half_angle(at)))?,
            half_angle: carried(inputs, half_angle)?,
            mouth: carried(inputs, |at| mouth(half_angle(at), at[2] / 2.0, at[3]))?,
        })
    }
}

impl OneBall {
    /// Diameter of the mouth, m.
    ///
    /// # Errors
    /// When a number is not positive, or the ball would rest on the edge.
    pub fn mouth(&self) -> Result<Found, Refusal> {
        positive("ball", self.ball)?;
        positive("taper", self.taper)?;
        let angle = atan(self.taper.value / 2.0);
        below_mouth("ball", angle, self.ball.value / 2.0, self.depth.value)?;
        carried(
            [
                ("ball", self.ball),
                ("depth", self.depth),
                ("taper", self.taper),
            ],
            |[ball, depth, taper]| mouth(atan(taper / 2.0), ball / 2.0, depth),
        )
    }
}
