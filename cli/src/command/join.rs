//! `tautway join`: parts of one comparison, run by themselves, put together.

use std::path::{Path, PathBuf};

use tautway_sim::quantity::Units;
use tautway_sim::spread::Ending;
use tautway_sim::study::{Study, Trial};

use super::compare::{Tried, give, run_all, spread_ways};
use crate::answer::folder;
use crate::answer::trials::Record;
use crate::arguments::{AnswerArgs, Format, To, UnitsArg};
use crate::failure::{Failure, Verdict};
use crate::texts::{self, Text};
use crate::trials::{self, Shares};

/// A directory that one run wrote.
struct Part {
    place: PathBuf,
    record: Record,
    trials: Vec<Trial>,
}

/// Joins the parts and answers as one run of all would have.
///
/// # Errors
/// Parts that don't belong together or leave a gap, files that can't be read or written.
pub fn join(
    places: &[PathBuf],
    format: Format,
    out: Option<PathBuf>,
    overwrite: bool,
    threads: Option<u16>,
) -> Result<Verdict, Failure> {
    if let Some(directory) = &out {
        folder::may_be_written(directory, overwrite)?;
    }
    let mut parts = places
        .iter()
        .map(|place| Part::read(place))
        .collect::<Result<Vec<_>, _>>()?;
    parts.sort_by_key(|part| part.record.from);
    belong_together(&parts)?;
    let record = parts[0].record.clone();
    let [job, lathe] = &record.files[..] else {
        return Err(Failure::Input(format!(
            "{}: a job and a lathe are wanted in study.json",
            parts[0].place.display()
        )));
    };
    let text = |file: &crate::answer::trials::File| Text {
        name: file.name.clone(),
        text: file.text.clone(),
    };
    let mut read = texts::decoded([text(job), text(lathe)]).map_err(|refused| refused.show())?;
    let (units, arg) = if record.units == "inch" {
        (Units::Inch, UnitsArg::Inch)
    } else {
        (Units::Metric, UnitsArg::Metric)
    };
    read.scenario.job.units = units;
    let options = record.options();
    let comparison = run_all(&read.scenario, options)?;
    let ways = spread_ways(&comparison);
    let study = trials::study(&read.scenario, &ways, options)?;
    for part in &parts {
        part.fits(&study)?;
    }
    let pool = trials::pool(threads)?;
    let all: Vec<Trial> = parts.into_iter().flat_map(|part| part.trials).collect();
    let shares = if record.detail {
        Shares::Each
    } else {
        Shares::Parts
    };
    let spread = trials::told(study, all, Ending::Complete, record.coverage, shares, &pool)?;
    let args = AnswerArgs {
        format,
        to: To {
            out,
            overwrite,
            units: Some(arg),
        },
        report: None,
        start: None,
        detail: record.detail,
        seed: record.seed,
    };
    let methods = trials::of_methods(
        &read.scenario,
        &comparison.methods,
        options,
        spread.trials.len() as u64,
        record.coverage,
        &pool,
    )?;
    let tried = Tried {
        spread: Some(&spread),
        methods: &methods,
        part: None,
    };
    give(&read, units, &args, options, &comparison, &tried)
}

impl Part {
    fn read(place: &Path) -> Result<Self, Failure> {
        let file = |name: &str| Text::read(&place.join(name));
        let (record, lines) = (file("study.json")?, file("trials.jsonl")?);
        let bad = |name: &str, line: usize, why: &serde_json::Error| {
            Failure::Input(format!(
                "{}:{line}: not as `compare --from --count --out` wrote it: {why}",
                place.join(name).display()
            ))
        };
        let record: Record = serde_json::from_str(&record.text)
            .map_err(|why| bad("study.json", why.line(), &why))?;
        let trials = lines
            .text
            .lines()
            .enumerate()
            .map(|(at, line)| {
                serde_json::from_str(line).map_err(|why| bad("trials.jsonl", at + 1, &why))
            })
            .collect::<Result<Vec<Trial>, _>>()?;
        let numbers = trials.iter().map(|trial| trial.number);
        if !numbers.eq(record.from..record.from + record.count) {
            return Err(Failure::Input(format!(
                "{}: trials {} to {} are wanted in trials.jsonl, in order",
                place.display(),
                record.from,
                record.from + record.count - 1
            )));
        }
        Ok(Self {
            place: place.to_owned(),
            record,
            trials,
        })
    }

    /// Whether every trial has as many numbers and ways as this study draws and cuts.
    fn fits(&self, study: &Study) -> Result<(), Failure> {
        let (values, ways) = (study.quantities().len(), study.ways().count());
        let fits = |trial: &Trial| trial.values.len() == values && trial.ways.len() == ways;
        match self.trials.iter().position(|trial| !fits(trial)) {
            None => Ok(()),
            Some(at) => Err(Failure::Input(format!(
                "{}:{}: a trial of this job has {values} values and {ways} ways",
                self.place.join("trials.jsonl").display(),
                at + 1
            ))),
        }
    }
}

/// Whether the parts are of one whole: the same but for their trials, from 1 on without a gap.
fn belong_together(parts: &[Part]) -> Result<(), Failure> {
    let mut next = 1;
    let first = &parts[0];
    if first.record.version != env!("CARGO_PKG_VERSION") {
        return Err(Failure::Input(format!(
            "{} was run by version {}, this is {}\n  help: join with the version that ran the \
             parts, or run them again",
            first.place.display(),
            first.record.version,
            env!("CARGO_PKG_VERSION")
        )));
    }
    for part in parts {
        let same = Record {
            from: first.record.from,
            count: first.record.count,
            ending: first.record.ending.clone(),
            ..part.record.clone()
        };
        if same != first.record {
            return Err(Failure::Input(format!(
                "{} and {} are not of one whole: files, seed, version and options must be the \
                 same",
                first.place.display(),
                part.place.display()
            )));
        }
        if part.record.from != next {
            let what = if part.record.from < next {
                format!("trial {} is there twice", part.record.from)
            } else {
                format!("trials {next} to {} are missing", part.record.from - 1)
            };
            return Err(Failure::Input(format!("{}: {what}", part.place.display())));
        }
        next += part.record.count;
    }
    Ok(())
}
