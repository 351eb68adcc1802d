//! From readings to numbers of the lathe file, with ranges, and what doesn't add up.
//!
//! A number is the mean of its repeats; its range covers the truth 95 times in 100, by Student's
//! t and the reading step ([`super::repeats`]). What a number owes to others that were measured
//! or are assumed (foot, wind-up) adds its own range, as a square, each way by itself.

use super::notation;
use super::repeats::{Estimate, of_groups, of_repeats};
use crate::arithmetic::{max, min};
use crate::quantity::Dimension;
use crate::scenario::shop_tests::{ShopTests, Test};
use crate::scenario::{AttachmentKind, Lathe, Origin};

mod found;
mod put;
mod slack;
mod stiffness;
mod two_cuts;

use found::of_known;
pub use found::{ADDS_UP, Finding, Found, Note, NoteKind};
pub use put::with_findings;
pub(crate) use two_cuts::total_slack;

/// Everything that the readings say of a lathe that was known so far as `lathe` says.
pub fn findings(tests: &ShopTests, lathe: &Lathe) -> Found {
    let mut found = Found {
        done: tests.done(),
        ..Found::default()
    };
    drag(tests, &mut found);
    stiffness::springs(tests, lathe, &mut found);
    stiffness::tips(tests, lathe, &mut found);
    rock(tests, &mut found);
    // Wind-up is reckoned with what these gave.
    let lathe = with_findings(lathe, &found.findings);
    let slack = slack::reversal(tests, &lathe, &mut found);
    let slack = slack::two_way(tests, &lathe, slack, &mut found);
    let slack = slack.map(|slack| slack::wear(tests, slack, &mut found));
    if let Some((slack, from)) = &slack {
        found.add(
            "attachment.slack",
            "all slack along the cross-slide",
            Dimension::Length,
            slack.range(0.0),
            from,
        );
    }
    parts(tests, &lathe, slack.map(|s| s.0), &mut found);
    guide(tests, &mut found);
    stiffness::push_off(tests, &lathe, &mut found);
    two_cuts::narrow(tests, &lathe, &mut found);
    // The lathe's own readout is not unlearned because a test was read with something else.
    if tests.steps.slide > 0.0 && lathe.readout_step.origin == Origin::Assumed {
        let reads = tests.steps.reads.unwrap_or(lathe.readout_reads);
        let step = tests.steps.slide / reads.movement();
        found.add(
            "readout.step",
            "step of the readout",
            Dimension::Length,
            [step; 3],
            &[],
        );
    }
    found
}

/// Test 4.
fn drag(tests: &ShopTests, found: &mut Found) {
    let pulls = &tests.drag;
    let step = tests.steps.scale;
    let running = both_ways(&pulls.running_toward, &pulls.running_away, step);
    let start = both_ways(&pulls.start_toward, &pulls.start_away, step);
    let units = tests.units;
    let show = |si: f64| notation::told(si, Dimension::Force, units);
    let from = &[Test::Drag];
    if let Some(running) = running {
        let (words, force) = ("drag of the cross-slide", Dimension::Force);
        found.add("slide.drag", words, force, running.range(0.0), from);
    }
    if let (Some(start), Some(running)) = (start, running) {
        let ratio = start.over(running);
        if ratio.middle + ratio.plus < 1.0 {
            found.note(
                NoteKind::DoesNotAddUp,
                Test::Drag,
                format!(
                    "it started at {} and kept moving at {}: starting takes more, so one of \
                     the two was read off the wrong way; pull slowly and read the highest",
                    show(start.middle),
                    show(running.middle)
                ),
            );
        } else {
            let words = "drag to start it over drag to keep it moving";
            let range = ratio.range(1.0);
            found.add("slide.breakaway", words, Dimension::Ratio, range, from);
        }
    } else if let Some(start) = start {
        found.note(
            NoteKind::CannotTell,
            Test::Drag,
            format!(
                "starts at {}; without a running pull the drag once moving can't be told and \
                 stays as it was",
                show(start.middle)
            ),
        );
    }
    let along = &pulls.along;
    if along.len() >= 3 {
        let most = along.iter().copied().fold(f64::NEG_INFINITY, max);
        let least = along.iter().copied().fold(f64::INFINITY, min);
        let mean = along.iter().sum::<f64>() / along.len() as f64;
        let swing = 0.5 * (most - least) / mean;
        // A few places miss the extremes: up to half as much again [guess]; down by the step.
        let low = max(swing - 0.5 * step / mean, 0.0);
        let range = [low, swing, max(1.5 * swing, swing + 0.5 * step / mean)];
        let words = "change of drag along the stroke";
        found.add("slide.drag_change", words, Dimension::Ratio, range, from);
    }
    let easing = of_repeats(&pulls.spindle_running, step);
    if let (Some(eased), Some(running)) = (easing, running) {
        // The cut shakes more than a running spindle: what is left is at most this.
        let left = eased.over(running);
        let high = min(left.middle + left.plus, 1.5);
        let range = [0.5 * left.middle, 0.8 * left.middle, high];
        let words = "drag left while cutting";
        found.add(
            "slide.drag_left_cutting",
            words,
            Dimension::Ratio,
            range,
            from,
        );
    }
}

/// Mean of the two directions, or of the one there is.
fn both_ways(toward: &[f64], away: &[f64], step: f64) -> Option<Estimate> {
    match (toward.is_empty(), away.is_empty()) {
        (true, true) => None,
        (false, false) => Some(of_groups(&[(0.5, toward), (0.5, away)], step)),
        (false, true) => of_repeats(toward, step),
        (true, false) => of_repeats(away, step),
    }
}

/// Test 3, and whether its parts make up the whole.
fn parts(tests: &ShopTests, lathe: &Lathe, slack: Option<Estimate>, found: &mut Found) {
    let parts = &tests.parts;
    let step = tests.steps.slide;
    let show = |si: f64| notation::told(si, Dimension::Length, tests.units);
    let [dial, thrust, shoe] =
        [&parts.dial, &parts.thrust, &parts.shoe].map(|list| of_repeats(list, step));
    let from = &[Test::Parts];
    let length = Dimension::Length;
    if let Some(shoe) = shoe {
        let words = "slack of the shoe on the guide";
        found.add(
            "attachment.shoe_slack",
            words,
            length,
            shoe.range(0.0),
            from,
        );
    }
    if let Some(thrust) = thrust {
        let words = "end float of the screw";
        found.add(
            "attachment.thrust_slack",
            words,
            length,
            thrust.range(0.0),
            from,
        );
    }
    if let (Some(dial), Some(thrust)) = (dial, thrust) {
        let mut nut = dial.less(thrust);
        if let Some(ends) = of_repeats(&parts.dial_at_ends, step) {
            let differs = ends.middle - dial.middle;
            if !ends.meets(dial) {
                let (less, there) = if differs < 0.0 {
                    ("less", "near the ends")
                } else {
                    ("more", "in mid stroke")
                };
                found.note(
                    NoteKind::Told,
                    Test::Parts,
                    format!(
                        "near the ends of the stroke the dial loses {} {less} than in the middle: \
                         work {there}, with the tool set over in the post or the top slide in or out",
                        show(differs.abs())
                    ),
                );
            }
            if differs < 0.0 {
                nut.minus = max(nut.minus, -differs);
            } else {
                nut.plus = max(nut.plus, differs);
            }
        }
        if nut.middle + nut.plus < 0.0 {
            found.note(
                NoteKind::DoesNotAddUp,
                Test::Parts,
                format!(
                    "the screw floats {} endwise and the dial loses only {}: the float is part of \
                     what the dial loses, so one of the two is off",
                    show(thrust.middle),
                    show(dial.middle)
                ),
            );
        } else {
            let words = "backlash of the cross nut";
            found.add("attachment.nut_slack", words, length, nut.range(0.0), from);
        }
    }
    let whole = slack.or(lathe.attachment.total_slack.as_ref().map(of_known));
    let (Some(whole), Some(shoe)) = (whole, shoe) else {
        return;
    };
    let sum = match (lathe.attachment.kind, dial) {
        (AttachmentKind::Telescoping, Some(dial)) => shoe.and(dial),
        (AttachmentKind::Telescoping, None) => return,
        (AttachmentKind::Plain, _) => shoe,
    };
    let off = sum.middle - whole.middle;
    if off.abs() <= ADDS_UP * whole.middle {
        return;
    }
    let steepest = tests.reversals.iter().map(|r| r.taper / 2.0).fold(0.0, max);
    let foot_known = found
        .findings
        .iter()
        .any(|f| f.key == "attachment.foot_slack");
    let likely = if off > 0.0 {
        "something was counted twice: the dial's loss holds the screw's end float already; or \
         the slide was not pushed home both ways in test 1"
            .to_owned()
    } else if !foot_known && steepest > 0.0 {
        format!(
            "most likely the foot, which test 1 has in it: {} along the bed would do it. Do test 2",
            show(-off / steepest)
        )
    } else if lathe.attachment.kind == AttachmentKind::Plain && !lathe.top_slide.locked {
        "most likely the top slide's screw, which is in this drive unless locked".to_owned()
    } else if tests.parts.dial_at_ends.is_empty() {
        "most likely the joint of yoke or draw bar, or a screw more worn elsewhere: read the \
         dial's loss at three places"
            .to_owned()
    } else {
        "most likely the joint of yoke or draw bar, or the guide bar's own pivot".to_owned()
    };
    found.note(
        NoteKind::DoesNotAddUp,
        Test::Parts,
        format!(
            "the parts come to {} and the whole is {}: {likely}. The whole is used",
            show(sum.middle),
            show(whole.middle)
        ),
    );
}

/// Test 11: the post may stand at either end of its rock while cutting, from anywhere between.
fn rock(tests: &ShopTests, found: &mut Found) {
    let Some(rock) = of_repeats(&tests.rock, tests.steps.slide) else {
        return;
    };
    let half = 0.5 * (rock.middle + rock.plus);
    let words = "rock of the carriage";
    let from = &[Test::CarriageRock];
    found.add(
        "carriage.rock",
        words,
        Dimension::Length,
        [-half, 0.0, half],
        from,
    );
}

/// Tests 7 and 8.
fn guide(tests: &ShopTests, found: &mut Found) {
    let length = 3.0 * crate::quantity::INCH;
    // Two readings of the slide, 3 in of carriage apart, on diameter.
    let step = 2.0 * tests.steps.slide / length;
    if let Some(zero) = of_repeats(&tests.guide_zero, step) {
        let words = "setting of the guide";
        let range = zero.range(f64::NEG_INFINITY);
        let from = &[Test::GuideTrue];
        found.add(
            "attachment.setting_error",
            words,
            Dimension::Taper,
            range,
            from,
        );
    }
    let (one, other) = (&tests.straight_headstock_end, &tests.straight_tailstock_end);
    if one.is_empty() || other.is_empty() || tests.straight_apart <= 0.0 {
        return;
    }
    let by = 1.0 / tests.straight_apart;
    let off = of_groups(&[(by, one), (-by, other)], tests.steps.gauge);
    let show = |si: f64| notation::told(si, Dimension::Taper, tests.units);
    let big = if off.middle > 0.0 {
        "headstock"
    } else {
        "tailstock"
    };
    let proven = if off.middle.abs() > off.half() {
        "take it off what the readout says; until then every taper turned in the chuck is off by it"
    } else {
        "no more than the gauging's own uncertainty"
    };
    let words = "headstock out of line with the bed";
    let range = off.range(f64::NEG_INFINITY);
    let from = &[Test::StraightCut];
    found.add("spindle.out_of_line", words, Dimension::Taper, range, from);
    found.note(
        NoteKind::Told,
        Test::StraightCut,
        format!(
            "cut straight, the work comes out {} big at the {big} (+- {}): {proven}",
            show(off.middle.abs()),
            show(off.half())
        ),
    );
}
