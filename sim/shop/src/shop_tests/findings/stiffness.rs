//! Tests 5, 6 and 10: what gives way under a force, and the force a cut must then have had.

use super::found::{Found, NoteKind, of_known};
use crate::arithmetic::{min, powi};
use crate::quantity::Dimension;
use crate::scenario::{AttachmentKind, Lathe};
use crate::shop_tests::repeats::{Estimate, of_repeats};
use crate::shop_tests::{ShopTests, Test, notation};

/// Compliance from runs of pulls: rise of the least-squares line of each run, then their spread.
///
/// Only rises count, so slack and drag, the same all along a run, drop out.
fn gives(forces: &[f64], moved: &[f64], step: f64) -> Option<Estimate> {
    let n = forces.len() as f64;
    let middle = forces.iter().sum::<f64>() / n;
    let spread: f64 = forces.iter().map(|f| powi(f - middle, 2)).sum();
    if forces.len() < 2 || spread <= 0.0 {
        return None;
    }
    let rises: Vec<f64> = moved
        .chunks_exact(forces.len())
        .map(|run| {
            forces
                .iter()
                .zip(run)
                .map(|(f, x)| (f - middle) * x)
                .sum::<f64>()
                / spread
        })
        .collect();
    // Steps of single readings, uniform over the step, as they go into the rise.
    of_repeats(&rises, 2.0 * 1.96 * step / 12f64.sqrt() / spread.sqrt())
}

/// A spring from a compliance; a range that reaches no compliance at all stops at a tenth.
fn spring(gives: Estimate) -> Option<Estimate> {
    (gives.middle > 0.0).then(|| {
        let [least, middle, most] = gives.range(0.1 * gives.middle);
        Estimate::of_range([1.0 / most, 1.0 / middle, 1.0 / least])
    })
}

/// Test 5.
pub(super) fn springs(tests: &ShopTests, lathe: &Lathe, found: &mut Found) {
    let s = &tests.spring;
    let of = |moved: &[f64]| gives(&s.forces, moved, tests.steps.slide);
    let [pulled, pushed] = [of(&s.slide_pulled), of(&s.slide_pushed)];
    let [post_pulled, post_pushed] = [of(&s.post_pulled), of(&s.post_pushed)];
    let post = of_known(&lathe.top_slide.spring);
    let post_gives = spring(post);
    let from = &[Test::Spring];
    let drive = pulled.or_else(|| Some(post_pulled?.less(post_gives?)));
    let pushed = pushed.or_else(|| Some(post_pushed?.less(post_gives?)));
    if let Some(rate) = drive.and_then(spring) {
        let words = "spring of the whole drive";
        let range = rate.range(0.1 * rate.middle);
        found.add(
            "attachment.drive_spring",
            words,
            Dimension::Stiffness,
            range,
            from,
        );
    } else if post_pulled.is_some() || pulled.is_some() {
        found.note(
            NoteKind::DoesNotAddUp,
            Test::Spring,
            "the slide doesn't go further with more pull than top slide and post alone would: \
             use more pull, or a finer indicator"
                .to_owned(),
        );
    }
    if let (Some(pulled), Some(pushed)) = (drive, pushed)
        && pulled.middle > 0.0
        && pushed.middle > 0.0
    {
        let share = pulled.over(pushed);
        let range = share.range(0.05).map(|share| min(share, 1.5));
        let words = "screw pushed against pulled";
        found.add(
            "attachment.screw_push_share",
            words,
            Dimension::Ratio,
            range,
            from,
        );
    }
    if let (Some(all), Some(slide)) = (post_pulled, pulled)
        && let Some(rate) = spring(all.less(slide))
    {
        let words = "spring of top slide and post";
        let range = rate.range(0.1 * rate.middle);
        found.add("top_slide.spring", words, Dimension::Stiffness, range, from);
    }
}

/// Test 6.
pub(super) fn tips(tests: &ShopTests, lathe: &Lathe, found: &mut Found) {
    let bar = &tests.bar;
    let step = tests.steps.slide;
    let from = &[Test::BarTip];
    let rate = |force: f64, moved: &[f64]| {
        let moved = of_repeats(moved, step)?;
        let force = Estimate::even(force, 0.5 * tests.steps.scale);
        (moved.middle > 0.0 && force.middle > 0.0).then(|| spring(moved.over(force)))?
    };
    for (key, words, force, moved) in [
        (
            "spindle.spring",
            "spring of spindle and chuck",
            bar.chuck_force,
            &bar.chuck_moved,
        ),
        (
            "tailstock.spring",
            "spring of the tailstock centre",
            bar.centre_force,
            &bar.centre_moved,
        ),
    ] {
        if let Some(rate) = rate(force, moved) {
            let range = rate.range(0.1 * rate.middle);
            found.add(key, words, Dimension::Stiffness, range, from);
        }
    }
    if let Some(wag) = of_repeats(&bar.wag, step)
        && bar.reach > 0.0
    {
        // The tip swings about the slide's middle: at the gib it is that much less.
        let gib = wag.times(lathe.slide.gib_length.si() / bar.reach);
        let words = "side slack at the gib";
        found.add(
            "slide.gib_slack",
            words,
            Dimension::Length,
            gib.range(0.0),
            from,
        );
    }
    if let Some(tip) = rate(bar.tip_force, &bar.tip_moved) {
        let show = |si: f64| notation::told(si, Dimension::Stiffness, tests.units);
        let [low, middle, high] = tip.range(0.0).map(show);
        found.note(
            NoteKind::Told,
            Test::BarTip,
            format!(
                "the bar gives {middle} at its tip ({low} to {high}); the job file holds it, as \
                 holder_factor: this over the stiffness of a bar clamped perfectly"
            ),
        );
    }
}

/// Test 10: what was left uncut, times the spring, is the push-off.
pub(super) fn push_off(tests: &ShopTests, lathe: &Lathe, found: &mut Found) {
    let Some(taken) = of_repeats(&tests.taken, tests.steps.gauge) else {
        return;
    };
    let short = Estimate::even(tests.set, 0.0).less(taken);
    let (length, force) = (Dimension::Length, Dimension::Force);
    let show = |si: f64, what| notation::told(si, what, tests.units);
    if short.middle <= short.minus {
        found.note(
            NoteKind::Told,
            Test::SetAgainstTaken,
            format!(
                "it took what was set within {}: too little to tell the push-off",
                show(short.half(), length)
            ),
        );
        return;
    }
    let a = &lathe.attachment;
    let drive = match (&a.drive_spring, a.kind) {
        (Some(drive), _) => spring(of_known(drive)),
        (None, AttachmentKind::Plain) => spring(of_known(&a.shoe_spring)),
        (None, AttachmentKind::Telescoping) => spring(of_known(&a.shoe_spring))
            .zip(spring(of_known(&a.screw_spring)))
            .map(|(shoe, screw)| shoe.and(screw)),
    };
    let Some(gives) = drive
        .zip(spring(of_known(&lathe.top_slide.spring)))
        .map(|(drive, post)| drive.and(post))
    else {
        return;
    };
    let push = short.over(gives);
    found.note(
        NoteKind::Told,
        Test::SetAgainstTaken,
        format!(
            "short {} per side: push-off about {} ({} to {}) if drive, top slide and post give \
             way and the slide stays on its face; with a boring bar less. It belongs to tool and \
             material, not to the lathe: `learn` takes it",
            show(short.middle, length),
            show(push.middle, force),
            show(push.range(0.0)[0], force),
            show(push.range(0.0)[2], force)
        ),
    );
}
