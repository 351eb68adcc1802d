//! One way of cutting one thread, pass after pass along the same helix.
//!
//! Every step of a pass stands over the same step of the pass before: the groove is where the
//! surface goes by the helix, and no turn overlaps another. The slide is the one body of
//! [`crate::balance`], its load the law of [`super::force`]. Heights count along `n` from the cone
//! over the crests, into the work. Left out: the foot leaving its seat under the load, and what the
//! axial force does to the carriage.

use crate::arithmetic::{clamp, max, min};
use crate::balance::{Body, Levels, Link, Load, Reaction};
use crate::cut::{Acting, MachineBatch, Operation, Options, UNCUT_SHARE, WHOLE, seat_changes};
use crate::cutting::CuttingForce;
use crate::quantity::INCH;
use crate::record::{Counters, Seat};
use crate::scenario::{Scenario, ThreadCut, ThreadEnd};
use crate::setup::Setup;

use super::Method;
use super::force::ThreadLaw;
use super::plan::{PassSet, passes};
use super::record::{ThreadPass, ThreadTurn};
use crate::scenario::groove::Profile;

/// A thread is at its depth within this, m (0.0005 in).
pub const GAUGED_WITHIN: f64 = 0.0005 * INCH;
/// Most passes after gauging.
const MORE_PASSES: usize = 30;

/// One way of cutting one thread.
pub struct ThreadCourse<'a> {
    scenario: &'a Scenario,
    cut: &'a ThreadCut,
    setup: Setup,
    options: Options,
    method: Method,
    operation: Operation<'a>,
    /// The groove as this way cuts it.
    pub profile: Profile,
    /// The passes.
    pub plan: Vec<PassSet>,
    law: ThreadLaw,
}

impl<'a> ThreadCourse<'a> {
    /// Prepares one way. The tailstock's way moves no slide, so its drive is the cross screw alone.
    pub fn new(
        scenario: &'a Scenario,
        cut: &'a ThreadCut,
        setup: Setup,
        method: Method,
        options: Options,
    ) -> Self {
        let operation = Operation::new(scenario, setup, options);
        let profile = Profile::new(cut, &setup, operation.slope);
        let data = &scenario.job.cutting;
        let law = ThreadLaw::new(
            data.specific_force.si(),
            data.exponent,
            data.push_ratio.si(),
            data.edge_force.si(),
            profile,
            cut.infeed.angle(),
            cut.crowding.si(),
        );
        Self {
            scenario,
            cut,
            setup,
            options,
            method,
            plan: passes(&profile, cut),
            operation,
            profile,
            law,
        }
    }

    /// The way's cone, run-in and machine.
    pub fn operation(&self) -> &Operation<'a> {
        &self.operation
    }

    /// Force of a pass that goes from one depth to another, as planned.
    pub fn force(&self, stood: f64, reached: f64) -> CuttingForce {
        self.law.at(stood, reached, 1.0)
    }

    fn link(&self) -> Link {
        match self.method {
            Method::Attachment => self.operation.machine.drive,
            Method::TailstockOver => {
                let rate = self.scenario.lathe.attachment.screw_spring.si();
                Link {
                    slack: 0.0,
                    first: rate,
                    other: rate,
                }
            }
        }
    }

    /// +1, -1, or 0 where no guide moves the slide.
    fn pull(&self) -> f64 {
        match self.method {
            Method::Attachment => self.setup.pull().sign(),
            Method::TailstockOver => 0.0,
        }
    }

    /// Makes every pass as planned, then those that a person makes who gauges the thread and dials
    /// on by no more than the last set at a time, until the depth is there.
    pub fn run(&self) -> (Vec<ThreadPass>, Vec<ThreadPass>) {
        let per_turn = self.options.per_turn;
        let lathe = MachineBatch::new(std::slice::from_ref(&self.operation));
        let crest = (0..per_turn).map(|line| lathe.blank(line)).collect();
        let step = self.profile.pitch / per_turn as f64;
        let half = self.profile.half_width();
        let last_turn = match self.cut.end(self.ending_end()) {
            ThreadEnd::RunsOut => 0.0,
            ThreadEnd::Open | ThreadEnd::Groove => half,
        };
        let steps = ((self.operation.length() + half + last_turn) / step).ceil() as usize;
        let mut helix = Helix {
            start: -half,
            step,
            crest,
            stood: Vec::new(),
        };
        helix.stood = (0..steps).map(|i| helix.crest[i % per_turn]).collect();
        let mut made = Vec::with_capacity(self.plan.len());
        for (index, plan) in self.plan.iter().enumerate() {
            let before = made.last();
            let pass = self.pass(&lathe, (index + 1, *plan), &mut helix, before);
            made.push(pass);
        }
        let by_gauge = self.by_gauge(&lathe, &mut helix, &made);
        (made, by_gauge)
    }

    /// What a tailstock off its setting adds to the depth at `z`, m: toward the operator it brings
    /// the work's tailstock end onto a tool in front. Counted from the gauge plane.
    fn set_over_error(&self, z: f64) -> f64 {
        let error = self.scenario.lathe.tailstock.setover_error.si();
        let share = (z - self.operation.gauge_z()) / super::between_points(self.scenario);
        self.setup.side.sign() * error * share
    }

    /// The last planned pass with a set depth, from 0.
    fn last_set(&self) -> usize {
        let set = self.plan.iter().rposition(|pass| !pass.spring);
        set.unwrap_or_default()
    }

    fn by_gauge(
        &self,
        lathe: &MachineBatch<'_, f64>,
        helix: &mut Helix,
        planned: &[ThreadPass],
    ) -> Vec<ThreadPass> {
        let mut more: Vec<ThreadPass> = Vec::new();
        let Some(last_set) = planned.iter().rev().find(|pass| !pass.spring) else {
            return more;
        };
        while more.len() < MORE_PASSES {
            let Some(before) = more.last().or(planned.last()) else {
                break;
            };
            let missing = self.profile.depth - before.reached;
            if missing <= GAUGED_WITHIN {
                break;
            }
            let set = min(missing, last_set.set);
            let dial = before.dial + set;
            let plan = PassSet {
                set,
                dial,
                area: self.profile.area(before.reached + set) - self.profile.area(before.reached),
                spring: false,
            };
            let pass = self.pass(lathe, (before.number + 1, plan), helix, Some(before));
            more.push(pass);
        }
        more
    }

    fn ending_end(&self) -> crate::scenario::End {
        use crate::scenario::End;
        match self.setup.starts_at() {
            End::Headstock => End::Tailstock,
            End::Tailstock => End::Headstock,
        }
    }

    fn place(&self, travel: f64) -> f64 {
        if self.setup.feed.sign() > 0.0 {
            travel
        } else {
            self.operation.length() - travel
        }
    }

    /// Share of the tool's width that is in the work.
    fn engaged(&self, travel: f64) -> f64 {
        let half = self.profile.half_width();
        let inside = min(travel + half, self.operation.length()) - max(travel - half, 0.0);
        clamp(inside / (2.0 * half), 0.0, 1.0)
    }

    fn pass(
        &self,
        lathe: &MachineBatch<'_, f64>,
        (number, plan): (usize, PassSet),
        helix: &mut Helix,
        before: Option<&ThreadPass>,
    ) -> ThreadPass {
        let machine = &self.operation.machine;
        let tool = &self.scenario.job.tool;
        let drift = -self.pull() * self.operation.slope * helix.step;
        let guided = self.method == Method::Attachment;
        let by_hand = &self.scenario.job.by_hand;
        let run_in = Some(number - 1);
        let (touched_off, enters) = if guided {
            (lathe.touched_off, lathe.entry_offset(run_in))
        } else {
            (by_hand.touch_off.si(), 0.0)
        };
        let lag = |i: usize| {
            if guided {
                lathe.guide_lag(helix.step * i as f64)
            } else {
                0.0
            }
        };
        let set = plan.dial + by_hand.dial_error(number - 1, self.last_set());
        let mut guide = touched_off + set;
        let levels = if guided {
            self.operation.levels_in_air(run_in)
        } else {
            Levels::breakaway(machine.drag.breakaway, 0.0)
        };
        let mut body = Body::new(self.link(), levels, guide + (lag(0) + enters));
        let uncut = UNCUT_SHARE * tool.edge_radius.si();
        let swing = machine.swing * tool.swing_left.si();
        let per_turn = self.options.per_turn;
        let (mut eased, mut counters) = (false, Counters::default());
        let mut log = Log::default();
        for i in 0..helix.stood.len() {
            let travel = helix.travel(i);
            let z = clamp(self.place(travel), 0.0, self.operation.length());
            let meridian = i % per_turn;
            let crest = helix.crest[meridian];
            let surface = helix.stood[i];
            let station = lathe.station(z);
            let guide_error = if guided {
                station.guide_error
            } else {
                self.set_over_error(z)
            };
            let acting = Acting {
                drag: &machine.drag,
                gives: station.gives,
                local_drag: station.drag,
                preload: station.preload,
                rate: machine.hold.rate,
                height_share: station.height_share,
                eased,
            };
            let load = Groove {
                law: &self.law,
                acting,
                surface,
                crest,
                hardness: 1.0 + self.operation.hardness(meridian, z),
                engaged: self.engaged(travel),
            };
            if i > 0 {
                body.shift(drift);
            }
            let rested = body.advance(guide + guide_error + lag(i), &load, &mut counters);
            let depth = rested.parameter - surface;
            if depth > 0.0 && load.engaged > 0.0 && !eased {
                eased = true;
                body.levels = Levels::ONE;
                // The push-off holds a bar's tip at one end of its swing.
                guide -= swing;
                body.shift(-swing);
            }
            if depth > uncut && load.engaged > 0.0 {
                helix.stood[i] = rested.parameter + station.height_error;
            }
            let force = load.force(rested.parameter);
            log.add(
                per_turn,
                Step {
                    z,
                    reached: helix.stood[i] - crest,
                    taken: helix.stood[i] - surface,
                    force,
                    push_off: rested.load.push - acting.preload - acting.rate * rested.parameter,
                    drag: rested.load.limit,
                    drive: rested.drive,
                    whole: load.engaged > WHOLE,
                },
            );
        }
        log.finish(number, plan, &self.profile, before, counters)
    }
}

/// Where the tool goes, and the groove that stands there.
struct Helix {
    start: f64,
    step: f64,
    crest: Vec<f64>,
    stood: Vec<f64>,
}

impl Helix {
    fn travel(&self, i: usize) -> f64 {
        self.start + self.step * i as f64
    }
}

/// What acts on the slide at one step; the parameter is the tip's height.
struct Groove<'a> {
    law: &'a ThreadLaw,
    acting: Acting<'a>,
    surface: f64,
    crest: f64,
    hardness: f64,
    engaged: f64,
}

impl Groove<'_> {
    fn force(&self, e: f64) -> CuttingForce {
        let (stood, reached) = (self.surface - self.crest, e - self.crest);
        let force = self.law.at(stood, reached, self.hardness);
        self.acting.at_tool(self.engaged, force)
    }
}

impl Load for Groove<'_> {
    fn at(&self, e: f64) -> Reaction {
        self.acting.reaction_to(e, &self.force(e))
    }

    fn stand(&self, position: f64, near: f64) -> (f64, Reaction) {
        if position <= self.surface {
            return (position, self.at(position));
        }
        // e + gives * push(e) = position: deeper than the surface; not as deep as the position
        // unless the tool hooks in.
        let (mut low, mut high) = (self.surface, position);
        while self.at(high).position < position {
            high += max(high - low, 1e-6);
        }
        let mut e = clamp(near, low, high);
        let mut here = self.at(e);
        for _ in 0..100 {
            let miss = here.position - position;
            if miss.abs() <= 1e-13 || high - low <= 1e-15 {
                break;
            }
            if miss > 0.0 {
                high = e;
            } else {
                low = e;
            }
            let newton = e - miss / here.position_slope;
            e = if newton > low && newton < high {
                newton
            } else {
                0.5 * (low + high)
            };
            here = self.at(e);
        }
        (e, here)
    }

    fn kinks(&self) -> &[f64] {
        std::slice::from_ref(&self.surface)
    }
}

/// One step at rest.
struct Step {
    z: f64,
    reached: f64,
    taken: f64,
    force: CuttingForce,
    push_off: f64,
    drag: f64,
    drive: f64,
    whole: bool,
}

/// A pass in the making.
#[derive(Default)]
struct Log {
    turn: Vec<Step>,
    turns: Vec<ThreadTurn>,
}

impl Log {
    fn add(&mut self, per_turn: usize, step: Step) {
        self.turn.push(step);
        if self.turn.len() == per_turn {
            self.close();
        }
    }

    fn close(&mut self) {
        let count = self.turn.len() as f64;
        if self.turn.is_empty() {
            return;
        }
        let mean = |of: fn(&Step) -> f64| self.turn.iter().map(of).sum::<f64>() / count;
        let share = |seat: fn(f64) -> bool| self.turn.iter().filter(|s| seat(s.drive)).count();
        let (first, other) = (share(|drive| drive > 0.0), share(|drive| drive < 0.0));
        let floating = self.turn.len() - first - other;
        let seat = Seat::most([first, other, floating]);
        let reached = |fold: fn(f64, f64) -> f64, from: f64| {
            self.turn.iter().map(|s| s.reached).fold(from, fold)
        };
        self.turns.push(ThreadTurn {
            z: mean(|s| s.z),
            reached: mean(|s| s.reached),
            out_of_round: reached(max, f64::NEG_INFINITY) - reached(min, f64::INFINITY),
            taken: mean(|s| s.taken),
            main: mean(|s| s.force.main),
            axial: mean(|s| s.force.feed),
            push_off: mean(|s| s.push_off),
            drag: mean(|s| s.drag),
            drive: mean(|s| s.drive),
            seat,
            whole: self.turn.iter().all(|s| s.whole),
        });
        self.turn.clear();
    }

    fn finish(
        mut self,
        number: usize,
        plan: PassSet,
        profile: &Profile,
        before: Option<&ThreadPass>,
        counters: Counters,
    ) -> ThreadPass {
        self.close();
        let whole: Vec<&ThreadTurn> = self.turns.iter().filter(|turn| turn.whole).collect();
        // A thread of a turn or two has no whole one.
        let turns: Vec<&ThreadTurn> = if whole.is_empty() {
            self.turns.iter().collect()
        } else {
            whole
        };
        let count = turns.len().max(1) as f64;
        let mean = |of: fn(&ThreadTurn) -> f64| turns.iter().map(|t| of(t)).sum::<f64>() / count;
        let range = |of: fn(&ThreadTurn) -> f64| {
            turns
                .iter()
                .map(|t| of(t))
                .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), v| {
                    (min(low, v), max(high, v))
                })
        };
        let held = |seat| turns.iter().filter(|turn| turn.seat == seat).count();
        let seat = Seat::most([Seat::First, Seat::Other, Seat::Floating].map(held));
        let reached = mean(|t| t.reached);
        let stood = before.map_or(0.0, |pass| pass.reached);
        ThreadPass {
            number,
            spring: plan.spring,
            set: plan.set,
            dial: plan.dial,
            area_set: plan.area,
            area: profile.area(reached) - profile.area(stood),
            reached,
            short: plan.dial - reached,
            main: range(|t| t.main).1,
            axial: mean(|t| t.axial),
            push_off: range(|t| t.push_off),
            drag: range(|t| t.drag),
            drive: range(|t| t.drive),
            seat,
            seat_changes: seat_changes(turns.iter().map(|turn| (turn.z, turn.seat))),
            step: before
                .filter(|pass| pass.seat != seat)
                .map(|pass| (reached - plan.dial) - (pass.reached - pass.dial)),
            counters,
            turns: self.turns,
        }
    }
}
