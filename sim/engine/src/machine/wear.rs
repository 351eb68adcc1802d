//! Slack that changes along the guide: a bar is worn most where it was used most.
//!
//! Three places were measured, middle and both ends of the usable travel, and a parabola goes
//! through them; as with the guide's bow, the middle of the travel stands at the middle of the taper.
//! What changes along the guide moves the face that carries by half of it. The screw's wear goes by
//! the dial: along one pass it stands still, and is no part of this.

use crate::lanes::Lanes;
use crate::quantity::Length;
use crate::scenario::{Attachment, Known};

/// How much more slack there is than in the middle of the guide.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wear<P = f64> {
    /// Growth along `+Z` at the middle, a ratio.
    slope: P,
    /// Half of its curvature, 1/m.
    bend: P,
}

impl Wear {
    /// Of this bar; none where nobody measured three places.
    pub fn new(attachment: &Attachment) -> Self {
        let half = 0.5 * attachment.guide_travel.si();
        let more = |end: Option<Known<Length>>| end.map_or(0.0, |end| end.si());
        let headstock = more(attachment.wear_headstock_end);
        let tailstock = more(attachment.wear_tailstock_end);
        Self {
            slope: 0.5 * (tailstock - headstock) / half,
            bend: 0.5 * (tailstock + headstock) / (half * half),
        }
    }

    /// Those of several lathes, each a lane.
    pub fn gather<R: Lanes>(wear: impl Fn(usize) -> Self) -> Wear<R> {
        Wear {
            slope: R::gather(|lane| wear(lane).slope),
            bend: R::gather(|lane| wear(lane).bend),
        }
    }
}

impl<P: Lanes> Wear<P> {
    /// So far along `+Z` from the middle of the travel, m.
    pub fn more_at(&self, from_middle: f64) -> P {
        self.slope * P::splat(from_middle) + self.bend * P::splat(from_middle * from_middle)
    }
}
