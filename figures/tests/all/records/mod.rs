//! Records of invented numbers, plausible in shape, to draw from.
//!
//! Nothing here but the hand moves was computed by the engine, and nothing measured on a lathe.

mod sheet;
mod study;

pub use sheet::check;
pub use study::{PARTS, outlook, parts, share, work};

use tautway_sim::{
    bore_room::{BoreRoom, Stretch, Thickest, Tight, Wall},
    record::{
        Counters, Inertia, LostMotion, Measures, Outcome, PassRecord, Profile, RegimeMap,
        ReversalLoop, Roughing, Run, Seat, SeatChange, TurnSample,
    },
    rehearse::{Rehearsal, decode, rehearse},
    scenario::{End, Kind, Source},
    setup::{Face, Feed, Rotation, Setup, Side},
};

pub const INCH: f64 = 0.0254;
pub const THOU: f64 = 25.4e-6;
pub const LBF: f64 = 4.448_221_615_260_5;

/// How the invented slide behaves.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Temper {
    Steady,
    Floats,
    Changes,
    OtherFace,
}

pub fn setup(kind: Kind, feed: Feed) -> Setup {
    Setup {
        kind,
        big_end: End::Headstock,
        side: Side::Front,
        feed,
        rotation: Rotation::Forward,
        face: Face::Up,
    }
}

/// Wiggle without a random source.
fn wiggle(z: f64, fine: f64) -> f64 {
    0.6 * (z * fine).sin() + 0.4 * (z * fine * 2.7 + 1.0).sin()
}

pub fn reversal(lost: f64, slope: f64, parts: &[(&str, f64)]) -> ReversalLoop {
    let travel = 5.0 * INCH;
    let steps = 250;
    let mut record = ReversalLoop {
        carriage: Vec::new(),
        guide: Vec::new(),
        slide: Vec::new(),
        lost: LostMotion {
            total: lost,
            parts: parts
                .iter()
                .map(|(n, share)| ((*n).to_owned(), share * lost))
                .collect(),
            changes_face: lost > 0.0,
        },
    };
    let gap = lost * slope.abs();
    let mut slide = 0.0;
    for leg in 0..3 {
        for step in 0..=steps {
            let share = f64::from(step) / f64::from(steps);
            let carriage = travel * if leg == 1 { 1.0 - share } else { share };
            let guide = slope * carriage;
            slide = f64::clamp(slide, guide - gap / 2.0, guide + gap / 2.0);
            record.carriage.push(carriage);
            record.guide.push(guide);
            record.slide.push(slide);
        }
    }
    record
}

pub fn run(setup: Setup, temper: Temper, slack: f64, turns: usize) -> Run {
    let length = 4.0 * INCH;
    let set = 8.0 * THOU;
    let mut samples = Vec::new();
    let mut changes = Vec::new();
    for turn in 0..turns {
        let share = (turn as f64 + 0.5) / turns as f64;
        let z = length
            * if setup.feed == Feed::Tailstock {
                share
            } else {
                1.0 - share
            };
        let first_face = 0.2 * THOU * wiggle(z, 40.0);
        let other_face = first_face + slack;
        let push_off = (14.0 + 2.5 * wiggle(z, 160.0) + 6.0 * share) * LBF;
        let drag = (12.0 + 4.0 * wiggle(z, 30.0)) * LBF;
        let (slide, seat, drive) = match temper {
            Temper::Steady => (first_face - 0.1 * THOU, Seat::First, push_off + drag),
            Temper::OtherFace => (other_face + 0.1 * THOU, Seat::Other, push_off - 2.0 * drag),
            Temper::Floats => (
                first_face - (4.0 + 2.0 * wiggle(z, 120.0)) * THOU,
                Seat::Floating,
                0.0,
            ),
            Temper::Changes if share < 0.35 => (other_face, Seat::Other, push_off - 2.0 * drag),
            Temper::Changes if share < 0.6 => (
                first_face + slack * (0.6 - share) / 0.25,
                Seat::Floating,
                0.0,
            ),
            Temper::Changes => (first_face, Seat::First, push_off - drag * 0.8),
        };
        if let Some(last) = samples.last().map(|last: &TurnSample| last.seat)
            && last != seat
        {
            changes.push(SeatChange {
                z,
                from: last,
                to: seat,
            });
        }
        samples.push(TurnSample {
            z,
            first_face,
            other_face,
            slide,
            edge: slide - 0.9 * THOU - 0.3 * THOU * share,
            depth: set + slide,
            push_off,
            drag,
            drive,
            seat,
            cutting: true,
        });
    }
    let count = 2000;
    let mut profile = Profile {
        z: Vec::new(),
        mean: Vec::new(),
        meridian: Vec::new(),
        roundness: Vec::new(),
    };
    for index in 0..count {
        let z = length * index as f64 / (count - 1) as f64;
        let near = samples
            .iter()
            .min_by(|a, b| (a.z - z).abs().total_cmp(&(b.z - z).abs()))
            .map_or(0.0, |turn| turn.edge);
        profile.z.push(z);
        profile.mean.push(near);
        profile
            .meridian
            .push(near + 0.35 * THOU * (z / (0.004 * INCH) * std::f64::consts::TAU).sin());
        profile.roundness.push(0.3 * THOU);
    }
    let pass = |number: usize, set: f64, turns: Vec<TurnSample>| PassRecord {
        number,
        finishing: true,
        set,
        feed: 0.004 * INCH,
        taken: 0.8 * set,
        foot_leaves: None,
        turns,
        seat_changes: changes.clone(),
        counters: Counters::default(),
    };
    Run {
        setup,
        pull: setup.pull(),
        roughing: Roughing::NONE,
        last_set: 1,
        passes: vec![
            pass(1, 2.0 * set, Vec::new()),
            pass(2, set, samples),
            pass(3, 0.0, Vec::new()),
        ],
        profile,
        reversal: reversal(0.48 * INCH, -1.0 / 24.0, &[("shoe", 0.4), ("nut", 0.6)]),
        outcome: Outcome {
            measures: Measures {
                taper: 1.0 / 12.0,
                set,
                taken: 0.8 * set,
                size_error: -0.2 * set,
                waves: THOU,
                roundness: 0.3 * THOU,
                seat: Seat::First,
                push_off: (10.0 * LBF, 20.0 * LBF),
                drag: (8.0 * LBF, 16.0 * LBF),
                ..Measures::default()
            },
            ra: 1e-6,
            rz: 5e-6,
            wa: 1e-6,
            wt: 5e-6,
        },
        inertia: Inertia {
            mass: 40.0,
            floating_frequency: 11.0,
            turns_per_second: 2.0,
            too_slow: false,
            tried: None,
        },
    }
}

pub fn map(job: (f64, f64), widest: f64, deepest: f64) -> RegimeMap {
    let drag: Vec<f64> = (0..40)
        .map(|i| widest * (f64::from(i) + 0.5) / 40.0)
        .collect();
    let slack: Vec<f64> = (0..30)
        .map(|i| deepest * (f64::from(i) + 0.5) / 30.0)
        .collect();
    let again: Vec<f64> = slack.iter().map(|g| (1.0 - g).max(0.0).powf(0.8)).collect();
    let table = |of: &dyn Fn(f64, f64, f64) -> f64| -> Vec<Vec<f64>> {
        slack
            .iter()
            .zip(&again)
            .map(|(&g, &limit)| drag.iter().map(|&d| of(d, g, limit)).collect())
            .collect()
    };
    let size_loss = table(&|d, g, limit| {
        if d >= 1.0 {
            0.01
        } else if d < limit {
            g.min(1.0)
        } else {
            1.0 - d.powf(1.2)
        }
    });
    let waves = table(&|d, g, limit| {
        if d >= 1.1 || d < 0.9 * limit {
            0.01
        } else {
            (0.4 * g * (1.1 - d).max(0.0) + 0.03).min(0.5)
        }
    });
    RegimeMap {
        drag_over_push_off: drag,
        slack_over_depth: slack,
        size_loss,
        waves,
        seats_again: again,
        job,
    }
}

pub const ZERO_TOO_EARLY: &str = include_str!("../../../../scenarios/zero-too-early.moves");
pub const REVERSAL: &str = include_str!("../../../../scenarios/reversal.moves");

/// Hand moves on the worn lathe of the examples.
pub fn rehearsed(moves: &str) -> Rehearsal {
    let moves = Source {
        name: "a.moves",
        text: moves,
    };
    let lathe = Source {
        name: "worn-lathe.toml",
        text: include_str!("../../../../scenarios/worn-lathe.toml"),
    };
    let (script, _) = decode(moves, lathe).expect("moves in order");
    rehearse(&script)
}

/// A bar near the far wall as the run-in begins.
pub fn room() -> BoreRoom {
    BoreRoom {
        bar: 1.25 * INCH,
        edge_out: 0.1 * INCH,
        assumed: true,
        outline: vec![(-1.3 * INCH, 0.975 * INCH), (3.0 * INCH, 0.975 * INCH)],
        tight: vec![Tight {
            gap: 0.215 * INCH,
            wall: Wall::Far,
            stretch: Stretch::RunIn,
            first_pass: true,
            edge_z: -1.3 * INCH,
            edge_radius: 0.59 * INCH,
            spot_z: -1.3 * INCH,
            bore_radius: 0.975 * INCH,
        }],
        withdrawn: 0.15 * INCH,
        mouth: 3.0 * INCH,
        out_needed: 4.3 * INCH,
        out: 5.0 * INCH,
        edge_needed: 0.02 * INCH,
        first_cuts: None,
        thickest: Thickest {
            diameter: 1.43 * INCH,
            common: Some(1.25 * INCH),
            stiffness: Some(1.0),
        },
        rubs: false,
    }
}
