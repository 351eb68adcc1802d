//! The way to the work: reversal in air, lost motion, run-in, and where the slide then stands.

use crate::arithmetic::{clamp, max, min};
use crate::balance::{Body, Levels};
use crate::machine::Machine;
use crate::quantity::INCH;
use crate::record::{Counters, LostMotion, ReversalLoop};

use super::load::Air;

/// Steps of a simulated run in air.
const STEPS: usize = 96;
/// Steps of a leg of the drawn reversal.
const LOOP_STEPS: usize = 400;
/// Run-in margin: a quarter more than the lost motion and an eighth of an inch (common practice,
/// no source).
const MARGIN: (f64, f64) = (1.25, INCH / 8.0);

/// Withdrawal beyond the slack, m (0.050 in): clear of the work and of its chips, and a quarter of
/// the slack more (common practice, no source).
const WITHDRAWAL: (f64, f64) = (1.25, 0.050 * INCH);

/// How far the tool is drawn off before it goes back, m per side, where the slide lags this far
/// behind the guide.
pub fn withdrawal(slack: f64) -> f64 {
    WITHDRAWAL.0 * slack + WITHDRAWAL.1
}

/// How the run-in is made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RunIn {
    /// By carriage travel, in the room there is.
    Travel,
    /// By less carriage travel than is lost, as was asked for: the slack is still being taken up
    /// when the cut begins.
    Short,
    /// Too little room: the slide is pulled to its face by hand before each pass, spindle
    /// stopped, and its drag keeps it there.
    ByHand,
}

/// The approach in air of one way of cutting.
#[derive(Clone, Debug, PartialEq)]
pub struct Approach {
    /// Lost motion on reversal.
    pub lost: LostMotion,
    /// Run-in asked for, m.
    pub wanted: f64,
    /// Room there is, m.
    pub room: f64,
    /// How it is made.
    pub how: RunIn,
    stands: f64,
    enters: f64,
    foot_left: f64,
}

impl Approach {
    /// Works out lost motion and run-in, and where the slide then stands against the guide. A
    /// `run_in` (m) replaces the one that would be advised.
    pub fn new(machine: &Machine, pull: f64, room: f64, run_in: Option<f64>) -> Self {
        let lost = lost_motion(machine, pull);
        let wanted = MARGIN.0 * lost.total + MARGIN.1;
        let how = match run_in {
            Some(run_in) if run_in < lost.total => RunIn::Short,
            Some(_) => RunIn::Travel,
            None if room < lost.total => RunIn::ByHand,
            None => RunIn::Travel,
        };
        let enough = 1.5 * lost.total + 1e-3;
        let stands = stands_after(machine, pull, &lost, enough);
        let (enters, foot_left) = match run_in {
            Some(run_in) if run_in < lost.total => (
                stands_after(machine, pull, &lost, max(run_in - machine.foot.slack, 0.0)),
                max(machine.foot.slack - run_in, 0.0),
            ),
            _ => (stands, 0.0),
        };
        Self {
            lost,
            wanted: run_in.unwrap_or(wanted),
            room,
            how,
            stands,
            enters,
            foot_left,
        }
    }

    /// Carriage travel before the taper that is really made, m. Seating by hand saves the run-in,
    /// not the length: all the room is used.
    pub fn run_in(&self) -> f64 {
        match self.how {
            RunIn::Travel | RunIn::Short => min(self.wanted, self.room),
            RunIn::ByHand => self.room,
        }
    }

    /// Where the unloaded slide stands against the guide's middle after a run-in that takes up
    /// everything, m; negative: out of the cut. There the edge is touched off.
    pub fn stands(&self) -> f64 {
        self.stands
    }

    /// Where it stands when the cut begins: the same, unless the run-in was too short.
    pub fn enters(&self) -> f64 {
        self.enters
    }

    /// Carriage travel of the cut over which the guide bar still rides with the carriage, m.
    pub fn foot_left(&self) -> f64 {
        self.foot_left
    }
}

/// Where the slide stands against the guide's middle, m, after the drive was moved back a long
/// way and then on by this much carriage travel.
fn stands_after(machine: &Machine, pull: f64, lost: &LostMotion, travel: f64) -> f64 {
    let mut rig = Rig::new(machine);
    rig.travel(-pull * (2.0 * lost.total + 1e-3) * machine.slope);
    rig.travel(pull * travel * machine.slope);
    rig.body.position - rig.guide
}

/// Lost motion on reversal in carriage travel, by part: `foot + (slacks, if the seat changes
/// face, + wind-up) / slope`. Where a preload beats the force that starts the slide the seat
/// never changes and the slacks don't count.
pub fn lost_motion(machine: &Machine, pull: f64) -> LostMotion {
    let hand = machine.drag.hand();
    let start = hand * machine.drag.breakaway;
    let preload = machine.hold.out;
    // Force in the drive before (feeding back) and after (feeding on).
    let before = preload - pull * hand;
    let after = preload + pull * start;
    let gives = |force: f64| {
        force
            / if force > 0.0 {
                machine.drive.first
            } else {
                machine.drive.other
            }
    };
    // A slide that has stopped takes the starting force to get going, so a preload between the
    // two doesn't keep it on one face.
    let changes_face = (preload - pull * start) * after < 0.0;
    let wind_up = (gives(after) - gives(before)).abs();
    let slope = machine.slope;
    let mut parts = vec![("foot and rod".to_owned(), machine.foot.slack)];
    if changes_face {
        for part in &machine.slack_parts {
            parts.push((part.name.to_owned(), part.slack / slope));
        }
    }
    parts.push(("wind-up".to_owned(), wind_up / slope));
    let total = parts.iter().map(|(_, travel)| travel).sum();
    LostMotion {
        total,
        parts,
        changes_face,
    }
}

/// The slide against the carriage over one reversal and back, in air, along the cross-slide in
/// the direction the feed moves it.
pub fn reversal(machine: &Machine, pull: f64) -> ReversalLoop {
    let lost = lost_motion(machine, pull);
    let travel = max(2.2 * lost.total, 5e-3);
    let slope = machine.slope;
    let mut rig = Rig::new(machine);
    let mut foot = -0.5 * machine.foot.slack;
    let mut carriage = 0.0;
    let mut record = ReversalLoop {
        carriage: Vec::new(),
        guide: Vec::new(),
        slide: Vec::new(),
        lost,
    };
    let step = travel / LOOP_STEPS as f64;
    // Wind up feeding on and back; the round after that is shown.
    for (leg, direction) in [1.0, -1.0, 1.0, -1.0].into_iter().enumerate() {
        for _ in 0..LOOP_STEPS {
            carriage += direction * step;
            // The bar rides with the carriage until its foot stops it.
            let bar = clamp(
                foot + direction * step,
                -0.5 * machine.foot.slack,
                0.5 * machine.foot.slack,
            );
            let drive = direction * step - (bar - foot);
            foot = bar;
            rig.advance(pull * drive * slope);
            if leg >= 2 {
                record.carriage.push(carriage);
                record.guide.push(carriage * slope);
                record.slide.push(pull * rig.body.position);
            }
        }
    }
    // Both are counted from the middle of the stroke.
    for places in [&mut record.guide, &mut record.slide] {
        let least = places.iter().copied().fold(f64::INFINITY, min);
        let most = places.iter().copied().fold(f64::NEG_INFINITY, max);
        for place in places {
            *place -= 0.5 * (least + most);
        }
    }
    record
}

/// The slide in air, moved by its guide.
struct Rig {
    body: Body,
    air: Air,
    guide: f64,
    counters: Counters,
}

impl Rig {
    fn new(machine: &Machine) -> Self {
        let levels = Levels::breakaway(machine.drag.breakaway, 0.0);
        let air = Air {
            preload: machine.hold.out,
            rate: 0.0,
            limit: machine.drag.hand(),
        };
        Self {
            body: Body::new(machine.drive, levels, 0.0),
            air,
            guide: 0.0,
            counters: Counters::default(),
        }
    }

    /// Moves the guide in one go.
    fn advance(&mut self, by: f64) {
        self.guide += by;
        self.body.advance(self.guide, &self.air, &mut self.counters);
    }

    /// Moves the guide in small steps.
    fn travel(&mut self, by: f64) {
        for _ in 0..STEPS {
            self.advance(by / STEPS as f64);
        }
    }
}
