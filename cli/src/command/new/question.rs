//! One question: its words, and how an answer to it is checked at once.

use std::io;
use std::ops::Range;

use tautway_sim::quantity::Units;
use tautway_sim::scenario::{Diagnostic, Severity};

use super::person::Person;

/// A question, and where its answer goes.
pub struct Question<A> {
    /// The key in the file: `work.taper`.
    pub key: &'static str,
    /// The question.
    pub words: &'static str,
    /// An answer in inch and in metric units, or nothing where the words say it.
    pub such_as: [&'static str; 2],
    /// Puts an answer in its place, `None` for "don't know"; says what would be right if it
    /// can't.
    pub set: fn(&mut A, Option<String>) -> Result<(), String>,
    /// Whether it is asked at all, after what was answered before.
    pub applies: fn(&A) -> bool,
    /// Whether nothing can be worked out without it.
    pub needed: bool,
}

/// The file as it would be, and what the decoder says to it.
pub type Trial<'a, A> = &'a dyn Fn(&A) -> (String, Vec<Diagnostic>);

/// The answers ended before the questions, or the terminal is gone.
#[derive(Debug)]
pub enum Ended {
    /// No more lines.
    Early,
    /// No terminal.
    Terminal(io::Error),
}

impl From<io::Error> for Ended {
    fn from(why: io::Error) -> Self {
        Self::Terminal(why)
    }
}

/// Asks until the answer is right; true if a needed one was left open.
///
/// # Errors
/// When there is no answer to be had.
pub fn ask<A: Clone>(
    person: &mut dyn Person,
    answers: &mut A,
    question: &Question<A>,
    units: Units,
    trial: Trial<'_, A>,
) -> Result<bool, Ended> {
    let example = match units {
        Units::Inch => question.such_as[0],
        Units::Metric => question.such_as[1],
    };
    let prompt = if example.is_empty() {
        format!("{}?", question.words)
    } else {
        format!("{} (such as {example})?", question.words)
    };
    loop {
        let line = person.ask(&prompt)?.ok_or(Ended::Early)?;
        let line = line.trim();
        let answer = (!is_open(line)).then(|| line.to_owned());
        if answer.is_none() && question.needed {
            person.tell("  Skipped; fill in before you cut.")?;
            return Ok(true);
        }
        let known = answer.is_some();
        let mut tried = answers.clone();
        if let Err(hint) = (question.set)(&mut tried, answer) {
            person.tell(&format!("  Needed: {hint}."))?;
            continue;
        }
        let (text, found) = trial(&tried);
        let here: Vec<_> = found
            .iter()
            .filter(|diagnostic| points_at(&text, diagnostic, question.key))
            .collect();
        let fault = here.iter().find(|d| d.severity == Severity::Error);
        if let Some(fault) = fault.filter(|_| known) {
            person.tell(&format!("  Needed: {}.", in_words(fault)))?;
            continue;
        }
        for warning in here.iter().filter(|d| d.severity == Severity::Warning) {
            let note = if known {
                format!("  OK, but check: {}.", in_words(warning))
            } else {
                format!("  Not known: {}.", warning.label)
            };
            person.tell(&note)?;
        }
        *answers = tried;
        return Ok(false);
    }
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
    match (exact, &begun[..]) {
        (Some((_, value)), _) | (None, [(_, value)]) => Ok(*value),
        _ => {
            let all: Vec<_> = words.iter().map(|(word, _)| *word).collect();
            Err(format!("answer with one of: {}", all.join(", ")))
        }
    }
}
