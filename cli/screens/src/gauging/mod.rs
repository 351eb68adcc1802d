//! The gauging sums, each with what the gauges leave open.

mod asked;
mod units;
mod page;
mod blue;
mod cones;
mod standoff;

use tautway_sim::gauging::Refusal;
use tautway_sim::quantity::Units;

pub use asked::{Balls, Bears, Blue, Diameters, Rolls, Standoff, Sum};
pub use page::{Page, Sum as Gives};

/// Does a sum, in the units asked for or else in those typed.
///
/// # Errors
/// When no cone could have given the numbers.
pub fn answer(sum: &Sum, units: Option<Units>) -> Result<Page, Refusal> {
    match sum {
        Sum::Standoff(args) => standoff::answer(args, units),
        Sum::Blue(args) => blue::answer(args, units),
        Sum::Rolls(args) => cones::rolls(args, units),
        Sum::Balls(args) => cones::balls(args, units),
        Sum::Diameters(args) => cones::diameters(args, units),
    }
}
