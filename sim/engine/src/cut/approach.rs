//! The way to the work: reversal in air, lost motion, run-in, and where the slide then stands.

use crate::arithmetic::{clamp, max, min};
use crate::balance::{Body, Levels, Link};
use crate::machine::Machine;
use crate::quantity::INCH;
use crate::record::{Counters, LostMotion, ReversalLoop};

use super::load::Air;

/// How far a slip swings below the force that keeps the slide moving: 0, it stops at it; 1,
/// undamped (a guess).
const UNDERSHOOT: f64 = 0.0;
/// Middle of all places where stick-slip can leave the slide.
const MIDDLE: f64 = 0.5;
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
    stick_slip: StickSlip,
    foot_left: f64,
}

impl Approach {
    /// Works out lost motion and run-in, and where the slide then stands against the guide. A
    /// `run_in` (m) replaces the one that would be advised.
    pub fn new(machine: &Machine, pull: f64, room: f64, run_in: Option<f64>) -> Self {
        let lost = lost_motion(machine, pull);
        let wanted = MARGIN.0 * lost.total + MARGIN.1;
        let short = run_in.filter(|run_in| *run_in < lost.total);
        let how = match run_in {
            Some(_) if short.is_some() => RunIn::Short,
            Some(_) => RunIn::Travel,
            None if room < lost.total => RunIn::ByHand,
            None => RunIn::Travel,
        };
        let wound = short.map_or(f64::INFINITY, |run_in| {
            max(run_in - machine.foot.slack, 0.0) * machine.slope
        });
        Self {
            lost,
            wanted: run_in.unwrap_or(wanted),
            room,
            how,
            stick_slip: StickSlip::new(machine, pull, wound),
            foot_left: short.map_or(0.0, |run_in| max(machine.foot.slack - run_in, 0.0)),
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
    /// everything, in the middle of all places where stick-slip can leave it, m; negative: out of
    /// the cut. There the edge is touched off.
    pub fn stands(&self) -> f64 {
        self.stick_slip.stands(MIDDLE)
    }

    /// Where it stands when the cut begins: the same, unless the run-in was too short.
    pub fn enters(&self) -> f64 {
        self.stick_slip.enters(MIDDLE)
    }

    /// What stick-slip leaves open.
    pub fn stick_slip(&self) -> &StickSlip {
        &self.stick_slip
    }

    /// Carriage travel of the cut over which the guide bar still rides with the carriage, m.
    pub fn foot_left(&self) -> f64 {
        self.foot_left
    }
}

/// Where the slide stands behind a guide that moves one way in air, in closed form.
///
/// # Law
/// Moving along `d` the drive carries `P + d f`, with `f` from `F_d - eta (F_s - F_d)` just after a
/// slip to `F_s` just before the next, and the slide stands behind the guide by what that force
/// takes up of slack and spring. In which part of its stick-slip the run-in ends is chance: by
/// travel all places are alike, so one share of the way between the two ends tells it. After too
/// short a run-in it stands where it was left by feeding back, or there, whichever comes first.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StickSlip {
    pull: f64,
    /// How far the guide is ahead of the slide along the way it moves, just after a slip and just
    /// before one, m.
    ahead: [f64; 2],
    /// The same where the run-in ended before the slide moved; infinite where it did.
    wound: f64,
    /// Force to move the slide over the drag once it moves, likewise just after and before.
    levels: [f64; 2],
    /// Preload over that drag along the way, and whether the slide changes its face in each slip.
    preload: f64,
    crosses: bool,
}

impl StickSlip {
    /// After `wound` (m) of the guide's way along the cross-slide since a reversal.
    fn new(machine: &Machine, pull: f64, wound: f64) -> Self {
        let hand = machine.drag.hand();
        let levels = Levels::breakaway(machine.drag.breakaway, UNDERSHOOT);
        let levels = [levels.stop, levels.start];
        let forces = levels.map(|level| machine.hold.out + pull * level * hand);
        let link = &machine.drive;
        let back = taken_up(link, machine.hold.out - pull * hand, -pull);
        Self {
            pull,
            ahead: forces.map(|force| pull * taken_up(link, force, pull)),
            wound: pull * back + wound,
            levels,
            preload: pull * machine.hold.out / hand,
            crosses: forces[0] * forces[1] < 0.0,
        }
    }

    /// Where the slide stands against the guide's middle after a run-in that takes up everything,
    /// m; `chance` from 0, just after a slip, to 1, just before one.
    pub fn stands(&self, chance: f64) -> f64 {
        -self.pull * self.ahead(chance)
    }

    /// Where it stands when the cut begins.
    pub fn enters(&self, chance: f64) -> f64 {
        -self.pull * min(self.ahead(chance), self.wound)
    }

    /// How far apart the places are where stick-slip can leave it, m.
    pub fn width(&self) -> f64 {
        self.ahead[1] - self.ahead[0]
    }

    /// The drag behind which it stands there, over that once it moves: what it goes by until the
    /// cut begins, so that what is left of the run-in is no chance of its own.
    pub fn level(&self, chance: f64) -> f64 {
        let [low, high] = self.levels;
        if self.crosses {
            // Mostly it stands in the gap, where the drive carries nothing.
            return clamp(-self.preload, low, high);
        }
        low + chance * (high - low)
    }

    fn ahead(&self, chance: f64) -> f64 {
        let [low, high] = self.ahead;
        low + chance * (high - low)
    }
}

/// How far the guide is ahead of the slide's middle, m, where the drive carries this force after a
/// move along `way`; without any force the slide stands at the face by which it was moved.
fn taken_up(link: &Link, force: f64, way: f64) -> f64 {
    let half = 0.5 * link.slack;
    if force > 0.0 {
        half + force / link.first
    } else if force < 0.0 {
        -half + force / link.other
    } else {
        way * half
    }
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
    // two doesn't keep it on one face; nor does anything keep one that nothing drags or loads.
    let nothing = start == 0.0 && preload == 0.0;
    let changes_face = nothing || (preload - pull * start) * after < 0.0;
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
}
