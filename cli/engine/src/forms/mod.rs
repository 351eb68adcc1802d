//! Forms beside job and lathe: shop tests, readings of the guide, a finished piece, gauging sums. Each
//! is a text like a person's file; its fields are put into it and read back, and it is told from it.

mod row;
mod rows;
mod fault;
mod sums;
pub mod told;

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};
use tautway_sim::quantity::Units;
use tautway_sim::shop_tests::form;
use toml_edit::{Array, DocumentMut, Item, Value};

use crate::{edit, fields};
use row::{How, Row};

/// What stands in a form of shop tests for one that wasn't done.
const NOT_DONE: &str = "not done";

/// Which form.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Form {
    /// Shop tests of the lathe.
    Tests,
    /// Readings of carriage and slide.
    Readings,
    /// A finished piece.
    Piece,
    /// Standoff of a ring or plug gauge.
    Standoff,
    /// Blue.
    Blue,
    /// Rolls.
    Rolls,
    /// Balls.
    Balls,
    /// Diameters at two places.
    Diameters,
}

impl Form {
    fn rows(self) -> &'static [Row] {
        match self {
            Self::Tests => &[],
            Self::Readings => rows::READINGS,
            Self::Piece => rows::PIECE,
            Self::Standoff => rows::STANDOFF,
            Self::Blue => rows::BLUE,
            Self::Rolls => rows::ROLLS,
            Self::Balls => rows::BALLS,
            Self::Diameters => rows::DIAMETERS,
        }
    }

    fn row(self, path: &str) -> Option<&'static Row> {
        self.rows().iter().find(|row| row.path == path)
    }
}

/// A field of a form.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Entry {
    path: String,
    words: String,
    /// `text`, `lines` or `word`.
    kind: &'static str,
    /// What may be chosen, as it stands in the text and as it is read.
    choices: Vec<[String; 2]>,
    /// An example.
    example: String,
    /// Whether it is seldom needed.
    rare: bool,
}

/// Fields that belong together.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Group {
    words: String,
    /// Whether it stands open.
    open: bool,
    entries: Vec<Entry>,
}

/// A form with nothing typed into it yet but what job and lathe say, and its fields.
///
/// # Errors
/// A text that is no TOML.
pub fn blank(
    of: Form,
    units: Units,
    [job, lathe]: [&str; 2],
) -> Result<(String, Vec<Group>), String> {
    if of == Form::Tests {
        let text = form::blank(units);
        let groups = of_tests(&text)?;
        return Ok((text, groups));
    }
    let mut text = String::new();
    if matches!(of, Form::Readings | Form::Piece) {
        let word = match units {
            Units::Inch => "inch",
            Units::Metric => "metric",
        };
        text = format!("units = \"{word}\"\n");
    }
    let said = [fields::values(job), fields::values(lathe)];
    for row in of.rows() {
        let brought = row.brought(units);
        let from = row
            .from
            .and_then(|(file, key)| said[file].get(key).cloned());
        // A bare number is in the units of the file it stood in.
        let from = from.filter(|value| value.parse::<f64>().is_err() && !value.starts_with('{'));
        if let Some(value) = from.or(brought) {
            text = put(of, &text, row.path, &value)?;
        }
    }
    let mut groups: Vec<Group> = Vec::new();
    for row in of.rows() {
        let entry = Entry {
            path: row.path.to_owned(),
            words: row.words.to_owned(),
            kind: row.how.kind(),
            choices: row.how.choices(),
            example: row.how.example(units).to_owned(),
            rare: row.rare,
        };
        match groups.last_mut() {
            Some(group) if group.words == row.group => group.entries.push(entry),
            _ => groups.push(Group {
                words: row.group.to_owned(),
                open: !row.rare,
                entries: vec![entry],
            }),
        }
    }
    Ok((text, groups))
}

/// A form of shop tests as its tables; what each is stands beside it as a comment.
fn of_tests(text: &str) -> Result<Vec<Group>, String> {
    let tables = fields::of_form(text)?;
    let groups = tables.into_iter().map(|table| Group {
        open: table.words.contains('*'),
        words: table.words.replace(" *", ", one of the least to do"),
        entries: { table.keys.into_iter() }
            .map(|[path, words, _]| Entry {
                path,
                words,
                kind: "text",
                choices: Vec::new(),
                example: NOT_DONE.to_owned(),
                rare: false,
            })
            .collect(),
    });
    Ok(groups.collect())
}

/// A form with a field filled in; nothing takes it away.
///
/// # Errors
/// A text that is no TOML.
pub fn put(of: Form, text: &str, path: &str, typed: &str) -> Result<String, String> {
    let typed = typed.trim();
    if of == Form::Tests {
        let typed = if typed.is_empty() { NOT_DONE } else { typed };
        return fields::put(text, path, typed, typed.contains(','));
    }
    let pairs = of
        .row(path)
        .is_some_and(|row| matches!(row.how, How::Pairs(..)));
    if !pairs || typed.is_empty() {
        return fields::put(text, path, typed, false);
    }
    let mut document: DocumentMut = text
        .parse()
        .map_err(|why: toml_edit::TomlError| why.to_string())?;
    let lines = typed.lines().filter(|line| !line.trim().is_empty());
    let each = lines.map(|line| Value::Array(line.split(',').map(str::trim).collect()));
    let parts: Vec<&str> = path.split('.').collect();
    edit::put_value(&mut document, &parts, each.collect::<Array>().into());
    Ok(document.to_string())
}

/// What stands in a form, by key, as it is typed.
pub fn values(of: Form, text: &str) -> BTreeMap<String, String> {
    let mut values = fields::values(text);
    values.retain(|_, value| value != NOT_DONE);
    let document: Option<DocumentMut> = text.parse().ok();
    for row in of
        .rows()
        .iter()
        .filter(|row| matches!(row.how, How::Pairs(..)))
    {
        let mut item = document.as_ref().map(DocumentMut::as_item);
        for key in row.path.split('.') {
            item = item.and_then(|item| item.as_table_like()?.get(key));
        }
        let lines = item.and_then(Item::as_array).map(|pairs| {
            let one = |value: &Value| value.as_str().unwrap_or_default().to_owned();
            let line = |pair: &Value| match pair.as_array() {
                Some(pair) => pair.iter().map(one).collect::<Vec<_>>().join(", "),
                None => one(pair),
            };
            pairs.iter().map(line).collect::<Vec<_>>().join("\n")
        });
        values.extend(lines.map(|lines| (row.path.to_owned(), lines)));
    }
    values
}

#[cfg(test)]
mod tests {
    use tautway_sim::scenario::keys;

    use super::*;

    #[test]
    fn every_key_of_readings_and_piece_is_a_field() {
        for (of, keys) in [
            (Form::Readings, keys::readings()),
            (Form::Piece, keys::piece()),
        ] {
            for key in &keys.all {
                let is_table = keys.all.iter().any(|other| {
                    other
                        .path
                        .strip_prefix(&key.path)
                        .is_some_and(|rest| rest.starts_with('.'))
                });
                let said_otherwise = ["units", "job"].contains(&key.path.as_str());
                assert!(
                    is_table || said_otherwise || of.row(&key.path).is_some(),
                    "{}",
                    key.path
                );
            }
        }
    }

    #[test]
    fn what_is_typed_is_read_back_and_nothing_takes_it_away() {
        let pairs = "0.05 in, 2.4928 in\n1.40 in, 2.2976 in";
        let text = put(Form::Piece, "units = \"inch\"\n", "gauged.diameters", pairs).expect("TOML");
        assert!(text.contains("[[\"0.05 in\", \"2.4928 in\"]"), "{text}");
        assert_eq!(values(Form::Piece, &text)["gauged.diameters"], pairs);
        let text = put(Form::Piece, &text, "gauged.diameters", " ").expect("TOML");
        assert!(
            !values(Form::Piece, &text).contains_key("gauged.diameters"),
            "{text}"
        );
        let rows = "carriage in, slide in, direction\n0, 0, tailstock";
        let text = put(Form::Readings, "", "readings.rows", rows).expect("TOML");
        assert_eq!(values(Form::Readings, &text)["readings.rows"].trim(), rows);
    }
}
