//! What of the drawing stands in the way: by how much wider a tolerance would bring it in reach.

use schemars::JsonSchema;
use serde::Serialize;

use crate::expect::{Asked, Expect, Limits, Share, chance_of, reach_of};
use crate::scenario::Work;

/// Tolerances tried, as multiples of the drawing's.
const WIDER: [f64; 5] = [1.5, 2.0, 3.0, 4.0, 6.0];

/// A tolerance to ask for.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Ask {
    /// Of what.
    pub of: Asked,
    /// Its width as a multiple of the drawing's.
    pub times: f64,
    /// From here ...
    pub low: f64,
    /// ... to here: size error into the work, m per side; taper on diameter; the waves, m.
    pub high: f64,
    /// In tolerance then.
    pub met: Share,
}

/// The least wider tolerance of what decides that brings the drawing in reach; none where it is, or
/// where none does.
pub fn asked(expect: &Expect, work: &Work) -> Option<Ask> {
    if expect.verdict.is_reached() {
        return None;
    }
    let of = expect.decided_by?;
    let limits = Limits::new(work);
    let wider = |[low, high]: [f64; 2], times: f64| {
        let more = 0.5 * (times - 1.0) * (high - low);
        [low - more, high + more]
    };
    WIDER.into_iter().find_map(|times| {
        let mut then = limits;
        let [low, high] = match of {
            Asked::Size => {
                then.size = wider(limits.size, times);
                then.size
            }
            Asked::Taper => {
                then.taper = wider(limits.taper, times);
                then.taper
            }
            Asked::Finish => {
                let waves = limits.waves? * times;
                then.waves = Some(waves);
                [0.0, waves]
            }
        };
        let ends = expect.pieces.iter().map(|piece| piece.end(expect.gauged));
        let count = ends.filter(|end| then.met(end)).count() as u64;
        let met = chance_of(count, expect.lathes);
        reach_of(expect, met).is_reached().then_some(Ask {
            of,
            times,
            low,
            high,
            met,
        })
    })
}
