//! What a form that is filled in tells, as its command tells it; what is wrong stands beside its field.

use serde_json::{Value, json};
use tautway_screens::{gauging, screen};
use tautway_sim::quantity::Units;
use tautway_sim::readings::evaluate;
use tautway_sim::scenario::{
    Diagnostic, Scenario, Severity, Source, decode_finished, decode_lathe, decode_readings,
    decode_shop_tests,
};
use tautway_sim::shop_tests::findings;

use super::fault::Fault;
use super::{Form, sums, values};
use crate::hands::{Alone, NoAnswer};
use crate::said::html;
use crate::{measured, story};

/// What is told: the answer's HTML and what looks like a slip; or what is wrong.
type Told = Result<(Value, Vec<Fault>), Vec<Fault>>;

/// What the form tells; `scenario` is job and lathe, where they can be read, `lathe` its text.
pub fn told(
    of: Form,
    text: &str,
    (scenario, lathe): (Result<Scenario, String>, &str),
    (units, seed): (Units, u64),
) -> Value {
    let found = match of {
        Form::Tests => tests(text, lathe),
        Form::Readings => readings(text, units),
        Form::Piece => piece(text, scenario, units, seed),
        sum => gauged(sum, text, units),
    };
    match found {
        Ok((mut told, faults)) => {
            told["faults"] = json!(faults);
            told
        }
        Err(faults) => json!({ "faults": faults }),
    }
}

fn source<'a>(name: &'a str, text: &'a str) -> Source<'a> {
    Source { name, text }
}

/// Why there is no answer, of no field's own.
fn loose(why: &str) -> Vec<Fault> {
    vec![Fault::pointed("", why)]
}

/// What shop tests tell of a lathe, and the lathe with their numbers in it.
fn tests(text: &str, lathe: &str) -> Told {
    let read = decode_shop_tests(source("shop tests", text));
    let (tests, warnings) = read.map_err(|found| Fault::decoded(Form::Tests, &found, text))?;
    let read = |text: &str| {
        let read = decode_lathe(source("lathe", text));
        let lines = |found: Vec<Diagnostic>| -> String {
            let wrong = found.iter().filter(|one| one.severity == Severity::Error);
            let lines: Vec<&str> = wrong.map(|one| one.message.as_str()).collect();
            lines.join("; ")
        };
        read.map_err(|found| loose(&format!("the lathe can't be read: {}", lines(found))))
    };
    let (before, _) = read(lathe)?;
    let found = findings(&tests, &before);
    let changes: Vec<_> = found.findings.iter().map(measured::Change::of).collect();
    let steps = changes.iter().any(|change| change.key == "readout.step");
    let reads = tests.steps.reads.filter(|_| steps);
    let changed = measured::put(lathe, before.units, &changes, reads).map_err(|why| loose(&why))?;
    let (after, _) = read(&changed)?;
    let said = screen::tests_tell(&tests, [&before, &after], &found);
    let told = json!({ "said": html(&said), "lathe": changed, "numbers": changes.len() });
    Ok((told, Fault::decoded(Form::Tests, &warnings, text)))
}

/// What carriage and slide readings tell.
fn readings(text: &str, units: Units) -> Told {
    let read = decode_readings(source("readings", text));
    let (set, warnings) = read.map_err(|found| Fault::decoded(Form::Readings, &found, text))?;
    let found = evaluate(&set).map_err(|why| {
        let (message, hint) = screen::why_no_taper(why);
        vec![Fault::of("readings.rows", message, hint)]
    })?;
    let said = screen::readings(&found, units);
    Ok((
        json!({ "said": html(&said) }),
        Fault::decoded(Form::Readings, &warnings, text),
    ))
}

/// What a finished piece tells.
fn piece(text: &str, scenario: Result<Scenario, String>, units: Units, seed: u64) -> Told {
    let read = decode_finished(source("piece", text));
    let (piece, warnings) = read.map_err(|found| Fault::decoded(Form::Piece, &found, text))?;
    let scenario = scenario.map_err(|why| loose(&format!("job and lathe can't be read: {why}")))?;
    let cuts = story::CUTS;
    let found = story::weigh(&scenario, &piece, cuts, seed, &Alone);
    let found = found.map_err(|why| loose(&NoAnswer::words(why)))?;
    let mut said = screen::piece(&screen::Told {
        scenario: &scenario,
        setup: &found.setup,
        piece: &piece,
        found: &found.diagnosis,
        look: found.look.as_ref(),
        cuts,
        seed,
        units,
    });
    said.leave_out(" (few of its pieces came near: more --trials would say it better)");
    Ok((
        json!({ "said": html(&said) }),
        Fault::decoded(Form::Piece, &warnings, text),
    ))
}

/// A gauging sum.
fn gauged(of: Form, text: &str, units: Units) -> Told {
    let sum = sums::sum(of, units, &values(of, text))?;
    let page = gauging::answer(&sum, Some(units));
    let page = page.map_err(|refusal| vec![Fault::refused(of, &refusal)])?;
    let mut said = page.document();
    said.leave_out(" (--shake, --over)");
    said.leave_out(" (--mark)");
    Ok((json!({ "said": html(&said) }), Vec::new()))
}
