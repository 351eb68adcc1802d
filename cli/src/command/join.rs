//! `tautway tools join`: parts of one comparison, run by themselves, put together.

use std::path::{Path, PathBuf};

use tautway_sim::quantity::Units;
use tautway_sim::spread::Ending;
use tautway_sim::study::{Study, Trial};

use super::compare::{Tried, give, helped, weighed};
use crate::answer::trials::Record;
use crate::failure::{Failure, Verdict};
use crate::output::folder;
use crate::plan::{Join, Wanted};
use crate::texts::{self, Text};
use crate::trials::{self, Shares, Sink};

/// A directory that one run wrote.
struct Part {
    place: PathBuf,
    record: Record,
}

/// Joins the parts and answers as one run of all would have.
///
/// # Errors
/// Parts that don't belong together or leave a gap, files that can't be read or written.
pub fn join(plan: &Join) -> Result<Verdict, Failure> {
    let may_be_written = || match &plan.to.out {
        Some(directory) => folder::may_be_written(directory, plan.to.overwrite),
        None => Ok(()),
    };
    may_be_written()?;
    let mut parts = plan
        .parts
        .iter()
        .map(|place| Part::read(place))
        .collect::<Result<Vec<_>, _>>()?;
    // Not over one of the parts.
    may_be_written()?;
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
    let units = if record.units == "inch" {
        Units::Inch
    } else {
        Units::Metric
    };
    read.scenario.job.units = units;
    let options = record.options();
    let pool = &trials::pool(plan.threads)?;
    let mut comparison = weighed(&read.scenario, options, pool)?;
    helped(&mut comparison, &read.scenario, options, pool)?;
    let ways = trials::ways(&comparison);
    let study = trials::study(&read.scenario, &ways, options)?;
    for part in &parts {
        part.fits(&study)?;
    }
    let mut sink = Sink::new(&study, plan.to.out.as_deref(), units)?;
    for part in &parts {
        part.trials(|trial| sink.add(&trial))?;
    }
    let (gathered, rows) = sink.end()?;
    let shares = if record.detail {
        Shares::Each
    } else {
        Shares::Parts
    };
    let spread = trials::told(
        study,
        &gathered,
        Ending::Complete,
        record.coverage,
        shares,
        pool,
    )?;
    let args = Wanted {
        format: plan.format,
        to: plan.to.clone(),
        report: None,
        detail: record.detail,
        options,
    };
    let methods = trials::of_methods(
        &read.scenario,
        &comparison.methods,
        options,
        spread.outlook.trials,
        record.coverage,
        pool,
    )?;
    let tried = Tried {
        spread: Some(&spread),
        rows: rows.as_ref(),
        methods: &methods,
        brief: false,
        part: None,
    };
    give(&read, units, &args, &comparison, &tried, pool)
}

impl Part {
    fn read(place: &Path) -> Result<Self, Failure> {
        let file = |name: &str| Text::of_ours(&place.join(name));
        let record = file("study.json")?;
        let record: Record = serde_json::from_str(&record.text)
            .map_err(|why| not_as_written(&place.join("study.json"), why.line(), &why))?;
        let part = Self {
            place: place.to_owned(),
            record,
        };
        let Record { from, count, .. } = part.record;
        let mut next = from;
        let mut in_order = true;
        part.trials(|trial| {
            in_order &= trial.number == next;
            next += 1;
            Ok(())
        })?;
        if !in_order || next != from + count {
            return Err(Failure::Input(format!(
                "{}: trials {from} to {} are wanted in trials.jsonl, in order",
                place.display(),
                from + count - 1
            )));
        }
        Ok(part)
    }

    /// Reads the trials, one after another.
    fn trials(&self, mut each: impl FnMut(Trial) -> Result<(), Failure>) -> Result<(), Failure> {
        let path = self.place.join("trials.jsonl");
        for (at, line) in Text::lines(&path)?.enumerate() {
            let line = line.map_err(|why| Failure::of_file("read", &path, &why))?;
            let Some(trial) = trials::unsealed(&line) else {
                return Err(not_as_written(&path, at + 1, &"its checksum is another"));
            };
            let trial =
                serde_json::from_str(&trial).map_err(|why| not_as_written(&path, at + 1, &why))?;
            each(trial)?;
        }
        Ok(())
    }

    /// Whether every trial has as many numbers and ways as this study draws and cuts.
    fn fits(&self, study: &Study) -> Result<(), Failure> {
        let (values, ways) = (study.quantities().len(), study.ways().count());
        let fits = |trial: &Trial| trial.values.len() == values && trial.ways.len() == ways;
        let mut line = 0;
        self.trials(|trial| {
            line += 1;
            if fits(&trial) {
                return Ok(());
            }
            Err(Failure::Input(format!(
                "{}:{line}: a trial of this job has {values} values and {ways} ways",
                self.place.join("trials.jsonl").display()
            )))
        })
    }
}

fn not_as_written(path: &Path, line: usize, why: &dyn std::fmt::Display) -> Failure {
    Failure::Input(format!(
        "{}:{line}: not as `compare --first-trial --folder` wrote it: {why}",
        path.display()
    ))
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
