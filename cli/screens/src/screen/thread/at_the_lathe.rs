//! What to do at the lathe: start, tool, every pass, the groove found again.

use tautway_sim::arithmetic::cos;
use tautway_sim::compare::Start;
use tautway_sim::feasibility::depth_on_cross_dial;
use tautway_sim::quantity::{Angle, Quantity, Units};
use tautway_sim::scenario::{End, Holding, Infeed, Kind, PassPlan, ThreadCut};
use tautway_sim::setup::{Pull, Setup};
use tautway_sim::thread::pick_up::PickUp;
use tautway_sim::thread::{Method, ThreadPass, ThreadRun, ThreadWay, between_points, bottom};

use super::super::{begin, words};
use super::told::{Told, lead, seat};
use tautway_words::{Block, Document, Table};

pub(super) fn start(told: &Told<'_>, cut: &ThreadCut, best: &ThreadWay) -> String {
    let units = told.units;
    let end = words::starting_end(&best.setup);
    let Some(s) = &best.start else {
        return format!(
            "clear of the {end}; wind the cross-slide in from a turn out, so that its nut bears \
             before every pass. Tailstock over by {} {}: between the centres' points the job says \
             {}.",
            words::height(best.set_over.unwrap_or(0.0), units),
            if best.set_over.unwrap_or(0.0) > 0.0 {
                "toward you"
            } else {
                "away from you"
            },
            words::about(between_points(told.scenario), units),
        );
    };
    let also = "half-nut and lead screw take up their slack on the way";
    let mut from = begin::from(s, &best.setup, Some(also), units);
    if bottom(told.scenario, cut, &best.setup) {
        from.push(' ');
        from.push_str(&at_the_bottom(s, units));
    }
    // Where nothing is said of each pass, it is said here.
    if s.by_hand || s.short {
        from
    } else {
        format!("every pass {from}")
    }
}

/// What a start at the bottom of a bore asks for.
fn at_the_bottom(start: &Start, units: Units) -> String {
    let room = words::about(start.room, units);
    if start.by_hand {
        format!(
            "That is at the bottom of the bore: a blind one leaves {room} past the thread, so the \
             tool waits in its groove, out of sight, while the slide is seated. Find its place by a \
             stop on the bed."
        )
    } else {
        format!(
            "That is at the bottom of the bore: look that {room} past the thread are really there \
             before a blind bottom, and stop the carriage short of it by a stop on the bed."
        )
    }
}

/// Where the hand is when the slide is seated before a pass.
pub(super) fn beside(told: &Told<'_>, cut: &ThreadCut, setup: &Setup) -> &'static str {
    let work = &told.scenario.job.work;
    match (work.kind, work.holding, setup.starts_at()) {
        _ if bottom(told.scenario, cut, setup) => "with the tool at the bottom of the bore",
        (Kind::Outside, Holding::Centres, End::Headstock) => "beside the dog",
        (_, _, End::Headstock) => "beside the chuck",
        (Kind::Outside, Holding::Centres | Holding::ChuckAndCentre, End::Tailstock) => {
            "beside the tailstock's centre"
        }
        (_, _, End::Tailstock) => "at the free end",
    }
}

/// `about 25 minutes`: rough, as what it is made of is.
pub(super) fn minutes(seconds: f64) -> String {
    let minutes = seconds / 60.0;
    let step = if minutes < 20.0 { 1.0 } else { 5.0 };
    format!("about {:.0} minutes", step * (minutes / step).round())
}

/// What the way asks of the hand.
pub(super) fn labour(told: &Told<'_>, cut: &ThreadCut, best: &ThreadWay) -> Option<String> {
    let labour = best.labour.as_ref()?;
    let seated = match labour.seatings {
        0 => "no seating by hand".to_owned(),
        count => format!(
            "the slide seated by hand {count} times, {}, spindle stopped",
            beside(told, cut, &best.setup)
        ),
    };
    let over = match best.method {
        Method::Attachment => "",
        Method::TailstockOver => ", the tailstock set over and back among them",
    };
    Some(format!(
        "{} passes, {seated}; {} in all{over} (a guess, to tell the ways apart).",
        labour.passes,
        minutes(labour.time)
    ))
}

pub(super) fn tool(told: &Told<'_>, cut: &ThreadCut, best: &ThreadWay) -> String {
    let mut text = match best.method {
        Method::Attachment => "square to the spindle's axis, not to the cone: set the gauge on \
                               straight work or the chuck's face."
            .to_owned(),
        Method::TailstockOver => format!(
            "square to the work's own axis, which leans by {}: set the gauge on a straight part of \
             the work. Squared to the bed the flanks would lean by as much.",
            Angle::from_si(
                best.run
                    .as_ref()
                    .map_or(0.0, |r| r.outcome.lead.flanks_lean)
            )
            .show(told.units)
        ),
    };
    if let Infeed::Flank(angle) = cut.infeed {
        text.push_str(&format!(
            " Go in along the flank: top slide {} off square to the axis, so that going in moves \
             the tool {}.",
            degrees(angle),
            words::toward(best.setup.feed)
        ));
    } else {
        text.push_str(" Go in square to the axis.");
    }
    if cut.form.round_crest {
        text.push_str(" The crests stay flat: round them with a chaser or a form tool.");
    }
    text
}

fn degrees(angle: Angle) -> String {
    let text = format!("{:.2}", angle.si().to_degrees());
    format!("{} deg", text.trim_end_matches('0').trim_end_matches('.'))
}

pub(super) fn passes(page: &mut Document, told: &Told<'_>, cut: &ThreadCut, run: &ThreadRun) {
    let units = told.units;
    let lean = cut.infeed.angle();
    let flank = lean > 0.0;
    let unit = match units {
        Units::Inch => "inches",
        Units::Metric => "mm",
    };
    let plan = match &cut.plan {
        PassPlan::ConstantArea(_) => "each takes the same area of chip",
        PassPlan::Depths(_) => "as given",
    };
    // With a plain attachment the nut is let go and the cross dial is dead.
    let plain = !depth_on_cross_dial(told.scenario)
        && told
            .found
            .best()
            .is_some_and(|best| best.method == Method::Attachment);
    let dial = if flank || plain {
        "the dial is the top slide's, counted"
    } else {
        "the dial counts per side"
    };
    let drawn_away = told
        .found
        .best()
        .is_some_and(|best| best.pull == Pull::Away);
    let spring = if drawn_away && cut.spring > 0 {
        " Better without the spring passes this way: drawn away, a light pass may dig in."
    } else {
        ""
    };
    page.say(
        "Passes:",
        format!(
            "{plan}. In {unit}: {dial} from the touch after the run-in; depth is what the groove \
             then is.{spring}"
        ),
    );
    let head = ["no.", "dial", "depth", "push-off", "slide"];
    let mut table = Table::new(head).words_in(&[4]);
    let row = |pass: &ThreadPass, after: &str| {
        let spring = if pass.spring { ", spring pass" } else { "" };
        let step = pass.step.map_or(String::new(), |step| {
            format!(
                ", CHANGES SEAT: {} {}",
                words::height(step, units),
                if step > 0.0 { "deeper" } else { "shallower" }
            )
        });
        let within = if pass.seat_changes.is_empty() {
            ""
        } else {
            ", changes part way"
        };
        [
            pass.number.to_string(),
            words::bare_height(pass.dial / cos(lean), units),
            words::bare_height(pass.reached, units),
            words::forces(pass.push_off, units),
            format!("{}{step}{within}{spring}{after}", seat(pass.seat)),
        ]
    };
    for pass in &run.passes {
        table.row(row(pass, ""));
    }
    const SHOWN: usize = 4;
    let more = run.by_gauge.len();
    for (index, pass) in run.by_gauge.iter().enumerate() {
        if told.detail || more <= SHOWN + 1 || index < 2 || index + 2 >= more {
            table.row(row(pass, ", after gauging"));
        } else if index == 2 {
            let alike = format!("and {} more alike", more - SHOWN);
            table.row(["...", "", "", "", &alike]);
        }
    }
    page.push(Block::Table(table));
}

pub(super) fn pick_up(told: &Told<'_>, cut: &ThreadCut) -> String {
    let screw = &told.scenario.lathe.lead_screw;
    let usual = if screw.assumed {
        format!(
            " (Taken: a lead screw of {}, a dial of {} lines to {} of carriage. Check yours, and \
             the chart on the apron.)",
            lead(screw.lead, told.units),
            screw.dial_lines,
            words::nominal(screw.dial_turn, told.units)
        )
    } else {
        String::new()
    };
    let rule = match told.found.pick_up {
        PickUp::Anywhere => format!(
            "close the half-nut anywhere: {} go whole into the lead screw's.",
            lead(cut.lead, told.units)
        ),
        PickUp::Lines { step: 1, .. } => "close the half-nut at any line of the dial.".to_owned(),
        PickUp::Lines { step, of } if step == of => {
            "close the half-nut at one line of the dial and always at that same one.".to_owned()
        }
        PickUp::Lines { step, of } => format!(
            "close the half-nut at one line of the dial, and after that at this line or every {} \
             from it: {} of the {of} lines do.",
            match step {
                2 => "second".to_owned(),
                3 => "third".to_owned(),
                step => format!("{step}th"),
            },
            of / step
        ),
        PickUp::NeverOpen => "the dial never comes round right for this one: keep the half-nut \
                              closed to the last pass. Draw the tool clear, stop, reverse the \
                              spindle until the carriage is past its start, then forward."
            .to_owned(),
    };
    format!("{rule}{usual}")
}
