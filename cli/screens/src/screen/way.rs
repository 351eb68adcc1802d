//! One way with the attachment: what is made, what to do, what to expect.

use tautway_sim::compare::Way;
use tautway_sim::quantity::{INCHES_PER_FOOT, Quantity, Units};
use tautway_sim::record::{Outcome, Run, Seat};
use tautway_sim::scenario::{Kind, Scenario};
use tautway_sim::sensitivity::{Likely, Sensitivity};
use tautway_sim::study::WayOutlook;
use tautway_sim::verdict::NOT_SEEN;

use super::{begin, chance, finish, inertia, words};
use crate::spread::Spread;
use tautway_words::{Document, Role};

/// What is to be made, on what.
pub(super) fn heading(page: &mut Document, scenario: &Scenario, units: Units) {
    let end = words::end(scenario.job.work.big_end);
    let end = format!("big end toward the {end}, ");
    made(page, scenario, [" on diameter", &end], units);
    if let Some(note) = &scenario.job.note {
        page.say("", note);
    }
    page.gap();
}

/// The same on two lines.
pub(super) fn in_brief(page: &mut Document, scenario: &Scenario, units: Units) {
    made(page, scenario, ["", ""], units);
}

/// Job, lathe and drawing, with what is said behind the taper and before the material.
fn made(page: &mut Document, scenario: &Scenario, [taper, end]: [&str; 2], units: Units) {
    let work = &scenario.job.work;
    let tapers = words::Tapers::of(scenario, units);
    let kind = match work.kind {
        Kind::Inside => "bore",
        Kind::Outside => "outside",
    };
    let sample = work.taper_doubt.map_or(String::new(), |doubt| {
        let within = 0.5 * (doubt.high.si() - doubt.low.si());
        format!(", a sample's to +-{}", tapers.difference(within))
    });
    page.title(format!("{}, on {}", scenario.job.name, scenario.lathe.name));
    page.say(
        "",
        format!(
            "{kind}, {}{taper}{}{sample} ({}), {} long, {end}{}",
            tapers.nominal(work.taper),
            words::steep(work.taper, units),
            tapers.band(&work.tolerance),
            words::nominal(work.length, units),
            work.material
        ),
    );
}

/// What is told of, and how sure it is.
pub(super) struct Told<'a> {
    pub(super) scenario: &'a Scenario,
    /// One number at a time.
    pub(super) likely: Option<&'a Likely>,
    /// Over many lathes.
    pub(super) spread: Option<&'a Spread>,
    pub(super) units: Units,
}

/// Items one to six of the screen, for one way.
pub(super) fn recommended(page: &mut Document, label: &str, told: &Told<'_>, way: &Way, run: &Run) {
    let (scenario, units) = (told.scenario, told.units);
    let tried = told.spread.and_then(|spread| spread.of(&way.setup));
    let how = format!(
        "{}; {}.",
        words::way(&way.setup),
        words::tool(&way.tool, way.setup.kind)
    );
    page.say_as(Role::Advice, label, how);
    if let Some((first, others)) = way.cautions.split_first() {
        page.stop_if(format!("{}. {}", first.stop_if, first.advice));
        let others: Vec<&str> = others.iter().map(|caution| caution.short).collect();
        page.under("Also watch:", format!("{}.", others.join("; ")));
    }
    page.gap();
    page.say("Start", begin::from(&way.start, &way.setup, None, units));
    if let Some(room) = way.room.as_ref().and_then(|room| words::room(room, units)) {
        page.say("Bar:", format!("{room}."));
    }
    page.say("Aim", aim(told, run, way, tried));
    page.say(
        "Size:",
        format!(
            "{}{}.{}",
            words::size(&way.setup, &run.outcome, units),
            gives_way(way, &run.outcome),
            tried.map_or(String::new(), |tried| chance::size(tried, units)),
        ),
    );
    page.say(
        "Finish:",
        format!(
            "{}.{}{}",
            finish::finish(run, scenario, units),
            tried.map_or(String::new(), |tried| chance::finish(tried, units)),
            // What is met is said by the plan where that was played.
            tried
                .filter(|_| way.expect.is_none())
                .map_or(String::new(), chance::whole_drawing),
        ),
    );
    inertia::doubt(page, run, units);
}

fn aim(told: &Told<'_>, run: &Run, way: &Way, tried: Option<&WayOutlook>) -> String {
    let (scenario, likely, units) = (told.scenario, told.likely, told.units);
    let work = &scenario.job.work;
    let tapers = words::Tapers::of(scenario, units);
    let aim = run.outcome.taper - run.outcome.taper_error;
    let middle = if work.tolerance.lower.si() + work.tolerance.upper.si() == 0.0 {
        String::new()
    } else {
        format!(" (middle of {})", tapers.band(&work.tolerance))
    };
    if let Some(tried) = tried {
        return format!(
            "the guide at {} on diameter{middle}. {}.",
            tapers.show(aim),
            chance::taper(tried, &tapers)
        );
    }
    let expect = match likely {
        Some(likely) => format!(
            "{} +- {}",
            tapers.bare(run.outcome.taper),
            tapers.difference(likely.taper)
        ),
        None => tapers.show(run.outcome.taper),
    };
    let verdict = match way.verdict {
        Some(verdict) if !verdict.taper => "out of tolerance",
        _ if likely.is_some_and(|likely| !inside(scenario, run, likely)) => {
            "within tolerance, but not for sure"
        }
        _ => "within tolerance",
    };
    format!(
        "the guide at {} on diameter{middle}. Expect {expect}: {verdict}.",
        tapers.show(aim)
    )
}

/// Whether the whole likely range of the taper lies in the tolerance.
fn inside(scenario: &Scenario, run: &Run, likely: &Likely) -> bool {
    let work = &scenario.job.work;
    let off = run.outcome.taper - work.taper.si();
    off - likely.taper >= work.tolerance.lower.si()
        && off + likely.taper <= work.tolerance.upper.si()
}

/// Why a way that stays on its face still leaves something.
fn gives_way(way: &Way, o: &Outcome) -> String {
    let solid = o.seat != Seat::Floating && o.step.is_none();
    if !solid || o.size_error >= -2.0 * NOT_SEEN {
        return String::new();
    }
    let g = &way.gives;
    let (most, share) = [
        ("the bar", g.bar),
        ("the drive", g.drive),
        ("the post", g.post),
        ("the work with its spindle", g.work),
    ]
    .into_iter()
    .max_by(|a, b| a.1.total_cmp(&b.1))
    .unwrap_or(("the drive", 1.0));
    format!(
        " ({:.0} % of it is spring of {most}, {:.0} % of the rest): set that much more",
        100.0 * share,
        100.0 * (1.0 - share),
    )
}

/// A number, its range, what it does and how to find it.
pub(super) fn matter(m: &Sensitivity, tapers: words::Tapers, units: Units) -> String {
    let mut does = Vec::new();
    if m.floats {
        does.push("could make it float".to_owned());
    }
    if m.taper * INCHES_PER_FOOT >= 5e-5 && tapers.tells(m.taper) {
        does.push(format!("taper +-{}", tapers.difference(m.taper)));
    }
    if m.size > NOT_SEEN {
        does.push(format!("size +-{}", words::height(m.size, units)));
    }
    if m.waves > NOT_SEEN {
        does.push(format!("waves +{}", words::height(m.waves, units)));
    }
    let test = m.test.map_or(String::new(), |test| format!("; {test}"));
    format!("{}: {}{test}", words::with_range(m), does.join(", "))
}
