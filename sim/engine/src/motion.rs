//! The drive in motion: reversal, run-in and one pass, with every gap of the drive open or closed.
//!
//! # Law
//! The engine carries shoe, thrust bearing, screw and nut as one link between guide and slide,
//! because nothing between them rubs: slacks add and compliances add. Which of the gaps is open is
//! said here after the fact, by the rule of a body that nothing holds: *in an open gap it stays
//! where it stands across the bed until it is pushed*. So as the guide turns back, the gaps close
//! in order from the guide to the slide, and a slide that is pushed by the cut closes them from
//! its own end. What the link gives way beyond its slack is the wind-up, told apart.
//!
//! Along the bed the guide bar rides with the carriage until its foot stops it.
//!
//! # Signs and units
//! m and N. Heights are along `n`, into the cut, relative to the finished cone, as in
//! [`record`](crate::record); `travel` is along the feed from the starting end of the taper.
//! Across the bed a place moves by `pull * slope * travel` more than its height.
//!
//! # Left out
//! The run-in is told for the last pass alone, and a foot that leaves its seat in the cut shows as
//! a shift of the guide, not of the bar.

use schemars::JsonSchema;
use serde::Serialize;

use crate::arithmetic::{clamp, max, min};
use crate::balance::{Body, Levels};
use crate::cut::{Air, Options, RunIn, approach};
use crate::machine::Machine;
use crate::quantity::Quantity;
use crate::record::{Counters, PassRecord, Run, Seat};
use crate::scenario::Scenario;
use crate::setup::Feed;

/// Frames of the last of the way back, of the run-in, and of a hand that seats the slide.
const BACK: usize = 40;
const ON: usize = 160;
const BY_HAND: usize = 30;
/// Part of the run-in's length that is shown of the way back.
const SHOWN_BACK: f64 = 0.3;

/// What the carriage is doing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Phase {
    /// Going back to the start, against the feed.
    Back,
    /// Feeding on in air, up to the work.
    RunIn,
    /// Standing still while a hand brings the slide to its face.
    ByHand,
    /// Feeding along the work.
    Cut,
}

/// One gap of the drive.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct MotionGap {
    /// Shop name of the part.
    pub name: &'static str,
    /// Its slack across the bed, m.
    pub slack: f64,
}

/// Where everything stands at one moment.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Frame {
    /// What the carriage is doing.
    pub phase: Phase,
    /// Carriage along the feed from the starting end of the taper, m.
    pub travel: f64,
    /// Guide bar in the slack of its foot, m along the feed from the middle.
    pub bar: f64,
    /// Height at which the guide holds the middle of the slack, m.
    pub guide: f64,
    /// By gap, what the part nearer the guide stands further into the cut, m: plus half of the
    /// slack pushes into the cut, minus half holds back, between them the gap is open both ways.
    pub open: Vec<f64>,
    /// What the springs of the drive give way, m, with the sign of its force.
    pub wind_up: f64,
    /// Height of the slide, m.
    pub slide: f64,
    /// Height of the edge, m.
    pub edge: f64,
    /// Depth being cut, m.
    pub depth: f64,
    /// Push-off, N.
    pub push_off: f64,
    /// Drag: by hand in air, eased in the cut, N.
    pub drag: f64,
    /// Force in the drive, positive into the cut, N.
    pub drive: f64,
    /// What holds the slide.
    pub seat: Seat,
}

/// The drive from the last of the way back to the end of a pass.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Motion {
    /// +1 when a larger X, toward the operator, is into the cut.
    pub into_is_operator: f64,
    /// +1 pulled in, -1 drawn away.
    pub pull: f64,
    /// Which way the carriage feeds.
    pub feed: Feed,
    /// Change of radius over length, without sign.
    pub slope: f64,
    /// Length of the taper, m.
    pub length: f64,
    /// Depth set for the pass, m per side.
    pub set: f64,
    /// Slack of foot and rod, along the bed, m.
    pub foot: f64,
    /// The gaps across the bed, from guide to slide.
    pub gaps: Vec<MotionGap>,
    /// Preload out of the cut at the middle of the taper, N.
    pub preload: f64,
    /// Carriage travel lost on reversal, m.
    pub lost: f64,
    /// The moments, in order.
    pub frames: Vec<Frame>,
}

/// The motion of a run's last pass with a set depth; `None` for a pass without a turn.
pub fn motion(scenario: &Scenario, run: &Run, options: Options) -> Option<Motion> {
    let setup = &run.setup;
    let (machine, approach) = approach(scenario, setup, options);
    let pass = run.passes.get(run.last_set)?;
    let length = scenario.job.work.length.si();
    let pull = setup.pull().sign();
    let along = |z: f64| match setup.feed {
        Feed::Tailstock => z,
        Feed::Headstock => length - z,
    };
    let first = pass.turns.first()?;
    let begins = along(first.z) - 0.5 * pass.feed;
    let mut rig = Rig {
        machine: &machine,
        pull,
        body: Body::new(
            machine.drive,
            Levels::breakaway(machine.drag.breakaway, 0.0),
            0.0,
        ),
        guide: 0.0,
        bar: 0.5 * machine.foot.slack,
        travel: 0.0,
        height: 0.5 * (first.first_face + first.other_face),
        counters: Counters::default(),
        frames: Vec::new(),
    };
    let run_in = approach.run_in();
    let shown = SHOWN_BACK * run_in;
    rig.travel = begins - run_in + shown + far(&approach.lost.total);
    rig.feed(-far(&approach.lost.total), 2 * ON, None);
    rig.feed(-shown, BACK, Some(Phase::Back));
    rig.feed(run_in, ON, Some(Phase::RunIn));
    if approach.how == RunIn::ByHand {
        rig.by_hand(approach.stands());
    }
    let mut frames = rig.frames;
    let late = approach.foot_left();
    frames.extend(cut_frames(pass, along, |travel| {
        0.5 * machine.foot.slack - clamp(late - (travel - begins), 0.0, machine.foot.slack)
    }));
    let slacks: Vec<f64> = machine.slack_parts.iter().map(|part| part.slack).collect();
    share_out(&mut frames, &slacks, pull * machine.slope);
    Some(Motion {
        into_is_operator: -setup.out_of_cut(crate::scenario::Toward::Operator),
        pull,
        feed: setup.feed,
        slope: machine.slope,
        length,
        set: pass.set,
        foot: machine.foot.slack,
        gaps: machine
            .slack_parts
            .iter()
            .map(|part| MotionGap {
                name: part.name,
                slack: part.slack,
            })
            .collect(),
        preload: machine.hold.out,
        lost: approach.lost.total,
        frames,
    })
}

/// Back so far that everything is wound up the other way, m.
fn far(lost: &f64) -> f64 {
    2.0 * lost + 1e-3
}

/// The slide in air behind its guide, along the run-in.
struct Rig<'a> {
    machine: &'a Machine,
    pull: f64,
    body: Body,
    /// Guide and slide across the bed, from where the rig began.
    guide: f64,
    bar: f64,
    travel: f64,
    /// Height of the guide with its foot seated for the feed.
    height: f64,
    counters: Counters,
    frames: Vec<Frame>,
}

impl Rig<'_> {
    /// Moves the carriage in steps, recording each when it is shown.
    fn feed(&mut self, by: f64, steps: usize, phase: Option<Phase>) {
        let half = 0.5 * self.machine.foot.slack;
        let step = by / steps as f64;
        for _ in 0..steps {
            let bar = clamp(self.bar + step, -half, half);
            self.guide += self.pull * self.machine.slope * (step - (bar - self.bar));
            self.bar = bar;
            self.travel += step;
            let rested = self
                .body
                .advance(self.guide, &self.air(), &mut self.counters);
            if let Some(phase) = phase {
                self.show(phase, rested.drive);
            }
        }
    }

    /// A hand brings the slide to where it stands for the feed, `stands` from the guide.
    fn by_hand(&mut self, stands: f64) {
        let (from, to) = (self.body.position, self.guide + stands);
        for n in 1..=BY_HAND {
            self.body.position = from + (to - from) * n as f64 / BY_HAND as f64;
            let drive = self.machine.drive.force(self.guide - self.body.position);
            self.show(Phase::ByHand, drive);
        }
    }

    fn air(&self) -> Air {
        Air {
            preload: self.machine.hold.out,
            rate: 0.0,
            limit: self.machine.drag.hand(),
        }
    }

    fn show(&mut self, phase: Phase, drive: f64) {
        let foot = self.machine.foot.slack;
        let guide = self.height + self.pull * self.machine.slope * (0.5 * foot - self.bar);
        let slide = guide + self.body.position - self.guide;
        self.frames.push(Frame {
            phase,
            travel: self.travel,
            bar: self.bar,
            guide,
            open: Vec::new(),
            wind_up: 0.0,
            slide,
            edge: slide,
            depth: 0.0,
            push_off: 0.0,
            drag: self.machine.drag.hand(),
            drive,
            seat: seat_of(drive),
        });
    }
}

fn seat_of(drive: f64) -> Seat {
    if drive > 0.0 {
        Seat::First
    } else if drive < 0.0 {
        Seat::Other
    } else {
        Seat::Floating
    }
}

/// The turns of a pass as frames.
fn cut_frames(
    pass: &PassRecord,
    along: impl Fn(f64) -> f64,
    bar: impl Fn(f64) -> f64,
) -> Vec<Frame> {
    pass.turns
        .iter()
        .map(|turn| {
            let travel = along(turn.z);
            Frame {
                phase: Phase::Cut,
                travel,
                bar: bar(travel),
                guide: 0.5 * (turn.first_face + turn.other_face),
                open: Vec::new(),
                wind_up: 0.0,
                slide: turn.slide,
                edge: turn.edge,
                depth: turn.depth,
                push_off: turn.push_off,
                drag: turn.drag,
                drive: turn.drive,
                seat: turn.seat,
            }
        })
        .collect()
}

/// Says of every frame which gap is open, by the rule of this module. `rise` is what a place that
/// keeps its height moves across the bed by a metre of travel.
fn share_out(frames: &mut [Frame], slacks: &[f64], rise: f64) {
    let half: f64 = 0.5 * slacks.iter().sum::<f64>();
    // The parts between guide and slide, across the bed; nothing is known of them at first, so
    // they begin with each gap open by its share.
    let mut between: Vec<f64> = Vec::new();
    for frame in frames {
        let guide = frame.guide + rise * frame.travel;
        let apart = frame.guide - frame.slide;
        let within = clamp(apart, -half, half);
        frame.wind_up = apart - within;
        let slide = guide - within;
        if between.len() + 1 != slacks.len() {
            let mut place = guide;
            between = slacks[..slacks.len().saturating_sub(1)]
                .iter()
                .map(|slack| {
                    place -= if half > 0.0 {
                        within * 0.5 * slack / half
                    } else {
                        0.0
                    };
                    place
                })
                .collect();
        }
        settle(guide, &mut between, slide, slacks);
        let places: Vec<f64> = std::iter::once(guide)
            .chain(between.iter().copied())
            .chain(std::iter::once(slide))
            .collect();
        frame.open = places.windows(2).map(|pair| pair[0] - pair[1]).collect();
        frame.open.truncate(slacks.len());
    }
}

/// Pushes the parts between guide and slide as little as their gaps ask.
fn settle(guide: f64, between: &mut [f64], slide: f64, slacks: &[f64]) {
    // What is left of the way to the slide once a part is placed: it has to be reached.
    for at in 0..between.len() {
        let before = if at == 0 { guide } else { between[at - 1] };
        let rest: f64 = 0.5 * slacks[at + 1..].iter().sum::<f64>();
        let near = 0.5 * slacks[at];
        let low = max(before - near, slide - rest);
        let high = min(before + near, slide + rest);
        between[at] = if low <= high {
            clamp(between[at], low, high)
        } else {
            0.5 * (low + high)
        };
    }
}
