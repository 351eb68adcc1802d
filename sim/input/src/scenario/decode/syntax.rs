//! Text to table: what is not TOML becomes diagnostics like the rest, and reading goes on.

use std::collections::BTreeSet;
use std::ops::Range;

use toml::de::DeTable;

use super::reading::Reading;
use crate::scenario::{Diagnostic, Severity, Source};

/// Longer lines are not repeated in a hint.
const LONGEST_LINE: usize = 400;

/// A text as far as it could be taken apart.
pub(crate) struct Parsed<'a> {
    source: Source<'a>,
    pub table: DeTable<'a>,
    errors: Vec<(Range<usize>, String)>,
}

pub(crate) fn parse(source: Source<'_>) -> Parsed<'_> {
    let (table, errors) = DeTable::parse_recoverable(source.text);
    Parsed {
        source,
        table: table.into_inner(),
        errors: errors
            .into_iter()
            .map(|error| (error.span().unwrap_or(0..0), error.message().to_owned()))
            .collect(),
    }
}

/// Where the line around a place starts.
fn line_start(text: &str, at: usize) -> usize {
    let at = at.min(text.len());
    text.as_bytes()[..at]
        .iter()
        .rposition(|byte| *byte == b'\n')
        .map_or(0, |before| before + 1)
}

/// The line around a place: its range.
fn line_at(text: &str, at: usize) -> Range<usize> {
    let mut at = at.min(text.len());
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    let start = text[..at].rfind('\n').map_or(0, |i| i + 1);
    let end = text[at..].find('\n').map_or(text.len(), |i| at + i);
    start..end
}

/// All that was found in one text, in reading order. Where a line is not TOML, what reading it
/// brought up is noise and left out, as is whatever seems to be missing.
pub(crate) fn merge(parsed: Parsed<'_>, reading: Reading<'_>) -> Vec<Diagnostic> {
    let text = parsed.source.text;
    let mut broken: BTreeSet<usize> = BTreeSet::new();
    let mut line = 0..0;
    let writer = Reading::new(parsed.source);
    for (span, message) in &parsed.errors {
        // One fault a line: what follows the first is its echo.
        if line.contains(&span.start) && !broken.is_empty() {
            continue;
        }
        line = line_at(text, span.start);
        if !broken.insert(line.start) {
            continue;
        }
        let (message, hint) = words(&text[line.clone()], message);
        let at = if span.is_empty() {
            line.clone()
        } else {
            span.clone()
        };
        writer.error(at, message, "can't be read", hint);
    }
    let mut found: Vec<_> = writer.into_found().into_iter().map(|(d, _)| d).collect();
    let syntax = !found.is_empty();
    let odd_units = reading.families();
    let meant = reading.places_meant();
    found.extend(
        reading
            .into_found()
            .into_iter()
            .filter(|(diagnostic, absent)| {
                let start = line_start(text, diagnostic.span.start);
                !(broken.contains(&start) || syntax && absent.is_some())
            })
            .map(|(diagnostic, _)| diagnostic),
    );
    // What is refused is not doubted as well, nor what is meant.
    let mut done: BTreeSet<(usize, usize)> = found
        .iter()
        .filter(|d| d.severity == Severity::Error)
        .map(|d| (d.span.start, d.span.end))
        .collect();
    let told = |done: &BTreeSet<_>, span: &Range<usize>| done.contains(&(span.start, span.end));
    found.retain(|d| d.severity == Severity::Error || !told(&done, &d.span));
    done.extend(meant.iter().map(|span| (span.start, span.end)));
    found.retain(|d| d.severity != Severity::Warning || !told(&done, &d.span));
    // Of a file with faults in it nobody knows yet which units are the rest's.
    if found.iter().all(|d| d.severity != Severity::Error) {
        found.extend(odd_units);
    }
    found.sort_by_key(|d| (d.span.start, d.span.end));
    found
}

/// What is wrong with a line in a person's words, and what would be right.
fn words(line: &str, message: &str) -> (String, String) {
    if message.contains("duplicate key") {
        return (
            "this is given twice".to_owned(),
            "leave out one of the two".to_owned(),
        );
    }
    // What is no line that a person wrote is not said again.
    let line = if line.len() > LONGEST_LINE { "" } else { line };
    let unquoted = line.split_once('=').map(|(key, value)| {
        let value = value.split('#').next().unwrap_or("").trim();
        // Quotes pasted from elsewhere are no quotes here.
        let value = value.trim_matches(|c| {
            matches!(
                c,
                '\u{201c}' | '\u{201d}' | '\u{201e}' | '\u{2018}' | '\u{2019}'
            )
        });
        (key.trim(), value)
    });
    match unquoted {
        Some((key, "")) => (
            format!("`{key}` has no value"),
            format!("write {key} = \"don't know\" if nobody knows"),
        ),
        Some((key, value)) if !value.contains(['"', '\'', '[', '{']) => (
            "a value with a unit or a word goes in quotes".to_owned(),
            format!("write {key} = \"{value}\""),
        ),
        _ => (
            format!("this is not TOML: {message}"),
            "a line is key = \"value\", [table], or a # comment; quotes and brackets in pairs"
                .to_owned(),
        ),
    }
}
