//! Test 12: a pass pulled in and a pass drawn away, each with what was set and what it took.
//!
//! Pulled in, the slide sits on its first face and what stays on is push-off over spring. Drawn away,
//! the drag holds it back against that same push-off: the face is kept while the drag is the
//! stronger, else the slide floats where the two are alike, or gives way by all its slack. So the
//! pair tells push-off over drag, and how much slack the cut uses, by weighed draws of every number
//! of lathe and cut, each draw cut in closed form ([`Steady`]).

use std::sync::Arc;

use super::found::{Finding, Found, NoteKind, of_known};
use super::put::with_findings;
use crate::cut::{Options, Realization};
use crate::quantity::{Dimension, Length, Quantity};
use crate::scenario::finished::Measured;
use crate::scenario::shop_tests::{SetTaken, ShopTests, Test};
use crate::scenario::{AttachmentKind, Known, Lathe, Origin, Scenario};
use crate::setup::{Pull, Rotation, Setup, Side};
use crate::shop_tests::notation;
use crate::shop_tests::repeats::{Estimate, of_repeats};
use crate::steady::Steady;
use crate::weighing::{Comes, Learned, MODEL_SHARE, Refused, Told, score, weigh};

/// Draws made, and how many where too few of those come near what was taken.
const DRAWS: [usize; 2] = [4000, 32_000];
/// What they grow from.
const SEED: u64 = 12;
/// Number of the drag and the hardness where the cuts are miked, far beyond any other's.
const PLACE: u32 = 60_000;

/// The numbers of the lathe file that the pair narrows. Springs it moves too, but what presses them
/// belongs to the cut.
const NARROWS: [&str; 3] = ["attachment.slack", "slide.drag", "slide.drag_left_cutting"];

/// The parts' total, with all that their ranges allow.
pub fn total_slack(lathe: &Lathe) -> Known<Length> {
    let a = &lathe.attachment;
    let mut parts = vec![&a.shoe_slack];
    match a.kind {
        AttachmentKind::Telescoping => parts.extend([&a.thrust_slack, &a.nut_slack]),
        AttachmentKind::Plain if !lathe.top_slide.locked => parts.push(&lathe.top_slide.slack),
        AttachmentKind::Plain => {}
    }
    let sum = |of: fn(&Known<Length>) -> Length| parts.iter().map(|part| of(part).si()).sum();
    Known {
        origin: Origin::Assumed,
        ..Known::assumed(sum(|p| p.low), sum(|p| p.middle), sum(|p| p.high))
    }
}

/// The plain way with this pull.
fn plain(scenario: &Scenario, pull: Pull) -> Option<Setup> {
    let work = &scenario.job.work;
    Setup::all(work.kind, work.big_end).into_iter().find(|way| {
        way.cuts()
            && way.pull() == pull
            && way.side == Side::Front
            && way.rotation == Rotation::Forward
    })
}

/// What the pair says of a lathe that was known so far as `lathe` says.
pub(super) fn narrow(tests: &ShopTests, lathe: &Lathe, found: &mut Found) {
    let Some(cuts) = &tests.two_cuts else {
        return;
    };
    let test = Test::TwoCuts;
    let told = |cut: &SetTaken| of_repeats(&cut.taken, tests.steps.gauge);
    let (Some(pulled), Some(drawn)) = (told(&cuts.pulled_in), told(&cuts.drawn_away)) else {
        return;
    };
    let (stays, leaves) = (left(&cuts.pulled_in, pulled), left(&cuts.drawn_away, drawn));
    // The carriage rocks the other way.
    let rock = of_known(&lathe.carriage.rock);
    let rock = rock.minus + rock.plus;
    if leaves.middle + leaves.plus + rock < stays.middle - stays.minus {
        found.note(
            NoteKind::DoesNotAddUp,
            test,
            "the cut drawn away left less on than the one pulled in, which no drag does: are the two \
             exchanged, or was one not touched off after its run-in? Neither is used"
                .to_owned(),
        );
        return;
    }
    let mut scenario = Scenario {
        lathe: with_findings(lathe, &found.findings),
        job: (*cuts.job).clone(),
    };
    if scenario.lathe.attachment.total_slack.is_none() {
        scenario.lathe.attachment.total_slack = Some(total_slack(&scenario.lathe));
    }
    let cuts = [(&cuts.pulled_in, pulled), (&cuts.drawn_away, drawn)];
    let weighed = match weighed(&scenario, cuts, DRAWS[0]) {
        Some(Err(Refused::TooFew { .. } | Refused::OutOfReach { .. })) => {
            weighed(&scenario, cuts, DRAWS[1])
        }
        weighed => weighed,
    };
    match weighed {
        Some(Ok((learned, ratio))) => tell(tests, &learned, ratio, found),
        Some(Err(Refused::OutOfReach { .. })) => found.note(
            NoteKind::DoesNotAddUp,
            test,
            "no lathe within the ranges takes what was taken both ways: check set and taken, which \
             way was which, and the material"
                .to_owned(),
        ),
        Some(Err(_)) => found.note(
            NoteKind::CannotTell,
            test,
            "too few lathes within the ranges take what was taken both ways to tell a range from"
                .to_owned(),
        ),
        None => {}
    }
}

/// What stays on.
fn left(cut: &SetTaken, taken: Estimate) -> Estimate {
    Estimate::even(cut.set, 0.0).less(taken)
}

/// What was learned, and push-off over drag before and after; none without a way each way.
fn weighed(
    scenario: &Scenario,
    [pulled, drawn]: [(&SetTaken, Estimate); 2],
    draws: usize,
) -> Option<Result<(Learned, Told), Refused>> {
    let ways = [plain(scenario, Pull::In)?, plain(scenario, Pull::Away)?];
    let any = Arc::new(Realization::new(scenario, Options::default()));
    let found = weigh(scenario, (SEED, draws), 2, |varied, trial| {
        // Both are miked in mid length, at one place of stroke and work.
        let swing = 0.5 * score(SEED, trial, PLACE);
        let local = 1.0 + varied.lathe.slide.drag_change.si() * swing;
        let harder = varied.job.cutting.unevenness.si() * score(SEED, trial, PLACE + 1);
        let steady = ways.map(|way| Steady::with(varied, &way, &any));
        let ratio = steady[1].push_over_drag(drawn.0.set);
        let [into, away] = steady.map(|steady| steady.at_a_place(local, 1.0 + harder));
        let mut comes = Comes::default();
        comes.told.push(ratio);
        for (steady, (cut, taken)) in [(into, pulled), (away, drawn)] {
            let measured = Measured {
                value: taken.middle,
                off: taken.half(),
            };
            // Each was touched off and dialled for itself.
            let offs = [steady.scatter(cut.set), MODEL_SHARE * cut.set];
            comes.against(Some(measured), steady.taken(cut.set), offs);
        }
        comes
    });
    Some(found.map(|(learned, told)| (learned, told[0])))
}

fn tell(tests: &ShopTests, learned: &Learned, ratio: Told, found: &mut Found) {
    let show = |si: f64| notation::told(si, Dimension::Ratio, tests.units);
    found.push_over_drag = Some(ratio);
    let [low, middle, high] = ratio.after.map(show);
    let was = ratio.before.map(show);
    found.note(
        NoteKind::Told,
        Test::TwoCuts,
        format!(
            "push-off at this depth is {middle} times the drag ({low} to {high}; before, {} to {}): \
             drawn away, the slide {}",
            was[0],
            was[2],
            if ratio.after[2] < 1.0 {
                "keeps its face"
            } else if ratio.after[0] > 1.0 {
                "doesn't keep its face by drag"
            } else {
                "may keep its face or not"
            }
        ),
    );
    for number in &learned.numbers {
        if !number.changed || !NARROWS.contains(&number.key) {
            continue;
        }
        let range = number.after;
        match found.findings.iter_mut().find(|f| f.key == number.key) {
            Some(finding) => {
                finding.range = range;
                finding.tests.push(Test::TwoCuts);
            }
            None => found.findings.push(Finding {
                key: number.key,
                words: number.words,
                dimension: number.dimension,
                range,
                tests: vec![Test::TwoCuts],
            }),
        }
    }
}
