//! What a person reads of the lathe's numbers: tests worked out, the next test, what was learned.

use std::path::Path;

use tautway_sim::compare::Way;
use tautway_sim::learn::{Learned, MODEL_SHARE};
use tautway_sim::next_test::{Narrowed, Worths};
use tautway_sim::quantity::{Dimension, Length, Quantity, Taper, Units, show};
use tautway_sim::scenario::{Lathe, Scenario};
use tautway_sim::sensitivity::Likely;
use tautway_sim::shop_tests::notation::told;
use tautway_sim::shop_tests::{Found, NoteKind, ShopTests, Test};

use super::words::way as name_of;
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

fn within([taper, size, waves]: [f64; 3], units: Units) -> String {
    format!(
        "taper within {}, size within {}, waves up to {}",
        Taper::from_si(taper).show(units),
        show::dial(Length::from_si(size), units),
        show::dial(Length::from_si(waves), units)
    )
}

fn sure(likely: &Likely, units: Units) -> String {
    within([likely.taper, likely.size, likely.waves], units)
}

/// The shop tests worked out.
pub fn tested(
    tests: &ShopTests,
    [before, after]: [&Lathe; 2],
    found: &Found,
    narrowed: Option<&Narrowed>,
    wrote: Option<&Path>,
) -> Document {
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
    if let Some(narrowed) = narrowed {
        page.gap();
        page.say(
            "THE SAME JOB BEFORE:",
            format!("{}.", sure(&narrowed.before, units)),
        );
        page.say("NOW:", format!("{}.", sure(&narrowed.after, units)));
        let by: Vec<_> = narrowed.by.iter().map(|(words, _)| *words).collect();
        let by = if by.is_empty() {
            "nothing: these tests don't tell what this job's outcome hangs on".to_owned()
        } else {
            by.join(", ")
        };
        page.say("NARROWED BY:", format!("{by}."));
    }
    end(
        &mut page,
        wrote,
        "give --write lathe.toml to keep these numbers.",
    );
    page
}

/// The test to do next.
pub fn next(scenario: &Scenario, way: &Way, worths: &Worths, units: Units) -> Document {
    let mut page = Document::new();
    page.say(
        "JOB:",
        format!(
            "{}, cut this way: {}.",
            scenario.job.name,
            name_of(&way.setup)
        ),
    );
    let now = &worths.now;
    page.say("AS THINGS STAND:", format!("{}.", sure(now, units)));
    let Some(best) = worths.tests.first() else {
        page.say("NEXT:", "no test would narrow this answer.");
        return page;
    };
    let percent = |share: f64| format!("{:.0} %", 100.0 * share);
    page.say(
        "DO NEXT:",
        format!(
            "{} ({} min). It would take away {} of the range: {}.",
            best.test.name(),
            best.test.minutes(),
            percent(best.narrows),
            within([best.taper, best.size, best.waves], units)
        ),
    );
    for other in &worths.tests[1..] {
        let name = other.test.name();
        page.under(
            "then",
            format!("{name}: {} of the range.", percent(other.narrows)),
        );
    }
    page.gap();
    page.say(
        "HOW:",
        "every uncertain number was moved to both ends of its range and the finishing passes run \
         again; the swings add as squares. Each test shrinks the ranges of what it measures to \
         what three repeats give. `tautway lathe form` prints the procedures.",
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
        "give --write FILE to keep what was learned.",
    );
    page
}
