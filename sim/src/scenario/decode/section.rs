//! One table of a text being read: finds keys, reports what is wrong with them, keeps their places.

use std::cell::{Cell, RefCell};
use std::collections::BTreeMap;
use std::ops::Range;

use toml::de::{DeTable, DeValue};

use crate::quantity::{Fault, Quantity, Units};
use crate::scenario::{Diagnostic, Severity, Source};

/// What a text gave under one key.
pub(super) enum Got<T> {
    /// The key is not there, or says "don't know".
    Open,
    /// It is there and wrong; the fault is reported.
    Faulty,
    /// It is there and right.
    Given(T),
}

impl<T> Got<T> {
    pub fn given(self) -> Option<T> {
        match self {
            Self::Given(value) => Some(value),
            Self::Open | Self::Faulty => None,
        }
    }
}

/// A choice of words: each row is the words that mean one thing, the first being the plainest.
pub(super) type Words<T> = [(&'static [&'static str], T)];

/// A text being read, with all that was found wrong so far and the place of every key.
pub(super) struct Reading<'a> {
    pub source: Source<'a>,
    /// The person's units, once known: numbers in messages are shown in them.
    pub units: Cell<Units>,
    /// Each with whether it is about something that is not there.
    found: RefCell<Vec<(Diagnostic, bool)>>,
    places: RefCell<BTreeMap<String, Range<usize>>>,
}

impl<'a> Reading<'a> {
    pub fn new(source: Source<'a>) -> Self {
        Self {
            source,
            units: Cell::new(Units::Inch),
            found: RefCell::default(),
            places: RefCell::default(),
        }
    }

    /// Reports a fault. The span is moved to character boundaries inside the text.
    pub fn report(
        &self,
        severity: Severity,
        at: Range<usize>,
        message: impl Into<String>,
        label: impl Into<String>,
        hint: impl Into<String>,
    ) {
        let text = self.source.text;
        let mut start = at.start.min(text.len());
        while !text.is_char_boundary(start) {
            start -= 1;
        }
        let mut end = at.end.clamp(start, text.len());
        while !text.is_char_boundary(end) {
            end += 1;
        }
        let diagnostic = Diagnostic {
            severity,
            file: self.source.name.to_owned(),
            span: start..end,
            message: message.into(),
            label: label.into(),
            hint: hint.into(),
        };
        self.found.borrow_mut().push((diagnostic, false));
    }

    pub fn error(
        &self,
        at: Range<usize>,
        message: impl Into<String>,
        label: impl Into<String>,
        hint: impl Into<String>,
    ) {
        self.report(Severity::Error, at, message, label, hint);
    }

    /// Reports that something is not there.
    pub fn absence(
        &self,
        at: Range<usize>,
        message: impl Into<String>,
        label: impl Into<String>,
        hint: impl Into<String>,
    ) {
        self.error(at, message, label, hint);
        if let Some((_, absence)) = self.found.borrow_mut().last_mut() {
            *absence = true;
        }
    }

    /// Where a key like `work.taper` has its value; failing that, its table; else the first line.
    pub fn place(&self, path: &str) -> Range<usize> {
        let places = self.places.borrow();
        let table = path.rsplit_once('.').map_or("", |(table, _)| table);
        places
            .get(path)
            .or_else(|| places.get(table))
            .cloned()
            .unwrap_or_else(|| first_line(self.source.text))
    }

    pub fn remember(&self, path: String, at: Range<usize>) {
        self.places.borrow_mut().insert(path, at);
    }

    /// Whether a key is there and no error points into its value.
    pub fn sound(&self, path: &str) -> bool {
        let places = self.places.borrow();
        let Some(at) = places.get(path) else {
            return false;
        };
        !self.found.borrow().iter().any(|(d, _)| {
            d.severity == Severity::Error && at.start <= d.span.start && d.span.end <= at.end
        })
    }

    /// All that was found, each with whether it is about something that is not there.
    pub fn into_found(self) -> Vec<(Diagnostic, bool)> {
        self.found.into_inner()
    }
}

fn first_line(text: &str) -> Range<usize> {
    0..text.find('\n').unwrap_or(text.len())
}

/// A table of the text, there or not.
pub(super) struct Section<'a> {
    pub reading: &'a Reading<'a>,
    path: String,
    table: Option<&'a DeTable<'a>>,
    at: Range<usize>,
    /// A missing table was reported as such: don't report its keys one by one.
    missing: bool,
    asked: RefCell<Vec<&'static str>>,
}

impl<'a> Section<'a> {
    /// The whole text.
    pub fn top(reading: &'a Reading<'a>, table: &'a DeTable<'a>) -> Self {
        Self {
            reading,
            path: String::new(),
            table: Some(table),
            at: first_line(reading.source.text),
            missing: false,
            asked: RefCell::default(),
        }
    }

    /// `work.taper` for the key `taper` of `[work]`.
    pub fn key_path(&self, key: &str) -> String {
        if self.path.is_empty() {
            key.to_owned()
        } else {
            format!("{}.{key}", self.path)
        }
    }

    pub fn is_there(&self) -> bool {
        self.table.is_some()
    }

    /// Whether a key is there with an error in it.
    pub fn is_faulty_at(&self, key: &str) -> bool {
        let path = self.key_path(key);
        self.reading.places.borrow().contains_key(&path) && !self.reading.sound(&path)
    }

    fn title(&self) -> String {
        if self.path.is_empty() {
            "the top of the file".to_owned()
        } else {
            format!("[{}]", self.path)
        }
    }

    /// The value under a key, without judging it.
    pub fn find(&self, key: &'static str) -> Option<(&'a DeValue<'a>, Range<usize>)> {
        self.asked.borrow_mut().push(key);
        let (_, value) = self.table?.iter().find(|(k, _)| k.get_ref() == key)?;
        self.reading.remember(self.key_path(key), value.span());
        Some((value.get_ref(), value.span()))
    }

    /// A table under a key; absent, it reads as empty.
    pub fn table(&self, key: &'static str) -> Section<'a> {
        let mut section = Section {
            reading: self.reading,
            path: self.key_path(key),
            table: None,
            at: self.at.clone(),
            missing: false,
            asked: RefCell::default(),
        };
        match self.find(key) {
            None => {}
            Some((DeValue::Table(table), at)) => {
                section.table = Some(table);
                section.at = at;
            }
            Some((other, at)) if is_dont_know(other) => section.at = at,
            Some((other, at)) => {
                self.wrong_type(
                    key,
                    other,
                    at,
                    "a table",
                    &format!("[{}]", self.key_path(key)),
                );
                section.missing = true;
            }
        }
        section
    }

    /// A table that has to be there.
    pub fn required_table(&self, key: &'static str, example: &str) -> Section<'a> {
        let mut section = self.table(key);
        if section.table.is_none() && !section.missing && !self.missing {
            self.reading.absence(
                self.at.clone(),
                format!("the table [{}] is missing", section.path),
                "not in this file",
                format!("it begins like this: {example}"),
            );
            section.missing = true;
        }
        section
    }

    fn wrong_type(
        &self,
        key: &str,
        value: &DeValue<'_>,
        at: Range<usize>,
        wanted: &str,
        example: &str,
    ) {
        let found = type_words(value);
        self.reading.error(
            at,
            format!("`{}` should be {wanted}", self.key_path(key)),
            format!("this is {found}"),
            format!("write it like this: {example}"),
        );
    }

    /// Reports a key that has to be there and is not.
    pub fn missing(&self, key: &str, example: &str) {
        if !self.missing {
            self.reading.absence(
                self.at.clone(),
                format!("`{key}` is missing from {}", self.title()),
                format!("no `{key}` here"),
                format!("add a line like this: {key} = {example}"),
            );
        }
    }

    /// Reads what `parse` understands. A bare number counts as its digits in quotes, so that a
    /// pure number passes and one that needs a unit is refused with the choices.
    pub fn read<T>(
        &self,
        key: &'static str,
        example: &str,
        parse: impl Fn(&str) -> Result<T, Fault>,
    ) -> Got<T> {
        let Some((value, at)) = self.find(key) else {
            return Got::Open;
        };
        self.read_value(key, value, at, example, parse)
    }

    pub fn read_value<T>(
        &self,
        key: &str,
        value: &DeValue<'_>,
        at: Range<usize>,
        example: &str,
        parse: impl Fn(&str) -> Result<T, Fault>,
    ) -> Got<T> {
        let (text, bare) = match value {
            _ if is_dont_know(value) => return Got::Open,
            DeValue::String(text) => (text.as_ref().to_owned(), false),
            DeValue::Integer(number) => (number.to_string(), true),
            DeValue::Float(number) => (number.to_string(), true),
            other => {
                self.wrong_type(key, other, at, "a value in quotes", example);
                return Got::Faulty;
            }
        };
        match parse(&text) {
            Ok(value) => Got::Given(value),
            Err(fault) => {
                let place = if bare {
                    at
                } else {
                    self.inside(&text, at, &fault.at)
                };
                let hint = if bare {
                    format!("{}, in quotes", fault.hint)
                } else {
                    fault.hint
                };
                let message = format!("`{}`: {}", self.key_path(key), fault.message);
                self.reading.error(place, message, "here", hint);
                Got::Faulty
            }
        }
    }

    /// The byte range in the file of a range inside a string's own text; the whole string where
    /// escapes make the two differ.
    fn inside(&self, text: &str, at: Range<usize>, fault: &Range<usize>) -> Range<usize> {
        let raw = self.reading.source.text.get(at.clone()).unwrap_or("");
        match raw.find(text) {
            Some(offset) if !text.is_empty() => {
                let start = at.start + offset;
                let from = fault.start.min(text.len());
                let to = fault.end.clamp(from, text.len());
                if from == to {
                    return at;
                }
                start + from..start + to
            }
            _ => at,
        }
    }

    /// A plain text.
    pub fn text(&self, key: &'static str) -> Got<String> {
        match self.find(key) {
            None => Got::Open,
            Some((DeValue::String(text), _)) if !text.trim().is_empty() => {
                Got::Given(text.trim().to_owned())
            }
            Some((other, at)) => {
                self.wrong_type(key, other, at, "a text that says something", "\"...\"");
                Got::Faulty
            }
        }
    }

    pub fn required_text(&self, key: &'static str, example: &str) -> String {
        match self.text(key) {
            Got::Given(text) => text,
            Got::Faulty => String::new(),
            Got::Open => {
                self.missing(key, example);
                String::new()
            }
        }
    }

    /// One of a choice of words.
    pub fn word<T: Copy>(&self, key: &'static str, words: &Words<T>) -> Got<T> {
        let Some((value, at)) = self.find(key) else {
            return Got::Open;
        };
        let choices = || {
            let plain: Vec<_> = words.iter().map(|(w, _)| format!("\"{}\"", w[0])).collect();
            format!("choose one of {}, or \"don't know\"", plain.join(", "))
        };
        match value {
            _ if is_dont_know(value) => Got::Open,
            DeValue::String(text) => {
                let said = plain_words(text);
                let row = words
                    .iter()
                    .find(|(row, _)| row.iter().any(|word| plain_words(word) == said));
                if let Some((_, meant)) = row {
                    return Got::Given(*meant);
                }
                let near = nearest(&said, words.iter().flat_map(|(row, _)| row.iter().copied()));
                let hint = match near {
                    Some(word) => format!("did you mean \"{word}\"? Or {}", choices()),
                    None => choices(),
                };
                let message = format!("`{}` can't be \"{}\"", self.key_path(key), text.trim());
                self.reading
                    .error(at, message, "not one of the choices", hint);
                Got::Faulty
            }
            other => {
                let found = type_words(other);
                self.reading.error(
                    at,
                    format!("`{}` should be a word in quotes", self.key_path(key)),
                    format!("this is {found}"),
                    choices(),
                );
                Got::Faulty
            }
        }
    }

    /// One of a choice of words that has to be known.
    pub fn required_word<T: Copy>(
        &self,
        key: &'static str,
        words: &Words<T>,
        example: &str,
    ) -> Option<T> {
        match self.word(key, words) {
            Got::Given(value) => Some(value),
            Got::Faulty => None,
            Got::Open => {
                self.open(key, example);
                None
            }
        }
    }

    /// Yes or no.
    pub fn flag(&self, key: &'static str, default: bool) -> bool {
        match self.find(key) {
            None => default,
            Some((DeValue::Boolean(flag), _)) => *flag,
            Some((value, _)) if is_dont_know(value) => default,
            Some((DeValue::String(text), _)) if plain_words(text) == "yes" => true,
            Some((DeValue::String(text), _)) if plain_words(text) == "no" => false,
            Some((other, at)) => {
                self.wrong_type(key, other, at, "true or false", &format!("{key} = true"));
                default
            }
        }
    }

    /// Reports a value that is absent or "don't know" where it has to be known.
    pub fn open(&self, key: &'static str, example: &str) {
        match self.find(key) {
            None => self.missing(key, example),
            Some((_, at)) => self.reading.error(
                at,
                format!("`{}` has to be known", self.key_path(key)),
                "no default stands in for this",
                format!("for example {key} = {example}"),
            ),
        }
    }

    /// Reports every key nobody asked for, with the nearest one that is known.
    pub fn finish(self) {
        let asked = self.asked.borrow();
        for (key, value) in self.table.into_iter().flatten() {
            let name = key.get_ref().as_ref();
            if asked.contains(&name) {
                continue;
            }
            self.reading.remember(self.key_path(name), value.span());
            let hint = match nearest(name, asked.iter().copied()) {
                Some(near) => format!("did you mean `{near}`?"),
                None => {
                    let mut known = asked.clone();
                    known.sort_unstable();
                    known.dedup();
                    format!("{} knows {}", self.title(), known.join(", "))
                }
            };
            let message = format!("{} has no key `{name}`", self.title());
            self.reading.error(key.span(), message, "unknown key", hint);
        }
    }
}

fn type_words(value: &DeValue<'_>) -> &'static str {
    match value {
        DeValue::String(text) if text.trim().is_empty() => "an empty text",
        DeValue::String(_) => "a text",
        DeValue::Integer(_) | DeValue::Float(_) => "a bare number",
        DeValue::Boolean(_) => "true or false",
        DeValue::Datetime(_) => "a date or time",
        DeValue::Array(_) => "a list",
        DeValue::Table(_) => "a table",
    }
}

/// Whether a value is one of the ways to say that nobody knows.
fn is_dont_know(value: &DeValue<'_>) -> bool {
    let DeValue::String(text) = value else {
        return false;
    };
    let said: String = text
        .chars()
        .filter(|c| !matches!(c, '\'' | '\u{2019}'))
        .collect();
    let said = said.trim().to_lowercase();
    !said.is_empty() && said.chars().all(|c| c == '?')
        || matches!(
            said.as_str(),
            "dont know" | "do not know" | "unknown" | "not known" | "not sure" | "no idea"
        )
}

/// Small letters, single spaces, no hyphens: how two wordings are compared.
pub(super) fn plain_words(text: &str) -> String {
    text.to_lowercase()
        .split(|c: char| c.is_whitespace() || c == '-' || c == '_')
        .filter(|part| !part.is_empty())
        .collect::<Vec<_>>()
        .join(" ")
}

/// The word that was probably meant.
pub(super) fn nearest<'w>(said: &str, words: impl Iterator<Item = &'w str>) -> Option<&'w str> {
    words
        .map(|word| (strsim::normalized_damerau_levenshtein(said, word), word))
        .filter(|(likeness, _)| *likeness >= 0.55)
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, word)| word)
}

/// Checks that a parsed quantity is a number one can compute with.
pub(super) fn finite<Q: Quantity>(text: &str, value: Q) -> Result<Q, Fault> {
    if value.si().is_finite() {
        return Ok(value);
    }
    Err(Fault {
        at: 0..text.len(),
        message: format!("this {} is no number one can compute with", Q::NAME),
        hint: "write an ordinary number with its unit".to_owned(),
    })
}
