//! One question: its words, and how an answer to it is checked at once.

use std::io;
use std::ops::Range;

use tautway_sim::quantity::{Units, field_units};
use tautway_sim::scenario::{Diagnostic, Severity};

use super::answers::Answers;
use super::person::Person;

/// Which of the two files an answer goes into.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum File {
    Lathe,
    Job,
}

/// A question, and where its answer goes.
pub struct Question {
    /// The key in the file: `work.taper`.
    pub key: &'static str,
    pub file: File,
    /// Its place among the first, where it is one of them.
    pub first: Option<u8>,
    /// What it is about: `skip` leaves the rest of that; nothing where it can't be left.
    pub group: &'static str,
    /// The question.
    pub words: &'static str,
    /// An answer in inch and in metric units, or nothing where the list says it.
    pub such_as: [&'static str; 2],
    /// What there is to choose from; a number chooses as well.
    pub list: &'static [&'static str],
    /// What `?` tells.
    pub help: &'static str,
    /// Puts an answer in its place, `None` for "don't know"; says what would be right if it
    /// can't.
    pub set: fn(&mut Answers, Option<String>) -> Result<(), String>,
    /// Whether it is asked at all, after what was answered before.
    pub applies: fn(&Answers) -> bool,
    /// Whether nothing can be worked out without it.
    pub needed: fn(&Answers) -> bool,
}

/// The files as they would be, and what the decoder says to the one that the question is about.
pub type Trial<'a> = &'a dyn Fn(&Answers, File) -> (String, Vec<Diagnostic>);

/// The answers ended before the questions, or the terminal is gone.
#[derive(Debug)]
pub enum Ended {
    /// No more lines.
    Early,
    /// The person said so.
    Quit,
    /// No terminal.
    Terminal(io::Error),
}

impl From<io::Error> for Ended {
    fn from(why: io::Error) -> Self {
        Self::Terminal(why)
    }
}

/// What came of a question.
#[derive(Debug, PartialEq, Eq)]
pub enum Step {
    /// This was answered; nothing for "don't know".
    Given(String),
    /// A needed answer was left open.
    Open,
    /// The question before is asked again.
    Back,
    /// The rest of what it is about is left.
    Skip,
}

/// A line that is no answer.
pub enum Word {
    Back,
    Skip,
    Quit,
    Help,
}

/// What a person may type at any question.
pub const WORDS: &str = "back: the question before. skip: the rest of these. quit: stop, with the \
                         answers kept. ?: what is meant. Enter: don't know.";

/// A line that says what to do in place of an answer.
pub fn word(line: &str) -> Option<Word> {
    Some(match line.trim().to_lowercase().as_str() {
        "back" | "undo" | "b" => Word::Back,
        "skip" => Word::Skip,
        "quit" | "exit" | "q" | "stop" => Word::Quit,
        "help" | "?" => Word::Help,
        _ => return None,
    })
}

impl Question {
    /// The name that its answer is kept under: both files have a `name`.
    pub fn kept_as(&self) -> String {
        match self.file {
            File::Lathe => format!("lathe: {}", self.key),
            File::Job => self.key.to_owned(),
        }
    }

    fn prompt(&self, answers: &Answers) -> String {
        let example = match answers.units() {
            Units::Inch => self.such_as[0],
            Units::Metric => self.such_as[1],
        };
        let numbered: Vec<String> = self
            .list
            .iter()
            .enumerate()
            .map(|(at, word)| format!("{} {word}", at + 1))
            .collect();
        let mut prompt = self.words.to_owned();
        if !numbered.is_empty() {
            prompt.push_str(&format!(" ({})", numbered.join(", ")));
        }
        if !example.is_empty() {
            prompt.push_str(&format!(" (such as {example})"));
        }
        prompt.push('?');
        prompt
    }

    /// A number chooses from the list.
    fn chosen(&self, said: &str) -> String {
        let at = said.parse::<usize>().ok().and_then(|at| at.checked_sub(1));
        let word = at.and_then(|at| self.list.get(at));
        word.map_or_else(|| said.to_owned(), |word| (*word).to_owned())
    }
}

/// Asks until the answer is right.
///
/// # Errors
/// When there is no answer to be had, or no more is wanted.
pub fn ask(
    person: &mut dyn Person,
    answers: &mut Answers,
    question: &Question,
    trial: Trial<'_>,
) -> Result<Step, Ended> {
    let prompt = question.prompt(answers);
    loop {
        let line = person.ask(&prompt)?.ok_or(Ended::Early)?;
        let line = unquoted(line.trim());
        match word(line) {
            Some(Word::Back) => return Ok(Step::Back),
            Some(Word::Skip) => return Ok(Step::Skip),
            Some(Word::Quit) => return Err(Ended::Quit),
            Some(Word::Help) => {
                person.tell(&format!("  {}\n  {WORDS}", question.help))?;
                continue;
            }
            None => {}
        }
        let answer = (!is_open(line)).then(|| question.chosen(line));
        if answer.is_none() && (question.needed)(answers) {
            person.tell("  Skipped; fill in before you cut.")?;
            return Ok(Step::Open);
        }
        if let Some(tried) = tried(person, answers, question, answer, trial)? {
            *answers = tried;
            return Ok(Step::Given(line.to_owned()));
        }
    }
}

/// A line without the curly quotes that were pasted round it.
fn unquoted(line: &str) -> &str {
    let inner = line.strip_prefix(['\u{201c}', '\u{201e}', '\u{2018}']);
    inner
        .and_then(|inner| inner.strip_suffix(['\u{201d}', '\u{201c}', '\u{2019}']))
        .map_or(line, str::trim)
}

/// The answers with this one, if it is right; else what would be right is told.
fn tried(
    person: &mut dyn Person,
    answers: &Answers,
    question: &Question,
    answer: Option<String>,
    trial: Trial<'_>,
) -> Result<Option<Answers>, Ended> {
    let try_out = |said: Option<String>| -> Result<(Answers, Vec<Diagnostic>), String> {
        let mut tried = answers.clone();
        (question.set)(&mut tried, said)?;
        let (text, mut found) = trial(&tried, question.file);
        found.retain(|diagnostic| points_at(&text, diagnostic, question.key));
        Ok((tried, found))
    };
    let known = answer.is_some();
    let said = answer.clone().unwrap_or_default();
    let outcome = match try_out(answer) {
        Ok((_, here)) if here.iter().any(Diagnostic::is_unclear) => {
            let unclear = here.iter().find(|d| d.is_unclear());
            let words = unclear.map(either).unwrap_or_default();
            person.tell(&format!("  Needed: the unit. {words}."))?;
            return Ok(None);
        }
        Ok((tried, here)) if known && here.iter().any(Diagnostic::is_of_a_bare_number) => {
            let bare = in_the_field_s_unit(&said, answers.units(), |said| {
                try_out(Some(said)).map_or_else(|_| Vec::new(), |(_, here)| here)
            });
            match bare {
                Bare::Is(said) => {
                    person.tell(&format!("  Taken as {said}."))?;
                    try_out(Some(said))
                }
                Bare::Odd(said, warning) => {
                    person.tell(&format!("  Needed: the unit. {said}? {warning}."))?;
                    return Ok(None);
                }
                Bare::Not => Ok((tried, here)),
            }
        }
        outcome => outcome,
    };
    let (tried, here) = match outcome {
        Ok(tried) => tried,
        Err(hint) => {
            person.tell(&format!("  Needed: {hint}."))?;
            return Ok(None);
        }
    };
    let fault = here.iter().find(|d| d.severity == Severity::Error);
    if let Some(fault) = fault.filter(|_| known) {
        person.tell(&format!("  Needed: {}.", in_words(fault)))?;
        return Ok(None);
    }
    for warning in here.iter().filter(|d| d.severity == Severity::Warning) {
        let note = if known {
            format!("  OK, but check: {}.", in_words(warning))
        } else {
            format!("  Not known: {}.", warning.label)
        };
        person.tell(&note)?;
    }
    if let Some(taken) = taken(&here) {
        person.tell(&taken)?;
    }
    let notes = here.iter().filter(|d| d.severity == Severity::Note);
    for note in notes.filter(|note| note.taken_as().is_none()) {
        person.tell(&format!("  {}.", note.message.replace('`', "")))?;
    }
    Ok(Some(tried))
}

/// How bare numbers among others were taken.
pub fn taken(found: &[Diagnostic]) -> Option<String> {
    let taken: Vec<&str> = found.iter().filter_map(Diagnostic::taken_as).collect();
    (!taken.is_empty()).then(|| format!("  Taken as {}.", taken.join(", ")))
}

/// Both readings of a bare number, as a question.
pub fn either(unclear: &Diagnostic) -> String {
    let readings = unclear.message.split_once("` may be ");
    let readings = readings.map_or(&*unclear.message, |(_, readings)| readings);
    format!("{readings}? {}", unclear.hint)
}

/// What a bare answer comes to.
pub enum Bare {
    /// In its field's unit in the person's units it is usual.
    Is(String),
    /// It could be, and isn't usual: as read, and what there is to say of it.
    Odd(String, String),
    /// It is no number of the field in any unit.
    Not,
}

/// A bare answer in the unit of its field in the person's units. `found` says what the decoder
/// says to an answer, at its place.
pub fn in_the_field_s_unit(
    said: &str,
    units: Units,
    found: impl Fn(String) -> Vec<Diagnostic>,
) -> Bare {
    for unit in field_units(units) {
        let parts: Vec<String> = parts(said, units)
            .into_iter()
            .map(|part| format!("{part} {unit}"))
            .collect();
        let said = parts.join(", ");
        let found = found(said.clone());
        // Out of range or not usual: of the field's kind, and perhaps in another unit.
        let odd = |d: &&Diagnostic| {
            d.message.starts_with('`')
                && ["` of ", "` can't be "]
                    .iter()
                    .any(|words| d.message.contains(words))
        };
        let odd = found.iter().find(odd);
        if odd.is_none() && found.iter().any(|d| d.severity == Severity::Error) {
            continue;
        }
        return match odd {
            Some(odd) => Bare::Odd(said, in_words(odd)),
            None => Bare::Is(said),
        };
    }
    Bare::Not
}

/// The parts of an answer that lists several. A comma between digits is a decimal one where the
/// person thinks in metric and writes no points.
pub fn parts(said: &str, units: Units) -> Vec<&str> {
    let decimal = units == Units::Metric && !said.contains('.');
    let digit = |at: Option<u8>| at.is_some_and(|byte| byte.is_ascii_digit());
    let bytes = said.as_bytes();
    let mut parts = Vec::new();
    let mut from = 0;
    for (at, c) in said.char_indices() {
        let between =
            at > 0 && digit(bytes.get(at - 1).copied()) && digit(bytes.get(at + 1).copied());
        if c == ';' || c == ',' && !(decimal && between) {
            parts.push(&said[from..at]);
            from = at + 1;
        }
    }
    parts.push(&said[from..]);
    let parts = parts.into_iter().map(str::trim);
    parts.filter(|part| !part.is_empty()).collect()
}

/// A diagnostic in one line, without the key, which the question has named already.
pub fn in_words(diagnostic: &Diagnostic) -> String {
    let message = match diagnostic.message.split_once("`: ") {
        Some((key, rest)) if key.starts_with('`') => rest,
        _ => &diagnostic.message,
    };
    match diagnostic.label.as_str() {
        "" | "here" => format!("{message}; {}", diagnostic.hint),
        label => format!("{message} ({label}); {}", diagnostic.hint),
    }
}

/// Whether a line means "don't know".
fn is_open(line: &str) -> bool {
    let plain = line.to_lowercase().replace('\u{2019}', "'");
    matches!(
        plain.as_str(),
        "" | "don't know" | "dont know" | "unknown" | "-"
    )
}

/// Whether a diagnostic points at what a key such as `work.taper` or `tool.bar.diameter` says.
pub fn points_at(text: &str, diagnostic: &Diagnostic, key: &str) -> bool {
    place(text, key).is_some_and(|place| place.contains(&diagnostic.span.start))
}

/// Where a key of the templates stands: its line, or its part of an inline table.
fn place(text: &str, key: &str) -> Option<Range<usize>> {
    let mut parts: Vec<_> = key.split('.').collect();
    let inner = (parts.len() > 2).then(|| parts.pop()).flatten();
    let name = parts.pop()?;
    let table = parts.pop().unwrap_or("");
    let mut inside = table.is_empty();
    let mut from = 0;
    for line in text.split_inclusive('\n') {
        let start = from;
        from += line.len();
        if let Some(opened) = line.strip_prefix('[') {
            inside = opened.split(']').next() == Some(table);
            continue;
        }
        let value = line.strip_prefix(name).map(str::trim_start);
        if !inside || !value.is_some_and(|value| value.starts_with('=')) {
            continue;
        }
        let Some(inner) = inner else {
            return Some(start..from);
        };
        let at = line.find(&format!("{inner} ="))?;
        let length = line[at..].find([',', '}']).unwrap_or(line.len() - at);
        return Some(start + at..start + at + length);
    }
    None
}

/// A choice by its words or the beginning of one.
pub fn choice<T: Copy>(answer: &str, words: &[(&str, T)]) -> Result<T, String> {
    let said = answer.to_lowercase();
    let exact = words.iter().find(|(word, _)| *word == said);
    let begun: Vec<_> = words
        .iter()
        .filter(|(word, _)| word.starts_with(&said))
        .collect();
    // `inches`, `tailstock end`, `worn out`: of several the longest.
    let more = words
        .iter()
        .filter(|(word, _)| said.starts_with(word))
        .max_by_key(|(word, _)| word.len());
    match (exact, &begun[..], more) {
        (Some((_, value)), ..) | (None, [(_, value)], _) | (None, _, Some((_, value))) => {
            Ok(*value)
        }
        _ => {
            let all: Vec<_> = words.iter().map(|(word, _)| *word).collect();
            Err(format!("answer with one of: {}", all.join(", ")))
        }
    }
}
