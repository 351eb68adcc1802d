//! A spindle out of line with the bed: a plain taper, whatever makes the tool's path.
//!
//! Work held in the chuck alone turns about the spindle's own line. Where that leans toward the
//! operator by `e` for a length along the bed, a tool in front that runs along the bed comes nearer
//! to it by as much and one behind goes away: `dn/dZ = -inward * side * e`, with `2 e` the taper
//! that a straight cut shows (big at the headstock is positive). No reading of the slide against
//! the carriage sees it. Between centres the work turns about the line of the centres, and beside a
//! chuck a centre holds the free end where it stands: neither counts here.
//!
//! A steady rest that holds its band `e` off the spindle's line, toward the operator, leans the work
//! in the same way: by `e` on the way from the jaws to the rest, and back on the way from there to a
//! centre. The work is taken as straight between them, which is most of it: a chuck that grips so
//! long that it bends instead leans it less near the jaws and more at the rest.

use crate::quantity::Quantity;
use crate::scenario::{Holding, Lathe, Work};
use crate::setup::Setup;

/// Change of radius along `+Z` that a straight cut by a tool in front shows.
pub fn lean(lathe: &Lathe, work: &Work) -> f64 {
    let spindle = match work.holding {
        Holding::Chuck => -lathe.spindle.out_of_line.middle.slope(),
        Holding::ChuckAndCentre | Holding::Centres => 0.0,
    };
    spindle + rest(work)
}

/// What a steady rest off the line adds to it.
pub fn rest(work: &Work) -> f64 {
    let Some(steady) = &work.steady else {
        return 0.0;
    };
    let (at, off) = (steady.at.si(), steady.set.si());
    let (from, end) = (
        work.from_jaws.si(),
        work.from_jaws.si() + work.length.si() + work.beyond.si(),
    );
    match work.holding {
        Holding::ChuckAndCentre | Holding::Centres if at <= from => off / (end - at),
        _ => -off / at,
    }
}

/// The same as a rise of the tool's path along `+Z`, along `n`.
pub fn rise(lathe: &Lathe, work: &Work, setup: &Setup) -> f64 {
    setup.inward() * setup.side.sign() * lean(lathe, work)
}
