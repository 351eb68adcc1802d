//! One question: its words, and how an answer to it is checked at once.

use std::io;
use std::ops::Range;

use tautway_sim::quantity::{Units, field_units};
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
        let try_out = |said: Option<String>| -> Result<(A, Vec<Diagnostic>), String> {
            let mut tried = answers.clone();
            (question.set)(&mut tried, said)?;
            let (text, mut found) = trial(&tried);
            found.retain(|diagnostic| points_at(&text, diagnostic, question.key));
            Ok((tried, found))
        };
        let tried = match try_out(answer) {
            Ok((_, here)) if known && here.iter().any(wants_unit) => {
                match in_the_field_s_unit(line, units, |said| {
                    try_out(Some(said)).map_or_else(|_| Vec::new(), |(_, here)| here)
                }) {
                    Bare::Is(said) => {
                        person.tell(&format!("  Taken as {said}."))?;
                        try_out(Some(said))
                    }
                    Bare::Odd(said, warning) => {
                        person.tell(&format!("  Needed: the unit. {said}? {warning}."))?;
                        continue;
                    }
                    Bare::Not => Ok((answers.clone(), here)),
                }
            }
            tried => tried,
        };
        let (tried, here) = match tried {
            Ok(tried) => tried,
            Err(hint) => {
                person.tell(&format!("  Needed: {hint}."))?;
                continue;
            }
        };
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

/// Whether a diagnostic is that a number stands without its unit.
pub fn wants_unit(diagnostic: &Diagnostic) -> bool {
    diagnostic.severity == Severity::Error && diagnostic.message.ends_with("needs its unit")
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
    // `inches`, `tailstock end`, `worn out`.
    let more: Vec<_> = words
        .iter()
        .filter(|(word, _)| said.starts_with(word))
        .collect();
    match (exact, &begun[..], &more[..]) {
        (Some((_, value)), ..) | (None, [(_, value)], _) | (None, _, [(_, value)]) => Ok(*value),
        _ => {
            let all: Vec<_> = words.iter().map(|(word, _)| *word).collect();
            Err(format!("answer with one of: {}", all.join(", ")))
        }
    }
}
