//! What is written down of the turns: where the slides came to rest, a sample a turn, and the
//! changes of seat that last.

use crate::lanes::{Eight, Lanes, Layout};
use crate::record::{Seat, SeatChange, TurnSample};

use super::step::{Meridian, Rest, ZERO};

/// Share of the edge in the work from which a turn tells of the cut, not of its ends.
pub(crate) const WHOLE: f64 = 0.995;

/// Turns that a seat must hold before it counts as changed for good.
const FOR_GOOD: usize = 3;

/// Where the slides came to rest at the steps of a turn.
#[derive(Default)]
pub(super) struct Turn {
    /// By block.
    pub(super) rests: Vec<Rest>,
    pub(super) target: Vec<Eight>,
}

/// Means over a turn.
#[derive(Clone, Copy)]
pub(super) struct Sample<L> {
    /// Its middle, m.
    z: f64,
    target: L,
    slide: L,
    edge: L,
    depth: L,
    push_off: L,
    drag: L,
    drive: L,
    /// Slack of the drive here.
    slack: L,
    /// Steps on the first face, on the other, and with the whole edge in the cut.
    first: L,
    other: L,
    whole: L,
}

impl Turn {
    /// Room for so many blocks.
    pub(super) fn begin(&mut self, blocks: usize) {
        self.rests.resize(blocks, Rest::default());
        self.target.resize(blocks, ZERO);
    }

    /// The means over a whole turn about `z`, where the drive has this slack; `hold` is the preload
    /// at height 0 and its growth.
    pub(super) fn means<L: Layout>(
        &self,
        steps: usize,
        meridians: &[Meridian],
        (z, slack): (f64, L),
        hold: (L, L),
    ) -> Sample<L> {
        let one = Eight::splat(1.0);
        let cut = || {
            let met = self.rests.iter().zip(meridians);
            met.map(|(rest, meridian)| (rest.edge - meridian.surface, meridian.inside))
        };
        let count = L::splat(steps as f64);
        let edge = self.sum::<L>(steps, |rest| rest.edge);
        let push_off = self.sum::<L>(steps, |rest| rest.push) - hold.0 * count - hold.1 * edge;
        let in_cut = |(cut, inside): (Eight, Eight)| {
            let so = cut.simd_gt(ZERO) & inside.simd_gt(Eight::splat(WHOLE));
            one.select(so, ZERO)
        };
        Sample {
            z,
            target: L::sum(self.target.iter().copied(), steps) / count,
            slide: self.sum::<L>(steps, |rest| rest.slide) / count,
            edge: edge / count,
            depth: L::sum(cut().map(|(cut, _)| cut.higher(ZERO)), steps) / count,
            push_off: push_off / count,
            drag: self.sum::<L>(steps, |rest| rest.drag) / count,
            drive: self.sum::<L>(steps, |rest| rest.drive) / count,
            first: self.sum::<L>(steps, |rest| one.select(rest.drive.simd_gt(ZERO), ZERO)),
            other: self.sum::<L>(steps, |rest| one.select(rest.drive.simd_lt(ZERO), ZERO)),
            slack,
            whole: L::sum(cut().map(in_cut), steps),
        }
    }

    /// Sum over so many steps.
    #[inline(always)]
    fn sum<L: Layout>(&self, steps: usize, of: impl Fn(&Rest) -> Eight) -> L {
        L::sum(self.rests[..L::blocks(steps)].iter().map(of), steps)
    }

    /// Steps of a turn, or of what there is of it, at which the slide stays.
    pub(super) fn stuck<L: Layout>(&self, steps: usize) -> L {
        self.sum(steps, |rest| {
            Eight::splat(1.0).select(rest.way.simd_eq(ZERO), ZERO)
        })
    }
}

impl<L: Layout> Sample<L> {
    /// One lathe's means over a turn of so many steps.
    pub(super) fn of(&self, series: usize, steps: usize) -> TurnSample {
        let mean = |mean: &L| mean.extract(series);
        let count = |count: L| count.extract(series) as usize;
        let (first, other) = (count(self.first), count(self.other));
        let (middle, slack) = (mean(&self.target), mean(&self.slack));
        TurnSample {
            z: self.z,
            first_face: middle - 0.5 * slack,
            other_face: middle + 0.5 * slack,
            slide: mean(&self.slide),
            edge: mean(&self.edge),
            depth: mean(&self.depth),
            push_off: mean(&self.push_off),
            drag: mean(&self.drag),
            drive: mean(&self.drive),
            seat: Seat::most([first, other, steps - first - other]),
            cutting: count(self.whole) == steps,
        }
    }
}

/// The changes of seat that last, of the turns in which the whole edge cuts: each with its place
/// and its seat.
pub(crate) fn seat_changes(turns: impl Iterator<Item = (f64, Seat)>) -> Vec<SeatChange> {
    let mut changes = Vec::new();
    let mut seat: Option<Seat> = None;
    let mut pending = 0;
    let mut since = 0.0;
    for (z, now) in turns {
        match seat {
            None => seat = Some(now),
            Some(held) if held != now => {
                if pending == 0 {
                    since = z;
                }
                pending += 1;
                if pending == FOR_GOOD {
                    changes.push(SeatChange {
                        z: since,
                        from: held,
                        to: now,
                    });
                    seat = Some(now);
                    pending = 0;
                }
            }
            Some(_) => pending = 0,
        }
    }
    changes
}
