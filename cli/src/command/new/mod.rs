//! `tautway new`: asks about lathe and job, and writes both files.

pub(super) mod person;
pub(super) mod question;
mod job;
pub(super) mod lathe;
#[cfg(test)]
mod tests;

use std::fs;
use std::io::{self, IsTerminal};
use std::path::{Path, PathBuf};

use tautway_sim::quantity::Units;
use tautway_sim::scenario::template::{self, JobAnswers, LatheAnswers};
use tautway_sim::scenario::{Diagnostic, Severity, Source, decode, decode_lathe};

use crate::command::own_files::{JOB, LATHE as LATHE_FILE};
use crate::failure::{Failure, Verdict};
use crate::output::file::{self, Kind, Part};
use crate::plan::New;
use crate::terminal;
use crate::texts::Text;
use person::{AtTerminal, Person};
use question::{Ended, Question, ask, in_words, points_at};

/// The lathe file that `new` writes.
const LATHE: &str = "lathe.toml";
/// Times that answers which don't go together are asked for again.
const ROUNDS: usize = 3;

/// Where the two files go.
struct Places {
    directory: PathBuf,
    lathe: PathBuf,
    job: PathBuf,
}

/// Asks, or takes the example, and writes.
///
/// # Errors
/// When files are in the way, nobody can be asked, or the files can't be written.
pub fn new(plan: &New) -> Result<Verdict, Failure> {
    let overwrite = plan.overwrite;
    let places = places(&plan.place)?;
    if plan.example {
        refuse(
            &[(&places.lathe, &LATHE_FILE), (&places.job, &JOB)],
            overwrite,
        )?;
        let parts = [
            lathe_file(&places, template::lathe(&LatheAnswers::default())),
            job_file(&places, template::job(&JobAnswers::default())),
        ];
        file::write_all(&places.directory, &parts, overwrite)?;
        return told(&places, &parts, "Its numbers are invented.\n");
    }
    refuse(&[(&places.job, &JOB)], overwrite)?;
    if overwrite {
        refuse(&[(&places.lathe, &LATHE_FILE)], overwrite)?;
    }
    if !io::stdin().is_terminal() || !io::stdout().is_terminal() {
        return Err(Failure::Input(
            "`tautway new` asks questions and needs a terminal for it\n  help: `tautway new \
             --example` writes an example pair without asking"
                .to_owned(),
        ));
    }
    let there = if places.lathe.exists() && !overwrite {
        Some(Text::read(&places.lathe)?)
    } else {
        None
    };
    let asked = interview(&mut AtTerminal, there.as_ref()).map_err(|ended| match ended {
        Ended::Early => Failure::Stopped(
            "the answers ended before the questions; nothing was written".to_owned(),
        ),
        Ended::Terminal(why) => Failure::Stopped(format!("can't ask: {why}")),
    })?;
    let mut parts = Vec::new();
    if there.is_none() {
        parts.push(lathe_file(&places, asked.lathe));
    }
    parts.push(job_file(&places, asked.job));
    file::write_all(&places.directory, &parts, overwrite)?;
    let open = if asked.open.is_empty() {
        String::new()
    } else {
        format!(
            "Still to be filled in: {}. `tautway check` shows where.\n",
            asked.open.join(", ")
        )
    };
    told(&places, &parts, &open)
}

fn lathe_file(places: &Places, text: String) -> Part<'_> {
    Part {
        path: &places.lathe,
        text,
        kind: &LATHE_FILE,
    }
}

fn job_file(places: &Places, text: String) -> Part<'_> {
    Part {
        path: &places.job,
        text,
        kind: &JOB,
    }
}

/// Names all files that are in the way at once.
fn refuse(files: &[(&PathBuf, &Kind)], overwrite: bool) -> Result<(), Failure> {
    let there: Vec<_> = files
        .iter()
        .filter(|(file, _)| fs::symlink_metadata(file).is_ok())
        .collect();
    if overwrite || there.is_empty() {
        return there
            .iter()
            .try_for_each(|(file, kind)| file::may_be_written(file, overwrite, kind));
    }
    let names: Vec<_> = there
        .iter()
        .map(|(file, _)| file.display().to_string())
        .collect();
    Err(Failure::Input(format!(
        "{} {} there already\n  help: give another place, or --overwrite to replace what tautway \
         wrote there",
        names.join(" and "),
        if there.len() == 1 { "is" } else { "are" }
    )))
}

fn told(places: &Places, parts: &[Part<'_>], note: &str) -> Result<Verdict, Failure> {
    let names: Vec<_> = parts
        .iter()
        .map(|part| part.path.display().to_string())
        .collect();
    terminal::answer(&format!(
        "Wrote {}. {note}Next: tautway compare {}\n",
        names.join(" and "),
        typed(&places.job)
    ))?;
    Ok(Verdict::Done)
}

/// A path as one types it.
fn typed(path: &Path) -> String {
    let name = path.display().to_string();
    let plain = |c: char| c.is_alphanumeric() || "._/-+\\:".contains(c);
    if name.chars().all(plain) {
        name
    } else if cfg!(windows) {
        format!("\"{name}\"")
    } else {
        format!("'{}'", name.replace('\'', "'\\''"))
    }
}

fn places(place: &Path) -> Result<Places, Failure> {
    let is_file = place.extension().is_some_and(|end| end == "toml") && !place.is_dir();
    if !is_file && place.exists() && !place.is_dir() {
        return Err(Failure::Input(format!(
            "{} is a file\n  help: give a directory, or the name of a job file that ends in .toml",
            place.display()
        )));
    }
    let (directory, job) = if is_file {
        let parent = place.parent().unwrap_or(Path::new(""));
        (parent.to_owned(), place.to_owned())
    } else if place == Path::new(".") {
        (PathBuf::new(), PathBuf::from("job.toml"))
    } else {
        (place.to_owned(), place.join("job.toml"))
    };
    if job.file_name().is_some_and(|name| name == LATHE) {
        return Err(Failure::Input(format!(
            "{LATHE} is the lathe's file\n  help: give the job's file another name"
        )));
    }
    let above = directory.parent().filter(|p| !p.as_os_str().is_empty());
    if let Some(above) = above.filter(|above| !above.is_dir()) {
        return Err(Failure::Input(format!(
            "there is no directory {}\n  help: make it first, or name a place that is there",
            above.display()
        )));
    }
    Ok(Places {
        lathe: directory.join(LATHE),
        directory,
        job,
    })
}

/// What came of the questions.
struct Asked {
    lathe: String,
    job: String,
    /// Needed keys that were left open.
    open: Vec<&'static str>,
}

/// Asks about the lathe, unless there is one, and about the job.
fn interview(person: &mut dyn Person, there: Option<&Text>) -> Result<Asked, Ended> {
    person.tell(
        "Press Enter for \"don't know\": the usual is then taken, with a wide range. Ctrl-C stops \
         and writes nothing.",
    )?;
    let lathe = match there {
        Some(text) => {
            person.tell(&format!("The lathe is there already: {}.", text.name))?;
            text.text.clone()
        }
        None => {
            person.tell("\nThe lathe")?;
            let mut answers = lathe::nothing();
            let trial = |answers: &LatheAnswers| {
                let text = template::lathe(answers);
                let source = Source {
                    name: LATHE,
                    text: &text,
                };
                let found = decode_lathe(source).map_or_else(|found| found, |(_, found)| found);
                (text, found)
            };
            for question in lathe::QUESTIONS {
                let units = answers.units;
                ask(person, &mut answers, question, units, &trial)?;
            }
            template::lathe(&answers)
        }
    };
    let source = Source {
        name: LATHE,
        text: &lathe,
    };
    let units = decode_lathe(source).map_or(Units::Inch, |(lathe, _)| lathe.units);
    person.tell("\nThe job")?;
    let (job, open) = about_job(person, source, units)?;
    Ok(Asked { lathe, job, open })
}

fn about_job(
    person: &mut dyn Person,
    lathe: Source<'_>,
    units: Units,
) -> Result<(String, Vec<&'static str>), Ended> {
    let trial = |answers: &JobAnswers| {
        let text = template::job(answers);
        let source = Source {
            name: "the job",
            text: &text,
        };
        let mut found: Vec<Diagnostic> =
            decode(source, lathe).map_or_else(|found| found, |(_, found)| found);
        found.retain(|diagnostic| diagnostic.file == source.name);
        (text, found)
    };
    let mut answers = job::nothing(LATHE);
    let mut open = Vec::new();
    let mut wanted: Vec<&Question<JobAnswers>> = job::QUESTIONS.iter().collect();
    for _ in 0..ROUNDS {
        for question in wanted {
            open.retain(|key| *key != question.key);
            if (question.applies)(&answers) && ask(person, &mut answers, question, units, &trial)? {
                open.push(question.key);
            }
        }
        // What was left open stands at an example here and can't be held against the rest.
        let (text, found) = trial(&answers);
        let faults: Vec<_> = found
            .iter()
            .filter(|d| d.severity == Severity::Error)
            .collect();
        if faults.is_empty() || !open.is_empty() {
            break;
        }
        person.tell("\nThese answers don't go together:")?;
        for fault in &faults {
            person.tell(&format!("  {}.", in_words(fault)))?;
        }
        wanted = job::QUESTIONS
            .iter()
            .filter(|q| faults.iter().any(|fault| points_at(&text, fault, q.key)))
            .collect();
    }
    for key in &open {
        job::leave_open(&mut answers, key);
    }
    Ok((template::job(&answers), open))
}
