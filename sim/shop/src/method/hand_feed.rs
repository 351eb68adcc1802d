//! The feed by hand: uneven from turn to turn, so that the chip and its push-off change.
//!
//! The feed per turn is its mean times `1 + v`, `v` a random field along the side, of its own
//! stream: the push-off follows as `(1 + v)^(1 - mc)`, feed marks as the square. Places of the
//! turns stay those of the mean feed.

use crate::arithmetic::{powf, powi};
use crate::cut::Operation;
use crate::scenario::Scenario;
use crate::unevenness::hand_feed;

/// The same cut with the chip of a hand's feed: this standard deviation of it over the mean.
pub(super) fn uneven<'a>(
    operation: Operation<'a>,
    scenario: &Scenario,
    deviation: f64,
    seed: u64,
) -> Operation<'a> {
    if deviation <= 0.0 {
        return operation;
    }
    let (spacing, feed) = hand_feed(seed, deviation, operation.length());
    let power = 1.0 - scenario.job.cutting.exponent;
    let force: Vec<f64> = feed.iter().map(|v| powf(1.0 + v, power)).collect();
    operation.times(spacing, &force)
}

/// By how much roughness Ra and Rz grow: the mean of the square, and the square of what is hardly
/// ever passed in five lengths of a trace.
pub(super) fn marks(deviation: f64) -> [f64; 2] {
    [1.0 + deviation * deviation, powi(1.0 + deviation, 2)]
}
