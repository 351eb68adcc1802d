//! `tautway lathe update`: from filled-in shop tests to the lathe file.

use std::path::Path;

use schemars::JsonSchema;
use serde::Serialize;
use tautway_browser_engine::measured::Change;
use tautway_sim::scenario::template::{self, LatheAnswers};
use tautway_sim::scenario::{Condition, Lathe, decode, decode_lathe, decode_shop_tests};
use tautway_sim::shop_tests::{Found, ShopTests, findings};

use super::edit::put;
use crate::answer::{Record, answered};
use crate::command::new::answers::nothing_of_a_lathe;
use crate::command::own_files::LATHE;
use crate::command::predict::chosen;
use crate::failure::Failure;
use crate::output::file;
use crate::plan::{CheckFormat, Choice, Run, Write};
use crate::terminal;
use crate::text_file::STANDARD_INPUT;
use crate::texts::{self, Text};
use crate::trials;
use tautway_screens::screen::{self, SameJob};

/// What shop tests say of a lathe.
#[derive(Serialize, JsonSchema)]
pub struct Updated<'a> {
    /// The tests as they were read.
    tests: &'a ShopTests,
    /// What they come to.
    found: &'a Found,
    /// The lathe with their numbers.
    lathe: &'a Lathe,
    /// What to expect of a job before and after.
    job: Option<&'a SameJob>,
    /// The lathe file that was written.
    written: Option<&'a Path>,
}

impl Record for Updated<'_> {
    const UNITS: &'static str = "SI: m, N, N/m; tapers as change of diameter over length";
}

/// Works the tests out, tells them, and writes where that was asked.
///
/// # Errors
/// When a file is not right or can't be written.
pub fn update(
    path: &Path,
    from: &str,
    job: Option<&Path>,
    run: Run,
    args: &Write,
    format: CheckFormat,
) -> Result<(), Failure> {
    let text = Text::read(path)?;
    let (tests, warnings) = decode_shop_tests(text.source())
        .map_err(|found| texts::refused(&found, std::slice::from_ref(&text)))?;
    texts::show(&warnings, std::slice::from_ref(&text));
    let base = base(from, &tests)?;
    let (lathe, warnings) = decode_lathe(base.source())
        .map_err(|found| texts::refused(&found, std::slice::from_ref(&base)))?;
    texts::show(&warnings, std::slice::from_ref(&base));
    if let Some(path) = &args.write {
        file::may_be_written(path, args.overwrite, &LATHE)?;
    }
    let found = findings(&tests, &lathe);
    let changes: Vec<Change> = found.findings.iter().map(Change::of).collect();
    let reads = tests.steps.reads.filter(|_| {
        let of_step = |change: &Change| change.key == "readout.step";
        changes.iter().any(of_step)
    });
    let (written, after) = put(&base, lathe.units, &changes, reads)?;
    let now = Text {
        text: written,
        ..base.clone()
    };
    let same_job = job.map(|job| same_job(job, &base, &now, run)).transpose()?;
    let written = now.text;
    if let Some(path) = &args.write {
        file::write(path, args.overwrite, &written, &LATHE)?;
    }
    let told = match format {
        CheckFormat::Text => terminal::set(&screen::tested(
            &tests,
            [&lathe, &after],
            &found,
            same_job.as_ref(),
            args.write.as_deref(),
        )),
        CheckFormat::Json => answered(Updated {
            tests: &tests,
            found: &found,
            lathe: &after,
            job: same_job.as_ref(),
            written: args.write.as_deref(),
        }),
    };
    file::tell_beside(args.write.as_deref(), &told)
}

/// The same job on both lathes, each cut the way that is best on it.
fn same_job(path: &Path, before: &Text, after: &Text, run: Run) -> Result<SameJob, Failure> {
    let job = Text::read(path)?;
    let on = |lathe: &Text| {
        let (scenario, _) = decode(job.source(), lathe.source())
            .map_err(|found| texts::refused(&found, &[job.clone(), lathe.clone()]))?;
        let pool = trials::pool(run.threads)?;
        let way = chosen(&scenario, Choice::default(), run.options, &pool)?;
        Ok::<_, Failure>(way.expect)
    };
    let before = on(before)?;
    Ok(SameJob {
        before,
        after: on(after)?,
    })
}

/// A lathe file, or the template of a lathe in such a condition.
fn base(from: &str, tests: &ShopTests) -> Result<Text, Failure> {
    let condition = match from {
        "good" => Condition::Good,
        "ordinary" => Condition::Ordinary,
        "worn" => Condition::Worn,
        "junk" => Condition::Junk,
        file => {
            let path = Path::new(file);
            let is_word = from != STANDARD_INPUT && path.extension().is_none();
            if is_word && !path.exists() {
                return Err(Failure::Input(format!(
                    "--from {file} is neither a file nor one of good, ordinary, worn, junk\n  \
                     help: name a lathe file, or one of these words"
                )));
            }
            return Text::read(path);
        }
    };
    let answers = LatheAnswers {
        name: tests
            .name
            .clone()
            .unwrap_or_else(|| nothing_of_a_lathe().name),
        units: tests.units,
        condition: Some(condition),
        ..nothing_of_a_lathe()
    };
    Ok(Text {
        name: "the new lathe file".to_owned(),
        text: template::lathe(&answers),
    })
}
