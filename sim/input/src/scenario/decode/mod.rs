//! From two texts to a checked scenario, with every fault reported at once.

pub(crate) mod reading;
mod check;
pub(crate) mod section;
mod sense;
pub(crate) mod wordings;
pub(crate) mod bare;
pub(crate) mod amount;
mod measured;
pub(crate) mod syntax;
mod standard;
pub(crate) mod steady;
mod relief;
mod lead;
mod thread;
pub(crate) mod work;
pub(crate) mod lathe;
pub(crate) mod job;
mod repeats;
mod two_cuts;
mod finished;
mod rows;
mod taper_readings;
mod sample;
mod shop_tests;
mod proportion;

use std::collections::BTreeMap;

use super::want::Want;
use super::{Diagnostic, Scenario, Severity, Source};
use crate::quantity::Units;
use reading::Reading;
use section::{Got, Section};

/// Decodes a job and the lathe that it names. With the scenario come the warnings.
///
/// # Errors
/// Every fault of both texts, and the warnings: the job's first, each text's in reading order.
pub fn decode(
    job: Source<'_>,
    lathe: Source<'_>,
) -> Result<(Scenario, Vec<Diagnostic>), Vec<Diagnostic>> {
    let lathe_text = syntax::parse(lathe);
    let job_text = syntax::parse(job);
    let lathe_reading = Reading::new(lathe);
    let job_reading = Reading::new(job);
    let lathe_read = lathe::read(Section::top(&lathe_reading, &lathe_text.table));
    let job_read = job::read(
        Section::top(&job_reading, &job_text.table),
        lathe_read.units,
    );
    let scenario = Scenario {
        lathe: lathe_read,
        job: job_read,
    };
    check::across(&job_reading, &scenario);
    relief::across(&job_reading, &scenario);
    proportion::across(&job_reading, &scenario);
    proportion::of_the_lathe(&lathe_reading, &scenario.lathe);
    let mut found = syntax::merge(job_text, job_reading);
    found.extend(syntax::merge(lathe_text, lathe_reading));
    verdict(scenario, found)
}

/// Decodes a lathe file alone.
///
/// # Errors
/// Every fault of the text, and the warnings, in reading order.
pub fn decode_lathe(lathe: Source<'_>) -> Result<(super::Lathe, Vec<Diagnostic>), Vec<Diagnostic>> {
    let text = syntax::parse(lathe);
    let reading = Reading::new(lathe);
    let read = lathe::read(Section::top(&reading, &text.table));
    proportion::of_the_lathe(&reading, &read);
    verdict(read, syntax::merge(text, reading))
}

/// Decodes a file of carriage and slide readings.
///
/// # Errors
/// Every fault of the text, and the warnings, in reading order.
pub fn decode_readings(
    readings: Source<'_>,
) -> Result<(super::readings::ReadingSet, Vec<Diagnostic>), Vec<Diagnostic>> {
    let text = syntax::parse(readings);
    let reading = Reading::new(readings);
    let read = taper_readings::read(Section::top(&reading, &text.table));
    verdict(read, syntax::merge(text, reading))
}

/// Decodes a file of an indicator's readings along a sample.
///
/// # Errors
/// Every fault of the text, and the warnings, in reading order.
pub fn decode_sample(
    sample: Source<'_>,
) -> Result<(super::sample::SampleSweep, Vec<Diagnostic>), Vec<Diagnostic>> {
    let text = syntax::parse(sample);
    let reading = Reading::new(sample);
    let read = sample::read(Section::top(&reading, &text.table));
    verdict(read, syntax::merge(text, reading))
}

/// Decodes a file of filled-in shop tests.
///
/// # Errors
/// Every fault of the text, and the warnings, in reading order.
pub fn decode_shop_tests(
    tests: Source<'_>,
) -> Result<(super::shop_tests::ShopTests, Vec<Diagnostic>), Vec<Diagnostic>> {
    let text = syntax::parse(tests);
    let reading = Reading::new(tests);
    let read = shop_tests::read(Section::top(&reading, &text.table));
    verdict(read, syntax::merge(text, reading))
}

/// Decodes a file that says what a finished job gave.
///
/// # Errors
/// Every fault of the text, and the warnings, in reading order.
pub fn decode_finished(
    finished: Source<'_>,
) -> Result<(super::finished::Piece, Vec<Diagnostic>), Vec<Diagnostic>> {
    let text = syntax::parse(finished);
    let reading = Reading::new(finished);
    let read = finished::read(Section::top(&reading, &text.table));
    verdict(read, syntax::merge(text, reading))
}

/// Every key that was asked for with what may stand there, and those missing that have to be there.
pub(super) type Asked = (BTreeMap<String, Vec<Want>>, Vec<String>);

/// A kind of file.
#[derive(Clone, Copy)]
pub(super) enum Asks {
    Job,
    Lathe,
    Readings,
    Sample,
    Tests,
    Piece,
}

/// What the reading of such a file asks for in a text, whatever is wrong with it.
pub(super) fn keys_asked(text: &str, kind: Asks) -> Asked {
    keys_asked_by(text, |top| match kind {
        Asks::Job => drop(job::read(top, Units::Inch)),
        Asks::Lathe => drop(lathe::read(top)),
        Asks::Readings => drop(taper_readings::read(top)),
        Asks::Sample => drop(sample::read(top)),
        Asks::Tests => drop(shop_tests::read(top)),
        Asks::Piece => drop(finished::read(top)),
    })
}

/// The same of any reading.
pub(super) fn keys_asked_by(text: &str, read: impl FnOnce(Section<'_>)) -> Asked {
    let source = Source { name: "", text };
    let parsed = syntax::parse(source);
    let reading = Reading::new(source);
    let top = Section::top(&reading, &parsed.table);
    read(top);
    reading.into_wants()
}

fn verdict<T>(value: T, found: Vec<Diagnostic>) -> Result<(T, Vec<Diagnostic>), Vec<Diagnostic>> {
    if found.iter().any(|d| d.severity == Severity::Error) {
        Err(found)
    } else {
        Ok((value, found))
    }
}

/// The lathe file that a job names, so that it can be read before the job is decoded. Other
/// faults of the job are left for [`decode`].
///
/// # Errors
/// The faults that stand in the way of the name.
pub fn lathe_named_in(job: Source<'_>) -> Result<String, Vec<Diagnostic>> {
    let text = syntax::parse(job);
    let reading = Reading::new(job);
    reading.units.set(Units::Inch);
    let top = Section::top(&reading, &text.table);
    match top.text("lathe") {
        Got::Given(name) => return Ok(name),
        Got::Open => top.missing("lathe", "\"lathe.toml\""),
        Got::Faulty => {}
    }
    drop(top);
    Err(syntax::merge(text, reading))
}
