//! The drive in motion: gaps that add up, slack that is lost as the engine says, in its order.

use crate::given::worked::{plain, pressed, run, scenario};
use tautway_sim::compare::{Comparison, Way, compare};
use tautway_sim::cut::Options;
use tautway_sim::motion::{Frame, Motion, Phase, motion};
use tautway_sim::quantity::{Length, Quantity};
use tautway_sim::record::Seat;
use tautway_sim::scenario::{Known, Scenario};
use tautway_sim::setup::Pull;

/// Rounding of positions, m.
const ROUNDING: f64 = 1e-12;

fn moved(scenario: &Scenario, way: &Way, options: Options) -> Motion {
    motion(scenario, run(way), options).expect("it has turns")
}

fn socket() -> (Scenario, Comparison) {
    let scenario = scenario("tapered-socket.toml");
    let comparison = compare(&scenario, Options::default());
    (scenario, comparison)
}

/// Where the slide stands on its ways.
fn on_ways(motion: &Motion, frame: &Frame) -> f64 {
    frame.slide + motion.pull * motion.slope * frame.travel
}

fn run_in(motion: &Motion) -> Vec<&Frame> {
    motion
        .frames
        .iter()
        .filter(|frame| frame.phase == Phase::RunIn)
        .collect()
}

#[test]
fn gaps_stay_within_their_slack_and_add_up_to_guide_less_slide() {
    let (scenario, comparison) = socket();
    for way in comparison.feasible() {
        let motion = moved(&scenario, way, Options::default());
        for frame in &motion.frames {
            let sum: f64 = frame.open.iter().sum();
            let apart = frame.guide - frame.slide;
            assert!((sum + frame.wind_up - apart).abs() < ROUNDING, "{frame:?}");
            for (open, gap) in frame.open.iter().zip(&motion.gaps) {
                assert!(open.abs() <= 0.5 * gap.slack + ROUNDING, "{frame:?}");
            }
            // The spring gives way only once no gap is left.
            if frame.wind_up != 0.0 {
                let total: f64 = motion.gaps.iter().map(|gap| gap.slack).sum();
                assert!((sum.abs() - 0.5 * total).abs() < ROUNDING, "{frame:?}");
            }
        }
    }
}

#[test]
fn the_slide_stands_still_for_the_lost_motion_and_then_follows() {
    let (scenario, comparison) = socket();
    for pull in [Pull::In, Pull::Away] {
        let way = plain(&comparison, pull);
        let motion = moved(&scenario, way, Options::default());
        let frames = run_in(&motion);
        let step = frames[1].travel - frames[0].travel;
        let begun = frames[0].travel - step;
        let first = on_ways(&motion, frames[0]);
        let follows = frames
            .iter()
            .find(|frame| (on_ways(&motion, frame) - first).abs() > 1e-9)
            .expect("it follows in the end");
        // Where a breakaway makes it hop, it starts at the end of what is lost.
        let still = follows.travel - begun;
        assert!(
            (still - motion.lost).abs() <= 1.5 * step,
            "stood still for {still} of {}",
            motion.lost
        );
    }
}

#[test]
fn on_reversal_the_foot_goes_first_and_then_the_gaps_from_guide_to_slide() {
    let (scenario, comparison) = socket();
    let motion = moved(&scenario, plain(&comparison, Pull::In), Options::default());
    let frames = run_in(&motion);
    let crossed = |done: &dyn Fn(&Frame) -> bool| {
        frames
            .iter()
            .position(|frame| done(frame))
            .expect("it is taken up")
    };
    let mut last = crossed(&|frame| (frame.bar - 0.5 * motion.foot).abs() < ROUNDING);
    for gap in 0..motion.gaps.len() {
        let half = 0.5 * motion.gaps[gap].slack;
        let closed = crossed(&|frame| (frame.open[gap] - half).abs() < ROUNDING);
        assert!(
            closed > last,
            "{}: {closed} after {last}",
            motion.gaps[gap].name
        );
        last = closed;
    }
}

#[test]
fn in_the_cut_frames_are_the_turns_of_the_record() {
    let (scenario, comparison) = socket();
    for pull in [Pull::In, Pull::Away] {
        let way = plain(&comparison, pull);
        let motion = moved(&scenario, way, Options::default());
        let cut: Vec<_> = motion
            .frames
            .iter()
            .filter(|frame| frame.phase == Phase::Cut)
            .collect();
        let record = run(way);
        let turns = &record.passes[record.last_set].turns;
        assert_eq!(cut.len(), turns.len());
        for (frame, turn) in cut.iter().zip(turns) {
            let told = (frame.slide, frame.edge, frame.depth, frame.push_off);
            assert_eq!(told, (turn.slide, turn.edge, turn.depth, turn.push_off));
            assert_eq!((frame.drive, frame.seat), (turn.drive, turn.seat));
        }
        // The run-in ends where the cut begins.
        let last = run_in(&motion).pop().expect("a run-in");
        assert!((last.travel - cut[0].travel).abs() < 1e-3);
        assert!(
            (last.slide - cut[0].slide).abs() < 2e-6,
            "{last:?} {:?}",
            cut[0]
        );
    }
}

#[test]
fn a_floating_slide_opens_gaps_on_both_sides() {
    let (scenario, comparison) = socket();
    let motion = moved(
        &scenario,
        plain(&comparison, Pull::Away),
        Options::default(),
    );
    let total: f64 = motion.gaps.iter().map(|gap| gap.slack).sum();
    let floats = motion
        .frames
        .iter()
        .filter(|frame| frame.seat == Seat::Floating && frame.depth > 0.0);
    let mut seen = 0;
    for frame in floats {
        // A turn's mean: a little of it may have touched.
        let sum: f64 = frame.open.iter().sum();
        assert!(sum.abs() <= 0.5 * total + ROUNDING);
        seen += usize::from(sum.abs() < 0.5 * total - 1e-6);
    }
    assert!(seen > 100, "{seen}");
}

#[test]
fn a_preload_that_beats_the_drag_keeps_every_gap_on_one_face() {
    let (scenario, comparison) = socket();
    let setup = plain(&comparison, Pull::In).setup;
    // 60 lbf against a slide that starts with some 28.
    let held = pressed(&scenario, &setup, 267.0);
    let comparison = compare(&held, Options::default());
    let way = comparison.ways.iter().find(|way| way.setup == setup);
    let motion = moved(&held, way.expect("the way"), Options::default());
    for frame in &motion.frames {
        for (open, gap) in frame.open.iter().zip(&motion.gaps) {
            assert!((open - 0.5 * gap.slack).abs() < ROUNDING, "{frame:?}");
        }
    }
}

#[test]
fn no_room_means_a_hand_brings_the_slide_to_its_face() {
    let (mut scenario, _) = socket();
    scenario.job.work.room_headstock = Length::from_si(5e-3);
    let comparison = compare(&scenario, Options::default());
    let way = plain(&comparison, Pull::In);
    assert!(way.start.by_hand);
    let motion = moved(&scenario, way, Options::default());
    let mut by_hand = motion.frames.iter().filter(|f| f.phase == Phase::ByHand);
    let last = by_hand.next_back().expect("a hand");
    assert!(last.drive > 0.0, "{last:?}");
}

#[test]
fn a_run_in_too_short_enters_the_cut_with_slack_left() {
    let (scenario, _) = socket();
    let options = Options {
        run_in: Some(10e-3),
        ..Options::default()
    };
    let comparison = compare(&scenario, options);
    let motion = moved(&scenario, plain(&comparison, Pull::Away), options);
    let last = run_in(&motion).pop().expect("a run-in");
    let total: f64 = motion.gaps.iter().map(|gap| gap.slack).sum();
    let sum: f64 = last.open.iter().sum();
    assert!(sum.abs() < 0.5 * total - 1e-4, "{last:?}");
    let first = motion.frames.iter().find(|f| f.phase == Phase::Cut);
    let first = first.expect("a cut");
    // Still standing on its ways.
    let moved = on_ways(&motion, first) - on_ways(&motion, last);
    assert!(moved.abs() < 1e-6, "{last:?} {first:?}");
}

#[test]
fn a_drive_without_slack_still_moves() {
    let (mut scenario, _) = socket();
    scenario.lathe.attachment.total_slack = Some(Known::given(Length::from_si(0.0)));
    scenario.lathe.attachment.foot_slack = Known::given(Length::from_si(0.0));
    let comparison = compare(&scenario, Options::default());
    let motion = moved(&scenario, plain(&comparison, Pull::In), Options::default());
    assert!(
        motion
            .frames
            .iter()
            .all(|frame| { frame.open.iter().all(|open| *open == 0.0) && frame.slide.is_finite() })
    );
}
