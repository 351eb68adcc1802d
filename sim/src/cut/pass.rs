//! One pass: step by step along the helix.

use crate::balance::{Chain, Levels, Rested, Rubbing};
use crate::record::{Counters, PassRecord, Seat, SeatChange, TurnSample};
use crate::surface::{EdgePath, Standing};

use super::{Course, Cut, PassKind, Plan};

/// Chips thinner than this share of the edge's own radius are pressed down, not cut (common
/// practice, no source: 0.2 to 0.4).
const UNCUT_SHARE: f64 = 0.3;

/// Share of the edge in the work from which a turn tells of the cut, not of its ends.
const WHOLE: f64 = 0.995;

impl Course<'_> {
    /// Makes one pass with the guide's unloaded middle at height `guide`, cuts it into
    /// `standing`, adds its record and returns the edge's path.
    pub(super) fn pass(
        &self,
        plan: Plan,
        guide: f64,
        standing: &mut Standing,
        records: &mut Vec<PassRecord>,
    ) -> EdgePath {
        let law = self.law(plan.feed);
        let per_turn = self.options.per_turn;
        let step = plan.feed / per_turn as f64;
        let before = self.gauged(standing);
        // The leading part of the edge enters first; the lowest point follows.
        let nominal = law.shape.engaged(plan.set.max(1e-6));
        let start = -(nominal.lead / plan.feed).ceil() * plan.feed;
        let steps = ((self.length - start) / step).ceil() as usize + per_turn / 2;
        // While the bar still rides with the carriage, the guide stands still and the cone goes on.
        let foot_left = self.approach.foot_left();
        let late = |travel: f64| self.pull * self.slope * (foot_left - travel).max(0.0);
        let mut chain = Chain::new(
            vec![self.machine.drive],
            vec![Rubbing {
                limit: 0.0,
                levels: self.hand_levels(),
            }],
            guide + late(0.0) + self.approach.enters(),
        );
        let uncut = UNCUT_SHARE * self.scenario.job.tool.edge_radius.si();
        let off_centre =
            self.setup.inward() * self.setup.press().sign() * self.scenario.job.tool.height.si();
        let drift = -self.pull * self.slope * step;
        let mut path = EdgePath {
            heights: Vec::with_capacity(steps),
            start: self.place(start),
            direction: self.setup.feed.sign(),
            per_turn,
            shape: law.shape,
        };
        let mut edges: Vec<f64> = Vec::with_capacity(steps);
        let mut counters = Counters::default();
        let mut foot = FootSeat::default();
        let mut turns = TurnLog::new(per_turn, self.machine.drive.slack);
        let mut eased = false;
        let mut lead = nominal.lead;
        // What changes slowly is looked up once a turn.
        let mut slow = self.slowly(self.place(start));
        for i in 0..steps {
            let s = start + step * i as f64;
            let z = self.place(s);
            if i % per_turn == 0 {
                slow = self.slowly(z);
                if let Some(&edge) = edges.last() {
                    let depth: f64 = edge - standing.at(per_turn - 1, z);
                    lead = law.shape.engaged(depth.max(1e-6)).lead;
                }
            }
            let meridian = i % per_turn;
            let ahead = self.place(s + 0.5 * lead);
            let surface = standing.at(meridian, ahead);
            let wide = lead + nominal.trail;
            let inside = (s + lead).min(self.length) - (s - nominal.trail).max(0.0);
            let load = Cut {
                law: &law,
                drag: &self.machine.drag,
                gives: slow.gives,
                surface: [surface],
                turn_ago: if i >= per_turn {
                    edges[i - per_turn]
                } else {
                    surface
                },
                hardness: 1.0 + self.hardness.at(meridian, z),
                engaged: (inside / wide).clamp(0.0, 1.0),
                local_drag: slow.drag,
                preload: slow.preload,
                rate: self.machine.hold.rate,
                height_share: off_centre / slow.radius,
                eased,
            };
            if i > 0 {
                chain.shift(drift);
            }
            if i > 2 * per_turn {
                // From line to line the edge goes as it went a turn ago, and that changes as it
                // changed then.
                let went = |turns: usize| {
                    let then = i - turns * per_turn;
                    edges[then] - edges[then - 1]
                };
                chain.expect(edges[i - 1] + 2.0 * went(1) - went(2));
            }
            let target = guide + slow.guide_error + foot.shift + late(s - start);
            let rested = chain.advance(target, &load, &mut counters);
            let depth = rested.parameter - surface;
            let push_off = rested.load.push - load.preload - load.rate * rested.parameter;
            if depth > 0.0 && load.engaged > 0.0 && !eased {
                // From entry to exit the cut shakes the slide: one, lower level of drag.
                eased = true;
                chain.set_levels(Levels::ONE);
            }
            foot.update(self, rested.drive, step);
            edges.push(rested.parameter);
            path.heights.push(if depth > uncut {
                rested.parameter + slow.height_error
            } else {
                f64::NEG_INFINITY
            });
            let whole = load.engaged > WHOLE && depth > 0.0;
            turns.add(z, target, &rested, depth, push_off, whole);
        }
        standing.cut(&path);
        let (turns, seat_changes) = turns.finish();
        records.push(PassRecord {
            number: records.len() + 1,
            finishing: plan.kind != PassKind::Rough,
            set: plan.set,
            feed: plan.feed,
            taken: self.gauged(standing) - before,
            foot_leaves: foot.left_at,
            turns,
            seat_changes,
            counters,
        });
        path
    }

    fn hand_levels(&self) -> Levels {
        Levels::breakaway(self.machine.drag.breakaway, 0.0)
    }

    fn slowly(&self, z: f64) -> Slowly {
        let z = z.clamp(0.0, self.length);
        let hold = &self.machine.hold;
        // A spring is given at mid stroke; into the cut it grows with the slide's own travel.
        let from_middle =
            self.setup.inward() * self.setup.slope_sign() * self.slope * (z - 0.5 * self.length);
        Slowly {
            gives: self.machine.tool_gives + self.machine.bench.gives(z),
            drag: self.local_drag(z),
            preload: hold.out + hold.rate * from_middle,
            guide_error: self.guide_error(z),
            height_error: self.height_error(z),
            radius: self.radius(z).max(1e-4),
        }
    }
}

/// What changes slowly along the work.
struct Slowly {
    gives: f64,
    drag: f64,
    preload: f64,
    guide_error: f64,
    height_error: f64,
    radius: f64,
}

/// Whether the foot keeps its seat. When the load drives the shoe hard enough the bar slides back
/// through the foot's slack and the tool comes out by `slope * slack`; friction carries it
/// forward again once it can.
#[derive(Default)]
struct FootSeat {
    shift: f64,
    left_at: Option<f64>,
    travelled: f64,
}

impl FootSeat {
    fn update(&mut self, course: &Course<'_>, drive: f64, step: f64) {
        let foot = &course.machine.foot;
        self.travelled += step;
        if foot.seat_force(drive, course.pull, course.slope) < 0.0 {
            self.shift = -course.slope * foot.slack;
            self.left_at.get_or_insert(self.travelled);
        } else if self.shift < 0.0 {
            self.shift = (self.shift + course.slope * step).min(0.0);
        }
    }
}

/// Collects a sample a turn, and the changes of seat that last.
struct TurnLog {
    per_turn: usize,
    slack: f64,
    count: usize,
    cutting: usize,
    sums: TurnSample,
    seats: [usize; 3],
    turns: Vec<TurnSample>,
}

impl TurnLog {
    fn new(per_turn: usize, slack: f64) -> Self {
        Self {
            per_turn,
            slack,
            count: 0,
            cutting: 0,
            sums: TurnSample::NONE,
            seats: [0; 3],
            turns: Vec::new(),
        }
    }

    fn add(
        &mut self,
        z: f64,
        target: f64,
        rested: &Rested,
        depth: f64,
        push_off: f64,
        whole: bool,
    ) {
        let seat = if rested.drive > 0.0 {
            Seat::First
        } else if rested.drive < 0.0 {
            Seat::Other
        } else {
            Seat::Floating
        };
        self.seats[seat as usize] += 1;
        let s = &mut self.sums;
        s.z += z;
        s.first_face += target - 0.5 * self.slack;
        s.other_face += target + 0.5 * self.slack;
        s.slide += rested.load.position;
        s.edge += rested.parameter;
        s.depth += depth.max(0.0);
        s.push_off += push_off;
        s.drag += rested.load.limit;
        s.drive += rested.drive;
        self.count += 1;
        self.cutting += usize::from(whole);
        if self.count == self.per_turn {
            let most = (0..3).max_by_key(|&i| (self.seats[i], 2 - i)).unwrap_or(0);
            let seat = [Seat::First, Seat::Other, Seat::Floating][most];
            let cutting = self.cutting == self.per_turn;
            self.turns
                .push(self.sums.scaled(1.0 / self.per_turn as f64, seat, cutting));
            self.count = 0;
            self.cutting = 0;
            self.sums = TurnSample::NONE;
            self.seats = [0; 3];
        }
    }

    fn finish(self) -> (Vec<TurnSample>, Vec<SeatChange>) {
        let mut changes = Vec::new();
        let mut seat: Option<Seat> = None;
        let mut pending = 0;
        let mut since = 0.0;
        for turn in self.turns.iter().filter(|turn| turn.cutting) {
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
        (self.turns, changes)
    }
}
