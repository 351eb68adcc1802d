//! The record of the bench: one last pass pulled in and one drawn away, place by place, as flat lists.
//!
//! # Signs and units
//! Heights are along `n`, into the cut, relative to the finished cone: negative is stock left.
//! Forces are positive out of the cut: push-off, drag and preload as they act on the slide; `guide`
//! is what holds against them, into the cut, so that `guide = push_off + preload + rub` everywhere.
//! Lengths in the lists are whole micrometres along the work and whole nanometres across it,
//! forces whole hundredths of a newton.
//!
//! # Left out
//! Spring passes: the bench ends with the last pass that has a set depth.

use serde::Serialize;
use tautway_sim::arithmetic::{clamp, max};
use tautway_sim::compare::way;
use tautway_sim::cut::{Options, approach};
use tautway_sim::feasibility::reasons;
use tautway_sim::machine::preload::PreloadForce;
use tautway_sim::motion::{Frame, Motion, Phase, motion};
use tautway_sim::quantity::{Quantity, Units};
use tautway_sim::record::{EndMark, Run, Seat};
use tautway_sim::scenario::{Holding, Scenario, StartSurface};
use tautway_sim::setup::{End, Feed, Kind, Rotation, Setup, Side};

use crate::knobs::{self, Stands};

/// Places of the cut that are told at most, and of the run-in before it.
const MOST_PLACES: usize = 450;
const MOST_IN_AIR: usize = 60;
/// Places of the surface that are told at most.
const MOST_SURFACE: usize = 700;

/// Two cuts of one job on one lathe at one dial.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Bench {
    /// The job.
    pub name: String,
    /// The lathe.
    pub lathe: String,
    /// The person's units.
    pub units: Units,
    /// Outside or inside.
    pub kind: Kind,
    /// Which end is big.
    pub big_end: End,
    /// From which side both are cut.
    pub side: Side,
    /// How the spindle turns for both.
    pub rotation: Rotation,
    /// +1 when into the cut is toward the operator.
    pub into_is_operator: f64,
    /// Change of X over Z that the guide imposes, X toward the operator, Z from the headstock.
    pub lean: f64,
    /// Length of the taper, m.
    pub length: f64,
    /// Diameters at headstock and tailstock end, m.
    pub diameters: [f64; 2],
    /// Outside diameter of a bored piece, or the bar that outside work is turned from, m.
    pub blank: f64,
    /// From the jaws to the taper, m.
    pub from_jaws: f64,
    /// From the taper to the free end or the centre, m.
    pub beyond: f64,
    /// Whether a centre holds its far end.
    pub centre: bool,
    /// Whether a centre holds its near end instead of a chuck.
    pub between_centres: bool,
    /// Boring bar: diameter and length out of the holder, m.
    pub bar: Option<[f64; 2]>,
    /// All slack across the bed, m.
    pub slack: f64,
    /// Its parts from the guide to the slide: name and slack, m.
    pub gaps: Vec<(&'static str, f64)>,
    /// Stock before the last pass as set, m per side.
    pub set: f64,
    /// The knobs.
    pub knobs: Vec<Stands>,
    /// Pulled in, and drawn away; or the one of them that was asked for.
    pub cuts: Vec<Cut>,
}

/// One of them.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Cut {
    /// +1 pulled in, -1 drawn away.
    pub pull: f64,
    /// Which way the carriage feeds.
    pub feed: Feed,
    /// Why it can't be cut on this lathe, in words; empty if it can.
    pub out: Vec<String>,
    /// Carriage travel lost on reversal, m.
    pub lost: f64,
    /// Length of the run-in, m.
    pub run_in: f64,
    /// Force of a preload out of the cut at mid length, N.
    pub preload: f64,
    /// What it took at the gauge plane, m per side.
    pub taken: f64,
    /// Size error of the body per side, m: negative is stock left.
    pub size_error: f64,
    /// Waves of the body, peak to valley, m.
    pub waves: f64,
    /// What held the slide.
    pub seat: Seat,
    /// Least force that holds it against the guide, N.
    pub seat_margin: f64,
    /// Push-off, least and most, N.
    pub push_off: [f64; 2],
    /// Drag while cutting, least and most, N.
    pub drag: [f64; 2],
    /// Mark where the tool came in: depth and how far it reaches, m.
    pub entry: Option<[f64; 2]>,
    /// The same where it left.
    pub exit: Option<[f64; 2]>,
    /// Place by place, from the start of the run-in.
    pub at: Places,
    /// The surface that it leaves.
    pub surface: Surface,
}

/// The slide from the start of the run-in to the end of the cut.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Places {
    /// Length fed since the cut began, um; negative in the run-in.
    pub fed: Vec<i64>,
    /// Place along the axis from the headstock-side end of the taper, um.
    pub z: Vec<i64>,
    /// Height of the edge, nm.
    pub edge: Vec<i64>,
    /// Height of the surface before it, nm.
    pub before: Vec<i64>,
    /// From the first face of the slack to the pin, nm, 0 on it, the slack on the other.
    pub open: Vec<i64>,
    /// What holds the pin: 1 first face, 2 other face, 0 nothing.
    pub held: Vec<u8>,
    /// Whether it cuts: 1, or 0 in air.
    pub cutting: Vec<u8>,
    /// Push-off of the cut, 0.01 N out of the cut.
    pub push_off: Vec<i64>,
    /// What the ways' friction does, 0.01 N out of the cut.
    pub rub: Vec<i64>,
    /// What a preload does, 0.01 N out of the cut.
    pub preload: Vec<i64>,
    /// What the guide does, 0.01 N into the cut.
    pub guide: Vec<i64>,
    /// Most that friction could do, 0.01 N.
    pub most_rub: Vec<i64>,
}

/// Mean height of the finished surface along the work.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Surface {
    /// Place along the axis, um.
    pub z: Vec<i64>,
    /// Height, nm.
    pub height: Vec<i64>,
}

/// The two cuts of a setup with either feed: pulled in, and drawn away.
pub fn both(setup: &Setup) -> [Setup; 2] {
    let mut ways = [Feed::Headstock, Feed::Tailstock].map(|feed| Setup { feed, ..*setup });
    ways.sort_by(|a, b| b.pull().sign().total_cmp(&a.pull().sign()));
    ways
}

impl Bench {
    /// Runs both, or the first or second alone: as the setup given, with either feed.
    pub fn new(scenario: &Scenario, setup: &Setup, only: Option<usize>, options: Options) -> Self {
        let mut scenario = scenario.clone();
        scenario.job.passes.spring = 0;
        let asked = both(setup).into_iter().enumerate();
        let asked = asked.filter(|(place, _)| only.is_none_or(|only| only == *place));
        let made = asked.map(|(_, way)| Cut::new(&scenario, way, options));
        let (cuts, motions): (Vec<Cut>, Vec<Option<Motion>>) = made.unzip();
        let motion = motions.into_iter().flatten().next();
        let work = &scenario.job.work;
        let (big, small) = work.end_diameters();
        let ends = match work.big_end {
            End::Headstock => [big.si(), small.si()],
            End::Tailstock => [small.si(), big.si()],
        };
        let thickest = max(ends[0], ends[1]);
        let blank = match (work.kind, work.start) {
            (Kind::Inside, _) => work
                .outside_diameter
                .map_or(1.5 * thickest, |outside| outside.si()),
            (Kind::Outside, StartSurface::Straight { diameter }) => diameter.si(),
            (Kind::Outside, _) => thickest,
        };
        let knobs = knobs::stand(&scenario, setup, motion.as_ref());
        let gaps = motion.iter().flat_map(|motion| &motion.gaps);
        let gaps: Vec<_> = gaps.map(|gap| (gap.name, gap.slack)).collect();
        let bar = scenario.job.tool.bar;
        Self {
            name: scenario.job.name.clone(),
            lathe: scenario.lathe.name.clone(),
            units: scenario.job.units,
            kind: work.kind,
            big_end: work.big_end,
            side: setup.side,
            rotation: setup.rotation,
            into_is_operator: setup.inward() * setup.side.sign(),
            lean: setup.guide_lean() * 0.5 * work.taper.si(),
            length: work.length.si(),
            diameters: ends,
            blank,
            from_jaws: work.from_jaws.si(),
            beyond: work.beyond.si(),
            centre: work.holding != Holding::Chuck,
            between_centres: work.holding == Holding::Centres,
            bar: bar.map(|bar| [bar.diameter.si(), bar.stick_out.si()]),
            slack: gaps.iter().map(|(_, slack)| slack).sum(),
            gaps,
            set: scenario
                .job
                .passes
                .finish
                .last()
                .map_or(0.0, |last| last.si()),
            knobs,
            cuts,
        }
    }
}

impl Cut {
    fn new(scenario: &Scenario, setup: Setup, options: Options) -> (Self, Option<Motion>) {
        let (_, near) = approach(scenario, &setup, options);
        let out = reasons(scenario, &setup, &near);
        let units = scenario.job.units;
        let out = out.iter().map(|reason| reason.words(units)).collect();
        // What can't be cut here is run all the same: the picture tells why one would want it.
        let way = way(scenario, setup, Vec::new(), Vec::new(), options);
        let run = way.run.as_ref().expect("a way without a reason is run");
        let motion = motion(scenario, run, options);
        let told = &run.outcome.measures;
        let pair = |(least, most)| [least, most];
        let cut = Self {
            pull: setup.pull().sign(),
            feed: setup.feed,
            out,
            lost: near.lost.total,
            run_in: near.run_in(),
            preload: motion.as_ref().map_or(0.0, |motion| motion.preload),
            taken: told.taken,
            size_error: told.size_error,
            waves: told.waves,
            seat: told.seat,
            seat_margin: told.seat_margin,
            push_off: pair(told.push_off),
            drag: pair(told.drag),
            entry: told.entry.map(mark),
            exit: told.exit.map(mark),
            at: motion.as_ref().map_or_else(Places::default, |motion| {
                Places::new(scenario, &setup, motion, run)
            }),
            surface: Surface::new(run),
        };
        (cut, motion)
    }
}

fn mark(mark: EndMark) -> [f64; 2] {
    [mark.depth, mark.length]
}

fn whole(value: f64, per: f64) -> i64 {
    (value * per).round() as i64
}

impl Places {
    fn new(scenario: &Scenario, setup: &Setup, motion: &Motion, run: &Run) -> Self {
        let hold = PreloadForce::new(scenario.job.preload.as_ref(), setup);
        let of = |phase| {
            motion
                .frames
                .iter()
                .filter(move |frame| frame.phase == phase)
        };
        let begins = of(Phase::Cut).next().map_or(0.0, |frame| frame.travel);
        let slack: f64 = motion.gaps.iter().map(|gap| gap.slack).sum();
        let mut places = Self::default();
        // A frame a turn, in the same order.
        let turns = run.passes.get(run.last_set);
        let turns = turns.map_or(&[][..], |pass| &pass.turns);
        let first_whole = turns.iter().find(|turn| turn.cutting);
        let mut stood = first_whole.map_or(-motion.set, |turn| turn.edge - turn.depth);
        let mut put = |frame: &Frame, whole_edge: bool| {
            let z = match setup.feed {
                Feed::Tailstock => frame.travel,
                Feed::Headstock => motion.length - frame.travel,
            };
            let seen = motion.pull * motion.slope * (frame.travel - 0.5 * motion.length);
            let preload = hold.at(seen);
            // Where a part of the edge is in air the depth tells nothing of the surface.
            if whole_edge {
                stood = frame.edge - frame.depth;
            }
            // Where the pin stands between the faces, whatever the springs give way on either.
            let open = 0.5 * slack + clamp(frame.slide - frame.guide, -0.5 * slack, 0.5 * slack);
            places.fed.push(whole(frame.travel - begins, 1e6));
            places.z.push(whole(z, 1e6));
            places.edge.push(whole(frame.edge, 1e9));
            places.before.push(whole(stood, 1e9));
            places.open.push(whole(open, 1e9));
            places.held.push(match frame.seat {
                Seat::First => 1,
                Seat::Other => 2,
                Seat::Floating => 0,
            });
            places.cutting.push(u8::from(frame.depth > 0.0));
            places.push_off.push(whole(frame.push_off, 1e2));
            places.preload.push(whole(preload, 1e2));
            places.guide.push(whole(frame.drive, 1e2));
            places
                .rub
                .push(whole(frame.drive, 1e2) - whole(frame.push_off, 1e2) - whole(preload, 1e2));
            places.most_rub.push(whole(frame.drag, 1e2));
        };
        let air = of(Phase::RunIn).filter(|frame| frame.travel < begins);
        let air: Vec<(&Frame, bool)> = air.map(|frame| (frame, false)).collect();
        let whole = turns.iter().map(|turn| turn.cutting);
        let cut: Vec<(&Frame, bool)> = of(Phase::Cut).zip(whole).collect();
        for (frames, most) in [(air, MOST_IN_AIR), (cut, MOST_PLACES)] {
            let every = frames.len().div_ceil(most).max(1);
            let last = frames.len().saturating_sub(1);
            for (place, (frame, whole)) in frames.into_iter().enumerate() {
                if place % every == 0 || place == last {
                    put(frame, whole);
                }
            }
        }
        places
    }
}

impl Surface {
    fn new(run: &Run) -> Self {
        let profile = &run.profile;
        let every = profile.z.len().div_ceil(MOST_SURFACE).max(1);
        let thin = |values: &[f64], per: f64| -> Vec<i64> {
            let kept = values.iter().step_by(every);
            kept.map(|value| whole(*value, per)).collect()
        };
        Self {
            z: thin(&profile.z, 1e6),
            height: thin(&profile.mean, 1e9),
        }
    }
}
