//! A spindle out of line with the bed: a plain taper, whatever makes the tool's path.
//!
//! Work held in the chuck alone turns about the spindle's own line. Where that leans toward the
//! operator by `e` for a length along the bed, a tool in front that runs along the bed comes nearer
//! to it by as much and one behind goes away: `dn/dZ = -inward * side * e`, with `2 e` the taper
//! that a straight cut shows (big at the headstock is positive). No reading of the slide against
//! the carriage sees it. Between centres the work turns about the line of the centres, and beside a
//! chuck a centre holds the free end where it stands: neither counts here.

use crate::scenario::{Holding, Lathe, Work};
use crate::setup::Setup;

/// Change of radius along `+Z` that a straight cut by a tool in front shows.
pub fn lean(lathe: &Lathe, work: &Work) -> f64 {
    match work.holding {
        Holding::Chuck => -lathe.spindle.out_of_line.middle.slope(),
        Holding::ChuckAndCentre | Holding::Centres => 0.0,
    }
}

/// The same as a rise of the tool's path along `+Z`, along `n`.
pub fn rise(lathe: &Lathe, work: &Work, setup: &Setup) -> f64 {
    setup.inward() * setup.side.sign() * lean(lathe, work)
}
