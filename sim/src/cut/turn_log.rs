//! A sample a turn, and the changes of seat that last.

use crate::arithmetic::max;
use crate::lanes::{Four, Lanes, count, sum};
use crate::record::{Seat, SeatChange, TurnSample};

use super::turn::Rests;

/// Where one step came to rest.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Step {
    /// Height of the slide, m.
    pub(super) slide: f64,
    /// Height of the edge, m.
    pub(super) edge: f64,
    /// Depth from the surface ahead, m; negative in air.
    pub(super) depth: f64,
    /// Push-off, N.
    pub(super) push_off: f64,
    /// Friction limit, N.
    pub(super) drag: f64,
    /// Force in the drive, N.
    pub(super) drive: f64,
    /// Whether the whole edge is in the cut.
    pub(super) whole: bool,
}

/// The seat held at most steps, of first face, other face and floating.
pub(super) fn most(seats: [usize; 3]) -> Seat {
    let most = (0..3).max_by_key(|&i| (seats[i], 2 - i)).unwrap_or(0);
    [Seat::First, Seat::Other, Seat::Floating][most]
}

/// Collects a sample a turn, and the changes of seat that last.
pub(super) struct TurnLog {
    per_turn: usize,
    slack: f64,
    count: usize,
    cutting: usize,
    sums: TurnSample,
    seats: [usize; 3],
    turns: Vec<TurnSample>,
}

impl TurnLog {
    /// `turns` is room for their samples.
    pub(super) fn new(per_turn: usize, slack: f64, mut turns: Vec<TurnSample>) -> Self {
        turns.clear();
        Self {
            per_turn,
            slack,
            count: 0,
            cutting: 0,
            sums: TurnSample::NONE,
            seats: [0; 3],
            turns,
        }
    }

    pub(super) fn add(&mut self, z: f64, target: f64, step: &Step) {
        let seat = if step.drive > 0.0 {
            Seat::First
        } else if step.drive < 0.0 {
            Seat::Other
        } else {
            Seat::Floating
        };
        self.seats[seat as usize] += 1;
        let s = &mut self.sums;
        s.z += z;
        s.first_face += target - 0.5 * self.slack;
        s.other_face += target + 0.5 * self.slack;
        s.slide += step.slide;
        s.edge += step.edge;
        s.depth += max(step.depth, 0.0);
        s.push_off += step.push_off;
        s.drag += step.drag;
        s.drive += step.drive;
        self.count += 1;
        self.cutting += usize::from(step.whole);
        if self.count == self.per_turn {
            let seat = most(self.seats);
            let cutting = self.cutting == self.per_turn;
            self.turns
                .push(self.sums.scaled(1.0 / self.per_turn as f64, seat, cutting));
            self.count = 0;
            self.cutting = 0;
            self.sums = TurnSample::NONE;
            self.seats = [0; 3];
        }
    }

    /// Adds a whole turn about `z`, nothing of the last one being open.
    pub(super) fn add_turn(&mut self, z: f64, target: f64, rests: &Rests, whole: bool) {
        let n = self.per_turn;
        let mean = |values: &[f64]| sum(&values[..n]) / n as f64;
        let drives = &rests.drive[..n];
        let first = count(drives, |drive| drive.simd_gt(Four::ZERO));
        let other = count(drives, |drive| drive.simd_lt(Four::ZERO));
        let depths = &rests.depth[..n];
        let in_cut = count(depths, |depth| depth.simd_gt(Four::ZERO)) == n;
        let depth = if in_cut {
            mean(depths)
        } else {
            depths.iter().map(|&depth| max(depth, 0.0)).sum::<f64>() / n as f64
        };
        self.turns.push(TurnSample {
            z,
            first_face: target - 0.5 * self.slack,
            other_face: target + 0.5 * self.slack,
            slide: mean(&rests.slide),
            edge: mean(&rests.edge),
            depth,
            push_off: mean(&rests.push_off),
            drag: mean(&rests.drag),
            drive: mean(&rests.drive),
            seat: most([first, other, n - first - other]),
            cutting: whole && in_cut,
        });
    }

    pub(super) fn finish(self) -> (Vec<TurnSample>, Vec<SeatChange>) {
        let changes = seat_changes(&self.turns);
        (self.turns, changes)
    }
}

/// The changes of seat that last for three turns.
pub(super) fn seat_changes(turns: &[TurnSample]) -> Vec<SeatChange> {
    let mut changes = Vec::new();
    let mut seat: Option<Seat> = None;
    let mut pending = 0;
    let mut since = 0.0;
    for turn in turns.iter().filter(|turn| turn.cutting) {
        match seat {
            None => seat = Some(turn.seat),
            Some(held) if held != turn.seat => {
                if pending == 0 {
                    since = turn.z;
                }
                pending += 1;
                // For good: held for three turns.
                if pending == 3 {
                    changes.push(SeatChange {
                        z: since,
                        from: held,
                        to: turn.seat,
                    });
                    seat = Some(turn.seat);
                    pending = 0;
                }
            }
            Some(_) => pending = 0,
        }
    }
    changes
}
