//! One table of a text being read: finds its keys and reports what is wrong with them.

use std::cell::RefCell;
use std::ops::{Range, RangeInclusive};

use toml::de::{DeTable, DeValue};

use super::reading::{ReadTable, Reading, UnitSeen, first_line, joined, nearest, title};
use crate::quantity::{Dimension, Fault, Quantity, units_in};
use crate::scenario::is_unshowable;
use crate::scenario::want::Want;

/// What a text gave under one key.
pub(crate) enum Got<T> {
    /// The key is not there, or says "don't know".
    Open,
    /// It is there and wrong; the fault is reported.
    Faulty,
    /// It is there and right.
    Given(T),
}

impl<T> Got<T> {
    pub fn is_given(&self) -> bool {
        matches!(self, Self::Given(_))
    }

    pub fn given(self) -> Option<T> {
        match self {
            Self::Given(value) => Some(value),
            Self::Open | Self::Faulty => None,
        }
    }
}

/// A choice of words: each row is the words that mean one thing, the first being the plainest.
pub(crate) type Words<T> = [(&'static [&'static str], T)];

/// A table of the text, there or not.
pub(crate) struct Section<'a> {
    pub reading: &'a Reading<'a>,
    path: String,
    table: Option<&'a DeTable<'a>>,
    at: Range<usize>,
    /// A missing table was reported as such: don't report its keys one by one.
    missing: bool,
    /// It says "don't know" in place of the table.
    left_open: bool,
    asked: RefCell<Vec<&'static str>>,
}

impl<'a> Section<'a> {
    /// The whole text.
    pub fn top(reading: &'a Reading<'a>, table: &'a DeTable<'a>) -> Self {
        reading.weigh(table);
        Self {
            reading,
            path: String::new(),
            table: Some(table),
            at: first_line(reading.source.text),
            missing: false,
            left_open: false,
            asked: RefCell::default(),
        }
    }

    /// `work.taper` for the key `taper` of `[work]`.
    pub fn key_path(&self, key: &str) -> String {
        joined(&self.path, key)
    }

    /// Whether it says "don't know" where the table would be.
    pub fn is_left_open(&self) -> bool {
        self.left_open
    }

    pub fn is_there(&self) -> bool {
        self.table.is_some()
    }

    /// Whether a key is there with an error in it.
    pub fn is_faulty_at(&self, key: &str) -> bool {
        let path = self.key_path(key);
        self.reading.has(&path) && !self.reading.sound(&path)
    }

    fn title(&self) -> String {
        title(&self.path)
    }

    /// The value under a key, without judging it.
    pub fn find(&self, key: &'static str) -> Option<(&'a DeValue<'a>, Range<usize>)> {
        self.asked.borrow_mut().push(key);
        let (_, value) = self.table?.iter().find(|(k, _)| k.get_ref() == key)?;
        self.reading.remember(self.key_path(key), value.span());
        Some((value.get_ref(), value.span()))
    }

    /// Notes what may stand under a key.
    pub fn want(&self, key: &str, want: Want) {
        self.reading.want(self.key_path(key), want);
    }

    /// A table under a key; absent, it reads as empty.
    pub fn table(&self, key: &'static str) -> Section<'a> {
        self.want(key, Want::Table);
        let mut section = Section {
            reading: self.reading,
            path: self.key_path(key),
            table: None,
            at: self.at.clone(),
            missing: false,
            left_open: false,
            asked: RefCell::default(),
        };
        match self.find(key) {
            None => {}
            Some((DeValue::Table(table), at)) => {
                section.table = Some(table);
                section.at = at;
            }
            Some((other, at)) if is_dont_know(other) => {
                section.at = at;
                section.left_open = true;
            }
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
                section.path.clone(),
                self.at.clone(),
                format!("the table [{}] is missing", section.path),
                "not in this file",
                format!("it begins like this: {example}"),
            );
            section.missing = true;
        }
        section
    }

    pub fn wrong_type(
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
                self.key_path(key),
                self.at.clone(),
                format!("`{key}` is missing from {}", self.title()),
                format!("no `{key}` here"),
                format!("add a line like this: {key} = {example}"),
            );
        }
    }

    /// A whole number within these limits, with quotes or without; `wanted` and `hint` are for one that isn't.
    pub fn count(
        &self,
        key: &'static str,
        example: &str,
        within: RangeInclusive<u32>,
        wanted: &str,
        hint: &str,
    ) -> Got<u32> {
        self.want(key, Want::Count(*within.start(), *within.end()));
        let Some((value, at)) = self.find(key) else {
            return Got::Open;
        };
        self.read_as(key, value, at, example, "", |text| {
            let number = text.trim().parse().ok();
            number.filter(|n| within.contains(n)).ok_or(Fault {
                at: 0..text.len(),
                message: wanted.to_owned(),
                hint: hint.to_owned(),
            })
        })
    }

    /// Reads what `parse` understands. A bare number counts as its digits in quotes, so that a
    /// pure number passes and one that needs a unit is refused with the choices.
    pub fn read<T>(
        &self,
        key: &'static str,
        example: &str,
        parse: impl Fn(&str) -> Result<T, Fault>,
    ) -> Got<T> {
        self.want(key, Want::Notation(example.trim_matches('"').to_owned()));
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
        self.read_as(key, value, at, example, ", in quotes", parse)
    }

    /// `if_bare` is added to the hint where a bare number stands.
    fn read_as<T>(
        &self,
        key: &str,
        value: &DeValue<'_>,
        at: Range<usize>,
        example: &str,
        if_bare: &str,
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
            Ok(value) => {
                if !bare {
                    self.note_units(key, &text, &at);
                }
                Got::Given(value)
            }
            Err(fault) => {
                let place = if bare {
                    at
                } else {
                    self.inside(&text, at, &fault.at)
                };
                let hint = if bare {
                    format!("{}{if_bare}", fault.hint)
                } else {
                    fault.hint
                };
                let message = format!("`{}`: {}", self.key_path(key), fault.message);
                self.reading.error(place, message, "here", hint);
                Got::Faulty
            }
        }
    }

    /// Notes the units that a value is in, to be held against those of the rest of the file.
    fn note_units(&self, key: &str, text: &str, at: &Range<usize>) {
        let path = self.key_path(key);
        let mut seen = self.reading.units_seen.borrow_mut();
        for unit in units_in(text) {
            let Some(of) = unit.of else {
                continue;
            };
            // One warning a value: of several in the same units the first stands for all.
            if seen
                .last()
                .is_some_and(|last| last.of == of && last.at == *at)
            {
                continue;
            }
            seen.push(UnitSeen {
                path: path.clone(),
                at: at.clone(),
                of,
            });
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
        self.want(key, Want::Text);
        match self.find(key) {
            None => Got::Open,
            Some((DeValue::String(text), at)) if !text.trim().is_empty() => {
                let text = text.trim();
                match self.can_be_shown(key, text, at) {
                    true => Got::Given(text.to_owned()),
                    false => Got::Faulty,
                }
            }
            Some((other, at)) => {
                self.wrong_type(key, other, at, "a text that says something", "\"...\"");
                Got::Faulty
            }
        }
    }

    /// Refuses a name that can't be shown, and one that is none: it stands in every answer.
    fn can_be_shown(&self, key: &str, text: &str, at: Range<usize>) -> bool {
        const LONGEST_NAME: usize = 200;
        const LONGEST_NOTE: usize = 4000;
        // A table of readings is told apart line by line.
        if key == "rows" {
            return true;
        }
        let (longest, lines) = match key {
            "note" => (LONGEST_NOTE, true),
            _ => (LONGEST_NAME, false),
        };
        let bad = |c: &char| is_unshowable(*c) && !(lines && matches!(c, '\n' | '\r' | '\t'));
        if let Some(c) = text.chars().find(bad) {
            self.reading.error(
                at,
                format!(
                    "`{}` has a character that can't be shown",
                    self.key_path(key)
                ),
                format!("it is {}", c.escape_unicode()),
                "write plain letters: controls and marks that turn the reading direction are out",
            );
            return false;
        }
        let long = text.chars().count();
        if long > longest {
            self.reading.error(
                at,
                format!("`{}` is {long} characters long", self.key_path(key)),
                "too long",
                format!("{longest} are the most"),
            );
        }
        long <= longest
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
        let all = words.iter().flat_map(|(row, _)| row.iter().copied());
        self.want(key, Want::Word(all.collect()));
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
        self.want(key, Want::Flag);
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

    /// Ends the reading of a table: what it has besides is reported once all are read.
    pub fn finish(self) {
        let mut asked = self.asked.into_inner();
        asked.sort_unstable();
        asked.dedup();
        let mut unknown = Vec::new();
        for (key, value) in self.table.into_iter().flatten() {
            let name = key.get_ref().as_ref();
            if !asked.contains(&name) {
                self.reading
                    .remember(joined(&self.path, name), value.span());
                unknown.push((name.to_owned(), key.span()));
            }
        }
        self.reading.close(ReadTable {
            path: self.path,
            asked,
            unknown,
        });
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
            "dont know"
                | "do not know"
                | "unknown"
                | "not known"
                | "not sure"
                | "no idea"
                | "no dro"
                | "no readout"
        )
}

/// Small letters, single spaces, no hyphens: how two wordings are compared.
pub(crate) fn plain_words(text: &str) -> String {
    text.to_lowercase()
        .split(|c: char| c.is_whitespace() || c == '-' || c == '_')
        .filter(|part| !part.is_empty())
        .collect::<Vec<_>>()
        .join(" ")
}

/// Checks that a parsed quantity is a number one can compute with.
pub(crate) fn finite<Q: Quantity>(text: &str, value: Q) -> Result<Q, Fault> {
    // Ten kilometres, or a stiffness beyond any: a slip, with which sums run over.
    let most = match Q::DIMENSION {
        Dimension::Length => 1e4,
        _ => 1e16,
    };
    if value.si().abs() <= most {
        return Ok(value);
    }
    Err(Fault {
        at: 0..text.len(),
        message: format!("this {} is no number one can compute with", Q::NAME),
        hint: "write an ordinary number with its unit".to_owned(),
    })
}
