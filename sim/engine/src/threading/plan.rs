//! The passes of a thread: dial, depth and area of each.

use schemars::JsonSchema;
use serde::Serialize;

use crate::arithmetic::clamp;
use crate::quantity::{INCH, Quantity};
use crate::scenario::groove::Profile;
use crate::scenario::{PassPlan, ThreadCut};

/// A first pass no deeper than this where nobody said how many, m (0.010 in; common practice, no
/// source).
const FIRST: f64 = 0.010 * INCH;
/// Most passes that are planned.
const MOST: u32 = 60;

/// One pass to be made.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct PassSet {
    /// What is set for it, along n, m; 0 for a spring pass.
    pub set: f64,
    /// Depth on the dial, all passes to this one, m.
    pub dial: f64,
    /// Area of chip it takes if the tool goes where the dial says, m2.
    pub area: f64,
    /// The dial is left alone.
    pub spring: bool,
}

/// The passes as given, or of one area each.
pub fn passes(profile: &Profile, cut: &ThreadCut) -> Vec<PassSet> {
    let depths = match &cut.plan {
        PassPlan::Depths(each) => {
            let mut dial = 0.0;
            each.iter()
                .map(|set| {
                    dial += set.si();
                    dial
                })
                .collect()
        }
        PassPlan::ConstantArea(count) => {
            constant_area(profile, count.unwrap_or_else(|| enough(profile)))
        }
    };
    let mut before = 0.0;
    let mut all: Vec<PassSet> = depths
        .into_iter()
        .map(|dial| {
            let pass = PassSet {
                set: dial - before,
                dial,
                area: profile.area(dial) - profile.area(before),
                spring: false,
            };
            before = dial;
            pass
        })
        .collect();
    all.extend((0..cut.spring).map(|_| PassSet {
        set: 0.0,
        dial: before,
        area: 0.0,
        spring: true,
    }));
    all
}

/// Depths after each of `count` passes that take the same area.
pub fn constant_area(profile: &Profile, count: u32) -> Vec<f64> {
    let whole = profile.area(profile.depth);
    (1..=count)
        .map(|n| {
            if n == count {
                profile.depth
            } else {
                profile.depth_of(whole * f64::from(n) / f64::from(count))
            }
        })
        .collect()
}

/// As many passes of one area as keep the first one light.
fn enough(profile: &Profile) -> u32 {
    let whole = profile.area(profile.depth);
    let first = profile.area(FIRST);
    let count = (whole / first - 1e-9).ceil();
    (clamp(count, 1.0, f64::from(MOST))) as u32
}
