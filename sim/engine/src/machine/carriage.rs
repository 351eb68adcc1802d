//! The carriage turning in its own clearance on the bed.
//!
//! Pushed at one end or the other, by the feed or by the cut, it yaws: what an indicator on the tool
//! post shows of it grows with the overhang from the middle of the carriage. The number is how far
//! the post then stands from where it stood when the tool was touched off, toward the operator while
//! the feed goes toward the headstock and away while it goes toward the tailstock. It shifts every
//! pass alike, so it is size that it costs, whatever makes the taper.

use crate::quantity::{INCH, Quantity};
use crate::scenario::{Bar, Lathe, Toward};
use crate::setup::Setup;

/// From the middle of the carriage's bearing on the bed to the tool post, along the bed, m (4 in, a
/// guess).
const POST: f64 = 4.0 * INCH;

/// How many times the post's movement the tip's is: a bar stands out beyond the post.
pub fn overhang(bar: Option<&Bar>) -> f64 {
    bar.map_or(1.0, |bar| 1.0 + bar.stick_out.si() / POST)
}

/// How much further into the cut the tip stands than at the touch-off, m.
pub fn rock(lathe: &Lathe, bar: Option<&Bar>, setup: &Setup) -> f64 {
    let into = -setup.out_of_cut(Toward::Operator);
    -into * setup.feed.sign() * lathe.carriage.rock.si() * overhang(bar)
}
