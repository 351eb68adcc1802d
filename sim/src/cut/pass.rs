//! One pass: turn by turn along the helix, and where a turn can't be taken whole, step by step.

use crate::arithmetic::{clamp, max, min};
use crate::balance::{Body, Levels};
use crate::cutting::ForceLaw;
use crate::record::{Counters, PassRecord};
use crate::surface::{EdgePath, Standing};

use super::inertia::{Ridden, Ride};
use super::room::Room;
use super::turn::Turn;
use super::turn_log::{Step, TurnLog};
use super::{Course, Cut, PassKind, Plan};

/// Chips thinner than this share of the edge's own radius are pressed down, not cut (common
/// practice, no source: 0.2 to 0.4).
pub(super) const UNCUT_SHARE: f64 = 0.3;

/// Share of the edge in the work from which a turn tells of the cut, not of its ends.
pub(super) const WHOLE: f64 = 0.995;

impl Course<'_> {
    /// Makes one pass with the guide's unloaded middle at height `guide`, cuts it into
    /// `standing`, adds its record and returns the edge's path, and how it went if it was made
    /// with the slide's mass.
    pub(super) fn pass(
        &self,
        plan: Plan,
        guide: f64,
        standing: &mut Standing,
        records: &mut Vec<PassRecord>,
        room: &mut Room,
    ) -> (EdgePath, Option<Ridden>) {
        let law = self.law(plan.feed);
        let before = self.gauged(standing);
        let mut turn = room.turn(self.options.per_turn, &law);
        let mut pass = Pass::new(self, &law, standing, plan, guide, room);
        while pass.edges.len() < pass.steps {
            pass.begin_turn();
            if !pass.whole_turn(&mut turn) {
                let until = (pass.edges.len() + pass.per_turn).min(pass.steps);
                while pass.edges.len() < until {
                    pass.step(&mut turn);
                }
            }
        }
        room.keep(turn);
        let Pass {
            edges,
            path,
            log,
            counters,
            foot,
            ride,
            ..
        } = pass;
        room.edges = edges;
        standing.cut(&path, &mut room.left);
        let (turns, seat_changes) = log.finish();
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
        (path, ride.map(|ride| ride.ridden()))
    }

    /// How far the cone has gone on while the bar still rides with the carriage and the guide
    /// stands still, m along `n`, after a carriage travel since the pass began.
    pub(super) fn late(&self, travel: f64) -> f64 {
        self.pull * self.slope * max(self.approach.foot_left() - travel, 0.0)
    }

    fn slowly(&self, z: f64) -> Slowly {
        let z = clamp(z, 0.0, self.stock.length);
        let hold = &self.machine.hold;
        // A spring is given at mid stroke; into the cut it grows with the slide's own travel.
        let from_middle = self.setup.inward()
            * self.setup.slope_sign()
            * self.slope
            * (z - 0.5 * self.stock.length);
        Slowly {
            gives: self.machine.tool_gives + self.machine.bench.gives(z),
            drag: self.local_drag(z),
            preload: hold.out + hold.rate * from_middle,
            guide_error: self.guide_error(z),
            height_error: self.height_error(z),
            radius: max(self.radius(z), 1e-4),
        }
    }
}

/// What changes slowly along the work: looked up once a turn.
#[derive(Clone, Copy)]
struct Slowly {
    gives: f64,
    drag: f64,
    preload: f64,
    guide_error: f64,
    height_error: f64,
    radius: f64,
}

/// A pass under way.
pub(super) struct Pass<'a> {
    course: &'a Course<'a>,
    law: &'a ForceLaw,
    standing: &'a Standing,
    guide: f64,
    per_turn: usize,
    /// Carriage travel before the taper at the first step, m; negative.
    start: f64,
    /// Carriage travel of a step, m.
    step: f64,
    steps: usize,
    /// What the slide drifts a step where it stands still, m.
    drift: f64,
    /// Trailing part of the engaged edge at the depth set, m.
    trail: f64,
    /// Leading part as it is, m.
    lead: f64,
    /// Depth under which nothing is cut, m.
    uncut: f64,
    /// Height of the edge over the centre, positive where the main force then pushes it off, m.
    off_centre: f64,
    /// How far the tip swings out of the cut from where it was touched off, m.
    swing: f64,
    slow: Slowly,
    body: Body,
    ride: Option<Ride>,
    foot: FootSeat,
    /// From entry to exit the cut shakes the slide: one, lower level of drag.
    eased: bool,
    edges: Vec<f64>,
    path: EdgePath,
    log: TurnLog,
    counters: Counters,
}

impl<'a> Pass<'a> {
    fn new(
        course: &'a Course<'a>,
        law: &'a ForceLaw,
        standing: &'a Standing,
        plan: Plan,
        guide: f64,
        room: &mut Room,
    ) -> Self {
        let empty = |room: &mut Vec<f64>| {
            room.clear();
            std::mem::take(room)
        };
        let per_turn = course.options.per_turn;
        let machine = &course.machine;
        let tool = &course.scenario.job.tool;
        let step = plan.feed / per_turn as f64;
        // The leading part of the edge enters first; the lowest point follows.
        let nominal = law.shape.engaged(max(plan.set, 1e-6));
        let start = -(nominal.lead / plan.feed).ceil() * plan.feed;
        let steps = ((course.stock.length - start) / step).ceil() as usize + per_turn / 2;
        let enters = course.late(0.0) + course.approach.enters();
        Self {
            course,
            law,
            standing,
            guide,
            per_turn,
            start,
            step,
            steps,
            drift: -course.pull * course.slope * step,
            trail: nominal.trail,
            lead: nominal.lead,
            uncut: UNCUT_SHARE * tool.edge_radius.si(),
            off_centre: course.setup.inward() * course.setup.press().sign() * tool.height.si(),
            swing: machine.swing
                * tool.swing_left.si()
                * law.at(max(plan.set, 1e-6), 0.0, 1.0).push_off.signum(),
            slow: course.slowly(course.place(start)),
            body: Body::new(
                machine.drive,
                Levels::breakaway(machine.drag.breakaway, 0.0),
                guide + enters,
            ),
            ride: plan
                .with_inertia
                .then_some(course.inertia)
                .flatten()
                .map(Ride::new),
            foot: FootSeat::default(),
            eased: false,
            edges: empty(&mut room.edges),
            path: EdgePath {
                heights: empty(&mut room.heights),
                start: course.place(start),
                direction: course.setup.feed.sign(),
                per_turn,
                shape: law.shape,
            },
            log: TurnLog::new(
                per_turn,
                machine.drive.slack,
                std::mem::take(&mut room.turns),
            ),
            counters: Counters::default(),
        }
    }

    /// Carriage travel from the starting end of the taper at a step, m.
    fn travel(&self, step: usize) -> f64 {
        self.start + self.step * step as f64
    }

    fn begin_turn(&mut self) {
        let z = self.course.place(self.travel(self.edges.len()));
        self.slow = self.course.slowly(z);
        if let Some(&edge) = self.edges.last() {
            let depth: f64 = edge - self.standing.at(self.per_turn - 1, z);
            self.lead = self.law.shape.lead(max(depth, 1e-6));
        }
    }

    /// Share of the engaged edge that is in the work after a carriage travel.
    fn engaged(&self, travel: f64) -> f64 {
        let inside =
            min(travel + self.lead, self.course.stock.length) - max(travel - self.trail, 0.0);
        clamp(inside / (self.lead + self.trail), 0.0, 1.0)
    }

    /// The load of one step.
    fn load(&self, surface: f64, turn_ago: f64, hardness: f64, engaged: f64) -> Cut<'a> {
        Cut {
            law: self.law,
            drag: &self.course.machine.drag,
            gives: self.slow.gives,
            surface,
            turn_ago,
            hardness,
            engaged,
            local_drag: self.slow.drag,
            preload: self.slow.preload,
            rate: self.course.machine.hold.rate,
            height_share: self.off_centre / self.slow.radius,
            eased: self.eased,
        }
    }

    /// Takes the next turn in one go; false, and nothing changed, where that can't be done: before
    /// the cut has begun, at the end, while the foot or the bar is moving.
    fn whole_turn(&mut self, turn: &mut Turn) -> bool {
        let (first, n) = (self.edges.len(), self.per_turn);
        let travel = self.travel(first);
        let steady =
            self.eased && self.foot.shift == 0.0 && self.course.late(travel - self.start) == 0.0;
        if !steady || self.ride.is_some() || first < n || first + n > self.steps {
            return false;
        }
        let course = self.course;
        let direction = course.setup.feed.sign();
        let z = course.place(travel);
        let ahead = course.place(travel + 0.5 * self.lead);
        self.standing
            .along_turn(ahead, direction * self.step, turn.surface_mut());
        course
            .luck
            .hardness
            .along_turn(z, direction * self.step, turn.hardness_mut());
        let inside = travel >= self.trail
            && travel + self.step * n as f64 + self.lead <= course.stock.length;
        if inside {
            turn.engage();
        } else {
            for (k, engaged) in turn.engaged_mut().iter_mut().enumerate() {
                *engaged = self.engaged(travel + self.step * k as f64);
            }
        }
        if let Some(metal) = &course.metal {
            turn.interrupt(metal);
        }
        let target = self.guide + self.slow.guide_error;
        let load = self.load(0.0, 0.0, 1.0, 1.0);
        let mut counters = self.counters;
        let body = turn.settle(
            self.body,
            target,
            self.drift,
            &self.edges,
            &load,
            &mut counters,
        );
        let rests = turn.rests();
        let foot = &course.machine.foot;
        let seated = |drive: f64| foot.seat_force(drive, course.pull, course.slope) >= 0.0;
        // Every step is looked at, so that several can be at once.
        let drives = rests.drive[..n].iter();
        if !drives.fold(true, |so, &drive| so & seated(drive)) {
            return false;
        }
        self.body = body;
        self.counters = counters;
        self.foot.travelled += self.step * n as f64;
        self.edges.extend_from_slice(&rests.edge[..n]);
        let cut = rests.edge[..n].iter().zip(&rests.depth);
        self.path.heights.extend(cut.map(|(edge, depth)| {
            if *depth > self.uncut {
                edge + self.slow.height_error
            } else {
                f64::NEG_INFINITY
            }
        }));
        let whole = inside || (0..n).all(|k| self.engaged(travel + self.step * k as f64) > WHOLE);
        let middle = z + direction * self.step * (0.5 * (n - 1) as f64);
        self.log.add_turn(middle, target, rests, whole);
        true
    }

    fn step(&mut self, turn: &mut Turn) {
        let i = self.edges.len();
        let travel = self.travel(i);
        let z = self.course.place(travel);
        let meridian = i % self.per_turn;
        let ahead = self.course.place(travel + 0.5 * self.lead);
        let surface = self.standing.at(meridian, ahead);
        let turn_ago = if i >= self.per_turn {
            self.edges[i - self.per_turn]
        } else {
            surface
        };
        let hardness = 1.0 + self.course.luck.hardness.at(meridian, z);
        let engaged = self.engaged(travel);
        let metal = self
            .course
            .metal
            .as_ref()
            .map_or(1.0, |metal| metal[meridian]);
        let load = self.load(surface, turn_ago, hardness, engaged * metal);
        if i > 0 {
            self.body.shift(self.drift);
        }
        if i > 2 * self.per_turn {
            // From line to line the edge goes as it went a turn ago, and that changes as it
            // changed then.
            let went = |turns: usize| {
                let then = i - turns * self.per_turn;
                self.edges[then] - self.edges[then - 1]
            };
            self.body.parameter = self.edges[i - 1] + 2.0 * went(1) - went(2);
        }
        let late = self.course.late(travel - self.start);
        let target = self.guide + self.slow.guide_error + self.foot.shift + late;
        let rested = match &mut self.ride {
            None => self.body.advance(target, &load, &mut self.counters),
            Some(ride) => {
                let turns = self.course.turns_per_second(self.slow.radius);
                let time = 1.0 / (turns * self.per_turn as f64);
                let goes = (self.drift, time);
                let counters = &mut self.counters;
                ride.step(self.course, &mut self.body, goes, target, &load, counters)
            }
        };
        turn.remember(meridian, rested.moved);
        let depth = rested.parameter - surface;
        if depth > 0.0 && load.engaged > 0.0 && !self.eased {
            self.eased = true;
            self.body.levels = Levels::ONE;
            // From now on the push-off holds the tip at one end of its swing.
            self.guide -= self.swing;
            self.body.shift(-self.swing);
            if let Some(ride) = &mut self.ride {
                ride.shift(-self.swing);
            }
        }
        self.foot.update(self.course, rested.drive, self.step);
        let rest = Step {
            slide: rested.load.position,
            edge: rested.parameter,
            depth,
            push_off: rested.load.push - load.preload - load.rate * rested.parameter,
            drag: rested.load.limit,
            drive: rested.drive,
            whole: engaged > WHOLE && depth > 0.0,
        };
        self.note(z, target, &rest);
    }

    /// Writes down where a step came to rest.
    fn note(&mut self, z: f64, target: f64, step: &Step) {
        self.edges.push(step.edge);
        self.path.heights.push(if step.depth > self.uncut {
            step.edge + self.slow.height_error
        } else {
            f64::NEG_INFINITY
        });
        self.log.add(z, target, step);
    }
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
            self.shift = min(self.shift + course.slope * step, 0.0);
        }
    }
}
