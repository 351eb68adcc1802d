//! Tests 1, 2 and 9: slack along the cross-slide and at the foot.

use super::found::{ADDS_UP, Found, NoteKind, of_known};
use crate::arithmetic::{hypot, max, min, powi};
use crate::quantity::Dimension;
use crate::scenario::numbers::attachment::{WEAR_HEADSTOCK_END, WEAR_TAILSTOCK_END};
use crate::scenario::{AttachmentKind, Lathe};
use crate::shop_tests::lost_motion::{AtTaper, across, parted};
use crate::shop_tests::repeats::{Estimate, of_groups, of_repeats, wild};
use crate::shop_tests::{Reversal, ShopTests, Test, notation};

/// A cut that uses less than this share of the slack stays on one face.
const ONE_FACE: f64 = 0.20;

/// How far the drive winds up on reversal, m along the cross-slide: hand drag to where it stood,
/// breakaway to where it goes, over the spring of each face.
fn wind_up(lathe: &Lathe) -> Estimate {
    let of = |drag: f64, breakaway: f64, softer: f64| {
        let a = &lathe.attachment;
        let push = a.screw_push_share.si();
        let gives = match &a.drive_spring {
            Some(drive) => 0.5 * (1.0 + 1.0 / push) / drive.si(),
            None => {
                let screw = match a.kind {
                    AttachmentKind::Telescoping => 0.5 * (1.0 + 1.0 / push) / a.screw_spring.si(),
                    AttachmentKind::Plain => 0.0,
                };
                1.0 / a.shoe_spring.si() + screw
            }
        };
        drag * (1.0 + breakaway) * gives * softer
    };
    let (drag, breakaway) = (
        of_known(&lathe.slide.drag),
        of_known(&lathe.slide.breakaway),
    );
    let a = &lathe.attachment;
    let spring = match &a.drive_spring {
        Some(drive) => of_known(drive),
        None => of_known(&a.screw_spring),
    };
    let middle = of(drag.middle, breakaway.middle, 1.0);
    let swings = |sign: f64| {
        let off = |e: Estimate| if sign < 0.0 { -e.minus } else { e.plus };
        let stiffness = if sign < 0.0 {
            spring.plus
        } else {
            -spring.minus
        };
        let by_drag = of(drag.middle + off(drag), breakaway.middle, 1.0) - middle;
        let by_start = of(drag.middle, breakaway.middle + off(breakaway), 1.0) - middle;
        let softer = spring.middle / max(spring.middle + stiffness, 0.1 * spring.middle);
        let by_spring = of(drag.middle, breakaway.middle, softer) - middle;
        hypot(hypot(by_drag, by_start), by_spring)
    };
    Estimate {
        middle,
        minus: min(swings(-1.0), middle),
        plus: swings(1.0),
    }
}

/// Tests 1 and 2: slack along the cross-slide, and the foot's.
pub(super) fn reversal(
    tests: &ShopTests,
    lathe: &Lathe,
    found: &mut Found,
) -> Option<(Estimate, Vec<Test>)> {
    let step = tests.steps.carriage;
    let show = |si: f64| notation::told(si, Dimension::Length, tests.units);
    let mut foot = of_repeats(&tests.foot, step);
    // What the slide was let move before the carriage was read is no lost motion.
    let nets: Vec<(f64, Vec<f64>)> = tests
        .reversals
        .iter()
        .filter(|r| !r.middle.is_empty())
        .map(|r| (r.taper / 2.0, net(r, &r.middle)))
        .collect();
    let readings: Vec<_> = nets
        .iter()
        .map(|(slope, lost)| AtTaper {
            slope: *slope,
            lost,
        })
        .collect();
    for reversal in &tests.reversals {
        if let Some(at) = wild(&reversal.middle, step) {
            found.note(
                NoteKind::DoesNotAddUp,
                Test::Reversal,
                format!(
                    "{} stands far from its other readings at that taper: read it again, or leave \
                     it out",
                    show(reversal.middle[at])
                ),
            );
        }
    }
    let two = parted(&readings, step);
    let mut from = vec![Test::Reversal];
    if let (Some(two), Some(direct)) = (&two, &foot)
        && !two.foot.meets(*direct)
    {
        found.note(
            NoteKind::DoesNotAddUp,
            Test::Foot,
            format!(
                "the foot came to {} by test 2 and to {} by two tapers: was the second indicator \
                 on the bed, and the foot clamped both times? Test 2 is used",
                show(direct.middle),
                show(two.foot.middle)
            ),
        );
    }
    if let Some(direct) = foot {
        foot_found(direct, &[Test::Foot], found);
        from.push(Test::Foot);
    } else if let Some(two) = &two {
        foot = Some(two.foot);
        foot_found(two.foot, &[Test::Reversal], found);
        if two.foot.middle + two.foot.plus < 0.0 {
            found.note(
                NoteKind::DoesNotAddUp,
                Test::Reversal,
                "the two tapers make the foot's slack less than none: one of the tapers isn't \
                 what it was taken for, or the lost motion was read at different places"
                    .to_owned(),
            );
        }
    }
    let steepest = readings
        .iter()
        .copied()
        .max_by(|a, b| a.slope.total_cmp(&b.slope))?;
    let direct = !tests.foot.is_empty();
    let gross = match (two, direct) {
        (Some(two), false) => two.across,
        _ => across(
            steepest,
            step,
            foot.unwrap_or(of_known(&lathe.attachment.foot_slack)),
        )?,
    };
    if foot.is_none() {
        let lost = of_repeats(steepest.lost, step)?;
        let assumed = of_known(&lathe.attachment.foot_slack).range(0.0);
        let leaves = |foot: f64| show(max((lost.middle - foot) * steepest.slope, 0.0));
        found.note(
            NoteKind::CannotTell,
            Test::Reversal,
            format!(
                "one taper alone: foot and slack can't be told apart. {} across the slide if \
                 the foot has {}, {} if it has {}. Test 2, or test 1 at a slow taper too, parts \
                 them",
                leaves(assumed[0]),
                show(assumed[0]),
                leaves(assumed[2]),
                show(assumed[2])
            ),
        );
    }
    let wind_up = wind_up(lathe);
    let slack = gross.less(wind_up);
    found.note(
        NoteKind::Told,
        Test::Reversal,
        format!(
            "{} is lost across the slide; some {} of it is spring, so the slack is {}",
            show(gross.middle),
            show(wind_up.middle),
            show(max(slack.middle, 0.0))
        ),
    );
    // More at the foot than was lost in all.
    if direct && gross.middle + gross.plus < 0.0 {
        found.note(
            NoteKind::DoesNotAddUp,
            Test::Foot,
            "the foot alone has more than was lost in all: read test 2 again".to_owned(),
        );
    }
    Some((slack, from))
}

fn net(reversal: &Reversal, lost: &[f64]) -> Vec<f64> {
    let slope = reversal.taper / 2.0;
    lost.iter()
        .map(|travel| travel - reversal.slide_moved / slope)
        .collect()
}

fn foot_found(foot: Estimate, tests: &[Test], found: &mut Found) {
    found.add(
        "attachment.foot_slack",
        "slack of foot and rod",
        Dimension::Length,
        foot.range(0.0),
        tests,
    );
}

/// Three places make a number of each end against the middle, for the march.
fn along_guide(
    middle: Estimate,
    ends: [(&'static str, Option<Estimate>); 2],
    slope: f64,
    found: &mut Found,
) {
    let [(_, Some(headstock)), (_, Some(tailstock))] = ends else {
        return;
    };
    for (row, end) in [
        (&WEAR_HEADSTOCK_END.about, headstock),
        (&WEAR_TAILSTOCK_END.about, tailstock),
    ] {
        // The first taper tells; another would say the same of the same guide.
        if found.findings.iter().all(|f| f.key != row.key) {
            let range = end.less(middle).times(slope).range(f64::NEG_INFINITY);
            found.add(
                row.key,
                row.words,
                Dimension::Length,
                range,
                &[Test::Reversal],
            );
        }
    }
}

/// The ends of the guide against its middle: the range is widened to hold all three.
pub(super) fn wear(
    tests: &ShopTests,
    (mut slack, from): (Estimate, Vec<Test>),
    found: &mut Found,
) -> (Estimate, Vec<Test>) {
    for reversal in &tests.reversals {
        let slope = reversal.taper / 2.0;
        let Some(middle) = of_repeats(&net(reversal, &reversal.middle), tests.steps.carriage)
        else {
            continue;
        };
        let ends = [
            ("headstock", &reversal.headstock_end),
            ("tailstock", &reversal.tailstock_end),
        ]
        .map(|(place, list)| {
            (
                place,
                of_repeats(&net(reversal, list), tests.steps.carriage),
            )
        });
        along_guide(middle, ends, slope, found);
        let least = ends
            .iter()
            .filter_map(|(place, end)| Some((*place, (*end)?.middle)))
            .filter(|(_, lost)| *lost < middle.middle)
            .min_by(|a, b| a.1.total_cmp(&b.1))
            .map(|(place, _)| place);
        for (place, end) in ends {
            let Some(end) = end else {
                continue;
            };
            let differs = (end.middle - middle.middle) * slope;
            if differs < 0.0 {
                slack.minus = max(slack.minus, -differs);
            } else {
                slack.plus = max(slack.plus, differs);
            }
            if !end.meets(middle) {
                let show = |si: f64| notation::told(si, Dimension::Length, tests.units);
                found.note(
                    NoteKind::Told,
                    Test::Reversal,
                    format!(
                        "near the {place} end of the guide the slide loses {} {} than in the \
                         middle: guide or screw are worn otherwise there. The range holds both{}",
                        show(differs.abs()),
                        if differs < 0.0 { "less" } else { "more" },
                        if least == Some(place) {
                            "; work there: clamp the foot so that the taper comes to stand near it"
                        } else {
                            ""
                        }
                    ),
                );
            }
        }
    }
    (slack, from)
}

/// Test 9: half the difference in diameter is the slack that the cut uses.
pub(super) fn two_way(
    tests: &ShopTests,
    lathe: &Lathe,
    slack: Option<(Estimate, Vec<Test>)>,
    found: &mut Found,
) -> Option<(Estimate, Vec<Test>)> {
    let (one, other) = (&tests.two_way_headstock, &tests.two_way_tailstock);
    if one.is_empty() || other.is_empty() {
        return slack;
    }
    let show = |si: f64| notation::told(si, Dimension::Length, tests.units);
    let half = of_groups(&[(0.5, one), (-0.5, other)], tests.steps.gauge);
    let side = if half.middle < 0.0 {
        "smaller"
    } else {
        "bigger"
    };
    let used = if half.middle < 0.0 {
        half.times(-1.0)
    } else {
        half
    };
    // While cutting, the drag loads one face after the other: twice its spring is no slack.
    let eased = of_known(&lathe.slide.drag_left_cutting);
    let spring = wind_up(lathe).times(2.0 / (1.0 + lathe.slide.breakaway.si()));
    // So does the carriage's rock, either way: the feed is reversed between the two.
    let rock = of_known(&lathe.carriage.rock);
    let rock = rock.minus + rock.plus;
    let net = used
        .less(spring.times(eased.middle))
        .and(Estimate::even(0.0, rock));
    // No slack by test 1, and a cut that uses some: it uses more than all of it.
    let share = slack.as_ref().map(|(slack, _)| {
        if slack.middle > 0.0 {
            net.middle / slack.middle
        } else if net.middle > 0.0 {
            f64::INFINITY
        } else {
            0.0
        }
    });
    let one_face = share.is_some_and(|share| share <= ONE_FACE);
    let waves = match tests.waves_seen {
        Some(true) if one_face => ", and waves were seen",
        Some(true) => ", and waves were seen: it floats in its slack",
        Some(false) => ", without waves",
        None => "",
    };
    found.note(
        NoteKind::Told,
        Test::TwoWayCut,
        format!(
            "the cut toward the headstock came out {side}; the cut uses {} per side{waves}",
            show(used.middle)
        ),
    );
    let Some((slack, mut from)) = slack else {
        if net.middle - net.minus > 0.0 {
            return Some((net, vec![Test::TwoWayCut]));
        }
        found.note(
            NoteKind::CannotTell,
            Test::TwoWayCut,
            "both cuts come out alike: little slack, or a slide that keeps to one face; test 1 \
             tells which"
                .to_owned(),
        );
        return None;
    };
    let share = share.unwrap_or(f64::INFINITY);
    if net.meets(slack) || (share - 1.0).abs() <= ADDS_UP {
        from.push(Test::TwoWayCut);
        return Some((together(slack, net), from));
    }
    if one_face && tests.waves_seen == Some(true) {
        found.note(
            NoteKind::DoesNotAddUp,
            Test::TwoWayCut,
            "waves were seen, yet the cut hardly uses the slack: they are no float. Look for \
             chatter, a spindle bearing, an uneven feed"
                .to_owned(),
        );
    } else if one_face {
        found.note(
            NoteKind::Told,
            Test::TwoWayCut,
            "the cut hardly uses the slack: drag or push-off keeps the slide on one face at \
             this depth"
                .to_owned(),
        );
    } else {
        found.note(
            NoteKind::DoesNotAddUp,
            Test::TwoWayCut,
            format!(
                "the cut uses {} and test 1 gives {}: {}",
                show(net.middle),
                show(slack.middle),
                if share < 1.0 {
                    "the slide floats part of the way, or the foot was counted into test 1"
                } else {
                    "something loosens only under the cut (top slide not locked, post, tool), or \
                     the touch-off was not the same"
                }
            ),
        );
    }
    Some((slack, from))
}

/// Two tellings of one number, each by its certainty; where their ranges don't meet, half way
/// with a range that holds both.
fn together(a: Estimate, b: Estimate) -> Estimate {
    let (wa, wb) = (powi(a.half(), -2), powi(b.half(), -2));
    if !a.meets(b) {
        let middle = 0.5 * (a.middle + b.middle);
        let low = min(a.middle - a.minus, b.middle - b.minus);
        let high = max(a.middle + a.plus, b.middle + b.plus);
        return Estimate::of_range([low, middle, high]);
    }
    if !wa.is_finite() {
        return a;
    }
    if !wb.is_finite() {
        return b;
    }
    a.times(wa / (wa + wb)).and(b.times(wb / (wa + wb)))
}
