//! The table of readings: a line that names the columns and their units, then a row a reading.

use std::ops::Range;

use super::reading::{Reading, nearest};
use super::section::{Section, plain_words};
use super::wordings::DIRECTION;
use crate::arithmetic::{max, min};
use crate::quantity::{Dimension, Length, Quantity, field_unit};
use crate::scenario::Diagnostic;
use crate::setup::Feed;

const EXAMPLE: &str = "carriage in, slide in, direction";

/// One row as read.
pub(super) struct Row {
    /// Counted from 1, without empty lines and the line of names.
    pub number: usize,
    /// m.
    pub carriage: f64,
    /// m, as the readout counts.
    pub slide: f64,
    pub slide_at: Range<usize>,
    pub feed: Feed,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Name {
    Carriage,
    Slide,
    Direction,
}

const NAMES: [(&str, Name); 5] = [
    ("carriage", Name::Carriage),
    ("slide", Name::Slide),
    ("readout", Name::Slide),
    ("direction", Name::Direction),
    ("toward", Name::Direction),
];

/// A column and the unit its bare numbers are in.
struct Column {
    name: Name,
    at: Range<usize>,
    unit: Option<String>,
}

/// A piece of the text with its place in the file.
#[derive(Clone)]
struct Piece<'t> {
    text: &'t str,
    at: Range<usize>,
}

/// Reads `rows` of the table. `direction` is that of all rows where there is no such column.
pub(super) fn read(table: &Section<'_>, direction: Option<Feed>) -> Vec<Row> {
    let reading = table.reading;
    let text = match table.text("rows") {
        super::section::Got::Given(text) => text,
        super::section::Got::Faulty => return Vec::new(),
        super::section::Got::Open => {
            table.missing("rows", "\"\"\" and then a line a reading, closed by \"\"\"");
            return Vec::new();
        }
    };
    let place = reading.place(&table.key_path("rows"));
    let offset = reading
        .source
        .text
        .get(place.clone())
        .and_then(|raw| raw.find(&text))
        .map(|within| place.start + within);
    let mut lines = Vec::new();
    let mut start = 0;
    for line in text.split('\n') {
        let content = line.split('#').next().unwrap_or("").trim_end();
        let lead = content.len() - content.trim_start().len();
        if !content.trim().is_empty() {
            // Escapes make text and file differ: then the whole table is pointed at.
            let at = offset.map_or(place.clone(), |o| {
                o + start + lead..o + start + content.len()
            });
            lines.push(Piece {
                text: content.trim(),
                at,
            });
        }
        start += line.len() + 1;
    }
    let exact = offset.is_some();
    let Some((head, body)) = lines.split_first() else {
        return Vec::new();
    };
    let Some(columns) = columns(reading, head, exact, direction.is_some()) else {
        return Vec::new();
    };
    let rows: Vec<Row> = body
        .iter()
        .enumerate()
        .filter_map(|(index, line)| row(reading, &columns, index + 1, line, exact, direction))
        .collect();
    if body.len() < 2 {
        reading.error(
            head.at.clone(),
            "there are fewer than two readings",
            "a row for each is to follow",
            "read at two places of the carriage at least; four each way say much more",
        );
    } else if rows.len() == body.len() && !two_places(&rows) {
        reading.error(
            body[0].at.clone(),
            "all readings are at one place of the carriage",
            "the taper shows over a travel",
            "move the carriage as far as the guide allows and read again",
        );
    }
    rows
}

fn two_places(rows: &[Row]) -> bool {
    let apart = |feed: Feed| {
        let of = || rows.iter().filter(|r| r.feed == feed).map(|r| r.carriage);
        of().fold(f64::NEG_INFINITY, max) - of().fold(f64::INFINITY, min)
    };
    [Feed::Headstock, Feed::Tailstock]
        .into_iter()
        .any(|feed| apart(feed) > 1e-6)
}

/// Cuts a line at what a table that was pasted is parted by, where commas may be decimal ones; at its
/// commas where it has nothing else; or at its spaces.
fn cut<'t>(line: &Piece<'t>, exact: bool) -> Vec<Piece<'t>> {
    const OF_TABLES: [char; 3] = [';', '|', '\t'];
    let tables = line.text.contains(OF_TABLES);
    let commas = tables || line.text.contains(',');
    let parts = |c: char| match (tables, commas) {
        (true, _) => OF_TABLES.contains(&c),
        (false, true) => c == ',',
        (false, false) => c.is_whitespace(),
    };
    let mut pieces = Vec::new();
    let mut start = 0;
    for part in line.text.split(parts) {
        let lead = part.len() - part.trim_start().len();
        let content = part.trim();
        if !content.is_empty() || commas {
            let from = start + lead;
            pieces.push(Piece {
                text: content,
                at: if exact {
                    line.at.start + from..line.at.start + from + content.len()
                } else {
                    line.at.clone()
                },
            });
        }
        start += part.len() + 1;
    }
    pieces
}

fn columns(
    reading: &Reading<'_>,
    head: &Piece<'_>,
    exact: bool,
    one_direction: bool,
) -> Option<Vec<Column>> {
    let mut columns: Vec<Column> = Vec::new();
    let mut sound = true;
    let mut error = |at: &Range<usize>, message: String, label: &str, hint: String| {
        reading.error(at.clone(), message, label, hint);
        sound = false;
    };
    for piece in cut(head, exact) {
        for word in words(&piece, exact) {
            let said = word.text.to_lowercase();
            let name = NAMES.iter().find(|(n, _)| *n == said).map(|(_, n)| *n);
            if let Some(name) = name {
                if columns.iter().any(|c| c.name == name) {
                    error(
                        &word.at,
                        format!("there are two columns `{}`", word.text),
                        "the second one",
                        format!("name each column once: {EXAMPLE}"),
                    );
                }
                columns.push(Column {
                    name,
                    at: word.at.clone(),
                    unit: None,
                });
                continue;
            }
            let unit = Length::parse(&format!("1 {}", word.text)).is_ok();
            match columns.last_mut() {
                Some(column) if unit && column.unit.is_none() && column.name != Name::Direction => {
                    column.unit = Some(word.text.to_owned());
                }
                _ => {
                    let names = NAMES.iter().map(|(name, _)| *name);
                    let hint = match nearest(&said, names) {
                        Some(near) => format!("did you mean `{near}`?"),
                        None => format!("the first line names the columns: {EXAMPLE}"),
                    };
                    error(
                        &word.at,
                        format!("`{}` is neither a column nor a unit of length", word.text),
                        "in the line that names the columns",
                        hint,
                    );
                }
            }
        }
    }
    for (name, word) in [(Name::Carriage, "carriage"), (Name::Slide, "slide")] {
        if sound && !columns.iter().any(|c| c.name == name) {
            reading.error(
                head.at.clone(),
                format!("there is no column `{word}`"),
                "this line names the columns",
                format!("for example: {EXAMPLE}"),
            );
            sound = false;
        }
    }
    let named = columns.iter().any(|c| c.name == Name::Direction);
    if sound && named == one_direction {
        let (message, hint) = if named {
            (
                "the direction is given twice",
                "leave out the column, or `direction` in [readout]",
            )
        } else {
            (
                "nothing says which way the carriage was going",
                "add a column `direction` with headstock or tailstock, or, if it was always the \
                 same, direction = \"headstock\" in [readout]",
            )
        };
        reading.error(
            head.at.clone(),
            message,
            "this line names the columns",
            hint,
        );
        sound = false;
    }
    sound.then_some(columns)
}

/// Words of a head, with brackets round units taken off.
fn words<'t>(piece: &Piece<'t>, exact: bool) -> Vec<Piece<'t>> {
    let skip = |c: char| c.is_whitespace() || matches!(c, '(' | ')' | '[' | ']' | '/');
    let mut found = Vec::new();
    let mut start = 0;
    for part in piece.text.split(skip) {
        if !part.is_empty() {
            let at = piece.at.start + start..piece.at.start + start + part.len();
            found.push(Piece {
                text: part,
                at: if exact { at } else { piece.at.clone() },
            });
        }
        start += part.len() + 1;
    }
    found
}

fn row(
    reading: &Reading<'_>,
    columns: &[Column],
    number: usize,
    line: &Piece<'_>,
    exact: bool,
    direction: Option<Feed>,
) -> Option<Row> {
    let mut cells = cut(line, exact);
    // "toward the tailstock" at the end of a row without commas is one cell.
    let last_is_words = columns.last().is_some_and(|c| c.name == Name::Direction);
    if cells.len() > columns.len() && last_is_words && !line.text.contains([',', '|', ';']) {
        let first = cells[columns.len() - 1].clone();
        let begin = line.text.len() - (line.at.end - first.at.start).min(line.text.len());
        let text = if exact {
            &line.text[begin..]
        } else {
            first.text
        };
        cells.truncate(columns.len() - 1);
        cells.push(Piece {
            text,
            at: first.at.start..line.at.end,
        });
    }
    if cells.len() != columns.len() {
        reading.error(
            line.at.clone(),
            format!(
                "row {number} has {} entries, the table has {} columns",
                cells.len(),
                columns.len()
            ),
            "this row",
            "write numbers without spaces or commas inside, decimals with a point; the unit stands \
             once, in the line that names the columns",
        );
        return None;
    }
    let (mut carriage, mut slide, mut feed) = (None, None, direction);
    let mut slide_at = line.at.clone();
    for (column, cell) in columns.iter().zip(&cells) {
        match column.name {
            Name::Carriage => carriage = length(reading, number, "carriage", column, cell),
            Name::Slide => {
                slide_at = cell.at.clone();
                slide = length(reading, number, "slide", column, cell);
            }
            Name::Direction => feed = way(reading, number, cell),
        }
    }
    Some(Row {
        number,
        carriage: carriage?,
        slide: slide?,
        slide_at,
        feed: feed?,
    })
}

fn length(
    reading: &Reading<'_>,
    number: usize,
    name: &str,
    column: &Column,
    cell: &Piece<'_>,
) -> Option<f64> {
    let bare = !cell.text.contains(|c: char| c.is_alphabetic() || c == '"');
    // Where the column names no unit either, the file's.
    let family = reading.family().filter(|_| column.unit.is_none());
    let unit = column
        .unit
        .as_deref()
        .or(family.map(|units| field_unit(Dimension::Length, units)));
    let said = match unit {
        Some(unit) if bare => format!("{} {unit}", cell.text),
        _ => cell.text.to_owned(),
    };
    match Length::parse(&said) {
        Ok(length) if length.si().abs() < 100.0 => {
            if bare && column.unit.is_none() {
                let at = column.at.clone();
                reading.note_once(Diagnostic::bare(reading.source, at, name, &said));
            }
            Some(length.si())
        }
        Ok(_) => {
            reading.error(
                cell.at.clone(),
                format!("row {number}: `{name}` is longer than any lathe"),
                "here",
                "check the digits and the unit",
            );
            None
        }
        Err(fault) => {
            let hint = if bare && unit.is_none() {
                format!("name the column's unit in the first line: {EXAMPLE}")
            } else {
                fault.hint
            };
            let end = cell.text.len();
            let within = fault.at.start.min(end)..fault.at.end.min(end);
            let at = if within.is_empty() || cell.at.len() != end {
                cell.at.clone()
            } else {
                cell.at.start + within.start..cell.at.start + within.end
            };
            reading.error(
                at,
                format!("row {number}, `{name}`: {}", fault.message),
                "here",
                hint,
            );
            None
        }
    }
}

fn way(reading: &Reading<'_>, number: usize, cell: &Piece<'_>) -> Option<Feed> {
    let said = plain_words(cell.text);
    let row = DIRECTION
        .iter()
        .find(|(words, _)| words.iter().any(|word| *word == said));
    if row.is_none() {
        reading.error(
            cell.at.clone(),
            format!("row {number}: the direction can't be \"{}\"", cell.text),
            "not one of the choices",
            "write headstock or tailstock: where the carriage was going",
        );
    }
    row.map(|(_, feed)| *feed)
}

/// +1 where the carriage's numbers grow toward the tailstock: as said, or as most rows that
/// follow each other in one direction show.
pub(super) fn carriage_sign(reading: &Reading<'_>, rows: &[Row], said: Option<Feed>) -> f64 {
    let shown: f64 = rows
        .windows(2)
        .filter(|pair| pair[0].feed == pair[1].feed)
        .map(|pair| (pair[1].carriage - pair[0].carriage, pair[1].feed.sign()))
        .filter(|(on, _)| *on != 0.0)
        .map(|(on, feed)| on.signum() * feed)
        .sum();
    if let Some(feed) = said {
        return feed.sign();
    }
    let both = rows.iter().any(|r| r.feed == Feed::Headstock)
        && rows.iter().any(|r| r.feed == Feed::Tailstock);
    if shown == 0.0 && both {
        reading.error(
            reading.place("readout.carriage_grows"),
            "which way the carriage's numbers grow can't be told from the order of the rows",
            "needed where both directions are read",
            "add to [readout] a line like this: carriage_grows = \"tailstock\"",
        );
    }
    if shown < 0.0 { -1.0 } else { 1.0 }
}
