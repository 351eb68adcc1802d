//! What carriage and slide readings tell: the taper really set, lost motion, what to do.

use tautway_sim::arithmetic::{clamp, max};
use tautway_sim::quantity::show::{self, deviation, dial};
use tautway_sim::quantity::{Angle, INCHES_PER_FOOT, Length, Quantity, Units};
use tautway_sim::readings::{
    CAUTIONS, Evaluation, Insufficient, Interval, LostRead, Nudge, Remedy, ScaleSense, Settles,
    Source, Suspicion, Unseated, Use, Verdict,
};
use tautway_sim::scenario::{End, Toward};
use tautway_sim::setup::Feed;

use super::words;
use tautway_words::Document;

/// The answer on one screen.
pub fn readings(e: &Evaluation, units: Units) -> Document {
    let mut page = Document::new();
    page.say("Readings:", format!("{}.", e.name));
    page.stop_if(format!("the spindle turns. {}", CAUTIONS.join(" ")));
    page.gap();
    taper(&mut page, e, units);
    verdict(&mut page, e, units);
    nudge(&mut page, e, units);
    page.say("Lost on reversal:", lost(e, units));
    for run in &e.unseated {
        page.say("SLACK NEAR THE TRAVEL READ:", unseated(run, units));
    }
    page.say("Repeats within:", repeats(e, units));
    set_aside(&mut page, e, units);
    for suspicion in &e.guide {
        page.say("Suspect the guide:", suspect(suspicion, units));
    }
    scale(&mut page, e);
    page.gap();
    page.say(
        "Note:",
        "slide readings can't see a headstock or tailstock that is out: a straight test cut does. \
         Intervals cover 95 in 100.",
    );
    page
}

/// Why readings tell no taper, and what would.
pub fn why_no_taper(why: Insufficient) -> (&'static str, &'static str) {
    match why {
        Insufficient::OnePlace => (
            "the readings stand at too few places for a taper",
            "read at two places of the carriage at least, in one direction",
        ),
        Insufficient::NoTaper => (
            "the slide did not move with the carriage",
            "is the attachment coupled, and is this the slide's column?",
        ),
    }
}

/// A difference of tapers with its sign.
pub(super) fn difference(taper: f64, units: Units) -> String {
    let sign = if taper < 0.0 { "-" } else { "+" };
    let size = match units {
        Units::Inch => format!("{:.4} in/ft", (INCHES_PER_FOOT * taper).abs()),
        Units::Metric => format!("{:.3} mm/m", (1e3 * taper).abs()),
    };
    format!("{sign}{size}")
}

/// A taper to a tenth of a thousandth.
pub(super) fn fine(taper: f64, units: Units) -> String {
    match units {
        Units::Inch => format!("{:.4} in/ft", INCHES_PER_FOOT * taper),
        Units::Metric => format!("{:.3} mm/m", 1e3 * taper),
    }
}

pub(super) fn half(interval: f64, units: Units) -> String {
    difference(interval, units).replacen('+', "+-", 1)
}

fn taper(page: &mut Document, e: &Evaluation, units: Units) {
    let forms = &e.forms;
    let other = match units {
        Units::Inch => &forms.mm_per_metre,
        Units::Metric => &forms.inch_per_foot,
    };
    page.say(
        "Really set, on diameter:",
        format!(
            "{} ({} to {}). That is {}, {other}, {}, {}.",
            fine(e.taper.value, units),
            fine(e.taper.low, units),
            fine(e.taper.high, units),
            forms.ratio,
            forms.half_angle,
            forms.included
        ),
    );
    page.say(
        "Off what you want:",
        format!(
            "{} on diameter ({} to {}), {} over the {} read. The readout's steps alone: up to {}.",
            difference(e.error.value, units),
            difference(e.error.low, units),
            difference(e.error.high, units),
            deviation(Length::from_si(e.error.value * e.travel), units),
            Length::from_si(e.travel).show(units),
            half(e.steps, units)
        ),
    );
}

fn verdict(page: &mut Document, e: &Evaluation, units: Units) {
    let Some(j) = &e.judgement else { return };
    let band = format!("{} to {}", fine(j.least, units), fine(j.most, units));
    let text = match j.verdict {
        Verdict::Proven => format!("PROVEN: within {band}."),
        Verdict::Failed => format!("FAILED: outside {band}."),
        Verdict::NotProven => format!(
            "NOT PROVEN: {:.0} in 100 that it is within {band}.",
            clamp(100.0 * j.chance, 1.0, 99.0)
        ),
    };
    page.say("Tolerance:", &text);
    if j.verdict != Verdict::NotProven {
        return;
    }
    if e.guide.iter().any(Suspicion::bends) {
        page.say(
            "What would settle it:",
            "a guide that is straight; see below.",
        );
    } else if j.at_the_limit {
        page.say(
            "What would settle it:",
            "nothing that is read: it stands at the limit. Nudge the guide to the middle first.",
        );
    } else {
        let (good, vain): (Vec<&Settles>, Vec<&Settles>) = j.settles.iter().partition(|s| s.enough);
        let say = |of: &[&Settles]| -> String {
            let all: Vec<String> = of.iter().map(|s| remedy(s, units)).collect();
            all.join("; ")
        };
        let mut text = if good.is_empty() {
            "none of these alone".to_owned()
        } else {
            say(&good)
        };
        if !vain.is_empty() {
            text.push_str(&format!(". Would not: {}", say(&vain)));
        }
        page.say("What would settle it:", format!("{text}."));
    }
}

fn remedy(s: &Settles, units: Units) -> String {
    let leaves = half(s.leaves, units);
    match s.remedy {
        Remedy::LongerTravel { travel } => format!(
            "a travel of {} (leaves {leaves})",
            Length::from_si(travel).show(units)
        ),
        Remedy::FinerIndicator { step } => format!(
            "an indicator of {} on the slide (leaves {leaves})",
            Length::from_si(step).show(units)
        ),
        Remedy::MoreReadings { times } => {
            format!("each reading {times} times (leaves {leaves})")
        }
    }
}

fn nudge(page: &mut Document, e: &Evaluation, units: Units) {
    if let Some(n) = &e.nudge {
        page.say(
            "Nudge the guide:",
            nudge_in_words(n, &fine(n.aim, units), units),
        );
    }
}

/// What to do to the guide's end, to come to what it aims at.
pub(super) fn nudge_in_words(n: &Nudge, aim: &str, units: Units) -> String {
    let toward = match n.toward {
        Toward::Operator => "toward you",
        Toward::Away => "away from you",
    };
    let end = match n.end {
        End::Headstock => "headstock",
        End::Tailstock => "tailstock",
    };
    let by = dial(Length::from_si(n.distance.value), units);
    if n.within_reading {
        format!("leave it: the {by} {toward} that would bring it to {aim} are within the readings.")
    } else {
        format!(
            "its {end} end by {by} {toward} ({}), to come to {aim}. Indicator square to the bar at \
             that end.",
            range(n.distance, units)
        )
    }
}

fn range(interval: Interval, units: Units) -> String {
    format!(
        "{} to {}",
        dial(Length::from_si(max(interval.low, 0.0)), units),
        dial(Length::from_si(interval.high), units)
    )
}

fn lost(e: &Evaluation, units: Units) -> String {
    let length = |m: f64| Length::from_si(m).show(units);
    match e.lost {
        LostRead::OneDirection if !e.unseated.is_empty() => format!(
            "{} of carriage travel at least; no more can be told from these readings.",
            words::about(e.unseated.iter().map(|run| run.stood).fold(0.0, max), units)
        ),
        LostRead::OneDirection => {
            "lost motion can't be known from readings in one direction. Read back the other way."
                .to_owned()
        }
        LostRead::Known { travel, across } => format!(
            "{} of carriage travel ({} to {}); the slide stands off {} between the two \
             directions ({}), foot included.",
            length(travel.value),
            length(max(travel.low, 0.0)),
            length(travel.high),
            dial(Length::from_si(across.value), units),
            range(across, units)
        ),
        LostRead::Ahead { .. } => "the slide seems to run ahead of the guide, which it can't: the \
                                   two directions are the wrong way round, or carriage_grows is."
            .to_owned(),
    }
}

/// Readings among which the slide hardly followed, and how to read better.
fn unseated(run: &Unseated, units: Units) -> String {
    let toward = match run.feed {
        Feed::Headstock => "headstock",
        Feed::Tailstock => "tailstock",
    };
    let what = if run.left_out {
        "so it may never have been seated, and those rows are left out"
    } else {
        "so few of those rows are seated"
    };
    format!(
        "toward the {toward} (rows {} to {}) the slide stood still for about {} of the {} read, \
         {what}. Go {} past the first place before you turn back to it, or read in one direction \
         only and take lost motion from the reversal test (`tautway lathe form`).",
        run.rows.0,
        run.rows.1,
        words::about(run.stood, units),
        words::about(run.travel, units),
        show::carriage_travel(Length::from_si(run.run_past), units),
    )
}

fn repeats(e: &Evaluation, units: Units) -> String {
    let r = &e.repeatability;
    let two = dial(Length::from_si(2.0 * r.sigma.value), units);
    let how = match r.source {
        Source::Seen => format!(
            "as the readings scatter; it may be {} to {}",
            dial(Length::from_si(2.0 * r.sigma.low), units),
            dial(Length::from_si(2.0 * r.sigma.high), units)
        ),
        Source::Given => "as given".to_owned(),
        Source::Assumed => "ASSUMED: there is no reading to spare. Take more".to_owned(),
    };
    let hidden = if r.hidden && r.source == Source::Seen {
        ". The readout's steps hide it"
    } else {
        ""
    };
    let unseen = r.unseen.map_or_else(
        || "Too few readings to find a misread one among them".to_owned(),
        |unseen| {
            let unseen = dial(Length::from_si(unseen), units);
            format!("A single misreading of less than {unseen} may stand among them unseen")
        },
    );
    format!("{two} of slide movement either way (2 sigma), {how}{hidden}. {unseen}.")
}

fn set_aside(page: &mut Document, e: &Evaluation, units: Units) {
    // Told as a whole.
    let left_out = |row: usize| {
        let runs = e.unseated.iter().filter(|run| run.left_out);
        runs.into_iter()
            .any(|run| (run.rows.0..=run.rows.1).contains(&row))
    };
    let rows = |taken: Use| -> Vec<String> {
        e.readings
            .iter()
            .filter(|r| r.taken == taken && !left_out(r.reading.row))
            .map(|r| {
                let toward = match r.reading.feed {
                    Feed::Headstock => "headstock",
                    Feed::Tailstock => "tailstock",
                };
                format!(
                    "row {} (carriage {}, toward the {toward}, {} off)",
                    r.reading.row,
                    Length::from_si(r.reading.carriage).show(units),
                    dial(Length::from_si(r.residual.abs()), units)
                )
            })
            .collect()
    };
    for (taken, label, why) in [
        (Use::Wild, "Wild:", "left out. Read it again"),
        (
            Use::NotTakenUp,
            "Slack not taken up:",
            "left out. Run farther past before turning back",
        ),
        (
            Use::Doubtful,
            "Slack perhaps not taken up:",
            "left out, to be safe",
        ),
    ] {
        let named = rows(taken);
        if !named.is_empty() {
            page.say(label, format!("{}; {why}.", named.join(", ")));
        }
    }
}

pub(super) fn suspect(suspicion: &Suspicion, units: Units) -> String {
    match suspicion {
        Suspicion::Curved { bow, taper } => format!(
            "curved by {} over the travel read; {} at the headstock end, {} at the tailstock end. \
             No single taper.",
            dial(Length::from_si(bow.value.abs()), units),
            fine(taper.headstock, units),
            fine(taper.tailstock, units)
        ),
        Suspicion::Climbing { lost } => format!(
            "slack changes along it: {} lost at the headstock end, {} at the tailstock end. It \
             climbs, or is worn in one place.",
            Length::from_si(lost.headstock).show(units),
            Length::from_si(lost.tailstock).show(units)
        ),
        Suspicion::LooseEnd { at, end, taper, .. } => format!(
            "breaks at carriage {}: {} at the headstock end, {} at the tailstock end. Look at the \
             clamp of the {} end.",
            Length::from_si(*at).show(units),
            fine(taper.headstock, units),
            fine(taper.tailstock, units),
            match end {
                End::Headstock => "headstock",
                End::Tailstock => "tailstock",
            }
        ),
    }
}

fn scale(page: &mut Document, e: &Evaluation) {
    let Some(s) = &e.scale else { return };
    let angle = |rad: f64| Angle::from_si(rad).show(Units::Inch);
    let off = format!(
        "It shows {} too {}",
        angle(s.off.abs()),
        if s.off < 0.0 { "little" } else { "much" }
    );
    let text = match s.sense {
        ScaleSense::PerSide => format!("reads per side. {off}."),
        ScaleSense::Included => {
            format!("reads the included angle, twice the angle per side. {off}.")
        }
        ScaleSense::Neither => format!(
            "set to {}, while the guide gives {} per side: neither per side nor included. Don't \
             set by it.",
            angle(s.set),
            angle(s.per_side.value)
        ),
    };
    page.say("Degree scale:", &text);
}
