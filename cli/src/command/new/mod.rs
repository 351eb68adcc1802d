//! `tautway new`: asks about lathe and job, and writes both files.

pub(super) mod person;
pub(super) mod answers;
pub(super) mod question;
mod job;
mod lathe;
#[cfg(test)]
mod tests;
#[cfg(test)]
mod typed;

use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use tautway_screens::screen;
use tautway_sim::cut::Options;
use tautway_sim::scenario::numbers;
use tautway_sim::scenario::template::{self, JobAnswers, LatheAnswers};
use tautway_sim::scenario::{Diagnostic, Severity, Source, decode, decode_lathe};

use crate::command::compare;
use crate::command::draft::Draft;
use crate::command::own_files::{JOB, LATHE as LATHE_FILE};
use crate::failure::{Failure, Verdict};
use crate::output::file::{self, Kind, Part};
use crate::plan::New;
use crate::texts::{self, Text};
use crate::{terminal, trials};
use answers::{Answers, LATHE};
use person::{AtTerminal, Kept, Person};
use question::{Ended, File, Question, Step, WORDS, ask, in_words, points_at};

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
    let mut draft = Draft::beside(&places.beside())?;
    // What an interview that was stopped has written is its own to write again.
    let going_on = !draft.is_empty();
    let overwrite = overwrite || going_on;
    refuse(&[(&places.job, &JOB)], overwrite)?;
    if overwrite {
        refuse(&[(&places.lathe, &LATHE_FILE)], overwrite)?;
    }
    let Some(mut person) = AtTerminal::new() else {
        return Err(Failure::Input(
            "`tautway new` asks questions and needs a terminal for it\n  help: or answers on \
             standard input, a line each; `tautway new --example` writes an example pair without \
             asking"
                .to_owned(),
        ));
    };
    let own_lathe =
        !places.lathe.exists() || plan.overwrite || draft.given("lathe: units").is_some();
    let there = match own_lathe {
        true => None,
        false => Some(Text::read(&places.lathe)?),
    };
    let mut written = false;
    let mut first = |asked: &Asked| {
        write(&places, asked, own_lathe, overwrite)?;
        written = true;
        first_comparison(asked)
    };
    let asked = interview(&mut person, there.as_ref(), &mut draft, &mut first);
    let asked = match asked {
        Ok(asked) => asked,
        Err(Stopped::Failed(failure)) => return Err(failure),
        Err(Stopped::Ended(ended)) => {
            let why = match ended {
                Ended::Terminal(why) => format!("can't ask: {why}"),
                Ended::Early => "the answers ended before the questions".to_owned(),
                Ended::Quit => "stopped".to_owned(),
            };
            let kept = match (draft.is_empty(), written) {
                (true, _) => "nothing was written".to_owned(),
                (false, false) => draft.told(),
                (false, true) => format!(
                    "both files are written with the first answers, and {}",
                    draft.told()
                ),
            };
            return Err(Failure::Stopped(format!("{why}; {kept}")));
        }
    };
    let parts = write(&places, &asked, own_lathe, overwrite || written)?;
    draft.done();
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

/// Writes what was answered.
fn write<'p>(
    places: &'p Places,
    asked: &Asked,
    own_lathe: bool,
    overwrite: bool,
) -> Result<Vec<Part<'p>>, Failure> {
    let mut parts = Vec::new();
    if own_lathe {
        parts.push(lathe_file(places, asked.lathe.clone()));
    }
    parts.push(job_file(places, asked.job.clone()));
    file::write_all(&places.directory, &parts, overwrite)?;
    Ok(parts)
}

/// Compares the ways by the first answers, tells what comes of it, and gives the keys of what
/// moves that most, most first.
fn first_comparison(asked: &Asked) -> Result<Vec<&'static str>, Failure> {
    let text = |name: &str, text: &str| Text {
        name: name.to_owned(),
        text: text.to_owned(),
    };
    let texts = [text("the job", &asked.job), text(LATHE, &asked.lathe)];
    let read = match texts::decoded(texts) {
        Ok(read) => read,
        Err(refused) => return Err(refused.show()),
    };
    let (scenario, units) = (&read.scenario, read.scenario.job.units);
    let options = Options::default();
    let pool = &trials::pool(None)?;
    let comparison = compare::weighed(scenario, options, pool)?;
    let likely = comparison
        .best()
        .map(|best| compare::how_sure(scenario, &best.setup, options, units, pool));
    let page = screen::compare(scenario, &comparison, None, None, &[], units, false);
    terminal::answer(&format!("\n{}\n", terminal::set(&page)))?;
    let matters = likely.into_iter().flat_map(|likely| likely.matters);
    Ok(matters.map(|matter| matter.key).collect())
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

impl Places {
    /// What the answers so far are kept beside: the directory is there only when all is.
    fn beside(&self) -> PathBuf {
        match self.directory.as_os_str().is_empty() || self.directory.is_dir() {
            true => self.job.clone(),
            false => self.directory.clone(),
        }
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

impl Asked {
    fn of(answers: &Answers, open: &[&'static str]) -> Self {
        Self {
            lathe: answers.lathe_text(),
            job: answers.job_text(),
            open: open.to_vec(),
        }
    }
}

/// Why the questions were not all asked.
pub(super) enum Stopped {
    Ended(Ended),
    Failed(Failure),
}

impl From<Ended> for Stopped {
    fn from(ended: Ended) -> Self {
        Self::Ended(ended)
    }
}

impl From<io::Error> for Stopped {
    fn from(why: io::Error) -> Self {
        Self::Ended(Ended::Terminal(why))
    }
}

impl From<Failure> for Stopped {
    fn from(failure: Failure) -> Self {
        Self::Failed(failure)
    }
}

/// The first questions, in their order: a comparison can be made of these.
fn first_questions() -> Vec<&'static Question> {
    let all = lathe::QUESTIONS.iter().chain(job::QUESTIONS);
    let mut first: Vec<_> = all.filter(|question| question.first.is_some()).collect();
    first.sort_by_key(|question| question.first);
    first
}

/// The others: what moves the first comparison most, then what tells most in general.
fn further_questions(matters: &[&str]) -> Vec<&'static Question> {
    let all = job::QUESTIONS.iter().chain(lathe::QUESTIONS);
    let mut further: Vec<_> = all.filter(|question| question.first.is_none()).collect();
    // Names last: they tell nothing.
    further.sort_by_key(|question| (worth(question, matters), question.key == "name"));
    further
}

/// The place of a question among what matters: of one that stands for its parts, the best of them.
fn worth(question: &Question, matters: &[&str]) -> usize {
    let row = numbers::all().find(|row| row.about().key == question.key);
    let parts = row.map_or(&[][..], |row| row.about().overrides);
    let told = TOLD_BY.iter().find(|(key, _)| *key == question.key);
    let told = told.map_or(&[][..], |(_, numbers)| *numbers);
    matters
        .iter()
        .position(|key| *key == question.key || parts.contains(key) || told.contains(key))
        .unwrap_or(usize::MAX)
}

/// Words that stand for numbers of the files.
const TOLD_BY: &[(&str, &[&str])] = &[
    (
        "tool.edge",
        &[
            "tool.edge_radius",
            "cutting.push_ratio",
            "cutting.edge_force",
        ],
    ),
    (
        "work.surface",
        &["work.run_out", "work.ovality", "work.lobing"],
    ),
];

/// Asks about the lathe, unless there is one, and about the job. `first` is given what the first
/// questions came to, and says the keys of what moves that most.
fn interview(
    person: &mut dyn Person,
    there: Option<&Text>,
    draft: &mut Draft,
    first: &mut dyn FnMut(&Asked) -> Result<Vec<&'static str>, Failure>,
) -> Result<Asked, Stopped> {
    person.tell(&format!(
        "Press Enter for \"don't know\": the usual is then taken, with a wide range. {WORDS}"
    ))?;
    if let Some(told) = draft.going_on() {
        person.tell(&told)?;
    }
    let mut answers = Answers::nothing(there);
    if let Some(text) = there {
        person.tell(&format!("The lathe is there already: {}.", text.name))?;
    }
    let mut open = Vec::new();
    let at_odds =
        until_they_go_together(person, first_questions(), &mut answers, &mut open, draft)?;
    let further = if open.is_empty() && !at_odds {
        let matters = first(&Asked::of(&answers, &open))?;
        let further = further_questions(&matters);
        most_worth(person, &further, &answers, &matters)?;
        further
    } else {
        further_questions(&[])
    };
    until_they_go_together(person, further, &mut answers, &mut open, draft)?;
    Ok(Asked::of(&answers, &open))
}

/// Asks, and asks again what doesn't go together; whether it still doesn't.
fn until_they_go_together(
    person: &mut dyn Person,
    mut wanted: Vec<&'static Question>,
    answers: &mut Answers,
    open: &mut Vec<&'static str>,
    draft: &mut Draft,
) -> Result<bool, Stopped> {
    for _ in 0..ROUNDS {
        go_through(person, &wanted, answers, open, draft)?;
        wanted = at_odds(person, answers, open)?;
        if wanted.is_empty() {
            return Ok(false);
        }
        for question in &wanted {
            draft.forget(&question.kept_as())?;
        }
    }
    Ok(true)
}

/// Says which of the further questions would narrow the first comparison most.
fn most_worth(
    person: &mut dyn Person,
    further: &[&Question],
    answers: &Answers,
    matters: &[&str],
) -> io::Result<()> {
    const SOME: usize = 4;
    let telling: Vec<&str> = further
        .iter()
        .filter(|question| (question.applies)(answers))
        .filter(|question| worth(question, matters) < usize::MAX)
        .map(|question| question.words)
        .take(SOME)
        .collect();
    let more = match telling.len() {
        0 => "\nThe rest tells less; quit stops here, both files are written.".to_owned(),
        1 => format!("\n1 more would narrow this most: {}.", telling[0]),
        n => format!("\n{n} more would narrow this most: {}.", telling.join("; ")),
    };
    person.tell(&more)
}

/// Asks these, one after the other, with going back.
fn go_through(
    person: &mut dyn Person,
    questions: &[&'static Question],
    answers: &mut Answers,
    open: &mut Vec<&'static str>,
    draft: &mut Draft,
) -> Result<(), Stopped> {
    let trial = |answers: &Answers, file: File| trial(answers, file);
    let mut before: Vec<(usize, Answers)> = Vec::new();
    let mut skipped: Vec<&str> = Vec::new();
    let mut at = 0;
    while let Some(question) = questions.get(at) {
        let is_skipped = skipped.contains(&question.group) && !(question.needed)(answers);
        if !(question.applies)(answers) || is_skipped {
            at += 1;
            continue;
        }
        open.retain(|key| *key != question.key);
        let unanswered = answers.clone();
        let step = match draft.given(&question.kept_as()) {
            Some(line) => {
                let mut kept = Kept::new(person, line);
                ask(&mut kept, answers, question, &trial)?
            }
            None => ask(person, answers, question, &trial)?,
        };
        match step {
            Step::Back => match before.pop() {
                Some((place, answers_then)) => {
                    *answers = answers_then;
                    at = place;
                    draft.forget(&questions[at].kept_as())?;
                }
                None => person.tell("  This is the first of these.")?,
            },
            Step::Skip if (question.needed)(answers) || question.group.is_empty() => {
                person.tell("  This one is needed: look at the drawing.")?;
            }
            Step::Skip => skipped.push(question.group),
            Step::Given(line) => {
                draft.keep(&question.kept_as(), &line)?;
                before.push((at, unanswered));
                at += 1;
            }
            Step::Open => {
                draft.forget(&question.kept_as())?;
                open.push(question.key);
                before.push((at, unanswered));
                at += 1;
            }
        }
    }
    Ok(())
}

/// The files as they would be, and what the decoder says to this one.
fn trial(answers: &Answers, file: File) -> (String, Vec<Diagnostic>) {
    let lathe = answers.lathe_text();
    let source = Answers::lathe_source(&lathe);
    if file == File::Lathe {
        let found = decode_lathe(source).map_or_else(|found| found, |(_, found)| found);
        return (lathe, found);
    }
    let job = answers.trial_text();
    let name = "the job";
    let mut found =
        decode(Source { name, text: &job }, source).map_or_else(|found| found, |(_, found)| found);
    found.retain(|diagnostic| diagnostic.file == name);
    (job, found)
}

/// The questions about answers that don't go together, which are told. What was left open can't be
/// held against the rest.
fn at_odds(
    person: &mut dyn Person,
    answers: &Answers,
    open: &[&str],
) -> io::Result<Vec<&'static Question>> {
    let (text, found) = trial(answers, File::Job);
    let faults: Vec<_> = found
        .iter()
        .filter(|d| d.severity == Severity::Error)
        .collect();
    if faults.is_empty() || !open.is_empty() {
        return Ok(Vec::new());
    }
    person.tell("\nThese answers don't go together:")?;
    for fault in &faults {
        person.tell(&format!("  {}.", in_words(fault)))?;
    }
    Ok(job::QUESTIONS
        .iter()
        .filter(|q| (q.applies)(answers))
        .filter(|q| faults.iter().any(|fault| points_at(&text, fault, q.key)))
        .collect())
}
