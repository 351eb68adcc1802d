//! The groove's profile: triangle on a cone, depth, width and area.
//!
//! Depth `t` counts along `n` from the cone over the crests, square to the axis. The tool's width
//! at `t` over its tip is `w + t (tan phi1 + tan phi2)`, `w` the root's flat; a round root is the
//! arc up to where it runs into the flanks, and beyond it the flat that would come to the same.

use schemars::JsonSchema;
use serde::Serialize;

use super::thread::{Root, ThreadCut, ThreadForm};
use crate::arithmetic::{acos, clamp, max, min, sin_cos};
use crate::setup::{End, Setup};

/// Height of the sharp triangle of a thread on a cone, m, square to the axis.
///
/// Between two crests a pitch apart, the further one higher by `rise` a unit of length toward the
/// big end (for inside work lower: negative), the groove's walls go down with `tan_big` from the
/// first, facing the big end, and with `tan_small` from the second, and meet at
/// `P (1 - rise tan_small)(1 + rise tan_big) / (tan_big + tan_small)`. Closed form; for equal
/// flanks `P/2 (cot phi - rise^2 tan phi)`, as ASME B1.20.1 has it.
pub fn triangle_height(pitch: f64, tan_small: f64, tan_big: f64, rise: f64) -> f64 {
    pitch * (1.0 - rise * tan_small) * (1.0 + rise * tan_big) / (tan_small + tan_big)
}

/// One flank of the tool.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Flank {
    /// From square to the axis, rad.
    pub angle: f64,
    /// Its tangent.
    pub tan: f64,
    /// Its sine.
    pub sin: f64,
    /// Its cosine.
    pub cos: f64,
}

impl Flank {
    /// At this angle from square to the axis, rad.
    pub fn new(angle: f64) -> Self {
        let (sin, cos) = sin_cos(angle);
        Self {
            angle,
            tan: sin / cos,
            sin,
            cos,
        }
    }
}

/// A thread's groove and the tool that makes it, for one direction of feed.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Profile {
    /// Pitch along the axis, m.
    pub pitch: f64,
    /// Height of the sharp triangle, m.
    pub triangle: f64,
    /// What the root takes off the triangle, m.
    pub root_off: f64,
    /// Depth to be cut, m.
    pub depth: f64,
    /// The edge that goes ahead with the feed.
    pub leading: Flank,
    /// The one that follows.
    pub trailing: Flank,
    /// The tip.
    pub root: Tip,
}

/// The tool's tip, m.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Tip {
    /// Flat of this width.
    Flat(f64),
    /// Round of this radius.
    Round(f64),
}

impl Profile {
    /// The groove of a job's thread on a cone of this slope (per side, without sign), for one way
    /// of cutting it.
    pub fn new(cut: &ThreadCut, setup: &Setup, slope: f64) -> Self {
        let form = &cut.form;
        let pitch = cut.lead.si();
        let small = Flank::new(si(form.small_end_flank));
        let big = Flank::new(si(form.big_end_flank));
        let rise = -setup.inward() * slope;
        let triangle = triangle_height(pitch, small.tan, big.tan, rise);
        let (root, root_off) = root(form, small, big, triangle / pitch);
        let by_form = triangle * (1.0 - si(form.crest_flat) / pitch) - root_off;
        // The leading edge cuts the wall ahead, which looks back at the feed.
        let toward_big = match setup.big_end {
            End::Headstock => setup.feed.sign() < 0.0,
            End::Tailstock => setup.feed.sign() > 0.0,
        };
        let (leading, trailing) = if toward_big {
            (small, big)
        } else {
            (big, small)
        };
        Self {
            pitch,
            triangle,
            root_off,
            depth: cut.depth.map_or(by_form, si),
            leading,
            trailing,
            root,
        }
    }

    /// Flat left on the crests by a groove of this depth, m; negative where they are cut away.
    pub fn crest_flat(&self, depth: f64) -> f64 {
        self.pitch * (1.0 - (depth + self.root_off) / self.triangle)
    }

    /// Width of the tip at a depth above it, beyond what the flanks make of it, and its slope.
    pub fn tip(&self, t: f64) -> (f64, f64) {
        match self.root {
            Tip::Flat(width) => (width, 0.0),
            Tip::Round(radius) => {
                let (mut width, mut slope) = (0.0, 0.0);
                for flank in [self.leading, self.trailing] {
                    let ends = radius * (1.0 - flank.sin);
                    let at = clamp(t, 1e-4 * ends, ends);
                    let half = (at * (2.0 * radius - at)).sqrt();
                    width += half - at * flank.tan;
                    if t < ends {
                        slope += (radius - at) / half - flank.tan;
                    }
                }
                (width, slope)
            }
        }
    }

    /// Area of the groove down to a depth, m2: `w t + t^2 (tan phi1 + tan phi2) / 2`.
    pub fn area(&self, t: f64) -> f64 {
        let t = max(t, 0.0);
        let side = |flank: Flank| {
            let triangle = 0.5 * t * t * flank.tan;
            match self.root {
                Tip::Flat(width) => 0.5 * width * t + triangle,
                Tip::Round(radius) => {
                    let ends = radius * (1.0 - flank.sin);
                    let within = min(t, ends);
                    let half = (within * (2.0 * radius - within)).sqrt();
                    let turned = acos(1.0 - within / radius);
                    let arc = 0.5 * (radius * radius * turned - (radius - within) * half);
                    let above = t - within;
                    arc + above * half + 0.5 * above * above * flank.tan
                }
            }
        };
        side(self.leading) + side(self.trailing)
    }

    /// Depth down to which the groove has this area, m.
    pub fn depth_of(&self, area: f64) -> f64 {
        let (mut low, mut high) = (0.0, 2.0 * self.triangle);
        for _ in 0..80 {
            let middle = 0.5 * (low + high);
            if self.area(middle) < area {
                low = middle;
            } else {
                high = middle;
            }
        }
        0.5 * (low + high)
    }

    /// Half of the tool's width where it meets the crests, m.
    pub fn half_width(&self) -> f64 {
        let (tip, _) = self.tip(self.depth);
        0.5 * (tip + self.depth * (self.leading.tan + self.trailing.tan))
    }
}

/// The tip and what it takes off the sharp triangle. A flat lies along the cone, so that it takes
/// off its share of the pitch; a round touches both flanks.
fn root(form: &ThreadForm, small: Flank, big: Flank, height_over_pitch: f64) -> (Tip, f64) {
    match form.root {
        Root::Flat(width) => (Tip::Flat(si(width)), height_over_pitch * si(width)),
        Root::Round(radius) => {
            let radius = si(radius);
            let centre = radius * (1.0 / small.cos + 1.0 / big.cos) / (small.tan + big.tan);
            (Tip::Round(radius), centre - radius)
        }
    }
}

fn si<Q: crate::quantity::Quantity>(quantity: Q) -> f64 {
    quantity.si()
}
