//! What a swept sample tells: its taper, what to aim the guide at, what is the spindle's.

use tautway_sim::quantity::show::dial;
use tautway_sim::quantity::{Length, Quantity, Units};
use tautway_sim::readings::{Copied, Interval, Own, TiltBy};
use tautway_sim::scenario::sample::SampleSweep;
use tautway_sim::setup::Side;

use super::readings::{difference, fine, half, nudge_in_words, suspect};
use super::words;
use tautway_words::Document;

/// Read first, where the advice is read.
pub const SAMPLE_CAUTIONS: [&str; 2] = [
    "Turn it by hand alone, tool out, and keep hands and cloth off the jaws.",
    "Never reach over a turning chuck.",
];

/// The answer on one screen.
pub fn sample(sweep: &SampleSweep, found: &Copied, units: Units) -> Document {
    let mut page = Document::new();
    page.say("Sample:", format!("{}.", sweep.name));
    page.stop_if(format!(
        "the spindle can start. {}",
        SAMPLE_CAUTIONS.join(" ")
    ));
    page.gap();
    if let Some(own) = &found.own {
        its_taper(&mut page, sweep, own, units);
    }
    if let Some(short) = found.short {
        let more = match short.value < 0.0 {
            true => "steeper",
            false => "slower",
        };
        page.say(
            "The guide is:",
            format!(
                "{} {more} than the sample, on diameter ({}).",
                difference(short.value.abs(), units).replacen('+', "", 1),
                span(short, difference, units)
            ),
        );
    }
    if let Some(n) = &found.nudge {
        page.say(
            "Nudge the guide:",
            nudge_in_words(n, "the sample's taper", units),
        );
    }
    page.say("Headstock:", lean(found, units));
    page.say("In the jaws:", askew(found, units));
    for suspicion in &found.bent {
        let said = suspect(suspicion, units);
        page.say(
            "THE SAMPLE IS NOT STRAIGHT:",
            format!("{said} Worn or bent: copy the part of it that bears."),
        );
    }
    let more = what_next(found);
    if !more.is_empty() {
        page.say("What would tell more:", format!("{}.", more.join("; ")));
    }
    page.gap();
    page.say(
        "Note:",
        format!(
            "swept over {}; the indicator's steps alone: up to {}. Keep its plunger level with the \
             axis and square to it. In the end blue the piece against the sample itself: that needs \
             none of these numbers. Intervals cover 95 in 100.",
            Length::from_si(found.travel).show(units),
            half(found.steps, units)
        ),
    );
    page
}

fn span(interval: Interval, show: fn(f64, Units) -> String, units: Units) -> String {
    format!(
        "{} to {}",
        show(interval.low, units),
        show(interval.high, units)
    )
}

fn its_taper(page: &mut Document, sweep: &SampleSweep, own: &Own, units: Units) {
    let forms = &own.forms;
    let other = match units {
        Units::Inch => &forms.mm_per_metre,
        Units::Metric => &forms.inch_per_foot,
    };
    page.say(
        "Its taper, on diameter:",
        format!(
            "{} ({}). That is {}, {other}, {}, {}.",
            fine(own.taper.value, units),
            span(own.taper, fine, units),
            forms.ratio,
            forms.half_angle,
            forms.included
        ),
    );
    let side = match sweep.side {
        Side::Front => "front",
        Side::Rear => "rear",
    };
    page.say(
        "Aim the guide at:",
        format!(
            "{} ({}) to copy it in this spindle, tool at the {side}, big end toward the {}: so a \
             headstock that is out goes out again. Cut any other way, aim at its own taper.",
            fine(own.guide.value, units),
            span(own.guide, fine, units),
            words::end(sweep.big_end)
        ),
    );
    page.say(
        "In the job:",
        format!(
            "taper = \"{}\", taper_doubt = \"{}\".",
            fine(own.taper.value, units),
            fine(own.taper.half(), units)
        ),
    );
}

/// What the spindle's line makes of it.
fn lean(found: &Copied, units: Units) -> String {
    let adds = format!(
        "makes {} of what the carriage sees of its taper ({})",
        difference(found.lean.value, units),
        span(found.lean, difference, units)
    );
    match (found.lean_seen, found.tilt_by) {
        (true, TiltBy::Behind) => {
            format!("with its stand in the jaws it {adds}; both are out of it above.")
        }
        (true, _) => format!("out of line it {adds}, by the sweep from behind; out of it above."),
        (false, _) if found.own.is_none() => {
            "no matter, as long as the piece is cut from the side that was swept.".to_owned()
        }
        (false, _) => format!("not known: it {adds}, which is in the doubt of its own taper."),
    }
}

/// How it stands in the jaws.
fn askew(found: &Copied, units: Units) -> String {
    // Twice the axis' own slope is the indicator's swing over the length.
    let swing = |taper: f64| dial(Length::from_si((taper * found.travel).abs()), units);
    match found.tilt_by {
        TiltBy::Turned => format!(
            "askew: it runs out {} more at one end of the sweep than at the other; the two sweeps \
             take that out.",
            swing(found.tilt.value)
        ),
        TiltBy::Behind => {
            "whatever it stands askew goes out with the sweep from behind.".to_owned()
        }
        TiltBy::Told => format!(
            "runs out by {} as you said: it is in the doubt.",
            swing(found.tilt.half())
        ),
        TiltBy::Assumed => format!(
            "nobody looked: taken as running out by up to {}, which is in the doubt.",
            swing(found.tilt.half())
        ),
    }
}

/// Sweeps that were not made.
fn what_next(found: &Copied) -> Vec<&'static str> {
    let mut more = Vec::new();
    if matches!(found.tilt_by, TiltBy::Assumed | TiltBy::Told) {
        more.push("sweep it again with the spindle turned by half a turn (a table [turned])");
    }
    if !found.lean_seen && found.own.is_some() {
        more.push("sweep it from behind too (a table [behind]): a headstock that is out goes out");
    }
    more
}
