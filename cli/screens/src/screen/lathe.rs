//! What a person reads of the lathe's numbers: tests worked out, the next test, what was learned.

use std::path::Path;

use schemars::JsonSchema;
use serde::Serialize;
use tautway_sim::compare::Way;
use tautway_sim::expect::Expect;
use tautway_sim::learn::{Learned, MODEL_SHARE};
use tautway_sim::quantity::{Dimension, Units};
use tautway_sim::scenario::{Lathe, Scenario};
use tautway_sim::shop_tests::notation::told;
use tautway_sim::shop_tests::{Found, NoteKind, ShopTests, Test};
use tautway_sim::worth::Step;

use super::words::way as name_of;
use super::{expect, worth};
use tautway_words::Document;

fn range(range: [f64; 3], dimension: Dimension, units: Units) -> String {
    let [low, middle, high] = range.map(|si| told(si, dimension, units));
    if low == high {
        middle
    } else {
        format!("{middle} ({low} to {high})")
    }
}

fn end(page: &mut Document, wrote: Option<&Path>, nothing: &str) {
    page.gap();
    match wrote {
        Some(path) => page.say("WROTE:", format!("{}.", path.display())),
        None => page.say("NOTHING WRITTEN:", nothing),
    }
}

/// What to expect of a job before shop tests and after them.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct SameJob {
    /// Before; none where it can't be cut.
    pub before: Option<Expect>,
    /// After.
    pub after: Option<Expect>,
}

/// The shop tests worked out, the same job on both lathes, and what was written.
pub fn tested(
    tests: &ShopTests,
    lathes: [&Lathe; 2],
    found: &Found,
    same_job: Option<&SameJob>,
    wrote: Option<&Path>,
) -> Document {
    let mut page = tests_tell(tests, lathes, found);
    if let Some(job) = same_job {
        page.gap();
        let told = |expect: &Option<Expect>| {
            expect
                .as_ref()
                .map_or("it can't be cut.".to_owned(), |expect| {
                    format!(
                        "{} lathes like yours, cut this way: {}.",
                        expect::in_short(expect),
                        name_of(&expect.way)
                    )
                })
        };
        page.say("THE SAME JOB BEFORE:", told(&job.before));
        page.say("NOW:", told(&job.after));
    }
    end(
        &mut page,
        wrote,
        "give --out lathe.toml to keep these numbers.",
    );
    page
}

/// What the shop tests tell by themselves.
pub fn tests_tell(tests: &ShopTests, [before, after]: [&Lathe; 2], found: &Found) -> Document {
    let units = before.units;
    let mut page = Document::new();
    let done: Vec<_> = found.done.iter().map(|t| t.number().to_string()).collect();
    let done = if done.is_empty() {
        "none".to_owned()
    } else {
        done.join(", ")
    };
    page.say("TESTS DONE:", format!("{done}, on {}.", after.name));
    let left: Vec<_> = Test::ALL
        .iter()
        .filter(|t| t.is_minimum() && !found.done.contains(t))
        .map(|t| t.name())
        .collect();
    if !left.is_empty() {
        page.say("OF THE LEAST, NOT DONE:", format!("{}.", left.join("; ")));
    }
    page.gap();
    page.lead("Numbers, with the range that covers the truth 95 times in 100:");
    for finding in &found.findings {
        let now = range(finding.range, finding.dimension, units);
        page.say("", format!("{}: {now}", finding.words));
    }
    for (kind, label) in [
        (NoteKind::DoesNotAddUp, "DOESN'T ADD UP:"),
        (NoteKind::CannotTell, "CAN'T BE TOLD:"),
        (NoteKind::Told, "NOTE:"),
    ] {
        for note in found.notes.iter().filter(|note| note.kind == kind) {
            page.say(
                label,
                format!("test {}: {}.", note.test.number(), note.words),
            );
        }
    }
    if tests.steps.slide <= 0.0 && tests.steps.carriage <= 0.0 {
        page.say(
            "NOTE:",
            "no gauge steps given: ranges come from the repeats alone.",
        );
    }
    page
}

/// The test to do next.
pub fn next(scenario: &Scenario, way: &Way) -> Document {
    let mut page = Document::new();
    page.say(
        "JOB:",
        format!(
            "{}, cut this way: {}.",
            scenario.job.name,
            name_of(&way.setup)
        ),
    );
    let (Some(now), Some(found)) = (&way.expect, &way.worth) else {
        page.say("NEXT:", "this way can't be cut: no test changes that.");
        return page;
    };
    page.say(
        "AS THINGS STAND:",
        format!(
            "{} lathes like yours; a piece takes {:.0} min, with what goes wrong {:.0}.",
            expect::in_short(now),
            now.minutes,
            now.cost.expected
        ),
    );
    let tests: Vec<&Step> = found.tests().collect();
    let Some(best) = tests.first() else {
        page.say("NEXT:", "no test tells anything that isn't known.");
        return page;
    };
    let then = |step: &Step| format!("{} then", expect::of_100(&step.met));
    let pieces = scenario.job.pieces;
    let so_many = if pieces == 1 {
        "one piece".to_owned()
    } else {
        format!("{pieces} pieces")
    };
    if best.pays() {
        page.say(
            "DO NEXT:",
            format!(
                "{}: saves {:.0} min a piece; {}.",
                worth::name(best),
                best.saves,
                then(best)
            ),
        );
    } else {
        page.say(
            "DO NEXT:",
            format!("nothing for this job: no test pays for itself on {so_many}."),
        );
    }
    page.lead("What each would save a piece, its own time not counted:");
    for step in &tests {
        let gain = step.gain(pieces);
        let gain = if gain > step.doubt {
            format!("{gain:.1} min")
        } else {
            "nothing that shows".to_owned()
        };
        page.item(format!("{}: {gain}; {}.", worth::name(step), then(step)));
    }
    if let Some(change) = found.first().filter(|step| !step.is_test()) {
        page.say(
            "RATHER:",
            format!(
                "{}: saves {:.0} min a piece.",
                worth::name(change),
                change.saves
            ),
        );
    }
    page.gap();
    page.say(
        "HOW:",
        "on each of the lathes the plan was played on, what the test would find there is drawn \
         with its error, and dial and guide set by it. A test that tells what gauging between the \
         passes tells anyway saves little. `tautway lathe form` prints the procedures.",
    );
    page
}

/// What finished pieces taught.
pub fn learned(
    learned: &Learned,
    pieces: usize,
    lathe: &str,
    (units, detail): (Units, bool),
    wrote: Option<&Path>,
) -> Document {
    let mut page = Document::new();
    let of = match pieces {
        1 => "this piece".to_owned(),
        pieces => format!("these {pieces} pieces, all together"),
    };
    page.say(
        "LEARNED FROM:",
        format!(
            "{of}: {} lathes like yours that come out as gauged.",
            learned.draws
        ),
    );
    let (changed, same): (Vec<_>, Vec<_>) = learned.numbers.iter().partition(|n| n.changed);
    for (of_lathe, heading) in [
        (true, format!("Numbers of {lathe}, before and after:")),
        (
            false,
            "Numbers of this job, told and not written:".to_owned(),
        ),
    ] {
        let rows: Vec<_> = changed.iter().filter(|n| n.of_lathe == of_lathe).collect();
        if rows.is_empty() {
            continue;
        }
        page.gap();
        page.lead(&heading);
        for number in rows {
            let before = range(number.before, number.dimension, units);
            let after = range(number.after, number.dimension, units);
            page.say("", format!("{}: {before} -> {after}", number.words));
        }
    }
    if let Some(told) = learned.push_over_drag {
        page.gap();
        let of = |of: [f64; 3]| range(of, Dimension::Ratio, units);
        page.say(
            "PUSH-OFF OVER DRAG, DRAWN AWAY:",
            format!(
                "{} -> {}; below 1 the slide keeps its face.",
                of(told.before),
                of(told.after)
            ),
        );
    }
    page.gap();
    let names: Vec<_> = same.iter().map(|n| n.words).collect();
    if changed.is_empty() {
        page.say(
            "LEARNED:",
            "nothing: this job's outcome doesn't tell one lathe from another.",
        );
    } else if !names.is_empty() {
        page.say("UNCHANGED:", format!("{}.", names.join(", ")));
    }
    if detail {
        page.say(
            "HOW:",
            format!(
                "{} lathes were drawn from the ranges and moved in {} steps, {} cuts in all, until \
                 they give what was gauged; at the end they are worth {:.0} drawn apart. The \
                 nearest one, how far out it lies in its ranges counted in, misses by {:.1} \
                 standard deviations. The model itself was taken to be off by {:.0} % of the \
                 depth set.",
                learned.draws,
                learned.steps,
                learned.cuts,
                learned.effective,
                learned.misses,
                100.0 * MODEL_SHARE
            ),
        );
    }
    end(
        &mut page,
        wrote,
        "give --out FILE to keep what was learned.",
    );
    page
}
