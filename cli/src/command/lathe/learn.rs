//! `tautway lathe learn`: what a finished job says of the lathe.

use std::path::{Path, PathBuf};

use schemars::JsonSchema;
use serde::Serialize;
use tautway_sim::cut::Options;
use tautway_sim::learn::{Finished, Gauged, Learned, Refused, Step, learn_all};
use tautway_sim::scenario::decode_finished;
use tautway_sim::setup::Setup;

use super::edit::put;
use crate::answer::{Record, answered};
use crate::command::own_files::LATHE;
use crate::failure::Failure;
use crate::output::file;
use crate::plan::{CheckFormat, Write};
use crate::progress::Progress;
use crate::terminal;
use crate::text_file::STANDARD_INPUT;
use crate::texts::{self, Read, Text};
use crate::trials::pool;
use tautway_browser_engine::measured::Change;
use tautway_screens::screen;

/// How it is to be done.
pub struct How {
    /// Lathes drawn.
    pub draws: usize,
    /// What they grow from.
    pub seed: u64,
    /// Threads to run on.
    pub threads: Option<u16>,
    /// How it was worked out is told too.
    pub detail: bool,
    /// How to answer.
    pub format: CheckFormat,
}

/// What finished jobs taught.
#[derive(Serialize, JsonSchema)]
pub struct Learnt<'a> {
    /// Of the luck: what every draw grows from.
    seed: u64,
    /// The pieces.
    pieces: Vec<Of<'a>>,
    /// What they say of the lathe.
    learned: &'a Learned,
    /// The lathe file that was written.
    written: Option<&'a Path>,
}

impl Record for Learnt<'_> {
    const UNITS: &'static str = "SI: m, N, N/m, Pa; tapers as change of diameter over length";
}

/// A finished piece.
#[derive(Serialize, JsonSchema)]
struct Of<'a> {
    /// The way it was cut.
    setup: Setup,
    /// What was gauged on it.
    gauged: &'a Gauged,
}

/// A piece with the job it was cut to.
struct Brought {
    job: Read,
    setup: Setup,
    gauged: Gauged,
    started: Option<f64>,
}

/// Draws, brings the draws to what was gauged, tells before and after, and writes where that was
/// asked.
///
/// # Errors
/// When the files are not right, no lathe gives what was gauged, or the file can't be written.
pub fn learn(
    job: Option<&Path>,
    gauged: &[PathBuf],
    how: &How,
    args: &Write,
) -> Result<(), Failure> {
    let (job, gauged) = in_todays_order(job, gauged)?;
    let brought = gauged
        .iter()
        .enumerate()
        .map(|(n, gauged)| bring(job, gauged, n == 0))
        .collect::<Result<Vec<Brought>, Failure>>()?;
    let Some(first) = brought.first() else {
        return Err(Failure::Input("no piece was named".to_owned()));
    };
    let read = &first.job;
    for (other, file) in brought.iter().zip(gauged).skip(1) {
        if other.job.scenario.lathe != read.scenario.lathe {
            return Err(Failure::Input(format!(
                "{} was cut on another lathe than the first piece\n  help: learn from the pieces of \
                 one lathe at a time",
                file.display()
            )));
        }
    }
    if let Some(path) = &args.write {
        file::may_be_written(path, args.overwrite, &LATHE)?;
    }
    let finished: Vec<Finished<'_>> = brought
        .iter()
        .map(|piece| Finished {
            scenario: &piece.job.scenario,
            setup: piece.setup,
            gauged: &piece.gauged,
            started: piece.started,
        })
        .collect();
    let options = Options {
        seed: how.seed,
        ..Options::default()
    };
    let learned = {
        let progress = Progress::start("drawing lathes");
        let pool = pool(how.threads)?;
        let tell = |step: Step| {
            progress.tell(format!(
                "cutting on lathes drawn, {} so far, {:.0} % of what was gauged counts",
                step.cuts,
                100.0 * step.counts
            ));
        };
        pool.install(|| learn_all(&finished, options, how.draws, tell))
    }
    .map_err(|refused| match refused {
        Refused::Range(fault) => Failure::Input(fault.to_string()),
        refused => Failure::Stopped(why(&refused)),
    })?;
    let lathe = &read.texts[1];
    let units = read.scenario.lathe.units;
    let changes: Vec<Change> = learned
        .numbers
        .iter()
        .filter(|number| number.changed && number.of_lathe)
        .map(|number| Change {
            key: number.key,
            dimension: number.dimension,
            range: number.after,
            from: Some(also(
                read.scenario.lathe.measured_by(number.key),
                &format!(
                    "finished job \"{}\"",
                    read.scenario.job.name.replace('\n', " ")
                ),
            )),
        })
        .collect();
    let (written, _) = put(lathe, units, &changes, None)?;
    if let Some(path) = &args.write {
        file::write(path, args.overwrite, &written, &LATHE)?;
    }
    let told = match how.format {
        CheckFormat::Text => terminal::set(&screen::learned(
            &learned,
            brought.len(),
            &lathe.name,
            (units, how.detail),
            args.write.as_deref(),
        )),
        CheckFormat::Json => answered(Learnt {
            seed: how.seed,
            pieces: brought
                .iter()
                .map(|piece| Of {
                    setup: piece.setup,
                    gauged: &piece.gauged,
                })
                .collect(),
            learned: &learned,
            written: args.write.as_deref(),
        }),
    };
    file::tell_beside(args.write.as_deref(), &told)
}

/// What gave a number before, and this.
fn also(before: Option<&str>, this: &str) -> String {
    match before {
        Some(before) if before.split("; ").any(|one| one == this) => before.to_owned(),
        Some(before) => format!("{before}; {this}"),
        None => this.to_owned(),
    }
}

/// The job and the pieces' files; a job that was typed before them, as was the order once, is told in
/// a hint.
fn in_todays_order<'a>(
    job: Option<&'a Path>,
    files: &'a [PathBuf],
) -> Result<(Option<&'a Path>, &'a [PathBuf]), Failure> {
    let [first, gauged @ ..] = files else {
        return Ok((job, files));
    };
    let piped = first.as_os_str() == STANDARD_INPUT;
    if job.is_some() || gauged.is_empty() || piped || texts::is_piece(&Text::read(first)?) {
        return Ok((job, files));
    }
    terminal::note(
        "hint: `tautway lathe learn JOB FILE` is `tautway lathe learn FILE --job JOB` now",
    );
    Ok((Some(first), gauged))
}

/// A piece's file, and the job: its own, if it isn't the first and names one.
fn bring(job: Option<&Path>, gauged: &Path, first: bool) -> Result<Brought, Failure> {
    let text = Text::read(gauged)?;
    let (piece, warnings) = decode_finished(text.source())
        .map_err(|found| texts::refused(&found, std::slice::from_ref(&text)))?;
    let named = piece.job.as_deref();
    let job = texts::job_of_piece(job.filter(|_| first || named.is_none()), named, gauged)?;
    let read = texts::job(&job)?.map_err(|refused| refused.show())?;
    if first {
        texts::show(&read.warnings, &read.texts);
    }
    texts::show(&warnings, std::slice::from_ref(&text));
    let gauged = piece.gauged(&read.scenario);
    let setup = gauged
        .way(&read.scenario)
        .ok_or_else(|| Failure::Input("no such way can cut this work".to_owned()))?;
    Ok(Brought {
        job: read,
        setup,
        gauged,
        started: piece.started,
    })
}

fn why(refused: &Refused) -> String {
    match refused {
        Refused::NothingInDoubt => "every number is given without a range: there is nothing to \
                                    narrow\n  help: give ranges, such as \"0.06 in +- 0.01 in\""
            .to_owned(),
        Refused::OutOfReach { .. } => {
            "no lathe within the ranges gives what was gauged, nor one a good way out of them\n  \
             help: check the readings and the way it was cut; else a range in the lathe or job file \
             is wrong"
                .to_owned()
        }
        Refused::TooFew { effective, draws } => format!(
            "the lathes drawn don't come apart: {draws} are worth {effective:.0}\n  help: draw more \
             with --trials"
        ),
        Refused::Range(fault) => fault.to_string(),
    }
}
